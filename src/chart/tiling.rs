//! The repeat box continued in all directions.

use super::grid::{Cell, Grid, Rect};

/// What the fabric shows when the repeat box is worked over and over.
#[derive(Clone, Copy, Debug)]
pub struct Tiling<'a> {
    grid: &'a Grid,
    repeat: Rect,
}

impl<'a> Tiling<'a> {
    /// The fabric of `repeat`; `None` when the box is empty or leaves the grid.
    pub fn new(grid: &'a Grid, repeat: Rect) -> Option<Self> {
        let inside = !repeat.is_empty() && repeat.intersect(grid.bounds()) == repeat;
        inside.then_some(Self { grid, repeat })
    }

    /// The stitch at a place of the endless fabric, in the columns and rows of the chart: inside
    /// the repeat box it is the chart's own.
    pub fn get(&self, x: i64, y: i64) -> Cell {
        let place = |at: i64, start: u32, length: u32| {
            let offset = (i128::from(at) - i128::from(start)).rem_euclid(i128::from(length));
            start as usize + offset as usize
        };
        let x = place(x, self.repeat.x, self.repeat.width);
        let y = place(y, self.repeat.y, self.repeat.height);
        self.grid.cells()[y * self.grid.width() as usize + x]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_box_goes_on_in_all_directions() {
        let grid = Grid::from_cells(4, 2, (0..8).map(Cell::slot).collect()).unwrap();
        let tiling = Tiling::new(&grid, Rect::new(1, 0, 2, 2)).unwrap();
        let row: Vec<_> = (-1..6).filter_map(|x| tiling.get(x, 0).index()).collect();
        assert_eq!(row, [1, 2, 1, 2, 1, 2, 1]);
        assert_eq!(tiling.get(1, -1), Cell::slot(5));
        assert_eq!(tiling.get(i64::MIN, i64::MAX), tiling.get(2, 1));
        assert!(Tiling::new(&grid, Rect::new(3, 0, 2, 2)).is_none());
        assert!(Tiling::new(&grid, Rect::default()).is_none());
    }
}
