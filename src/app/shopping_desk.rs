//! The yarn to buy, worked out on a thread and kept by revision.

use std::sync::Arc;

use super::state::{Answer, State};
use crate::knit::pieces::YarnChange;
use crate::project::shopping::Shopping;

/// What was asked for: the revision of the document and the change that is tried out.
pub type ShoppingKey = (u64, Option<YarnChange>);

/// The newest yarn figures of the pieces.
#[derive(Default)]
pub struct ShoppingDesk {
    /// The figures, or why the pieces cannot be worked, and what they were asked for.
    pub found: Option<(ShoppingKey, Result<Arc<Shopping>, String>)>,
    running: bool,
}

impl ShoppingDesk {
    /// Whether the figures are those asked for.
    pub fn answers(&self, key: ShoppingKey) -> bool {
        self.found.as_ref().is_some_and(|(found, _)| *found == key)
    }

    /// Forgets the figures of a project that is no longer open.
    pub(super) fn clear(&mut self) {
        self.found = None;
    }
}

/// Works the figures out unless they are there or on their way. One runs at a time; the window asks
/// again when what it has is not what it wants.
pub(super) fn work_out(state: &mut State, change: Option<YarnChange>) {
    let key = (state.document.revision(), change);
    if state.shopping.running || state.shopping.answers(key) {
        return;
    }
    state.shopping.running = true;
    let project = Arc::clone(state.document.project());
    state.jobs.start(
        "shopping",
        move || {
            let found = Shopping::of(&project, None, change);
            Answer::Shopping(key, found.map(Arc::new).map_err(|error| error.to_string()))
        },
        move |reason| Answer::Shopping(key, Err(reason)),
    );
}

/// Takes in the figures.
pub(super) fn take(state: &mut State, key: ShoppingKey, found: Result<Arc<Shopping>, String>) {
    state.shopping.running = false;
    state.shopping.found = Some((key, found));
}
