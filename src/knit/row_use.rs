//! What the rows of a repeat ask of each colour: stitches, floats, catches, joins.
//!
//! Counts only; [`super::yarn_use`] turns them into metres.

use super::areas::Areas;
use super::making::{Construction, Technique};
use crate::chart::{Cell, Grid, Rect};

/// Rows a colour may rest and still be carried up the edge; after a longer rest it is cut and joined
/// again (common practice, no published source: about four rows).
pub const CARRY_UP_ROWS: u32 = 4;

const SLOTS: usize = Cell::MAX_SLOTS;

/// How the repeat is worked: everything that decides how often a stitch or a float occurs.
#[derive(Clone, Copy)]
pub(super) struct Plan {
    pub technique: Technique,
    pub construction: Construction,
    /// Repeats in a row, 0 or more; a part of one counts as that part.
    pub around: f64,
    /// Repeats upwards, 1 or more.
    pub up: f64,
    /// Stitches of each row outside the repeats.
    pub edge: f64,
    /// The colour of the edge stitches, in rows that have it.
    pub edge_slot: usize,
    /// The longest float left uncaught, in stitches, 1 or more.
    pub float_limit: u32,
}

/// What one colour is asked for over the whole piece.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub(super) struct SlotCounts {
    /// Stitches.
    pub stitches: f64,
    /// Stitches it is carried behind.
    pub carried: f64,
    /// Places where a long float is caught.
    pub catches: f64,
    /// Rows it is carried up the edge while it rests.
    pub carried_up: f64,
    /// Lengths of yarn that begin and end, with a tail each.
    pub strands: f64,
    /// Stitches in one repeat alone, for the swatch.
    pub repeat_stitches: f64,
    /// Stitches it is carried behind in one repeat, going round.
    pub repeat_carried: f64,
}

/// The counts of every colour, and the colours that begin and end the piece.
pub(super) struct Counts {
    pub slots: [SlotCounts; SLOTS],
    /// The colour of the cast-on.
    pub cast_on: Option<usize>,
    /// The colour of the bind-off.
    pub bind_off: Option<usize>,
}

/// Stitches of one colour side by side.
#[derive(Clone, Copy)]
struct Run {
    slot: usize,
    /// First column, and the one after the last.
    columns: (u32, u32),
    /// Stitches to its right, "no stitch" cells not counted.
    before: u32,
    stitches: u32,
}

/// The runs of a row, left to right; "no stitch" cells do not part a run.
fn runs_of(row: &[Cell], runs: &mut Vec<Run>) {
    runs.clear();
    let (mut column, mut before) = (0, 0);
    for cells in row.chunk_by(Cell::same_colour) {
        let length = cells.len() as u32;
        if let Some(slot) = cells[0].index() {
            match runs.last_mut() {
                Some(last) if last.slot == slot => {
                    last.columns.1 = column + length;
                    last.stitches += length;
                }
                _ => runs.push(Run { slot, columns: (column, column + length), before, stitches: length }),
            }
            before += length;
        }
        column += length;
    }
}

/// One colour in the row at hand.
#[derive(Clone, Copy, Default)]
struct InRow {
    stitches: u32,
    /// Stitches before its first one and up to its last one.
    span: (u32, u32),
    /// Catches in its floats inside the repeat.
    catches: u32,
}

/// When a colour was last used.
#[derive(Clone, Copy)]
struct Used {
    first_row: u32,
    last_row: u32,
}

/// Counts what the `repeat` of `grid` (a box inside it) asks of each colour when worked to `plan`.
pub(super) fn count(grid: &Grid, repeat: Rect, plan: Plan) -> Counts {
    let mut counts = Counts { slots: [SlotCounts::default(); SLOTS], cast_on: None, bind_off: None };
    let mut used = [None; SLOTS];
    let mut runs = Vec::new();
    let mut areas = (plan.technique == Technique::Intarsia).then(|| Areas::new(repeat.width, plan.around));
    for row in 0..repeat.height {
        let columns = repeat.x as usize..(repeat.x + repeat.width) as usize;
        runs_of(&grid.row(repeat.y + row)[columns], &mut runs);
        let edge_colour = count_row(&runs, plan, &mut counts.slots);
        counts.cast_on = counts.cast_on.or(edge_colour);
        counts.bind_off = edge_colour.or(counts.bind_off);
        if let Some(areas) = &mut areas {
            areas.add_row(runs.iter().map(|run| (run.slot, run.columns)));
        } else {
            rest_since(&runs, row, plan, &mut used, &mut counts.slots);
        }
    }
    match areas {
        Some(areas) => {
            for (slot, sums) in counts.slots.iter_mut().enumerate() {
                sums.strands = areas.count(slot, plan.up);
            }
        }
        None => rest_between_repeats(repeat.height, plan, &used, &mut counts.slots),
    }
    counts
}

