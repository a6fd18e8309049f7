//! Edits: each is applied once and gives back the edit that undoes it.

use std::sync::Arc;

use super::material::Material;
use super::model::{Chart, Colourway, KnitPlan, Project};
use super::palette::Palette;
use super::piece_plan::PiecePlan;
use crate::chart::{Areas, Cell, Grid, Ink, Point, Rect, Symmetry};
use crate::units::{Currency, LengthUnit};
use crate::yarn::ShadeCard;

/// New stitches for a rectangle of the chart.
#[derive(Clone, Debug, PartialEq)]
pub struct CellPatch {
    /// Left column.
    pub x: u32,
    /// Bottom row.
    pub y: u32,
    /// The stitches.
    pub cells: Grid,
}

impl CellPatch {
    /// The patch that paints every given cell of `grid`, the rest of its bounding box as it is.
    /// `None` when nothing would change.
    pub fn painting(
        grid: &Grid,
        points: impl IntoIterator<Item = Point>,
        ink: impl Into<Ink>,
    ) -> Option<Self> {
        let ink = ink.into();
        let painted = |p: Point| {
            let old = grid.get(p)?;
            Some((p, ink.on(old))).filter(|(_, new)| *new != old)
        };
        let changed: Vec<(Point, Cell)> = points.into_iter().filter_map(painted).collect();
        let bounds = changed.iter().fold(Rect::default(), |r, (p, _)| r.union(Rect::new(p.x, p.y, 1, 1)));
        let mut cells = grid.copy(bounds)?;
        for (p, cell) in changed {
            cells.set(Point::new(p.x - bounds.x, p.y - bounds.y), cell);
        }
        Some(Self { x: bounds.x, y: bounds.y, cells })
    }

    /// The rectangle it covers.
    pub const fn rect(&self) -> Rect {
        Rect::new(self.x, self.y, self.cells.width(), self.cells.height())
    }
}

/// One change of a project. Applying it returns its inverse.
#[derive(Clone, Debug, PartialEq)]
pub enum Edit {
    /// Stitches of a part of the chart.
    Cells(CellPatch),
    /// The whole chart: size, stitches and repeat box.
    Chart(Box<Chart>),
    /// The palette.
    Palette(Box<Palette>),
    /// Gauge, technique and repeats.
    Plan(Box<KnitPlan>),
    /// The pieces and their sizes.
    Pieces(Box<PiecePlan>),
    /// The colourways.
    Colourways(Vec<Colourway>),
    /// Needs, fibre and swatches.
    Material(Box<Material>),
    /// The shade cards.
    ShadeCards(Vec<Arc<ShadeCard>>),
    /// Title, designer and notes.
    About {
        /// Title.
        title: String,
        /// Designer.
        designer: String,
        /// Free notes.
        notes: String,
    },
    /// How lengths are shown.
    Units(LengthUnit),
    /// What prices are in.
    Currency(Currency),
    /// What is painted along with a stitch.
    Symmetry(Symmetry),
    /// Several changes, applied in order, undone as one.
    Several(Vec<Edit>),
}

/// Which parts of a project an edit touches, so that derived figures know when they are stale.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
#[expect(clippy::struct_excessive_bools, reason = "independent parts of a project")]
pub struct Touched {
    /// Stitches changed in place inside these rectangles (may be empty).
    pub cells: Areas,
    /// The chart was replaced: its size, its repeat or all its stitches may differ.
    pub chart: bool,
    /// The palette.
    pub palette: bool,
    /// The knit plan.
    pub plan: bool,
    /// The pieces and their sizes.
    pub pieces: bool,
}

impl Touched {
    /// What either touches.
    pub fn union(self, other: Self) -> Self {
        Self {
            cells: self.cells.union(other.cells),
            chart: self.chart || other.chart,
            palette: self.palette || other.palette,
            plan: self.plan || other.plan,
            pieces: self.pieces || other.pieces,
        }
    }
}

impl Edit {
    /// What the edit touches.
    pub fn touched(&self) -> Touched {
        match self {
            Self::Cells(patch) => Touched { cells: patch.rect().into(), ..Touched::default() },
            Self::Chart(_) => Touched { chart: true, ..Touched::default() },
            Self::Palette(_) => Touched { palette: true, ..Touched::default() },
            Self::Plan(_) => Touched { plan: true, ..Touched::default() },
            Self::Colourways(_)
            | Self::Material(_)
            | Self::ShadeCards(_)
            | Self::About { .. }
            | Self::Units(_)
            | Self::Currency(_)
            | Self::Symmetry(_) => Touched::default(),
            Self::Pieces(_) => Touched { pieces: true, ..Touched::default() },
            Self::Several(edits) => edits.iter().map(Self::touched).fold(Touched::default(), Touched::union),
        }
    }

    /// Roughly the memory the edit holds, in bytes.
    pub fn bytes(&self) -> usize {
        let own = size_of::<Self>();
        own + match self {
            Self::Cells(patch) => patch.cells.cells().len(),
            Self::Chart(chart) => chart.grid.cells().len(),
            Self::Palette(palette) => palette.slots().iter().map(|s| size_of_val(s) + s.name.len()).sum(),
            Self::Plan(_) => size_of::<KnitPlan>(),
            Self::Pieces(plan) => plan.bytes(),
            Self::Colourways(ways) => {
                let whole = |w: &Colourway| w.whole.as_ref().map_or(0, |whole| size_of_val(whole.as_slice()));
                let bytes = |w: &Colourway| size_of_val(w.colours.as_slice()) + w.name.len() + whole(w);
                ways.iter().map(|w| size_of_val(w) + bytes(w)).sum()
            }
            Self::Material(material) => size_of::<Material>() + material.bytes(),
            // Cards that did not change are shared, so this is the most it can be.
            Self::ShadeCards(cards) => cards.iter().map(|card| card.bytes()).sum(),
            Self::About { title, designer, notes } => title.len() + designer.len() + notes.len(),
            Self::Units(_) | Self::Symmetry(_) => 0,
            Self::Currency(currency) => currency.written().len(),
            Self::Several(edits) => edits.iter().map(Self::bytes).sum(),
        }
    }

