//! Projects on disk: opening, saving, and going from one to the next without losing work.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::{cards, exports, photo, recovery};
use crate::app::blank::NewProject;
use crate::app::desks::Desks;
use crate::app::dialog::Dialog;
use crate::app::document::{Document, DocumentId};
use crate::app::jobs::For;
use crate::app::photo_desk::PhotoAction;
use crate::app::picker::{self, Picked};
use crate::app::purpose::{Next, Purpose};
use crate::app::state::{Program, State};
use crate::file;
use crate::project::Project;

/// Goes on to `next`, asking about unsaved changes first, once for each state of the project. While
/// they are being saved it waits for that.
pub(super) fn go(program: &mut Program, next: Next) {
    let Program { state, view } = &mut *program;
    let version = state.document.version();
    if !state.document.is_unsaved() || state.given_up == Some(version) {
        proceed(program, next);
    } else if state.document.is_being_saved() {
        state.after_saving = Some(next);
    } else {
        view.dialog = Some(Dialog::Unsaved(next));
    }
}

/// Goes on to `next` without saving.
pub(super) fn discard(program: &mut Program, next: Next) {
    let Program { state, view } = &mut *program;
    view.dialog = None;
    state.given_up = Some(state.document.version());
    proceed(program, next);
}

fn proceed(program: &mut Program, next: Next) {
    match next {
        Next::New => program.view.dialog = Some(Dialog::New(NewProject::default())),
        Next::Open(None) => pick(program, Purpose::Open),
        Next::Open(Some(path)) => open(program, path),
        Next::Demo(number) => match file::demos().get(number).map(file::Demo::project) {
            Some(Ok(project)) => show(program, Arc::new(project), None),
            Some(Err(reason)) => program.state.complain(reason.to_string()),
            None => {}
        },
        Next::Show(project, path) => show(program, project, path),
        Next::Quit => {
            recovery::drop_copy(&mut program.state);
            program.state.may_close = true;
        }
    }
}

pub(super) fn create(program: &mut Program, asked: &NewProject) {
    match asked.build() {
        Ok(project) => {
            program.view.dialog = None;
            go(program, Next::Show(Arc::new(project), None));
        }
        Err(reason) => program.state.complain(reason.to_string()),
    }
}

/// Shows another project in place of the open one: another document, with desks of its own.
pub(super) fn show(program: &mut Program, project: Arc<Project>, path: Option<PathBuf>) {
    let Program { state, view } = &mut *program;
    recovery::drop_copy(state);
    if let Some(path) = &path {
        state.settings.opened(path);
        remember_settings(state);
    }
    state.document = Document::new(project, path);
    state.desks = Desks::of(state.document.id());
    state.opening = None;
    state.after_saving = None;
    state.given_up = None;
    view.chart = view.chart.of_another_chart();
    view.dialog.take_if(|dialog| dialog.is_of_the_document());
}

/// Reads a project. The newest wish counts: one that was made before it is forgotten.
fn open(program: &mut Program, path: PathBuf) {
    let state = &mut program.state;
    let opening = Arc::new(());
    state.opening = Some(Arc::clone(&opening));
    let file = path.clone();
    let read = move || file::load(&path).map(Arc::new).map_err(|error| error.to_string());
    let take = move |program: &mut Program, project: Result<Arc<Project>, String>| {
        let state = &mut program.state;
        if state.opening.take_if(|newest| Arc::ptr_eq(newest, &opening)).is_none() {
            return;
        }
        match project {
            // There may be changes by now that were not there when it was asked for.
            Ok(project) => go(program, Next::Show(project, Some(file))),
            Err(reason) => {
                state.settings.forget(&file);
                remember_settings(state);
                state.complain(reason);
            }
        }
    };
    if state.writing > 0 {
        // It may be this very file that is being written.
        state.jobs.queue(For::Program, read, take);
    } else {
        state.jobs.start(For::Program, "open", read, take);
    }
}

pub(super) fn save(program: &mut Program, then: Option<Next>) {
    match program.state.document.path() {
        Some(path) => {
            let path = path.to_owned();
            write(program, path, then);
        }
        None => pick(program, Purpose::Save(then)),
    }
}

