//! The question about work that is not in a file.

use egui::{Label, Ui};

use super::answers;
use crate::app::Action;
use crate::app::purpose::Next;

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
