//! What each use of yarn takes, and what may take it elsewhere: the rates behind every line of a sum.

use super::amount::{Amount, Cause};
use super::estimate::Estimate;
use super::loop_length::{LoopLength, LoopSource, fibre_shares, structure_shares};
use crate::units::Gauge;

/// Slack of a strand that travels behind or beside the fabric, over the straight distance: 5 to 10 %
/// (common practice, no published source). A taut float puckers.
pub(super) const STRAND_EASE: Estimate = Estimate::new(1.05, 1.075, 1.10);
/// Yarn of one catch in stitch widths: the float dips around the working yarn (our judgement).
const CATCH_WIDTHS: Estimate = Estimate::new(0.25, 0.5, 1.0);
/// Cast-on over its width. Long-tail rules of hand-knitting pages (`rules_of_thumb.csv`): 3 times (R7),
/// 3 times and 10 % (R6), 4 times (R8).
const CAST_ON_WIDTHS: Estimate = Estimate::new(3.0, 3.3, 4.0);
/// Bind-off over its width. Rules of hand-knitting pages (`rules_of_thumb.csv`): at least 3 times (R4),
/// 4 times (R5, from memory), 6 times to be generous (R2).
const BIND_OFF_WIDTHS: Estimate = Estimate::new(3.0, 4.0, 6.0);
/// A rib stitch over a plain one. Every change from knit to purl takes the yarn through the fabric, but
/// ribbing is worked on thinner needles (our judgement, no published source).
const RIB_STITCH: Estimate = Estimate::new(0.95, 1.0, 1.10);
/// How far a piece may stand from its swatch in tension, as a share of its yarn: our judgement, no
/// published source. At 24 stitches in 10 cm it is half a stitch, which is the least anybody sees.
const TENSION: f64 = 0.02;
/// What a gauge is counted to, in stitches and in rows of 10 cm (common practice).
const COUNTED_TO: f64 = 0.5;
/// How far ends may be left longer or shorter than planned, as a share (our judgement).
const ENDS: f64 = 0.25;

/// From counts to metres.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rates {
    /// Washed gauge.
    pub gauge: Gauge,
    /// Yarn in one stitch.
    pub loop_length: LoopLength,
    /// What that rests on.
    pub source: LoopSource,
    /// Loose end at each join, in cm; pulled into `0..=1000`.
    pub tail_cm: f64,
    /// Waste and knots in per cent, pulled into `0..=100`.
    pub waste_percent: f64,
}

impl Rates {
    /// How far the metres of a ball may stand from its band, in per cent (our judgement: no tolerance of
    /// length was found published; wool also weighs more in damp air, and is sold by weight).
    pub const LABEL_PERCENT: f64 = 3.0;

    /// Stitches of plain knit.
    pub fn stitches(&self, stitches: f64) -> Amount {
        let metres = self.loop_length.metres(stitches);
        let between = |cause| Amount::between(metres.low, metres.likely, metres.high, cause);
        match self.source {
            // The spread of a measured loop allows for the hands already.
            LoopSource::WeighedSwatch => between(Cause::WeighedSwatch),
            LoopSource::Model(fibre) => {
                let structure = structure_shares(self.gauge);
                let fibre = fibre_shares(fibre);
                // The loop goes with the root of stitch width times row height.
                let counted = COUNTED_TO / self.gauge.stitches.get();
                let counted = counted.hypot(COUNTED_TO / self.gauge.rows.get()) / 2.0;
                between(Cause::Relaxation)
                    .off_by_share(Cause::Structure, structure.low, structure.high)
                    .off_by_share(Cause::Fibre, fibre.low, fibre.high)
                    .off_by_share(Cause::Tension, TENSION, TENSION)
                    .off_by_share(Cause::Counting, counted, counted)
            }
        }
    }

    /// Stitches of ribbing.
    pub fn ribbing(&self, stitches: f64) -> Amount {
        let plain = self.stitches(stitches) * RIB_STITCH.likely;
        plain.off_by_share(Cause::Ribbing, 1.0 - RIB_STITCH.low, RIB_STITCH.high - 1.0)
    }

    /// Yarn that travels past this many stitches. The half loops at each end are in the stitches.
    pub fn floats(&self, stitches: f64) -> Amount {
        self.widths(stitches, STRAND_EASE, Cause::Slack)
    }

    /// Floats caught this many times.
    pub fn catches(&self, catches: f64) -> Amount {
        self.widths(catches, CATCH_WIDTHS, Cause::Catches)
    }

    /// Yarn carried up the edge past this many rows.
    pub fn carried_up(&self, rows: f64) -> Amount {
        let metres = STRAND_EASE * (rows * self.gauge.row_height_cm() / 100.0);
        Amount::between(metres.low, metres.likely, metres.high, Cause::Slack)
    }

    /// Casting on.
    pub fn cast_on(&self, stitches: f64) -> Amount {
        self.widths(stitches, CAST_ON_WIDTHS, Cause::Edges)
    }

    /// Binding off.
    pub fn bind_off(&self, stitches: f64) -> Amount {
        self.widths(stitches, BIND_OFF_WIDTHS, Cause::Edges)
    }

