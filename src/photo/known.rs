//! A yarn of known colour in the picture: it tells how light the surface of a yarn comes out in this
//! light, its shadows included, which no card can.
//!
//! Only light is taken from it. Its hue and chroma also differ from what they should be, but by what the
//! camera and the lamp do to this one colour: carried over to others they made readings worse (mean
//! CIEDE2000 over the tuning half of the generated pictures: 5.6 by light alone, 7.4 by all three). What they
//! do tell is how badly this lamp and this camera show dyed fibre, which no card can either: a lamp of a few
//! narrow bands may look as white as daylight. So they make the stated error larger or smaller.

use super::balance::Balance;
use super::certainty::colour_error;
use super::error::{PhotoError, PhotoWarning};
use super::evenness::middle_of;
use super::picture::{Picture, Region};
use super::sample::sample_yarn;
use super::watch::Watch;
use crate::colour::{Colour, Lab};

/// A yarn in the picture whose colour is known, from its maker or a measurement.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnownYarn {
    /// Where it lies.
    pub region: Region,
    /// The colour it has.
    pub colour: Colour,
}

/// A colour as it is typed: `#rrggbb`, or CIE L\*a\*b\* (D65) as three numbers with commas between.
///
/// # Errors
/// [`PhotoError::ColourText`] naming what was typed.
pub fn known_colour(text: &str) -> Result<Colour, PhotoError> {
    let wrong = || PhotoError::ColourText(text.trim().chars().take(60).collect());
    if !text.contains(',') {
        return Colour::from_hex(text).map_err(|_| wrong());
    }
    let numbers: Result<Vec<f64>, _> = text.split(',').map(|part| part.trim().parse()).collect();
    match numbers.as_deref() {
        Ok(&[l, a, b]) if (0.0..=100.0).contains(&l) && a.abs() <= 150.0 && b.abs() <= 150.0 => {
            Ok(Colour::from_lab(Lab::new(l, a, b)))
        }
        _ => Err(wrong()),
    }
}

/// What yarns of known colour told.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Lift {
    /// What light is multiplied by besides.
    pub gain: f64,
    /// The middle of the known yarns, in pixels.
    pub middle: [f64; 2],
    /// How many times as large as usual the error of colour is, by their hue and chroma; 1 where no
    /// reference tells the light.
    pub colour_error: f64,
}

/// How many known yarns the usual error of colour weighs as much as. One was best over the tuning half of the
/// generated pictures: the shares within the stated error then differ least from lamp to lamp (by 10 % about
/// 68 %; by 12 % when known yarns say nothing of it).
const USUAL: f64 = 1.0;
/// No known yarn is off by more than this many times the usual error; one that is, is another yarn.
const MOST_OFF: f64 = 3.0;

/// More light or less than this, times, and the yarn is not the one it is said to be (our judgement:
/// shadows and tones make up to about 1.4 in generated pictures).
const MOST_GAIN: f64 = 2.0;
/// CIEDE2000 from the colour said to be, its lightness made the same: three standard deviations of the
/// camera's error.
const FAR_OFF: f64 = 15.0;
/// Two known yarns that ask for light that differs by this, times, cannot both be right.
const APART: f64 = 1.5;

impl Balance {
    /// This correction, with the light set by yarns of known colour: the mean, in logarithms, of what each
    /// asks for. Without any, nothing changes.
    ///
    /// # Errors
    /// [`PhotoError`] when a yarn cannot be read or is black, or the work was cancelled.
    pub fn with_known(
        mut self,
        picture: &Picture,
        known: &[KnownYarn],
        watch: &Watch,
    ) -> Result<Self, PhotoError> {
        let mut logs = Vec::new();
        let mut middle = [0.0; 2];
        let mut off = Vec::new();
        for yarn in known {
            let read = sample_yarn(picture, yarn.region, &self, watch)?.colour;
            let (found, asked) = (read.lightness(), yarn.colour.lightness());
            if found < 0.02 || asked < 0.02 {
                return Err(PhotoError::KnownBlack(yarn.region));
            }
            let gain = 3.0 * (asked / found).ln();
            logs.push(gain);
            let (_, a, b) = read.to_oklab();
            let same = Colour::from_oklab(asked, a * asked / found, b * asked / found);
            let difference = same.difference(yarn.colour);
            if let Some(light) = self.light() {
                let (_, a, b) = same.to_oklab();
                let (_, known_a, known_b) = yarn.colour.to_oklab();
                off.push((a - known_a).hypot(b - known_b) / colour_error(yarn.colour, light));
            }
            if self.light().is_some() && (gain.abs() > MOST_GAIN.ln() || difference > FAR_OFF) {
                self.warn(PhotoWarning::KnownUnlikely { region: yarn.region });
            }
            let [x, y] = middle_of(yarn.region);
            middle = [middle[0] + x / known.len() as f64, middle[1] + y / known.len() as f64];
        }
        if logs.is_empty() {
            return Ok(self);
        }
        let (least, most) =
            logs.iter().fold((f64::MAX, f64::MIN), |(least, most), log| (log.min(least), log.max(most)));
        if most - least > APART.ln() {
            self.warn(PhotoWarning::KnownDisagree { times: (most - least).exp() });
        }
        let gain = (logs.iter().sum::<f64>() / logs.len() as f64).exp();
        let squares: f64 = off.iter().map(|times| times.min(MOST_OFF).powi(2)).sum();
        let colour_error = ((USUAL + squares) / (USUAL + off.len() as f64)).sqrt();
        self.lift(Lift { gain, middle, colour_error });
        Ok(self)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::photo::{ColourSpace, Depth, Reference, Samples};

    /// A grey card beside a yarn of this sRGB code, and the correction by both when the yarn is said to be
    /// `known`.
    fn factor(code: [u8; 3], known: Colour) -> f64 {
        let pixel = |i: usize| if i % 80 < 40 { [118; 3] } else { code };
        let codes: Vec<u8> = (0..80 * 40).flat_map(pixel).collect();
        let picture = Picture::new(80, 40, Samples::Eight(codes), ColourSpace::srgb(Depth::Eight)).unwrap();
        let card = Reference { region: Region::new(2, 2, 36, 36), reflectance: 0.18 };
        let balance = Balance::measure(&picture, card, &Watch::nobody()).unwrap();
        assert_eq!(balance.colour_error_factor(), 1.0);
        let yarn = KnownYarn { region: Region::new(42, 2, 36, 36), colour: known };
        balance.with_known(&picture, &[yarn], &Watch::nobody()).unwrap().colour_error_factor()
    }

    #[test]
    fn a_known_yarn_that_looks_right_makes_the_error_smaller_and_one_that_does_not_larger() {
        let red = Colour::from_srgb8([150, 60, 50]);
        let right = factor([150, 60, 50], red);
        assert!((0.70..0.80).contains(&right), "{right}: half of the usual variance is left");
        let wrong = factor([150, 90, 50], red);
        assert!(wrong > 1.2 && wrong <= f64::midpoint(1.0, MOST_OFF * MOST_OFF).sqrt(), "{wrong}");
    }
}
