//! Projects on disk: opening, saving, and going from one to the next without losing work.

use std::path::{Path, PathBuf};
use std::sync::{Arc, PoisonError};

use super::{cards, exports, photo, recovery};
use crate::app::blank::NewProject;
use crate::app::desks::Desks;
use crate::app::dialog::Dialog;
use crate::app::document::{Document, DocumentId, Known};
use crate::app::gauge_desk;
use crate::app::jobs::For;
use crate::app::photo_desk::PhotoAction;
use crate::app::picker::{self, Picked};
use crate::app::picture_desk;
use crate::app::purpose::{Next, Purpose};
use crate::app::state::{Program, State};
use crate::file::{self, Expected, Fingerprint, Glance, Saved};
use crate::project::{Project, differences};

/// Goes on to `next`, asking about unsaved changes first, once for each state of the project. While
/// they are being saved it waits for that before another project is shown; leaving waits for every
/// file, and for what comes of it.
pub(super) fn go(program: &mut Program, next: Next) {
    let Program { state, view } = &mut *program;
    if next == Next::Quit && state.writing > 0 {
        state.after_saving = Some(next);
    } else if state.may_leave() {
        proceed(program, next);
    } else if state.document.is_being_saved() {
        // These two end in a project to be shown, which comes by here again.
        if matches!(next, Next::New | Next::Open(_)) {
            proceed(program, next);
        } else {
            state.after_saving = Some(next);
        }
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
        Next::Show(project) => show(program, project, None),
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
            go(program, Next::Show(Arc::new(project)));
        }
        Err(reason) => program.state.complain(reason.to_string()),
    }
}

/// Shows another project in place of the open one: another document, with desks of its own.
pub(super) fn show(program: &mut Program, project: Arc<Project>, read_from: Option<(PathBuf, Fingerprint)>) {
    let Program { state, view } = &mut *program;
    recovery::drop_copy(state);
    let (path, mark) = read_from.unzip();
    if let Some(path) = &path {
        state.settings.opened(path);
        remember_settings(state);
    }
    state.document = Document::new(project, path);
    if let Some(mark) = mark {
        state.document.was_read(mark);
    }
    claim(state);
    state.desks = Desks::of(state.document.id());
    state.opening = None;
    state.after_saving.take_if(|next| *next != Next::Quit);
    state.given_up = None;
    view.chart = view.chart.of_another_chart();
    view.dialog.take_if(|dialog| dialog.is_of_the_document());
}

