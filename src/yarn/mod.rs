//! Yarn: what it weighs, how it is sold, and what it is good for.
//!
//! Pure: no egui, no files, no project.

mod put_up;

pub use put_up::PutUp;
