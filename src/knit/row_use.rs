//! What worked rows ask of each colour: stitches, floats, catches, joins, edges.
//!
//! The input is rows as they are worked, one after another, and edges told by themselves; how a piece
//! came to its rows is no business of the count. Counts only; [`super::yarn_line`] turns them into metres.

use std::sync::Arc;

use super::areas::{Span, continued};
use super::making::{Construction, Technique};
use crate::chart::{self, Cell, runs};

/// Rows a colour may rest and still be carried up the edge; after a longer rest it is cut and joined
/// again (common practice, no published source: about four rows).
pub const CARRY_UP_ROWS: u32 = 4;

const SLOTS: usize = Cell::MAX_SLOTS;

/// What a worked row is made of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stitch {
    /// Knit stitches, plain or in the colours of a chart.
    Plain,
    /// Ribbing.
    Ribbing,
}

/// How a row is worked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RowHow {
    /// How its colours are worked. A row of several colours in a striped piece can only be worked
    /// stranded, and is counted so.
    pub technique: Technique,
    /// A round, or a row that turns.
    pub construction: Construction,
    /// What it is made of.
    pub stitch: Stitch,
    /// Stitches that lie to its left, so that areas of one row find themselves in the next.
    pub left: u32,
}

/// What is done along an edge, beside the rows.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum EdgeWork {
    /// Casting on.
    CastOn,
    /// Binding off.
    BindOff,
    /// Grafting, or picking up along an edge: one new row, stitch by stitch.
    Grafting,
}

/// What one colour is asked for.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct ColourCounts {
    /// Stitches that are not ribbing.
    pub plain: u64,
    /// Stitches of ribbing.
    pub ribbing: u64,
    /// Stitches it is carried behind.
    pub carried: u64,
    /// Places where a long float is caught.
    pub catches: u64,
    /// Rows it is carried up the edge while it rests.
    pub carried_up: u64,
    /// Lengths of yarn that begin and end, with a tail each.
    pub strands: u64,
    /// Stitches cast on.
    pub cast_on: u64,
    /// Stitches bound off.
    pub bind_off: u64,
    /// Stitches grafted, or picked up as an edge of their own.
    pub grafted: u64,
}

impl ColourCounts {
    /// Stitches of any kind.
    pub const fn stitches(&self) -> u64 {
        self.plain + self.ribbing
    }

    /// The same so many times over.
    pub const fn times(self, times: u64) -> Self {
        Self {
            plain: self.plain * times,
            ribbing: self.ribbing * times,
            carried: self.carried * times,
            catches: self.catches * times,
            carried_up: self.carried_up * times,
            strands: self.strands * times,
            cast_on: self.cast_on * times,
            bind_off: self.bind_off * times,
            grafted: self.grafted * times,
        }
    }

    /// The same piece in cm at another gauge: `across` and `up` times as many stitches and rows over a
    /// length. Stitches go with both, what runs across a row once in each row with the rows, edges with the
    /// stitches; the areas, and so the ends, stay (geometry).
    pub fn regauged(&self, across: f64, up: f64) -> Self {
        let times = |count: u64, factor: f64| (count as f64 * factor).round() as u64;
        Self {
            plain: times(self.plain, across * up),
            ribbing: times(self.ribbing, across * up),
            carried: times(self.carried, across * up),
            catches: times(self.catches, up),
            carried_up: times(self.carried_up, up),
            strands: self.strands,
            cast_on: times(self.cast_on, across),
            bind_off: times(self.bind_off, across),
            grafted: times(self.grafted, across),
        }
    }
}

impl std::ops::AddAssign for ColourCounts {
    fn add_assign(&mut self, other: Self) {
        self.plain += other.plain;
        self.ribbing += other.ribbing;
        self.carried += other.carried;
        self.catches += other.catches;
        self.carried_up += other.carried_up;
        self.strands += other.strands;
        self.cast_on += other.cast_on;
        self.bind_off += other.bind_off;
        self.grafted += other.grafted;
    }
}

/// Stitches of one colour side by side: its slot, and where they lie.
#[derive(Clone, Copy, Debug)]
struct Area {
    slot: u8,
    span: Span,
}

