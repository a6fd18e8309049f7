//! The only writer: carries out what the window asks and takes in what the threads answer.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::action::Action;
use super::blank::NewProject;
use super::command::Command;
use super::document::Document;
use super::photo_desk::PhotoAction;
use super::state::{Answer, Dialog, Next, Purpose, ShapeKey, State, THEME_KEY};
use super::view::{ChartView, Columns, ThemeChoice, Workspace};
use super::{
    cards, chart_commands, exports, photo_desk, picker, pieces_desk, rankings, shelf, shopping_desk,
};
use crate::chart::{self, Cell, motif_fit, region_fit};
use crate::file;
use crate::file::recovery::LeftBehind;
use crate::project::figures::Figures;
use crate::project::{Project, Touched};
use crate::units::Cm;

/// Carries out one request.
pub fn update(state: &mut State, action: Action) {
    match action {
        Action::Edit { label, edit, in_gesture } => {
            let touched = state.document.perform(label, edit, in_gesture);
            after_change(state, touched);
        }
        Action::EndGesture => state.document.end_gesture(),
        Action::Command(command) => run(state, command),
        Action::CopyCells(patch) => state.clipboard = Some(patch),
        Action::Notify(text) => state.notify(text),
        Action::Complain(text) => state.complain(text),
        Action::Dismiss(id) => state.notices.retain(|notice| notice.id != id),
        Action::Go(next) => go(state, next),
        Action::Ask(dialog) => state.dialog = Some(dialog),
        Action::CloseDialog => state.dialog = None,
        Action::CreateProject(asked) => create(state, &asked),
        Action::SaveThen(next) => save(state, Some(next)),
        Action::Discard(next) => {
            state.dialog = None;
            proceed(state, next);
        }
        Action::PathEntered(purpose, path) => {
            state.dialog = None;
            picked(state, purpose, path);
        }
        Action::FitShape(key) => fit_shape(state, key),
        Action::FitRegion(region) => fit_region(state, region),
        Action::RankStandIns => rankings::stand_ins(state),
        Action::RankFibres(asked) => rankings::fibres(state, *asked),
        Action::WorkPieces => pieces_desk::work(state),
        Action::DrawPieces(sheet) => pieces_desk::draw(state, sheet),
        Action::Export(export, options) => {
            state.dialog = None;
            state.export_options = options;
            pick(state, Purpose::Export(export));
        }
        Action::CancelExport => exports::cancel(state),
        Action::WorkOutShopping(change) => shopping_desk::work_out(state, change),
        Action::Recover(work, wanted) => recover(state, &work, wanted),
        Action::SetTheme(theme) => set_theme(state, theme),
        Action::Photo(action) => photo_desk::update(state, action),
        Action::SeeThrough(eyes) => {
            state.view.eyes = eyes;
            state.view.stale.all = true;
        }
        Action::Shelf(action) => shelf::run(state, action),
        Action::Cards(action) => cards::update(state, action),
    }
}

/// Takes in the answers of the worker threads.
pub fn collect(state: &mut State) {
    for answer in state.jobs.answers() {
        match answer {
            Answer::Figures { revision, figures } => take_figures(state, revision, figures),
            Answer::ShapeFit(key, fit) => {
                state.fits.shape_running = false;
                if let Some(fit) = fit {
                    state.fits.shape = Some((key, fit));
                }
            }
            Answer::RegionFit(key, fit) => {
                state.fits.region_running = false;
                state.fits.region = Some((key, fit));
            }
            Answer::StandIns(revision, found) => {
                state.stand_ins_running = false;
                state.stand_ins = Some((revision, found));
            }
            Answer::Fibres(order) => {
                state.fibres_running = false;
                state.fibres = order.map(|order| *order).or(state.fibres.take());
            }
            Answer::Shelf(answer) => shelf::take(state, answer),
            Answer::PiecesWorked { revision, worked } => pieces_desk::take_worked(state, revision, worked),
            Answer::PiecesDrawn { revision, sheet, picture } => {
                pieces_desk::take_drawn(state, revision, sheet, picture);
            }
            Answer::Opened { path, project: Ok(project) } => show(state, *project, path),
            Answer::Opened { path, project: Err(reason) } => {
                if let Some(path) = path {
                    state.settings.forget(&path);
                    remember_settings(state);
                }
                state.busy = None;
                state.complain(reason);
            }
            Answer::Saved { path, project, then, result } => saved(state, path, project, then, result),
            Answer::Exported(written) => exports::take(state, written),
            Answer::Shopping(key, found) => shopping_desk::take(state, key, found),
            Answer::Picked(purpose, Some(path)) => picked(state, purpose, path),
            Answer::NoPicker(purpose) => ask_path(state, purpose),
            Answer::Quiet(Err(reason)) => state.complain(reason),
            Answer::Photo(answer) => photo_desk::take(state, answer),
            Answer::Cards(answer) => cards::take(state, answer),
            Answer::Picked(_, None) | Answer::Quiet(Ok(())) => {}
        }
    }
    state.refresh_figures();
}

