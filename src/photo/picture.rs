//! A decoded photograph, kept as it came: 8 or 16 bits a channel and the space they are in.
//!
//! Keeping the camera's own codes (3 bytes a pixel for 8 bits, so 150 MB at 50 megapixels) and
//! turning them into light only where they are read costs less memory than linear floats and
//! loses nothing: a wide-gamut picture is never squeezed into sRGB first.

use super::error::PhotoError;
use super::matrix::Matrix3;
use crate::colour::transfer;
use std::fmt;

/// A rectangle in pixels from the top left of the oriented picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Region {
    /// Left edge.
    pub x: u32,
    /// Top edge.
    pub y: u32,
    /// Width.
    pub width: u32,
    /// Height.
    pub height: u32,
}

impl Region {
    /// Least side of a region that is measured, in pixels.
    pub const LEAST_SIDE: u32 = 4;

    /// A region from its left, top, width and height.
    pub const fn new(x: u32, y: u32, width: u32, height: u32) -> Self {
        Self { x, y, width, height }
    }

    /// Pixels in it.
    pub const fn area(&self) -> u64 {
        self.width as u64 * self.height as u64
    }

    /// Whether the pixel lies in it.
    pub const fn contains(&self, x: u32, y: u32) -> bool {
        x >= self.x && y >= self.y && x - self.x < self.width && y - self.y < self.height
    }
}

impl fmt::Display for Region {
    /// `x,y,width,height`, the form it is typed in.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{},{},{},{}", self.x, self.y, self.width, self.height)
    }
}

/// Bits a channel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Depth {
    /// 256 steps.
    Eight,
    /// 65 536 steps.
    Sixteen,
}

impl Depth {
    const fn levels(self) -> usize {
        match self {
            Self::Eight => 1 << 8,
            Self::Sixteen => 1 << 16,
        }
    }
}

/// Red, green and blue codes in turn, row by row from the top left.
#[derive(Clone, Debug, PartialEq)]
pub enum Samples {
    /// 8 bits a channel.
    Eight(Vec<u8>),
    /// 16 bits a channel.
    Sixteen(Vec<u16>),
}

impl Samples {
    /// Their depth.
    pub const fn depth(&self) -> Depth {
        match self {
            Self::Eight(_) => Depth::Eight,
            Self::Sixteen(_) => Depth::Sixteen,
        }
    }

    fn len(&self) -> usize {
        match self {
            Self::Eight(codes) => codes.len(),
            Self::Sixteen(codes) => codes.len(),
        }
    }
}

/// What the codes of a picture mean: a tone curve a channel, then a matrix to XYZ under D65.
#[derive(Clone, Debug, PartialEq)]
pub struct ColourSpace {
    /// Linear light of every code, `0..=1`.
    curves: [Vec<f32>; 3],
    to_xyz: Matrix3,
}

/// Linear sRGB to XYZ (D65), IEC 61966-2-1 with the exact rationals of CSS Color 4 section 18.
const SRGB_TO_XYZ: Matrix3 = Matrix3([
    [506_752.0 / 1_228_815.0, 87_881.0 / 245_763.0, 12_673.0 / 70_218.0],
    [87_098.0 / 409_605.0, 175_762.0 / 245_763.0, 12_673.0 / 175_545.0],
    [7_918.0 / 409_605.0, 87_881.0 / 737_289.0, 1_001_167.0 / 1_053_270.0],
]);

impl ColourSpace {
    /// A space from its tone curve (`curve(channel, code)`, code and light `0..=1`) and the matrix
    /// from linear red, green, blue to XYZ under D65 with white at Y = 1. A curve that leaves the
    /// numbers counts as black there.
    pub fn new(depth: Depth, curve: impl Fn(usize, f64) -> f64, to_xyz: Matrix3) -> Self {
        let top = (depth.levels() - 1) as f64;
        let curves = [0, 1, 2].map(|channel| {
            let light = |code| curve(channel, f64::from(code) / top) as f32;
            let tame = |v: f32| if v.is_finite() { v.clamp(0.0, 1.0) } else { 0.0 };
            (0..depth.levels() as u32).map(|code| tame(light(code))).collect()
        });
        let to_xyz = if to_xyz.is_finite() { to_xyz } else { SRGB_TO_XYZ };
        Self { curves, to_xyz }
    }

