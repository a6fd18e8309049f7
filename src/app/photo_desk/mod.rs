//! The desk a photograph is read on: the open picture, the light corrected on it, the yarns in it.
//!
//! Not saved with the project (the shades that come of it are) and kept when another project opens.
//! All measuring runs on a thread; one task at a time, and the yarns that wait are read when it is done.

mod shades;
mod task;
#[cfg(test)]
mod tests;

use std::path::PathBuf;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::{Arc, Mutex};
use std::time::Instant;

use super::jobs::{Host, Jobs};
use super::purpose::Purpose;
use super::request::Request;
use crate::colour::Colour;
use crate::file::PictureNote;
use crate::photo::{Balance, KnownYarn, LightSource, Picture, Preview, Reference, Region, YarnSample};
use crate::project::Project;
use crate::yarn::Shade;

pub use shades::{BallFacts, CardChoice, Pairing, pair, shades_of};
use task::Outcome;

/// Most yarns on the desk.
pub const MAX_YARNS: usize = 24;

/// What the page about photographs asks for.
#[derive(Clone, Debug, PartialEq)]
pub enum PhotoAction {
    /// Ask which photograph to open.
    Pick,
    /// Open this photograph.
    Open(PathBuf),
    /// Open the demo photograph.
    OpenDemo,
    /// Correct the light on these grey or white places; without any (and without a yarn of known
    /// colour) the picture is shown as taken.
    SetReferences(Vec<Reference>),
    /// Say what light the picture was taken in, for where nothing in it was measured.
    TellSource(LightSource),
    /// Propose the yarns in the picture.
    FindYarns,
    /// Read the yarn in a region.
    AddYarn(Region),
    /// Read a yarn in another region.
    MoveYarn(u64, Region),
    /// Name a yarn.
    RenameYarn(u64, String),
    /// Say which colour a yarn is known to have, which then sets the light; `None` when it is not.
    KnowYarn(u64, Option<Colour>),
    /// Say that a yarn is a shade of a card, whose name, code and price it takes; `None` when it is not.
    IsShade(u64, Option<Arc<Shade>>),
    /// Accept a yarn, or make it a proposal again.
    AcceptYarn(u64, bool),
    /// Accept every yarn.
    AcceptAll,
    /// Take a yarn off the desk.
    DropYarn(u64),
    /// Read a yarn once more.
    ReadAgain(u64),
    /// Stop the work under way.
    Cancel,
    /// Put the accepted yarns on a shade card.
    PutOnCard(CardChoice, BallFacts),
    /// Knit each palette slot in a yarn of the desk; `None` leaves the slot as it is.
    KnitIn(Vec<Option<u64>>, BallFacts),
}

/// The desk.
#[derive(Default)]
pub struct PhotoDesk {
    /// The open photograph.
    pub photograph: Option<Photograph>,
    /// What is being worked on.
    pub work: Option<Work>,
    /// The folder the last photograph came from.
    pub(super) folder: Option<PathBuf>,
    next_number: u64,
    /// Held while a file is decoded: a decoder that was told to stop may go on for a while, and two
    /// large pictures at once would take twice the memory.
    decoding: Arc<Mutex<()>>,
}

/// A photograph on the desk.
pub struct Photograph {
    /// Told apart by number.
    pub number: u64,
    /// Its file name, without the folder.
    pub name: String,
    /// The picture.
    pub picture: Arc<Picture>,
    /// What had to be assumed about it.
    pub notes: Vec<PictureNote>,
    /// To look at, as taken.
    pub as_taken: Arc<Preview>,
    /// The light, once it was measured.
    pub light: Option<CorrectedLight>,
    /// What its light is said to have been.
    pub source: LightSource,
    /// The yarns, in the order they were found or drawn.
    pub yarns: Vec<DeskYarn>,
}

/// The light of a photograph and the picture without it.
pub struct CorrectedLight {
    /// Told apart by number.
    pub number: u64,
    /// Where it was measured.
    pub references: Vec<Reference>,
    /// The correction.
    pub balance: Arc<Balance>,
    /// To look at, corrected.
    pub preview: Arc<Preview>,
}

/// A yarn in a photograph.
#[derive(Clone, Debug, PartialEq)]
pub struct DeskYarn {
    /// Told apart by number.
    pub id: u64,
    /// What it is called; may be empty while it is typed.
    pub name: String,
    /// Where it is read.
    pub region: Region,
    /// Whether the knitter wants it; a proposal until then.
    pub accepted: bool,
    /// The colour it is known to have, which the light is then set by.
    pub known: Option<Colour>,
    /// The shade of a card that it is; what was read is a second reading of it then.
    pub shade: Option<Arc<Shade>>,
    /// What was read.
    pub reading: Reading,
}

