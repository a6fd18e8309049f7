//! What the yarn in a stitch rests on: the model at the gauge, or a swatch on the scales.

use super::model::Project;
use crate::knit::{Calibration, LoopLength};
use crate::units::LengthUnit;

/// The yarn in one stitch and where the figure comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct LoopBasis {
    /// Yarn in one stitch at the planned gauge.
    pub length: LoopLength,
    /// The weighed swatch it follows, if there is one.
    pub swatch: Option<WeighedBasis>,
}

/// A weighed swatch the yarn follows.
#[derive(Clone, Debug, PartialEq)]
pub struct WeighedBasis {
    /// The yarn it was knitted in, in the knitter's words.
    pub yarn: String,
    /// What it measured, and how far from the model that is.
    pub calibration: Calibration,
}

impl LoopBasis {
    /// Why the figures are ranges, in a sentence or two.
    pub fn words(&self, units: LengthUnit) -> String {
        let LoopLength { low, likely, high } = self.length;
        let [low, likely, high] = [low, likely, high].map(|cm| units.from_cm(cm));
        let suffix = units.length_suffix();
        match &self.swatch {
            Some(WeighedBasis { yarn, calibration }) => {
                let named =
                    if yarn.trim().is_empty() { String::new() } else { format!(" in {}", yarn.trim()) };
                format!(
                    "A stitch takes {likely:.2} {suffix} of yarn ({low:.2} to {high:.2}): the weighed swatch{named} took \
                     {:+.0} % against the loop model, and the range is what its scales leave open.",
                    calibration.disagreement_percent
                )
            }
            None => format!(
                "A stitch takes {likely:.2} {suffix} of yarn ({low:.2} to {high:.2}) by the loop model at the washed \
                 gauge; how far the fabric has relaxed makes the range. A weighed swatch is surer."
            ),
        }
    }
}

impl Project {
    /// The yarn in one stitch: after the newest swatch that was weighed, washed and measured, else by
    /// the model.
    ///
    /// The swatch may have been knitted at another gauge than the plan's: what carries over is how far it
    /// is from the model, since the model's constants do not depend on the gauge.
    pub fn loop_basis(&self) -> LoopBasis {
        let gauge = self.plan.gauge;
        match self.material.newest_weighed() {
            None => LoopBasis { length: LoopLength::from_gauge(gauge), swatch: None },
            Some((place, calibration)) => LoopBasis {
                length: LoopLength::calibrated(gauge, &calibration),
                swatch: Some(WeighedBasis { yarn: self.material.swatches[place].yarn.clone(), calibration }),
            },
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knit::{Construction, SwatchFabric, SwatchOnScales, SwatchSize};
    use crate::project::LoggedSwatch;
    use crate::units::MetresPer100G;

    /// 30 x 40 stitches in 10 x 12 cm that weigh `grams` at 400 m per 100 g.
    fn weighed(fabric: SwatchFabric, grams: f64) -> LoggedSwatch {
        let grist = MetresPer100G::new(400.0).unwrap();
        let how = (fabric, Construction::Flat);
        let mut entry = LoggedSwatch::new("Crooked Ladder sock", grist, 2.5, how, (30, 40)).unwrap();
        entry.swatch.after = Some(SwatchSize::new(10.0, 12.0).unwrap());
        entry.swatch.weighed = Some(SwatchOnScales { stitches: 30, rows: 38, grams, scale_step_g: 0.1 });
        entry
    }

    #[test]
    fn without_scales_the_model_speaks() {
        let project = Project::default();
        let basis = project.loop_basis();
        assert_eq!(basis.length, LoopLength::from_gauge(project.plan.gauge));
        assert!(basis.swatch.is_none() && basis.words(LengthUnit::Metric).contains("loop model"));
    }

    #[test]
    fn a_weighed_plain_swatch_moves_the_figure_as_far_as_it_is_from_the_model() {
        let mut project = Project::default();
        project.material.swatches.push(weighed(SwatchFabric::Plain, 4.5));
        let basis = project.loop_basis();
        let calibration = project.material.swatches[0]
            .swatch
            .calibration(MetresPer100G::new(400.0).unwrap())
            .unwrap()
            .unwrap();
        let model = LoopLength::from_gauge(project.plan.gauge).likely;
        let expected = model * (1.0 + calibration.disagreement_percent / 100.0);
        assert!((basis.length.likely - expected).abs() < 1e-9);
        assert!(basis.length.low < expected && expected < basis.length.high);
        assert!(basis.words(LengthUnit::Metric).contains("Crooked Ladder sock"));
    }

    #[test]
    fn a_stranded_swatch_speaks_without_its_floats_and_an_unwashed_one_not_at_all() {
        let mut project = Project::default();
        project.material.swatches.push(weighed(SwatchFabric::Plain, 4.5));
        let plain = project.loop_basis().length.likely;
        // The same loops with a strand of 1.075 stitch widths (1/3 cm) behind each: 30 x 40 stitches
        // at 400 m per 100 g.
        let strands_g = 30.0 * 40.0 * 1.075 / 3.0 / 400.0;
        project.material.swatches.push(weighed(SwatchFabric::Stranded, 4.5 + strands_g));
        assert!((project.loop_basis().length.likely - plain).abs() < 1e-9);
        let mut unwashed = weighed(SwatchFabric::Plain, 9.0);
        unwashed.swatch.before = unwashed.swatch.after.take();
        project.material.swatches.push(unwashed);
        assert!(
            (project.loop_basis().length.likely - plain).abs() < 1e-9,
            "the range is that of a washed fabric"
        );
        project.material.swatches = vec![weighed(SwatchFabric::Patterned, 4.5)];
        assert!(project.loop_basis().swatch.is_none(), "a pattern stitch says nothing of plain loops");
    }
}
