//! Checked quantities: a value that cannot exist on a needle cannot exist in the program.
//!
//! Every newtype is finite and inside the range its constructor names, so the domain code
//! behind it needs no further checks. Lengths are metric inside; [`LengthUnit`] decides how
//! they are shown and typed.

use thiserror::Error;

/// Why a number was refused, in words a knitter can act on.
#[derive(Clone, Debug, Error, PartialEq)]
#[error("{what} must be {expected}, not {found}")]
pub struct UnitError {
    /// The quantity, e.g. `stitches per 10 cm`.
    pub what: &'static str,
    /// What would have been accepted, e.g. `between 1 and 200`.
    pub expected: String,
    /// The value that was given.
    pub found: String,
}

macro_rules! quantity {
    ($(#[$doc:meta])* $name:ident, $what:literal, $min:expr, $max:expr) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
        pub struct $name(f64);

        impl $name {
            /// Smallest accepted value.
            pub const MIN: f64 = $min;
            /// Largest accepted value.
            pub const MAX: f64 = $max;

            /// Checks and wraps `value`.
            ///
            /// # Errors
            /// [`UnitError`] when the value is not finite or outside `MIN..=MAX`.
            pub fn new(value: f64) -> Result<Self, UnitError> {
                if value.is_finite() && (Self::MIN..=Self::MAX).contains(&value) {
                    Ok(Self(value))
                } else {
                    Err(UnitError {
                        what: $what,
                        expected: format!("between {} and {}", Self::MIN, Self::MAX),
                        found: value.to_string(),
                    })
                }
            }

            /// Wraps `value`, pulled into `MIN..=MAX`; a value that is not a number becomes `MIN`.
            pub const fn clamped(value: f64) -> Self {
                if value.is_nan() { Self($min) } else { Self(value.clamp($min, $max)) }
            }

            /// The bare number.
            pub const fn get(self) -> f64 {
                self.0
            }
        }
    };
}

quantity!(
    /// A length in centimetres, `0..=100_000`.
    Cm, "a length in cm", 0.0, 100_000.0
);
quantity!(
    /// A length of yarn in metres, `0..=10_000_000`.
    Metres, "a length of yarn in m", 0.0, 10_000_000.0
);
quantity!(
    /// A mass in grams, `0..=1_000_000`.
    Grams, "a mass in g", 0.0, 1_000_000.0
);
quantity!(
    /// Stitches in 10 cm of width, `1..=200`.
    StitchesPer10Cm, "stitches per 10 cm", 1.0, 200.0
);
quantity!(
    /// Rows in 10 cm of height, `1..=300`.
    RowsPer10Cm, "rows per 10 cm", 1.0, 300.0
);
quantity!(
    /// Grist: metres of yarn in 100 g, `5..=10_000`: from the thickest roving to cobweb lace and sewing
    /// thread (Nm 100).
    MetresPer100G, "metres per 100 g", 5.0, 10_000.0
);

quantity!(
    /// What yarn costs, `0..=1_000_000_000`; all figures of a project are in its one [`Currency`].
    #[derive(Default)]
    Price, "the price", 0.0, 1_000_000_000.0
);

impl Price {
    /// What that many balls cost at this price of one.
    pub fn of_balls(self, balls: u32) -> Self {
        Self(self.0 * f64::from(balls))
    }
}

impl std::ops::AddAssign for Price {
    fn add_assign(&mut self, other: Self) {
        self.0 += other.0;
    }
}

impl std::iter::Sum for Price {
    fn sum<I: Iterator<Item = Self>>(prices: I) -> Self {
        Self(prices.map(Self::get).sum())
    }
}

impl std::fmt::Display for Price {
    /// With two digits after the point, as prices are written.
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{:.2}", self.0)
    }
}

/// What prices are in, as it is written beside them: `£`, `EUR`, `kr`; nothing when the knitter did not say.
#[derive(Clone, Debug, Default, PartialEq, Eq, Hash)]
pub struct Currency(String);

impl Currency {
    /// Letters and signs at most.
    pub const MOST: usize = 4;

    /// A currency as it is written.
    ///
    /// # Errors
    /// [`UnitError`] when it is longer than four letters or signs of money, or has anything else in it.
    pub fn new(written: &str) -> Result<Self, UnitError> {
        let written = written.trim();
        let is_sign = |c: char| c.is_alphabetic() || "£€$¥¢₤₹₺₽₩₴₪₫₦".contains(c);
        if written.chars().count() <= Self::MOST && written.chars().all(is_sign) {
            return Ok(Self(written.to_owned()));
        }
        Err(UnitError {
            what: "a currency",
            expected: "at most 4 letters or a sign, like EUR or £".to_owned(),
            found: format!("'{}'", crate::plain_text::quoted(written)),
        })
    }

