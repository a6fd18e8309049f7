//! A picture averaged into the cells of a grid of any size.

use rayon::prelude::*;

use super::error::PhotoError;
use super::matrix::{Matrix3, apply_f32};
use super::oklab::{XYZ_TO_CONES, cones_to_oklab, oklab_to_cones};
use super::picture::Picture;
use super::watch::Watch;

/// The mean colour of every cell of a picture.
#[derive(Clone, Debug, PartialEq)]
pub struct CellMeans {
    /// Cells in a row, 1 or more.
    pub columns: u32,
    /// Rows, 1 or more.
    pub rows: u32,
    /// Oklab of each cell, the top row first, each row left to right.
    pub oklab: Vec<[f32; 3]>,
}

/// The part of a line that a cell covers: whole and parts of pixels.
#[derive(Clone, Copy)]
struct Span {
    first: usize,
    /// The last pixel touched; may be `first`.
    last: usize,
    /// Shares of those two that are covered.
    ends: (f32, f32),
}

impl Span {
    /// Cell `index` of `cells` over `pixels`.
    fn of(index: u32, cells: u32, pixels: u32) -> Self {
        let edge = |index: u32| f64::from(index) * f64::from(pixels) / f64::from(cells);
        let (from, to) = (edge(index), edge(index + 1));
        let first = (from as usize).min(pixels as usize - 1);
        let last = ((to.ceil() as usize).max(first + 1) - 1).min(pixels as usize - 1);
        let first_share = (to.min(first as f64 + 1.0) - from) as f32;
        let last_share = if last == first { 0.0 } else { (to - last as f64) as f32 };
        Self { first, last, ends: (first_share, last_share) }
    }

    /// Its pixels with the share of each that is covered.
    fn shares(self) -> impl Iterator<Item = (usize, f32)> {
        (self.first..=self.last).map(move |at| {
            let share = match at {
                _ if at == self.first => self.ends.0,
                _ if at == self.last => self.ends.1,
                _ => 1.0,
            };
            (at, share)
        })
    }
}

/// Averages the picture into `columns` x `rows` cells of equal size (each 1 or more), which together cover
/// all of it. Light is averaged, not codes, and each pixel counts by the area that lies in the cell; what is
/// see-through lets `ground` (Oklab) through.
///
/// # Errors
/// [`PhotoError::Cancelled`] when the work was stopped.
pub fn cell_means(
    picture: &Picture,
    (columns, rows): (u32, u32),
    ground: [f32; 3],
    watch: &Watch,
) -> Result<CellMeans, PhotoError> {
    let (columns, rows) = (columns.max(1), rows.max(1));
    let to_cones: Matrix3 = XYZ_TO_CONES.after(picture.to_xyz());
    let matrix = to_cones.to_f32();
    let ground = oklab_to_cones(ground);
    let across: Vec<Span> = (0..columns).map(|x| Span::of(x, columns, picture.width())).collect();
    let lines: Vec<Vec<[f32; 3]>> = (0..rows)
        .into_par_iter()
        .map_init(
            || Band::of(picture),
            |band, row| {
                watch.check()?;
                band.read(picture, Span::of(row, rows, picture.height()));
                Ok(across.iter().map(|span| band.mean(*span, &matrix, ground)).collect())
            },
        )
        .collect::<Result<_, PhotoError>>()?;
    Ok(CellMeans { columns, rows, oklab: lines.concat() })
}

/// A row of cells while it is read: light and cover added up downwards for each column of pixels.
struct Band {
    light: Vec<[f32; 3]>,
    /// How much is covered; empty when all is.
    cover: Vec<f32>,
}

impl Band {
    fn of(picture: &Picture) -> Self {
        let width = picture.width() as usize;
        let cover = if picture.has_cover() { width } else { 0 };
        Self { light: vec![[0.0; 3]; width], cover: vec![0.0; cover] }
    }

    fn read(&mut self, picture: &Picture, rows: Span) {
        self.light.fill([0.0; 3]);
        self.cover.fill(0.0);
        let whole: f32 = rows.shares().map(|(_, share)| share).sum();
        for (y, share) in rows.shares() {
            picture.add_row(y as u32, share / whole, &mut self.light, &mut self.cover);
        }
    }

    fn mean(&self, span: Span, matrix: &[[f32; 3]; 3], ground: [f32; 3]) -> [f32; 3] {
        let mut sum = [0.0_f32; 3];
        let (mut cover, mut whole) = (0.0_f32, 0.0_f32);
        for (x, share) in span.shares() {
            for (sum, light) in sum.iter_mut().zip(self.light[x]) {
                *sum += share * light;
            }
            whole += share;
            cover += share * self.cover.get(x).copied().unwrap_or(1.0);
        }
        let bare = (1.0 - cover / whole).max(0.0);
        let cones = apply_f32(matrix, sum.map(|light| light / whole));
        cones_to_oklab([0, 1, 2].map(|cone| cones[cone] + bare * ground[cone]))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Colour;
    use crate::photo::{ColourSpace, Depth, Samples};

    fn picture(width: u32, height: u32, pixel: impl Fn(u32, u32) -> [u8; 3]) -> Picture {
        let codes = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
        let codes = codes.flat_map(|(x, y)| pixel(x, y)).collect();
        Picture::new(width, height, Samples::Eight(codes), ColourSpace::srgb(Depth::Eight)).unwrap()
    }

    fn hex([l, a, b]: [f32; 3]) -> String {
        Colour::from_oklab(l.into(), a.into(), b.into()).to_hex()
    }

    fn means(picture: &Picture, size: (u32, u32)) -> Vec<String> {
        let means = cell_means(picture, size, [1.0, 0.0, 0.0], &Watch::nobody()).unwrap();
        means.oklab.into_iter().map(hex).collect()
    }

    #[test]
    fn light_is_averaged_and_not_codes() {
        // Black and white in equal parts reflect half the light, which is code 188 and not 128.
        let checks = picture(8, 8, |x, y| [255 * ((x + y) % 2) as u8; 3]);
        assert_eq!(means(&checks, (2, 2)), ["#bcbcbc"; 4]);
    }

    #[test]
    fn a_pixel_on_an_edge_counts_for_both_sides_by_its_area() {
        // Three pixels in two cells: the middle one, white, is half of a third of each.
        let strip = picture(3, 1, |x, _| [255 * u8::from(x == 1); 3]);
        let third = Colour::from_srgb8([156; 3]).to_hex(); // light 1/3
        assert_eq!(means(&strip, (2, 1)), [third.clone(), third]);
        // More cells than pixels: each is the pixel it lies in.
        let two = picture(2, 1, |x, _| [200 * x as u8, 10, 60]);
        assert_eq!(means(&two, (4, 3))[..4], ["#000a3c", "#000a3c", "#c80a3c", "#c80a3c"]);
    }

    #[test]
    fn what_is_see_through_shows_the_ground() {
        let black = picture(2, 1, |_, _| [0; 3]).with_cover(vec![255, 0]).unwrap();
        assert_eq!(means(&black, (2, 1)), ["#000000", "#ffffff"]);
        assert_eq!(means(&black, (1, 1)), ["#bcbcbc"]);
        assert!(picture(2, 1, |_, _| [0; 3]).with_cover(vec![1]).is_err());
    }

    #[test]
    fn every_size_covers_the_picture_evenly() {
        let grey = picture(37, 23, |_, _| [90, 91, 92]);
        for size in [(1, 1), (5, 23), (37, 23), (36, 24), (100, 90)] {
            assert!(means(&grey, size).iter().all(|cell| cell == "#5a5b5c"), "{size:?}");
        }
    }
}
