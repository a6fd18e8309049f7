//! The lines of a sum of yarn: so many of something, at so much yarn each.

use super::allowance::Rates;
use super::amount::{Amount, Cause, RangeBasis};
use super::estimate::Estimate;
use super::loop_length::{LoopLength, LoopSource};
use super::row_use::ColourCounts;
use crate::units::Gauge;

/// What yarn is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum LineKind {
    /// Plain and chart stitches.
    Stitches,
    /// Stitches of ribbing.
    Ribbing,
    /// Yarn that travels behind the stitches of other colours.
    Floats,
    /// Long floats caught on the way.
    Catches,
    /// Yarn carried up the edge while the colour rests.
    CarriedUp,
    /// Casting on.
    CastOn,
    /// Binding off.
    BindOff,
    /// Grafting stitches to each other, or picking a first row up along an edge.
    Grafting,
    /// Two loose ends for each strand or area.
    Tails,
    /// Two loose ends for each ball after the first.
    NewBalls,
    /// The swatch.
    Swatch,
    /// Waste and knots.
    Waste,
    /// What the balls may hold more or less than their bands say.
    BallLength,
}

impl LineKind {
    /// All kinds, in the order of a sum.
    pub const ALL: [Self; 13] = [
        Self::Stitches,
        Self::Ribbing,
        Self::Floats,
        Self::Catches,
        Self::CarriedUp,
        Self::CastOn,
        Self::BindOff,
        Self::Grafting,
        Self::Tails,
        Self::NewBalls,
        Self::Swatch,
        Self::Waste,
        Self::BallLength,
    ];

    /// What stands before the figure, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Stitches => "Stitches",
            Self::Ribbing => "Ribbing",
            Self::Floats => "Floats",
            Self::Catches => "Catches",
            Self::CarriedUp => "Carried up the edge",
            Self::CastOn => "Cast-on",
            Self::BindOff => "Bind-off",
            Self::Grafting => "Grafting, picking up",
            Self::Tails => "Tails at joins",
            Self::NewBalls => "Joining new balls",
            Self::Swatch => "Swatch",
            Self::Waste => "Waste and knots",
            Self::BallLength => "Metres on the band",
        }
    }

    /// What is counted, plural.
    pub const fn of(self) -> &'static str {
        match self {
            Self::Stitches | Self::Ribbing | Self::CastOn | Self::BindOff | Self::Grafting | Self::Swatch => {
                "stitches"
            }
            Self::Floats => "stitches passed",
            Self::Catches => "catches",
            Self::CarriedUp => "rows",
            Self::Tails | Self::NewBalls => "pairs of ends",
            Self::Waste | Self::BallLength => "per cent",
        }
    }

    /// Whether the line is a share of the others, and not so many things at so much each.
    pub const fn is_share(self) -> bool {
        matches!(self, Self::Waste | Self::BallLength)
    }

    /// What the likely figure rests on, besides what was counted.
    pub const fn basis(self) -> RangeBasis {
        match self {
            // After the loop model, unless a swatch was weighed; its lines say so by their cause.
            Self::Stitches | Self::Grafting | Self::Swatch => RangeBasis::PublishedFromMemory,
            Self::Ribbing | Self::Catches | Self::BallLength => RangeBasis::Judgement,
            Self::Floats | Self::CarriedUp | Self::CastOn | Self::BindOff => RangeBasis::Practice,
            Self::Tails | Self::NewBalls | Self::Waste => RangeBasis::Setting,
        }
    }
}

/// One line of a sum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct YarnLine {
    /// What the yarn is for.
    pub kind: LineKind,
    /// How many of [`LineKind::of`].
    pub count: f64,
    /// Metres in all.
    pub amount: Amount,
}

impl YarnLine {
    /// Metres: low, likely, high.
    pub fn metres(&self) -> Estimate {
        self.amount.estimate()
    }

    /// Likely yarn of each one, in cm; `None` for a share, and of nothing.
    pub fn each_cm(&self) -> Option<f64> {
        let counted = !self.kind.is_share() && self.count > 0.0;
        counted.then(|| self.amount.likely * 100.0 / self.count)
    }

