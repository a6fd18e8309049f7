//! Knitting: gauge, loop length, floats and yarn use.
//!
//! Pure: no egui, no files, no project.

mod gauge;

pub use gauge::{Construction, Gauge, Technique};
