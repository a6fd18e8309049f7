//! A chart from a picture, a motif from an outline and floats mended, while they are tried out: worked out off the window's thread
//! and thrown away with the document.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::derived::{Derived, Reading};
use super::dialog::Dialog;
use super::document::{Document, DocumentId, Version};
use super::jobs::{For, Host, Jobs};
use super::state::Program;
use super::update::refuse;
use crate::chart::{MAX_SIDE, Point, Stitched};
use crate::file::{self, Outline, PictureNote};
use crate::from_picture::{Closeness, ColoursFrom, PictureWish, chart_of, rows_for};
use crate::knit::Gauge;
use crate::photo::{Picture, Watch, cell_means};
use crate::project::figures::Figures;
use crate::project::{Edit, MendBy, Mending, PictureColours, PictureFigures, Project};
use crate::yarn::Shade;

/// Where the colours of the chart come from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum ColourChoice {
    /// The picture.
    #[default]
    Picture,
    /// The project's shade cards.
    Shades,
    /// The palette as it is.
    Palette,
}

impl ColourChoice {
    /// All choices.
    pub const ALL: [Self; 3] = [Self::Picture, Self::Shades, Self::Palette];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Picture => "Of the picture",
            Self::Shades => "Shades on the cards",
            Self::Palette => "The palette",
        }
    }
}

/// What is asked about a picture.
#[derive(Clone, Debug, PartialEq)]
pub struct PictureForm {
    /// Width of the chart in stitches.
    pub stitches: u32,
    /// Where the colours come from.
    pub from: ColourChoice,
    /// Colours at most.
    pub colours: u32,
    /// How far areas are tidied up, `0..=100`.
    pub tidy: f64,
    /// Whether rows have a limit.
    pub limits_rows: bool,
    /// Colours of a row at most, when they have.
    pub per_row: u32,
    /// Whether colours are mixed stitch by stitch.
    pub dither: bool,
}

impl PictureForm {
    /// What is asked first: a chart as wide as the project's, but wide enough to show a picture.
    fn of(project: &Project) -> Self {
        let usual = PictureWish::default();
        Self {
            stitches: project.chart.grid.width().clamp(60, MAX_SIDE),
            from: ColourChoice::default(),
            colours: 8,
            tidy: usual.tidy,
            limits_rows: false,
            per_row: project.plan.colours_per_row.max(1),
            dither: usual.dither,
        }
    }
}

/// The picture a chart is made of.
#[derive(Clone, Debug)]
pub struct PictureSource {
    /// Told apart by number.
    pub number: u64,
    /// Its file name, without the folder.
    pub name: String,
    /// The picture.
    pub picture: Arc<Picture>,
    /// What had to be assumed about it.
    pub notes: Vec<PictureNote>,
}

/// A chart made from the picture, to look at.
#[derive(Clone, Debug)]
pub struct PictureTrial {
    /// The project with the chart in it.
    pub project: Arc<Project>,
    /// The edit that puts it there.
    pub edit: Edit,
    /// The chart as a project of its own.
    pub alone: Arc<Project>,
    /// How near its colours come to the picture's.
    pub closeness: Closeness,
    /// Whether the colours of every row are proven the best choice.
    pub rows_are_exact: bool,
    /// Lone stitches, colours in a row, floats.
    pub figures: PictureFigures,
    /// Metres of all yarn, likely.
    pub metres: f64,
}

/// Floats mended, to look at.
#[derive(Clone, Debug)]
pub struct MendTrial {
    /// What it comes to.
    pub mending: Mending,
    /// Stitches behind which a strand is caught; none where stitches change instead.
    pub catches: Vec<Point>,
    /// The project with the change.
    pub after: Arc<Project>,
}

type TrialKey = (u64, Version, PictureForm);

/// What is tried out.
pub struct PictureDesk {
    source: Option<PictureSource>,
    next_number: u64,
    trial: Derived<TrialKey, Result<PictureTrial, String>>,
    mending: Derived<(Version, MendBy), MendTrial>,
    outline: Option<(u64, Arc<Outline>)>,
    stitched: Derived<(u64, u32, Gauge), Result<Stitched, String>>,
}

impl PictureDesk {
    /// A desk on which nothing lies yet.
    pub fn of(document: DocumentId) -> Self {
        Self {
            source: None,
            next_number: 0,
            trial: Derived::of(document, "charts from the picture"),
            mending: Derived::of(document, "mended floats"),
            outline: None,
            stitched: Derived::of(document, "stitches of the outline"),
        }
    }

    /// The open picture.
    pub const fn source(&self) -> Option<&PictureSource> {
        self.source.as_ref()
    }

    /// The chart of the open picture by this form; why there is none, when it cannot be.
    pub fn trial(
        &self,
        document: &Document,
        jobs: &Jobs<impl Host>,
        form: &PictureForm,
    ) -> Reading<Result<PictureTrial, String>> {
        let Some(source) = &self.source else { return Reading::None };
        let (picture, project, asked) =
            (Arc::clone(&source.picture), Arc::clone(document.project()), form.clone());
        let name = source.name.clone();
        self.trial.ask(&(source.number, document.version(), form.clone()), jobs, move || {
            trial(&name, &picture, &project, &asked)
        })
    }

    /// The open outline as wide as this.
    pub fn stitched(
        &self,
        document: &Document,
        jobs: &Jobs<impl Host>,
        stitches: u32,
    ) -> Reading<Result<Stitched, String>> {
        let Some((number, outline)) = &self.outline else { return Reading::None };
        let (outline, gauge) = (Arc::clone(outline), document.project().plan.gauge);
        self.stitched.ask(&(*number, stitches, gauge), jobs, move || {
            let found = outline.stitched(stitches, gauge.cell_aspect());
            found.map_err(|error| format!("{error}; an outline may have up to {}", file::MOST_STITCHES))
        })
    }

