//! Photographs on disk: JPEG, PNG, WebP and TIFF, turned upright and with their colour profile.
//!
//! What a file claims is checked before anything is decoded, so a picture that lies about its size
//! costs no memory: at most 50 megapixels, which is about 150 MB at 8 bits a channel and 300 MB at
//! 16, and as much again while decoding and turning.

mod error;
mod jpeg;
mod png;
mod profile;

use std::fs::{self, File};
use std::io::{BufRead, BufReader, Cursor, Read, Seek};
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::Path;

use image::{DynamicImage, ExtendedColorType, ImageDecoder, ImageFormat, ImageReader, Limits};

pub use error::{PictureError, PictureNote, PictureProblem};

use crate::photo::{Picture, Samples, Watch};

/// Largest picture that is opened, in pixels.
pub const MAX_PIXELS: u64 = 50_000_000;
/// Largest file that is opened, in bytes: 50 megapixels of uncompressed 16-bit red, green, blue and
/// alpha are 400 MB.
const MAX_FILE_BYTES: u64 = 500 << 20;
/// What a decoder may take at most: the largest picture at 16 bits, and the same again to work in.
const MAX_DECODER_BYTES: u64 = 1 << 30;
/// What the PNG decoder may unpack besides the picture itself, its profile above all: a few kilobytes of
/// file can hold a gigabyte. Table profiles of scanners have up to a few megabytes; a line of the
/// picture counts too.
const MAX_PNG_EXTRAS: u64 = 32 << 20;
/// Largest colour profile that is looked at, in bytes.
const MAX_PROFILE: usize = 16 << 20;

/// A picture and what had to be assumed about it.
#[derive(Clone, Debug, PartialEq)]
pub struct Loaded {
    /// The picture, upright.
    pub picture: Picture,
    /// What the user should know about how it was read.
    pub notes: Vec<PictureNote>,
}

/// Opens a photograph. Slow (up to a few seconds at 50 megapixels); the cancel flag is looked at
/// between the steps, as the decoders cannot be stopped.
///
/// # Errors
/// [`PictureError`] naming the file and the mend.
pub fn load_picture(path: &Path, watch: &Watch) -> Result<Loaded, PictureError> {
    load(path, watch).map_err(|problem| PictureError { file: path.display().to_string(), problem })
}

/// Opens a photograph that is in memory already; `name` stands for the file in errors.
///
/// # Errors
/// [`PictureError`] naming the picture and the mend.
pub fn read_picture(name: &str, bytes: &[u8], watch: &Watch) -> Result<Loaded, PictureError> {
    let picture = if bytes.is_empty() {
        Err(PictureProblem::Empty)
    } else {
        read(BufReader::new(Cursor::new(bytes)), watch)
    };
    picture.map_err(|problem| PictureError { file: name.to_owned(), problem })
}

fn load(path: &Path, watch: &Watch) -> Result<Loaded, PictureProblem> {
    read(open(path)?, watch)
}

fn read(mut file: BufReader<impl Read + Seek>, watch: &Watch) -> Result<Loaded, PictureProblem> {
    let format = format_of(&mut file)?;
    if format == ImageFormat::Jpeg {
        jpeg::check(&mut file)?;
    }
    stop(watch)?;
    // The decoders are others' code fed with anybody's bytes: should one give up in a panic, the
    // knitter still gets an answer.
    let read = catch_unwind(AssertUnwindSafe(|| decode(file, format, watch)));
    read.unwrap_or(Err(PictureProblem::Corrupt("the decoder gave up".to_owned())))
}

fn open(path: &Path) -> Result<BufReader<File>, PictureProblem> {
    let kind = fs::metadata(path).map_err(|e| PictureProblem::of_io(&e))?;
    if kind.is_dir() {
        return Err(PictureProblem::NotAFile("a folder"));
    }
    // Opening a pipe would wait for a writer that may never come.
    if !kind.is_file() {
        return Err(PictureProblem::NotAFile("a device or pipe"));
    }
    match kind.len() {
        0 => Err(PictureProblem::Empty),
        size if size > MAX_FILE_BYTES => {
            Err(PictureProblem::FileTooLarge { size_mb: size >> 20, limit_mb: MAX_FILE_BYTES >> 20 })
        }
        _ => Ok(BufReader::new(File::open(path).map_err(|e| PictureProblem::of_io(&e))?)),
    }
}