    /// How many of what, e.g. `1 stitch`, `5 per cent`.
    pub fn counted(&self) -> String {
        let of = match (self.count.round() as u64, self.kind.of()) {
            (1, "stitches") => "stitch",
            (1, "stitches passed") => "stitch passed",
            (1, "catches") => "catch",
            (1, "rows") => "row",
            (1, "pairs of ends") => "pair of ends",
            (_, of) => of,
        };
        format!("{:.0} {of}", self.count)
    }

    /// What the likely figure rests on.
    pub fn basis(&self) -> RangeBasis {
        let weighed = self.amount.reach(Cause::WeighedSwatch).high > 0.0;
        match self.kind.basis() {
            RangeBasis::PublishedFromMemory if weighed => RangeBasis::Measured,
            basis => basis,
        }
    }

    /// Whether there is anything in it.
    pub(super) fn is_something(&self) -> bool {
        self.amount.likely > 0.0 || self.metres().high > 0.0
    }
}

/// The yarn of one plain row of so many stitches, in one colour: for whether what is left reaches for one
/// more. Over the row's width it is the `kw` of the loop model (3.8 to 4.2 for wool), where the trade's rule of
/// thumb says three times the width (`rules_of_thumb.csv`, R1) and buys too little.
pub fn row_of_yarn(stitches: u32, gauge: Gauge, (loop_length, source): (LoopLength, LoopSource)) -> YarnLine {
    let rates = Rates { gauge, loop_length, source, tail_cm: 0.0, waste_percent: 0.0 };
    let count = f64::from(stitches);
    YarnLine { kind: LineKind::Stitches, count, amount: rates.stitches(count) }
}

/// The lines of what one colour of a worked piece takes, each end `tail_cm` long; lines of nothing are left out.
pub fn counted_yarn(
    counts: &ColourCounts,
    gauge: Gauge,
    (loop_length, source): (LoopLength, LoopSource),
    tail_cm: f64,
) -> Vec<YarnLine> {
    lines(counts, &Rates { gauge, loop_length, source, tail_cm, waste_percent: 0.0 })
}

/// The lines of what these counts take; lines of nothing are left out.
pub(super) fn lines(counts: &ColourCounts, rates: &Rates) -> Vec<YarnLine> {
    let line = |kind, count: u64, amount: fn(&Rates, f64) -> Amount| {
        let count = count as f64;
        YarnLine { kind, count, amount: amount(rates, count) }
    };
    let lines = [
        line(LineKind::Stitches, counts.plain, Rates::stitches),
        line(LineKind::Ribbing, counts.ribbing, Rates::ribbing),
        line(LineKind::Floats, counts.carried, Rates::floats),
        line(LineKind::Catches, counts.catches, Rates::catches),
        line(LineKind::CarriedUp, counts.carried_up, Rates::carried_up),
        line(LineKind::CastOn, counts.cast_on, Rates::cast_on),
        line(LineKind::BindOff, counts.bind_off, Rates::bind_off),
        // Each grafted stitch is one stitch of a new row.
        line(LineKind::Grafting, counts.grafted, Rates::stitches),
        line(LineKind::Tails, counts.strands, Rates::tails),
    ];
    lines.into_iter().filter(YarnLine::is_something).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_line_says_what_it_counts() {
        let line = |kind, count| YarnLine { kind, count, amount: Amount::exact(3.0) };
        assert_eq!(line(LineKind::CastOn, 1.0).counted(), "1 stitch");
        assert_eq!(line(LineKind::Tails, 2.0).counted(), "2 pairs of ends");
        assert_eq!(line(LineKind::Waste, 5.0).counted(), "5 per cent");
        assert_eq!(line(LineKind::Waste, 5.0).each_cm(), None);
        assert_eq!(line(LineKind::Stitches, 200.0).each_cm(), Some(1.5));
        assert_eq!(line(LineKind::Stitches, 0.0).each_cm(), None);
    }

    #[test]
    fn a_weighed_swatch_is_a_measurement() {
        let amount = Amount::exact(3.0);
        let line = YarnLine { kind: LineKind::Stitches, count: 1.0, amount };
        assert_eq!(line.basis(), RangeBasis::PublishedFromMemory);
        let amount = amount.off_by(Cause::WeighedSwatch, 0.1, 0.1);
        assert_eq!(YarnLine { amount, ..line }.basis(), RangeBasis::Measured);
    }
}
