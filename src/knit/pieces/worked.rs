//! Pieces as they are worked in one size: counted in stitches and rows.

use super::count::Count;
use super::gather::Gather;
use super::model::{Band, EndEdge, Fabric, Shaping, StartEdge, copy_name};
use super::repeat_rows::{Pattern, RepeatRows};
use super::shaping::Schedule;
use super::steek::{SteekRow, Steeks};
use super::steps::{BindOff, CastOn, Finish};
use crate::chart::{Cell, Rect};
use crate::knit::{Construction, Gauge, RowColours, RowKey, RowUse, Technique};

/// How the chart of a band sits on its stitches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct ChartFit {
    /// The part of the chart that is repeated.
    pub region: Rect,
    /// Stitches of one repeat in its first row, 1 or more.
    pub repeat_stitches: u32,
    /// Whole repeats across the first row.
    pub across: u32,
    /// Stitches outside the repeats in each row, half at each edge.
    pub edge: u32,
    /// Stitches of the first row that are left over.
    pub left_over: u32,
    /// The first row, from 1, in which the repeat does not work out.
    pub breaks_at: Option<u32>,
    /// Rows of one repeat, 1 or more.
    pub repeat_rows: u32,
    /// Whole repeats up.
    pub up: u32,
    /// Rows of a last, incomplete repeat.
    pub rows_over: u32,
    /// Whether the chart holds the shaping ("no stitch" cells).
    pub shaped: bool,
    /// Rows of the repeat that come before the first: a chart goes on above the beginning of a steek.
    pub first_row: u32,
}

impl ChartFit {
    /// Whether the repeat works out in every row, shaping included.
    pub const fn divides(&self) -> bool {
        self.breaks_at.is_none()
    }

    /// Stitches from the right edge of the first row to the first whole repeat.
    pub const fn first_repeat_from_right(&self) -> u32 {
        self.edge / 2
    }
}

/// What is done between two bands, in one size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WorkedExtra {
    /// Stitches of the last round are worked once more with waste yarn.
    Opening {
        /// What it is called.
        name: String,
        /// How many.
        stitches: u32,
        /// Stitches of the round before it in the first (or left) copy and in the second (or right).
        before: (u32, u32),
        /// Stitches of the face it lies in, from the marker.
        face: u32,
    },
    /// Short rows round the marker, the first on the right side from it.
    ShortRows {
        /// Stitches past the marker at the first turn.
        past_marker: u32,
        /// Stitches before the marker at the second turn.
        before_marker: u32,
        /// Stitches that each later turn lies further out.
        further: u32,
        /// Stitches of each row, the last one back to the marker.
        rows: Vec<u32>,
    },
    /// A steek is begun in the next row.
    Steek {
        /// What it is called, and what is set aside.
        name: String,
        /// Stitches set aside.
        aside: u32,
        /// Stitches of the bridge.
        bridge: u32,
    },
    /// A heel is turned.
    HeelTurn {
        /// Stitches before the decrease of the first row.
        knit: u32,
        /// Stitches between the first and the decrease of the second row.
        purl: u32,
        /// Stitches of each row, a right-side one first.
        rows: Vec<u32>,
        /// Stitches that are left.
        left: u32,
    },
}

impl WorkedExtra {
    /// Stitches of its short rows.
    pub fn rows(&self) -> &[u32] {
        match self {
            Self::ShortRows { rows, .. } | Self::HeelTurn { rows, .. } => rows,
            Self::Opening { .. } | Self::Steek { .. } => &[],
        }
    }
}

/// Stitches that a piece begins with, in one size.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Taken {
    /// A group that was set aside.
    Group {
        /// Its name, without the copy it comes from being this copy's.
        name: String,
        /// Its stitches.
        stitches: u32,
    },
    /// New stitches along an edge.
    PickedUp {
        /// The edge.
        along: String,
        /// How many.
        stitches: u32,
        /// Stitches for so many rows.
        ratio: (u32, u32),
        /// Rows of the edge.
        rows: u32,
    },
    /// New stitches cast on over a gap.
    CastOn {
        /// How many.
        stitches: u32,
    },
    /// Both edges of an opening, and new stitches at its corners.
    Opening {
        /// Its name.
        name: String,
        /// Stitches below it; as many above.
        below: u32,
        /// New stitches at each corner.
        corners: u32,
    },
}

