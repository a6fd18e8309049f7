//! The window, driven by accessible labels.

// A test that cannot go on should stop, in helpers too (clippy exempts only the test functions).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../common/mod.rs"]
mod common;
#[path = "../common/software_renderer.rs"]
mod software_renderer;

mod canvas;
mod canvas_cost;
mod canvas_pictures;
mod edges;
mod fields;
mod findings;
mod gauge;
mod hand;
mod kept;
mod keyboard;
mod left_behind;
mod looks;
mod main_job;
mod material;
mod narrow;
mod next_steps;
mod photograph;
mod picture;
mod pieces;
mod questions;
mod screen;
mod sets;
mod shades;
mod shopping;
mod sliders;
mod steady;
mod still;
mod symmetry;
mod take_out;
mod wheel;
mod yarn;
