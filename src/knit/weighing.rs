//! Whether a swatch on the scales can be believed before it takes the place of the loop model.
//!
//! A measured value replaces a model only if it could be true. Hard limit: a loop is no shorter than the
//! way it must go. Soft ones, which the knitter may overrule: it lies within three errors of the model, it
//! is of this yarn, and of this stitch.

use super::swatch::{Swatch, SwatchFabric};
use super::{Calibration, Gauge, LoopLength};
use crate::plain_text::signed;
use crate::units::{LengthUnit, MetresPer100G};

/// Standard errors from the model's range beyond which a measured loop is asked about.
pub const MOST_ERRORS: f64 = 3.0;

/// Standard error of the model itself beside its range of relaxation, as a share. Fully relaxed wool alone
/// has a `ks` of 23.1 to within 1, 2.2 % of the loop (Knapton et al., Text. Res. J. 38 (1968) 999, from
/// memory); for other fibres and structures we take twice as much and a little (our judgement).
pub const MODEL_ERROR: f64 = 0.05;

/// Yarns whose metres per 100 g differ by no more than this share are one thickness (our judgement).
pub const SAME_THICKNESS: f64 = 0.10;

/// What the project is knitted in and how.
#[derive(Clone, Copy, Debug)]
pub struct PlannedFabric<'a> {
    /// Name of the yarn, when one is chosen.
    pub yarn: Option<&'a str>,
    /// Grist of every yarn it is knitted in; the first is named when none is near the swatch's.
    pub grists: &'a [MetresPer100G],
    /// The stitch.
    pub fabric: SwatchFabric,
}

/// Why a weighed swatch does not take the place of the loop model.
#[derive(Clone, Debug, PartialEq)]
pub enum WeighingDoubt {
    /// Its loop is shorter than the way round its stitch. This cannot be overruled.
    Impossible {
        /// The measured loop in cm.
        loop_cm: f64,
        /// The shortest there can be, in cm.
        least_cm: f64,
    },
    /// It lies further than [`MOST_ERRORS`] standard errors outside the model's range.
    FarFromModel {
        /// Measured over the model's likely figure, in per cent.
        percent: f64,
        /// Standard errors beyond the nearer end of the range.
        errors: f64,
    },
    /// It is knitted in a yarn of another name.
    OtherYarn {
        /// The swatch's.
        swatch: String,
        /// The project's.
        planned: String,
    },
    /// It is knitted in a yarn of another thickness.
    OtherThickness {
        /// The swatch's.
        swatch: MetresPer100G,
        /// The project's.
        planned: MetresPer100G,
    },
    /// It is knitted in another stitch.
    OtherStitch {
        /// The swatch's.
        swatch: SwatchFabric,
        /// The project's.
        planned: SwatchFabric,
    },
}

/// The shortest loop of a stitch, in cm: once across and twice up, as if the yarn had no thickness. Of
/// Peirce's open loop, 2 / c + 1 / w + 5.94 d, the part without the diameter (Text. Res. J. 17 (1947)
/// 123, from memory).
pub fn shortest_loop_cm(gauge: Gauge) -> f64 {
    2.0 * gauge.row_height_cm() + gauge.stitch_width_cm()
}

