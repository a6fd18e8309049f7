//! What a person keeps across projects: lists in files of their own in the folder for settings.

use std::path::Path;

use super::error::{FileError, Problem};
use super::{Trouble, store, without_mark};

/// The list in `file` of `dir` as `read` takes it from its text; an empty one where there is no file yet.
pub(super) fn load<T>(
    dir: &Path,
    file: &str,
    read: impl FnOnce(&str) -> Result<Vec<T>, Trouble>,
) -> Result<Vec<T>, FileError> {
    let path = dir.join(file);
    match store::read_text(&path) {
        Ok(text) => from_text(&text, &path.display().to_string(), read),
        Err(FileError { problem: Problem::Missing, .. }) => Ok(Vec::new()),
        Err(error) => Err(error),
    }
}

/// The list in a text; `name` stands for the file in errors.
pub(super) fn from_text<T>(
    text: &str,
    name: &str,
    read: impl FnOnce(&str) -> Result<Vec<T>, Trouble>,
) -> Result<Vec<T>, FileError> {
    read(without_mark(text)).map_err(|(place, problem)| FileError { file: name.to_owned(), place, problem })
}

/// Writes the text of a list to `file` of `dir`, which is made when missing: whole, or what was there stays.
pub(super) fn save(dir: &Path, file: &str, text: Result<String, Problem>) -> Result<(), FileError> {
    store::make_folder(dir)?;
    let path = dir.join(file);
    let text = text.map_err(|problem| FileError::new(&path, problem))?;
    store::write_text(&path, &text)
}
