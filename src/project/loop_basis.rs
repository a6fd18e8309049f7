//! What the yarn in a stitch rests on: the model at the gauge, or a swatch on the scales.

use super::material::{LoggedSwatch, swatch_fabric};
use super::model::Project;
use crate::knit::{
    Amount, Calibration, Estimate, LoopLength, LoopSource, PlannedFabric, WeighingDoubt, row_of_yarn,
    weighing_doubts,
};
use crate::plain_text::{and_list, signed};
use crate::units::{LengthUnit, MetresPer100G};

/// The yarn in one stitch and where the figure comes from.
#[derive(Clone, Debug, PartialEq)]
pub struct LoopBasis {
    /// Yarn in one stitch at the planned gauge: of the model by relaxation alone, else as weighed.
    pub length: LoopLength,
    /// The same in metres, with the reach of every cause: what all sums of yarn count with.
    pub stitch: Amount,
    /// What it rests on.
    pub source: LoopSource,
    /// The weighed swatch it follows, if there is one.
    pub swatch: Option<WeighedBasis>,
    /// Places in the log of the swatches that were weighed, washed and measured, and are doubted and not
    /// overruled; the chosen one, then the newest first, up to the one that is followed.
    pub doubted: Vec<usize>,
}

/// A weighed swatch the yarn follows.
#[derive(Clone, Debug, PartialEq)]
pub struct WeighedBasis {
    /// Its place in the swatch log.
    pub place: usize,
    /// The yarn it was knitted in, in the knitter's words.
    pub yarn: String,
    /// What it measured, and how far from the model that is.
    pub calibration: Calibration,
}

/// A weighed swatch held against the model and the plan.
#[derive(Clone, Debug, PartialEq)]
pub struct Weighing {
    /// What it measured, and how far from the model that is.
    pub calibration: Calibration,
    /// What speaks against it; empty when nothing does.
    pub doubts: Vec<WeighingDoubt>,
    /// Whether the knitter overruled the doubts.
    pub trusted: bool,
}

impl Weighing {
    /// Whether it takes the place of the loop model.
    pub fn is_used(&self) -> bool {
        self.doubts.is_empty() || (self.trusted && self.can_be_overruled())
    }

    /// Whether one click may overrule its doubts.
    pub fn can_be_overruled(&self) -> bool {
        self.doubts.iter().all(WeighingDoubt::can_be_overruled)
    }
}

impl LoopBasis {
    fn new(project: &Project, length: LoopLength, swatch: Option<WeighedBasis>, doubted: Vec<usize>) -> Self {
        let source = match swatch {
            Some(_) => LoopSource::WeighedSwatch,
            None => LoopSource::Model(project.loop_fibre()),
        };
        let stitch = row_of_yarn(1, project.plan.gauge, (length, source)).amount;
        Self { length, stitch, source, swatch, doubted }
    }

    /// Yarn in one stitch in cm, every cause of error in its range.
    pub fn stitch_cm(&self) -> Estimate {
        self.stitch.estimate() * 100.0
    }

    /// Why the figures are ranges, in a sentence or two.
    pub fn words(&self, units: LengthUnit) -> String {
        let Estimate { low, likely, high } = self.stitch_cm();
        let [low, likely, high] = [low, likely, high].map(|cm| units.from_cm(cm));
        let suffix = units.length_suffix();
        let doubted = match self.doubted.first() {
            Some(place) => format!(" The weighed swatch {} is doubted and not followed.", place + 1),
            None => String::new(),
        };
        let because = if let Some(WeighedBasis { yarn, calibration, .. }) = &self.swatch {
            let named = if yarn.trim().is_empty() { String::new() } else { format!(" in {}", yarn.trim()) };
            let off = calibration.disagreement_percent;
            format!(
                ": the weighed swatch{named} took {} % against the loop model, and the range is what scales, \
                 counting, label and hands leave open, 19 times of 20.",
                signed(off, 0)
            )
        } else {
            let causes = self.stitch.parts().into_iter().map(|(cause, _)| cause.name().to_lowercase());
            let causes: Vec<String> = causes.collect();
            format!(
                " by the loop model at the washed gauge; the range is made by {}, the widest first. A weighed swatch is \
                 surer.",
                and_list(&causes)
            )
        };
        format!("A stitch takes {likely:.2} {suffix} of yarn ({low:.2} to {high:.2}){because}{doubted}")
    }
}

