//! Everything the running program knows.

use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};

use super::derived::Reading;
use super::desks::Desks;
use super::dialog::Notice;
use super::document::{Document, DocumentId, Version};
use super::exports::{ExportOptions, Stopper};
use super::home::Home;
use super::jobs::{Host, Jobs};
use super::motifs::MotifLibrary;
use super::own_yarns::OwnYarns;
use super::photo_desk::PhotoDesk;
use super::progress::Standings;
use super::purpose::Next;
use super::recovery::{Found, Recovery};
use super::timed_search::SearchTime;
use super::view::{Columns, Eyes, Folds, TextSize, ThemeChoice, View};
use crate::chart::Grid;
use crate::file::Fingerprint;
use crate::file::recent::Settings;
use crate::file::recovery::LeftBehind;
use crate::project::Project;
use crate::project::figures::Figures;

/// The name the theme is remembered under.
pub(super) const THEME_KEY: &str = "theme";

/// The running program. The window reads the state and changes nothing but the view; all else goes
/// through [`super::update`].
pub struct Program {
    /// What is known.
    pub state: State,
    /// What is looked at.
    pub view: View,
}

/// What the program knows; changed by [`super::update`] alone.
pub struct State {
    /// The open project.
    pub document: Document,
    /// What is worked out for it.
    pub desks: Desks,
    /// The yarns described before, kept across projects.
    pub own_yarns: OwnYarns,
    /// Recent projects and remembered choices.
    pub settings: Settings,
    /// Light or dark, as chosen.
    pub theme: ThemeChoice,
    /// Which side columns are open.
    pub columns: Columns,
    /// Which parts of the right one are open.
    pub folds: Folds,
    /// How long a search for sets may take.
    pub search_time: SearchTime,
    /// Through which eyes colours are shown.
    pub eyes: Eyes,
    /// Messages in the corner.
    pub notices: Vec<Notice>,
    /// Copied stitches.
    pub clipboard: Option<Copied>,
    /// How large the window's text is, 1 as designed.
    pub text_size: TextSize,
    /// Last used export options.
    pub export_options: ExportOptions,
    /// Stops the export under way.
    pub exporting: Option<Arc<Stopper>>,
    /// Set when the window should close without more questions.
    pub may_close: bool,
    /// The photograph that colours are read off.
    pub photo: PhotoDesk,
    /// Motifs to choose from.
    pub motifs: MotifLibrary,
    /// Whether the system's file picker may be asked; tests type paths instead.
    pub system_picker: bool,
    /// Where background work is done.
    pub jobs: Jobs<Program>,
    pub(super) home: Home,
    /// The project that is being read; a newer wish replaces it.
    pub(super) opening: Option<Opening>,
    /// Files that are being written.
    pub(super) writing: usize,
    /// What happens once the save under way has succeeded.
    pub(super) after_saving: Option<Next>,
    /// The state of the project whose changes the person has given up.
    pub(super) given_up: Option<Version>,
    pub(super) next_notice: u64,
    pub(super) copies: u64,
    /// How far the copy of unsaved work is behind.
    pub(super) recovery: Recovery,
    /// Work of earlier windows that is still to be offered, the newest last.
    pub(super) left_behind: Vec<LeftBehind>,
    /// Work of an earlier window that is offered as soon as no other question is open.
    pub(super) found: Option<Found>,
    /// Counts the project files given to be written.
    pub(super) saves: u64,
    /// What this window itself wrote last into each file; shared with the thread that writes.
    pub(super) written: Arc<Mutex<HashMap<PathBuf, Fingerprint>>>,
}

/// Copied stitches, and the words that stand for them on the system's clipboard: as long as these lie there,
/// nothing else was copied since.
#[derive(Clone, Debug, PartialEq)]
pub struct Copied {
    /// The stitches.
    pub patch: Grid,
    /// Its "no stitch" is what was not chosen.
    pub has_gaps: bool,
    /// The words.
    pub words: String,
}

/// One wish to open a project, told from every other by where it lies.
pub(super) type Opening = Arc<()>;

