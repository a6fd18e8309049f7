//! Files that were being written when the program was killed.
//!
//! A file on its way to its name is locked for as long as it is written; the system lets go of the lock
//! when the process ends, however it ends. So one that nobody holds was left behind, and whoever next
//! writes to that folder takes it away.

use std::collections::HashSet;
use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};
use std::time::Duration;

/// What the names of files on their way begin and end with.
pub(super) const PREFIX: &str = ".huegauge-";
/// See [`PREFIX`].
pub(super) const SUFFIX: &str = ".part";

/// A file this young may belong to someone who has made it and not locked it yet.
const TOO_YOUNG: Duration = Duration::from_secs(10);

/// Folders that were looked through by this process.
static SEEN: Mutex<Option<HashSet<PathBuf>>> = Mutex::new(None);

/// Takes away what killed processes left in a folder; looks once.
pub(super) fn clear_once(folder: &Path) {
    let mut seen = SEEN.lock().unwrap_or_else(PoisonError::into_inner);
    let new = seen.get_or_insert_default().insert(folder.to_owned());
    drop(seen);
    if new {
        clear(folder, TOO_YOUNG);
    }
}

/// Takes away the files in a folder that nobody is writing and that are older than this.
fn clear(folder: &Path, young: Duration) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for entry in entries.flatten() {
        let name = entry.file_name();
        let name = name.to_string_lossy();
        let ours = name.starts_with(PREFIX) && name.ends_with(SUFFIX);
        // Of the link itself: we make none, and a pipe would keep us waiting.
        let Some(kind) = entry.metadata().ok().filter(|kind| ours && kind.is_file()) else { continue };
        let age = kind.modified().ok().and_then(|at| at.elapsed().ok()).unwrap_or_default();
        if age >= young && is_nobodys(&entry.path()) {
            // One that cannot be taken away harms nobody.
            let _ = fs::remove_file(entry.path());
        }
    }
}

fn is_nobodys(path: &Path) -> bool {
    File::options().write(true).open(path).is_ok_and(|file| file.try_lock().is_ok())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_nobody_writes_is_taken_away() {
        let dir = tempfile::tempdir().unwrap();
        let at = |name: &str| dir.path().join(name);
        for name in [".huegauge-left.part", ".huegauge-held.part", "mine.part", ".huegauge-notes.ron"] {
            fs::write(at(name), "x").unwrap();
        }
        let held = File::options().write(true).open(at(".huegauge-held.part")).unwrap();
        held.lock().unwrap();
        clear(dir.path(), TOO_YOUNG);
        assert!(at(".huegauge-left.part").exists(), "it may just have been made");
        clear(dir.path(), Duration::ZERO);
        assert!(!at(".huegauge-left.part").exists());
        for name in [".huegauge-held.part", "mine.part", ".huegauge-notes.ron"] {
            assert!(at(name).exists(), "{name}");
        }
        drop(held);
        clear(dir.path(), Duration::ZERO);
        assert!(!at(".huegauge-held.part").exists());
    }
}