/// Adds a row's stitches, floats and catches; gives the colour of its edge stitches.
fn count_row(runs: &[Run], plan: Plan, slots: &mut [SlotCounts; SLOTS]) -> Option<usize> {
    let mut in_row = [InRow::default(); SLOTS];
    let mut width = 0;
    for run in runs {
        let colour = &mut in_row[run.slot];
        if colour.stitches == 0 {
            colour.span.0 = run.before;
        } else {
            colour.catches += catches_in(run.before - colour.span.1, plan.float_limit);
        }
        colour.stitches += run.stitches;
        colour.span.1 = run.before + run.stitches;
        width += run.stitches;
    }
    let most_used = (0..SLOTS).rev().max_by_key(|slot| in_row[*slot].stitches)?;
    // Nobody strands a colour along a whole row for the sake of one edge stitch.
    let edge_slot = if in_row[plan.edge_slot].stitches > 0 { plan.edge_slot } else { most_used };
    if width == 0 {
        return None;
    }
    for (slot, colour) in in_row.iter().enumerate().filter(|(_, colour)| colour.stitches > 0) {
        let stitches = f64::from(colour.stitches);
        let at_edge = slot == edge_slot && plan.edge > 0.0;
        let edge_stitches = if at_edge { plan.edge } else { 0.0 };
        let sums = &mut slots[slot];
        sums.stitches += (plan.around * stitches + edge_stitches) * plan.up;
        sums.repeat_stitches += stitches;
        if plan.technique == Technique::Intarsia {
            continue;
        }
        let passed = f64::from(width - colour.stitches);
        let outside = f64::from(colour.span.0 + width - colour.span.1);
        let (carried, seams) = match plan.construction {
            Construction::InTheRound => (plan.around * passed + (plan.edge - edge_stitches), plan.around),
            Construction::Flat if at_edge => (plan.around * passed, plan.around),
            Construction::Flat => ((plan.around * passed - outside).max(0.0), (plan.around - 1.0).max(0.0)),
        };
        let seam = f64::from(catches_in(outside as u32, plan.float_limit));
        sums.carried += carried * plan.up;
        sums.repeat_carried += passed;
        sums.catches += (plan.around * f64::from(colour.catches) + seams * seam) * plan.up;
    }
    Some(edge_slot)
}

/// How often a float behind `stitches` stitches is caught so that no part is longer than `limit`.
const fn catches_in(stitches: u32, limit: u32) -> u32 {
    stitches.saturating_sub(1) / limit
}

/// Whether a colour that rests for `rows` rows is carried up the edge, not cut and joined anew.
pub(super) const fn is_carried(rows: u32, construction: Construction) -> bool {
    // Worked flat, the yarn waits at the edge where its last row ended; only after an even number of
    // rows does the next row begin there.
    let at_hand = matches!(construction, Construction::InTheRound) || rows.is_multiple_of(2);
    at_hand && rows <= CARRY_UP_ROWS
}

/// What a rest of `rows` rows means: carried up the edge, or cut and joined anew. `times` it happens.
fn rest(rows: u32, times: f64, plan: Plan, sums: &mut SlotCounts) {
    if is_carried(rows, plan.construction) {
        sums.carried_up += f64::from(rows) * times;
    } else {
        sums.strands += times;
    }
}

fn rest_since(
    runs: &[Run],
    row: u32,
    plan: Plan,
    used: &mut [Option<Used>; SLOTS],
    slots: &mut [SlotCounts; SLOTS],
) {
    for run in runs {
        match &mut used[run.slot] {
            Some(last) if last.last_row == row => {}
            Some(last) => {
                rest(row - last.last_row - 1, plan.up, plan, &mut slots[run.slot]);
                last.last_row = row;
            }
            unused => {
                *unused = Some(Used { first_row: row, last_row: row });
                slots[run.slot].strands += 1.0;
            }
        }
    }
}

