//! How far a reading may be off.
//!
//! The stated error is one standard deviation in the sense that about 68 % of readings lie within it (and
//! 95 % within twice it), in CIEDE2000 from the colour the fibre itself has under D65. Its figures were fitted on the
//! tuning half of pictures made by `tests/common/foreign_picture` and checked on the other half
//! (`tests/reference/photo_error.rs`), which shares no light, dye, ply or seed with it.
//!
//! An error of light (shadow, uneven light, a card that is not what it says) makes a colour lighter or
//! darker in its own shade; an error of colour (the camera's eyes, a lamp's spectrum) moves hue and
//! chroma. Both are carried through CIEDE2000 at the colour itself, so that a pale yarn, on which a
//! shadow shows most, and a vivid one, on which the lamp does, get their own figures.

use super::balance::{Balance, Light};
use super::error::PhotoWarning;
use super::evenness::middle_of;
use super::light::LightSource;
use super::picture::{Picture, Region};
use crate::colour::Colour;
use std::sync::LazyLock;

/// How far a reading may be off, in CIEDE2000 units, by source; each one standard deviation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ErrorEstimate {
    /// The light: what its spectrum does that no correction can take out, and how it may fall off between
    /// the reference and the yarn.
    pub light: f64,
    /// Telling the fibre's colour from the shadows between strands and plies; more when the region is small.
    pub reading: f64,
    /// The camera's own colour rendering.
    pub camera: f64,
    /// Overexposure, deep shade and doubts about the reference: 3 each (our judgement).
    pub flaws: f64,
}

impl ErrorEstimate {
    /// All sources together, as independent errors add.
    pub fn total(&self) -> f64 {
        [self.light, self.reading, self.camera, self.flaws].iter().map(|e| e * e).sum::<f64>().sqrt()
    }
}

/// Error of the logarithm of light on a flat surface: the card's reflectance and tilt, the camera's tones.
const FLAT: f64 = 0.05;
/// More of it per unit of texture (see [`Relief`]): shadows differ from what is taken out.
const TEXTURED: f64 = 0.17;
/// The same when a yarn of known colour in the picture gave the light.
const FLAT_BY_YARN: f64 = 0.04;
const TEXTURED_BY_YARN: f64 = 0.07;
/// How much the logarithm of light changes over the picture's diagonal where no reference tells, and when
/// it falls off over the one there is.
const FALLING_OFF: f64 = 0.24;
const FALLING_OFF_SEEN: f64 = 0.55;
/// The camera's error of colour in Oklab a and b: on a grey, and per unit of chroma.
const CAMERA_GREY: f64 = 0.007;
const CAMERA_CHROMA: f64 = 0.182;
/// How many times as large it gets under a lamp whose cast is a filament lamp's half-corrected, 0.08.
const LAMP: f64 = 1.25;
const LAMP_CAST: f64 = 0.08;
/// No cast counts as more than this many of it.
const MOST_CAST: f64 = 1.6;
/// Without a reference: Oklab a and b by which the light may shift any colour, and its logarithm of light.
/// Where nobody knows the lamp it may be a warm one. Chosen on the tuning half with the other in sight, which is no blind
/// check of these any more.
const fn uncorrected(source: LightSource) -> (f64, f64) {
    match source {
        LightSource::Daylight => (0.015, 0.20),
        LightSource::WhiteLamp => (0.04, 0.30),
        LightSource::WarmLamp | LightSource::Unknown => (0.06, 0.30),
    }
}
/// The share of the shadows' darkening taken out, in logarithm of light per unit of texture.
///
/// Two generators that know nothing of each other agree on it: readings of round and plied strands were
/// darker than the fibre by 0.3 to 0.5 times their texture.
const SHADOW: f64 = 0.4;

/// The light and dark of a surface within a region.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Relief {
    /// Standard deviation of light over its mean, the slow change over the region taken out: 0 for a flat
    /// surface, about 0.2 for round strands, 0.4 for plies in low light.
    pub texture: f64,
}

