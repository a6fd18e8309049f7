//! A part of a column that folds away and remembers it.

use egui::{Align2, FontId, Rect, Role, Sense, Ui, UiBuilder, Vec2, WidgetInfo, pos2};

use crate::app::Action;
use crate::app::state::State;
use crate::app::view::Fold;
use crate::ui::theme::{CORNER, HEADING, STEP, Tokens, semibold};
use crate::ui::widgets::{focus_ring, steady};

const ROW: f32 = 30.0;

/// Shows the heading of a part and, when it is open, its contents. What is said beside the title may
/// change; the heading keeps its place.
pub fn fold(
    ui: &mut Ui,
    state: &State,
    (part, title, beside): (Fold, &str, &str),
    actions: &mut Vec<Action>,
    contents: impl FnOnce(&mut Ui, &mut Vec<Action>),
) {
    let open = state.folds.is_open(part);
    steady(ui, ("fold", title), |ui| {
        let (_, rect) = ui.allocate_space(Vec2::new(ui.available_width(), ROW));
        let response = ui.interact(rect, ui.scope_id().with("heading"), Sense::click());
        let what = if open { "open" } else { "folded" };
        response
            .widget_info(|| WidgetInfo::selected(Role::Button, true, open, format!("{title} part, {what}")));
        let tokens = Tokens::of(ui);
        if response.hovered() {
            ui.painter().rect_filled(rect, CORNER, tokens.hover);
        }
        if response.has_focus() {
            focus_ring(ui, rect);
        }
        arrow(ui, Rect::from_center_size(rect.left_center() + Vec2::new(10.0, 0.0), Vec2::splat(9.0)), open);
        let font = FontId::new(HEADING, semibold());
        let at = pos2(rect.left() + 22.0, rect.center().y);
        ui.painter().text(at, Align2::LEFT_CENTER, title, font, tokens.text);
        let small = FontId::proportional(crate::ui::theme::SMALL);
        let at = pos2(rect.right() - STEP, rect.center().y);
        ui.painter().text(at, Align2::RIGHT_CENTER, beside, small, tokens.weak);
        if response.clicked() {
            actions.push(Action::Fold(part));
        }
        if open {
            within(ui, |ui| contents(ui, actions));
            ui.add_space(STEP / 2.0);
        }
        ui.separator();
    });
}

/// Contents as wide as there is room, whatever is in them: a wider line is cut, and the column keeps its width.
fn within(ui: &mut Ui, contents: impl FnOnce(&mut Ui)) {
    let room = ui.available_rect_before_wrap();
    let id = ui.scope_id().with("contents");
    let mut child = ui.new_child(UiBuilder::new().scope_id(id).max_rect(room));
    contents(&mut child);
    ui.allocate_space(Vec2::new(room.width(), child.min_rect().height()));
}

/// Points down when open, to the right when folded.
fn arrow(ui: &Ui, rect: Rect, open: bool) {
    let points = if open {
        vec![rect.left_top(), rect.right_top(), rect.center_bottom()]
    } else {
        vec![rect.left_top(), rect.right_center(), rect.left_bottom()]
    };
    let ink = Tokens::of(ui).text;
    ui.painter().add(egui::Shape::convex_polygon(points, ink, egui::Stroke::NONE));
}
