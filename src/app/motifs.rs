//! The motif library: motifs that come with the program and the person's own across projects.
//!
//! The person's own lie in a file of the settings folder. Every change reads that file anew on the thread that
//! writes files, so that two windows do not lose each other's motifs.

use std::path::Path;
use std::sync::Arc;

use super::jobs::For;
use super::state::Program;
use crate::chart::{Cell, Motif, Rect};
use crate::file;
use crate::project::Project;

/// How far the library has been read.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Shelved {
    /// Nobody asked for it yet.
    #[default]
    NotYet,
    /// Its files are being read.
    Reading,
    /// It is all here.
    Read,
    /// The person's own could not be read, and why; the others are here.
    Trouble(String),
}

/// The motifs to choose from.
#[derive(Clone, Debug, Default)]
pub struct MotifLibrary {
    /// Own motifs first, the newest of them at the front.
    all: Arc<Vec<Motif>>,
    own: usize,
    shelved: Shelved,
    /// The own motif taken away last.
    removed: Option<Motif>,
    /// Grows with every change.
    revision: u64,
}

/// Something about the library.
#[derive(Clone, Debug, PartialEq)]
pub enum MotifAction {
    /// Read it, unless that was done.
    Read,
    /// Keep a motif of the person's own.
    Keep(Arc<Motif>),
    /// Give an own motif another name.
    Rename(Arc<Motif>, String),
    /// Take an own motif away.
    Remove(Arc<Motif>),
    /// Put the one taken away last back.
    BringBack,
}

impl MotifLibrary {
    /// All motifs, the person's own first.
    pub const fn all(&self) -> &Arc<Vec<Motif>> {
        &self.all
    }

    /// The person's own.
    pub fn own(&self) -> &[Motif] {
        &self.all[..self.own]
    }

    /// How far it has been read.
    pub const fn shelved(&self) -> &Shelved {
        &self.shelved
    }

    /// The own motif taken away last.
    pub const fn removed(&self) -> Option<&Motif> {
        self.removed.as_ref()
    }

    /// Grows with every change.
    pub const fn revision(&self) -> u64 {
        self.revision
    }

    /// A name for the next own motif that none has yet.
    pub fn free_name(&self) -> String {
        let taken = |name: &str| self.own().iter().any(|motif| motif.name() == name);
        (1..=self.own + 1).map(|n| format!("Motif {n}")).find(|name| !taken(name)).unwrap_or_default()
    }

    fn put(&mut self, own: Vec<Motif>, shipped: Option<Vec<Motif>>) {
        let rest = shipped.unwrap_or_else(|| self.all[self.own..].to_vec());
        self.own = own.len();
        self.all = Arc::new(own.into_iter().chain(rest).collect());
        self.revision += 1;
    }
}

/// The colours of a stamped motif, one for each ink: first the one the tools paint, then the others in the
/// order of the palette; never the ground, which the motif is to stand on.
pub fn stamp_colours(project: &Project, paint: Cell) -> Vec<Cell> {
    let ground = Cell::slot(project.background_slot() as u8);
    let mut colours = vec![paint];
    colours.extend((0..project.palette.slots().len()).map(|slot| Cell::slot(slot as u8)));
    let mut kept: Vec<Cell> = Vec::new();
    for colour in colours {
        if colour != ground && colour.index().is_some() && !kept.contains(&colour) {
            kept.push(colour);
        }
    }
    if kept.is_empty() { vec![ground] } else { kept }
}

/// The colours that the inks of a motif in this part of the chart stand for there.
pub fn colours_of(project: &Project, region: Rect) -> Vec<Cell> {
    let ground = Cell::slot(project.background_slot() as u8);
    let grid = &project.chart.grid;
    let part = grid.copy(region.intersect(grid.bounds()));
    let slots = part.map(|part| Motif::slots_of(&part, ground)).unwrap_or_default();
    slots.into_iter().map(|slot| Cell::slot(slot as u8)).collect()
}

/// A change of the person's own motifs.
type Change = Box<dyn FnOnce(&mut Vec<Motif>) -> Result<(), String> + Send>;