    /// The floats mended this way.
    pub fn mending(&self, document: &Document, jobs: &Jobs<impl Host>, by: MendBy) -> Reading<MendTrial> {
        let project = Arc::clone(document.project());
        self.mending.ask(&(document.version(), by), jobs, move || {
            let mending = project.mending(by);
            let mut after = project;
            if let Some(edit) = mending.edit() {
                Arc::make_mut(&mut after).apply(edit);
            }
            let rows = 0..if by == MendBy::Catches { after.chart.grid.height() } else { 0 };
            let in_row = |y| after.catches_in_row(y).into_iter().map(move |at| Point::new(at.column, y));
            let catches = rows.flat_map(in_row).collect();
            MendTrial { mending, catches, after }
        })
    }
}

/// Opens a picture and asks what its chart is to be like.
pub(super) fn open(program: &mut Program, path: PathBuf) {
    let typed = program.view.typed.take();
    let state = &program.state;
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    state.jobs.start(
        For::Document(state.document.id()),
        "picture",
        move || file::load_picture(&path, &Watch::nobody()).map_err(|error| error.to_string()),
        move |program: &mut Program, loaded| match loaded {
            Ok(loaded) => {
                let desk = &mut program.state.desks.picture;
                let (number, picture) = (desk.next_number, Arc::new(loaded.picture));
                desk.next_number += 1;
                desk.source = Some(PictureSource { number, name, picture, notes: loaded.notes });
                program.view.dialog = Some(Dialog::Picture(PictureForm::of(program.state.project())));
            }
            Err(reason) => refuse(program, typed, reason),
        },
    );
}

/// Opens an outline and asks how wide it is to be.
pub(super) fn open_outline(program: &mut Program, path: PathBuf) {
    const FIRST: u32 = 24;
    let typed = program.view.typed.take();
    let state = &program.state;
    state.jobs.start(
        For::Document(state.document.id()),
        "outline",
        move || file::load_outline(&path).map_err(|error| error.to_string()),
        move |program: &mut Program, outline| match outline {
            Ok(outline) => {
                let desk = &mut program.state.desks.picture;
                desk.outline = Some((desk.next_number, Arc::new(outline)));
                desk.next_number += 1;
                program.view.dialog = Some(Dialog::Outline { stitches: FIRST });
            }
            Err(reason) => refuse(program, typed, reason),
        },
    );
}

/// The shades of the project's cards.
fn shades(project: &Project) -> Vec<Arc<Shade>> {
    let all = project.shade_cards.iter().flat_map(|card| card.shades());
    all.map(|shade| Arc::new(shade.clone())).collect()
}

fn trial(
    name: &str,
    picture: &Picture,
    project: &Project,
    form: &PictureForm,
) -> Result<PictureTrial, String> {
    let gauge = project.plan.gauge;
    let count = form.colours as usize;
    let slots = project.palette.slots();
    let (from, colours) = match form.from {
        ColourChoice::Picture => (ColoursFrom::Picture(count), PictureColours::Picture),
        ColourChoice::Shades => {
            let shades = shades(project);
            if shades.is_empty() {
                return Err(
                    "there are no shades on the cards: add a card in Yarn, or take the colours of the \
                            picture"
                        .to_owned(),
                );
            }
            let of_shades = shades.iter().map(|shade| shade.colour).collect();
            (ColoursFrom::Shades(of_shades, count), PictureColours::Shades(shades))
        }
        ColourChoice::Palette => {
            let own = slots.iter().map(|slot| slot.colour).collect();
            (ColoursFrom::These(own), PictureColours::Palette)
        }
    };
    let protected = match form.from {
        ColourChoice::Palette => Vec::new(),
        ColourChoice::Picture | ColourChoice::Shades => project.protected().map(|slot| slot.colour).collect(),
    };
    let wish = PictureWish {
        from,
        protected,
        tidy: form.tidy,
        per_row: form.limits_rows.then_some(form.per_row as usize),
        dither: form.dither,
    };
    let words = |error: &dyn std::fmt::Display| format!("{error}: choose another width");
    let rows = rows_for(form.stitches, (picture.width(), picture.height()), gauge).map_err(|e| words(&e))?;
    let (l, a, b) = slots[project.background_slot()].colour.to_oklab();
    let ground = [l, a, b].map(|value| value as f32);
    let means = cell_means(picture, (form.stitches, rows), ground, &Watch::nobody());
    let means = means.map_err(|error| error.to_string())?;
    let chart = chart_of(&means, gauge.cell_aspect(), &wish).map_err(|e| words(&e))?;
    let edit = project.with_picture(&chart, &colours).map_err(|e| e.to_string())?;
    let mut with = project.clone();
    with.apply(edit.clone());
    let title = Path::new(name).file_stem().unwrap_or_default().to_string_lossy();
    let alone = match form.from {
        ColourChoice::Palette => with.clone(),
        ColourChoice::Picture | ColourChoice::Shades => {
            Project::from_picture(&title, gauge, &chart, &colours).map_err(|e| e.to_string())?
        }
    };
    let figures = Figures::of(&with);
    Ok(PictureTrial {
        figures: PictureFigures::of(&with),
        metres: figures.knitted.yarn.metres().likely,
        project: Arc::new(with),
        alone: Arc::new(Project { units: project.units, ..alone }),
        edit,
        closeness: chart.closeness,
        rows_are_exact: chart.rows_are_exact,
    })
}
