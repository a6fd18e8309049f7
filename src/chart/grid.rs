//! The stitch grid and its coordinates.

use thiserror::Error;

use super::row_mark::{RowMark, RowState};
use super::work::Work;

/// Largest width in stitches and height in rows of a chart.
pub const MAX_SIDE: u32 = 2000;

/// Why a grid was refused.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum GridError {
    /// No stitches, or more than [`MAX_SIDE`] on a side.
    #[error("a chart has 1 to {MAX_SIDE} stitches and rows, not {width} x {height}")]
    Size {
        /// Stitches asked for.
        width: u64,
        /// Rows asked for.
        height: u64,
    },
    /// The cells do not fill the rectangle.
    #[error("a chart of {width} x {height} needs {expected} stitches, but {found} are given")]
    Count {
        /// Stitches in a row.
        width: u32,
        /// Rows.
        height: u32,
        /// `width * height`.
        expected: usize,
        /// Cells given.
        found: usize,
    },
}

/// One stitch of the chart: a palette slot and how it is worked, or no stitch at all.
///
/// Two cells are equal when colour and work are; where only the colour counts (runs, floats, contacts),
/// compare with [`Cell::same_colour`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Cell {
    slot: u8,
    work: Work,
}

impl Cell {
    /// A cell where the fabric has no stitch (shaping); it uses no yarn.
    pub const NO_STITCH: Self = Self { slot: u8::MAX, work: Work::Plain };
    /// Palette slots a chart can use.
    pub const MAX_SLOTS: usize = 64;

    /// A plain stitch in palette slot `slot` (`0..64`); a larger number is pulled down to the last slot.
    #[inline]
    pub const fn slot(slot: u8) -> Self {
        let last = Self::MAX_SLOTS as u8 - 1;
        Self { slot: if slot < last { slot } else { last }, work: Work::Plain }
    }

    /// The palette slot, or `None` where there is no stitch.
    #[inline]
    pub const fn index(self) -> Option<usize> {
        if self.slot == Self::NO_STITCH.slot { None } else { Some(self.slot as usize) }
    }

    /// How the stitch is worked; [`Work::Plain`] where there is none.
    #[inline]
    pub const fn work(self) -> Work {
        self.work
    }

    /// The same colour worked that way; no stitch stays no stitch.
    #[inline]
    pub const fn worked(self, work: Work) -> Self {
        if self.index().is_some() { Self { work, ..self } } else { self }
    }

    /// The colour of `other` worked as this one is, so that painting over a decrease keeps the decrease.
    #[inline]
    pub const fn painted(self, other: Self) -> Self {
        other.worked(self.work)
    }

    /// Whether both are stitches of one palette slot, or both no stitch, however they are worked.
    #[inline]
    pub const fn same_colour(&self, other: &Self) -> bool {
        self.slot == other.slot
    }
}

/// A cell position. `x` counts from the left edge, `y` from the bottom row, both from 0.
///
/// Knitters read from the right: stitch number = `width - x`, row number = `y + 1`.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Point {
    /// Column from the left, from 0.
    pub x: u32,
    /// Row from the bottom, from 0.
    pub y: u32,
}

impl Point {
    /// The point `(x, y)`.
    pub const fn new(x: u32, y: u32) -> Self {
        Self { x, y }
    }
}

/// A rectangle of cells: `x..x + width`, `y..y + height`. May be empty.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Rect {
    /// Left column.
    pub x: u32,
    /// Bottom row.
    pub y: u32,
    /// Stitches.
    pub width: u32,
    /// Rows.
    pub height: u32,
}

impl Rect {
    /// The rectangle with this bottom-left corner and size.
    pub const fn new(x: u32, y: u32, width: u32, height: u32) -> Self {
        Self { x, y, width, height }
    }

