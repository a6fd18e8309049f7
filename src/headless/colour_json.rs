//! Colours and shades as JSON. The keys are part of the program's interface: they carry their units,
//! and may be added to but never renamed.

use serde::Serialize;

use crate::colour::Colour;
use crate::export::json::{finely_rounded, key, rounded};
use crate::units::Price;
use crate::yarn::{Shade, Stock};

/// A colour under D65 in the systems other programs read.
#[derive(Serialize)]
pub(super) struct ColourOut {
    /// `#rrggbb`, as sRGB can show it.
    hex: String,
    in_srgb: bool,
    lab_d65: LabOut,
    oklch: OklchOut,
}

/// CIE L\*a\*b\*.
#[derive(Serialize)]
struct LabOut {
    lstar: f64,
    a: f64,
    b: f64,
}

#[derive(Serialize)]
struct OklchOut {
    /// `0..=1`.
    lightness: f64,
    chroma: f64,
    /// `None` for a grey.
    hue_degrees: Option<f64>,
}

/// A shade of a card.
#[derive(Serialize)]
pub(super) struct ShadeOut<'a> {
    card: &'a str,
    name: &'a str,
    code: &'a str,
    colour: ColourOut,
    colour_from: String,
    uncertainty_ciede2000: f64,
    fibre: &'a str,
    weight_class: Option<u8>,
    metres_per_100g: Option<f64>,
    ball_g: Option<f64>,
    ball_price: Option<f64>,
    /// Whole balls: of what the project has on hand of it, else as its card says.
    owned_balls: u32,
    to_be_had: bool,
}

impl ColourOut {
    pub(super) fn new(colour: Colour) -> Self {
        let lab = colour.to_lab();
        let [lstar, a, b] = [lab.l, lab.a, lab.b].map(rounded);
        Self {
            hex: colour.to_hex(),
            in_srgb: colour.is_in_gamut(),
            lab_d65: LabOut { lstar, a, b },
            oklch: OklchOut {
                lightness: finely_rounded(colour.lightness()),
                chroma: finely_rounded(colour.chroma()),
                hue_degrees: colour.hue().map(rounded),
            },
        }
    }
}

impl<'a> ShadeOut<'a> {
    pub(super) fn new(card: &'a str, shade: &'a Shade, owned_balls: u32) -> Self {
        Self {
            card,
            name: &shade.name,
            code: &shade.code,
            colour: ColourOut::new(shade.colour),
            colour_from: key(shade.source.name()),
            uncertainty_ciede2000: rounded(shade.uncertainty),
            fibre: &shade.fibre,
            weight_class: shade.weight_class,
            metres_per_100g: shade.put_up.map(|put_up| rounded(put_up.grist.get())),
            ball_g: shade.put_up.map(|put_up| rounded(put_up.ball_g())),
            ball_price: shade.ball_price.map(Price::get),
            owned_balls,
            to_be_had: shade.stock != Stock::Out,
        }
    }
}
