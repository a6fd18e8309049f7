//! A chart as written rows in standard abbreviations.
//!
//! Abbreviations after the master list of the Craft Yarn Council. Rows are read as charts are: from the
//! bottom, right to left; wrong-side rows left to right and purled. Cells where the fabric has no stitch are
//! passed over: on the needle there is nothing.

mod fold;

use std::fmt::Write as _;

use super::instructions::{Sized, in_sizes};
use crate::chart::{Cell, Grid, Rect, Work, stitches_in_row};
use crate::knit::Construction;
use crate::plain_text::one_line;
use crate::project::{Project, key_entry};
use crate::units::counted;

use fold::{Folded, Group, Run};

/// The abbreviations that written rows use, and what they mean.
pub const ABBREVIATIONS: [(&str, &str); 7] = [
    ("k", "knit"),
    ("p", "purl"),
    ("st(s)", "stitch(es)"),
    ("St st", "stockinette stitch"),
    ("rnd(s)", "round(s)"),
    ("RS", "right side"),
    ("WS", "wrong side"),
];

/// How a chart is written.
#[derive(Clone, Copy, Debug)]
pub struct RowStyle<'a> {
    /// Rounds or turned rows.
    pub construction: Construction,
    /// Whether the repeat box is worked over and over across the row; otherwise the chart is worked once
    /// as it stands.
    pub repeated: bool,
    /// What each palette slot is called: its code, see [`crate::project::colour_code`].
    pub names: &'a [String],
}

/// One or more rows with the same words.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WrittenRow {
    /// Row number of the first, from 1.
    pub first: u32,
    /// Row number of the last.
    pub last: u32,
    /// The words, without the row number.
    pub words: String,
}

impl WrittenRow {
    /// `Rnd 3`, `Rnds 3-5`, `Row 2 (WS)`, `Rows 2-5`.
    pub fn label(&self, construction: Construction) -> String {
        let Self { first, last, .. } = self;
        match (construction, first == last) {
            (Construction::InTheRound, true) => format!("Rnd {first}"),
            (Construction::InTheRound, false) => format!("Rnds {first}-{last}"),
            (Construction::Flat, true) if first.is_multiple_of(2) => format!("Row {first} (WS)"),
            (Construction::Flat, true) => format!("Row {first} (RS)"),
            (Construction::Flat, false) => format!("Rows {first}-{last}"),
        }
    }
}

/// The chart in words: a first line with its size, then a line for each row or group of equal rows.
///
/// The stitches beside the repeat box are worked once, before and after it.
pub fn written_rows(grid: &Grid, repeat: Rect, style: RowStyle) -> String {
    let mut text = size_line(grid, repeat, style);
    for row in rows(grid, repeat, style) {
        // Writing to a string cannot fail.
        let _ = writeln!(text, "{}: {}", row.label(style.construction), row.words);
    }
    text
}

/// The project's chart in words, with the key to its colours before it.
pub fn of_project(project: &Project) -> String {
    let names = project.palette.codes();
    let mut text = format!("{}\n\n", one_line(&project.title));
    for (index, slot) in project.palette.slots().iter().enumerate() {
        let _ = writeln!(text, "{}", one_line(&key_entry(index, slot)));
    }
    let style = RowStyle {
        construction: project.plan.construction,
        repeated: !project.chart_is_worked_once(),
        names: &names,
    };
    text.push('\n');
    if let Ok(sized) = Sized::of(project, None) {
        text.push_str(&worked_in(&sized));
    }
    text + &written_rows(&project.chart.grid, project.chart.repeat(), style)
}

