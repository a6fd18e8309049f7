//! The main job against published values: each file names its source beside the check.

// The lint knows only functions marked #[test]; this whole binary is one.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../common/mod.rs"]
mod common;

mod care;
mod colour;
mod count;
mod fibre;
mod loop_length;
mod swatch;
mod weight_classes;
mod yarn_use;
