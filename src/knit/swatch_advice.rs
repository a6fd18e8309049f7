//! What a swatch warns of, and what to do when its gauge is off.

use super::swatch::{MeasuredGauge, Swatch, SwatchFabric};
use super::{Construction, Gauge, Needle};
use crate::units::{LengthUnit, both_lengths};

/// Sides and stitches below which a swatch is too small to trust (common practice, no published source).
pub const SMALLEST_SIDE_CM: f64 = 10.0;
/// See [`SMALLEST_SIDE_CM`].
pub const FEWEST_STITCHES: u32 = 20;
/// Wool relaxes to 17.7 % less area between dry and fully relaxed (Munden 1959, Knapton et al. 1968,
/// from memory); a swatch that lost clearly more has felted.
pub const FELTED_AREA_PERCENT: f64 = -22.0;
/// Growth in length that deserves a second look: a published pattern reckons with 17 % in superwash
/// wool (one designer, read); half of it is a sleeve's cuff.
pub const GREW_PERCENT: f64 = 8.0;

/// What is doubtful about a swatch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SwatchFlag {
    /// Too small to trust.
    TooSmall,
    /// Not measured at all.
    NotMeasured,
    /// Measured off the needles only; the piece will be washed.
    NotWashed,
    /// Knitted flat for a piece in the round.
    FlatForTheRound,
    /// Knitted in the round for a flat piece.
    RoundForFlat,
    /// Knitted in another stitch than the piece.
    OtherFabric {
        /// The swatch's.
        swatch: SwatchFabric,
        /// The piece's.
        piece: SwatchFabric,
    },
    /// It lost more area than relaxing explains: felted, or shrunk in the heat.
    Felted {
        /// Change of area in per cent, negative.
        area_percent: f64,
    },
    /// It grew much in length.
    Grew {
        /// Change of length in per cent.
        length_percent: f64,
    },
}

impl SwatchFlag {
    /// The warning with its mend, sentences with full stops.
    pub fn words(self) -> String {
        match self {
            Self::TooSmall => format!(
                "Too small to trust: count at least {FEWEST_STITCHES} stitches over at least {SMALLEST_SIDE_CM} cm (4 in) \
                 both ways."
            ),
            Self::NotMeasured => "Not measured: enter the stitches and rows you counted and their size, washed and dried.".to_owned(),
            Self::NotWashed => {
                "Measured off the needles only: wash and dry it as the piece will be, and measure again.".to_owned()
            }
            Self::FlatForTheRound => {
                "Knitted flat, but the piece is in the round: purl rows are often looser. Knit the swatch in the \
                 round, or from the right side only."
                    .to_owned()
            }
            Self::RoundForFlat => {
                "Knitted in the round, but the piece is flat: purl rows are often looser. Knit the swatch flat.".to_owned()
            }
            Self::OtherFabric { swatch, piece } => format!(
                "Knitted in {}, but the piece is {}: floats and pattern stitches draw in.",
                swatch.name().to_lowercase(),
                piece.name().to_lowercase()
            ),
            Self::Felted { area_percent } => format!(
                "Lost {:.0} % of its area, more than relaxing explains: it has felted or shrunk in the heat. Wash it \
                 gentler.",
                area_percent.abs()
            ),
            Self::Grew { length_percent } => format!(
                "Grew {length_percent:.0} % in length: plan with the washed gauge, and hang it wet to see the worst."
            ),
        }
    }
}

/// What is doubtful about a swatch for a piece in this fabric and construction.
pub fn swatch_flags(swatch: &Swatch, fabric: SwatchFabric, construction: Construction) -> Vec<SwatchFlag> {
    let mut found = Vec::new();
    match swatch.after.or(swatch.before).zip(swatch.stitches().filter(|_| swatch.is_measured())) {
        None => found.push(SwatchFlag::NotMeasured),
        Some((size, stitches)) => {
            let side = size.width_cm().min(size.height_cm());
            // A millimetre of grace for a tape measure.
            if stitches < f64::from(FEWEST_STITCHES) || side < SMALLEST_SIDE_CM - 0.1 {
                found.push(SwatchFlag::TooSmall);
            }
            if swatch.after.is_none() {
                found.push(SwatchFlag::NotWashed);
            }
        }
    }
    match (swatch.construction, construction) {
        (Construction::Flat, Construction::InTheRound) => found.push(SwatchFlag::FlatForTheRound),
        (Construction::InTheRound, Construction::Flat) => found.push(SwatchFlag::RoundForFlat),
        _ => {}
    }
    if swatch.fabric != fabric {
        found.push(SwatchFlag::OtherFabric { swatch: swatch.fabric, piece: fabric });
    }
    if let Some(change) = swatch.wash_change() {
        if change.area_percent <= FELTED_AREA_PERCENT {
            found.push(SwatchFlag::Felted { area_percent: change.area_percent });
        }
        if change.length_percent >= GREW_PERCENT {
            found.push(SwatchFlag::Grew { length_percent: change.length_percent });
        }
    }
    found
}

