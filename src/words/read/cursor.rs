//! The text, word by word.

use super::ReadError;
use crate::words::Name;

/// A word, a figure or a sign.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Token<'a> {
    /// Letters, then perhaps figures: `k2tog`, `M1L`, `St`; also `2nd`. `k11` is `k` and a figure.
    Word(&'a str),
    /// A whole number; too large a one is `u32::MAX`.
    Number(u32),
    /// Anything else.
    Sign(char),
    /// The end of the text.
    End,
}

/// A place in the text.
#[derive(Clone, Copy)]
pub(super) struct Cursor<'a> {
    text: &'a str,
    at: usize,
}

impl<'a> Cursor<'a> {
    pub fn new(text: &'a str) -> Self {
        Self { text, at: 0 }
    }

    /// What is left of the text.
    pub fn rest(&self) -> &'a str {
        &self.text[self.at..]
    }

    fn skip_space(&mut self) {
        let rest = self.rest();
        self.at += rest.len() - rest.trim_start().len();
    }

    /// The next token, which is then behind.
    pub fn next(&mut self) -> Token<'a> {
        self.skip_space();
        let rest = self.rest();
        let Some(first) = rest.chars().next() else { return Token::End };
        if !first.is_alphanumeric() {
            self.at += first.len_utf8();
            return Token::Sign(first);
        }
        let run = &rest[..rest.find(|c: char| !(c.is_alphanumeric() || c == '\'')).unwrap_or(rest.len())];
        if run.bytes().all(|byte| byte.is_ascii_digit()) {
            self.at += run.len();
            return Token::Number(run.parse().unwrap_or(u32::MAX));
        }
        let word = counted_stitch(run).unwrap_or(run);
        self.at += word.len();
        Token::Word(word)
    }

    /// The next token, still ahead.
    pub fn peek(&self) -> Token<'a> {
        self.clone_next().0
    }

    /// The token after the next.
    pub fn peek_second(&self) -> Token<'a> {
        self.clone_next().1.next()
    }

    fn clone_next(&self) -> (Token<'a>, Self) {
        let mut ahead = *self;
        (ahead.next(), ahead)
    }

    /// Passes the sign if it comes next.
    pub fn sign(&mut self, sign: char) -> bool {
        self.pass(|token| token == Token::Sign(sign))
    }

    /// Passes one of these words (lower case given, capitals in the text do not matter) if it comes next.
    pub fn one_of(&mut self, words: &[&str]) -> bool {
        self.pass(|token| matches!(token, Token::Word(word) if words.iter().any(|w| same(word, w))))
    }

    /// Passes all these words and signs, separated by spaces here, if they come next.
    pub fn phrase(&mut self, phrase: &str) -> bool {
        let mut ahead = *self;
        for part in phrase.split(' ') {
            let matches = match ahead.next() {
                Token::Word(word) => same(word, part) || is_alias(word, part),
                Token::Sign(sign) => part.chars().eq([sign]),
                Token::Number(number) => part.parse() == Ok(number),
                Token::End => false,
            };
            if !matches {
                return false;
            }
        }
        *self = ahead;
        true
    }

    fn pass(&mut self, wanted: impl Fn(Token<'a>) -> bool) -> bool {
        let (token, ahead) = self.clone_next();
        let found = wanted(token);
        if found {
            *self = ahead;
        }
        found
    }

    /// Passes these letters exactly if they come next as words of their own.
    pub fn exactly(&mut self, letters: &str) -> bool {
        let mut ahead = *self;
        ahead.skip_space();
        let Some(after) = ahead.rest().strip_prefix(letters) else { return false };
        if after.starts_with(char::is_alphanumeric) {
            return false;
        }
        ahead.at += letters.len();
        *self = ahead;
        true
    }

    /// The words up to a sign or up to one of the phrases; empty when there is none.
    pub fn name(&mut self, ends: &[&str]) -> Option<Name> {
        let mut words: Vec<&str> = Vec::new();
        loop {
            self.skip_space();
            let rest = self.rest();
            let takes = |c: char| Name::takes(c) || c == '-';
            let word = &rest[..rest.find(|c: char| !takes(c)).unwrap_or(rest.len())];
            let mut ahead = *self;
            if word.is_empty() || ends.iter().any(|end| ahead.phrase(end)) {
                break;
            }
            words.push(word);
            self.at += word.len();
        }
        (!words.is_empty()).then(|| Name::new(&words.join(" ")))
    }

    /// The rest of this line, which is then behind, trimmed.
    pub fn rest_of_line(&mut self) -> &'a str {
        let rest = self.rest();
        let line = &rest[..rest.find('\n').unwrap_or(rest.len())];
        self.at += line.len();
        line.trim()
    }

    /// What is wrong with what comes next.
    pub fn expected(&self, expected: impl Into<String>) -> ReadError {
        let mut here = *self;
        here.skip_space();
        here.missing(expected)
    }

    /// What is missing right behind what was read.
    pub fn missing(&self, expected: impl Into<String>) -> ReadError {
        let here = *self;
        let before = &self.text[..here.at];
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        let found = match here.peek() {
            Token::End => "the end of the text".to_owned(),
            _ if here.rest().starts_with('\n') => "the end of the line".to_owned(),
            _ => {
                let words: Vec<&str> = here.rest().lines().next().unwrap_or("").split_whitespace().collect();
                let shown: String = words[..words.len().min(4)].join(" ").chars().take(40).collect();
                format!("'{shown}'")
            }
        };
        ReadError {
            line: before.matches('\n').count() + 1,
            column: before[line_start..].chars().count() + 1,
            expected: expected.into(),
            found,
        }
    }
}

