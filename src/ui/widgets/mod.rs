//! Small widgets used by every workspace.

mod field;
mod icon;

pub use field::{NumberField, caption, count_field, heading, name, row};
pub use icon::{Icon, focus_ring, icon_button, sized_icon_button};
