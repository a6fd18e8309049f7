//! Everything that findings and figures rest on in one row of a repeat.

use super::contacts::{RowContact, Wrap, row_contacts};
use super::grid::{Cell, Grid, Rect};
use super::lone::RepeatedRows;
use super::row_balance::{is_plain, taken_by_row};
use super::row_mark::RowMark;
use super::row_memo::RowMemo;
use super::runs::{Float, Run, RunList, long_floats};
use super::seeds::{SeedCount, Seeds};

/// What one row of a repeat says, by itself and beside the rows around it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RowFacts {
    /// The colours it uses, in slot order, and the stitches of each.
    pub colours: Vec<(usize, u32)>,
    /// Stitches, "no stitch" cells left out.
    pub stitches: u32,
    /// Stitches of the row below that it works.
    pub takes: u32,
    /// Runs of one colour or of no stitch.
    pub runs: u32,
    /// The floats over the limit, left to right; columns of the repeat.
    pub floats: Vec<Float>,
    /// Stitches of the longest of them, else 0.
    pub longest_float: u32,
    /// The colours that touch in it and across its upper edge.
    pub contacts: Vec<RowContact>,
    /// Stitches that stand alone and small figures that begin in it.
    pub seeds: SeedCount,
}

impl RowFacts {
    /// The colours it uses, one bit a slot.
    pub fn colour_bits(&self) -> u64 {
        self.colours.iter().fold(0, |bits, (slot, _)| bits | 1 << slot)
    }
}

/// What the facts of all rows rest on, beside their stitches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RepeatHow {
    /// The repeat box, inside the grid.
    pub repeat: Rect,
    /// Which of its edges meet.
    pub wrap: Wrap,
    /// The longest float left alone, in stitches; `None` when colours are not stranded.
    pub float_limit: Option<u32>,
    /// What figures stand on.
    pub background: Cell,
}

/// The marks of the row below, of a row itself and of two above it, as far as there are such.
type Around = [Option<RowMark>; 4];

/// The facts of the rows of a repeat, kept from one state of the chart to the next.
pub type RowFactsMemo = RowMemo<RepeatHow, Around, RowFacts>;

/// The facts of every row of the repeat, the bottom one first.
pub fn row_facts<'a>(memo: &'a mut RowFactsMemo, grid: &Grid, how: RepeatHow) -> &'a [RowFacts] {
    let (repeat, wrap) = (how.repeat.intersect(grid.bounds()), how.wrap);
    let columns = repeat.x as usize..(repeat.x + repeat.width) as usize;
    let rows: Vec<&[Cell]> =
        (repeat.y..repeat.y + repeat.height).map(|y| &grid.row(y)[columns.clone()]).collect();
    let marks: Vec<Option<RowMark>> =
        (repeat.y..repeat.y + repeat.height).map(|y| grid.row_mark(y)).collect();
    let (above, below) = Seeds::ROWS;
    debug_assert!((above, below) == (2, 1), "the rows that a mark is kept of");
    let around = around(&marks, wrap.up);
    let seeds =
        Seeds { fabric: RepeatedRows { rows, across: wrap.across, up: wrap.up }, background: how.background };
    let marks = around.clone();
    memo.rows(how, around, |above: &mut RunsAbove, row, before: Option<(Around, RowFacts)>| {
        // What rests on the row alone may still hold, and on the row above it.
        let [_, own, above_it, _] = marks[row];
        let before = before.filter(|(of, _)| of[1] == own).map(|(of, facts)| (facts, of[2] == above_it));
        facts_of(row, &seeds, how, above, before)
    })
}

/// The marks around every row; where the repeat meets itself, `up`, the rows go on from its other end.
fn around(marks: &[Option<RowMark>], up: bool) -> Vec<Around> {
    let beyond = |row: usize| if up { marks.get(row % marks.len().max(1)).copied().flatten() } else { None };
    let last = marks.len().saturating_sub(1);
    let mut ends = Vec::with_capacity(marks.len() + 3);
    ends.push(beyond(last));
    ends.extend_from_slice(marks);
    ends.extend([0, 1].map(beyond));
    ends.windows(4).map(|four| [four[0], four[1], four[2], four[3]]).collect()
}

/// The runs of the row that was looked at last and of the one above it, and which that is; memory for floats.
#[derive(Default)]
struct RunsAbove {
    own: RunList,
    above: RunList,
    known: Option<usize>,
    floats: Vec<Float>,
}

impl RunsAbove {
    /// Reads row `y` and the one above it, if there is one.
    fn read(&mut self, rows: &[&[Cell]], y: usize, above: Option<usize>) {
        if self.known == Some(y) {
            std::mem::swap(&mut self.own, &mut self.above);
        } else {
            self.own.read(rows[y]);
        }
        self.known = above;
        if let Some(above) = above {
            self.above.read(rows[above]);
        }
    }
}

/// The facts of row `y`; those of `before` hold as far as they rest on the row alone, and its contacts too where the
/// row above is the same.
fn facts_of(
    y: usize,
    seeds: &Seeds,
    how: RepeatHow,
    last: &mut RunsAbove,
    before: Option<(RowFacts, bool)>,
) -> RowFacts {
    let rows = &seeds.fabric.rows;
    let (known, touches_same) = before.unzip();
    let above = if y + 1 < rows.len() { Some(y + 1) } else { how.wrap.up.then_some(0) };
    let touches_same = touches_same.unwrap_or(false);
    last.read(rows, y, above.filter(|_| !touches_same));
    let RunsAbove { own, above: higher, floats, .. } = last;
    let own = own.runs();
    let mut facts = known.unwrap_or_else(|| facts_of_own(rows[y], own, how, floats));
    if !touches_same {
        facts.contacts = row_contacts(own, above.map(|_| higher.runs()), how.wrap.across);
    }
    facts.seeds = seeds.in_row(y, own).collect();
    facts
}

/// What a row says by itself.
fn facts_of_own(row: &[Cell], own: &[Run], how: RepeatHow, floats: &mut Vec<Float>) -> RowFacts {
    let mut counts = [0; Cell::MAX_SLOTS];
    for (slot, length) in own.iter().filter_map(|run| Some((run.cell.index()?, run.length))) {
        counts[slot] += length;
    }
    let floats = match how.float_limit {
        Some(limit) => long_floats(own.iter().copied(), how.wrap.across, limit, floats),
        None => Vec::new(),
    };
    let stitches = counts.iter().sum();
    RowFacts {
        stitches,
        colours: counts.into_iter().enumerate().filter(|(_, count)| *count > 0).collect(),
        takes: if is_plain(row) { stitches } else { taken_by_row(row) },
        runs: own.len() as u32,
        longest_float: floats.iter().map(|float| float.length).max().unwrap_or(0),
        floats,
        contacts: Vec::new(),
        seeds: SeedCount::default(),
    }
}
