//! The colours by role: choose, lock, add, take out.

use egui::{Rect, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};

use super::{cell, chosen, edit_palette};
use crate::app::Action;
use crate::app::state::State;
use crate::chart::Cell;
use crate::project::{Role, Slot, SlotYarn, code_and_role, colour_code, key_entry};
use crate::ui::colours::seen;
use crate::ui::theme::{CORNER, STEP, Tokens, semibold};
use crate::ui::widgets::{Icon, focus_ring, heading, sized_icon_button};

const ROW: f32 = 30.0;

/// Shows the list; a click chooses the colour to paint and to change.
pub fn show(ui: &mut Ui, state: &mut State, actions: &mut Vec<Action>) {
    let current = chosen(state);
    ui.horizontal(|ui| {
        heading(ui, "Colours");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let small = Vec2::splat(26.0);
            let room = state.project().palette.slots().len() < Cell::MAX_SLOTS;
            ui.add_enabled_ui(room, |ui| {
                if sized_icon_button(
                    ui,
                    Icon::Add,
                    "Add a colour",
                    "Add a colour like the chosen one",
                    false,
                    small,
                )
                .clicked()
                {
                    add(state, current, actions);
                }
            });
            let several = state.project().palette.slots().len() > 1;
            let tip = "Take out the chosen colour; its stitches go to the background";
            ui.add_enabled_ui(several, |ui| {
                if sized_icon_button(ui, Icon::Remove, "Take out the colour", tip, false, small).clicked() {
                    remove(state, current, actions);
                }
            });
        });
    });
    ui.spacing_mut().item_spacing.y = 2.0;
    for index in 0..state.project().palette.slots().len() {
        entry(ui, state, index, index == current, actions);
    }
    ui.spacing_mut().item_spacing.y = STEP * 0.75;
}

fn entry(ui: &mut Ui, state: &mut State, index: usize, is_chosen: bool, actions: &mut Vec<Action>) {
    let slot = &state.project().palette.slots()[index];
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), ROW), Sense::click());
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
    ui.painter().rect_filled(swatch, 3, seen(slot.colour, state.view.eyes));
    ui.painter().rect_stroke(swatch, 3, Stroke::new(1.0, tokens.line), StrokeKind::Inside);
    let painter = ui.painter().with_clip_rect(rect);
    let body = |family| egui::FontId::new(crate::ui::theme::BODY, family);
    let family = if is_chosen { semibold() } else { egui::FontFamily::Proportional };
    let name_at = egui::pos2(swatch.right() + STEP, rect.center().y);
    painter.text(name_at, egui::Align2::LEFT_CENTER, &slot.name, body(family), tokens.text);
    let role_at = egui::pos2(rect.right() - 34.0, rect.center().y);
    let small = egui::FontId::proportional(crate::ui::theme::SMALL);
    painter.text(role_at, egui::Align2::RIGHT_CENTER, code_and_role(index, slot.role), small, tokens.weak);

    let lock_rect =
        Rect::from_center_size(egui::pos2(rect.right() - 15.0, rect.center().y), Vec2::splat(26.0));
    let locked = slot.locked;
    let name = slot.name.clone();
    let mut lock_ui = ui.new_child(egui::UiBuilder::new().max_rect(lock_rect));
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
    if response.clicked() {
        state.view.paint = cell(index);
    }
}

fn add(state: &mut State, like: usize, actions: &mut Vec<Action>) {
    let project = state.project();
    let palette = &project.palette;
    let number = palette.slots().len();
    let model = &palette.slots()[like];
    // Lighter or darker than its model, so that it can be told apart at once.
    let lighter = if model.colour.lightness() > 0.5 { -0.15 } else { 0.15 };
    let slot = Slot {
        name: format!("Colour {}", colour_code(number)),
        colour: model.colour.with_lightness(model.colour.lightness() + lighter).within_gamut(),
        role: [Role::Main, Role::Supporting, Role::Accent, Role::Ground]
            .into_iter()
            .find(|role| palette.slot_of(*role).is_none())
            .unwrap_or(Role::Accent),
        symbol: palette.free_symbol(),
        locked: false,
        yarn: SlotYarn { ..model.yarn },
        chosen_shade: None,
    };
    if let Some(edit) = project.with_slot(slot) {
        actions.push(Action::edit("Add colour", edit));
        state.view.paint = cell(number);
    }
}

fn remove(state: &State, index: usize, actions: &mut Vec<Action>) {
    let project = state.project();
    let background = project.background_slot();
    let heir = if background == index { usize::from(index == 0) } else { background };
    if let Some(edit) = project.without_slot(index, heir) {
        actions.push(Action::edit("Take out colour", edit));
    }
}
