//! What is worked out for the open document: figures off the window's thread, thrown away with it.

use std::sync::{Arc, Mutex, PoisonError};

use rayon::prelude::*;

use super::blank::offered;
use super::cards::Cards;
use super::colourway_desk::ColourwayDesk;
use super::derived::{Derived, Reading};
use super::document::{Document, DocumentId, Version};
use super::fabric_desk::FabricDesk;
use super::gauge_desk::GaugeDesk;
use super::jobs::{Host, Jobs};
use super::motifs::MotifLibrary;
use super::own_yarns::OwnYarns;
use super::picture_desk::PictureDesk;
use super::pieces_desk::PiecesDesk;
use super::progress::Standings;
use super::shelf::Shelf;
use super::weights::WeightsForm;
use crate::chart::{
    BasicShape, Cell, GridError, MotifFacts, MotifFit, Rect, RegionFit, motif_fit, region_fit,
    smallest_across,
};
use crate::knit::pieces::YarnChange;
use crate::knit::{AtWeight, Gauge};
use crate::project::figures::{Figures, FiguresMemory};
use crate::project::shopping::{Shopping, SizeSum};
use crate::project::{Side, SideFigures, StandIn};
use crate::units::Cm;
use crate::yarn::{Blend, Change, Needs, Ranked, rank, what_would_change};

/// A basic shape at a size, in cm, and a gauge.
pub type ShapeKey = (BasicShape, f64, Gauge);

/// The document, the count of changes to the yarns kept across projects, and the two that are held side by side.
pub type SidesKey = (Version, u64, [Side; 2]);

/// Everything derived from one document. Another document has other desks, so that no figure can
/// be shown beside a document it does not belong to.
pub struct Desks {
    /// Findings, yarn use and shares of the chart.
    pub figures: Derived<Version, Figures>,
    /// What they leave to those of the next state.
    memory: Arc<Mutex<FiguresMemory>>,
    /// How far each workspace has come, by the figures that were known.
    pub standings: Derived<(Version, Option<Version>), Standings>,
    /// How a basic shape fares.
    pub shape_fit: Derived<ShapeKey, Result<MotifFit, GridError>>,
    /// Stitches across the smallest circle that is one, in the proportion of these stitches; `None` when none is.
    pub smallest_circle: Derived<Gauge, Option<f64>>,
    /// How the motif in a region of the chart fares; `None` when it holds nothing but background.
    pub region_fit: Derived<(Version, Rect), Option<RegionFit>>,
    /// What may stand in for the yarn.
    pub stand_ins: Derived<(Version, u64), Vec<StandIn>>,
    /// The piece in two yarns or classes.
    pub side_by_side: Derived<SidesKey, Result<Vec<SideFigures>, String>>,
    /// Fibres and blends in order.
    pub fibres: Derived<(Needs, Vec<Blend>), FibreOrder>,
    /// Fibres and blends that a new project is offered for these needs, the best first.
    pub offered: Derived<Needs, Vec<Blend>>,
    /// What to buy with a change tried out, or why the pieces cannot be worked.
    pub shopping: Derived<(Version, Option<YarnChange>), Result<Shopping, String>>,
    /// What every size takes and costs.
    pub sizes: Derived<Version, Vec<SizeSum>>,
    /// What is to be known of every motif of the library, in its order, at a gauge.
    pub motif_facts: Derived<(u64, Gauge), Vec<MotifFacts>>,
    /// The chart in other colours.
    pub colourways: ColourwayDesk,
    /// A look at the knit fabric.
    pub fabric: FabricDesk,
    /// A motif in every weight class.
    pub weights: Derived<(Version, WeightsForm), Result<Vec<AtWeight>, String>>,
    /// A chart from a picture, and floats mended, tried out.
    pub picture: PictureDesk,
    /// A photograph of a swatch.
    pub gauge: GaugeDesk,
    /// The pieces.
    pub pieces: PiecesDesk,
    /// Shades to choose from, and what was looked for among them.
    pub shelf: Shelf,
    /// The shade cards as they are looked at.
    pub cards: Cards,
}

impl Desks {
    /// Desks on which nothing lies yet.
    pub fn of(document: DocumentId) -> Self {
        Self {
            figures: Derived::of(document, "figures"),
            standings: Derived::of(document, "standings of the workspaces"),
            memory: Arc::default(),
            shape_fit: Derived::of(document, "figures of the shape"),
            smallest_circle: Derived::of(document, "smallest circle"),
            region_fit: Derived::of(document, "figures of the region"),
            stand_ins: Derived::of(document, "stand-ins"),
            side_by_side: Derived::of(document, "yarns side by side"),
            fibres: Derived::of(document, "fibres"),
            offered: Derived::of(document, "fibres for a new project"),
            shopping: Derived::of(document, "yarns to buy"),
            sizes: Derived::of(document, "sizes side by side"),
            motif_facts: Derived::of(document, "figures of the motifs"),
            colourways: ColourwayDesk::of(document),
            fabric: FabricDesk::of(document),
            weights: Derived::of(document, "motifs in every weight"),
            picture: PictureDesk::of(document),
            gauge: GaugeDesk::of(document),
            pieces: PiecesDesk::of(document),
            shelf: Shelf::of(document),
            cards: Cards::of(document),
        }
    }

    /// The figures of the chart.
    pub fn figures(&self, document: &Document, jobs: &Jobs<impl Host>) -> Reading<Figures> {
        let (project, memory) = (Arc::clone(document.project()), Arc::clone(&self.memory));
        self.figures.ask(&document.version(), jobs, move || {
            let open = || memory.lock().unwrap_or_else(PoisonError::into_inner);
            // Taken out while it is used: a job that breaks down leaves an empty one, not half of one.
            let mut taken = std::mem::take(&mut *open());
            let figures = Figures::after(&project, &mut taken);
            *open() = taken;
            figures
        })
    }

