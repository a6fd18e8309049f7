//! A figure in whole stitches: which cells of a box belong to it.

use super::grid::{Cell, Grid, GridError, Point, Rect};

/// Cells of a box, `true` where the figure is; the bottom row first, each row left to right.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Raster {
    width: u32,
    height: u32,
    filled: Vec<bool>,
}

/// Coverage from which on a cell belongs to the figure. Exactly half counts as filled; the hair
/// below it absorbs rounding, so that a tie is a tie on both sides of a mirror.
pub(super) const HALF: f64 = 0.5 - 1e-9;

/// The fewest stitches and rows side by side in a figure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Thinnest {
    /// The shortest unbroken run within a row, in stitches.
    pub stitches: u32,
    /// The shortest unbroken run within a column, in rows.
    pub rows: u32,
}

/// A part of a figure whose stitches hang together, at least by their corners.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Piece {
    /// The box around it.
    pub bounds: Rect,
    /// Its stitches.
    pub stitches: u32,
}

impl Raster {
    /// The figure of all cells of a `width x height` box for which `inside` holds.
    pub fn from_fn(width: u32, height: u32, inside: impl FnMut(Point) -> bool) -> Self {
        Self { width, height, filled: Rect::new(0, 0, width, height).points().map(inside).collect() }
    }

    /// Stitches of the box.
    pub const fn width(&self) -> u32 {
        self.width
    }

    /// Rows of the box.
    pub const fn height(&self) -> u32 {
        self.height
    }

    /// Whether the cell belongs to the figure; no cell outside the box does.
    pub fn contains(&self, x: i64, y: i64) -> bool {
        let inside = (0..i64::from(self.width)).contains(&x) && (0..i64::from(self.height)).contains(&y);
        inside && self.filled[y as usize * self.width as usize + x as usize]
    }

    /// One row of the box, left to right.
    fn row(&self, y: u32) -> &[bool] {
        let start = y as usize * self.width as usize;
        &self.filled[start..start + self.width as usize]
    }

    /// The cells of the figure.
    pub fn points(&self) -> impl Iterator<Item = Point> {
        Rect::new(0, 0, self.width, self.height)
            .points()
            .zip(&self.filled)
            .filter_map(|(point, filled)| filled.then_some(point))
    }

    /// Stitches of the figure.
    pub fn count(&self) -> u32 {
        self.filled.iter().map(|filled| u32::from(*filled)).sum()
    }

    /// The smallest box around the figure; empty when there is none.
    pub fn bounds(&self) -> Rect {
        let part = |y: u32| {
            let row = self.row(y);
            let first = row.iter().position(|filled| *filled)? as u32;
            let last = row.iter().rposition(|filled| *filled)? as u32;
            Some(Rect::new(first, y, last - first + 1, 1))
        };
        (0..self.height).filter_map(part).fold(Rect::default(), Rect::union)
    }

    /// The figure in the smallest box around it.
    pub fn trimmed(&self) -> Self {
        let bounds = self.bounds();
        let columns = bounds.x as usize..(bounds.x + bounds.width) as usize;
        let rows = bounds.y..bounds.y + bounds.height;
        let filled = rows.flat_map(|y| &self.row(y)[columns.clone()]).copied().collect();
        Self { width: bounds.width, height: bounds.height, filled }
    }

    /// Whether left and right are mirror images.
    pub fn is_mirrored_left_right(&self) -> bool {
        self.broken_left_right() == 0
    }

    /// Whether top and bottom are mirror images.
    pub fn is_mirrored_up_down(&self) -> bool {
        self.broken_up_down() == 0
    }

    /// Stitches that would have to change to make left and right mirror images.
    pub fn broken_left_right(&self) -> u32 {
        let broken = |y| {
            let row = self.row(y);
            row.iter().zip(row.iter().rev()).map(|(a, b)| u32::from(a != b)).sum::<u32>()
        };
        (0..self.height).map(broken).sum::<u32>() / 2
    }

    /// Stitches that would have to change to make top and bottom mirror images.
    pub fn broken_up_down(&self) -> u32 {
        let broken = |y| {
            let pairs = self.row(y).iter().zip(self.row(self.height - 1 - y));
            pairs.map(|(a, b)| u32::from(a != b)).sum::<u32>()
        };
        (0..self.height).map(broken).sum::<u32>() / 2
    }

    /// The most separate runs the figure has in any one row.
    pub fn runs_in_a_row(&self) -> u32 {
        let runs = |y| {
            let row = self.row(y);
            let starts = row.windows(2).filter(|pair| !pair[0] && pair[1]).count();
            starts as u32 + row.first().map_or(0, |first| u32::from(*first))
        };
        (0..self.height).map(runs).max().unwrap_or(0)
    }

