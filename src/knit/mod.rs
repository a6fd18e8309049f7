//! Knitting: gauge, loop length, yarn use and pieces.
//!
//! Pure: no egui, no files, no project.

mod allowance;
mod amount;
mod areas;
mod class_meaning;
mod cover;
mod edge_stretch;
mod estimate;
mod gauge_words;
mod loop_length;
mod making;
mod material;
mod material_rules;
mod motif_weights;
mod needle;
pub mod pieces;
mod row_use;
mod row_uses;
mod swatch;
mod swatch_advice;
mod swatch_care;
mod swatch_size;
mod weighing;
mod yarn_line;

pub use crate::units::Gauge;
pub use amount::{Amount, Cause, RANGE_WORDS, RangeBasis, Reach};
pub use class_meaning::{ClassMeaning, SWEATER_CM2, class_width_cm};
pub use cover::{Cover, CoverVerdict, DENSE_FROM, JAMMED_LOOP_DIAMETERS, OPEN_BELOW, grams_per_m2};
pub use edge_stretch::{Edge, EdgeStretch, Passage, Passing, passes, passes_all};
pub use estimate::Estimate;
pub use gauge_words::{gauge_told, gauges_apart};
pub use loop_length::{
    Calibration, LOOP_LENGTH_SOURCE, LOOP_LENGTH_STRANDED, LOOP_LENGTH_VALID_FOR, LoopConstants, LoopFibre,
    LoopLength, LoopSource, Relaxation, WeighedSwatch,
};
pub use making::{Construction, Technique};
pub use material::{
    ChartFacts, MaterialFacts, MaterialFinding, MaterialKind, MaterialYarn, Weightiness, material_findings,
};
pub use material_rules::BUSY_CHART;
pub use motif_weights::{AtGauge, AtWeight, begins_at, motif_at_gauge, motif_at_weights, usual_gauge};
pub use needle::Needle;
pub use row_use::{CARRY_UP_ROWS, ColourCounts, EdgeWork, RowBlock, RowHow, RowUse, Stitch, Tally};
pub use row_uses::{CountHow, RowColours, RowKey, RowUses, UsedRows};
pub use swatch::{MeasuredGauge, Swatch, SwatchFabric, SwatchOnScales, WashChange, pooled_gauge};
pub use swatch_advice::{
    FELTED_AREA_PERCENT, FEWEST_STITCHES, GREW_PERCENT, GaugeAdvice, SMALLEST_SIDE_CM, SwatchFlag,
    advise_on_gauge, swatch_flags,
};
pub use swatch_care::{CareDoubt, DriedHow, SwatchCare, WashedHow};
pub use swatch_size::{BegunSize, ReadOff, SwatchSize};
pub use weighing::{
    MODEL_ERROR, MOST_ERRORS, PlannedFabric, SAME_THICKNESS, WeighingDoubt, shortest_loop_cm, weighing_doubts,
};
pub use yarn_line::{LineKind, YarnLine, counted_yarn, row_of_yarn};
