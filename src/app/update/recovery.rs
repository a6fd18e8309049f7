//! Copies of unsaved work by time, and what a window left behind.

use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use super::files;
use crate::app::dialog::Dialog;
use crate::app::jobs::For;
use crate::app::recovery::{Found, Recovery};
use crate::app::state::{Program, State};
use crate::file::recovery::{LeftBehind, Unsaved};

/// From the first change that no copy holds to the next copy. With the time it takes to write one, at
/// most 2 s of work can be lost.
const KEEP_AFTER: Duration = Duration::from_secs(1);

/// Keeps the copy up to date; once a frame. How long until it must be called again, if nothing else
/// happens.
pub fn tick(program: &mut Program, now: Instant) -> Option<Duration> {
    let Program { state, view } = program;
    // What was read meanwhile waits for the question that is being answered.
    if view.dialog.is_none() {
        view.dialog = state.found.take().map(Dialog::Recovered);
    }
    if !state.document.is_unsaved() {
        // All was saved or undone: there is nothing to offer.
        if state.recovery.kept.is_some() && !state.document.is_being_saved() {
            drop_copy(state);
        }
        state.recovery.behind_since = None;
        state.recovery.told = false;
        return None;
    }
    if state.recovery.kept == Some(state.document.version()) {
        return None;
    }
    if let Some(reason) = state.home.why_not_kept() {
        if !state.recovery.told {
            let reason = reason.to_owned();
            state.recovery.told = true;
            state.complain(reason);
        }
        return None;
    }
    let due = *state.recovery.behind_since.get_or_insert(now) + KEEP_AFTER;
    if now < due {
        return Some(due - now);
    }
    keep(state);
    None
}

/// Ends the program because the system says so: unsaved work is kept to be offered again.
pub fn end_now(program: &mut Program) {
    keep_now(program);
    program.state.may_close = true;
    program.state.jobs.finish();
}

/// Keeps a copy at once, because the person turned elsewhere or the program must end.
pub fn keep_now(program: &mut Program) {
    let state = &mut program.state;
    if state.document.is_unsaved() && state.recovery.kept != Some(state.document.version()) {
        state.recovery.running = false;
        keep(state);
    }
}

fn keep(state: &mut State) {
    // The answer of the one under way calls again.
    if state.recovery.running {
        return;
    }
    let Some(keeper) = state.home.keeper().map(Arc::clone) else { return };
    let document = &state.document;
    let original = document.path().map(Path::to_owned);
    let came_from = document.came_from().map(Path::to_owned);
    let work = Unsaved::new(Arc::clone(document.project()), original, document.edits(), document.history());
    let work = work.that_came_from(came_from);
    let version = document.version();
    state.recovery = Recovery { kept: Some(version), behind_since: None, running: true, told: false };
    state.jobs.queue(
        For::Program,
        move || keeper.keep(&work).map_err(|error| error.to_string()),
        move |program: &mut Program, kept| {
            let state = &mut program.state;
            state.recovery.running = false;
            if let Err(reason) = kept {
                // With the next change it is tried again.
                state.complain(reason);
            }
        },
    );
}

/// Drops the copy, after those that are being written.
pub(super) fn drop_copy(state: &mut State) {
    state.recovery = Recovery { running: state.recovery.running, ..Recovery::default() };
    let Some(keeper) = state.home.keeper().map(Arc::clone) else { return };
    let discard = move || {
        keeper.discard();
        Ok(())
    };
    state.jobs.queue(For::Program, discard, |_: &mut Program, _| {});
}

/// Says at the start what cannot be kept and offers what windows left behind.
pub fn offer(program: &mut Program, mut left_behind: Vec<LeftBehind>) {
    let state = &mut program.state;
    if let Some(reason) = state.home.why_not_kept() {
        let reason = reason.to_owned();
        state.complain(reason);
    }
    left_behind.reverse();
    state.left_behind = left_behind;
    offer_next(state);
}

/// Offers the newest work that is left, once both versions of it are read.
fn offer_next(state: &mut State) {
    let Some(work) = state.left_behind.pop() else { return };
    state.jobs.start(
        For::Program,
        "left behind",
        move || Ok(Found::read(work)),
        |program: &mut Program, found| match found {
            Ok(found) => program.state.found = Some(found),
            Err(reason) => program.state.complain(reason),
        },
    );
}

/// Takes up or drops the work a window left behind; what was dropped is never offered again.
pub(super) fn recover(program: &mut Program, work: LeftBehind, wanted: bool) {
    let Program { state, view } = &mut *program;
    view.dialog = None;
    if !wanted {
        offer_next(state);
        let discard = move || {
            work.discard();
            Ok(())
        };
        state.jobs.queue(For::Program, discard, |_: &mut Program, _| {});
        return;
    }
    // The rest is offered at the next start. The copy is wanted in place of what is being opened.
    state.opening = None;
    state.jobs.start(
        For::Program,
        "recover",
        move || work.load().map(|read| (work, read)).map_err(|error| error.to_string()),
        |program: &mut Program, read| match read {
            Ok(_) if program.state.document.is_unsaved() => {
                let text = "There are changes that are not saved: save them; the copy is offered again at \
                            the next start.";
                program.state.complain(text);
            }
            Ok((work, (project, history))) => {
                files::show(program, Arc::new(project), None);
                let state = &mut program.state;
                state.document.take_up(history, work.edits, work.original.clone());
                // The old copy goes once this window has one of its own.
                keep(state);
                let discard = move || {
                    work.discard();
                    Ok(())
                };
                state.jobs.queue(For::Program, discard, |_: &mut Program, _| {});
            }
            Err(reason) => program.state.complain(reason),
        },
    );
}
