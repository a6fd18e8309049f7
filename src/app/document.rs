//! The open project with its history and its file.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};

use crate::project::{Edit, History, Project, ProjectError, Touched};

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

/// The open project. Worker threads take cheap clones of [`Document::project`].
#[derive(Debug)]
pub struct Document {
    id: DocumentId,
    project: Arc<Project>,
    history: History,
    path: Option<PathBuf>,
    revision: u64,
    /// What was last given to be written, and where, until it is known what came of it.
    saving: Option<(PathBuf, Arc<Project>)>,
    /// What is in the file, to tell whether there is anything to save.
    saved: Arc<Project>,
    unsaved: bool,
}

impl Document {
    /// A freshly opened or new project.
    pub fn new(project: impl Into<Arc<Project>>, path: Option<PathBuf>) -> Self {
        let project = project.into();
        Self {
            id: DocumentId::fresh(),
            saved: Arc::clone(&project),
            project,
            history: History::default(),
            path,
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
        self.saving.as_ref().map(|(path, _)| path.as_path()).or(self.path.as_deref())
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
        label: &'static str,
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

    /// Carries the newest undone step out again.
    pub fn redo(&mut self) -> Option<Touched> {
        let touched = self.history.redo(Arc::make_mut(&mut self.project));
        self.moved_in_history(touched)
    }

    fn moved_in_history(&mut self, touched: Option<Touched>) -> Option<Touched> {
        if touched.is_some() {
            self.revision += 1;
            self.unsaved = *self.project != *self.saved;
        }
        touched
    }

    /// Gives the project as it is now to be written to `path`.
    pub fn begin_saving(&mut self, path: PathBuf) -> Arc<Project> {
        self.saving = Some((path, Arc::clone(&self.project)));
        Arc::clone(&self.project)
    }

    /// Whether all there is to save is being written.
    pub fn is_being_saved(&self) -> bool {
        self.saving.as_ref().is_some_and(|(_, project)| Arc::ptr_eq(project, &self.project))
    }

    /// `project` now lies in the file at `path`; what changed since stays unsaved.
    pub fn saved_as(&mut self, path: PathBuf, project: Arc<Project>) {
        self.end_saving(&path, &project);
        self.unsaved = !Arc::ptr_eq(&project, &self.project) && *project != *self.project;
        self.saved = project;
        self.path = Some(path);
    }

    /// `project` could not be written to `path`.
    pub fn not_saved(&mut self, path: &Path, project: &Arc<Project>) {
        self.end_saving(path, project);
    }

    fn end_saving(&mut self, path: &Path, project: &Arc<Project>) {
        // A later save is still under way unless this was it.
        self.saving.take_if(|(to, what)| to == path && Arc::ptr_eq(what, project));
    }

    /// A recovered project has changes that no file holds.
    pub const fn mark_unsaved(&mut self) {
        self.unsaved = true;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn titled(title: &str) -> Edit {
        Edit::About { title: title.to_owned(), notes: String::new() }
    }

    #[test]
    fn undoing_back_to_the_file_leaves_nothing_to_save() {
        let mut document = Document::new(Project::default(), None);
        document.perform("Title", titled("One"), false).unwrap();
        document.saved_as(PathBuf::from("one.ron"), Arc::clone(document.project()));
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
        document.saved_as(PathBuf::from("one.ron"), snapshot);
        assert!(document.is_unsaved());
    }
}
