//! Amounts in every size.

use super::Wording;
use crate::plain_text::and_list;
use crate::units::ordinal;
use crate::words::Amount;

/// `88 (92, 96)`, one figure when all are equal.
pub(super) fn amount(amount: &Amount) -> String {
    in_sizes(amount, |n| n.to_string())
}

/// `20 (23, 25) sts`, `1 st`.
pub(super) fn stitches(stitches: &Amount) -> String {
    stitches_called("", stitches)
}

/// The same with a word before: `8 steek sts`, `1 edge st`.
pub(super) fn stitches_called(kind: &str, stitches: &Amount) -> String {
    let word = if stitches.one() == Some(1) { "st" } else { "sts" };
    format!("{} {kind}{word}", amount(stitches))
}

/// `2nd`, `2nd (3rd, 4th)`.
pub(super) fn ordinals(amount: &Amount) -> String {
    in_sizes(amount, ordinal)
}

/// `once`, `twice`, `5 times`, with ` more` behind.
fn how_often(times: &Amount, more: &str) -> String {
    match times.one() {
        Some(1) => format!("once{more}"),
        Some(2) => format!("twice{more}"),
        // A size without any has a dash; it is named behind.
        _ => format!(
            "{} times{more}",
            in_sizes(times, |n| if n == 0 { "–".to_owned() } else { n.to_string() })
        ),
    }
}

impl Wording<'_> {
    /// `once`, `twice`, `5 times`, `– (3, 2) times (not in S)`.
    pub(super) fn times(&self, times: &Amount) -> String {
        format!("{}{}", how_often(times, ""), self.not_in(times))
    }

    /// `once more`, `5 (6, 7) times more`.
    pub(super) fn times_more(&self, times: &Amount) -> String {
        format!("{}{}", how_often(times, " more"), self.not_in(times))
    }

    /// ` (not in S)` where some sizes have none; nothing where all do, or none does.
    pub(super) fn not_in(&self, amount: &Amount) -> String {
        if amount.one().is_some() {
            return String::new();
        }
        let without = (0..self.sizes.len()).filter(|size| amount.get(*size) == 0);
        let names: Vec<&str> = without.map(|size| self.sizes[size].as_str()).collect();
        if names.is_empty() { String::new() } else { format!(" (not in {})", and_list(&names)) }
    }
}

fn in_sizes(amount: &Amount, word: impl Fn(u32) -> String) -> String {
    let words: Vec<String> = amount.values().iter().map(|n| word(*n)).collect();
    match words.as_slice() {
        [] => String::new(),
        [one] => one.clone(),
        [first, others @ ..] => format!("{first} ({})", others.join(", ")),
    }
}

/// `one` to `ten`, then figures.
pub(in crate::words) fn number_word(n: u32) -> String {
    const WORDS: [&str; 11] =
        ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"];
    WORDS.get(n as usize).map_or_else(|| n.to_string(), |word| (*word).to_owned())
}