    /// Linear red, green, blue to XYZ under D65.
    pub const fn to_xyz(&self) -> &Matrix3 {
        &self.to_xyz
    }

    /// sRGB (IEC 61966-2-1), which a picture without a profile is taken to be in.
    pub fn srgb(depth: Depth) -> Self {
        Self::new(depth, |_, code| transfer::to_light(code), SRGB_TO_XYZ)
    }
}

/// A photograph, upright.
#[derive(Clone, Debug, PartialEq)]
pub struct Picture {
    width: u32,
    height: u32,
    samples: Samples,
    space: ColourSpace,
    /// How much each pixel covers what lies behind it, 255 for all; `None` when nothing is see-through.
    cover: Option<Vec<u8>>,
}

impl Picture {
    /// A picture from its samples.
    ///
    /// # Errors
    /// [`PhotoError::Dimensions`] when the samples do not fill `width` x `height`, the picture is
    /// empty, or the space was made for another depth.
    pub fn new(width: u32, height: u32, samples: Samples, space: ColourSpace) -> Result<Self, PhotoError> {
        let expected = (width as usize).saturating_mul(height as usize);
        let fits = expected.checked_mul(3) == Some(samples.len())
            && space.curves[0].len() == samples.depth().levels();
        if expected == 0 || !fits {
            return Err(PhotoError::Dimensions { width, height, expected, found: samples.len() / 3 });
        }
        Ok(Self { width, height, samples, space, cover: None })
    }

    /// The same picture, partly see-through: how much each pixel covers, 255 for all. Readings of yarn take
    /// no notice of it.
    ///
    /// # Errors
    /// [`PhotoError::Dimensions`] unless there is one for each pixel.
    pub fn with_cover(self, cover: Vec<u8>) -> Result<Self, PhotoError> {
        let (width, height) = (self.width, self.height);
        let expected = width as usize * height as usize;
        if cover.len() != expected {
            return Err(PhotoError::Dimensions { width, height, expected, found: cover.len() });
        }
        let cover = cover.iter().any(|share| *share < u8::MAX).then_some(cover);
        Ok(Self { cover, ..self })
    }

    /// Whether some of it is see-through.
    pub const fn has_cover(&self) -> bool {
        self.cover.is_some()
    }

    /// Adds `share` of the light of row `y` (inside the picture) to `light`, and of what it covers to
    /// `cover`, which is empty when the picture has none.
    pub(super) fn add_row(&self, y: u32, share: f32, light: &mut [[f32; 3]], cover: &mut [f32]) {
        let width = self.width as usize;
        let row = y as usize * width..(y as usize + 1) * width;
        let covers = self.cover.as_ref().and_then(|cover| cover.get(row.clone()));
        let Some(covers) = covers else {
            self.each_in_row(row, |x, pixel| {
                light[x][0] += share * pixel[0];
                light[x][1] += share * pixel[1];
                light[x][2] += share * pixel[2];
            });
            return;
        };
        self.each_in_row(row, |x, pixel| {
            let share = share * f32::from(covers[x]) / 255.0;
            light[x] = [0, 1, 2].map(|channel| light[x][channel] + share * pixel[channel]);
            cover[x] += share;
        });
    }

    /// Linear red, green and blue of each pixel of a range, with its place in it.
    fn each_in_row(&self, row: std::ops::Range<usize>, mut each: impl FnMut(usize, [f32; 3])) {
        let [red, green, blue] = &self.space.curves;
        match &self.samples {
            Samples::Eight(codes) => {
                for (x, [r, g, b]) in codes.as_chunks().0[row].iter().enumerate() {
                    each(x, [red[usize::from(*r)], green[usize::from(*g)], blue[usize::from(*b)]]);
                }
            }
            Samples::Sixteen(codes) => {
                for (x, [r, g, b]) in codes.as_chunks().0[row].iter().enumerate() {
                    each(x, [red[usize::from(*r)], green[usize::from(*g)], blue[usize::from(*b)]]);
                }
            }
        }
    }

    /// Width in pixels, 1 or more.
    pub const fn width(&self) -> u32 {
        self.width
    }

    /// Height in pixels, 1 or more.
    pub const fn height(&self) -> u32 {
        self.height
    }

    /// Bits a channel.
    pub const fn depth(&self) -> Depth {
        self.samples.depth()
    }

    /// The whole of it.
    pub const fn bounds(&self) -> Region {
        Region::new(0, 0, self.width, self.height)
    }

