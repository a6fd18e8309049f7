//! Colour schemes by their standard names, and moving a palette into one.

use super::Colour;
use super::spread::spread_lstar;
use super::wheel::{Wheel, turn_between};
use thiserror::Error;

/// Most chroma a neutral ground is given: a tinge, read as grey or oatmeal (our judgement).
pub(super) const GROUND_CHROMA: f64 = 0.025;

/// Least difference of CIE L* between neighbours of a monochromatic palette (our judgement: between the
/// "subtle" and the "readable" of [`super::ValueContrast`]).
const MONOCHROMATIC_STEP: f64 = 15.0;

/// A colour scheme: how the hues of main, supporting and accent stand on the wheel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Scheme {
    /// Opposite hues.
    Complementary,
    /// A hue and the two beside its opposite.
    SplitComplementary,
    /// Neighbouring hues.
    Analogous,
    /// Three hues a third of the circle apart.
    Triadic,
    /// Two pairs of opposites, unevenly spaced (a rectangle).
    Tetradic,
    /// Four hues a quarter of the circle apart.
    Square,
    /// One hue in several lightnesses and chromas.
    Monochromatic,
}

impl Scheme {
    /// All schemes, in the order they are offered.
    pub const ALL: [Self; 7] = [
        Self::Complementary,
        Self::SplitComplementary,
        Self::Analogous,
        Self::Triadic,
        Self::Tetradic,
        Self::Square,
        Self::Monochromatic,
    ];

    /// Standard name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Complementary => "Complementary",
            Self::SplitComplementary => "Split complementary",
            Self::Analogous => "Analogous",
            Self::Triadic => "Triadic",
            Self::Tetradic => "Tetradic",
            Self::Square => "Square",
            Self::Monochromatic => "Monochromatic",
        }
    }

    /// Where the hues stand, in wheel degrees from the main hue: main, supporting, accent, further
    /// ones. A palette with more colours goes round the list again.
    ///
    /// The angles are the usual ones of colour teaching (common practice, no published source).
    pub const fn offsets(self) -> &'static [f64] {
        match self {
            Self::Complementary => &[0.0, 180.0],
            Self::SplitComplementary => &[0.0, 150.0, 210.0],
            Self::Analogous => &[0.0, 30.0, 330.0],
            Self::Triadic => &[0.0, 120.0, 240.0],
            Self::Tetradic => &[0.0, 60.0, 180.0, 240.0],
            Self::Square => &[0.0, 90.0, 180.0, 270.0],
            Self::Monochromatic => &[0.0],
        }
    }

    /// The place in the list of offsets nearest to an angle from the main hue, and how far off it is.
    fn nearest(self, angle: f64) -> (usize, f64) {
        let gaps = self.offsets().iter().map(|offset| turn_between(*offset, angle).abs());
        gaps.enumerate().min_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((0, 0.0))
    }
}

/// Why a palette could not be brought into a scheme; its colours stay as they are.
#[derive(Clone, Copy, Debug, Error, PartialEq, Eq)]
pub enum HarmonyError {
    /// The colour the others should follow does not exist.
    #[error("there is no such colour for the others to follow")]
    NoAnchor,
    /// The colour the others should follow is a grey.
    #[error("a grey has no hue for the others to follow: give it some chroma first")]
    GreyAnchor,
}

/// A colour of a palette that is brought into a scheme.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Member {
    /// The colour.
    pub colour: Colour,
    /// Keeps itself; the others make room for it.
    pub locked: bool,
    /// The neutral ground: takes a tinge of the main hue, not a place in the scheme.
    pub is_ground: bool,
}

/// A colour that a scheme has placed.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Placed {
    /// The colour, within sRGB if it was moved.
    pub colour: Colour,
    /// It lost chroma because sRGB cannot show it in full.
    pub mapped: bool,
}

impl Placed {
    pub(super) fn kept(colour: Colour) -> Self {
        Self { colour, mapped: false }
    }

    pub(super) fn mapping(colour: Colour) -> Self {
        Self { colour: colour.mapped(), mapped: !colour.is_in_gamut() }
    }

    pub(super) fn at_lstar(colour: Colour, lstar: f64) -> Self {
        let placed = colour.with_lstar(lstar);
        Self { colour: placed, mapped: placed.chroma() < colour.chroma() }
    }
}

