//! How a yarn is sold, typed in the project's own units.

use super::field::NumberField;
use super::form::Form;
use crate::units::{LengthUnit, MetresPer100G, Price};
use crate::yarn::PutUp;

/// The length in 100 g.
pub fn grist_field(form: &mut Form, label: &str, units: LengthUnit, grist: &mut MetresPer100G) {
    let suffix = format!(" {} in 100 g", units.yarn_suffix());
    let range = units.from_metres(MetresPer100G::MIN)..=units.from_metres(MetresPer100G::MAX);
    let field = NumberField { label, suffix: &suffix, range, decimals: 0, speed: 1.0 };
    if let Some(typed) = field.edited(form, units.from_metres(grist.get())) {
        *grist = MetresPer100G::clamped(units.to_metres(typed));
    }
}

/// The mass of a ball.
pub fn ball_field(form: &mut Form, label: &str, units: LengthUnit, put_up: &mut PutUp) {
    let suffix = format!(" {} a ball", units.mass_suffix());
    let range = units.from_grams(1.0)..=units.from_grams(5000.0);
    let field = NumberField { label, suffix: &suffix, range, decimals: 2, speed: 0.5 };
    let typed = field.edited(form, units.from_grams(put_up.ball_g()));
    if let Some(Ok(typed)) = typed.map(|typed| PutUp::new(put_up.grist.get(), units.to_grams(typed))) {
        *put_up = typed;
    }
}

/// Both in rows of a form; `labels` are those of the length and the mass.
pub fn put_up_rows(form: &mut Form, labels: [&str; 2], units: LengthUnit, put_up: &mut PutUp) {
    form.row("Length", |form| grist_field(form, labels[0], units, &mut put_up.grist));
    form.row("Put up in", |form| ball_field(form, labels[1], units, put_up));
}

/// The price of a ball, which may not be known.
pub fn price_row(form: &mut Form, price: &mut Option<Price>) {
    let field = NumberField {
        label: "Price of a ball",
        suffix: " a ball",
        range: Price::MIN..=Price::MAX,
        decimals: 2,
        speed: 0.05,
    };
    let mut typed = price.map(Price::get);
    form.maybe(("Price", "The price is known"), &field, &mut typed, 0.0);
    *price = typed.map(Price::clamped);
}
