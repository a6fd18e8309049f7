//! Everything the running program knows.

use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

use super::blank::NewProject;
use super::cards::{CardAnswer, CardFile, Cards};
use super::document::Document;
use super::exports::{Export, ExportOptions, Written};
use super::jobs::Jobs;
use super::photo_desk::{PhotoAnswer, PhotoDesk};
use super::pieces_desk::{PiecesDesk, PiecesWorked};
use super::shelf::{Shelf, ShelfAnswer};
use super::shopping_desk::{ShoppingDesk, ShoppingKey};
use super::view::{ChartView, Columns, ThemeChoice, Workspace};
use crate::chart::{self, BasicShape, Grid, GridError, MotifFit, RegionFit};
use crate::export::knitted_picture::{KnittedPicture, Sheet};
use crate::file::recent::{self, Settings};
use crate::file::recovery::{self, Keeper, LeftBehind};
use crate::knit::Gauge;
use crate::project::figures::Figures;
use crate::project::shopping::Shopping;
use crate::project::{Project, StandIn};
use crate::yarn::{Blend, Change, Needs, Ranked};

/// What a worker thread answers.
pub enum Answer {
    /// Derived figures of the project at `revision`.
    Figures {
        /// The document's revision they were worked from.
        revision: u64,
        /// The figures.
        figures: Result<Box<Figures>, String>,
    },
    /// How a basic shape fares; `None` when that could not be worked out.
    ShapeFit(ShapeKey, Option<Result<MotifFit, GridError>>),
    /// How a drawn motif fares.
    RegionFit(RegionKey, Option<RegionFit>),
    /// What may stand in for the yarn of the project at this revision.
    StandIns(u64, Vec<StandIn>),
    /// Fibres in order; `None` when that could not be worked out.
    Fibres(Option<Box<FibreOrder>>),
    /// Shades on the cards.
    Shelf(ShelfAnswer),
    /// Pieces counted out in every size, of the project at `revision`.
    PiecesWorked {
        /// The document's revision they were worked from.
        revision: u64,
        /// The counts.
        worked: Result<Box<PiecesWorked>, String>,
    },
    /// The pieces drawn to scale.
    PiecesDrawn {
        /// The document's revision they were drawn from.
        revision: u64,
        /// What they were drawn for.
        sheet: Sheet,
        /// The picture.
        picture: Result<Box<KnittedPicture>, String>,
    },
    /// A project was read.
    Opened {
        /// Its file; `None` for a demo or a recovered copy.
        path: Option<PathBuf>,
        /// The project, or why not.
        project: Result<Box<Project>, String>,
    },
    /// A project was written.
    Saved {
        /// Its file.
        path: PathBuf,
        /// What was written.
        project: Arc<Project>,
        /// What was waiting for it.
        then: Option<Next>,
        /// Why it could not be.
        result: Result<(), String>,
    },
    /// What came of an export.
    Exported(Written),
    /// What to buy, or why the pieces cannot be worked.
    Shopping(ShoppingKey, Result<Arc<Shopping>, String>),
    /// A file was picked; `None` when the user thought better of it.
    Picked(Purpose, Option<PathBuf>),
    /// No system file picker answers here.
    NoPicker(Purpose),
    /// Something done in the background that only speaks when it fails.
    Quiet(Result<(), String>),
    /// What became of work on a photograph.
    Photo(PhotoAnswer),
    /// Something about the shade cards.
    Cards(CardAnswer),
}

/// Fibres and blends in order for some needs, and what would change the order.
#[derive(Clone, Debug)]
pub struct FibreOrder {
    /// What the piece must withstand.
    pub needs: Needs,
    /// What was ranked.
    pub candidates: Vec<Blend>,
    /// Best first.
    pub ranked: Vec<Ranked>,
    /// Answers that would put another first.
    pub changes: Vec<Change>,
}

/// A basic shape at a size, in cm, and a gauge.
pub type ShapeKey = (BasicShape, f64, Gauge);
/// A region of the chart at a revision of the document.
pub type RegionKey = (u64, chart::Rect);

/// Motif fits, worked out on a thread when the window asks for others than it has.
#[derive(Default)]
pub struct Fits {
    /// The newest fit of a basic shape, and what it was asked for.
    pub shape: Option<(ShapeKey, Result<MotifFit, GridError>)>,
    /// The newest fit of a region; `None` inside when it holds nothing but background.
    pub region: Option<(RegionKey, Option<RegionFit>)>,
    pub(super) shape_running: bool,
    pub(super) region_running: bool,
}