/// One colour in one row.
#[derive(Clone, Copy, Debug, Default)]
struct InRow {
    slot: u8,
    stitches: u32,
    /// Stitches before its first one and up to its last one.
    span: (u32, u32),
    /// Catches in the floats between them.
    catches: u32,
}

/// A row of stitches counted out once; rows of equal stitches can share it.
#[derive(Clone, Debug, Default)]
pub struct RowUse {
    width: u32,
    colours: Vec<InRow>,
    /// Its areas, where they were asked for.
    areas: Vec<Area>,
}

impl RowUse {
    /// Counts a row, left to right; "no stitch" cells are passed over. `float_limit` is the longest float
    /// left uncaught, in stitches; 0 counts as 1.
    pub fn of(cells: &[Cell], float_limit: u32) -> Self {
        Self::of_runs(runs(cells), float_limit, true)
    }

    /// The same of a row whose runs are known; only one that is worked in intarsia needs its `areas`.
    pub fn of_runs(runs: impl Iterator<Item = chart::Run>, float_limit: u32, areas: bool) -> Self {
        let mut row = Self::default();
        let mut place = [u8::MAX; SLOTS];
        for (slot, length) in runs.filter_map(|run| Some((run.cell.index()?, run.length))) {
            let span = (row.width, row.width + length);
            row.width = span.1;
            if place[slot] == u8::MAX {
                place[slot] = row.colours.len() as u8;
                row.colours.push(InRow { slot: slot as u8, span, ..InRow::default() });
            }
            let colour = &mut row.colours[usize::from(place[slot])];
            colour.catches += catches_in(span.0 - colour.span.1.min(span.0), float_limit);
            colour.stitches += length;
            colour.span.1 = span.1;
            match row.areas.last_mut() {
                // Only cells of no stitch lie between.
                Some(area) if usize::from(area.slot) == slot => area.span.1 = span.1,
                _ if areas => row.areas.push(Area { slot: slot as u8, span }),
                _ => {}
            }
        }
        row
    }

    /// Colours in it.
    pub const fn colours(&self) -> usize {
        self.colours.len()
    }

    /// The colour an edge beside this row is worked in: `wished` where the row has it, else the one it has
    /// most of (nobody joins a colour for an edge alone). `None` for a row without a stitch.
    pub fn edge_slot(&self, wished: usize) -> Option<usize> {
        let has = self.colours.iter().any(|colour| usize::from(colour.slot) == wished);
        let most = self.colours.iter().max_by_key(|colour| (colour.stitches, u8::MAX - colour.slot));
        most.map(|most| if has { wished } else { usize::from(most.slot) })
    }
}

/// How often a float behind `stitches` stitches is caught so that no part is longer than `limit`.
const fn catches_in(stitches: u32, limit: u32) -> u32 {
    stitches.saturating_sub(1) / if limit == 0 { 1 } else { limit }
}

/// Whether a colour that rests for `rows` rows is carried up the edge, not cut and joined anew.
const fn is_carried(rows: u32, construction: Construction) -> bool {
    // Worked flat, the yarn waits at the edge where its last row ended; only after an even number of
    // rows does the next row begin there.
    let at_hand = matches!(construction, Construction::InTheRound) || rows.is_multiple_of(2);
    at_hand && rows <= CARRY_UP_ROWS
}

/// When a colour was last used.
#[derive(Clone, Debug, Default)]
struct LastUse {
    row: Option<u32>,
    /// Its areas there, in intarsia; else none.
    areas: Vec<Span>,
    intarsia: bool,
}

/// Counts rows as they are worked.
#[derive(Clone, Debug)]
pub struct Tally {
    float_limit: u32,
    row: u32,
    colours: Vec<ColourCounts>,
    last: Vec<LastUse>,
}

impl Tally {
    /// Nothing worked yet. `float_limit` is the longest float left uncaught, in stitches; 0 counts as 1.
    pub fn new(float_limit: u32) -> Self {
        Self {
            float_limit,
            row: 0,
            colours: vec![ColourCounts::default(); SLOTS],
            last: vec![LastUse::default(); SLOTS],
        }
    }

    /// Works the next row, from the first one up.
    pub fn row(&mut self, row: &RowUse, how: RowHow) {
        self.fabric(row, how);
        for colour in &row.colours {
            self.begin_strands(row, usize::from(colour.slot), how);
        }
        self.row += 1;
    }

