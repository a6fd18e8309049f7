//! Properties that hold for every input.

// A test that cannot go on should stop, in helpers too (clippy exempts only the test functions).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../common/mod.rs"]
mod common;

mod agreement;
mod chart;
mod colour;
mod edits;
mod figures_after;
mod findings;
mod gauge_basis;
mod matching;
mod material;
mod mend;
mod pieces;
mod read_rows;
mod stamped;
mod suitability;
mod symmetry;
mod written_rows;
mod yarn;