/// Everything that speaks against a calibration by `swatch`, knitted in a yarn of this name and grist and
/// measured at `gauge`; the hard limit first.
pub fn weighing_doubts(
    (swatch, gauge, calibration): (&Swatch, Gauge, &Calibration),
    (name, grist): (&str, MetresPer100G),
    planned: &PlannedFabric,
) -> Vec<WeighingDoubt> {
    let mut found = Vec::new();
    let loop_cm = calibration.loop_length.likely;
    let least_cm = shortest_loop_cm(gauge);
    if loop_cm <= least_cm {
        found.push(WeighingDoubt::Impossible { loop_cm, least_cm });
    }
    let errors = errors_off(gauge, calibration);
    if errors > MOST_ERRORS {
        found.push(WeighingDoubt::FarFromModel { percent: calibration.disagreement_percent, errors });
    }
    let other_name = |planned: &&str| {
        let (a, b) = (planned.trim(), name.trim());
        !a.is_empty() && !b.is_empty() && a.to_lowercase() != b.to_lowercase()
    };
    if let Some(planned) = planned.yarn.filter(other_name) {
        found.push(WeighingDoubt::OtherYarn {
            swatch: name.trim().to_owned(),
            planned: planned.trim().to_owned(),
        });
    }
    let alike = |other: &MetresPer100G| (grist.get() / other.get() - 1.0).abs() <= SAME_THICKNESS + 1e-9;
    if let Some(first) = planned.grists.first().filter(|_| !planned.grists.iter().any(alike)) {
        found.push(WeighingDoubt::OtherThickness { swatch: grist, planned: *first });
    }
    if swatch.fabric != planned.fabric {
        found.push(WeighingDoubt::OtherStitch { swatch: swatch.fabric, planned: planned.fabric });
    }
    found
}

/// How many standard errors, of the measurement and of the model together, the measured loop lies outside
/// the model's range; 0 inside.
fn errors_off(gauge: Gauge, calibration: &Calibration) -> f64 {
    let model = LoopLength::from_gauge(gauge);
    let measured = calibration.loop_length.likely;
    let beyond = (model.low - measured).max(measured - model.high).max(0.0);
    let error = (calibration.error * measured).hypot(MODEL_ERROR * model.likely);
    beyond / error
}

impl WeighingDoubt {
    /// Whether the knitter may overrule it.
    pub const fn can_be_overruled(&self) -> bool {
        !matches!(self, Self::Impossible { .. })
    }

