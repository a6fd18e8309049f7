//! The open project with its history and its file.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use crate::project::{Edit, History, Project, Touched};

/// The open project. Worker threads take cheap clones of [`Document::project`].
#[derive(Debug)]
pub struct Document {
    project: Arc<Project>,
    history: History,
    path: Option<PathBuf>,
    revision: u64,
    /// What is in the file, to tell whether there is anything to save.
    saved: Arc<Project>,
    unsaved: bool,
}

impl Document {
    /// A freshly opened or new project. `revision` continues the window's count, so that a figure
    /// of an earlier project can never be taken for one of this.
    pub fn new(project: Project, path: Option<PathBuf>, revision: u64) -> Self {
        let project = Arc::new(project);
        Self {
            saved: Arc::clone(&project),
            project,
            history: History::default(),
            path,
            revision,
            unsaved: false,
        }
    }

    /// The project as it is now.
    pub const fn project(&self) -> &Arc<Project> {
        &self.project
    }

    /// Its file, once it has one.
    pub fn path(&self) -> Option<&Path> {
        self.path.as_deref()
    }

    /// Grows with every change.
    pub const fn revision(&self) -> u64 {
        self.revision
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
    pub fn perform(&mut self, label: &'static str, edit: Edit, in_gesture: bool) -> Touched {
        let project = Arc::make_mut(&mut self.project);
        let touched = self.history.perform(project, label, edit, in_gesture);
        self.revision += 1;
        self.unsaved = true;
        touched
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

    /// `project` now lies in the file at `path`; what changed since stays unsaved.
    pub fn saved_as(&mut self, path: PathBuf, project: Arc<Project>) {
        self.unsaved = !Arc::ptr_eq(&project, &self.project) && *project != *self.project;
        self.saved = project;
        self.path = Some(path);
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
        let mut document = Document::new(Project::default(), None, 0);
        document.perform("Title", titled("One"), false);
        document.saved_as(PathBuf::from("one.ron"), Arc::clone(document.project()));
        assert!(!document.is_unsaved());
        document.perform("Title", titled("Two"), false);
        assert!(document.is_unsaved());
        document.undo();
        assert!(!document.is_unsaved());
        document.redo();
        assert!(document.is_unsaved());
    }

    #[test]
    fn changes_made_while_saving_stay_unsaved() {
        let mut document = Document::new(Project::default(), None, 0);
        document.perform("Title", titled("One"), false);
        let snapshot = Arc::clone(document.project());
        document.perform("Title", titled("Two"), false);
        document.saved_as(PathBuf::from("one.ron"), snapshot);
        assert!(document.is_unsaved());
    }
}
