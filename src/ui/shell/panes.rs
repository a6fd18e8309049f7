//! The panes of the window, which one key goes round: Tab goes on from there into what they hold.

use egui::{Id, Role, Sense, Ui, WidgetInfo, vec2};

use crate::ui::canvas;
use crate::ui::widgets::focus_ring;

/// A part of the window that can be gone to by key.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Pane {
    /// The rail of workspaces.
    Rail,
    /// Harmony.
    Harmony,
    /// Tools.
    Tools,
    /// The chart.
    Chart,
    /// Findings, yarn, gauge and fit.
    Findings,
}

impl Pane {
    /// In the order the key goes round.
    const ALL: [Self; 5] = [Self::Chart, Self::Tools, Self::Harmony, Self::Findings, Self::Rail];

    const fn name(self) -> &'static str {
        match self {
            Self::Rail => "Workspaces pane",
            Self::Harmony => "Harmony pane",
            Self::Tools => "Tools pane",
            Self::Chart => "Chart pane",
            Self::Findings => "Findings pane",
        }
    }

    fn id(self) -> Id {
        if self == Self::Chart { canvas::id() } else { Id::unique(("pane", self.name())) }
    }
}

/// Room beside the contents of a pane that its ring takes.
const MARGIN: f32 = 6.0;

/// Marks what `ui` holds as a pane; call it before its contents.
pub fn pane(ui: &Ui, pane: Pane) {
    let frame = ui.ctx().cumulative_frame_nr();
    ui.data_mut(|data| data.insert_temp(pane.id(), frame));
    if pane == Pane::Chart {
        // The chart takes the keyboard itself.
        return;
    }
    // Its ring stands beside the words, in the margin.
    let rect = ui.max_rect().expand2(vec2(MARGIN, 0.0));
    let response = ui.interact(rect, pane.id(), Sense::focusable_noninteractive());
    response.widget_info(|| WidgetInfo::labeled(Role::Pane, true, pane.name()));
    if response.has_focus() {
        focus_ring(ui, rect);
    }
}

/// Gives the keyboard to the pane after the one that was gone to last, of those that are shown.
pub fn next_pane(ui: &Ui) {
    let frame = ui.ctx().cumulative_frame_nr();
    let is_shown = |pane: &Pane| {
        let seen: Option<u64> = ui.data(|data| data.get_temp(pane.id()));
        seen.is_some_and(|seen| seen + 1 >= frame)
    };
    let last_id = Id::unique("last pane");
    let focused = ui.memory(egui::Memory::focused);
    let last = Pane::ALL.iter().position(|pane| Some(pane.id()) == focused);
    let last = last.or_else(|| ui.data(|data| data.get_temp(last_id)));
    let start = last.map_or(0, |last| last + 1);
    let order = (0..Pane::ALL.len()).map(|step| (start + step) % Pane::ALL.len());
    if let Some(next) = order.into_iter().find(|index| is_shown(&Pane::ALL[*index])) {
        ui.data_mut(|data| data.insert_temp(last_id, next));
        ui.memory_mut(|memory| memory.request_focus(Pane::ALL[next].id()));
    }
}
