//! The list of cards, and the files they come from and go to.

use std::sync::Arc;

use egui::{FontId, Rect, Role, Sense, TextEdit, Ui, Vec2, WidgetInfo};

use super::ShadesView;
use crate::app::Action;
use crate::app::cards::{CardAction, changed, shades};
use crate::app::purpose::CardFile;
use crate::app::state::State;
use crate::project::Project;
use crate::ui::colours::seen;
use crate::ui::theme::{BODY, CORNER, SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{caption, focus_ring, heading, name, truncated};
use crate::yarn::{MAX_TEXT, ShadeCard};

/// Colours shown of a card in the list.
const STRIP: usize = 24;

/// Shows the list.
pub fn show(ui: &mut Ui, state: &State, view: &mut ShadesView, actions: &mut Vec<Action>) {
    let project = state.project();
    heading(ui, "Shade cards");
    if project.shade_cards.is_empty() {
        caption(ui, "No card yet.");
    }
    for (place, card) in project.shade_cards.iter().enumerate() {
        if row(ui, state, place, card, place == view.card) {
            view.guide = false;
            actions.push(Action::Cards(CardAction::Show(place)));
        }
    }
    if ui.button("New card").on_hover_text("An empty card, to fill by hand").clicked() {
        new_card(project, actions);
    }
    if let Some(card) = project.shade_cards.get(view.card) {
        ui.add_space(STEP);
        this_card(ui, project, view, card, actions);
    }
    ui.add_space(STEP);
    bring_in(ui, view, actions);
    ui.add_space(STEP);
}

/// Begins an empty card.
pub fn new_card(project: &Project, actions: &mut Vec<Action>) {
    let name = format!("Card {}", project.shade_cards.len() + 1);
    let Ok(card) = ShadeCard::new(name, Vec::new()) else { return };
    actions.push(Action::edit("New shade card", changed(project, |cards| cards.push(Arc::new(card)))));
    actions.push(Action::Cards(CardAction::Show(project.shade_cards.len())));
}

fn this_card(ui: &mut Ui, project: &Project, view: &ShadesView, card: &ShadeCard, actions: &mut Vec<Action>) {
    heading(ui, "This card");
    let mut text = card.name.clone();
    let field = TextEdit::singleline(&mut text).desired_width(f32::INFINITY).char_limit(MAX_TEXT);
    let response = ui.add(field.hint_text("Name of the card")).on_hover_text("Name of the card");
    name(&response, "Name of the card");
    if response.changed() {
        let renamed = changed(project, |cards| Arc::make_mut(&mut cards[view.card]).name = text);
        actions.push(Action::gesture("Rename shade card", renamed));
    }
    if response.lost_focus() {
        actions.push(Action::EndGesture);
    }
    if !card.shades().is_empty() {
        ui.horizontal(|ui| {
            file_button(ui, "Save card…", "This card as a file, for other projects", CardFile::Save, actions);
            let tip = "This card as a CSV table, for a spreadsheet";
            file_button(ui, "Save table…", tip, CardFile::SaveTable, actions);
        });
    }
    if ui.button("Remove card").on_hover_text("Remove this card; undo brings it back").clicked() {
        let place = view.card;
        let remove = changed(project, |cards| {
            cards.remove(place);
        });
        actions.push(Action::edit("Remove shade card", remove));
        actions.push(Action::Cards(CardAction::Show(place.saturating_sub(1))));
    }
}

fn bring_in(ui: &mut Ui, view: &mut ShadesView, actions: &mut Vec<Action>) {
    heading(ui, "Bring in");
    file_button(ui, "Open card…", "A shade card that was saved from a project", CardFile::Open, actions);
    let tip = "A CSV table from a spreadsheet, as a card of its own";
    file_button(ui, "Import table…", tip, CardFile::Import, actions);
    let tip = "A short table with every column, to fill in";
    file_button(ui, "Save example table…", tip, CardFile::SaveExample, actions);
    let tip = "What a table of shades may hold, column by column";
    ui.toggle_value(&mut view.guide, "Columns of a table").on_hover_text(tip);
}

fn file_button(ui: &mut Ui, text: &str, tip: &str, file: CardFile, actions: &mut Vec<Action>) {
    if ui.button(text).on_hover_text(tip).clicked() {
        actions.push(Action::Cards(CardAction::Pick(file)));
    }
}

/// One card with a strip of its colours; whether it was clicked.
fn row(ui: &mut Ui, state: &State, place: usize, card: &ShadeCard, shown: bool) -> bool {
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 54.0), Sense::click());
    let count = shades(card.shades().len());
    let label = format!("Card {}. {}: {count}", place + 1, card.name);
    response.widget_info(|| WidgetInfo::selected(Role::Button, true, shown, &label));
    let tokens = Tokens::of(ui);
    let fill = tokens.list_fill(shown, &response);
    ui.painter().rect_filled(rect, CORNER, fill);
    let line = |text: String, font: FontId, ink| truncated(ui, text, font, ink, rect.width() - 2.0 * STEP);
    let font = if shown { FontId::new(BODY, semibold()) } else { FontId::proportional(BODY) };
    let at = rect.min + Vec2::new(STEP, 3.0);
    ui.painter().galley(at, line(card.name.clone(), font, tokens.text), tokens.text);
    let ink = if shown { tokens.text } else { tokens.weak };
    let count = line(count, FontId::proportional(SMALL), ink);
    ui.painter().galley(at + Vec2::new(0.0, 19.0), count, ink);
    let strip = Rect::from_min_max(
        rect.left_bottom() + Vec2::new(STEP, -12.0),
        rect.right_bottom() - Vec2::new(STEP, 5.0),
    );
    paint_strip(ui, state, card, strip);
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    response.on_hover_text(&card.name).clicked()
}

/// Shades evenly taken from the card, side by side.
fn paint_strip(ui: &Ui, state: &State, card: &ShadeCard, strip: Rect) {
    let all = card.shades();
    let count = all.len().min(STRIP);
    for number in 0..count {
        let shade = &all[number * all.len() / count];
        let width = strip.width() / count as f32;
        let at = strip.min + Vec2::new(width * number as f32, 0.0);
        let block = Rect::from_min_size(at, Vec2::new(width, strip.height()));
        ui.painter().rect_filled(block, 0, seen(shade.colour, state.eyes));
    }
}