    /// The thinnest part of the figure, across and up; `None` when there is no figure.
    pub fn thinnest(&self) -> Option<Thinnest> {
        let column = |x: u32| (0..self.height).map(move |y| self.row(y)[x as usize]);
        let stitches = (0..self.height).filter_map(|y| shortest_run(self.row(y).iter().copied())).min()?;
        let rows = (0..self.width).filter_map(|x| shortest_run(column(x))).min()?;
        Some(Thinnest { stitches, rows })
    }

    /// The parts of the figure, in the order they are met from the bottom row up.
    pub fn pieces(&self) -> Vec<Piece> {
        let neighbours = [(-1, -1), (0, -1), (1, -1), (-1, 0), (1, 0), (-1, 1), (0, 1), (1, 1)];
        self.connected(true, &neighbours)
    }

    /// How many areas of background the figure encloses.
    pub fn holes(&self) -> usize {
        // With a margin all around, the outside is exactly one area.
        let wide = Self::from_fn(self.width + 2, self.height + 2, |p| {
            self.contains(i64::from(p.x) - 1, i64::from(p.y) - 1)
        });
        wide.connected(false, &[(0, -1), (-1, 0), (1, 0), (0, 1)]).len() - 1
    }

    fn connected(&self, value: bool, neighbours: &[(i64, i64)]) -> Vec<Piece> {
        let mut seen: Vec<bool> = self.filled.iter().map(|filled| *filled != value).collect();
        let offset = |p: Point| p.y as usize * self.width as usize + p.x as usize;
        let bounds = Rect::new(0, 0, self.width, self.height);
        let mut pieces = Vec::new();
        let mut stack = Vec::new();
        for start in bounds.points() {
            if seen[offset(start)] {
                continue;
            }
            let mut piece = Piece { bounds: Rect::default(), stitches: 0 };
            seen[offset(start)] = true;
            stack.push(start);
            while let Some(p) = stack.pop() {
                piece.bounds = piece.bounds.union(Rect::new(p.x, p.y, 1, 1));
                piece.stitches += 1;
                for (dx, dy) in neighbours {
                    let next = (i64::from(p.x) + dx, i64::from(p.y) + dy);
                    let (Ok(x), Ok(y)) = (u32::try_from(next.0), u32::try_from(next.1)) else { continue };
                    let next = Point::new(x, y);
                    if bounds.contains(next) && !seen[offset(next)] {
                        seen[offset(next)] = true;
                        stack.push(next);
                    }
                }
            }
            pieces.push(piece);
        }
        pieces
    }

    /// The same figure in a box of `width` stitches and `height` rows: a new cell is filled when the
    /// figure covers half of it or more.
    pub fn resampled(&self, width: u32, height: u32) -> Self {
        let columns = shares(self.width, width);
        let rows = shares(self.height, height);
        // First across, row by row, then up.
        let across: Vec<Vec<f64>> = (0..self.height)
            .map(|y| {
                let row = self.row(y);
                let part = |(x, share): &(u32, f64)| if row[*x as usize] { *share } else { 0.0 };
                columns.iter().map(|shares| shares.iter().map(part).sum()).collect()
            })
            .collect();
        Self::from_fn(width, height, |p| {
            let shares = &rows[p.y as usize];
            let covered: f64 =
                shares.iter().map(|(y, share)| share * across[*y as usize][p.x as usize]).sum();
            covered >= HALF
        })
    }

    /// Cells of both figures over cells of either, `0..=1`; the boxes share their corner.
    pub fn overlap(&self, other: &Self) -> f64 {
        let pairs = |y: u32| self.row(y).iter().zip(other.row(y)).filter(|(a, b)| **a && **b).count();
        let both = (0..self.height.min(other.height)).map(pairs).sum::<usize>() as f64;
        let either = f64::from(self.count()) + f64::from(other.count()) - both;
        if either > 0.0 { both / either } else { 1.0 }
    }

    /// The figure as a piece of chart.
    ///
    /// # Errors
    /// [`GridError::Size`] unless both sides are in `1..=2000`.
    pub fn to_grid(&self, figure: Cell, background: Cell) -> Result<Grid, GridError> {
        let cells = self.filled.iter().map(|filled| if *filled { figure } else { background }).collect();
        Grid::from_cells(self.width, self.height, cells)
    }
}

