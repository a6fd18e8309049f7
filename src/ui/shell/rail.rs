//! The rail: one button a workspace, in the order a knitter meets them.

use egui::{Align2, FontId, Panel, Rect, Response, Role, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo};

use super::{Pane, pane};
use crate::app::progress::{Progress, Standing};
use crate::app::state::State;
use crate::app::view::{View, Workspace};
use crate::ui::theme::{CORNER, RAIL_WIDTH, SMALL, STEP, Tokens};
use crate::ui::widgets::{Icon, focus_ring};

/// Shows the rail.
pub fn rail(ui: &mut Ui, state: &State, view: &mut View) {
    let frame = egui::Frame::new().fill(Tokens::of(ui).rail).inner_margin(egui::Margin::symmetric(6, 8));
    Panel::left("rail").frame(frame).exact_size(RAIL_WIDTH).resizable(false).show(ui, |ui| {
        pane(ui, Pane::Rail);
        let standings = state.standings();
        for item in Workspace::ALL {
            let progress = standings.as_ref().map(|standings| standings.at(item));
            entry(ui, &mut view.workspace, item, progress);
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

fn entry(ui: &mut Ui, workspace: &mut Workspace, item: Workspace, progress: Option<&Progress>) {
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
    let clicked = response.clicked();
    if let Some(progress) = progress {
        standing(ui, response, item, progress);
    }
    if clicked {
        *workspace = item;
    }
}

/// How far a workspace has come, in the corner of its entry and in words on hovering.
fn standing(ui: &Ui, response: Response, item: Workspace, progress: &Progress) {
    let rect = response.rect;
    let corner = Rect::from_min_size(rect.right_top() + Vec2::new(-19.0, 5.0), Vec2::splat(13.0));
    mark(ui, corner, progress.standing);
    let told = format!("{}: {}. {}", item.name(), progress.standing.name(), progress.words);
    let sign = ui.interact(corner, response.id.with("standing"), Sense::hover());
    sign.widget_info(|| WidgetInfo::labeled(Role::Label, true, &told));
    response.on_hover_text(told);
}

/// The mark of a standing, told by its shape: a ring, a half-filled ring, a tick, a warning sign.
pub fn mark(ui: &Ui, rect: Rect, standing: Standing) {
    let tokens = Tokens::of(ui);
    let painter = ui.painter();
    let (centre, radius) = (rect.center(), rect.width() * 0.32);
    match standing {
        Standing::Untouched => {
            painter.circle_stroke(centre, radius, Stroke::new(1.2, tokens.edge));
        }
        Standing::Begun => {
            painter.circle_stroke(centre, radius, Stroke::new(1.2, tokens.weak));
            let half = (0..=12).map(|step| {
                let angle = std::f32::consts::PI * step as f32 / 12.0;
                centre + Vec2::new(angle.cos(), angle.sin()) * radius
            });
            painter.add(Shape::convex_polygon(half.collect(), tokens.weak, Stroke::NONE));
        }
        Standing::Done => Icon::Tick.paint(painter, rect, tokens.text),
        Standing::Contradicts => Icon::Warning.paint(painter, rect, tokens.text),
    }
}
