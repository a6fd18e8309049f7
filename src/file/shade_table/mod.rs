//! Shades as a table: one's own from a spreadsheet, or a shop's as shops have it.
//!
//! One line a shade under a line of headings. Commas, semicolons or tabs divide the columns; the text is UTF-8 or
//! UTF-16. [`ShadeTable::read`] cuts it into cells, a [`Matching`] says which column holds what (found by the headings,
//! or chosen), and [`ShadeTable::shades`] makes shades of the lines that are sound and names those that are not.

mod heading_words;
mod headings;
mod line;
mod text;
mod write;

#[cfg(test)]
mod tests;

use std::collections::BTreeMap;
use std::fmt;

pub use headings::{HeadingFault, Matching, ShadeField};
pub use write::shades_to_csv;

use line::Line;

use crate::plain_text::one_line;
use crate::yarn::Shade;

/// Problems listed at most where a table is refused whole; the rest are counted.
const MOST_PROBLEMS: usize = 20;

/// What is wrong with a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CsvProblem {
    /// Line in the file, from 1, as an editor counts; the header is line 1.
    pub line: u64,
    /// The column as it is headed, or empty when the whole line is meant.
    pub column: String,
    /// What is wrong and how to mend it.
    pub message: String,
}

impl CsvProblem {
    fn of_line(line: u64, message: &str) -> Self {
        Self { line, column: String::new(), message: message.to_owned() }
    }

    /// A table of headings only.
    pub fn no_shades() -> Self {
        Self::of_line(1, "there are no shades under the header")
    }

    /// What is wrong, with the column it is wrong in.
    pub fn why(&self) -> String {
        let column = if self.column.is_empty() { String::new() } else { format!("column {}: ", self.column) };
        one_line(&format!("{column}{}", self.message))
    }
}

impl fmt::Display for CsvProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let column = if self.column.is_empty() { String::new() } else { format!(", column {}", self.column) };
        f.write_str(&one_line(&format!("line {}{column}: {}", self.line, self.message)))
    }
}

/// Why a table was not read: nothing of it is, so that no shade is lost unseen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CsvTrouble {
    /// The file, as the user named it.
    pub file: String,
    /// The first problems, at least one, in the order of the lines.
    pub problems: Vec<CsvProblem>,
    /// How many more there are.
    pub more: usize,
}

impl CsvTrouble {
    /// What is wrong with a file, the first problems in full.
    pub fn of(file: &str, problems: Vec<CsvProblem>) -> Self {
        let more = problems.len().saturating_sub(MOST_PROBLEMS);
        let problems = problems.into_iter().take(MOST_PROBLEMS).collect();
        Self { file: file.to_owned(), problems, more }
    }
}

impl std::error::Error for CsvTrouble {}

impl fmt::Display for CsvTrouble {
    /// One line: the first problem, and how many there are.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let file = one_line(&self.file);
        let others = self.problems.len() + self.more - self.problems.len().min(1);
        match self.problems.first() {
            Some(first) if others > 0 => write!(f, "{file}, {first} (and {others} more to mend)"),
            Some(first) => write!(f, "{file}, {first}"),
            None => write!(f, "{file}: the table cannot be read"),
        }
    }
}

/// A row under the headings.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TableRow {
    /// Line in the file, from 1.
    pub line: u64,
    /// Its cells, without the spaces around them.
    pub cells: Vec<String>,
}

/// A table cut into cells.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShadeTable {
    /// The first line.
    pub headings: Vec<String>,
    /// The rows under it that are not empty.
    pub rows: Vec<TableRow>,
    /// Lines that could not be cut.
    unread: Vec<CsvProblem>,
}

