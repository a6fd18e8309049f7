//! Whole-region work on a grid: mirror, turn, recolour, and rows or stitches put in or taken out.

use super::grid::{Cell, Grid, GridError, Rect};
use super::work::{Ink, Work};

/// A way to mirror or turn a piece of chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Transform {
    /// Left and right change places.
    MirrorLeftRight,
    /// Top and bottom change places.
    MirrorUpDown,
    /// A quarter turn anticlockwise.
    TurnLeft,
    /// A quarter turn clockwise.
    TurnRight,
}

impl Transform {
    /// All of them, in the order they are offered.
    pub const ALL: [Self; 4] = [Self::MirrorLeftRight, Self::MirrorUpDown, Self::TurnLeft, Self::TurnRight];

    /// Whether width and height change places.
    pub const fn swaps_sides(self) -> bool {
        matches!(self, Self::TurnLeft | Self::TurnRight)
    }
}

impl Grid {
    /// The grid mirrored or turned. Where left and right change places, a decrease that leans right leans
    /// left; a decrease turned upside down stays one, and the chart's stitch count then says what is wrong.
    pub fn transformed(&self, transform: Transform) -> Self {
        let (width, height) = (self.width() as usize, self.height() as usize);
        let cells = self.cells();
        let at = |x: usize, y: usize| cells[y * width + x];
        let mirrored = |cell: &Cell| cell.worked(cell.work().mirrored());
        let cells = match transform {
            Transform::MirrorLeftRight => {
                cells.chunks(width).flat_map(|row| row.iter().rev()).map(mirrored).collect()
            }
            Transform::MirrorUpDown => cells.chunks(width).rev().flatten().copied().collect(),
            // Turning left brings the left column, read from the top, to the bottom row.
            Transform::TurnLeft => {
                (0..width).flat_map(|x| (0..height).rev().map(move |y| at(x, y))).collect()
            }
            Transform::TurnRight => {
                (0..width).rev().flat_map(|x| (0..height).map(move |y| at(x, y))).collect()
            }
        };
        if transform.swaps_sides() {
            Self::from_checked(self.height(), self.width(), cells)
        } else {
            Self::from_checked(self.width(), self.height(), cells)
        }
    }

    /// The grid with each stitch made `across` stitches wide and `up` rows high, in its colour and plain: a
    /// decrease has no larger self.
    ///
    /// # Errors
    /// [`GridError::Size`] when a factor is 0 or the result would be too large.
    pub fn scaled(&self, across: u32, up: u32) -> Result<Self, GridError> {
        let (width, height) =
            (u64::from(self.width()) * u64::from(across), u64::from(self.height()) * u64::from(up));
        Self::check_size(width, height)?;
        let row = |row: &[Cell]| -> Vec<Cell> {
            row.iter()
                .flat_map(|cell| std::iter::repeat_n(cell.worked(Work::Plain), across as usize))
                .collect()
        };
        let rows = self.cells().chunks(self.width() as usize);
        let cells = rows.flat_map(|cells| row(cells).repeat(up as usize)).collect();
        Self::from_cells(width as u32, height as u32, cells)
    }

    /// Gives every cell inside `rect` the value `cell`.
    pub fn fill(&mut self, rect: Rect, cell: Cell) {
        let rect = rect.intersect(self.bounds());
        for y in rect.y..rect.y + rect.height {
            self.change_row(y, |row| row[rect.x as usize..(rect.x + rect.width) as usize].fill(cell));
        }
    }

    /// Paints every cell.
    pub fn paint(&mut self, ink: Ink) {
        for y in 0..self.height() {
            self.change_row(y, |row| row.iter_mut().for_each(|cell| *cell = ink.on(*cell)));
        }
    }

    /// Turns every stitch of the colour of `from` inside `rect` into the colour of `to`, worked as before.
    pub fn replace(&mut self, rect: Rect, from: Cell, to: Cell) {
        let rect = rect.intersect(self.bounds());
        for y in rect.y..rect.y + rect.height {
            self.change_row(y, |row| {
                let part = &mut row[rect.x as usize..(rect.x + rect.width) as usize];
                let same = part.iter_mut().filter(|cell| cell.same_colour(&from));
                same.for_each(|cell| *cell = cell.painted(to));
            });
        }
    }

    /// The grid with `count` rows of `cell` put in below row `at` (`at` = height puts them on top).
    ///
    /// # Errors
    /// [`GridError::Size`] when the result would be too high.
    pub fn with_rows(&self, at: u32, count: u32, cell: Cell) -> Result<Self, GridError> {
        let height = u64::from(self.height()) + u64::from(count);
        Self::check_size(u64::from(self.width()), height)?;
        let split = at.min(self.height()) as usize * self.width() as usize;
        let (below, above) = self.cells().split_at(split);
        let new = vec![cell; count as usize * self.width() as usize];
        Self::from_cells(self.width(), self.height() + count, [below, &new, above].concat())
    }

    /// The grid with `count` columns of `cell` put in left of column `at` (`at` = width puts them
    /// at the right edge).
    ///
    /// # Errors
    /// [`GridError::Size`] when the result would be too wide.
    pub fn with_stitches(&self, at: u32, count: u32, cell: Cell) -> Result<Self, GridError> {
        let width = u64::from(self.width()) + u64::from(count);
        Self::check_size(width, u64::from(self.height()))?;
        let new = vec![cell; count as usize];
        let at = at.min(self.width()) as usize;
        let rows = self.cells().chunks(self.width() as usize);
        let cells = rows.flat_map(|row| [&row[..at], &new, &row[at..]].concat()).collect();
        Self::from_cells(self.width() + count, self.height(), cells)
    }

