//! What leaves the program: chart pictures and yardage tables.
//!
//! Every picture begins as a [`drawing`], from which each format is made, so that all of them
//! show the same.

pub mod card;
pub mod chart_picture;
pub mod colour_list;
pub mod drawing;
mod fabric_paint;
pub mod fabric_picture;
pub mod faces;
pub mod garment_picture;
pub mod gift_tag;
pub mod inspect;
pub mod instructions;
pub(crate) mod json;
pub(crate) mod knitted_picture;
mod legend;
pub(crate) mod metres;
pub(crate) mod outline;
pub mod paper;
pub mod pdf;
mod pdf_structure;
pub mod pictograms;
pub mod png;
mod quiet;
pub mod raster;
pub(crate) mod schematic;
pub mod sheet;
pub mod stand_in_report;
mod stitch_light;
mod stitch_signs;
pub mod svg;
pub mod symbols;
pub mod text;
mod text_lines;
pub mod written_rows;
pub mod yardage;
mod yarn_words;

use thiserror::Error;

use crate::file::{Fault, FileError};

/// Why an export was refused.
#[derive(Debug, Error)]
pub enum ExportError {
    /// The person stopped it.
    #[error("stopped as asked; nothing was written")]
    Stopped,
    /// More pixels than any program opens.
    #[error(
        "a picture of {width} x {height} pixels is over the limit of {limit} megapixels: choose fewer px per stitch",
        limit = png::MAX_MEGAPIXELS
    )]
    TooLarge {
        /// Width in pixels.
        width: u32,
        /// Height in pixels.
        height: u32,
    },
    /// More pixels a stitch than the picture can have.
    #[error(
        "at {asked} px per stitch the picture is over the limit of {limit} megapixels: choose {largest} px or fewer",
        limit = png::MAX_MEGAPIXELS
    )]
    TooFine {
        /// Pixels a stitch asked for.
        asked: u32,
        /// The most that fits.
        largest: u32,
    },
    /// A number of pixels a stitch that cannot be.
    #[error("px per stitch must be between 1 and {max}, not {0}", max = chart_picture::MAX_PX)]
    PxPerStitch(u32),
    /// A number of pixels a stitch that cannot be in a picture of the fabric.
    #[error(
        "px per stitch of the knitted picture must be between {least} and {most}, not {0}",
        least = fabric_picture::PX.start(),
        most = fabric_picture::PX.end()
    )]
    FabricPx(u32),
    /// Nothing that could be shown as a garment.
    #[error("there are no pieces to show: make them in Pieces, or show the swatch")]
    NoPieces,
    /// A resolution that cannot be.
    #[error("the resolution must be between 10 and 2400 dots per inch, not {0}")]
    Resolution(f64),
    /// A chart that would be split into more parts than anyone would put together.
    #[error("the chart would take {pages} pages, more than {most}: export it as a picture, or choose a part")]
    TooManyPages {
        /// Pages it would take.
        pages: usize,
        /// The limit.
        most: usize,
    },
    /// A colour list whose ending names no kind of list.
    #[error(
        "a colour list is a file in .css (custom properties) or .json (design tokens), not in '.{0}': \
         give it one of these endings"
    )]
    ColourListEnding(String),
    /// A piece that cannot be worked.
    #[error(transparent)]
    Pieces(#[from] crate::knit::pieces::PieceError),
    /// Pieces that cannot be put in words.
    #[error(transparent)]
    Words(#[from] crate::project::Unwritten),
    /// The system has no memory for a band of the picture.
    #[error("there is not enough memory for the picture: choose fewer px per stitch")]
    Memory,
    /// The encoder or the disk failed.
    #[error("writing the picture failed ({0}): choose another folder or fewer px per stitch")]
    Encoding(String),
    /// The file could not be written.
    #[error(transparent)]
    File(#[from] FileError),
}

impl ExportError {
    /// Who can mend it.
    pub const fn fault(&self) -> Fault {
        match self {
            Self::TooLarge { .. }
            | Self::TooFine { .. }
            | Self::PxPerStitch(_)
            | Self::Resolution(_)
            | Self::FabricPx(_)
            | Self::NoPieces
            | Self::TooManyPages { .. }
            | Self::ColourListEnding(_)
            | Self::Pieces(_)
            | Self::Words(_)
            | Self::Stopped => Fault::Entry,
            Self::Memory | Self::Encoding(_) => Fault::Machine,
            Self::File(error) => error.problem.fault(),
        }
    }
}

impl From<::png::EncodingError> for ExportError {
    fn from(error: ::png::EncodingError) -> Self {
        Self::Encoding(error.to_string())
    }
}

impl From<std::io::Error> for ExportError {
    fn from(error: std::io::Error) -> Self {
        Self::Encoding(error.to_string())
    }
}
