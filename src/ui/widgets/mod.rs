//! Small widgets used by every workspace.

mod chart_picture;
mod eyes;
mod field;
mod icon;

pub use chart_picture::{ChartPictures, paint_chart};
pub use eyes::eyes_choice;
pub use field::{NumberField, caption, count_field, heading, item, name, number_row, part, row, truncated};
pub use icon::{Icon, focus_ring, icon_button, sized_icon_button};
