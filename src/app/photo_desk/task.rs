//! What runs on a thread: opening, correcting, finding, reading.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Instant;

use super::{CorrectedLight, PhotoDesk, Photograph, Reading, TaskKind, Work, YarnReading};
use crate::app::jobs::{For, Host, Jobs};
use crate::app::request::Request;
use crate::file::{self, Loaded, PictureError};
use crate::photo::{
    Balance, LightSource, PhotoError, Picture, Preview, Reference, Region, Watch, find_yarns, preview,
    sample_yarn,
};

/// Longest side of the pictures to look at, in pixels: as sharp as a window is wide, and small enough
/// for any display's textures.
const LONGEST: usize = 1600;
/// A picture longer than this many times its width cannot be shown.
const SLENDER: u32 = 100;

/// What comes of a task.
pub(super) enum Outcome {
    Opened(Result<Box<(Loaded, Preview)>, String>),
    Corrected(Result<Box<Corrected>, PhotoError>),
    Found(Result<Vec<(Region, Reading)>, PhotoError>),
    Read(Vec<Read>),
    /// The work broke down.
    Broken(String),
}

pub(super) struct Corrected {
    references: Vec<Reference>,
    balance: Balance,
    preview: Preview,
    readings: Vec<Read>,
}

/// A yarn by its number, where it was read, and what.
pub(super) type Read = (u64, Region, Reading);

/// What a task tells and asks while it runs.
struct Ties<'a> {
    cancel: &'a AtomicBool,
    progress: &'a AtomicU32,
}

impl Ties<'_> {
    /// Does a part of the work whose progress counts from `from` to `to`.
    fn part<R>(&self, (from, to): (f32, f32), work: impl FnOnce(&Watch) -> R) -> R {
        let report =
            |done: f32| self.progress.store((from + (to - from) * done).to_bits(), Ordering::Relaxed);
        report(0.0);
        work(&Watch::new(self.cancel, &report))
    }
}

impl PhotoDesk {
    /// Starts a task in place of the one under way. The photograph is no part of the project, so the
    /// task goes on when another project is opened.
    fn begin<S: Host>(
        &mut self,
        kind: TaskKind,
        jobs: &Jobs<S>,
        work: impl FnOnce(&Ties) -> Outcome + Send + 'static,
    ) {
        self.stop();
        let (cancel, progress) = (Arc::new(AtomicBool::new(false)), Arc::new(AtomicU32::new(0)));
        let outcome = Arc::new(Mutex::new(None));
        self.work = Some(Work {
            kind,
            started: Instant::now(),
            outcome: Arc::clone(&outcome),
            cancel: Arc::clone(&cancel),
            progress: Arc::clone(&progress),
        });
        jobs.start(
            For::Program,
            "photograph",
            move || Ok(work(&Ties { cancel: &cancel, progress: &progress })),
            move |_: &mut S, result| {
                let result = result.unwrap_or_else(Outcome::Broken);
                *outcome.lock().unwrap_or_else(PoisonError::into_inner) = Some(result);
            },
        );
    }

    pub(super) fn open(&mut self, path: PathBuf, jobs: &Jobs<impl Host>) {
        self.folder = path.parent().map(Path::to_owned);
        let name =
            path.file_name().map_or_else(|| path.display().to_string(), |n| n.to_string_lossy().into());
        self.open_with(name, jobs, move |watch| file::load_picture(&path, watch));
    }

    pub(super) fn open_demo(&mut self, jobs: &Jobs<impl Host>) {
        let (name, bytes) = file::DEMO_PHOTOGRAPH;
        self.open_with(name.to_owned(), jobs, move |watch| file::read_picture(name, bytes, watch));
    }

    fn open_with(
        &mut self,
        name: String,
        jobs: &Jobs<impl Host>,
        load: impl FnOnce(&Watch) -> Result<Loaded, PictureError> + Send + 'static,
    ) {
        let decoding = Arc::clone(&self.decoding);
        let file = name.clone();
        self.begin(TaskKind::Opening(name), jobs, move |ties| {
            let _one_at_a_time = decoding.lock().unwrap_or_else(PoisonError::into_inner);
            let opened = ties.part((0.0, 0.7), load).map_err(|error| error.to_string()).and_then(|loaded| {
                let picture = &loaded.picture;
                let (width, height) = (picture.width(), picture.height());
                if width.max(height) / width.min(height) > SLENDER {
                    return Err(format!(
                        "{file}: the picture has {width} x {height} pixels, too slender to show: crop it first"
                    ));
                }
                let shown = ties.part((0.7, 1.0), |watch| preview(picture, &Balance::none(), LONGEST, watch));
                let shown = shown.map_err(|error| format!("{file}: {error}"))?;
                Ok(Box::new((loaded, shown)))
            });
            Outcome::Opened(opened)
        });
    }

