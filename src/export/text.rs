//! The typeface of the exports: measuring words and reading their outlines.
//!
//! Open Sans (Apache License 2.0, see `assets/fonts/LICENSE-OpenSans.txt`), embedded so that a
//! picture looks the same on every machine.

use std::sync::LazyLock;

use ab_glyph::{Font, FontRef, GlyphId};

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

static REGULAR: &[u8] = include_bytes!("../../assets/fonts/OpenSans-Regular.ttf");
static SEMIBOLD: &[u8] = include_bytes!("../../assets/fonts/OpenSans-Semibold.ttf");

/// The font file of a weight.
pub const fn font_file(weight: Weight) -> &'static [u8] {
    match weight {
        Weight::Regular => REGULAR,
        Weight::Semibold => SEMIBOLD,
    }
}

/// The parsed font of a weight; a test keeps the embedded files readable.
pub(super) fn font(weight: Weight) -> Option<&'static FontRef<'static>> {
    static FONTS: LazyLock<[Option<FontRef<'static>>; 2]> =
        LazyLock::new(|| [REGULAR, SEMIBOLD].map(|file| FontRef::try_from_slice(file).ok()));
    match weight {
        Weight::Regular => FONTS[0].as_ref(),
        Weight::Semibold => FONTS[1].as_ref(),
    }
}

/// One letter of a line: its glyph and its left end in units of the line's size.
#[derive(Clone, Copy, Debug)]
pub(super) struct Placed {
    pub glyph: GlyphId,
    pub x: f64,
}

/// The letters of a line set at `size`, kerned, and the width of the line.
pub(super) fn set(text: &str, size: f64, weight: Weight) -> (Vec<Placed>, f64) {
    let Some(font) = font(weight) else { return (Vec::new(), 0.0) };
    let scale = size / f64::from(font.units_per_em().unwrap_or(2048.0));
    let mut letters = Vec::with_capacity(text.len());
    let mut x = 0.0;
    let mut before: Option<GlyphId> = None;
    for c in text.chars().filter(|c| !acts_on_others(*c)) {
        let glyph = font.glyph_id(c);
        if let Some(before) = before {
            x += f64::from(font.kern_unscaled(before, glyph)) * scale;
        }
        letters.push(Placed { glyph, x });
        x += f64::from(font.h_advance_unscaled(glyph)) * scale;
        before = Some(glyph);
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
    fn the_embedded_fonts_can_be_read() {
        for weight in [Weight::Regular, Weight::Semibold] {
            let font = font(weight).unwrap();
            for c in "AZaz09#×…·°²éü€£".chars() {
                assert_ne!(font.glyph_id(c).0, 0, "{c} is missing");
            }
        }
    }

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
