//! Background work that knows its document.
//!
//! What a job hands back is a function on the program, called on the window's thread. A job for a
//! document is dropped in one place, [`Jobs::next`], once another document is open. Every job
//! answers: one that breaks down or whose thread cannot be started answers with the reason.

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Arc;
use std::sync::mpsc::{Receiver, Sender, channel};

use super::crew::{Crew, Inline, Threads, Work};
use super::document::DocumentId;

/// Asks the window to look at the answers.
pub type Waker = Arc<dyn Fn() + Send + Sync>;
/// What a job hands back.
pub type Answer<S> = Box<dyn FnOnce(&mut S) + Send>;

/// The program that answers are for.
pub trait Host: 'static {
    /// Says that something went wrong.
    fn complain(&mut self, text: String);
}

/// Whom a job is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum For {
    /// The program: its answer always arrives.
    Program,
    /// A document: its answer arrives while that document is open.
    Document(DocumentId),
}

/// Starts work and collects the answers.
pub struct Jobs<S> {
    sender: Sender<(For, Answer<S>)>,
    receiver: Receiver<(For, Answer<S>)>,
    wake: Waker,
    crew: Box<dyn Crew>,
}

/// What takes in the result of one job.
type TakeIn<S, R> = Box<dyn FnOnce(&mut S, Result<R, String>) + Send>;

/// The way back of one job. Dropped without having answered, it answers with a failure.
struct Reply<S: 'static, R: Send + 'static> {
    whose: For,
    sender: Sender<(For, Answer<S>)>,
    wake: Waker,
    take_in: Option<TakeIn<S, R>>,
}

impl<S: 'static, R: Send + 'static> Reply<S, R> {
    fn send(&mut self, result: Result<R, String>) {
        if let Some(take_in) = self.take_in.take() {
            // The window may be gone already; then nobody waits for the answer.
            let _ = self.sender.send((self.whose, Box::new(move |host: &mut S| take_in(host, result))));
            (self.wake)();
        }
    }
}

impl<S: 'static, R: Send + 'static> Drop for Reply<S, R> {
    fn drop(&mut self) {
        let reason = "the system could not start the work: close other programs and try again";
        self.send(Err(reason.to_owned()));
    }
}

