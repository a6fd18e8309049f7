//! The chart: a grid of stitches, what is painted on it, and what can be found in it.
//!
//! Pure: no egui, no files, no project.

mod coverage;
mod grid;
pub mod painting;
mod raster;
mod region;
mod shapes;

pub use grid::{Cell, Grid, GridError, MAX_SIDE, Point, Rect};
pub use raster::{Piece, Raster, Thinnest};
pub use region::Transform;
pub use shapes::BasicShape;
