//! Stitch counts that keep a repeat, and what that costs in width.

use crate::knit::Gauge;

/// "A multiple of `of` plus `plus`": the counts on which a pattern works out.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Multiple {
    of: u32,
    plus: u32,
}

impl Default for Multiple {
    /// Any whole number of stitches.
    fn default() -> Self {
        Self::of(1)
    }
}

impl Multiple {
    /// A multiple of `of` (0 counts as 1).
    pub const fn of(of: u32) -> Self {
        Self::with_edge(of, 0)
    }

    /// A multiple of `of` (0 counts as 1) plus `plus` stitches outside the repeats.
    pub const fn with_edge(of: u32, plus: u32) -> Self {
        Self { of: if of == 0 { 1 } else { of }, plus }
    }

    /// Stitches of one repeat, 1 or more.
    pub const fn repeat(self) -> u32 {
        self.of
    }

    /// Stitches outside the repeats.
    pub const fn edge(self) -> u32 {
        self.plus
    }

    /// Whether `stitches` is at least one repeat and works out.
    pub const fn fits(self, stitches: u32) -> bool {
        stitches >= self.of + self.plus && (stitches - self.plus).is_multiple_of(self.of)
    }

    /// The counts that suit both, when both leave the same stitches outside their repeats.
    pub fn and(self, other: Self) -> Option<Self> {
        if self.of == 1 && self.plus == 0 {
            return Some(other);
        }
        if other.of == 1 && other.plus == 0 {
            return Some(self);
        }
        let of = self.of.checked_mul(other.of / gcd(self.of, other.of))?;
        (self.plus == other.plus).then_some(Self { of, plus: self.plus })
    }

    /// The nearest count at or below `wanted` (at least one repeat) and the one above it.
    fn around(self, wanted: f64) -> (u32, u32) {
        let repeats = ((wanted - f64::from(self.plus)) / f64::from(self.of)).floor();
        // A float-to-int cast saturates, so a wild width cannot wrap round.
        let below = (repeats.max(1.0) as u32).saturating_mul(self.of).saturating_add(self.plus);
        (below, below.saturating_add(self.of))
    }

    /// The count to work for a width of `wanted` stitches (a fraction is welcome).
    pub fn choose(self, wanted: f64, rounding: Rounding) -> u32 {
        let (below, above) = self.around(wanted);
        let exact = (f64::from(below) - wanted).abs() < 1e-9;
        // A tie goes up: a little room is easier to wear than a little too tight.
        let above_is_nearer = f64::from(above) - wanted <= wanted - f64::from(below) + 1e-9;
        let take_above = match rounding {
            Rounding::Down => false,
            Rounding::Up => true,
            Rounding::Nearest => above_is_nearer,
        };
        if take_above && !exact { above } else { below }
    }
}

/// Which way a wanted width goes when it falls between two counts.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Rounding {
    /// To the nearer count; a tie goes up.
    #[default]
    Nearest,
    /// To the smaller one: closer fitting.
    Down,
    /// To the larger one: roomier.
    Up,
}

impl Rounding {
    /// All roundings, in the order they are offered.
    pub const ALL: [Self; 3] = [Self::Nearest, Self::Down, Self::Up];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Nearest => "Nearest",
            Self::Down => "Closer fitting",
            Self::Up => "Roomier",
        }
    }
}

/// A stitch count, the width it stands for, and its neighbours that keep the repeat too.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Count {
    /// Stitches to work.
    pub stitches: u32,
    /// The width asked for, in cm; `None` where the stitches themselves were given.
    pub wanted_cm: Option<f64>,
    /// The counts that were allowed.
    pub multiple: Multiple,
    /// Stitches among them that fold to the wrong side when the tube is cut open, and widen nothing.
    pub folds: u32,
}

impl Count {
    /// Chooses the stitches for a width of `wanted_cm`.
    pub fn for_width(wanted_cm: f64, gauge: Gauge, multiple: Multiple, rounding: Rounding) -> Self {
        let wanted = wanted_cm.max(0.0) / gauge.stitch_width_cm();
        Self { stitches: multiple.choose(wanted, rounding), wanted_cm: Some(wanted_cm), multiple, folds: 0 }
    }

    /// A given count.
    pub const fn given(stitches: u32, multiple: Multiple) -> Self {
        Self { stitches, wanted_cm: None, multiple, folds: 0 }
    }

    /// Finished width in cm.
    pub fn finished_cm(self, gauge: Gauge) -> f64 {
        gauge.width(self.stitches.saturating_sub(self.folds)).get()
    }

