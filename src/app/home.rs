//! Where the program remembers things between runs.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::own_yarns::OwnYarns;
use crate::file::recent::{self, Settings};
use crate::file::recovery::{self, Keeper, LeftBehind};

/// Where the program remembers things between runs; nowhere in tests and where the system names no
/// folder for settings.
#[derive(Clone, Debug, Default)]
pub struct Home {
    dir: Option<PathBuf>,
    /// Where this window's unsaved work is kept, or why it cannot be.
    keeper: Option<Result<Arc<Keeper>, String>>,
}

impl Home {
    /// The system's folder for settings.
    pub fn of_system() -> Self {
        match recent::config_dir() {
            Some(dir) => Self::at(dir),
            None => Self {
                dir: None,
                keeper: Some(Err(
                    "the system names no folder for settings: set HUEGAUGE_CONFIG_DIR".to_owned()
                )),
            },
        }
    }

    /// A folder of one's own.
    pub fn at(dir: PathBuf) -> Self {
        let keeper = Keeper::begin(&dir).map(Arc::new).map_err(|error| error.to_string());
        Self { dir: Some(dir), keeper: Some(keeper) }
    }

    /// What was remembered.
    pub fn settings(&self) -> Settings {
        self.dir.as_deref().map(Settings::load).unwrap_or_default()
    }

    /// The yarns kept across projects.
    pub fn own_yarns(&self) -> OwnYarns {
        OwnYarns::kept_in(self.dir.as_deref())
    }

    /// Unsaved work of windows that did not close in the usual way, the newest first.
    pub fn left_behind(&self) -> Vec<LeftBehind> {
        self.dir.as_deref().map(recovery::left_behind).unwrap_or_default()
    }

    pub(super) fn dir(&self) -> Option<&Path> {
        self.dir.as_deref()
    }

    pub(super) fn keeper(&self) -> Option<&Arc<Keeper>> {
        self.keeper.as_ref()?.as_ref().ok()
    }

    /// Why unsaved work cannot be kept, if it cannot.
    pub(super) fn why_not_kept(&self) -> Option<&str> {
        self.keeper.as_ref()?.as_ref().err().map(String::as_str)
    }
}
