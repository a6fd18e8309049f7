//! The only writer: carries out what the window asks and takes in what the background work answers.

mod cards;
mod exports;
mod files;
mod recovery;

use std::sync::Arc;

pub use files::look_at_file;
pub(super) use files::{go_on, refuse};
pub use recovery::{end_now, keep_now, offer, tick};

use super::action::Action;
use super::chart_commands;
use super::colourway_desk::ColourwaysForm;
use super::command::Command;
use super::dialog::Dialog;
use super::gauge_desk::GaugeAction;
use super::motifs::{self, MotifAction};
use super::own_yarns::OwnYarns;
use super::photo_desk::PhotoAction;
use super::purpose::{Next, Purpose};
use super::request::Request;
use super::state::{Program, State, THEME_KEY};
use super::timed_search::SearchTime;
use super::view::{ChartView, Columns, Eyes, Folds, TextSize, ThemeChoice, View, Workspace};
use super::weights::{WeightsForm, WeightsOf};
use crate::chart::Cell;
use crate::project::{Edit, MendBy, Project, StepLabel, Touched};

/// Carries out one request.
pub fn update(program: &mut Program, action: Action) {
    let Program { state, view } = &mut *program;
    match action {
        Action::Edit { label, edit, in_gesture } => perform(program, label, edit, in_gesture),
        Action::EndGesture => state.document.end_gesture(),
        Action::DropGesture => {
            if let Some(touched) = state.document.drop_gesture() {
                after_change(program, touched);
            }
        }
        Action::Command(command) => run(program, command),
        Action::CopyCells(patch) => state.copy(patch, false),
        Action::CopyChosen(patch) => state.copy(patch, true),
        Action::Steps(by) => steps(program, by),
        Action::Notify(text) => state.notify(text),
        Action::Done(text) => state.done(text),
        Action::KeepYarn(yarn) => {
            let kept = format!("{} is among your yarns now.", yarn.name);
            own_yarns(state, kept, |own| own.keep(*yarn));
        }
        Action::ForgetYarn(name) => {
            own_yarns(state, format!("{name} is forgotten."), |own| own.forget(&name));
        }
        Action::YarnsBack => {
            let done = "Your list of yarns is as it was before its last change.".to_owned();
            own_yarns(state, done, OwnYarns::take_back);
        }
        Action::Complain(text) => state.complain(text),
        Action::Dismiss(id) => state.notices.retain(|notice| notice.id != id),
        Action::Go(next) => files::go(program, next),
        Action::Ask(dialog) => view.dialog = Some(dialog),
        Action::CloseDialog => view.dialog = None,
        Action::CreateProject(asked) => files::create(program, &asked),
        Action::SaveThen(next) => {
            view.dialog = None;
            files::save(program, Some(next));
        }
        Action::SaveOver(path, then) => files::save_over(program, path, then),
        Action::Discard(next) => files::discard(program, next),
        Action::PathEntered(purpose, path) => {
            view.dialog = None;
            view.typed = Some((purpose.clone(), path.clone()));
            files::picked(program, purpose, path);
        }
        Action::Export(export, options) => {
            view.dialog = None;
            state.export_options = options;
            files::pick(program, Purpose::Export(export));
        }
        Action::CancelExport => exports::stop(state),
        Action::Recover(work, wanted) => recovery::recover(program, work, wanted),
        Action::Photo(action) => photo(program, action),
        Action::SeeThrough(eyes) => see_through(program, eyes),
        Action::Fold(part) => {
            state.folds.toggle(part);
            remember(state, Folds::KEY, &state.folds.to_text());
        }
        Action::SearchTime(time) => set_search_time(state, time),
        Action::Shelf(action) => state.desks.shelf.update(action, &state.jobs),
        Action::Cards(action) => cards::update(program, action),
        Action::Motifs(action) => motifs::update(program, action),
        Action::Gauge(GaugeAction::Pick) => files::pick(program, Purpose::SwatchPhotograph),
        Action::Gauge(GaugeAction::Close) => state.desks.gauge.photo = None,
    }
}

/// Takes in the answers of the background work.
pub fn collect(program: &mut Program) {
    loop {
        let Some(answer) = program.state.jobs.next(program.state.document.id()) else { break };
        answer(program);
        let opened = program.state.photo.is_opening();
        let requests = program.state.photo.settle(&program.state.jobs);
        let opened = opened && !program.state.photo.is_opening();
        let mut typed = program.view.typed.take_if(|_| opened);
        for request in requests {
            match request {
                Request::Complain(reason) if typed.is_some() => {
                    files::refuse(program, typed.take(), reason);
                }
                other => carry_out(program, vec![other]),
            }
        }
    }
}

