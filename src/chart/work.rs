//! How a stitch of the chart is worked: plain, or as a decrease or an increase.

use super::grid::Cell;

/// How a stitch is worked, seen from the right side.
///
/// Names and abbreviations are the trade's (Craft Yarn Council, Standards & Guidelines for Crochet and
/// Knitting, master list of abbreviations; JIS L 0201:1995 for the stitches themselves). On a wrong-side
/// row the purled twin is worked, so that the fabric looks the same from the right side.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Work {
    /// Knitted on the right side, purled on the wrong side.
    #[default]
    Plain,
    /// Two stitches together, leaning right.
    K2tog,
    /// Two stitches together, leaning left.
    Ssk,
    /// Three stitches together, the middle one on top.
    CentredDouble,
    /// A new stitch from the strand between two, leaning left.
    MakeLeft,
    /// A new stitch from the strand between two, leaning right.
    MakeRight,
}

impl Work {
    /// All of them, in the order they are offered.
    pub const ALL: [Self; 6] =
        [Self::Plain, Self::K2tog, Self::Ssk, Self::CentredDouble, Self::MakeLeft, Self::MakeRight];

    /// Stitches of the row below that it uses up: 0 to 3.
    #[inline]
    pub const fn takes(self) -> u32 {
        match self {
            Self::MakeLeft | Self::MakeRight => 0,
            Self::Plain => 1,
            Self::K2tog | Self::Ssk => 2,
            Self::CentredDouble => 3,
        }
    }

    /// Abbreviation on a right-side row or in the round.
    pub const fn right_side(self) -> &'static str {
        match self {
            Self::Plain => "k",
            Self::K2tog => "k2tog",
            Self::Ssk => "ssk",
            Self::CentredDouble => "s2kp",
            Self::MakeLeft => "m1l",
            Self::MakeRight => "m1r",
        }
    }

    /// Abbreviation on a wrong-side row.
    pub const fn wrong_side(self) -> &'static str {
        match self {
            Self::Plain => "p",
            Self::K2tog => "p2tog",
            Self::Ssk => "ssp",
            Self::CentredDouble => "s2pp",
            Self::MakeLeft => "m1lp",
            Self::MakeRight => "m1rp",
        }
    }

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Plain => "Plain stitch",
            Self::K2tog => "Knit 2 together (leans right)",
            Self::Ssk => "Slip, slip, knit (leans left)",
            Self::CentredDouble => "Centred double decrease",
            Self::MakeLeft => "Make 1 left",
            Self::MakeRight => "Make 1 right",
        }
    }

    /// What it becomes in a chart mirrored left to right.
    pub const fn mirrored(self) -> Self {
        match self {
            Self::K2tog => Self::Ssk,
            Self::Ssk => Self::K2tog,
            Self::MakeLeft => Self::MakeRight,
            Self::MakeRight => Self::MakeLeft,
            same => same,
        }
    }
}

/// What a brush leaves on a stitch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ink {
    /// Another colour, worked as before.
    Colour(Cell),
    /// This cell and nothing of what was there.
    Cell(Cell),
    /// Worked another way, in the colour it has.
    Work(Work),
}

impl Ink {
    /// What becomes of `old` under the brush.
    pub const fn on(self, old: Cell) -> Cell {
        match self {
            Self::Colour(cell) => old.painted(cell),
            Self::Cell(cell) => cell,
            Self::Work(work) => old.worked(work),
        }
    }

    /// What the brush leaves in a chart mirrored left to right.
    #[must_use]
    pub const fn mirrored(self) -> Self {
        match self {
            Self::Colour(_) => self,
            Self::Cell(cell) => Self::Cell(cell.worked(cell.work().mirrored())),
            Self::Work(work) => Self::Work(work.mirrored()),
        }
    }
}

impl From<Cell> for Ink {
    fn from(cell: Cell) -> Self {
        Self::Colour(cell)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_mirror_image_takes_as_many_stitches() {
        for work in Work::ALL {
            assert_eq!(work.mirrored().mirrored(), work);
            assert_eq!(work.mirrored().takes(), work.takes());
        }
    }

    #[test]
    fn colour_over_a_decrease_keeps_it_and_work_keeps_the_colour() {
        let old = Cell::slot(1).worked(Work::Ssk);
        assert_eq!(Ink::from(Cell::slot(2)).on(old), Cell::slot(2).worked(Work::Ssk));
        assert_eq!(Ink::Cell(Cell::slot(2)).on(old), Cell::slot(2));
        assert_eq!(Ink::Work(Work::K2tog).on(old), Cell::slot(1).worked(Work::K2tog));
        assert_eq!(Ink::from(Cell::NO_STITCH).on(old), Cell::NO_STITCH);
        assert_eq!(Ink::Work(Work::K2tog).on(Cell::NO_STITCH), Cell::NO_STITCH);
    }

    #[test]
    fn abbreviations_differ() {
        let mut short: Vec<_> =
            Work::ALL.iter().flat_map(|work| [work.right_side(), work.wrong_side()]).collect();
        short.sort_unstable();
        short.dedup();
        assert_eq!(short.len(), 2 * Work::ALL.len());
    }
}
