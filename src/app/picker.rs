//! The system's file picker, and how to tell that there is none.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use super::purpose::{CardFile, Purpose};

/// What came of asking.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Picked {
    /// A file.
    Path(PathBuf),
    /// The user thought better of it.
    Nothing,
    /// No picker answers on this machine.
    Unavailable,
}

/// Asks the system's picker; blocks, so it belongs on a thread.
///
/// On Linux the picker library answers "nothing" when neither a desktop portal nor a helper
/// program is there. No person cancels within 0.3 s, so such an answer means "unavailable".
pub fn ask(purpose: &Purpose, suggestion: &Path) -> Picked {
    const TOO_FAST: Duration = Duration::from_millis(300);
    let mut dialog = rfd::FileDialog::new();
    let folder = if purpose.opens() { Some(suggestion) } else { suggestion.parent() };
    if let Some(folder) = folder.filter(|folder| folder.is_dir()) {
        dialog = dialog.set_directory(folder);
    }
    if let Some(name) = suggestion.file_name() {
        dialog = dialog.set_file_name(name.to_string_lossy());
    }
    // Cameras like capitals, and some pickers tell them from small letters.
    let kinds = extensions(purpose).into_iter().flat_map(|kind| [kind.to_owned(), kind.to_uppercase()]);
    dialog = dialog.add_filter(kind(purpose).0, &kinds.collect::<Vec<_>>());
    let start = Instant::now();
    let path = if purpose.opens() { dialog.pick_file() } else { dialog.save_file() };
    match path {
        Some(path) => Picked::Path(with_extension(path, purpose)),
        None if start.elapsed() < TOO_FAST => Picked::Unavailable,
        None => Picked::Nothing,
    }
}

/// What kind of file a purpose is about, and its extension.
pub const fn kind(purpose: &Purpose) -> (&'static str, &'static str) {
    match purpose {
        Purpose::Open | Purpose::Save(_) => ("Huegauge project", "ron"),
        Purpose::Export(export) => {
            let info = export.info();
            (info.kind, info.extension)
        }
        Purpose::Photograph | Purpose::SwatchPhotograph => ("Photograph", "jpg"),
        Purpose::ChartPicture => ("Picture", "png"),
        Purpose::Outline => ("Outline", "svg"),
        Purpose::Card(file) => file.kind(),
    }
}

/// Every extension a file for this purpose may have.
pub fn extensions(purpose: &Purpose) -> Vec<&'static str> {
    match purpose {
        Purpose::Photograph | Purpose::SwatchPhotograph | Purpose::ChartPicture => {
            vec!["jpg", "jpeg", "png", "webp", "tif", "tiff"]
        }
        Purpose::Card(CardFile::Import) => vec!["csv", "tsv", "txt"],
        _ => vec![kind(purpose).1],
    }
}

/// Adds the extension when a name to be written has none.
pub fn with_extension(path: PathBuf, purpose: &Purpose) -> PathBuf {
    if purpose.opens() || path.extension().is_some() {
        return path;
    }
    path.with_extension(kind(purpose).1)
}

/// A title as a file name: letters, figures, spaces and hyphens only.
pub fn file_stem(title: &str) -> String {
    let kept: String =
        title.chars().map(|c| if c.is_alphanumeric() || " -_".contains(c) { c } else { ' ' }).collect();
    let name = kept.split_whitespace().collect::<Vec<_>>().join(" ");
    if name.is_empty() { "Untitled".to_owned() } else { name }
}

/// Where documents are kept, else the current folder.
pub fn documents_folder() -> PathBuf {
    directories::UserDirs::new()
        .and_then(|dirs| dirs.document_dir().map(Path::to_owned).or_else(|| Some(dirs.home_dir().to_owned())))
        .unwrap_or_else(|| PathBuf::from("."))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::app::exports::Export;

    #[test]
    fn a_title_becomes_a_safe_file_name() {
        assert_eq!(file_stem("Spring / yoke: \"no. 2\""), "Spring yoke no 2");
        assert_eq!(file_stem("../../etc"), "etc");
        assert_eq!(file_stem("?!"), "Untitled");
    }

    #[test]
    fn a_missing_extension_is_added_only_when_writing() {
        let named = |purpose| with_extension(PathBuf::from("a"), &purpose);
        assert_eq!(named(Purpose::Export(Export::Chart)), PathBuf::from("a.png"));
        assert_eq!(named(Purpose::Open), PathBuf::from("a"));
    }
}
