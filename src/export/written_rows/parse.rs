//! Written rows read back into a chart: the check that nothing was lost on the way.

use thiserror::Error;

use super::RowStyle;
use crate::chart::{Cell, Grid, GridError, MAX_SIDE, Work};
use crate::plain_text::Quoted;

/// No row is longer, so nothing needs to be counted higher.
const MAX_TIMES: usize = MAX_SIDE as usize;

/// Why written rows cannot be read.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum ParseError {
    /// The first line does not give the size.
    #[error("the first line must read 'Chart of N sts and M rows', not '{0}'")]
    Size(Quoted),
    /// A line that is not a row.
    #[error("line {line}: '{text}' cannot be read: {why}")]
    Line {
        /// Line number, from 1.
        line: usize,
        /// What was read.
        text: Quoted,
        /// What is wrong.
        why: RowFault,
    },
    /// The size cannot be.
    #[error(transparent)]
    Grid(#[from] GridError),
}

/// What is wrong with a written row.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum RowFault {
    /// It does not begin with its number.
    #[error("no row number")]
    NoNumber,
    /// Another row is due.
    #[error("row {0} should come next")]
    OutOfTurn(u32),
    /// `*` without `; repeat from * to`.
    #[error("the repeat does not end")]
    RepeatOpen,
    /// The repeat leaves stitches over.
    #[error("the repeat does not fit the row")]
    RepeatMisfit,
    /// Too few or too many stitches.
    #[error("{found} of {expected} sts")]
    Stitches {
        /// Stitches written.
        found: usize,
        /// Stitches of the row.
        expected: usize,
    },
    /// `(` without `)`.
    #[error("a bracket does not close")]
    BracketOpen,
    /// A bracket that does not say how often.
    #[error("no 'times' after a bracket")]
    NoTimes,
    /// Words where a number belongs.
    #[error("'{0}' is not a number")]
    NotANumber(Quoted),
    /// Wider than any chart.
    #[error("more stitches than a chart can have")]
    TooMany,
    /// A count that is none.
    #[error("'{0}' is no stitch count")]
    NoCount(Quoted),
    /// Stitches without a colour.
    #[error("'{0}' names no colour")]
    NoColour(Quoted),
    /// Neither knit nor purl.
    #[error("'{0}' is no stitch")]
    NoStitch(Quoted),
    /// A colour that is not in the palette.
    #[error("'{0}' is no colour of the palette")]
    UnknownColour(Quoted),
}

/// Reads what [`super::written_rows`] writes: the stitches of each row from the bottom, left to right as seen
/// from the right side. A row that is not written has none.
///
/// # Errors
/// [`ParseError`] naming the line and what is wrong with it.
pub fn parse_rows(text: &str, style: RowStyle) -> Result<Vec<Vec<Cell>>, ParseError> {
    let mut lines = text.lines().enumerate();
    let first = lines.next().map_or("", |(_, line)| line);
    let (width, height) = size(first).ok_or_else(|| ParseError::Size(first.into()))?;
    Grid::check_size(width.into(), height.into())?;
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    let mut stitches = width as usize;
    for (index, line) in lines.filter(|(_, line)| !line.trim().is_empty()) {
        let wrong = |why: RowFault| ParseError::Line { line: index + 1, text: line.into(), why };
        let (first, last, words) = label(line).ok_or_else(|| wrong(RowFault::NoNumber))?;
        if (first as usize) <= rows.len() || last < first || last > height {
            return Err(wrong(RowFault::OutOfTurn(rows.len() as u32 + 1)));
        }
        rows.resize(first as usize - 1, Vec::new());
        stitches = count(words).unwrap_or(stitches);
        for y in first - 1..last {
            let mut cells = row(words, stitches, style).map_err(wrong)?;
            if style.construction.reads_from_right(y) {
                cells.reverse();
            }
            rows.push(cells);
        }
    }
    rows.resize(height as usize, Vec::new());
    Ok(rows)
}

/// The stitches told after a row whose number changes: `... (22 sts as charted, 2 fewer)`.
fn count(words: &str) -> Option<usize> {
    let (_, note) = words.rsplit_once(". (")?;
    note.split(' ').next()?.parse().ok().filter(|n| *n <= MAX_TIMES)
}

/// Stitches and rows of `Chart of 24 sts and 30 rounds...`.
fn size(line: &str) -> Option<(u32, u32)> {
    let (width, rest) = line.strip_prefix("Chart of ")?.split_once(" sts and ")?;
    let height = rest.split(' ').next()?;
    Some((width.parse().ok()?, height.parse().ok()?))
}

/// Row numbers and words of `Rnds 3-5: ...`.
fn label(line: &str) -> Option<(u32, u32, &str)> {
    let (head, words) = line.split_once(": ")?;
    let numbers = head.split(' ').nth(1)?;
    let (first, last) = numbers.split_once('-').unwrap_or((numbers, numbers));
    Some((first.parse().ok()?, last.parse().ok()?, words))
}

