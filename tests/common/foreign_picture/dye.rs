//! Reflectances of dyed fibre: absorbing bands added to the fibre's own over its scattering
//! (Kubelka and Munk 1931), or a patch of the published 24-patch chart.

use super::super::dice::Dice;
use crate::common::spectra::{BANDS, Spectrum, chart24};

/// Reflectance of a thick layer whose absorption is this many times its scattering.
fn thick_layer(absorption: f64) -> f64 {
    1.0 + absorption - (absorption * absorption + 2.0 * absorption).sqrt()
}

/// Absorption over scattering that gives this reflectance.
fn absorption_of(reflectance: f64) -> f64 {
    (1.0 - reflectance).powi(2) / (2.0 * reflectance)
}

fn nanometres(band: usize) -> f64 {
    380.0 + 10.0 * band as f64
}

/// Undyed fibre: from cream, which takes the short waves, to nearly white.
fn undyed(dice: &mut Dice) -> Spectrum {
    let top = dice.between(0.66, 0.86);
    let yellowing = dice.between(0.10, 0.55);
    std::array::from_fn(|band| {
        let short = (-(nanometres(band) - 380.0) / 70.0).exp();
        top * (1.0 - yellowing * short)
    })
}

/// A dye's absorbing band: steeper on its long side, as dyes are.
fn band(peak: f64, short_width: f64, long_width: f64) -> impl Fn(f64) -> f64 {
    move |nm| {
        let width = if nm < peak { short_width } else { long_width };
        (-0.5 * ((nm - peak) / width).powi(2)).exp()
    }
}

/// Fibre dyed with one to three dyes, of depths from a tint to a deep shade. `shift` moves every dye along
/// the spectrum, so that two sets of dyes have no shade in common.
pub fn dyed(dice: &mut Dice, shift: f64) -> Spectrum {
    let fibre = undyed(dice);
    // Yellow, orange, red, violet, blue and turquoise dyes by where they absorb most.
    let peaks = [415.0, 470.0, 515.0, 555.0, 600.0, 655.0];
    let count = 1 + (dice.share() * 3.0) as usize;
    let depth = 10_f64.powf(dice.between(-0.9, 1.0));
    let dyes: Vec<_> = (0..count)
        .map(|_| {
            let peak = dice.one_of(&peaks) + shift + dice.between(-12.0, 12.0);
            let share = dice.between(0.15, 1.0);
            (share, band(peak, dice.between(35.0, 80.0), dice.between(22.0, 45.0)))
        })
        .collect();
    // A little of everything: no fibre reflects all of a band.
    let grey = dice.between(0.0, 0.04) * depth;
    std::array::from_fn(|place| {
        let taken: f64 = dyes.iter().map(|(share, dye)| share * dye(nanometres(place))).sum();
        thick_layer(absorption_of(fibre[place]) + depth * taken + grey)
    })
}

/// A patch of the chart (ISO 17321-1), measured, without its four lightest and darkest greys' extremes.
pub fn charted(dice: &mut Dice) -> Spectrum {
    let patches = chart24();
    let place = (dice.share() * patches.len() as f64) as usize;
    patches[place].1
}

/// A grey that is nearly even: what cards and papers are.
pub fn neutral(reflectance: f64, tilt: f64) -> Spectrum {
    std::array::from_fn(|band| {
        let along = band as f64 / (BANDS - 1) as f64 - 0.5;
        (reflectance * (1.0 + tilt * along)).clamp(0.0, 1.0)
    })
}
