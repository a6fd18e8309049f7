//! What can be wrong with a picture file, in one line that names the file and the mend.

use std::fmt;
use std::io;

use image::ImageError;
use thiserror::Error;

use crate::file::error::Fault;
use crate::plain_text::{one_line, quoted};

/// Why a picture could not be opened.
#[derive(Clone, Debug, PartialEq)]
pub struct PictureError {
    /// The file, as the user named it.
    pub file: String,
    /// What is wrong and how to mend it.
    pub problem: PictureProblem,
}

impl std::error::Error for PictureError {}

impl fmt::Display for PictureError {
    /// One line, whatever the file name or the decoder says.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&one_line(&format!("{}: {}", self.file, self.problem)))
    }
}

/// What is wrong with a picture file.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum PictureProblem {
    /// There is no such file.
    #[error("there is no such file: check the name and the folder")]
    Missing,
    /// A folder, device or pipe where a file is needed.
    #[error("this is {0}, not a file: name a picture")]
    NotAFile(&'static str),
    /// The system does not let us read it.
    #[error("you may not read this file: change its permissions or copy it to a folder of your own")]
    Unreadable,
    /// Any other failure of the system.
    #[error("reading failed ({0}): try again or copy the file elsewhere")]
    Reading(String),
    /// Nothing in it.
    #[error("the file is empty (0 bytes): copy it again from the camera")]
    Empty,
    /// More bytes than any picture that is read.
    #[error("the file has {size_mb} MB, more than the {limit_mb} MB that are read: save a smaller picture")]
    FileTooLarge {
        /// Its size in MB.
        size_mb: u64,
        /// The limit in MB.
        limit_mb: u64,
    },
    /// More pixels than are read.
    #[error(
        "the picture has {width} x {height} pixels ({} megapixels), more than the 50 that are read: scale it down first",
        u64::from(*width) * u64::from(*height) / 1_000_000
    )]
    TooManyPixels {
        /// Width in pixels.
        width: u32,
        /// Height in pixels.
        height: u32,
    },
    /// None of the formats that are read.
    #[error("this is not a JPEG, PNG, WebP or TIFF picture: save it as one of these")]
    UnknownFormat,
    /// The format many phones use unless told otherwise.
    #[error(
        "this is a HEIF or AVIF picture, which is not read: let the phone take JPEG pictures, or save it as JPEG"
    )]
    PhoneFormat,
    /// Inks instead of light.
    #[error(
        "the picture is in printing inks (CMYK), whose colours depend on the press: save it as RGB (sRGB)"
    )]
    Cmyk,
    /// Floating point.
    #[error("the picture holds floating-point light: save it with 8 or 16 bits a channel")]
    Float,
    /// The data ends before the picture does.
    #[error("the picture is cut short: copy it again from the camera")]
    CutShort,
    /// The decoder cannot make sense of it.
    #[error("the picture is damaged ({0}): copy it again from the camera or save it anew")]
    Corrupt(String),
    /// A variant of the format that is not read.
    #[error("this kind of picture is not read ({0}): save it as a plain JPEG or PNG")]
    Unsupported(String),
    /// The decoder would need more memory than allowed.
    #[error("the picture would need more than 1 GB of memory to open: scale it down first")]
    TooMuchMemory,
    /// The asker stopped the work.
    #[error("stopped as asked")]
    Cancelled,
}

impl PictureProblem {
    /// Who can mend it.
    pub const fn fault(&self) -> Fault {
        match self {
            Self::Missing | Self::NotAFile(_) | Self::Unreadable | Self::Cancelled => Fault::Entry,
            Self::Reading(_) => Fault::Machine,
            Self::Empty
            | Self::FileTooLarge { .. }
            | Self::TooManyPixels { .. }
            | Self::UnknownFormat
            | Self::PhoneFormat
            | Self::Cmyk
            | Self::Float
            | Self::CutShort
            | Self::Corrupt(_)
            | Self::Unsupported(_)
            | Self::TooMuchMemory => Fault::File,
        }
    }

    pub(super) fn of_io(error: &io::Error) -> Self {
        match error.kind() {
            io::ErrorKind::NotFound | io::ErrorKind::NotADirectory => Self::Missing,
            io::ErrorKind::PermissionDenied => Self::Unreadable,
            io::ErrorKind::IsADirectory => Self::NotAFile("a folder"),
            io::ErrorKind::UnexpectedEof => Self::CutShort,
            _ => Self::Reading(quoted(&error.to_string())),
        }
    }

    pub(super) fn of_image(error: &ImageError) -> Self {
        match error {
            ImageError::IoError(error) => Self::of_io(error),
            ImageError::Limits(_) => Self::TooMuchMemory,
            ImageError::Unsupported(what) => Self::Unsupported(quoted(&what.to_string())),
            // The decoders wrap an early end in errors of their own.
            other if ends_early(other) => Self::CutShort,
            other => Self::Corrupt(quoted(&other.to_string())),
        }
    }
}

/// Whether an error, or one that it stems from, is the end of the file.
fn ends_early(error: &(dyn std::error::Error + 'static)) -> bool {
    let is_end = |error: &(dyn std::error::Error + 'static)| {
        error.downcast_ref::<io::Error>().is_some_and(|e| e.kind() == io::ErrorKind::UnexpectedEof)
    };
    std::iter::successors(Some(error), |error| error.source()).any(is_end)
}

/// What the user should know about how a picture was read.
#[derive(Clone, Copy, Debug, Error, PartialEq, Eq)]
pub enum PictureNote {
    /// The profile is damaged or of a kind that is not read.
    #[error("the colour profile of the picture cannot be used: it is read as sRGB, so colours may be off")]
    ProfileUnusable,
    /// A table profile was turned into sRGB.
    #[error("the picture was converted to sRGB by its colour profile: very vivid colours may be cut off")]
    ConvertedToSrgb,
}
