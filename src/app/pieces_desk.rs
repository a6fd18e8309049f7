//! Pieces counted out in every size, and their picture, worked out on threads.

use std::sync::Arc;

use super::derived::{Derived, Reading};
use super::document::{Document, DocumentId, Version};
use super::jobs::{Host, Jobs};
use crate::chart::Cell;
use crate::export::knitted_picture::{self, KnittedPicture, Sheet};
use crate::knit::pieces::yoke::{self, Compromise, PieceBrief, Solution};
use crate::knit::pieces::{Fabric, Opening, Piece, Size, Unworkable, Ways, WorkedPiece, openings};
use crate::project::Project;

/// The pieces in one size; one that cannot be worked says why.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeWorked {
    /// The size.
    pub size: Size,
    /// In the order of the plan.
    pub pieces: Vec<Result<WorkedPiece, Unworkable>>,
    /// What must pass through each opening; none while a piece cannot be worked.
    pub openings: Vec<Opening>,
    /// The ease as worked, in cm; `None` where no pieces go around what is measured, or one cannot be worked.
    pub ease_cm: Option<f64>,
}

/// The pieces in all sizes.
#[derive(Clone, Debug, PartialEq)]
pub struct PiecesWorked {
    /// In the order of the plan; never none.
    pub sizes: Vec<SizeWorked>,
    /// Which of them is worked.
    pub chosen: usize,
    /// For each piece and band the palette slots its stitches have.
    pub slots: Vec<Vec<Vec<usize>>>,
    /// For each piece that can be worked the stitches of all its copies, in the worked size.
    pub stitches: Vec<Option<Ways>>,
}

impl PiecesWorked {
    /// Counts out the pieces of `project`.
    pub fn of(project: &Project) -> Self {
        let plan = &project.pieces;
        let worked = |size: Size| {
            let pieces = project.work_each_piece(&size);
            let all: Result<Vec<WorkedPiece>, _> = pieces.iter().cloned().collect();
            let (openings, ease_cm) = all.map_or_else(
                |_| (Vec::new(), None),
                |worked| {
                    let openings = openings(&plan.pieces, &worked, &size, project.plan.gauge);
                    (openings, project.ease_as_worked(&size, &worked))
                },
            );
            SizeWorked { size, pieces, openings, ease_cm }
        };
        let sizes: Vec<SizeWorked> = plan.all_sizes().into_iter().map(worked).collect();
        let chosen = plan.chosen.min(sizes.len() - 1);
        let all = |piece: &WorkedPiece| Ways::of(piece, project.pattern());
        let stitches = sizes[chosen].pieces.iter().map(|piece| piece.as_ref().ok().map(all)).collect();
        let slots = |piece: &Piece| band_slots(project, piece);
        Self { slots: plan.pieces.iter().map(slots).collect(), sizes, chosen, stitches }
    }

    /// A piece in the worked size, when there is one and it was counted.
    pub fn piece(&self, place: usize) -> Option<&Result<WorkedPiece, Unworkable>> {
        self.sizes.get(self.chosen)?.pieces.get(place)
    }
}

/// The palette slots of each band, lowest first; those of a plain band in the order they are worked.
fn band_slots(project: &Project, piece: &Piece) -> Vec<Vec<usize>> {
    let pattern = project.pattern();
    let of_chart = |region, edge: u32, colours: &[usize]| {
        let region = pattern.region(region);
        let columns = region.x as usize..(region.x + region.width) as usize;
        let mut used = [false; Cell::MAX_SLOTS];
        for y in region.y..region.y + region.height {
            let row = pattern.grid.row(y).get(columns.clone()).unwrap_or_default();
            row.iter().filter_map(|cell| cell.index()).for_each(|slot| used[slot] = true);
        }
        if edge > 0
            && let Some(used) = colours.first().and_then(|slot| used.get_mut(*slot))
        {
            *used = true;
        }
        (0..used.len()).filter(|slot| used[*slot]).collect()
    };
    let of_band = |band: &crate::knit::pieces::Band| match band.fabric {
        Fabric::Chart { region, edge } => of_chart(region, edge, &band.colours),
        Fabric::Plain | Fabric::Ribbing { .. } | Fabric::Garter | Fabric::Moss => band.colours.clone(),
    };
    piece.bands.iter().map(of_band).collect()
}