    /// How far each workspace has come.
    pub fn standings(&self, document: &Document, jobs: &Jobs<impl Host>) -> Reading<Standings> {
        self.figures(document, jobs);
        let (of, figures) = self.figures.newest().unzip();
        let project = Arc::clone(document.project());
        self.standings
            .ask(&(document.version(), of), jobs, move || Standings::of(&project, figures.as_deref()))
    }

    /// How a basic shape fares.
    pub fn shape_fit(&self, key: ShapeKey, jobs: &Jobs<impl Host>) -> Reading<Result<MotifFit, GridError>> {
        let (shape, width_cm, gauge) = key;
        self.shape_fit.ask(&key, jobs, move || motif_fit(shape, Cm::clamped(width_cm), gauge))
    }

    /// Stitches across the smallest circle that is one, in the proportion of these stitches.
    pub fn smallest_circle(&self, gauge: Gauge, jobs: &Jobs<impl Host>) -> Reading<Option<f64>> {
        let across = move || smallest_across(BasicShape::Circle, gauge.cell_aspect());
        self.smallest_circle.ask(&gauge, jobs, across)
    }

    /// How the motif in a region of the chart fares.
    pub fn region_fit(
        &self,
        document: &Document,
        jobs: &Jobs<impl Host>,
        region: Rect,
    ) -> Reading<Option<RegionFit>> {
        let project = Arc::clone(document.project());
        self.region_fit.ask(&(document.version(), region), jobs, move || {
            let background = Cell::slot(project.background_slot() as u8);
            region_fit(&project.chart.grid, region, background, project.plan.gauge)
        })
    }

    /// What is to be known of every motif of the library, in its order.
    pub fn motif_facts(
        &self,
        document: &Document,
        jobs: &Jobs<impl Host>,
        library: &MotifLibrary,
    ) -> Reading<Vec<MotifFacts>> {
        let (motifs, gauge) = (Arc::clone(library.all()), document.project().plan.gauge);
        self.motif_facts.ask(&(library.revision(), gauge), jobs, move || {
            motifs.par_iter().map(|motif| motif.facts(gauge)).collect()
        })
    }

    /// A motif in every weight class, the thinnest first.
    pub fn weights(
        &self,
        document: &Document,
        jobs: &Jobs<impl Host>,
        form: &WeightsForm,
    ) -> Reading<Result<Vec<AtWeight>, String>> {
        let (project, asked) = (Arc::clone(document.project()), form.clone());
        self.weights.ask(&(document.version(), form.clone()), jobs, move || asked.at_weights(&project))
    }

    /// What may stand in for the yarn, among the yarns of the shade cards and the person's own.
    pub fn stand_ins(
        &self,
        document: &Document,
        own: &OwnYarns,
        jobs: &Jobs<impl Host>,
    ) -> Reading<Vec<StandIn>> {
        let yarns = Arc::clone(own.yarns());
        let project = Arc::clone(document.project());
        self.stand_ins.ask(&(document.version(), own.revision()), jobs, move || project.stand_ins(&yarns))
    }

    /// The worked size in two yarns or classes.
    pub fn side_by_side(
        &self,
        document: &Document,
        own: &OwnYarns,
        jobs: &Jobs<impl Host>,
        sides: [Side; 2],
    ) -> Reading<Result<Vec<SideFigures>, String>> {
        let (kept, project) = (Arc::clone(own.yarns()), Arc::clone(document.project()));
        let key = (document.version(), own.revision(), sides.clone());
        self.side_by_side.ask(&key, jobs, move || project.side_by_side(&sides, &kept))
    }

    /// These fibres and blends in order for these needs.
    pub fn fibres(&self, asked: &(Needs, Vec<Blend>), jobs: &Jobs<impl Host>) -> Reading<FibreOrder> {
        let (needs, candidates) = asked.clone();
        self.fibres.ask(asked, jobs, move || FibreOrder::of(needs, &candidates))
    }

    /// Fibres and blends that a new project is offered for these needs, the best first.
    pub fn offered(&self, needs: Needs, jobs: &Jobs<impl Host>) -> Reading<Vec<Blend>> {
        self.offered.ask(&needs, jobs, move || offered(needs))
    }

    /// What every size takes and costs.
    pub fn sizes(&self, document: &Document, jobs: &Jobs<impl Host>) -> Reading<Vec<SizeSum>> {
        let project = Arc::clone(document.project());
        self.sizes.ask(&document.version(), jobs, move || SizeSum::all(&project))
    }

    /// What to buy, with a change tried out.
    pub fn shopping(
        &self,
        document: &Document,
        jobs: &Jobs<impl Host>,
        change: Option<YarnChange>,
    ) -> Reading<Result<Shopping, String>> {
        let project = Arc::clone(document.project());
        self.shopping.ask(&(document.version(), change), jobs, move || {
            Shopping::of(&project, None, change).map_err(|error| error.to_string())
        })
    }
}

/// Fibres and blends in order for some needs, and what would change the order.
#[derive(Clone, Debug)]
pub struct FibreOrder {
    /// What the piece must withstand.
    pub needs: Needs,
    /// Best first.
    pub ranked: Vec<Ranked>,
    /// Answers that would put another first.
    pub changes: Vec<Change>,
}

impl FibreOrder {
    fn of(needs: Needs, candidates: &[Blend]) -> Self {
        Self { ranked: rank(needs, candidates), changes: what_would_change(needs, candidates), needs }
    }
}
