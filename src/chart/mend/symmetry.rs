//! What a chart's rows have in common from left to right.

use super::row::{Edge, Ends};
use crate::chart::grid::{Cell, Grid};

/// The symmetry of a chart that its mended rows must keep. Up and down needs nothing: equal rows are mended
/// equally.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Symmetry {
    /// After how many stitches every row repeats itself; the width when it does not.
    pub period: u32,
    /// Column `x` mirrors to `axis - x`, counted round the period, in every row.
    pub axis: Option<u32>,
    /// Column `x` of each row mirrors so to a column of the row as far from the other end. Only without an
    /// `axis`.
    pub half_turn: Option<u32>,
}

impl Symmetry {
    /// Of a chart whose rows are rounds (`wraps`) or flat.
    pub(super) fn of(grid: &Grid, wraps: bool) -> Self {
        let (width, height) = (grid.width(), grid.height());
        let repeats = |period: &u32| (0..height).all(|y| repeats_after(grid.row(y), *period as usize));
        let period = if wraps {
            (1..=width).filter(|p| width.is_multiple_of(*p)).find(repeats).unwrap_or(width)
        } else {
            width
        };
        // Without the round only the middle is an axis.
        let axes = if wraps { 0..period } else { width - 1..width };
        let mirrors = |axis: &u32, partner: fn(u32, u32) -> u32| {
            (0..height).all(|y| {
                is_mirrored(grid.row(y), grid.row(partner(y, height)), *axis as usize, period as usize)
            })
        };
        let axis = axes.clone().find(|axis| mirrors(axis, |y, _| y));
        let half_turn = match axis {
            Some(_) => None,
            None => axes.clone().find(|axis| mirrors(axis, |y, height| height - 1 - y)),
        };
        Self { period, axis, half_turn }
    }
}

fn repeats_after(row: &[Cell], period: usize) -> bool {
    row.iter().zip(&row[period..]).all(|(a, b)| a.same_colour(b))
}

fn is_mirrored(row: &[Cell], other: &[Cell], axis: usize, period: usize) -> bool {
    (0..period).all(|x| row[x].same_colour(&other[(axis + period - x) % period]))
}

/// The row with column `x` of each period at `axis - x`.
pub(super) fn mirrored(row: &[Cell], axis: u32, period: u32) -> Vec<Cell> {
    let (axis, period) = (axis as usize, period as usize);
    (0..row.len()).map(|x| row[(axis + period - x % period) % period]).collect()
}

/// The stitches of a symmetric row from one axis (or edge) to the other, and what lies at the ends.
/// Stitch 0 mirrors to stitch `image` of `stitches`.
pub(super) fn folded(stitches: usize, image: usize, wraps: bool) -> (Vec<usize>, Ends) {
    let middle = |through: bool| if through { Edge::Through } else { Edge::Between };
    if !wraps {
        // From the edge to the middle.
        let order = (0..stitches.div_ceil(2)).collect();
        return (order, Ends::Folded(Edge::Open, middle(!stitches.is_multiple_of(2))));
    }
    let odd = !stitches.is_multiple_of(2);
    // A stitch on an axis is one that mirrors to itself: 2 x = image, counted round.
    let on =
        if image.is_multiple_of(2) { Some(image / 2) } else { odd.then(|| usize::midpoint(image, stitches)) };
    let (start, length) = match on {
        Some(on) => (on, stitches / 2 + 1),
        None => (image.div_ceil(2), stitches / 2),
    };
    let order = (0..length).map(|step| (start + step) % stitches).collect();
    let ends = match on {
        Some(_) => Ends::Folded(Edge::Through, middle(!odd)),
        None => Ends::Folded(Edge::Between, Edge::Between),
    };
    (order, ends)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(rows: &[&str], wraps: bool) -> (u32, Option<u32>, Option<u32>) {
        let cells = rows.iter().rev().flat_map(|row| row.bytes().map(|b| Cell::slot(b - b'0'))).collect();
        let grid = Grid::from_cells(rows[0].len() as u32, rows.len() as u32, cells).unwrap();
        let found = Symmetry::of(&grid, wraps);
        (found.period, found.axis, found.half_turn)
    }

    #[test]
    fn repeats_axes_and_half_turns_are_found() {
        assert_eq!(of(&["001000"], true), (6, Some(4), None));
        assert_eq!(of(&["001000"], false), (6, None, None));
        assert_eq!(of(&["010010"], true), (3, Some(2), None));
        assert_eq!(of(&["012012"], true), (3, None, None));
        assert_eq!(of(&["0112", "2110"], false), (4, None, Some(3)));
        assert_eq!(of(&["0110", "1001"], false), (4, Some(3), None));
    }

    #[test]
    fn a_fold_goes_from_axis_to_axis_over_each_stitch_once() {
        for stitches in 1..9 {
            for image in 0..stitches {
                let (order, ends) = folded(stitches, image, true);
                let mut met: Vec<usize> =
                    order.iter().flat_map(|x| [*x, (image + stitches - x) % stitches]).collect();
                met.sort_unstable();
                met.dedup();
                assert_eq!(met.len(), stitches, "{stitches} {image} {order:?}");
                let Ends::Folded(first, last) = ends else { panic!("{ends:?}") };
                let on_axis = |x: usize| (image + stitches - x) % stitches == x;
                assert_eq!(first == Edge::Through, on_axis(order[0]));
                assert_eq!(last == Edge::Through, order.len() > 1 && on_axis(order[order.len() - 1]));
            }
        }
    }
}
