//! Where in a project file something is: line, column and field.
//!
//! The RON parser knows lines and columns but not fields, and a value that parses can still be
//! wrong (a gauge of 0). A small scanner that walks the text once serves both: it tells the field
//! at a position, and the position of a field.

use std::fmt;
use std::ops::ControlFlow;

use crate::plain_text::quoted;

/// A place in a text file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Place {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
    /// The field, e.g. `palette > colours 3 > name`; empty when none is open.
    pub field: String,
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "line {}, column {}", self.line, self.column)?;
        if self.field.is_empty() { Ok(()) } else { write!(f, " ({})", self.field) }
    }
}

/// The place at a line and column (from 1), with the field that is open there.
pub fn at(text: &str, line: usize, column: usize) -> Place {
    let target = offset_of(text, line, column);
    let mut last = None;
    walk(text, |_, offset| {
        if offset > target {
            return ControlFlow::Break(());
        }
        last = Some(offset);
        ControlFlow::Continue(())
    });
    Place { line, column, field: last.map(|offset| field_at(text, offset)).unwrap_or_default() }
}

/// The place of the value of `field`; the start of the file when the text has no such field.
pub fn of(text: &str, field: &str) -> Place {
    let mut found = 0;
    walk(text, |path, offset| {
        if path.to_string() == field {
            found = offset;
            return ControlFlow::Break(());
        }
        ControlFlow::Continue(())
    });
    let before = &text[..found];
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
    Place { line, column, field: field.to_owned() }
}

/// What is open where a text ends.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LeftOpen {
    /// A bracket; the last field before the end.
    Bracket(String),
    /// A quote, and where it opens.
    Quote(Place),
}

/// What is still open where the text ends, or `None` when every bracket and quote is closed.
pub fn left_open(text: &str) -> Option<LeftOpen> {
    let mut last = None;
    let end = walk(text, |_, offset| {
        last = Some(offset);
        ControlFlow::Continue(())
    });
    let field = || last.map(|offset| field_at(text, offset)).unwrap_or_default();
    match end {
        End::Closed | End::Stopped => None,
        End::InBracket => Some(LeftOpen::Bracket(field())),
        End::InQuote => {
            let before = &text[..last.unwrap_or(0)];
            let line = before.matches('\n').count() + 1;
            let column = before.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
            Some(LeftOpen::Quote(Place { line, column, field: field() }))
        }
    }
}

/// The field of the value at this offset. Paths are put into words for one place only, so that a text
/// of many nested brackets is walked in a time that grows with its length, not its square.
fn field_at(text: &str, place: usize) -> String {
    let mut field = String::new();
    walk(text, |path, offset| {
        if offset < place {
            return ControlFlow::Continue(());
        }
        field = path.to_string();
        ControlFlow::Break(())
    });
    field
}

fn offset_of(text: &str, line: usize, column: usize) -> usize {
    let start: usize = text.split_inclusive('\n').take(line.saturating_sub(1)).map(str::len).sum();
    let rest = &text[start..];
    start + rest.chars().take(column.saturating_sub(1)).map(char::len_utf8).sum::<usize>()
}

/// One open bracket: a struct with its current key, or a list with its current item from 1.
enum Level {
    Struct(Option<String>),
    List(usize),
}

/// The way from the top of the file to a value.
struct Path(Vec<Level>);

/// Levels of a path that are named: no file of ours is deeper.
const MOST_NAMED: usize = 16;

impl fmt::Display for Path {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut first = true;
        for level in self.0.iter().take(MOST_NAMED) {
            #[cfg(test)]
            tests::count_step();
            match level {
                Level::Struct(Some(key)) if first => write!(f, "{}", quoted(key))?,
                Level::Struct(Some(key)) => write!(f, " > {}", quoted(key))?,
                Level::List(item) => write!(f, " {item}")?,
                Level::Struct(None) => continue,
            }
            first = false;
        }
        Ok(())
    }
}

/// How a walk ended.
enum End {
    Closed,
    InBracket,
    InQuote,
    /// The visitor had seen enough.
    Stopped,
}