/// The window was asked to close: whether it may, now.
pub fn closing(state: &mut State) -> bool {
    if state.may_close || !state.document.is_unsaved() {
        return true;
    }
    state.dialog = Some(Dialog::Unsaved(Next::Quit));
    false
}

fn after_change(state: &mut State, touched: Touched) {
    let stale = &mut state.view.stale;
    stale.cells = stale.cells.union(touched.cells);
    stale.all |= touched.chart || touched.palette || touched.plan;
    if touched.chart || touched.palette {
        settle_view(&mut state.view, state.document.project());
    }
    state.refresh_figures();
    keep_recovery_copy(state);
}

/// Brings cursor, region and paint back inside a chart or palette that shrank.
fn settle_view(view: &mut ChartView, project: &Project) {
    let bounds = project.chart.grid.bounds();
    view.region = view.region.map(|r| r.intersect(bounds)).filter(|r| !r.is_empty());
    view.highlight.clear();
    view.cursor.x = view.cursor.x.min(bounds.width - 1);
    view.cursor.y = view.cursor.y.min(bounds.height - 1);
    if view.paint.index().is_some_and(|slot| slot >= project.palette.slots().len()) {
        view.paint = Cell::slot(0);
    }
}

fn run(state: &mut State, command: Command) {
    match command {
        Command::New => go(state, Next::New),
        Command::Open => go(state, Next::Open(None)),
        Command::Save => save(state, None),
        Command::SaveAs => pick(state, Purpose::Save(None)),
        Command::Export(export) => exports::ask(state, export),
        Command::Quit => go(state, Next::Quit),
        Command::Undo => {
            if let Some(touched) = state.document.undo() {
                after_change(state, touched);
            }
        }
        Command::Redo => {
            if let Some(touched) = state.document.redo() {
                after_change(state, touched);
            }
        }
        Command::ResizeChart => {
            let grid = &state.project().chart.grid;
            state.dialog = Some(Dialog::Resize { stitches: grid.width(), rows: grid.height() });
        }
        Command::ToggleTheme => {
            set_theme(state, if state.shows_dark { ThemeChoice::Light } else { ThemeChoice::Dark });
        }
        Command::FoldHarmony => {
            state.columns.harmony = !state.columns.harmony;
            remember(state, Columns::KEY, &state.columns.to_text());
        }
        Command::FoldFindings => {
            state.columns.findings = !state.columns.findings;
            remember(state, Columns::KEY, &state.columns.to_text());
        }
        Command::ShowKeys => state.dialog = Some(Dialog::Keys),
        Command::About => state.dialog = Some(Dialog::About),
        chart => {
            let project = Arc::clone(state.document.project());
            let clipboard = state.clipboard.as_ref();
            let actions = chart_commands::run(&project, &mut state.view, clipboard, chart);
            for action in actions {
                update(state, action);
            }
        }
    }
}

/// Whether a command can do anything now.
pub fn enabled(state: &State, command: Command) -> bool {
    let region = state.view.region.is_some();
    // What cannot be seen is not changed: keys and menus of the chart rest in the other workspaces.
    if state.workspace != Workspace::Design && command.is_of_the_chart() {
        return false;
    }
    match command {
        Command::Undo => state.document.history().undo_label().is_some(),
        Command::Redo => state.document.history().redo_label().is_some(),
        Command::Paste => state.clipboard.is_some(),
        Command::Cut | Command::Copy | Command::Clear | Command::RepeatFromRegion | Command::CropToRegion => {
            region
        }
        Command::TurnLeft | Command::TurnRight | Command::MirrorSideways | Command::MirrorUpright => {
            region || state.view.floating.is_some()
        }
        _ => true,
    }
}

