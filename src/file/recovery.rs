//! Copies of unsaved work, offered again after a crash.
//!
//! Each open window keeps at most one copy, an ordinary project file with comments around it: the
//! first lines say what it is of, the last ones are the newest undo steps. A lock held for the life of
//! the window tells the copies of windows that are still open from those that were left behind.

use std::fmt::Write as _;
use std::fs::{self, File};
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::SystemTime;

use serde::{Deserialize, Serialize};

use super::{FileError, Problem, edit_record, from_str, store, to_string};
use crate::project::{Edit, History, Project, StepLabel};

const FOLDER: &str = "recovery";
const LOCK: &str = "lock";
const COPY: &str = "ron";
/// What the first line of a copy begins with; the path follows as a JSON string.
const ORIGIN: &str = "// Unsaved work on ";
/// What the second line begins with; the rest is JSON.
const ABOUT: &str = "// ";
/// What the line of an undo step begins with.
const STEP: &str = "// Undo ";
/// Undo steps that are kept at most, and the memory they may hold, so that a copy is quickly written.
const STEPS: usize = 200;
const STEP_BYTES: usize = 1 << 20;
/// Bytes at the start of a copy that say what it is of.
const HEAD_BYTES: u64 = 1 << 16;

/// Unsaved work, as it is kept.
#[derive(Clone, Debug)]
pub struct Unsaved {
    project: Arc<Project>,
    /// Its file, when it has one.
    original: Option<PathBuf>,
    /// The file that work of an earlier run was of, when it has no file now.
    came_from: Option<PathBuf>,
    edits: u64,
    steps: Vec<(StepLabel, Edit)>,
}

impl Unsaved {
    /// The work on a project since it was saved, `edits` steps ago, with the newest undo steps.
    pub fn new(project: Arc<Project>, original: Option<PathBuf>, edits: u64, history: &History) -> Self {
        Self { project, original, came_from: None, edits, steps: history.newest(STEPS, STEP_BYTES) }
    }

    /// The same, of a file that it was of before it was taken up.
    #[must_use]
    pub fn that_came_from(self, came_from: Option<PathBuf>) -> Self {
        Self { came_from, ..self }
    }

    fn text(&self) -> Result<String, Problem> {
        let path = self.original.as_ref().map(|path| path.display().to_string()).unwrap_or_default();
        let came_from = self.came_from.as_ref().map(|path| path.display().to_string());
        let about = About { title: self.project.title.clone(), edits: self.edits, came_from };
        let about = serde_json::to_string(&about).map_err(|e| Problem::Unwritten(e.to_string()))?;
        // JSON keeps a line break in a path or a title from ending the comment.
        let path = serde_json::Value::from(path);
        let mut text = format!("{ORIGIN}{path}\n{ABOUT}{about}\n{}", to_string(&self.project)?);
        for step in &self.steps {
            let _ = writeln!(text, "{STEP}{}", edit_record::to_line(step)?);
        }
        Ok(text)
    }
}

