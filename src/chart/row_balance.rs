//! Whether the rows of a chart follow from one another: what a row takes up is what the row below has.

use super::grid::{Cell, Grid, Point, Rect};
use super::work::Work;

/// A row whose stitches do not follow from the row below.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RowImbalance {
    /// The row, from 0 at the bottom of the chart.
    pub y: u32,
    /// Stitches the row below has.
    pub below: u32,
    /// Stitches of the row below that this row works, see [`Work::takes`].
    pub takes: u32,
    /// Stitches this row has.
    pub stitches: u32,
}

/// Stitches of a row, "no stitch" cells left out.
pub fn stitches_in_row(row: &[Cell]) -> u32 {
    row.iter().filter(|cell| cell.index().is_some()).count() as u32
}

/// Whether a row has neither decreases nor increases, so that it takes up as many stitches as it has.
pub(super) fn is_plain(row: &[Cell]) -> bool {
    row.iter().fold(true, |plain, cell| plain & (cell.work() == Work::Plain))
}

/// Stitches of the row below that a row works.
pub fn taken_by_row(row: &[Cell]) -> u32 {
    // Nearly every row is plain, which is quickly seen.
    if is_plain(row) {
        return stitches_in_row(row);
    }
    row.iter().filter(|cell| cell.index().is_some()).map(|cell| cell.work().takes()).sum()
}

/// The rows that take more or fewer stitches than the row below has, given the stitches of each row from `y` up and
/// those of the row below that it works.
///
/// Rows without a stitch are passed over. The first row follows from what is on the needle, which the
/// chart does not know, but rows that are worked several times up (`repeats_up`) meet their own last row.
pub fn row_imbalances(rows: impl Iterator<Item = (u32, u32)>, y: u32, repeats_up: bool) -> Vec<RowImbalance> {
    let worked: Vec<(u32, u32, u32)> = (y..)
        .zip(rows)
        .map(|(y, (stitches, takes))| (y, stitches, takes))
        .filter(|(_, stitches, _)| *stitches > 0)
        .collect();
    let pair = |(_, below, _): (u32, u32, u32), (y, stitches, takes): (u32, u32, u32)| {
        (takes != below).then_some(RowImbalance { y, below, takes, stitches })
    };
    let around = match (worked.last(), worked.first()) {
        (Some(last), Some(first)) if repeats_up => pair(*last, *first),
        _ => None,
    };
    around.into_iter().chain(worked.windows(2).filter_map(|rows| pair(rows[0], rows[1]))).collect()
}

/// The decreases and increases that make the rows of `region` follow from one another, where its "no
/// stitch" cells narrow or widen it: plain stitches only are changed, and those that are worked so already
/// stay. Rows that cannot be mended (more stitches lost than a centred double decrease beside each gap can
/// take) are left as they are.
///
/// A decrease leans with the edge that it makes: `ssk` at the right edge of a wedge, with which a right-side
/// row begins it, `k2tog` at its left edge; one stitch left between two edges is a centred double decrease
/// (common practice, no published source).
pub fn balance_rows(grid: &Grid, region: Rect) -> Vec<(Point, Work)> {
    let region = region.intersect(grid.bounds());
    let mut found = Vec::new();
    let mut below = None;
    for y in region.y..region.y + region.height {
        let row = &grid.row(y)[region.x as usize..(region.x + region.width) as usize];
        let stitches = stitches_in_row(row);
        if stitches == 0 {
            continue;
        }
        if let Some(below_row) = below {
            let had: u32 = stitches_in_row(below_row);
            let missing = i64::from(had) - i64::from(taken_by_row(row));
            if let Some(works) = mend(row, below_row, missing) {
                found.extend(works.into_iter().map(|(x, work)| (Point::new(region.x + x, y), work)));
            }
        }
        below = Some(row);
    }
    found
}

