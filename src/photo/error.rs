//! What can go wrong with a photograph, in words a knitter can act on.

use super::picture::Region;
use thiserror::Error;

/// Why a photograph, or a region of it, cannot be read.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum PhotoError {
    /// The samples do not fill the picture, or there are none.
    #[error("a picture of {width} x {height} pixels needs {expected} pixels, not {found}")]
    Dimensions {
        /// Width in pixels.
        width: u32,
        /// Height in pixels.
        height: u32,
        /// Pixels needed; 0 when the size itself is impossible.
        expected: usize,
        /// Pixels given.
        found: usize,
    },
    /// A region that leaves the picture.
    #[error(
        "the region {region} leaves the picture, which is {width} x {height} pixels: draw it inside (x,y,width,height from the top left)"
    )]
    RegionOutside {
        /// The region asked for.
        region: Region,
        /// Picture width in pixels.
        width: u32,
        /// Picture height in pixels.
        height: u32,
    },
    /// A region with too few pixels to measure.
    #[error("the region {region} has too few pixels to measure: draw it at least {least} x {least} pixels")]
    RegionTooSmall {
        /// The region asked for.
        region: Region,
        /// Least side in pixels.
        least: u32,
    },
    /// A reflectance no card has.
    #[error(
        "the reflectance of the reference must be between 0.02 and 1, not {0}: a grey card is 0.18, white paper about 0.85"
    )]
    Reflectance(f64),
    /// The reference is black in the picture.
    #[error(
        "the reference at {0} is black in the picture, so the light cannot be measured on it: choose a grey or white place"
    )]
    ReferenceBlack(Region),
    /// The asker stopped the work.
    #[error("stopped as asked")]
    Cancelled,
}

/// What makes a reading less certain.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum PhotoWarning {
    /// The light was not corrected.
    #[error(
        "no grey card or white paper was picked: the colour of the light is still in this reading, expect it to be far off"
    )]
    NoReference,
    /// The reference is overexposed.
    #[error(
        "{:.0} % of the reference is overexposed, so the correction is wrong: take the picture darker or pick a grey card", share * 100.0
    )]
    ReferenceClipped {
        /// Share of its pixels, `0..=1`.
        share: f64,
    },
    /// The reference is not one evenly lit surface.
    #[error(
        "the reference is uneven (its light varies by {:.0} %): pick a smaller place on the card, without edges or shadow", spread * 100.0
    )]
    ReferenceUneven {
        /// Standard deviation of its luminance over its mean.
        spread: f64,
    },
    /// The reference is very dark in the picture.
    #[error(
        "the reference is very dark in the picture, so the correction is coarse: take the picture in more light"
    )]
    ReferenceDark,
    /// The light is further from daylight than lamps are, or the reference is not neutral.
    #[error(
        "the reference looks strongly coloured: is it really grey or white? Under light this strong, expect large errors"
    )]
    StrongCast,
    /// Pixels of the yarn region with a channel cut off at its end.
    #[error(
        "{:.0} % of the region is beyond what the picture can hold (too light, or too vivid in this light): take the picture darker or in daylight, or draw elsewhere", share * 100.0
    )]
    Clipped {
        /// Share of the pixels, `0..=1`.
        share: f64,
    },
    /// The yarn region is so dark that the picture has few steps left.
    #[error(
        "{:.0} % of the region is deep shade: the reading is coarse; turn the yarn to the light or draw elsewhere", share * 100.0
    )]
    DeepShade {
        /// Share of the pixels, `0..=1`.
        share: f64,
    },
    /// The yarn region is small.
    #[error("only {pixels} pixels were read: draw a larger region or take the picture closer")]
    FewPixels {
        /// Pixels read.
        pixels: usize,
    },
    /// More than one colour in the region.
    #[error("the region holds clearly different colours: one shade cannot stand for all of them")]
    SeveralColours,
}
