//! A picture, or a part of it, averaged into cells: light is averaged, not codes.

use super::balance::Balance;
use super::error::PhotoError;
use super::evenness::middle_of;
use super::matrix::{Matrix3, apply_f32};
use super::oklab::{XYZ_TO_CONES, cones_to_oklab};
use super::picture::{Picture, Region};
use super::watch::Watch;
use rayon::prelude::*;
use std::sync::atomic::{AtomicUsize, Ordering};

/// Linear red, green, blue of the picture to the cone response of Oklab, light corrected as in the
/// references' middle.
pub(super) fn cone_matrix(picture: &Picture, balance: &Balance) -> [[f32; 3]; 3] {
    let to_cones: Matrix3 = XYZ_TO_CONES.after(balance.matrix()).after(picture.to_xyz());
    to_cones.to_f32()
}

/// One cell.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Cell {
    /// Mean colour.
    pub oklab: [f32; 3],
    /// Standard deviation of light within the cell over its mean: the texture.
    pub texture: f32,
}

/// Cells of a region, row by row.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Cells {
    pub columns: usize,
    pub rows: usize,
    /// Side of a cell in pixels, 1 or more.
    pub side: u32,
    pub all: Vec<Cell>,
}

impl Cells {
    /// Averages `region` into square cells so that its longer side has about `along` of them
    /// (every pixel is its own cell when there are fewer pixels); what is left over at the right
    /// and bottom, less than a cell, is not read.
    pub fn read(
        picture: &Picture,
        region: Region,
        balance: &Balance,
        along: usize,
        watch: &Watch,
    ) -> Result<Self, PhotoError> {
        picture.check_region(region)?;
        let longer = region.width.max(region.height) as usize;
        let shorter = region.width.min(region.height) as usize;
        let side = longer.div_ceil(along.max(1)).clamp(1, shorter);
        let columns = region.width as usize / side;
        let rows = region.height as usize / side;
        let matrix = cone_matrix(picture, balance);
        let evenness = balance.evenness();
        let done = AtomicUsize::new(0);
        let lines: Vec<Vec<Cell>> = (0..rows)
            .into_par_iter()
            .map(|row| {
                watch.check()?;
                let line = (0..columns)
                    .map(|column| {
                        let (x, y) = (region.x + (column * side) as u32, region.y + (row * side) as u32);
                        let square = Region::new(x, y, side as u32, side as u32);
                        let [middle_x, middle_y] = middle_of(square);
                        let gain = evenness.gain_at(middle_x, middle_y) as f32;
                        average(picture, square, &matrix, gain)
                    })
                    .collect();
                watch.report((done.fetch_add(1, Ordering::Relaxed) + 1) as f32 / rows as f32);
                Ok(line)
            })
            .collect::<Result<_, PhotoError>>()?;
        Ok(Self { columns, rows, side: side as u32, all: lines.concat() })
    }

    /// The cell at a column and row, both inside.
    pub fn at(&self, column: usize, row: usize) -> &Cell {
        &self.all[row * self.columns + column]
    }
}

/// Mean of a square, its light multiplied by `gain`.
fn average(picture: &Picture, square: Region, matrix: &[[f32; 3]; 3], gain: f32) -> Cell {
    let mut sum = [0.0_f32; 3];
    let mut squares = 0.0_f32;
    for y in square.y..square.y + square.height {
        for x in square.x..square.x + square.width {
            let cones = apply_f32(matrix, picture.linear(x, y).0);
            for (total, value) in sum.iter_mut().zip(cones) {
                *total += value;
            }
            squares += cones[1] * cones[1];
        }
    }
    let count = square.area() as f32;
    let mean = sum.map(|total| total / count);
    let variance = (squares / count - mean[1] * mean[1]).max(0.0);
    Cell { oklab: cones_to_oklab(mean.map(|cone| cone * gain)), texture: variance.sqrt() / mean[1].max(1e-4) }
}
