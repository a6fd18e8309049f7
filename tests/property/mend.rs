//! Mended floats against trying every row there is.

use huegauge::chart::{Cell, Grid, colours_in_row, long_floats_in_row, mend_floats};
use proptest::prelude::*;

/// How a brute-force row must look besides its floats.
#[derive(Clone, Copy, PartialEq)]
enum Kept {
    Nothing,
    /// Mirrored about `axis - x`, counted round the row.
    Axis(usize),
    /// Repeats after so many.
    Period(usize),
}

fn keeps(row: &[Cell], kept: Kept) -> bool {
    let n = row.len();
    match kept {
        Kept::Nothing => true,
        Kept::Axis(axis) => (0..n).all(|x| row[x].same_colour(&row[(axis + n - x) % n])),
        Kept::Period(period) => (0..n).all(|x| row[x].same_colour(&row[(x + period) % n])),
    }
}

/// The fewest changes by trying every row of the colours the row has.
fn fewest(row: &[Cell], wraps: bool, limit: u32, kept: Kept) -> Option<u32> {
    let colours = colours_in_row(row);
    let places: Vec<usize> = (0..row.len()).filter(|x| row[*x].index().is_some()).collect();
    let mut least = None;
    let mut tried = row.to_vec();
    for mut number in 0..colours.len().pow(places.len() as u32) {
        for place in &places {
            tried[*place] = Cell::slot(colours[number % colours.len()] as u8);
            number /= colours.len();
        }
        let changes = row.iter().zip(&tried).filter(|(a, b)| !a.same_colour(b)).count() as u32;
        if least.is_none_or(|least| changes < least)
            && keeps(&tried, kept)
            && long_floats_in_row(&tried, wraps, limit).is_empty()
        {
            least = Some(changes);
        }
    }
    least
}

/// What the mended row may and may not be.
fn is_best(row: &[Cell], wraps: bool, limit: u32, kept: Kept) {
    let grid = Grid::from_cells(row.len() as u32, 1, row.to_vec()).unwrap();
    let mended = mend_floats(&grid, wraps, limit);
    let new = mended.grid.row(0);
    let said = format!("{row:?} -> {new:?}, limit {limit}, wraps {wraps}");
    assert!(mended.left.is_empty(), "{said}");
    assert!(long_floats_in_row(new, wraps, limit).is_empty(), "{said}");
    assert!(keeps(new, kept), "{said}");
    let changed = row.iter().zip(new).filter(|(a, b)| !a.same_colour(b)).count() as u32;
    assert_eq!(mended.changed, changed, "{said}");
    assert_eq!(Some(changed), fewest(row, wraps, limit, kept), "{said}");
    let had = colours_in_row(row);
    assert!(colours_in_row(new).iter().all(|slot| had.contains(slot)), "{said}");
    let empty = |row: &[Cell]| row.iter().map(|cell| cell.index().is_none()).collect::<Vec<_>>();
    assert_eq!(empty(row), empty(new), "{said}");
}

/// What the row, a chart by itself, keeps when it is mended.
fn kept_by(row: &[Cell], wraps: bool) -> Vec<Kept> {
    let n = row.len();
    let axes = if wraps { 0..n } else { n - 1..n };
    let axes = axes.map(Kept::Axis).filter(|kept| keeps(row, *kept));
    let periods = (1..n).filter(|p| wraps && n.is_multiple_of(*p)).map(Kept::Period);
    axes.chain(periods.filter(|kept| keeps(row, *kept))).collect()
}

/// A stitch, mostly of the ground, so that floats get long.
fn stitch(colours: u8) -> impl Strategy<Value = Cell> {
    prop_oneof![
        4 => Just(Cell::slot(0)),
        5 => (0..colours).prop_map(Cell::slot),
        1 => Just(Cell::NO_STITCH)
    ]
}

fn row(colours: u8, longest: usize) -> impl Strategy<Value = Vec<Cell>> {
    prop::collection::vec(stitch(colours), 1..=longest)
}

proptest! {
    #[test]
    fn no_row_of_two_colours_can_be_mended_with_fewer(row in row(2, 11), wraps: bool, limit in 1u32..5) {
        // Rows with one symmetry at most: the others are below.
        let kept = kept_by(&row, wraps);
        prop_assume!(kept.len() <= 1);
        is_best(&row, wraps, limit, kept.first().copied().unwrap_or(Kept::Nothing));
    }

    #[test]
    fn nor_one_of_several(row in row(4, 7), wraps: bool, limit in 1u32..4) {
        let kept = kept_by(&row, wraps);
        prop_assume!(kept.len() <= 1);
        is_best(&row, wraps, limit, kept.first().copied().unwrap_or(Kept::Nothing));
    }

    #[test]
    fn nor_a_symmetric_one(half in row(3, 5), middle: bool, turn in 0usize..10, wraps: bool, limit in 1u32..5) {
        let mut row = half.clone();
        row.extend(half.iter().rev().skip(usize::from(middle)));
        if wraps {
            let n = row.len();
            row.rotate_left(turn % n);
        }
        let kept = kept_by(&row, wraps);
        prop_assume!(kept.len() == 1);
        is_best(&row, wraps, limit, kept[0]);
    }

    #[test]
    fn a_chart_keeps_every_symmetry_and_its_other_rows(
        rows in prop::collection::vec(prop::collection::vec(stitch(3), 9), 1..5),
        fold in 0u8..4, wraps: bool, limit in 2u32..5,
    ) {
        let mut rows = rows;
        let mirrored = |row: &Vec<Cell>| row.iter().rev().copied().collect::<Vec<_>>();
        match fold {
            0 => rows = rows.iter().map(|row| [row.clone(), mirrored(row)].concat()).collect(),
            1 => rows.extend(rows.clone().iter().rev().map(mirrored)),
            2 => rows.extend(rows.clone().into_iter().rev()),
            _ => rows = rows.iter().map(|row| [row.clone(), row.clone()].concat()).collect(),
        }
        let grid = Grid::from_cells(rows[0].len() as u32, rows.len() as u32, rows.concat()).unwrap();
        let mended = mend_floats(&grid, wraps, limit);
        let (new, top) = (&mended.grid, grid.height() - 1);
        for y in 0..=top {
            let row = new.row(y);
            if mended.left.is_empty() {
                prop_assert!(long_floats_in_row(row, wraps, limit).is_empty());
            }
            if long_floats_in_row(grid.row(y), wraps, limit).is_empty() && fold != 1 {
                prop_assert_eq!(row, grid.row(y));
            }
            let turned: Vec<Cell> = row.iter().rev().copied().collect();
            match fold {
                0 => prop_assert_eq!(row, &turned[..]),
                1 => prop_assert_eq!(&turned[..], new.row(top - y)),
                2 => prop_assert_eq!(row, new.row(top - y)),
                _ if wraps => prop_assert_eq!(&row[..9], &row[9..]),
                _ => {}
            }
        }
        // What is mended needs no mending.
        let again = mend_floats(new, wraps, limit);
        prop_assert_eq!(again.changed, 0);
    }
}
