//! Metres and grams of yarn as JSON keys that say what they hold, the same in every command.

use serde::Serialize;

use super::json::rounded;
use crate::knit::Estimate;

/// A figure with its range, under keys of its own.
macro_rules! keyed {
    ($(#[$what:meta])* $name:ident: $low:literal, $likely:literal, $high:literal) => {
        $(#[$what])*
        #[derive(Serialize)]
        pub(crate) struct $name {
            #[serde(rename = $low)]
            low: f64,
            #[serde(rename = $likely)]
            likely: f64,
            #[serde(rename = $high)]
            high: f64,
        }

        impl From<Estimate> for $name {
            fn from(figure: Estimate) -> Self {
                let Estimate { low, likely, high } = figure;
                Self { low: rounded(low), likely: rounded(likely), high: rounded(high) }
            }
        }
    };
}

keyed! {
    /// Metres; what they hold is told by where they stand.
    Metres: "metres_low", "metres_likely", "metres_high"
}
keyed! {
    /// Grams of these.
    Grams: "grams_low", "grams_likely", "grams_high"
}
keyed! {
    /// Metres that go into the pieces: stitches, floats and catches, edges and the ends of strands.
    Knitted: "metres_knitted_low", "metres_knitted_likely", "metres_knitted_high"
}
keyed! {
    /// Metres that are needed in all: [`Knitted`] and the swatch, the joins of balls, waste, and what the balls
    /// may hold less than their bands say.
    Needed: "metres_needed_low", "metres_needed_likely", "metres_needed_high"
}

/// The yarn of a colour or of all, under each of its keys.
#[derive(Serialize)]
pub(crate) struct Lengths {
    /// As needed: the key from before the others told what they hold.
    #[serde(flatten)]
    metres: Metres,
    #[serde(flatten)]
    knitted: Knitted,
    #[serde(flatten)]
    needed: Needed,
}

impl Lengths {
    /// Metres that go into the pieces, and all that are needed.
    pub(crate) fn new(knitted: Estimate, needed: Estimate) -> Self {
        Self { metres: needed.into(), knitted: knitted.into(), needed: needed.into() }
    }
}
