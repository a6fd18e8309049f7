//! Worker threads: anything over a millisecond runs here, answers over a channel and wakes the window.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};

/// Asks the window to look at the answers.
pub type Waker = Arc<dyn Fn() + Send + Sync>;

/// Where work runs.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Place {
    Threads,
    /// In the caller: for tests, which want every answer at once.
    Inline,
}

/// Starts work and collects its answers of type `A`.
pub struct Jobs<A> {
    sender: Sender<A>,
    receiver: Receiver<A>,
    wake: Waker,
    place: Place,
}

impl<A: Send + 'static> Jobs<A> {
    /// Work on named threads; `wake` is called after each answer.
    pub fn threaded(wake: Waker) -> Self {
        let (sender, receiver) = channel();
        Self { sender, receiver, wake, place: Place::Threads }
    }

    /// Work in the calling thread, so that answers are there when `start` returns.
    pub fn inline() -> Self {
        let (sender, receiver) = channel();
        Self { sender, receiver, wake: Arc::new(|| {}), place: Place::Inline }
    }

    /// Runs `work` and sends what it returns; when it breaks down, `failed` makes the answer from
    /// the reason, so that the window always hears back.
    pub fn start(
        &self,
        name: &str,
        work: impl FnOnce() -> A + Send + 'static,
        failed: impl FnOnce(String) -> A + Send + 'static,
    ) {
        self.start_reporting(name, |_| work(), failed);
    }

    /// As [`Jobs::start`], for work that has answers on the way: each that it reports is sent at once.
    pub fn start_reporting(
        &self,
        name: &str,
        work: impl FnOnce(&dyn Fn(A)) -> A + Send + 'static,
        failed: impl FnOnce(String) -> A + Send + 'static,
    ) {
        let (sender, wake) = (self.sender.clone(), Arc::clone(&self.wake));
        let job = move || {
            let report = |answer| {
                // The window may be gone already; then nobody waits for the answer.
                let _ = sender.send(answer);
                wake();
            };
            let answer = catch_unwind(AssertUnwindSafe(|| work(&report))).unwrap_or_else(|reason| {
                let reason = reason
                    .downcast_ref::<String>()
                    .map(String::as_str)
                    .or_else(|| reason.downcast_ref::<&str>().copied())
                    .unwrap_or("unknown reason");
                failed(format!("an internal fault: {reason}"))
            });
            report(answer);
        };
        match self.place {
            Place::Inline => job(),
            Place::Threads => {
                if let Err(error) = std::thread::Builder::new().name(name.to_owned()).spawn(job) {
                    log::error!("cannot start the thread {name}: {error}");
                }
            }
        }
    }

    /// The answers that have come in.
    pub fn answers(&self) -> Vec<A> {
        self.receiver.try_iter().collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::time::{Duration, Instant};

    #[test]
    fn a_job_that_breaks_down_still_answers() {
        let woken = Arc::new(AtomicUsize::new(0));
        let count = Arc::clone(&woken);
        let jobs = Jobs::threaded(Arc::new(move || {
            count.fetch_add(1, Ordering::SeqCst);
        }));
        jobs.start("test", || panic!("boom"), Err::<(), String>);
        let start = Instant::now();
        let answer = loop {
            if let Some(answer) = jobs.answers().pop() {
                break answer;
            }
            assert!(start.elapsed() < Duration::from_secs(10), "no answer");
            std::thread::sleep(Duration::from_millis(1));
        };
        assert!(answer.unwrap_err().contains("boom"));
    }

    #[test]
    fn answers_on_the_way_come_before_the_last() {
        let jobs = Jobs::inline();
        jobs.start_reporting(
            "test",
            |report| {
                report(1);
                report(2);
                3
            },
            |_| 0,
        );
        assert_eq!(jobs.answers(), [1, 2, 3]);
    }

    #[test]
    fn inline_work_is_done_when_start_returns() {
        let jobs = Jobs::inline();
        jobs.start("test", || 7, |_| 0);
        assert_eq!(jobs.answers(), [7]);
    }
}