/// The window was asked to close: whether it may, now.
pub fn closing(program: &mut Program) -> bool {
    if !program.state.may_close {
        files::go(program, Next::Quit);
    }
    program.state.may_close
}

/// Whether a command can do anything now.
pub fn enabled(state: &State, view: &View, command: Command) -> bool {
    let region = view.chart.region.is_some();
    // What cannot be seen is not changed: keys and menus of the chart rest in the other workspaces.
    if view.workspace != Workspace::Design && command.is_of_the_chart() {
        return false;
    }
    match command {
        Command::Undo => view.holds_stitches() || state.document.history().undo_label().is_some(),
        Command::Redo => !view.holds_stitches() && state.document.history().redo_label().is_some(),
        Command::Paste | Command::PasteOver => state.clipboard.is_some(),
        Command::Scale(..) | Command::Reduce(..) => region || view.chart.floating.is_some(),
        Command::Replace { everywhere: false }
        | Command::Cut
        | Command::Copy
        | Command::Clear
        | Command::RepeatFromRegion
        | Command::CropToRegion
        | Command::KeepAsMotif => region,
        Command::TurnLeft | Command::TurnRight | Command::MirrorSideways | Command::MirrorUpright => {
            region || view.chart.floating.is_some()
        }
        _ => true,
    }
}

fn perform(program: &mut Program, label: impl Into<StepLabel>, edit: Edit, in_gesture: bool) {
    let label = label.into();
    let before = program.state.project().chart.extent();
    match program.state.document.perform(label.clone(), edit, in_gesture) {
        Ok(touched) => {
            after_change(program, touched);
            if let Some(told) = program.state.project().chart.told_of_repeat(before) {
                // One such message, the newest, is enough.
                program.state.notices.retain(|notice| !notice.text.starts_with("The repeat box is"));
                program.state.notify(told);
            }
        }
        Err(reason) => program.state.complain(format!("{label}: {reason}; nothing was changed")),
    }
}

fn after_change(program: &mut Program, touched: Touched) {
    let view = &mut program.view.chart;
    view.stale.cells = view.stale.cells.union(touched.cells);
    view.stale.all |= touched.chart || touched.palette || touched.plan;
    if touched.chart || touched.palette {
        settle_view(view, program.state.document.project());
    }
}

/// Brings cursor, region and paint back inside a chart or palette that shrank.
fn settle_view(view: &mut ChartView, project: &Project) {
    let bounds = project.chart.grid.bounds();
    match (view.region, view.mask().cloned()) {
        (Some(r), Some(mask)) if r.intersect(bounds) != r => {
            view.choose_mask(&mask, (r.x.into(), r.y.into()), bounds);
        }
        (region, _) => view.region = region.map(|r| r.intersect(bounds)).filter(|r| !r.is_empty()),
    }
    view.highlight.clear();
    view.cursor.x = view.cursor.x.min(bounds.width - 1);
    view.cursor.y = view.cursor.y.min(bounds.height - 1);
    if view.paint.index().is_some_and(|slot| slot >= project.palette.slots().len()) {
        view.paint = Cell::slot(0);
    }
    let gone = |cell: &Cell| cell.index().is_some_and(|slot| slot >= project.palette.slots().len());
    view.second = view.second.filter(|cell| !gone(cell));
}

