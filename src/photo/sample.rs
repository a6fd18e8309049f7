//! The colour of a yarn, read off a region of a photograph.

use super::balance::Balance;
use super::cells::cone_matrix;
use super::certainty::{Circumstances, ErrorEstimate, Relief, estimate};
use super::error::{PhotoError, PhotoWarning};
use super::matrix::apply_f32;
use super::oklab::cones_to_oklab;
use super::picture::{Picture, Region};
use super::spread::Spread;
use super::watch::Watch;
use crate::colour::Colour;
use crate::yarn::VariationKind;
use rayon::prelude::*;

/// The band of lightness, as shares of the region's pixels from dark to light, that a yarn's colour
/// is read from: below it lie the shadows between strands and plies, above it the highlights
/// (our choice; it gave the least error over generated yarn pictures).
const BAND: std::ops::Range<f64> = 0.25..0.90;
/// Pixels read at most; more change nothing.
const ENOUGH_PIXELS: u64 = 1_000_000;
/// Fewer pixels than this are warned about: a strand or two.
const FEW_PIXELS: usize = 400;
/// Overexposed share above which the band itself begins to be touched.
const CLIPPED_SHARE: f64 = 0.02;
/// Luminance in the picture (white 1) below which 8-bit codes are coarse: about code 16 of 255.
const SHADE: f32 = 0.005;
/// Share of shade pixels above which the colour is read in shade.
const SHADE_SHARE: f64 = 0.5;

/// What a yarn in a photograph looks like.
#[derive(Clone, Debug, PartialEq)]
pub struct YarnSample {
    /// The fibre's own colour under D65, as a maker's measured shade is: that of the lit surface with the
    /// shadows between strands and plies taken out.
    pub colour: Colour,
    /// What the lit surface looks like under D65: the median in Oklab of the middle band of lightness.
    pub surface: Colour,
    /// How deep the shadows on it are.
    pub relief: Relief,
    /// How much the colour varies.
    pub spread: Spread,
    /// How far the reading may be off.
    pub error: ErrorEstimate,
    /// Pixels read.
    pub pixels: usize,
    /// What makes it less certain, the light's warnings included.
    pub warnings: Vec<PhotoWarning>,
}

impl YarnSample {
    /// How much darker than the fibre the lit surface is, in CIE L*.
    pub fn shadow_lstar(&self) -> f64 {
        self.colour.lstar() - self.surface.lstar()
    }
}

/// Reads the yarn in `region`.
///
/// # Errors
/// [`PhotoError`] when the region cannot be measured or the work was cancelled.
pub fn sample_yarn(
    picture: &Picture,
    region: Region,
    balance: &Balance,
    watch: &Watch,
) -> Result<YarnSample, PhotoError> {
    picture.check_region(region)?;
    let step = (region.area() as f64 / ENOUGH_PIXELS as f64).sqrt().ceil().max(1.0) as u32;
    let Reading { mut pixels, clipped, shade } = read(picture, region, balance, step, watch)?;
    let count = pixels.len();
    let relief = Relief::of(&pixels, region.width.div_ceil(step) as usize);
    pixels.par_sort_unstable_by(|p, q| p[0].total_cmp(&q[0]));
    let at = |share: f64| ((count as f64 * share) as usize).min(count);
    let band = &mut pixels[at(BAND.start)..at(BAND.end).max(at(BAND.start) + 1)];
    let deviation = standard_deviation(band);
    let [l, a, b] = [0, 1, 2].map(|axis| f64::from(median(band, axis)));
    let spread = Spread::measure(picture, region, balance, watch)?;

    let share = |n: usize| n as f64 / count as f64;
    let mut warnings = balance.warnings().to_vec();
    if share(clipped) > CLIPPED_SHARE {
        warnings.push(PhotoWarning::Clipped { share: share(clipped) });
    }
    if share(shade) > SHADE_SHARE {
        warnings.push(PhotoWarning::DeepShade { share: share(shade) });
    }
    if count < FEW_PIXELS {
        warnings.push(PhotoWarning::FewPixels { pixels: count });
    }
    if spread.kind == VariationKind::LongChanges {
        warnings.push(PhotoWarning::SeveralColours);
    }
    // Spots and stretches of other colours are no shadows.
    let shaded = matches!(spread.kind, VariationKind::Solid | VariationKind::Heathered);
    let lighter = if shaded { relief.shadow_gain().cbrt() } else { 1.0 };
    let colour = Colour::from_oklab(l * lighter, a * lighter, b * lighter);
    if l * lighter > WHITE {
        warnings.push(PhotoWarning::TooLight { lstar: lstar(l * lighter) });
    }
    // Neighbouring pixels share a fibre: about one in nine is independent. One CIEDE2000 unit is
    // about 0.01 in Oklab; the median's standard error is 1.25 times the mean's.
    let sampling = 100.0 * 1.25 * deviation / (count as f64 / 9.0).max(1.0).sqrt();
    let found = Circumstances { picture, region, balance, relief, warnings: &warnings, sampling };
    let error = estimate(colour, &found);
    let surface = Colour::from_oklab(l, a, b);
    Ok(YarnSample { colour, surface, relief, spread, error, pixels: count, warnings })
}

