//! How the fabric is made.

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

    /// What a row is called, and several of them.
    pub const fn row_words(self) -> [&'static str; 2] {
        match self {
            Self::InTheRound => ["round", "rounds"],
            Self::Flat => ["row", "rows"],
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
    fn flat_rows_turn_and_rounds_do_not() {
        assert!(Construction::Flat.reads_from_right(0));
        assert!(!Construction::Flat.reads_from_right(1));
        assert!(Construction::InTheRound.reads_from_right(1));
    }
}
