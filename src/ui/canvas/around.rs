//! The stitches in view: those of the chart and, where the repeat is continued around it, those of its ghosts.

use std::ops::Range;

use super::geometry::Geometry;
use crate::chart::{Cell, Grid, Rect};

/// Which cells are in view, in columns and rows of the chart, and what is seen beside it.
#[derive(Clone, Debug)]
pub struct Around {
    columns: Range<i64>,
    rows: Range<i64>,
    repeat: Option<Rect>,
}

impl Around {
    /// The cells on the canvas; beside the chart those of `repeat`, if it is continued.
    pub fn new(g: &Geometry, repeat: Option<Rect>) -> Self {
        if repeat.is_none() {
            let shown = g.visible();
            let span = |start: u32, length: u32| i64::from(start)..i64::from(start) + i64::from(length);
            return Self { columns: span(shown.x, shown.width), rows: span(shown.y, shown.height), repeat };
        }
        let (left, top) = g.cell_at(g.canvas.left_top());
        let (right, bottom) = g.cell_at(g.canvas.right_bottom());
        Self { columns: left..right + 1, rows: bottom..top + 1, repeat }
    }

    /// The rows in view and one beyond on either side, from the bottom.
    pub fn rows_and_one(&self, grid: &Grid) -> Range<i64> {
        let (low, high) = (self.rows.start - 1, self.rows.end + 1);
        if self.repeat.is_some() { low..high } else { low.max(0)..high.min(grid.height().into()) }
    }

    /// The rows in view, from the bottom.
    pub fn rows(&self) -> Range<i64> {
        self.rows.clone()
    }

    /// Cells in view.
    pub fn count(&self) -> usize {
        let length = |range: &Range<i64>| (range.end - range.start).max(0) as usize;
        length(&self.columns) * length(&self.rows)
    }

    /// Gives every cell in view of a row, from the left, with its column.
    pub fn row(&self, grid: &Grid, y: i64, mut give: impl FnMut(i64, Cell)) {
        let (width, height) = (i64::from(grid.width()), i64::from(grid.height()));
        let is_in_chart = (0..height).contains(&y);
        let own = if is_in_chart { grid.row(y as u32) } else { &[] };
        let ghosts = self.repeat.map(|repeat| {
            let source = i64::from(repeat.y) + (y - i64::from(repeat.y)).rem_euclid(repeat.height.into());
            (repeat, &grid.row(source as u32)[repeat.x as usize..(repeat.x + repeat.width) as usize])
        });
        for x in self.columns.clone() {
            if is_in_chart && (0..width).contains(&x) {
                give(x, own[x as usize]);
            } else if let Some((repeat, row)) = ghosts {
                let column = (x - i64::from(repeat.x)).rem_euclid(repeat.width.into());
                give(x, row[column as usize]);
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::{pos2, vec2};

    #[test]
    fn beside_the_chart_the_repeat_goes_on() {
        let g = Geometry {
            canvas: egui::Rect::from_min_size(pos2(0.0, 0.0), vec2(100.0, 100.0)),
            origin: pos2(30.0, 40.0),
            cell: vec2(10.0, 10.0),
            size: (4, 2),
            pixels_per_point: 1.0,
        };
        let grid = Grid::from_cells(4, 2, (0..8).map(Cell::slot).collect()).unwrap();
        let shown = |repeat, y| {
            let mut row = Vec::new();
            Around::new(&g, repeat).row(&grid, y, |x, cell| row.push((x, cell.index().unwrap())));
            row
        };
        assert_eq!(shown(None, 0), [(0, 0), (1, 1), (2, 2), (3, 3)]);
        let repeat = Some(Rect::new(1, 0, 2, 2));
        let row = shown(repeat, 0);
        assert_eq!(row[..4], [(-3, 1), (-2, 2), (-1, 1), (0, 0)]);
        assert_eq!(row[6..9], [(3, 3), (4, 2), (5, 1)]);
        // Row 3 is row 1 of the repeat again, without the chart's own ends.
        assert_eq!(shown(repeat, 3)[3..7], [(0, 6), (1, 5), (2, 6), (3, 5)]);
    }
}