/// What a picked file is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// Open it.
    Open,
    /// Save to it, then go on.
    Save(Option<Next>),
    /// Write an export to it.
    Export(Export),
    /// Read colours off this photograph.
    Photograph,
    /// A shade card.
    Card(CardFile),
}

impl Purpose {
    /// Whether the file is read; otherwise it is written.
    pub const fn opens(&self) -> bool {
        match self {
            Self::Open | Self::Photograph => true,
            Self::Save(_) | Self::Export(_) => false,
            Self::Card(file) => file.opens(),
        }
    }
}

/// What waits for the answer to "save your changes?".
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Next {
    /// Begin an empty project.
    New,
    /// Open a project: this one, or one to be picked.
    Open(Option<PathBuf>),
    /// Open a demo by its number.
    Demo(usize),
    /// Leave.
    Quit,
}

/// The question in front of the window.
#[derive(Clone, Debug, PartialEq)]
pub enum Dialog {
    /// Save your changes first?
    Unsaved(Next),
    /// What the new project is to be.
    New(NewProject),
    /// A file name typed by hand, where no system picker answers.
    Path {
        /// What for.
        purpose: Purpose,
        /// The typed path.
        text: String,
        /// Writing there would replace a file; ask once.
        replaces: bool,
    },
    /// Options of an export.
    Export(Export, ExportOptions),
    /// New width and height of the chart.
    Resize {
        /// Stitches.
        stitches: u32,
        /// Rows.
        rows: u32,
    },
    /// A copy of unsaved work was found at start.
    Recovered(LeftBehind),
    /// The keys.
    Keys,
    /// Version and licence.
    About,
}

/// A message in the corner.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Notice {
    /// What happened.
    pub text: String,
    /// Errors stay until dismissed.
    pub is_error: bool,
    /// Told apart by number.
    pub id: u64,
}

/// Where the program remembers things between runs; nowhere in tests and where the system names no
/// folder for settings.
#[derive(Clone, Debug, Default)]
pub struct Home {
    dir: Option<PathBuf>,
    /// Where this window's unsaved work is kept.
    keeper: Option<Arc<Keeper>>,
}

impl Home {
    /// The system's folder for settings.
    pub fn of_system() -> Self {
        Self::at(recent::config_dir())
    }

    /// A folder of one's own.
    pub fn at(dir: Option<PathBuf>) -> Self {
        let begin = |dir: &PathBuf| {
            Keeper::begin(dir).map_err(|error| log::warn!("unsaved work cannot be kept: {error}")).ok()
        };
        let keeper = dir.as_ref().and_then(begin).map(Arc::new);
        Self { dir, keeper }
    }

    /// What was remembered.
    pub fn settings(&self) -> Settings {
        self.dir.as_deref().map(Settings::load).unwrap_or_default()
    }

    /// Unsaved work of a window that did not close in the usual way; the newest.
    pub fn left_behind(&self) -> Option<LeftBehind> {
        recovery::left_behind(self.dir.as_deref()?).into_iter().next()
    }

    pub(super) fn dir(&self) -> Option<&Path> {
        self.dir.as_deref()
    }

    pub(super) const fn keeper(&self) -> Option<&Arc<Keeper>> {
        self.keeper.as_ref()
    }
}

/// The name the theme is remembered under.
pub(super) const THEME_KEY: &str = "theme";