/// For each of `new` equal parts of a length of `old` cells: the cells it meets, each with its
/// share of the part.
fn shares(old: u32, new: u32) -> Vec<Vec<(u32, f64)>> {
    let scale = f64::from(old) / f64::from(new.max(1));
    (0..new)
        .map(|i| {
            let (start, end) = (f64::from(i) * scale, f64::from(i + 1) * scale);
            let cells = start.floor() as u32..(end.ceil() as u32).min(old);
            let share = |x: u32| (end.min(f64::from(x) + 1.0) - start.max(f64::from(x))) / scale;
            cells.map(|x| (x, share(x))).filter(|(_, share)| *share > 0.0).collect()
        })
        .collect()
}

fn shortest_run(cells: impl Iterator<Item = bool>) -> Option<u32> {
    let mut shortest = None;
    let mut run = 0;
    for filled in cells.chain([false]) {
        if filled {
            run += 1;
        } else if run > 0 {
            shortest = Some(shortest.map_or(run, |s: u32| s.min(run)));
            run = 0;
        }
    }
    shortest
}

#[cfg(test)]
pub(super) mod tests {
    use super::*;

    /// A raster from its rows, the top one first, `#` for the figure.
    pub(in crate::chart) fn drawn(rows: &[&str]) -> Raster {
        let height = rows.len() as u32;
        let width = rows.first().map_or(0, |row| row.len()) as u32;
        Raster::from_fn(width, height, |p| rows[(height - 1 - p.y) as usize].as_bytes()[p.x as usize] == b'#')
    }

    #[test]
    fn a_ring_has_one_piece_and_one_hole() {
        let ring = drawn(&[".....", ".###.", ".#.#.", ".###.", "....."]);
        assert_eq!(ring.pieces(), [Piece { bounds: Rect::new(1, 1, 3, 3), stitches: 8 }]);
        assert_eq!(ring.holes(), 1);
        assert_eq!(ring.bounds(), Rect::new(1, 1, 3, 3));
        assert_eq!(ring.trimmed(), drawn(&["###", "#.#", "###"]));
        assert_eq!(ring.runs_in_a_row(), 2);
    }

    #[test]
    fn corners_hold_a_figure_together_but_open_its_background() {
        let diagonal = drawn(&["#..", ".#.", "..#"]);
        assert_eq!(diagonal.pieces().len(), 1);
        assert_eq!(diagonal.holes(), 0);
        assert_eq!(drawn(&["#.#", "...", "#.#"]).pieces().len(), 4);
    }

    #[test]
    fn the_thinnest_part_is_the_shortest_run() {
        let shape = drawn(&["..#..", ".###.", "#####", "#####"]);
        assert_eq!(shape.thinnest(), Some(Thinnest { stitches: 1, rows: 2 }));
        assert_eq!(drawn(&["..."]).thinnest(), None);
    }

    #[test]
    fn broken_mirrors_are_counted_in_stitches() {
        let shape = drawn(&["##.", "###", ".##"]);
        assert_eq!((shape.broken_left_right(), shape.broken_up_down()), (2, 2));
        let shape = drawn(&[".#.", "###", "##."]);
        assert_eq!(shape.broken_left_right(), 1);
        assert!(drawn(&["#.#", "###"]).is_mirrored_left_right());
        assert!(!drawn(&["#.#", "###"]).is_mirrored_up_down());
    }

    #[test]
    fn a_figure_of_double_stitches_survives_at_half_the_gauge() {
        let small = drawn(&[".#.", "###", "#.#"]);
        let large = drawn(&["..##..", "..##..", "######", "######", "##..##", "##..##"]);
        assert_eq!(large.resampled(3, 3), small);
        assert_eq!(small.resampled(6, 6), large);
        assert_eq!(small.resampled(3, 3), small);
        // Five stitches of six and four of the same.
        assert!((small.overlap(&drawn(&["...", "###", "#.."])) - 4.0 / 6.0).abs() < 1e-12);
    }

    #[test]
    fn resampling_keeps_the_mirrors() {
        let figure = drawn(&["#.#.#", ".###.", "##.##", ".###.", "#.#.#"]);
        for (width, height) in (1..12).flat_map(|w| (1..12).map(move |h| (w, h))) {
            let other = figure.resampled(width, height);
            assert!(other.is_mirrored_left_right() && other.is_mirrored_up_down(), "{width} x {height}");
        }
    }

    #[test]
    fn nothing_has_no_bounds_and_does_not_panic() {
        let nothing = drawn(&["...", "..."]);
        assert!(nothing.bounds().is_empty());
        assert_eq!(nothing.trimmed().count(), 0);
        assert_eq!(nothing.trimmed().holes(), 0);
        assert!(nothing.to_grid(Cell::slot(1), Cell::slot(0)).is_ok());
        assert!(nothing.trimmed().to_grid(Cell::slot(1), Cell::slot(0)).is_err());
    }
}
