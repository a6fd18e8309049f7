//! Questions about work that is not in a file.

use egui::{Label, Ui};

use super::answers;
use crate::app::Action;
use crate::app::purpose::Next;
use crate::file::recovery::LeftBehind;
use crate::ui::widgets::caption;

/// Save, discard or stay?
pub fn show(ui: &mut Ui, name: &str, next: &Next, actions: &mut Vec<Action>) {
    let what = match next {
        Next::Quit => "Leaving",
        Next::New => "Beginning a new project",
        Next::Open(_) | Next::Demo(_) | Next::Show(..) => "Opening another project",
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
    ui.add(
        Label::new(
            "Huegauge did not close in the usual way last time. A copy of the work that was not saved \
             is here. Take it up and save it under a name of your choice, or drop it for good.",
        )
        .wrap(),
    );
    if let Some(original) = &work.original {
        caption(ui, format!("It belongs to {}.", original.display()));
    }
    match answers(ui, &["Take it up", "Drop it"]) {
        Some(0) => actions.push(Action::Recover(work.clone(), true)),
        Some(_) => actions.push(Action::Recover(work.clone(), false)),
        None => {}
    }
}
