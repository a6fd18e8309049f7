//! What each use of yarn takes: the rates behind every line of a sum.

use super::estimate::Estimate;
use super::loop_length::LoopLength;
use crate::units::Gauge;

/// Slack of a strand that travels behind or beside the fabric, over the straight distance: 5 to 10 %
/// (common practice, no published source). A taut float puckers.
pub(super) const STRAND_EASE: Estimate = Estimate::new(1.05, 1.075, 1.10);
/// Yarn of one catch in stitch widths: the float dips around the working yarn (our judgement).
const CATCH_WIDTHS: Estimate = Estimate::new(0.25, 0.5, 1.0);
/// Cast-on over its width. Long-tail rules of hand-knitting pages: 3 times, 3 times and 10 %, 4 times.
const CAST_ON_WIDTHS: Estimate = Estimate::new(3.0, 3.3, 4.0);
/// Bind-off over its width. Rules of hand-knitting pages: at least 3 times, 4 times (common teaching
/// rule, from memory), 6 times to be generous.
const BIND_OFF_WIDTHS: Estimate = Estimate::new(3.0, 4.0, 6.0);
/// A rib stitch over a plain one. Every change from knit to purl takes the yarn through the fabric, but
/// ribbing is worked on thinner needles (our judgement, no published source).
const RIB_STITCH: Estimate = Estimate::new(0.95, 1.0, 1.10);

/// From counts to metres.
#[derive(Clone, Copy, Debug)]
pub(super) struct Rates {
    /// Washed gauge.
    pub gauge: Gauge,
    /// Yarn in one stitch.
    pub loop_length: LoopLength,
    /// Loose end at each join, in cm; pulled into `0..=1000`.
    pub tail_cm: f64,
    /// Waste and knots in per cent, pulled into `0..=100`.
    pub waste_percent: f64,
}

impl Rates {
    /// Stitches of plain knit.
    pub fn stitches(&self, stitches: f64) -> Estimate {
        self.loop_length.metres(stitches)
    }

    /// Stitches of ribbing.
    pub fn ribbing(&self, stitches: f64) -> Estimate {
        let plain = self.stitches(stitches);
        Estimate::new(
            plain.low * RIB_STITCH.low,
            plain.likely * RIB_STITCH.likely,
            plain.high * RIB_STITCH.high,
        )
    }

    /// Yarn that travels past this many stitches. The half loops at each end are in the stitches.
    pub fn floats(&self, stitches: f64) -> Estimate {
        STRAND_EASE * self.widths(stitches)
    }

    /// Floats caught this many times.
    pub fn catches(&self, catches: f64) -> Estimate {
        CATCH_WIDTHS * self.widths(catches)
    }

    /// Yarn carried up the edge past this many rows.
    pub fn carried_up(&self, rows: f64) -> Estimate {
        STRAND_EASE * (rows * self.gauge.row_height_cm() / 100.0)
    }

    /// Casting on.
    pub fn cast_on(&self, stitches: f64) -> Estimate {
        CAST_ON_WIDTHS * self.widths(stitches)
    }

    /// Binding off.
    pub fn bind_off(&self, stitches: f64) -> Estimate {
        BIND_OFF_WIDTHS * self.widths(stitches)
    }

    /// Two ends for each strand.
    pub fn tails(&self, strands: f64) -> Estimate {
        Estimate::exact(strands * 2.0 * in_range(self.tail_cm, 1_000.0) / 100.0)
    }

    /// Two ends for each ball of `metres_per_ball` after the first.
    pub fn new_balls(&self, metres: Estimate, metres_per_ball: f64) -> Estimate {
        metres.map(|m| self.tails((m / metres_per_ball).floor()).likely)
    }

    /// Waste and knots in this much yarn.
    pub fn waste(&self, metres: Estimate) -> Estimate {
        metres * (in_range(self.waste_percent, 100.0) / 100.0)
    }

    /// Metres in this many stitch widths.
    fn widths(&self, stitches: f64) -> f64 {
        stitches * self.gauge.stitch_width_cm() / 100.0
    }
}

/// `value` in `0..=max`; not a number becomes 0.
pub(super) fn in_range(value: f64, max: f64) -> f64 {
    value.max(0.0).min(max)
}
