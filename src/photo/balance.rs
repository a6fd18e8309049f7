//! The light of a photograph, measured on a grey card or white paper and taken out.

use super::doubt;
use super::error::{PhotoError, PhotoWarning};
use super::evenness::{Anchor, Evenness, middle_of};
use super::known::Lift;
use super::light::LightSource;
use super::matrix::{D65_WHITE, Matrix3, bradford};
use super::oklab::xyz_to_oklab;
use super::picture::{Picture, Region};
use super::watch::Watch;

/// A place in the picture whose colour is known: neutral, reflecting this share of the light.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reference {
    /// Where it lies.
    pub region: Region,
    /// Share of the light it reflects, `0.02..=1`.
    pub reflectance: f64,
}

impl Reference {
    /// A photographic grey card reflects 18 % (the trade's standard card; common practice).
    pub const GREY_CARD: f64 = 0.18;
    /// Plain white paper reflects about 85 % (from memory; papers differ by some per cent, and
    /// brightened ones look bluish in daylight).
    pub const WHITE_PAPER: f64 = 0.85;
}

/// The light that was measured.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Light {
    /// XYZ of a perfect white in this light, as the picture shows it, scaled to Y = 1.
    pub white: [f64; 3],
    /// Oklab chroma of that white: 0 for D65, 0.05 for D50, 0.16 for a filament lamp (CIE A).
    pub cast: f64,
    /// What luminances are multiplied by so that the reference has its known reflectance.
    pub exposure: f64,
}

/// How a picture's XYZ becomes XYZ under D65 with a perfect white at Y = 1.
#[derive(Clone, Debug, PartialEq)]
pub struct Balance {
    matrix: Matrix3,
    light: Option<Light>,
    source: LightSource,
    evenness: Evenness,
    lift: Option<Lift>,
    warnings: Vec<PhotoWarning>,
}

/// More of the reference overexposed than this is warned about.
const CLIPPED_SHARE: f64 = 0.01;
/// Relative spread of luminance on the reference above which it is not one surface: sensor noise
/// and paper grain stay below a tenth (our judgement).
const UNEVEN: f64 = 0.15;
/// Mean luminance below which 8-bit steps are coarser than about 5 % (code 26 of 255).
const DARK: f64 = 0.01;
/// Well past a filament lamp (0.16); about a candle.
const STRONG_CAST: f64 = 0.22;
/// Pixels at least this share of the way in from both ends of luminance are averaged, so that a
/// speck of dust or a glint does not count.
const TRIM: f64 = 0.1;
/// Pixels of the reference that are read at most; more add nothing.
const ENOUGH_PIXELS: u64 = 250_000;
/// References that are read at most; a page needs no more to know its light.
pub const MAX_REFERENCES: usize = 12;

/// What was read on one reference.
struct Measured {
    reference: Reference,
    xyz: [f64; 3],
    anchor: Anchor,
    warnings: Vec<PhotoWarning>,
}

impl Balance {
    /// The picture as it is.
    pub(super) const fn as_taken() -> Self {
        Self {
            matrix: Matrix3::IDENTITY,
            light: None,
            source: LightSource::Unknown,
            evenness: Evenness::level([0.0; 2]),
            lift: None,
            warnings: Vec::new(),
        }
    }

    /// The picture as it is, with the warning that no reference was picked.
    pub fn none() -> Self {
        Self { warnings: vec![PhotoWarning::NoReference], ..Self::as_taken() }
    }

    /// Measures the light on one reference; see [`Balance::measure_all`].
    ///
    /// # Errors
    /// As there.
    pub fn measure(picture: &Picture, reference: Reference, watch: &Watch) -> Result<Self, PhotoError> {
        Self::measure_all(picture, &[reference], watch)
    }

