//! Files that others may write too: has another program written this one, has another window it open?

use std::fs::{self, File};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};

use super::{FileError, from_str, store, to_string};
use crate::project::Project;

const FOLDER: &str = "open";

/// What lay in a file, to tell whether it was written since; only for this run.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Fingerprint(u64);

impl Fingerprint {
    fn of(text: &str) -> Self {
        let mut hasher = DefaultHasher::new();
        text.hash(&mut hasher);
        Self(hasher.finish())
    }
}

/// Reads a project and notes what lay in the file.
///
/// # Errors
/// As [`super::load`].
pub fn load_noting(path: &Path) -> Result<(Project, Fingerprint), FileError> {
    let text = store::read_text(path)?;
    Ok((from_str(&text, &path.display().to_string())?, Fingerprint::of(&text)))
}

/// What came of a save.
#[derive(Clone, Debug, PartialEq)]
pub enum Saved {
    /// The project lies in the file.
    Written(Fingerprint),
    /// Another program has written the file: nothing was overwritten. The project that lies there now,
    /// when it is one.
    Changed(Option<Box<Project>>),
}

/// Writes a project unless the file holds something else than `known`; with `None` whatever it holds. A
/// file that is gone is written anew.
///
/// # Errors
/// As [`super::save_atomic`].
pub fn save_unless_changed(
    path: &Path,
    project: &Project,
    known: Option<Fingerprint>,
) -> Result<Saved, FileError> {
    let text = to_string(project).map_err(|problem| FileError::new(path, problem))?;
    let mark = Fingerprint::of(&text);
    if let Some(known) = known
        && path.exists()
    {
        let now = store::read_text(path);
        // What is already there, by whomever, is no loss.
        if now.as_ref().is_ok_and(|now| Fingerprint::of(now) == mark) {
            return Ok(Saved::Written(mark));
        }
        if !now.as_ref().is_ok_and(|now| Fingerprint::of(now) == known) {
            let theirs = now.and_then(|now| from_str(&now, &path.display().to_string()));
            return Ok(Saved::Changed(theirs.ok().map(Box::new)));
        }
    }
    store::write_text(path, &text)?;
    Ok(Saved::Written(mark))
}

/// The claim of one window on a project file; the system lets go of it when the program ends, however it
/// ends.
#[derive(Debug)]
pub struct Claim {
    path: PathBuf,
    /// Held, never read.
    _lock: File,
}

impl Claim {
    /// Claims a project file for this window; `None` when another window has it. The lock lies in
    /// `config_dir`, not beside the project.
    ///
    /// # Errors
    /// [`FileError`] when no lock can be made.
    pub fn take(config_dir: &Path, project: &Path) -> Result<Option<Self>, FileError> {
        let folder = config_dir.join(FOLDER);
        store::make_folder(&folder)?;
        let project = fs::canonicalize(project).unwrap_or_else(|_| project.to_owned());
        let mut hasher = DefaultHasher::new();
        project.hash(&mut hasher);
        let path = folder.join(format!("{:016x}.lock", hasher.finish()));
        let failed = |error: &std::io::Error| FileError::writing(&path, error);
        let lock = File::options().create(true).truncate(false).write(true).open(&path);
        let lock = lock.map_err(|e| failed(&e))?;
        match lock.try_lock() {
            Ok(()) => Ok(Some(Self { path, _lock: lock })),
            Err(fs::TryLockError::WouldBlock) => Ok(None),
            Err(fs::TryLockError::Error(error)) => Err(failed(&error)),
        }
    }
}

impl Drop for Claim {
    fn drop(&mut self) {
        let _ = fs::remove_file(&self.path);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_another_program_wrote_is_not_overwritten() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a.ron");
        let titled = |title: &str| Project { title: title.to_owned(), ..Project::default() };
        let Saved::Written(first) = save_unless_changed(&path, &titled("One"), None).unwrap() else {
            panic!("nothing was there");
        };
        assert_eq!(load_noting(&path).unwrap(), (titled("One"), first));
        super::super::save_atomic(&path, &titled("Theirs")).unwrap();
        let kept = save_unless_changed(&path, &titled("Two"), Some(first)).unwrap();
        assert_eq!(kept, Saved::Changed(Some(Box::new(titled("Theirs")))));
        assert_eq!(super::super::load(&path).unwrap(), titled("Theirs"));
        // The same again, or asked for in spite of it, is written.
        assert!(matches!(save_unless_changed(&path, &titled("Theirs"), Some(first)), Ok(Saved::Written(_))));
        assert!(matches!(save_unless_changed(&path, &titled("Two"), None), Ok(Saved::Written(_))));
        fs::write(&path, "spoilt").unwrap();
        assert_eq!(save_unless_changed(&path, &titled("Two"), Some(first)).unwrap(), Saved::Changed(None));
        fs::remove_file(&path).unwrap();
        assert!(matches!(save_unless_changed(&path, &titled("Two"), Some(first)), Ok(Saved::Written(_))));
    }

    #[test]
    fn a_file_is_claimed_by_one_window_until_it_lets_go() {
        let dir = tempfile::tempdir().unwrap();
        let (one, two) = (dir.path().join("a.ron"), dir.path().join("b.ron"));
        let claim = Claim::take(dir.path(), &one).unwrap().unwrap();
        assert!(Claim::take(dir.path(), &one).unwrap().is_none());
        assert!(Claim::take(dir.path(), &two).unwrap().is_some());
        drop(claim);
        assert!(Claim::take(dir.path(), &one).unwrap().is_some());
        assert_eq!(fs::read_dir(dir.path().join(FOLDER)).unwrap().count(), 0, "nothing is left lying");
    }
}