    /// As it is written; empty when it is not known.
    pub fn written(&self) -> &str {
        &self.0
    }

    /// Whether it is written so, in small letters or capitals.
    pub fn is_written(&self, other: &str) -> bool {
        self.0.to_lowercase() == other.to_lowercase()
    }

    /// An amount of money: `£5.45`, `5.45 EUR`, `5.45`.
    pub fn told(&self, price: Price) -> String {
        match self.0.chars().next() {
            None => price.to_string(),
            Some(first) if first.is_alphabetic() => format!("{price} {}", self.0),
            Some(_) => format!("{}{price}", self.0),
        }
    }
}

impl MetresPer100G {
    /// The grist of a length of yarn that was measured and weighed.
    ///
    /// # Errors
    /// [`UnitError`] when length or mass is not above 0, or the grist is out of range.
    pub fn from_weighed(length: Metres, mass: Grams) -> Result<Self, UnitError> {
        Self::new(length.get() * 100.0 / mass.get())
    }
}

/// Stitches and rows in 10 cm of washed, relaxed fabric.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gauge {
    /// Stitches per 10 cm.
    pub stitches: StitchesPer10Cm,
    /// Rows per 10 cm.
    pub rows: RowsPer10Cm,
}

impl Gauge {
    /// A gauge from bare counts per 10 cm.
    ///
    /// # Errors
    /// [`UnitError`] when a count is not a number or out of range.
    pub fn new(stitches: f64, rows: f64) -> Result<Self, UnitError> {
        Ok(Self { stitches: StitchesPer10Cm::new(stitches)?, rows: RowsPer10Cm::new(rows)? })
    }

    /// Width of one stitch in cm.
    pub fn stitch_width_cm(self) -> f64 {
        10.0 / self.stitches.get()
    }

    /// Height of one row in cm.
    pub fn row_height_cm(self) -> f64 {
        10.0 / self.rows.get()
    }

    /// Width of a cell over its height: rows / stitches. Above 1 a stitch is wider than tall.
    pub fn cell_aspect(self) -> f64 {
        self.rows.get() / self.stitches.get()
    }

    /// Width of `stitches` stitches.
    pub fn width(self, stitches: u32) -> Cm {
        Cm::clamped(f64::from(stitches) * self.stitch_width_cm())
    }

    /// Height of `rows` rows.
    pub fn height(self, rows: u32) -> Cm {
        Cm::clamped(f64::from(rows) * self.row_height_cm())
    }

    /// The whole number of stitches nearest to a width in cm.
    pub fn stitches_in(self, cm: f64) -> u32 {
        (cm.max(0.0) / self.stitch_width_cm()).round() as u32
    }

    /// The whole number of rows nearest to a height in cm.
    pub fn rows_in(self, cm: f64) -> u32 {
        (cm.max(0.0) / self.row_height_cm()).round() as u32
    }
}

/// Centimetres in an inch (exact, international inch).
pub const CM_PER_INCH: f64 = 2.54;
/// Metres in a yard (exact, international yard).
pub const METRES_PER_YARD: f64 = 0.9144;
/// Grams in an ounce (exact, avoirdupois ounce to the last digit given by the 1959 agreement).
pub const GRAMS_PER_OUNCE: f64 = 28.349_523_125;
/// The gauge swatch of inch countries is 4 in, so a count per 10 cm times this is a count per 4 in.
pub const PER_4_IN_OVER_PER_10_CM: f64 = 4.0 * CM_PER_INCH / 10.0;

/// How lengths are shown and typed. Saved with the project.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum LengthUnit {
    /// Centimetres, metres, grams; gauge per 10 cm.
    #[default]
    Metric,
    /// Inches, yards, ounces; gauge per 4 in.
    Imperial,
}

impl LengthUnit {
    /// Both systems, in the order they are offered.
    pub const ALL: [Self; 2] = [Self::Metric, Self::Imperial];