    /// The grid without the rows `from..from + count`, as far as they exist.
    ///
    /// # Errors
    /// [`GridError::Size`] when no row would be left.
    pub fn without_rows(&self, from: u32, count: u32) -> Result<Self, GridError> {
        let (from, end) = (from.min(self.height()), from.saturating_add(count).min(self.height()));
        let width = self.width() as usize;
        let (below, above) = (&self.cells()[..from as usize * width], &self.cells()[end as usize * width..]);
        Self::from_cells(self.width(), self.height() - (end - from), [below, above].concat())
    }

    /// The grid without the columns `from..from + count`, as far as they exist.
    ///
    /// # Errors
    /// [`GridError::Size`] when no stitch would be left.
    pub fn without_stitches(&self, from: u32, count: u32) -> Result<Self, GridError> {
        let (from, end) = (from.min(self.width()), from.saturating_add(count).min(self.width()));
        let rows = self.cells().chunks(self.width() as usize);
        let cells = rows.flat_map(|row| [&row[..from as usize], &row[end as usize..]].concat()).collect();
        Self::from_cells(self.width() - (end - from), self.height(), cells)
    }

    /// A grid of another size with this one's bottom-left corner at `at`; what falls outside is
    /// left off, what is new is `cell`.
    ///
    /// # Errors
    /// [`GridError::Size`] unless both sides are in `1..=2000`.
    pub fn resized(&self, width: u32, height: u32, at: (i64, i64), cell: Cell) -> Result<Self, GridError> {
        let mut grid = Self::new(width, height, cell)?;
        grid.paste(self, at);
        Ok(grid)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Point;

    /// `3 4 5` over `0 1 2`.
    fn numbered() -> Grid {
        Grid::from_cells(3, 2, (0..6).map(Cell::slot).collect()).unwrap()
    }

    fn slots(grid: &Grid) -> Vec<usize> {
        grid.cells().iter().filter_map(|cell| cell.index()).collect()
    }

    #[test]
    fn mirrors_and_turns() {
        let grid = numbered();
        assert_eq!(slots(&grid.transformed(Transform::MirrorLeftRight)), [2, 1, 0, 5, 4, 3]);
        assert_eq!(slots(&grid.transformed(Transform::MirrorUpDown)), [3, 4, 5, 0, 1, 2]);
        let left = grid.transformed(Transform::TurnLeft);
        assert_eq!((left.width(), left.height()), (2, 3));
        // The left column (3 over 0) becomes the bottom row.
        assert_eq!(slots(&left), [3, 0, 4, 1, 5, 2]);
        assert_eq!(slots(&grid.transformed(Transform::TurnRight)), [2, 5, 1, 4, 0, 3]);
    }

    #[test]
    fn recolouring_stays_inside_the_region() {
        let mut grid = Grid::new(4, 4, Cell::slot(0)).unwrap();
        grid.replace(Rect::new(2, 2, 90, 90), Cell::slot(0), Cell::slot(1));
        assert_eq!(grid.counts()[1], 4);
        grid.replace(grid.bounds(), Cell::slot(1), Cell::NO_STITCH);
        assert_eq!(grid.get(Point::new(3, 3)), Some(Cell::NO_STITCH));
        grid.fill(Rect::new(9, 0, 1, 4), Cell::slot(5));
        assert_eq!(grid.counts()[5], 0);
        grid.fill(Rect::new(0, 0, 1, 4), Cell::slot(5));
        assert_eq!(grid.counts()[5], 4);
    }

    #[test]
    fn rows_and_stitches_go_in_and_come_out_again() {
        let grid = numbered();
        let taller = grid.with_rows(1, 2, Cell::slot(9)).unwrap();
        assert_eq!(slots(&taller), [0, 1, 2, 9, 9, 9, 9, 9, 9, 3, 4, 5]);
        assert_eq!(taller.without_rows(1, 2).unwrap(), grid);
        let wider = grid.with_stitches(3, 1, Cell::slot(9)).unwrap();
        assert_eq!(slots(&wider), [0, 1, 2, 9, 3, 4, 5, 9]);
        assert_eq!(wider.without_stitches(3, 1).unwrap(), grid);
        assert_eq!(slots(&grid.without_stitches(1, u32::MAX).unwrap()), [0, 3]);
    }

    #[test]
    fn a_chart_never_grows_too_large_nor_vanishes() {
        let grid = numbered();
        assert!(grid.with_rows(0, 1999, Cell::slot(0)).is_err());
        assert!(grid.with_stitches(0, u32::MAX, Cell::slot(0)).is_err());
        assert!(grid.without_rows(0, 2).is_err());
        assert!(grid.without_stitches(0, 9).is_err());
        assert!(grid.resized(0, 4, (0, 0), Cell::slot(0)).is_err());
    }

    #[test]
    fn a_scaled_grid_has_blocks_for_stitches() {
        let scaled = numbered().scaled(2, 3).unwrap();
        assert_eq!((scaled.width(), scaled.height()), (6, 6));
        assert_eq!(slots(&scaled)[..6], [0, 0, 1, 1, 2, 2]);
        assert_eq!(scaled.row(2), scaled.row(0));
        assert_eq!(slots(&scaled)[30..], [3, 3, 4, 4, 5, 5]);
        assert!(numbered().scaled(0, 1).is_err());
        assert!(numbered().scaled(1, 1001).is_err());
    }

    #[test]
    fn a_new_size_keeps_what_fits() {
        let resized = numbered().resized(2, 3, (-1, 1), Cell::slot(9)).unwrap();
        assert_eq!(slots(&resized), [9, 9, 1, 2, 4, 5]);
    }
}