/// Writes the project as it is now. What comes of it is told whatever is open by then; the document
/// hears of it only while it is the open one.
fn write(program: &mut Program, path: PathBuf, then: Option<Next>) {
    let state = &mut program.state;
    let document = state.document.id();
    let project = state.document.begin_saving(path.clone());
    state.writing += 1;
    if then.is_some() {
        state.after_saving = then;
    }
    let (file, saved) = (path.clone(), Arc::clone(&project));
    state.jobs.queue(
        For::Program,
        move || file::save_atomic(&file, &project).map_err(|error| error.to_string()),
        move |program: &mut Program, result| {
            program.state.writing -= 1;
            match result {
                Ok(()) => was_saved(program, document, path, saved),
                Err(reason) => was_not_saved(program, document, &path, &saved, reason),
            }
        },
    );
}

fn was_saved(program: &mut Program, document: DocumentId, path: PathBuf, project: Arc<Project>) {
    let state = &mut program.state;
    state.settings.opened(&path);
    remember_settings(state);
    if !state.is_open(document) {
        state.notify(format!("Saved {}", path.display()));
        return;
    }
    state.document.saved_as(path, project);
    state.notify("Saved");
    if !state.document.is_unsaved() {
        recovery::drop_copy(state);
    }
    if !state.document.is_being_saved()
        && let Some(next) = state.after_saving.take()
    {
        go(program, next);
    }
}

fn was_not_saved(
    program: &mut Program,
    document: DocumentId,
    path: &Path,
    project: &Arc<Project>,
    reason: String,
) {
    let state = &mut program.state;
    if state.is_open(document) {
        state.document.not_saved(path, project);
        // Never leave on a failed save.
        state.after_saving = None;
    }
    state.complain(reason);
}

/// Asks for a file: the system's picker on a thread, or a path typed by hand.
pub(super) fn pick(program: &mut Program, purpose: Purpose) {
    let state = &program.state;
    let suggestion = suggested_path(state, &purpose);
    if !state.system_picker {
        ask_path(program, purpose);
        return;
    }
    // A file for one document must not become that of another.
    let whose =
        if purpose.is_of_the_document() { For::Document(state.document.id()) } else { For::Program };
    let asked = purpose.clone();
    state.jobs.start(
        whose,
        "file picker",
        move || Ok(picker::ask(&asked, &suggestion)),
        move |program: &mut Program, answer| match answer {
            Ok(Picked::Path(path)) => picked(program, purpose, path),
            Ok(Picked::Nothing) => {}
            Ok(Picked::Unavailable) | Err(_) => ask_path(program, purpose),
        },
    );
}

fn ask_path(program: &mut Program, purpose: Purpose) {
    let text = suggested_path(&program.state, &purpose).display().to_string();
    program.view.dialog = Some(Dialog::Path { purpose, text, replaces: false });
}

/// A file name beside the project's file, or in the folder last used.
fn suggested_path(state: &State, purpose: &Purpose) -> PathBuf {
    let stem = picker::file_stem(&state.project().title);
    let name = match purpose {
        Purpose::Open | Purpose::Photograph => String::new(),
        Purpose::Save(_) => format!("{stem}.ron"),
        Purpose::Export(export) => {
            let info = export.info();
            format!("{stem} {}.{}", info.file_words, info.extension)
        }
        Purpose::Card(file) => state.desks.cards.suggested_name(*file),
    };
    let photographs = state.photo.folder.as_ref().filter(|_| *purpose == Purpose::Photograph);
    if let Some(folder) = photographs {
        return folder.join(name);
    }
    let folder = state
        .document
        .path()
        .or_else(|| state.settings.recent().first().map(PathBuf::as_path))
        .and_then(Path::parent)
        .map_or_else(picker::documents_folder, Path::to_owned);
    folder.join(name)
}

/// Goes on with the file that was picked.
pub(super) fn picked(program: &mut Program, purpose: Purpose, path: PathBuf) {
    match purpose {
        Purpose::Open => open(program, path),
        Purpose::Photograph => photo(program, PhotoAction::Open(path)),
        Purpose::Save(then) => write(program, path, then),
        Purpose::Export(export) => exports::start(program, export, path),
        Purpose::Card(file) => cards::picked(program, file, path),
    }
}

/// Writes the settings after everything that is being written.
pub(super) fn remember_settings(state: &State) {
    let Some(dir) = state.home.dir().map(Path::to_owned) else { return };
    let settings = state.settings.clone();
    state.jobs.queue(
        For::Program,
        move || settings.save(&dir).map_err(|error| error.to_string()),
        |program: &mut Program, saved| {
            if let Err(reason) = saved {
                program.state.complain(reason);
            }
        },
    );
}