    /// The doubt with its mend, in sentences with full stops.
    pub fn words(&self, units: LengthUnit) -> String {
        let length = |cm: f64| format!("{:.2} {}", units.from_cm(cm), units.length_suffix());
        let yarn = |grist: MetresPer100G| {
            format!("{:.0} {} in 100 g", units.from_metres(grist.get()), units.yarn_suffix())
        };
        match self {
            Self::Impossible { loop_cm, least_cm } => format!(
                "A stitch of {} of yarn cannot be: once across and twice up it already needs {}. Weigh it again, \
                 and check the counted stitches and the label.",
                length(*loop_cm),
                length(*least_cm)
            ),
            Self::FarFromModel { percent, errors } => format!(
                "It takes {} % against the loop model, {errors:.0} times what weighing and model leave \
                 open. Check the mass, the counted stitches and rows and the length on the label.",
                signed(*percent, 0)
            ),
            Self::OtherYarn { swatch, planned } => {
                format!("It is knitted in {swatch}, the project in {planned}.")
            }
            Self::OtherThickness { swatch, planned } => {
                format!("Its yarn runs {}, that of the project {}.", yarn(*swatch), yarn(*planned))
            }
            Self::OtherStitch { swatch, planned } => format!(
                "It is knitted in {}, the project is {}.",
                swatch.name().to_lowercase(),
                planned.name().to_lowercase()
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knit::{Construction, SwatchOnScales, SwatchSize};
    use crate::yarn::YarnId;

    fn grist(metres: f64) -> MetresPer100G {
        MetresPer100G::new(metres).unwrap()
    }

    /// 20 x 28 stitches on 10 x 10 cm, weighed as a whole: 40 x 56 with the edges.
    fn doubts(grams: f64, step: f64, metres: f64, planned: &PlannedFabric) -> Vec<WeighingDoubt> {
        let mut swatch =
            Swatch::new(YarnId(0), 4.0, SwatchFabric::Plain, Construction::Flat, (20, 28)).unwrap();
        swatch.after = SwatchSize::new(10.0, 10.0).ok();
        let scales =
            SwatchOnScales { stitches: 40, rows: 54, grams: Some(grams), scale_step_g: step, trusted: false };
        swatch.weighed = Some(scales);
        let calibration = swatch.calibration(grist(metres)).unwrap().unwrap();
        let gauge = swatch.best_gauge().unwrap().gauge;
        weighing_doubts((&swatch, gauge, &calibration), ("Skerry", grist(metres)), planned)
    }

    fn plan(grists: &[MetresPer100G]) -> PlannedFabric<'_> {
        PlannedFabric { yarn: Some(" skerry "), grists, fabric: SwatchFabric::Plain }
    }

    #[test]
    fn a_loop_as_the_model_has_it_is_believed() {
        // 1.96 cm a stitch (wet relaxed) over 40 x 56 stitches at 200 m per 100 g are 22 g.
        let own = [grist(210.0)];
        assert_eq!(doubts(22.0, 1.0, 200.0, &plan(&own)), []);
        assert_eq!(doubts(22.0, 0.1, 200.0, &plan(&own)), []);
        // 15 % more than fully relaxed is within three errors even of fine scales.
        assert_eq!(doubts(26.0, 0.1, 200.0, &plan(&own)), []);
    }

    #[test]
    fn sixty_three_hundredths_of_a_centimetre_are_no_stitch() {
        // The stitch is 0.5 cm wide and 0.357 cm high: 1.21 cm at least.
        let found = doubts(7.0, 1.0, 200.0, &plan(&[grist(200.0)]));
        assert!(matches!(found[0], WeighingDoubt::Impossible { loop_cm, least_cm }
            if (loop_cm - 0.625).abs() < 1e-9 && (least_cm - 1.214_285_7).abs() < 1e-6));
        assert!(!found[0].can_be_overruled() && found[1].can_be_overruled());
        assert!(found[0].words(LengthUnit::Metric).starts_with("A stitch of 0.62 cm of yarn cannot be"));
        assert!(found[0].words(LengthUnit::Imperial).contains(" in of yarn"));
    }

    #[test]
    fn further_than_three_errors_from_the_model_is_asked_about() {
        let own = [grist(200.0)];
        let far = |grams: f64, step: f64| {
            let found = doubts(grams, step, 200.0, &plan(&own));
            found.into_iter().find(|doubt| matches!(doubt, WeighingDoubt::FarFromModel { .. }))
        };
        assert!(far(30.0, 0.1).is_some() && far(16.0, 0.1).is_some());
        // Scales that read 10 g leave that much open that it may be.
        assert!(far(30.0, 10.0).is_none());
        let Some(WeighingDoubt::FarFromModel { percent, errors }) = far(30.0, 0.1) else { panic!() };
        assert!((percent - 36.4).abs() < 0.5 && errors > MOST_ERRORS, "{percent} {errors}");
    }

    #[test]
    fn another_yarn_or_stitch_says_nothing_of_this_one() {
        let own = [grist(300.0), grist(100.0)];
        let planned =
            PlannedFabric { yarn: Some("Dull bucket"), fabric: SwatchFabric::Stranded, ..plan(&own) };
        let found = doubts(22.0, 0.1, 200.0, &planned);
        assert!(
            matches!(&found[..], [
            WeighingDoubt::OtherYarn { planned, .. },
            WeighingDoubt::OtherThickness { .. },
            WeighingDoubt::OtherStitch { .. }
        ] if planned == "Dull bucket"),
            "{found:?}"
        );
        let words: Vec<String> = found.iter().map(|doubt| doubt.words(LengthUnit::Metric)).collect();
        assert_eq!(words[1], "Its yarn runs 200 m in 100 g, that of the project 300 m in 100 g.");
        // Nothing chosen, nothing to differ from.
        let open = PlannedFabric { yarn: None, grists: &[], fabric: SwatchFabric::Plain };
        assert_eq!(doubts(22.0, 0.1, 200.0, &open), []);
    }
}
