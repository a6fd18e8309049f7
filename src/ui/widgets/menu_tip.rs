//! What a line of a menu does, told beside the menu.

use egui::{Label, RectAlign, Response, Tooltip};

/// Between a line and its words: past the rim of the menu.
const GAP: f32 = 12.0;

/// Tells what a line of a menu or a control in a row does when the pointer rests on it, beside it: below, as elsewhere,
/// the words would lie over the lines that are chosen next.
pub fn tip_beside(response: Response, tip: &str) -> Response {
    response.ctx.accesskit_node_builder(response.id, |node| node.set_description(tip));
    let mut beside = Tooltip::for_enabled(&response).gap(GAP);
    beside.popup = beside.popup.align(RectAlign::RIGHT_START).align_alternatives(&[RectAlign::LEFT_START]);
    beside.show(|ui| {
        ui.set_max_width(ui.spacing().tooltip_width);
        ui.add(Label::new(tip));
    });
    response
}
