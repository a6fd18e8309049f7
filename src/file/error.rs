//! What can be wrong with a file, in one line that names the file, the place and the mend.

use std::fmt;
use std::io;
use std::path::Path;

use super::place::Place;
use crate::plain_text::{Quoted, one_line, quoted};

/// Why a file could not be read or written.
#[derive(Clone, Debug, PartialEq)]
pub struct FileError {
    /// The file, as the user named it.
    pub file: String,
    /// Where in the file, when known.
    pub place: Option<Place>,
    /// What is wrong and how to mend it.
    pub problem: Problem,
}

/// What is wrong with a file.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum Problem {
    /// There is no such file.
    #[error("there is no such file: check the name and the folder")]
    Missing,
    /// A folder, device or pipe where a file is needed.
    #[error("this is {0}, not a file: name a file")]
    NotAFile(&'static str),
    /// A path without a name.
    #[error("a file name is needed here, but none is given: name the file")]
    NoName,
    /// A link to a file that is not there.
    #[error("this is a link to '{0}', which is not there: make its folder, or name a file that is no link")]
    Dangling(String),
    /// The system does not let us read it.
    #[error("you may not read this file: change its permissions or copy it to a folder of your own")]
    Unreadable,
    /// Larger than any project.
    #[error(
        "the file has {size_mb} MB, more than the {limit_mb} MB a project may have: choose the project file itself"
    )]
    TooLarge {
        /// Its size in MB.
        size_mb: u64,
        /// The limit in MB.
        limit_mb: u64,
    },
    /// Not UTF-8 text.
    #[error("this is not a text file, so not a Huegauge project: choose a file that Huegauge saved")]
    NotText,
    /// Nothing in it.
    #[error("the file is empty: restore it from a copy")]
    Empty,
    /// The text ends while a bracket or quote is open.
    #[error("the file ends too early and is cut short: restore it from a copy, or close what is open")]
    CutShort,
    /// The text ends while a quote is open.
    #[error(
        "a quote that opens here is never closed: close it with \", or restore the file from a copy if it is cut short"
    )]
    OpenQuote,
    /// Not RON, or not what belongs at this place.
    #[error("{0}")]
    Syntax(String),
    /// RON, but not ours.
    #[error("this is not a Huegauge project (its format is '{0}'): choose a file that Huegauge saved")]
    OtherFormat(Quoted),
    /// Not a shade card.
    #[error(
        "this is not a Huegauge shade card: choose a shade card that Huegauge saved, or import a CSV table"
    )]
    NotACard,
    /// Made by a newer program.
    #[error("made by a newer Huegauge (version {found}), this one reads up to {known}: update Huegauge")]
    Newer {
        /// Version of the file.
        found: u64,
        /// Newest version this program reads.
        known: u64,
    },
    /// A version that never was.
    #[error("there is no version {0} of the format: restore the file from a copy")]
    NoSuchVersion(u64),
    /// A value that means nothing.
    #[error("{0}: correct it")]
    Value(String),
    /// It could not be put into words; writing half of it would lose the other half.
    #[error("this cannot be saved ({0}): undo the last change and save again; nothing was overwritten")]
    Unwritten(String),
    /// The folder to write to does not exist.
    #[error("the folder '{0}' does not exist: make it or choose another")]
    NoFolder(String),
    /// The system does not let us write there.
    #[error(
        "you may not write here: choose another folder or change its permissions; nothing was overwritten"
    )]
    Unwritable,
    /// The existing file is marked read-only.
    #[error("this file is read-only: save under another name or make it writable; nothing was overwritten")]
    ReadOnly,
    /// Any other failure of the system while reading.
    #[error("reading failed ({0}): try again or copy the file elsewhere")]
    Reading(String),
    /// Any other failure of the system while writing.
    #[error("writing failed ({0}): choose another folder; nothing was overwritten")]
    Writing(String),
    /// A copy of unsaved work could not be kept; the person chose neither its folder nor its name.
    #[error(
        "unsaved work cannot be kept here ({0}): save often, and make room here or make the folder writable"
    )]
    NotKept(String),
}

/// Who can mend what went wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Fault {
    /// Whoever made the file.
    File,
    /// The person: what was asked for cannot be.
    Entry,
    /// The machine: no room, no memory, a device that failed.
    Machine,
    /// Us: a mistake in the program.
    Program,
}

impl Problem {
    /// Who can mend it.
    pub const fn fault(&self) -> Fault {
        match self {
            Self::Missing
            | Self::NotAFile(_)
            | Self::NoName
            | Self::Dangling(_)
            | Self::Unreadable
            | Self::NoFolder(_)
            | Self::Unwritable
            | Self::ReadOnly => Fault::Entry,
            Self::TooLarge { .. }
            | Self::NotText
            | Self::Empty
            | Self::CutShort
            | Self::OpenQuote
            | Self::Syntax(_)
            | Self::OtherFormat(_)
            | Self::NotACard
            | Self::Newer { .. }
            | Self::NoSuchVersion(_)
            | Self::Value(_) => Fault::File,
            Self::Reading(_) | Self::Writing(_) | Self::NotKept(_) => Fault::Machine,
            Self::Unwritten(_) => Fault::Program,
        }
    }
}

