//! Why a piece cannot be worked.

use thiserror::Error;

use crate::chart::MAX_SIDE;

/// Most stitches in a row of a piece.
pub const MAX_STITCHES: u32 = MAX_SIDE;
/// Most rows in a piece.
pub const MAX_ROWS: u32 = MAX_SIDE;

/// Why a piece cannot be worked in a size.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum PieceError {
    /// A piece without bands.
    #[error("piece '{piece}' has no bands: add one, or remove the piece")]
    NoBands {
        /// The piece.
        piece: String,
    },
    /// The size does not know a measurement that a band follows.
    #[error(
        "{at} follows the {measure} measurement, which size '{size}' does not have: \
         add it to the size, or give the stitches or cm instead"
    )]
    Unmeasured {
        /// Piece and band.
        at: String,
        /// The measurement, in lower case.
        measure: String,
        /// The size.
        size: String,
    },
    /// A band that joins live stitches where there are none.
    #[error(
        "{at} joins the live stitches of the pieces before it, but none of them ends live: \
         leave one live, or give the band a width"
    )]
    NothingToJoin {
        /// Piece and band.
        at: String,
    },
    /// A group of stitches that is not live.
    #[error(
        "{at} takes up the stitches of {group}, but none are live under this name: \
         set them aside in an earlier piece, or correct the name"
    )]
    NoGroup {
        /// The piece.
        at: String,
        /// The group.
        group: String,
    },
    /// A first band without a width of its own.
    #[error("{at} is as wide as the band before it, but it is the first: give it a width")]
    NoWidth {
        /// Piece and band.
        at: String,
    },
    /// A chart part without a stitch.
    #[error("{at} repeats a part of the chart that holds no stitch: choose another part")]
    EmptyChart {
        /// Piece and band.
        at: String,
    },
    /// More or fewer stitches or rows than can be.
    #[error(
        "{at} comes to {found} {what}; it must be 1 to {most}: repeat a smaller part of the chart, \
         or give the band another width or length"
    )]
    Count {
        /// Piece and band.
        at: String,
        /// `stitches` or `rows`.
        what: &'static str,
        /// How many.
        found: u64,
        /// The limit.
        most: u32,
    },
    /// A heel that cannot be turned.
    #[error(
        "{at} turns a heel over {found} stitches: it takes an even number of 12 or more, in rows, as the last \
         step of the piece"
    )]
    HeelTurn {
        /// Piece and band.
        at: String,
        /// Stitches there are.
        found: u32,
    },
    /// A steek that cannot be worked.
    #[error("{at}, steek '{name}': {why}")]
    Steek {
        /// Piece and band.
        at: String,
        /// The steek.
        name: String,
        /// Why, and what to do.
        why: &'static str,
    },
    /// "The rest" without a whole.
    #[error("{at} takes what is left of the piece's length, but the piece has no length: give it one")]
    NoTotal {
        /// Piece and band.
        at: String,
    },
    /// A band that joins the live stitches of a piece that cannot be worked.
    #[error(
        "{at} joins the live stitches of piece '{piece}', which cannot be worked yet: mend that one first"
    )]
    Waits {
        /// Piece and band.
        at: String,
        /// The piece it waits for.
        piece: String,
    },
}

/// A piece that cannot be worked: why, and in which of its bands.
#[derive(Clone, Debug, Error, PartialEq)]
#[error("{error}")]
pub struct Unworkable {
    /// The band, by its place from the first row; `None` when it is the piece as a whole.
    pub band: Option<usize>,
    /// Why.
    pub error: PieceError,
}

impl Unworkable {
    /// Adds the place of the band to an error.
    pub(super) fn in_band(band: usize) -> impl Fn(PieceError) -> Self {
        move |error| Self { band: Some(band), error }
    }
}

impl From<PieceError> for Unworkable {
    fn from(error: PieceError) -> Self {
        Self { band: None, error }
    }
}
