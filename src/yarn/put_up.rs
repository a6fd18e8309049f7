//! How a yarn is sold.

use thiserror::Error;

use super::band_words::{BandLength, WordsFault, band_length, band_weight, number};
use crate::units::{Grams, LengthUnit, MetresPer100G, Price, UnitError};

/// Why words are not taken over for how a yarn is sold.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum PutUpFault {
    /// They are not understood.
    #[error(transparent)]
    Words(#[from] WordsFault),
    /// They say what no yarn is.
    #[error(transparent)]
    Unit(#[from] UnitError),
}

/// How a yarn is put up for sale: its grist and the size of a ball.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PutUp {
    /// Metres in 100 g.
    pub grist: MetresPer100G,
    /// Grams in one ball, more than 0.
    ball: Grams,
}

impl Default for PutUp {
    /// Fingering weight in 50 g balls: 400 m per 100 g, inside class 1 of the Standard Yarn Weight System.
    fn default() -> Self {
        Self { grist: MetresPer100G::clamped(400.0), ball: Grams::clamped(50.0) }
    }
}

impl PutUp {
    /// The lightest ball, in grams.
    pub const LEAST_BALL_G: f64 = 1.0;
    /// The heaviest, in grams.
    pub const MOST_BALL_G: f64 = 5_000.0;

    /// A put-up from metres per 100 g and grams per ball.
    ///
    /// # Errors
    /// [`UnitError`] when the grist is out of range or a ball weighs less than 1 g or more than 5 kg.
    pub fn new(metres_per_100g: f64, ball_g: f64) -> Result<Self, UnitError> {
        if !(Self::LEAST_BALL_G..=Self::MOST_BALL_G).contains(&ball_g) {
            return Err(UnitError {
                what: "grams per ball",
                expected: "between 1 and 5000".to_owned(),
                found: ball_g.to_string(),
            });
        }
        Ok(Self { grist: MetresPer100G::new(metres_per_100g)?, ball: Grams::new(ball_g)? })
    }

    /// The same ball of a yarn of this grist.
    #[must_use]
    pub const fn with_grist(self, grist: MetresPer100G) -> Self {
        Self { grist, ..self }
    }

    /// What a length typed as on the band says: `110 m / 50 g` of length and ball at once; a length alone
    /// (`220 m`, `240 yd`) is the one in 100 g. A bare number is in `units`.
    ///
    /// # Errors
    /// [`PutUpFault`] when it is not understood or out of range.
    pub fn told_length(self, text: &str, units: LengthUnit) -> Result<Self, PutUpFault> {
        let told = band_length(text, units)?;
        let ball = told.grams.unwrap_or_else(|| self.ball_g());
        Ok(Self::new(told.metres_per_100g(Some(100.0)).unwrap_or(told.metres), ball)?)
    }

    /// What a ball typed in words says: `50 g`, `1.75 oz`, or with its length, `110 m / 50 g`.
    ///
    /// # Errors
    /// [`PutUpFault`] when it is not understood or out of range.
    pub fn told_ball(self, text: &str, units: LengthUnit) -> Result<Self, PutUpFault> {
        match band_length(text, units) {
            Ok(BandLength { grams: Some(_), .. }) => self.told_length(text, units),
            _ => Ok(Self::new(self.grist.get(), band_weight(text)?)?),
        }
    }

    /// Grams in one ball, `1..=5000`.
    pub const fn ball_g(self) -> f64 {
        self.ball.get()
    }

    /// Metres in one ball.
    pub const fn metres_per_ball(self) -> f64 {
        self.grist.get() * self.ball.get() / 100.0
    }

    /// What `metres` of the yarn weigh, in grams.
    pub const fn grams(self, metres: f64) -> f64 {
        metres * 100.0 / self.grist.get()
    }

    /// Whole balls for the metres of several colours, each bought for itself; what makes no sense takes none.
    pub fn balls_by_colour(self, metres: &[f64]) -> u32 {
        let told = metres.iter().filter(|metres| metres.is_finite());
        told.map(|metres| self.balls(*metres)).fold(0, u32::saturating_add)
    }

    /// Whole balls that hold `metres`; none for none.
    pub fn balls(self, metres: f64) -> u32 {
        // The tolerance keeps an exact fit (2 balls of 100 m for 200 m) from rounding up.
        (metres / self.metres_per_ball() - 1e-9).ceil().max(0.0) as u32
    }
}

/// The yarn of a palette slot: how it is sold, its price when known, and what lies in the basket already.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct SlotYarn {
    /// Metres per 100 g and grams per ball.
    pub put_up: PutUp,
    /// Price of one ball, when known.
    pub ball_price: Option<Price>,
    /// Metres on hand already, 0 or more.
    pub on_hand_m: f64,
}

