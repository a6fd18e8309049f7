//! Controls that keep their edges in a menu.

use egui::containers::menu::is_in_menu;
use egui::{Checkbox, Response, Ui, WidgetText};

/// A box to tick: the one of the whole program.
pub fn tick_box(ui: &mut Ui, ticked: &mut bool, words: impl Into<WidgetText>) -> Response {
    with_edges(ui, |ui| ui.add(Checkbox::new(ticked, words.into())))
}

/// A control as it is outside menus: their lines have no edges, and a box without one cannot be seen.
pub fn with_edges<R>(ui: &mut Ui, control: impl FnOnce(&mut Ui) -> R) -> R {
    if !is_in_menu(ui) {
        return control(ui);
    }
    let of_menu = ui.style().clone();
    ui.set_style(ui.ctx().global_style());
    let made = control(ui);
    ui.set_style(of_menu);
    made
}
