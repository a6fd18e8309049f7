//! How a yarn is sold, typed in the project's own units.

use std::cell::Cell;

use egui::{Response, Ui};

use super::field::{FieldWords, NumberField};
use super::form::Form;
use crate::plain_text::quoted;
use crate::units::{Currency, LengthUnit, MetresPer100G, Price};
use crate::yarn::{PutUp, band_price};

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

/// The price of a ball, empty (a dash) while nobody told it: nothing is counted as a price before one is typed. `£5.45`
/// and `5,45 €` are understood where they are in the project's currency; 0 takes the price out.
pub fn price_row(form: &mut Form, currency: &Currency, price: &mut Option<Price>) {
    form.row("Price", |form| {
        let response = price_field(form, ("Price of a ball", " a ball"), currency, price);
        form.end_if(response.drag_stopped() || response.lost_focus());
    });
}

/// The field of [`price_row`] by itself, with its label and the unit after it.
pub fn price_field(
    ui: &mut Ui,
    (label, suffix): (&str, &str),
    currency: &Currency,
    price: &mut Option<Price>,
) -> Response {
    let field = NumberField { label, suffix, range: Price::MIN..=Price::MAX, decimals: 2, speed: 0.05 };
    let read = |text: &str| match band_price(text) {
        Ok(price) if price.currency.is_empty() || currency.is_written(&price.currency) => Ok(price.amount),
        Ok(price) => Err(format!(
            "'{}' is in {}: the project's prices are in {}, which stands at the top of Shopping",
            quoted(text),
            price.currency,
            if currency.written().is_empty() { "no currency yet" } else { currency.written() }
        )),
        Err(fault) => Err(fault.to_string()),
    };
    let words = FieldWords { read: &read, nothing: Some("–") };
    let (response, typed) = field.respond_to_words(ui, price.map_or(0.0, Price::get), words);
    if let Some(typed) = typed {
        *price = (typed > 0.0).then_some(Price::clamped(typed));
    }
    response.on_hover_text("0 when it is not known: it is then counted nowhere")
}
