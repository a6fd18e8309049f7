//! From the domain's colours to the painter's.

use egui::Color32;

use crate::app::view::Eyes;
use crate::colour::transfer::byte_to_light;
use crate::colour::{Colour, Vision};

/// A colour as the screen shows it, gamut mapped.
pub fn paint(colour: Colour) -> Color32 {
    let [r, g, b] = colour.to_srgb8();
    Color32::from_rgb(r, g, b)
}

/// The kind of vision to simulate.
pub const fn vision(eyes: Eyes) -> Vision {
    match eyes {
        Eyes::Usual => Vision::Usual,
        Eyes::Value => Vision::Greyscale,
        Eyes::Protan => Vision::Protan,
        Eyes::Deutan => Vision::Deutan,
        Eyes::Tritan => Vision::Tritan,
    }
}

/// A colour through these eyes.
pub fn seen(colour: Colour, eyes: Eyes) -> Color32 {
    let [r, g, b] = vision(eyes).simulate_srgb8(colour.to_srgb8());
    Color32::from_rgb(r, g, b)
}

/// Black or white, whichever has the higher contrast with `ground` as it is shown: at least 4.58:1 (WCAG 2), for the
/// two are equal where the relative luminance is sqrt(1.05 * 0.05) - 0.05.
pub fn ink_on(ground: Color32) -> Color32 {
    if luminance(ground) > 0.179_13 { Color32::BLACK } else { Color32::WHITE }
}

/// Relative luminance of WCAG 2, `0..=1`.
fn luminance(colour: Color32) -> f64 {
    let [r, g, b] = [colour.r(), colour.g(), colour.b()].map(byte_to_light);
    0.2126 * r + 0.7152 * g + 0.0722 * b
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::file::demos;

    /// Contrast ratio of WCAG 2.
    fn ratio(a: Color32, b: Color32) -> f64 {
        let (a, b) = (luminance(a), luminance(b));
        (a.max(b) + 0.05) / (a.min(b) + 0.05)
    }

    #[test]
    fn figures_on_a_yarn_colour_reach_wcag_aa() {
        let of_demos = demos().iter().flat_map(|demo| demo.project().unwrap().palette.slots().to_vec());
        let grounds = of_demos.map(|slot| paint(slot.colour));
        // A walk over all colours in steps that share no factor with their number.
        let any = (0..200_u32).map(|n| n.wrapping_mul(7_036_873) % (1 << 24)).map(|code| {
            let [_, r, g, b] = code.to_be_bytes();
            Color32::from_rgb(r, g, b)
        });
        let greys = (0..=255).map(Color32::from_gray);
        for ground in grounds.chain(any).chain(greys) {
            let found = ratio(ink_on(ground), ground);
            assert!(found >= 4.5, "{ground:?}: {found}");
        }
    }
}
