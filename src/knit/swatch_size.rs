//! The measured size of a swatch: whole, begun, or read off a photograph.

use super::Gauge;
use crate::units::UnitError;

/// Width and height of the counted stitches and rows, in cm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SwatchSize {
    width_cm: f64,
    height_cm: f64,
    /// Of a size that follows from a gauge read off a photograph.
    read_off: Option<ReadOff>,
}

/// How sure a gauge read off a photograph is: one standard deviation, as a share of the figure, `0..=0.1`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadOff {
    /// Of the stitches.
    pub stitches: f64,
    /// Of the rows.
    pub rows: f64,
}

impl ReadOff {
    /// The most unsure reading that still says something, a share.
    const MOST: f64 = 0.1;

    /// From the share of either.
    ///
    /// # Errors
    /// [`UnitError`] when one is out of range.
    pub fn new(stitches: f64, rows: f64) -> Result<Self, UnitError> {
        for share in [stitches, rows] {
            if !(0.0..=Self::MOST).contains(&share) {
                return Err(UnitError {
                    what: "the error of a gauge off a photograph",
                    expected: "between 0 and 10 %".to_owned(),
                    found: format!("{:.1} %", share * 100.0),
                });
            }
        }
        Ok(Self { stitches, rows })
    }
}

impl SwatchSize {
    /// A measured size.
    ///
    /// # Errors
    /// [`UnitError`] when a side is not between 1 and 200 cm.
    pub fn new(width_cm: f64, height_cm: f64) -> Result<Self, UnitError> {
        for side in [width_cm, height_cm] {
            if !(1.0..=200.0).contains(&side) {
                return Err(UnitError {
                    what: "a side of the swatch in cm",
                    expected: "between 1 and 200".to_owned(),
                    found: side.to_string(),
                });
            }
        }
        Ok(Self { width_cm, height_cm, read_off: None })
    }

    /// The size of counted stitches and rows at a gauge read off a photograph.
    ///
    /// # Errors
    /// [`UnitError`] when a side is out of range.
    pub fn of_gauge(
        (stitches, rows): (f64, f64),
        gauge: Gauge,
        read_off: ReadOff,
    ) -> Result<Self, UnitError> {
        let size = Self::new(stitches * gauge.stitch_width_cm(), rows * gauge.row_height_cm())?;
        Ok(Self { read_off: Some(read_off), ..size })
    }

    /// The same size, read off a photograph this surely.
    #[must_use]
    pub const fn with_read_off(self, read_off: Option<ReadOff>) -> Self {
        Self { read_off, ..self }
    }

    /// How sure the photograph was, when the size follows from one.
    pub const fn read_off(self) -> Option<ReadOff> {
        self.read_off
    }

    /// A size that follows from a gauge is that of other counts too; a measured one stays.
    pub(super) fn recounted(self, from: (f64, f64), to: (f64, f64)) -> Self {
        let sides = (self.width_cm * to.0 / from.0, self.height_cm * to.1 / from.1);
        match (self.read_off, Self::new(sides.0, sides.1)) {
            (Some(read_off), Ok(size)) => size.with_read_off(Some(read_off)),
            _ => self.with_read_off(None),
        }
    }

    /// Width in cm.
    pub const fn width_cm(self) -> f64 {
        self.width_cm
    }

    /// Height in cm.
    pub const fn height_cm(self) -> f64 {
        self.height_cm
    }
}

/// The sides of a size of which only one, or none, was entered so far: no measurement yet.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct BegunSize {
    /// In cm, once it was entered.
    pub width_cm: Option<f64>,
    /// In cm, once it was entered.
    pub height_cm: Option<f64>,
}

impl BegunSize {
    /// The size, once both sides were entered.
    ///
    /// # Errors
    /// [`UnitError`] as [`SwatchSize::new`].
    pub fn whole(self) -> Result<Option<SwatchSize>, UnitError> {
        self.width_cm.zip(self.height_cm).map(|(width, height)| SwatchSize::new(width, height)).transpose()
    }
}
