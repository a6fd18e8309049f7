//! Copies of unsaved work, and what a window left behind.

use std::path::Path;
use std::sync::Arc;

use super::files::show;
use crate::app::jobs::For;
use crate::app::state::{Program, State};
use crate::file::recovery::LeftBehind;

/// Every so many changes, a copy of unsaved work goes beside the settings.
pub(super) fn keep_copy(program: &mut Program) {
    const EVERY: u64 = 20;
    let state = &mut program.state;
    let revision = state.document.version().revision;
    if revision < state.recovery_revision + EVERY {
        return;
    }
    let Some(keeper) = state.home.keeper().map(Arc::clone) else { return };
    state.recovery_revision = revision;
    let project = Arc::clone(state.document.project());
    let original = state.document.path().map(Path::to_owned);
    state.jobs.queue(
        For::Program,
        move || keeper.keep(&project, original.as_deref()).map_err(|error| error.to_string()),
        |program: &mut Program, kept| {
            if let Err(reason) = kept {
                program.state.complain(reason);
            }
        },
    );
}

/// Drops the copy, after those that are being written.
pub(super) fn drop_copy(state: &mut State) {
    state.recovery_revision = 0;
    let Some(keeper) = state.home.keeper().map(Arc::clone) else { return };
    let discard = move || {
        keeper.discard();
        Ok(())
    };
    state.jobs.queue(For::Program, discard, |_: &mut Program, _| {});
}

/// Takes up or drops the work a window left behind. A copy taken up stays until it is saved.
pub(super) fn recover(program: &mut Program, work: &LeftBehind, wanted: bool) {
    program.view.dialog = None;
    if !wanted {
        work.discard();
        return;
    }
    match work.load() {
        Ok(project) => {
            show(program, Arc::new(project), None);
            program.state.document.mark_unsaved();
            work.discard();
        }
        Err(error) => program.state.complain(error.to_string()),
    }
}
