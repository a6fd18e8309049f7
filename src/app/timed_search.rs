//! The search for the best sets with an eye on the clock: in the window and in the command alike.

use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, AtomicU32, Ordering};
use std::sync::mpsc::{RecvTimeoutError, channel};
use std::time::{Duration, Instant};

use crate::yarn::ShadeCard;
use crate::yarn::best_sets::{BestSets, SetError, SetRequest, ShadeSet, best_sets_followed};

/// How often the clock is looked at.
const TICK: Duration = Duration::from_millis(50);

/// How long a search for sets may take, in whole seconds, `1..=86400`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SearchTime(u32);

impl Default for SearchTime {
    /// A minute: long enough for a card of some hundred shades, and still to be waited for (our judgement).
    fn default() -> Self {
        Self(60)
    }
}

impl SearchTime {
    /// The name it is remembered under.
    pub const KEY: &'static str = "seconds of a search for sets";
    /// The longest: a day.
    pub const MOST: u32 = 86_400;

    /// So many seconds; `None` when that is less than one or more than [`SearchTime::MOST`].
    pub fn of_seconds(seconds: u32) -> Option<Self> {
        (1..=Self::MOST).contains(&seconds).then_some(Self(seconds))
    }

    /// As remembered, else the usual.
    pub fn named(text: Option<&str>) -> Self {
        text.and_then(|text| text.parse().ok()).and_then(Self::of_seconds).unwrap_or_default()
    }

    /// Seconds.
    pub const fn seconds(self) -> u32 {
        self.0
    }

    /// As a duration.
    pub fn duration(self) -> Duration {
        Duration::from_secs(u64::from(self.0))
    }
}

/// How far a search has come.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Come {
    /// Time since it began, the preparation of the shades left out.
    pub taken: Duration,
    /// Share of all sets that were looked at or ruled out, `0..=1`.
    pub decided: f64,
}

/// A search that has ended, one way or the other.
#[derive(Clone, Debug)]
pub struct TimedSets {
    /// What it found.
    pub found: BestSets,
    /// How far it came.
    pub come: Come,
    /// Whether it was the clock that ended it.
    pub time_up: bool,
}

/// Searches until all is decided, `cancel` is set or the time is up. `limit` may change meanwhile; `follow` is
/// told how far the search has come some times a second, from a thread of its own.
///
/// # Errors
/// [`SetError`] when the request cannot be met.
pub fn search_for(
    card: &ShadeCard,
    request: &SetRequest,
    (limit, cancel): (&(dyn Fn() -> SearchTime + Sync), &AtomicBool),
    follow: &(dyn Fn(Come) + Sync),
    improved: &dyn Fn(&[ShadeSet]),
) -> Result<TimedSets, SetError> {
    let (time_up, millionths, begun) = (AtomicBool::new(false), AtomicU32::new(0), OnceLock::new());
    let decided = |share: f64| {
        begun.get_or_init(Instant::now);
        // Threads report out of turn; the share never falls.
        millionths.fetch_max((share * 1e6) as u32, Ordering::Relaxed);
    };
    let come = || Come {
        // To prepare the shades is not to search yet, and would have nothing to show.
        taken: begun.get().map(Instant::elapsed).unwrap_or_default(),
        decided: f64::from(millionths.load(Ordering::Relaxed)) / 1e6,
    };
    let (over, ended) = channel::<()>();
    let found = std::thread::scope(|scope| {
        let (time_up, come) = (&time_up, &come);
        scope.spawn(move || {
            while ended.recv_timeout(TICK) == Err(RecvTimeoutError::Timeout) {
                let come = come();
                if come.taken >= limit().duration() {
                    time_up.store(true, Ordering::Relaxed);
                    cancel.store(true, Ordering::Relaxed);
                    return;
                }
                follow(come);
            }
        });
        let found = best_sets_followed(card, request, (cancel, &decided), improved);
        drop(over);
        found
    })?;
    let mut come = come();
    if found.complete {
        come.decided = 1.0;
    }
    let time_up = time_up.load(Ordering::Relaxed) && !found.complete;
    Ok(TimedSets { found, come, time_up })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_time_is_remembered_and_kept_in_its_range() {
        assert_eq!(SearchTime::named(None).seconds(), 60);
        assert_eq!(SearchTime::named(Some("5")), SearchTime(5));
        for wrong in ["", "0", "-1", "86401", "5 s", "99999999999"] {
            assert_eq!(SearchTime::named(Some(wrong)), SearchTime::default(), "{wrong}");
        }
    }
}