    /// Short name of the length unit: `cm` or `in`.
    pub const fn length_suffix(self) -> &'static str {
        match self {
            Self::Metric => "cm",
            Self::Imperial => "in",
        }
    }

    /// Short name of the yarn length unit: `m` or `yd`.
    pub const fn yarn_suffix(self) -> &'static str {
        match self {
            Self::Metric => "m",
            Self::Imperial => "yd",
        }
    }

    /// Short name of the mass unit: `g` or `oz`.
    pub const fn mass_suffix(self) -> &'static str {
        match self {
            Self::Metric => "g",
            Self::Imperial => "oz",
        }
    }

    /// The width a gauge is counted over: `10 cm` or `4 in`.
    pub const fn gauge_base(self) -> &'static str {
        match self {
            Self::Metric => "10 cm",
            Self::Imperial => "4 in",
        }
    }

    /// Factor from a count per 10 cm to a count per [`Self::gauge_base`].
    pub const fn gauge_factor(self) -> f64 {
        match self {
            Self::Metric => 1.0,
            Self::Imperial => PER_4_IN_OVER_PER_10_CM,
        }
    }

    /// Centimetres into this unit.
    pub const fn from_cm(self, cm: f64) -> f64 {
        match self {
            Self::Metric => cm,
            Self::Imperial => cm / CM_PER_INCH,
        }
    }

    /// This unit into centimetres.
    pub const fn to_cm(self, value: f64) -> f64 {
        match self {
            Self::Metric => value,
            Self::Imperial => value * CM_PER_INCH,
        }
    }

    /// Metres of yarn into this system's yarn unit.
    pub const fn from_metres(self, metres: f64) -> f64 {
        match self {
            Self::Metric => metres,
            Self::Imperial => metres / METRES_PER_YARD,
        }
    }

    /// This system's yarn unit into metres.
    pub const fn to_metres(self, value: f64) -> f64 {
        match self {
            Self::Metric => value,
            Self::Imperial => value * METRES_PER_YARD,
        }
    }

    /// Grams into this system's mass unit.
    pub const fn from_grams(self, grams: f64) -> f64 {
        match self {
            Self::Metric => grams,
            Self::Imperial => grams / GRAMS_PER_OUNCE,
        }
    }

    /// This system's mass unit into grams.
    pub const fn to_grams(self, value: f64) -> f64 {
        match self {
            Self::Metric => value,
            Self::Imperial => value * GRAMS_PER_OUNCE,
        }
    }
}

/// `1 h 20 min`, `35 min`, `64 h`.
pub fn hours_words(hours: f64) -> String {
    let minutes = (hours * 60.0).round();
    if minutes < 60.0 {
        format!("{minutes:.0} min")
    } else if hours < 10.0 && (minutes % 60.0) > 0.0 {
        format!("{:.0} h {:.0} min", (minutes / 60.0).floor(), minutes % 60.0)
    } else {
        format!("{:.0} h", hours.round())
    }
}

/// The hours of the parts of a whole in words, rounded so that what is shown adds up to what [`hours_words`] shows of
/// the whole: the whole ones first, then one more for those with the largest remainders.
pub fn hours_of_parts(parts: &[f64]) -> Vec<String> {
    let whole: f64 = parts.iter().sum();
    let per_hour = if whole < 10.0 { 60.0 } else { 1.0 };
    let floor = |part: &f64| (part * per_hour).floor();
    let over = (whole * per_hour).round() - parts.iter().map(floor).sum::<f64>();
    let mut by_remainder: Vec<usize> = (0..parts.len()).collect();
    let remainder = |place: usize| parts[place] * per_hour - floor(&parts[place]);
    by_remainder.sort_by(|a, b| remainder(*b).total_cmp(&remainder(*a)));
    let more = &by_remainder[..(over.max(0.0) as usize).min(parts.len())];
    let told = |(place, part): (usize, &f64)| {
        let steps = floor(part) + f64::from(u8::from(more.contains(&place)));
        match steps {
            0.0 if per_hour == 1.0 && *part > 0.0 => "under 1 h".to_owned(),
            steps if per_hour == 1.0 => format!("{steps:.0} h"),
            steps => hours_words(steps / per_hour),
        }
    };
    parts.iter().enumerate().map(told).collect()
}

/// `1st`, `2nd`, `3rd`, `4th`, `11th`, `21st`.
pub fn ordinal(n: u32) -> String {
    let ending = match (n % 10, n % 100) {
        (1, tens) if tens != 11 => "st",
        (2, tens) if tens != 12 => "nd",
        (3, tens) if tens != 13 => "rd",
        _ => "th",
    };
    format!("{n}{ending}")
}

/// `1 stitch`, `5 stitches`.
pub fn counted(count: u64, one: &str, several: &str) -> String {
    if count == 1 { format!("1 {one}") } else { format!("{count} {several}") }
}

/// ` and 3 more` after the first of a list; nothing when there are no more.
pub fn and_more(count: usize) -> String {
    if count == 0 { String::new() } else { format!(" and {count} more") }
}