/// Where the chart is worked: a line for each band that has it, in every size.
fn worked_in(sized: &Sized) -> String {
    let mut text = String::new();
    for (i, piece) in sized.chosen_pieces().iter().enumerate() {
        for (j, band) in piece.bands.iter().enumerate() {
            let Some(repeat) = band.chart.map(|fit| fit.repeat_stitches) else { continue };
            let bands = || sized.worked.iter().filter_map(|pieces| pieces.get(i)?.bands.get(j));
            let across = in_sizes(bands().filter_map(|band| band.chart).map(|fit| fit.across.to_string()));
            let across = if across == "1" { "once".to_owned() } else { format!("{across} times") };
            let rows = in_sizes(bands().map(|band| (band.rows() - band.setup_rows).to_string()));
            let word = match band.construction {
                Construction::InTheRound => "rnds",
                Construction::Flat => "rows",
            };
            let place = one_line(&format!("{}, {}", piece.name, band.name.to_lowercase()));
            // Writing to a string cannot fail.
            let _ = writeln!(
                text,
                "{place}: repeat of {repeat} sts worked {across} across, {rows} {word}; sizes {}.",
                sized.size_names()
            );
        }
    }
    text
}

fn size_line(grid: &Grid, repeat: Rect, style: RowStyle) -> String {
    let [one, many] = style.construction.row_words();
    let rows = counted(u64::from(grid.height()), one, many);
    let mut line = format!("Chart of {} sts and {rows}", grid.width());
    if style.repeated {
        let outside = grid.width() - repeat.width;
        let _ = write!(line, ", over a multiple of {} sts", repeat.width);
        if outside > 0 {
            let _ = write!(line, " and {outside}");
        }
    }
    line + ".\n"
}

/// The rows of the chart in words, from the bottom; equal neighbours are taken together.
pub fn rows(grid: &Grid, repeat: Rect, style: RowStyle) -> Vec<WrittenRow> {
    let repeat = Rect { y: 0, height: grid.height(), ..repeat }.intersect(grid.bounds());
    let mut rows: Vec<WrittenRow> = Vec::with_capacity(grid.height() as usize);
    let mut stockinette = None;
    // A row in one colour is whole, so in stockinette the count can change at its first row only.
    let mut note_before = String::new();
    let mut stitches_before = Some(grid.width());
    for y in 0..grid.height() {
        let (words, stitches) = row_words(grid, repeat, y, style);
        if stitches == 0 {
            continue;
        }
        let note = count_note(stitches, stitches_before, style);
        let counted = format!("{words}{note}");
        stitches_before = Some(stitches);
        let solid = solid_colour(grid.row(y)).filter(|_| style.construction == Construction::Flat);
        let number = y + 1;
        match rows.last_mut().filter(|last| last.last + 1 == number) {
            Some(last) if solid.is_some() && solid == stockinette => {
                last.last = number;
                last.words = format!("work in St st with {}.{note_before}", name(style, solid.unwrap_or(0)));
            }
            Some(last) if last.words == counted && style.construction == Construction::InTheRound => {
                last.last = number;
            }
            _ => {
                rows.push(WrittenRow { first: number, last: number, words: counted });
                note_before = note;
            }
        }
        stockinette = solid;
    }
    rows
}

/// The slot of a row in one colour without gaps.
fn solid_colour(row: &[Cell]) -> Option<usize> {
    let first = row.first()?;
    let solid = first.work() == Work::Plain && row.iter().all(|cell| cell == first);
    solid.then(|| first.index()).flatten()
}

/// How many stitches the row has, where that is not plain from the row before.
fn count_note(stitches: u32, before: Option<u32>, style: RowStyle) -> String {
    let whole = if style.repeated { "as charted" } else { "in all" };
    match before {
        Some(before) if before > stitches => {
            format!(" ({stitches} sts {whole}, {} fewer)", before - stitches)
        }
        Some(before) if before < stitches => format!(" ({stitches} sts {whole}, {} more)", stitches - before),
        _ => String::new(),
    }
}

