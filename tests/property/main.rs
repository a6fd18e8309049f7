//! Properties that hold for every input.

mod suitability;
