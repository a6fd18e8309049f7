//! The accepted yarns on a shade card: what is the same for every ball is given once.

use egui::{Button, Label, Response, RichText, Sense, Stroke, StrokeKind, TextEdit, Ui, Vec2};

use super::{PhotographView, photo};
use crate::app::Action;
use crate::app::photo_desk::{BallFacts, CardChoice, DeskYarn, PhotoAction, Photograph, YarnReading};
use crate::app::state::State;
use crate::project::Project;
use crate::ui::colours::paint;
use crate::ui::theme::{STEP, Tokens, semibold};
use crate::ui::widgets::{
    Form, caption, count_field, heading, name, price_row, put_up_rows, row, text_field,
};
use crate::yarn::{Blend, MAX_TEXT, WeightClass};

/// What the form remembers between frames.
#[derive(Default)]
pub struct BallForm {
    /// What is the same for every ball.
    pub facts: BallFacts,
    /// The card chosen, by its place and its name, so that a card of another project is never taken
    /// for it; `None` for a new one.
    card: Option<(usize, String)>,
    /// Name of a new card; `None` until it is typed, then the photograph's.
    new_name: Option<String>,
}

/// Shows the section.
pub fn show(
    ui: &mut Ui,
    state: &State,
    photograph: &Photograph,
    view: &mut PhotographView,
    actions: &mut Vec<Action>,
) {
    let project = state.project();
    let form = &mut view.balls;
    heading(ui, "Put on a shade card");
    card(ui, project, photograph, form);
    ui.add_space(STEP / 2.0);
    ui.horizontal(|ui| {
        ui.label(RichText::new("The same for every ball").family(semibold()));
        if let Some(yarn) = &project.material.yarn {
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                ui.add_space(STEP);
                let tip = format!("Fibre, class, length, price and dye lot of {}", yarn.name);
                if ui.button("As this yarn").on_hover_text(tip).clicked() {
                    form.facts = BallFacts { balls_at_home: form.facts.balls_at_home, ..BallFacts::of(yarn) };
                }
            });
        }
    });
    facts(ui, project, &mut form.facts);
    ui.add_space(STEP / 2.0);
    let accepted = photograph.accepted().count();
    let put = ui.add_enabled(accepted > 0, Button::new("Put on the shade card"));
    let put = put.on_disabled_hover_text("Accept a yarn first, under Light and yarns");
    if put.clicked() {
        let choice = if let Some((place, _)) = &form.card {
            CardChoice::Existing(*place)
        } else {
            let name = new_name(photograph, form).trim().to_owned();
            // The next photograph of the same yarn goes on the same card.
            form.card = Some((project.shade_cards.len(), name.clone()));
            CardChoice::New(name)
        };
        actions.push(photo(PhotoAction::PutOnCard(choice, form.facts.clone())));
    }
    let count = photograph.yarns.len();
    caption(
        ui,
        match (accepted, count) {
            (0, 0) => "No yarn is read yet: find or draw the yarns first.".to_owned(),
            (0, _) => "No yarn is accepted yet: tick the yarns you want under Light and yarns.".to_owned(),
            (1, 1) => "The yarn goes on the card with its place in the picture and its error.".to_owned(),
            _ => format!(
                "{accepted} of {count} yarns go on the card, each with its place in the picture and its error."
            ),
        },
    );
    caption(ui, "The shades are saved with the project; the photograph is not.");
    ui.add_space(STEP / 2.0);
    for (yarn, reading) in photograph.accepted() {
        shade(ui, yarn, reading);
    }
}

/// A yarn as it will stand on the card.
fn shade(ui: &mut Ui, yarn: &DeskYarn, reading: &YarnReading) {
    ui.horizontal(|ui| {
        let (rect, _) = ui.allocate_exact_size(Vec2::new(34.0, 20.0), Sense::hover());
        ui.painter().rect_filled(rect, 3, paint(reading.sample.colour));
        ui.painter().rect_stroke(rect, 3, Stroke::new(1.0, Tokens::of(ui).edge), StrokeKind::Inside);
        let name = if yarn.name.trim().is_empty() { "Needs a name" } else { yarn.name.as_str() };
        let text =
            format!("{name}   {} ±{:.1}", reading.sample.colour.to_hex(), reading.sample.error.total());
        ui.add(Label::new(RichText::new(text).small()).truncate());
    });
}

fn new_name(photograph: &Photograph, form: &BallForm) -> String {
    form.new_name.clone().unwrap_or_else(|| {
        photograph.name.rsplit_once('.').map_or(photograph.name.as_str(), |(stem, _)| stem).to_owned()
    })
}

fn card(ui: &mut Ui, project: &Project, photograph: &Photograph, form: &mut BallForm) {
    let cards = &project.shade_cards;
    form.card.take_if(|(place, name)| cards.get(*place).is_none_or(|card| card.name != *name));
    let known =
        cards.iter().enumerate().map(|(place, card)| (Some((place, card.name.clone())), card.name.as_str()));
    let options = std::iter::once((None, "A new card")).chain(known);
    Form::new(ui).choice("Card", "Card for the yarns", options, &mut form.card);
    if form.card.is_none() {
        row(ui, "Name of the card", |ui| {
            let mut text = new_name(photograph, form);
            let edit = line(ui, &mut text, "");
            name(&edit, "Name of the new card");
            if edit.changed() {
                form.new_name = Some(text);
            }
        });
    }
}

/// A line of text as wide as its row.
fn line(ui: &mut Ui, text: &mut String, hint: &str) -> Response {
    let width = ui.available_width() - STEP;
    text_field(ui, text, |text| {
        TextEdit::singleline(text).desired_width(width).char_limit(MAX_TEXT).hint_text(hint)
    })
}

fn facts(ui: &mut Ui, project: &Project, facts: &mut BallFacts) {
    row(ui, "Fibre", |ui| {
        let hint = project.material.blend.as_ref().map_or_else(|| "e.g. wool".to_owned(), Blend::name);
        name(&line(ui, &mut facts.fibre, &hint), "Fibre of the balls");
    });
    let words = |class: Option<WeightClass>| {
        class.map_or_else(|| "Not known".to_owned(), |class| format!("{}  {}", class.number(), class.name()))
    };
    let classes = std::iter::once(None).chain(WeightClass::ALL.map(Some)).map(|class| (class, words(class)));
    Form::new(ui).choice("Weight class", "Weight class of the balls", classes, &mut facts.weight_class);
    // They are no part of the project, so nothing hangs on when a field is left.
    let mut form = Form::new(ui);
    let known = form.tick("Length and ball size are known", facts.put_up.is_some());
    facts.put_up = known.then(|| facts.put_up.unwrap_or_default());
    if let Some(put_up) = &mut facts.put_up {
        put_up_rows(&mut form, ["Length in 100 g", "Mass of a ball"], project.units, put_up);
    }
    price_row(&mut form, &project.currency, &mut facts.ball_price);
    row(ui, "On hand, of each", |ui| {
        if let Some(balls) = count_field(ui, "Balls on hand", " balls", 0..=999, facts.balls_at_home) {
            facts.balls_at_home = balls;
        }
    });
    row(ui, "Dye lot", |ui| {
        name(&line(ui, &mut facts.dye_lot, ""), "Dye lot of the balls");
    });
}
