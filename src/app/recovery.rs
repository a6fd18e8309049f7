//! How far the copy of unsaved work is behind.

use std::time::Instant;

use super::document::Version;

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