impl Relief {
    /// The relief of a surface that is seen from above: Oklab lightness cubed stands for light.
    pub(super) fn of(pixels: &[[f32; 3]], columns: usize) -> Self {
        const PLACES: usize = 4;
        let columns = columns.max(1);
        let rows = (pixels.len() / columns).max(1);
        let place = |i: usize| {
            (i % columns) * PLACES / columns + PLACES * ((i / columns) * PLACES / rows).min(PLACES - 1)
        };
        let light = |pixel: &[f32; 3]| f64::from(pixel[0].max(0.0)).powi(3);
        let mut sums = [[0.0_f64; 3]; PLACES * PLACES];
        for (i, pixel) in pixels.iter().enumerate() {
            let v = light(pixel);
            for (total, part) in sums[place(i)].iter_mut().zip([1.0, v, v * v]) {
                *total += part;
            }
        }
        let whole = sums.iter().fold([0.0; 3], |all, one| [0, 1, 2].map(|k| all[k] + one[k]));
        let mean = whole[1] / whole[0].max(1.0);
        let inside: f64 =
            sums.iter().filter(|s| s[0] > 0.0).map(|[n, sum, squares]| squares - sum * sum / n).sum();
        let texture = (inside.max(0.0) / whole[0].max(1.0)).sqrt() / mean.max(1e-6);
        Self { texture: if texture.is_finite() { texture.min(1.0) } else { 0.0 } }
    }

    /// What the middle of the lit surface is multiplied by, in light, to be the fibre's own.
    pub fn shadow_gain(self) -> f64 {
        (SHADOW * self.texture).exp()
    }
}

/// What is known of a reading when its error is stated.
pub(super) struct Circumstances<'a> {
    pub picture: &'a Picture,
    pub region: Region,
    pub balance: &'a Balance,
    pub relief: Relief,
    pub warnings: &'a [PhotoWarning],
    /// Standard error of the middle by the number of pixels, in CIEDE2000.
    pub sampling: f64,
}

/// CIEDE2000 for a change of the logarithm of light, the mean of lighter and darker.
fn by_light(colour: Colour, log_light: f64) -> f64 {
    let (l, a, b) = colour.to_oklab();
    let lit = |by: f64| {
        let scale = (by / 3.0).exp();
        // Not past white: there the range of colours ends, and the difference with it.
        Colour::from_oklab((l * scale).min(1.0), a * scale, b * scale)
    };
    let small = 0.05;
    let darker = colour.difference(lit(-small));
    let lighter = if l * (small / 3.0).exp() > 1.0 { darker } else { colour.difference(lit(small)) };
    f64::midpoint(lighter, darker) / small * log_light
}

/// CIEDE2000 for a change of Oklab a and b by this much, in the mean square of all directions.
fn by_colour(colour: Colour, distance: f64) -> f64 {
    let (l, a, b) = colour.to_oklab();
    let small = 0.01;
    let moved = [(small, 0.0), (0.0, small), (-small, 0.0), (0.0, -small)];
    let squares: f64 =
        moved.iter().map(|(da, db)| colour.difference(Colour::from_oklab(l, a + da, b + db)).powi(2)).sum();
    (squares / 4.0).sqrt() / small * distance
}

/// The camera's error of Oklab a and b on this colour.
fn camera_error(colour: Colour) -> f64 {
    CAMERA_GREY.hypot(CAMERA_CHROMA * colour.chroma())
}

/// The error of Oklab a and b on this colour by camera and lamp together.
pub(super) fn colour_error(colour: Colour, light: Light) -> f64 {
    camera_error(colour) * lamp_times(light)
}

/// How many times as large a lamp makes the camera's error.
fn lamp_times(light: Light) -> f64 {
    1.0 + LAMP * (light.cast / LAMP_CAST).min(MOST_CAST)
}

/// The smallest and the largest error of readings that have no flaw, in CIEDE2000, with a grey card (or white paper) in the
/// picture and without: over the colours of yarn that a screen can show, smooth and plied ones, daylight and warm lamps.
/// From the same figures as each reading's own error.
pub fn expected_errors(with_card: bool) -> (f64, f64) {
    static BOTH: LazyLock<[(f64, f64); 2]> = LazyLock::new(|| [false, true].map(expected));
    BOTH[usize::from(with_card)]
}

