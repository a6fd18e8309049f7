//! Fields in rows, and the small buttons and rows of the lists.

use egui::{ComboBox, Label, TextEdit, Ui, Vec2};

use crate::project::PiecePlan;
use crate::ui::theme::STEP;
use crate::ui::widgets::{Icon, NumberField, name, sized_icon_button};

/// A line that stands out over a group of fields.
/// A label and its control. The control has more room than in the columns of plain numbers: many ways of
/// giving a width are words.
pub fn row<R>(ui: &mut Ui, text: &str, control: impl FnOnce(&mut Ui) -> R) -> R {
    ui.horizontal(|ui| {
        let size = Vec2::new((ui.available_width() * 0.38).max(84.0), ui.spacing().interact_size.y);
        let layout = egui::Layout::left_to_right(egui::Align::Center);
        ui.allocate_ui_with_layout(size, layout, |ui| {
            ui.set_width(size.x);
            ui.add(Label::new(text).truncate());
        });
        control(ui)
    })
    .inner
}

/// A line of words.
pub fn text(ui: &mut Ui, text: &str, label: &str, value: &mut String, ended: &mut bool) {
    row(ui, text, |ui| {
        let width = ui.available_width() - STEP;
        let response = ui.add(TextEdit::singleline(value).desired_width(width));
        name(&response, label);
        *ended |= response.lost_focus();
    });
}

/// A number; what was typed.
pub fn number(ui: &mut Ui, text: &str, field: &NumberField, value: f64, ended: &mut bool) -> Option<f64> {
    row(ui, text, |ui| field.edited(ui, value, ended))
}

/// A whole number.
pub fn count(
    ui: &mut Ui,
    (text, label, suffix): (&str, &str, &str),
    (least, most): (u32, u32),
    value: &mut u32,
    ended: &mut bool,
) {
    let range = f64::from(least)..=f64::from(most);
    let field = NumberField { label, suffix, range, decimals: 0, speed: 0.2 };
    if let Some(typed) = number(ui, text, &field, f64::from(*value), ended) {
        *value = typed.round() as u32;
    }
}

/// One out of several, in a row.
pub fn choice<T: Copy + PartialEq>(
    ui: &mut Ui,
    text: &str,
    label: &str,
    options: &[(T, &str)],
    value: &mut T,
    ended: &mut bool,
) {
    row(ui, text, |ui| *ended |= combo(ui, label, options, value));
}

/// One out of several; whether it changed.
pub fn combo<T: Copy + PartialEq>(ui: &mut Ui, label: &str, options: &[(T, &str)], value: &mut T) -> bool {
    combo_beside(ui, label, options, value, 0.0)
}

/// One out of several with `room` left at its right for another control; whether it changed.
pub fn combo_beside<T: Copy + PartialEq>(
    ui: &mut Ui,
    label: &str,
    options: &[(T, &str)],
    value: &mut T,
    room: f32,
) -> bool {
    let before = *value;
    let chosen = options.iter().find(|(option, _)| *option == before).map_or("", |(_, words)| words);
    let combo = ComboBox::from_id_salt(label)
        .width((ui.available_width() - STEP - room).max(40.0))
        .height(360.0)
        .truncate()
        .selected_text(chosen)
        .show_ui(ui, |ui| {
            for (option, words) in options {
                ui.selectable_value(value, *option, *words);
            }
        });
    name(&combo.response, label);
    *value != before
}

/// What the buttons over a list ask for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asked {
    /// One more.
    Add,
    /// Take the shown one out.
    Remove,
    /// Show it one place further up.
    Up,
    /// Show it one place further down.
    Down,
}

/// The buttons over a list, right-aligned; `what` is e.g. `piece`, `shown` the place of the shown entry
/// from the top.
pub fn list_buttons(ui: &mut Ui, what: &str, shown: usize, count: usize) -> Option<Asked> {
    let buttons = [
        (Asked::Remove, count > 0, Icon::Remove, format!("Remove the {what}")),
        (Asked::Add, count < PiecePlan::MOST, Icon::Add, format!("Add a {what}")),
        (Asked::Down, shown + 1 < count, Icon::Down, format!("Move the {what} down")),
        (Asked::Up, shown > 0 && count > 0, Icon::Up, format!("Move the {what} up")),
    ];
    let mut asked = None;
    ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
        ui.spacing_mut().item_spacing.x = 2.0;
        for (button, enabled, icon, label) in buttons {
            ui.add_enabled_ui(enabled, |ui| {
                if sized_icon_button(ui, icon, &label, &label, false, Vec2::splat(26.0)).clicked() {
                    asked = Some(button);
                }
            });
        }
    });
    asked
}
