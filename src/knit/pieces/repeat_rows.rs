//! The rows of the chart a band repeats, with the "no stitch" cells left out.

use std::borrow::Cow;

use crate::chart::{Cell, Grid, Rect, RowMark};

/// The chart that bands repeat: the grid and its repeat box.
#[derive(Clone, Copy, Debug)]
pub struct Pattern<'a> {
    /// The whole chart.
    pub grid: &'a Grid,
    /// The part that repeats where a band names no other.
    pub repeat: Rect,
}

impl Pattern<'_> {
    /// The part of the chart a band works, cut to the grid.
    pub fn region(&self, asked: Option<Rect>) -> Rect {
        asked.unwrap_or(self.repeat).intersect(self.grid.bounds())
    }
}

/// One repeat: its worked rows from the bottom, each left to right, rows without a stitch left out.
#[derive(Clone, Debug)]
pub struct RepeatRows<'a> {
    /// The marks of the worked rows.
    marks: Vec<RowMark>,
    cells: Cells<'a>,
    columns: (u32, u32),
    shaped: bool,
}

/// The stitches of the worked rows.
#[derive(Clone, Debug)]
enum Cells<'a> {
    /// A part of the chart without "no stitch" cells, as nearly every one is, and where it begins: nothing is listed.
    Whole(&'a Grid, u32),
    /// Row by row.
    Rows(Vec<Cow<'a, [Cell]>>),
}

impl<'a> RepeatRows<'a> {
    /// The worked rows of a part of the chart; `None` when it holds no stitch.
    pub fn of(grid: &'a Grid, region: Rect) -> Option<Self> {
        let region = region.intersect(grid.bounds());
        let columns = region.x as usize..(region.x + region.width) as usize;
        let within = (region.x, region.width);
        let rows = region.y..region.y + region.height;
        if let Some(marks) = grid.marks_of_whole(rows.clone()) {
            let cells = Cells::Whole(grid, region.y);
            return (!region.is_empty()).then_some(Self { marks, cells, columns: within, shaped: false });
        }
        let worked = |y| {
            let row = grid.row(y).get(columns.clone()).unwrap_or_default();
            let cells = if grid.is_whole(y, columns.clone()) {
                Cow::Borrowed(row)
            } else {
                Cow::Owned(row.iter().copied().filter(|cell| cell.index().is_some()).collect())
            };
            Some((grid.row_mark(y)?, cells)).filter(|(_, cells)| !cells.is_empty())
        };
        let (marks, rows): (Vec<RowMark>, Vec<Cow<'a, [Cell]>>) = rows.filter_map(worked).unzip();
        let first = rows.first()?.len();
        let shaped = rows.iter().any(|row| row.len() != first);
        Some(Self { marks, cells: Cells::Rows(rows), columns: within, shaped })
    }

    /// Rows of one repeat, 1 or more.
    pub const fn count(&self) -> usize {
        self.marks.len()
    }

    /// Worked stitches of row `r`, counted round the repeat.
    pub fn width(&self, r: usize) -> u32 {
        self.row(r).len() as u32
    }

    /// Row `r`, counted round the repeat, left to right.
    pub fn row(&self, r: usize) -> &[Cell] {
        let r = r % self.marks.len();
        match &self.cells {
            Cells::Whole(grid, bottom) => {
                let (first, width) = (self.columns.0 as usize, self.columns.1 as usize);
                grid.row(bottom + r as u32).get(first..first + width).unwrap_or_default()
            }
            Cells::Rows(rows) => &rows[r],
        }
    }

    /// The mark of row `r`, counted round the repeat, of which these columns are repeated: the first, and how many.
    pub fn mark(&self, r: usize) -> (RowMark, (u32, u32)) {
        (self.marks[r % self.marks.len()], self.columns)
    }

    /// Whether the stitch count changes inside the repeat: the chart holds the shaping.
    pub const fn is_shaped(&self) -> bool {
        self.shaped
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Point;

    #[test]
    fn cells_without_a_stitch_take_no_part() {
        let mut grid = Grid::new(4, 3, Cell::slot(1)).unwrap();
        grid.set(Point::new(1, 2), Cell::NO_STITCH);
        for x in 0..4 {
            grid.set(Point::new(x, 1), Cell::NO_STITCH);
        }
        let rows = RepeatRows::of(&grid, grid.bounds()).unwrap();
        assert_eq!((rows.count(), rows.width(0), rows.width(1), rows.width(2)), (2, 4, 3, 4));
        assert!(rows.is_shaped());
        assert!(RepeatRows::of(&grid, Rect::new(0, 1, 4, 1)).is_none());
        assert!(RepeatRows::of(&grid, Rect::new(90, 0, 4, 1)).is_none());
    }
}