impl<S: 'static> Jobs<S> {
    /// Work on threads; `wake` is called after each answer.
    pub fn threaded(wake: Waker) -> Self {
        Self::with_crew(Box::new(Threads::default()), wake)
    }

    /// Work in the calling thread, so that answers are there when `start` returns.
    pub fn inline() -> Self {
        Self::with_crew(Box::new(Inline), Arc::new(|| {}))
    }

    /// Work by a crew of one's own.
    pub fn with_crew(crew: Box<dyn Crew>, wake: Waker) -> Self {
        let (sender, receiver) = channel();
        Self { sender, receiver, wake, crew }
    }

    /// Begins `work` beside all other work; `answer` gets what it returns, or why it broke down.
    pub fn start<R: Send + 'static>(
        &self,
        whose: For,
        name: &str,
        work: impl FnOnce() -> Result<R, String> + Send + 'static,
        answer: impl FnOnce(&mut S, Result<R, String>) + Send + 'static,
    ) {
        self.crew.start(name, self.piece(whose, work, answer));
    }

    /// As [`Jobs::start`], but after everything queued before: what is written to disk is written in
    /// the order it was asked for.
    pub fn queue<R: Send + 'static>(
        &self,
        whose: For,
        work: impl FnOnce() -> Result<R, String> + Send + 'static,
        answer: impl FnOnce(&mut S, Result<R, String>) + Send + 'static,
    ) {
        self.crew.queue(self.piece(whose, work, answer));
    }

    fn piece<R: Send + 'static>(
        &self,
        whose: For,
        work: impl FnOnce() -> Result<R, String> + Send + 'static,
        answer: impl FnOnce(&mut S, Result<R, String>) + Send + 'static,
    ) -> Work {
        let (sender, wake) = (self.sender.clone(), Arc::clone(&self.wake));
        let take_in: TakeIn<S, R> = Box::new(answer);
        let mut reply = Reply { whose, sender, wake, take_in: Some(take_in) };
        Box::new(move || {
            let result = catch_unwind(AssertUnwindSafe(work)).unwrap_or_else(|reason| {
                let reason = reason
                    .downcast_ref::<String>()
                    .map(String::as_str)
                    .or_else(|| reason.downcast_ref::<&str>().copied())
                    .unwrap_or("unknown reason");
                Err(format!("an internal fault: {reason}"))
            });
            reply.send(result);
        })
    }

    /// Wakes the window when a job has news before its answer.
    pub fn waker(&self) -> Waker {
        Arc::clone(&self.wake)
    }

    /// The next answer for the program or the open document. An answer for any other document is
    /// dropped here, and nowhere else.
    pub fn next(&self, open: DocumentId) -> Option<Answer<S>> {
        let meant = |whose: For| whose == For::Program || whose == For::Document(open);
        self.receiver.try_iter().find(|(whose, _)| meant(*whose)).map(|(_, answer)| answer)
    }

    /// Waits until everything queued is done.
    pub fn finish(&self) {
        self.crew.finish();
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::sync::atomic::{AtomicUsize, Ordering};
    use std::time::{Duration, Instant};

    /// Hears what jobs answer.
    #[derive(Default)]
    struct Ear(Vec<Result<u32, String>>);

    impl Host for Ear {
        fn complain(&mut self, text: String) {
            self.0.push(Err(text));
        }
    }

    fn hear(ear: &mut Ear, result: Result<u32, String>) {
        ear.0.push(result);
    }

    fn collect(jobs: &Jobs<Ear>, open: DocumentId) -> Vec<Result<u32, String>> {
        let mut ear = Ear::default();
        while let Some(answer) = jobs.next(open) {
            answer(&mut ear);
        }
        ear.0
    }

    #[test]
    fn a_job_that_breaks_down_still_answers() {
        let woken = Arc::new(AtomicUsize::new(0));
        let count = Arc::clone(&woken);
        let jobs = Jobs::threaded(Arc::new(move || {
            count.fetch_add(1, Ordering::SeqCst);
        }));
        jobs.start(For::Program, "test", || panic!("boom"), hear);
        let (start, open) = (Instant::now(), DocumentId::fresh());
        let answer = loop {
            if let Some(answer) = collect(&jobs, open).pop() {
                break answer;
            }
            assert!(start.elapsed() < Duration::from_secs(10), "no answer");
            std::thread::sleep(Duration::from_millis(1));
        };
        assert!(answer.unwrap_err().contains("boom"));
        assert_eq!(woken.load(Ordering::SeqCst), 1);
    }

    #[test]
    fn work_that_cannot_be_started_answers_with_a_failure() {
        struct Nobody;
        impl Crew for Nobody {
            fn start(&self, _: &str, work: Work) {
                drop(work);
            }
            fn queue(&self, work: Work) {
                drop(work);
            }
        }
        let jobs = Jobs::with_crew(Box::new(Nobody), Arc::new(|| {}));
        jobs.start(For::Program, "test", || Ok(1), hear);
        jobs.queue(For::Program, || Ok(2), hear);
        let answers = collect(&jobs, DocumentId::fresh());
        assert_eq!(answers.len(), 2);
        assert!(answers.iter().all(|answer| answer.as_ref().is_err_and(|e| e.contains("try again"))));
    }

    #[test]
    fn answers_for_another_document_are_dropped() {
        let jobs = Jobs::inline();
        let (one, two) = (DocumentId::fresh(), DocumentId::fresh());
        assert_ne!(one, two);
        for (whose, number) in [(For::Document(one), 1), (For::Document(two), 2), (For::Program, 3)] {
            jobs.start(whose, "test", move || Ok(number), hear);
        }
        assert_eq!(collect(&jobs, two), [Ok(2), Ok(3)]);
    }

    #[test]
    fn queued_work_is_done_in_order_and_waited_for() {
        let jobs = Jobs::<Ear>::threaded(Arc::new(|| {}));
        for number in 0..50 {
            let pause = Duration::from_micros(u64::from(number % 7) * 100);
            let work = move || {
                std::thread::sleep(pause);
                Ok(number)
            };
            jobs.queue(For::Program, work, hear);
        }
        jobs.finish();
        let expected: Vec<_> = (0..50).map(Ok).collect();
        assert_eq!(collect(&jobs, DocumentId::fresh()), expected);
    }
}