/// A piece with all its sizes solved together.
#[derive(Clone, Debug, PartialEq)]
pub struct Solved {
    /// What was asked.
    pub brief: PieceBrief,
    /// The answer.
    pub solution: Solution,
}

impl Solved {
    /// Solves the piece at `place` with what its bands hold, or says in a sentence why that cannot be.
    fn of(project: &Project, place: usize) -> Result<Self, String> {
        let plan = &project.pieces;
        let sizes = plan.all_sizes();
        let brief = PieceBrief::of(&plan.pieces, place, &sizes, project.plan.gauge, &project.pattern());
        let brief = brief.map_err(|error| error.to_string())?;
        let solution = yoke::solve(&brief.brief).map_err(|error| error.to_string())?;
        Ok(Self { brief, solution })
    }
}

/// What is worked out for the Pieces workspace.
pub struct PiecesDesk {
    /// The pieces in every size.
    pub worked: Derived<Version, PiecesWorked>,
    /// The pieces of the worked size, drawn for a sheet.
    pub picture: Derived<(Version, Sheet), KnittedPicture>,
    /// A piece with all its sizes solved, when it is asked for.
    solved: Derived<(Version, usize), Result<Solved, String>>,
    /// What the nearest other choices of one size of it cost.
    compromises: Derived<(Version, usize, usize), Vec<Compromise>>,
}

impl PiecesDesk {
    /// A desk on which nothing lies yet.
    pub fn of(document: DocumentId) -> Self {
        Self {
            worked: Derived::of(document, "counts of the pieces"),
            picture: Derived::of(document, "pictures of the pieces"),
            solved: Derived::of(document, "solutions of the pieces"),
            compromises: Derived::of(document, "costs of other solutions"),
        }
    }

    /// The pieces counted out.
    pub fn worked(&self, document: &Document, jobs: &Jobs<impl Host>) -> Reading<PiecesWorked> {
        let project = Arc::clone(document.project());
        self.worked.ask(&document.version(), jobs, move || PiecesWorked::of(&project))
    }

    /// The piece at `place` with all its sizes solved together.
    pub fn solved(
        &self,
        document: &Document,
        jobs: &Jobs<impl Host>,
        place: usize,
    ) -> Reading<Result<Solved, String>> {
        let project = Arc::clone(document.project());
        self.solved.ask(&(document.version(), place), jobs, move || Solved::of(&project, place))
    }

    /// What the nearest other choices of one size (by its place) cost in that solution.
    pub fn compromises(
        &self,
        document: &Document,
        jobs: &Jobs<impl Host>,
        (place, size): (usize, usize),
    ) -> Reading<Vec<Compromise>> {
        let project = Arc::clone(document.project());
        self.compromises.ask(&(document.version(), place, size), jobs, move || {
            match Solved::of(&project, place) {
                Ok(solved) => yoke::compromises(&solved.brief.brief, &solved.solution, size),
                Err(_) => Vec::new(),
            }
        })
    }

    /// The pieces of the worked size, drawn.
    pub fn picture(
        &self,
        document: &Document,
        jobs: &Jobs<impl Host>,
        sheet: Sheet,
    ) -> Reading<KnittedPicture> {
        let project = Arc::clone(document.project());
        self.picture.ask(&(document.version(), sheet), jobs, move || {
            let worked = project.work_each_piece(&project.pieces.size());
            let pieces: Vec<(usize, &WorkedPiece)> =
                worked.iter().enumerate().filter_map(|(i, piece)| Some((i, piece.as_ref().ok()?))).collect();
            knitted_picture::draw(&project, &pieces, &sheet)
        })
    }
}
