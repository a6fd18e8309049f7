//! Messages in the corner: passing ones fade, errors stay until dismissed.

use egui::{Align2, Area, Button, Frame, Id, Label, Order, Ui, Vec2};

use super::LINE;
use crate::app::dialog::Notice;
use crate::app::document::Version;
use crate::app::{Action, Command};
use crate::ui::theme::{STEP, Tokens};
use crate::ui::widgets::{Icon, sized_icon_button};

/// Seconds a passing message stays.
const PASSING: f64 = 4.0;
/// Seconds a message stays that can take back what it tells of.
const WITH_UNDO: f64 = 10.0;

/// Shows the messages.
pub fn notices(ui: &Ui, notices: &[Notice], now_open: Version) -> Vec<Action> {
    let mut actions = Vec::new();
    if notices.is_empty() {
        return actions;
    }
    let ctx = ui.ctx().clone();
    let now = ctx.input(|input| input.time);
    // Those that pass by themselves let the pointer through to what is under them; the others are answered.
    let (answered, passing): (Vec<&Notice>, Vec<&Notice>) =
        notices.iter().partition(|notice| notice.is_error || notice.undo.is_some());
    let mut low = -2.0 * LINE - STEP;
    for (name, notices, answers) in [("notices", answered, true), ("passing notices", passing, false)] {
        let area = Area::new(Id::unique(name))
            // Above both lines at the bottom: the button to the next step stays free.
            .anchor(Align2::RIGHT_BOTTOM, Vec2::new(-STEP * 2.0, low))
            .order(Order::Foreground)
            .interactable(answers);
        let shown = area.show(&ctx, |ui| {
            for notice in &notices {
                let id = Id::unique(("notice", notice.id));
                let since = ctx.data_mut(|data| *data.get_temp_mut_or(id, now));
                if !notice.is_error {
                    let stays = if notice.undo.is_some() { WITH_UNDO } else { PASSING };
                    let left = stays - (now - since);
                    if left <= 0.0 {
                        actions.push(Action::Dismiss(notice.id));
                        continue;
                    }
                    ctx.request_repaint_after(std::time::Duration::from_secs_f64(left));
                }
                match card(ui, notice, answers, notice.undo == Some(now_open)) {
                    Some(Answer::Dismiss) => actions.push(Action::Dismiss(notice.id)),
                    Some(Answer::Undo) => {
                        actions.push(Action::Command(Command::Undo));
                        actions.push(Action::Dismiss(notice.id));
                    }
                    None => {}
                }
            }
        });
        if !notices.is_empty() {
            low -= shown.response.rect.height() + STEP;
        }
    }
    actions
}

/// What was answered to a message.
enum Answer {
    Dismiss,
    Undo,
}

/// One message, and what was answered to it, where it can be; `undoes` when undo takes back what it tells of.
fn card(ui: &mut Ui, notice: &Notice, answers: bool, undoes: bool) -> Option<Answer> {
    let tokens = Tokens::of(ui);
    let mut answer = None;
    Frame::window(ui.style()).fill(tokens.field).inner_margin(12).show(ui, |ui| {
        ui.horizontal_top(|ui| {
            let icon = if notice.is_error { Icon::Problem } else { Icon::Note };
            let (rect, _) = ui.allocate_exact_size(Vec2::splat(18.0), egui::Sense::hover());
            icon.paint(ui.painter(), rect, tokens.text);
            ui.allocate_ui(Vec2::new(360.0, 0.0), |ui| {
                ui.set_max_width(360.0);
                ui.add(Label::new(notice.text.as_str()).wrap().selectable(answers));
            });
            if notice.undo.is_some() && ui.add_enabled(undoes, Button::new("Take it back")).clicked() {
                answer = Some(Answer::Undo);
            }
            let size = Vec2::splat(22.0);
            if answers && sized_icon_button(ui, Icon::Close, "Dismiss message", "", false, size).clicked() {
                answer = Some(Answer::Dismiss);
            }
        });
    });
    answer
}
