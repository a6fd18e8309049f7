//! What the pattern is called, by whom it is, and what the sheet says of it.

use egui::{TextEdit, Ui};

use super::answers_if;
use crate::app::Action;
use crate::project::Edit;
use crate::ui::theme::STEP;
use crate::ui::widgets::{Form, caption, name};

/// Asks for the title, the designer and the notes.
pub fn show(ui: &mut Ui, [title, designer, notes]: [&mut String; 3], actions: &mut Vec<Action>) {
    for (words, label, field) in
        [("Title", "Title of the pattern", &mut *title), ("Designer", "Designer", designer)]
    {
        Form::of_lines(ui).row(words, |ui| {
            let width = ui.available_width();
            let response = ui.add(TextEdit::singleline(field).desired_width(width));
            name(&response, label);
        });
    }
    Form::of_lines(ui).row("Notes", |ui| {
        let width = ui.available_width();
        let response = ui.add(TextEdit::multiline(notes).desired_rows(4).desired_width(width));
        name(&response, "Notes for the sheet");
    });
    ui.add_space(STEP / 2.0);
    let named = !title.trim().is_empty();
    caption(
        ui,
        if named {
            "All three stand on the first page of the pattern sheet; the PDF names the designer as its author."
        } else {
            "A pattern needs a title: give it one."
        },
    );
    match answers_if(ui, named, &["Keep", "Cancel"]) {
        Some(0) => {
            let edit = Edit::About {
                title: title.trim().to_owned(),
                designer: designer.trim().to_owned(),
                notes: notes.trim().to_owned(),
            };
            actions.push(Action::edit("Title and designer", edit));
            actions.push(Action::CloseDialog);
        }
        Some(_) => actions.push(Action::CloseDialog),
        None => {}
    }
}
