//! Long work over the picture: what, how far, and a way to stop it.

use std::time::Duration;

use egui::{Frame, ProgressBar, Rect, Ui, UiBuilder, Vec2};

use super::photo;
use crate::app::Action;
use crate::app::photo_desk::{PhotoAction, TaskKind};
use crate::app::state::State;
use crate::ui::theme::{STEP, Tokens};

/// Work shorter than this passes without a word.
const UNNOTICED: Duration = Duration::from_millis(250);
/// How often the bar moves.
const TICK: Duration = Duration::from_millis(80);
const SIZE: Vec2 = Vec2::new(420.0, 48.0);

fn words(kind: &TaskKind) -> String {
    match kind {
        TaskKind::Opening(name) => format!("Opening {name}"),
        TaskKind::Correcting => "Measuring the light".to_owned(),
        TaskKind::Finding => "Looking for yarns".to_owned(),
        TaskKind::Reading => "Reading the yarns".to_owned(),
    }
}

/// Shows the work under way at the foot of `area`.
pub fn over(ui: &mut Ui, area: Rect, state: &State, actions: &mut Vec<Action>) {
    let Some(work) = &state.photo.work else { return };
    ui.ctx().request_repaint_after(TICK);
    if work.started.elapsed() < UNNOTICED {
        return;
    }
    let size = Vec2::new(SIZE.x.min(area.width() - 2.0 * STEP), SIZE.y);
    let foot = area.center_bottom() - Vec2::new(0.0, size.y / 2.0 + 2.0 * STEP);
    let mut over = ui.new_child(UiBuilder::new().max_rect(Rect::from_center_size(foot, size)));
    let tokens = Tokens::of(ui);
    Frame::window(over.style()).fill(tokens.panel).inner_margin(10).show(&mut over, |ui| {
        ui.horizontal(|ui| {
            let text = words(&work.kind);
            ui.add(ProgressBar::new(work.progress()).desired_width(size.x - 110.0).text(text));
            if ui.button("Cancel").clicked() {
                actions.push(photo(PhotoAction::Cancel));
            }
        });
    });
}
