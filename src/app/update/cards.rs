//! Shade cards and tables on disk, and the card that is looked at.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::{files, perform};
use crate::app::cards::{CardAction, changed, example_table, shades};
use crate::app::derived::Reading;
use crate::app::jobs::For;
use crate::app::purpose::{CardFile, Purpose};
use crate::app::state::Program;
use crate::app::table_desk::{self, TableImport};
use crate::file::{self, FileError, Problem};
use crate::project::Edit;
use crate::units::Currency;
use crate::yarn::ShadeCard;

/// Carries out a request.
pub(super) fn update(program: &mut Program, action: CardAction) {
    let state = &mut program.state;
    match action {
        CardAction::Show(place) => state.desks.cards.look_at(place),
        CardAction::Pick(what) => {
            let cards = &mut state.desks.cards;
            cards.outgoing = state.document.project().shade_cards.get(cards.shown).cloned();
            files::pick(program, Purpose::Card(what));
        }
        CardAction::ImportAgain => {
            if let Some(table) = &state.desks.cards.table {
                let path = table.path.clone();
                import(program, path);
            }
        }
        CardAction::Column(column, field) => {
            if let Some(table) = &mut state.desks.cards.table {
                table.set_column(column, field);
            }
        }
        CardAction::TakeIn => take_in(program),
        CardAction::ForgetTable => state.desks.cards.table = None,
        CardAction::AddDemo => match file::demo_card() {
            Ok(card) => add(program, "Add demo card", card),
            Err(reason) => state.complain(reason.to_string()),
        },
    }
}

/// Goes on with the file that was picked.
pub(super) fn picked(program: &mut Program, what: CardFile, path: PathBuf) {
    match what {
        CardFile::Open => open(program, path),
        CardFile::Import => import(program, path),
        CardFile::SaveExample => write(program, path, |path| write_table(path, example_table())),
        CardFile::Save | CardFile::SaveTable => {
            let Some(card) = program.state.desks.cards.outgoing.take() else { return };
            write(program, path, move |path| match what {
                CardFile::SaveTable => write_table(path, file::shades_to_csv(card.shades())),
                _ => file::save_card(path, &card),
            });
        }
    }
}

fn write_table(path: &Path, table: Result<String, Problem>) -> Result<(), FileError> {
    file::write_text(path, &table.map_err(|problem| FileError::new(path, problem))?)
}

/// Adds a card at the end and looks at it.
fn add(program: &mut Program, label: &'static str, card: ShadeCard) {
    let state = &mut program.state;
    state.desks.cards.look_at(state.project().shade_cards.len());
    let edit = changed(state.project(), |cards| cards.push(Arc::new(card)));
    perform(program, label, edit, false);
}

fn open(program: &mut Program, path: PathBuf) {
    let typed = program.view.typed.take();
    let state = &mut program.state;
    state.desks.cards.reading = Some("Opening shades");
    state.jobs.start(
        For::Document(state.document.id()),
        "open card",
        move || file::load_card(&path).map_err(|error| error.to_string()),
        move |program: &mut Program, card| {
            program.state.desks.cards.reading = None;
            match card {
                Ok(card) => {
                    let count = shades(card.shades().len());
                    add(program, "Open shade card", card);
                    program.state.notify(format!("Shade card opened: {count}"));
                }
                Err(reason) => files::refuse(program, typed, reason),
            }
        },
    );
}

/// Reads a table to be looked at; the one before stays until it is read.
fn import(program: &mut Program, path: PathBuf) {
    let typed = program.view.typed.take();
    let state = &mut program.state;
    state.desks.cards.reading = Some("Reading a table");
    let (file, document) = (path.clone(), state.document.id());
    state.jobs.start(
        For::Document(document),
        "import shades",
        move || table_desk::read(&file),
        move |program: &mut Program, read| {
            let cards = &mut program.state.desks.cards;
            cards.reading = None;
            match read {
                Ok(read) => cards.table = Some(TableImport::new(document, path, read)),
                Err(reason) => files::refuse(program, typed, reason),
            }
        },
    );
}

/// Takes the sound lines of the table in, as a card that is then looked at.
fn take_in(program: &mut Program) {
    let state = &mut program.state;
    let Some(table) = &state.desks.cards.table else { return };
    let Reading::Fresh(preview) = table.preview(&state.jobs) else { return };
    let Some(card) = preview.card.clone() else { return };
    let mut words = format!("Brought in: {}", shades(card.shades().len()));
    if !preview.set_aside.is_empty() {
        words = format!("{words}; lines set aside: {}", preview.set_aside.len());
    }
    let left_out = table.matching.left_out(&table.table);
    if !left_out.is_empty() {
        words = format!("{words}. Columns left out: {}", left_out.join(", "));
    }
    let project = state.document.project();
    let told = preview.currency.as_deref().and_then(|written| Currency::new(written).ok());
    // A project has one currency: the first table that tells one sets it.
    let told = told.filter(|_| project.currency.written().is_empty());
    let mut edits = vec![changed(project, |cards| cards.push(card))];
    if let Some(currency) = told {
        words = format!("{words}. Prices are in {}", currency.written());
        edits.push(Edit::Currency(currency));
    }
    state.desks.cards.look_at(project.shade_cards.len());
    perform(program, "Import shades", Edit::Several(edits), false);
    program.state.notify(words);
}

/// Writes a file of shades: what it holds is fixed already, so it is written whatever is open.
fn write(
    program: &mut Program,
    path: PathBuf,
    write: impl FnOnce(&Path) -> Result<(), FileError> + Send + 'static,
) {
    let typed = program.view.typed.take();
    program.state.writing += 1;
    let written = path.clone();
    program.state.jobs.queue(
        For::Program,
        move || write(&path).map_err(|error| error.to_string()),
        move |program: &mut Program, result| {
            program.state.writing -= 1;
            match result {
                Ok(()) => program.state.notify(format!("Written: {}", written.display())),
                Err(reason) => {
                    program.state.after_saving = None;
                    files::refuse(program, typed, reason);
                }
            }
            files::go_on(program);
        },
    );
}
