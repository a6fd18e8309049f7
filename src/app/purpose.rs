//! What a file is asked for, and what waits for an answer.

use std::path::PathBuf;
use std::sync::Arc;

use super::exports::Export;
use crate::project::Project;

/// What a picked file is for.
#[derive(Clone, Debug, PartialEq)]
pub enum Purpose {
    /// Open it.
    Open,
    /// Save to it, then go on.
    Save(Option<Next>),
    /// Write an export to it.
    Export(Export),
    /// Read colours off this photograph.
    Photograph,
    /// Read a swatch's gauge off this photograph.
    SwatchPhotograph,
    /// Make a chart of this picture.
    ChartPicture,
    /// Make a motif of this outline.
    Outline,
    /// A shade card.
    Card(CardFile),
}

impl Purpose {
    /// Whether the file is read; otherwise it is written.
    pub const fn opens(&self) -> bool {
        match self {
            Self::Open | Self::Photograph | Self::SwatchPhotograph | Self::ChartPicture | Self::Outline => {
                true
            }
            Self::Save(_) | Self::Export(_) => false,
            Self::Card(file) => file.opens(),
        }
    }

    /// Whether it is about the open document; otherwise it may go on when another is open.
    pub const fn is_of_the_document(&self) -> bool {
        !matches!(self, Self::Open | Self::Photograph)
    }
}

/// A file of shades.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CardFile {
    /// Open a card file.
    Open,
    /// Import a CSV table.
    Import,
    /// Save the shown card as a card file.
    Save,
    /// Save the shown card as a CSV table.
    SaveTable,
    /// Save a table to copy the columns from.
    SaveExample,
}

impl CardFile {
    /// Whether a file that is there is read.
    pub const fn opens(self) -> bool {
        matches!(self, Self::Open | Self::Import)
    }

    /// What kind of file it is, and its extension.
    pub const fn kind(self) -> (&'static str, &'static str) {
        match self {
            Self::Open | Self::Save => ("Huegauge shade card", "ron"),
            Self::Import | Self::SaveTable | Self::SaveExample => ("CSV table", "csv"),
        }
    }

    /// Heading of the question for the file.
    pub const fn title(self) -> &'static str {
        match self {
            Self::Open => "Open a shade card",
            Self::Import => "Import a table of shades",
            Self::Save => "Save the shade card",
            Self::SaveTable => "Save the shades as a table",
            Self::SaveExample => "Save an example table",
        }
    }
}

/// What waits for the answer to "save your changes?".
#[derive(Clone, Debug, PartialEq)]
pub enum Next {
    /// Begin an empty project.
    New,
    /// Open a project: this one, or one to be picked.
    Open(Option<PathBuf>),
    /// Open a demo by its number.
    Demo(usize),
    /// Show this project, which has no file yet.
    Show(Arc<Project>),
    /// Leave.
    Quit,
}
