//! Words that came from outside, made fit to be shown, printed and handed on.
//!
//! A name in a file may hold anything: line breaks, terminal commands (the control characters of
//! ISO/IEC 6429), marks that turn the direction of what follows, a formula for a spreadsheet, or
//! fifty megabytes. Each of these is met in one place, here.

use std::borrow::Cow;
use std::fmt;

/// Characters of a quoted value that are shown; what is longer is cut.
pub const MOST_QUOTED: usize = 60;

/// Whether a character shows nothing of its own but acts on what stands around it: control
/// characters (C0, DEL and C1), line and paragraph separators, marks of direction (Unicode Standard
/// Annex #9, table 2), the byte order mark and the two noncharacters that XML forbids.
pub fn acts_on_others(c: char) -> bool {
    c.is_control()
        || matches!(
            c,
            '\u{061c}'
                | '\u{200e}'
                | '\u{200f}'
                | '\u{2028}'..='\u{202e}'
                | '\u{2066}'..='\u{2069}'
                | '\u{feff}'
                | '\u{fffe}'
                | '\u{ffff}'
        )
}

/// The text on one line, every character that [acts on others](acts_on_others) replaced by a space.
pub fn one_line(text: &str) -> String {
    text.chars().map(|c| if acts_on_others(c) { ' ' } else { c }).collect()
}

/// `a`, `a and b`, `a, b and c`.
pub fn and_list<T: AsRef<str>>(words: &[T]) -> String {
    let words: Vec<&str> = words.iter().map(AsRef::as_ref).collect();
    match words.as_slice() {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// A number with so many decimals; a minus is a minus sign, and nothing is ever `-0`.
pub fn number(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(zero) if zero.chars().all(|c| c == '0' || c == '.') => zero.to_owned(),
        Some(rest) => format!("−{rest}"),
        None => text,
    }
}

/// The same with a plus before what is more than nothing.
pub fn signed(value: f64, decimals: usize) -> String {
    let text = number(value, decimals);
    let nothing = text.chars().all(|c| c == '0' || c == '.');
    if text.starts_with('−') || nothing { text } else { format!("+{text}") }
}

/// A value for a message: on one line and cut to [`MOST_QUOTED`] characters.
pub fn quoted(text: &str) -> String {
    let mut shown: String =
        text.chars().take(MOST_QUOTED).map(|c| if acts_on_others(c) { ' ' } else { c }).collect();
    if text.chars().nth(MOST_QUOTED).is_some() {
        shown.push('…');
    }
    shown
}

/// A value that shows itself as [`quoted`] does; for messages that are derived.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Quoted(String);

impl Quoted {
    /// Keeps what will be shown of the value, and no more.
    pub fn new(value: &str) -> Self {
        Self(quoted(value))
    }
}

impl From<&str> for Quoted {
    fn from(value: &str) -> Self {
        Self::new(value)
    }
}

impl fmt::Display for Quoted {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// Whether a spreadsheet would take a cell for a formula (OWASP, "CSV Injection": a first character
/// `=`, `+`, `-`, `@`, tab or carriage return).
fn is_armed(cell: &str) -> bool {
    let first = cell.chars().find(|c| !c.is_whitespace() && !acts_on_others(*c));
    // The full-width forms count as formulas where text is written in them.
    first.is_some_and(|c| "=+-@＝＋－＠".contains(c)) || cell.starts_with(char::is_control)
}

/// A cell that a spreadsheet takes for words: one that begins like a formula gets an apostrophe before
/// it, which marks text there. [`armed`] takes it off again.
pub fn unarmed(cell: &str) -> Cow<'_, str> {
    if is_armed(cell.trim_start_matches('\'')) { format!("'{cell}").into() } else { cell.into() }
}

/// The cell as it was before [`unarmed`].
pub fn armed(cell: &str) -> &str {
    match cell.strip_prefix('\'') {
        Some(rest) if is_armed(rest.trim_start_matches('\'')) => rest,
        _ => cell,
    }
}

/// An error as a sentence of its own.
pub fn sentence(error: &impl ToString) -> String {
    let words = error.to_string();
    let mut letters = words.chars();
    let first = letters.next().map(|letter| letter.to_uppercase().to_string()).unwrap_or_default();
    format!("{first}{}.", letters.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_error_becomes_a_sentence() {
        assert_eq!(sentence(&"piece 'Öhr' has no bands: add one"), "Piece 'Öhr' has no bands: add one.");
        assert_eq!(sentence(&"ö"), "Ö.");
    }

    #[test]
    fn one_line_is_one_line_and_commands_nothing() {
        // ESC [ 31 m in both of its forms, a right-to-left override, a line separator, a letter.
        let text = "a\u{1b}[31m\u{9b}31m\u{202e}b\u{2028}c\né\u{feff}";
        let line = one_line(text);
        assert_eq!(line, "a [31m 31m b c é ");
        assert!(!line.chars().any(acts_on_others));
    }

    #[test]
    fn a_long_value_is_cut_and_a_short_one_is_whole() {
        assert_eq!(quoted("Dull bucket"), "Dull bucket");
        let exact = "é".repeat(MOST_QUOTED);
        assert_eq!(quoted(&exact), exact);
        let cut = quoted(&"é".repeat(50_000));
        assert_eq!(cut.chars().count(), MOST_QUOTED + 1);
        assert!(cut.ends_with('…'));
        assert_eq!(Quoted::new("a\nb").to_string(), "a b");
    }

    #[test]
    fn no_cell_begins_as_a_formula_and_each_comes_back() {
        for cell in ["=1+2", "+1", "-1", "@x", " =1", "\t=1", "\r=1", "\u{feff}=1", "＝1", "'=1", "''+1"] {
            let safe = unarmed(cell);
            assert!(safe.starts_with('\''), "{cell:?}");
            assert_eq!(armed(&safe), cell);
        }
        for cell in ["Sea = pink", "", "'", "it's", "'tis", "1-2"] {
            assert_eq!(unarmed(cell), cell);
            assert_eq!(armed(cell), cell);
        }
    }
}