impl Taken {
    /// Stitches in all.
    pub const fn stitches(&self) -> u32 {
        match self {
            Self::Group { stitches, .. } | Self::PickedUp { stitches, .. } | Self::CastOn { stitches } => {
                *stitches
            }
            Self::Opening { below, corners, .. } => 2 * (*below + *corners),
        }
    }
}

/// Live stitches a piece ends with, set aside under a name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LivePart {
    /// What they are called.
    pub name: String,
    /// How many.
    pub stitches: u32,
    /// Whether they rest while the others are joined (an underarm).
    pub rests: bool,
}

/// A band in one size.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkedBand {
    /// What the knitter calls it.
    pub name: String,
    /// What it is made of.
    pub fabric: Fabric,
    /// How several colours are worked in it.
    pub technique: Technique,
    /// Rounds or turned rows.
    pub construction: Construction,
    /// Palette slots worked in turn; for a chart, the colour of its edge stitches.
    pub colours: Vec<usize>,
    /// Rows of one colour before the next.
    pub stripe_rows: u32,
    /// Stitches on the needle before its first row; `None` at a cast-on or picked-up edge.
    pub carried: Option<u32>,
    /// What it begins with.
    pub start: Count,
    /// What it ends with.
    pub end: Count,
    /// Where its shaping rows lie; empty when it is not shaped or its chart holds the shaping.
    pub schedule: Schedule,
    /// How it is shaped.
    pub shaping: Shaping,
    /// Plain rows before its chart, which bring the stitches to the repeat; they are among its rows.
    pub setup_rows: u32,
    /// Stitches of each row when it is finished, from the first.
    pub row_stitches: Vec<u32>,
    /// What is done after its last row.
    pub then: Vec<WorkedExtra>,
    /// The length asked for, in cm; `None` where rows were given.
    pub wanted_cm: Option<f64>,
    /// How its chart sits, when it has one.
    pub chart: Option<ChartFit>,
    /// The bridges between its stitches, when it has any.
    pub steeks: Option<Steeks>,
}

impl WorkedBand {
    /// A band as it is planned between its two counts, no row of it worked yet.
    pub(super) fn of(band: &Band, construction: Construction, (start, end): (Count, Count)) -> Self {
        Self {
            name: band.name.clone(),
            fabric: band.fabric,
            technique: band.technique,
            construction,
            colours: band.colours.clone(),
            stripe_rows: band.stripe_rows.max(1),
            carried: None,
            start,
            end,
            schedule: Schedule::default(),
            shaping: band.shaping,
            setup_rows: 0,
            row_stitches: Vec::new(),
            then: Vec::new(),
            wanted_cm: None,
            chart: None,
            steeks: None,
        }
    }

    /// Stitches that are gone at either side of the steek that is shaped, after so many rows.
    pub fn eaten(&self, rows: u32) -> u32 {
        let last = rows.checked_sub(1).and_then(|r| self.row_stitches.get(r as usize));
        last.map_or(0, |stitches| (self.start.stitches - stitches) / 2)
    }

    /// How the stitches of row `r` (from 0) lie between its bridges.
    pub fn steek_row(&self, r: u32) -> Option<SteekRow> {
        Some(self.steeks.as_ref()?.row(self.eaten(r + 1), r == 0))
    }

    /// Stitches of its rows as they are worn: a bridge folds away, and what is cut open over a gap has the girth of the
    /// round below it.
    pub fn worn_rows(&self) -> impl Iterator<Item = u32> {
        self.row_stitches.iter().map(|stitches| self.worn(*stitches))
    }

    /// What it begins and what it ends with, as it is worn.
    pub fn worn_ends(&self) -> (u32, u32) {
        (self.worn(self.start.stitches), self.worn(self.end.stitches))
    }

    fn worn(&self, stitches: u32) -> u32 {
        self.steeks.as_ref().map_or_else(|| stitches.saturating_sub(self.start.folds), Steeks::round)
    }

    /// Rows.
    pub const fn rows(&self) -> u32 {
        self.row_stitches.len() as u32
    }

    /// Stitches of the short rows after it.
    pub(super) fn short_stitches(&self) -> u64 {
        self.then.iter().flat_map(WorkedExtra::rows).map(|n| u64::from(*n)).sum()
    }

    /// Stitches when all is done that is done after it.
    pub fn last_stitches(&self) -> u32 {
        let turned = self.then.iter().find_map(|extra| match extra {
            WorkedExtra::HeelTurn { left, .. } => Some(*left),
            WorkedExtra::Opening { .. } | WorkedExtra::ShortRows { .. } | WorkedExtra::Steek { .. } => None,
        });
        turned.unwrap_or(self.end.stitches)
    }

