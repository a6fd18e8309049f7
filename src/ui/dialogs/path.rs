//! A file name typed by hand, where no system picker answers.

use std::path::{Path, PathBuf};

use egui::{Key, TextEdit, Ui};

use super::answers;
use crate::app::Action;
use crate::app::picker::{extensions, kind, with_extension};
use crate::app::purpose::Purpose;
use crate::ui::widgets::{caption, name, reserved_caption};

/// Lines kept for what is said of the path.
const SAID_LINES: usize = 3;

/// The question's heading.
pub const fn title(purpose: &Purpose) -> &'static str {
    match purpose {
        Purpose::Open => "Open a project",
        Purpose::Save(_) => "Save the project",
        Purpose::Photograph => "Open a photograph",
        Purpose::SwatchPhotograph => "Open a photograph of a swatch",
        Purpose::ChartPicture => "Open a picture",
        Purpose::Outline => "Open an outline",
        Purpose::Export(export) => export.info().name,
        Purpose::Card(file) => file.title(),
    }
}

/// Asks for the path.
pub fn show(
    ui: &mut Ui,
    purpose: &Purpose,
    text: &mut String,
    (replaces, refused): (&mut bool, &mut Option<String>),
    actions: &mut Vec<Action>,
) {
    let (what, kinds) = (kind(purpose).0, extensions(purpose).join(", ."));
    caption(ui, format!("{what} (.{kinds}). No file picker of the system answers, so type the path."));
    let edit = ui.add(TextEdit::singleline(text).desired_width(f32::INFINITY));
    name(&edit, "File path");
    // Asked before the field takes the cursor again, which would hide that it was given up.
    let entered = edit.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    if ui.memory(|memory| memory.focused().is_none()) {
        edit.request_focus();
    }
    if edit.changed() {
        *replaces = false;
        *refused = None;
    }
    let path = with_extension(PathBuf::from(text.trim()), purpose);
    let opens = purpose.opens();
    let hint = hint(&path, opens);
    let asked = replaces.then(|| "A file of that name is there. Replace it?".to_owned());
    let said = refused.as_ref().or(asked.as_ref()).or(hint.as_ref());
    // In room of its own, so that the answers stay where they are.
    reserved_caption(ui, said.map(String::as_str), SAID_LINES);
    let verb = match (opens, *replaces) {
        (true, _) => "Open",
        (false, true) => "Replace",
        (false, false) => "Save",
    };
    let answer = answers(ui, &[verb, "Cancel"]);
    if answer == Some(1) {
        actions.push(Action::CloseDialog);
    } else if (answer == Some(0) || entered) && !text.trim().is_empty() {
        if !opens && !*replaces && path.exists() {
            *replaces = true;
        } else {
            actions.push(Action::PathEntered(purpose.clone(), path));
        }
    }
}

/// What is wrong with the path as it stands.
fn hint(path: &Path, opens: bool) -> Option<String> {
    if opens {
        return (!path.as_os_str().is_empty() && !path.exists()).then(|| "There is no such file.".to_owned());
    }
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty())?;
    (!folder.is_dir()).then(|| format!("There is no folder {}.", folder.display()))
}
