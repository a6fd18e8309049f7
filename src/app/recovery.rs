//! How far the copy of unsaved work is behind, and work that was left behind.

use std::sync::Arc;
use std::time::Instant;

use super::document::Version;
use crate::file;
use crate::file::recovery::LeftBehind;
use crate::project::{Project, differences};

/// How far the copy is behind.
#[derive(Debug, Default)]
pub(super) struct Recovery {
    /// What the newest copy holds or will hold.
    pub(super) kept: Option<Version>,
    /// When work that it does not hold was first seen.
    pub(super) behind_since: Option<Instant>,
    /// A copy is being written.
    pub(super) running: bool,
    /// It has been said that this work cannot be kept.
    pub(super) told: bool,
}

/// Work that a window left behind, beside what lies in the file.
#[derive(Clone, Debug, PartialEq)]
pub struct Found {
    /// The copy.
    pub work: LeftBehind,
    /// The project in the copy, or why it cannot be read.
    pub kept: Result<Arc<Project>, String>,
    /// The project in the file, or why there is none.
    pub saved: Result<Arc<Project>, String>,
    /// In what the two differ, each a few words.
    pub differs: Vec<String>,
}

impl Found {
    /// Reads both; not for the window's thread.
    pub(super) fn read(work: LeftBehind) -> Self {
        let kept = work.load().map(|(project, _)| Arc::new(project)).map_err(|error| error.to_string());
        let saved = match &work.original {
            None => Err("It was never saved.".to_owned()),
            Some(path) if !path.exists() => Err("The file is no longer there.".to_owned()),
            Some(path) => file::load(path).map(Arc::new).map_err(|error| error.to_string()),
        };
        let differs = match (&kept, &saved) {
            (Ok(kept), Ok(saved)) => differences(kept, saved),
            _ => Vec::new(),
        };
        Self { work, kept, saved, differs }
    }
}
