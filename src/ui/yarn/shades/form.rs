//! Everything known of the chosen shade, to edit.

use std::sync::Arc;

use egui::{Id, Ui};

use super::{ShadesView, edit_card};
use crate::app::Action;
use crate::app::state::State;
use crate::colour::Colour;
use crate::project::{Edit, Project};
use crate::ui::theme::STEP;
use crate::ui::widgets::{Drafted, Form, NumberField, caption, part, price_row, put_up_rows, variation_rows};
use crate::units::{GRAMS_PER_OUNCE, LengthUnit};
use crate::yarn::{
    Blend, CareGroup, CareSymbol, ColourSource, MAX_TEXT, PutUp, Shade, Spin, Stock, WeightClass, YarnMake,
};

/// Shows the fields; a changed one is an edit of the card.
pub fn show(ui: &mut Ui, state: &State, view: &mut ShadesView, shade: &Shade, actions: &mut Vec<Action>) {
    let project = state.project();
    buttons(ui, project, view, shade, actions);
    let mut wanted = shade.clone();
    let (card, place) = (view.card, view.chosen);
    let mut fields = Fields { form: Form::new(ui), draft: &mut view.draft, shade: (card, place) };
    fields.text("Name", "Shade name", &mut wanted.name);
    fields.text("Code", "Shade code", &mut wanted.code);
    part(&mut fields.form, "Colour");
    colour(&mut fields, &mut wanted);
    part(&mut fields.form, "Yarn");
    yarn(&mut fields, &mut wanted, project.units);
    part(&mut fields.form, "To be had");
    supply(&mut fields, project, &mut wanted);
    fields.form.add_space(STEP);
    let ended = fields.form.ended();
    if wanted != *shade {
        match wanted.check() {
            Ok(()) => {
                let mut palette = project.palette.clone();
                let fresh = Arc::new(wanted.clone());
                let knitted = palette
                    .slots_mut()
                    .iter_mut()
                    .filter_map(|slot| slot.follow(shade, &fresh).then_some(()));
                let knitted = knitted.count() > 0;
                let on_card =
                    edit_card(project, card, "Shade", true, |card| card.replace(place, wanted).map(|_| ()));
                actions.push(match on_card {
                    // The colours that are knitted in it go along.
                    Action::Edit { label, edit, in_gesture } if knitted => {
                        let edit = Edit::Several(vec![edit, Edit::Palette(Box::new(palette))]);
                        Action::Edit { label, edit, in_gesture }
                    }
                    other => other,
                });
            }
            Err(reason) => {
                caption(ui, format!("Not taken over: {reason}"));
            }
        }
    }
    if ended {
        actions.push(Action::EndGesture);
    }
}

fn buttons(ui: &mut Ui, project: &Project, view: &mut ShadesView, shade: &Shade, actions: &mut Vec<Action>) {
    let (card, place) = (view.card, view.chosen);
    ui.horizontal(|ui| {
        if ui
            .button("Add shade")
            .on_hover_text("A new shade of the same yarn, at the end of the card")
            .clicked()
        {
            add(project, view, Some(shade), actions);
        }
        if ui.button("Duplicate").on_hover_text("The same shade again, after this one").clicked() {
            actions.push(edit_card(project, card, "Duplicate shade", false, |card| {
                card.insert(place + 1, shade.clone())
            }));
            view.choose(place + 1);
        }
        if ui.button("Remove").on_hover_text("Remove this shade; undo brings it back").clicked() {
            actions.push(edit_card(project, card, "Remove shade", false, |card| {
                card.remove(place);
                Ok(())
            }));
            view.choose(place.saturating_sub(usize::from(
                project.shade_cards.get(card).is_some_and(|card| place + 1 == card.shades().len()),
            )));
        }
    });
}

/// Adds a shade at the end, of the same yarn as another if there is one; its colour is a middle grey.
pub fn add(project: &Project, view: &mut ShadesView, like: Option<&Shade>, actions: &mut Vec<Action>) {
    let Some(card) = project.shade_cards.get(view.card) else { return };
    let place = card.shades().len();
    let fresh = Shade::new(format!("Shade {}", place + 1), Colour::clamped(0.6, 0.0, 0.0));
    let fresh = match like {
        Some(like) => Shade {
            fibre: like.fibre.clone(),
            weight_class: like.weight_class,
            put_up: like.put_up,
            ball_price: like.ball_price,
            make: like.make.clone(),
            ..fresh
        },
        None => fresh,
    };
    actions.push(edit_card(project, view.card, "Add shade", false, |card| card.push(fresh)));
    view.choose(place);
}

/// The fields of one shade. What is typed stands until the field is left, even where the shade cannot take it
/// over.
struct Fields<'a, 'u> {
    form: Form<'u>,
    draft: &'a mut Option<(Id, String)>,
    /// Card and place: a draft belongs to one shade.
    shade: (usize, usize),
}