impl Program {
    /// A program showing `project`.
    pub fn new(project: Project, home: Home, jobs: Jobs<Self>) -> Self {
        let settings = home.settings();
        let own_yarns = home.own_yarns();
        let document = Document::new(project, None);
        let state = State {
            text_size: TextSize::named(settings.choice(TextSize::KEY)),
            desks: Desks::of(document.id()),
            own_yarns,
            document,
            theme: ThemeChoice::named(settings.choice(THEME_KEY)),
            columns: Columns::named(settings.choice(Columns::KEY)),
            folds: Folds::named(settings.choice(Folds::KEY)),
            search_time: SearchTime::named(settings.choice(SearchTime::KEY)),
            settings,
            eyes: Eyes::default(),
            notices: Vec::new(),
            clipboard: None,
            copies: 0,
            export_options: ExportOptions::default(),
            exporting: None,
            may_close: false,
            photo: PhotoDesk::default(),
            motifs: MotifLibrary::default(),
            system_picker: true,
            jobs,
            home,
            opening: None,
            writing: 0,
            after_saving: None,
            given_up: None,
            next_notice: 0,
            recovery: Recovery::default(),
            left_behind: Vec::new(),
            found: None,
            saves: 0,
            written: Arc::default(),
        };
        Self { state, view: View::default() }
    }
}

impl Host for Program {
    fn complain(&mut self, text: String) {
        self.state.complain(text);
    }
}

impl State {
    /// The project as it is now.
    pub fn project(&self) -> &Project {
        self.document.project()
    }

    /// The figures of the chart, maybe of an earlier state of the project.
    pub fn figures(&self) -> Option<Arc<Figures>> {
        self.desks.figures(&self.document, &self.jobs).value()
    }

    /// How far each workspace has come, maybe in an earlier state of the project.
    pub fn standings(&self) -> Option<Arc<Standings>> {
        self.desks.standings(&self.document, &self.jobs).value()
    }

    /// Whether the figures shown belong to an earlier state of the project.
    pub fn figures_are_stale(&self) -> bool {
        !matches!(self.desks.figures.get(&self.document.version()), Reading::Fresh(_))
    }

    /// Whether this document is the open one.
    pub fn is_open(&self, document: DocumentId) -> bool {
        self.document.id() == document
    }

    /// Whether another project may be shown: all was saved, or the person has given up what was not.
    pub(super) fn may_leave(&self) -> bool {
        !self.document.is_unsaved() || self.given_up == Some(self.document.version())
    }

    /// The file name, or the title of a project that has none yet.
    pub fn name(&self) -> String {
        self.document
            .path()
            .and_then(Path::file_name)
            .map_or_else(|| self.project().title.clone(), |name| name.to_string_lossy().into_owned())
    }

    /// What the program is doing with files, for the status bar.
    pub fn busy(&self) -> Option<&'static str> {
        if self.writing > 0 {
            Some("Saving")
        } else if self.opening.is_some() {
            Some("Opening")
        } else if self.exporting.is_some() {
            Some("Exporting")
        } else {
            self.desks.cards.reading
        }
    }

    /// Keeps copied stitches.
    pub(super) fn copy(&mut self, patch: Grid, has_gaps: bool) {
        self.copies += 1;
        let (width, height, number) = (patch.width(), patch.height(), self.copies);
        // The process tells two windows apart.
        let window = std::process::id();
        let words = format!("Chart stitches {width} × {height}, copy {number} of window {window}");
        self.clipboard = Some(Copied { patch, has_gaps, words });
    }

    /// Says something in the corner.
    pub fn notify(&mut self, text: impl Into<String>) {
        self.push_notice(text.into(), false, None);
    }

    /// Says that the newest edit has happened; its notice can take it back while it is the newest.
    pub fn done(&mut self, text: impl Into<String>) {
        let version = self.document.version();
        self.push_notice(text.into(), false, Some(version));
    }

    /// Says that something went wrong; stays until dismissed.
    pub fn complain(&mut self, text: impl Into<String>) {
        self.push_notice(text.into(), true, None);
    }

    fn push_notice(&mut self, text: String, is_error: bool, undo: Option<Version>) {
        self.notices.retain(|notice| notice.text != text);
        self.notices.push(Notice { text, is_error, undo, id: self.next_notice });
        self.next_notice += 1;
    }
}
