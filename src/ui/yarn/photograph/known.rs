//! The colour a yarn of the photograph is known to have, typed or from a shade card.

use egui::{ComboBox, RichText, Sense, TextEdit, Ui, Vec2};

use super::light::doubt;
use super::photo;
use crate::app::Action;
use crate::app::photo_desk::{DeskYarn, PhotoAction};
use crate::app::state::State;
use crate::colour::Colour;
use crate::photo::known_colour;
use crate::ui::colours::paint;
use crate::ui::theme::STEP;
use crate::ui::widgets::{caption, name, row, text_field};
use crate::yarn::{ColourSource, Shade};

/// What is typed, and of which yarn.
#[derive(Default)]
pub struct KnownView {
    yarn: u64,
    text: String,
    wrong: Option<String>,
}

/// Shows the fields of a yarn; `number` begins their names.
pub fn show(
    ui: &mut Ui,
    state: &State,
    (number, yarn): (usize, &DeskYarn),
    view: &mut KnownView,
    actions: &mut Vec<Action>,
) {
    if view.yarn != yarn.id {
        let text = yarn.known.map(Colour::to_hex).unwrap_or_default();
        *view = KnownView { yarn: yarn.id, text, wrong: None };
    }
    row(ui, "Its known colour", |ui| {
        let width = ui.available_width() - STEP;
        let response = text_field(ui, &mut view.text, |text| {
            TextEdit::singleline(text).desired_width(width).char_limit(60).hint_text("#rrggbb or L, a, b")
        });
        name(&response, &format!("Known colour of yarn {number}"));
        if response.lost_focus() {
            take(yarn, view, actions);
        }
    });
    let shades: Vec<(&str, &Shade)> = state
        .project()
        .shade_cards
        .iter()
        .flat_map(|card| card.shades().iter().map(|shade| (card.name.as_str(), shade)))
        // A shade that was itself read off a photograph tells nothing new.
        .filter(|(_, shade)| shade.source != ColourSource::Photo)
        .collect();
    if !shades.is_empty() {
        row(ui, "Or a shade of a card", |ui| from_card(ui, (number, yarn), &shades, view, actions));
    }
    if let Some(wrong) = &view.wrong {
        doubt(ui, wrong);
    } else if yarn.known.is_some() {
        caption(ui, "It sets the light for every yarn. Clear the colour to undo.");
    }
}

/// Takes what was typed when it is another colour.
fn take(yarn: &DeskYarn, view: &mut KnownView, actions: &mut Vec<Action>) {
    view.wrong = None;
    let known = if view.text.trim().is_empty() {
        None
    } else {
        match known_colour(&view.text) {
            Ok(colour) => Some(colour),
            Err(error) => {
                view.wrong = Some(error.to_string());
                return;
            }
        }
    };
    // A hex code stands for the finer colour it was made of.
    let same = match (known, yarn.known) {
        (Some(new), Some(old)) => new == old || view.text.trim() == old.to_hex(),
        (new, old) => new == old,
    };
    if !same {
        actions.push(photo(PhotoAction::KnowYarn(yarn.id, known)));
    }
}

fn from_card(
    ui: &mut Ui,
    (number, yarn): (usize, &DeskYarn),
    shades: &[(&str, &Shade)],
    view: &mut KnownView,
    actions: &mut Vec<Action>,
) {
    let combo = ComboBox::from_id_salt("known shade")
        .width(ui.available_width() - STEP)
        .height(320.0)
        .selected_text("Choose")
        .show_ui(ui, |ui| {
            for (place, (card, shade)) in shades.iter().enumerate() {
                ui.push_id(place, |ui| {
                    ui.horizontal(|ui| {
                        let (rect, _) = ui.allocate_exact_size(Vec2::splat(14.0), Sense::hover());
                        ui.painter().rect_filled(rect, 2, paint(shade.colour));
                        let text = RichText::new(format!("{}   {card}", shade.name)).small();
                        if ui.selectable_label(yarn.known == Some(shade.colour), text).clicked() {
                            view.text = shade.colour.to_hex();
                            view.wrong = None;
                            actions.push(photo(PhotoAction::KnowYarn(yarn.id, Some(shade.colour))));
                            ui.close();
                        }
                    });
                });
            }
        });
    name(&combo.response, &format!("Known shade of yarn {number}"));
}