impl FileError {
    /// An error about a whole file.
    pub fn new(path: &Path, problem: Problem) -> Self {
        Self { file: path.display().to_string(), place: None, problem }
    }

    /// The error for a failed read of `path`.
    pub(crate) fn reading(path: &Path, error: &io::Error) -> Self {
        let problem = match error.kind() {
            // A path through a file ("a.ron/b.ron") does not exist either.
            io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => Problem::Missing,
            io::ErrorKind::PermissionDenied => Problem::Unreadable,
            io::ErrorKind::IsADirectory => Problem::NotAFile("a folder"),
            _ => Problem::Reading(error.to_string()),
        };
        Self::new(path, problem)
    }

    /// The error for a failed write to `path`.
    pub(crate) fn writing(path: &Path, error: &io::Error) -> Self {
        let problem = match error.kind() {
            io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => {
                Problem::NoFolder(super::store::folder_of(path).display().to_string())
            }
            io::ErrorKind::PermissionDenied | io::ErrorKind::ReadOnlyFilesystem => Problem::Unwritable,
            _ => Problem::Writing(error.to_string()),
        };
        Self::new(path, problem)
    }

    /// The same failure, of a copy of unsaved work in the recovery folder.
    pub(super) fn of_recovery(self) -> Self {
        let reason = match self.problem {
            Problem::Unwritable | Problem::ReadOnly => "it is not writable".to_owned(),
            Problem::NoFolder(folder) => format!("the folder '{folder}' does not exist"),
            Problem::Writing(reason) => reason,
            other => return Self { problem: other, ..self },
        };
        Self { problem: Problem::NotKept(reason), ..self }
    }
}

impl std::error::Error for FileError {}

impl fmt::Display for FileError {
    /// One line, whatever the file name or the file says.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let place = self.place.as_ref().map(|place| format!(", {place}")).unwrap_or_default();
        // A file without a name is not named.
        let colon = if self.file.is_empty() && place.is_empty() { "" } else { ": " };
        f.write_str(&one_line(&format!("{}{place}{colon}{}", self.file, self.problem)))
    }
}

/// What the parser found, in words for someone who edits the file by hand.
///
/// `within` tells that it is inside a field of ours, so that the file is a project after all.
pub(super) fn in_words(error: &ron::Error, within: bool) -> String {
    use ron::Error;
    let list = |known: &[&str]| known.join(", ");
    match error {
        Error::NoSuchStructField { expected, found, .. } => {
            format!("there is no field '{}' here: use one of {}", quoted(found), list(expected))
        }
        Error::MissingStructField { field, .. } => {
            format!("the field '{field}' is missing: add it, or restore the file from a copy")
        }
        Error::DuplicateStructField { field, .. } => {
            format!("the field '{field}' is here twice: take one out")
        }
        Error::NoSuchEnumVariant { expected, found, .. } => {
            format!("'{}' is not a choice here: use one of {}", quoted(found), list(expected))
        }
        Error::ExpectedFloat | Error::ExpectedInteger | Error::InvalidIntegerDigit { .. } => {
            "a number is expected here: correct it".to_owned()
        }
        Error::IntegerOutOfBounds => "this number is out of range: correct it".to_owned(),
        Error::ExpectedBoolean => "true or false is expected here: correct it".to_owned(),
        Error::ExpectedString => "text in double quotes is expected here: correct it".to_owned(),
        Error::ExpectedStructLike
        | Error::ExpectedNamedStructLike(_)
        | Error::ExpectedDifferentStructName { .. }
            if within =>
        {
            "an opening bracket is expected here: correct it".to_owned()
        }
        Error::ExpectedStructLike
        | Error::ExpectedNamedStructLike(_)
        | Error::ExpectedDifferentStructName { .. } => {
            "this is not a Huegauge project (an opening bracket is expected here): \
             choose a file that Huegauge saved"
                .to_owned()
        }
        Error::InvalidValueForType { expected, found } => {
            format!("{} is expected here, not {}: correct it", quoted(expected), quoted(found))
        }
        other => {
            let what = quoted(&other.to_string());
            format!("this is not RON ({what}): correct it, or restore the file from a copy")
        }
    }
}

/// Whether the parser stopped because the text did.
pub(super) fn at_the_end(error: &ron::error::SpannedError, text: &str) -> bool {
    use ron::Error;
    let last = text.trim_end();
    let lines = last.matches('\n').count() + 1;
    let column = last.rsplit('\n').next().unwrap_or_default().chars().count() + 1;
    let end = error.span.end;
    (end.line, end.col) >= (lines, column) || matches!(error.code, Error::Eof | Error::ExpectedStringEnd)
}
