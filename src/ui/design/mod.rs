//! The Design workspace: harmony beside the chart, findings and yarn on the other side, all live.

mod chart_menu;
mod contrast;
mod findings;
mod fit;
mod fold;
mod harmony;
mod motifs;
mod plan;
mod symmetry;
mod toolbar;
mod yarn;

use egui::containers::panel::PanelState;
use egui::{
    Align, CentralPanel, Frame, Layout, Margin, Panel, Rect, Role, ScrollArea, Sense, Ui, Vec2, WidgetInfo,
};

use super::canvas::{self, CanvasTextures};
use super::shell::{Pane, pane};
use super::theme::{STEP, Tokens};
use super::widgets::{Follow, Icon, sized_icon_button, still};
use crate::app::state::State;
use crate::app::view::{Columns, Fold, View};
use crate::app::{Action, Command};
use fold::fold;

/// What the workspace remembers between frames.
pub struct DesignView {
    harmony: harmony::HarmonyView,
    fit: fit::FitView,
    motifs: motifs::MotifsView,
    /// The column that stays open where there is room for one only.
    first: Side,
    /// Both columns are wanted, and there is room for one.
    narrow: bool,
    /// How wide the columns were pulled, left and right; they are narrower only where there is no room.
    widths: [f32; 2],
}

impl Default for DesignView {
    fn default() -> Self {
        Self {
            harmony: harmony::HarmonyView::default(),
            fit: fit::FitView::default(),
            motifs: motifs::MotifsView::default(),
            first: Side::default(),
            narrow: false,
            widths: [HARMONY, FINDINGS],
        }
    }
}

impl DesignView {
    /// The columns that are shown, of those that are wanted.
    pub fn shown(&self, wanted: Columns) -> Columns {
        if self.narrow { self.first.alone() } else { wanted }
    }

    /// What asking for a column comes to where there is room for one: the one that is not shown takes its turn, and
    /// none comes up in the place of the one that is folded.
    pub fn take_turns(&mut self, wanted: Columns, actions: &mut Vec<Action>) {
        let sides = [
            (Side::Left, Command::FoldHarmony, wanted.harmony, Command::FoldFindings),
            (Side::Right, Command::FoldFindings, wanted.findings, Command::FoldHarmony),
        ];
        for (side, fold, is_wanted, other) in sides {
            let fold = Action::Command(fold);
            if !actions.contains(&fold) {
                continue;
            }
            if is_wanted && self.narrow && self.first == side {
                actions.push(Action::Command(other));
                return;
            }
            if is_wanted && self.narrow {
                actions.retain(|action| *action != fold);
            }
            if !is_wanted || self.narrow {
                self.first = side;
            }
        }
    }
}

/// Width of a folded column.
const FOLDED: f32 = 30.0;
const HARMONY: f32 = 300.0;
const FINDINGS: f32 = 304.0;
/// Widths a column can be pulled to, as far as the chart keeps its half.
const LEAST: f32 = 260.0;
const MOST: f32 = 460.0;

/// Which side a column is on.
#[derive(Clone, Copy, Default, PartialEq, Eq)]
enum Side {
    #[default]
    Left,
    Right,
}

impl Side {
    /// The column of this side and no other.
    fn alone(self) -> Columns {
        Columns { harmony: self == Self::Left, findings: self == Self::Right }
    }
}

/// How the columns share what the chart leaves them.
#[derive(Clone, Copy)]
struct Share {
    open: Columns,
    /// There is room for one of the two.
    narrow: bool,
    most: f32,
}

impl Share {
    /// The chart keeps half of a window of width `window`, or all but one column of it.
    fn of(available: f32, window: f32, wanted: Columns, first: Side) -> Self {
        let room = available - window / 2.0;
        let both = wanted.harmony && wanted.findings;
        let narrow = room < 2.0 * LEAST;
        let open = if both && narrow { first.alone() } else { wanted };
        let each = if open.harmony && open.findings { room / 2.0 } else { room - FOLDED };
        Self { open, narrow: both && narrow, most: each.clamp(LEAST, MOST) }
    }
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
    let window = ui.ctx().content_rect().width();
    let share = Share::of(ui.available_width(), window, state.columns, own.first);
    own.narrow = share.narrow;
    let mut opened = None;
    let [left_width, right_width] = &mut own.widths;
    let left = (Side::Left, share.open.harmony, "Harmony");
    opened = opened.or(column(ui, left, left_width, share, &mut actions, |ui, actions| {
        pane(ui, Pane::Harmony);
        actions.extend(harmony::show(ui, state, &mut view.chart.paint, &mut own.harmony));
    }));
    let right = (Side::Right, share.open.findings, "Findings and yarn");
    opened = opened.or(column(ui, right, right_width, share, &mut actions, |ui, actions| {
        pane(ui, Pane::Findings);
        ScrollArea::vertical().auto_shrink([false, false]).follow(ui, |ui| {
            right_column(ui, state, view, &mut own.fit, actions);
        });
    }));
    own.first = opened.unwrap_or(own.first);
    let tokens = Tokens::of(ui);
    CentralPanel::no_frame().show(ui, |ui| {
        // Nothing between the bar and the chart: the window's ground would show as a stripe.
        ui.spacing_mut().item_spacing = Vec2::ZERO;
        Frame::new().fill(tokens.panel).inner_margin(Margin::symmetric(8, 4)).show(ui, |ui| {
            toolbar::show(ui, state, view, &mut actions);
        });
        pane(ui, Pane::Chart);
        if let Some(figures) = state.figures() {
            textures.counted(&figures.repeat_stitches);
        }
        actions.extend(canvas::show(ui, state.project(), &mut view.chart, state.eyes, textures));
        chart_menu::show(ui, state, view, &mut actions);
    });
    motifs::show(ui, state, view, &mut own.motifs, &mut actions);
    actions
}