/// Where a row of a region must decrease (`missing` > 0) or increase, at the cells where it and the row
/// below part; `None` when that many changes find no place.
fn mend(row: &[Cell], below: &[Cell], missing: i64) -> Option<Vec<(u32, Work)>> {
    let stitch = |cells: &[Cell], x: usize| cells.get(x).is_some_and(|cell| cell.index().is_some());
    let mut works: Vec<(u32, Work)> = Vec::new();
    let mut left = missing;
    if missing > 0 {
        // Each cell that the row below has and this row has not goes to the nearest stitch beside it.
        for x in (0..row.len()).filter(|x| stitch(below, *x) && !stitch(row, *x)) {
            let to_left = (0..x).rev().find(|x| stitch(row, *x));
            let to_right = (x + 1..row.len()).find(|x| stitch(row, *x));
            let (at, work) = match (to_left, to_right) {
                (Some(l), Some(r)) if x - l <= r - x => (l, Work::Ssk),
                (_, Some(r)) => (r, Work::K2tog),
                (Some(l), None) => (l, Work::Ssk),
                (None, None) => return None,
            };
            if row[at].work() != Work::Plain {
                continue;
            }
            match works.iter_mut().find(|(x, _)| *x == at as u32) {
                Some((_, already)) if already.takes() == 2 => *already = Work::CentredDouble,
                Some(_) => return None,
                None => works.push((at as u32, work)),
            }
            left -= 1;
        }
    } else {
        for x in (0..row.len()).filter(|x| stitch(row, *x) && !stitch(below, *x)) {
            if left == 0 || row[x].work() != Work::Plain {
                continue;
            }
            let inner_is_right = 2 * x < row.len();
            works.push((x as u32, if inner_is_right { Work::MakeLeft } else { Work::MakeRight }));
            left += 1;
        }
    }
    (left == 0 && !works.is_empty()).then_some(works)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rows written top first; `.` is no stitch, `/` k2tog, `\` ssk, `^` a centred double decrease.
    fn grid(rows: &[&str]) -> Grid {
        let cells = rows.iter().rev().flat_map(|row| row.bytes()).map(|byte| match byte {
            b'.' => Cell::NO_STITCH,
            b'/' => Cell::slot(0).worked(Work::K2tog),
            b'\\' => Cell::slot(0).worked(Work::Ssk),
            b'^' => Cell::slot(0).worked(Work::CentredDouble),
            digit => Cell::slot(digit - b'0'),
        });
        Grid::from_cells(rows[0].len() as u32, rows.len() as u32, cells.collect()).unwrap()
    }

    fn imbalances(grid: &Grid, repeats_up: bool) -> Vec<RowImbalance> {
        let rows = (0..grid.height()).map(|y| (stitches_in_row(grid.row(y)), taken_by_row(grid.row(y))));
        row_imbalances(rows, 0, repeats_up)
    }

    #[test]
    fn a_wedge_with_its_decreases_follows_row_by_row() {
        let wedge = grid(&["..^..", ".\\0/.", "00000"]);
        assert_eq!(imbalances(&wedge, false), []);
        let around = imbalances(&wedge, true);
        assert_eq!(around, [RowImbalance { y: 0, below: 1, takes: 5, stitches: 5 }]);
    }

    #[test]
    fn a_row_that_loses_stitches_without_saying_how_is_found() {
        let bare = grid(&[".000.", "00000"]);
        let found = imbalances(&bare, false);
        assert_eq!(found, [RowImbalance { y: 1, below: 5, takes: 3, stitches: 3 }]);
    }

    #[test]
    fn decreases_are_proposed_where_the_wedge_narrows() {
        let mut bare = grid(&["..0..", ".000.", "00000"]);
        let proposed = balance_rows(&bare, bare.bounds());
        for (point, work) in &proposed {
            bare.set(*point, bare.get(*point).unwrap().worked(*work));
        }
        assert_eq!(bare, grid(&["..^..", "./0\\.", "00000"]));
        assert_eq!(balance_rows(&bare, bare.bounds()), [], "what follows is left alone");
    }

    #[test]
    fn increases_are_proposed_where_it_widens() {
        let mut bare = grid(&["00000", ".000."]);
        for (point, work) in balance_rows(&bare, bare.bounds()) {
            bare.set(point, bare.get(point).unwrap().worked(work));
        }
        assert_eq!(imbalances(&bare, false), []);
        assert_eq!(bare.get(Point::new(0, 1)).unwrap().work(), Work::MakeLeft);
        assert_eq!(bare.get(Point::new(4, 1)).unwrap().work(), Work::MakeRight);
    }

    #[test]
    fn a_row_that_loses_too_much_is_left_alone() {
        let bare = grid(&["0......", "0000000"]);
        assert_eq!(balance_rows(&bare, bare.bounds()), []);
    }
}