impl SlotYarn {
    /// Metres on hand at most.
    pub const MOST_ON_HAND_M: f64 = 100_000.0;

    /// Sold in the same way, with none of it at home.
    #[must_use]
    pub const fn none_on_hand(self) -> Self {
        Self { on_hand_m: 0.0, ..self }
    }

    /// Metres of what is on hand, told in balls, by weight or by length: `2 balls`, `80 g`, `120 m`, `1.5 skeins`; a
    /// bare number is a length in `units`.
    ///
    /// # Errors
    /// [`PutUpFault`] when it is not understood or too much.
    pub fn told_on_hand(self, text: &str, units: LengthUnit) -> Result<f64, PutUpFault> {
        const BALLS: [&str; 10] =
            ["balls", "ball", "skeins", "skein", "hanks", "hank", "cakes", "cake", "knäuel", "stränge"];
        let lower = text.trim().to_lowercase();
        let balls = BALLS.iter().find_map(|word| lower.strip_suffix(word));
        let metres = match balls {
            Some(count) => number(count.trim())? * self.put_up.metres_per_ball(),
            None => match (band_length(text, units), band_weight(text)) {
                (Ok(length), _) => length.metres,
                (Err(_), Ok(grams)) => grams * self.put_up.grist.get() / 100.0,
                (Err(fault), Err(_)) => return Err(fault.into()),
            },
        };
        if (0.0..=Self::MOST_ON_HAND_M).contains(&metres) {
            return Ok(metres);
        }
        Err(PutUpFault::Unit(UnitError {
            what: "metres on hand",
            expected: format!("between 0 and {}", Self::MOST_ON_HAND_M),
            found: format!("{metres:.0}"),
        }))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn balls_are_whole_and_an_exact_fit_needs_no_spare() {
        let yarn = PutUp::new(400.0, 50.0).unwrap();
        assert!((yarn.metres_per_ball() - 200.0).abs() < 1e-9);
        assert_eq!(yarn.balls(0.0), 0);
        assert_eq!(yarn.balls(200.0), 1);
        assert_eq!(yarn.balls(200.1), 2);
    }

    #[test]
    fn a_band_says_length_and_ball_at_once() {
        let (yarn, metric) = (PutUp::new(400.0, 100.0).unwrap(), LengthUnit::Metric);
        let read = |text| yarn.told_length(text, metric).map(|told| (told.grist.get(), told.ball_g()));
        assert_eq!(read("110 m / 50 g"), Ok((220.0, 50.0)));
        assert_eq!(read("112,5 m per 25 g"), Ok((450.0, 25.0)));
        assert_eq!(read("220 m"), Ok((220.0, 100.0)));
        assert_eq!(read("250 yd"), Ok((228.6, 100.0)));
        assert_eq!(yarn.told_length("100", LengthUnit::Imperial).unwrap().grist.get(), 91.44);
        assert_eq!(yarn.told_ball("110 m / 50 g", metric), yarn.told_length("110 m / 50 g", metric));
        assert_eq!(yarn.told_ball("0,05 kg", metric).unwrap(), PutUp::new(400.0, 50.0).unwrap());
        for text in ["1 m / 50 g", "110 m / 9 kg", "long", "110 m / 50"] {
            assert!(read(text).is_err(), "{text}");
        }
        let too_thick = yarn.told_length("1 m / 50 g", metric).unwrap_err().to_string();
        assert_eq!(too_thick, "metres per 100 g must be between 5 and 10000, not 2");
    }

    #[test]
    fn what_is_on_hand_is_told_in_balls_by_weight_or_by_length() {
        let yarn = SlotYarn { put_up: PutUp::new(220.0, 50.0).unwrap(), ..SlotYarn::default() };
        let read = |text| yarn.told_on_hand(text, LengthUnit::Metric).map(f64::round);
        for (text, metres) in [
            ("2 balls", 220.0),
            ("1 ball", 110.0),
            ("1,5 skeins", 165.0),
            ("2 Knäuel", 220.0),
            ("80 g", 176.0),
            ("120 m", 120.0),
            ("131.2 yd", 120.0),
            ("0", 0.0),
        ] {
            assert_eq!(read(text), Ok(metres), "{text}");
        }
        for text in ["", "some", "-2 balls", "2000000 m", "balls", "two balls"] {
            assert!(read(text).is_err(), "{text}");
        }
    }

    #[test]
    fn a_ball_of_nothing_is_refused() {
        assert!(PutUp::new(400.0, 0.0).is_err());
        assert!(PutUp::new(f64::NAN, 50.0).is_err());
    }
}
