//! The language of patterns: printed, read, knitted.

// A test that cannot go on should stop, in helpers too (clippy exempts only the test functions).
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

#[path = "../common/mod.rs"]
mod common;

mod command;
mod hostile;
mod knitted;
mod mutation;
mod openings_table;
mod projects;
mod published;
mod random;
mod random_pieces;
mod round_trip;
mod yokes;
