//! Files that others may write too: has another program written this one, has another window it open?

use std::fs::{self, File};
use std::hash::{DefaultHasher, Hash, Hasher};
use std::path::{Path, PathBuf};
use std::time::SystemTime;

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

/// How a file looks from outside: told without reading it, so that it can be asked for on the window's
/// thread.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Glance {
    length: u64,
    written: Option<SystemTime>,
    /// Which file it is where the system numbers them: one put in its place is another.
    number: u64,
}

impl Glance {
    /// A look at what lies at `path`; `None` where nothing does.
    pub fn at(path: &Path) -> Option<Self> {
        let about = fs::metadata(path).ok()?;
        #[cfg(unix)]
        let number = std::os::unix::fs::MetadataExt::ino(&about);
        #[cfg(not(unix))]
        let number = 0;
        Some(Self { length: about.len(), written: about.modified().ok(), number })
    }
}

/// What whoever saves knows to lie in the file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Expected {
    /// What this window read there or wrote.
    Text(Fingerprint),
    /// What was seen there when the person chose it, or nothing.
    Seen(Option<Glance>),
}

/// Reads a project and notes what lay in the file.
///
/// # Errors
/// As [`super::load`].
pub fn load_noting(path: &Path) -> Result<(Project, Fingerprint), FileError> {
    let text = store::read_text(path)?;
    Ok((from_str(&text, &path.display().to_string())?, Fingerprint::of(&text)))
}

/// Whether a file holds something else than is known to lie in it; a file that is gone or cannot be read holds nothing.
pub fn was_changed(path: &Path, known: Expected) -> bool {
    match known {
        Expected::Text(mark) => store::read_text(path).is_ok_and(|text| Fingerprint::of(&text) != mark),
        Expected::Seen(seen) => Glance::at(path).is_some_and(|now| Some(now) != seen),
    }
}

/// What came of a save.
#[derive(Clone, Debug, PartialEq)]
pub enum Saved {
    /// The project lies in the file.
    Written(Fingerprint),
    /// Another program has written the file: nothing was overwritten.
    Changed {
        /// The project that lies there now, when it is one.
        theirs: Option<Box<Project>>,
        /// What lies there now.
        found: Expected,
    },
}

/// Writes a project unless the file holds something that is none of `expected`; with nothing expected
/// whatever it holds. A file that is gone is written anew.
///
/// # Errors
/// As [`super::save_atomic`].
pub fn save_unless_changed(
    path: &Path,
    project: &Project,
    expected: &[Expected],
) -> Result<Saved, FileError> {
    let text = to_string(project).map_err(|problem| FileError::new(path, problem))?;
    let mark = Fingerprint::of(&text);
    if let (false, Some(glance)) = (expected.is_empty(), Glance::at(path)) {
        let now = store::read_text(path);
        let lies_there = now.as_ref().ok().map(|now| Fingerprint::of(now));
        // What is already there, by whomever, is no loss.
        if lies_there == Some(mark) {
            return Ok(Saved::Written(mark));
        }
        let is_expected = |expected: &Expected| match *expected {
            Expected::Text(known) => lies_there == Some(known),
            Expected::Seen(seen) => seen == Some(glance),
        };
        if !expected.iter().any(is_expected) {
            let theirs = now.and_then(|now| from_str(&now, &path.display().to_string())).ok().map(Box::new);
            let found = lies_there.map_or(Expected::Seen(Some(glance)), Expected::Text);
            return Ok(Saved::Changed { theirs, found });
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
        let Saved::Written(first) = save_unless_changed(&path, &titled("One"), &[]).unwrap() else {
            panic!("nothing was there");
        };
        assert_eq!(load_noting(&path).unwrap(), (titled("One"), first));
        super::super::save_atomic(&path, &titled("Theirs")).unwrap();
        let first = &[Expected::Text(first)];
        let kept = save_unless_changed(&path, &titled("Two"), first).unwrap();
        let Saved::Changed { theirs, found } = kept else { panic!("it was overwritten") };
        assert_eq!(theirs, Some(Box::new(titled("Theirs"))));
        assert_eq!(super::super::load(&path).unwrap(), titled("Theirs"));
        // The same again, or asked for in spite of it, is written.
        assert!(matches!(save_unless_changed(&path, &titled("Theirs"), first), Ok(Saved::Written(_))));
        assert!(matches!(save_unless_changed(&path, &titled("Two"), &[found]), Ok(Saved::Written(_))));
        fs::write(&path, "spoilt").unwrap();
        let kept = save_unless_changed(&path, &titled("Two"), first).unwrap();
        assert!(matches!(kept, Saved::Changed { theirs: None, .. }));
        fs::remove_file(&path).unwrap();
        assert!(matches!(save_unless_changed(&path, &titled("Two"), first), Ok(Saved::Written(_))));
    }

    #[test]
    fn a_file_chosen_by_name_is_replaced_as_it_was_then_only() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("a.ron");
        let titled = |title: &str| Project { title: title.to_owned(), ..Project::default() };
        let save = |seen| save_unless_changed(&path, &titled("Mine"), &[Expected::Seen(seen)]).unwrap();
        let nothing = Glance::at(&path);
        super::super::save_atomic(&path, &titled("Theirs")).unwrap();
        assert!(
            matches!(save(nothing), Saved::Changed { theirs: Some(_), .. }),
            "it was not there when it was chosen"
        );
        let theirs = Glance::at(&path);
        // As long as before and of the same moment, but another file.
        super::super::save_atomic(&path, &titled("Others")).unwrap();
        assert!(matches!(save(theirs), Saved::Changed { theirs: Some(_), .. }));
        assert!(matches!(save(Glance::at(&path)), Saved::Written(_)));
        fs::write(&path, [0xff; 9]).unwrap();
        let Saved::Changed { theirs: None, found } = save(nothing) else {
            panic!("no text is no reason to replace it")
        };
        assert_eq!(found, Expected::Seen(Glance::at(&path)));
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
