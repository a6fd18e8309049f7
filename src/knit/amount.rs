//! An amount of yarn that knows what it may be off by, and why.
//!
//! Every cause of error keeps its own reach. Adding up keeps the causes apart: what one cause does it
//! does to all lines at once (all stitches are off by the same loop length), so its reaches add as they
//! are; ends, balls and waste go wrong one by one, so theirs add in quadrature. Only when a range is
//! asked for are the causes put together, in quadrature, since they know nothing of each other.
//!
//! A reach is a limit that is seldom passed (about one time in twenty on either side), not one standard
//! deviation: it is what is bought for. That is our judgement; there is no published sample of hand knits
//! on the scales to calibrate it on.

use std::iter::Sum;
use std::ops::{Add, Mul};

use super::estimate::Estimate;

/// What a range of yarn is; shown where the ranges are.
pub const RANGE_WORDS: &str = "Low and high are limits that are seldom passed (our judgement), to be bought for. Each cause takes all \
     its lines along; the causes know nothing of each other and add in quadrature, so the parts do not add up to \
     the whole range.";

/// What a figure's reach rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum RangeBasis {
    /// Published values, cited from memory: the papers could not be read again.
    PublishedFromMemory,
    /// A value from memory whose source could not be checked.
    Memory,
    /// A rule of the trade.
    Practice,
    /// Our judgement.
    Judgement,
    /// The knitter's own measurement.
    Measured,
    /// A number the knitter has set.
    Setting,
}

impl RangeBasis {
    /// In words, in the middle of a sentence.
    pub const fn name(self) -> &'static str {
        match self {
            Self::PublishedFromMemory => "published, cited from memory",
            Self::Memory => "from memory",
            Self::Practice => "common practice",
            Self::Judgement => "our judgement",
            Self::Measured => "measured",
            Self::Setting => "as set",
        }
    }
}

/// A reason why an amount of yarn may come out otherwise.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Cause {
    /// How far the fabric had relaxed when its gauge was taken: dry relaxed to fully relaxed.
    Relaxation,
    /// The fabric is not the plain knit the loop constants were measured on.
    Structure,
    /// The fibre is not the wool the loop constants were measured on, or is not told.
    Fibre,
    /// The piece is knitted tighter or looser than the swatch.
    Tension,
    /// The gauge was counted to half a stitch and half a row in 10 cm.
    Counting,
    /// What the scales and the count of a weighed swatch leave open.
    WeighedSwatch,
    /// Ribs are worked tighter or looser than plain knit.
    Ribbing,
    /// How slack floats lie.
    Slack,
    /// How tightly floats are caught.
    Catches,
    /// The way of casting on and binding off.
    Edges,
    /// How long ends are left, and how many balls are joined.
    Ends,
    /// How well the metres on the band of a ball are kept.
    Label,
    /// How much of what is allowed for waste is needed.
    Waste,
}

impl Cause {
    /// All causes, the order of the reaches.
    pub const ALL: [Self; 13] = [
        Self::Relaxation,
        Self::Structure,
        Self::Fibre,
        Self::Tension,
        Self::Counting,
        Self::WeighedSwatch,
        Self::Ribbing,
        Self::Slack,
        Self::Catches,
        Self::Edges,
        Self::Ends,
        Self::Label,
        Self::Waste,
    ];