impl Fields<'_, '_> {
    /// A text in a row.
    fn text(&mut self, title: &str, label: &str, value: &mut String) {
        if let Drafted::Typing(typed) = self.drafted(title, label, value) {
            *value = typed;
        }
    }

    fn drafted(&mut self, title: &str, label: &str, value: &str) -> Drafted {
        let (of, draft) = ((label, self.shade), &mut *self.draft);
        self.form.row(title, |form| form.drafted(of, MAX_TEXT, value, draft))
    }
}

fn colour(fields: &mut Fields, shade: &mut Shade) {
    let shown = shade.colour.to_hex();
    match fields.drafted("Hex (sRGB)", "Shade hex", &shown) {
        Drafted::Left(text) => {
            if let Ok(typed) = Colour::from_hex(&text)
                && typed.to_hex() != shown
            {
                shade.colour = typed;
            }
        }
        Drafted::Typing(text) => {
            if let Err(reason) = Colour::from_hex(&text) {
                caption(&mut fields.form, reason.to_string());
            }
        }
        Drafted::Still => {}
    }
    let form = &mut fields.form;
    let old = shade.colour;
    let left = form.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        let mut form = Form::new(ui);
        let parts: [(&str, &str, f64, f64, usize, &str, f64); 3] = [
            ("Shade lightness", "L", old.lightness(), 1.0, 3, "", 0.002),
            ("Shade chroma", "C", old.chroma(), Colour::MAX_CHROMA, 3, "", 0.001),
            ("Shade hue", "h", old.hue_angle(), 360.0, 1, "°", 0.5),
        ];
        for (number, (label, letter, value, most, decimals, suffix, speed)) in parts.into_iter().enumerate() {
            form.label(letter).on_hover_text(label);
            let field = NumberField { label, suffix, range: 0.0..=most, decimals, speed };
            if let Some(typed) = field.edited(&mut form, value) {
                shade.colour = match number {
                    0 => old.with_lightness(typed),
                    1 => old.with_chroma(typed),
                    _ => old.with_hue(typed),
                };
            }
        }
        form.ended()
    });
    form.end_if(left.inner);
    let value = format!("Value L* {:.0} of 100.", shade.colour.lstar());
    let beyond = " More colourful than the screen can show; shown as near as it can.";
    caption(form, if shade.colour.is_in_gamut() { value } else { value + beyond });
    let before = shade.source;
    let sources = ColourSource::ALL.into_iter().map(|source| (source, source.told()));
    form.choice("Known from", "Colour source", sources, &mut shade.source);
    if shade.source != before && shade.uncertainty == before.usual_uncertainty() {
        shade.uncertainty = shade.source.usual_uncertainty();
    }
    let field = NumberField {
        label: "Uncertainty",
        suffix: " CIEDE2000",
        range: 0.0..=100.0,
        decimals: 1,
        speed: 0.05,
    };
    if let Some(typed) = form.number("May be off by", &field, shade.uncertainty) {
        shade.uncertainty = typed;
    }
}

fn yarn(fields: &mut Fields, shade: &mut Shade, units: LengthUnit) {
    fields.text("Yarn line", "Yarn line", &mut shade.make.line);
    fields.text("Fibre", "Shade fibre", &mut shade.fibre);
    let form = &mut fields.form;
    caption(form, fibre_reading(&shade.fibre));
    let classes = WeightClass::ALL.map(|class| (Some(class.number()), class_name(class)));
    let classes = std::iter::once((None, "Not known".to_owned())).chain(classes);
    form.choice("Weight class", "Shade weight class", classes, &mut shade.weight_class);
    let known = form.tick("Metres and ball known", shade.put_up.is_some());
    shade.put_up = known.then(|| shade.put_up.unwrap_or_default());
    if let Some(put_up) = &mut shade.put_up {
        put_up_rows(form, ["Shade, length in 100 g", "Shade, ball"], units, put_up);
        caption(form, thickness_reading(*put_up, shade.weight_class, units));
    }
    let of = ("shade", fields.shade.0, fields.shade.1);
    variation_rows(&mut fields.form, (of, units), true, fields.draft, &mut shade.varies);
    make(fields, shade);
}

