//! Knitting: gauge, loop length, yarn use and pieces.
//!
//! Pure: no egui, no files, no project.

mod allowance;
mod areas;
mod class_meaning;
mod cover;
mod estimate;
mod gauge;
mod loop_length;
pub mod pieces;
mod row_use;
mod yarn_use;

pub use class_meaning::{ClassMeaning, SWEATER_CM2};
pub use cover::{
    Cover, CoverVerdict, DENSE_FROM, JAMMED_LOOP_DIAMETERS, JAMMED_STITCH_DIAMETERS, OPEN_BELOW,
};
pub use estimate::Estimate;
pub use gauge::{Construction, Gauge, Technique};
pub use loop_length::{
    Calibration, LOOP_LENGTH_VALID_FOR, LoopConstants, LoopLength, Relaxation, WeighedSwatch,
};
pub use row_use::CARRY_UP_ROWS;
pub use yarn_use::{Line, SlotUse, YarnUse, YarnUseInput};