impl Project {
    /// The yarn in one stitch: after the swatch the knitter chose to follow, else the newest, that was weighed, washed and
    /// measured and that nothing speaks against (or the knitter overruled it), else by the model.
    ///
    /// The swatch may have been knitted at another gauge than the plan's: what carries over is how far it
    /// is from the model, since the model's constants do not depend on the gauge.
    pub fn loop_basis(&self) -> LoopBasis {
        let gauge = self.plan.gauge;
        let mut doubted = Vec::new();
        let log = &self.material.swatches;
        let chosen = self.material.follows.and_then(|place| Some((place, log.get(place)?)));
        let others = log.iter().enumerate().rev().filter(|(place, _)| Some(*place) != self.material.follows);
        for (place, entry) in chosen.into_iter().chain(others) {
            let Some(weighing) = self.weighing(entry) else { continue };
            if weighing.is_used() {
                let Weighing { calibration, .. } = weighing;
                let length = LoopLength::calibrated(gauge, &calibration);
                let swatch = Some(WeighedBasis { place, yarn: entry.yarn.clone(), calibration });
                return LoopBasis::new(self, length, swatch, doubted);
            }
            doubted.push(place);
        }
        LoopBasis::new(self, LoopLength::from_gauge(gauge), None, doubted)
    }

