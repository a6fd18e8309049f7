//! The document: what a project holds, how it is edited, and how edits are undone.
//!
//! Pure: no egui, no files. The file format has records of its own (see `file`).

mod edit;
mod history;
mod model;
mod palette;

pub use crate::colour::Wheel;
pub use edit::{CellPatch, Edit, Touched};
pub use history::History;
pub use model::{Chart, Colourway, FloatLimit, KnitPlan, Project, ProjectError};
pub use palette::{Palette, Proportion, Role, Slot, SlotYarn, Symbol};