/// The second line of a copy.
#[derive(Debug, Default, Serialize, Deserialize)]
struct About {
    title: String,
    edits: u64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    came_from: Option<String>,
}

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
        store::make_folder(&folder).map_err(FileError::of_recovery)?;
        let failed = |error: &std::io::Error| FileError::writing(&folder, error).of_recovery();
        // Whatever its project may be read by, others need not look in here.
        #[cfg(unix)]
        fs::set_permissions(&folder, std::os::unix::fs::PermissionsExt::from_mode(0o700))
            .map_err(|e| failed(&e))?;
        let suffix = format!(".{LOCK}");
        let lock = tempfile::Builder::new().prefix("work-").suffix(&suffix).tempfile_in(&folder);
        let (lock, lock_path) = lock.map_err(|e| failed(&e))?.keep().map_err(|e| failed(&e.error))?;
        lock.lock().map_err(|e| failed(&e))?;
        Ok(Self { copy: lock_path.with_extension(COPY), lock_path, _lock: lock })
    }

    /// Keeps a copy of unsaved work, which may be read by whom its project may be read.
    ///
    /// # Errors
    /// [`FileError`] when it cannot be written; the copy before stays.
    pub fn keep(&self, work: &Unsaved) -> Result<(), FileError> {
        let text = work.text().map_err(|problem| FileError::new(&self.copy, problem))?;
        store::write_text(&self.copy, &text).map_err(FileError::of_recovery)?;
        if let Some(original) = work.original.as_ref().and_then(|path| fs::metadata(path).ok()) {
            fs::set_permissions(&self.copy, original.permissions())
                .map_err(|error| FileError::writing(&self.copy, &error).of_recovery())?;
        }
        Ok(())
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
    /// The project file it belongs to or came from; `None` when it had never been saved.
    pub original: Option<PathBuf>,
    /// Whether it only came from that file: what is saved there since does not hold it.
    pub only_came_from: bool,
    /// Title of the project; empty when the copy does not say.
    pub title: String,
    /// Steps since it was last saved; 0 when the copy does not say.
    pub edits: u64,
    /// When the copy was made.
    pub kept_at: SystemTime,
    /// When the project file was last written.
    pub saved_at: Option<SystemTime>,
}

impl LeftBehind {
    /// Reads the unsaved project and its undo steps, as far as they can be understood.
    ///
    /// # Errors
    /// [`FileError`] when the copy is damaged.
    pub fn load(&self) -> Result<(Project, History), FileError> {
        let text = store::read_text(&self.copy)?;
        let project = from_str(&text, &self.copy.display().to_string())?;
        let steps = text.lines().filter_map(|line| line.strip_prefix(STEP));
        let steps = steps.map_while(edit_record::from_line).collect();
        let history = History::leading_to(&project, steps);
        Ok((project, history))
    }

    /// Drops the copy.
    pub fn discard(&self) {
        let _ = fs::remove_file(&self.copy);
        let _ = fs::remove_file(self.copy.with_extension(LOCK));
    }

    /// What the first lines of a copy say of it.
    fn at(copy: PathBuf) -> Option<Self> {
        let about = fs::symlink_metadata(&copy).ok()?;
        // Opening a pipe would wait for a writer that may never come.
        if !about.is_file() {
            return None;
        }
        let head = BufReader::new(File::open(&copy).ok()?.take(HEAD_BYTES));
        let mut lines = head.lines().map_while(Result::ok);
        let original = lines.next().and_then(|line| origin(&line));
        let about_line = lines.next().and_then(|line| serde_json::from_str(line.strip_prefix(ABOUT)?).ok());
        let About { title, edits, came_from } = about_line.unwrap_or_default();
        let only_came_from = original.is_none() && came_from.is_some();
        let original = original.or(came_from.map(PathBuf::from));
        let saved_at = original.as_ref().and_then(|path| fs::metadata(path).ok()?.modified().ok());
        Some(Self { kept_at: about.modified().ok()?, copy, original, only_came_from, title, edits, saved_at })
    }

    /// Whether the project file was written after the copy was made.
    fn is_outlived(&self) -> bool {
        !self.only_came_from && self.saved_at.is_some_and(|saved| saved > self.kept_at)
    }
}

/// The copies in `config_dir` whose windows are gone and whose project was not saved since, the newest
/// first.
pub fn left_behind(config_dir: &Path) -> Vec<LeftBehind> {
    let Ok(entries) = fs::read_dir(config_dir.join(FOLDER)) else { return Vec::new() };
    let copies = entries.filter_map(|entry| entry.ok().map(|entry| entry.path()));
    let copies = copies.filter(|path| path.extension().is_some_and(|kind| kind == COPY));
    let mut found: Vec<LeftBehind> = copies
        .filter(|copy| !is_open(&copy.with_extension(LOCK)))
        .filter_map(LeftBehind::at)
        .filter(|work| !work.is_outlived())
        .collect();
    found.sort_by_key(|work| std::cmp::Reverse(work.kept_at));
    found
}