/// Goes on to `next`, asking about unsaved changes first.
fn go(state: &mut State, next: Next) {
    if state.document.is_unsaved() {
        state.dialog = Some(Dialog::Unsaved(next));
    } else {
        proceed(state, next);
    }
}

fn proceed(state: &mut State, next: Next) {
    match next {
        Next::New => state.dialog = Some(Dialog::New(NewProject::default())),
        Next::Open(None) => pick(state, Purpose::Open),
        Next::Open(Some(path)) => open(state, path),
        Next::Demo(number) => match file::demos().get(number).map(file::Demo::project) {
            Some(Ok(project)) => show(state, project, None),
            Some(Err(reason)) => state.complain(reason.to_string()),
            None => {}
        },
        Next::Quit => {
            drop_recovery_copy(state);
            state.may_close = true;
        }
    }
}

fn create(state: &mut State, asked: &NewProject) {
    match asked.build() {
        Ok(project) => {
            state.dialog = None;
            show(state, project, None);
        }
        Err(reason) => state.complain(reason.to_string()),
    }
}

/// Shows another project in place of the open one.
fn show(state: &mut State, project: Project, path: Option<PathBuf>) {
    let revision = state.document.revision() + 1;
    if let Some(path) = &path {
        state.settings.opened(path);
        remember_settings(state);
    }
    state.document = Document::new(project, path, revision);
    state.view = ChartView {
        look: state.view.look,
        symbols: state.view.symbols,
        numbers: state.view.numbers,
        ghosts: state.view.ghosts,
        surround: state.view.surround,
        ..ChartView::default()
    };
    state.figures = None;
    state.shelf.clear();
    state.cards = state.cards.of_another_project();
    state.pieces_desk.clear();
    state.shopping.clear();
    state.busy = None;
    state.refresh_figures();
}

fn open(state: &mut State, path: PathBuf) {
    state.busy = Some("Opening");
    let failed_path = path.clone();
    state.jobs.start(
        "open",
        move || {
            let project = file::load(&path).map(Box::new).map_err(|error| error.to_string());
            Answer::Opened { path: Some(path), project }
        },
        move |reason| Answer::Opened { path: Some(failed_path), project: Err(reason) },
    );
}

fn save(state: &mut State, then: Option<Next>) {
    match state.document.path() {
        Some(path) => write(state, path.to_owned(), then),
        None => pick(state, Purpose::Save(then)),
    }
}

fn write(state: &mut State, path: PathBuf, then: Option<Next>) {
    state.busy = Some("Saving");
    let project = Arc::clone(state.document.project());
    let (failed_path, failed_project) = (path.clone(), Arc::clone(&project));
    state.jobs.start(
        "save",
        move || {
            let result = file::save_atomic(&path, &project).map_err(|error| error.to_string());
            Answer::Saved { path, project, then, result }
        },
        move |reason| Answer::Saved {
            path: failed_path,
            project: failed_project,
            then: None,
            result: Err(reason),
        },
    );
}

fn saved(
    state: &mut State,
    path: PathBuf,
    project: Arc<Project>,
    then: Option<Next>,
    result: Result<(), String>,
) {
    state.busy = None;
    match result {
        Ok(()) => {
            state.settings.opened(&path);
            remember_settings(state);
            state.document.saved_as(path, project);
            if !state.document.is_unsaved() {
                drop_recovery_copy(state);
            }
            state.notify("Saved");
            if let Some(next) = then {
                state.dialog = None;
                go(state, next);
            }
        }
        Err(reason) => {
            // Never leave on a failed save.
            state.dialog = None;
            state.complain(reason);
        }
    }
}

/// Asks for a file: the system's picker on a thread, or a path typed by hand.
pub(super) fn pick(state: &mut State, purpose: Purpose) {
    let suggestion = suggested_path(state, &purpose);
    if state.system_picker {
        let asked = purpose.clone();
        state.jobs.start(
            "file picker",
            move || match picker::ask(&asked, &suggestion) {
                picker::Picked::Path(path) => Answer::Picked(asked, Some(path)),
                picker::Picked::Nothing => Answer::Picked(asked, None),
                picker::Picked::Unavailable => Answer::NoPicker(asked),
            },
            move |_| Answer::NoPicker(purpose),
        );
    } else {
        ask_path(state, purpose);
    }
}

