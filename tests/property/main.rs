//! Properties that hold for every input.

// A test that cannot go on should stop, in helpers too (clippy exempts only the test functions).
// The lint knows only functions marked #[test]; this whole binary is one.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod chart;
mod colour;
mod yarn;
