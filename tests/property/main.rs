//! Properties that hold for every input.

// The lint knows only functions marked #[test]; this whole binary is one.
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod colour;
mod matching;
