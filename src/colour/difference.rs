//! How different two colours look.

use super::{Colour, Lab};
use palette::color_difference::Ciede2000;

/// A colour difference in words.
///
/// The steps are conventions of colour measurement, not a standard: 1 is about a just noticeable
/// difference side by side, 2 needs a second look, 5 is plain when the colours lie together.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Likeness {
    /// CIEDE2000 of at most 1.
    Same,
    /// At most 2.
    Close,
    /// At most 5.
    Similar,
    /// More than 5.
    Different,
}

impl Likeness {
    /// The word for a CIEDE2000 difference.
    pub fn of(ciede2000: f64) -> Self {
        match ciede2000 {
            d if d <= 1.0 => Self::Same,
            d if d <= 2.0 => Self::Close,
            d if d <= 5.0 => Self::Similar,
            _ => Self::Different,
        }
    }

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Same => "Same",
            Self::Close => "Close",
            Self::Similar => "Similar",
            Self::Different => "Different",
        }
    }
}

/// CIEDE2000 with all weights 1: 0 for the same colour, about 100 from black to white.
///
/// Source: CIE 142-2001; Sharma, Wu and Dalal 2005 (*Color Res. Appl.* 30:21).
pub fn ciede2000(a: Lab, b: Lab) -> f64 {
    a.difference(b)
}

impl Colour {
    /// CIEDE2000 to another colour, each as it is (not gamut mapped).
    pub fn difference(self, other: Self) -> f64 {
        ciede2000(self.to_lab(), other.to_lab())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_end_where_they_say() {
        let words: Vec<_> = [0.0, 1.0, 1.01, 2.0, 5.0, 5.01].map(|d| Likeness::of(d).name()).into();
        assert_eq!(words, ["Same", "Same", "Close", "Close", "Similar", "Different"]);
    }

    #[test]
    fn a_colour_differs_from_itself_by_nothing() {
        let lab = Colour::from_hex("#a3421f").unwrap().to_lab();
        assert_eq!(ciede2000(lab, lab), 0.0);
    }

    #[test]
    fn ciede2000_is_the_same_both_ways() {
        let [a, b] = ["#1f2a4d", "#c9971c"].map(|hex| Colour::from_hex(hex).unwrap());
        assert!((a.difference(b) - b.difference(a)).abs() < 1e-9);
    }
}
