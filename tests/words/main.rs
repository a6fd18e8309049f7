//! The language of patterns: printed, read, knitted.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod command;
#[path = "../common/mod.rs"]
mod common;
mod hostile;
mod knitted;
mod mutation;
mod published;
mod random;
mod round_trip;
