//! The shelf: which shades may be knitted in, the nearest of them to a wish and the best sets among
//! them, all looked for on threads. An answer holds what was asked, so that the window can tell
//! whether it still is what it wants.

use std::cell::Cell;
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use super::state::{Answer, State};
use crate::colour::Colour;
use crate::yarn::best_sets::{BestSets, SetRequest, SetWeights, ShadeSet, best_sets};
use crate::yarn::{Fitness, Matching, Shade, ShadeCard, Stock, Wish, YarnWanted, match_palette};

/// Other shades offered for each colour.
const ALTERNATIVES: usize = 5;
/// Sets that are looked for.
const BEST: usize = 20;
/// Better sets are shown no more often than the eye can follow; drawing them takes time from the search.
const BETWEEN_REPORTS: Duration = Duration::from_millis(200);

/// Which shades of which cards are wanted.
#[derive(Clone, Debug)]
pub struct ShelfAsk {
    /// The cards.
    pub cards: Vec<Arc<ShadeCard>>,
    /// Fibre and weight.
    pub wanted: YarnWanted,
    /// Not those that are out of stock.
    pub to_be_had: bool,
}

impl PartialEq for ShelfAsk {
    /// Cards are told apart by where they lie: to compare thousands of shades in every frame would
    /// take too long.
    fn eq(&self, other: &Self) -> bool {
        self.cards.len() == other.cards.len()
            && self.cards.iter().zip(&other.cards).all(|(a, b)| Arc::ptr_eq(a, b))
            && (&self.wanted, self.to_be_had) == (&other.wanted, other.to_be_had)
    }
}

/// The shades that may be knitted in, of all the cards together.
#[derive(Debug)]
pub struct Shelved {
    /// What was asked.
    pub ask: ShelfAsk,
    /// The shades let through.
    pub card: ShadeCard,
    /// How many there are on the cards.
    pub of: usize,
    /// How many were let through although their fibre or weight is not known.
    pub unknown: usize,
    /// Fibre labels on the cards, each once, in alphabetical order.
    pub labels: Vec<String>,
    /// Weight classes on the cards, each once, rising.
    pub classes: Vec<u8>,
}

/// Nearest shades to a palette.
#[derive(Clone, Debug)]
pub struct MatchAsk {
    /// The shades to choose from.
    pub shelved: Arc<Shelved>,
    /// The colours.
    pub wishes: Vec<Wish>,
}

impl PartialEq for MatchAsk {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.shelved, &other.shelved) && self.wishes == other.wishes
    }
}

impl MatchAsk {
    /// Whether the same colours are wished for from the same shades, whatever metres they take.
    pub fn wishes_as(&self, other: &Self) -> bool {
        let colours = |ask: &Self| ask.wishes.iter().map(|wish| wish.colour).collect::<Vec<_>>();
        Arc::ptr_eq(&self.shelved, &other.shelved) && colours(self) == colours(other)
    }
}

/// The answer to a [`MatchAsk`].
#[derive(Debug)]
pub struct Matched {
    /// What was asked.
    pub ask: MatchAsk,
    /// A shade for each wish, or why not.
    pub result: Result<Matching, String>,
}

/// Best sets among the shades on the shelf.
#[derive(Clone, Debug)]
pub struct SetsAsk {
    /// The shades to choose from.
    pub shelved: Arc<Shelved>,
    /// Shades in a set, `2..=5`.
    pub size: usize,
    /// What counts.
    pub weights: SetWeights,
    /// Shades every set must have.
    pub pinned: Vec<Arc<Shade>>,
    /// Shades no set may have.
    pub forbidden: Vec<Arc<Shade>>,
    /// Colours wished for, in the order of the roles.
    pub wish: Vec<Colour>,
}

impl PartialEq for SetsAsk {
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.shelved, &other.shelved)
            && (self.size, self.weights) == (other.size, other.weights)
            && (&self.pinned, &self.forbidden, &self.wish) == (&other.pinned, &other.forbidden, &other.wish)
    }
}

/// How far a search has come.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Progress {
    /// Better sets may come.
    Running,
    /// Every set was looked at or ruled out.
    Complete,
    /// Called off: the best so far.
    Stopped,
    /// It could not be done.
    Failed(String),
}