/// A length in both systems, e.g. `12.0 cm (4.7 in)`; the preferred one comes first.
pub fn both_lengths(cm: f64, first: LengthUnit) -> String {
    let metric = format!("{cm:.1} cm");
    let imperial = format!("{:.1} in", LengthUnit::Imperial.from_cm(cm));
    match first {
        LengthUnit::Metric => format!("{metric} ({imperial})"),
        LengthUnit::Imperial => format!("{imperial} ({metric})"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gauge_of_zero_or_nan_is_refused_in_words() {
        let error = StitchesPer10Cm::new(0.0).unwrap_err();
        assert_eq!(error.to_string(), "stitches per 10 cm must be between 1 and 200, not 0");
        assert!(StitchesPer10Cm::new(f64::NAN).is_err());
        assert!(RowsPer10Cm::new(f64::INFINITY).is_err());
    }

    #[test]
    fn a_length_on_the_scales_gives_the_grist() {
        let weighed = |m, g| MetresPer100G::from_weighed(Metres::new(m).unwrap(), Grams::new(g).unwrap());
        assert_eq!(weighed(10.0, 2.5).unwrap().get(), 400.0);
        assert_eq!(weighed(100.0, 1.0).unwrap().get(), MetresPer100G::MAX);
        for (m, g) in [(10.0, 0.0), (0.0, 1.0), (0.0, 0.0), (101.0, 1.0)] {
            assert!(weighed(m, g).is_err(), "{m} m, {g} g");
        }
    }

    #[test]
    fn clamping_never_leaves_the_range() {
        assert_eq!(StitchesPer10Cm::clamped(f64::NAN).get(), StitchesPer10Cm::MIN);
        assert_eq!(RowsPer10Cm::clamped(1e9).get(), RowsPer10Cm::MAX);
    }

    #[test]
    fn a_gauge_per_4_in_is_slightly_more_than_per_10_cm() {
        // 4 in = 10.16 cm exactly.
        assert!((LengthUnit::Imperial.gauge_factor() - 1.016).abs() < 1e-12);
    }

    #[test]
    fn money_is_told_in_its_currency() {
        let told = |written: &str| Currency::new(written).unwrap().told(Price::clamped(5.45));
        assert_eq!(
            [told(""), told(" £ "), told("EUR"), told("kr")],
            ["5.45", "£5.45", "5.45 EUR", "5.45 kr"]
        );
        for wrong in ["pounds", "5", "£ €", "<b>"] {
            assert!(Currency::new(wrong).is_err(), "{wrong}");
        }
    }

    #[test]
    fn hours_are_told_as_people_do() {
        assert_eq!(hours_words(0.5), "30 min");
        assert_eq!(hours_words(1.0), "1 h");
        assert_eq!(hours_words(1.349), "1 h 21 min");
        assert_eq!(hours_words(63.7), "64 h");
    }

    #[test]
    fn parts_of_a_time_add_up_to_the_whole_as_it_is_told() {
        // By themselves 10 h, 6 h 30 min and 6 h 30 min, of 23 h: nobody would get 23 out of these.
        assert_eq!(hours_words(10.1 + 6.5 + 6.5), "23 h");
        assert_eq!(hours_of_parts(&[10.1, 6.5, 6.5]), ["10 h", "7 h", "6 h"]);
        assert_eq!(hours_of_parts(&[12.2, 0.2]), ["12 h", "under 1 h"]);
        assert_eq!(hours_words(12.5), "13 h");
        assert_eq!(hours_of_parts(&[12.1, 0.4]), ["12 h", "1 h"]);
        assert_eq!(hours_of_parts(&[1.349, 0.5]), ["1 h 21 min", "30 min"]);
        assert_eq!(hours_of_parts(&[]), Vec::<String>::new());
    }

    #[test]
    fn units_go_both_ways() {
        for unit in LengthUnit::ALL {
            assert!((unit.to_cm(unit.from_cm(17.3)) - 17.3).abs() < 1e-12);
            assert!((unit.to_metres(unit.from_metres(220.0)) - 220.0).abs() < 1e-12);
            assert!((unit.to_grams(unit.from_grams(50.0)) - 50.0).abs() < 1e-12);
        }
    }

    #[test]
    fn a_swatch_measures_what_its_gauge_says() {
        let gauge = Gauge::new(28.0, 36.0).unwrap();
        assert!((gauge.width(28).get() - 10.0).abs() < 1e-12);
        assert!((gauge.height(36).get() - 10.0).abs() < 1e-12);
        assert!((gauge.cell_aspect() - 36.0 / 28.0).abs() < 1e-12);
        assert_eq!(gauge.stitches_in(10.1), 28);
    }
}
