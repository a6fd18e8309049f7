//! Everything that leaves the program, each with what it is for.

use egui::{Align2, FontId, Role, Sense, Ui, Vec2, WidgetInfo};

use crate::app::exports::Export;
use crate::app::{Action, Command};
use crate::ui::theme::{BODY, CORNER, SMALL, STEP, Tokens};
use crate::ui::widgets::{focus_ring, heading, primary};

/// The card that is taken to the shop, always in view.
pub fn to_the_shop(ui: &mut Ui, is_counted: bool, actions: &mut Vec<Action>) {
    ui.add_space(STEP);
    let button = primary(ui, is_counted, "Save the shopping card…")
        .on_hover_text(Export::Card.info().purpose)
        .on_disabled_hover_text("Nothing is counted yet");
    if button.clicked() {
        actions.push(Action::Command(Command::Export(Export::Card)));
    }
    ui.add_space(STEP);
}

/// Shows the list; the tag of what is knitted as a gift stands at its top.
pub fn show(ui: &mut Ui, gift: bool, actions: &mut Vec<Action>) {
    heading(ui, "Export");
    ui.spacing_mut().item_spacing.y = 3.0;
    let tag = |export: &Export| gift && matches!(export, Export::GiftTag | Export::GiftTagPrint);
    let (first, others): (Vec<Export>, Vec<Export>) = Export::ALL.into_iter().partition(tag);
    for export in first.into_iter().chain(others) {
        if entry(ui, export) {
            actions.push(Action::Command(Command::Export(export)));
        }
    }
}

/// One export; whether it was asked for.
fn entry(ui: &mut Ui, export: Export) -> bool {
    let info = export.info();
    let tokens = Tokens::of(ui);
    let small = FontId::proportional(SMALL);
    let width = ui.available_width() - STEP;
    let words = ui.painter().layout(info.purpose.to_owned(), small.clone(), tokens.weak, width - 2.0 * STEP);
    let size = Vec2::new(width, 25.0 + words.size().y + 5.0);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, info.name));
    if ui.is_rect_visible(rect) {
        let fill = match (response.is_pointer_button_down_on(), response.hovered()) {
            (true, _) => tokens.pressed,
            (false, true) => tokens.hover,
            (false, false) => tokens.field,
        };
        let painter = ui.painter();
        painter.rect_filled(rect, CORNER, fill);
        let at = rect.min + Vec2::new(STEP, 5.0);
        painter.text(at, Align2::LEFT_TOP, info.name, FontId::proportional(BODY), tokens.text);
        let kind = info.extension.to_uppercase();
        let at = rect.right_top() + Vec2::new(-STEP, 6.0);
        painter.text(at, Align2::RIGHT_TOP, kind, small, tokens.weak);
        painter.galley(rect.min + Vec2::new(STEP, 24.0), words, tokens.weak);
        if response.has_focus() {
            focus_ring(ui, rect);
        }
    }
    response.clicked()
}
