//! The project's file holds something else than this window saved or read.

use std::path::Path;

use egui::{Label, Ui};

use super::{answers, versions};
use crate::app::Action;
use crate::app::dialog::Dialog;
use crate::app::picker;
use crate::app::purpose::{Next, Purpose};
use crate::app::state::State;
use crate::project::Project;
use crate::ui::theme::STEP;
use crate::ui::widgets::caption;

/// Save beside it, replace it, or look at it?
pub fn show(
    ui: &mut Ui,
    state: &State,
    path: &Path,
    theirs: Option<(&Project, &[String])>,
    then: Option<&Next>,
    actions: &mut Vec<Action>,
) {
    let text = format!(
        "{} was written by another program or window since it was opened, saved or chosen here. Nothing was overwritten.",
        path.display()
    );
    ui.add(Label::new(text).wrap());
    ui.add_space(STEP / 2.0);
    let there = theirs.map(|(theirs, _)| theirs).ok_or("No project that can be read.");
    versions::side_by_side(ui, [("Here", Ok(state.project())), ("In the file", there)], state.eyes);
    if let Some((_, differs)) = theirs {
        versions::differ(ui, differs);
    }
    caption(ui, "Save beside it to keep both; opening the file gives up the changes made here.");
    let labels: &[&str] = if theirs.is_some() {
        &["Save beside it…", "Replace it", "Open the file", "Cancel"]
    } else {
        &["Save beside it…", "Replace it", "Cancel"]
    };
    match answers(ui, labels).map(|number| labels[number]) {
        Some("Save beside it…") => actions.push(beside(path, then)),
        Some("Replace it") => actions.push(Action::SaveOver(path.to_owned(), then.cloned())),
        Some("Open the file") => actions.push(Action::Discard(Next::Open(Some(path.to_owned())))),
        Some(_) => actions.push(Action::CloseDialog),
        None => {}
    }
}

/// Asks for a name beside the file, a free one to start from.
fn beside(path: &Path, then: Option<&Next>) -> Action {
    let stem = path.file_stem().map_or_else(String::new, |stem| picker::file_stem(&stem.to_string_lossy()));
    let named = |number: u32| path.with_file_name(format!("{stem} {number}.ron"));
    let free = (2..100).map(named).find(|path| !path.exists()).unwrap_or_else(|| named(100));
    let purpose = Purpose::Save(then.cloned());
    Action::Ask(Dialog::Path { purpose, text: free.display().to_string(), replaces: false, refused: None })
}