    /// Measures the light on references: Bradford adaptation in XYZ from their white (the mean of all) to
    /// D65, then exposure so that the luminance of each is its reflectance. Light that falls off
    /// over the picture is evened out as far as the references tell it (see [`Evenness`]). Without
    /// references this is [`Balance::none`].
    ///
    /// # Errors
    /// [`PhotoError`] when a region cannot be measured, is black, a reflectance is impossible, there are
    /// more than [`MAX_REFERENCES`], or the work was cancelled.
    pub fn measure_all(
        picture: &Picture,
        references: &[Reference],
        watch: &Watch,
    ) -> Result<Self, PhotoError> {
        if references.len() > MAX_REFERENCES {
            return Err(PhotoError::TooManyReferences { found: references.len(), limit: MAX_REFERENCES });
        }
        let Some(first) = references.first() else { return Ok(Self::none()) };
        let all = references.iter().map(|r| measured(picture, *r, watch)).collect::<Result<Vec<_>, _>>()?;
        let (measured, left_out) = usable(all);
        let anchors: Vec<Anchor> = measured.iter().map(|m| m.anchor).collect();
        let (evenness, level) = Evenness::fit(&anchors);
        let whites: Vec<[f64; 3]> = measured.iter().map(|m| m.xyz.map(|v| v / m.xyz[1])).collect();
        let white = [0, 1, 2].map(|k| whites.iter().map(|w| w[k]).sum::<f64>() / whites.len() as f64);
        let adapt = bradford(white, D65_WHITE).ok_or(PhotoError::ReferenceBlack(first.region))?;
        let [_, a, b] = xyz_to_oklab(white).map(f64::from);
        let light = Light { white, cast: a.hypot(b), exposure: (-level).exp() };
        let mut balance =
            Self { matrix: adapt.scaled(light.exposure), light: Some(light), evenness, ..Self::as_taken() };
        measured.iter().flat_map(|m| &m.warnings).for_each(|warning| balance.warn(*warning));
        for region in left_out {
            balance.warn(PhotoWarning::ReferenceLeftOut { region });
        }
        if light.cast > STRONG_CAST {
            balance.warn(PhotoWarning::StrongCast);
        }
        doubt::references(&mut balance, &whites);
        if let [only] = measured.as_slice() {
            doubt::falls_off(&mut balance, picture, only.reference.region, watch)?;
        }
        let kept: Vec<Reference> = measured.iter().map(|m| m.reference).collect();
        doubt::whole_picture(&mut balance, picture, &kept, watch)?;
        Ok(balance)
    }

    /// The same, with what the light is said to have been: it makes the error of colours that nothing corrects
    /// smaller or larger, and counts for nothing once the light was measured.
    pub fn under(self, source: LightSource) -> Self {
        Self { source, ..self }
    }

    /// What the light is said to have been.
    pub const fn source(&self) -> LightSource {
        self.source
    }

    /// Adds a warning, once.
    pub(super) fn warn(&mut self, warning: PhotoWarning) {
        if !self.warnings.contains(&warning) {
            self.warnings.push(warning);
        }
    }

    /// Multiplies all light, as yarns of known colour ask.
    pub(super) fn lift(&mut self, lift: Lift) {
        self.matrix = self.matrix.scaled(lift.gain);
        self.lift = Some(lift);
    }

    /// The light, when it was measured.
    pub const fn light(&self) -> Option<Light> {
        self.light
    }

    /// How the light falls off over the picture, as far as it is known and evened out.
    pub const fn evenness(&self) -> &Evenness {
        &self.evenness
    }

    /// What light is multiplied by because yarns of known colour ask for it; `None` without any.
    pub fn known_gain(&self) -> Option<f64> {
        self.lift.map(|lift| lift.gain)
    }

    /// How many times as large as usual the error of colour is, by what yarns of known colour look like:
    /// the lamp and the camera that shift them shift the others too. 1 without any.
    pub fn colour_error_factor(&self) -> f64 {
        self.lift.map_or(1.0, |lift| lift.colour_error)
    }

    /// The middle of the known yarns, in pixels.
    pub(super) fn known_middle(&self) -> Option<[f64; 2]> {
        self.lift.map(|lift| lift.middle)
    }

    /// What makes the correction less certain.
    pub fn warnings(&self) -> &[PhotoWarning] {
        &self.warnings
    }

    /// Corrected XYZ (D65) from the picture's XYZ, where the light is that of the references' middle; elsewhere times
    /// [`Evenness::gain_at`].
    pub const fn matrix(&self) -> &Matrix3 {
        &self.matrix
    }
}

/// Reads one reference.
fn measured(picture: &Picture, reference: Reference, watch: &Watch) -> Result<Measured, PhotoError> {
    let Reference { region, reflectance } = reference;
    if !(0.02..=1.0).contains(&reflectance) {
        return Err(PhotoError::Reflectance(reflectance));
    }
    picture.check_region(region)?;
    let (mut pixels, clipped) = read_xyz(picture, region, watch)?;
    let xyz = trimmed_mean(&mut pixels);
    if xyz[1] < 1e-5 {
        return Err(PhotoError::ReferenceBlack(region));
    }
    let anchor = Anchor { at: middle_of(region), log_light: (xyz[1] / reflectance).ln() };
    let warnings = warnings(&pixels, xyz[1], clipped);
    Ok(Measured { reference, xyz, anchor, warnings })
}

/// The references that are not overexposed, and where those are that are left out; all of them when
/// none is good.
fn usable(all: Vec<Measured>) -> (Vec<Measured>, Vec<Region>) {
    let is_clipped =
        |m: &Measured| m.warnings.iter().any(|w| matches!(w, PhotoWarning::ReferenceClipped { .. }));
    if all.iter().all(is_clipped) {
        return (all, Vec::new());
    }
    let (clipped, good): (Vec<_>, Vec<_>) = all.into_iter().partition(is_clipped);
    (good, clipped.iter().map(|m| m.reference.region).collect())
}

