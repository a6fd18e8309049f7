//! What a project holds.

use std::sync::Arc;

use thiserror::Error;

use super::budget::{self, OverBudget};
use super::material::Material;
use super::palette::{Palette, Role, Slot};
use super::piece_plan::PiecePlan;
use crate::chart::{Cell, Grid, GridError, Rect, Symmetry};
use crate::colour::Colour;
use crate::knit::{Construction, Gauge, Technique};
use crate::units::{Currency, LengthUnit, RowsPer10Cm, StitchesPer10Cm, UnitError};
use crate::yarn::ShadeCard;

/// Why a project cannot be what was asked for.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum ProjectError {
    /// No colours, or more than a chart can name.
    #[error("a palette has 1 to {max} colours, not {0}", max = Cell::MAX_SLOTS)]
    SlotCount(usize),
    /// A stitch names a colour that is not in the palette.
    #[error(
        "row {row}, stitch {stitch} uses colour {slot}, but the palette has {slots}: \
         add the colour or repaint the stitch"
    )]
    UnknownSlot {
        /// Row number from 1 at the bottom.
        row: u32,
        /// Stitch number from 1 at the right.
        stitch: u32,
        /// Slot number from 1.
        slot: usize,
        /// Colours in the palette.
        slots: usize,
    },
    /// The repeat box leaves the chart or is empty.
    #[error(
        "the repeat box ({width} x {height} at {x}, {y}) does not lie inside the chart of {chart_width} x {chart_height}"
    )]
    Repeat {
        /// Left column of the box.
        x: u32,
        /// Bottom row of the box.
        y: u32,
        /// Stitches of the box.
        width: u32,
        /// Rows of the box.
        height: u32,
        /// Stitches of the chart.
        chart_width: u32,
        /// Rows of the chart.
        chart_height: u32,
    },
    /// A colourway has another number of colours than the palette.
    #[error("colourway '{name}' has {found} colours, but the palette has {expected}")]
    Colourway {
        /// Its name.
        name: String,
        /// Its colours.
        found: usize,
        /// The palette's.
        expected: usize,
    },
    /// Target shares that mean nothing.
    #[error("the target shares must be 0 or more and not all 0, not {main} / {supporting} / {accent}")]
    Proportion {
        /// Main share.
        main: f64,
        /// Supporting share.
        supporting: f64,
        /// Accent share.
        accent: f64,
    },
    /// A band names a colour that is not in the palette.
    #[error("piece '{piece}', band '{band}' uses colour {slot}, but the palette has {slots}: choose another")]
    BandSlot {
        /// The piece.
        piece: String,
        /// The band.
        band: String,
        /// Slot number from 1.
        slot: usize,
        /// Colours in the palette.
        slots: usize,
    },
    /// More than one project may take.
    #[error(transparent)]
    Budget(#[from] OverBudget),
    /// A grid that cannot be.
    #[error(transparent)]
    Grid(#[from] GridError),
    /// A quantity that cannot be.
    #[error(transparent)]
    Unit(#[from] UnitError),
}

/// The chart and the part of it that repeats.
#[derive(Clone, Debug, PartialEq)]
pub struct Chart {
    /// The stitches.
    pub grid: Grid,
    /// The repeat box, inside the grid and never empty.
    repeat: Rect,
}

impl Chart {
    /// A chart whose repeat is the whole of it.
    pub const fn new(grid: Grid) -> Self {
        let repeat = grid.bounds();
        Self { grid, repeat }
    }

    /// A chart with this repeat box.
    ///
    /// # Errors
    /// [`ProjectError::Repeat`] when the box is empty or leaves the grid.
    pub fn with_repeat(grid: Grid, repeat: Rect) -> Result<Self, ProjectError> {
        if repeat.is_empty() || repeat.intersect(grid.bounds()) != repeat {
            return Err(ProjectError::Repeat {
                x: repeat.x,
                y: repeat.y,
                width: repeat.width,
                height: repeat.height,
                chart_width: grid.width(),
                chart_height: grid.height(),
            });
        }
        Ok(Self { grid, repeat })
    }

    /// The repeat box.
    pub const fn repeat(&self) -> Rect {
        self.repeat
    }

    /// The whole chart and its repeat box, for [`Chart::told_of_repeat`].
    pub const fn extent(&self) -> (Rect, Rect) {
        (self.grid.bounds(), self.repeat)
    }

    /// What is to be said of the repeat box when the chart, of another extent `before`, became larger or smaller and the
    /// box with it; `None` when it kept its size, or was the whole chart before and after.
    pub fn told_of_repeat(&self, before: (Rect, Rect)) -> Option<String> {
        let size = |rect: Rect| (rect.width, rect.height);
        let is_whole = |(chart, repeat): (Rect, Rect)| chart == repeat;
        let went_along = size(self.grid.bounds()) != size(before.0) && size(self.repeat) != size(before.1);
        if !went_along || (is_whole(before) && is_whole(self.extent())) {
            return None;
        }
        let ((wide, high), (was_wide, was_high)) = (size(self.repeat), size(before.1));
        let now = if is_whole(self.extent()) { "is the whole chart now," } else { "is now" };
        Some(format!("The repeat box {now} {wide} × {high}, not {was_wide} × {was_high}."))
    }
}

/// The longest float left uncaught: the shorter of the two limits holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct FloatLimit {
    /// Stitches, 1 or more.
    pub stitches: u32,
    /// Centimetres, more than 0.
    pub cm: f64,
}

impl Default for FloatLimit {
    /// 5 stitches or 2.5 cm (common practice, no published source).
    fn default() -> Self {
        Self { stitches: 5, cm: 2.5 }
    }
}

impl FloatLimit {
    /// The longest run of stitches a float may pass at this gauge, at least 1.
    pub fn in_stitches(self, gauge: Gauge) -> u32 {
        // A hair of tolerance so that 2.5 cm at 20 sts/10 cm is 5 stitches, not 4.999...
        let by_length = (self.cm / gauge.stitch_width_cm() + 1e-9).floor() as u32;
        self.stitches.min(by_length).max(1)
    }
}

/// How the chart is knitted: gauge, technique, and how often it repeats.
#[derive(Clone, Debug, PartialEq)]
pub struct KnitPlan {
    /// Washed gauge.
    pub gauge: Gauge,
    /// How the colours are worked.
    pub technique: Technique,
    /// Rounds or turned rows.
    pub construction: Construction,
    /// Stitches on the needle, 1 or more: repeats around = (this - edge) / repeat width.
    pub needle_stitches: u32,
    /// Stitches outside the repeats (selvedge, steek, a balancing stitch).
    pub edge_stitches: u32,
    /// How often the repeat is worked upwards, 1 or more.
    pub repeats_up: u32,
    /// The longest float left uncaught.
    pub float_limit: FloatLimit,
    /// Colours in one row from which a finding is raised (more than this), 1 or more; 2 by tradition.
    pub colours_per_row: u32,
    /// Waste and knots, in per cent of the yarn, `0..=100`.
    pub waste_percent: f64,
    /// Loose end left at each join, in cm, 0 or more.
    pub tail_cm: f64,
    /// Side of the square swatch knitted first, in cm; 0 for none.
    pub swatch_cm: f64,
}

impl Default for KnitPlan {
    /// Fingering weight (class 1 of the Standard Yarn Weight System, 27-32 stitches per 4 in) over
    /// about 50 cm.
    fn default() -> Self {
        let gauge = Gauge { stitches: StitchesPer10Cm::clamped(28.0), rows: RowsPer10Cm::clamped(32.0) };
        Self::new(gauge, 144)
    }
}

impl KnitPlan {
    /// A plan at this gauge with the trade's usual defaults.
    pub fn new(gauge: Gauge, needle_stitches: u32) -> Self {
        Self {
            gauge,
            technique: Technique::default(),
            construction: Construction::default(),
            needle_stitches: needle_stitches.max(1),
            edge_stitches: 0,
            repeats_up: 1,
            float_limit: FloatLimit::default(),
            colours_per_row: 2,
            waste_percent: 5.0,
            tail_cm: 15.0,
            swatch_cm: 15.0,
        }
    }
}

/// Another set of colours for the same chart.
#[derive(Clone, Debug, PartialEq)]
pub struct Colourway {
    /// What the knitter calls it.
    pub name: String,
    /// One colour per palette slot.
    pub colours: Vec<Colour>,
    /// One slot per palette slot, of these colours, where names, roles, shades and yarns differ too; `None` where the
    /// colours alone do.
    pub whole: Option<Vec<Slot>>,
}

/// A project: everything that is saved.
#[derive(Clone, Debug, PartialEq)]
pub struct Project {
    /// Title, shown in the window and on exports.
    pub title: String,
    /// Who designed it, as the sheet and the PDF say it; may be empty.
    pub designer: String,
    /// Free notes.
    pub notes: String,
    /// How lengths are shown and typed.
    pub units: LengthUnit,
    /// What all prices are in.
    pub currency: Currency,
    /// The colours.
    pub palette: Palette,
    /// The chart.
    pub chart: Chart,
    /// What is painted along with a stitch.
    pub symmetry: Symmetry,
    /// How it is knitted.
    pub plan: KnitPlan,
    /// Other colours for the same chart.
    pub colourways: Vec<Colourway>,
    /// What it must withstand, its fibre and its swatches.
    pub material: Material,
    /// The pieces it is made of, and their sizes.
    pub pieces: PiecePlan,
    /// The shades to choose from. Shared, so that an edit of one card copies no other.
    pub shade_cards: Vec<Arc<ShadeCard>>,
}

impl Default for Project {
    /// An untitled 24 x 24 chart of plain ground.
    fn default() -> Self {
        let palette = Palette::default();
        let ground = palette.slot_of(Role::Ground).unwrap_or(0);
        Self {
            title: "Untitled".to_owned(),
            designer: String::new(),
            notes: String::new(),
            units: LengthUnit::default(),
            currency: Currency::default(),
            chart: Chart::new(Grid::square(24, Cell::slot(ground as u8))),
            symmetry: Symmetry::default(),
            palette,
            plan: KnitPlan::default(),
            colourways: Vec::new(),
            material: Material::default(),
            pieces: PiecePlan::default(),
            shade_cards: Vec::new(),
        }
    }
}

impl Project {
    /// Checks what the types cannot: every stitch and band has a colour, every colourway fits the palette,
    /// and the whole is within the budget of a project.
    ///
    /// # Errors
    /// [`ProjectError`] naming the first place that is wrong.
    pub fn check(&self) -> Result<(), ProjectError> {
        budget::check(self)?;
        let slots = self.palette.slots().len();
        let grid = &self.chart.grid;
        let unknown = grid.cells().iter().position(|cell| cell.index().is_some_and(|slot| slot >= slots));
        if let Some(offset) = unknown {
            let (x, y) = (offset as u32 % grid.width(), offset as u32 / grid.width());
            return Err(ProjectError::UnknownSlot {
                row: y + 1,
                stitch: grid.width() - x,
                slot: grid.cells()[offset].index().map_or(0, |slot| slot + 1),
                slots,
            });
        }
        let off = |way: &Colourway| {
            way.colours.len() != slots || way.whole.as_ref().is_some_and(|whole| whole.len() != slots)
        };
        if let Some(way) = self.colourways.iter().find(|way| off(way)) {
            return Err(ProjectError::Colourway {
                name: way.name.clone(),
                found: way.whole.as_ref().map_or(way.colours.len(), Vec::len),
                expected: slots,
            });
        }
        for piece in &self.pieces.pieces {
            for band in &piece.bands {
                if let Some(slot) = band.colours.iter().find(|slot| **slot >= slots) {
                    return Err(ProjectError::BandSlot {
                        piece: piece.name.clone(),
                        band: band.name.clone(),
                        slot: slot + 1,
                        slots,
                    });
                }
            }
        }
        Ok(())
    }

    /// How many whole repeats go around, and the stitches left over.
    pub const fn repeats_around(&self) -> (u32, u32) {
        let stitches = self.plan.needle_stitches.saturating_sub(self.plan.edge_stitches);
        let width = self.chart.repeat.width;
        (stitches / width, stitches % width)
    }

    /// The slot that edge stitches and erased cells take: the ground, else the main colour, else the first.
    pub fn background_slot(&self) -> usize {
        self.palette.slot_of(Role::Ground).or_else(|| self.palette.slot_of(Role::Main)).unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_shorter_float_limit_holds() {
        let limit = FloatLimit::default();
        assert_eq!(limit.in_stitches(Gauge::new(20.0, 28.0).unwrap()), 5);
        assert_eq!(limit.in_stitches(Gauge::new(32.0, 40.0).unwrap()), 5);
        assert_eq!(limit.in_stitches(Gauge::new(12.0, 16.0).unwrap()), 3);
        assert_eq!(limit.in_stitches(Gauge::new(2.0, 2.0).unwrap()), 1);
    }

    #[test]
    fn a_repeat_box_outside_the_chart_is_refused() {
        let grid = Grid::new(8, 8, Cell::slot(0)).unwrap();
        assert!(Chart::with_repeat(grid.clone(), Rect::new(4, 0, 5, 8)).is_err());
        assert!(Chart::with_repeat(grid, Rect::new(0, 0, 0, 8)).is_err());
    }
}