    /// What the scales say of the yarn in a stitch, and what speaks against it; `None` unless the swatch
    /// was weighed, washed and measured, in a stitch that is made of plain loops.
    pub fn weighing(&self, entry: &LoggedSwatch) -> Option<Weighing> {
        let gauge = entry.swatch.gauge_after()?.gauge;
        let calibration = entry.swatch.calibration(entry.grist).ok().flatten()?;
        let yarn = self.material.yarn.as_ref();
        let of_slots = self.palette.slots().iter().map(|slot| slot.yarn.put_up.grist);
        let grists: Vec<MetresPer100G> = match yarn {
            Some(yarn) => std::iter::once(yarn.put_up.grist).chain(of_slots).collect(),
            None => of_slots.collect(),
        };
        let planned = PlannedFabric {
            yarn: yarn.map(|yarn| yarn.name.as_str()),
            grists: &grists,
            fabric: swatch_fabric(self.plan.technique),
        };
        let of = (&entry.swatch, gauge, &calibration);
        let doubts = weighing_doubts(of, (&entry.yarn, entry.grist), &planned);
        let trusted = entry.swatch.weighed.is_some_and(|weighed| weighed.trusted);
        Some(Weighing { calibration, doubts, trusted })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knit::{Construction, SwatchFabric, SwatchOnScales, SwatchSize, Technique};
    use crate::project::LoggedSwatch;

    /// 30 x 40 stitches in 10 x 12 cm that weigh `grams` at 400 m per 100 g.
    fn weighed(fabric: SwatchFabric, grams: f64) -> LoggedSwatch {
        let grist = MetresPer100G::new(400.0).unwrap();
        let how = (fabric, Construction::Flat);
        let mut entry = LoggedSwatch::new("Crooked Ladder sock", grist, 2.5, how, (30, 40)).unwrap();
        entry.swatch.after = Some(SwatchSize::new(10.0, 12.0).unwrap());
        let grams = Some(grams);
        entry.swatch.weighed =
            Some(SwatchOnScales { stitches: 30, rows: 38, grams, scale_step_g: 0.1, trusted: false });
        entry
    }

    /// A project of plain loops in yarn of 400 m per 100 g.
    fn plain_project() -> Project {
        let mut project = Project::default();
        project.plan.technique = Technique::Stripes;
        project
    }

    #[test]
    fn without_scales_the_model_speaks() {
        let project = Project::default();
        let basis = project.loop_basis();
        assert_eq!(basis.length, LoopLength::from_gauge(project.plan.gauge));
        assert!(basis.swatch.is_none() && basis.words(LengthUnit::Metric).contains("loop model"));
    }

    /// Relaxation alone is 1.83 to 2.02 cm at 20 x 28 stitches; the sums of yarn count with more.
    #[test]
    fn the_words_give_the_whole_range_and_all_its_causes() {
        let mut project = Project::default();
        project.plan.gauge = crate::knit::Gauge::new(20.0, 28.0).unwrap();
        let basis = project.loop_basis();
        let whole = basis.stitch_cm();
        assert!(whole.low < basis.length.low && whole.high > basis.length.high);
        let words = basis.words(LengthUnit::Metric);
        let said = format!("{:.2} cm of yarn ({:.2} to {:.2})", whole.likely, whole.low, whole.high);
        assert!(words.contains(&said), "{words}");
        for cause in ["relaxation", "structure", "fibre", "tension", "counted gauge"] {
            assert!(words.contains(cause), "{words}");
        }
        let line = row_of_yarn(64, project.plan.gauge, project.stitch_yarn());
        let each = line.metres().high * 100.0 / line.count;
        assert!((each - whole.high).abs() < 1e-9, "the sum counts with {each}, the words say {}", whole.high);
    }

    #[test]
    fn a_weighed_plain_swatch_moves_the_figure_as_far_as_it_is_from_the_model() {
        let mut project = plain_project();
        project.material.swatches.push(weighed(SwatchFabric::Plain, 4.5));
        let basis = project.loop_basis();
        let calibration = project.weighing(&project.material.swatches[0]).unwrap().calibration;
        let model = LoopLength::from_gauge(project.plan.gauge).likely;
        let expected = model * (1.0 + calibration.disagreement_percent / 100.0);
        assert!((basis.length.likely - expected).abs() < 1e-9);
        assert!(basis.length.low < expected && expected < basis.length.high);
        assert!(basis.words(LengthUnit::Metric).contains("Crooked Ladder sock"));
    }

    #[test]
    fn a_stranded_swatch_speaks_without_its_floats_and_an_unwashed_one_not_at_all() {
        let mut plain = plain_project();
        plain.material.swatches.push(weighed(SwatchFabric::Plain, 4.5));
        let expected = plain.loop_basis().length.likely;
        let mut project = Project::default();
        // The same loops with a strand of 1.075 stitch widths (1/3 cm) behind each: 30 x 40 stitches
        // at 400 m per 100 g.
        let strands_g = 30.0 * 40.0 * 1.075 / 3.0 / 400.0;
        project.material.swatches.push(weighed(SwatchFabric::Stranded, 4.5 + strands_g));
        assert!((project.loop_basis().length.likely - expected).abs() < 1e-9);
        let mut unwashed = weighed(SwatchFabric::Stranded, 9.0);
        unwashed.swatch.before = unwashed.swatch.after.take();
        project.material.swatches.push(unwashed);
        assert!(
            (project.loop_basis().length.likely - expected).abs() < 1e-9,
            "the range is that of a washed fabric"
        );
        project.material.swatches = vec![weighed(SwatchFabric::Patterned, 4.5)];
        assert!(project.loop_basis().swatch.is_none(), "a pattern stitch says nothing of plain loops");
    }

    #[test]
    fn a_doubted_swatch_leaves_the_model_until_it_is_overruled() {
        let mut project = plain_project();
        let model = project.loop_basis().length;
        // 5.3 cm a stitch: nearly four times the model.
        project.material.swatches.push(weighed(SwatchFabric::Plain, 16.0));
        let basis = project.loop_basis();
        assert_eq!((basis.length, basis.swatch.is_none(), basis.doubted.as_slice()), (model, true, &[0][..]));
        assert!(basis.words(LengthUnit::Metric).contains("weighed swatch 1 is doubted"));
        project.material.swatches[0].swatch.weighed.as_mut().unwrap().trusted = true;
        assert!(project.loop_basis().swatch.is_some());
        // What cannot be is not overruled: 0.5 cm a stitch of 1/3 cm by 0.3 cm.
        let mut impossible = weighed(SwatchFabric::Plain, 1.5);
        impossible.swatch.weighed.as_mut().unwrap().trusted = true;
        project.material.swatches = vec![weighed(SwatchFabric::Plain, 4.5), impossible];
        let basis = project.loop_basis();
        assert_eq!(basis.swatch.unwrap().place, 0, "an older one without doubts is followed");
        assert_eq!(basis.doubted, [1]);
    }

    #[test]
    fn another_stitch_or_thickness_is_asked_about_and_an_unread_scale_says_nothing() {
        let mut project = Project::default();
        project.material.swatches.push(weighed(SwatchFabric::Plain, 4.5));
        assert_eq!(project.loop_basis().doubted, [0], "the piece is stranded");
        let mut project = plain_project();
        let mut thick = weighed(SwatchFabric::Plain, 9.0);
        thick.grist = MetresPer100G::new(200.0).unwrap();
        project.material.swatches.push(thick);
        assert_eq!(project.loop_basis().doubted, [0], "the colours run 400 m in 100 g");
        project.material.swatches[0].swatch.weighed.as_mut().unwrap().grams = None;
        let basis = project.loop_basis();
        assert!(basis.doubted.is_empty() && basis.swatch.is_none());
    }
}