/// Findings, yarn, gauge, fit: in the order of use.
fn right_column(
    ui: &mut Ui,
    state: &State,
    view: &mut View,
    fit: &mut fit::FitView,
    actions: &mut Vec<Action>,
) {
    ui.spacing_mut().item_spacing.y = STEP / 2.0;
    let count = state.figures().map_or(0, |figures| figures.findings.len());
    let of = (state.document.id(), state.figures().is_some());
    let beside = if count == 0 { String::new() } else { count.to_string() };
    fold(ui, state, (Fold::Findings, "Findings", &beside), actions, |ui, actions| {
        findings::show(ui, state, view, actions);
        still(ui, "contrast", of, |ui| {
            contrast::show(ui, state, &mut view.chart, actions);
        });
    });
    fold(ui, state, (Fold::Yarn, "Yarn use", ""), actions, |ui, actions| {
        still(ui, "yarn use", of, |ui| yarn::show(ui, state, actions));
    });
    fold(ui, state, (Fold::Gauge, "Gauge and repeats", ""), actions, |ui, actions| {
        plan::show(ui, state.project(), actions);
    });
    fold(ui, state, (Fold::Fit, "Motif and repeat fit", ""), actions, |ui, actions| {
        fit::show(ui, state, &mut view.chart, fit, actions);
    });
    ui.add_space(STEP);
}

/// A side column that folds away; its side when it was opened by hand.
fn column(
    ui: &mut Ui,
    (side, open, label): (Side, bool, &str),
    width: &mut f32,
    share: Share,
    actions: &mut Vec<Action>,
    contents: impl FnOnce(&mut Ui, &mut Vec<Action>),
) -> Option<Side> {
    let toggle = if side == Side::Left { Command::FoldHarmony } else { Command::FoldFindings };
    let salt = format!("{label} column");
    let id = ui.scope_id().with(&salt);
    let panel = if side == Side::Left { Panel::left(salt) } else { Panel::right(salt) };
    let frame = Frame::new().fill(Tokens::of(ui).panel);
    if !open {
        let folded =
            panel.exact_size(FOLDED).resizable(false).frame(frame.inner_margin(Margin::symmetric(1, 6)));
        let shown = folded.show(ui, |ui| {
            let icon = if side == Side::Left { Icon::FoldRight } else { Icon::FoldLeft };
            let tip = toggle.info().tip;
            sized_icon_button(ui, icon, &format!("Show {label}"), tip, false, Vec2::splat(28.0)).clicked()
        });
        // Where both are wanted and one has room, only the turn changes.
        if shown.inner && !share.narrow {
            actions.push(Action::Command(toggle));
        }
        return shown.inner.then_some(side);
    }
    // The panel keeps the width it was last shown in, also where it had to be narrower than it was pulled.
    let handle = ui.ctx().read_response(id.with("__resize"));
    let is_pulled = handle.is_some_and(|handle| handle.dragged() || handle.drag_stopped());
    let room = width.clamp(LEAST, share.most);
    if !is_pulled {
        let outer_rect = Rect::from_min_size(ui.max_rect().min, Vec2::new(room, ui.max_rect().height()));
        ui.data_mut(|data| data.insert_persisted(id, PanelState { outer_rect }));
    }
    let panel = panel.default_size(room).size_range(LEAST..=share.most).resizable(true);
    let shown =
        panel.frame(frame.inner_margin(Margin { left: 12, right: 10, top: 8, bottom: 0 })).show(ui, |ui| {
            contents(ui, actions);
            if fold_grip(ui, side, label, toggle) {
                actions.push(Action::Command(toggle));
                if share.narrow {
                    // The other one must not come up in its place.
                    let other = if side == Side::Left { Command::FoldFindings } else { Command::FoldHarmony };
                    actions.push(Action::Command(other));
                }
            }
        });
    if is_pulled {
        *width = shown.response.rect.width();
    }
    None
}

/// A small tab at the inner edge of a column that folds it; whether it was clicked.
fn fold_grip(ui: &Ui, side: Side, label: &str, fold: Command) -> bool {
    let area = ui.max_rect();
    let x = if side == Side::Left { area.right() + 5.0 } else { area.left() - 7.0 };
    let rect = Rect::from_center_size(egui::pos2(x, area.center().y), Vec2::new(10.0, 44.0));
    let response = ui.interact(rect, ui.scope_id().with("fold"), Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Button, true, format!("Fold {label}")));
    let tokens = Tokens::of(ui);
    let ink = if response.hovered() { tokens.text } else { tokens.weak };
    let icon = if side == Side::Left { Icon::FoldLeft } else { Icon::FoldRight };
    icon.paint(ui.painter(), rect, ink);
    response.on_hover_text(fold.info().tip).clicked()
}

/// A right-aligned row inside a column heading.
fn at_right<R>(ui: &mut Ui, contents: impl FnOnce(&mut Ui) -> R) -> R {
    ui.with_layout(Layout::right_to_left(Align::Center), contents).inner
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_chart_keeps_half_of_the_window() {
        for window in [960.0_f32, 1000.0, 1100.0, 1280.0, 1920.0] {
            let available = window - 84.0;
            for first in [Side::Left, Side::Right] {
                let share = Share::of(available, window, Columns::default(), first);
                let width = |open| if open { share.most } else { FOLDED };
                let chart = available - width(share.open.harmony) - width(share.open.findings);
                assert!(chart >= window / 2.0, "{window}: {chart}");
                assert_eq!(share.narrow, window < 1200.0, "{window}");
            }
        }
    }
}
