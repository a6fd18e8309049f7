//! Reading and writing whole files: bounded reads, atomic writes.

use std::fs;
use std::io::{Read, Write};
use std::path::{Path, PathBuf};

use super::error::{FileError, Problem};
use super::leftovers;

/// Largest project file that is read, in bytes: a full-size chart takes 4 MB, the rest is room to grow.
pub const MAX_BYTES: u64 = 64 << 20;

/// The text of a file, at most [`MAX_BYTES`] of it.
///
/// # Errors
/// [`FileError`] when the file is missing, not a file, too large, unreadable or not UTF-8.
pub fn read_text(path: &Path) -> Result<String, FileError> {
    String::from_utf8(read_bytes(path)?).map_err(|_| FileError::new(path, Problem::NotText))
}

/// The bytes of a file, at most [`MAX_BYTES`] of them.
///
/// # Errors
/// [`FileError`] when the file is missing, not a file, too large or unreadable.
pub fn read_bytes(path: &Path) -> Result<Vec<u8>, FileError> {
    let failed = |error: &std::io::Error| FileError::reading(path, error);
    let wrong = |problem| FileError::new(path, problem);
    if path.as_os_str().is_empty() {
        return Err(wrong(Problem::NoName));
    }
    let kind = fs::metadata(path).map_err(|e| failed(&e))?;
    if kind.is_dir() {
        return Err(wrong(Problem::NotAFile("a folder")));
    }
    // Opening a pipe would wait for a writer that may never come.
    if !kind.is_file() {
        return Err(wrong(Problem::NotAFile("a device or pipe")));
    }
    let too_large = |bytes: u64| wrong(Problem::TooLarge { size_mb: bytes >> 20, limit_mb: MAX_BYTES >> 20 });
    if kind.len() > MAX_BYTES {
        return Err(too_large(kind.len()));
    }
    let mut bytes = Vec::with_capacity(kind.len() as usize);
    let file = fs::File::open(path).map_err(|e| failed(&e))?;
    // The file may grow between the question and the reading.
    file.take(MAX_BYTES + 1).read_to_end(&mut bytes).map_err(|e| failed(&e))?;
    if bytes.len() as u64 > MAX_BYTES {
        return Err(too_large(bytes.len() as u64));
    }
    Ok(bytes)
}

/// A file that is written but does not have its name yet; dropped, it leaves no trace.
///
/// Several drafts can be written before the first takes its name, so that a set of files is
/// either all new or all as before.
#[derive(Debug)]
pub struct Draft {
    file: tempfile::NamedTempFile,
    path: PathBuf,
    target: PathBuf,
}

impl Draft {
    /// Writes a file beside `path`, which `fill` fills.
    ///
    /// # Errors
    /// Whatever `fill` returns, or [`FileError`] when the folder is missing or not writable, or
    /// `path` is a folder or read-only.
    pub fn write<E: From<FileError>>(
        path: &Path,
        fill: impl FnOnce(&mut dyn Write) -> Result<(), E>,
    ) -> Result<Self, E> {
        let failed = |error: &std::io::Error| E::from(FileError::writing(path, error));
        if path.as_os_str().is_empty() {
            return Err(FileError::new(path, Problem::NoName).into());
        }
        // A link stays a link: its target is replaced. One that leads nowhere would be lost.
        if let (Err(_), Ok(goal)) = (fs::metadata(path), fs::read_link(path)) {
            let problem = Problem::Dangling(goal.display().to_string());
            return Err(FileError::new(path, problem).into());
        }
        let target = fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        let before = fs::metadata(&target).ok();
        if let Some(problem) = before.as_ref().and_then(why_not_replaced) {
            return Err(FileError::new(path, problem).into());
        }
        let mut file = new_file_in(&folder_of(&target)).map_err(|e| failed(&e))?;
        let mut writer = std::io::BufWriter::with_capacity(1 << 16, file.as_file_mut());
        fill(&mut writer)?;
        writer.flush().map_err(|e| failed(&e))?;
        drop(writer);
        if let Some(before) = before {
            file.as_file().set_permissions(before.permissions()).map_err(|e| failed(&e))?;
        }
        file.as_file().sync_all().map_err(|e| failed(&e))?;
        Ok(Self { file, path: path.to_owned(), target })
    }

    /// Gives the file its name, replacing what had it.
    ///
    /// # Errors
    /// [`FileError`] when the system refuses; what was there stays.
    pub fn commit(self) -> Result<(), FileError> {
        let Self { file, path, target } = self;
        file.persist(&target).map_err(|e| FileError::writing(&path, &e.error))?;
        // The new name is on disk once the folder is; a system that cannot do that has done its best.
        #[cfg(unix)]
        let _ = fs::File::open(folder_of(&target)).and_then(|folder| folder.sync_all());
        Ok(())
    }
}

/// Why an existing file must not be replaced.
fn why_not_replaced(existing: &fs::Metadata) -> Option<Problem> {
    match existing {
        kind if kind.is_dir() => Some(Problem::NotAFile("a folder")),
        kind if !kind.is_file() => Some(Problem::NotAFile("a device or pipe")),
        kind if kind.permissions().readonly() => Some(Problem::ReadOnly),
        _ => None,
    }
}

/// Writes a file so that it is there whole or, on any failure, as it was before. An existing file
/// keeps its permissions.
///
/// # Errors
/// As [`Draft::write`] and [`Draft::commit`].
pub fn write_atomic<E: From<FileError>>(
    path: &Path,
    fill: impl FnOnce(&mut dyn Write) -> Result<(), E>,
) -> Result<(), E> {
    Ok(Draft::write(path, fill)?.commit()?)
}

/// [`write_atomic`] for text in memory.
///
/// # Errors
/// As [`write_atomic`].
pub fn write_text(path: &Path, text: &str) -> Result<(), FileError> {
    write_atomic(path, |out| out.write_all(text.as_bytes()).map_err(|e| FileError::writing(path, &e)))
}

/// The folder a file lies in; `.` for a bare name.
pub(super) fn folder_of(path: &Path) -> PathBuf {
    match path.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder.to_owned(),
        _ => PathBuf::from("."),
    }
}

fn new_file_in(folder: &Path) -> std::io::Result<tempfile::NamedTempFile> {
    leftovers::clear_once(folder);
    let mut builder = tempfile::Builder::new();
    builder.prefix(leftovers::PREFIX).suffix(leftovers::SUFFIX);
    // Temporary files are private by default; a project is as readable as any other new file.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let file = builder.tempfile_in(folder)?;
    // Where files cannot be locked what a kill leaves behind stays; nothing else depends on it.
    let _ = file.as_file().try_lock();
    Ok(file)
}

/// Makes a folder and those above it, when missing.
///
/// # Errors
/// [`FileError`] naming the folder.
pub(super) fn make_folder(folder: &Path) -> Result<(), FileError> {
    fs::create_dir_all(folder).map_err(|e| FileError::writing(folder, &e))
}
