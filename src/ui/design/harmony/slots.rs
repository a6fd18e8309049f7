//! The colours by role: choose, lock, add, take out.

use egui::{Rect, Sense, Ui, Vec2, WidgetInfo};

use super::{HarmonyView, cell, chosen, edit_palette, propose_button};
use crate::app::Action;
use crate::app::state::State;
use crate::chart::Cell;
use crate::project::{code_and_name, code_and_role, key_entry};
use crate::ui::theme::{CORNER, STEP, Tokens, semibold};
use crate::ui::widgets::{Follow, Icon, focus_ring, heading, paint_swatch, sized_icon_button, truncated};

const ROW: f32 = 30.0;

/// Colours shown at once; more are scrolled to, so that the editor below keeps its place.
const AT_ONCE: usize = 6;

/// Shows the list; a click chooses the colour to paint and to change.
pub fn show(ui: &mut Ui, state: &State, paint: &mut Cell, view: &mut HarmonyView, actions: &mut Vec<Action>) {
    let current = chosen(state, *paint);
    let count = state.project().palette.slots().len();
    ui.horizontal(|ui| {
        heading(ui, "Colours");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let small = Vec2::splat(26.0);
            ui.add_enabled_ui(count < Cell::MAX_SLOTS, |ui| {
                let tip = "Add a colour well apart from those there are, on the scheme if there is one";
                if sized_icon_button(ui, Icon::Add, "Add a colour", tip, false, small).clicked() {
                    add(state, paint, current, actions);
                }
            });
            let tip = "Take out the chosen colour; asks which colour takes its stitches";
            ui.add_enabled_ui(count > 1, |ui| {
                let button = sized_icon_button(ui, Icon::Remove, "Take out the colour", tip, false, small);
                take_out(state, current, &button, actions);
            });
            propose_button(ui, state.project(), view, actions);
        });
    });
    ui.spacing_mut().item_spacing.y = 2.0;
    let height = AT_ONCE as f32 * (ROW + 2.0);
    egui::ScrollArea::vertical().id_salt("colours").max_height(height).follow(ui, |ui| {
        for index in 0..count {
            if entry(ui, state, index, index == current, actions) {
                *paint = cell(index);
            }
        }
    });
    ui.spacing_mut().item_spacing.y = STEP * 0.75;
}

/// One colour; whether it was clicked.
fn entry(ui: &mut Ui, state: &State, index: usize, is_chosen: bool, actions: &mut Vec<Action>) -> bool {
    let slot = &state.project().palette.slots()[index];
    let (_, rect) = ui.allocate_space(Vec2::new(ui.available_width(), ROW));
    let id = ui.scope_id().with(("colour", index));
    let response = ui.interact(rect, id, Sense::click());
    let label = format!("Colour {}", key_entry(index, slot));
    response.widget_info(|| WidgetInfo::selected(egui::Role::Button, true, is_chosen, &label));
    let tokens = Tokens::of(ui);
    if is_chosen || response.hovered() {
        ui.painter().rect_filled(rect, CORNER, if is_chosen { tokens.chosen } else { tokens.hover });
    }
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    let swatch = Rect::from_min_size(rect.min + Vec2::new(5.0, 4.0), Vec2::new(34.0, ROW - 8.0));
    paint_swatch(ui, swatch, slot.colour, &[], state.eyes);
    let painter = ui.painter().with_clip_rect(rect);
    let body = |family| egui::FontId::new(crate::ui::theme::BODY, family);
    let family = if is_chosen { semibold() } else { egui::FontFamily::Proportional };
    let name_at = egui::pos2(swatch.right() + STEP, rect.center().y);
    let role_at = egui::pos2(rect.right() - 34.0, rect.center().y);
    let small = egui::FontId::proportional(crate::ui::theme::SMALL);
    let role = painter.text(
        role_at,
        egui::Align2::RIGHT_CENTER,
        code_and_role(index, slot.role),
        small,
        tokens.weak,
    );
    let room = role.left() - STEP - name_at.x;
    let in_face = |family| truncated(ui, slot.name.as_str(), body(family), tokens.text, room);
    let words = in_face(family);
    // Rather whole than bold.
    let words = if words.elided { in_face(egui::FontFamily::Proportional) } else { words };
    painter.galley(name_at - Vec2::new(0.0, words.size().y / 2.0), words, tokens.text);

    let lock_rect =
        Rect::from_center_size(egui::pos2(rect.right() - 15.0, rect.center().y), Vec2::splat(26.0));
    let locked = slot.locked;
    let name = slot.name.clone();
    let mut lock_ui = ui.new_child(egui::UiBuilder::new().scope_id(id.with("lock")).max_rect(lock_rect));
    let (icon, what) = if locked { (Icon::Locked, "Unlock") } else { (Icon::Unlocked, "Lock") };
    let label = format!("{what} {name}");
    let tip = "A locked colour keeps itself while the others follow the scheme";
    if sized_icon_button(&mut lock_ui, icon, &label, tip, false, lock_rect.size()).clicked() {
        actions.push(edit_palette(state.project(), "Lock", false, |palette| {
            if let Some(slot) = palette.slots_mut().get_mut(index) {
                slot.locked = !slot.locked;
            }
        }));
    }
    response.clicked()
}

fn add(state: &State, paint: &mut Cell, like: usize, actions: &mut Vec<Action>) {
    let project = state.project();
    let slot = project.palette.new_slot(&project.palette.slots()[like]);
    if let Some(edit) = project.with_slot(slot) {
        actions.push(Action::edit("Add colour", edit));
        *paint = cell(project.palette.slots().len());
    }
}

/// Takes a colour out: at once when no stitch has it, else the menu asks which colour takes them.
fn take_out(state: &State, index: usize, button: &egui::Response, actions: &mut Vec<Action>) {
    let project = state.project();
    let slots = project.palette.slots();
    let id = egui::Popup::default_response_id(button);
    let is_open = egui::Popup::is_id_open(&button.ctx, id);
    // Looking through the chart is for the moment the menu is there.
    let stitches = if is_open || button.clicked() { project.chart.grid.counts()[index] } else { 0 };
    let mut heir = None;
    if button.clicked() && stitches == 0 {
        heir = Some(usize::from(index == 0));
    } else {
        egui::Popup::menu(button).show(|ui| {
            ui.label(format!("{stitches} stitches of {} go to", code_and_name(index, &slots[index])));
            for (other, slot) in slots.iter().enumerate().filter(|(other, _)| *other != index) {
                if ui.button(code_and_name(other, slot)).clicked() {
                    heir = Some(other);
                    ui.close();
                }
            }
        });
    }
    let edit = heir.and_then(|heir| project.without_slot(index, heir));
    actions.extend(edit.map(|edit| Action::edit("Take out colour", edit)));
}
