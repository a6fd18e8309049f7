//! Pieces as they are worked in one size: counted in stitches and rows.

use super::count::Count;
use super::model::{EndEdge, Fabric, StartEdge};
use super::repeat_rows::{Pattern, RepeatRows};
use super::shaping::Schedule;
use crate::chart::{Cell, Rect};
use crate::knit::{Construction, Gauge, Technique};

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
    /// Stitches of each row, from the first.
    pub row_stitches: Vec<u32>,
    /// The length asked for, in cm; `None` where rows were given.
    pub wanted_cm: Option<f64>,
    /// How its chart sits, when it has one.
    pub chart: Option<ChartFit>,
}

impl WorkedBand {
    /// Rows.
    pub const fn rows(&self) -> u32 {
        self.row_stitches.len() as u32
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
    /// The band.
    pub const fn band(&self) -> &WorkedBand {
        self.band
    }

    /// Puts row `r` (from 0) into `out`, left to right as the right side shows it, edge stitches
    /// included; empty beyond the last row.
    pub fn row(&self, r: u32, out: &mut Vec<Cell>) {
        out.clear();
        let stitches = self.band.row_stitches.get(r as usize).copied().unwrap_or(0);
        match &self.chart {
            Some((fit, rows)) => self.chart_row(*fit, rows.row(r as usize), stitches, out),
            None => out.extend((0..stitches).map(|from_left| self.plain(r, stitches - 1 - from_left))),
        }
    }

    /// A period in rows after which the colours of equally wide rows come again.
    pub fn row_period(&self) -> u32 {
        match (&self.chart, self.corrugated()) {
            (Some((_, rows)), _) => rows.count() as u32,
            (None, Some(_)) => 1,
            (None, None) => self.band.stripe_rows.max(1) * self.band.colours.len().max(1) as u32,
        }
    }

    /// Repeats start at the right edge. In a tapered band the pattern keeps its place on the centre
    /// line, so that it runs on straight while the edges move.
    fn chart_row(&self, fit: ChartFit, repeat: &[Cell], stitches: u32, out: &mut Vec<Cell>) {
        let edge_cell = self.colour(0);
        let right_edge = (fit.edge / 2).min(stitches);
        let left_edge = (fit.edge - fit.edge / 2).min(stitches - right_edge);
        let inner = stitches - right_edge - left_edge;
        let width = repeat.len() as i64;
        let moved = if fit.shaped {
            0
        } else {
            let first = i64::from(self.band.start.stitches);
            (first - i64::from(stitches)).div_euclid(2)
        };
        out.extend(std::iter::repeat_n(edge_cell, left_edge as usize));
        out.extend((0..inner).map(|from_left| {
            let from_right = i64::from(inner - 1 - from_left) + moved;
            repeat[(width - 1 - from_right.rem_euclid(width)) as usize]
        }));
        out.extend(std::iter::repeat_n(edge_cell, right_edge as usize));
    }

    fn plain(&self, r: u32, from_right: u32) -> Cell {
        match self.corrugated() {
            Some((knit, purl)) => self.colour(usize::from(from_right % (knit + purl) >= knit)),
            None => self.colour((r / self.band.stripe_rows.max(1)) as usize),
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
    /// How it ends.
    pub end: EndEdge,
    /// Stitches set aside before the rest are joined.
    pub set_aside: u32,
    /// The length asked for, in cm.
    pub wanted_cm: Option<f64>,
    /// From the first row to the last; never empty.
    pub bands: Vec<WorkedBand>,
}

impl WorkedPiece {
    /// Stitches of one piece.
    pub fn stitches(&self) -> u64 {
        self.bands.iter().map(WorkedBand::stitches).sum()
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
        self.bands.iter().map(|band| band.area_cm2(gauge)).sum()
    }

    /// Stitches of its first row.
    pub fn first_stitches(&self) -> u32 {
        self.bands.first().map_or(0, |band| band.start.stitches)
    }

    /// Stitches of its last row.
    pub fn last_stitches(&self) -> u32 {
        self.bands.last().map_or(0, |band| band.end.stitches)
    }

    /// Stitches that all its copies hand on to a piece that joins them.
    pub fn live_stitches(&self) -> u32 {
        match self.end {
            EndEdge::Live => self.last_stitches().saturating_sub(self.set_aside).saturating_mul(self.copies),
            EndEdge::BoundOff | EndEdge::DrawnTogether | EndEdge::Grafted => 0,
        }
    }
}
