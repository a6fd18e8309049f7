//! How the colour of a yarn changes along the strand.

use thiserror::Error;

use crate::colour::{Colour, ColourError};
use crate::plain_text::quoted;
use crate::units::{CM_PER_INCH, METRES_PER_YARD};

/// Most colours a yarn changes to, beside its own.
pub const MOST_OTHERS: usize = 6;
/// Least and greatest length of one colour, in metres.
pub const CHANGE_M: std::ops::RangeInclusive<f64> = 0.01..=1_000.0;

/// In a word.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum VariationKind {
    /// One colour.
    #[default]
    Solid,
    /// Fibres or plies of several shades blended all along.
    Heathered,
    /// Small spots of other colours.
    Speckled,
    /// Stretches of different colours, one after another.
    LongChanges,
}

impl VariationKind {
    /// All of them, the calmest first.
    pub const ALL: [Self; 4] = [Self::Solid, Self::Heathered, Self::Speckled, Self::LongChanges];

    /// Name, sentence case, in the trade's words.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Solid => "Solid",
            Self::Heathered => "Heathered",
            Self::Speckled => "Speckled",
            Self::LongChanges => "Long colour changes",
        }
    }

    /// Whether it makes a pattern of its own that a charted one is lost in; a heather reads as one colour
    /// (common practice, no published source).
    pub const fn is_busy(self) -> bool {
        matches!(self, Self::Speckled | Self::LongChanges)
    }
}

/// How the colour of a yarn changes along the strand.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Variation {
    /// In a word.
    pub kind: VariationKind,
    /// Metres of one colour before the next, of long changes, when known: within [`CHANGE_M`].
    pub change_m: Option<f64>,
    /// The other colours, in the order they come; empty while nobody knows. At most [`MOST_OTHERS`].
    pub others: Vec<Colour>,
}

/// Why words on the colours of a yarn were not understood.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum VariationFault {
    /// No kind that is known.
    #[error("'{0}' is not how a colour changes: write solid, heathered, speckled or long colour changes")]
    Kind(String),
    /// A length that is none.
    #[error("'{0}' is not a length of one colour: write it like 60 cm, 1.5 m or 2 yd, from 1 cm to 1000 m")]
    Length(String),
    /// A length out of range.
    #[error("one colour must last from 0.01 to 1000 m, not {0} m")]
    Range(f64),
    /// Too many colours.
    #[error("a yarn has at most {MOST_OTHERS} colours beside its own, not {0}")]
    TooMany(usize),
    /// A colour that is none.
    #[error(transparent)]
    Colour(#[from] ColourError),
}

impl Variation {
    /// A yarn of this kind of which no more is known.
    pub fn of(kind: VariationKind) -> Self {
        Self { kind, ..Self::default() }
    }

    /// Whether a yarn of which this is known makes a pattern of its own; one of which nothing is said is calm.
    pub fn is_busy(known: Option<&Self>) -> bool {
        known.is_some_and(|varies| varies.kind.is_busy())
    }

    /// Refuses what the types allow and a yarn does not.
    ///
    /// # Errors
    /// [`VariationFault`] for a length out of range and too many colours.
    pub fn check(&self) -> Result<(), VariationFault> {
        if let Some(change) = self.change_m.filter(|change| !CHANGE_M.contains(change)) {
            return Err(VariationFault::Range(change));
        }
        if self.others.len() > MOST_OTHERS {
            return Err(VariationFault::TooMany(self.others.len()));
        }
        Ok(())
    }

    /// The length of one colour in words, both systems: `1.2 m (47 in)`.
    pub fn change_words(metres: f64) -> String {
        let inches = metres * 100.0 / CM_PER_INCH;
        if metres < 1.0 {
            format!("{:.0} cm ({inches:.0} in)", metres * 100.0)
        } else {
            format!("{metres:.1} m ({:.1} yd)", metres / METRES_PER_YARD)
        }
    }

