//! The harmony column: hue ring, scheme, colours, the chosen colour, proportion.

mod chosen;
mod colourways;
mod field;
mod proportion;
mod ring;
mod slots;

use egui::{ScrollArea, Ui};

use crate::app::Action;
use crate::app::state::State;
use crate::chart::Cell;
use crate::colour::{Colour, Scheme, Wheel, harmonise, propose};
use crate::project::{Edit, Palette, Project, Role};
use crate::ui::theme::STEP;
use crate::ui::widgets::{ChartPictures, caption, heading, one_of_in};

/// What the column remembers between frames.
#[derive(Default)]
pub struct HarmonyView {
    /// The palette as it was when the drag under way began: every step starts from it, so that chroma
    /// lost to gamut mapping on the way comes back.
    drag_start: Option<Palette>,
    /// The pure colour a tint or tone slider was taken up at; at black, white or grey it cannot be told.
    pure: Option<Colour>,
    /// What gamut mapping did last.
    note: Option<String>,
    hex: String,
    /// The slot and colour `hex` was last filled from.
    hex_of: Option<(usize, Colour)>,
    field: field::FieldTexture,
    pictures: ChartPictures,
}

/// The slot the column works on: the one the tools paint with.
fn chosen(state: &State, paint: Cell) -> usize {
    let last = state.project().palette.slots().len() - 1;
    paint.index().unwrap_or(0).min(last)
}

/// Shows the column; `paint` is what the tools paint, which the column chooses and works on.
pub fn show(ui: &mut Ui, state: &State, paint: &mut Cell, view: &mut HarmonyView) -> Vec<Action> {
    let mut actions = Vec::new();
    ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
        wheel_row(ui, state.project(), &mut actions);
        ring::show(ui, state, paint, view, &mut actions);
        scheme_row(ui, state, view, &mut actions);
        if let Some(note) = &view.note {
            caption(ui, note.as_str());
        }
        ui.separator();
        slots::show(ui, state, paint, &mut actions);
        ui.separator();
        proportion::show(ui, state, &mut actions);
        ui.separator();
        chosen::show(ui, state, chosen(state, *paint), view, &mut actions);
        ui.separator();
        colourways::show(ui, state, &mut view.pictures, &mut actions);
        ui.add_space(STEP);
    });
    if actions.iter().any(|action| matches!(action, Action::EndGesture)) {
        view.drag_start = None;
        view.pure = None;
    }
    actions
}

/// Heading and the choice of wheel.
fn wheel_row(ui: &mut Ui, project: &Project, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        heading(ui, "Harmony");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            for wheel in Wheel::ALL.into_iter().rev() {
                let tip = match wheel {
                    Wheel::Perceptual => "Equal angles look about equally different (Oklch hue).",
                    Wheel::Painter => "The red-yellow-blue circle of paint mixing.",
                };
                let chosen = project.palette.wheel == wheel;
                if ui.selectable_label(chosen, wheel.name()).on_hover_text(tip).clicked() && !chosen {
                    actions.push(edit_palette(project, "Wheel", false, |palette| palette.wheel = wheel));
                }
            }
        });
    });
}

/// The scheme and the fresh proposal.
fn scheme_row(ui: &mut Ui, state: &State, view: &mut HarmonyView, actions: &mut Vec<Action>) {
    let project = state.project();
    ui.horizontal(|ui| {
        let mut scheme = project.palette.scheme;
        let schemes = Scheme::ALL.map(|scheme| (Some(scheme), scheme.name()));
        let schemes = std::iter::once((None, "Free hues")).chain(schemes);
        if one_of_in(ui, 150.0, "Scheme", schemes, &mut scheme).changed() {
            choose_scheme(state, view, scheme, actions);
        }
        let tip = "Fresh supporting, accent and ground colours from the main colour, well apart in value. \
                   Locked colours stay.";
        if ui.button("Propose").on_hover_text(tip).clicked() {
            propose_palette(project, view, actions);
        }
    });
}

