//! Knitting: gauge, loop length and yarn use.
//!
//! Pure: no egui, no files, no project.

mod areas;
mod estimate;
mod gauge;
mod loop_length;
mod row_use;
mod yarn_use;

pub use estimate::Estimate;
pub use gauge::{Construction, Gauge, Technique};
pub use loop_length::{
    Calibration, LOOP_LENGTH_VALID_FOR, LoopConstants, LoopLength, Relaxation, WeighedSwatch,
};
pub use row_use::CARRY_UP_ROWS;
pub use yarn_use::{Line, SlotUse, YarnUse, YarnUseInput};
