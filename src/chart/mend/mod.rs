//! Floats mended with the fewest stitches: which stitches take another colour of their row so that no
//! strand travels further than the limit.
//!
//! Each row is a problem of its own and is solved exactly (see [`row`]). What the rows have in common is
//! the chart's symmetry, which is kept: a repeat within the repeat, a mirror axis, a half turn. Among all
//! answers that keep it, the one with the fewest changed stitches is found.

mod row;
mod symmetry;

use rayon::prelude::*;

use self::row::{Ends, Walk, solve};
use self::symmetry::Symmetry;
use super::grid::{Cell, Grid};
use super::runs::long_floats_in_row;

/// A chart whose floats were mended.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct MendedFloats {
    /// The chart with its changed stitches.
    pub grid: Grid,
    /// Stitches that took another colour.
    pub changed: u32,
    /// Rows (from 0 at the bottom) with too many colours for an exact answer, which stay as they were.
    pub left: Vec<u32>,
}

/// Changes the fewest stitches of `grid` so that no float passes behind more than `limit` stitches (1 or
/// more). With `wraps` the rows are rounds, or repeats that meet themselves.
///
/// A stitch takes another colour of its own row only, so that no row gets more colours; how it is worked
/// and where there is no stitch stays. Charts that repeat or mirror within themselves left to right,
/// bottom to top or by a half turn still do. Among equally few changes, those that paint over the rarer
/// colour of a row (the motif, as a rule) come last, then those that leave longer floats.
pub fn mend_floats(grid: &Grid, wraps: bool, limit: u32) -> MendedFloats {
    let limit = limit.max(1);
    let symmetry = Symmetry::of(grid, wraps);
    let height = grid.height();
    let solved: Vec<Option<Vec<Cell>>> = (0..height)
        .into_par_iter()
        .map(|y| {
            // The upper half follows from the lower one by the half turn.
            let partner = symmetry.half_turn.map(|_| height - 1 - y).filter(|partner| *partner < y);
            if partner.is_some() { None } else { mended_row(grid.row(y), wraps, limit, &symmetry, y, height) }
        })
        .collect();
    let mut mended = MendedFloats { grid: grid.clone(), changed: 0, left: Vec::new() };
    for y in 0..height {
        let partner = symmetry.half_turn.map(|axis| (axis, height - 1 - y)).filter(|(_, p)| *p < y);
        let new = match partner {
            Some((axis, partner)) => {
                let turned = solved[partner as usize].as_ref();
                turned.map(|row| symmetry::mirrored(row, axis, symmetry.period))
            }
            None => solved[y as usize].clone(),
        };
        match new {
            Some(colours) => {
                let changed = &mut mended.changed;
                mended.grid.change_row(y, |row| {
                    for (cell, colour) in row.iter_mut().zip(colours) {
                        *changed += u32::from(!cell.same_colour(&colour));
                        *cell = cell.painted(colour);
                    }
                });
            }
            None if !long_floats_in_row(grid.row(y), wraps, limit).is_empty() => mended.left.push(y),
            None => {}
        }
    }
    mended
}