/// What a table gives under a matching.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct TakenIn {
    /// The sound shades, each with its line.
    pub shades: Vec<(u64, Shade)>,
    /// What is wrong with the others, in the order of the lines; a line may be named more than once.
    pub set_aside: Vec<CsvProblem>,
    /// Codes that stand in several lines.
    pub twice: Vec<(String, Vec<u64>)>,
    /// Sound lines with words in place of a price, which come in without one.
    pub unpriced: Vec<(u64, String)>,
    /// Sound lines whose fibre is not known: their words come in, and nothing is concluded from them.
    pub unknown_fibres: Vec<(u64, String)>,
    /// What stands for the currency of the prices, when something does.
    pub currency: Option<String>,
}

impl TakenIn {
    /// One entry for each line that is set aside, with everything that is wrong in it.
    pub fn set_aside_lines(&self) -> Vec<(u64, String)> {
        let lines = self.set_aside.chunk_by(|a, b| a.line == b.line);
        let why = |of_line: &[CsvProblem]| of_line.iter().map(CsvProblem::why).collect::<Vec<_>>().join("; ");
        lines.map(|of_line| (of_line[0].line, why(of_line))).collect()
    }
}

impl ShadeTable {
    /// Cuts a table into cells.
    ///
    /// # Errors
    /// [`CsvProblem`] when it is no text, or a quote is never closed.
    pub fn read(bytes: &[u8]) -> Result<Self, CsvProblem> {
        text::table(&text::decoded(bytes)?)
    }

    /// The shades of its lines, each column holding what `matching` says.
    pub fn shades(&self, matching: &Matching) -> TakenIn {
        let mut taken = TakenIn { set_aside: self.unread.clone(), ..TakenIn::default() };
        let mut codes: BTreeMap<String, Vec<u64>> = BTreeMap::new();
        for row in &self.rows {
            let line = Line { table: self, matching, row };
            let read = match line.shade() {
                Ok(read) => read,
                Err(found) => {
                    taken.set_aside.extend(found);
                    continue;
                }
            };
            if !read.currency.is_empty() {
                let usual = taken.currency.get_or_insert_with(|| read.currency.clone());
                if *usual != read.currency {
                    let message = format!(
                        "the price is in {}, those before it in {usual}: keep one currency in a table",
                        read.currency
                    );
                    taken.set_aside.push(CsvProblem::of_line(row.line, &message));
                    continue;
                }
            }
            if !read.shade.code.is_empty() {
                codes.entry(read.shade.code.clone()).or_default().push(row.line);
            }
            taken.unpriced.extend(line.unpriced(&read.shade).map(|words| (row.line, words)));
            taken.unknown_fibres.extend(line.unknown_fibre().map(|words| (row.line, words)));
            taken.shades.push((row.line, read.shade));
        }
        taken.set_aside.sort_by_key(|problem| problem.line);
        taken.twice = codes.into_iter().filter(|(_, lines)| lines.len() > 1).collect();
        taken
    }
}

/// The shades of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct ShadeImport {
    /// One a line.
    pub shades: Vec<Shade>,
    /// Columns that were left out, as they are headed.
    pub ignored: Vec<String>,
}

/// Reads shades from a table, all of them or none; `file` stands for it in errors.
///
/// # Errors
/// [`CsvTrouble`] with every line that is wrong.
pub fn shades_from_csv(bytes: &[u8], file: &str) -> Result<ShadeImport, CsvTrouble> {
    let trouble = |problem: CsvProblem| CsvTrouble::of(file, vec![problem]);
    let table = ShadeTable::read(bytes).map_err(trouble)?;
    let matching = Matching::of(&table).map_err(|fault| trouble(fault.into()))?;
    matching.check().map_err(|fault| trouble(fault.into()))?;
    let taken = table.shades(&matching);
    if !taken.set_aside.is_empty() {
        return Err(CsvTrouble::of(file, taken.set_aside));
    }
    if taken.shades.is_empty() {
        return Err(trouble(CsvProblem::no_shades()));
    }
    let shades = taken.shades.into_iter().map(|(_, shade)| shade).collect();
    Ok(ShadeImport { shades, ignored: matching.left_out(&table) })
}
