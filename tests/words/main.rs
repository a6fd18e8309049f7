//! The language of patterns: printed, read, knitted.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, missing_docs)]

mod hostile;
mod knitted;
mod mutation;
mod random;
mod round_trip;
