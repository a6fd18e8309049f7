//! The open project with its history and its file.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex};

use crate::file::{Claim, Expected, Fingerprint};
use crate::project::{Edit, History, Project, ProjectError, StepLabel, Touched};

/// Tells documents apart: every New and every Open is another, and no number is used twice.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct DocumentId(u64);

impl DocumentId {
    /// One that never was.
    pub fn fresh() -> Self {
        static NEXT: AtomicU64 = AtomicU64::new(0);
        Self(NEXT.fetch_add(1, Ordering::Relaxed))
    }
}

/// A state of a document: what figures are worked out from and known by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Version {
    /// The document.
    pub document: DocumentId,
    /// Grows with every change of it.
    pub revision: u64,
}

/// What is known to lie in a file; shared with the thread that writes it.
pub type Known = Arc<Mutex<Option<Expected>>>;

/// A save under way.
#[derive(Debug)]
struct Saving {
    path: PathBuf,
    project: Arc<Project>,
    /// Where the history stood.
    position: i64,
    known: Known,
}

/// The open project. Worker threads take cheap clones of [`Document::project`].
#[derive(Debug)]
pub struct Document {
    id: DocumentId,
    project: Arc<Project>,
    history: History,
    path: Option<PathBuf>,
    /// The file that work of an earlier run was of.
    came_from: Option<PathBuf>,
    /// What this window knows to lie in its file. Saves are written one after another: each leaves here
    /// what the next will find.
    known: Known,
    /// Another program has written its file, as far as was looked.
    changed_outside: bool,
    /// This window's claim on the file.
    claim: Option<Claim>,
    revision: u64,
    /// What was last given to be written, and where, until it is known what came of it.
    saving: Option<Saving>,
    /// What is in the file, to tell whether there is anything to save; `None` when no one knows.
    saved: Option<Arc<Project>>,
    /// Where the history stood then.
    saved_position: i64,
    unsaved: bool,
}

impl Document {
    /// A freshly opened or new project.
    pub fn new(project: impl Into<Arc<Project>>, path: Option<PathBuf>) -> Self {
        let project = project.into();
        Self {
            id: DocumentId::fresh(),
            saved: Some(Arc::clone(&project)),
            saved_position: 0,
            project,
            history: History::default(),
            path,
            came_from: None,
            known: Known::default(),
            changed_outside: false,
            claim: None,
            revision: 0,
            saving: None,
            unsaved: false,
        }
    }

    /// Which document it is.
    pub const fn id(&self) -> DocumentId {
        self.id
    }

    /// The document and its state.
    pub const fn version(&self) -> Version {
        Version { document: self.id, revision: self.revision }
    }

    /// The project as it is now.
    pub const fn project(&self) -> &Arc<Project> {
        &self.project
    }

    /// Its file, once it has one; while it is written to another, that one.
    pub fn path(&self) -> Option<&Path> {
        self.saving.as_ref().map(|saving| saving.path.as_path()).or(self.path.as_deref())
    }

    /// The file that this work of an earlier run was of, while it has no file of its own.
    pub fn came_from(&self) -> Option<&Path> {
        self.came_from.as_deref().filter(|_| self.path().is_none())
    }

    /// Whether another program has written its file since; looked for when the window gets the focus.
    pub const fn is_changed_outside(&self) -> bool {
        self.changed_outside
    }

    /// What was found when its file was looked at.
    pub const fn file_was_looked_at(&mut self, changed: bool) {
        self.changed_outside = changed;
    }

    /// What is known to lie in its file.
    pub const fn known(&self) -> &Known {
        &self.known
    }

    /// Whether there are changes that are not in the file.
    pub const fn is_unsaved(&self) -> bool {
        self.unsaved
    }

    /// Undo and redo labels.
    pub const fn history(&self) -> &History {
        &self.history
    }

    /// Carries out an edit.
    ///
    /// # Errors
    /// [`ProjectError`] when the project could not be saved afterwards; nothing is changed then.
    pub fn perform(
        &mut self,
        label: impl Into<StepLabel>,
        edit: Edit,
        in_gesture: bool,
    ) -> Result<Touched, ProjectError> {
        let project = Arc::make_mut(&mut self.project);
        let touched = self.history.perform(project, label, edit, in_gesture)?;
        self.revision += 1;
        self.unsaved = true;
        Ok(touched)
    }

    /// The pointer gesture is over.
    pub const fn end_gesture(&mut self) {
        self.history.end_gesture();
    }

    /// Takes the newest step back.
    pub fn undo(&mut self) -> Option<Touched> {
        let touched = self.history.undo(Arc::make_mut(&mut self.project));
        self.moved_in_history(touched)
    }

    /// Undoes the gesture under way and forgets it.
    pub fn drop_gesture(&mut self) -> Option<Touched> {
        let touched = self.history.drop_gesture(Arc::make_mut(&mut self.project));
        self.moved_in_history(touched)
    }

