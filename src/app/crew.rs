//! Who carries background work out: threads in the program, the caller itself in most tests.

use std::sync::mpsc::{Sender, channel};
use std::sync::{Mutex, PoisonError};
use std::thread::{Builder, JoinHandle};

/// A piece of work. Dropped without having run it answers with a failure (see [`super::jobs`]), so a
/// crew that cannot carry it out lets it drop.
pub type Work = Box<dyn FnOnce() + Send>;

/// Carries out work in two ways: side by side, and one after another in the order it was given.
pub trait Crew {
    /// Begins work beside all other; `name` is for those who look at the running program.
    fn start(&self, name: &str, work: Work);

    /// Puts work behind all that was queued before it.
    fn queue(&self, work: Work);

    /// Waits until everything queued is done.
    fn finish(&self) {}
}

/// A thread for each piece of work, and one for what is queued.
#[derive(Default)]
pub struct Threads {
    queue: Mutex<Option<Queue>>,
}

struct Queue {
    sender: Sender<Work>,
    thread: JoinHandle<()>,
}

impl Queue {
    fn begin() -> Option<Self> {
        let (sender, receiver) = channel::<Work>();
        let work = move || receiver.into_iter().for_each(|work| work());
        match Builder::new().name("writer".to_owned()).spawn(work) {
            Ok(thread) => Some(Self { sender, thread }),
            Err(error) => {
                log::error!("cannot start the thread that writes: {error}");
                None
            }
        }
    }
}

impl Crew for Threads {
    fn start(&self, name: &str, work: Work) {
        if let Err(error) = Builder::new().name(name.to_owned()).spawn(work) {
            log::error!("cannot start the thread {name}: {error}");
        }
    }

    fn queue(&self, work: Work) {
        let mut queue = self.queue.lock().unwrap_or_else(PoisonError::into_inner);
        if queue.is_none() {
            *queue = Queue::begin();
        }
        if let Some(queue) = &*queue {
            // The thread lives as long as its sender, so this cannot fail.
            let _ = queue.sender.send(work);
        }
    }

    fn finish(&self) {
        let queue = self.queue.lock().unwrap_or_else(PoisonError::into_inner).take();
        if let Some(Queue { sender, thread }) = queue {
            drop(sender);
            let _ = thread.join();
        }
    }
}

impl Drop for Threads {
    fn drop(&mut self) {
        self.finish();
    }
}

/// Does all work in the caller, so that it is done when the call returns.
pub struct Inline;

impl Crew for Inline {
    fn start(&self, _name: &str, work: Work) {
        work();
    }

    fn queue(&self, work: Work) {
        work();
    }
}
