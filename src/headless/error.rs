//! Why a command did not do what it was asked, kept by who can mend it.

use std::path::PathBuf;
use std::process::ExitCode;

use crate::export::ExportError;
use crate::file::{CsvTrouble, Fault, FileError, PictureError};
use crate::photo::{GaugeFault, PhotoError};
use crate::yarn::MatchError;
use crate::yarn::best_sets::SetError;

/// Why a command failed, in one line that says what to do.
#[derive(Debug, thiserror::Error)]
pub(super) enum CommandError {
    /// The command line asks for what cannot be.
    #[error("{0}")]
    Entry(String),
    /// Nearest shades that cannot be found for these colours.
    #[error(transparent)]
    Match(#[from] MatchError),
    /// Sets that cannot be looked for.
    #[error(transparent)]
    Sets(#[from] SetError),
    /// A file cannot be read or written.
    #[error(transparent)]
    File(#[from] FileError),
    /// A table of shades is wrong.
    #[error(transparent)]
    Table(#[from] CsvTrouble),
    /// A picture cannot be opened.
    #[error(transparent)]
    Picture(#[from] PictureError),
    /// A file is sound, but does not hold what the command needs.
    #[error("{}: {what}", file.display())]
    Content {
        /// The file.
        file: PathBuf,
        /// What is the matter and what to do.
        what: String,
    },
    /// A place in a picture cannot be read.
    #[error("{}: {error}", file.display())]
    Photo {
        /// The picture.
        file: PathBuf,
        /// Why.
        error: PhotoError,
    },
    /// No gauge in a picture.
    #[error("{}: {error}", file.display())]
    Gauge {
        /// The picture.
        file: PathBuf,
        /// Why.
        error: GaugeFault,
    },
    /// A file cannot be made.
    #[error("{}: {error}", file.display())]
    Export {
        /// The file.
        file: PathBuf,
        /// Why.
        error: ExportError,
    },
    /// What the command prints cannot be worked out.
    #[error(transparent)]
    Figures(ExportError),
    /// Standard output takes nothing more.
    #[error("the answer could not be written to standard output ({0}): make room, or send it elsewhere")]
    Output(std::io::Error),
}

impl CommandError {
    /// Something in the command line is wrong.
    pub(super) fn entry(message: impl Into<String>) -> Self {
        Self::Entry(message.into())
    }

    /// Who can mend it.
    pub(super) const fn fault(&self) -> Fault {
        match self {
            Self::Entry(_) | Self::Match(_) | Self::Sets(_) | Self::Photo { .. } | Self::Gauge { .. } => {
                Fault::Entry
            }
            Self::Table(_) | Self::Content { .. } => Fault::File,
            Self::File(error) => error.problem.fault(),
            Self::Picture(error) => error.problem.fault(),
            Self::Export { error, .. } | Self::Figures(error) => error.fault(),
            Self::Output(_) => Fault::Machine,
        }
    }

    /// The exit code: 2 where the person or the file is at fault, and for the others those that
    /// `sysexits.h` (4.0BSD) gives them.
    pub(super) fn exit_code(&self) -> ExitCode {
        ExitCode::from(match self.fault() {
            Fault::Entry | Fault::File => 2,
            Fault::Machine => 74,
            Fault::Program => 70,
        })
    }
}

impl From<lexopt::Error> for CommandError {
    fn from(error: lexopt::Error) -> Self {
        Self::Entry(error.to_string())
    }
}
