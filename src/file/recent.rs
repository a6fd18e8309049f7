//! What the program remembers between runs: recent projects and the choices of the window.
//!
//! Kept in the platform's folder for settings; `HUEGAUGE_CONFIG_DIR` names another, for tests and
//! for several set-ups side by side. Losing the settings loses nothing that was made, so a
//! damaged file is replaced by the defaults.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use serde::{Deserialize, Serialize};

use super::{FileError, Problem, store};

/// How many recent projects are remembered.
pub const MAX_RECENT: usize = 12;
const FILE: &str = "settings.ron";

/// The folder for settings and recovery copies; `None` when the system names none.
pub fn config_dir() -> Option<PathBuf> {
    let chosen = std::env::var_os("HUEGAUGE_CONFIG_DIR").filter(|dir| !dir.is_empty());
    let usual = || directories::ProjectDirs::from("", "", "huegauge").map(|d| d.config_dir().to_owned());
    chosen.map(PathBuf::from).or_else(usual)
}

/// What is remembered between runs.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default)]
pub struct Settings {
    /// Recent projects, the newest first, at most [`MAX_RECENT`].
    recent: Vec<PathBuf>,
    /// Choices of the window by name (theme, folded columns, ...).
    choices: BTreeMap<String, String>,
}

impl Settings {
    /// Recent projects, the newest first.
    pub fn recent(&self) -> &[PathBuf] {
        &self.recent
    }

    /// Puts a project at the head of the list, by its absolute path: the next run may begin in
    /// another folder.
    pub fn opened(&mut self, path: &Path) {
        let path = absolute(path);
        self.recent.retain(|known| *known != path);
        self.recent.insert(0, path);
        self.recent.truncate(MAX_RECENT);
    }

    /// Takes a project out of the list, for instance because it is gone.
    pub fn forget(&mut self, path: &Path) {
        let path = absolute(path);
        self.recent.retain(|known| *known != path);
    }

    /// A choice of the window.
    pub fn choice(&self, name: &str) -> Option<&str> {
        self.choices.get(name).map(String::as_str)
    }

    /// Remembers a choice of the window.
    pub fn choose(&mut self, name: &str, value: &str) {
        self.choices.insert(name.to_owned(), value.to_owned());
    }

    /// The settings in `text`; the defaults when it is damaged.
    pub fn from_text(text: &str) -> Self {
        let mut settings: Self = ron::from_str(text).unwrap_or_default();
        settings.recent.truncate(MAX_RECENT);
        settings
    }

    /// The settings as text. A path that is not UTF-8 has no place in a text file and is remembered for
    /// this run only.
    ///
    /// # Errors
    /// [`Problem::Unwritten`] when they cannot be put into words.
    pub fn to_text(&self) -> Result<String, Problem> {
        let config = ron::ser::PrettyConfig::new().new_line("\n").indentor("  ");
        let mut written = self.clone();
        written.recent.retain(|path| path.to_str().is_some());
        ron::ser::to_string_pretty(&written, config).map_err(|error| Problem::Unwritten(error.to_string()))
    }

    /// The settings kept in `dir`; the defaults when there are none or they are damaged.
    pub fn load(dir: &Path) -> Self {
        store::read_text(&dir.join(FILE)).map(|text| Self::from_text(&text)).unwrap_or_default()
    }

    /// Keeps the settings in `dir`, which is made when missing.
    ///
    /// # Errors
    /// [`FileError`] when the folder cannot be made or written.
    pub fn save(&self, dir: &Path) -> Result<(), FileError> {
        store::make_folder(dir)?;
        let path = dir.join(FILE);
        let text = self.to_text().map_err(|problem| FileError::new(&path, problem))?;
        store::write_text(&path, &text)
    }
}

fn absolute(path: &Path) -> PathBuf {
    // It fails for an empty path only, which no file has.
    std::path::absolute(path).unwrap_or_else(|_| path.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_newest_comes_first_once_and_the_list_is_bounded() {
        let mut settings = Settings::default();
        for n in 0..20 {
            settings.opened(Path::new(&format!("/yarns/{n}.ron")));
        }
        settings.opened(Path::new("/yarns/15.ron"));
        assert_eq!(settings.recent().len(), MAX_RECENT);
        assert_eq!(settings.recent()[0], Path::new("/yarns/15.ron"));
        assert_eq!(settings.recent().iter().filter(|p| p.ends_with("15.ron")).count(), 1);
        settings.forget(Path::new("/yarns/15.ron"));
        assert_eq!(settings.recent()[0], Path::new("/yarns/19.ron"));
    }

    #[test]
    fn a_relative_path_is_remembered_as_absolute() {
        let mut settings = Settings::default();
        settings.opened(Path::new("a.ron"));
        let here = std::env::current_dir().unwrap().join("a.ron");
        assert_eq!(settings.recent(), std::slice::from_ref(&here));
        settings.opened(&here);
        assert_eq!(settings.recent().len(), 1, "the same file");
        settings.forget(Path::new("a.ron"));
        assert!(settings.recent().is_empty());
    }

    #[cfg(unix)]
    #[test]
    fn a_path_that_is_no_text_does_not_lose_the_settings() {
        use std::os::unix::ffi::OsStrExt;
        let dir = tempfile::tempdir().unwrap();
        let mut settings = Settings::default();
        settings.choose("theme", "dark");
        settings.opened(Path::new("/yarns/a.ron"));
        settings.opened(Path::new(std::ffi::OsStr::from_bytes(b"/yarns/\xff.ron")));
        settings.save(dir.path()).unwrap();
        let read = Settings::load(dir.path());
        assert_eq!(read.choice("theme"), Some("dark"));
        assert_eq!(read.recent(), [Path::new("/yarns/a.ron")]);
    }

    #[test]
    fn settings_survive_a_run_and_damage() {
        let dir = tempfile::tempdir().unwrap();
        let inner = dir.path().join("not yet there");
        let mut settings = Settings::default();
        settings.opened(Path::new("yarns/a \"b\".ron"));
        settings.choose("theme", "dark");
        settings.save(&inner).unwrap();
        assert_eq!(Settings::load(&inner), settings);
        assert_eq!(Settings::load(&inner).choice("theme"), Some("dark"));
        std::fs::write(inner.join(FILE), "(recent: [\"a").unwrap();
        assert_eq!(Settings::load(&inner), Settings::default());
        assert_eq!(Settings::load(Path::new("/nowhere/at/all")), Settings::default());
    }
}
