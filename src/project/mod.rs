//! The document: what a project holds, how it is edited, and how edits are undone.
//!
//! Pure: no egui, no files. The file format has records of its own (see `file`).

mod axis;
pub(crate) mod budget;
pub mod chart_edits;
pub mod chosen_edits;
mod colour_code;
mod colourways;
mod contrast;
mod difference;
mod edit;
pub mod figures;
pub mod findings;
mod finished;
mod history;
mod instructions;
mod knit_in;
mod loop_basis;
mod material;
mod mending;
mod model;
mod needs_edit;
mod palette;
mod palette_edits;
mod picture_chart;
mod piece_plan;
pub mod shopping;
mod side_by_side;
mod stand_in;
mod strand_look;
mod strokes;
mod yarn_reach;

pub use crate::colour::Wheel;
pub use crate::yarn::SlotYarn;
pub use colour_code::{code_and_name, code_and_role, colour_code, key_entry};
pub use colourways::{BestBy, MOST_KEPT, MOST_ORDERED, Orders, WayFigures, WayTrial};
pub use contrast::{LightnessChange, Nearer, Touching, weakest};
pub use difference::differences;
pub use edit::{CellPatch, Edit, Touched};
pub use finished::{Finished, KnittedYarn, YarnOf};
pub use history::{History, StepLabel};
pub use instructions::{TO_FINISH, Unwritten};
pub use knit_in::deal_by_area;
pub use loop_basis::{LoopBasis, WeighedBasis, Weighing};
pub use material::{LoggedSwatch, Material, swatch_fabric};
pub use mending::{MendBy, Mending};
pub use model::{Chart, Colourway, FloatLimit, KnitPlan, Project, ProjectError};
pub use needs_edit::size_group_for;
pub use palette::{Palette, Proportion, Role, Slot, Symbol};
pub use picture_chart::{PictureColours, PictureFigures};
pub use piece_plan::PiecePlan;
pub use side_by_side::{Side, SideFigures};
pub use stand_in::{KEPT, MOST_STAND_INS, SizeBalls, StandIn};
pub use strand_look::StrandLook;
pub use yarn_reach::{CountedAs, sold};