    /// Stitches in all.
    pub fn stitches(&self) -> u64 {
        self.row_stitches.iter().map(|n| u64::from(*n)).sum()
    }

    /// Height in cm.
    pub fn height_cm(&self, gauge: Gauge) -> f64 {
        f64::from(self.rows()) * gauge.row_height_cm()
    }

    /// Area in cm2: every stitch is one cell of the gauge.
    pub fn area_cm2(&self, gauge: Gauge) -> f64 {
        self.stitches() as f64 * gauge.stitch_width_cm() * gauge.row_height_cm()
    }

    /// Finished minus wanted length in cm.
    pub fn length_off_cm(&self, gauge: Gauge) -> Option<f64> {
        self.wanted_cm.map(|wanted| self.height_cm(gauge) - wanted)
    }

    /// Stitches gained (or lost, when negative) evenly across its first row.
    pub fn change_at_start(&self) -> i64 {
        self.carried.map_or(0, |n| i64::from(self.start.stitches) - i64::from(n))
    }

    /// Its stitches, ready to be asked for row by row. `None` when its chart part holds no stitch.
    pub fn cells<'a>(&'a self, pattern: &Pattern<'a>) -> Option<BandCells<'a>> {
        let chart = match &self.chart {
            Some(fit) => Some((*fit, RepeatRows::of(pattern.grid, fit.region)?)),
            None => None,
        };
        Some(BandCells { band: self, chart })
    }
}

/// The colours of a band's stitches.
#[derive(Clone, Debug)]
pub struct BandCells<'a> {
    band: &'a WorkedBand,
    chart: Option<(ChartFit, RepeatRows<'a>)>,
}

impl BandCells<'_> {
    /// Puts row `r` (from 0) into `out`, left to right as the right side shows it, edge stitches
    /// included; empty beyond the last row.
    pub fn row(&self, r: u32, out: &mut Vec<Cell>) {
        out.clear();
        let stitches = self.band.row_stitches.get(r as usize).copied().unwrap_or(0);
        match &self.chart {
            Some((fit, rows)) if self.band.steeks.is_some() => {
                if let Some(row) = self.band.steek_row(r) {
                    row.put(rows.row((fit.first_row + r) as usize), out);
                }
            }
            Some((fit, rows)) if r >= self.band.setup_rows => {
                self.chart_row(*fit, rows.row((r - self.band.setup_rows) as usize), stitches, out);
            }
            Some(_) => out.extend((0..stitches).map(|_| self.colour(0))),
            None => out.extend((0..stitches).map(|from_left| self.plain(r, stitches - 1 - from_left))),
        }
    }

    /// What row `r` (from 0) is made of, as [`BandCells::row`] gives it.
    pub fn row_key(&self, r: u32) -> RowKey {
        let stitches = self.band.row_stitches.get(r as usize).copied().unwrap_or(0);
        let slot = |i: usize| self.colour(i).index().unwrap_or(0);
        let colours = match (&self.chart, self.corrugated()) {
            (Some((fit, rows)), _) if let Some(steeks) = self.band.steek_row(r) => {
                let (row, columns) = rows.mark((fit.first_row + r) as usize);
                RowColours::Steeked { row, columns, steeks }
            }
            (Some((fit, rows)), _) if r >= self.band.setup_rows => {
                let row = (r - self.band.setup_rows) as usize;
                let (mark, columns) = rows.mark(row);
                let edges = Self::edges(*fit, stitches);
                let edge_slot = if edges == (0, 0) { 0 } else { slot(0) };
                let moved = self.moved(*fit, stitches, rows.width(row) as usize);
                RowColours::Chart { row: mark, columns, moved, edges, edge_slot }
            }
            (Some(_), _) => RowColours::One(slot(0)),
            (None, Some((knit, purl))) => RowColours::Ribbed([(knit, slot(0)), (purl, slot(1))]),
            (None, None) => RowColours::One(slot(self.stripe(r))),
        };
        RowKey { stitches, colours }
    }

    /// Edge stitches of a row at its left and its right.
    fn edges(fit: ChartFit, stitches: u32) -> (u32, u32) {
        let right = (fit.edge / 2).min(stitches);
        ((fit.edge - fit.edge / 2).min(stitches - right), right)
    }

    /// Stitches of a repeat of `width`, `0..width`, that lie to the right of the row. Repeats start at the right
    /// edge. In a tapered band the pattern keeps its place on the centre line, so that it runs on straight while
    /// the edges move.
    fn moved(&self, fit: ChartFit, stitches: u32, width: usize) -> u32 {
        let first = i64::from(self.band.start.stitches);
        if fit.shaped || first == i64::from(stitches) {
            return 0;
        }
        (first - i64::from(stitches)).div_euclid(2).rem_euclid(width as i64) as u32
    }

    fn chart_row(&self, fit: ChartFit, repeat: &[Cell], stitches: u32, out: &mut Vec<Cell>) {
        let edge_cell = self.colour(0);
        let (left_edge, right_edge) = Self::edges(fit, stitches);
        let mut inner = (stitches - right_edge - left_edge) as usize;
        let width = repeat.len();
        let moved = self.moved(fit, stitches, width) as usize;
        out.extend(std::iter::repeat_n(edge_cell, left_edge as usize));
        // Whole repeats end `moved` stitches past the right edge.
        let mut from = width - 1 - (inner + width - 1 + moved) % width;
        while inner > 0 {
            let part = &repeat[from..width.min(from + inner)];
            out.extend_from_slice(part);
            inner -= part.len();
            from = 0;
        }
        out.extend(std::iter::repeat_n(edge_cell, right_edge as usize));
    }

    /// Which of the band's colours a plain row is worked in.
    fn stripe(&self, r: u32) -> usize {
        (r / self.band.stripe_rows.max(1)) as usize
    }

    fn plain(&self, r: u32, from_right: u32) -> Cell {
        match self.corrugated() {
            Some((knit, purl)) => self.colour(usize::from(from_right % (knit + purl) >= knit)),
            None => self.colour(self.stripe(r)),
        }
    }

    /// Knit and purl stitches of a rib whose columns differ in colour.
    fn corrugated(&self) -> Option<(u32, u32)> {
        let band = self.band;
        match band.fabric {
            Fabric::Ribbing { knit, purl }
                if band.technique == Technique::Stranded && band.colours.len() > 1 && knit + purl > 0 =>
            {
                Some((knit, purl))
            }
            _ => None,
        }
    }

    /// The band's colour number `i`, counted round its list.
    fn colour(&self, i: usize) -> Cell {
        let colours = &self.band.colours;
        let slot = colours.get(i % colours.len().max(1)).copied().unwrap_or(0);
        Cell::slot(slot.min(Cell::MAX_SLOTS) as u8)
    }
}