    /// A word or two, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Relaxation => "Relaxation",
            Self::Structure => "Structure",
            Self::Fibre => "Fibre",
            Self::Tension => "Tension",
            Self::Counting => "Counted gauge",
            Self::WeighedSwatch => "Weighed swatch",
            Self::Ribbing => "Ribbing",
            Self::Slack => "Slack of floats",
            Self::Catches => "Catches",
            Self::Edges => "Edges",
            Self::Ends => "Ends",
            Self::Label => "Label",
            Self::Waste => "Waste",
        }
    }

    /// What its reach rests on.
    pub const fn basis(self) -> RangeBasis {
        match self {
            Self::Relaxation | Self::Structure => RangeBasis::PublishedFromMemory,
            Self::Fibre => RangeBasis::Memory,
            Self::Slack | Self::Edges | Self::Counting => RangeBasis::Practice,
            Self::Tension | Self::Ribbing | Self::Catches | Self::Ends | Self::Label => RangeBasis::Judgement,
            Self::WeighedSwatch => RangeBasis::Measured,
            Self::Waste => RangeBasis::Setting,
        }
    }

    /// Why the figure has a range, in a sentence.
    pub const fn reason(self) -> &'static str {
        match self {
            Self::Relaxation => {
                "The gauge does not tell how far the fabric had relaxed: dry relaxed to fully relaxed."
            }
            Self::Structure => {
                "The loop constants are those of plain knit; stranded and other fabrics lie otherwise, which shows \
                 in their rows to a stitch."
            }
            Self::Fibre => {
                "The loop constants are those of wool; another fibre, or one not told, may differ."
            }
            Self::Tension => "A piece is seldom knitted just as tightly as its swatch.",
            Self::Counting => "A gauge is counted to half a stitch and half a row in 10 cm.",
            Self::WeighedSwatch => "The scales and the count of the weighed swatch leave this open.",
            Self::Ribbing => "Ribs are worked tighter or looser than plain knit.",
            Self::Slack => "Floats are left 5 to 10 % slack.",
            Self::Catches => "A catch may be pulled tight or lie loose.",
            Self::Edges => "Ways of casting on and binding off differ.",
            Self::Ends => "Ends are left longer or shorter, and every ball more is joined.",
            Self::Label => "A ball may hold a little more or less than its band says.",
            Self::Waste => "What is allowed for waste may not be needed.",
        }
    }

    /// Whether the cause goes wrong for every line and colour by itself; else for all of them together.
    const fn is_single(self) -> bool {
        matches!(self, Self::Ends | Self::Label | Self::Waste)
    }

    /// The reach of this cause over two amounts.
    fn over_both(self, a: f64, b: f64) -> f64 {
        if self.is_single() { a.hypot(b) } else { a + b }
    }
}

/// How far below and above the likely figure one cause may take it, each 0 or more.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Reach {
    /// Below.
    pub low: f64,
    /// Above.
    pub high: f64,
}

/// A likely figure and the reach of every cause.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Amount {
    /// What to expect.
    pub likely: f64,
    reaches: [Reach; Cause::ALL.len()],
}

impl Amount {
    /// A figure without a range.
    pub fn exact(likely: f64) -> Self {
        Self { likely, ..Self::default() }
    }

    /// A likely figure which one cause takes from `low` to `high`.
    pub fn between(low: f64, likely: f64, high: f64, cause: Cause) -> Self {
        Self::exact(likely).off_by(cause, likely - low, high - likely)
    }

    /// The same, and `cause` may take it this far below and above.
    #[must_use]
    pub fn off_by(mut self, cause: Cause, low: f64, high: f64) -> Self {
        let reach = &mut self.reaches[cause as usize];
        reach.low = cause.over_both(reach.low, low.max(0.0));
        reach.high = cause.over_both(reach.high, high.max(0.0));
        self
    }

    /// The same, and `cause` may take it this share (0 or more) of it below and above.
    #[must_use]
    pub fn off_by_share(self, cause: Cause, low: f64, high: f64) -> Self {
        self.off_by(cause, self.likely * low, self.likely * high)
    }

    /// The reach of one cause.
    pub const fn reach(&self, cause: Cause) -> Reach {
        self.reaches[cause as usize]
    }

    /// The causes that reach anywhere, the farthest first.
    pub fn parts(&self) -> Vec<(Cause, Reach)> {
        let all = Cause::ALL.into_iter().map(|cause| (cause, self.reach(cause)));
        let mut parts: Vec<_> = all.filter(|(_, reach)| reach.low.max(reach.high) > 0.0).collect();
        parts.sort_by(|a, b| (b.1.low + b.1.high).total_cmp(&(a.1.low + a.1.high)));
        parts
    }

