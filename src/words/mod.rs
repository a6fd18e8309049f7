//! The language of patterns: what a knitter holds in the hand, as values, as trade English, and knitted.
//!
//! A [`Pattern`] is the abstract form: every amount is there in every size.

mod knitter;
mod name;
mod pattern;
mod per_size;
mod print;
mod read;
mod row;
mod step;
mod stitch;

pub use knitter::{
    EdgeKind, Knitted, KnittedEdge, KnittedPiece, KnittedRow, LeftOpen, MAX_STUMBLES, Stumble, Totals,
};
pub use name::{Name, Text};
pub use pattern::{
    Chart, ChartCell, Code, Copies, MAX_COPIES, MAX_SIZES, Pattern, Piece, Section, SizeName, Yarn,
};
pub use per_size::{Amount, PerSize};
pub use print::Wording;
use print::{bind_off_words, cast_on_words, number_word};
pub use read::{MAX_TEXT, ReadError};
pub use row::{
    BindOff, CastOn, ChartWork, Colour, Course, Edge, Fabric, Item, Label, PickUp, Ratio, Rows, Strip, Turn,
    Until, Work,
};
pub use step::{Change, Held, Line, Needle, Only, Pace, Part, Rest, Step};
pub use stitch::{Side, Stitch};
