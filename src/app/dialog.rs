//! The question in front of the window, and messages in its corner.

use std::path::PathBuf;
use std::sync::Arc;

use super::blank::NewProject;
use super::colourway_desk::ColourwaysForm;
use super::document::Version;
use super::exports::{Export, ExportOptions};
use super::picture_desk::PictureForm;
use super::purpose::{Next, Purpose};
use super::recovery::Found;
use super::weights::WeightsForm;
use crate::file::Expected;
use crate::project::{MendBy, Project};

/// The question in front of the window.
#[derive(Clone, Debug, PartialEq)]
pub enum Dialog {
    /// Save your changes first?
    Unsaved(Next),
    /// Another program has written the file since; save in spite of that?
    Changed {
        /// The file.
        path: PathBuf,
        /// The project that lies there now, when it is one.
        theirs: Option<Arc<Project>>,
        /// What lay there when it was shown.
        found: Expected,
        /// In what the two differ, each a few words.
        differs: Vec<String>,
        /// What waits for the save.
        then: Option<Next>,
    },
    /// What the new project is to be.
    New(NewProject),
    /// A file name typed by hand, where no system picker answers.
    Path {
        /// What for.
        purpose: Purpose,
        /// The typed path.
        text: String,
        /// Writing there would replace a file; ask once.
        replaces: bool,
        /// Why the file of this path was refused.
        refused: Option<String>,
    },
    /// Options of an export.
    Export(Export, ExportOptions),
    /// New width and height of the chart.
    Resize {
        /// Stitches.
        stitches: u32,
        /// Rows.
        rows: u32,
    },
    /// What the pattern is called, by whom it is, and what the sheet says of it.
    Describe {
        /// Title.
        title: String,
        /// Designer.
        designer: String,
        /// Notes.
        notes: String,
    },
    /// How the floats are mended.
    Mend(MendBy),
    /// How wide the open outline is to be.
    Outline {
        /// Stitches.
        stitches: u32,
    },
    /// What the chart of the open picture is to be like.
    Picture(PictureForm),
    /// What the region is to be called in the motif library.
    KeepMotif(String),
    /// The chart in other colours.
    Colourways(ColourwaysForm),
    /// A motif in every weight class.
    Weights(WeightsForm),
    /// A copy of unsaved work was found at start.
    Recovered(Found),
    /// The keys.
    Keys,
    /// Version and licence.
    About,
}

impl Dialog {
    /// Whether it is about the open document, and pointless when another is open.
    pub const fn is_of_the_document(&self) -> bool {
        match self {
            Self::Unsaved(_)
            | Self::Changed { .. }
            | Self::Export(..)
            | Self::Resize { .. }
            | Self::Describe { .. }
            | Self::Mend(_)
            | Self::Outline { .. }
            | Self::KeepMotif(_)
            | Self::Weights(_)
            | Self::Colourways(_)
            | Self::Picture(_) => true,
            Self::Path { purpose, .. } => purpose.is_of_the_document(),
            Self::New(_) | Self::Recovered(_) | Self::Keys | Self::About => false,
        }
    }
}

/// A message in the corner.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// What happened.
    pub text: String,
    /// Errors stay until dismissed.
    pub is_error: bool,
    /// The state of the project that it tells of, as long as undo takes that back.
    pub undo: Option<Version>,
    /// Told apart by number.
    pub id: u64,
}
