//! A row as runs of one colour, and the floats behind it.

use super::grid::Cell;

/// Neighbouring stitches of one colour (or of no stitch) in a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Run {
    /// What they are.
    pub cell: Cell,
    /// First column, from the left.
    pub start: u32,
    /// How many, 1 or more.
    pub length: u32,
}

/// A gap between two uses of one colour in a row, where its strand travels behind the work.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Float {
    /// The colour that travels.
    pub slot: usize,
    /// First column it passes behind, from the left.
    pub start: u32,
    /// Stitches it passes behind, 1 or more; cells of no stitch are not counted.
    pub length: u32,
}

/// The runs of a row, left to right.
pub fn runs(row: &[Cell]) -> impl Iterator<Item = Run> {
    let mut start = 0;
    row.chunk_by(Cell::same_colour).filter_map(move |chunk| {
        let run = Run { cell: *chunk.first()?, start, length: chunk.len() as u32 };
        start += run.length;
        Some(run)
    })
}

/// The colours a row uses, in slot order.
pub fn colours_in_row(row: &[Cell]) -> Vec<usize> {
    let mut used = [false; Cell::MAX_SLOTS];
    for slot in runs(row).filter_map(|run| run.cell.index()) {
        used[slot] = true;
    }
    (0..Cell::MAX_SLOTS).filter(|slot| used[*slot]).collect()
}

/// Where a colour was last used while a row is read.
#[derive(Clone, Copy)]
struct LastUse {
    /// Stitches met before and including it.
    stitches: u32,
    /// The next column that holds a stitch, once it is known.
    next: Option<u32>,
}

/// The floats of a row that pass behind more than `limit` stitches, left to right: gaps between two uses
/// of the same colour. With `wraps` the row is a round (or a repeat that meets itself), so the strand also
/// travels from the last use of a colour across the end to its first.
pub fn long_floats_in_row(row: &[Cell], wraps: bool, limit: u32) -> Vec<Float> {
    long_floats(runs(row), wraps, limit)
}

/// [`long_floats_in_row`] of a row whose runs are known.
pub(super) fn long_floats(runs: impl Iterator<Item = Run>, wraps: bool, limit: u32) -> Vec<Float> {
    let mut first: [Option<u32>; Cell::MAX_SLOTS] = [None; Cell::MAX_SLOTS];
    let mut last: [Option<LastUse>; Cell::MAX_SLOTS] = [None; Cell::MAX_SLOTS];
    let mut floats = Vec::new();
    // The colour of the stitch before: the only one that can still wait for its next column.
    let mut before: Option<usize> = None;
    let mut first_stitch = None;
    let mut stitches = 0;
    for run in runs {
        let Some(slot) = run.cell.index() else { continue };
        first_stitch.get_or_insert(run.start);
        if before != Some(slot) {
            if let Some(waiting) = before.and_then(|slot| last[slot].as_mut()) {
                waiting.next = Some(run.start);
            }
            if let Some(LastUse { stitches: used, next: Some(start) }) = last[slot]
                && stitches - used > limit
            {
                floats.push(Float { slot, start, length: stitches - used });
            }
        }
        first[slot].get_or_insert(stitches);
        stitches += run.length;
        last[slot] = Some(LastUse { stitches, next: None });
        before = Some(slot);
    }
    if wraps {
        for slot in 0..Cell::MAX_SLOTS {
            if let (Some(head), Some(tail)) = (first[slot], last[slot]) {
                let length = stitches - tail.stitches + head;
                let start = tail.next.or(first_stitch).unwrap_or(0);
                if length > limit {
                    floats.push(Float { slot, start, length });
                }
            }
        }
    }
    floats.sort_by_key(|float| (float.start, float.slot));
    floats
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A row from digits; `.` is no stitch.
    fn row(text: &str) -> Vec<Cell> {
        text.bytes().map(|b| if b == b'.' { Cell::NO_STITCH } else { Cell::slot(b - b'0') }).collect()
    }

    fn floats(text: &str, wraps: bool) -> Vec<(usize, u32, u32)> {
        long_floats_in_row(&row(text), wraps, 0).iter().map(|f| (f.slot, f.start, f.length)).collect()
    }

    #[test]
    fn runs_cover_the_row() {
        let cells = row("001..1");
        let lengths: Vec<_> = runs(&cells).map(|r| (r.cell.index(), r.start, r.length)).collect();
        assert_eq!(lengths, [(Some(0), 0, 2), (Some(1), 2, 1), (None, 3, 2), (Some(1), 5, 1)]);
        assert_eq!(colours_in_row(&cells), [0, 1]);
        assert_eq!(runs(&[]).count(), 0);
    }

    #[test]
    fn a_float_is_a_gap_between_two_uses() {
        assert_eq!(floats("0011100", false), [(0, 2, 3)]);
        assert_eq!(floats("0102", false), [(0, 1, 1)]);
        assert_eq!(floats("0000", false), []);
    }

    #[test]
    fn only_the_long_ones_when_asked() {
        let long = |limit| long_floats_in_row(&row("1000010"), true, limit).len();
        assert_eq!([long(0), long(1), long(3), long(4)], [4, 1, 1, 0]);
    }

    #[test]
    fn in_the_round_the_strand_crosses_the_end() {
        assert_eq!(floats("1000010", true), [(0, 0, 1), (1, 1, 4), (0, 5, 1), (1, 6, 1)]);
        // Used once: it travels all the way around.
        assert_eq!(floats("00100", true), [(0, 2, 1), (1, 3, 4)]);
        assert_eq!(floats("0000", true), []);
        assert_eq!(floats("", true), []);
    }

    #[test]
    fn cells_of_no_stitch_are_passed_over() {
        assert_eq!(floats("0..1.10", false), [(0, 3, 2)]);
        assert_eq!(floats("0..00", false), []);
        assert_eq!(floats("..0.1..", true), [(1, 2, 1), (0, 4, 1)]);
    }
}
