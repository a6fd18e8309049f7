//! A yarn of known colour in the picture: it tells how light the surface of a yarn comes out in this
//! light, its shadows included, which no card can.
//!
//! Only light is taken from it. Its hue and chroma also differ from what they should be, but by what the
//! camera and the lamp do to this one colour: carried over to others they made readings worse (mean
//! CIEDE2000 over the tuning half of the generated pictures: 5.6 by light alone, 7.4 by all three).

use super::balance::Balance;
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
}

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
        self.lift(Lift { gain, middle });
        Ok(self)
    }
}