/// XYZ of the region's pixels (thinned when there are more than enough) and the share clipped.
fn read_xyz(picture: &Picture, region: Region, watch: &Watch) -> Result<(Vec<[f64; 3]>, f64), PhotoError> {
    let step = (region.area() as f64 / ENOUGH_PIXELS as f64).sqrt().ceil().max(1.0) as usize;
    let mut pixels = Vec::new();
    let mut clipped = 0_usize;
    for y in (region.y..region.y + region.height).step_by(step) {
        watch.check()?;
        for x in (region.x..region.x + region.width).step_by(step) {
            let (rgb, at_end) = picture.linear(x, y);
            clipped += usize::from(at_end);
            pixels.push(picture.to_xyz().apply(rgb.map(f64::from)));
        }
    }
    let share = clipped as f64 / pixels.len().max(1) as f64;
    Ok((pixels, share))
}

/// Mean of the pixels between the trimmed ends of luminance; sorts them.
fn trimmed_mean(pixels: &mut [[f64; 3]]) -> [f64; 3] {
    pixels.sort_unstable_by(|p, q| p[1].total_cmp(&q[1]));
    let cut = (pixels.len() as f64 * TRIM) as usize;
    let kept = &pixels[cut..pixels.len() - cut];
    let mut sum = [0.0; 3];
    for pixel in kept {
        for (total, value) in sum.iter_mut().zip(pixel) {
            *total += value;
        }
    }
    sum.map(|total| total / kept.len().max(1) as f64)
}

fn warnings(pixels: &[[f64; 3]], luminance: f64, clipped: f64) -> Vec<PhotoWarning> {
    let mut warnings = Vec::new();
    if clipped > CLIPPED_SHARE {
        warnings.push(PhotoWarning::ReferenceClipped { share: clipped });
    }
    if luminance < DARK {
        warnings.push(PhotoWarning::ReferenceDark);
    }
    let mean = pixels.iter().map(|p| p[1]).sum::<f64>() / pixels.len().max(1) as f64;
    let variance = pixels.iter().map(|p| (p[1] - mean).powi(2)).sum::<f64>() / pixels.len().max(1) as f64;
    let spread = variance.sqrt() / mean;
    if spread > UNEVEN {
        warnings.push(PhotoWarning::ReferenceUneven { spread });
    }
    warnings
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::photo::{ColourSpace, Depth, Samples};
    use std::sync::atomic::AtomicBool;

    fn picture(pixel: impl Fn(u32, u32) -> [u8; 3]) -> Picture {
        let pixels: Vec<[u8; 3]> =
            (0..40).flat_map(|y| (0..40).map(move |x| (x, y))).map(|(x, y)| pixel(x, y)).collect();
        Picture::new(40, 40, Samples::Eight(pixels.into_flattened()), ColourSpace::srgb(Depth::Eight))
            .unwrap()
    }

    fn measure(picture: &Picture, reflectance: f64) -> Result<Balance, PhotoError> {
        let reference = Reference { region: picture.bounds(), reflectance };
        Balance::measure(picture, reference, &Watch::nobody())
    }

    #[test]
    fn a_grey_card_comes_out_grey_at_its_reflectance() {
        let warm = picture(|_, _| [190, 140, 90]);
        let balance = measure(&warm, 0.18).unwrap();
        let (rgb, _) = warm.linear(0, 0);
        let xyz = balance.matrix().apply(warm.to_xyz().apply(rgb.map(f64::from)));
        for (value, white) in xyz.iter().zip(D65_WHITE) {
            assert!((value - 0.18 * white).abs() < 1e-9, "{xyz:?}");
        }
        assert_eq!(balance.warnings(), []);
    }

    #[test]
    fn a_bad_reference_is_refused_or_warned_about() {
        let black = picture(|_, _| [0; 3]);
        assert!(matches!(measure(&black, 0.18), Err(PhotoError::ReferenceBlack(_))));
        let white = picture(|_, _| [255; 3]);
        assert_eq!(measure(&white, 0.0), Err(PhotoError::Reflectance(0.0)));
        assert!(measure(&white, f64::NAN).is_err());
        let clipped = measure(&white, 0.85).unwrap();
        assert_eq!(clipped.warnings(), [PhotoWarning::ReferenceClipped { share: 1.0 }]);
        let edge = picture(|x, _| if x < 20 { [200; 3] } else { [60; 3] });
        let uneven = measure(&edge, 0.18).unwrap();
        assert!(uneven.warnings().iter().any(|w| matches!(w, PhotoWarning::ReferenceUneven { .. })));
        let red = picture(|_, _| [200, 40, 20]);
        assert_eq!(measure(&red, 0.18).unwrap().warnings(), [PhotoWarning::StrongCast]);
    }

    #[test]
    fn measuring_stops_when_asked() {
        let cancel = AtomicBool::new(true);
        let grey = picture(|_, _| [120; 3]);
        let reference = Reference { region: grey.bounds(), reflectance: 0.18 };
        let watch = Watch::new(&cancel, &|_| {});
        assert_eq!(Balance::measure(&grey, reference, &watch), Err(PhotoError::Cancelled));
    }
}