/// Moves a palette into a scheme, in the order of `members`, around the one at `anchor`.
///
/// - The anchor and locked colours keep themselves.
/// - The anchor holds the place in the scheme that its order among the colours (not grounds) gives it;
///   unless it is the first and so the main colour, it yields to the place that fits the locked ones
///   best, so that dragging one colour does not make the others jump.
/// - A locked colour takes up the place nearest to it; the free colours fill the places taken least,
///   in order, with their own lightness and chroma.
/// - An unlocked ground keeps its lightness, takes the main hue and loses chroma down to a tinge.
/// - [`Scheme::Monochromatic`] gives all the one hue and moves lightness just so far that neighbours
///   are 15 L* apart, or as far as there is room.
///
/// Moved colours are gamut mapped, which may cost them chroma: while a handle is dragged, start every
/// step from the palette as it was when the drag began.
///
/// # Errors
/// [`HarmonyError`] when there is no such anchor or it is a grey.
pub fn harmonise(
    scheme: Scheme,
    wheel: Wheel,
    members: &[Member],
    anchor: usize,
) -> Result<Vec<Placed>, HarmonyError> {
    let hue = members.get(anchor).ok_or(HarmonyError::NoAnchor)?.colour.hue();
    let angle = wheel.angle_of_hue(hue.ok_or(HarmonyError::GreyAnchor)?);
    let mut layout = Layout::new(scheme, wheel, members, anchor, angle);
    let free = |index: usize, member: &Member| index != anchor && !member.locked;

    let mut placed: Vec<Placed> = members.iter().map(|member| Placed::kept(member.colour)).collect();
    for (index, member) in members.iter().enumerate().filter(|(index, member)| free(*index, member)) {
        let colour = if member.is_ground {
            let tinge = member.colour.chroma().min(GROUND_CHROMA);
            member.colour.with_hue(layout.hue_of(0)).with_chroma(tinge)
        } else {
            member.colour.with_hue(layout.next_free_hue())
        };
        placed[index] = if scheme == Scheme::Monochromatic {
            Placed::kept(colour) // still to be spread
        } else {
            Placed::mapping(colour)
        };
    }
    if scheme == Scheme::Monochromatic {
        let (moving, fixed): (Vec<usize>, Vec<usize>) =
            (0..members.len()).partition(|index| free(*index, &members[*index]));
        let lstars =
            |indices: &[usize]| indices.iter().map(|i| members[*i].colour.lstar()).collect::<Vec<_>>();
        let spread = spread_lstar(&lstars(&moving), &lstars(&fixed), MONOCHROMATIC_STEP);
        for (index, lstar) in moving.into_iter().zip(spread) {
            placed[index] = Placed::at_lstar(placed[index].colour, lstar);
        }
    }
    Ok(placed)
}

/// The places of a scheme on a wheel and how many colours each has.
struct Layout {
    scheme: Scheme,
    wheel: Wheel,
    main_angle: f64,
    taken: Vec<usize>,
}

impl Layout {
    fn new(scheme: Scheme, wheel: Wheel, members: &[Member], anchor: usize, anchor_angle: f64) -> Self {
        let offsets = scheme.offsets();
        let locked: Vec<f64> = members
            .iter()
            .enumerate()
            .filter(|(index, member)| *index != anchor && member.locked && !member.is_ground)
            .filter_map(|(_, member)| member.colour.hue())
            .map(|hue| wheel.angle_of_hue(hue))
            .collect();

        let order = members.iter().take(anchor).filter(|member| !member.is_ground).count();
        let own = order % offsets.len();
        let misfit = |place: usize| -> f64 {
            let main = anchor_angle - offsets[place];
            locked.iter().map(|angle| scheme.nearest(angle - main).1).sum()
        };
        // Its own place comes first, so it wins among equals; round-off must not decide either.
        let others = (0..offsets.len()).filter(|place| order > 0 && *place != own);
        let place =
            others.fold(own, |best, place| if misfit(place) < misfit(best) - 1e-6 { place } else { best });

        let main_angle = anchor_angle - offsets[place];
        let mut taken = vec![0; offsets.len()];
        taken[place] += 1;
        for angle in locked {
            taken[scheme.nearest(angle - main_angle).0] += 1;
        }
        Self { scheme, wheel, main_angle, taken }
    }

    fn hue_of(&self, place: usize) -> f64 {
        let offset = self.scheme.offsets().get(place).copied().unwrap_or(0.0);
        self.wheel.hue_at(self.main_angle + offset)
    }

