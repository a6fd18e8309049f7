//! Yarn: what it weighs, how it is sold, and what it is good for.
//!
//! Pure: no egui, no files, no project.

pub mod best_sets;
mod matching;
mod put_up;
mod shade_card;
mod shade_query;

pub use matching::{Candidate, MatchError, Matched, Matching, SetCost, Wish, match_palette};
pub use put_up::PutUp;
pub use shade_card::{ColourSource, MAX_SHADES, MAX_TEXT, Shade, ShadeCard, ShadeError, Stock};
pub use shade_query::{Available, Between, HueArc, ShadeQuery, SortBy};
