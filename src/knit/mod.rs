//! Knitting: gauge, loop length and yarn use.
//!
//! Pure: no egui, no files, no project.

mod estimate;
mod gauge;
mod loop_length;

pub use estimate::Estimate;
pub use gauge::{Construction, Gauge, Technique};
pub use loop_length::{
    Calibration, LOOP_LENGTH_VALID_FOR, LoopConstants, LoopLength, Relaxation, WeighedSwatch,
};