/// The cells of a row in knitting order.
fn row(words: &str, stitches: usize, style: RowStyle) -> Result<Vec<Cell>, RowFault> {
    let words = words.split(". (").next().unwrap_or(words).trim_end_matches('.');
    for whole in ["k all sts with ", "p all sts with ", "work in St st with "] {
        if let Some(name) = words.strip_prefix(whole) {
            return Ok(vec![colour(name, style)?; stitches]);
        }
    }
    let cells = match words.split_once('*') {
        None => groups(words, style)?,
        Some((before, rest)) => {
            let (unit, end) = rest.split_once("; repeat from * to ").ok_or(RowFault::RepeatOpen)?;
            let after = end.split_once(", ").map_or("", |(_, after)| after);
            let (mut cells, unit, after) =
                (groups(before.trim_end_matches(", "), style)?, groups(unit, style)?, groups(after, style)?);
            let room = stitches.checked_sub(cells.len() + after.len());
            let room = room.filter(|room| !unit.is_empty() && room.is_multiple_of(unit.len()));
            let times = room.ok_or(RowFault::RepeatMisfit)? / unit.len();
            cells.extend(std::iter::repeat_n(unit, times).flatten());
            cells.extend(after);
            cells
        }
    };
    if cells.len() == stitches {
        Ok(cells)
    } else {
        Err(RowFault::Stitches { found: cells.len(), expected: stitches })
    }
}

/// `k2 A, (k1 B, k1 A) 3 times`.
fn groups(mut words: &str, style: RowStyle) -> Result<Vec<Cell>, RowFault> {
    let mut cells = Vec::new();
    while !words.is_empty() {
        if let Some(rest) = words.strip_prefix('(') {
            let (inner, rest) = rest.split_once(") ").ok_or(RowFault::BracketOpen)?;
            let (times, rest) = rest.split_once(" times").ok_or(RowFault::NoTimes)?;
            let times: usize = times.parse().map_err(|_| RowFault::NotANumber(times.into()))?;
            let inner = groups(inner, style)?;
            cells.extend(std::iter::repeat_n(inner, times.min(MAX_TIMES)).flatten());
            words = rest.trim_start_matches(", ");
        } else {
            let (run, rest) = words.split_once(", ").unwrap_or((words, ""));
            cells.extend(cells_of(run, style)?);
            words = rest;
        }
        if cells.len() > MAX_TIMES {
            return Err(RowFault::TooMany);
        }
    }
    Ok(cells)
}

/// `k2 A` or `k2tog A`.
fn cells_of(run: &str, style: RowStyle) -> Result<impl Iterator<Item = Cell>, RowFault> {
    let (stitches, name) = run.split_once(' ').ok_or_else(|| RowFault::NoColour(run.into()))?;
    let colour = colour(name, style)?;
    let shaped =
        Work::ALL[1..].iter().find(|work| [work.right_side(), work.wrong_side()].contains(&stitches));
    if let Some(work) = shaped {
        return Ok(std::iter::repeat_n(colour.worked(*work), 1));
    }
    let count = stitches.strip_prefix(['k', 'p']).ok_or_else(|| RowFault::NoStitch(stitches.into()))?;
    let count = count.parse().ok().filter(|n| *n <= MAX_TIMES);
    Ok(std::iter::repeat_n(colour, count.ok_or_else(|| RowFault::NoCount(stitches.into()))?))
}

fn colour(name: &str, style: RowStyle) -> Result<Cell, RowFault> {
    let slot = style.names.iter().position(|known| known == name);
    slot.map(|slot| Cell::slot(slot as u8)).ok_or_else(|| RowFault::UnknownColour(name.into()))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knit::Construction;

    fn read(text: &str) -> Result<Vec<Vec<Cell>>, String> {
        let names = ["A", "B"].map(str::to_owned);
        let style = RowStyle { construction: Construction::InTheRound, repeated: true, names: &names };
        parse_rows(text, style).map_err(|error| error.to_string())
    }

    #[test]
    fn what_cannot_be_read_names_its_line() {
        let cases = [
            ("", "the first line must read"),
            ("Chart of 3000 sts and 2 rounds.", "1 to 2000"),
            ("Chart of 4 sts and 1 rounds.\nk4 A", "line 2"),
            ("Chart of 4 sts and 1 rounds.\nRnd 1: k4 XX.", "'XX' is no colour"),
            ("Chart of 4 sts and 1 rounds.\nRnd 1: k3 A.", "3 of 4 sts"),
            ("Chart of 4 sts and 1 rounds.\nRnd 1: *k3 A; repeat from * to end.", "does not fit"),
            ("Chart of 4 sts and 1 rounds.\nRnd 1: k99999999999 A.", "is no stitch count"),
            ("Chart of 4 sts and 1 rounds.\nRnd 1: (k1 A) 4 tim", "no 'times'"),
            ("Chart of 4 sts and 2 rounds.\nRnd 3: k all sts with A.", "row 1 should come next"),
            ("Chart of 4 sts and 1 rounds.\nRnd 1: k all sts with A.\nRnd 1: k4 A.", "row 2 should come"),
        ];
        for (text, expected) in cases {
            let error = read(text).unwrap_err();
            assert!(error.contains(expected), "{text}: {error}");
        }
    }

    #[test]
    fn groups_open_up() {
        let rows = read("Chart of 7 sts and 1 rounds.\nRnd 1: (k1 A, k1 B) 3 times, k1 A.\n").unwrap();
        let slots: Vec<_> = rows[0].iter().filter_map(|cell| cell.index()).collect();
        assert_eq!(slots, [0, 1, 0, 1, 0, 1, 0]);
    }
}