/// Carries out a request.
pub(super) fn update(program: &mut Program, action: MotifAction) {
    match action {
        MotifAction::Read => read(program),
        MotifAction::Keep(motif) => {
            let words = format!("Kept in the library: {}", motif.name());
            change(program, words, Box::new(move |own| keep(own, &motif)));
        }
        MotifAction::Rename(motif, name) => {
            let renamed = move |own: &mut Vec<Motif>| {
                let new = motif.renamed(&name).map_err(|error| error.to_string())?;
                if new.name() == motif.name() {
                    return Ok(());
                }
                free(own, new.name())?;
                let place = own.iter().position(|one| one == &*motif).ok_or_else(gone)?;
                own[place] = new;
                Ok(())
            };
            change(program, "Renamed".to_owned(), Box::new(renamed));
        }
        MotifAction::Remove(motif) => {
            program.state.motifs.removed = Some((*motif).clone());
            let words = format!("Taken out of the library: {}", motif.name());
            let taken = move |own: &mut Vec<Motif>| {
                let place = own.iter().position(|one| one == &*motif).ok_or_else(gone)?;
                own.remove(place);
                Ok(())
            };
            change(program, words, Box::new(taken));
        }
        MotifAction::BringBack => {
            if let Some(motif) = program.state.motifs.removed.take() {
                let words = format!("Back in the library: {}", motif.name());
                change(program, words, Box::new(move |own| keep(own, &motif)));
            }
        }
    }
}

fn gone() -> String {
    "another window has changed it: the library is shown anew".to_owned()
}

fn free(own: &[Motif], name: &str) -> Result<(), String> {
    if own.iter().any(|motif| motif.name() == name) {
        return Err(format!("there is a motif named '{name}' already: choose another name"));
    }
    Ok(())
}

fn keep(own: &mut Vec<Motif>, motif: &Motif) -> Result<(), String> {
    free(own, motif.name())?;
    if own.len() >= file::MOST_MOTIFS {
        return Err(format!("the library holds {} motifs, as many as it can: take one out", own.len()));
    }
    own.insert(0, motif.clone());
    Ok(())
}

fn own_motifs(dir: Option<&Path>) -> Result<Vec<Motif>, String> {
    dir.map_or_else(|| Ok(Vec::new()), |dir| file::load_motifs(dir).map_err(|error| error.to_string()))
}

fn read(program: &mut Program) {
    let state = &mut program.state;
    if state.motifs.shelved != Shelved::NotYet {
        return;
    }
    state.motifs.shelved = Shelved::Reading;
    let dir = state.home.dir().map(Path::to_owned);
    state.jobs.queue(
        For::Program,
        move || {
            let shipped = file::shipped_motifs().map_err(|error| error.to_string())?;
            Ok((shipped, own_motifs(dir.as_deref())))
        },
        |program: &mut Program, found| {
            let library = &mut program.state.motifs;
            match found {
                Ok((shipped, own)) => {
                    library.shelved =
                        own.as_ref().err().map_or(Shelved::Read, |why| Shelved::Trouble(why.clone()));
                    library.put(own.unwrap_or_default(), Some(shipped));
                }
                Err(reason) => {
                    library.shelved = Shelved::Trouble(reason.clone());
                    program.state.complain(reason);
                }
            }
        },
    );
}

fn change(program: &mut Program, done: String, change: Change) {
    read(program);
    let state = &mut program.state;
    let dir = state.home.dir().map(Path::to_owned);
    // Where there is no folder for settings they last as long as the program.
    let here = dir.is_none().then(|| state.motifs.own().to_vec());
    state.writing += 1;
    state.jobs.queue(
        For::Program,
        move || {
            let mut own = match here {
                Some(own) => own,
                None => own_motifs(dir.as_deref())?,
            };
            let changed = change(&mut own);
            if let (Ok(()), Some(dir)) = (&changed, dir.as_deref()) {
                file::save_motifs(dir, &own).map_err(|error| error.to_string())?;
            }
            Ok((own, changed))
        },
        move |program: &mut Program, result| {
            program.state.writing -= 1;
            match result {
                Ok((own, changed)) => {
                    program.state.motifs.put(own, None);
                    match changed {
                        Ok(()) => program.state.notify(done),
                        Err(reason) => program.state.complain(format!("Nothing was changed: {reason}")),
                    }
                }
                Err(reason) => program.state.complain(reason),
            }
            super::update::go_on(program);
        },
    );
}
