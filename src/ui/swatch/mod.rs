//! The Swatch workspace: the log of swatches, what each was measured at, and what follows from it.

mod compare;
mod form;
mod log;
mod photo;
mod picture;
mod results;

use egui::{CentralPanel, Frame, Margin, Panel, ScrollArea, Ui};

use super::theme::Tokens;
use super::widgets::{Follow, caption, heading};
use crate::app::Action;
use crate::app::state::State;
use crate::project::{Edit, Material, Project};

/// Width of the list of swatches.
const LOG: f32 = 244.0;
/// Width of the fields.
const FORM: f32 = 336.0;

/// What the workspace remembers between frames.
#[derive(Default)]
pub struct SwatchView {
    /// The swatch that is shown, by its place in the log.
    shown: usize,
    /// The photograph a gauge is read off.
    photo: photo::PhotoView,
}

/// Shows the workspace.
pub fn show(ui: &mut Ui, state: &State, view: &mut SwatchView) -> Vec<Action> {
    let mut actions = Vec::new();
    let project = state.project();
    view.shown = view.shown.min(project.material.swatches.len().saturating_sub(1));
    let tokens = Tokens::of(ui);
    let frame =
        |fill| Frame::new().fill(fill).inner_margin(Margin { left: 12, right: 10, top: 8, bottom: 0 });
    Panel::left("swatch log").frame(frame(tokens.panel)).exact_size(LOG).resizable(false).show(ui, |ui| {
        scroll(ui, |ui| log::show(ui, project, view, &mut actions));
    });
    if let Some(open) = &state.desks.gauge.photo {
        CentralPanel::no_frame().frame(frame(tokens.panel)).show(ui, |ui| {
            photo::show(ui, state, open, view, &mut actions);
        });
        return actions;
    }
    let shown = project.material.swatches.get(view.shown);
    if shown.is_some() {
        Panel::left("swatch fields").frame(frame(tokens.panel)).exact_size(FORM).resizable(false).show(
            ui,
            |ui| {
                scroll(ui, |ui| form::show(ui, project, view.shown, &mut actions));
            },
        );
    }
    CentralPanel::no_frame().frame(frame(tokens.rail)).show(ui, |ui| match shown {
        Some(entry) => {
            Panel::bottom("plan with the swatch").frame(Frame::new()).resizable(false).show(ui, |ui| {
                results::apply(ui, project, entry, &mut actions);
            });
            scroll(ui, |ui| {
                compare::show(ui, project, &mut view.shown);
                results::show(ui, project, entry, &mut actions);
            });
        }
        None => empty(ui),
    });
    actions
}

fn scroll(ui: &mut Ui, contents: impl FnOnce(&mut Ui)) {
    ScrollArea::vertical().auto_shrink([false, false]).follow(ui, contents);
}

fn empty(ui: &mut Ui) {
    heading(ui, "Knit a swatch first");
    ui.set_max_width(420.0);
    caption(
        ui,
        "Knit it in the piece's own stitch, 15 cm (6 in) or more each way. Measure it off the needles, wash and \
         dry it as the piece will be, and measure it again. The washed gauge then sets every size, motif and \
         yardage.",
    );
}

/// An edit of the material inside a gesture.
fn gesture(project: &Project, label: &'static str, change: impl FnOnce(&mut Material)) -> Action {
    let mut material = project.material.clone();
    change(&mut material);
    Action::gesture(label, Edit::Material(Box::new(material)))
}
