//! Everything known of the chosen shade, to edit.

use egui::{Checkbox, ComboBox, Id, TextEdit, Ui};

use super::{ShadesView, edit_card};
use crate::app::Action;
use crate::app::state::State;
use crate::colour::Colour;
use crate::project::Project;
use crate::ui::theme::STEP;
use crate::ui::widgets::{NumberField, ball_field, caption, grist_field, name, part, row};
use crate::units::{GRAMS_PER_OUNCE, LengthUnit};
use crate::yarn::{Blend, ColourSource, MAX_TEXT, PutUp, Shade, Stock, WeightClass};

/// Shows the fields; a changed one is an edit of the card.
pub fn show(ui: &mut Ui, state: &State, view: &mut ShadesView, shade: &Shade, actions: &mut Vec<Action>) {
    let project = state.project();
    buttons(ui, project, view, shade, actions);
    let mut wanted = shade.clone();
    let (card, place) = (view.card, view.chosen);
    let mut fields = Fields { draft: &mut view.draft, shade: (card, place), ended: false };
    fields.text(ui, "Name", "Shade name", &mut wanted.name);
    fields.text(ui, "Code", "Shade code", &mut wanted.code);
    part(ui, "Colour");
    colour(ui, &mut fields, &mut wanted);
    part(ui, "Yarn");
    yarn(ui, &mut fields, &mut wanted, project.units);
    part(ui, "To be had");
    supply(ui, &mut fields, &mut wanted);
    ui.add_space(STEP);
    let ended = fields.ended;
    if wanted != *shade {
        match wanted.check() {
            Ok(()) => actions.push(edit_card(project, card, "Shade", true, |card| {
                card.replace(place, wanted).map(|_| ())
            })),
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
            ..fresh
        },
        None => fresh,
    };
    actions.push(edit_card(project, view.card, "Add shade", false, |card| card.push(fresh)));
    view.choose(place);
}

/// The fields of one shade, and whether one of them was left in this frame.
struct Fields<'a> {
    draft: &'a mut Option<(Id, String)>,
    /// Card and place: a draft belongs to one shade.
    shade: (usize, usize),
    ended: bool,
}

impl Fields<'_> {
    /// A text in a row. What is typed stands until the field is left, even where the shade cannot
    /// take it over.
    fn text(&mut self, ui: &mut Ui, text: &str, label: &str, value: &mut String) {
        row(ui, text, |ui| {
            if let (Some(typed), _) = self.typed(ui, label, value) {
                *value = typed;
            }
        });
    }

    /// A text field: what is being typed, and what it held when it was left.
    fn typed(&mut self, ui: &mut Ui, label: &str, value: &str) -> (Option<String>, Option<String>) {
        let id = ui.make_persistent_id((label, self.shade));
        let mine = self.draft.take_if(|(field, _)| *field == id);
        let mut text = mine.map_or_else(|| value.to_owned(), |(_, text)| text);
        let field = TextEdit::singleline(&mut text).id(id).desired_width(f32::INFINITY).char_limit(MAX_TEXT);
        let response = ui.add(field);
        name(&response, label);
        if response.lost_focus() {
            self.ended = true;
            return (None, Some(text));
        }
        if !response.has_focus() {
            return (None, None);
        }
        *self.draft = Some((id, text.clone()));
        (Some(text), None)
    }

    /// A number in a row; the typed value.
    fn number(&mut self, ui: &mut Ui, text: &str, field: &NumberField, value: f64) -> Option<f64> {
        row(ui, text, |ui| self.bare_number(ui, field, value))
    }

    fn bare_number(&mut self, ui: &mut Ui, field: &NumberField, value: f64) -> Option<f64> {
        field.edited(ui, value, &mut self.ended)
    }

    /// One of a list in a row.
    fn choice<T: Copy + PartialEq>(
        &mut self,
        ui: &mut Ui,
        text: &str,
        label: &str,
        options: impl Iterator<Item = (T, String)>,
        value: &mut T,
    ) {
        let options: Vec<_> = options.collect();
        let current =
            options.iter().find(|(option, _)| option == value).map_or("", |(_, text)| text.as_str());
        row(ui, text, |ui| {
            let combo = ComboBox::from_id_salt(label)
                .width(ui.available_width() - STEP)
                .truncate()
                .selected_text(current)
                .height(320.0);
            let combo = combo.show_ui(ui, |ui| {
                for (option, text) in &options {
                    self.ended |= ui.selectable_value(value, *option, text).clicked();
                }
            });
            name(&combo.response, label);
        });
    }

    /// A box to tick; whether it is ticked.
    fn tick(&mut self, ui: &mut Ui, text: &str, ticked: bool) -> bool {
        let mut ticked = ticked;
        self.ended |= ui.add(Checkbox::new(&mut ticked, text)).changed();
        ticked
    }
}

