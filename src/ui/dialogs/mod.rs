//! The one question in front of the window.

mod about;
mod changed;
mod chart;
mod colourways;
mod describe;
mod export;
mod fabric;
mod keep_motif;
mod mend;
mod new_project;
mod outline;
mod path;
mod picture;
mod recovered;
mod unsaved;
mod versions;
mod weights;

use egui::{Event, Frame, Id, Key, Modal, Order, Ui, Vec2, vec2};

use crate::app::Action;
use crate::app::dialog::Dialog;
use crate::app::exports::Export;
use crate::app::state::State;
use crate::app::view::View;
use crate::ui::theme::STEP;
use crate::ui::widgets::{ChartPictures, heading, primary_of};

/// Shows the question, if there is one.
pub fn show(ui: &Ui, state: &State, view: &mut View, pictures: &mut ChartPictures) -> Vec<Action> {
    let Some(dialog) = &mut view.dialog else { return Vec::new() };
    let mut actions = Vec::new();
    note_enter(ui);
    let id = Id::unique(("dialog", title(dialog)));
    // Below the lists that open from it: in one order with them a click that is over within a frame would leave
    // its list under the question.
    let modal = Modal::new(id)
        .area(Modal::default_area(id).order(Order::Middle))
        .frame(Frame::popup(ui.style()).inner_margin(20))
        .show(ui.ctx(), |ui| {
            let window = ui.ctx().content_rect().size();
            let room = room(window);
            ui.set_width(width(dialog, state, room).min(window.x - 80.0));
            ui.spacing_mut().interact_size.x = FIELD;
            heading(ui, title(dialog));
            ui.add_space(STEP / 2.0);
            match dialog {
                Dialog::Unsaved(next) => unsaved::show(ui, &state.name(), next, &mut actions),
                Dialog::Recovered(found) => recovered::show(ui, found, state.eyes, &mut actions),
                Dialog::Changed { path, theirs, differs, then, .. } => {
                    let theirs = theirs.as_deref().map(|theirs| (theirs, differs.as_slice()));
                    changed::show(ui, state, path, theirs, then.as_ref(), &mut actions);
                }
                Dialog::New(asked) => new_project::show(ui, state, asked, &mut actions),
                Dialog::Path { purpose, text, replaces, refused } => {
                    path::show(ui, purpose, text, (replaces, refused), &mut actions);
                }
                Dialog::Export(kind, options) => {
                    export::show(ui, state, *kind, options, room, &mut actions);
                }
                Dialog::Resize { stitches, rows } => {
                    chart::resize(ui, state.project(), stitches, rows, &mut actions);
                }
                Dialog::Describe { title, designer, notes } => {
                    describe::show(ui, [title, designer, notes], &mut actions);
                }
                Dialog::Mend(by) => mend::show(ui, state, by, room, &mut actions),
                Dialog::Outline { stitches } => {
                    outline::show(ui, state, &mut view.chart, stitches, &mut actions);
                }
                Dialog::Picture(form) => {
                    picture::show(ui, state, &mut view.chart, (form, room), &mut actions);
                }
                Dialog::KeepMotif(typed) => {
                    keep_motif::show(ui, state, view.chart.region, typed, &mut actions);
                }
                Dialog::Weights(form) => {
                    weights::show(ui, state, &view.chart, (form, room), &mut actions);
                }
                Dialog::Colourways(form) => {
                    colourways::show(ui, state, pictures, (form, room), &mut actions);
                }
                Dialog::Keys => about::keys(ui, &mut actions),
                Dialog::About => about::about(ui, &mut actions),
            }
        });
    // It is placed by the size it had in the frame before: when that was another, there must be one more.
    let size = modal.response.rect.size();
    if ui.data_mut(|data| std::mem::replace(data.get_temp_mut_or(id, Vec2::ZERO), size)) != size {
        ui.ctx().request_repaint();
    }
    // Clicking outside or Escape closes the harmless questions; the others want an answer.
    let needs_answer = matches!(dialog, Dialog::Unsaved(_) | Dialog::Changed { .. } | Dialog::Recovered(_));
    if modal.should_close() && !(needs_answer && modal.backdrop_response.clicked()) {
        actions.push(Action::CloseDialog);
    }
    actions
}

