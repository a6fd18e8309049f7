//! How a yarn is sold, typed in the project's own units.

use std::cell::Cell;

use super::field::NumberField;
use super::form::Form;
use crate::units::{LengthUnit, MetresPer100G, Price};
use crate::yarn::PutUp;

/// The length in 100 g; `110 m / 50 g`, as on the band, is understood too.
pub fn grist_field(form: &mut Form, label: &str, units: LengthUnit, grist: &mut MetresPer100G) {
    if let Some(typed) = length_field(form, label, units, PutUp::default().with_grist(*grist)) {
        *grist = typed.grist;
    }
}

/// The length in 100 g; what a ball weighs comes with it when both are typed as on the band.
pub fn band_field(form: &mut Form, label: &str, units: LengthUnit, put_up: &mut PutUp) {
    if let Some(typed) = length_field(form, label, units, *put_up) {
        *put_up = typed;
    }
}

fn length_field(form: &mut Form, label: &str, units: LengthUnit, before: PutUp) -> Option<PutUp> {
    let suffix = format!(" {} in 100 g", units.yarn_suffix());
    let range = units.from_metres(MetresPer100G::MIN)..=units.from_metres(MetresPer100G::MAX);
    let field = NumberField { label, suffix: &suffix, range, decimals: 0, speed: 1.0 };
    let told = Cell::new(None);
    let read = |text: &str| {
        let put_up = before.told_length(text, units).map_err(|fault| fault.to_string())?;
        told.set(Some(put_up));
        Ok(units.from_metres(put_up.grist.get()))
    };
    let typed = field.edited_in_words(form, units.from_metres(before.grist.get()), &read);
    // Words say all of it, and may say it of a ball whose length in 100 g stays as it was.
    told.get().or_else(|| Some(before.with_grist(MetresPer100G::clamped(units.to_metres(typed?)))))
}

/// The mass of a ball; `110 m / 50 g`, as on the band, is understood too.
pub fn ball_field(form: &mut Form, label: &str, units: LengthUnit, put_up: &mut PutUp) {
    let suffix = format!(" {} a ball", units.mass_suffix());
    let range = units.from_grams(PutUp::LEAST_BALL_G)..=units.from_grams(PutUp::MOST_BALL_G);
    let field = NumberField { label, suffix: &suffix, range, decimals: 2, speed: 0.5 };
    let before = *put_up;
    let told = Cell::new(None);
    let read = |text: &str| {
        let put_up = before.told_ball(text, units).map_err(|fault| fault.to_string())?;
        told.set(Some(put_up));
        Ok(units.from_grams(put_up.ball_g()))
    };
    let typed = field.edited_in_words(form, units.from_grams(before.ball_g()), &read);
    if let Some(told) = told.get() {
        *put_up = told;
    } else if let Some(Ok(typed)) = typed.map(|typed| PutUp::new(before.grist.get(), units.to_grams(typed))) {
        *put_up = typed;
    }
}

/// Both in rows of a form; `labels` are those of the length and the mass.
pub fn put_up_rows(form: &mut Form, labels: [&str; 2], units: LengthUnit, put_up: &mut PutUp) {
    form.row("Length", |form| band_field(form, labels[0], units, put_up));
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