    /// The length of one colour from words: `60 cm`, `1,5 m`, `24 in`, `2 yd`.
    ///
    /// # Errors
    /// [`VariationFault`] when it is not understood or out of range.
    pub fn change_of_words(text: &str) -> Result<f64, VariationFault> {
        let fault = || VariationFault::Length(quoted(text));
        let text_of = text.trim().to_lowercase().replace(',', ".");
        let split = text_of.find(|c: char| !(c.is_ascii_digit() || c == '.')).ok_or_else(fault)?;
        let (number, unit) = text_of.split_at(split);
        let number: f64 = number.parse().map_err(|_| fault())?;
        let metres = match unit.trim() {
            "mm" => number / 1_000.0,
            "cm" => number / 100.0,
            "m" | "metres" | "meters" => number,
            "in" | "inches" | "\"" => number * CM_PER_INCH / 100.0,
            "ft" | "feet" => number * METRES_PER_YARD / 3.0,
            "yd" | "yds" | "yards" => number * METRES_PER_YARD,
            _ => return Err(fault()),
        };
        if CHANGE_M.contains(&metres) { Ok(metres) } else { Err(VariationFault::Range(metres)) }
    }

    /// The other colours as codes: `#c16250 #e8d8b0`.
    pub fn others_words(&self) -> String {
        self.others.iter().map(|colour| colour.to_hex()).collect::<Vec<_>>().join(" ")
    }

    /// Colours from codes with anything but letters, digits and # between them.
    ///
    /// # Errors
    /// [`VariationFault`] for what is no colour, and for too many.
    pub fn others_of_words(text: &str) -> Result<Vec<Colour>, VariationFault> {
        let codes = text.split(|c: char| !(c.is_alphanumeric() || c == '#')).filter(|code| !code.is_empty());
        let colours = codes.map(Colour::from_hex).collect::<Result<Vec<_>, _>>()?;
        if colours.len() > MOST_OTHERS { Err(VariationFault::TooMany(colours.len())) } else { Ok(colours) }
    }

    /// All of it in a line that [`Self::of_words`] reads back: `long colour changes; 1.5 m; #c16250 #e8d8b0`.
    pub fn words(&self) -> String {
        let change = self.change_m.map(|metres| format!("{metres} m"));
        let others = Some(self.others_words()).filter(|others| !others.is_empty());
        let parts = std::iter::once(self.kind.name().to_lowercase()).chain(change).chain(others);
        parts.collect::<Vec<_>>().join("; ")
    }

    /// A line as [`Self::words`] writes it; a kind alone will do, also in the words shops use.
    ///
    /// # Errors
    /// [`VariationFault`] for the first part that is not understood.
    pub fn of_words(text: &str) -> Result<Self, VariationFault> {
        let mut parts = text.split(';').map(str::trim).filter(|part| !part.is_empty());
        let kind = parts.next().unwrap_or_default();
        let kind = match kind.to_lowercase().as_str() {
            "solid" | "plain" | "uni" => VariationKind::Solid,
            "heathered" | "heather" | "marled" | "meliert" => VariationKind::Heathered,
            "speckled" | "speckles" | "gesprenkelt" => VariationKind::Speckled,
            "long colour changes"
            | "long color changes"
            | "long changes"
            | "gradient"
            | "self-striping"
            | "farbverlauf" => VariationKind::LongChanges,
            _ => return Err(VariationFault::Kind(quoted(kind))),
        };
        let mut found = Self::of(kind);
        for part in parts {
            if part.starts_with('#') {
                found.others = Self::others_of_words(part)?;
            } else {
                found.change_m = Some(Self::change_of_words(part)?);
            }
        }
        Ok(found)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_written_is_read_back() {
        let colour = |hex| Colour::from_hex(hex).unwrap();
        for kind in VariationKind::ALL {
            let bare = Variation::of(kind);
            assert_eq!(Variation::of_words(&bare.words()), Ok(bare));
        }
        let long = Variation {
            kind: VariationKind::LongChanges,
            change_m: Some(1.5),
            others: vec![colour("#c16250"), colour("#e8d8b0")],
        };
        assert_eq!(long.words(), "long colour changes; 1.5 m; #c16250 #e8d8b0");
        assert_eq!(Variation::of_words(&long.words()).unwrap().words(), long.words());
        assert!(Variation::of_words("stripy").unwrap_err().to_string().contains("heathered"));
    }

    #[test]
    fn a_length_is_typed_in_any_unit_and_refused_out_of_range() {
        let metres = |text| (Variation::change_of_words(text).unwrap() * 1_000.0).round();
        assert_eq!(["60 cm", "1,5 m", "2 yd", "24in"].map(metres), [600.0, 1_500.0, 1_829.0, 610.0]);
        for wrong in ["60", "1 mm", "0 m", "2000 m", "far", ""] {
            assert!(Variation::change_of_words(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn spots_and_stretches_are_busy_and_a_heather_is_not() {
        let busy = VariationKind::ALL.map(VariationKind::is_busy);
        assert_eq!(busy, [false, false, true, true]);
    }
}