/// How it is spun, its wraps and its care label, in words that are read when the field is left.
fn make(fields: &mut Fields, shade: &mut Shade) {
    let shown = shade.make.spin.map_or_else(String::new, Spin::name);
    match fields.drafted("Spun", "How the shade is spun", &shown) {
        Drafted::Left(text) if text.trim().is_empty() => shade.make.spin = None,
        Drafted::Left(text) => {
            if let Ok(spin) = YarnMake::spin_of_words(&text) {
                shade.make.spin = Some(spin);
            }
        }
        Drafted::Typing(text) => {
            if let Err(reason) = YarnMake::spin_of_words(&text) {
                caption(&mut fields.form, reason.to_string());
            }
        }
        Drafted::Still => {}
    }
    let field = NumberField {
        label: "Wraps of the shade",
        suffix: " per inch",
        range: 1.0..=200.0,
        decimals: 1,
        speed: 0.1,
    };
    fields.form.maybe(
        ("Wraps", "Wraps of the shade are known"),
        &field,
        &mut shade.make.wraps_per_inch,
        14.0,
    );
    let care = &mut shade.make.care;
    let of_washing = || CareSymbol::all().filter(|symbol| symbol.group() == CareGroup::Washing);
    let present = care.symbols().iter().copied().find(|symbol| symbol.group() == CareGroup::Washing);
    let mut chosen = present;
    let options = std::iter::once((None, "not on the label"))
        .chain(of_washing().map(|symbol| (Some(symbol), symbol.meaning())));
    fields.form.choice("Washing", "Washing of the shade", options, &mut chosen);
    if chosen != present {
        let others = care.symbols().iter().copied().filter(|symbol| symbol.group() != CareGroup::Washing);
        // Symbols of other groups cannot contradict it.
        if let Ok(label) = care.with_symbols(others.chain(chosen)) {
            *care = label;
        }
    }
    if let Some(unread) = shade.make.care.unread_words() {
        caption(&mut fields.form, unread);
    }
}

/// How the program understands the fibre.
fn fibre_reading(text: &str) -> String {
    if text.trim().is_empty() {
        return "As on the label, for example: 75 % wool, 25 % nylon".to_owned();
    }
    match Blend::parse(text) {
        Ok(blend) => format!("Understood as: {}", blend.name()),
        Err(reason) => format!("Kept as a note only: {reason}"),
    }
}

fn class_name(class: WeightClass) -> String {
    format!("{} {}", class.number(), class.name())
}

/// Length of a ball, and the class that yarn of this thickness is traded as.
fn thickness_reading(put_up: PutUp, class: Option<u8>, units: LengthUnit) -> String {
    let metres = put_up.metres_per_ball();
    let length = match units {
        LengthUnit::Metric => format!("{metres:.0} m a ball."),
        LengthUnit::Imperial => {
            let per_ounce = units.from_metres(put_up.grist.get()) * GRAMS_PER_OUNCE / 100.0;
            format!("{:.0} yd a ball, {per_ounce:.0} yd per oz.", units.from_metres(metres))
        }
    };
    let traded = WeightClass::for_grist(put_up.grist);
    let fits = class.is_none_or(|class| traded.classes.iter().any(|known| known.number() == class));
    if fits && class.is_some() {
        return length;
    }
    format!("{length} Yarn of this thickness is mostly traded as {}.", class_name(traded.best))
}

fn supply(fields: &mut Fields, project: &Project, shade: &mut Shade) {
    let form = &mut fields.form;
    price_row(form, &project.currency, &mut shade.ball_price);
    let balls = shade.owned_balls();
    let stocks = [
        (Stock::InStock, "To be bought"),
        (Stock::Owned(balls.max(1)), "On hand"),
        (Stock::Out, "Not to be had"),
    ];
    form.choice("Stock", "Stock of the shade", stocks, &mut shade.stock);
    if balls > 0 && shade.owned_balls() > 0 {
        let field = NumberField {
            label: "Balls on hand",
            suffix: "",
            range: 1.0..=10_000.0,
            decimals: 0,
            speed: 0.1,
        };
        if let Some(typed) = form.number("Balls on hand", &field, f64::from(balls)) {
            shade.stock = Stock::Owned(typed.round() as u32);
        }
    }
    fields.text("Dye lot", "Dye lot", &mut shade.dye_lot);
    fields.text("Photograph", "Photograph of the shade", &mut shade.photo);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_ball_is_read_in_both_systems() {
        let put_up = PutUp::new(400.0, 50.0).unwrap();
        assert_eq!(thickness_reading(put_up, Some(1), LengthUnit::Metric), "200 m a ball.");
        // 400 m are 437.4 yd; 100 g are 3.527 oz.
        assert_eq!(thickness_reading(put_up, Some(1), LengthUnit::Imperial), "219 yd a ball, 124 yd per oz.");
        assert!(thickness_reading(put_up, Some(5), LengthUnit::Metric).contains("mostly traded as 1"));
    }

    #[test]
    fn a_fibre_that_is_not_understood_is_kept() {
        assert_eq!(fibre_reading("25% nylon, wool 75 %"), "Understood as: 25 % nylon, 75 % wool");
        assert!(fibre_reading("moonbeam").starts_with("Kept as a note only"));
    }
}
