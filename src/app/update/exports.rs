//! Exports: their options, their job and how it is stopped.

use std::path::PathBuf;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};

use super::files;
use crate::app::dialog::Dialog;
use crate::app::exports::{Export, Prepared, prepare};
use crate::app::jobs::For;
use crate::app::purpose::Purpose;
use crate::app::state::{Program, State};

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
    let state = &mut program.state;
    let cancelled = Arc::new(AtomicBool::new(false));
    // One at a time is shown; an earlier one goes on unseen and says when it is done.
    state.exporting = Some(Arc::clone(&cancelled));
    let project = Arc::clone(state.document.project());
    let options = state.export_options;
    let (file, stopped) = (path.clone(), Arc::clone(&cancelled));
    state.jobs.start(
        For::Program,
        "export",
        move || {
            prepare(export, &project, &options, &path, &cancelled)
                .and_then(|Prepared { draft, note }| Ok(draft.commit().map(|()| note)?))
                .map_err(|error| error.to_string())
        },
        move |Program { state, .. }: &mut Program, written| {
            state.exporting.take_if(|shown| Arc::ptr_eq(shown, &stopped));
            match written {
                Ok(note) => {
                    let note = if note.is_empty() { note } else { format!(" ({note})") };
                    state.notify(format!("Written: {}{note}", file.display()));
                }
                Err(_) if stopped.load(Ordering::Relaxed) => {
                    state.notify("Export stopped; nothing was written");
                }
                Err(reason) => state.complain(reason),
            }
        },
    );
}

/// Stops the export under way.
pub(super) fn cancel(state: &State) {
    if let Some(cancelled) = &state.exporting {
        cancelled.store(true, Ordering::Relaxed);
    }
}
