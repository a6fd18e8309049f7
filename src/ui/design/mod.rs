//! The Design workspace: harmony beside the chart, findings and yarn on the other side, all live.

mod contrast;
mod findings;
mod fit;
mod harmony;
mod plan;
mod toolbar;
mod yarn;

use egui::{
    Align, CentralPanel, Frame, Layout, Margin, Panel, Rect, Role, ScrollArea, Sense, Ui, Vec2, WidgetInfo,
};

use super::canvas::{self, CanvasTextures};
use super::theme::{STEP, Tokens};
use super::widgets::{Icon, sized_icon_button};
use crate::app::state::State;
use crate::app::view::View;
use crate::app::{Action, Command};

/// What the workspace remembers between frames.
#[derive(Default)]
pub struct DesignView {
    harmony: harmony::HarmonyView,
    fit: fit::FitView,
}

/// Width of a folded column.
const FOLDED: f32 = 30.0;
const HARMONY: f32 = 300.0;
const FINDINGS: f32 = 304.0;

/// Which side a column is on.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Side {
    Left,
    Right,
}

/// Shows the workspace.
pub fn show(
    ui: &mut Ui,
    state: &State,
    view: &mut View,
    own: &mut DesignView,
    textures: &mut CanvasTextures,
) -> Vec<Action> {
    let mut actions = Vec::new();
    let open = state.columns;
    column(ui, Side::Left, open.harmony, "Harmony", HARMONY, &mut actions, |ui, actions| {
        actions.extend(harmony::show(ui, state, &mut view.chart.paint, &mut own.harmony));
    });
    column(ui, Side::Right, open.findings, "Findings and yarn", FINDINGS, &mut actions, |ui, actions| {
        ScrollArea::vertical().auto_shrink([false, false]).show(ui, |ui| {
            findings::show(ui, state, view, actions);
            contrast::show(ui, state, &mut view.chart, actions);
            ui.separator();
            yarn::show(ui, state, actions);
            ui.separator();
            plan::show(ui, state.project(), actions);
            ui.separator();
            fit::show(ui, state, &mut view.chart, &mut own.fit, actions);
            ui.add_space(STEP);
        });
    });
    let tokens = Tokens::of(ui);
    CentralPanel::no_frame().show(ui, |ui| {
        // Nothing between the bar and the chart: the window's ground would show as a stripe.
        ui.spacing_mut().item_spacing = Vec2::ZERO;
        Frame::new().fill(tokens.panel).inner_margin(Margin::symmetric(8, 6)).show(ui, |ui| {
            toolbar::show(ui, state, view, &mut actions);
        });
        actions.extend(canvas::show(ui, state.project(), &mut view.chart, state.eyes, textures));
    });
    actions
}

/// A side column that folds away.
fn column(
    ui: &mut Ui,
    side: Side,
    open: bool,
    label: &str,
    width: f32,
    actions: &mut Vec<Action>,
    contents: impl FnOnce(&mut Ui, &mut Vec<Action>),
) {
    let fold = if side == Side::Left { Command::FoldHarmony } else { Command::FoldFindings };
    let id = format!("{label} column");
    let panel = if side == Side::Left { Panel::left(id) } else { Panel::right(id) };
    let frame = Frame::new().fill(Tokens::of(ui).panel);
    if !open {
        let folded =
            panel.exact_size(FOLDED).resizable(false).frame(frame.inner_margin(Margin::symmetric(1, 6)));
        folded.show(ui, |ui| {
            let icon = if side == Side::Left { Icon::FoldRight } else { Icon::FoldLeft };
            let tip = fold.info().tip;
            if sized_icon_button(ui, icon, &format!("Show {label}"), tip, false, Vec2::splat(28.0)).clicked()
            {
                actions.push(Action::Command(fold));
            }
        });
        return;
    }
    let panel = panel.default_size(width).size_range(260.0..=460.0).resizable(true);
    panel.frame(frame.inner_margin(Margin { left: 12, right: 10, top: 8, bottom: 0 })).show(ui, |ui| {
        contents(ui, actions);
        fold_grip(ui, side, label, fold, actions);
    });
}

/// A small tab at the inner edge of a column that folds it.
fn fold_grip(ui: &Ui, side: Side, label: &str, fold: Command, actions: &mut Vec<Action>) {
    let area = ui.max_rect();
    let x = if side == Side::Left { area.right() + 5.0 } else { area.left() - 7.0 };
    let rect = Rect::from_center_size(egui::pos2(x, area.center().y), Vec2::new(10.0, 44.0));
    let response = ui.interact(rect, ui.scope_id().with("fold"), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Fold {label}")));
    let tokens = Tokens::of(ui);
    let ink = if response.hovered() { tokens.text } else { tokens.weak };
    let icon = if side == Side::Left { Icon::FoldLeft } else { Icon::FoldRight };
    icon.paint(ui.painter(), rect, ink);
    if response.on_hover_text(fold.info().tip).clicked() {
        actions.push(Action::Command(fold));
    }
}

/// A right-aligned row inside a column heading.
fn at_right<R>(ui: &mut Ui, contents: impl FnOnce(&mut Ui) -> R) -> R {
    ui.with_layout(Layout::right_to_left(Align::Center), contents).inner
}
