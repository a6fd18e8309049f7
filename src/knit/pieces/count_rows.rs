//! What the rows of a worked piece ask of each colour.

use super::model::{EndEdge, Fabric, StartEdge};
use super::worked::{WorkedBand, WorkedPiece};
use super::yarn::{PiecesYarnInput, YarnChange};
use crate::chart::{Cell, Grid, Rect};
use crate::knit::row_use::{self, Plan};
use crate::knit::{Construction, Technique};

const SLOTS: usize = Cell::MAX_SLOTS;

/// One colour of one copy of a piece.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct ColourCounts {
    /// Stitches that are not ribbing.
    pub plain: f64,
    /// Stitches of ribbing.
    pub ribbing: f64,
    /// Stitches it is carried behind.
    pub carried: f64,
    /// Places where a long float is caught.
    pub catches: f64,
    /// Rows it is carried up the edge while it rests.
    pub carried_up: f64,
    /// Lengths of yarn that begin and end.
    pub strands: f64,
}

/// One copy of a piece.
pub(super) struct PieceCounts {
    pub colours: [ColourCounts; SLOTS],
    /// Colour and stitches of the cast-on, where there is one.
    pub cast_on: Option<(usize, u32)>,
    /// Colour and stitches of the bind-off, where there is one.
    pub bind_off: Option<(usize, u32)>,
    /// Colour and stitches of the grafting, where there is one.
    pub grafted: Option<(usize, u32)>,
}

/// Counts one copy of `piece`; `None` when its chart part holds no stitch.
pub(super) fn count_piece(piece: &WorkedPiece, input: &PiecesYarnInput) -> Option<PieceCounts> {
    let fabric = recoloured(piece.fabric(&input.pattern)?, input.change)?;
    let mut counts = PieceCounts {
        colours: [ColourCounts::default(); SLOTS],
        cast_on: None,
        bind_off: None,
        grafted: None,
    };
    let mut last_used = [None; SLOTS];
    let (mut first_colour, mut last_colour) = (None, None);
    let mut from = 0;
    for band in &piece.bands {
        let rows = Rect::new(0, from, fabric.width(), band.rows());
        from += band.rows();
        let plan = Plan {
            technique: technique(band, input.change),
            construction: piece.construction,
            around: 1.0,
            up: 1.0,
            edge: 0.0,
            edge_slot: 0,
            float_limit: input.float_limit.max(1),
        };
        let band_counts = row_use::count(&fabric, rows, plan);
        first_colour = first_colour.or(band_counts.cast_on);
        last_colour = band_counts.bind_off.or(last_colour);
        for (sums, slot) in counts.colours.iter_mut().zip(&band_counts.slots) {
            match band.fabric {
                Fabric::Ribbing { .. } => sums.ribbing += slot.stitches,
                Fabric::Plain | Fabric::Garter | Fabric::Moss | Fabric::Chart { .. } => {
                    sums.plain += slot.stitches;
                }
            }
            sums.carried += slot.carried;
            sums.catches += slot.catches;
            sums.carried_up += slot.carried_up;
            sums.strands += slot.strands;
        }
        carry_on(&fabric, rows, piece.construction, &mut last_used, &mut counts.colours);
    }
    let edge = |colour: Option<usize>, stitches| Some((colour?, stitches));
    if piece.start == StartEdge::CastOn {
        counts.cast_on = edge(first_colour, piece.first_stitches());
    }
    match piece.end {
        EndEdge::BoundOff => counts.bind_off = edge(last_colour, piece.last_stitches()),
        // Front is grafted to back: one new row over half the stitches.
        EndEdge::Grafted => counts.grafted = edge(last_colour, piece.last_stitches() / 2),
        EndEdge::Live | EndEdge::DrawnTogether => {}
    }
    Some(counts)
}

/// A colour that the band before leaves at hand goes on without new ends.
fn carry_on(
    fabric: &Grid,
    rows: Rect,
    construction: Construction,
    last_used: &mut [Option<u32>; SLOTS],
    colours: &mut [ColourCounts; SLOTS],
) {
    let mut seen = [false; SLOTS];
    for y in rows.y..rows.y + rows.height {
        for slot in fabric.row(y).chunk_by(|a, b| a == b).filter_map(|run| run[0].index()) {
            if !seen[slot] {
                seen[slot] = true;
                let rested = last_used[slot].map(|last| y - last - 1);
                if let Some(rested) = rested.filter(|rows| row_use::is_carried(*rows, construction)) {
                    colours[slot].strands -= 1.0;
                    colours[slot].carried_up += f64::from(rested);
                }
            }
            last_used[slot] = Some(y);
        }
    }
}

/// How a band is worked after the change: one that has only one colour stays as it is.
fn technique(band: &WorkedBand, change: Option<YarnChange>) -> Technique {
    let several = matches!(band.fabric, Fabric::Chart { .. }) || band.colours.len() > 1;
    match change {
        Some(YarnChange::Technique(technique)) if several => technique,
        _ => band.technique,
    }
}

fn recoloured(fabric: Grid, change: Option<YarnChange>) -> Option<Grid> {
    let Some(YarnChange::Drop { slot, heir }) = change else { return Some(fabric) };
    let heir = Cell::slot(heir.min(SLOTS) as u8);
    let cell = |cell: &Cell| if cell.index() == Some(slot) { heir } else { *cell };
    let cells = fabric.cells().iter().map(cell).collect();
    Grid::from_cells(fabric.width(), fabric.height(), cells).ok()
}
