//! How far the copy of unsaved work is behind, and work that was left behind.

use std::sync::Arc;
use std::time::{Instant, SystemTime};

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
    /// When the copy was made: how long ago, and day and time here.
    pub kept_when: String,
    /// When the file was last written, likewise.
    pub saved_when: Option<String>,
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
        let (kept_when, saved_when) = (when(work.kept_at), work.saved_at.map(when));
        Self { work, kept_when, saved_when, kept, saved, differs }
    }
}

/// `12 minutes ago (Thursday 26 November 2026, 13:45)`: how long ago that was, and what clock and calendar said here.
fn when(time: SystemTime) -> String {
    let ago = ago(time);
    match jiff::Timestamp::try_from(time) {
        Ok(moment) => {
            let here = moment.to_zoned_datetime(jiff::tz::TimeZone::system());
            format!("{ago} ({})", here.strftime("%A %-d %B %Y, %H:%M"))
        }
        Err(_) => ago,
    }
}

fn ago(time: SystemTime) -> String {
    let minutes = time.elapsed().map_or(0, |elapsed| elapsed.as_secs() / 60);
    match minutes {
        0 => "less than a minute ago".to_owned(),
        1 => "a minute ago".to_owned(),
        2..=119 => format!("{minutes} minutes ago"),
        120..=2879 => format!("{} hours ago", minutes / 60),
        _ => format!("{} days ago", minutes / 1440),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::time::Duration;

    #[test]
    fn a_time_is_told_by_how_long_ago_and_by_clock_and_calendar() {
        let told = when(SystemTime::now() - Duration::from_secs(3 * 3600 + 5));
        assert!(told.starts_with("3 hours ago ("), "{told}");
        let clock = told.trim_end_matches(')').rsplit(", ").next().unwrap();
        assert!(clock.len() == 5 && clock.as_bytes()[2] == b':', "{told}");
        let year = when(SystemTime::UNIX_EPOCH + Duration::from_hours(24 * 200));
        assert!(year.contains("July 1970"), "{year}");
    }
}
