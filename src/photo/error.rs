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
    /// More references than are read.
    #[error(
        "{found} references are more than the {limit} that are read: three or four at the edges of the picture are enough"
    )]
    TooManyReferences {
        /// References given.
        found: usize,
        /// The most.
        limit: usize,
    },
    /// Text that is no colour.
    #[error("'{0}' is no colour: write it as #rrggbb, or as L*, a*, b* with commas between, e.g. 52, 10, -7")]
    ColourText(String),
    /// A yarn of known colour that is black, in the picture or by what is known of it.
    #[error("the known yarn at {0} is black, so it tells nothing of the light: choose a lighter one")]
    KnownBlack(Region),
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
    /// A reference that is overexposed beside others that are not.
    #[error("the reference at {region} is overexposed and was left out")]
    ReferenceLeftOut {
        /// Where it lies.
        region: Region,
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
    /// With the reference as said, much of the picture would be lighter than anything is.
    #[error(
        "{:.0} % of the picture would be lighter than a perfect white: the reference reflects less than the {:.0} % it is said to, or lies in shadow", share * 100.0, reflectance * 100.0
    )]
    BeyondWhite {
        /// Share of the picture, `0..=1`.
        share: f64,
        /// What the first reference is said to reflect.
        reflectance: f64,
    },
    /// A reference that is said to be dark and is the lightest thing in a well-lit picture.
    #[error(
        "the reference is the lightest thing in the picture, though said to reflect {:.0} %: is it white paper?", reflectance * 100.0
    )]
    LightestIsReference {
        /// What it is said to reflect.
        reflectance: f64,
    },
    /// The light differs more between references than over any one table.
    #[error(
        "by the references the light differs {times:.1} times over the picture: is one of them not what it is said to be, or in shadow?"
    )]
    ReferencesDisagree {
        /// Lightest over darkest.
        times: f64,
    },
    /// The references have different colours.
    #[error(
        "the references differ in colour: the light comes from lamps of two colours, or one of them is not grey or white"
    )]
    ReferencesDiffer,
    /// The light falls off over the picture, and was evened out as far as the references tell.
    #[error(
        "the light differs {times:.2} times between the references: {}",
        if *in_plane { "evened out by a plane through them" } else { "evened out along the line through them; a third, beside it, tells the rest" }
    )]
    UnevenLight {
        /// Lightest over darkest.
        times: f64,
        /// Whether it is known in both directions.
        in_plane: bool,
    },
    /// The light falls off over the only reference, so that it may over the picture.
    #[error(
        "the light falls off over the reference; over the whole picture that would be {times:.1} times: mark a second and a third reference at other places, or light the table evenly"
    )]
    LightFallsOff {
        /// Lightest over darkest over the picture, carried on from the reference.
        times: f64,
    },
    /// A yarn of known colour that looks different.
    #[error("the yarn at {region} does not look like the colour it is said to be: check it and its place")]
    KnownUnlikely {
        /// Where it lies.
        region: Region,
    },
    /// Yarns of known colour that ask for different light.
    #[error(
        "the known yarns ask for light that differs {times:.1} times: is one of them in shadow, or another yarn?"
    )]
    KnownDisagree {
        /// Most over least.
        times: f64,
    },
    /// The reading is lighter than a perfect white.
    #[error(
        "this reads as L* {lstar:.0}, lighter than a perfect white (100), which no yarn is: the reference is not what it is said to be or in shadow, or the yarn glares"
    )]
    TooLight {
        /// CIE L* that was read.
        lstar: f64,
    },
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

impl PhotoWarning {
    /// Whether it makes the error of a reading larger; the others say what was done, or are in the error already.
    pub(super) const fn is_flaw(&self) -> bool {
        match self {
            Self::ReferenceClipped { .. }
            | Self::ReferenceUneven { .. }
            | Self::ReferenceDark
            | Self::StrongCast
            | Self::BeyondWhite { .. }
            | Self::LightestIsReference { .. }
            | Self::ReferencesDisagree { .. }
            | Self::ReferencesDiffer
            | Self::KnownUnlikely { .. }
            | Self::KnownDisagree { .. }
            | Self::TooLight { .. }
            | Self::Clipped { .. }
            | Self::DeepShade { .. } => true,
            Self::NoReference
            | Self::ReferenceLeftOut { .. }
            | Self::UnevenLight { .. }
            | Self::LightFallsOff { .. }
            | Self::FewPixels { .. }
            | Self::SeveralColours => false,
        }
    }
}