/// `k` of `k11`; `None` of `k2tog`.
fn counted_stitch(run: &str) -> Option<&str> {
    let letters = run.find(|c: char| c.is_ascii_digit())?;
    let (word, figures) = run.split_at(letters);
    let counted = ["k", "p", "sl"].iter().any(|stitch| same(word, stitch));
    (counted && figures.bytes().all(|byte| byte.is_ascii_digit())).then_some(word)
}

fn same(word: &str, wanted: &str) -> bool {
    word.eq_ignore_ascii_case(wanted)
}

/// Words that mean the same as those the grammar prints.
fn is_alias(word: &str, printed: &str) -> bool {
    const ALIASES: [(&str, &[&str]); 12] = [
        ("rnd", &["round"]),
        ("rnds", &["rounds"]),
        ("st", &["sts", "stitch", "stitches"]),
        ("sts", &["st", "stitch", "stitches"]),
        ("rep", &["repeat"]),
        ("repeat", &["rep"]),
        ("k", &["knit"]),
        ("p", &["purl"]),
        ("sl", &["slip"]),
        ("bind", &["cast"]),
        ("repeats", &["repeat"]),
        ("marker", &["m"]),
    ];
    ALIASES.iter().any(|(wanted, others)| *wanted == printed && others.iter().any(|other| same(word, other)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_counted_stitch_is_a_word_and_a_figure() {
        use Token::{Number, Sign, Word};
        let mut cursor = Cursor::new("K11 (12), k2tog; M1L 2nd 99999999999");
        let tokens: Vec<Token> =
            std::iter::from_fn(|| Some(cursor.next()).filter(|t| *t != Token::End)).collect();
        let expected = [
            Word("K"),
            Number(11),
            Sign('('),
            Number(12),
            Sign(')'),
            Sign(','),
            Word("k2tog"),
            Sign(';'),
            Word("M1L"),
            Word("2nd"),
            Number(u32::MAX),
        ];
        assert_eq!(tokens, expected);
    }

    #[test]
    fn names_end_where_the_sentence_goes_on() {
        let mut cursor = Cursor::new("left k2 sleeve to those of the body.");
        assert_eq!(cursor.name(&["to those of the"]), Some(Name::new("left k2 sleeve")));
        assert!(cursor.phrase("to those of the"));
        assert_eq!(cursor.name(&[]), Some(Name::new("body")));
        assert_eq!(cursor.name(&[]), None);
    }

    #[test]
    fn places_are_counted_from_one() {
        let mut cursor = Cursor::new("Rnd 1: k.\n  ä sts");
        for _ in 0..5 {
            cursor.next();
        }
        let error = cursor.expected("a sentence");
        assert_eq!(error.to_string(), "line 2, column 3: expected a sentence, found 'ä sts'");
    }
}
