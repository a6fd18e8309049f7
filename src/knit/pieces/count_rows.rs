//! The worked rows of pieces, handed to the count one by one.

use std::collections::HashMap;

use super::model::{EndEdge, Fabric, StartEdge};
use super::pace::Ways;
use super::repeat_rows::Pattern;
use super::repeat_rows::RepeatRows;
use super::steps::Finish;
use super::worked::{BandCells, WorkedBand, WorkedPiece, live_stitches};
use super::yarn::{PiecesYarnInput, YarnChange};
use crate::chart::{Cell, Rect};
use crate::knit::{ColourCounts, Construction, EdgeWork, RowHow, RowUse, Stitch, Tally, Technique};

/// Counts all copies of `piece` and what is done when they are finished, per palette slot; `None` when its chart part holds no stitch.
pub(super) fn count_piece(piece: &WorkedPiece, input: &PiecesYarnInput) -> Option<Vec<ColourCounts>> {
    let widest = piece.bands.iter().flat_map(|band| &band.row_stitches).copied().max()?;
    let mut tally = Tally::new(input.float_limit);
    let (mut first, mut last) = (None, None);
    for (place, band) in piece.bands.iter().enumerate() {
        let rows = BandRows::new(band, input)?;
        // A row that picks stitches up, or gains or loses them evenly, is knitted plain.
        let mut plain_first = band.change_at_start() != 0 || (place == 0 && piece.picks_up());
        let how = RowHow {
            technique: technique(band, input.change),
            construction: piece.construction,
            stitch: match band.fabric {
                Fabric::Ribbing { .. } => Stitch::Ribbing,
                Fabric::Plain | Fabric::Garter | Fabric::Moss | Fabric::Chart { .. } => Stitch::Plain,
            },
            left: 0,
        };
        rows.each(|row, stitches| {
            // Narrower rows stand on the centre line.
            let stitch = if std::mem::take(&mut plain_first) { Stitch::Plain } else { how.stitch };
            tally.row(row, RowHow { left: (widest - stitches) / 2, stitch, ..how });
            last = row.edge_slot(edge_slot(band, input.change)).or(last);
            first = first.or(last);
        });
        let own = Cell::slot(edge_slot(band, input.change).min(Cell::MAX_SLOTS) as u8);
        for extra in &band.then {
            for stitches in extra.rows() {
                let row = RowUse::of(&vec![own; *stitches as usize], input.float_limit);
                tally.row(&row, RowHow { stitch: Stitch::Plain, ..how });
            }
        }
    }
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
            Finish::Seam(_) | Finish::Steek { .. } => {}
        }
    }
    tally.counts()
}

/// The stitches of one copy of `piece`, by how they are worked: rows of one colour are plain in every technique.
/// Where the chart part holds no stitch all are plain.
pub(super) fn ways_of(piece: &WorkedPiece, pattern: Pattern) -> Ways {
    let mut ways = Ways::default();
    for band in &piece.bands {
        let Some(cells) = band.cells(&pattern) else {
            ways.plain += band.stitches();
            continue;
        };
        let rows = BandRows { band, cells, change: None, float_limit: 1 };
        rows.each(|row, stitches| {
            let several = row.colours() > 1;
            *match (band.technique, several) {
                (Technique::Stranded, true) => &mut ways.stranded,
                (Technique::Intarsia, true) => &mut ways.intarsia,
                _ => &mut ways.plain,
            } += u64::from(stitches);
        });
        ways.plain += band.short_stitches();
    }
    ways
}

/// Counts the repeats that bands work once each, as a swatch in their colours is knitted: in the round, or
/// so that every float runs all the way. `None` when no band works a chart.
pub(super) fn count_repeats(input: &PiecesYarnInput) -> Option<Vec<ColourCounts>> {
    let mut tally = Tally::new(input.float_limit);
    let mut told: Vec<Rect> = Vec::new();
    let mut cells = Vec::new();
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
        for r in 0..rows.count() {
            cells.clear();
            cells.extend(rows.row(r).iter().map(|cell| recoloured(*cell, input.change)));
            tally.row(&RowUse::of(&cells, input.float_limit), how);
        }
    }
    (!told.is_empty()).then(|| tally.counts())
}

/// The rows of a band.
struct BandRows<'a> {
    band: &'a WorkedBand,
    cells: BandCells<'a>,
    change: Option<YarnChange>,
    float_limit: u32,
}

impl<'a> BandRows<'a> {
    fn new(band: &'a WorkedBand, input: &PiecesYarnInput<'a>) -> Option<Self> {
        let cells = band.cells(&input.pattern)?;
        Some(Self { band, cells, change: input.change, float_limit: input.float_limit })
    }

    /// Every row from the first, with its stitches. Rows that come again are counted out once.
    fn each(&self, mut visit: impl FnMut(&RowUse, u32)) {
        let period = self.cells.row_period();
        let comes_again = self.band.rows() > period;
        let mut counted: HashMap<(u32, u32), RowUse> = HashMap::new();
        let mut cells = Vec::new();
        for (r, stitches) in (0..).zip(&self.band.row_stitches) {
            let mut count = || {
                self.cells.row(r, &mut cells);
                for cell in &mut cells {
                    *cell = recoloured(*cell, self.change);
                }
                RowUse::of(&cells, self.float_limit)
            };
            // The plain rows before a chart are none of its rows.
            let own = r.checked_sub(self.band.setup_rows);
            if let Some(own) = own.filter(|_| comes_again) {
                visit(counted.entry((own % period, *stitches)).or_insert_with(count), *stitches);
            } else {
                visit(&count(), *stitches);
            }
        }
    }
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

fn recoloured(cell: Cell, change: Option<YarnChange>) -> Cell {
    match change {
        Some(YarnChange::Drop { slot, heir }) if cell.index() == Some(slot) => {
            cell.painted(Cell::slot(heir.min(Cell::MAX_SLOTS) as u8))
        }
        _ => cell,
    }
}