    /// Measures the light on the references and the yarns of known colour; without any the picture is
    /// as taken.
    pub(super) fn correct(&mut self, references: Vec<Reference>, jobs: &Jobs<impl Host>) {
        let Some(photograph) = &self.photograph else { return };
        let known = photograph.known();
        if references.is_empty() && known.is_empty() {
            self.as_taken();
            return;
        }
        let fitted = |r: Reference| Reference { region: photograph.fitted(r.region), ..r };
        let references: Vec<Reference> = references.into_iter().map(fitted).collect();
        let picture = Arc::clone(&photograph.picture);
        let source = photograph.source;
        let places: Vec<(u64, Region)> = photograph.yarns.iter().map(|yarn| (yarn.id, yarn.region)).collect();
        self.begin(TaskKind::Correcting, jobs, move |ties| {
            let corrected = || {
                let balance = ties.part((0.0, 0.1), |watch| {
                    let balance = Balance::measure_all(&picture, &references, watch)?.under(source);
                    balance.with_known(&picture, &known, watch)
                })?;
                let preview = ties.part((0.1, 0.6), |watch| preview(&picture, &balance, LONGEST, watch))?;
                let readings = read_all(&picture, &balance, &places, (0.6, 1.0), ties);
                Ok((balance, preview, readings))
            };
            let corrected = corrected().map(|(balance, preview, readings)| {
                Box::new(Corrected { references, balance, preview, readings })
            });
            Outcome::Corrected(corrected)
        });
    }

    pub(super) fn find(&mut self, jobs: &Jobs<impl Host>) {
        let Some(photograph) = &self.photograph else { return };
        let (picture, balance, references) = material(photograph);
        self.begin(TaskKind::Finding, jobs, move |ties| {
            let found = ties.part((0.0, 0.5), |watch| find_yarns(&picture, &balance, &references, watch));
            let found = found.map(|yarns| {
                let places: Vec<(u64, Region)> = yarns.iter().map(|yarn| (0, yarn.sample)).collect();
                let readings = read_all(&picture, &balance, &places, (0.5, 1.0), ties);
                readings.into_iter().map(|(_, region, reading)| (region, reading)).collect()
            });
            Outcome::Found(found)
        });
    }

    /// Reads the yarns that wait, unless something is under way: they are read after it.
    pub(super) fn read_waiting(&mut self, jobs: &Jobs<impl Host>) {
        let Some(photograph) = &self.photograph else { return };
        let waiting = photograph.yarns.iter().filter(|yarn| yarn.reading == Reading::Waiting);
        let places: Vec<(u64, Region)> = waiting.map(|yarn| (yarn.id, yarn.region)).collect();
        if places.is_empty() || self.work.is_some() {
            return;
        }
        let (picture, balance, _) = material(photograph);
        self.begin(TaskKind::Reading, jobs, move |ties| {
            Outcome::Read(read_all(&picture, &balance, &places, (0.0, 1.0), ties))
        });
    }

    /// Whether a picture is being opened.
    pub fn is_opening(&self) -> bool {
        self.work.as_ref().is_some_and(|work| matches!(work.kind, TaskKind::Opening(_)))
    }

    /// Takes in what has come of the work under way.
    pub fn settle(&mut self, jobs: &Jobs<impl Host>) -> Vec<Request> {
        let slot = self.work.as_ref().map(|work| Arc::clone(&work.outcome));
        let outcome = slot.and_then(|slot| slot.lock().unwrap_or_else(PoisonError::into_inner).take());
        let Some(outcome) = outcome else { return Vec::new() };
        let Some(work) = self.work.take() else { return Vec::new() };
        let complaint = match outcome {
            Outcome::Opened(Ok(opened)) => {
                self.show(work, *opened);
                None
            }
            Outcome::Opened(Err(reason)) => Some(reason),
            Outcome::Corrected(Ok(corrected)) => {
                self.corrected_light(*corrected);
                None
            }
            Outcome::Found(Ok(found)) => self.propose(found),
            Outcome::Corrected(Err(error)) | Outcome::Found(Err(error)) => {
                let name = self.photograph.as_ref().map_or("", |photograph| photograph.name.as_str());
                Some(format!("{name}: {error}"))
            }
            Outcome::Read(readings) => {
                self.keep(readings);
                None
            }
            Outcome::Broken(reason) => Some(self.broken(&work.kind, &reason)),
        };
        self.read_waiting(jobs);
        complaint.map(Request::Complain).into_iter().collect()
    }