fn ask_path(state: &mut State, purpose: Purpose) {
    let text = suggested_path(state, &purpose).display().to_string();
    state.dialog = Some(Dialog::Path { purpose, text, replaces: false });
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
        Purpose::Card(file) => cards::suggested_name(state, *file),
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

fn picked(state: &mut State, purpose: Purpose, path: PathBuf) {
    match purpose {
        Purpose::Open => open(state, path),
        Purpose::Photograph => photo_desk::update(state, PhotoAction::Open(path)),
        Purpose::Save(then) => write(state, path, then),
        Purpose::Export(export) => exports::start(state, export, path),
        Purpose::Card(file) => cards::picked(state, file, path),
    }
}

fn take_figures(state: &mut State, revision: u64, figures: Result<Box<Figures>, String>) {
    state.figures_running = false;
    // A fault must not be tried again and again: the revision counts as done.
    state.figures_revision = Some(revision);
    match figures {
        Ok(figures) => state.figures = Some(Arc::new(*figures)),
        Err(reason) => state.complain(format!("The figures could not be worked out: {reason}")),
    }
}

/// A fit takes some milliseconds, too many for the window's thread. One runs at a time; the window
/// asks again when what it has is not what it wants.
fn fit_shape(state: &mut State, key: ShapeKey) {
    if std::mem::replace(&mut state.fits.shape_running, true) {
        return;
    }
    let (shape, width_cm, gauge) = key;
    state.jobs.start(
        "motif fit",
        move || Answer::ShapeFit(key, Some(motif_fit(shape, Cm::clamped(width_cm), gauge))),
        move |_| Answer::ShapeFit(key, None),
    );
}

fn fit_region(state: &mut State, region: chart::Rect) {
    if std::mem::replace(&mut state.fits.region_running, true) {
        return;
    }
    let key = (state.document.revision(), region);
    let project = Arc::clone(state.document.project());
    state.jobs.start(
        "region fit",
        move || {
            let background = Cell::slot(project.background_slot() as u8);
            Answer::RegionFit(key, region_fit(&project.chart.grid, region, background, project.plan.gauge))
        },
        move |_| Answer::RegionFit(key, None),
    );
}

fn set_theme(state: &mut State, theme: ThemeChoice) {
    state.theme = theme;
    remember(state, THEME_KEY, theme.name());
}

fn remember(state: &mut State, name: &str, value: &str) {
    state.settings.choose(name, value);
    remember_settings(state);
}

fn remember_settings(state: &State) {
    let Some(dir) = state.home.dir().map(Path::to_owned) else { return };
    let settings = state.settings.clone();
    state.jobs.start(
        "settings",
        move || Answer::Quiet(settings.save(&dir).map_err(|error| error.to_string())),
        |reason| Answer::Quiet(Err(reason)),
    );
}

/// Every so many changes, a copy of unsaved work goes beside the settings.
fn keep_recovery_copy(state: &mut State) {
    const EVERY: u64 = 20;
    if state.document.revision() < state.recovery_revision + EVERY {
        return;
    }
    let Some(keeper) = state.home.keeper().map(Arc::clone) else { return };
    state.recovery_revision = state.document.revision();
    let project = Arc::clone(state.document.project());
    let original = state.document.path().map(Path::to_owned);
    state.jobs.start(
        "recovery copy",
        move || {
            let kept = keeper.keep(&project, original.as_deref());
            Answer::Quiet(kept.map_err(|error| error.to_string()))
        },
        |reason| Answer::Quiet(Err(reason)),
    );
}

fn drop_recovery_copy(state: &mut State) {
    state.recovery_revision = state.document.revision();
    if let Some(keeper) = state.home.keeper() {
        keeper.discard();
    }
}

/// Takes up or drops the work a window left behind. A copy taken up stays until it is saved.
fn recover(state: &mut State, work: &LeftBehind, wanted: bool) {
    state.dialog = None;
    if !wanted {
        work.discard();
        return;
    }
    match work.load() {
        Ok(project) => {
            show(state, project, None);
            state.document.mark_unsaved();
            if let Some(keeper) = state.home.keeper() {
                match keeper.keep(state.document.project(), work.original.as_deref()) {
                    Ok(()) => work.discard(),
                    Err(error) => state.complain(error.to_string()),
                }
            }
        }
        Err(error) => state.complain(error.to_string()),
    }
}