    /// Takes up the first of the places with the fewest colours and tells its hue.
    fn next_free_hue(&mut self) -> f64 {
        let least = self.taken.iter().enumerate().min_by_key(|(_, count)| **count);
        let place = least.map_or(0, |(place, _)| place);
        if let Some(count) = self.taken.get_mut(place) {
            *count += 1;
        }
        self.hue_of(place)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn member(l: f64, c: f64, h: f64) -> Member {
        Member { colour: Colour::clamped(l, c, h), locked: false, is_ground: false }
    }

    fn locked(l: f64, c: f64, h: f64) -> Member {
        Member { locked: true, ..member(l, c, h) }
    }

    fn hues(scheme: Scheme, members: &[Member], anchor: usize) -> Vec<i64> {
        let placed = harmonise(scheme, Wheel::Perceptual, members, anchor).unwrap();
        placed.iter().map(|p| p.colour.hue_angle().round() as i64 % 360).collect()
    }

    #[test]
    fn the_main_colour_leads_and_the_others_follow_in_order() {
        let palette = [member(0.5, 0.05, 20.0), member(0.6, 0.05, 0.0), member(0.7, 0.05, 0.0)];
        assert_eq!(hues(Scheme::Complementary, &palette, 0), [20, 200, 20]);
        assert_eq!(hues(Scheme::SplitComplementary, &palette, 0), [20, 170, 230]);
        assert_eq!(hues(Scheme::Analogous, &palette, 0), [20, 50, 350]);
        assert_eq!(hues(Scheme::Triadic, &palette, 0), [20, 140, 260]);
        assert_eq!(hues(Scheme::Tetradic, &palette, 0), [20, 80, 200]);
        assert_eq!(hues(Scheme::Square, &palette, 0), [20, 110, 200]);
        assert_eq!(hues(Scheme::Monochromatic, &palette, 0), [20, 20, 20]);
    }

    #[test]
    fn dragging_another_colour_turns_the_whole_scheme() {
        let palette = [member(0.5, 0.05, 20.0), member(0.6, 0.05, 170.0), member(0.7, 0.05, 240.0)];
        assert_eq!(hues(Scheme::SplitComplementary, &palette, 2), [30, 180, 240]);
    }

    #[test]
    fn a_locked_colour_takes_the_place_nearest_to_it() {
        let palette = [member(0.5, 0.05, 0.0), locked(0.6, 0.05, 235.0), member(0.7, 0.05, 0.0)];
        assert_eq!(hues(Scheme::Triadic, &palette, 0), [0, 235, 120]);
    }

    #[test]
    fn a_drag_beside_a_locked_colour_does_not_jump() {
        // Main 0, supporting locked at 210, so the accent stands at 150 and is dragged to 155.
        let palette = [member(0.5, 0.05, 0.0), locked(0.6, 0.05, 210.0), member(0.7, 0.05, 155.0)];
        assert_eq!(hues(Scheme::SplitComplementary, &palette, 2), [5, 210, 155]);
    }

    #[test]
    fn lightness_and_chroma_stay_where_srgb_allows() {
        let palette = [member(0.5, 0.05, 20.0), member(0.62, 0.05, 0.0), member(0.97, 0.2, 0.0)];
        let placed = harmonise(Scheme::Triadic, Wheel::Painter, &palette, 0).unwrap();
        assert_eq!((placed[1].colour.lightness(), placed[1].colour.chroma()), (0.62, 0.05));
        assert!(!placed[1].mapped);
        assert!(placed[2].mapped && placed[2].colour.is_in_gamut());
    }

    #[test]
    fn the_ground_takes_a_tinge_of_the_main_hue() {
        let ground = Member { is_ground: true, ..member(0.9, 0.1, 300.0) };
        let palette = [member(0.5, 0.05, 20.0), ground, member(0.7, 0.05, 0.0)];
        let placed = harmonise(Scheme::Complementary, Wheel::Perceptual, &palette, 0).unwrap();
        assert_eq!(placed[1].colour, Colour::clamped(0.9, GROUND_CHROMA, 20.0));
        assert!(turn_between(200.0, placed[2].colour.hue_angle()).abs() < 1e-9, "the ground took a place");
    }

    #[test]
    fn monochrome_steps_are_seen() {
        let palette =
            [member(0.5, 0.1, 20.0), member(0.5, 0.1, 90.0), locked(0.55, 0.1, 90.0), member(0.5, 0.1, 0.0)];
        let placed = harmonise(Scheme::Monochromatic, Wheel::Perceptual, &palette, 0).unwrap();
        assert_eq!((placed[0].colour, placed[2].colour), (palette[0].colour, palette[2].colour));
        for moved in [1, 3] {
            for other in (0..4).filter(|other| *other != moved) {
                let apart = (placed[moved].colour.lstar() - placed[other].colour.lstar()).abs();
                assert!(apart > MONOCHROMATIC_STEP - 0.1, "{moved} {other}: {apart}");
            }
        }
    }

    #[test]
    fn a_scheme_that_holds_already_changes_nothing() {
        for scheme in Scheme::ALL {
            let palette = [member(0.4, 0.04, 20.0), member(0.6, 0.05, 0.0), member(0.8, 0.03, 0.0)];
            let once = harmonise(scheme, Wheel::Painter, &palette, 0).unwrap();
            let again: Vec<_> = once.iter().map(|p| Member { colour: p.colour, ..palette[0] }).collect();
            for (a, b) in once.iter().zip(harmonise(scheme, Wheel::Painter, &again, 0).unwrap()) {
                assert!(a.colour.difference(b.colour) < 1e-3, "{scheme:?}");
            }
        }
    }

    #[test]
    fn nothing_to_follow_is_said_so() {
        let grey = [member(0.5, 0.0, 20.0), member(0.6, 0.05, 0.0)];
        assert_eq!(harmonise(Scheme::Triadic, Wheel::Perceptual, &grey, 0), Err(HarmonyError::GreyAnchor));
        assert_eq!(harmonise(Scheme::Triadic, Wheel::Perceptual, &grey, 7), Err(HarmonyError::NoAnchor));
    }
}