    /// The smallest rectangle that holds both cells.
    pub fn spanning(a: Point, b: Point) -> Self {
        let (x0, x1) = (a.x.min(b.x), a.x.max(b.x));
        let (y0, y1) = (a.y.min(b.y), a.y.max(b.y));
        Self::new(x0, y0, x1 - x0 + 1, y1 - y0 + 1)
    }

    /// Whether the rectangle holds no cell.
    pub const fn is_empty(self) -> bool {
        self.width == 0 || self.height == 0
    }

    /// Number of cells.
    pub const fn area(self) -> usize {
        self.width as usize * self.height as usize
    }

    /// Whether the cell lies inside.
    pub const fn contains(self, p: Point) -> bool {
        p.x >= self.x && p.y >= self.y && p.x - self.x < self.width && p.y - self.y < self.height
    }

    /// The part inside `other`; the empty rectangle at 0, 0 when they do not meet.
    pub fn intersect(self, other: Self) -> Self {
        let (x0, y0) = (self.x.max(other.x), self.y.max(other.y));
        let x1 = self.x.saturating_add(self.width).min(other.x.saturating_add(other.width));
        let y1 = self.y.saturating_add(self.height).min(other.y.saturating_add(other.height));
        if x0 < x1 && y0 < y1 { Self::new(x0, y0, x1 - x0, y1 - y0) } else { Self::default() }
    }

    /// The smallest rectangle around both; an empty one adds nothing.
    pub fn union(self, other: Self) -> Self {
        if self.is_empty() {
            return other;
        }
        if other.is_empty() {
            return self;
        }
        let (x0, y0) = (self.x.min(other.x), self.y.min(other.y));
        let x1 = (self.x + self.width).max(other.x + other.width);
        let y1 = (self.y + self.height).max(other.y + other.height);
        Self::new(x0, y0, x1 - x0, y1 - y0)
    }

    /// Every cell, row by row from the bottom, left to right.
    pub fn points(self) -> impl Iterator<Item = Point> {
        (self.y..self.y + self.height)
            .flat_map(move |y| (self.x..self.x + self.width).map(move |x| Point::new(x, y)))
    }
}

/// A rectangular chart of `width` stitches and `height` rows, stored from the bottom row up,
/// each row left to right.
#[derive(Clone, Debug)]
pub struct Grid {
    width: u32,
    height: u32,
    cells: Vec<Cell>,
    /// One per row, kept in step with the cells.
    rows: Vec<RowState>,
}

impl PartialEq for Grid {
    fn eq(&self, other: &Self) -> bool {
        let same_row = |y: u32| self.row_mark(y) == other.row_mark(y) || self.row(y) == other.row(y);
        self.width == other.width && self.height == other.height && (0..self.height).all(same_row)
    }
}

impl Eq for Grid {}

impl Grid {
    /// A chart filled with `cell`.
    ///
    /// # Errors
    /// [`GridError::Size`] unless both sides are in `1..=2000`.
    pub fn new(width: u32, height: u32, cell: Cell) -> Result<Self, GridError> {
        Self::check_size(u64::from(width), u64::from(height))?;
        Ok(Self::from_checked(width, height, vec![cell; width as usize * height as usize]))
    }

    /// A square chart filled with `cell`; the side is pulled into `1..=2000`.
    pub fn square(side: u32, cell: Cell) -> Self {
        let side = side.clamp(1, MAX_SIDE);
        Self::from_checked(side, side, vec![cell; side as usize * side as usize])
    }

    /// A chart from its cells, bottom row first, each row left to right.
    ///
    /// # Errors
    /// [`GridError`] when the size is out of range or the cells do not fill it.
    pub fn from_cells(width: u32, height: u32, cells: Vec<Cell>) -> Result<Self, GridError> {
        Self::check_size(u64::from(width), u64::from(height))?;
        let expected = width as usize * height as usize;
        if cells.len() != expected {
            return Err(GridError::Count { width, height, expected, found: cells.len() });
        }
        Ok(Self::from_checked(width, height, cells))
    }

