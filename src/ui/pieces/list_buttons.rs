//! The small buttons over the lists.

use egui::{Ui, Vec2};

use crate::project::PiecePlan;
use crate::ui::widgets::{Icon, sized_icon_button};

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