    /// Low, likely and high: the causes together, in quadrature. Yarn is never less than none; only what
    /// corrects a sum (a likely 0) may be.
    pub fn estimate(&self) -> Estimate {
        let together =
            |of: fn(&Reach) -> f64| self.reaches.iter().map(|reach| of(reach).powi(2)).sum::<f64>().sqrt();
        let low = self.likely - together(|reach| reach.low);
        let low = if self.likely > 0.0 { low.max(0.0) } else { low };
        Estimate::new(low, self.likely, self.likely + together(|reach| reach.high))
    }
}

impl Add for Amount {
    type Output = Self;

    fn add(mut self, other: Self) -> Self {
        self.likely += other.likely;
        for cause in Cause::ALL {
            let (to, more) = (&mut self.reaches[cause as usize], other.reaches[cause as usize]);
            to.low = cause.over_both(to.low, more.low);
            to.high = cause.over_both(to.high, more.high);
        }
        self
    }
}

/// By a factor of 0 or more.
impl Mul<f64> for Amount {
    type Output = Self;

    fn mul(mut self, factor: f64) -> Self {
        self.likely *= factor;
        for reach in &mut self.reaches {
            *reach = Reach { low: reach.low * factor, high: reach.high * factor };
        }
        self
    }
}

impl Sum for Amount {
    fn sum<I: Iterator<Item = Self>>(iter: I) -> Self {
        iter.fold(Self::default(), Add::add)
    }
}

impl<'a> Sum<&'a Self> for Amount {
    fn sum<I: Iterator<Item = &'a Self>>(iter: I) -> Self {
        iter.copied().sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() < 1e-12
    }

    #[test]
    fn one_cause_takes_all_lines_along_and_single_ones_even_out() {
        let line = |cause| Amount::exact(100.0).off_by_share(cause, 0.03, 0.04);
        let both = line(Cause::Tension) + line(Cause::Tension);
        assert!(near(both.estimate().low, 194.0) && near(both.estimate().high, 208.0));
        let both = line(Cause::Label) + line(Cause::Label);
        assert!(near(both.estimate().high, 200.0 + 4.0 * 2.0_f64.sqrt()));
    }

    #[test]
    fn causes_that_know_nothing_of_each_other_add_in_quadrature() {
        let amount = Amount::exact(100.0).off_by_share(Cause::Tension, 0.03, 0.03).off_by_share(
            Cause::Relaxation,
            0.04,
            0.04,
        );
        let Estimate { low, likely, high } = amount.estimate();
        assert!(near(low, 95.0) && near(likely, 100.0) && near(high, 105.0));
        let causes: Vec<Cause> = amount.parts().into_iter().map(|(cause, _)| cause).collect();
        assert_eq!(causes, [Cause::Relaxation, Cause::Tension]);
        assert!(near((amount * 2.0).estimate().high, 210.0));
    }

    #[test]
    fn yarn_is_never_less_than_none_but_a_correction_may_be() {
        let all =
            |likely| Amount::exact(likely).off_by(Cause::Waste, 5.0, 0.0).off_by(Cause::Tension, 1.0, 1.0);
        assert_eq!(all(5.0).estimate().low, 0.0);
        assert!(all(0.0).estimate().low < -5.0);
    }

    #[test]
    fn the_order_of_a_sum_does_not_matter() {
        let a = Amount::exact(3.0).off_by(Cause::Ends, 0.3, 0.1).off_by(Cause::Slack, 0.2, 0.2);
        let b = Amount::exact(5.0).off_by(Cause::Ends, 0.4, 0.5).off_by(Cause::Waste, 1.0, 0.0);
        let c = Amount::exact(7.0).off_by(Cause::Slack, 0.1, 0.6);
        let (left, right) = (((a + b) + c).estimate(), (a + (c + b)).estimate());
        assert!(near(left.low, right.low) && near(left.high, right.high));
    }

    #[test]
    fn every_cause_says_itself_and_stands_in_its_place() {
        for (place, cause) in Cause::ALL.into_iter().enumerate() {
            assert_eq!(cause as usize, place);
            assert!(!cause.name().is_empty() && cause.reason().ends_with('.'));
        }
    }
}