    /// A chart whose sides and cells are known to fit, e.g. the cells of another one reordered.
    pub(super) fn from_checked(width: u32, height: u32, cells: Vec<Cell>) -> Self {
        debug_assert_eq!(cells.len(), width as usize * height as usize);
        let rows = RowState::of_rows(&cells, width as usize);
        Self { width, height, cells, rows }
    }

    /// Checks a size before anything is allocated for it.
    ///
    /// # Errors
    /// [`GridError::Size`] unless both sides are in `1..=2000`.
    pub fn check_size(width: u64, height: u64) -> Result<(), GridError> {
        let fits = |side: u64| (1..=u64::from(MAX_SIDE)).contains(&side);
        if fits(width) && fits(height) { Ok(()) } else { Err(GridError::Size { width, height }) }
    }

    /// Stitches in a row.
    pub const fn width(&self) -> u32 {
        self.width
    }

    /// Rows.
    pub const fn height(&self) -> u32 {
        self.height
    }

    /// The whole chart as a rectangle.
    pub const fn bounds(&self) -> Rect {
        Rect::new(0, 0, self.width, self.height)
    }

    /// All cells, bottom row first, each row left to right.
    pub fn cells(&self) -> &[Cell] {
        &self.cells
    }

    /// One row, left to right; empty when `y` is outside.
    #[inline]
    pub fn row(&self, y: u32) -> &[Cell] {
        if y >= self.height {
            return &[];
        }
        let start = y as usize * self.width as usize;
        &self.cells[start..start + self.width as usize]
    }

    /// The mark of a row, which holds for as long as its stitches do; `None` when `y` is outside.
    #[inline]
    pub fn row_mark(&self, y: u32) -> Option<RowMark> {
        self.rows.get(y as usize).map(|state| state.mark)
    }

    /// Whether all cells of a row in `columns` are stitches; `true` when there are none.
    #[inline]
    pub fn is_whole(&self, y: u32, columns: std::ops::Range<usize>) -> bool {
        self.rows.get(y as usize).is_none_or(|state| state.gaps == 0)
            || self.row(y).get(columns).is_none_or(|row| row.iter().all(|cell| cell.index().is_some()))
    }

    /// The marks of these rows when all their cells are stitches; `None` when one is not or a row lies outside.
    pub fn marks_of_whole(&self, rows: std::ops::Range<u32>) -> Option<Vec<RowMark>> {
        let rows = self.rows.get(rows.start as usize..rows.end as usize)?;
        rows.iter().all(|row| row.gaps == 0).then(|| rows.iter().map(|row| row.mark).collect())
    }

    /// Changes one row in place; outside the chart nothing happens.
    pub(super) fn change_row(&mut self, y: u32, change: impl FnOnce(&mut [Cell])) {
        let start = y as usize * self.width as usize;
        let Some(state) = self.rows.get_mut(y as usize) else { return };
        let row = &mut self.cells[start..start + self.width as usize];
        change(row);
        state.changed(row);
    }

    /// The cell at `p`, or `None` outside the chart.
    pub fn get(&self, p: Point) -> Option<Cell> {
        self.bounds().contains(p).then(|| self.cells[self.offset(p)])
    }

    /// Sets the cell at `p`; outside the chart nothing happens.
    pub fn set(&mut self, p: Point, cell: Cell) {
        if self.bounds().contains(p) {
            let offset = self.offset(p);
            let old = std::mem::replace(&mut self.cells[offset], cell);
            self.rows[p.y as usize].replaced(old, cell);
        }
    }

    /// The part of the chart under `rect`, or `None` when they do not meet.
    pub fn copy(&self, rect: Rect) -> Option<Self> {
        let rect = rect.intersect(self.bounds());
        if rect.is_empty() {
            return None;
        }
        let mut cells = Vec::with_capacity(rect.area());
        for y in rect.y..rect.y + rect.height {
            cells.extend_from_slice(&self.row(y)[rect.x as usize..(rect.x + rect.width) as usize]);
        }
        Some(Self::from_checked(rect.width, rect.height, cells))
    }