    /// Finished minus wanted width in cm: what keeping the repeat costs.
    pub fn off_cm(self, gauge: Gauge) -> Option<f64> {
        self.wanted_cm.map(|wanted| self.finished_cm(gauge) - wanted)
    }

    /// Whole repeats in it.
    pub const fn repeats(self) -> u32 {
        self.stitches.saturating_sub(self.multiple.plus) / self.multiple.of
    }

    /// The counts that keep the repeat on either side of what was asked for: the closer fitting and the
    /// roomier one; the same twice where it works out exactly.
    pub fn either_side(self, gauge: Gauge) -> (Self, Self) {
        let of_cm = |cm: f64| cm.max(0.0) / gauge.stitch_width_cm() + f64::from(self.folds);
        let wanted = self.wanted_cm.map_or(f64::from(self.stitches), of_cm);
        let with = |rounding| Self { stitches: self.multiple.choose(wanted, rounding), ..self };
        (with(Rounding::Down), with(Rounding::Up))
    }

    /// The next counts down and up that keep the repeat, to compare with this one; none below one repeat.
    pub fn neighbours(self) -> (Option<Self>, Self) {
        let Multiple { of, plus } = self.multiple;
        let below = self.stitches.checked_sub(of).filter(|n| *n >= of.saturating_add(plus));
        let with = |stitches| Self { stitches, ..self };
        (below.map(with), with(self.stitches.saturating_add(of)))
    }
}

/// Greatest common divisor of two numbers that are not 0.
const fn gcd(a: u32, b: u32) -> u32 {
    if b == 0 { a } else { gcd(b, a % b) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_tie_goes_up_and_rounding_can_be_told() {
        let four = Multiple::of(4);
        assert_eq!(four.choose(30.0, Rounding::Nearest), 32);
        assert_eq!(four.choose(29.9, Rounding::Nearest), 28);
        assert_eq!(four.choose(31.9, Rounding::Down), 28);
        assert_eq!(four.choose(28.1, Rounding::Up), 32);
        assert_eq!(four.choose(28.0, Rounding::Up), 28);
    }

    #[test]
    fn a_width_lies_between_two_counts_and_a_given_count_too() {
        let gauge = Gauge::new(20.0, 28.0).unwrap();
        let by_width = Count::for_width(100.0, gauge, Multiple::of(24), Rounding::Nearest);
        let (closer, roomier) = by_width.either_side(gauge);
        assert_eq!((closer.stitches, roomier.stitches), (192, 216));
        let (closer, roomier) = Count::given(250, Multiple::of(24)).either_side(gauge);
        assert_eq!((closer.stitches, roomier.stitches), (240, 264));
        let (closer, roomier) = Count::given(240, Multiple::of(24)).either_side(gauge);
        assert_eq!((closer.stitches, roomier.stitches), (240, 240));
    }

    #[test]
    fn never_less_than_one_repeat() {
        assert_eq!(Multiple::with_edge(12, 2).choose(3.0, Rounding::Nearest), 14);
        assert_eq!(Multiple::of(0).choose(0.0, Rounding::Down), 1);
        assert_eq!(Multiple::of(24).choose(f64::INFINITY, Rounding::Nearest), u32::MAX);
    }

    #[test]
    fn two_multiples_meet_in_their_common_one() {
        assert_eq!(Multiple::of(4).and(Multiple::of(6)), Some(Multiple::of(12)));
        assert_eq!(Multiple::default().and(Multiple::with_edge(6, 1)), Some(Multiple::with_edge(6, 1)));
        assert_eq!(Multiple::with_edge(4, 2).and(Multiple::with_edge(6, 1)), None);
    }

    #[test]
    fn the_cost_of_a_repeat_is_shown_in_cm() {
        let gauge = Gauge::new(20.0, 28.0).unwrap();
        let count = Count::for_width(100.0, gauge, Multiple::of(24), Rounding::Nearest);
        assert_eq!(count.stitches, 192);
        assert!((count.off_cm(gauge).unwrap() + 4.0).abs() < 1e-9);
        let (below, above) = count.neighbours();
        assert_eq!((below.unwrap().stitches, above.stitches, above.repeats()), (168, 216, 9));
        assert!((above.off_cm(gauge).unwrap() - 8.0).abs() < 1e-9);
        assert_eq!(Count::given(24, Multiple::of(24)).neighbours().0, None);
    }
}