fn choose_scheme(state: &State, view: &mut HarmonyView, scheme: Option<Scheme>, actions: &mut Vec<Action>) {
    let project = state.project();
    let anchor = project.palette.slot_of(Role::Main).unwrap_or(0);
    let mut palette = project.palette.clone();
    palette.scheme = scheme;
    view.note = follow(&mut palette, anchor);
    actions.push(Action::edit("Scheme", Edit::Palette(Box::new(palette))));
}

/// Moves the colours that are free to move into the palette's scheme around `anchor`; says in words
/// when that was not possible or cost chroma.
fn follow(palette: &mut Palette, anchor: usize) -> Option<String> {
    let scheme = palette.scheme?;
    match harmonise(scheme, palette.wheel, &palette.members(), anchor) {
        Ok(placed) => {
            let mapped: Vec<&str> = palette
                .slots()
                .iter()
                .zip(&placed)
                .filter(|(_, placed)| placed.mapped)
                .map(|(slot, _)| slot.name.as_str())
                .collect();
            let note = (!mapped.is_empty()).then(|| {
                format!(
                    "Chroma lowered so that sRGB can show it (CSS Color 4 method): {}.",
                    mapped.join(", ")
                )
            });
            for (slot, placed) in palette.slots_mut().iter_mut().zip(placed) {
                slot.colour = placed.colour;
            }
            note
        }
        Err(reason) => Some(format!("The scheme rests: {reason}.")),
    }
}

fn propose_palette(project: &Project, view: &mut HarmonyView, actions: &mut Vec<Action>) {
    let mut palette = project.palette.clone();
    let main = palette.slot_of(Role::Main).unwrap_or(0);
    let scheme = palette.scheme.unwrap_or(Scheme::Triadic);
    let colour = palette.slots()[main].colour;
    match propose(scheme, palette.wheel, colour) {
        Ok(proposal) => {
            palette.scheme = Some(scheme);
            for (role, placed) in Role::ALL.into_iter().zip(proposal.placed()) {
                if let Some(index) = palette.slot_of(role) {
                    let slot = &mut palette.slots_mut()[index];
                    if !slot.locked {
                        slot.colour = placed.colour;
                    }
                }
            }
            view.note = None;
            actions.push(Action::edit("Propose colours", Edit::Palette(Box::new(palette))));
        }
        Err(reason) => view.note = Some(format!("Nothing to propose: {reason}.")),
    }
}

/// Gives slot `index` another colour, brought back into sRGB, the rest following the scheme.
fn recolour(
    palette: &Palette,
    index: usize,
    colour: Colour,
    label: &'static str,
    in_gesture: bool,
    view: &mut HarmonyView,
) -> Action {
    let mut palette = palette.clone();
    let shown = colour.mapped();
    if let Some(slot) = palette.slots_mut().get_mut(index) {
        slot.colour = shown;
    }
    let own_note = (!colour.is_in_gamut()).then(|| {
        format!(
            "Chroma lowered from {:.3} to {:.3} so that sRGB can show it (CSS Color 4 method).",
            colour.chroma(),
            shown.chroma()
        )
    });
    // A ground follows the main colour but never leads the others.
    let leads = palette.slots().get(index).is_some_and(|slot| slot.role != Role::Ground);
    let scheme_note = if leads { follow(&mut palette, index) } else { None };
    view.note = own_note.or(scheme_note);
    Action::Edit { label, edit: Edit::Palette(Box::new(palette)), in_gesture }
}

/// An edit of the palette.
fn edit_palette(
    project: &Project,
    label: &'static str,
    in_gesture: bool,
    change: impl FnOnce(&mut Palette),
) -> Action {
    let mut palette = project.palette.clone();
    change(&mut palette);
    Action::Edit { label, edit: Edit::Palette(Box::new(palette)), in_gesture }
}

/// The cell a slot paints.
const fn cell(slot: usize) -> Cell {
    Cell::slot(slot as u8)
}