    /// Puts `patch` with its bottom-left corner at `at` (which may lie outside); what falls
    /// outside the chart is left off. Returns what was touched.
    pub fn paste(&mut self, patch: &Self, at: (i64, i64)) -> Rect {
        let mut touched = Rect::default();
        for (patch_y, row) in patch.cells.chunks_exact(patch.width as usize).enumerate() {
            let y = at.1.saturating_add(patch_y as i64);
            let first = at.0.max(0);
            let last = at.0.saturating_add(i64::from(patch.width)).min(i64::from(self.width));
            if !(0..i64::from(self.height)).contains(&y) || first >= last {
                continue;
            }
            let source = &row[(first - at.0) as usize..(last - at.0) as usize];
            self.change_row(y as u32, |row| row[first as usize..last as usize].copy_from_slice(source));
            touched = touched.union(Rect::new(first as u32, y as u32, (last - first) as u32, 1));
        }
        touched
    }

    /// How many cells each slot has; index = slot. The rest are "no stitch".
    pub fn counts(&self) -> [u32; Cell::MAX_SLOTS] {
        let mut counts = [0; Cell::MAX_SLOTS];
        for slot in self.cells.iter().filter_map(|cell| cell.index()) {
            counts[slot] += 1;
        }
        counts
    }

    const fn offset(&self, p: Point) -> usize {
        p.y as usize * self.width as usize + p.x as usize
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_chart_of_a_billion_stitches_is_refused_before_it_is_allocated() {
        let error = Grid::new(1_000_000_000, 1, Cell::slot(0)).unwrap_err();
        assert!(error.to_string().contains("1 to 2000"));
        assert!(Grid::new(0, 5, Cell::slot(0)).is_err());
    }

    #[test]
    fn copy_and_paste_are_inverse() {
        let mut grid = Grid::new(5, 4, Cell::slot(0)).unwrap();
        grid.set(Point::new(3, 2), Cell::slot(2));
        let patch = grid.copy(Rect::new(2, 1, 3, 3)).unwrap();
        let mut other = Grid::new(5, 4, Cell::slot(0)).unwrap();
        assert_eq!(other.paste(&patch, (2, 1)), Rect::new(2, 1, 3, 3));
        assert_eq!(grid, other);
    }

    #[test]
    fn a_row_keeps_its_mark_until_it_changes() {
        let mut grid = Grid::new(3, 3, Cell::slot(0)).unwrap();
        let before = grid.clone();
        let kept = |grid: &Grid| (0..3).map(|y| grid.row_mark(y) == before.row_mark(y)).collect::<Vec<_>>();
        assert_eq!(kept(&grid), [true; 3]);
        grid.set(Point::new(2, 1), Cell::NO_STITCH);
        grid.set(Point::new(0, 9), Cell::slot(1));
        assert_eq!(kept(&grid), [true, false, true]);
        assert!(grid.is_whole(0, 0..3) && grid.is_whole(1, 0..2) && !grid.is_whole(1, 0..3));
        assert_ne!(grid, before);
        // Back to the same stitches: equal, but no mark comes again.
        grid.set(Point::new(2, 1), Cell::slot(0));
        assert_eq!((kept(&grid)[1], grid == before, grid.is_whole(1, 0..3)), (false, true, true));
    }

    #[test]
    fn a_paste_over_the_edge_is_cut_off() {
        let mut grid = Grid::new(4, 4, Cell::slot(0)).unwrap();
        let patch = Grid::new(3, 3, Cell::slot(1)).unwrap();
        assert_eq!(grid.paste(&patch, (-2, 3)), Rect::new(0, 3, 1, 1));
        assert_eq!(grid.counts()[1], 1);
        assert_eq!(grid.paste(&patch, (90, 90)), Rect::default());
        assert_eq!(grid.paste(&patch, (i64::MIN, i64::MAX)), Rect::default());
    }
}
