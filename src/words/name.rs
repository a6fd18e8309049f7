//! Names in running text, and free text that is not knitted.

use std::fmt;

/// Longest name or text kept, in characters.
const LONGEST: usize = 400;

/// Words by which sentences tell where a name ends; a name cannot hold them.
const RESERVED: [&str; 5] = ["those", "needle", "then", "only", "marker"];

/// What a group of stitches, an opening, an edge or a part is called in a sentence: lower-case words
/// without punctuation, e.g. `left sleeve`. Never empty.
#[derive(Clone, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Name(String);

impl Name {
    /// The name in these words: lower case, punctuation and reserved words left out; `part` when
    /// nothing is left.
    pub fn new(words: &str) -> Self {
        let lower = on_one_line(&words.to_lowercase(), LONGEST, |c| !Self::takes(c));
        let kept: Vec<&str> = lower
            .split(' ')
            .filter(|word| !word.is_empty() && !RESERVED.contains(word) && *word != "the")
            .collect();
        if kept.is_empty() { Self("part".to_owned()) } else { Self(kept.join(" ")) }
    }

    /// Whether a letter may stand in a name.
    pub(super) fn takes(c: char) -> bool {
        c.is_alphanumeric() || c == '\'' || c == '_'
    }

    /// The words.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Name {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// One line of free text: a heading, a note. Never empty, no control characters, single spaces.
#[derive(Clone, Debug, PartialEq, Eq, Hash)]
pub struct Text(String);

impl Text {
    /// This text on one line; `None` when nothing is left of it.
    pub fn new(text: &str) -> Option<Self> {
        let plain = on_one_line(text, LONGEST, char::is_control);
        (!plain.is_empty()).then_some(Self(plain))
    }

    /// The text.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

/// The text with single spaces, `breaks` as spaces, cut to `longest` characters. Cut last, so that what it
/// gives is given back unchanged.
pub(super) fn on_one_line(text: &str, longest: usize, breaks: impl Fn(char) -> bool) -> String {
    let words: Vec<&str> =
        text.split(|c: char| c.is_whitespace() || breaks(c)).filter(|word| !word.is_empty()).collect();
    let line: String = words.join(" ").chars().take(longest).collect();
    line.trim_end().to_owned()
}

impl fmt::Display for Text {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_is_fit_for_a_sentence() {
        assert_eq!(Name::new("Left sleeve (2), then the cuff.").as_str(), "left sleeve 2 cuff");
        assert_eq!(Name::new("--").as_str(), "part");
        let long = format!(" {} ", "}".repeat(70));
        let once = crate::words::SizeName::new(&long);
        assert_eq!(crate::words::SizeName::new(&format!(" {}", once.as_str())), once);
        let once = Text::new(&" x".repeat(LONGEST)).unwrap();
        assert_eq!(Text::new(&format!("  {once}")), Some(once));
        assert_eq!(Name::new("Ärmel").as_str(), "ärmel");
        assert_eq!(Name::new(Name::new("Front  & Back").as_str()), Name::new("Front  & Back"));
    }

    #[test]
    fn free_text_stays_on_its_line() {
        assert_eq!(Text::new("Soak,\n  then dry flat.").unwrap().as_str(), "Soak, then dry flat.");
        assert_eq!(Text::new(" \t"), None);
    }
}
