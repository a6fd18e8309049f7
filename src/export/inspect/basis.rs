//! What the figures of `inspect` rest on, where they rest on more than counting and arithmetic.

use serde::Serialize;

use crate::export::json::{key, rounded};
use crate::knit::{Amount, RangeBasis};
use crate::project::Project;

/// Keys of the object, and what they rest on.
#[derive(Serialize)]
pub(super) struct BasisOut {
    /// Keys, dots between a key and the one inside it.
    keys: &'static [&'static str],
    basis: String,
    words: &'static str,
}

/// One cause of a range: how far it may take the figure.
#[derive(Serialize)]
pub(super) struct PartOut {
    cause: String,
    metres_below: f64,
    metres_above: f64,
    basis: String,
}

/// The parts of a range, the farthest-reaching first. They add in quadrature.
pub(super) fn parts(amount: &Amount) -> Vec<PartOut> {
    let part = |(cause, reach): (crate::knit::Cause, crate::knit::Reach)| PartOut {
        cause: key(cause.name()),
        metres_below: rounded(reach.low),
        metres_above: rounded(reach.high),
        basis: basis_key(cause.basis()),
    };
    amount.parts().into_iter().map(part).collect()
}

pub(super) fn basis_key(basis: RangeBasis) -> String {
    key(&basis.name().replace(',', ""))
}

/// Everything that rests on a model, memory, judgement or a rule of the trade. What is not listed is
/// counted, set by the knitter, or arithmetic on these.
pub(super) fn all(project: &Project) -> Vec<BasisOut> {
    let (_, source) = project.stitch_yarn();
    let out = |keys, basis, words| BasisOut { keys, basis: basis_key(basis), words };
    vec![
        out(&["yarn", "yarn_total", "pieces_yarn", "row_of_yarn"], source.basis(), source.words()),
        out(
            &["loop_length_cm"],
            source.basis(),
            "low and high hold relaxation, structure, fibre, tension and counting for the model, what the scales leave \
             open for a weighed swatch; each cause stands in the parts of the yarn's lines",
        ),
        out(
            &["yarn.balls", "pieces_yarn.colours.balls"],
            RangeBasis::Judgement,
            "whole balls for the high figure, a limit that is seldom passed; less what is on hand",
        ),
        out(
            &["findings"],
            RangeBasis::Practice,
            "limits of floats and colours in a row are the trade's; the words for contrast are our judgement",
        ),
        out(
            &["motif_fit"],
            RangeBasis::Judgement,
            "a shape must differ from every one as simple, keep its symmetry and its proportion; the trade's 3 x 3 \
             and 5 x 5 follow at square cells",
        ),
        out(
            &["sizes.hours", "sizes.pieces.hours", "pace_stitches_per_minute"],
            RangeBasis::Setting,
            "the knitter's pace, the same for every fabric",
        ),
        out(
            &["sizes.body_cm"],
            RangeBasis::Memory,
            "as entered; those of the built-in tables are partly from memory, see the table's source",
        ),
        out(
            &["material.yarn.diameter_mm", "material.pattern_yarn.diameter_mm"],
            RangeBasis::PublishedFromMemory,
            "a model from metres, fibre and spin, not a measurement",
        ),
        out(
            &["material.yarn.weight_class", "material.pattern_yarn.weight_class"],
            RangeBasis::Practice,
            "from the band where weight_class_from says so, else after trade tables of metres; classes overlap",
        ),
        out(
            &["material.swatches.weighed.over_model_percent", "material.swatches.weighed.within_model"],
            RangeBasis::PublishedFromMemory,
            "held against the loop model of plain knit in wool",
        ),
        out(
            &["material.swatches.before_washing", "material.swatches.after_washing"],
            RangeBasis::Practice,
            "low and high are half a stitch and half a row of counting",
        ),
    ]
}
