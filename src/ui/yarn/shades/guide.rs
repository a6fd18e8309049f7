//! What stands in place of the table: how a card is made, what a table may hold, what was refused.

use egui::{Frame, Grid, Label, RichText, Ui};

use super::card_list::new_card;
use super::{ShadesView, form};
use crate::app::Action;
use crate::app::cards::CardAction;
use crate::app::purpose::CardFile;
use crate::file::ShadeField;
use crate::project::Project;
use crate::ui::theme::{CORNER, STEP, Tokens, semibold};
use crate::ui::widgets::{caption, heading};
use crate::yarn::ShadeQuery;

/// Lines are read best at this width.
const READING: f32 = 520.0;

/// Three ways to the first card.
pub fn first_card(ui: &mut Ui, project: &Project, view: &mut ShadesView, actions: &mut Vec<Action>) {
    ui.set_max_width(READING);
    heading(ui, "Make a shade card");
    ui.label(
        "A shade card is a list of colours that exist as yarn: a maker's range, a shop's shelf, or what lies in \
         your basket. With one, Huegauge can look for the nearest real shades to your palette, for the sets \
         that go best together, and for what they cost.",
    );
    ui.add_space(STEP);
    way(ui, "By hand", "Begin an empty card and put in shade after shade, by hex or by Oklch.", |ui| {
        if ui.button("Begin a card").clicked() {
            new_card(project, actions);
        }
    });
    way(
        ui,
        "From a table",
        "Import a CSV table from a spreadsheet: a name and a colour a line are enough.",
        |ui| {
            if ui.button("Choose a table…").clicked() {
                actions.push(Action::Cards(CardAction::Pick(CardFile::Import)));
            }
            if ui.button("What it may hold").clicked() {
                view.guide = true;
            }
        },
    );
    way(ui, "From a photograph", "Read the colours off a picture of the balls themselves.", |ui| {
        if ui.button("Go to photographs").clicked() {
            view.to_photograph = true;
        }
    });
    way(ui, "Only looking?", "The card of the demos' invented mill has 48 shades of three yarns.", |ui| {
        if ui.button("Add the demo card").clicked() {
            actions.push(Action::Cards(CardAction::AddDemo));
        }
    });
}

/// A heading, what it means, and its buttons.
fn way(ui: &mut Ui, title: &str, text: &str, buttons: impl FnOnce(&mut Ui)) {
    Frame::new().fill(Tokens::of(ui).field).corner_radius(CORNER).inner_margin(12).show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.label(RichText::new(title).family(semibold()));
        caption(ui, text);
        ui.horizontal(buttons);
    });
}

/// A card without shades.
pub fn empty_card(ui: &mut Ui, project: &Project, view: &mut ShadesView, actions: &mut Vec<Action>) {
    ui.set_max_width(READING);
    heading(ui, "This card is empty");
    caption(ui, "Add the first shade; the next ones take its yarn over and need only a name and a colour.");
    if ui.button("Add a shade").clicked() {
        form::add(project, view, None, actions);
    }
}

/// A search that finds nothing.
pub fn nothing_found(ui: &mut Ui, view: &mut ShadesView) {
    heading(ui, "No shade fits");
    caption(ui, "Take away a word or a limit.");
    if ui.button("Show the whole card").clicked() {
        view.query = ShadeQuery::default();
    }
}

/// What a table may hold, column by column.
pub fn columns(ui: &mut Ui, view: &mut ShadesView, actions: &mut Vec<Action>) {
    ui.set_max_width(READING + 120.0);
    heading(ui, "Columns of a table");
    ui.label(
        "A CSV table with one shade a line under a line of headings. The columns may stand in any order, and only \
         a name and a colour are needed. Commas, semicolons or tabs divide them; decimals may have a point or a \
         comma; the text may be UTF-8 or UTF-16. Headings that shops give them, in English and German, are known too; \
         what other headings hold is asked before anything comes in.",
    );
    ui.add_space(STEP / 2.0);
    Frame::new().fill(Tokens::of(ui).field).corner_radius(CORNER).inner_margin(12).show(ui, |ui| {
        Grid::new("columns").num_columns(2).spacing([2.0 * STEP, STEP * 0.5]).show(ui, |ui| {
            for field in ShadeField::ALL {
                ui.label(RichText::new(field.key()).monospace());
                ui.add(Label::new(field.holds()).wrap());
                ui.end_row();
            }
        });
    });
    ui.add_space(STEP / 2.0);
    ui.horizontal(|ui| {
        if ui.button("Choose a table…").clicked() {
            actions.push(Action::Cards(CardAction::Pick(CardFile::Import)));
            view.guide = false;
        }
        if ui.button("Save an example…").clicked() {
            actions.push(Action::Cards(CardAction::Pick(CardFile::SaveExample)));
        }
        if ui.button("Back").clicked() {
            view.guide = false;
        }
    });
}
