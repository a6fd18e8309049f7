//! Written rows read back into a chart: the check that nothing was lost on the way.

use huegauge::chart::{Cell, Grid, MAX_SIDE, Work};
use huegauge::export::written_rows::RowStyle;

/// No row is longer, so nothing needs to be counted higher.
const MAX_TIMES: usize = MAX_SIDE as usize;

/// Reads what [`written_rows`](huegauge::export::written_rows::written_rows) writes: the stitches of each row from the bottom, left to right as seen
/// from the right side. A row that is not written has none.
pub fn parse_rows(text: &str, style: RowStyle) -> Result<Vec<Vec<Cell>>, String> {
    let mut lines = text.lines().enumerate();
    let first = lines.next().map_or("", |(_, line)| line);
    let (width, height) = size(first).ok_or_else(|| format!("no size: '{first}'"))?;
    Grid::check_size(width.into(), height.into()).map_err(|error| error.to_string())?;
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    let mut stitches = width as usize;
    for (index, line) in lines.filter(|(_, line)| !line.trim().is_empty()) {
        let wrong = |why: String| format!("line {}: '{line}': {why}", index + 1);
        let (first, last, words) = label(line).ok_or_else(|| wrong("no row number".to_owned()))?;
        if (first as usize) <= rows.len() || last < first || last > height {
            return Err(wrong(format!("row {} should come next", rows.len() + 1)));
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
fn row(words: &str, stitches: usize, style: RowStyle) -> Result<Vec<Cell>, String> {
    let words = words.split(". (").next().unwrap_or(words).trim_end_matches('.');
    for whole in ["k all sts with ", "p all sts with ", "work in St st with "] {
        if let Some(name) = words.strip_prefix(whole) {
            return Ok(vec![colour(name, style)?; stitches]);
        }
    }
    let cells = match words.split_once('*') {
        None => groups(words, style)?,
        Some((before, rest)) => {
            let (unit, end) = rest.split_once("; repeat from * to ").ok_or("the repeat does not end")?;
            let after = end.split_once(", ").map_or("", |(_, after)| after);
            let (mut cells, unit, after) =
                (groups(before.trim_end_matches(", "), style)?, groups(unit, style)?, groups(after, style)?);
            let room = stitches.checked_sub(cells.len() + after.len());
            let room = room.filter(|room| !unit.is_empty() && room.is_multiple_of(unit.len()));
            let times = room.ok_or("the repeat does not fit the row")? / unit.len();
            cells.extend(std::iter::repeat_n(unit, times).flatten());
            cells.extend(after);
            cells
        }
    };
    if cells.len() == stitches { Ok(cells) } else { Err(format!("{} of {stitches} sts", cells.len())) }
}

/// `k2 A, (k1 B, k1 A) 3 times`.
fn groups(mut words: &str, style: RowStyle) -> Result<Vec<Cell>, String> {
    let mut cells = Vec::new();
    while !words.is_empty() {
        if let Some(rest) = words.strip_prefix('(') {
            let (inner, rest) = rest.split_once(") ").ok_or("a bracket does not close")?;
            let (times, rest) = rest.split_once(" times").ok_or("no 'times' after a bracket")?;
            let times: usize = times.parse().map_err(|_| format!("'{times}' is not a number"))?;
            let inner = groups(inner, style)?;
            cells.extend(std::iter::repeat_n(inner, times.min(MAX_TIMES)).flatten());
            words = rest.trim_start_matches(", ");
        } else {
            let (run, rest) = words.split_once(", ").unwrap_or((words, ""));
            cells.extend(cells_of(run, style)?);
            words = rest;
        }
        if cells.len() > MAX_TIMES {
            return Err("more stitches than a chart can have".to_owned());
        }
    }
    Ok(cells)
}

/// `k2 A` or `k2tog A`.
fn cells_of(run: &str, style: RowStyle) -> Result<impl Iterator<Item = Cell>, String> {
    let (stitches, name) = run.split_once(' ').ok_or_else(|| format!("'{run}' names no colour"))?;
    let colour = colour(name, style)?;
    let shaped =
        Work::ALL[1..].iter().find(|work| [work.right_side(), work.wrong_side()].contains(&stitches));
    if let Some(work) = shaped {
        return Ok(std::iter::repeat_n(colour.worked(*work), 1));
    }
    let count = stitches.strip_prefix(['k', 'p']).ok_or_else(|| format!("'{stitches}' is no stitch"))?;
    let count = count.parse().ok().filter(|n| *n <= MAX_TIMES);
    Ok(std::iter::repeat_n(colour, count.ok_or_else(|| format!("'{stitches}' is no stitch count"))?))
}

fn colour(name: &str, style: RowStyle) -> Result<Cell, String> {
    let slot = style.names.iter().position(|known| known == name);
    slot.map(|slot| Cell::slot(slot as u8)).ok_or_else(|| format!("'{name}' is no colour of the palette"))
}
