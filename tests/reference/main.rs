//! The main job against published values: each file names its source beside the check.

// A test that cannot go on should stop, in helpers too (clippy exempts only the test functions).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod loop_length;
mod weight_classes;
mod yarn_use;
