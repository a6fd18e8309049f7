//! "This ball is that shade": a yarn of the photograph set equal to a shade of a card.

use std::sync::Arc;

use egui::{ComboBox, RichText, Sense, Ui, Vec2};

use super::light::doubt;
use super::photo;
use crate::app::Action;
use crate::app::cards::LikeAsk;
use crate::app::photo_desk::{DeskYarn, PhotoAction, YarnReading};
use crate::app::state::State;
use crate::ui::colours::paint;
use crate::ui::theme::STEP;
use crate::ui::widgets::{caption, name, row};
use crate::units::and_more;
use crate::yarn::LikeShade;

/// Shows the choice of the chosen yarn, and the shades it could as well be.
pub fn show(
    ui: &mut Ui,
    state: &State,
    (number, yarn): (usize, &DeskYarn),
    reading: &YarnReading,
    actions: &mut Vec<Action>,
) {
    let cards = &state.project().shade_cards;
    if cards.iter().all(|card| card.shades().is_empty()) {
        return;
    }
    let ask = LikeAsk { cards: cards.clone(), colour: reading.sample.colour };
    let Some(like) = state.desks.cards.like(&ask, &state.jobs).value() else { return };
    row(ui, "This ball is", |ui| choice(ui, state, (number, yarn), &like, actions));
    let error = reading.sample.error.total();
    let within: Vec<&LikeShade> = like.iter().filter(|like| like.difference <= error).collect();
    if let Some(shade) = &yarn.shade {
        let code = if shade.code.is_empty() { String::new() } else { format!(" ({})", shade.code) };
        let off = shade.colour.difference(reading.sample.colour);
        caption(
            ui,
            format!(
                "Name, code and price are those of {}{code}; what was read, {off:.1} CIEDE2000 from it, stays with it as \
                 a second reading.",
                shade.name
            ),
        );
        if off > 2.0 * error {
            doubt(
                ui,
                "That is more than twice what the reading may be off: is it this shade, and is the light right?",
            );
        }
    }
    if within.len() > 1 {
        let names: Vec<String> = within
            .iter()
            .take(4)
            .map(|like| format!("{} ({:.1})", like.shade.name, like.difference))
            .collect();
        let more = and_more(within.len().saturating_sub(4));
        doubt(
            ui,
            &format!(
                "Twins: {}{more} are all nearer than the ±{error:.1} of the reading. The band decides.",
                names.join(", ")
            ),
        );
    }
}

fn choice(
    ui: &mut Ui,
    state: &State,
    (number, yarn): (usize, &DeskYarn),
    like: &[LikeShade],
    actions: &mut Vec<Action>,
) {
    let cards = &state.project().shade_cards;
    let shown = yarn.shade.as_ref().map_or("A shade of its own", |shade| shade.name.as_str());
    let combo = ComboBox::from_id_salt("same shade")
        .width(ui.available_width() - STEP)
        .height(320.0)
        .truncate()
        .selected_text(shown)
        .show_ui(ui, |ui| {
            if ui.selectable_label(yarn.shade.is_none(), "A shade of its own").clicked() {
                actions.push(photo(PhotoAction::IsShade(yarn.id, None)));
                ui.close();
            }
            for (place, like) in like.iter().enumerate() {
                ui.push_id(place, |ui| {
                    ui.horizontal(|ui| {
                        let (rect, _) = ui.allocate_exact_size(Vec2::splat(14.0), Sense::hover());
                        ui.painter().rect_filled(rect, 2, paint(like.shade.colour));
                        let card = cards.get(like.card).map_or("", |card| card.name.as_str());
                        let (shade, off) = (&like.shade, like.difference);
                        let text = format!("{} {}   {off:.1}   {card}", shade.code, shade.name);
                        let chosen = yarn.shade.as_ref() == Some(shade);
                        if ui.selectable_label(chosen, RichText::new(text.trim()).small()).clicked() {
                            actions.push(photo(PhotoAction::IsShade(yarn.id, Some(Arc::clone(shade)))));
                            ui.close();
                        }
                    });
                });
            }
        });
    let tip = "The nearest shades of your cards, with CIEDE2000 from what was read";
    name(&combo.response.on_hover_text(tip), &format!("Shade of yarn {number}"));
}
