//! Undo steps in words, each on a line of its own: what a copy of unsaved work keeps of the history.
//!
//! Kept from one run to the next at most, so this form has no versions: a step that is not understood
//! ends the history there.

use serde::{Deserialize, Serialize};

use super::Problem;
use super::chart_record::ChartRecord;
use super::material_record::MaterialRecord;
use super::names::UnitsWord;
use super::piece_record::{self, PaceRecord, PieceRecord, SizeRecord};
use super::record::{self, ColourwayRecord, Invalid, PaletteRecord, PlanRecord, cards};
use super::shade_card::CardRecord;
use super::symmetry_record::SymmetryRecord;
use crate::chart::Cell;
use crate::project::{CellPatch, Chart, Edit, StepLabel};

#[derive(Debug, Serialize, Deserialize)]
enum EditRecord {
    Cells {
        x: u32,
        y: u32,
        stitches: ChartRecord,
    },
    Chart(ChartRecord),
    Palette(PaletteRecord),
    Plan(PlanRecord),
    Pieces {
        pieces: Vec<PieceRecord>,
        sizes: Vec<SizeRecord>,
        worked_size: usize,
        pace: Option<f64>,
        /// Shares of it: stranded, intarsia.
        #[serde(default)]
        colourwork: (Option<f64>, Option<f64>),
    },
    Colourways(Vec<ColourwayRecord>),
    Material(Box<MaterialRecord>),
    ShadeCards(Vec<CardRecord>),
    About {
        title: String,
        #[serde(default)]
        designer: String,
        notes: String,
    },
    Units(UnitsWord),
    Currency(String),
    Symmetry(SymmetryRecord),
    Several(Vec<EditRecord>),
}

impl EditRecord {
    fn new(edit: &Edit) -> Self {
        match edit {
            Edit::Cells(CellPatch { x, y, cells }) => {
                Self::Cells { x: *x, y: *y, stitches: ChartRecord::new(&Chart::new(cells.clone())) }
            }
            Edit::Chart(chart) => Self::Chart(ChartRecord::new(chart)),
            Edit::Palette(palette) => Self::Palette(PaletteRecord::new(palette)),
            Edit::Plan(plan) => Self::Plan(PlanRecord::new(plan)),
            Edit::Pieces(plan) => {
                let pace = PaceRecord::new(plan.pace);
                Self::Pieces {
                    pieces: plan.pieces.iter().map(PieceRecord::new).collect(),
                    sizes: plan.sizes.iter().map(SizeRecord::new).collect(),
                    worked_size: plan.chosen.saturating_add(1),
                    pace: pace.stitches_per_minute,
                    colourwork: (pace.stranded_pace_share, pace.intarsia_pace_share),
                }
            }
            Edit::Colourways(ways) => Self::Colourways(ways.iter().map(ColourwayRecord::new).collect()),
            Edit::Material(material) => Self::Material(Box::new(MaterialRecord::new(material))),
            Edit::ShadeCards(cards) => {
                Self::ShadeCards(cards.iter().map(|card| CardRecord::new(card)).collect())
            }
            Edit::About { title, designer, notes } => {
                Self::About { title: title.clone(), designer: designer.clone(), notes: notes.clone() }
            }
            Edit::Units(units) => Self::Units((*units).into()),
            Edit::Currency(currency) => Self::Currency(currency.written().to_owned()),
            Edit::Symmetry(symmetry) => Self::Symmetry(SymmetryRecord::new(symmetry)),
            Edit::Several(edits) => Self::Several(edits.iter().map(Self::new).collect()),
        }
    }

    /// The edit. How many colours there are where it is carried out is not known here; the project is
    /// checked after each step instead.
    fn edit(&self) -> Result<Edit, Invalid> {
        const SLOTS: usize = Cell::MAX_SLOTS;
        Ok(match self {
            Self::Cells { x, y, stitches } => {
                Edit::Cells(CellPatch { x: *x, y: *y, cells: stitches.chart(SLOTS)?.grid })
            }
            Self::Chart(chart) => Edit::Chart(Box::new(chart.chart(SLOTS)?)),
            Self::Palette(palette) => Edit::Palette(Box::new(palette.palette()?)),
            Self::Plan(plan) => Edit::Plan(Box::new(plan.plan()?)),
            Self::Pieces { pieces, sizes, worked_size, pace, colourwork } => {
                let pace = PaceRecord {
                    stitches_per_minute: *pace,
                    stranded_pace_share: colourwork.0,
                    intarsia_pace_share: colourwork.1,
                };
                Edit::Pieces(Box::new(piece_record::plan(pieces, sizes, *worked_size, pace, SLOTS)?))
            }
            Self::Colourways(ways) => {
                let way = |way: &ColourwayRecord| way.colourway("colourways", way.colours.len());
                Edit::Colourways(ways.iter().map(way).collect::<Result<_, _>>()?)
            }
            Self::Material(material) => Edit::Material(Box::new(material.material()?)),
            Self::ShadeCards(records) => Edit::ShadeCards(cards(records)?),
            Self::About { title, designer, notes } => {
                let (title, designer) = (title.clone(), designer.clone());
                Edit::About { title, designer, notes: notes.clone() }
            }
            Self::Units(units) => Edit::Units((*units).into()),
            Self::Currency(written) => Edit::Currency(record::currency(written)?),
            Self::Symmetry(symmetry) => Edit::Symmetry(symmetry.symmetry()?),
            Self::Several(edits) => Edit::Several(edits.iter().map(Self::edit).collect::<Result<_, _>>()?),
        })
    }
}

/// A step on one line.
///
/// # Errors
/// [`Problem::Unwritten`] when it cannot be put into words.
pub(super) fn to_line((label, edit): &(StepLabel, Edit)) -> Result<String, Problem> {
    let record = (&**label, EditRecord::new(edit));
    super::options().to_string(&record).map_err(|error| Problem::Unwritten(error.to_string()))
}

/// The step on a line; `None` when it cannot be understood.
pub(super) fn from_line(line: &str) -> Option<(StepLabel, Edit)> {
    let (label, record): (String, EditRecord) = super::options().from_str(line).ok()?;
    Some((label.into(), record.edit().ok()?))
}