/// The colours of a mended row; `None` when nothing is to be mended or it cannot be solved exactly.
fn mended_row(
    row: &[Cell],
    wraps: bool,
    limit: u32,
    symmetry: &Symmetry,
    y: u32,
    height: u32,
) -> Option<Vec<Cell>> {
    if long_floats_in_row(row, wraps, limit).is_empty() {
        return None;
    }
    let middle = symmetry.half_turn.filter(|_| 2 * y + 1 == height);
    let axis = symmetry.axis.or(middle);
    let unit = &row[..symmetry.period as usize];
    let columns: Vec<usize> = (0..unit.len()).filter(|x| unit[*x].index().is_some()).collect();
    let colours = super::runs::colours_in_row(unit);
    let stitches: Vec<u8> = columns
        .iter()
        .map(|x| colours.iter().position(|slot| unit[*x].index() == Some(*slot)).map_or(0, |c| c as u8))
        .collect();
    let (order, ends) = match axis {
        // A mirror image of the columns is one of the stitches, since what is no stitch mirrors too.
        Some(axis) => {
            let image = (i64::from(axis) - columns[0] as i64).rem_euclid(unit.len() as i64) as usize;
            let image = columns.iter().position(|x| *x == image)?;
            symmetry::folded(columns.len(), image, wraps)
        }
        None => ((0..columns.len()).collect(), if wraps { Ends::Round } else { Ends::Flat }),
    };
    let walk = Walk::new(&stitches, &order, ends, colours.len(), limit);
    let answer = solve(&walk)?;
    let mut new = unit.to_vec();
    for (at, colour) in order.iter().zip(answer) {
        let cell = Cell::slot(colours[usize::from(colour)] as u8);
        let x = columns[*at];
        new[x] = cell;
        if let Some(axis) = axis {
            new[(i64::from(axis) - x as i64).rem_euclid(unit.len() as i64) as usize] = cell;
        }
    }
    Some(new.into_iter().cycle().take(row.len()).collect())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grid(rows: &[&str]) -> Grid {
        let cell = |b: u8| if b == b'.' { Cell::NO_STITCH } else { Cell::slot(b - b'0') };
        let cells = rows.iter().rev().flat_map(|row| row.bytes().map(cell)).collect();
        Grid::from_cells(rows[0].len() as u32, rows.len() as u32, cells).unwrap()
    }

    fn text(grid: &Grid) -> Vec<String> {
        let letter = |cell: &Cell| cell.index().map_or('.', |slot| char::from(b'0' + slot as u8));
        (0..grid.height()).rev().map(|y| grid.row(y).iter().map(letter).collect()).collect()
    }

    fn mended(rows: &[&str], wraps: bool, limit: u32) -> (Vec<String>, u32) {
        let mended = mend_floats(&grid(rows), wraps, limit);
        assert!(mended.left.is_empty());
        for y in 0..mended.grid.height() {
            assert!(long_floats_in_row(mended.grid.row(y), wraps, limit).is_empty());
        }
        (text(&mended.grid), mended.changed)
    }

    #[test]
    fn one_stitch_in_the_middle_breaks_a_long_run() {
        assert_eq!(mended(&["01111111110"], false, 5), (vec!["01111011110".to_owned()], 1));
        assert_eq!(mended(&["0111110"], false, 5), (vec!["0111110".to_owned()], 0));
    }

    #[test]
    fn a_lopsided_answer_is_not_taken_where_the_chart_is_symmetric() {
        // Six stitches: one change would do, but it would lie off the axis.
        let (rows, changed) = mended(&["01111110"], false, 5);
        assert_eq!(changed, 2);
        assert!(rows[0] == rows[0].chars().rev().collect::<String>(), "{rows:?}");
        // A chart that is not symmetric anyway is mended with one.
        assert_eq!(mended(&["01111110", "01010100"], false, 5).1, 1);
    }

    #[test]
    fn the_round_repeats_and_mirrors_as_before() {
        // Two motifs of eight in a round of sixteen.
        let (rows, changed) = mended(&["0001000000010000"], true, 4);
        assert_eq!(rows[0][..8], rows[0][8..]);
        assert_eq!(changed, 2);
        // A half turn: what happens to the upper row happens turned to the lower.
        let (rows, changed) = mended(&["0111111100100", "0010011111110"], false, 5);
        assert_eq!(rows[0], rows[1].chars().rev().collect::<String>());
        assert_eq!(changed, 2);
    }

    #[test]
    fn where_there_is_no_stitch_there_is_still_none_and_shaping_stays() {
        let mut chart = grid(&["01111..11110"]);
        let cell = Cell::slot(1).worked(crate::chart::Work::K2tog);
        chart.set(crate::chart::Point::new(4, 0), cell);
        let mended = mend_floats(&chart, false, 5);
        assert_eq!(mended.changed, 2, "{:?}", text(&mended.grid));
        assert_eq!(mended.grid.row(0)[4].work(), crate::chart::Work::K2tog);
        assert!(mended.grid.row(0)[5..7].iter().all(|cell| *cell == Cell::NO_STITCH));
    }

    #[test]
    fn a_row_that_is_too_hard_is_left_and_told() {
        let row: String = (0..400).map(|x| char::from(b'0' + (x * x % 37 % 30) as u8)).collect();
        let chart = grid(&[&row]);
        let mended = mend_floats(&chart, true, 12);
        assert_eq!((mended.left, mended.grid), (vec![0], chart));
    }
}