/// A piece in one size.
#[derive(Clone, Debug, PartialEq)]
pub struct WorkedPiece {
    /// What the knitter calls it.
    pub name: String,
    /// How many are knitted.
    pub copies: u32,
    /// Rounds or turned rows.
    pub construction: Construction,
    /// How it begins.
    pub start: StartEdge,
    /// How its stitches are cast on, where they are.
    pub cast_on: CastOn,
    /// Where its stitches come from, where they are not cast on.
    pub taken: Vec<Taken>,
    /// How it ends.
    pub end: EndEdge,
    /// How its stitches are bound off, where they are.
    pub bind_off: BindOff,
    /// Stitches set aside before the rest are joined.
    pub set_aside: u32,
    /// What its live stitches are called, in the order they come on a right-side row; in the round the
    /// first is halved by the marker when it rests. Empty unless it ends live.
    pub live: Vec<LivePart>,
    /// What is done when its last row is finished.
    pub finish: Vec<Finish>,
    /// Whether two copies are a left and a right one.
    pub sided: bool,
    /// The length asked for, in cm.
    pub wanted_cm: Option<f64>,
    /// From the first row to the last; never empty.
    pub bands: Vec<WorkedBand>,
}

impl WorkedPiece {
    /// Stitches of one piece, short rows among them.
    pub fn stitches(&self) -> u64 {
        self.bands.iter().map(|band| band.stitches() + band.short_stitches()).sum()
    }