/// Reads a project. The newest wish counts: one that was made before it is forgotten.
fn open(program: &mut Program, path: PathBuf) {
    let typed = program.view.typed.take();
    let state = &mut program.state;
    let saves = state.saves;
    let path = std::path::absolute(&path).unwrap_or(path);
    let opening = Arc::new(());
    state.opening = Some(Arc::clone(&opening));
    let file = path.clone();
    let read = move || file::load_noting(&path).map_err(|error| error.to_string());
    let take = move |program: &mut Program, project: Result<(Project, Fingerprint), String>| {
        let state = &mut program.state;
        if state.opening.take_if(|newest| Arc::ptr_eq(newest, &opening)).is_none() {
            return;
        }
        match project {
            // It may have been written since it was read.
            Ok(_) if state.saves != saves => open(program, file),
            // There are changes by now that were not there when it was asked for. What comes of them may
            // go into this very file, so it is read again.
            Ok(_) if !state.may_leave() => go(program, Next::Open(Some(file))),
            Ok((project, mark)) => show(program, Arc::new(project), Some((file, mark))),
            Err(reason) => {
                state.settings.forget(&file);
                remember_settings(state);
                refuse(program, typed, reason);
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
            write(program, path, None, then);
        }
        None => pick(program, Purpose::Save(then)),
    }
}

/// Writes the project as it is now: its own file only while nobody else has written it, another only as it
/// was `seen` when the person chose it.
fn write(program: &mut Program, path: PathBuf, seen: Option<Glance>, then: Option<Next>) {
    let path = std::path::absolute(&path).unwrap_or(path);
    let chosen = (!program.state.document.is_its_file(&path)).then_some(Expected::Seen(seen));
    begin_writing(program, path, chosen, then);
}

/// Writes the project over what another program wrote, as it was shown to the person.
pub(super) fn save_over(program: &mut Program, path: PathBuf, then: Option<Next>) {
    let shown = match program.view.dialog.take() {
        Some(Dialog::Changed { path: of, found, .. }) if of == path => found,
        _ => Expected::Seen(Glance::at(&path)),
    };
    begin_writing(program, path, Some(shown), then);
}

/// Gives the project as it is now to be written. What comes of it is told whatever is open by then; the
/// document hears of it only while it is the open one.
fn begin_writing(program: &mut Program, path: PathBuf, chosen: Option<Expected>, then: Option<Next>) {
    let typed = program.view.typed.take();
    let state = &mut program.state;
    let document = state.document.id();
    let (project, known) = state.document.begin_saving(path.clone(), chosen);
    state.writing += 1;
    state.saves += 1;
    if then.is_some() {
        state.after_saving = then;
    }
    let ours = Arc::clone(&state.written);
    let (file, written, mark) = (path.clone(), Arc::clone(&project), Arc::clone(&known));
    let work = move || {
        let mut known = known.lock().unwrap_or_else(PoisonError::into_inner);
        let mut ours = ours.lock().unwrap_or_else(PoisonError::into_inner);
        let mut expected: Vec<Expected> = known.iter().copied().collect();
        // What this window wrote there since the file was chosen is nobody else's.
        if let Some(Expected::Seen(_)) = *known {
            expected.extend(ours.get(&file).copied().map(Expected::Text));
        }
        let saved = file::save_unless_changed(&file, &project, &expected);
        let differs = match &saved {
            Ok(Saved::Written(mark)) => {
                *known = Some(Expected::Text(*mark));
                ours.insert(file, *mark);
                Vec::new()
            }
            Ok(Saved::Changed { theirs: Some(theirs), .. }) => differences(&project, theirs),
            Ok(Saved::Changed { theirs: None, .. }) | Err(_) => Vec::new(),
        };
        saved.map(|saved| (saved, differs)).map_err(|error| error.to_string())
    };
    state.jobs.queue(For::Program, work, move |program: &mut Program, result| {
        program.state.writing -= 1;
        match result {
            Ok((Saved::Written(_), _)) => was_saved(program, document, path, written, mark),
            Ok((Saved::Changed { theirs, found }, differs)) => {
                was_changed(program, document, path, &written, (theirs, found, differs));
            }
            Err(reason) => was_not_saved(program, document, (&path, typed), &written, reason),
        }
        go_on(program);
    });
}

/// Goes on with what waited for the files, once all are written.
pub(in crate::app) fn go_on(program: &mut Program) {
    if program.state.writing == 0
        && let Some(next) = program.state.after_saving.take()
    {
        go(program, next);
    }
}

/// Another program has written the file: the person chooses.
fn was_changed(
    program: &mut Program,
    document: DocumentId,
    path: PathBuf,
    project: &Arc<Project>,
    (theirs, found, differs): (Option<Box<Project>>, Expected, Vec<String>),
) {
    let Program { state, view } = program;
    let then = state.after_saving.take();
    if !state.is_open(document) {
        let name = path.display();
        state.complain(format!(
            "{name} was changed by another program and not saved here: nothing was overwritten"
        ));
        return;
    }
    state.document.not_saved(&path, project);
    let theirs = theirs.map(|theirs| Arc::new(*theirs));
    view.dialog = Some(Dialog::Changed { path, theirs, found, differs, then });
}

fn was_saved(
    program: &mut Program,
    document: DocumentId,
    path: PathBuf,
    project: Arc<Project>,
    known: Known,
) {
    let state = &mut program.state;
    state.settings.opened(&path);
    remember_settings(state);
    if !state.is_open(document) {
        state.notify(format!("Saved {}", path.display()));
        return;
    }
    let moved = !state.document.is_its_file(&path) || !state.document.is_claimed();
    state.document.saved_as(path, project, known);
    if moved {
        claim(state);
    }
    state.notify("Saved");
    if !state.document.is_unsaved() {
        recovery::drop_copy(state);
    }
}

fn was_not_saved(
    program: &mut Program,
    document: DocumentId,
    (path, typed): (&Path, Option<(Purpose, PathBuf)>),
    project: &Arc<Project>,
    reason: String,
) {
    let state = &mut program.state;
    if state.is_open(document) {
        state.document.not_saved(path, project);
    }
    // Never leave on a failed save.
    state.after_saving = None;
    refuse(program, typed, reason);
}

/// Says that a file was refused: in the question its path was `typed` into, which comes back as it was, else in the
/// corner.
pub(in crate::app) fn refuse(program: &mut Program, typed: Option<(Purpose, PathBuf)>, reason: String) {
    let Program { state, view } = program;
    match typed {
        Some((purpose, path)) if view.dialog.is_none() => {
            let text = path.display().to_string();
            view.dialog = Some(Dialog::Path { purpose, text, replaces: false, refused: Some(reason) });
        }
        _ => state.complain(reason),
    }
}

/// Claims the document's file for this window, and says so when another has it.
fn claim(state: &mut State) {
    state.document.hold(None);
    let (Some(dir), Some(path)) = (state.home.dir().map(Path::to_owned), state.document.path()) else {
        return;
    };
    let path = path.to_owned();
    let file = path.clone();
    state.jobs.queue(
        For::Document(state.document.id()),
        move || file::Claim::take(&dir, &file).map_err(|error| error.to_string()),
        move |program: &mut Program, claimed| match claimed {
            Ok(Some(claim)) => program.state.document.hold(Some(claim)),
            Ok(None) => program.state.complain(format!(
                "{} is open in another window, too: save under another name to work on both",
                path.display()
            )),
            // Without a lock nothing is lost: a changed file is noticed before it is written.
            Err(reason) => log::warn!("{reason}"),
        },
    );
}

/// Looks whether another program has written the document's file, for the mark beside its title; called when the
/// person comes back to the window.
pub fn look_at_file(state: &State) {
    let Some(path) = state.document.path().map(Path::to_owned) else { return };
    if state.writing > 0 {
        return;
    }
    let (known, saves) = (Arc::clone(state.document.known()), state.saves);
    state.jobs.start(
        For::Document(state.document.id()),
        "look at the file",
        move || {
            let known = *known.lock().unwrap_or_else(PoisonError::into_inner);
            Ok(known.is_some_and(|known| file::was_changed(&path, known)))
        },
        move |program: &mut Program, changed: Result<bool, String>| {
            // What was written here meanwhile tells more.
            if let (Ok(changed), true) = (changed, program.state.saves == saves) {
                program.state.document.file_was_looked_at(changed);
            }
        },
    );
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
    let whose = if purpose.is_of_the_document() { For::Document(state.document.id()) } else { For::Program };
    let asked = purpose.clone();
    state.jobs.start(
        whose,
        "file picker",
        move || {
            let answer = picker::ask(&asked, &suggestion);
            // The picker has asked whether to replace it: as it is now.
            let seen = if let Picked::Path(path) = &answer { Glance::at(path) } else { None };
            Ok((answer, seen))
        },
        move |program: &mut Program, answer| match answer {
            Ok((Picked::Path(path), seen)) => match purpose {
                Purpose::Save(then) => write(program, path, seen, then),
                other => picked(program, other, path),
            },
            Ok((Picked::Nothing, _)) => {}
            Ok((Picked::Unavailable, _)) | Err(_) => ask_path(program, purpose),
        },
    );
}

fn ask_path(program: &mut Program, purpose: Purpose) {
    let text = suggested_path(&program.state, &purpose).display().to_string();
    program.view.dialog = Some(Dialog::Path { purpose, text, replaces: false, refused: None });
}

/// A file name beside the project's file, or in the folder last used.
fn suggested_path(state: &State, purpose: &Purpose) -> PathBuf {
    let stem = picker::file_stem(&state.project().title);
    let name = match purpose {
        Purpose::Open
        | Purpose::Photograph
        | Purpose::SwatchPhotograph
        | Purpose::ChartPicture
        | Purpose::Outline => String::new(),
        Purpose::Save(_) => format!("{stem}.ron"),
        Purpose::Export(export) => {
            let info = export.info();
            format!("{stem} {}.{}", info.file_words, info.extension)
        }
        Purpose::Card(file) => state.desks.cards.suggested_name(*file),
    };
    if let (Purpose::Save(_), Some(file)) = (purpose, state.document.came_from()) {
        return file.to_owned();
    }
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
        Purpose::SwatchPhotograph => gauge_desk::open(program, path),
        Purpose::ChartPicture => picture_desk::open(program, path),
        Purpose::Outline => picture_desk::open_outline(program, path),
        Purpose::Save(then) => {
            let seen = Glance::at(&path);
            write(program, path, seen, then);
        }
        Purpose::Export(export) => exports::start(program, export, path),
        Purpose::Card(file) => cards::picked(program, file, path),
    }
}

/// Keeps the list of the person's yarns.
pub(super) fn remember_own_yarns(state: &State) {
    let Some(dir) = state.home.dir().map(Path::to_owned) else { return };
    let yarns = Arc::clone(state.own_yarns.yarns());
    state.jobs.queue(
        For::Program,
        move || file::save_own_yarns(&dir, &yarns).map_err(|error| error.to_string()),
        |program: &mut Program, saved| {
            if let Err(reason) = saved {
                program.state.complain(reason);
            }
        },
    );
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
