//! Metres of yarn as JSON keys that say what they hold, the same in every command.

use serde::Serialize;

use super::json::rounded;
use crate::knit::Estimate;

/// Metres as one figure with its range.
#[derive(Serialize)]
pub(crate) struct Metres {
    metres_low: f64,
    metres_likely: f64,
    metres_high: f64,
}

/// Grams likewise.
#[derive(Serialize)]
pub(crate) struct Grams {
    grams_low: f64,
    grams_likely: f64,
    grams_high: f64,
}

impl From<Estimate> for Metres {
    fn from(metres: Estimate) -> Self {
        Self {
            metres_low: rounded(metres.low),
            metres_likely: rounded(metres.likely),
            metres_high: rounded(metres.high),
        }
    }
}

impl From<Estimate> for Grams {
    fn from(grams: Estimate) -> Self {
        Self {
            grams_low: rounded(grams.low),
            grams_likely: rounded(grams.likely),
            grams_high: rounded(grams.high),
        }
    }
}

/// What goes into the pieces: stitches, floats and catches, edges and the ends of strands.
#[derive(Serialize)]
pub(crate) struct Knitted {
    metres_knitted_low: f64,
    metres_knitted_likely: f64,
    metres_knitted_high: f64,
}

/// What is needed in all: [`Knitted`] and the swatch, the joins of balls, waste, and what the bands leave
/// open.
#[derive(Serialize)]
pub(crate) struct Needed {
    metres_needed_low: f64,
    metres_needed_likely: f64,
    metres_needed_high: f64,
}

impl From<Estimate> for Knitted {
    fn from(metres: Estimate) -> Self {
        Self {
            metres_knitted_low: rounded(metres.low),
            metres_knitted_likely: rounded(metres.likely),
            metres_knitted_high: rounded(metres.high),
        }
    }
}

impl From<Estimate> for Needed {
    fn from(metres: Estimate) -> Self {
        Self {
            metres_needed_low: rounded(metres.low),
            metres_needed_likely: rounded(metres.likely),
            metres_needed_high: rounded(metres.high),
        }
    }
}
