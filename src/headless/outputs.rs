//! Whether the files a command will write are files of their own.

use std::ffi::OsString;
use std::path::{Path, PathBuf};

use super::error::CommandError;

/// Which file a path leads to: two paths with an equal identity are one file.
#[derive(Debug, PartialEq, Eq)]
enum Identity {
    /// A file that is there, by device and number; hard links and folders without capitals included.
    #[cfg(unix)]
    There(u64, u64),
    /// A file that is not there yet, by its real folder and its name.
    ToBe(PathBuf, Option<OsString>),
}

impl Identity {
    fn of(path: &Path) -> Self {
        let real = path.canonicalize();
        #[cfg(unix)]
        if let Ok(kind) = std::fs::metadata(path) {
            use std::os::unix::fs::MetadataExt;
            return Self::There(kind.dev(), kind.ino());
        }
        // `a.png`, `./a.png` and `b/../a.png` lie in one folder. Where capitals make no difference two
        // names that differ in them would be one file, and nothing tells before it is written: we
        // cannot know, so they count as one.
        let path = real.unwrap_or_else(|_| path.to_owned());
        let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
        let folder = folder.canonicalize().unwrap_or_else(|_| folder.to_owned());
        Self::ToBe(folder, path.file_name().map(|name| name.to_string_lossy().to_lowercase().into()))
    }
}

/// Whether two paths lead to one file.
pub(super) fn are_one(a: &Path, b: &Path) -> bool {
    Identity::of(a) == Identity::of(b)
}

/// Refuses outputs that are none, lead to the project or lead to one file twice.
pub(super) fn check<'a>(project: &Path, outputs: impl Iterator<Item = &'a Path>) -> Result<(), CommandError> {
    let own = Identity::of(project);
    let mut seen: Vec<(Identity, &Path)> = Vec::new();
    for path in outputs {
        let identity = Identity::of(path);
        if identity == own {
            let what = format!("{} is the project itself: choose another output", path.display());
            return Err(CommandError::Entry(what));
        }
        if let Some((_, earlier)) = seen.iter().find(|(other, _)| *other == identity) {
            let both = if *earlier == path {
                String::new()
            } else {
                format!(", the other time as {}", earlier.display())
            };
            let what = format!("{} is named for two outputs{both}: choose two files", path.display());
            return Err(CommandError::Entry(what));
        }
        seen.push((identity, path));
    }
    if seen.is_empty() {
        return Err(CommandError::entry("export needs an output: name one, for instance --chart OUT.png"));
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn refused(outputs: &[PathBuf], project: &Path) -> Option<String> {
        check(project, outputs.iter().map(PathBuf::as_path)).err().map(|error| error.to_string())
    }

    #[test]
    fn one_file_under_two_names_is_refused_whether_it_is_there_or_not() {
        let dir = tempfile::tempdir().unwrap();
        let at = |name: &str| dir.path().join(name);
        let project = at("p.ron");
        std::fs::write(&project, "").unwrap();
        std::fs::create_dir(at("b")).unwrap();
        for other in ["./a.png", "b/../a.png", "A.png", "a.png"] {
            let message = refused(&[at("a.png"), at(other)], &project).unwrap();
            assert!(message.contains("named for two outputs"), "{other}: {message}");
        }
        assert_eq!(refused(&[at("a.png"), at("b/a.png")], &project), None);
        #[cfg(unix)]
        {
            std::fs::write(at("there.png"), "x").unwrap();
            std::fs::hard_link(at("there.png"), at("hard.png")).unwrap();
            std::os::unix::fs::symlink(at("there.png"), at("soft.png")).unwrap();
            std::os::unix::fs::symlink(at("p.ron"), at("project.png")).unwrap();
            for other in ["hard.png", "soft.png"] {
                assert!(refused(&[at("there.png"), at(other)], &project).is_some(), "{other}");
            }
            assert!(refused(&[at("project.png")], &project).unwrap().contains("project itself"));
        }
    }
}