/// What to do about a gauge.
#[derive(Clone, Debug, PartialEq)]
pub enum GaugeAdvice {
    /// The wanted gauge lies within what counting can tell.
    OnGauge,
    /// Too many or too few stitches: take another needle and swatch again.
    OtherNeedle {
        /// The needle to try.
        to: Needle,
        /// Thicker (fewer stitches) or thinner.
        thicker: bool,
    },
    /// No needle is made in that direction.
    NoSuchNeedle,
    /// Another needle is wanted, but which one the swatch was knitted on was not told.
    NeedleNotTold {
        /// Thicker (fewer stitches) or thinner.
        thicker: bool,
    },
    /// Keep the fabric and knit another size of the pattern.
    OtherSize {
        /// What a width of the pattern comes out at, over what it should be: 1.04 comes out 4 % wider.
        width_factor: f64,
    },
    /// The stitches agree, the rows do not: lengths in rows have to be worked out again.
    RowsOff {
        /// Rows to knit over rows in the pattern.
        row_factor: f64,
    },
}

/// What to do when `measured` on a needle of `needle_mm` (if it was told) should be `wanted`. The first item is the
/// one to do; [`GaugeAdvice::OtherSize`] is the other way out when the fabric is right as it is.
pub fn advise_on_gauge(
    measured: &MeasuredGauge,
    wanted: Gauge,
    needle_mm: impl Into<Option<f64>>,
) -> Vec<GaugeAdvice> {
    let mut advice = Vec::new();
    let stitch_factor = wanted.stitches.get() / measured.gauge.stitches.get();
    if !measured.holds_stitches(wanted.stitches.get()) {
        // Too many stitches are too small ones: they need a thicker needle.
        let thicker = stitch_factor < 1.0;
        advice.push(match needle_mm.into() {
            Some(mm) => other_needle(mm, stitch_factor, thicker),
            None => GaugeAdvice::NeedleNotTold { thicker },
        });
        advice.push(GaugeAdvice::OtherSize { width_factor: stitch_factor });
    }
    if !measured.holds_rows(wanted.rows.get()) {
        advice.push(GaugeAdvice::RowsOff { row_factor: measured.gauge.rows.get() / wanted.rows.get() });
    }
    if advice.is_empty() {
        advice.push(GaugeAdvice::OnGauge);
    }
    advice
}

/// At least one size on; further when the stitch width should change more than the step to it does.
/// Stitch width goes roughly with the needle (common practice), so it is a size to try, no more.
fn other_needle(needle_mm: f64, stitch_factor: f64, thicker: bool) -> GaugeAdvice {
    let next = if thicker { Needle::next_up(needle_mm) } else { Needle::next_down(needle_mm) };
    let Some(next) = next else { return GaugeAdvice::NoSuchNeedle };
    let estimate = Needle::nearest(needle_mm / stitch_factor).unwrap_or(next);
    let further = if thicker { estimate.mm() > next.mm() } else { estimate.mm() < next.mm() };
    GaugeAdvice::OtherNeedle { to: if further { estimate } else { next }, thicker }
}

