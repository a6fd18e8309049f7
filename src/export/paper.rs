//! Paper sizes.

/// The sheet a PDF is laid out for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 x 297 mm (ISO 216).
    #[default]
    A4,
    /// 8.5 x 11 in (ANSI/ASME Y14.1).
    Letter,
}

impl Paper {
    /// Both sheets, in the order they are offered.
    pub const ALL: [Self; 2] = [Self::A4, Self::Letter];

    /// Name.
    pub const fn name(self) -> &'static str {
        match self {
            Self::A4 => "A4",
            Self::Letter => "Letter",
        }
    }

    /// Width and height in mm.
    pub const fn size_mm(self) -> (f64, f64) {
        match self {
            Self::A4 => (210.0, 297.0),
            Self::Letter => (8.5 * 25.4, 11.0 * 25.4),
        }
    }
}
