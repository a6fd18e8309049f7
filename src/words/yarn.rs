//! The yarn a knitted pattern has taken.

use super::knitter::{EdgeKind, KnittedPiece};
use super::{Colour, Course, Knitted};
use crate::chart::Cell;
use crate::knit::{
    self, ColourCounts, Construction, EdgeWork, Gauge, LoopFibre, LoopLength, LoopSource, RowHow, RowUse,
    Tally, counted_yarn,
};

/// What the yarn is worked out from.
#[derive(Clone, Copy, Debug)]
pub struct YarnBasis {
    /// Washed gauge.
    pub gauge: Gauge,
    /// Yarn in one stitch.
    pub loop_length: LoopLength,
    /// What that rests on.
    pub loop_source: LoopSource,
    /// The longest float left uncaught, in stitches; 0 counts as 1.
    pub float_limit: u32,
    /// Loose end at each join, in cm.
    pub tail_cm: f64,
}

impl YarnBasis {
    /// Longest float in stitches, and in cm (common practice, no published source).
    const FLOAT: (u32, f64) = (5, 2.5);
    /// Loose end in cm (common practice, no published source).
    const TAIL_CM: f64 = 15.0;

    /// What can be said from the gauge alone.
    pub fn of_gauge(gauge: Gauge) -> Self {
        let (stitches, cm) = Self::FLOAT;
        Self {
            gauge,
            loop_length: LoopLength::from_gauge(gauge),
            loop_source: LoopSource::Model(LoopFibre::default()),
            float_limit: stitches.min((cm / gauge.stitch_width_cm() + 1e-9) as u32).max(1),
            tail_cm: Self::TAIL_CM,
        }
    }
}

/// One colour of a knitted pattern.
#[derive(Clone, Debug, PartialEq)]
pub struct ColourUse {
    /// The colour.
    pub colour: Colour,
    /// What was counted.
    pub counts: ColourCounts,
    /// Metres, without swatch, waste and the joins of balls.
    pub metres: knit::Amount,
}

impl Knitted {
    /// The yarn of every colour that was used, in the order of the colours.
    pub fn yarn(&self, basis: &YarnBasis) -> Vec<ColourUse> {
        let mut all = vec![ColourCounts::default(); Cell::MAX_SLOTS];
        for piece in &self.pieces {
            for (sum, counts) in all.iter_mut().zip(piece.counts(basis.float_limit)) {
                *sum += counts;
            }
        }
        let used = (0u8..).zip(all).filter(|(_, counts)| *counts != ColourCounts::default());
        let colour = |(colour, counts): (u8, ColourCounts)| {
            let lines =
                counted_yarn(&counts, basis.gauge, (basis.loop_length, basis.loop_source), basis.tail_cm);
            let metres = lines.iter().map(|line| line.amount).sum();
            ColourUse { colour: Colour(colour), counts, metres }
        };
        used.map(colour).collect()
    }
}

impl KnittedPiece {
    /// What its rows and edges ask of each colour, by the place of the colour.
    pub fn counts(&self, float_limit: u32) -> Vec<ColourCounts> {
        let mut tally = Tally::new(float_limit);
        let widest = self.rows.iter().map(|row| row.stitches.len()).max().unwrap_or(0);
        let mut cells = Vec::with_capacity(widest);
        for row in &self.rows {
            cells.clear();
            // Left to right, as the right side shows them.
            cells.extend(row.stitches.iter().rev().map(|(colour, _)| Cell::slot(colour.0)));
            let how = RowHow {
                technique: row.technique,
                construction: match row.course {
                    Course::Round => Construction::InTheRound,
                    Course::Row => Construction::Flat,
                },
                stitch: if row.ribbing { knit::Stitch::Ribbing } else { knit::Stitch::Plain },
                // Narrower rows stand on the centre line.
                left: (widest - cells.len()) as u32 / 2,
            };
            tally.row(&RowUse::of(&cells, float_limit), how);
        }
        for edge in self.edges.iter().filter(|edge| !edge.in_row) {
            let work = match edge.kind {
                // A stitch picked up takes the yarn of one stitch of a row, as a grafted one does.
                EdgeKind::PickedUp | EdgeKind::Grafted => EdgeWork::Grafting,
                EdgeKind::CastOn => EdgeWork::CastOn,
                EdgeKind::BoundOff => EdgeWork::BindOff,
            };
            tally.edge(work, usize::from(edge.colour.0), edge.stitches);
        }
        tally.counts()
    }
}