fn run(program: &mut Program, command: Command) {
    let Program { state, view } = &mut *program;
    match command {
        Command::New => files::go(program, Next::New),
        Command::Open => files::go(program, Next::Open(None)),
        Command::Save => files::save(program, None),
        Command::SaveAs => files::pick(program, Purpose::Save(None)),
        Command::Export(export) => exports::ask(program, export),
        Command::Quit => files::go(program, Next::Quit),
        // Held stitches are no step yet: undo lets them go, and nothing else.
        Command::Undo if view.holds_stitches() => run(program, Command::Escape),
        Command::Redo if view.holds_stitches() => {}
        Command::Undo => steps(program, -1),
        Command::Redo => steps(program, 1),
        Command::ResizeChart => {
            let grid = &state.project().chart.grid;
            view.dialog = Some(Dialog::Resize { stitches: grid.width(), rows: grid.height() });
        }
        Command::MendFloats => view.dialog = Some(Dialog::Mend(MendBy::default())),
        Command::ChartFromPicture => files::pick(program, Purpose::ChartPicture),
        Command::MotifFromOutline => files::pick(program, Purpose::Outline),
        Command::MotifLibrary => {
            view.motifs_open = !view.motifs_open;
            motifs::update(program, MotifAction::Read);
        }
        Command::KeepAsMotif => {
            motifs::update(program, MotifAction::Read);
            program.view.dialog = Some(Dialog::KeepMotif(program.state.motifs.free_name()));
        }
        Command::Colourways => view.dialog = Some(Dialog::Colourways(ColourwaysForm::default())),
        Command::AcrossWeights => {
            let of = view.chart.region.map_or(WeightsOf::Repeat, WeightsOf::Region);
            view.dialog = Some(Dialog::Weights(WeightsForm::of(state.project(), of)));
        }
        Command::ToggleTheme => {
            set_theme(state, if view.shows_dark { ThemeChoice::Light } else { ThemeChoice::Dark });
        }
        Command::ToggleValue => {
            let eyes = if state.eyes == Eyes::Value { Eyes::Usual } else { Eyes::Value };
            see_through(program, eyes);
        }
        Command::FoldHarmony => fold(state, |columns| columns.harmony = !columns.harmony),
        Command::FoldFindings => fold(state, |columns| columns.findings = !columns.findings),
        Command::LargerText => set_text_size(state, state.text_size.larger()),
        Command::SmallerText => set_text_size(state, state.text_size.smaller()),
        Command::UsualText => set_text_size(state, TextSize::default()),
        Command::Go(workspace) => view.workspace = workspace,
        // What the hand is at comes first, then the window over the chart, then the region.
        Command::Escape
            if view.motifs_open && view.chart.floating.is_none() && view.chart.gesture.is_none() =>
        {
            view.motifs_open = false;
        }
        // The window gives it the keyboard.
        Command::ToChart => view.workspace = Workspace::Design,
        Command::ShowKeys => view.dialog = Some(Dialog::Keys),
        Command::About => view.dialog = Some(Dialog::About),
        Command::Describe => {
            let project = state.document.project();
            view.dialog = Some(Dialog::Describe {
                title: project.title.clone(),
                designer: project.designer.clone(),
                notes: project.notes.clone(),
            });
        }
        chart => {
            let project = Arc::clone(state.document.project());
            let clipboard = state.clipboard.as_ref().map(|copied| &copied.patch);
            let actions = chart_commands::run(&project, &mut view.chart, clipboard, chart);
            let has_gaps = state.clipboard.as_ref().is_some_and(|copied| copied.has_gaps);
            if let (Command::Paste, true, Some(held)) = (chart, has_gaps, &mut view.chart.floating) {
                held.see_through = Some(Cell::NO_STITCH);
            }
            for action in actions {
                update(program, action);
            }
        }
    }
}

/// Goes so many steps on in the history, or back when below zero, as far as there are some.
fn steps(program: &mut Program, by: i64) {
    for _ in 0..by.unsigned_abs() {
        let document = &mut program.state.document;
        match if by < 0 { document.undo() } else { document.redo() } {
            Some(touched) => after_change(program, touched),
            None => break,
        }
    }
}

fn carry_out(program: &mut Program, requests: Vec<Request>) {
    for request in requests {
        match request {
            Request::Edit(label, edit) => perform(program, label, edit, false),
            Request::Notify(text) => program.state.notify(text),
            Request::Complain(text) => program.state.complain(text),
            Request::Pick(purpose) => files::pick(program, purpose),
        }
    }
}

fn photo(program: &mut Program, action: PhotoAction) {
    let state = &mut program.state;
    let requests = state.photo.update(action, state.document.project(), &state.jobs);
    carry_out(program, requests);
}

fn see_through(program: &mut Program, eyes: Eyes) {
    program.state.eyes = eyes;
    program.view.chart.stale.all = true;
}

fn set_theme(state: &mut State, theme: ThemeChoice) {
    state.theme = theme;
    remember(state, THEME_KEY, theme.name());
}

fn set_text_size(state: &mut State, size: TextSize) {
    state.text_size = size;
    remember(state, TextSize::KEY, &size.percent().to_string());
}

fn set_search_time(state: &mut State, time: SearchTime) {
    state.search_time = time;
    state.desks.shelf.allow(time);
    remember(state, SearchTime::KEY, &time.seconds().to_string());
}

fn fold(state: &mut State, change: impl FnOnce(&mut Columns)) {
    change(&mut state.columns);
    remember(state, Columns::KEY, &state.columns.to_text());
}

/// Changes the list of the person's yarns and keeps it.
fn own_yarns(state: &mut State, done: String, change: impl FnOnce(&mut OwnYarns) -> Result<(), String>) {
    match change(&mut state.own_yarns) {
        Ok(()) => {
            files::remember_own_yarns(state);
            state.notify(done);
        }
        Err(reason) => state.complain(reason),
    }
}

fn remember(state: &mut State, name: &str, value: &str) {
    state.settings.choose(name, value);
    files::remember_settings(state);
}