/// What was read off a region.
#[derive(Clone, Debug, PartialEq)]
pub enum Reading {
    /// Not yet read.
    Waiting,
    /// Read.
    Done(Box<YarnReading>),
    /// Could not be read, and why.
    Failed(String),
}

/// The colour of a yarn, light corrected, and what it was before.
#[derive(Clone, Debug, PartialEq)]
pub struct YarnReading {
    /// With the light corrected as far as it could be.
    pub sample: YarnSample,
    /// The same region in the picture as taken.
    pub as_taken: Colour,
}

impl DeskYarn {
    /// The reading, once there is one.
    pub fn done(&self) -> Option<&YarnReading> {
        match &self.reading {
            Reading::Done(reading) => Some(reading),
            Reading::Waiting | Reading::Failed(_) => None,
        }
    }
}

/// The kinds of work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TaskKind {
    /// A file is decoded; its name.
    Opening(String),
    /// The light is measured and taken out.
    Correcting,
    /// Yarns are looked for.
    Finding,
    /// Yarns are read.
    Reading,
}

/// Work under way. What comes of it comes to it alone: the outcome of work that was stopped or
/// replaced reaches nobody.
pub struct Work {
    /// What it is.
    pub kind: TaskKind,
    /// When it began.
    pub started: Instant,
    outcome: Arc<Mutex<Option<Outcome>>>,
    cancel: Arc<AtomicBool>,
    progress: Arc<AtomicU32>,
}

impl Work {
    /// How much of it is done, `0..=1`.
    pub fn progress(&self) -> f32 {
        f32::from_bits(self.progress.load(Ordering::Relaxed))
    }
}

impl PhotoDesk {
    /// Whether something was asked for that is still under way; reading yarns goes on by itself.
    pub fn is_busy(&self) -> bool {
        self.work.as_ref().is_some_and(|work| work.kind != TaskKind::Reading)
    }

    /// Whether marks must stay as they are; the light may be measured anew while it is measured.
    pub fn is_locked(&self) -> bool {
        self.is_busy() && self.work.as_ref().is_none_or(|work| work.kind != TaskKind::Correcting)
    }

    fn number(&mut self) -> u64 {
        self.next_number += 1;
        self.next_number
    }

    fn yarn(&mut self, id: u64) -> Option<&mut DeskYarn> {
        self.photograph.as_mut()?.yarns.iter_mut().find(|yarn| yarn.id == id)
    }

    /// Tells the work under way to stop and no longer waits for its answer.
    fn stop(&mut self) -> Option<TaskKind> {
        let work = self.work.take()?;
        work.cancel.store(true, Ordering::Relaxed);
        Some(work.kind)
    }
}

impl Photograph {
    /// The region moved and cut so that it lies inside the picture and can be measured where the
    /// picture is large enough.
    pub fn fitted(&self, region: Region) -> Region {
        let fit = |start: u32, size: u32, end: u32| {
            let size = size.clamp(Region::LEAST_SIDE.min(end), end);
            (start.min(end - size), size)
        };
        let (x, width) = fit(region.x, region.width, self.picture.width());
        let (y, height) = fit(region.y, region.height, self.picture.height());
        Region { x, y, width, height }
    }

    /// The references the light was measured on.
    pub fn references(&self) -> Vec<Reference> {
        self.light.as_ref().map_or_else(Vec::new, |light| light.references.clone())
    }

    /// The yarns whose colour is known.
    fn known(&self) -> Vec<KnownYarn> {
        let known = |yarn: &DeskYarn| Some(KnownYarn { region: yarn.region, colour: yarn.known? });
        self.yarns.iter().filter_map(known).collect()
    }

    /// The yarns that were accepted and read.
    pub fn accepted(&self) -> impl Iterator<Item = (&DeskYarn, &YarnReading)> {
        let accepted = self.yarns.iter().filter(|yarn| yarn.accepted);
        accepted.filter_map(|yarn| Some((yarn, yarn.done()?)))
    }

    /// `Yarn 1`, `Yarn 2`, ...: the first that is free.
    fn free_name(&self) -> String {
        let is_free = |name: &String| self.yarns.iter().all(|yarn| yarn.name != *name);
        (1..=self.yarns.len() + 1).map(|n| format!("Yarn {n}")).find(is_free).unwrap_or_default()
    }

    fn add(&mut self, id: u64, region: Region, accepted: bool, reading: Reading) {
        let name = self.free_name();
        self.yarns.push(DeskYarn { id, name, region, accepted, known: None, shade: None, reading });
    }
}