const fn title(dialog: &Dialog) -> &'static str {
    match dialog {
        Dialog::Unsaved(_) => "Save your changes first?",
        Dialog::Changed { .. } => "The file was changed by another program",
        Dialog::Recovered(_) => "Unsaved work was found",
        Dialog::New(_) => "New project",
        Dialog::Path { purpose, .. } => path::title(purpose),
        Dialog::Export(export, _) => export.info().name,
        Dialog::Resize { .. } => "Chart size",
        Dialog::Describe { .. } => "Title and designer",
        Dialog::Mend(_) => "Mend floats",
        Dialog::Outline { .. } => "Motif from an outline",
        Dialog::Picture(_) => "Chart from a picture",
        Dialog::KeepMotif(_) => "Keep as motif",
        Dialog::Weights(_) => "Motif across weights",
        Dialog::Colourways(_) => "Colourways",
        Dialog::Keys => "Keys",
        Dialog::About => "About Huegauge",
    }
}

/// Width of the fields of a question, which end in one line.
const FIELD: f32 = 200.0;

/// What a question with pictures has of the window, and no more than is seen at once.
fn room(window: Vec2) -> Vec2 {
    (window * vec2(0.8, 0.88)).min(vec2(1480.0, 900.0))
}

/// A picture of this shape (width to height), as large as it can be in `most` with the edge around it, and never too
/// small to be seen.
fn fitted(shape: f32, most: Vec2) -> Vec2 {
    let edge = Vec2::splat(8.0);
    let inside = most - edge;
    let wide = inside.x.min(inside.y * shape);
    (vec2(wide, wide / shape) + edge).max(vec2(160.0, 64.0))
}

fn width(dialog: &Dialog, state: &State, room: Vec2) -> f32 {
    match dialog {
        Dialog::Keys => 560.0,
        Dialog::Describe { .. } | Dialog::Path { .. } | Dialog::Changed { .. } | Dialog::Recovered(_) => {
            520.0
        }
        Dialog::Mend(_) => mend::width(state.project(), room),
        Dialog::Picture(_) => picture::width(state, room),
        Dialog::Colourways(form) => colourways::width(state.project(), form, room),
        Dialog::Export(Export::Fabric, _) | Dialog::Weights(_) => room.x,
        _ => 440.0,
    }
}

/// Under what it is noted whether Enter was pressed while nothing had the keyboard.
fn entered() -> Id {
    Id::unique("enter answers")
}

/// Looks for Enter before a field that ends by it lets go of the keyboard. A key that is still held from the menu
/// which opened the question does not answer it.
fn note_enter(ui: &Ui) {
    let is_enter =
        |event: &Event| matches!(event, Event::Key { key: Key::Enter, pressed: true, repeat: false, .. });
    let idle = ui.memory(|memory| memory.focused().is_none());
    let pressed = idle && ui.input(|input| input.events.iter().any(is_enter));
    ui.data_mut(|data| data.insert_temp(entered(), pressed));
}

/// The row of answers at the bottom right; the first is the usual one, stands out, and is what Enter gives while
/// nothing has the keyboard.
fn answers(ui: &mut Ui, labels: &[&str]) -> Option<usize> {
    answers_if(ui, true, labels)
}

/// The same where all but the last can be given only if they `can_be`.
fn answers_if(ui: &mut Ui, can_be: bool, labels: &[&str]) -> Option<usize> {
    ui.add_space(STEP);
    let mut chosen = ui.data(|data| data.get_temp(entered())).unwrap_or(false).then_some(0);
    let row = vec2(ui.available_width(), 30.0);
    ui.allocate_ui_with_layout(row, egui::Layout::right_to_left(egui::Align::Center), |ui| {
        for (number, label) in labels.iter().enumerate() {
            let can_be = can_be || number + 1 == labels.len();
            let least = vec2(84.0, 30.0);
            let button = if number == 0 {
                primary_of(ui, can_be, label, least)
            } else {
                ui.add_enabled(can_be, egui::Button::new(*label).min_size(least))
            };
            if button.clicked() {
                chosen = Some(number);
            }
        }
    });
    chosen.filter(|number| can_be || number + 1 == labels.len())
}
