//! Small widgets used by every workspace.

mod care;
mod chart_picture;
mod eyes;
mod field;
mod figure;
mod follow;
mod form;
mod icon;
mod menu_tip;
mod motif;
mod on_screen;
mod primary;
mod project_picture;
mod sheet;
mod steady;
mod still;
mod swatch;
mod tick;
mod variation_fields;
mod yarn_fields;

pub use care::{care_line, gift_tag};
pub use chart_picture::{ChartPictures, colourway_button, paint_chart};
pub use eyes::eyes_choice;
pub use field::{
    FieldWords, NumberField, caption, count_field, drops_typing, heading, item, name, part, say_refusal,
    text_field, truncated,
};
pub use figure::figure;
pub use follow::{Follow, note_focus, ring_focus};
pub use form::{Drafted, Form, one_of, one_of_in, row, row_if};
pub use icon::{Icon, focus_ring, icon_button, sized_icon_button};
pub use menu_tip::tip_beside;
pub use motif::{one_scale, paint_stitches};
pub use on_screen::OnScreen;
pub use primary::{primary, primary_of};
pub use project_picture::project_picture;
pub use sheet::Sheet;
pub use steady::{reserved_caption, settled, steady};
pub use still::still;
pub use swatch::{paint_sign, paint_swatch};
pub use tick::tick_box;
pub use variation_fields::variation_rows;
pub use yarn_fields::{ball_field, band_field, grist_field, price_field, price_row, put_up_rows};
