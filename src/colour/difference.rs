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

/// The CIE 1976 difference: the straight distance in L\*a\*b\*.
pub fn delta_e76(a: Lab, b: Lab) -> f64 {
    ((a.l - b.l).powi(2) + (a.a - b.a).powi(2) + (a.b - b.b).powi(2)).sqrt()
}

/// CMC(2:1), the difference the textile trade passes dye lots with.
///
/// Not symmetric: the tolerances come from the `standard` (the wished colour), and `sample` is
/// held against it. Source: Clarke et al. 1984 (*J. Soc. Dyers Colour.* 100:128),
/// ISO 105-J03.
pub fn cmc(standard: Lab, sample: Lab) -> f64 {
    let (c1, c2) = (standard.a.hypot(standard.b), sample.a.hypot(sample.b));
    let (dl, da, db, dc) = (standard.l - sample.l, standard.a - sample.a, standard.b - sample.b, c1 - c2);
    let dh_squared = (da * da + db * db - dc * dc).max(0.0);

    let sl = if standard.l < 16.0 { 0.511 } else { 0.040_975 * standard.l / (1.0 + 0.017_65 * standard.l) };
    let sc = 0.0638 * c1 / (1.0 + 0.0131 * c1) + 0.638;
    let hue = standard.b.atan2(standard.a).to_degrees().rem_euclid(360.0);
    let t = if (164.0..=345.0).contains(&hue) {
        0.56 + (0.2 * (hue + 168.0).to_radians().cos()).abs()
    } else {
        0.36 + (0.4 * (hue + 35.0).to_radians().cos()).abs()
    };
    let f = (c1.powi(4) / (c1.powi(4) + 1900.0)).sqrt();
    let sh = sc * (f * t + 1.0 - f);
    ((dl / (2.0 * sl)).powi(2) + (dc / sc).powi(2) + dh_squared / (sh * sh)).sqrt()
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
        assert_eq!((ciede2000(lab, lab), delta_e76(lab, lab), cmc(lab, lab)), (0.0, 0.0, 0.0));
        assert_eq!(cmc(Lab::new(0.0, 0.0, 0.0), Lab::new(0.0, 0.0, 0.0)), 0.0);
    }

    #[test]
    fn the_1976_difference_is_a_straight_line() {
        assert!((delta_e76(Lab::new(50.0, 10.0, -5.0), Lab::new(62.0, 13.0, -1.0)) - 13.0).abs() < 1e-12);
    }

    #[test]
    fn ciede2000_is_the_same_both_ways() {
        let [a, b] = ["#1f2a4d", "#c9971c"].map(|hex| Colour::from_hex(hex).unwrap());
        assert!((a.difference(b) - b.difference(a)).abs() < 1e-9);
    }
}
