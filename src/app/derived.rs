//! Figures that follow from something else, worked out on a thread when they are wanted.

use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use super::document::DocumentId;
use super::jobs::{For, Host, Jobs};

/// What is known of a figure.
#[derive(Clone, Debug, PartialEq)]
pub enum Reading<V> {
    /// It belongs to the key asked about.
    Fresh(Arc<V>),
    /// It belongs to an earlier key of the same document.
    Stale(Arc<V>),
    /// It could not be worked out, and why; it is not tried again for this key.
    Failed(String),
    /// Nothing yet.
    None,
}

impl<V> Reading<V> {
    /// The figure, fresh or not.
    pub fn value(self) -> Option<Arc<V>> {
        match self {
            Self::Fresh(value) | Self::Stale(value) => Some(value),
            Self::Failed(_) | Self::None => None,
        }
    }
}

/// A figure `V` that follows from a key `K`.
///
/// A memo, no part of what a person can change or save: to want it takes a shared reference. One job
/// runs at a time; who shows the figure wants it again in the next frame, and the answer wakes the
/// window. It belongs to one document and is thrown away with it.
pub struct Derived<K, V> {
    whose: For,
    name: &'static str,
    memo: Arc<Mutex<Memo<K, V>>>,
}

struct Memo<K, V> {
    answer: Option<(K, Result<Arc<V>, String>)>,
    /// What the job under way works for, and the flag that stops it.
    running: Option<(K, Arc<AtomicBool>)>,
}

fn open<K, V>(memo: &Mutex<Memo<K, V>>) -> MutexGuard<'_, Memo<K, V>> {
    // Nothing is worked out under the lock, so that a fault cannot leave half of an answer.
    memo.lock().unwrap_or_else(PoisonError::into_inner)
}

impl<K: PartialEq + Clone + Send + 'static, V: Send + Sync + 'static> Derived<K, V> {
    /// A figure of a document. `name` names its thread and, in a complaint, the figure: lower case,
    /// plural.
    pub fn of(document: DocumentId, name: &'static str) -> Self {
        let memo = Memo { answer: None, running: None };
        Self { whose: For::Document(document), name, memo: Arc::new(Mutex::new(memo)) }
    }

    /// Has the figure worked out for this key, unless it is known or a job is under way.
    pub fn want<S: Host>(&self, key: &K, jobs: &Jobs<S>, compute: impl FnOnce() -> V + Send + 'static) {
        self.begin((key, false), jobs, move |_| Some(compute()));
    }

    fn begin<S: Host>(
        &self,
        (key, supersedes): (&K, bool),
        jobs: &Jobs<S>,
        compute: impl FnOnce(&AtomicBool) -> Option<V> + Send + 'static,
    ) {
        let mut memo = open(&self.memo);
        if let Some((_, stop)) = memo.running.as_ref().filter(|(under_way, _)| supersedes && under_way != key)
        {
            stop.store(true, Ordering::Relaxed);
        }
        if memo.running.is_some() || memo.answer.as_ref().is_some_and(|(known, _)| known == key) {
            return;
        }
        let stop = Arc::new(AtomicBool::new(false));
        memo.running = Some((key.clone(), Arc::clone(&stop)));
        drop(memo);
        let (slot, key, name) = (Arc::clone(&self.memo), key.clone(), self.name);
        jobs.start(
            self.whose,
            name,
            move || Ok(compute(&stop).map(Arc::new)),
            move |host: &mut S, answer| {
                if let Err(reason) = &answer {
                    host.complain(format!("The {name} could not be worked out: {reason}"));
                }
                let mut memo = open(&slot);
                memo.running = None;
                if let Some(answer) = answer.transpose() {
                    memo.answer = Some((key, answer));
                }
            },
        );
    }

    /// What is known of the figure for this key, which is wanted from now on.
    pub fn ask<S: Host>(
        &self,
        key: &K,
        jobs: &Jobs<S>,
        compute: impl FnOnce() -> V + Send + 'static,
    ) -> Reading<V> {
        self.want(key, jobs, compute);
        self.get(key)
    }

    /// As [`Derived::ask`], for work that is long and soon out of date: a job under way for another key is told to stop
    /// by the flag that `compute` is handed, gives `None`, and makes room for this one.
    pub fn ask_newest<S: Host>(
        &self,
        key: &K,
        jobs: &Jobs<S>,
        compute: impl FnOnce(&AtomicBool) -> Option<V> + Send + 'static,
    ) -> Reading<V> {
        self.begin((key, true), jobs, compute);
        self.get(key)
    }