/// Whether some window still holds this lock.
fn is_open(lock: &Path) -> bool {
    // Opening a pipe would wait for a writer that may never come.
    if !fs::symlink_metadata(lock).is_ok_and(|about| about.is_file()) {
        return false;
    }
    match File::open(lock) {
        Ok(file) => matches!(file.try_lock(), Err(fs::TryLockError::WouldBlock)),
        Err(_) => false,
    }
}

fn origin(line: &str) -> Option<PathBuf> {
    let path: String = serde_json::from_str(line.strip_prefix(ORIGIN)?).ok()?;
    (!path.is_empty()).then(|| PathBuf::from(path))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::{Cell, Point};
    use crate::file::demos;
    use crate::project::CellPatch;
    use std::time::Duration;

    fn unsaved(original: Option<&Path>) -> Unsaved {
        let project = Arc::new(demos()[0].project().unwrap());
        Unsaved::new(project, original.map(Path::to_owned), 3, &History::default())
    }

    #[test]
    fn work_is_offered_only_once_its_window_is_gone() {
        let dir = tempfile::tempdir().unwrap();
        let work = unsaved(Some(Path::new("yarns/a\nb.ron")));
        let keeper = Keeper::begin(dir.path()).unwrap();
        assert_eq!(left_behind(dir.path()), []);
        keeper.keep(&work).unwrap();
        assert_eq!(left_behind(dir.path()), [], "its window is still open");
        drop(keeper);
        let found = left_behind(dir.path());
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].original.as_deref(), Some(Path::new("yarns/a\nb.ron")));
        assert_eq!((found[0].title.as_str(), found[0].edits), (work.project.title.as_str(), 3));
        assert_eq!(found[0].load().unwrap().0, *work.project);
        found[0].discard();
        assert_eq!(left_behind(dir.path()), []);
    }

    #[test]
    fn work_that_only_came_from_a_file_is_offered_whatever_is_saved_there() {
        let dir = tempfile::tempdir().unwrap();
        let file = dir.path().join("a.ron");
        let keeper = Keeper::begin(dir.path()).unwrap();
        keeper.keep(&unsaved(None).that_came_from(Some(file.clone()))).unwrap();
        drop(keeper);
        fs::write(&file, "saved").unwrap();
        let later = SystemTime::now() + Duration::from_mins(1);
        File::options().append(true).open(&file).unwrap().set_modified(later).unwrap();
        let found = left_behind(dir.path());
        assert_eq!((found.len(), found[0].original.as_deref()), (1, Some(file.as_path())));
    }

    #[test]
    fn saved_work_leaves_nothing_behind() {
        let dir = tempfile::tempdir().unwrap();
        let keeper = Keeper::begin(dir.path()).unwrap();
        keeper.keep(&unsaved(None)).unwrap();
        keeper.discard();
        drop(keeper);
        assert_eq!(left_behind(dir.path()), []);
        assert_eq!(fs::read_dir(dir.path().join(FOLDER)).unwrap().count(), 0);
    }

    #[test]
    fn a_folder_that_cannot_be_made_is_told_without_a_choice_nobody_has() {
        let dir = tempfile::tempdir().unwrap();
        fs::write(dir.path().join(FOLDER), "a file in its place").unwrap();
        let told = Keeper::begin(dir.path()).unwrap_err().to_string();
        assert!(told.contains("unsaved work cannot be kept here"), "{told}");
        assert!(told.ends_with("save often, and make room here or make the folder writable"), "{told}");
        assert!(!told.contains("choose another"), "{told}");
    }

    #[test]
    fn a_copy_older_than_its_file_is_not_offered() {
        let dir = tempfile::tempdir().unwrap();
        let file = dir.path().join("a.ron");
        let keeper = Keeper::begin(dir.path()).unwrap();
        keeper.keep(&unsaved(Some(&file))).unwrap();
        drop(keeper);
        fs::write(&file, "saved").unwrap();
        let written = |later: bool| {
            let kept = fs::metadata(left_behind_path(dir.path())).unwrap().modified().unwrap();
            let second = Duration::from_secs(1);
            let time = if later { kept + second } else { kept - second };
            File::options().append(true).open(&file).unwrap().set_modified(time).unwrap();
            left_behind(dir.path()).len()
        };
        assert_eq!(written(true), 0);
        assert_eq!(written(false), 1);
    }

    fn left_behind_path(dir: &Path) -> PathBuf {
        let mut entries = fs::read_dir(dir.join(FOLDER)).unwrap().map(|entry| entry.unwrap().path());
        entries.find(|path| path.extension().is_some_and(|kind| kind == COPY)).unwrap()
    }

    #[cfg(unix)]
    #[test]
    fn a_copy_may_be_read_by_whom_its_project_may_be_read() {
        use std::os::unix::fs::PermissionsExt;
        let dir = tempfile::tempdir().unwrap();
        let file = dir.path().join("private.ron");
        fs::write(&file, "").unwrap();
        fs::set_permissions(&file, PermissionsExt::from_mode(0o600)).unwrap();
        let keeper = Keeper::begin(dir.path()).unwrap();
        keeper.keep(&unsaved(Some(&file))).unwrap();
        let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o777;
        assert_eq!(mode(&left_behind_path(dir.path())), 0o600);
        assert_eq!(mode(&dir.path().join(FOLDER)), 0o700);
    }

    #[test]
    fn the_undo_steps_of_every_kind_come_back() {
        let mut project = demos()[0].project().unwrap();
        let start = project.clone();
        let mut history = History::default();
        let other = demos()[1].project().unwrap();
        let ground = Cell::slot(project.background_slot() as u8);
        let painted = CellPatch::painting(&project.chart.grid, [Point::new(0, 0), Point::new(3, 5)], ground);
        let mut edits = vec![
            Edit::About {
                title: "Two\nlines".to_owned(),
                designer: String::new(),
                notes: "\"quoted\"".to_owned(),
            },
            Edit::Units(crate::units::LengthUnit::Imperial),
            Edit::Currency(crate::units::Currency::new("EUR").unwrap()),
            Edit::Plan(Box::new(other.plan.clone())),
            Edit::Material(Box::new(other.material.clone())),
            Edit::ShadeCards(vec![Arc::new(crate::file::demo_card().unwrap())]),
            Edit::Colourways(Vec::new()),
            Edit::Chart(Box::new(crate::project::Chart::new(crate::chart::Grid::square(7, Cell::slot(0))))),
            Edit::Pieces(Box::default()),
        ];
        edits.extend(painted.map(Edit::Cells));
        edits.extend(project.without_slot(1, 0));
        let count = edits.len();
        for edit in edits {
            history.perform(&mut project, "Test", edit, false).unwrap();
        }
        let work = Unsaved::new(Arc::new(project.clone()), None, count as u64, &history);
        let dir = tempfile::tempdir().unwrap();
        let keeper = Keeper::begin(dir.path()).unwrap();
        keeper.keep(&work).unwrap();
        drop(keeper);
        let (mut read, mut steps) = left_behind(dir.path())[0].load().unwrap();
        assert_eq!((read.clone(), steps.depth()), (project.clone(), count));
        while steps.undo(&mut read).is_some() {}
        assert_eq!(read, start);
        while steps.redo(&mut read).is_some() {}
        assert_eq!(read, project);
    }

    #[test]
    fn a_copy_of_an_older_kind_and_one_with_a_spoilt_step_are_still_offered() {
        let dir = tempfile::tempdir().unwrap();
        let folder = dir.path().join(FOLDER);
        fs::create_dir(&folder).unwrap();
        let project = demos()[0].project().unwrap();
        let text = to_string(&project).unwrap();
        fs::write(folder.join("work-1.ron"), format!("{ORIGIN}\"\"\n{text}{STEP}(\"Draw\", Nonsense)\n"))
            .unwrap();
        let found = left_behind(dir.path());
        assert_eq!((found[0].original.as_ref(), found[0].edits), (None, 0));
        let (read, history) = found[0].load().unwrap();
        assert_eq!((read, history.depth()), (project, 0));
    }
}
