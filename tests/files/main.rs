//! Files as a user meets them: projects, exports and the headless commands.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "test helpers stop their test")]

#[path = "../common/mod.rs"]
mod common;

mod arbitrary;
mod arbitrary_material;
mod card;
mod chart_pictures;
mod codes;
mod gauge;
mod headless;
mod headless_colour;
mod headless_inspect;
mod headless_photo;
mod headless_picture;
mod hostile;
mod kills;
mod late_answers;
mod one_sum;
mod pictures;
mod round_trip;
mod shade_cards;
mod sheet;
mod shop_headings;
mod shop_tables;
mod side;
mod tables;
mod trust;
