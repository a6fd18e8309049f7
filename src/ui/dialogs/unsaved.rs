//! Questions about work that is not in a file.

use std::time::SystemTime;

use egui::{Label, Ui};

use super::answers;
use crate::app::Action;
use crate::app::purpose::Next;
use crate::file::recovery::LeftBehind;
use crate::ui::widgets::caption;

/// How long ago that was, in words.
fn ago(time: SystemTime) -> String {
    let minutes = time.elapsed().map_or(0, |elapsed| elapsed.as_secs() / 60);
    match minutes {
        0 => "less than a minute ago".to_owned(),
        1 => "a minute ago".to_owned(),
        2..=119 => format!("{minutes} minutes ago"),
        120..=2879 => format!("{} hours ago", minutes / 60),
        _ => format!("{} days ago", minutes / 1440),
    }
}

/// Save, discard or stay?
pub fn show(ui: &mut Ui, name: &str, next: &Next, actions: &mut Vec<Action>) {
    let what = match next {
        Next::Quit => "Leaving",
        Next::New | Next::Show(_) => "Beginning a new project",
        Next::Open(_) | Next::Demo(_) => "Opening another project",
    };
    ui.add(Label::new(format!("{what} would lose the changes to “{name}” that are not saved.")).wrap());
    match answers(ui, &["Save", "Do not save", "Cancel"]) {
        Some(0) => actions.push(Action::SaveThen(next.clone())),
        Some(1) => actions.push(Action::Discard(next.clone())),
        Some(_) => actions.push(Action::CloseDialog),
        None => {}
    }
}

/// Take up the copy that was kept?
pub fn recovered(ui: &mut Ui, work: &LeftBehind, actions: &mut Vec<Action>) {
    let title = if work.title.is_empty() { "a project".to_owned() } else { format!("“{}”", work.title) };
    let edits = match work.edits {
        0 => String::new(),
        1 => " One change was not saved.".to_owned(),
        edits => format!(" {edits} changes were not saved."),
    };
    ui.add(
        Label::new(format!(
            "Huegauge did not close in the usual way last time. A copy of {title} as it was {} is here.{edits} \
             Take it up and save it under a name of your choice, or drop it for good.",
            ago(work.kept_at)
        ))
        .wrap(),
    );
    if let Some(original) = &work.original {
        let saved = work.saved_at.map_or_else(
            || "is no longer there".to_owned(),
            |saved| format!("was saved {} and stays as it is", ago(saved)),
        );
        caption(ui, format!("Its file {} {saved}.", original.display()));
    }
    match answers(ui, &["Take it up", "Drop it"]) {
        Some(0) => actions.push(Action::Recover(work.clone(), true)),
        Some(_) => actions.push(Action::Recover(work.clone(), false)),
        None => {}
    }
}
