//! The words of a blend cut into shares and fibres.

use super::blend::BlendError;
use super::fibre::Fibre;
use crate::plain_text::quoted;

/// One part of a blend as it is written.
pub(super) struct Part {
    /// What the fibre is called.
    pub words: String,
    /// Its share in per cent, not yet held to a range.
    pub percent: f64,
}

#[derive(Clone, Debug, PartialEq)]
enum Token {
    Number(String),
    Word(String),
    Divider,
}

/// What may stand before a share and says nothing.
const ABOUT: [&str; 4] = ["ca", "circa", "approx", "about"];
/// What may stand after a number and says that it is a share.
const PERCENT: [&str; 3] = ["percent", "prozent", "pct"];
/// What says that a number is how thick the fibre is.
const MICRONS: [&str; 6] = ["mic", "micron", "microns", "mikron", "µm", "μm"];

/// The parts in their order; the share may stand before its fibre or after it.
///
/// # Errors
/// [`BlendError::Part`] with the words that are no share and fibre.
pub(super) fn parts(text: &str) -> Result<Vec<Part>, BlendError> {
    let mut found: Vec<Part> = Vec::new();
    for stretch in tokens(text).split(|token| *token == Token::Divider).filter(|stretch| !stretch.is_empty())
    {
        let of_stretch = match stretch.iter().filter(|token| matches!(token, Token::Number(_))).count() {
            0 => {
                // A word of the fibre before it: `75 % wool, superwash`.
                let said = written(stretch);
                let last = found.last_mut().ok_or_else(|| BlendError::Part(quoted(&said)))?;
                let longer = format!("{} {said}", last.words);
                if Fibre::from_label(&longer).is_none() {
                    return Err(BlendError::Part(quoted(&said)));
                }
                last.words = longer;
                continue;
            }
            1 => vec![stretch],
            _ => one_number_each(stretch),
        };
        for tokens in of_stretch {
            found.push(part(tokens)?);
        }
    }
    Ok(found)
}

/// Cuts tokens so that each piece has one number, as the first or the last of it.
fn one_number_each(tokens: &[Token]) -> Vec<&[Token]> {
    let is_number = |token: &Token| matches!(token, Token::Number(_));
    if tokens.first().is_some_and(is_number) {
        let mut pieces: Vec<&[Token]> = Vec::new();
        let starts: Vec<usize> = (0..tokens.len()).filter(|at| is_number(&tokens[*at])).collect();
        for (place, start) in starts.iter().enumerate() {
            let end = starts.get(place + 1).copied().unwrap_or(tokens.len());
            pieces.push(&tokens[*start..end]);
        }
        return pieces;
    }
    tokens.split_inclusive(is_number).collect()
}

fn part(tokens: &[Token]) -> Result<Part, BlendError> {
    let bad = || BlendError::Part(quoted(&written(tokens)));
    let number = tokens.iter().find_map(|token| match token {
        Token::Number(number) => Some(number),
        Token::Word(_) | Token::Divider => None,
    });
    let percent = number.and_then(|number| number.replace(',', ".").parse().ok()).ok_or_else(bad)?;
    let mut words: Vec<&str> = tokens.iter().filter_map(word).collect();
    if words.len() > 1 && tokens.first().and_then(word).is_some_and(|first| ABOUT.contains(&first)) {
        words.remove(0);
    }
    if words.is_empty() { Err(bad()) } else { Ok(Part { words: words.join(" "), percent }) }
}

fn word(token: &Token) -> Option<&str> {
    match token {
        Token::Word(word) => Some(word),
        Token::Number(_) | Token::Divider => None,
    }
}

fn written(tokens: &[Token]) -> String {
    let text = |token: &Token| match token {
        Token::Number(text) | Token::Word(text) => text.clone(),
        Token::Divider => ",".to_owned(),
    };
    tokens.iter().map(text).collect::<Vec<_>>().join(" ")
}

/// Numbers, words and what divides parts. A comma between two digits is a decimal one; brackets only divide where what
/// they hold has a share of its own.
fn tokens(text: &str) -> Vec<Token> {
    let lower: Vec<char> = text.to_lowercase().chars().collect();
    let digit = |at: usize| lower.get(at).is_some_and(char::is_ascii_digit);
    let (mut found, mut at, mut depth) = (Vec::new(), 0, 0_usize);
    while let Some(first) = lower.get(at).copied() {
        let start = at;
        if first.is_ascii_digit() {
            while digit(at) || (lower.get(at).is_some_and(|c| matches!(c, '.' | ',')) && digit(at + 1)) {
                at += 1;
            }
            found.push(Token::Number(lower[start..at].iter().collect()));
            continue;
        }
        if first.is_alphabetic() || first == 'µ' {
            while lower.get(at).is_some_and(|c| c.is_alphabetic()) {
                at += 1;
            }
            let word: String = lower[start..at].iter().collect();
            match word.as_str() {
                "and" | "und" | "with" | "mit" => found.push(Token::Divider),
                word if MICRONS.contains(&word) => {
                    found.pop();
                }
                word if PERCENT.contains(&word) => {}
                _ => found.push(Token::Word(word)),
            }
            continue;
        }
        match first {
            '(' | '[' => depth += 1,
            ')' | ']' => depth = depth.saturating_sub(1),
            // A list in brackets is of one fibre.
            ',' | ';' | '/' | '+' | '|' | '&' | '•' | '·' | '\n' | '\r' if depth == 0 => {
                found.push(Token::Divider);
            }
            // A dash between words; one within a word is a hyphen.
            '-' | '–' if depth == 0 && start > 0 && lower[start - 1].is_whitespace() => {
                found.push(Token::Divider);
            }
            _ => {}
        }
        at += 1;
    }
    found
}
