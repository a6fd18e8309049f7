//! What a weight class means for the knitter: drape, warmth, how fine a motif can be, time and grams.

use super::Relaxation;
use crate::yarn::{Span, WeightClass};

/// Rows over stitches of plain knit (Munden, J. Text. Inst. 50, 1959: kc / kw = 1.3; from memory).
const ROWS_PER_STITCH: f64 = 1.3;
/// Tightness of a usual hand knit, root of tex over cm: the middle of 9 to 13 (from memory, as for
/// [`super::DENSE_FROM`]).
const USUAL_TIGHTNESS: f64 = 11.0;
/// A grown-up's sweater in cm²: body 105 x 62, two sleeves 45 x 34 mean width (our example).
pub const SWEATER_CM2: f64 = 9_570.0;

/// What a class means. Spans run over the published gauge of the class; an open end stays open.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ClassMeaning {
    /// The class.
    pub class: WeightClass,
    /// Width of one stitch in mm: the grain of every motif.
    pub stitch_mm: Span,
    /// Stitches in the example sweater, in thousands.
    pub sweater_thousand_stitches: Span,
    /// Time against class 3 at the middle of its gauge: the ratio of stitches over an area, since
    /// stitches set the time.
    pub time_against_light: Span,
    /// Grams of the example sweater in plain knit of usual tightness, wet relaxed loop model.
    pub sweater_grams: Span,
    /// How the fabric hangs (common practice, no published source).
    pub drape: &'static str,
    /// How warm it is (common practice: thickness and trapped air make the warmth).
    pub warmth: &'static str,
}

impl ClassMeaning {
    /// What this class means.
    pub fn of(class: WeightClass) -> Self {
        let gauge = class.stitches_per_10_cm();
        let turned = |of: fn(f64) -> f64| across_in(class, of);
        let straight = |of: fn(f64) -> f64| Span { from: gauge.from.map(of), to: gauge.to.map(of) };
        let (drape, warmth) = words(class);
        Self {
            class,
            stitch_mm: turned(|stitches| 100.0 / stitches),
            sweater_thousand_stitches: straight(|stitches| SWEATER_CM2 * per_cm2(stitches) / 1_000.0),
            time_against_light: straight(|stitches| per_cm2(stitches) / per_cm2(LIGHT_MIDDLE)),
            sweater_grams: turned(|stitches| SWEATER_CM2 * grams_per_cm2(stitches)),
            drape,
            warmth,
        }
    }
}

/// Width in cm of so many stitches over the published gauge of a class: of the smallest of a shape, as motif fit finds it
/// in the proportion of the project's stitches ([`crate::chart::smallest_across`]).
pub fn class_width_cm(class: WeightClass, stitches: f64) -> Span {
    across_in(class, |gauge| stitches * 10.0 / gauge)
}

/// What goes with the width of a stitch, over the published gauge of a class: its ends change places.
fn across_in(class: WeightClass, of: impl Fn(f64) -> f64) -> Span {
    let gauge = class.stitches_per_10_cm();
    Span { from: gauge.to.map(&of), to: gauge.from.map(&of) }
}

/// Middle of class 3's published gauge, 21 to 24 stitches in 4 in, per 10 cm.
const LIGHT_MIDDLE: f64 = 22.5 / crate::units::PER_4_IN_OVER_PER_10_CM;

fn per_cm2(stitches_per_10_cm: f64) -> f64 {
    stitches_per_10_cm * stitches_per_10_cm * ROWS_PER_STITCH / 100.0
}

/// Mass of plain knit: stitches per cm² times loop length times tex, with tex = (tightness x loop)².
fn grams_per_cm2(stitches_per_10_cm: f64) -> f64 {
    let density = per_cm2(stitches_per_10_cm);
    let loop_cm = (Relaxation::Wet.constants().ks / density).sqrt();
    let tex = (USUAL_TIGHTNESS * loop_cm).powi(2);
    density * loop_cm * tex * 1e-5
}

const fn words(class: WeightClass) -> (&'static str, &'static str) {
    match class {
        WeightClass::Lace => ("Flows like cloth", "Light; several layers in one"),
        WeightClass::SuperFine => ("Drapes well", "Light warmth, worn under a coat"),
        WeightClass::Fine => ("Drapes", "Light to middling warmth"),
        WeightClass::Light => ("Drapes a little, keeps its shape", "Middling warmth, indoors and out"),
        WeightClass::Medium => ("Keeps its shape", "Warm"),
        WeightClass::Bulky => ("Stands away from the body", "Very warm, worn as a jacket"),
        WeightClass::SuperBulky => ("Stiff unless knitted loosely", "Very warm and heavy"),
        WeightClass::Jumbo => ("Stiff; pulls itself long by its weight", "Very warm and very heavy"),
    }
}

#[cfg(test)]
mod tests {
    use super::super::usual_gauge;
    use super::*;

    #[test]
    fn coarser_classes_show_less_weigh_more_and_take_less_time() {
        for pair in WeightClass::ALL.windows(2) {
            let (fine, coarse) = (ClassMeaning::of(pair[0]), ClassMeaning::of(pair[1]));
            assert!(fine.stitch_mm.from < coarse.stitch_mm.from);
            assert!(fine.sweater_grams.from < coarse.sweater_grams.from);
            assert!(fine.time_against_light.to > coarse.time_against_light.to);
        }
    }

    #[test]
    fn the_smallest_circle_of_a_class_is_the_one_that_motif_fit_finds_at_its_gauge() {
        use crate::chart::{BasicShape, motif_fit, smallest_across};
        use crate::units::Cm;
        let class = WeightClass::Light;
        for aspect in [1.0, 1.2, 1.36] {
            let across = smallest_across(BasicShape::Circle, aspect).unwrap();
            let of_class = class_width_cm(class, across);
            let gauge = usual_gauge(class, aspect).unwrap();
            let fit = motif_fit(BasicShape::Circle, Cm::clamped(5.0), gauge).unwrap();
            let cm = fit.smallest.unwrap().width_cm;
            assert!(of_class.contains(cm), "{cm} cm at {aspect}, but {of_class:?}");
        }
    }

    // Common practice, no published source: a fingering-weight sweater takes about 350 g, one in
    // the thickest roving 1.4 to 1.8 kg; the same piece in class 3 takes about half the time it
    // takes in lace weight.
    #[test]
    fn grams_and_time_agree_with_common_practice() {
        let fingering = ClassMeaning::of(WeightClass::SuperFine).sweater_grams;
        assert!(fingering.contains(350.0), "{fingering:?}");
        assert!(fingering.to.unwrap() / fingering.from.unwrap() < 1.3);
        let roving = ClassMeaning::of(WeightClass::Jumbo).sweater_grams;
        assert!((1_400.0..=1_800.0).contains(&roving.from.unwrap()) && roving.to.is_none(), "{roving:?}");
        let lace = ClassMeaning::of(WeightClass::Lace).time_against_light;
        assert!((1.8..=2.3).contains(&lace.from.unwrap()), "{lace:?}");
    }
}
