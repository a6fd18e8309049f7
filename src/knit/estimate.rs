//! A figure with its range. Ranges are never added up: parts of an error add as they are correlated, which
//! [`super::Amount`] knows.

use std::ops::Mul;

/// A quantity as low, likely and high, `low <= likely <= high` for every figure of this room.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Estimate {
    /// The least it will be if all goes well.
    pub low: f64,
    /// What to expect.
    pub likely: f64,
    /// What to buy for.
    pub high: f64,
}

impl Estimate {
    /// Nothing.
    pub const ZERO: Self = Self::exact(0.0);

    /// From its three figures.
    pub const fn new(low: f64, likely: f64, high: f64) -> Self {
        Self { low, likely, high }
    }

    /// A figure without a range.
    pub const fn exact(value: f64) -> Self {
        Self { low: value, likely: value, high: value }
    }

    /// Each of the three figures through `f` (which must not fall).
    pub fn map(self, f: impl Fn(f64) -> f64) -> Self {
        Self { low: f(self.low), likely: f(self.likely), high: f(self.high) }
    }
}

impl Mul<f64> for Estimate {
    type Output = Self;

    fn mul(self, factor: f64) -> Self {
        self.map(|value| value * factor)
    }
}
