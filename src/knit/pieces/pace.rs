//! How long a piece takes in the knitter's own hands.

use super::count_rows::ways_of;
use super::repeat_rows::Pattern;
use super::worked::WorkedPiece;
use crate::units::UnitError;

/// Stitches by how they are worked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Ways {
    /// In rows of one colour, ribbing and stripes among them.
    pub plain: u64,
    /// In rows of several colours, the others carried behind.
    pub stranded: u64,
    /// In rows of several areas, each from a bobbin of its own.
    pub intarsia: u64,
}

impl Ways {
    /// The stitches of all copies of a piece that repeats `pattern`.
    pub fn of(piece: &WorkedPiece, pattern: Pattern) -> Self {
        let one = ways_of(piece, pattern);
        let all = |stitches: u64| stitches.saturating_mul(u64::from(piece.copies));
        Self { plain: all(one.plain), stranded: all(one.stranded), intarsia: all(one.intarsia) }
    }

    /// So many times as many of each, as the same piece in cm has at another gauge.
    pub fn scaled(self, factor: f64) -> Self {
        let times = |stitches: u64| (stitches as f64 * factor).round() as u64;
        Self { plain: times(self.plain), stranded: times(self.stranded), intarsia: times(self.intarsia) }
    }

    /// All together.
    pub const fn all(self) -> u64 {
        self.plain.saturating_add(self.stranded).saturating_add(self.intarsia)
    }
}

impl std::iter::Sum for Ways {
    fn sum<I: Iterator<Item = Self>>(ways: I) -> Self {
        ways.fold(Self::default(), |sum, more| Self {
            plain: sum.plain.saturating_add(more.plain),
            stranded: sum.stranded.saturating_add(more.stranded),
            intarsia: sum.intarsia.saturating_add(more.intarsia),
        })
    }
}

/// A knitter's pace: plain knitting in stitches per minute, and the share of it that is kept in colourwork.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pace {
    per_minute: f64,
    stranded: f64,
    intarsia: f64,
}

impl Default for Pace {
    /// 20 stitches per minute, an unhurried hand knitter. Stranded knitting keeps 65 % of the pace, the middle of the
    /// 50 to 80 % that are taught, intarsia 55 %, the middle of 40 to 70 %. All three are common practice; no
    /// measurement of colourwork against plain knitting was found.
    fn default() -> Self {
        Self { per_minute: 20.0, stranded: 0.65, intarsia: 0.55 }
    }
}

impl Pace {
    /// The least share of the plain pace that colourwork keeps; the most is all of it.
    pub const LEAST_SHARE: f64 = 0.1;

    /// A pace of `per_minute` stitches in plain knitting, and the usual shares of it in colourwork.
    ///
    /// # Errors
    /// [`UnitError`] unless it is between 0.5 and 300.
    pub fn new(per_minute: f64) -> Result<Self, UnitError> {
        if (0.5..=300.0).contains(&per_minute) {
            return Ok(Self { per_minute, ..Self::default() });
        }
        Err(UnitError {
            what: "stitches per minute",
            expected: "between 0.5 and 300".to_owned(),
            found: per_minute.to_string(),
        })
    }

    /// The same plain pace with these shares kept in stranded knitting and in intarsia, `0.1..=1`.
    ///
    /// # Errors
    /// [`UnitError`] when one is out of range.
    pub fn with_shares(self, stranded: f64, intarsia: f64) -> Result<Self, UnitError> {
        match [stranded, intarsia].into_iter().find(|share| !(Self::LEAST_SHARE..=1.0).contains(share)) {
            None => Ok(Self { stranded, intarsia, ..self }),
            Some(share) => Err(UnitError {
                what: "the pace of colourwork",
                expected: "between 10 and 100 % of the plain one".to_owned(),
                found: format!("{:.0} %", share * 100.0),
            }),
        }
    }

    /// The pace of a plain swatch of `stitches` by `rows` that took `minutes`, with the shares of this one.
    ///
    /// # Errors
    /// [`UnitError`] when the minutes are not more than 0, or the pace that follows cannot be.
    pub fn from_swatch(self, (stitches, rows): (f64, f64), minutes: f64) -> Result<Self, UnitError> {
        if minutes.is_nan() || minutes <= 0.0 {
            return Err(UnitError {
                what: "minutes for the swatch",
                expected: "more than 0".to_owned(),
                found: minutes.to_string(),
            });
        }
        let plain = Self::new(stitches * rows / minutes)?;
        Ok(Self { per_minute: plain.per_minute, ..self })
    }

    /// Stitches per minute in plain knitting.
    pub const fn per_minute(self) -> f64 {
        self.per_minute
    }

    /// The share of it that is kept in stranded knitting, `0.1..=1`.
    pub const fn stranded_share(self) -> f64 {
        self.stranded
    }

    /// The share of it that is kept in intarsia, `0.1..=1`.
    pub const fn intarsia_share(self) -> f64 {
        self.intarsia
    }

    /// Hours for these stitches.
    pub fn hours(self, ways: Ways) -> f64 {
        let as_plain =
            ways.plain as f64 + ways.stranded as f64 / self.stranded + ways.intarsia as f64 / self.intarsia;
        as_plain / self.per_minute / 60.0
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_swatch_sets_the_pace() {
        let pace = Pace::default().from_swatch((30.0, 40.0), 60.0).unwrap();
        assert!((pace.per_minute() - 20.0).abs() < 1e-12);
        assert!((pace.hours(Ways { plain: 72_000, ..Ways::default() }) - 60.0).abs() < 1e-9);
    }

    #[test]
    fn colourwork_takes_longer_by_the_share_of_the_pace_it_keeps() {
        let pace = Pace::new(20.0).unwrap().with_shares(0.5, 0.4).unwrap();
        let hours = |plain, stranded, intarsia| pace.hours(Ways { plain, stranded, intarsia });
        assert!((hours(1200, 0, 0) - 1.0).abs() < 1e-12);
        assert!((hours(0, 1200, 0) - 2.0).abs() < 1e-12);
        assert!((hours(0, 0, 1200) - 2.5).abs() < 1e-12);
        assert!((hours(1200, 1200, 1200) - 5.5).abs() < 1e-12);
        assert!(pace.with_shares(0.0, 0.5).is_err() && pace.with_shares(0.5, 1.5).is_err());
    }

    #[test]
    fn a_swatch_in_no_time_is_refused() {
        for minutes in [0.0, -3.0, f64::NAN] {
            let words = Pace::default().from_swatch((30.0, 40.0), minutes).unwrap_err().to_string();
            assert!(words.starts_with("minutes for the swatch must be more than 0"), "{words}");
        }
        assert!(Pace::default().from_swatch((30.0, 40.0), f64::INFINITY).is_err());
        assert!(Pace::new(f64::NAN).is_err());
    }
}