    /// Refuses a region that cannot be measured on this picture.
    ///
    /// # Errors
    /// [`PhotoError::RegionOutside`] or [`PhotoError::RegionTooSmall`].
    pub fn check_region(&self, region: Region) -> Result<(), PhotoError> {
        let inside = |start: u32, size: u32, end: u32| start.checked_add(size).is_some_and(|e| e <= end);
        if !inside(region.x, region.width, self.width) || !inside(region.y, region.height, self.height) {
            return Err(PhotoError::RegionOutside { region, width: self.width, height: self.height });
        }
        if region.width.min(region.height) < Region::LEAST_SIDE {
            return Err(PhotoError::RegionTooSmall { region, least: Region::LEAST_SIDE });
        }
        Ok(())
    }

    /// Matrix from linear red, green, blue to XYZ (D65).
    pub(super) const fn to_xyz(&self) -> &Matrix3 {
        &self.space.to_xyz
    }

    /// Linear red, green, blue of a pixel, `0..=1`, and whether a channel is cut off at its end.
    ///
    /// The pixel must be inside the picture; outside it reads black.
    #[inline]
    pub(super) fn linear(&self, x: u32, y: u32) -> ([f32; 3], bool) {
        let index = y as usize * self.width as usize + x as usize;
        let [red, green, blue] = &self.space.curves;
        let light = |r: usize, g: usize, b: usize| [red[r], green[g], blue[b]];
        match &self.samples {
            Samples::Eight(codes) => {
                let [r, g, b] = codes.as_chunks().0.get(index).copied().unwrap_or_default();
                (light(r.into(), g.into(), b.into()), at_end([r, g, b].map(|v| u16::from(v) * 257)))
            }
            Samples::Sixteen(codes) => {
                let [r, g, b] = codes.as_chunks().0.get(index).copied().unwrap_or_default();
                (light(r.into(), g.into(), b.into()), at_end([r, g, b]))
            }
        }
    }
}

/// From this code up a channel counts as cut off: lossy coding blurs the end by a step.
const TOP: u16 = 254 * 257;
/// A channel at zero beside one this bright is cut off too: the colour lies outside the space.
const BRIGHT: u16 = 64 * 257;

/// Whether a channel is at the end of its range, so that the true colour lies beyond.
const fn at_end([r, g, b]: [u16; 3]) -> bool {
    let most = if r > g { r } else { g };
    let most = if b > most { b } else { most };
    let none = r == 0 || g == 0 || b == 0;
    most >= TOP || (none && most >= BRIGHT)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn grey(width: u32, height: u32) -> Picture {
        let samples = Samples::Eight(vec![128; 3 * (width * height) as usize]);
        Picture::new(width, height, samples, ColourSpace::srgb(Depth::Eight)).unwrap()
    }

    #[test]
    fn a_picture_that_lies_about_its_size_is_refused() {
        let samples = Samples::Eight(vec![0; 15]);
        assert!(Picture::new(2, 3, samples.clone(), ColourSpace::srgb(Depth::Eight)).is_err());
        assert!(Picture::new(0, 0, Samples::Eight(vec![]), ColourSpace::srgb(Depth::Eight)).is_err());
        assert!(Picture::new(5, 1, samples, ColourSpace::srgb(Depth::Sixteen)).is_err());
    }

    #[test]
    fn regions_are_held_inside_the_picture() {
        let picture = grey(20, 10);
        assert!(picture.check_region(Region::new(0, 0, 20, 10)).is_ok());
        let outside = picture.check_region(Region::new(10, 0, 11, 5)).unwrap_err().to_string();
        assert!(outside.contains("10,0,11,5") && outside.contains("20 x 10"), "{outside}");
        assert!(picture.check_region(Region::new(u32::MAX, 0, 5, 5)).is_err());
        assert!(picture.check_region(Region::new(0, 0, 3, 10)).is_err());
    }

    #[test]
    fn white_is_clipped_and_grey_is_not() {
        let (light, clipped) = grey(4, 4).linear(1, 1);
        assert!(!clipped && (light[0] - 0.2158).abs() < 1e-3, "{light:?}");
        let white = Picture::new(1, 1, Samples::Eight(vec![255; 3]), ColourSpace::srgb(Depth::Eight));
        assert!(white.unwrap().linear(0, 0).1);
    }
}
