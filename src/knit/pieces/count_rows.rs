//! The worked rows of pieces, handed to the count one by one.

use std::sync::Arc;

use super::model::{EndEdge, Fabric, StartEdge};
use super::pace::Ways;
use super::repeat_rows::Pattern;
use super::repeat_rows::RepeatRows;
use super::steps::{Finish, bridge_group};
use super::worked::{BandCells, WorkedBand, WorkedPiece, live_stitches};
use super::yarn::{PiecesYarnInput, YarnChange};
use crate::chart::{Cell, Rect};
use crate::knit::{
    ColourCounts, Construction, CountHow, EdgeWork, RowColours, RowHow, RowKey, RowUse, RowUses, Stitch,
    Tally, Technique, UsedRows,
};

/// Counts all copies of `piece` and what is done when they are finished, per palette slot; `None` when its chart part holds no stitch.
pub(super) fn count_piece(
    piece: &WorkedPiece,
    input: &PiecesYarnInput,
    uses: &mut RowUses,
) -> Option<Vec<ColourCounts>> {
    let widest = piece.bands.iter().flat_map(|band| &band.row_stitches).copied().max()?;
    let mut tally = Tally::new(input.float_limit);
    // The first and the last row that has a stitch, each with the colour its edge is wished in.
    let (mut first, mut last) = (None, None);
    for (place, band) in piece.bands.iter().enumerate() {
        let cells = band.cells(&input.pattern)?;
        let how = RowHow {
            technique: technique(band, input.change),
            construction: piece.construction,
            stitch: match band.fabric {
                Fabric::Ribbing { .. } => Stitch::Ribbing,
                Fabric::Plain | Fabric::Garter | Fabric::Moss | Fabric::Chart { .. } => Stitch::Plain,
            },
            left: 0,
        };
        // A row that picks stitches up, or gains or loses them evenly, is knitted plain.
        let plain_first = band.change_at_start() != 0 || (place == 0 && piece.picks_up());
        let used = used_rows(band, &cells, uses);
        let mut worked = used.rows().iter().filter(|row| row.colours() > 0);
        let wished = edge_slot(band, input.change);
        if let Some(lowest) = worked.next() {
            first.get_or_insert_with(|| (Arc::clone(lowest), wished));
            last = Some((Arc::clone(worked.next_back().unwrap_or(lowest)), wished));
        }
        if how.technique == Technique::Intarsia || (plain_first && how.stitch != Stitch::Plain) {
            for (at, (row, stitches)) in used.rows().iter().zip(&band.row_stitches).enumerate() {
                // Narrower rows stand on the centre line.
                let stitch = if plain_first && at == 0 { Stitch::Plain } else { how.stitch };
                tally.row(row, RowHow { left: (widest - stitches) / 2, stitch, ..how });
            }
        } else {
            used.blocks(how, input.float_limit).for_each(|block| tally.block(block, how.construction));
        }
        let own = Cell::slot(edge_slot(band, input.change).min(Cell::MAX_SLOTS) as u8);
        for extra in &band.then {
            for stitches in extra.rows() {
                let row = RowUse::of(&vec![own; *stitches as usize], input.float_limit);
                tally.row(&row, RowHow { stitch: Stitch::Plain, ..how });
            }
        }
    }
    let slot = |edge: Option<(Arc<RowUse>, usize)>| edge.and_then(|(row, wished)| row.edge_slot(wished));
    let (first, last) = (slot(first), slot(last));
    match (piece.start, first) {
        (StartEdge::CastOn, Some(slot)) => tally.edge(EdgeWork::CastOn, slot, piece.first_stitches()),
        // Picked up before the first row; what is picked up within a row is counted there.
        (StartEdge::PickedUp, Some(slot)) if piece.taken.is_empty() => {
            tally.edge(EdgeWork::Grafting, slot, piece.first_stitches());
        }
        _ => {}
    }
    match (piece.end, last) {
        (EndEdge::BoundOff, Some(slot)) => tally.edge(EdgeWork::BindOff, slot, piece.last_stitches()),
        // Front is grafted to back: one new row over half the stitches.
        (EndEdge::Grafted, Some(slot)) => tally.edge(EdgeWork::Grafting, slot, piece.last_stitches() / 2),
        _ => {}
    }
    let mut all: Vec<ColourCounts> =
        tally.counts().into_iter().map(|counts| counts.times(u64::from(piece.copies))).collect();
    if let Some(slot) = last {
        for (sum, once) in all.iter_mut().zip(finished(piece, input.pieces, slot)) {
            *sum += once;
        }
    }
    Some(all)
}