    /// The stitches of a row and what is carried behind them, without where its yarns come from.
    pub fn fabric(&mut self, row: &RowUse, how: RowHow) {
        for colour in &row.colours {
            let sums = &mut self.colours[usize::from(colour.slot)];
            match how.stitch {
                Stitch::Plain => sums.plain += u64::from(colour.stitches),
                Stitch::Ribbing => sums.ribbing += u64::from(colour.stitches),
            }
            if how.technique != Technique::Intarsia {
                let (carried, catches) = floats(colour, row.width, how.construction, self.float_limit);
                sums.carried += u64::from(carried);
                sums.catches += u64::from(catches);
            }
        }
    }

    /// Works an edge of so many stitches in one colour.
    pub fn edge(&mut self, work: EdgeWork, slot: usize, stitches: u32) {
        let Some(sums) = self.colours.get_mut(slot) else { return };
        let count = match work {
            EdgeWork::CastOn => &mut sums.cast_on,
            EdgeWork::BindOff => &mut sums.bind_off,
            EdgeWork::Grafting => &mut sums.grafted,
        };
        *count += u64::from(stitches);
    }

    /// The counts of every palette slot.
    pub fn counts(self) -> Vec<ColourCounts> {
        self.colours
    }

    /// Where the colour's yarn comes from in this row: it is at hand, is carried up, or begins anew.
    fn begin_strands(&mut self, row: &RowUse, slot: usize, how: RowHow) {
        let (sums, last) = (&mut self.colours[slot], &mut self.last[slot]);
        let rested = last.row.map(|row| self.row - row - 1);
        let intarsia = how.technique == Technique::Intarsia;
        let areas: Vec<Span> = if intarsia {
            let own = row.areas.iter().filter(|area| usize::from(area.slot) == slot);
            own.map(|area| (area.span.0 + how.left, area.span.1 + how.left)).collect()
        } else {
            Vec::new()
        };
        let needed = if intarsia { areas.len() } else { 1 };
        let goes_on = if intarsia && last.intarsia {
            // A bobbin hangs where its area ended; it reaches the row above and no other.
            if rested == Some(0) { continued(&last.areas, &areas).len() } else { 0 }
        } else {
            match rested.filter(|rows| is_carried(*rows, how.construction)) {
                Some(rows) => {
                    sums.carried_up += u64::from(rows);
                    1
                }
                None => 0,
            }
        };
        sums.strands += (needed - goes_on) as u64;
        *last = LastUse { row: Some(self.row), areas, intarsia };
    }
}

/// Rows worked one after another in one way that is not intarsia, counted out once: a count takes them in as if they
/// were worked row by row.
#[derive(Clone, Debug)]
pub struct RowBlock {
    rows: u32,
    colours: Vec<InBlock>,
}

/// One colour in a block of rows.
#[derive(Clone, Copy, Debug)]
struct InBlock {
    slot: u8,
    /// What it is asked for when it begins anew in its first row.
    counts: ColourCounts,
    /// The first and the last row of the block that use it.
    used: (u32, u32),
}

impl RowBlock {
    /// Works `rows` out; `how` is not intarsia, whose areas reach from row to row.
    pub fn of(rows: &[Arc<RowUse>], how: RowHow, float_limit: u32) -> Self {
        debug_assert!(how.technique != Technique::Intarsia);
        let mut tally = Tally::new(float_limit);
        let mut first = [None; SLOTS];
        for row in rows {
            for colour in &row.colours {
                first[usize::from(colour.slot)].get_or_insert(tally.row);
            }
            tally.row(row, how);
        }
        let colour = |slot: usize| {
            let used = (first[slot]?, tally.last[slot].row?);
            Some(InBlock { slot: slot as u8, counts: tally.colours[slot], used })
        };
        Self { rows: tally.row, colours: (0..SLOTS).filter_map(colour).collect() }
    }
}

impl Tally {
    /// Works the rows of a block, in rounds or in rows that turn as it was worked out for.
    pub fn block(&mut self, block: &RowBlock, construction: Construction) {
        for InBlock { slot, counts, used: (first, last) } in block.colours.iter().copied() {
            let (sums, before) = (&mut self.colours[usize::from(slot)], &mut self.last[usize::from(slot)]);
            *sums += counts;
            let rested = before.row.map(|row| self.row + first - row - 1);
            if let Some(rows) = rested.filter(|rows| is_carried(*rows, construction)) {
                // It does not begin anew.
                sums.carried_up += u64::from(rows);
                sums.strands -= 1;
            }
            *before = LastUse { row: Some(self.row + last), ..LastUse::default() };
        }
        self.row += block.rows;
    }

