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
#[inline]
pub fn runs(row: &[Cell]) -> impl Iterator<Item = Run> {
    let mut start = 0;
    row.chunk_by(Cell::same_colour).filter_map(move |chunk| {
        let run = Run { cell: *chunk.first()?, start, length: chunk.len() as u32 };
        start += run.length;
        Some(run)
    })
}

/// The runs of rows, one row after another, in memory that is used again.
#[derive(Debug, Default)]
pub struct RunList {
    starts: Vec<u32>,
    runs: Vec<Run>,
}

impl RunList {
    /// The runs of `row`, left to right, as [`runs`] gives them.
    pub fn read(&mut self, row: &[Cell]) -> &[Run] {
        if self.starts.len() < row.len() {
            self.starts.resize(row.len(), 0);
        }
        // Where a run ends cannot be foreseen, so nothing branches on it: every column is written, and the next one
        // over it unless a run begins there.
        let mut count = usize::from(!row.is_empty());
        let starts = self.starts.as_mut_slice();
        if let Some(first) = starts.first_mut() {
            *first = 0;
        }
        for (x, pair) in (1..).zip(row.windows(2)) {
            if let Some(start) = starts.get_mut(count) {
                *start = x;
            }
            count += usize::from(!pair[0].same_colour(&pair[1]));
        }
        let starts = &starts[..count];
        let ends = starts.iter().skip(1).copied().chain([row.len() as u32]);
        self.runs.clear();
        self.runs.extend(starts.iter().zip(ends).map(|(start, end)| Run {
            cell: row[*start as usize],
            start: *start,
            length: end - start,
        }));
        &self.runs
    }

    /// The runs of the row that was read last.
    pub fn runs(&self) -> &[Run] {
        &self.runs
    }
}

/// The colours a row uses, in slot order.
pub fn colours_in_row(row: &[Cell]) -> Vec<usize> {
    let mut used = [false; Cell::MAX_SLOTS];
    for slot in runs(row).filter_map(|run| run.cell.index()) {
        used[slot] = true;
    }
    (0..Cell::MAX_SLOTS).filter(|slot| used[*slot]).collect()
}

/// The floats of a row that pass behind more than `limit` stitches, left to right: gaps between two uses
/// of the same colour. With `wraps` the row is a round (or a repeat that meets itself), so the strand also
/// travels from the last use of a colour across the end to its first.
pub fn long_floats_in_row(row: &[Cell], wraps: bool, limit: u32) -> Vec<Float> {
    long_floats(runs(row), wraps, limit, &mut Vec::new())
}

/// [`long_floats_in_row`] of a row whose runs are known; `met` is memory that is used again.
pub(super) fn long_floats(
    runs: impl Iterator<Item = Run>,
    wraps: bool,
    limit: u32,
    met: &mut Vec<Float>,
) -> Vec<Float> {
    const NONE: u32 = u32::MAX;
    // Stitches before the first use of each colour, up to the end of its last one, and the float that began there.
    let mut first = [NONE; Cell::MAX_SLOTS];
    let mut used = [0; Cell::MAX_SLOTS];
    let mut begun = [NONE; Cell::MAX_SLOTS];
    let mut before: Option<usize> = None;
    let (mut first_stitch, mut stitches) = (0, 0);
    // Where a colour ends a float begins, so that they are met in their order; its length is known later, if ever.
    met.clear();
    for run in runs {
        let Some(slot) = run.cell.index() else { continue };
        match before {
            Some(before) if before != slot => {
                begun[before] = met.len() as u32;
                met.push(Float { slot: before, start: run.start, length: 0 });
            }
            Some(_) => {}
            None => first_stitch = run.start,
        }
        if let Some(float) = met.get_mut(begun[slot] as usize) {
            float.length = stitches - used[slot];
            begun[slot] = NONE;
        }
        first[slot] = first[slot].min(stitches);
        stitches += run.length;
        used[slot] = stitches;
        before = Some(slot);
    }
    let mut around = None;
    if wraps {
        for slot in (0..Cell::MAX_SLOTS).filter(|slot| first[*slot] != NONE) {
            let length = stitches - used[slot] + first[slot];
            match met.get_mut(begun[slot] as usize) {
                Some(float) => float.length = length,
                // That of the last stitches begins with the first.
                None => around = Some(Float { slot, start: first_stitch, length }),
            }
        }
    }
    // Which are long cannot be foreseen, so nothing branches on it.
    let mut count = 0;
    for place in 0..met.len() {
        met[count] = met[place];
        count += usize::from(met[count].length > limit);
    }
    let around = around.filter(|float| float.length > limit);
    let mut floats = Vec::with_capacity(count + usize::from(around.is_some()));
    floats.extend(around);
    floats.extend_from_slice(&met[..count]);
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
        let mut list = RunList::default();
        for text in ["001..1", "", "0", "0101", "2222", "001..1"] {
            let cells = row(text);
            assert_eq!(list.read(&cells), runs(&cells).collect::<Vec<_>>(), "{text}");
        }
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