/// Walks RON text and shows each value's path and byte offset to `visit`.
fn walk(text: &str, mut visit: impl FnMut(&Path, usize) -> ControlFlow<()>) -> End {
    let mut path = Path(Vec::new());
    let mut at = 0;
    while let Some(c) = text[at..].chars().next() {
        #[cfg(test)]
        tests::count_step();
        let rest = &text[at..];
        let length = match c {
            '/' if rest.starts_with("//") => rest.find('\n').unwrap_or(rest.len()),
            '/' if rest.starts_with("/*") => rest.find("*/").map_or(rest.len(), |end| end + 2),
            ')' | ']' | '}' => {
                path.0.pop();
                1
            }
            ',' => {
                match path.0.last_mut() {
                    Some(Level::List(item)) => *item += 1,
                    Some(Level::Struct(key)) => *key = None,
                    None => {}
                }
                1
            }
            c if c.is_whitespace() || c == ':' => c.len_utf8(),
            _ => {
                if let Some((key, length)) = key_at(rest) {
                    if let Some(Level::Struct(current)) = path.0.last_mut() {
                        *current = Some(key.to_owned());
                    }
                    length
                } else {
                    if visit(&path, at).is_break() {
                        return End::Stopped;
                    }
                    match c {
                        '(' | '{' => path.0.push(Level::Struct(None)),
                        '[' => path.0.push(Level::List(1)),
                        _ => {}
                    }
                    match value_length(rest) {
                        Some(length) => length,
                        None => return End::InQuote,
                    }
                }
            }
        };
        at += length;
    }
    if path.0.is_empty() { End::Closed } else { End::InBracket }
}

/// An identifier followed by a colon, and its length without the colon.
fn key_at(rest: &str) -> Option<(&str, usize)> {
    let length = rest.find(|c: char| !(c.is_alphanumeric() || c == '_'))?;
    (length > 0 && rest[length..].trim_start().starts_with(':')).then(|| (&rest[..length], length))
}

/// The length of the token that starts a value; `None` when a string has no end.
fn value_length(rest: &str) -> Option<usize> {
    let hashes = rest.strip_prefix('r').map(|raw| raw.len() - raw.trim_start_matches('#').len());
    if let Some(hashes) = hashes
        && rest[1 + hashes..].starts_with('"')
    {
        let open = hashes + 2;
        let close = format!("\"{}", "#".repeat(hashes));
        return rest[open..].find(&close).map(|end| open + end + close.len());
    }
    if let Some(string) = rest.strip_prefix('"') {
        let mut escaped = false;
        for (offset, c) in string.char_indices() {
            match c {
                '"' if !escaped => return Some(offset + 2),
                '\\' => escaped = !escaped,
                _ => escaped = false,
            }
        }
        return None;
    }
    let first = rest.chars().next().map_or(1, char::len_utf8);
    let word = rest.find(|c: char| !(c.is_alphanumeric() || "_.+-".contains(c))).unwrap_or(rest.len());
    Some(word.max(first))
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::cell::Cell;

    const TEXT: &str = "(\n  title: \"a, b: (c\", // d: 1\n  list: [\n    (name: r#\"\"x\"\"#, n: -1.5),\n    (name: \"y\", n: NaN),\n  ],\n)\n";

    #[test]
    fn a_field_has_a_place_and_a_place_a_field() {
        let place = of(TEXT, "list 2 > n");
        assert_eq!((place.line, place.column), (5, 20));
        assert_eq!(at(TEXT, 5, 20).field, "list 2 > n");
        assert_eq!(at(TEXT, 2, 14).field, "title");
        assert_eq!(place.to_string(), "line 5, column 20 (list 2 > n)");
    }

    #[test]
    fn what_is_left_open_is_named() {
        assert_eq!(left_open(TEXT), None);
        let cut = &TEXT[..TEXT.find("NaN").unwrap()];
        assert_eq!(left_open(cut).unwrap(), LeftOpen::Bracket("list 2 > name".to_owned()));
        let quote = Place { line: 2, column: 9, field: "title".to_owned() };
        assert_eq!(left_open("(\n title: \"no end").unwrap(), LeftOpen::Quote(quote));
        assert!(left_open("").is_none());
    }

    thread_local! {
        static STEPS: Cell<usize> = const { Cell::new(0) };
    }

    /// Counts a step of the scanner, or a level of a path that is put into words.
    pub fn count_step() {
        STEPS.set(STEPS.get() + 1);
    }

    #[test]
    fn the_steps_through_a_tower_of_brackets_grow_with_its_height_not_its_square() {
        for bracket in ["[", "(a:"] {
            let steps = |height: usize| {
                let text = bracket.repeat(height);
                STEPS.set(0);
                assert!(matches!(left_open(&text), Some(LeftOpen::Bracket(_))));
                let place = at(&text, 1, text.len());
                assert!(place.field.len() < 200, "{}", place.field);
                assert_eq!(of(&text, "nowhere").line, 1);
                STEPS.get()
            };
            let (low, high) = (steps(1_000), steps(100_000));
            // Five walks, and in one of them a path of 16 levels for each value; 5 billion steps were the square.
            assert!(low >= 5_000 && high <= 101 * low, "{bracket}: {low} and {high} steps");
        }
    }

    #[test]
    fn odd_text_is_walked_to_its_end() {
        for text in [")))", "é: ü", "(\u{0}", "[[[,,,", "\"", "r###", "r#\"", "/*", "://"] {
            let _ = (left_open(text), of(text, "x"), at(text, 7, 9));
        }
    }
}