    /// As [`Tally::fabric`] of each row of a block.
    pub fn fabric_of_block(&mut self, block: &RowBlock) {
        for InBlock { slot, counts, .. } in &block.colours {
            self.colours[usize::from(*slot)] += ColourCounts { carried_up: 0, strands: 0, ..*counts };
        }
    }
}

/// Stitches a colour is carried behind in a row of `width` stitches, and how often it is caught: all the
/// way in the round, between its first and last use in a row that turns.
fn floats(colour: &InRow, width: u32, construction: Construction, limit: u32) -> (u32, u32) {
    let outside = width - (colour.span.1 - colour.span.0);
    let inside = colour.span.1 - colour.span.0 - colour.stitches;
    match construction {
        Construction::InTheRound => (inside + outside, colour.catches + catches_in(outside, limit)),
        Construction::Flat => (inside, colour.catches),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A row from digits; `.` is no stitch.
    fn cells(row: &str) -> Vec<Cell> {
        let cell = |byte| match byte {
            b'.' => Cell::NO_STITCH,
            digit => Cell::slot(digit - b'0'),
        };
        row.bytes().map(cell).collect()
    }

    const fn how(technique: Technique, construction: Construction) -> RowHow {
        RowHow { technique, construction, stitch: Stitch::Plain, left: 0 }
    }

    /// Counts rows written top first, as a chart is looked at.
    fn counted(rows: &[&str], how: RowHow) -> Vec<ColourCounts> {
        let mut tally = Tally::new(5);
        for row in rows.iter().rev() {
            tally.row(&RowUse::of(&cells(row), 5), how);
        }
        tally.counts()
    }

    const ROUND: RowHow = how(Technique::Stranded, Construction::InTheRound);
    const FLAT: RowHow = how(Technique::Stranded, Construction::Flat);

    #[test]
    fn in_the_round_a_colour_travels_all_the_way() {
        let slots = counted(&["00100100"], ROUND);
        assert_eq!((slots[0].plain, slots[0].carried), (6, 2));
        assert_eq!((slots[1].plain, slots[1].carried), (2, 6));
    }

    #[test]
    fn flat_it_travels_between_its_first_and_last_use() {
        assert_eq!(counted(&["00100100"], FLAT)[1].carried, 2);
        // Two repeats: the 2 + 2 stitches between them are floats now.
        assert_eq!(counted(&["0010010000100100"], FLAT)[1].carried, 8);
        assert_eq!(counted(&["00100100"], FLAT)[0].carried, 2);
    }

    #[test]
    fn a_long_float_is_caught_across_the_end_of_the_round_too() {
        // 12 stitches behind: caught after 5 and 10. Twice around, twice as often.
        assert_eq!(counted(&["0000001000000"], ROUND)[1].catches, 2);
        assert_eq!(counted(&["00000010000000000001000000"], ROUND)[1].catches, 4);
        assert_eq!(counted(&["0000001000000"], FLAT)[1].catches, 0);
        assert_eq!(counted(&["1000000000000"], FLAT)[1].catches, 0);
        // Exactly the limit is left alone.
        assert_eq!(counted(&["100000"], ROUND)[1].catches, 0);
    }

    #[test]
    fn an_edge_takes_the_wished_colour_where_the_row_has_it() {
        let row = |text| RowUse::of(&cells(text), 5);
        assert_eq!(row("0011").edge_slot(0), Some(0));
        assert_eq!(row("1112").edge_slot(0), Some(1));
        assert_eq!(row("2211").edge_slot(0), Some(1), "of two that are even, the first in the palette");
        assert_eq!(row("....").edge_slot(0), None);
    }

    #[test]
    fn a_short_rest_is_carried_up_and_a_long_one_cut() {
        let stripes = how(Technique::Stripes, Construction::InTheRound);
        let slots = counted(&["1", "0", "0", "0", "1"], stripes);
        assert_eq!((slots[1].strands, slots[1].carried_up), (1, 3));
        let slots = counted(&["1", "0", "0", "0", "0", "0", "1"], stripes);
        assert_eq!((slots[1].strands, slots[1].carried_up), (2, 0));
        // Flat, after an odd rest the yarn waits at the other edge.
        let flat = how(Technique::Stripes, Construction::Flat);
        assert_eq!(counted(&["1", "0", "1"], flat)[1].strands, 2);
        assert_eq!(counted(&["1", "0", "0", "1"], flat)[1].strands, 1);
    }

    #[test]
    fn no_stitch_is_no_yarn_and_parts_no_float() {
        let slots = counted(&["1..000..0001"], ROUND);
        assert_eq!((slots[0].plain, slots[1].plain), (6, 2));
        assert_eq!(slots[1].catches, 1);
        assert!(counted(&["...."], ROUND).iter().all(|slot| *slot == ColourCounts::default()));
    }

    #[test]
    fn intarsia_counts_bobbins_and_no_floats() {
        let intarsia = how(Technique::Intarsia, Construction::Flat);
        let slots = counted(&["0110", "0110"], intarsia);
        assert_eq!((slots[0].strands, slots[1].strands), (2, 1));
        assert_eq!((slots[0].carried, slots[1].carried), (0, 0));
        // A colour that comes again further up is a new bobbin, however near.
        assert_eq!(counted(&["1000", "0000", "1000"], intarsia)[1].strands, 2);
    }

    #[test]
    fn narrower_rows_find_their_areas_on_the_centre_line() {
        let intarsia = how(Technique::Intarsia, Construction::Flat);
        let strands = |left| {
            let mut tally = Tally::new(5);
            tally.row(&RowUse::of(&cells("00000011"), 5), intarsia);
            tally.row(&RowUse::of(&cells("0011"), 5), RowHow { left, ..intarsia });
            tally.counts()[1].strands
        };
        assert_eq!((strands(0), strands(2)), (2, 1));
    }

    #[test]
    fn a_colour_at_hand_goes_into_bobbins_and_out_of_them() {
        let mut tally = Tally::new(5);
        let intarsia = how(Technique::Intarsia, Construction::InTheRound);
        tally.row(&RowUse::of(&cells("1111"), 5), how(Technique::Stripes, Construction::InTheRound));
        tally.row(&RowUse::of(&cells("1001"), 5), intarsia);
        tally.row(&RowUse::of(&cells("1111"), 5), ROUND);
        let counts = tally.counts();
        // One strand, then a second bobbin; one of them goes on.
        assert_eq!((counts[1].strands, counts[0].strands), (2, 1));
    }

    #[test]
    fn a_block_counts_as_its_rows_do() {
        let rows = ["0011", "0000", "2222", "0000", "0000", "0000", "1100", "0000", "0022", "1111", "0101"];
        let rows: Vec<Arc<RowUse>> = rows.iter().map(|row| Arc::new(RowUse::of(&cells(row), 5))).collect();
        for technique in [Technique::Stranded, Technique::Stripes] {
            for construction in Construction::ALL {
                let how = how(technique, construction);
                for size in 1..=rows.len() {
                    let (mut one, mut other) = (Tally::new(5), Tally::new(5));
                    let (mut fabric, mut of_blocks) = (Tally::new(5), Tally::new(5));
                    for row in &rows {
                        one.row(row, how);
                        fabric.fabric(row, how);
                    }
                    for rows in rows.chunks(size) {
                        let block = RowBlock::of(rows, how, 5);
                        other.block(&block, construction);
                        of_blocks.fabric_of_block(&block);
                    }
                    assert_eq!((one.row, one.counts()), (other.row, other.counts()), "{how:?}, {size}");
                    assert_eq!(fabric.counts(), of_blocks.counts(), "{how:?}, {size}");
                }
            }
        }
    }

    #[test]
    fn edges_are_counted_by_themselves() {
        let mut tally = Tally::new(5);
        tally.edge(EdgeWork::CastOn, 2, 40);
        tally.edge(EdgeWork::BindOff, 2, 30);
        tally.edge(EdgeWork::Grafting, 1, 20);
        tally.edge(EdgeWork::CastOn, usize::MAX, 1);
        let counts = tally.counts();
        assert_eq!((counts[2].cast_on, counts[2].bind_off, counts[1].grafted), (40, 30, 20));
    }
}
