//! Where the program remembers things between runs.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::file::recent::{self, Settings};
use crate::file::recovery::{self, Keeper, LeftBehind};

/// Where the program remembers things between runs; nowhere in tests and where the system names no
/// folder for settings.
#[derive(Clone, Debug, Default)]
pub struct Home {
    dir: Option<PathBuf>,
    /// Where this window's unsaved work is kept.
    keeper: Option<Arc<Keeper>>,
}

impl Home {
    /// The system's folder for settings.
    pub fn of_system() -> Self {
        Self::at(recent::config_dir())
    }

    /// A folder of one's own.
    pub fn at(dir: Option<PathBuf>) -> Self {
        let begin = |dir: &PathBuf| {
            Keeper::begin(dir).map_err(|error| log::warn!("unsaved work cannot be kept: {error}")).ok()
        };
        let keeper = dir.as_ref().and_then(begin).map(Arc::new);
        Self { dir, keeper }
    }

    /// What was remembered.
    pub fn settings(&self) -> Settings {
        self.dir.as_deref().map(Settings::load).unwrap_or_default()
    }

    /// Unsaved work of a window that did not close in the usual way; the newest.
    pub fn left_behind(&self) -> Option<LeftBehind> {
        recovery::left_behind(self.dir.as_deref()?).into_iter().next()
    }

    pub(super) fn dir(&self) -> Option<&Path> {
        self.dir.as_deref()
    }

    pub(super) const fn keeper(&self) -> Option<&Arc<Keeper>> {
        self.keeper.as_ref()
    }
}