    /// What is known of the figure for this key.
    pub fn get(&self, key: &K) -> Reading<V> {
        match &open(&self.memo).answer {
            Some((known, Ok(value))) if known == key => Reading::Fresh(Arc::clone(value)),
            Some((_, Ok(value))) => Reading::Stale(Arc::clone(value)),
            Some((known, Err(reason))) if known == key => Reading::Failed(reason.clone()),
            Some((_, Err(_))) | None => Reading::None,
        }
    }

    /// The newest figure and its key, whatever is asked about now.
    pub fn newest(&self) -> Option<(K, Arc<V>)> {
        let memo = open(&self.memo);
        let (key, value) = memo.answer.as_ref()?;
        Some((key.clone(), Arc::clone(value.as_ref().ok()?)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Default)]
    struct Ear(Vec<String>);

    impl Host for Ear {
        fn complain(&mut self, text: String) {
            self.0.push(text);
        }
    }

    fn deliver(jobs: &Jobs<Ear>, open: DocumentId) -> Vec<String> {
        let mut ear = Ear::default();
        while let Some(answer) = jobs.next(open) {
            answer(&mut ear);
        }
        ear.0
    }

    #[test]
    fn a_figure_is_fresh_then_stale_then_fresh() {
        let (jobs, document) = (Jobs::inline(), DocumentId::fresh());
        let figure = Derived::of(document, "sums");
        figure.want(&1, &jobs, || 10);
        assert_eq!(figure.get(&1), Reading::None, "its answer has not been taken in");
        figure.want(&2, &jobs, || 20);
        assert!(deliver(&jobs, document).is_empty());
        assert_eq!(figure.get(&1), Reading::Fresh(Arc::new(10)));
        assert_eq!(figure.get(&2), Reading::Stale(Arc::new(10)), "one job at a time");
        figure.want(&1, &jobs, || unreachable!("known"));
        figure.want(&2, &jobs, || 20);
        deliver(&jobs, document);
        assert_eq!(figure.get(&2), Reading::Fresh(Arc::new(20)));
    }

    #[test]
    fn a_failure_is_told_once_and_not_tried_again_for_the_same_key() {
        let (jobs, document) = (Jobs::inline(), DocumentId::fresh());
        let figure = Derived::of(document, "sums");
        figure.want(&1, &jobs, || -> u32 { panic!("boom") });
        let told = deliver(&jobs, document);
        assert!(
            matches!(&told[..], [text] if text.starts_with("The sums") && text.contains("boom")),
            "{told:?}"
        );
        assert!(matches!(figure.get(&1), Reading::Failed(_)));
        figure.want(&1, &jobs, || unreachable!("tried already"));
        figure.want(&2, &jobs, || 2);
        assert!(deliver(&jobs, document).is_empty());
        assert_eq!(figure.get(&2), Reading::Fresh(Arc::new(2)));
    }

    #[test]
    fn newer_work_stops_the_older_and_is_begun_when_that_has_answered() {
        let woken = Arc::new(std::sync::Barrier::new(2));
        let waker = Arc::clone(&woken);
        let jobs = Jobs::threaded(Arc::new(move || {
            waker.wait();
        }));
        let document = DocumentId::fresh();
        let figure = Derived::of(document, "pictures");
        let until_stopped = |stop: &AtomicBool| {
            while !stop.load(Ordering::Relaxed) {
                std::thread::yield_now();
            }
            None
        };
        assert_eq!(figure.ask_newest(&1, &jobs, until_stopped), Reading::None);
        figure.ask_newest(&1, &jobs, |_| unreachable!("it is under way"));
        // Without the flag the first would never end.
        figure.ask_newest(&2, &jobs, |_| unreachable!("the older has not answered"));
        woken.wait();
        assert!(deliver(&jobs, document).is_empty());
        figure.ask_newest(&2, &jobs, |stop| (!stop.load(Ordering::Relaxed)).then_some(20));
        woken.wait();
        deliver(&jobs, document);
        assert_eq!(figure.get(&2), Reading::Fresh(Arc::new(20)));
        // One that was done before it heard of it is shown as out of date.
        figure.ask_newest(&3, &jobs, |_| Some(30));
        figure.ask_newest(&4, &jobs, |_| unreachable!("the older has not answered"));
        woken.wait();
        deliver(&jobs, document);
        assert_eq!(figure.get(&4), Reading::Stale(Arc::new(30)));
    }
}
