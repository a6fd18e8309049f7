//! The rail: one button a workspace, in the order a knitter meets them.

use egui::{Align2, FontId, Panel, Rect, Role, Sense, Ui, Vec2, WidgetInfo};

use super::{Pane, pane};
use crate::app::view::Workspace;
use crate::ui::theme::{CORNER, RAIL_WIDTH, SMALL, STEP, Tokens};
use crate::ui::widgets::{Icon, focus_ring};

/// Shows the rail.
pub fn rail(ui: &mut Ui, workspace: &mut Workspace) {
    let frame = egui::Frame::new().fill(Tokens::of(ui).rail).inner_margin(egui::Margin::symmetric(6, 8));
    Panel::left("rail").frame(frame).exact_size(RAIL_WIDTH).resizable(false).show(ui, |ui| {
        pane(ui, Pane::Rail);
        for item in Workspace::ALL {
            entry(ui, workspace, item);
            ui.add_space(STEP / 2.0);
        }
    });
}

const fn icon(workspace: Workspace) -> Icon {
    match workspace {
        Workspace::Fibre => Icon::Fibre,
        Workspace::Yarn => Icon::Yarn,
        Workspace::Design => Icon::Design,
        Workspace::Swatch => Icon::Swatch,
        Workspace::Pieces => Icon::Pieces,
        Workspace::Shopping => Icon::Shopping,
    }
}

fn entry(ui: &mut Ui, workspace: &mut Workspace, item: Workspace) {
    let (rect, response) = ui.allocate_exact_size(Vec2::new(ui.available_width(), 54.0), Sense::click());
    let (chosen, enabled) = (*workspace == item, ui.is_enabled());
    response.widget_info(|| WidgetInfo::selected(Role::Button, enabled, chosen, item.name()));
    let tokens = Tokens::of(ui);
    if chosen || response.hovered() {
        let fill = if chosen { tokens.chosen } else { tokens.hover };
        ui.painter().rect_filled(rect, CORNER, fill);
    }
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    let icon_rect = Rect::from_center_size(rect.center() - Vec2::new(0.0, 9.0), Vec2::splat(20.0));
    icon(item).paint(ui.painter(), icon_rect, tokens.text);
    let at = rect.center_bottom() - Vec2::new(0.0, 7.0);
    ui.painter().text(at, Align2::CENTER_BOTTOM, item.name(), FontId::proportional(SMALL), tokens.text);
    if response.clicked() {
        *workspace = item;
    }
}
