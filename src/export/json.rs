//! What the JSON for other programs is made of: numbers to a sensible place, and names as keys.

use std::fmt::Write as _;

use serde::Serialize;

use super::ExportError;
use crate::plain_text::acts_on_others;

/// To a thousandth: finer than anything that can be measured.
pub(crate) fn rounded(value: f64) -> f64 {
    // Adding 0 turns a negative zero into a plain one.
    (value * 1000.0).round() / 1000.0 + 0.0
}

/// To a hundred-thousandth, for what runs from 0 to 1.
pub(crate) fn finely_rounded(value: f64) -> f64 {
    (value * 100_000.0).round() / 100_000.0 + 0.0
}

/// An identifier or a name as a key: `BabyAndChild` and `Baby and child` are `baby_and_child`.
pub(crate) fn key(name: &str) -> String {
    let mut key = String::with_capacity(name.len() + 4);
    let mut inside = false;
    for c in name.chars() {
        if c.is_uppercase() && inside {
            key.push('_');
        }
        inside = c.is_alphanumeric();
        if inside {
            key.extend(c.to_lowercase());
        } else {
            key.push('_');
        }
    }
    key
}

/// Indented, the keys in the order of the fields. Characters that [act on others](acts_on_others) are
/// escaped, so that the text is safe in a terminal and still says the same.
///
/// # Errors
/// [`ExportError::Encoding`] when a value has no JSON, which is a fault of ours.
pub(crate) fn text(value: &impl Serialize) -> Result<String, ExportError> {
    let text = serde_json::to_string_pretty(value).map_err(|e| ExportError::Encoding(e.to_string()))?;
    Ok(escaped(text))
}

/// Only strings can hold such characters, apart from the line ends between the fields.
fn escaped(text: String) -> String {
    let acts = |c: char| c != '\n' && acts_on_others(c);
    if !text.contains(acts) {
        return text;
    }
    let mut out = String::with_capacity(text.len() + 64);
    for c in text.chars() {
        if acts(c) {
            let _ = write!(out, "\\u{:04x}", u32::from(c));
        } else {
            out.push(c);
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_on_screen_and_identifiers_give_the_same_key() {
        for name in ["BabyAndChild", "Baby and child", "baby-and-child"] {
            assert_eq!(key(name), "baby_and_child");
        }
        assert_eq!(key(""), "");
    }

    #[test]
    fn numbers_are_rounded_and_never_minus_nothing() {
        assert_eq!(rounded(1.234_56), 1.235);
        assert_eq!(finely_rounded(0.123_456_78), 0.123_46);
        assert!(rounded(-0.000_1).is_sign_positive());
    }
}