fn rest_between_repeats(
    height: u32,
    plan: Plan,
    used: &[Option<Used>; SLOTS],
    slots: &mut [SlotCounts; SLOTS],
) {
    for (used, sums) in used.iter().zip(slots) {
        if let Some(used) = used {
            rest(used.first_row + height - used.last_row - 1, plan.up - 1.0, plan, sums);
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A grid from rows written top first, as a chart is looked at; `.` is no stitch.
    fn grid(rows: &[&str]) -> Grid {
        let cells = rows.iter().rev().flat_map(|row| row.bytes()).map(|byte| match byte {
            b'.' => Cell::NO_STITCH,
            digit => Cell::slot(digit - b'0'),
        });
        Grid::from_cells(rows[0].len() as u32, rows.len() as u32, cells.collect()).unwrap()
    }

    fn plan(technique: Technique, construction: Construction) -> Plan {
        Plan { technique, construction, around: 1.0, up: 1.0, edge: 0.0, edge_slot: 0, float_limit: 5 }
    }

    fn counted(rows: &[&str], plan: Plan) -> [SlotCounts; SLOTS] {
        let grid = grid(rows);
        count(&grid, grid.bounds(), plan).slots
    }

    #[test]
    fn in_the_round_a_colour_travels_all_the_way() {
        let slots = counted(&["00100100"], plan(Technique::Stranded, Construction::InTheRound));
        assert_eq!((slots[0].stitches, slots[0].carried), (6.0, 2.0));
        assert_eq!((slots[1].stitches, slots[1].carried), (2.0, 6.0));
    }

    #[test]
    fn flat_it_travels_between_its_first_and_last_use() {
        let flat = plan(Technique::Stranded, Construction::Flat);
        assert_eq!(counted(&["00100100"], flat)[1].carried, 2.0);
        // Two repeats: the 2 + 2 stitches between them are floats now.
        assert_eq!(counted(&["00100100"], Plan { around: 2.0, ..flat })[1].carried, 8.0);
        assert_eq!(counted(&["00100100"], flat)[0].carried, 2.0);
    }

    #[test]
    fn a_long_float_is_caught_across_the_end_of_the_round_too() {
        let round = plan(Technique::Stranded, Construction::InTheRound);
        // 12 stitches behind: caught after 5 and 10. Twice around, twice as often.
        let rows = ["0000001000000"];
        assert_eq!(counted(&rows, round)[1].catches, 2.0);
        assert_eq!(counted(&rows, Plan { around: 2.0, ..round })[1].catches, 4.0);
        assert_eq!(counted(&rows, Plan { construction: Construction::Flat, ..round })[1].catches, 0.0);
        // Exactly the limit is left alone.
        assert_eq!(counted(&["100000"], round)[1].catches, 0.0);
    }

    #[test]
    fn edge_stitches_take_the_background_where_the_row_has_it() {
        let edged = Plan { edge: 3.0, ..plan(Technique::Stranded, Construction::InTheRound) };
        let slots = counted(&["1112", "0011"], edged);
        assert_eq!(slots[0].stitches, 2.0 + 3.0);
        // In the second row the background is not there to be had: the most used colour steps in.
        assert_eq!(slots[1].stitches, 2.0 + 3.0 + 3.0);
        assert_eq!(slots[1].carried, 2.0 + 3.0 + 1.0);
        assert_eq!((slots[2].stitches, slots[2].carried), (1.0, 3.0 + 3.0));
    }

    #[test]
    fn a_short_rest_is_carried_up_and_a_long_one_cut() {
        let stripes = plan(Technique::Stripes, Construction::InTheRound);
        let slots = counted(&["1", "0", "0", "0", "1"], stripes);
        assert_eq!((slots[1].strands, slots[1].carried_up), (1.0, 3.0));
        let slots = counted(&["1", "0", "0", "0", "0", "0", "1"], stripes);
        assert_eq!((slots[1].strands, slots[1].carried_up), (2.0, 0.0));
        // Flat, after an odd rest the yarn waits at the other edge.
        let flat = Plan { construction: Construction::Flat, ..stripes };
        assert_eq!(counted(&["1", "0", "1"], flat)[1].strands, 2.0);
        assert_eq!(counted(&["1", "0", "0", "1"], flat)[1].strands, 1.0);
    }

    #[test]
    fn rests_between_repeats_count_once_less_than_the_repeats() {
        let stripes = plan(Technique::Stripes, Construction::InTheRound);
        let rows = ["0", "0", "0", "0", "0", "1"];
        assert_eq!(counted(&rows, Plan { up: 3.0, ..stripes })[1].strands, 3.0);
        assert_eq!(counted(&rows, Plan { up: 3.0, ..stripes })[0].strands, 1.0);
        assert_eq!(counted(&rows, Plan { up: 3.0, ..stripes })[0].carried_up, 2.0);
    }

    #[test]
    fn no_stitch_is_no_yarn_and_parts_no_float() {
        let round = plan(Technique::Stranded, Construction::InTheRound);
        let slots = counted(&["1..000..0001"], round);
        assert_eq!((slots[0].stitches, slots[1].stitches), (6.0, 2.0));
        assert_eq!(slots[1].catches, 1.0);
        assert_eq!(counted(&["...."], round), [SlotCounts::default(); SLOTS]);
    }

    #[test]
    fn cast_on_and_bind_off_take_the_colours_of_the_first_and_last_row() {
        let grid = grid(&["2", "0", "1"]);
        let counts = count(&grid, grid.bounds(), plan(Technique::Stripes, Construction::Flat));
        assert_eq!((counts.cast_on, counts.bind_off), (Some(1), Some(2)));
    }
}
