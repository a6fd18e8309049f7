//! The ICC profile of a picture.

use moxcms::{ColorProfile, DataColorSpace, Layout, ToneCurveEvaluator, ToneReprCurve, TransformOptions};

use super::error::PictureNote;
use crate::photo::{ColourSpace, D65_WHITE, Depth, ICC_WHITE, Matrix3, Samples, bradford};

/// The space the samples are in by their profile, and what had to be assumed. A profile of curves
/// and a matrix (as cameras and phones write) is kept as the picture's own space, so nothing is cut
/// off; one of tables changes the samples, `width` a row, to sRGB.
pub(super) fn apply(
    icc: Option<&[u8]>,
    samples: &mut Samples,
    width: usize,
) -> (ColourSpace, Vec<PictureNote>) {
    let depth = samples.depth();
    let srgb = || ColourSpace::srgb(depth);
    let Some(icc) = icc else {
        return (srgb(), Vec::new());
    };
    let unusable = || (srgb(), vec![PictureNote::ProfileUnusable]);
    let Ok(profile) = ColorProfile::new_from_slice(icc) else {
        return unusable();
    };
    if let Some(space) = curves_and_matrix(&profile, depth) {
        return (space, Vec::new());
    }
    match convert(&profile, samples, width) {
        Some(()) => (srgb(), vec![PictureNote::ConvertedToSrgb]),
        None => unusable(),
    }
}

fn curves_and_matrix(profile: &ColorProfile, depth: Depth) -> Option<ColourSpace> {
    if profile.color_space == DataColorSpace::Gray {
        let curve = evaluator(profile.gray_trc.as_ref()?)?;
        let light = |_, code| f64::from(curve.evaluate_value(code as f32));
        return Some(ColourSpace::new(depth, light, *ColourSpace::srgb(depth).to_xyz()));
    }
    if !profile.is_matrix_shaper() {
        return None;
    }
    let curves = [&profile.red_trc, &profile.green_trc, &profile.blue_trc];
    let [red, green, blue] = curves.map(|curve| curve.as_ref().and_then(evaluator));
    let curves = [red?, green?, blue?];
    let colorants = Matrix3(profile.colorant_matrix().v);
    // The colorants of any sound profile add up to its white, whose Y is 1.
    let white: f64 = colorants.0[1].iter().sum();
    if !colorants.is_finite() || !(0.9..1.1).contains(&white) {
        return None;
    }
    let light = |channel: usize, code: f64| f64::from(curves[channel].evaluate_value(code as f32));
    Some(ColourSpace::new(depth, light, bradford(ICC_WHITE, D65_WHITE)?.after(&colorants)))
}

fn evaluator(curve: &ToneReprCurve) -> Option<Box<dyn ToneCurveEvaluator + Send + Sync>> {
    curve.make_linear_evaluator().ok()
}

/// Turns the samples into sRGB, a row at a time; `None` when the profile does not allow it.
fn convert(profile: &ColorProfile, samples: &mut Samples, width: usize) -> Option<()> {
    if profile.color_space != DataColorSpace::Rgb || width == 0 {
        return None;
    }
    let (srgb, options) = (ColorProfile::new_srgb(), TransformOptions::default());
    match samples {
        Samples::Eight(codes) => {
            let transform = profile.create_transform_8bit(Layout::Rgb, &srgb, Layout::Rgb, options).ok()?;
            let mut row = vec![0; 3 * width];
            for line in codes.chunks_exact_mut(3 * width) {
                transform.transform(line, &mut row).ok()?;
                line.copy_from_slice(&row);
            }
        }
        Samples::Sixteen(codes) => {
            let transform = profile.create_transform_16bit(Layout::Rgb, &srgb, Layout::Rgb, options).ok()?;
            let mut row = vec![0; 3 * width];
            for line in codes.chunks_exact_mut(3 * width) {
                transform.transform(line, &mut row).ok()?;
                line.copy_from_slice(&row);
            }
        }
    }
    Some(())
}
