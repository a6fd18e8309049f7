//! The shelf: which shades may be knitted in, the nearest of them to a wish and the best sets among
//! them, all looked for on threads. An answer holds what was asked, so that the window can tell
//! whether it still is what it wants.

use std::cell::Cell;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use super::cards::same_cards;
use super::derived::{Derived, Reading};
use super::document::DocumentId;
use super::jobs::{For, Host, Jobs};
use super::timed_search::{Come, SearchTime, TimedSets, search_for};
use crate::colour::Colour;
use crate::yarn::best_sets::{SetRequest, SetWeights, ShadeSet};
use crate::yarn::{
    Fitness, KeepsOut, Matching, OnHand, Shade, ShadeCard, Stock, Wish, YarnWanted, match_palette,
};

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
    /// What the project has on hand of its shades.
    pub on_hand: OnHand,
}

impl PartialEq for ShelfAsk {
    /// Cards are told apart by where they lie, as `same_cards` does.
    fn eq(&self, other: &Self) -> bool {
        same_cards(&self.cards, &other.cards)
            && (&self.wanted, self.to_be_had, &self.on_hand)
                == (&other.wanted, other.to_be_had, &other.on_hand)
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
    /// How many were let through although they do not say their fibre or weight.
    pub unknown: usize,
    /// How many were let through although the fibre they name is not known.
    pub unknown_fibre: usize,
    /// How many were left out, by what keeps them out.
    pub left_out: LeftOut,
    /// Fibre labels on the cards, each once, in alphabetical order.
    pub labels: Vec<String>,
    /// Weight classes on the cards, each once, rising.
    pub classes: Vec<u8>,
}

/// How many shades each wish keeps out; one shade may count for several.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LeftOut {
    /// Of another fibre.
    pub fibre: usize,
    /// Of another weight class.
    pub weight: usize,
    /// They do not stand what the piece must, or are not known to.
    pub needs: usize,
    /// Their colours along the strand would hide the chart.
    pub busy: usize,
    /// Out of stock.
    pub stock: usize,
}

impl LeftOut {
    fn count(&mut self, by: KeepsOut) {
        let kind = match by {
            KeepsOut::Fibre => &mut self.fibre,
            KeepsOut::Weight => &mut self.weight,
            KeepsOut::Needs => &mut self.needs,
            KeepsOut::Busy => &mut self.busy,
        };
        *kind += 1;
    }
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
    /// Whether the same colours are wished for, whatever metres they take and whichever shades there are.
    pub fn wishes_as(&self, other: &Self) -> bool {
        let colours = |ask: &Self| ask.wishes.iter().map(|wish| wish.colour).collect::<Vec<_>>();
        colours(self) == colours(other)
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

impl Matched {
    fn of(ask: MatchAsk) -> Self {
        let card = &ask.shelved.card;
        let all: Vec<usize> = (0..card.shades().len()).collect();
        let result = match_palette(card, &all, &ask.wishes, ALTERNATIVES).map_err(|e| e.to_string());
        Self { ask, result }
    }
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
    /// The time was up: the best so far.
    TimeUp,
    /// It could not be done.
    Failed(String),
}

/// What a search has found.
#[derive(Clone, Debug)]
pub struct News {
    /// The best sets so far, best first.
    pub sets: Arc<Vec<ShadeSet>>,
    /// How far it has come.
    pub progress: Progress,
    /// The sets are still those of the search before, on the same shelf: nothing was found yet.
    pub of_before: bool,
    /// How many of all sets were looked at or ruled out, and since when.
    pub come: Come,
    /// How sure the answer is; `None` until the search has ended.
    pub sure: Option<Sure>,
}

/// How sure the answer of a search is that has ended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sure {
    /// So many of the sets, from the first: no set that was not looked at scores more.
    pub certain: usize,
    /// What a set that was not looked at may score at most; `None` when there is none.
    pub open: Option<f64>,
}

impl News {
    fn end(&mut self, ended: TimedSets) {
        let TimedSets { found, come, time_up } = ended;
        self.sure = Some(Sure { certain: found.certain(), open: found.open });
        self.progress = match (found.complete, time_up) {
            (true, _) => Progress::Complete,
            (false, true) => Progress::TimeUp,
            (false, false) => Progress::Stopped,
        };
        (self.sets, self.come) = (Arc::new(found.sets), come);
    }

    fn forget_those_before(&mut self) {
        if std::mem::take(&mut self.of_before) {
            self.sets = Arc::default();
        }
    }
}

/// A search for the best sets, under way or over. Its job reports to it alone: the reports of a
/// search that was replaced reach nobody.
#[derive(Debug)]
pub struct Search {
    /// What was asked.
    pub ask: Arc<SetsAsk>,
    news: Arc<Mutex<News>>,
    cancel: Arc<AtomicBool>,
    /// Seconds it may take.
    limit: Arc<AtomicU32>,
}

impl Search {
    /// Lets it take longer or less long, from now on.
    fn allow(&self, time: SearchTime) {
        self.limit.store(time.seconds(), Ordering::Relaxed);
    }

    /// What it has found.
    pub fn news(&self) -> News {
        open(&self.news).clone()
    }

    fn stop(&self) {
        self.cancel.store(true, Ordering::Relaxed);
        let mut news = open(&self.news);
        if news.progress == Progress::Running {
            news.progress = Progress::Stopped;
            news.forget_those_before();
        }
    }
}

impl Drop for Search {
    /// Nobody waits for it any more.
    fn drop(&mut self) {
        self.cancel.store(true, Ordering::Relaxed);
    }
}

fn open(news: &Mutex<News>) -> MutexGuard<'_, News> {
    news.lock().unwrap_or_else(PoisonError::into_inner)
}

