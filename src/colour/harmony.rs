//! Colour schemes by their standard names.

/// A colour scheme: how the hues of main, supporting and accent stand on the wheel.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Scheme {
    /// Opposite hues.
    Complementary,
    /// A hue and the two beside its opposite.
    SplitComplementary,
    /// Neighbouring hues.
    Analogous,
    /// Three hues a third of the circle apart.
    Triad,
    /// Two pairs of opposites, unevenly spaced (a rectangle).
    Tetrad,
    /// Four hues a quarter of the circle apart.
    Square,
    /// One hue in several lightnesses and chromas.
    Monochrome,
}

impl Scheme {
    /// All schemes, in the order they are offered.
    pub const ALL: [Self; 7] = [
        Self::Complementary,
        Self::SplitComplementary,
        Self::Analogous,
        Self::Triad,
        Self::Tetrad,
        Self::Square,
        Self::Monochrome,
    ];

    /// Standard name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Complementary => "Complementary",
            Self::SplitComplementary => "Split complementary",
            Self::Analogous => "Analogous",
            Self::Triad => "Triad",
            Self::Tetrad => "Tetrad",
            Self::Square => "Square",
            Self::Monochrome => "Monochrome",
        }
    }
}