impl PhotoDesk {
    /// Carries out what the page asks; `project` is the open one.
    pub fn update(&mut self, action: PhotoAction, project: &Project, jobs: &Jobs<impl Host>) -> Vec<Request> {
        let mut requests = Vec::new();
        match action {
            PhotoAction::Pick => requests.push(Request::Pick(Purpose::Photograph)),
            PhotoAction::Open(path) => self.open(path, jobs),
            PhotoAction::OpenDemo => self.open_demo(jobs),
            PhotoAction::SetReferences(references) => self.correct(references, jobs),
            PhotoAction::TellSource(source) => {
                if let Some(photograph) = &mut self.photograph {
                    photograph.source = source;
                }
                self.correct_again(jobs);
            }
            PhotoAction::FindYarns => self.find(jobs),
            PhotoAction::AddYarn(region) => requests.extend(self.add(region)),
            PhotoAction::MoveYarn(id, region) => {
                self.change(id, |yarn| {
                    yarn.region = region;
                    yarn.reading = Reading::Waiting;
                });
                if self.is_known(id) {
                    self.correct_again(jobs);
                }
            }
            PhotoAction::KnowYarn(id, colour) => {
                self.change(id, |yarn| yarn.known = colour);
                self.correct_again(jobs);
            }
            PhotoAction::IsShade(id, shade) => self.change(id, |yarn| {
                if let Some(shade) = &shade {
                    yarn.name.clone_from(&shade.name);
                    yarn.accepted = true;
                }
                yarn.shade = shade;
            }),
            PhotoAction::RenameYarn(id, name) => self.change(id, |yarn| yarn.name = name),
            PhotoAction::AcceptYarn(id, accepted) => self.change(id, |yarn| yarn.accepted = accepted),
            PhotoAction::AcceptAll => {
                let yarns = self.photograph.as_mut().map(|photograph| &mut photograph.yarns);
                yarns.into_iter().flatten().for_each(|yarn| yarn.accepted = true);
            }
            PhotoAction::DropYarn(id) => {
                let was_known = self.is_known(id);
                if let Some(photograph) = &mut self.photograph {
                    photograph.yarns.retain(|yarn| yarn.id != id);
                }
                if was_known {
                    self.correct_again(jobs);
                }
            }
            PhotoAction::ReadAgain(id) => self.change(id, |yarn| yarn.reading = Reading::Waiting),
            PhotoAction::Cancel => self.cancel(),
            PhotoAction::PutOnCard(choice, facts) => {
                requests.extend(
                    self.photograph.iter().flat_map(|p| shades::put_on_card(p, project, &choice, &facts)),
                );
            }
            PhotoAction::KnitIn(yarns, facts) => {
                requests
                    .extend(self.photograph.iter().flat_map(|p| shades::knit_in(p, project, &yarns, &facts)));
            }
        }
        self.read_waiting(jobs);
        requests
    }

    fn change(&mut self, id: u64, change: impl FnOnce(&mut DeskYarn)) {
        if let Some(yarn) = self.yarn(id) {
            change(yarn);
        }
    }

    fn is_known(&mut self, id: u64) -> bool {
        self.yarn(id).is_some_and(|yarn| yarn.known.is_some())
    }

    /// Corrects the light on the references there are: a yarn of known colour has changed.
    fn correct_again(&mut self, jobs: &Jobs<impl Host>) {
        let references = self.photograph.as_ref().map(Photograph::references);
        self.correct(references.unwrap_or_default(), jobs);
    }

    /// The picture without correction again; every yarn is read anew.
    fn as_taken(&mut self) {
        if matches!(self.work.as_ref().map(|work| &work.kind), Some(TaskKind::Correcting)) {
            self.stop();
        }
        if let Some(photograph) = &mut self.photograph {
            photograph.light = None;
            photograph.yarns.iter_mut().for_each(|yarn| yarn.reading = Reading::Waiting);
        }
    }

    fn add(&mut self, region: Region) -> Option<Request> {
        let id = self.number();
        let photograph = self.photograph.as_mut()?;
        if photograph.yarns.len() >= MAX_YARNS {
            return Some(Request::Complain(format!("The desk holds {MAX_YARNS} yarns: drop one first.")));
        }
        let region = photograph.fitted(region);
        photograph.add(id, region, true, Reading::Waiting);
        None
    }

    /// Stops the work under way; what was there before stays.
    fn cancel(&mut self) {
        if self.stop() == Some(TaskKind::Reading)
            && let Some(photograph) = &mut self.photograph
        {
            for yarn in photograph.yarns.iter_mut().filter(|yarn| yarn.reading == Reading::Waiting) {
                yarn.reading = Reading::Failed("stopped as asked: read it again".to_owned());
            }
        }
    }
}
