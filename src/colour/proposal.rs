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

/// What one proposal does unlike the others.
struct Way {
    /// Where the supporting colour's value lies between main (0) and ground (1).
    between: f64,
    /// Chroma of the supporting and the accent colour as a part of the main colour's.
    supporting: f64,
    accent: f64,
    /// How far the accent leaves the value at which its hue is fullest, L*.
    shift: f64,
}

/// The first is the quietest reading of the scheme; the others are looser, darker or paler (our judgement).
const WAYS: [Way; 4] = [
    Way { between: 0.5, supporting: 0.75, accent: 1.2, shift: 0.0 },
    Way { between: 0.35, supporting: 1.1, accent: 0.9, shift: -22.0 },
    Way { between: 0.65, supporting: 0.45, accent: 1.4, shift: 18.0 },
    Way { between: 0.5, supporting: 0.3, accent: 1.0, shift: -10.0 },
];

/// The places of supporting and accent in a scheme of so many places: first those of their order, then
/// every other pair.
fn pairs(places: usize) -> Vec<(usize, usize)> {
    let first = (1 % places, 2 % places);
    let all = (0..places).flat_map(|a| (0..places).map(move |b| (a, b)));
    let others = all.filter(|pair| *pair != first && pair.0 != pair.1);
    std::iter::once(first).chain(others).collect()
}

/// How many proposals differ before they come round again.
pub fn proposals(scheme: Scheme) -> usize {
    pairs(scheme.offsets().len()).len() * WAYS.len()
}

/// Proposes a palette around a main colour, and the ground if there is one to keep, whose values stand
/// at least 20 L* apart wherever main and ground leave room for that.
///
/// Hues come from the scheme. A ground that is not given goes to the far end of the value scale from the
/// main colour; the accent near the value at which its hue is fullest (a yellow light, a blue dark); the
/// supporting colour between main and ground. Each `number` gives these parts out differently, up to
/// [`proposals`] of them. All of this is our judgement of what reads well in stitches, not a rule.
///
/// # Errors
/// [`HarmonyError::GreyAnchor`] when the main colour has no hue.
pub fn propose(
    scheme: Scheme,
    wheel: Wheel,
    main: Colour,
    ground: Option<Colour>,
    number: usize,
) -> Result<Proposal, HarmonyError> {
    let hue = main.hue().ok_or(HarmonyError::GreyAnchor)?;
    let angle = wheel.angle_of_hue(hue);
    let offsets = scheme.offsets();
    let pairs = pairs(offsets.len());
    let (first, second) = pairs[number % pairs.len()];
    let way = &WAYS[number / pairs.len() % WAYS.len()];
    let hue_of = |place: usize| wheel.hue_at(angle + offsets[place]);
    let own = Placed::mapping(main);
    let (lstar, chroma) = (own.colour.lstar(), own.colour.chroma());

    // Grounds: snow or charcoal, whichever is farther. Wool is seldom brighter or deeper.
    let ground_lstar = ground.map_or(if lstar < 58.0 { 90.0 } else { 17.0 }, Colour::lstar);
    let supporting = lstar + (ground_lstar - lstar) * way.between;
    // An accent near white or black would take the ground's place and glare or vanish.
    let accent = (Colour::cusp(hue_of(second)).lstar() + way.shift).clamp(32.0, 76.0);
    let colours = [
        Colour::clamped(0.5, (way.supporting * chroma).clamp(0.03, 0.12), hue_of(first)),
        Colour::clamped(0.5, (way.accent * chroma).clamp(0.09, 0.15), hue_of(second)),
        Colour::clamped(0.5, (0.8 * GROUND_CHROMA).min(chroma), hue),
    ];
    let place = |role: usize, values: &[f64]| Placed::at_lstar(colours[role], values[role]);
    Ok(if let Some(kept) = ground {
        let values = spread_lstar(&[supporting, accent], &[lstar, ground_lstar], VALUE_STEP);
        let (supporting, accent) = (place(0, &values), place(1, &values));
        Proposal { main: own, supporting, accent, ground: Placed::kept(kept) }
    } else {
        let values = spread_lstar(&[supporting, accent, ground_lstar], &[lstar], VALUE_STEP);
        let [supporting, accent, ground] = [0, 1, 2].map(|role| place(role, &values));
        Proposal { main: own, supporting, accent, ground }
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_proposal_reads_in_black_and_white() {
        for scheme in Scheme::ALL {
            for wheel in Wheel::ALL {
                for hex in ["#1f2a4d", "#c9971c", "#a3421f", "#4d6b2a", "#fff3a0", "#180a20", "#ff0000"] {
                    for number in 0..proposals(scheme) {
                        let main = Colour::from_hex(hex).unwrap();
                        let proposal = propose(scheme, wheel, main, None, number).unwrap();
                        let mut values = proposal.placed().map(|p| p.colour.lstar());
                        values.sort_by(f64::total_cmp);
                        let least = values.windows(2).map(|v| v[1] - v[0]).fold(f64::INFINITY, f64::min);
                        assert!(least > VALUE_STEP - 0.1, "{scheme:?} {wheel:?} {hex} {number}: {values:?}");
                        assert!(proposal.placed().iter().all(|p| p.colour.is_in_gamut()));
                    }
                }
            }
        }
    }

    #[test]
    fn the_hues_are_those_of_the_scheme() {
        let main = Colour::from_hex("#1f2a4d").unwrap();
        let proposal = propose(Scheme::Triadic, Wheel::Painter, main, None, 0).unwrap();
        let angle = |placed: Placed| Wheel::Painter.angle_of_hue(placed.colour.hue_angle());
        let from_main = |placed| (angle(placed) - angle(proposal.main)).rem_euclid(360.0);
        assert!((from_main(proposal.supporting) - 120.0).abs() < 1e-6);
        assert!((from_main(proposal.accent) - 240.0).abs() < 1e-6);
        assert!(proposal.ground.colour.chroma() <= GROUND_CHROMA);
    }

    #[test]
    fn a_grey_proposes_nothing() {
        let grey = Colour::grey(50.0);
        assert_eq!(propose(Scheme::Triadic, Wheel::Painter, grey, None, 0), Err(HarmonyError::GreyAnchor));
    }

    #[test]
    fn each_proposal_is_a_set_of_its_own_and_the_ground_stays() {
        let (main, ground) = (Colour::from_hex("#1f2a4d").unwrap(), Colour::from_hex("#efe9dc").unwrap());
        for scheme in Scheme::ALL {
            let sets: Vec<[String; 4]> = (0..proposals(scheme))
                .map(|number| propose(scheme, Wheel::Painter, main, Some(ground), number).unwrap())
                .map(|proposal| proposal.placed().map(|placed| placed.colour.to_hex()))
                .collect();
            for (number, set) in sets.iter().enumerate() {
                assert!(!sets[..number].contains(set), "{scheme:?} {number}: {set:?} twice");
                assert_eq!(set[3], ground.to_hex());
            }
        }
    }
}