    /// Whether carrying it out on `project` can leave one that does not pass [`Project::check`]. Cheap:
    /// a stroke of the pen must not look through the whole chart.
    pub(super) fn can_break(&self, project: &Project) -> bool {
        let slots = project.palette.slots().len();
        match self {
            Self::Plan(_)
            | Self::Material(_)
            | Self::ShadeCards(_)
            | Self::About { .. }
            | Self::Units(_)
            | Self::Currency(_)
            | Self::Symmetry(_) => false,
            Self::Cells(patch) => patch.cells.cells().iter().any(|c| c.index().is_some_and(|s| s >= slots)),
            Self::Palette(palette) => palette.slots().len() != slots,
            Self::Chart(_) | Self::Pieces(_) | Self::Colourways(_) => true,
            Self::Several(edits) => edits.iter().any(|edit| edit.can_break(project)),
        }
    }

    /// Whether undoing to `self` makes a later inverse of the same gesture needless: both replace
    /// the same whole part, so the older one is enough.
    pub(super) fn replaces_same_part(&self, later: &Self) -> bool {
        matches!(
            (self, later),
            (Self::Chart(_), Self::Chart(_) | Self::Cells(_))
                | (Self::Palette(_), Self::Palette(_))
                | (Self::Plan(_), Self::Plan(_))
                | (Self::Pieces(_), Self::Pieces(_))
                | (Self::Colourways(_), Self::Colourways(_))
                | (Self::Material(_), Self::Material(_))
                | (Self::ShadeCards(_), Self::ShadeCards(_))
                | (Self::About { .. }, Self::About { .. })
                | (Self::Units(_), Self::Units(_))
                | (Self::Currency(_), Self::Currency(_))
                | (Self::Symmetry(_), Self::Symmetry(_))
        )
    }
}

impl Project {
    /// Carries out the edit and returns the one that undoes it.
    pub fn apply(&mut self, edit: Edit) -> Edit {
        use std::mem::replace;
        match edit {
            Edit::Cells(patch) => self.apply_cells(&patch),
            Edit::Chart(chart) => Edit::Chart(Box::new(replace(&mut self.chart, *chart))),
            Edit::Palette(palette) => Edit::Palette(Box::new(replace(&mut self.palette, *palette))),
            Edit::Plan(plan) => Edit::Plan(Box::new(replace(&mut self.plan, *plan))),
            Edit::Pieces(plan) => Edit::Pieces(Box::new(replace(&mut self.pieces, *plan))),
            Edit::Colourways(ways) => Edit::Colourways(replace(&mut self.colourways, ways)),
            Edit::Material(material) => Edit::Material(Box::new(replace(&mut self.material, *material))),
            Edit::ShadeCards(cards) => Edit::ShadeCards(replace(&mut self.shade_cards, cards)),
            Edit::About { title, designer, notes } => Edit::About {
                title: replace(&mut self.title, title),
                designer: replace(&mut self.designer, designer),
                notes: replace(&mut self.notes, notes),
            },
            Edit::Units(units) => Edit::Units(replace(&mut self.units, units)),
            Edit::Currency(currency) => Edit::Currency(replace(&mut self.currency, currency)),
            Edit::Symmetry(symmetry) => Edit::Symmetry(replace(&mut self.symmetry, symmetry)),
            Edit::Several(edits) => {
                let mut undo: Vec<Edit> = edits.into_iter().map(|edit| self.apply(edit)).collect();
                undo.reverse();
                Edit::Several(undo)
            }
        }
    }

    fn apply_cells(&mut self, patch: &CellPatch) -> Edit {
        match self.chart.grid.copy(patch.rect()) {
            Some(old) => {
                self.chart.grid.paste(&patch.cells, (i64::from(patch.x), i64::from(patch.y)));
                Edit::Cells(CellPatch { x: patch.x, y: patch.y, cells: old })
            }
            // Wholly outside: nothing changes, so nothing is to be undone.
            None => Edit::Several(Vec::new()),
        }
    }

    /// The edit that takes out palette slot `index`, giving its stitches to `heir` (numbered as now).
    /// `None` when either does not exist or they are the same.
    pub fn without_slot(&self, index: usize, heir: usize) -> Option<Edit> {
        let mut palette = self.palette.clone();
        if index == heir || heir >= palette.slots().len() {
            return None;
        }
        palette.remove(index)?;
        let renumber = |cell: &Cell| match cell.index() {
            None => *cell,
            Some(slot) => {
                let slot = if slot == index { heir } else { slot };
                cell.painted(Cell::slot((slot - usize::from(slot > index)) as u8))
            }
        };
        let grid = &self.chart.grid;
        let cells = grid.cells().iter().map(renumber).collect();
        let grid = Grid::from_cells(grid.width(), grid.height(), cells).ok()?;
        let chart = Chart::with_repeat(grid, self.chart.repeat()).ok()?;
        let mut ways = self.colourways.clone();
        for way in &mut ways {
            way.remove(index);
        }
        Some(Edit::Several(vec![
            Edit::Chart(Box::new(chart)),
            Edit::Palette(Box::new(palette)),
            Edit::Colourways(ways),
            Edit::Pieces(Box::new(self.pieces.without_slot(index, heir))),
        ]))
    }
}
