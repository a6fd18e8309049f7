//! Yarn: what it weighs, how it is sold, and what it is good for.
//!
//! Pure: no egui, no files, no project.

mod put_up;
mod weight_class;

pub use put_up::PutUp;
pub use weight_class::{ClassMatch, Span, WeightClass, WeightClassFacts};
