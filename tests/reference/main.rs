//! The main job against published values: each file names its source beside the check.

<<<<<<< HEAD
// A test that cannot go on should stop, in helpers too (clippy exempts only the test functions).
=======
// The lint knows only functions marked #[test]; this whole binary is one.
>>>>>>> file
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../common/mod.rs"]
mod common;

mod colour;
mod colour_sets;
mod loop_length;
mod motif_fit;
mod pieces;
mod repeat;
mod weight_classes;
mod written_rows;
mod yarn_use;