    /// Carries the newest undone step out again.
    pub fn redo(&mut self) -> Option<Touched> {
        let touched = self.history.redo(Arc::make_mut(&mut self.project));
        self.moved_in_history(touched)
    }

    fn moved_in_history(&mut self, touched: Option<Touched>) -> Option<Touched> {
        if touched.is_some() {
            self.revision += 1;
            self.unsaved = self.saved.as_ref().is_none_or(|saved| *self.project != **saved);
        }
        touched
    }

    /// Gives the project as it is now to be written to `path`, which the person chose with `chosen` in it;
    /// `None` for its own file. With it comes what is known of the file, for the thread that writes it.
    pub fn begin_saving(&mut self, path: PathBuf, chosen: Option<Expected>) -> (Arc<Project>, Known) {
        let known = match (chosen, &self.saving) {
            (Some(chosen), _) => Arc::new(Mutex::new(Some(chosen))),
            (None, Some(saving)) => Arc::clone(&saving.known),
            (None, None) => Arc::clone(&self.known),
        };
        let (project, position) = (Arc::clone(&self.project), self.history.position());
        self.saving = Some(Saving { path, project, position, known: Arc::clone(&known) });
        (Arc::clone(&self.project), known)
    }

    /// Whether all there is to save is being written.
    pub fn is_being_saved(&self) -> bool {
        self.saving.as_ref().is_some_and(|saving| Arc::ptr_eq(&saving.project, &self.project))
    }

    /// `project` now lies in the file at `path`, as is `known`; what changed since stays unsaved.
    pub fn saved_as(&mut self, path: PathBuf, project: Arc<Project>, known: Known) {
        if let Some(saving) = self.end_saving(&path, &project) {
            self.saved_position = saving.position;
        }
        self.unsaved = !Arc::ptr_eq(&project, &self.project) && *project != *self.project;
        self.saved = Some(project);
        self.path = Some(path);
        self.known = known;
        self.changed_outside = false;
    }

    /// `project` could not be written to `path`.
    pub fn not_saved(&mut self, path: &Path, project: &Arc<Project>) {
        self.end_saving(path, project);
    }

    fn end_saving(&mut self, path: &Path, project: &Arc<Project>) -> Option<Saving> {
        // A later save is still under way unless this was it.
        self.saving.take_if(|saving| saving.path == path && Arc::ptr_eq(&saving.project, project))
    }

    /// What lay in its file when it was read.
    pub fn was_read(&mut self, mark: Fingerprint) {
        self.known = Arc::new(Mutex::new(Some(Expected::Text(mark))));
    }

    /// Whether a save to this path would replace the file that was opened or saved before.
    pub fn is_its_file(&self, path: &Path) -> bool {
        self.path() == Some(path)
    }

    /// Whether this window holds a claim on the file.
    pub const fn is_claimed(&self) -> bool {
        self.claim.is_some()
    }

    /// Holds this window's claim on the file, or none.
    pub fn hold(&mut self, claim: Option<Claim>) {
        self.claim = claim;
    }

    /// Steps between what is in the file and the project as it is now.
    pub const fn edits(&self) -> u64 {
        (self.history.position() - self.saved_position).unsigned_abs()
    }

    /// Goes on with unsaved work of an earlier run, `edits` steps after it was last saved.
    /// It has no file of its own before the person says so, and `came_from` is proposed then.
    pub fn take_up(&mut self, history: History, edits: u64, came_from: Option<PathBuf>) {
        self.came_from = came_from;
        self.saved_position = history.position().saturating_sub_unsigned(edits);
        self.history = history;
        self.revision += 1;
        // Nothing that could be undone is what lies in the file.
        self.saved = None;
        self.unsaved = true;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn titled(title: &str) -> Edit {
        Edit::About { title: title.to_owned(), designer: String::new(), notes: String::new() }
    }

    #[test]
    fn undoing_back_to_the_file_leaves_nothing_to_save() {
        let mut document = Document::new(Project::default(), None);
        document.perform("Title", titled("One"), false).unwrap();
        document.saved_as(PathBuf::from("one.ron"), Arc::clone(document.project()), Known::default());
        assert!(!document.is_unsaved());
        document.perform("Title", titled("Two"), false).unwrap();
        assert!(document.is_unsaved());
        document.undo();
        assert!(!document.is_unsaved());
        document.redo();
        assert!(document.is_unsaved());
    }

    #[test]
    fn changes_made_while_saving_stay_unsaved() {
        let mut document = Document::new(Project::default(), None);
        document.perform("Title", titled("One"), false).unwrap();
        let snapshot = Arc::clone(document.project());
        document.perform("Title", titled("Two"), false).unwrap();
        document.saved_as(PathBuf::from("one.ron"), snapshot, Known::default());
        assert!(document.is_unsaved());
    }
}