/// What is known of the shades to choose from.
pub struct Shelf {
    /// Which shades there are.
    pub shelved: Derived<ShelfAsk, Shelved>,
    /// The nearest shades.
    pub matched: Derived<MatchAsk, Matched>,
    /// The newest search.
    pub search: Option<Search>,
    document: DocumentId,
}

/// What the window asks of the shelf.
#[derive(Clone, Debug, PartialEq)]
pub enum ShelfAction {
    /// Search for the best sets for so long; a search under way is called off.
    Search(Box<SetsAsk>, SearchTime),
    /// Call the search off and keep what it found.
    Stop,
}

impl Shelf {
    /// A shelf that was not looked at yet.
    pub fn of(document: DocumentId) -> Self {
        Self {
            shelved: Derived::of(document, "shades of the cards"),
            matched: Derived::of(document, "nearest shades"),
            search: None,
            document,
        }
    }

    /// Which shades there are.
    pub fn shelved(&self, ask: &ShelfAsk, jobs: &Jobs<impl Host>) -> Reading<Shelved> {
        let asked = ask.clone();
        self.shelved.ask(ask, jobs, move || Shelved::of(asked))
    }

    /// The nearest shades.
    pub fn matched(&self, ask: &MatchAsk, jobs: &Jobs<impl Host>) -> Reading<Matched> {
        let asked = ask.clone();
        self.matched.ask(ask, jobs, move || Matched::of(asked))
    }

    /// Carries out what the window asks.
    pub fn update(&mut self, action: ShelfAction, jobs: &Jobs<impl Host>) {
        match action {
            ShelfAction::Search(ask, time) => self.begin(*ask, time, jobs),
            ShelfAction::Stop => {
                if let Some(search) = &self.search {
                    search.stop();
                }
            }
        }
    }

    /// Lets a search under way take longer or less long.
    pub fn allow(&self, time: SearchTime) {
        if let Some(search) = &self.search {
            search.allow(time);
        }
    }

    fn begin<S: Host>(&mut self, ask: SetsAsk, time: SearchTime, jobs: &Jobs<S>) {
        // What was found before stays up until there is something better to show.
        let before = self.search.as_ref().filter(|search| Arc::ptr_eq(&search.ask.shelved, &ask.shelved));
        let sets = before.map(|search| search.news().sets).unwrap_or_default();
        let (ask, cancel) = (Arc::new(ask), Arc::new(AtomicBool::new(false)));
        let of_before = !sets.is_empty();
        let (progress, come) = (Progress::Running, Come::default());
        let news = Arc::new(Mutex::new(News { sets, progress, of_before, come, sure: None }));
        let limit = Arc::new(AtomicU32::new(time.seconds()));
        self.search = Some(Search {
            ask: Arc::clone(&ask),
            news: Arc::clone(&news),
            cancel: Arc::clone(&cancel),
            limit: Arc::clone(&limit),
        });
        let (better, wake) = (Arc::clone(&news), jobs.waker());
        jobs.start(
            For::Document(self.document),
            "best sets",
            move || {
                let reported = Cell::new(Instant::now());
                let report = |sets: &[ShadeSet]| {
                    if reported.get().elapsed() >= BETWEEN_REPORTS && !cancel.load(Ordering::Relaxed) {
                        reported.set(Instant::now());
                        let mut news = open(&better);
                        (news.sets, news.of_before) = (Arc::new(sets.to_vec()), false);
                        drop(news);
                        wake();
                    }
                };
                let told = AtomicU32::new(0);
                let follow = |come: Come| {
                    // A bar that moves more often than this shows no more.
                    let due = (come.taken.as_millis() / BETWEEN_REPORTS.as_millis()) as u32;
                    if told.swap(due, Ordering::Relaxed) < due && !cancel.load(Ordering::Relaxed) {
                        open(&better).come = come;
                        wake();
                    }
                };
                let limit = || SearchTime::of_seconds(limit.load(Ordering::Relaxed)).unwrap_or_default();
                let request = ask.request();
                search_for(&ask.shelved.card, &request, (&limit, &cancel), &follow, &report)
                    .map_err(|error| error.to_string())
            },
            move |_: &mut S, found| {
                let mut news = open(&news);
                news.forget_those_before();
                match found {
                    Ok(ended) => news.end(ended),
                    Err(reason) => news.progress = Progress::Failed(reason),
                }
            },
        );
    }
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
            let judged = shelved.ask.wanted.judged(shade);
            let had = !shelved.ask.to_be_had || shade.stock != Stock::Out;
            judged.keeping_out().for_each(|by| shelved.left_out.count(by));
            shelved.left_out.stock += usize::from(!had);
            let fitness = judged.fitness();
            if had && fitness != Fitness::Differs {
                let named = YarnWanted::is_of_unknown_fibre(shade);
                let count = if named { &mut shelved.unknown_fibre } else { &mut shelved.unknown };
                *count += usize::from(fitness == Fitness::Unknown);
                let_through.push(shade.clone());
            }
        }
        shelved.labels.sort();
        shelved.classes.sort_unstable();
        shelved.classes.dedup();
        // Every shade was checked when its card was made; only their number can be too large.
        let_through.truncate(crate::yarn::MAX_SHADES);
        let card = ShadeCard::new("Shelf", let_through).unwrap_or_default();
        shelved.card = card.with_on_hand(shelved.ask.on_hand.clone());
        shelved
    }

    fn nothing(ask: ShelfAsk) -> Self {
        Self {
            ask,
            card: ShadeCard::default(),
            of: 0,
            unknown: 0,
            unknown_fibre: 0,
            left_out: LeftOut::default(),
            labels: Vec::new(),
            classes: Vec::new(),
        }
    }
}

#[cfg(test)]
mod tests;
