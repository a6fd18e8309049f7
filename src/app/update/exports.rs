//! Exports: their options, their job and how it is stopped.

use std::path::PathBuf;
use std::sync::Arc;

use super::files;
use crate::app::dialog::Dialog;
use crate::app::exports::{Export, Prepared, Stopper, prepare};
use crate::app::jobs::For;
use crate::app::purpose::Purpose;
use crate::app::state::{Program, State};
use crate::export::ExportError;

/// Asks for the options of an export, or for its file where there are none.
pub(super) fn ask(program: &mut Program, export: Export) {
    program.state.export_options.size = None;
    if export.has_options(program.state.project()) {
        program.view.dialog = Some(Dialog::Export(export, program.state.export_options));
    } else {
        files::pick(program, Purpose::Export(export));
    }
}

/// Writes an export on a thread. What it shows is fixed already, so it is written whatever is open.
pub(super) fn start(program: &mut Program, export: Export, path: PathBuf) {
    let typed = program.view.typed.take();
    let state = &mut program.state;
    let stopper = Arc::new(Stopper::waking(state.jobs.waker()));
    // One at a time is shown; an earlier one goes on unseen and says when it is done.
    state.exporting = Some(Arc::clone(&stopper));
    let project = Arc::clone(state.document.project());
    let (options, kept) = (state.export_options, Arc::clone(state.own_yarns.yarns()));
    let (file, shown) = (path.clone(), Arc::clone(&stopper));
    state.jobs.start(
        For::Program,
        "export",
        move || {
            let Prepared { draft, note } = prepare(export, (&project, &kept), &options, &path, &stopper)
                .map_err(|error| error.to_string())?;
            if !stopper.finish() {
                return Err(ExportError::Stopped.to_string());
            }
            draft.commit().map(|()| note).map_err(|error| error.to_string())
        },
        move |program: &mut Program, written| {
            let state = &mut program.state;
            state.exporting.take_if(|under_way| Arc::ptr_eq(under_way, &shown));
            match written {
                Ok(note) => {
                    let note = if note.is_empty() { note } else { format!(" ({note})") };
                    state.notify(format!("Written: {}{note}", file.display()));
                }
                // It was told when it was stopped.
                Err(_) if shown.is_stopped() => {}
                Err(reason) => files::refuse(program, typed, reason),
            }
        },
    );
}

/// Stops the export under way: from now on it can write nothing, however long its thread takes to
/// notice.
pub(super) fn stop(state: &mut State) {
    if state.exporting.take().is_some_and(|stopper| stopper.stop()) {
        state.notify("Export stopped; nothing was written");
    }
}
