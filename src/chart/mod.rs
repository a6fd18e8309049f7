//! The chart: a grid of stitches, what is painted on it, and what can be found in it.
//!
//! Pure: no egui, no files, no project.

mod grid;
pub mod painting;
mod region;

pub use grid::{Cell, Grid, GridError, MAX_SIDE, Point, Rect};
pub use region::Transform;
