//! Properties that hold for every input.