/// The words of row `y` and its stitches.
fn row_words(grid: &Grid, repeat: Rect, y: u32, style: RowStyle) -> (String, u32) {
    let right_side = style.construction.reads_from_right(y);
    let mut cells = grid.row(y).to_vec();
    let stitches = stitches_in_row(&cells);
    let (left, right) = (repeat.x as usize, (grid.width() - repeat.x - repeat.width) as usize);
    let (mut before, mut after) = (left, right);
    if right_side {
        cells.reverse();
        (before, after) = (right, left);
    }
    let side = if right_side { Work::right_side } else { Work::wrong_side };
    if let Some(slot) = solid_colour(grid.row(y)) {
        return (format!("{} all sts with {}.", side(Work::Plain), name(style, slot)), stitches);
    }
    let worked = |cells: &[Cell]| -> Vec<Cell> {
        cells.iter().copied().filter(|cell| cell.index().is_some()).collect()
    };
    let folded = if style.repeated {
        let inner = worked(&cells[before..cells.len() - after]);
        let unit = &inner[..fold::period(&inner)];
        let part = |cells: &[Cell]| fold::groups_of(&fold::runs_of(cells));
        Folded {
            before: part(&worked(&cells[..before])),
            repeat: (!unit.is_empty()).then(|| part(unit)),
            after: part(&worked(&cells[cells.len() - after..])),
        }
    } else {
        fold::fold_once(&fold::runs_of(&worked(&cells)))
    };
    (folded_words(&folded, side, style), stitches)
}

/// The abbreviation of a way to work on the side at hand.
type Side = fn(Work) -> &'static str;

fn folded_words(folded: &Folded, side: Side, style: RowStyle) -> String {
    let mut parts = Vec::new();
    let words = |groups: &[Group]| {
        groups.iter().map(|group| group_words(group, side, style)).collect::<Vec<_>>().join(", ")
    };
    if !folded.before.is_empty() {
        parts.push(words(&folded.before));
    }
    if let Some(repeat) = &folded.repeat {
        let last = taken_by(&folded.after);
        let end = match last {
            0 => "end".to_owned(),
            1 => "last st".to_owned(),
            n => format!("last {n} sts"),
        };
        parts.push(format!("*{}; repeat from * to {end}", words(repeat)));
    }
    if !folded.after.is_empty() {
        parts.push(words(&folded.after));
    }
    parts.join(", ") + "."
}

fn group_words(group: &Group, side: Side, style: RowStyle) -> String {
    let runs = group.runs.iter().map(|run| run_words(*run, side, style)).collect::<Vec<_>>().join(", ");
    if group.times == 1 { runs } else { format!("({runs}) {} times", group.times) }
}

fn run_words(run: Run, side: Side, style: RowStyle) -> String {
    let colour = run.cell.index().map_or("?", |slot| name(style, slot));
    match run.cell.work() {
        Work::Plain => format!("{}{} {colour}", side(Work::Plain), run.length),
        work => format!("{} {colour}", side(work)),
    }
}

fn name(style: RowStyle<'_>, slot: usize) -> &str {
    style.names.get(slot).map_or("?", String::as_str)
}