/// The format by the file's first bytes; its name does not matter.
fn format_of(file: &mut impl BufRead) -> Result<ImageFormat, PictureProblem> {
    let start = file.fill_buf().map_err(|e| PictureProblem::of_io(&e))?;
    let known = [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::WebP, ImageFormat::Tiff];
    let format = image::guess_format(start).ok().filter(|format| known.contains(format));
    format.ok_or_else(|| {
        // ISO base media files name their brand from byte 4 on.
        let phone = start.get(4..12).is_some_and(|b| {
            b.starts_with(b"ftyp")
                && [b"heic", b"heix", b"mif1", b"avif"].iter().any(|brand| b.ends_with(*brand))
        });
        if phone { PictureProblem::PhoneFormat } else { PictureProblem::UnknownFormat }
    })
}

fn decode(
    mut file: BufReader<impl Read + Seek>,
    format: ImageFormat,
    watch: &Watch,
) -> Result<Loaded, PictureProblem> {
    let is_png = format == ImageFormat::Png;
    let claims_profile = is_png && png::has_profile(&mut file).map_err(|e| PictureProblem::of_io(&e))?;
    file.rewind().map_err(|e| PictureProblem::of_io(&e))?;
    let mut limits = Limits::no_limits();
    limits.max_alloc = Some(if is_png { MAX_PNG_EXTRAS } else { MAX_DECODER_BYTES });
    let mut reader = ImageReader::with_format(file, format);
    reader.limits(limits);
    let mut decoder = reader.into_decoder().map_err(|e| PictureProblem::of_image(&e))?;
    let (width, height) = decoder.dimensions();
    if u64::from(width) * u64::from(height) > MAX_PIXELS {
        return Err(PictureProblem::TooManyPixels { width, height });
    }
    match decoder.original_color_type() {
        ExtendedColorType::Cmyk8 | ExtendedColorType::Cmyk16 => return Err(PictureProblem::Cmyk),
        ExtendedColorType::Rgb32F | ExtendedColorType::Rgba32F => return Err(PictureProblem::Float),
        _ => {}
    }
    // A damaged orientation or profile is no reason to refuse the picture.
    let orientation = decoder.orientation().ok();
    let icc = decoder.icc_profile().ok().flatten().filter(|profile| profile.len() <= MAX_PROFILE);
    // One that was not unpacked, or is too large, is one that cannot be used.
    let icc = icc.or_else(|| claims_profile.then(Vec::new));
    watch.report(0.1);
    let mut image = DynamicImage::from_decoder(decoder).map_err(|e| PictureProblem::of_image(&e))?;
    stop(watch)?;
    watch.report(0.7);
    if let Some(orientation) = orientation {
        image.apply_orientation(orientation);
    }
    stop(watch)?;
    watch.report(0.8);
    let (width, height) = (image.width(), image.height());
    let cover = cover(&image);
    let mut samples = samples(image);
    let (space, notes) = profile::apply(icc.as_deref(), &mut samples, width as usize);
    let picture = Picture::new(width, height, samples, space).and_then(|picture| match cover {
        Some(cover) => picture.with_cover(cover),
        None => Ok(picture),
    });
    let picture = picture.map_err(|error| PictureProblem::Corrupt(error.to_string()))?;
    watch.report(1.0);
    Ok(Loaded { picture, notes })
}

/// How much each pixel covers what lies behind it; `None` when the format tells nothing of it.
fn cover(image: &DynamicImage) -> Option<Vec<u8>> {
    match image {
        DynamicImage::ImageLumaA8(image) => Some(image.pixels().map(|p| p.0[1]).collect()),
        DynamicImage::ImageRgba8(image) => Some(image.pixels().map(|p| p.0[3]).collect()),
        DynamicImage::ImageLumaA16(image) => Some(image.pixels().map(|p| (p.0[1] >> 8) as u8).collect()),
        DynamicImage::ImageRgba16(image) => Some(image.pixels().map(|p| (p.0[3] >> 8) as u8).collect()),
        _ => None,
    }
}

/// The codes of a decoded picture, greys spread over three channels. See-through places keep the
/// colour the file holds for them.
fn samples(image: DynamicImage) -> Samples {
    use DynamicImage::{ImageLuma16, ImageLumaA16, ImageRgb16, ImageRgba16};
    match image {
        ImageLuma16(_) | ImageLumaA16(_) | ImageRgb16(_) | ImageRgba16(_) => {
            Samples::Sixteen(image.into_rgb16().into_raw())
        }
        other => Samples::Eight(other.into_rgb8().into_raw()),
    }
}

fn stop(watch: &Watch) -> Result<(), PictureProblem> {
    if watch.is_cancelled() { Err(PictureProblem::Cancelled) } else { Ok(()) }
}