/// A search for the best sets, under way or over.
#[derive(Debug)]
pub struct Search {
    /// What was asked.
    pub ask: Arc<SetsAsk>,
    /// The best sets so far, best first.
    pub sets: Arc<Vec<ShadeSet>>,
    /// How far it has come.
    pub progress: Progress,
    /// The sets are still those of the search before, on the same shelf: nothing was found yet.
    pub of_before: bool,
    cancel: Arc<AtomicBool>,
}

/// What the window knows of the shelf.
#[derive(Debug, Default)]
pub struct Shelf {
    /// The newest answer on which shades there are.
    pub shelved: Option<Arc<Shelved>>,
    /// The newest nearest shades.
    pub matched: Option<Arc<Matched>>,
    /// The newest search.
    pub search: Option<Search>,
    shelving: bool,
    matching: bool,
    generation: u64,
    project: u64,
}

impl Search {
    fn forget_those_before(&mut self) {
        if std::mem::take(&mut self.of_before) {
            self.sets = Arc::default();
        }
    }
}

impl Shelf {
    /// Forgets everything, for another project; what is still looked for will be dropped.
    pub(super) fn clear(&mut self) {
        self.stop();
        self.generation += 1;
        self.project += 1;
        (self.shelved, self.matched, self.search) = (None, None, None);
    }

    /// Tells one open project from the next, for a window that remembers choices.
    pub const fn project(&self) -> u64 {
        self.project
    }

    fn stop(&mut self) {
        if let Some(search) = self.search.as_mut().filter(|search| search.progress == Progress::Running) {
            search.cancel.store(true, Ordering::Relaxed);
            search.progress = Progress::Stopped;
            search.forget_those_before();
        }
    }
}

/// What the window asks of the shelf.
#[derive(Clone, Debug, PartialEq)]
pub enum ShelfAction {
    /// See which shades there are.
    Look(ShelfAsk),
    /// Find the nearest shades.
    Match(MatchAsk),
    /// Search for the best sets; a search under way is called off.
    Search(Box<SetsAsk>),
    /// Call the search off and keep what it found.
    Stop,
}

/// What the threads answer.
#[derive(Debug)]
pub enum ShelfAnswer {
    /// Which shades there are; with the reason when it could not be found out.
    Shelved(Arc<Shelved>, Option<String>),
    /// Nearest shades.
    Matched(Matched),
    /// Better sets than before.
    Better(u64, Vec<ShadeSet>),
    /// A search is over: what it found, or why not.
    Searched(u64, Result<BestSets, String>),
}

/// Carries out what the window asks.
pub(super) fn run(state: &mut State, action: ShelfAction) {
    match action {
        ShelfAction::Look(ask) => look(state, ask),
        ShelfAction::Match(ask) => find_nearest(state, ask),
        ShelfAction::Search(ask) => search(state, *ask),
        ShelfAction::Stop => state.shelf.stop(),
    }
}

/// Takes in an answer; that of an older search is dropped.
pub(super) fn take(state: &mut State, answer: ShelfAnswer) {
    let shelf = &mut state.shelf;
    match answer {
        ShelfAnswer::Shelved(shelved, trouble) => {
            shelf.shelving = false;
            shelf.shelved = Some(shelved);
            if let Some(reason) = trouble {
                state.complain(format!("The shade cards could not be read: {reason}"));
            }
        }
        ShelfAnswer::Matched(matched) => {
            shelf.matching = false;
            shelf.matched = Some(Arc::new(matched));
        }
        ShelfAnswer::Better(generation, _) | ShelfAnswer::Searched(generation, _)
            if generation != shelf.generation => {}
        ShelfAnswer::Better(_, sets) => {
            if let Some(search) = &mut shelf.search {
                search.sets = Arc::new(sets);
                search.of_before = false;
            }
        }
        ShelfAnswer::Searched(_, outcome) => {
            if let Some(search) = &mut shelf.search {
                search.forget_those_before();
                search.progress = match outcome {
                    Ok(found) => {
                        search.sets = Arc::new(found.sets);
                        if found.complete { Progress::Complete } else { Progress::Stopped }
                    }
                    Err(reason) => Progress::Failed(reason),
                };
            }
        }
    }
}

/// One look at a time; the window asks again when what it has is not what it wants.
fn look(state: &mut State, ask: ShelfAsk) {
    if std::mem::replace(&mut state.shelf.shelving, true) {
        return;
    }
    let failed = ask.clone();
    state.jobs.start(
        "shelf",
        move || Answer::Shelf(ShelfAnswer::Shelved(Arc::new(Shelved::of(ask)), None)),
        move |reason| {
            let nothing = Arc::new(Shelved::nothing(failed));
            Answer::Shelf(ShelfAnswer::Shelved(nothing, Some(reason)))
        },
    );
}