/// Stitches on the needle that the groups work.
fn taken_by(groups: &[Group]) -> u32 {
    let taken = |group: &Group| {
        group.runs.iter().map(|run| run.length * run.cell.work().takes()).sum::<u32>() * group.times
    };
    groups.iter().map(taken).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A grid from rows written top first; `.` is no stitch.
    fn grid(rows: &[&str]) -> Grid {
        let cells = rows.iter().rev().flat_map(|row| row.bytes()).map(|byte| match byte {
            b'.' => Cell::NO_STITCH,
            digit => Cell::slot(digit - b'0'),
        });
        Grid::from_cells(rows[0].len() as u32, rows.len() as u32, cells.collect()).unwrap()
    }

    fn names() -> Vec<String> {
        ["A", "B", "C"].map(str::to_owned).to_vec()
    }

    fn written(rows: &[&str], construction: Construction, repeated: bool) -> String {
        let grid = grid(rows);
        written_rows(&grid, grid.bounds(), RowStyle { construction, repeated, names: &names() })
    }

    #[test]
    fn repeats_are_folded_and_equal_rounds_taken_together() {
        let text = written(&["000000", "000000", "100100"], Construction::InTheRound, true);
        assert_eq!(
            text,
            "Chart of 6 sts and 3 rounds, over a multiple of 6 sts.\n\
             Rnd 1: *k2 A, k1 B; repeat from * to end.\n\
             Rnds 2-3: k all sts with A.\n"
        );
    }

    #[test]
    fn wrong_side_rows_are_purled_from_the_left() {
        let text = written(&["0011", "0001"], Construction::Flat, false);
        assert_eq!(
            text,
            "Chart of 4 sts and 2 rows.\n\
             Row 1 (RS): k1 B, k3 A.\n\
             Row 2 (WS): p2 A, p2 B.\n"
        );
    }

    #[test]
    fn a_flat_stretch_in_one_colour_is_stockinette() {
        let text = written(&["01", "22", "22", "22"], Construction::Flat, false);
        assert!(text.contains("Rows 1-3: work in St st with C.\nRow 4 (WS): p1 A, p1 B.\n"), "{text}");
    }

    #[test]
    fn stockinette_after_a_row_of_fewer_stitches_keeps_its_count() {
        let text = written(&["0000", "0000", "01.0"], Construction::Flat, false);
        assert!(text.ends_with("Rows 2-3: work in St st with A. (4 sts in all, 1 more)\n"), "{text}");
    }

    #[test]
    fn stitches_beside_the_repeat_box_are_worked_once() {
        let grid = grid(&["2011012"]);
        let style = RowStyle { construction: Construction::InTheRound, repeated: true, names: &names() };
        let text = written_rows(&grid, Rect::new(1, 0, 4, 1), style);
        assert_eq!(
            text,
            "Chart of 7 sts and 1 round, over a multiple of 4 sts and 3.\n\
             Rnd 1: k1 C, k1 B, *k1 A, k2 B, k1 A; repeat from * to last st, k1 C.\n"
        );
    }

    #[test]
    fn cells_without_a_stitch_are_told_and_the_count_with_them() {
        let text = written(&["0.10", "0010"], Construction::InTheRound, true);
        assert!(
            text.contains("Rnd 2: *k1 A, k1 B, k1 A; repeat from * to end. (3 sts as charted, 1 fewer)"),
            "{text}"
        );
    }

    #[test]
    fn decreases_are_named_with_their_colour_and_the_end_counts_what_is_on_the_needle() {
        let mut grid = grid(&["01000100", "00000000"]);
        grid.set(crate::chart::Point::new(0, 1), Cell::slot(0).worked(Work::K2tog));
        grid.set(crate::chart::Point::new(7, 1), Cell::slot(1).worked(Work::Ssk));
        let names = names();
        let style = RowStyle { construction: Construction::InTheRound, repeated: true, names: &names };
        let words = &rows(&grid, Rect::new(1, 0, 6, 2), style)[1].words;
        assert_eq!(words, "ssk B, *k1 A, k1 B, k3 A, k1 B; repeat from * to last 2 sts, k2tog A.");
        let flat = RowStyle { construction: Construction::Flat, ..style };
        let words = &rows(&grid, Rect::new(1, 0, 6, 2), flat)[1].words;
        assert!(words.starts_with("p2tog A, *p1 B"), "{words}");
        assert!(words.ends_with("to last 2 sts, ssp B."), "{words}");
    }

    #[test]
    fn a_row_worked_once_folds_what_repeats_in_it() {
        let text = written(&["20100100100"], Construction::InTheRound, false);
        assert!(text.contains("Rnd 1: *k2 A, k1 B; repeat from * to last 2 sts, k1 A, k1 C."), "{text}");
    }
}