impl GaugeAdvice {
    /// The advice in sentences; `example_cm` is a width of the piece to show the effect on, `units`
    /// the lengths to name first.
    pub fn words(&self, example_cm: f64, units: LengthUnit) -> String {
        match self {
            Self::OnGauge => "On gauge, as near as counting can tell.".to_owned(),
            Self::OtherNeedle { to, thicker } => {
                let (fault, size) =
                    if *thicker { ("Too many stitches", "thicker") } else { ("Too few stitches", "thinner") };
                format!("{fault}: swatch again on a {size} needle, {}.", to.name())
            }
            Self::NeedleNotTold { thicker } => {
                let (fault, size) =
                    if *thicker { ("Too many stitches", "thicker") } else { ("Too few stitches", "thinner") };
                format!("{fault}: swatch again on a {size} needle; say which one this was.")
            }
            Self::NoSuchNeedle => {
                "No needle is made that would mend this: choose another yarn or another size.".to_owned()
            }
            Self::OtherSize { width_factor } => format!(
                "Or keep this fabric: {} of the pattern come out at {}, so knit the size written for {}.",
                both_lengths(example_cm, units),
                both_lengths(example_cm * width_factor, units),
                both_lengths(example_cm / width_factor, units)
            ),
            Self::RowsOff { row_factor } => format!(
                "The rows differ: where the pattern counts 100 rows, knit {:.0}, and go by length where it can be done.",
                100.0 * row_factor
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::super::swatch_size::SwatchSize;
    use super::*;
    use crate::yarn::YarnId;

    fn swatch(counts: (u32, u32), before: Option<(f64, f64)>, after: Option<(f64, f64)>) -> Swatch {
        let mut swatch =
            Swatch::new(YarnId(1), 4.0, SwatchFabric::Plain, Construction::Flat, counts).unwrap();
        let size = |(width, height)| SwatchSize::new(width, height).unwrap();
        swatch.before = before.map(size);
        swatch.after = after.map(size);
        swatch
    }

    fn plain_flags(swatch: &Swatch) -> Vec<SwatchFlag> {
        swatch_flags(swatch, SwatchFabric::Plain, Construction::Flat)
    }

    #[test]
    fn a_good_swatch_has_no_flags_and_a_poor_one_has_each() {
        let good = swatch((22, 28), Some((10.2, 10.0)), Some((10.0, 10.0)));
        assert!(plain_flags(&good).is_empty());
        assert_eq!(plain_flags(&swatch((22, 28), None, None)), [SwatchFlag::NotMeasured]);
        let poor = swatch((12, 16), Some((6.0, 6.0)), None);
        assert_eq!(plain_flags(&poor), [SwatchFlag::TooSmall, SwatchFlag::NotWashed]);
        let round = swatch_flags(&good, SwatchFabric::Stranded, Construction::InTheRound);
        assert_eq!(round[0], SwatchFlag::FlatForTheRound);
        assert!(round[1].words().contains("plain stockinette"));
    }

    #[test]
    fn felting_and_growth_are_told_from_relaxing() {
        // Full relaxation of wool: -9.5 % width, -9.1 % length.
        let relaxed = swatch((22, 28), Some((12.0, 12.0)), Some((10.86, 10.91)));
        assert!(plain_flags(&relaxed).is_empty());
        let felted = swatch((26, 34), Some((12.0, 12.0)), Some((10.2, 10.2)));
        assert!(
            matches!(plain_flags(&felted)[..], [SwatchFlag::Felted { area_percent }] if area_percent < -27.0)
        );
        let grown = swatch((22, 28), Some((10.0, 10.0)), Some((10.0, 11.7)));
        assert!(plain_flags(&grown)[0].words().starts_with("Grew 17 % in length"));
    }

    fn measured(stitches: u32, rows: u32) -> MeasuredGauge {
        swatch((stitches, rows), None, Some((10.0, 10.0))).gauge_after().unwrap()
    }

    #[test]
    fn too_many_stitches_ask_for_a_thicker_needle_or_another_size() {
        let advice = advise_on_gauge(&measured(23, 28), Gauge::new(22.0, 28.0).unwrap(), 4.0);
        let [GaugeAdvice::OtherNeedle { to, thicker: true }, GaugeAdvice::OtherSize { width_factor }] =
            advice[..]
        else {
            panic!("{advice:?}")
        };
        assert_eq!(to.mm(), 4.5);
        // 100 cm at 22 stitches are 220 stitches; at 23 they make 95.65 cm.
        assert!((width_factor * 100.0 - 95.652).abs() < 1e-3);
        assert!(advice[1].words(100.0, LengthUnit::Metric).contains("come out at 95.7 cm (37.7 in)"));
        assert!(advice[1].words(100.0, LengthUnit::Imperial).contains("written for 41.2 in (104.5 cm)"));
    }

    #[test]
    fn a_gauge_far_off_asks_for_more_than_one_size() {
        let advice = advise_on_gauge(&measured(18, 28), Gauge::new(24.0, 28.0).unwrap(), 5.0);
        let GaugeAdvice::OtherNeedle { to, thicker: false } = advice[0] else { panic!("{advice:?}") };
        assert_eq!(to.mm(), 3.75);
    }

    #[test]
    fn within_half_a_stitch_is_on_gauge_and_rows_are_judged_apart() {
        assert_eq!(
            advise_on_gauge(&measured(22, 28), Gauge::new(22.4, 28.0).unwrap(), 4.0),
            [GaugeAdvice::OnGauge]
        );
        let advice = advise_on_gauge(&measured(22, 28), Gauge::new(22.0, 32.0).unwrap(), 4.0);
        assert_eq!(advice, [GaugeAdvice::RowsOff { row_factor: 0.875 }]);
        assert!(advice[0].words(0.0, LengthUnit::Metric).contains("100 rows, knit 88"));
    }

    #[test]
    fn without_a_told_needle_none_is_named() {
        let advice = advise_on_gauge(&measured(23, 28), Gauge::new(22.0, 28.0).unwrap(), None);
        assert_eq!(advice[0], GaugeAdvice::NeedleNotTold { thicker: true });
        assert!(!advice[0].words(100.0, LengthUnit::Metric).contains("mm"));
    }

    #[test]
    fn beyond_the_last_needle_there_is_none() {
        let advice = advise_on_gauge(&measured(9, 12), Gauge::new(4.0, 12.0).unwrap(), 25.0);
        assert_eq!(advice[0], GaugeAdvice::NoSuchNeedle);
    }
}
