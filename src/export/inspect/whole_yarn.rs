//! A yarn as on its band, with what follows from it.

use serde::Serialize;

use crate::export::json::{key, rounded};
use crate::units::Price;
use crate::yarn::{Blend, Fibre, KnownClass, Spin, Tex, Yarn};

/// What is known of a yarn.
#[derive(Serialize)]
pub(super) struct YarnOut<'a> {
    name: &'a str,
    blend: BlendOut,
    spin: Option<SpinOut>,
    metres_per_100g: f64,
    tex: f64,
    ball_g: f64,
    ball_price: Option<f64>,
    weight_class: u8,
    /// `band` or, when it does not stand there, `metres`.
    weight_class_from: &'static str,
    /// Worked out from the metres and the fibre; `wraps_per_inch` is measured.
    diameter_mm: f64,
    wraps_per_inch: Option<f64>,
    care_codes: Vec<&'static str>,
    /// What a card says of care for which there is no symbol; may be empty.
    care_unread: &'a str,
    dye_lot: &'a str,
    notes: &'a str,
}

/// Fibres by share.
#[derive(Serialize)]
pub(super) struct BlendOut {
    name: String,
    parts: Vec<PartOut>,
}

#[derive(Serialize)]
struct PartOut {
    fibre: String,
    percent: f64,
}

#[derive(Serialize)]
struct SpinOut {
    system: String,
    plies: u8,
    twist_direction: String,
    twist: String,
}

impl<'a> YarnOut<'a> {
    pub(super) fn new(yarn: &'a Yarn) -> Self {
        let class = yarn.weight_class();
        Self {
            name: &yarn.name,
            blend: BlendOut::new(&yarn.blend),
            spin: yarn.spin.map(SpinOut::new),
            metres_per_100g: rounded(yarn.put_up.grist.get()),
            tex: rounded(Tex::from_grist(yarn.put_up.grist).get()),
            ball_g: rounded(yarn.put_up.ball_g()),
            ball_price: yarn.ball_price.map(Price::get),
            weight_class: class.class().number(),
            weight_class_from: match class {
                KnownClass::Given(_) => "band",
                KnownClass::FromGrist(_) => "metres",
            },
            diameter_mm: rounded(yarn.strand().pressed_mm()),
            wraps_per_inch: yarn.wraps().map(rounded),
            care_codes: yarn.care.symbols().iter().map(|symbol| symbol.code()).collect(),
            care_unread: yarn.care.unread(),
            dye_lot: &yarn.lot,
            notes: &yarn.notes,
        }
    }
}

impl BlendOut {
    pub(super) fn new(blend: &Blend) -> Self {
        let part =
            |(fibre, percent): &(Fibre, f64)| PartOut { fibre: key(fibre.key()), percent: rounded(*percent) };
        Self { name: blend.name(), parts: blend.parts().iter().map(part).collect() }
    }
}

impl SpinOut {
    fn new(spin: Spin) -> Self {
        Self {
            system: key(spin.system.key()),
            plies: spin.plies(),
            twist_direction: key(spin.direction.key()),
            twist: key(spin.amount.key()),
        }
    }
}
