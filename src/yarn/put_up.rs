//! How a yarn is sold.

use crate::units::{Grams, MetresPer100G, Price, UnitError};

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
    /// A put-up from metres per 100 g and grams per ball.
    ///
    /// # Errors
    /// [`UnitError`] when the grist is out of range or a ball weighs less than 1 g or more than 5 kg.
    pub fn new(metres_per_100g: f64, ball_g: f64) -> Result<Self, UnitError> {
        if !(1.0..=5_000.0).contains(&ball_g) {
            return Err(UnitError {
                what: "grams per ball",
                expected: "between 1 and 5000".to_owned(),
                found: ball_g.to_string(),
            });
        }
        Ok(Self { grist: MetresPer100G::new(metres_per_100g)?, ball: Grams::new(ball_g)? })
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
    fn a_ball_of_nothing_is_refused() {
        assert!(PutUp::new(400.0, 0.0).is_err());
        assert!(PutUp::new(f64::NAN, 50.0).is_err());
    }
}
