//! Whether motifs survive at the gauge, and whether the repeat goes around.

use serde::Serialize;

use crate::chart::{
    BasicShape, Cell, EvenCount, MOST_STRETCH, RegionFit, RepeatFit, ShapeMatch, motif_fit, region_fit,
};
use crate::export::json::rounded;
use crate::knit::Gauge;
use crate::project::Project;
use crate::yarn::WeightClass;

/// What can be told apart at this gauge.
#[derive(Serialize)]
pub(super) struct Motifs {
    /// How much too high or low a shape may come out and still be itself.
    most_stretch_percent: f64,
    basic_shapes: Vec<BasicFit>,
    /// The motif of the repeat, everything that is not background; absent in a plain chart.
    drawn: Option<Drawn>,
}

/// The smallest size at which a basic shape is legible at this gauge.
#[derive(Serialize)]
struct BasicFit {
    shape: String,
    smallest_width_stitches: Option<u32>,
    smallest_height_rows: Option<u32>,
    smallest_width_cm: Option<f64>,
    /// Of that smallest size: above 0 it comes out too high for its width, below 0 too low.
    stretch_percent: Option<f64>,
}

#[derive(Serialize)]
struct Drawn {
    legible: bool,
    problems: Vec<String>,
    width_stitches: u32,
    height_rows: u32,
    width_cm: f64,
    height_cm: f64,
    parts: usize,
    single_stitches: usize,
    thinnest_stitches: u32,
    thinnest_rows: u32,
    thinnest_mm: f64,
    /// The basic shape it reads as, in proportion.
    reads_as: Option<String>,
    /// The basic shape it comes nearest to, in proportion or not, and how much too high (above 0) or too
    /// low it is for that.
    nearest_shape: Option<String>,
    stretch_percent: Option<f64>,
    smallest_width_stitches: Option<u32>,
    smallest_height_rows: Option<u32>,
    smallest_width_cm: Option<f64>,
    coarsest_stitches_per_10_cm: Option<f64>,
    coarsest_rows_per_10_cm: Option<f64>,
    coarsest_weight_class: Option<u8>,
}

#[derive(Serialize)]
pub(super) struct Around {
    divides: bool,
    needle_stitches: u32,
    edge_stitches: u32,
    repeat_stitches: u32,
    repeats: u32,
    left_over_stitches: u32,
    below: Option<Even>,
    above: Option<Even>,
    centred: Option<Centred>,
}

#[derive(Serialize)]
struct Even {
    stitches: u32,
    repeats: u32,
    change_stitches: i64,
    change_cm: f64,
}

#[derive(Serialize)]
struct Centred {
    repeats: u32,
    before_stitches: u32,
    after_stitches: u32,
}

impl Motifs {
    pub(super) fn new(project: &Project) -> Self {
        let gauge = project.plan.gauge;
        let chart = &project.chart;
        let background = Cell::slot(project.background_slot() as u8);
        Self {
            most_stretch_percent: rounded(MOST_STRETCH * 100.0),
            basic_shapes: BasicShape::ALL.into_iter().map(|shape| BasicFit::new(shape, gauge)).collect(),
            drawn: region_fit(&chart.grid, chart.repeat(), background, gauge).map(|fit| Drawn::new(&fit)),
        }
    }
}

impl BasicFit {
    fn new(shape: BasicShape, gauge: Gauge) -> Self {
        // The smallest size does not depend on the size that is asked for.
        let any = gauge.width(10);
        let smallest = motif_fit(shape, any, gauge).ok().and_then(|fit| fit.smallest);
        Self {
            shape: shape.name().to_lowercase(),
            smallest_width_stitches: smallest.map(|s| s.stitches),
            smallest_height_rows: smallest.map(|s| s.rows),
            smallest_width_cm: smallest.map(|s| rounded(s.width_cm)),
            stretch_percent: smallest
                .map(|s| percent_off(shape.stretch((s.stitches, s.rows), gauge.cell_aspect()))),
        }
    }
}

/// A ratio as the per cent it is above or below 1.
fn percent_off(ratio: f64) -> f64 {
    rounded((ratio - 1.0) * 100.0)
}

impl Drawn {
    fn new(fit: &RegionFit) -> Self {
        let coarsest = fit.smallest.and_then(|smallest| smallest.gauge);
        let name = |found: &ShapeMatch| found.shape.name().to_lowercase();
        Self {
            legible: fit.is_legible(),
            problems: fit.problems.iter().map(ToString::to_string).collect(),
            width_stitches: fit.raster.width(),
            height_rows: fit.raster.height(),
            width_cm: rounded(fit.width_cm),
            height_cm: rounded(fit.height_cm),
            parts: fit.pieces,
            single_stitches: fit.specks.len(),
            thinnest_stitches: fit.thinnest.stitches,
            thinnest_rows: fit.thinnest.rows,
            thinnest_mm: rounded(fit.thinnest_mm),
            reads_as: fit.shape.as_ref().filter(|found| found.in_proportion()).map(name),
            nearest_shape: fit.shape.as_ref().map(name),
            stretch_percent: fit.shape.as_ref().map(|found| percent_off(found.stretch)),
            smallest_width_stitches: fit.smallest.map(|s| s.stitches),
            smallest_height_rows: fit.smallest.map(|s| s.rows),
            smallest_width_cm: fit.smallest.map(|s| rounded(s.width_cm)),
            coarsest_stitches_per_10_cm: coarsest.map(|gauge| rounded(gauge.stitches.get())),
            coarsest_rows_per_10_cm: coarsest.map(|gauge| rounded(gauge.rows.get())),
            coarsest_weight_class: coarsest
                .and_then(|gauge| WeightClass::coarsest_reaching(gauge.stitches))
                .map(WeightClass::number),
        }
    }
}

impl Around {
    pub(super) fn new(fit: &RepeatFit) -> Self {
        let even = |count: EvenCount| Even {
            stitches: count.stitches,
            repeats: count.repeats,
            change_stitches: count.change,
            change_cm: rounded(count.change_cm),
        };
        Self {
            divides: fit.divides(),
            needle_stitches: fit.stitches,
            edge_stitches: fit.edge,
            repeat_stitches: fit.repeat,
            repeats: fit.repeats,
            left_over_stitches: fit.left_over,
            below: fit.below.map(even),
            above: fit.above.map(even),
            centred: fit.centred.map(|parts| Centred {
                repeats: parts.repeats,
                before_stitches: parts.before,
                after_stitches: parts.after,
            }),
        }
    }
}
