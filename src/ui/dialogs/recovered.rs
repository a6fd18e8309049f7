//! Unsaved work that a window left behind, beside what lies in the file.

use egui::{Label, Ui};

use super::{answers, versions};
use crate::app::Action;
use crate::app::recovery::Found;
use crate::app::view::Eyes;
use crate::ui::theme::STEP;
use crate::ui::widgets::caption;

/// Take up the copy that was kept?
pub fn show(ui: &mut Ui, found: &Found, eyes: Eyes, actions: &mut Vec<Action>) {
    let work = &found.work;
    let title = if work.title.is_empty() { "a project".to_owned() } else { format!("“{}”", work.title) };
    let edits = match work.edits {
        0 => String::new(),
        1 => " One change was not saved.".to_owned(),
        edits => format!(" {edits} changes were not saved."),
    };
    let ended = "Huegauge did not close in the usual way last time.";
    let text = format!("{ended} A copy of {title} as it was {} is here.{edits}", found.kept_when);
    ui.add(Label::new(text).wrap());
    ui.add_space(STEP / 2.0);
    let kept = found.kept.as_deref().map_err(String::as_str);
    let saved = found.saved.as_deref().map_err(String::as_str);
    let kept_place = format!("The copy, {}", found.kept_when);
    let saved_place = found
        .saved_when
        .as_ref()
        .map_or_else(|| "The file".to_owned(), |when| format!("The file, saved {when}"));
    versions::side_by_side(ui, [(&kept_place, kept), (&saved_place, saved)], eyes);
    if let (Ok(_), Ok(_)) = (kept, saved) {
        versions::differ(ui, &found.differs);
    }
    if let Some(original) = &work.original {
        caption(ui, format!("The file is {}; it stays as it is.", original.display()));
    }
    if kept.is_err() {
        caption(ui, format!("The copy lies in {}. Later leaves it there.", work.copy.display()));
        match answers(ui, &["Later", "Drop it"]) {
            Some(0) => actions.push(Action::CloseDialog),
            Some(_) => actions.push(Action::Recover(work.clone(), false)),
            None => {}
        }
        return;
    }
    caption(
        ui,
        "Take it up: saving then proposes its file and asks before it is replaced. Later offers it again at the next start; \
         dropped, it is gone for good.",
    );
    match answers(ui, &["Take it up", "Later", "Drop it"]) {
        Some(0) => actions.push(Action::Recover(work.clone(), true)),
        Some(1) => actions.push(Action::CloseDialog),
        Some(_) => actions.push(Action::Recover(work.clone(), false)),
        None => {}
    }
}
