//! From the domain's colours to the painter's.

use egui::Color32;

use crate::app::view::Eyes;
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

/// Black or white, whichever reads better on `ground`.
pub fn ink_on(ground: Colour) -> Color32 {
    if ground.lstar() > 55.0 { Color32::from_gray(20) } else { Color32::from_gray(245) }
}
