//! A figure with its honest range.

use std::iter::Sum;
use std::ops::{Add, AddAssign, Mul};

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

impl Add for Estimate {
    type Output = Self;

    fn add(self, other: Self) -> Self {
        Self { low: self.low + other.low, likely: self.likely + other.likely, high: self.high + other.high }
    }
}

impl AddAssign for Estimate {
    fn add_assign(&mut self, other: Self) {
        *self = *self + other;
    }
}

impl Mul<f64> for Estimate {
    type Output = Self;

    fn mul(self, factor: f64) -> Self {
        self.map(|value| value * factor)
    }
}

impl Sum for Estimate {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::ZERO, Add::add)
    }
}