fn find_nearest(state: &mut State, ask: MatchAsk) {
    if std::mem::replace(&mut state.shelf.matching, true) {
        return;
    }
    let failed = ask.clone();
    state.jobs.start(
        "nearest shades",
        move || {
            let card = &ask.shelved.card;
            let all: Vec<usize> = (0..card.shades().len()).collect();
            let result = match_palette(card, &all, &ask.wishes, ALTERNATIVES).map_err(|e| e.to_string());
            Answer::Shelf(ShelfAnswer::Matched(Matched { ask, result }))
        },
        move |reason| Answer::Shelf(ShelfAnswer::Matched(Matched { ask: failed, result: Err(reason) })),
    );
}

fn search(state: &mut State, ask: SetsAsk) {
    // What was found before stays up until there is something better to show.
    let before = state.shelf.search.as_ref().filter(|search| Arc::ptr_eq(&search.ask.shelved, &ask.shelved));
    let sets = before.map(|search| Arc::clone(&search.sets)).unwrap_or_default();
    state.shelf.stop();
    state.shelf.generation += 1;
    let generation = state.shelf.generation;
    let (ask, cancel) = (Arc::new(ask), Arc::new(AtomicBool::new(false)));
    state.shelf.search = Some(Search {
        ask: Arc::clone(&ask),
        of_before: !sets.is_empty(),
        sets,
        progress: Progress::Running,
        cancel: Arc::clone(&cancel),
    });
    state.jobs.start_reporting(
        "best sets",
        move |report| {
            let request = ask.request();
            let reported = Cell::new(Instant::now());
            let better = |sets: &[ShadeSet]| {
                if reported.get().elapsed() >= BETWEEN_REPORTS {
                    reported.set(Instant::now());
                    report(Answer::Shelf(ShelfAnswer::Better(generation, sets.to_vec())));
                }
            };
            let found = best_sets(&ask.shelved.card, &request, &cancel, &better);
            Answer::Shelf(ShelfAnswer::Searched(generation, found.map_err(|error| error.to_string())))
        },
        move |reason| Answer::Shelf(ShelfAnswer::Searched(generation, Err(reason))),
    );
}

impl SetsAsk {
    /// The request in places on the shelf. Pinned shades that are there no longer are left out.
    fn request(&self) -> SetRequest {
        let shades = self.shelved.card.shades();
        let places = |wanted: &[Arc<Shade>]| {
            let of = |shade: &Arc<Shade>| shades.iter().position(|other| other == &**shade);
            wanted.iter().filter_map(of).collect::<Vec<_>>()
        };
        SetRequest {
            weights: self.weights,
            wish: self.wish.clone(),
            pinned: places(&self.pinned),
            forbidden: places(&self.forbidden),
            ..SetRequest::new(self.size, BEST, (0..shades.len()).collect())
        }
    }
}

impl Shelved {
    /// Looks through the cards.
    pub fn of(ask: ShelfAsk) -> Self {
        let mut shelved = Self::nothing(ask);
        let mut let_through = Vec::new();
        for shade in shelved.ask.cards.iter().flat_map(|card| card.shades()) {
            shelved.of += 1;
            let label = shade.fibre.trim();
            if !label.is_empty() && !shelved.labels.iter().any(|known| known == label) {
                shelved.labels.push(label.to_owned());
            }
            shelved.classes.extend(shade.weight_class);
            let fitness = shelved.ask.wanted.judges(shade);
            let had = !shelved.ask.to_be_had || shade.stock != Stock::Out;
            if had && fitness != Fitness::Differs {
                shelved.unknown += usize::from(fitness == Fitness::Unknown);
                let_through.push(shade.clone());
            }
        }
        shelved.labels.sort();
        shelved.classes.sort_unstable();
        shelved.classes.dedup();
        // Every shade was checked when its card was made; only their number can be too large.
        let_through.truncate(crate::yarn::MAX_SHADES);
        shelved.card = ShadeCard::new("Shelf", let_through).unwrap_or_default();
        shelved
    }

    fn nothing(ask: ShelfAsk) -> Self {
        let (labels, classes) = (Vec::new(), Vec::new());
        Self { ask, card: ShadeCard::default(), of: 0, unknown: 0, labels, classes }
    }
}

#[cfg(test)]
mod tests;