/// What is grafted or bound off together when the last copy is finished, in this colour.
fn finished(piece: &WorkedPiece, pieces: &[WorkedPiece], slot: usize) -> Vec<ColourCounts> {
    let mut tally = Tally::new(1);
    for finish in &piece.finish {
        match finish {
            Finish::Graft { one, .. } => tally.edge(EdgeWork::Grafting, slot, live_stitches(pieces, one)),
            Finish::ThreeNeedle { one, .. } => {
                tally.edge(EdgeWork::BindOff, slot, live_stitches(pieces, one));
            }
            Finish::Steek { place, .. } => {
                tally.edge(EdgeWork::BindOff, slot, live_stitches(pieces, &bridge_group(place)));
            }
            Finish::Seam(_) => {}
        }
    }
    tally.counts()
}

/// The stitches of one copy of `piece`, by how they are worked: rows of one colour are plain in every technique.
/// Where the chart part holds no stitch all are plain.
pub(super) fn ways_of(piece: &WorkedPiece, pattern: Pattern) -> Ways {
    let mut ways = Ways::default();
    let mut uses = RowUses::default();
    for band in &piece.bands {
        let Some(cells) = band.cells(&pattern) else {
            ways.plain += band.stitches();
            continue;
        };
        let used = used_rows(band, &cells, &mut uses);
        for (row, stitches) in used.rows().iter().zip(&band.row_stitches) {
            let several = row.colours() > 1;
            *match (band.technique, several) {
                (Technique::Stranded, true) => &mut ways.stranded,
                (Technique::Intarsia, true) => &mut ways.intarsia,
                _ => &mut ways.plain,
            } += u64::from(*stitches);
        }
        ways.plain += band.short_stitches();
    }
    ways
}

/// Counts the fabric of the repeats that bands work once each, as a swatch in their colours is knitted: in the round, or
/// so that every float runs all the way. `None` when no band works a chart.
pub(super) fn count_repeats(input: &PiecesYarnInput, uses: &mut RowUses) -> Option<Vec<ColourCounts>> {
    let mut tally = Tally::new(input.float_limit);
    let mut told: Vec<Rect> = Vec::new();
    for band in input.pieces.iter().flat_map(|piece| &piece.bands) {
        let Some(region) = band.chart.map(|fit| fit.region).filter(|region| !told.contains(region)) else {
            continue;
        };
        told.push(region);
        let how = RowHow {
            technique: technique(band, input.change),
            construction: Construction::InTheRound,
            stitch: Stitch::Plain,
            left: 0,
        };
        let rows = RepeatRows::of(input.pattern.grid, region)?;
        let key = |r: usize| {
            let (row, columns) = rows.mark(r);
            let colours = RowColours::Chart { row, columns, moved: 0, edges: (0, 0), edge_slot: 0 };
            RowKey { stitches: rows.width(r), colours }
        };
        let keys: Vec<RowKey> = (0..rows.count()).map(key).collect();
        let put = |r: usize, cells: &mut Vec<Cell>| {
            cells.clear();
            cells.extend_from_slice(rows.row(r));
        };
        let used = uses.of(&keys, put);
        if how.technique == Technique::Intarsia {
            used.rows().iter().for_each(|row| tally.fabric(row, how));
        } else {
            used.blocks(how, input.float_limit).for_each(|block| tally.fabric_of_block(block));
        }
    }
    (!told.is_empty()).then(|| tally.counts())
}

/// How the rows of a band use their colours, from the first.
fn used_rows<'u>(band: &WorkedBand, cells: &BandCells, uses: &'u mut RowUses) -> &'u mut UsedRows {
    let keys: Vec<RowKey> = (0..band.rows()).map(|r| cells.row_key(r)).collect();
    uses.of(&keys, |r, row| cells.row(r as u32, row))
}

/// Begins a count of `input`.
pub(super) fn begin_count(input: &PiecesYarnInput, uses: &mut RowUses) {
    let heir = match input.change {
        Some(YarnChange::Drop { slot, heir }) => Some((slot, heir)),
        Some(YarnChange::Technique(_)) | None => None,
    };
    let mut bands = input.pieces.iter().flat_map(|piece| &piece.bands);
    let areas = bands.any(|band| technique(band, input.change) == Technique::Intarsia);
    uses.begin(CountHow { float_limit: input.float_limit, heir, areas });
}

/// The colour in which the edges of a band are worked, if its rows have it.
fn edge_slot(band: &WorkedBand, change: Option<YarnChange>) -> usize {
    let slot = band.colours.first().copied().unwrap_or(0);
    match change {
        Some(YarnChange::Drop { slot: dropped, heir }) if dropped == slot => heir,
        _ => slot,
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