fn colour(ui: &mut Ui, fields: &mut Fields<'_>, shade: &mut Shade) {
    let shown = shade.colour.to_hex();
    let wrong = row(ui, "Hex (sRGB)", |ui| {
        let (typing, left) = fields.typed(ui, "Shade hex", &shown);
        if let Some(Ok(typed)) = left.map(|text| Colour::from_hex(&text))
            && typed.to_hex() != shown
        {
            shade.colour = typed;
        }
        typing.and_then(|text| Colour::from_hex(&text).err())
    });
    if let Some(reason) = wrong {
        caption(ui, reason.to_string());
    }
    let old = shade.colour;
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 4.0;
        let parts: [(&str, &str, f64, f64, usize, &str, f64); 3] = [
            ("Shade lightness", "L", old.lightness(), 1.0, 3, "", 0.002),
            ("Shade chroma", "C", old.chroma(), Colour::MAX_CHROMA, 3, "", 0.001),
            ("Shade hue", "h", old.hue_angle(), 360.0, 1, "°", 0.5),
        ];
        for (number, (label, letter, value, most, decimals, suffix, speed)) in parts.into_iter().enumerate() {
            ui.label(letter).on_hover_text(label);
            let field = NumberField { label, suffix, range: 0.0..=most, decimals, speed };
            if let Some(typed) = fields.bare_number(ui, &field, value) {
                shade.colour = match number {
                    0 => old.with_lightness(typed),
                    1 => old.with_chroma(typed),
                    _ => old.with_hue(typed),
                };
            }
        }
    });
    let value = format!("Value L* {:.0} of 100.", shade.colour.lstar());
    let beyond = " More colourful than the screen can show; shown as near as it can.";
    caption(ui, if shade.colour.is_in_gamut() { value } else { value + beyond });
    let before = shade.source;
    let sources = ColourSource::ALL.into_iter().map(|source| (source, source_words(source).to_owned()));
    fields.choice(ui, "Known from", "Colour source", sources, &mut shade.source);
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
    if let Some(typed) = fields.number(ui, "May be off by", &field, shade.uncertainty) {
        shade.uncertainty = typed;
    }
}

const fn source_words(source: ColourSource) -> &'static str {
    match source {
        ColourSource::Photo => "A photograph",
        ColourSource::Typed => "Typed in",
        ColourSource::Maker => "The maker",
    }
}

fn yarn(ui: &mut Ui, fields: &mut Fields<'_>, shade: &mut Shade, units: LengthUnit) {
    fields.text(ui, "Fibre", "Shade fibre", &mut shade.fibre);
    caption(ui, fibre_reading(&shade.fibre));
    let classes = WeightClass::ALL.map(|class| (Some(class.number()), class_name(class)));
    let classes = std::iter::once((None, "Not known".to_owned())).chain(classes);
    fields.choice(ui, "Weight class", "Shade weight class", classes, &mut shade.weight_class);
    let known = fields.tick(ui, "Metres and ball known", shade.put_up.is_some());
    shade.put_up = known.then(|| shade.put_up.unwrap_or_default());
    let Some(old) = shade.put_up else { return };
    let mut put_up = old;
    row(ui, "Thickness", |ui| {
        let label = "Shade, length in 100 g";
        put_up.grist = grist_field(ui, label, units, old.grist, &mut fields.ended).unwrap_or(old.grist);
    });
    row(ui, "Put up in", |ui| {
        put_up = ball_field(ui, "Shade, ball", units, put_up, &mut fields.ended).unwrap_or(put_up);
    });
    shade.put_up = Some(put_up);
    caption(ui, thickness_reading(old, shade.weight_class, units));
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

fn supply(ui: &mut Ui, fields: &mut Fields<'_>, shade: &mut Shade) {
    let known = fields.tick(ui, "Price known", shade.ball_price.is_some());
    shade.ball_price = known.then(|| shade.ball_price.unwrap_or(0.0));
    if let Some(price) = shade.ball_price {
        let field = NumberField {
            label: "Price of a ball",
            suffix: "",
            range: 0.0..=100_000.0,
            decimals: 2,
            speed: 0.05,
        };
        if let Some(typed) = fields.number(ui, "Price of a ball", &field, price) {
            shade.ball_price = Some(typed);
        }
    }
    let balls = shade.owned_balls();
    let stocks = [
        (Stock::InStock, "To be bought"),
        (Stock::Owned(balls.max(1)), "At home"),
        (Stock::Out, "Not to be had"),
    ];
    let stocks = stocks.into_iter().map(|(stock, words)| (stock, words.to_owned()));
    fields.choice(ui, "Stock", "Stock of the shade", stocks, &mut shade.stock);
    if balls > 0 && shade.owned_balls() > 0 {
        let field = NumberField {
            label: "Balls at home",
            suffix: "",
            range: 1.0..=10_000.0,
            decimals: 0,
            speed: 0.1,
        };
        if let Some(typed) = fields.number(ui, "Balls at home", &field, f64::from(balls)) {
            shade.stock = Stock::Owned(typed.round() as u32);
        }
    }
    fields.text(ui, "Dye lot", "Dye lot", &mut shade.dye_lot);
    fields.text(ui, "Photograph", "Photograph of the shade", &mut shade.photo);
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