/// Oklab lightness above which a reading is lighter than a perfect white beyond rounding.
const WHITE: f64 = 1.005;

/// CIE L* of a grey of this Oklab lightness, beyond white too: Oklab lightness is the cube root of Y.
fn lstar(lightness: f64) -> f64 {
    116.0 * lightness - 16.0
}

/// Oklab `[l, a, b]` of every `step`th pixel of the region, light corrected, row by row. Lightness
/// passes 1 in highlights brighter than a perfect white.
///
/// # Errors
/// [`PhotoError`] when the region cannot be measured or the work was cancelled.
pub fn to_oklab(
    picture: &Picture,
    region: Region,
    balance: &Balance,
    step: u32,
    watch: &Watch,
) -> Result<Vec<[f32; 3]>, PhotoError> {
    picture.check_region(region)?;
    Ok(read(picture, region, balance, step.max(1), watch)?.pixels)
}

struct Reading {
    pixels: Vec<[f32; 3]>,
    clipped: usize,
    shade: usize,
}

fn read(
    picture: &Picture,
    region: Region,
    balance: &Balance,
    step: u32,
    watch: &Watch,
) -> Result<Reading, PhotoError> {
    let matrix = cone_matrix(picture, balance);
    let evenness = balance.evenness();
    let gain_step = evenness.gain_step().powi(step as i32) as f32;
    let luminance = picture.to_xyz().to_f32()[1];
    let columns = region.width.div_ceil(step) as usize;
    let rows = region.height.div_ceil(step) as usize;
    let mut pixels = vec![[0.0_f32; 3]; columns * rows];
    let counts: Vec<(usize, usize)> = pixels
        .par_chunks_mut(columns)
        .enumerate()
        .map(|(row, line)| {
            watch.check()?;
            let y = region.y + row as u32 * step;
            let (mut clipped, mut shade) = (0, 0);
            let mut gain = evenness.gain_at(f64::from(region.x), f64::from(y)) as f32;
            for (column, pixel) in line.iter_mut().enumerate() {
                let (rgb, at_end) = picture.linear(region.x + column as u32 * step, y);
                *pixel = cones_to_oklab(apply_f32(&matrix, rgb).map(|cone| cone * gain));
                gain *= gain_step;
                clipped += usize::from(at_end);
                let light = luminance[0] * rgb[0] + luminance[1] * rgb[1] + luminance[2] * rgb[2];
                shade += usize::from(light < SHADE);
            }
            Ok((clipped, shade))
        })
        .collect::<Result<_, PhotoError>>()?;
    let (clipped, shade) = counts.iter().fold((0, 0), |sum, row| (sum.0 + row.0, sum.1 + row.1));
    Ok(Reading { pixels, clipped, shade })
}

/// Median of one coordinate; reorders the pixels, which must not be empty.
fn median(pixels: &mut [[f32; 3]], axis: usize) -> f32 {
    let middle = pixels.len() / 2;
    let (_, pixel, _) = pixels.select_nth_unstable_by(middle, |p, q| p[axis].total_cmp(&q[axis]));
    pixel[axis]
}

/// Root of the summed variances of the coordinates.
fn standard_deviation(pixels: &[[f32; 3]]) -> f64 {
    let count = pixels.len().max(1) as f64;
    let variance = |axis: usize| {
        let mean = pixels.iter().map(|p| f64::from(p[axis])).sum::<f64>() / count;
        pixels.iter().map(|p| (f64::from(p[axis]) - mean).powi(2)).sum::<f64>() / count
    };
    (0..3).map(variance).sum::<f64>().sqrt()
}
