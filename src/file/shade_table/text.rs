//! The bytes of a table as text, and where its lines are.

use csv::{ReaderBuilder, StringRecord};

use super::{CsvProblem, ShadeTable, TableRow};
use crate::plain_text::{acts_on_others, armed};
use crate::yarn::MAX_SHADES;

/// Most columns of a table; more are no table of shades.
const MAX_COLUMNS: usize = 1_000;

/// Text of UTF-8 (with or without the mark before it) or of UTF-16 (either order of bytes, with the mark, or told
/// by the zero bytes of plain letters).
pub(super) fn decoded(bytes: &[u8]) -> Result<String, CsvProblem> {
    let wide = |from: &[u8], read: fn([u8; 2]) -> u16| {
        let (pairs, rest) = from.as_chunks::<2>();
        let text: Option<String> =
            char::decode_utf16(pairs.iter().map(|pair| read(*pair))).map(Result::ok).collect();
        let message = "this is not whole UTF-16 text: save the table again as CSV UTF-8";
        text.filter(|_| rest.is_empty()).ok_or_else(|| CsvProblem::of_line(1, message))
    };
    match bytes {
        [0xff, 0xfe, rest @ ..] => wide(rest, u16::from_le_bytes),
        [0xfe, 0xff, rest @ ..] => wide(rest, u16::from_be_bytes),
        [first, 0, ..] if *first != 0 => wide(bytes, u16::from_le_bytes),
        [0, first, ..] if *first != 0 => wide(bytes, u16::from_be_bytes),
        _ => match std::str::from_utf8(bytes) {
            Ok(text) => Ok(text.trim_start_matches('\u{feff}').to_owned()),
            Err(error) => {
                let line = LineCounter::default().line_at(bytes, error.valid_up_to());
                Err(CsvProblem::of_line(line, "this is not UTF-8 text: save the table as CSV UTF-8"))
            }
        },
    }
}

/// Headings and rows of a text; lines that cannot be read stand beside them.
pub(super) fn table(text: &str) -> Result<ShadeTable, CsvProblem> {
    let delimiter = delimiter(text);
    if let Some(line) = open_quote(text, delimiter) {
        let message = "a quote that opens in this line is never closed: close it with \"";
        return Err(CsvProblem::of_line(line, message));
    }
    let mut reader = ReaderBuilder::new()
        .delimiter(delimiter)
        .flexible(true)
        .has_headers(false)
        .from_reader(text.as_bytes());
    let (mut headings, mut rows, mut problems) = (None, Vec::new(), Vec::new());
    let mut lines = LineCounter::default();
    let mut record = StringRecord::new();
    loop {
        let start = reader.position().byte() as usize;
        match reader.read_record(&mut record) {
            Ok(false) => break,
            Ok(true) => {}
            Err(error) => {
                let line = lines.line_of_record(text.as_bytes(), start);
                problems.push(CsvProblem::of_line(line, &format!("this line cannot be read ({error})")));
                continue;
            }
        }
        let line = lines.line_of_record(text.as_bytes(), start);
        let cells: Vec<String> = record.iter().take(MAX_COLUMNS).map(word).collect();
        if cells.iter().all(String::is_empty) {
            continue;
        }
        if headings.is_none() {
            headings = Some(cells);
            continue;
        }
        if rows.len() + problems.len() >= MAX_SHADES {
            problems
                .push(CsvProblem::of_line(line, &format!("more than {MAX_SHADES} shades: divide the table")));
            break;
        }
        rows.push(TableRow { line, cells });
    }
    Ok(ShadeTable { headings: headings.unwrap_or_default(), rows, unread: problems })
}

/// The divider that the header line has most of.
fn delimiter(text: &str) -> u8 {
    let header = text.lines().find(|line| !line.trim().is_empty()).unwrap_or_default();
    let count = |byte: &u8| header.bytes().filter(|b| b == byte).count();
    // The last of equals wins, so the comma stands last.
    [b'\t', b';', b','].into_iter().max_by_key(count).unwrap_or(b',')
}

/// The line where a quote opens that is never closed: all that follows would be one cell.
fn open_quote(text: &str, delimiter: u8) -> Option<u64> {
    let bytes = text.as_bytes();
    let mut opened = None;
    let (mut starts, mut closing) = (true, false);
    for (place, byte) in bytes.iter().copied().enumerate() {
        match (opened, byte) {
            (Some(_), b'"') => (opened, closing) = (None, true),
            // A quote twice is one that belongs to the cell.
            (None, b'"') if starts || closing => (opened, closing) = (Some(place), false),
            _ => closing = false,
        }
        starts = opened.is_none() && (byte == delimiter || byte == b'\n' || byte == b'\r');
    }
    opened.map(|place| LineCounter::default().line_at(bytes, place))
}

/// Counts lines from 1 as an editor does: they end with `\n`, `\r\n` or `\r`.
#[derive(Default)]
struct LineCounter {
    place: usize,
    ends: u64,
}

impl LineCounter {
    /// The line of a byte; `place` must not be before that of the last call.
    fn line_at(&mut self, bytes: &[u8], place: usize) -> u64 {
        let place = place.min(bytes.len());
        for at in self.place..place {
            let alone = bytes[at] == b'\r' && bytes.get(at + 1) != Some(&b'\n');
            self.ends += u64::from(bytes[at] == b'\n' || alone);
        }
        self.place = self.place.max(place);
        self.ends + 1
    }

    /// The line a record begins in that was asked for at `start`: empty lines before it, and what is left of the end of the
    /// line before, are no part of it.
    fn line_of_record(&mut self, bytes: &[u8], start: usize) -> u64 {
        let rest = bytes.get(start..).unwrap_or_default();
        let skipped = rest.iter().take_while(|byte| matches!(byte, b'\r' | b'\n')).count();
        self.line_at(bytes, start + skipped)
    }
}

/// The text of a cell, without the mark that a spreadsheet needs before what is no formula.
fn word(cell: &str) -> String {
    armed(harmless(cell).trim()).to_owned()
}

/// Nothing in it acts on a terminal; line ends and tabs stay, for they are the person's own.
pub(super) fn harmless(text: &str) -> String {
    let plain = |c: char| if acts_on_others(c) && !matches!(c, '\n' | '\r' | '\t') { ' ' } else { c };
    text.chars().map(plain).collect()
}