    /// What copy `copy` (from 0) is called; `None` for the only one.
    pub fn copy_name(&self, copy: u32) -> Option<&'static str> {
        copy_name(self.copies, self.sided, copy)
    }

    /// What is set aside at the marker, half of it at either side, where a round ends so.
    pub fn rests_at_marker(&self) -> Option<&str> {
        let first = self.live.first().filter(|part| part.rests)?;
        (self.construction == Construction::InTheRound).then_some(first.name.as_str())
    }

    /// Whether its first row picks up or casts on some of its stitches, beside those it takes up.
    pub fn picks_up(&self) -> bool {
        self.taken.iter().any(|taken| !matches!(taken, Taken::Group { .. }))
    }

    /// The palette slots its first and its last edge are worked in: the first colour of the band, where the row
    /// beside the edge has it, else the one that row has most of. `None` when a band's part of the chart holds
    /// no stitch.
    pub fn edge_slots(&self, pattern: &Pattern) -> Option<(usize, usize)> {
        let slot = |band: &WorkedBand, row: u32| {
            let mut cells = Vec::new();
            band.cells(pattern)?.row(row, &mut cells);
            RowUse::of(&cells, 1).edge_slot(band.colours.first().copied().unwrap_or(0))
        };
        let worked = || self.bands.iter().filter(|band| band.rows() > 0);
        let (first, last) = (worked().next()?, worked().next_back()?);
        Some((slot(first, 0)?, slot(last, last.rows() - 1)?))
    }

    /// Every row in the order it is worked, short rows where they are, each as the right side shows it
    /// from its left edge; `None` when a band's part of the chart holds no stitch.
    pub fn knitted_rows(&self, pattern: &Pattern) -> Option<Vec<Vec<Cell>>> {
        let mut rows = Vec::new();
        for band in &self.bands {
            let cells = band.cells(pattern)?;
            for row in 0..band.rows() {
                let mut made = Vec::new();
                cells.row(row, &mut made);
                rows.push(made);
            }
            for extra in &band.then {
                rows.extend(extra.rows().iter().map(|stitches| vec![cells.colour(0); *stitches as usize]));
            }
        }
        Some(rows)
    }

    /// What it must gather; `None` for a piece of rows, which is no tube.
    pub fn gather(&self, gauge: Gauge) -> Option<Gather> {
        let rows: Vec<u32> = self.worn_rows().collect();
        (self.construction == Construction::InTheRound).then(|| Gather::of(&rows, gauge))
    }

    /// The bands whose chart begins on a wrong-side row, by their place; none in the round.
    pub fn charts_begun_on_wrong_side(&self) -> Vec<usize> {
        let mut row = 0;
        let mut wrong = Vec::new();
        for (place, band) in self.bands.iter().enumerate() {
            let first = row + band.setup_rows;
            if band.chart.is_some() && band.rows() > 0 && !self.construction.reads_from_right(first) {
                wrong.push(place);
            }
            row += band.rows();
        }
        wrong
    }

    /// Stitches of its rows as they are worn, from the first.
    pub fn worn_rows(&self) -> impl Iterator<Item = u32> {
        self.bands.iter().flat_map(WorkedBand::worn_rows)
    }

    /// Stitches of its first and its last row as they are worn.
    pub fn worn_ends(&self) -> (u32, u32) {
        let begun = |band: &WorkedBand| band.worn(band.start.stitches);
        let ended = |band: &WorkedBand| band.worn(band.last_stitches());
        (self.bands.first().map_or(0, begun), self.bands.last().map_or(0, ended))
    }

    /// Rows of one piece.
    pub fn rows(&self) -> u32 {
        self.bands.iter().map(WorkedBand::rows).sum()
    }

    /// Length of one piece in cm.
    pub fn height_cm(&self, gauge: Gauge) -> f64 {
        f64::from(self.rows()) * gauge.row_height_cm()
    }

    /// Area of one piece in cm2.
    pub fn area_cm2(&self, gauge: Gauge) -> f64 {
        self.stitches() as f64 * gauge.stitch_width_cm() * gauge.row_height_cm()
    }

    /// Stitches of its first row.
    pub fn first_stitches(&self) -> u32 {
        self.bands.first().map_or(0, |band| band.start.stitches)
    }

    /// Stitches of its last row.
    pub fn last_stitches(&self) -> u32 {
        self.bands.last().map_or(0, WorkedBand::last_stitches)
    }
}

/// The stitches of a group that one of these pieces has set aside, as it is called outside of the piece; 0 when
/// there is none. A name that was closed may have been given again: the last one counts.
pub fn live_stitches(pieces: &[WorkedPiece], name: &str) -> u32 {
    let parts = pieces.iter().flat_map(|piece| {
        (0..piece.copies).flat_map(move |copy| piece.live.iter().map(move |part| (piece, copy, part)))
    });
    let mut known = parts.filter(|(piece, copy, part)| match piece.copy_name(*copy) {
        Some(copy) => name.strip_prefix(copy).is_some_and(|rest| rest.trim_start() == part.name),
        None => name == part.name,
    });
    known.next_back().map_or(0, |(_, _, part)| part.stitches)
}
