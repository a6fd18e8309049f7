//! Setting and measuring words in the typeface of the exports, which is embedded so that a picture looks
//! the same on every machine.

use ab_glyph::{Font, GlyphId};

use super::faces::{self, Face};
use crate::plain_text::acts_on_others;

/// Weight of the letters.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Weight {
    /// For reading.
    Regular,
    /// For headings.
    Semibold,
}

/// Height of capitals and figures over the font size: 1462 of 2048 units in the font's OS/2 table.
pub const CAP_HEIGHT: f64 = 1462.0 / 2048.0;

/// One letter of a line: its glyph and its left end in units of the line's size.
#[derive(Clone, Copy, Debug)]
pub(super) struct Placed {
    pub glyph: GlyphId,
    pub face: &'static Face,
    pub x: f64,
}

/// The letters of a line set at `size`, kerned, and the width of the line.
pub(super) fn set(text: &str, size: f64, weight: Weight) -> (Vec<Placed>, f64) {
    let mut letters: Vec<Placed> = Vec::with_capacity(text.len());
    let mut x = 0.0;
    for c in text.chars().filter(|c| !acts_on_others(*c)) {
        let Some(face) = faces::of(c, weight) else { continue };
        let scale = size / face.units_per_em();
        let glyph = face.font().glyph_id(c);
        if let Some(before) = letters.last().filter(|before| before.face.is(face)) {
            x += f64::from(face.font().kern_unscaled(before.glyph, glyph)) * scale;
        }
        letters.push(Placed { glyph, face, x });
        x += f64::from(face.font().h_advance_unscaled(glyph)) * scale;
    }
    (letters, x)
}

/// Width of a line of text at `size`, in the units of `size`.
pub fn width(text: &str, size: f64, weight: Weight) -> f64 {
    set(text, size, weight).1
}

/// The text, shortened with an ellipsis until it is at most `limit` wide.
pub fn fitted(text: &str, size: f64, weight: Weight, limit: f64) -> String {
    if width(text, size, weight) <= limit {
        return text.to_owned();
    }
    let ends: Vec<usize> = text.char_indices().map(|(at, _)| at).collect();
    // Wider with every letter (but for kerning), so the cut is found by halving.
    let keep = ends.partition_point(|end| width(&format!("{}…", &text[..*end]), size, weight) <= limit);
    let end = ends.get(keep.saturating_sub(1)).copied().unwrap_or(0);
    format!("{}…", text[..end].trim_end())
}

/// The words in lines of at most `limit`; a word that is longer stands alone, shortened.
pub fn wrapped(words: &str, size: f64, weight: Weight, limit: f64) -> Vec<String> {
    let mut lines = Vec::new();
    for paragraph in words.lines() {
        let mut line = String::new();
        for word in paragraph.split_whitespace() {
            let longer = if line.is_empty() { word.to_owned() } else { format!("{line} {word}") };
            if !line.is_empty() && width(&longer, size, weight) > limit {
                lines.push(std::mem::replace(&mut line, word.to_owned()));
            } else {
                line = longer;
            }
        }
        lines.push(line);
    }
    lines.iter().map(|line| fitted(line, size, weight, limit)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn width_grows_with_size_and_words() {
        let one = width("Old boot brush", 10.0, Weight::Regular);
        assert!((width("Old boot brush", 20.0, Weight::Regular) - 2.0 * one).abs() < 1e-6);
        assert!(width("Old boot brushes", 10.0, Weight::Regular) > one);
        assert!(width("Old boot brush", 10.0, Weight::Semibold) > one);
    }

    #[test]
    fn a_long_name_is_shortened_to_fit() {
        let long = "Grandmother's very long name for a simple grey".repeat(20);
        let short = fitted(&long, 12.0, Weight::Regular, 100.0);
        assert!(short.ends_with('…') && short.len() > 5);
        assert!(width(&short, 12.0, Weight::Regular) <= 100.0);
        assert_eq!(fitted("Old boot brush", 12.0, Weight::Regular, 100.0), "Old boot brush");
        assert_eq!(fitted("日本", 12.0, Weight::Regular, 1.0), "…");
    }
}
