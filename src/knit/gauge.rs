//! Gauge, the "pixel resolution" of every motif, and how the fabric is made.

use crate::units::{Cm, RowsPer10Cm, StitchesPer10Cm, UnitError};

/// Stitches and rows in 10 cm of washed, relaxed fabric.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Gauge {
    /// Stitches per 10 cm.
    pub stitches: StitchesPer10Cm,
    /// Rows per 10 cm.
    pub rows: RowsPer10Cm,
}

impl Gauge {
    /// A gauge from bare counts per 10 cm.
    ///
    /// # Errors
    /// [`UnitError`] when a count is not a number or out of range.
    pub fn new(stitches: f64, rows: f64) -> Result<Self, UnitError> {
        Ok(Self { stitches: StitchesPer10Cm::new(stitches)?, rows: RowsPer10Cm::new(rows)? })
    }

    /// Width of one stitch in cm.
    pub fn stitch_width_cm(self) -> f64 {
        10.0 / self.stitches.get()
    }

    /// Height of one row in cm.
    pub fn row_height_cm(self) -> f64 {
        10.0 / self.rows.get()
    }

    /// Width of a cell over its height: rows / stitches. Above 1 a stitch is wider than tall.
    pub fn cell_aspect(self) -> f64 {
        self.rows.get() / self.stitches.get()
    }

    /// Width of `stitches` stitches.
    pub fn width(self, stitches: u32) -> Cm {
        Cm::clamped(f64::from(stitches) * self.stitch_width_cm())
    }

    /// Height of `rows` rows.
    pub fn height(self, rows: u32) -> Cm {
        Cm::clamped(f64::from(rows) * self.row_height_cm())
    }

    /// The whole number of stitches nearest to a width in cm.
    pub fn stitches_in(self, cm: f64) -> u32 {
        (cm.max(0.0) / self.stitch_width_cm()).round() as u32
    }

    /// The whole number of rows nearest to a height in cm.
    pub fn rows_in(self, cm: f64) -> u32 {
        (cm.max(0.0) / self.row_height_cm()).round() as u32
    }
}

/// How several colours are worked in one fabric (trade terms).
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Technique {
    /// Stranded: the colours not in use travel behind the stitches as floats.
    #[default]
    Stranded,
    /// Intarsia: each area has its own bobbin; nothing travels.
    Intarsia,
    /// Stripes: one colour a row, carried up the edge or cut.
    Stripes,
}

impl Technique {
    /// All techniques, in the order they are offered.
    pub const ALL: [Self; 3] = [Self::Stranded, Self::Intarsia, Self::Stripes];

    /// Trade name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Stranded => "Stranded",
            Self::Intarsia => "Intarsia",
            Self::Stripes => "Stripes",
        }
    }
}

/// Whether the fabric is worked in rounds or in rows that turn.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Construction {
    /// Every round is read right to left.
    #[default]
    InTheRound,
    /// Odd rows (right side) right to left, even rows (wrong side) left to right.
    Flat,
}

impl Construction {
    /// Both constructions, in the order they are offered.
    pub const ALL: [Self; 2] = [Self::InTheRound, Self::Flat];

    /// Trade name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::InTheRound => "In the round",
            Self::Flat => "Flat",
        }
    }

    /// Whether row `y` (from 0) is read from the right edge.
    pub const fn reads_from_right(self, y: u32) -> bool {
        matches!(self, Self::InTheRound) || y.is_multiple_of(2)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_swatch_measures_what_its_gauge_says() {
        let gauge = Gauge::new(28.0, 36.0).unwrap();
        assert!((gauge.width(28).get() - 10.0).abs() < 1e-12);
        assert!((gauge.height(36).get() - 10.0).abs() < 1e-12);
        assert!((gauge.cell_aspect() - 36.0 / 28.0).abs() < 1e-12);
        assert_eq!(gauge.stitches_in(10.1), 28);
    }

    #[test]
    fn flat_rows_turn_and_rounds_do_not() {
        assert!(Construction::Flat.reads_from_right(0));
        assert!(!Construction::Flat.reads_from_right(1));
        assert!(Construction::InTheRound.reads_from_right(1));
    }
}