fn expected(with_card: bool) -> (f64, f64) {
    let tones = [0.3, 0.5, 0.7, 0.9];
    let chromas = [0.0, 0.05, 0.1, 0.15, 0.2];
    let hues = (0..12).map(|n| 30.0 * f64::from(n));
    let colours = hues.flat_map(|hue| {
        tones
            .into_iter()
            .flat_map(move |l| chromas.into_iter().filter_map(move |c| Colour::new(l, c, hue).ok()))
    });
    let colours = colours.filter(|colour| colour.is_in_gamut());
    let own = |colour: Colour, texture: f64, lamp: f64, far: f64| {
        let camera = by_colour(colour, camera_error(colour));
        let reading = by_light(colour, FLAT.hypot(TEXTURED * texture));
        let light = if with_card {
            let spectrum = camera * (lamp * lamp - 1.0).sqrt();
            spectrum.hypot(by_light(colour, FALLING_OFF * far))
        } else {
            let source = if far > 0.0 { LightSource::Unknown } else { LightSource::Daylight };
            let (shifted, lit) = uncorrected(source);
            by_colour(colour, shifted).hypot(by_light(colour, lit))
        };
        camera.hypot(reading).hypot(light)
    };
    colours.fold((f64::MAX, 0.0), |(least, most), colour| {
        // Near the card in daylight and smooth; half the picture from it, plied, under the warmest lamp that counts.
        let (good, bad) = (own(colour, 0.05, 1.0, 0.0), own(colour, 0.4, 1.0 + LAMP * MOST_CAST, 0.5));
        (least.min(good), f64::max(most, bad))
    })
}

/// The error of a reading of this colour.
pub(super) fn estimate(colour: Colour, found: &Circumstances) -> ErrorEstimate {
    let Circumstances { balance, relief, .. } = found;
    let by_yarn = balance.known_middle();
    let (flat, textured) =
        if by_yarn.is_some() { (FLAT_BY_YARN, TEXTURED_BY_YARN) } else { (FLAT, TEXTURED) };
    let reading = by_light(colour, flat.hypot(textured * relief.texture)).hypot(found.sampling);
    let own = camera_error(colour) * balance.colour_error_factor();
    let camera = by_colour(colour, own);
    let diagonal = f64::from(found.picture.width()).hypot(f64::from(found.picture.height()));
    let is_seen = balance.warnings().iter().any(|w| matches!(w, PhotoWarning::LightFallsOff { .. }));
    let falling_off = if is_seen { FALLING_OFF_SEEN } else { FALLING_OFF };
    let (shifted, lit) = uncorrected(balance.source());
    let light = match (balance.light(), by_yarn) {
        (Some(light), _) => {
            let times = lamp_times(light);
            let spectrum = by_colour(colour, own * (times * times - 1.0).sqrt());
            let far = balance.evenness().unknown_distance(found.region, by_yarn) / diagonal;
            spectrum.hypot(by_light(colour, falling_off * far))
        }
        (None, Some(from)) => {
            let [x, y] = middle_of(found.region);
            let far = (x - from[0]).hypot(y - from[1]) / diagonal;
            by_colour(colour, shifted).hypot(by_light(colour, falling_off * far))
        }
        (None, None) => by_colour(colour, shifted).hypot(by_light(colour, lit)),
    };
    let flaws = found.warnings.iter().filter(|warning| warning.is_flaw()).count() as f64;
    ErrorEstimate { light, reading, camera, flaws: 3.0 * flaws.sqrt() }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_to_be_expected_is_wider_without_a_card() {
        let ((least, most), (bare_least, bare_most)) = (expected_errors(true), expected_errors(false));
        println!("{least:.1} {most:.1} {bare_least:.1} {bare_most:.1}");
        assert!(least < most && least < bare_least && bare_least < bare_most);
        assert!((1.0..5.0).contains(&least) && (15.0..30.0).contains(&most), "{least} {most}");
    }
}
