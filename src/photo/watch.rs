//! Progress and cancel for work that takes longer than a blink.

use super::error::PhotoError;
use std::sync::atomic::{AtomicBool, Ordering};

/// Lets the asker follow long work and stop it.
#[derive(Clone, Copy)]
pub struct Watch<'a> {
    cancel: &'a AtomicBool,
    progress: &'a (dyn Fn(f32) + Sync),
}

static NEVER: AtomicBool = AtomicBool::new(false);

impl<'a> Watch<'a> {
    /// Work that stops soon after `cancel` turns true and reports its progress (`0..=1`, rising,
    /// from any thread) to `progress`.
    pub const fn new(cancel: &'a AtomicBool, progress: &'a (dyn Fn(f32) + Sync)) -> Self {
        Self { cancel, progress }
    }

    /// Work that nobody follows or stops.
    pub const fn nobody() -> Watch<'static> {
        Watch { cancel: &NEVER, progress: &|_| {} }
    }

    /// The flag that stops the work, for a part of it that reports no progress.
    pub(super) const fn cancel_flag(&self) -> &'a AtomicBool {
        self.cancel
    }

    /// Reports progress, `0..=1`.
    pub fn report(&self, done: f32) {
        (self.progress)(done.clamp(0.0, 1.0));
    }

    /// Whether the work should stop.
    pub fn is_cancelled(&self) -> bool {
        self.cancel.load(Ordering::Relaxed)
    }

    /// Stops the work when the asker wants it.
    ///
    /// # Errors
    /// [`PhotoError::Cancelled`] once the cancel flag is set.
    pub fn check(&self) -> Result<(), PhotoError> {
        if self.is_cancelled() { Err(PhotoError::Cancelled) } else { Ok(()) }
    }
}