    /// Two ends for each strand.
    pub fn tails(&self, strands: f64) -> Amount {
        Amount::exact(self.ends_m(strands)).off_by_share(Cause::Ends, ENDS, ENDS)
    }

    /// Two ends for each ball of `metres_per_ball` after the first; how many balls that is follows the
    /// range of `worked`.
    pub fn new_balls(&self, worked: &Amount, metres_per_ball: f64) -> Amount {
        let ends = worked.estimate().map(|m| self.ends_m((m / metres_per_ball).floor().max(0.0)));
        Amount::between(ends.low, ends.likely, ends.high, Cause::Ends)
    }

    /// Waste and knots in this much yarn: all of the allowance, or none of it.
    pub fn waste(&self, worked: Amount) -> Amount {
        let allowed = worked * (in_range(self.waste_percent, 100.0) / 100.0);
        allowed.off_by_share(Cause::Waste, 1.0, 0.0)
    }

    /// What balls may hold more or less than their bands say, in this much yarn.
    pub fn label(worked: &Amount) -> Amount {
        let share = worked.likely * Self::LABEL_PERCENT / 100.0;
        Amount::exact(0.0).off_by(Cause::Label, share, share)
    }

    /// Metres of two ends for each of these strands.
    fn ends_m(&self, strands: f64) -> f64 {
        strands * 2.0 * in_range(self.tail_cm, 1_000.0) / 100.0
    }

    /// So many times the width of these stitches. They are as wide as the gauge was counted and the piece
    /// is knitted.
    fn widths(&self, stitches: f64, times: Estimate, cause: Cause) -> Amount {
        let metres = times * (stitches * self.gauge.stitch_width_cm() / 100.0);
        let counted = COUNTED_TO / self.gauge.stitches.get();
        Amount::between(metres.low, metres.likely, metres.high, cause)
            .off_by_share(Cause::Tension, TENSION, TENSION)
            .off_by_share(Cause::Counting, counted, counted)
    }
}

/// `value` in `0..=max`; not a number becomes 0.
pub(super) fn in_range(value: f64, max: f64) -> f64 {
    value.max(0.0).min(max)
}

#[cfg(test)]
mod tests {
    use super::super::loop_length::LoopFibre;
    use super::*;

    fn rates(source: LoopSource) -> Rates {
        // The 1.3 rows to a stitch of plain knit.
        let gauge = Gauge::new(28.0, 36.4).unwrap();
        let loop_length = LoopLength::from_gauge(gauge);
        Rates { gauge, loop_length, source, tail_cm: 15.0, waste_percent: 5.0 }
    }

    /// Every part in per cent of the likely figure, from the rows of `loop_geometry_constants.csv`.
    #[test]
    fn a_stitch_of_the_model_says_all_its_parts() {
        let metres = rates(LoopSource::Model(LoopFibre::Unknown)).stitches(1_000.0);
        let percent = |cause| {
            let reach = metres.reach(cause);
            [reach.low, reach.high].map(|m| (1_000.0 * m / metres.likely).round() / 10.0)
        };
        // K1 and K3 over K2.
        assert_eq!(percent(Cause::Relaxation), [6.2, 3.4]);
        // K3: R is 1.3 to 0.05.
        assert_eq!(percent(Cause::Structure), [1.9, 1.9]);
        // K5 over K3.
        assert_eq!(percent(Cause::Fibre), [1.3, 3.0]);
        assert_eq!(percent(Cause::Tension), [2.0, 2.0]);
        // Half of 0.5 in 28 and 0.5 in 36.4, in quadrature.
        assert_eq!(percent(Cause::Counting), [1.1, 1.1]);
        let wool = rates(LoopSource::Model(LoopFibre::Wool)).stitches(1_000.0);
        assert_eq!(wool.reach(Cause::Fibre), super::super::Reach::default());
        assert!(wool.estimate().high < metres.estimate().high);
    }

    #[test]
    fn a_weighed_stitch_carries_its_own_error_alone() {
        let metres = rates(LoopSource::WeighedSwatch).stitches(1_000.0);
        let causes: Vec<Cause> = metres.parts().into_iter().map(|(cause, _)| cause).collect();
        assert_eq!(causes, [Cause::WeighedSwatch]);
    }

    #[test]
    fn waste_is_all_or_nothing_and_a_label_adds_no_yarn() {
        let rates = rates(LoopSource::WeighedSwatch);
        let waste = rates.waste(Amount::exact(200.0)).estimate();
        assert!((waste.low, waste.likely, waste.high) == (0.0, 10.0, 10.0));
        let label = Rates::label(&Amount::exact(200.0)).estimate();
        assert!((label.low, label.likely, label.high) == (-6.0, 0.0, 6.0));
    }

    #[test]
    fn joins_follow_the_range() {
        let rates = rates(LoopSource::WeighedSwatch);
        let worked = Amount::between(95.0, 105.0, 210.0, Cause::Tension);
        let joins = rates.new_balls(&worked, 100.0).estimate();
        assert!((joins.low, joins.likely, joins.high) == (0.0, 0.3, 0.6), "{joins:?}");
    }
}
