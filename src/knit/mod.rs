//! Knitting: gauge, loop length, floats and yarn use.
//!
//! Pure: no egui, no files, no project.

mod gauge;
pub mod pieces;

pub use gauge::{Construction, Gauge, Technique};
