//! The main job against published values: each file names its source beside the check.

// A test that cannot go on should stop, in helpers too (clippy exempts only the test functions).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../common/mod.rs"]
mod common;

mod care;
mod chart_signs;
mod colour;
mod colour_list;
mod colour_sets;
mod count;
mod edge_stretch;
mod fibre;
mod gauge;
mod gauge_blind;
mod gauge_score;
mod loop_length;
mod motif_fit;
mod motifs;
mod photo;
mod photo_error;
mod pieces;
mod repeat;
mod svg;
mod swatch;
mod weight_classes;
mod written_rows;
mod yarn_photo;
mod yarn_use;
