//! Copies of unsaved work, offered again after a crash.
//!
//! Each open window keeps at most one copy, an ordinary project file whose first line names the
//! project it belongs to. A lock held for the life of the window tells the copies of windows that
//! are still open from those that were left behind.

use std::fs::{self, File};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use super::{FileError, Problem, store, to_string};
use crate::project::Project;

const FOLDER: &str = "recovery";
const LOCK: &str = "lock";
const COPY: &str = "ron";
/// What the first line of a copy begins with; the path follows as a JSON string.
const ORIGIN: &str = "// Unsaved work on ";

/// One window's place for its copy.
#[derive(Debug)]
pub struct Keeper {
    copy: PathBuf,
    lock_path: PathBuf,
    /// Held, never read: the system lets go of it when the program ends, however it ends.
    _lock: File,
}

impl Keeper {
    /// Takes a place in the recovery folder of `config_dir`.
    ///
    /// # Errors
    /// [`FileError`] when the folder cannot be made or written.
    pub fn begin(config_dir: &Path) -> Result<Self, FileError> {
        let folder = config_dir.join(FOLDER);
        store::make_folder(&folder)?;
        let failed = |error: &std::io::Error| FileError::writing(&folder, error);
        let suffix = format!(".{LOCK}");
        let lock = tempfile::Builder::new().prefix("work-").suffix(&suffix).tempfile_in(&folder);
        let (lock, lock_path) = lock.map_err(|e| failed(&e))?.keep().map_err(|e| failed(&e.error))?;
        lock.lock().map_err(|e| failed(&e))?;
        Ok(Self { copy: lock_path.with_extension(COPY), lock_path, _lock: lock })
    }

    /// Keeps a copy of `project`; `original` is its file, when it has one.
    ///
    /// # Errors
    /// [`FileError`] when it cannot be written; the copy before stays.
    pub fn keep(&self, project: &Project, original: Option<&Path>) -> Result<(), FileError> {
        let text = copy_text(project, original).map_err(|problem| FileError::new(&self.copy, problem))?;
        store::write_text(&self.copy, &text)
    }

    /// Drops the copy, because the work was saved or given up.
    pub fn discard(&self) {
        // A copy that is not there is as good as dropped.
        let _ = fs::remove_file(&self.copy);
    }
}

impl Drop for Keeper {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.lock_path);
    }
}

/// Unsaved work that a window left behind.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LeftBehind {
    /// The copy.
    pub copy: PathBuf,
    /// The project file it belongs to; `None` when it had never been saved.
    pub original: Option<PathBuf>,
    /// When the copy was made.
    pub kept_at: SystemTime,
}

impl LeftBehind {
    /// Reads the unsaved project.
    ///
    /// # Errors
    /// [`FileError`] when the copy is damaged.
    pub fn load(&self) -> Result<Project, FileError> {
        super::load(&self.copy)
    }

    /// Drops the copy.
    pub fn discard(&self) {
        let _ = fs::remove_file(&self.copy);
        let _ = fs::remove_file(self.copy.with_extension(LOCK));
    }
}

/// The copies in `config_dir` whose windows are gone, the newest first.
pub fn left_behind(config_dir: &Path) -> Vec<LeftBehind> {
    let Ok(entries) = fs::read_dir(config_dir.join(FOLDER)) else { return Vec::new() };
    let copies = entries.filter_map(|entry| entry.ok().map(|entry| entry.path()));
    let copies = copies.filter(|path| path.extension().is_some_and(|kind| kind == COPY));
    let mut found: Vec<LeftBehind> = copies
        .filter(|copy| !is_open(&copy.with_extension(LOCK)))
        .filter_map(|copy| {
            let kept_at = fs::metadata(&copy).ok()?.modified().ok()?;
            let text = store::read_text(&copy).ok()?;
            Some(LeftBehind { original: origin(&text), copy, kept_at })
        })
        .collect();
    found.sort_by_key(|work| std::cmp::Reverse(work.kept_at));
    found
}

/// Whether some window still holds this lock.
fn is_open(lock: &Path) -> bool {
    // Opening a pipe would wait for a writer that may never come.
    if !fs::metadata(lock).is_ok_and(|kind| kind.is_file()) {
        return false;
    }
    match File::open(lock) {
        Ok(file) => matches!(file.try_lock(), Err(fs::TryLockError::WouldBlock)),
        Err(_) => false,
    }
}

fn copy_text(project: &Project, original: Option<&Path>) -> Result<String, Problem> {
    let path = original.map(|path| path.display().to_string()).unwrap_or_default();
    // JSON keeps a line break in a path from ending the comment.
    Ok(format!("{ORIGIN}{}\n{}", serde_json::Value::from(path), to_string(project)?))
}

fn origin(text: &str) -> Option<PathBuf> {
    let quoted = text.lines().next()?.strip_prefix(ORIGIN)?;
    let path: String = serde_json::from_str(quoted).ok()?;
    (!path.is_empty()).then(|| PathBuf::from(path))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::file::{demos, from_str};

    #[test]
    fn work_is_offered_only_once_its_window_is_gone() {
        let dir = tempfile::tempdir().unwrap();
        let project = demos()[0].project().unwrap();
        let keeper = Keeper::begin(dir.path()).unwrap();
        assert_eq!(left_behind(dir.path()), []);
        keeper.keep(&project, Some(Path::new("yarns/a\nb.ron"))).unwrap();
        assert_eq!(left_behind(dir.path()), [], "its window is still open");
        drop(keeper);
        let found = left_behind(dir.path());
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].original.as_deref(), Some(Path::new("yarns/a\nb.ron")));
        assert_eq!(found[0].load().unwrap(), project);
        found[0].discard();
        assert_eq!(left_behind(dir.path()), []);
    }

    #[test]
    fn saved_work_leaves_nothing_behind() {
        let dir = tempfile::tempdir().unwrap();
        let keeper = Keeper::begin(dir.path()).unwrap();
        keeper.keep(&demos()[0].project().unwrap(), None).unwrap();
        keeper.discard();
        drop(keeper);
        assert_eq!(left_behind(dir.path()), []);
        assert_eq!(fs::read_dir(dir.path().join(FOLDER)).unwrap().count(), 0);
    }

    #[test]
    fn a_copy_without_a_name_is_still_offered() {
        let project = demos()[0].project().unwrap();
        let text = copy_text(&project, None).unwrap();
        assert_eq!(origin(&text), None);
        assert_eq!(from_str(&text, "copy").unwrap(), project);
    }
}
