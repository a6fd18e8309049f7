//! The main job against published values: each file names its source beside the check.

// The lint knows only functions marked #[test]; this whole binary is one.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../common/mod.rs"]
mod common;

mod colour;
mod colour_sets;
mod loop_length;
mod motif_fit;
mod pieces;
mod repeat;
mod svg;
mod weight_classes;
mod written_rows;
mod yarn_use;