/// The program's state; changed by [`super::update`] alone, but for the view.
#[expect(clippy::struct_excessive_bools, reason = "independent facts about the running program")]
pub struct State {
    /// The open project.
    pub document: Document,
    /// How the chart is looked at.
    pub view: ChartView,
    /// Which workspace is shown.
    pub workspace: Workspace,
    /// Which side columns are open.
    pub columns: Columns,
    /// Recent projects and remembered choices.
    pub settings: Settings,
    /// Light or dark, as chosen.
    pub theme: ThemeChoice,
    /// Whether the window shows itself dark, which the system may decide.
    pub shows_dark: bool,
    /// The question in front of the window.
    pub dialog: Option<Dialog>,
    /// Messages in the corner.
    pub notices: Vec<Notice>,
    /// Copied stitches.
    pub clipboard: Option<Grid>,
    /// The newest derived figures (maybe of an earlier revision).
    pub figures: Option<Arc<Figures>>,
    /// Motif fits that were asked for.
    pub fits: Fits,
    /// The shade cards as they are looked at.
    pub cards: Cards,
    /// What may stand in for the yarn, and the revision it was worked from.
    pub stand_ins: Option<(u64, Vec<StandIn>)>,
    /// The newest order of fibres, maybe for other needs.
    pub fibres: Option<FibreOrder>,
    /// Shades to choose from, and what was looked for among them.
    pub shelf: Shelf,
    /// What is worked out for the Pieces workspace.
    pub pieces_desk: PiecesDesk,
    /// What to buy, worked out when the window asks for it.
    pub shopping: ShoppingDesk,
    /// Last used export options.
    pub export_options: ExportOptions,
    /// Stops the export under way.
    pub exporting: Option<Arc<AtomicBool>>,
    /// Set when the window should close without more questions.
    pub may_close: bool,
    /// A save or an export under way, for the status bar.
    pub busy: Option<&'static str>,
    /// The photograph that colours are read off.
    pub photo: PhotoDesk,
    /// Whether the system's file picker may be asked; tests type paths instead.
    pub system_picker: bool,
    pub(super) home: Home,
    pub(super) jobs: Jobs<Answer>,
    pub(super) figures_revision: Option<u64>,
    pub(super) figures_running: bool,
    pub(super) stand_ins_running: bool,
    pub(super) fibres_running: bool,
    pub(super) next_notice: u64,
    /// The revision the recovery copy was last written at.
    pub(super) recovery_revision: u64,
}

impl State {
    /// A program showing `project`.
    pub fn new(project: Project, home: Home, jobs: Jobs<Answer>) -> Self {
        let settings = home.settings();
        let mut state = Self {
            document: Document::new(project, None, 0),
            view: ChartView::default(),
            workspace: Workspace::default(),
            columns: Columns::named(settings.choice(Columns::KEY)),
            theme: ThemeChoice::named(settings.choice(THEME_KEY)),
            shows_dark: false,
            settings,
            home,
            dialog: None,
            notices: Vec::new(),
            clipboard: None,
            figures: None,
            fits: Fits::default(),
            cards: Cards::default(),
            stand_ins: None,
            fibres: None,
            shelf: Shelf::default(),
            pieces_desk: PiecesDesk::default(),
            shopping: ShoppingDesk::default(),
            export_options: ExportOptions::default(),
            exporting: None,
            may_close: false,
            busy: None,
            photo: PhotoDesk::default(),
            system_picker: true,
            jobs,
            figures_revision: None,
            figures_running: false,
            stand_ins_running: false,
            fibres_running: false,
            next_notice: 0,
            recovery_revision: 0,
        };
        state.refresh_figures();
        state
    }

    /// The project as it is now.
    pub fn project(&self) -> &Project {
        self.document.project()
    }

    /// Whether the figures shown belong to an earlier state of the project.
    pub fn figures_are_stale(&self) -> bool {
        self.figures_revision != Some(self.document.revision())
    }

    /// The file name, or the title of a project that has none yet.
    pub fn name(&self) -> String {
        self.document
            .path()
            .and_then(Path::file_name)
            .map_or_else(|| self.project().title.clone(), |name| name.to_string_lossy().into_owned())
    }

    /// Says something in the corner.
    pub fn notify(&mut self, text: impl Into<String>) {
        self.push_notice(text.into(), false);
    }

    /// Says that something went wrong; stays until dismissed.
    pub fn complain(&mut self, text: impl Into<String>) {
        self.push_notice(text.into(), true);
    }

    fn push_notice(&mut self, text: String, is_error: bool) {
        self.notices.retain(|notice| notice.text != text);
        self.notices.push(Notice { text, is_error, id: self.next_notice });
        self.next_notice += 1;
    }

    /// Starts working out the figures unless they are fresh or being worked out.
    pub(super) fn refresh_figures(&mut self) {
        if self.figures_running || !self.figures_are_stale() {
            return;
        }
        self.figures_running = true;
        let revision = self.document.revision();
        let project = Arc::clone(self.document.project());
        self.jobs.start(
            "figures",
            move || Answer::Figures { revision, figures: Ok(Box::new(Figures::of(&project))) },
            move |reason| Answer::Figures { revision, figures: Err(reason) },
        );
    }
}
