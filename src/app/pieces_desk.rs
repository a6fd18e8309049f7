//! Pieces counted out in every size, and their picture, worked out on threads.

use std::sync::Arc;

use super::state::{Answer, State};
use crate::chart::Cell;
use crate::export::knitted_picture::{self, KnittedPicture, Sheet};
use crate::knit::pieces::{Fabric, Piece, Size, Unworkable, WorkedPiece};
use crate::project::Project;

/// The pieces in one size; one that cannot be worked says why.
#[derive(Clone, Debug, PartialEq)]
pub struct SizeWorked {
    /// The size.
    pub size: Size,
    /// In the order of the plan.
    pub pieces: Vec<Result<WorkedPiece, Unworkable>>,
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
    pub stitches: Vec<Option<u64>>,
}

impl PiecesWorked {
    /// Counts out the pieces of `project`.
    pub fn of(project: &Project) -> Self {
        let plan = &project.pieces;
        let worked = |size: Size| SizeWorked { pieces: project.work_each_piece(&size), size };
        let sizes: Vec<SizeWorked> = plan.all_sizes().into_iter().map(worked).collect();
        let chosen = plan.chosen.min(sizes.len() - 1);
        let all = |piece: &WorkedPiece| piece.stitches().saturating_mul(u64::from(piece.copies));
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

/// What the Pieces workspace has been told by its threads.
#[derive(Default)]
pub struct PiecesDesk {
    /// The newest counts (maybe of an earlier revision).
    pub worked: Option<Arc<PiecesWorked>>,
    /// The newest picture (maybe of an earlier revision or another sheet), numbered.
    pub picture: Option<(u64, Arc<KnittedPicture>)>,
    worked_revision: Option<u64>,
    work_running: bool,
    drawn: Option<(u64, Sheet)>,
    pictures: u64,
    draw_running: bool,
}

impl PiecesDesk {
    /// Another project is open: what was worked out belongs to none of its pieces.
    pub(super) fn clear(&mut self) {
        self.worked = None;
        self.picture = None;
    }

    /// Whether the counts belong to an earlier state of the project.
    pub fn is_stale(&self, revision: u64) -> bool {
        self.worked_revision != Some(revision)
    }

    /// Whether the picture belongs to an earlier state of the project or another sheet.
    pub fn picture_is_stale(&self, revision: u64, sheet: &Sheet) -> bool {
        self.drawn != Some((revision, *sheet))
    }
}

/// Counts out the pieces unless that is under way; the window asks again while they are stale.
pub(super) fn work(state: &mut State) {
    if std::mem::replace(&mut state.pieces_desk.work_running, true) {
        return;
    }
    let revision = state.document.revision();
    let project = Arc::clone(state.document.project());
    state.jobs.start(
        "pieces",
        move || Answer::PiecesWorked { revision, worked: Ok(Box::new(PiecesWorked::of(&project))) },
        move |reason| Answer::PiecesWorked { revision, worked: Err(reason) },
    );
}

/// Draws the pieces of the worked size unless that is under way.
pub(super) fn draw(state: &mut State, sheet: Sheet) {
    if std::mem::replace(&mut state.pieces_desk.draw_running, true) {
        return;
    }
    let revision = state.document.revision();
    let project = Arc::clone(state.document.project());
    state.jobs.start(
        "pieces picture",
        move || {
            let worked = project.work_each_piece(&project.pieces.size());
            let pieces: Vec<(usize, &WorkedPiece)> =
                worked.iter().enumerate().filter_map(|(i, piece)| Some((i, piece.as_ref().ok()?))).collect();
            let picture = knitted_picture::draw(&project, &pieces, &sheet);
            Answer::PiecesDrawn { revision, sheet, picture: Ok(Box::new(picture)) }
        },
        move |reason| Answer::PiecesDrawn { revision, sheet, picture: Err(reason) },
    );
}

/// Takes in the counts. A fault must not be tried again and again: the revision counts as done.
pub(super) fn take_worked(state: &mut State, revision: u64, worked: Result<Box<PiecesWorked>, String>) {
    let desk = &mut state.pieces_desk;
    desk.work_running = false;
    desk.worked_revision = Some(revision);
    match worked {
        Ok(worked) => desk.worked = Some(Arc::new(*worked)),
        Err(reason) => state.complain(format!("The pieces could not be counted out: {reason}")),
    }
}

/// Takes in the picture.
pub(super) fn take_drawn(
    state: &mut State,
    revision: u64,
    sheet: Sheet,
    picture: Result<Box<KnittedPicture>, String>,
) {
    let desk = &mut state.pieces_desk;
    desk.draw_running = false;
    desk.drawn = Some((revision, sheet));
    match picture {
        Ok(picture) => {
            desk.pictures += 1;
            desk.picture = Some((desk.pictures, Arc::new(*picture)));
        }
        Err(reason) => state.complain(format!("The pieces could not be drawn: {reason}")),
    }
}
