//! How long a piece takes in the knitter's own hands.

use super::worked::WorkedPiece;
use crate::units::UnitError;

/// A knitter's pace, in stitches per minute.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pace(f64);

impl Default for Pace {
    /// 20 stitches per minute: an unhurried hand knitter (common practice, no published source).
    fn default() -> Self {
        Self(20.0)
    }
}

impl Pace {
    /// A pace of `per_minute` stitches.
    ///
    /// # Errors
    /// [`UnitError`] unless it is between 0.5 and 300.
    pub fn new(per_minute: f64) -> Result<Self, UnitError> {
        if (0.5..=300.0).contains(&per_minute) {
            return Ok(Self(per_minute));
        }
        Err(UnitError {
            what: "stitches per minute",
            expected: "between 0.5 and 300".to_owned(),
            found: per_minute.to_string(),
        })
    }

    /// The pace of a swatch of `stitches` by `rows` that took `minutes`.
    ///
    /// # Errors
    /// [`UnitError`] when the minutes are not more than 0, or the pace that follows cannot be.
    pub fn from_swatch(stitches: u32, rows: u32, minutes: f64) -> Result<Self, UnitError> {
        if minutes.is_nan() || minutes <= 0.0 {
            return Err(UnitError {
                what: "minutes for the swatch",
                expected: "more than 0".to_owned(),
                found: minutes.to_string(),
            });
        }
        Self::new(f64::from(stitches) * f64::from(rows) / minutes)
    }

    /// Stitches per minute.
    pub const fn per_minute(self) -> f64 {
        self.0
    }

    /// Hours for this many stitches.
    pub fn hours(self, stitches: u64) -> f64 {
        stitches as f64 / self.0 / 60.0
    }

    /// Hours for all copies of a piece.
    pub fn hours_for(self, piece: &WorkedPiece) -> f64 {
        self.hours(piece.stitches().saturating_mul(u64::from(piece.copies)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_swatch_sets_the_pace() {
        let pace = Pace::from_swatch(30, 40, 60.0).unwrap();
        assert!((pace.per_minute() - 20.0).abs() < 1e-12);
        assert!((pace.hours(72_000) - 60.0).abs() < 1e-9);
    }

    #[test]
    fn a_swatch_in_no_time_is_refused() {
        for minutes in [0.0, -3.0, f64::NAN] {
            let words = Pace::from_swatch(30, 40, minutes).unwrap_err().to_string();
            assert!(words.starts_with("minutes for the swatch must be more than 0"), "{words}");
        }
        assert!(Pace::from_swatch(30, 40, f64::INFINITY).is_err());
        assert!(Pace::new(f64::NAN).is_err());
    }
}