    /// Puts an opened picture on the desk in place of the one there.
    fn show(&mut self, work: Work, (loaded, as_taken): (Loaded, Preview)) {
        let TaskKind::Opening(name) = work.kind else { return };
        self.photograph = Some(Photograph {
            number: self.number(),
            name,
            picture: Arc::new(loaded.picture),
            notes: loaded.notes,
            as_taken: Arc::new(as_taken),
            light: None,
            source: LightSource::Unknown,
            yarns: Vec::new(),
        });
    }

    fn corrected_light(&mut self, corrected: Corrected) {
        let number = self.number();
        let Some(photograph) = &mut self.photograph else { return };
        let Corrected { references, balance, preview, readings } = corrected;
        photograph.light = Some(CorrectedLight {
            number,
            references,
            balance: Arc::new(balance),
            preview: Arc::new(preview),
        });
        // Those drawn or moved meanwhile are read next.
        photograph.yarns.iter_mut().for_each(|yarn| yarn.reading = Reading::Waiting);
        self.keep(readings);
    }

    fn keep(&mut self, readings: Vec<Read>) {
        for (id, region, reading) in readings {
            if let Some(yarn) = self.yarn(id).filter(|yarn| yarn.region == region) {
                yarn.reading = reading;
            }
        }
    }

    /// Proposes the found yarns in place of earlier proposals; those accepted stay and are not
    /// proposed once more. Says so when there are none.
    fn propose(&mut self, found: Vec<(Region, Reading)>) -> Option<String> {
        let numbers: Vec<u64> = found.iter().map(|_| self.number()).collect();
        let photograph = self.photograph.as_mut()?;
        if found.is_empty() {
            let name = &photograph.name;
            return Some(format!("{name}: no yarns were found. Draw a rectangle on each ball instead."));
        }
        photograph.yarns.retain(|yarn| yarn.accepted);
        for (id, (region, reading)) in numbers.into_iter().zip(found) {
            let (x, y) = (region.x + region.width / 2, region.y + region.height / 2);
            let is_there = photograph.yarns.iter().any(|yarn| yarn.accepted && yarn.region.contains(x, y));
            if !is_there && photograph.yarns.len() < super::MAX_YARNS {
                photograph.add(id, region, false, reading);
            }
        }
        None
    }

    /// A fault of the program: told, and never tried again by itself.
    fn broken(&mut self, kind: &TaskKind, reason: &str) -> String {
        if *kind == TaskKind::Reading
            && let Some(photograph) = &mut self.photograph
        {
            for yarn in photograph.yarns.iter_mut().filter(|yarn| yarn.reading == Reading::Waiting) {
                yarn.reading = Reading::Failed(reason.to_owned());
            }
        }
        format!("The photograph could not be read: {reason}")
    }
}

/// The picture and its correction, for a thread.
fn material(photograph: &Photograph) -> (Arc<Picture>, Arc<Balance>, Vec<Region>) {
    let balance = photograph.light.as_ref().map(|light| Arc::clone(&light.balance));
    let references = photograph.references().iter().map(|reference| reference.region).collect();
    let balance = balance.unwrap_or_else(|| Arc::new(Balance::none().under(photograph.source)));
    (Arc::clone(&photograph.picture), balance, references)
}

fn read_all(
    picture: &Picture,
    balance: &Balance,
    places: &[(u64, Region)],
    (from, to): (f32, f32),
    ties: &Ties,
) -> Vec<Read> {
    let step = (to - from) / places.len().max(1) as f32;
    let read = |(number, (id, region)): (usize, &(u64, Region))| {
        let start = from + step * number as f32;
        let reading = ties.part((start, start + step), |watch| read(picture, *region, balance, watch));
        let reading = reading.map_or_else(
            |error| Reading::Failed(error.to_string()),
            |reading| Reading::Done(Box::new(reading)),
        );
        (*id, *region, reading)
    };
    places.iter().enumerate().map(read).collect()
}

fn read(
    picture: &Picture,
    region: Region,
    balance: &Balance,
    watch: &Watch,
) -> Result<YarnReading, PhotoError> {
    let sample = sample_yarn(picture, region, balance, watch)?;
    let as_taken = if balance.light().is_some() || balance.known_gain().is_some() {
        sample_yarn(picture, region, &Balance::none(), watch)?.surface
    } else {
        sample.surface
    };
    Ok(YarnReading { sample, as_taken })
}
