//! A fresh palette from one colour.

use super::Colour;
use super::harmony::{GROUND_CHROMA, HarmonyError, Placed, Scheme};
use super::spread::spread_lstar;
use super::wheel::Wheel;

/// Least difference of CIE L* between any two colours of a proposal: "readable" and better
/// (see [`super::ValueContrast`]).
const VALUE_STEP: f64 = 20.0;

/// A palette by role.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proposal {
    /// The colour it started from, brought within sRGB.
    pub main: Placed,
    /// Quieter than the main colour.
    pub supporting: Placed,
    /// The most colourful.
    pub accent: Placed,
    /// Neutral, with a tinge of the main hue.
    pub ground: Placed,
}

impl Proposal {
    /// Main, supporting, accent, ground.
    pub fn placed(&self) -> [Placed; 4] {
        [self.main, self.supporting, self.accent, self.ground]
    }
}

/// Proposes a palette around a main colour whose values all stand at least 20 L* apart.
///
/// Hues come from the scheme. The ground goes to the far end of the value scale from the main colour;
/// the accent near the value at which its hue is fullest (a yellow light, a blue dark); the supporting
/// colour between main and ground. Chroma falls from accent over main and supporting to the ground.
/// All of this is our judgement of what reads well in stitches, not a rule.
///
/// # Errors
/// [`HarmonyError::GreyAnchor`] when the main colour has no hue.
pub fn propose(scheme: Scheme, wheel: Wheel, main: Colour) -> Result<Proposal, HarmonyError> {
    let hue = main.hue().ok_or(HarmonyError::GreyAnchor)?;
    let angle = wheel.angle_of_hue(hue);
    let offsets = scheme.offsets();
    let hue_of = |role: usize| wheel.hue_at(angle + offsets[role % offsets.len()]);
    let own = Placed::mapping(main);
    let (lstar, chroma) = (own.colour.lstar(), own.colour.chroma());

    // Grounds: snow or charcoal, whichever is farther. Wool is seldom brighter or deeper.
    let ground = if lstar < 58.0 { 90.0 } else { 17.0 };
    let supporting = f64::midpoint(lstar, ground);
    // An accent near white or black would take the ground's place and glare or vanish.
    let accent = Colour::cusp(hue_of(2)).lstar().clamp(32.0, 76.0);
    let values = spread_lstar(&[supporting, accent, ground], &[lstar], VALUE_STEP);

    let colours = [
        Colour::clamped(0.5, (0.75 * chroma).clamp(0.03, 0.12), hue_of(1)),
        Colour::clamped(0.5, (1.2 * chroma).clamp(0.09, 0.15), hue_of(2)),
        Colour::clamped(0.5, (0.8 * GROUND_CHROMA).min(chroma), hue),
    ];
    let place = |role: usize| Placed::at_lstar(colours[role], values[role]);
    Ok(Proposal { main: own, supporting: place(0), accent: place(1), ground: place(2) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_proposal_reads_in_black_and_white() {
        for scheme in Scheme::ALL {
            for wheel in Wheel::ALL {
                for hex in ["#1f2a4d", "#c9971c", "#a3421f", "#4d6b2a", "#fff3a0", "#180a20", "#ff0000"] {
                    let proposal = propose(scheme, wheel, Colour::from_hex(hex).unwrap()).unwrap();
                    let mut values = proposal.placed().map(|p| p.colour.lstar());
                    values.sort_by(f64::total_cmp);
                    let least = values.windows(2).map(|v| v[1] - v[0]).fold(f64::INFINITY, f64::min);
                    assert!(least > VALUE_STEP - 0.1, "{scheme:?} {wheel:?} {hex}: {values:?}");
                    assert!(proposal.placed().iter().all(|p| p.colour.is_in_gamut()));
                }
            }
        }
    }

    #[test]
    fn the_hues_are_those_of_the_scheme() {
        let main = Colour::from_hex("#1f2a4d").unwrap();
        let proposal = propose(Scheme::Triadic, Wheel::Painter, main).unwrap();
        let angle = |placed: Placed| Wheel::Painter.angle_of_hue(placed.colour.hue_angle());
        let from_main = |placed| (angle(placed) - angle(proposal.main)).rem_euclid(360.0);
        assert!((from_main(proposal.supporting) - 120.0).abs() < 1e-6);
        assert!((from_main(proposal.accent) - 240.0).abs() < 1e-6);
        assert!(proposal.ground.colour.chroma() <= GROUND_CHROMA);
    }

    #[test]
    fn a_grey_proposes_nothing() {
        let grey = Colour::grey(50.0);
        assert_eq!(propose(Scheme::Triadic, Wheel::Painter, grey), Err(HarmonyError::GreyAnchor));
    }
}
