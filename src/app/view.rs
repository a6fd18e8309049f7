//! How the project is being looked at: never saved with it, never undone.

use std::path::PathBuf;

pub use super::choices::{Columns, Fold, Folds, TextSize, ThemeChoice, Workspace};
use super::dialog::Dialog;
use super::purpose::Purpose;
use crate::chart::{Areas, Cell, Grid, Ink, Point, Raster, Rect, Work};

/// What the pointer does on the chart.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Tool {
    /// Paints the stitches the pointer passes.
    #[default]
    Draw,
    /// A straight line of stitches.
    Line,
    /// A rectangle, outlined or filled.
    Rectangle,
    /// An ellipse, outlined or filled.
    Ellipse,
    /// Fills the connected area of one colour.
    Fill,
    /// Paints the background colour.
    Erase,
    /// Takes up the colour under the pointer.
    Pick,
    /// Chooses a region; dragging inside it moves its stitches.
    Region,
}

impl View {
    /// Whether stitches are held over the chart, in sight.
    pub fn holds_stitches(&self) -> bool {
        self.workspace == Workspace::Design && self.chart.floating.is_some()
    }
}

impl Tool {
    /// All tools, in the order they are shown.
    pub const ALL: [Self; 8] = [
        Self::Draw,
        Self::Line,
        Self::Rectangle,
        Self::Ellipse,
        Self::Fill,
        Self::Erase,
        Self::Pick,
        Self::Region,
    ];

    /// What it leaves on the chart, as undo calls it; `filled` where it can be.
    pub const fn leaves(self, ink: Ink, filled: bool) -> &'static str {
        match (self, filled) {
            (Self::Erase, _) => "Rub out",
            _ if matches!(ink, Ink::Work(_)) => "Decreases and increases",
            (Self::Draw, _) => "Freehand line",
            (Self::Line, _) => "Straight line",
            (Self::Rectangle, true) => "Filled rectangle",
            (Self::Rectangle, false) => "Rectangle",
            (Self::Ellipse, true) => "Filled ellipse",
            (Self::Ellipse, false) => "Ellipse",
            (Self::Fill, _) => "Fill an area",
            (Self::Pick | Self::Region, _) => self.name(),
        }
    }

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Draw => "Draw",
            Self::Line => "Line",
            Self::Rectangle => "Rectangle",
            Self::Ellipse => "Ellipse",
            Self::Fill => "Fill",
            Self::Erase => "Erase",
            Self::Pick => "Pick up colour",
            Self::Region => "Region",
        }
    }
}

/// How the region tool chooses.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Choose {
    /// A rectangle.
    #[default]
    Rectangle,
    /// What a line drawn by hand goes around.
    Freehand,
    /// Every stitch of one colour.
    Colour,
    /// The stitches of one colour that hang together.
    Area,
}

/// What opens the menu of the chart in the next frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MenuAt {
    /// Where on the screen, in points.
    pub pos: [f32; 2],
    /// By a key, so that the keyboard goes to its first line.
    pub by_keys: bool,
}

/// How the stitches are rendered.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Look {
    /// Flat squares of colour at the true aspect.
    #[default]
    Chart,
    /// Little knit stitches.
    Knitted,
}

/// Through which eyes the colours are shown.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Eyes {
    /// As they are.
    #[default]
    Usual,
    /// Lightness (L*) only.
    Value,
    /// Red-weak (protan).
    Protan,
    /// Green-weak (deutan).
    Deutan,
    /// Blue-weak (tritan).
    Tritan,
}

/// The surround of the chart, against which colours are judged.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Surround {
    /// As the window's theme.
    #[default]
    Theme,
    /// Light grey.
    Light,
    /// Middle grey (L* 50).
    Mid,
    /// Dark grey.
    Dark,
}

/// Stitches picked up but not yet set down (a paste or a stamp).
#[derive(Clone, Debug, PartialEq)]
pub struct Floating {
    /// The stitches.
    pub patch: Grid,
    /// Where its bottom-left corner is held; may lie outside the chart.
    pub at: (i64, i64),
    /// What undo will call setting it down.
    pub label: &'static str,
    /// Stitches of this kind are left out when it is set down (the ground around a stamped shape).
    pub see_through: Option<Cell>,
}

/// What the pointer is in the middle of doing on the chart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Gesture {
    /// Painting a stroke that has come to this cell, which may lie outside the chart.
    Stroke {
        /// Column and row of the last sample.
        last: (i64, i64),
        /// What it leaves.
        ink: Ink,
        /// What undo will call the stroke.
        label: &'static str,
    },
    /// Stretching a line, rectangle or ellipse from one stitch to another.
    Shape {
        /// Where the pointer went down.
        from: Point,
        /// Where it is now.
        to: Point,
        /// Stretched with the arrow keys instead of the pointer.
        by_keys: bool,
        /// In the second colour.
        second: bool,
    },
    /// Stretching the rubber band of the region.
    Band {
        /// Where the pointer went down.
        from: Point,
        /// Where it is now.
        to: Point,
        /// Whether the pointer has left the place where it went down.
        moved: bool,
    },
    /// Drawing around what is to be chosen; the way so far is in the view.
    Around,
    /// Moving the stitches of the region.
    Shift {
        /// The cell that was taken hold of.
        from: (i64, i64),
        /// How far it has been moved, in stitches and rows.
        by: (i64, i64),
        /// The stitches stay and a copy moves.
        copy: bool,
    },
    /// Moving the held stitches about; the cell taken hold of, counted from their corner.
    Carry {
        /// Column and row inside the patch.
        grip: (i64, i64),
    },
    /// Placing an axis of the symmetry.
    Axis {
        /// The upright one.
        upright: bool,
        /// Where it is now, in half stitches from the left or half rows from the bottom.
        at2: u32,
    },
    /// Pulling the repeat at a corner.
    Corner {
        /// At its right.
        right: bool,
        /// At its top.
        top: bool,
        /// The repeat as it would be.
        to: Rect,
    },
    /// Taking up colours while the button is down.
    Pick {
        /// As the second colour.
        second: bool,
    },
    /// Moving the view.
    Pan,
}

/// What of the chart's picture is out of date.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stale {
    /// Stitches inside these rectangles changed.
    pub cells: Areas,
    /// Everything changed (another chart, size or palette).
    pub all: bool,
}

impl Default for Stale {
    /// A new window has drawn nothing yet.
    fn default() -> Self {
        Self { cells: Areas::NONE, all: true }
    }
}

/// View of the chart.
#[derive(Clone, Debug)]
#[expect(clippy::struct_excessive_bools, reason = "independent switches of the view bar")]
pub struct ChartView {
    /// What the pointer does.
    pub tool: Tool,
    /// What the tools paint: a palette slot or "no stitch".
    pub paint: Cell,
    /// What the tools paint with the right button; `None` is the background.
    pub second: Option<Cell>,
    /// How stitches are worked that the tools pass; `None` paints the colour.
    pub work: Option<Work>,
    /// Whether rectangles and ellipses are filled.
    pub filled: bool,
    /// Screen points per stitch width.
    pub zoom: f32,
    /// Screen offset of the chart's top-left corner from the canvas's, in points.
    pub pan: [f32; 2],
    /// Bring the whole chart into view in the next frame.
    pub fit: bool,
    /// Bring this rectangle into view in the next frame.
    pub reveal: Option<Rect>,
    /// Zoom and pan before something was brought into view, to go back to.
    pub back: Option<(f32, [f32; 2])>,
    /// Enlarge by this factor about the middle of the canvas in the next frame.
    pub zoom_by: f32,
    /// The keyboard cursor.
    pub cursor: Point,
    /// The stitch under the pointer.
    pub hover: Option<Point>,
    /// The chosen region.
    pub region: Option<Rect>,
    /// The rectangle of the region and the chosen stitches of it, where these are not all.
    pub chosen: Option<(Rect, Raster)>,
    /// How the region tool chooses.
    pub choose: Choose,
    /// The way drawn around what is to be chosen.
    pub path: Vec<Point>,
    /// Opens the menu of the chart.
    pub menu: Option<MenuAt>,
    /// The corner of the region that stays while the keyboard cursor stretches it.
    pub anchor: Option<Point>,
    /// What the pointer is in the middle of.
    pub gesture: Option<Gesture>,
    /// Stitches held over the chart.
    pub floating: Option<Floating>,
    /// What is held follows the pointer until it is set down by a click.
    pub hangs: bool,
    /// Stitches a finding points at.
    pub highlight: Vec<Rect>,
    /// Flat or knitted.
    pub look: Look,
    /// What surrounds the chart.
    pub surround: Surround,
    /// Symbols on the stitches.
    pub symbols: bool,
    /// Row and stitch numbers.
    pub numbers: bool,
    /// The repeat continued around the chart, faded.
    pub ghosts: bool,
    /// What the canvas must draw anew.
    pub stale: Stale,
}

impl Default for ChartView {
    fn default() -> Self {
        Self {
            tool: Tool::default(),
            paint: Cell::slot(0),
            second: None,
            work: None,
            filled: true,
            zoom: 16.0,
            pan: [0.0, 0.0],
            fit: true,
            reveal: None,
            back: None,
            zoom_by: 1.0,
            cursor: Point::default(),
            hover: None,
            region: None,
            chosen: None,
            choose: Choose::default(),
            path: Vec::new(),
            menu: None,
            anchor: None,
            gesture: None,
            floating: None,
            hangs: false,
            highlight: Vec::new(),
            look: Look::default(),
            surround: Surround::default(),
            symbols: false,
            numbers: true,
            ghosts: true,
            stale: Stale::default(),
        }
    }
}

impl ChartView {
    /// Takes up a tool; what the pointer was in the middle of with the one before is over.
    pub fn take_tool(&mut self, tool: Tool) {
        self.tool = tool;
        self.gesture = None;
    }

    /// Points at these stitches, brings them into view if they are out of sight, and puts the keyboard cursor
    /// on one of them.
    pub fn point_at(&mut self, stitches: Vec<Rect>, cursor: Point) {
        self.reveal = stitches.iter().copied().reduce(Rect::union);
        self.highlight = stitches;
        self.cursor = cursor;
    }

    /// The tools paint what this cell is: its work where it is not plain, else its colour.
    pub fn take_up(&mut self, cell: Cell) {
        self.paint = Cell::NO_STITCH;
        if let Some(slot) = cell.index() {
            self.paint = Cell::slot(slot as u8);
        }
        self.work = Some(cell.work()).filter(|work| *work != Work::Plain);
    }

    /// The chosen stitches of the region, when they are not all of its rectangle.
    pub fn mask(&self) -> Option<&Raster> {
        self.chosen.as_ref().filter(|(rect, _)| self.region == Some(*rect)).map(|(_, mask)| mask)
    }

    /// Makes these stitches the region; none of them, no region.
    pub fn choose_points(&mut self, points: &[Point]) {
        let around = points.iter().fold(Rect::default(), |r, p| r.union(Rect::new(p.x, p.y, 1, 1)));
        let mut chosen = vec![false; around.area()];
        for p in points {
            chosen[(p.y - around.y) as usize * around.width as usize + (p.x - around.x) as usize] = true;
        }
        let gaps = chosen.contains(&false);
        let mask = Raster::from_fn(around.width, around.height, |p| {
            chosen[p.y as usize * around.width as usize + p.x as usize]
        });
        self.region = (!around.is_empty()).then_some(around);
        self.chosen = gaps.then_some((around, mask));
        self.anchor = None;
    }

    /// Makes the stitches of a mask with its corner at `at` the region, as far as they lie in `bounds`.
    pub fn choose_mask(&mut self, mask: &Raster, at: (i64, i64), bounds: Rect) {
        let there = mask.points().filter_map(|p| {
            let (x, y) = (at.0 + i64::from(p.x), at.1 + i64::from(p.y));
            Some(Point::new(u32::try_from(x).ok()?, u32::try_from(y).ok()?))
        });
        self.choose_points(&there.filter(|p| bounds.contains(*p)).collect::<Vec<_>>());
    }

    /// A view of another chart, looked at in the same way.
    #[must_use]
    pub fn of_another_chart(&self) -> Self {
        Self {
            look: self.look,
            symbols: self.symbols,
            numbers: self.numbers,
            ghosts: self.ghosts,
            surround: self.surround,
            ..Self::default()
        }
    }
}

/// What the window may change by itself: where the person is and what they look at. Never saved with
/// the project, never undone.
#[derive(Clone, Debug, Default)]
pub struct View {
    /// How the chart is looked at.
    pub chart: ChartView,
    /// Whether the motif library is open.
    pub motifs_open: bool,
    /// Which workspace is shown.
    pub workspace: Workspace,
    /// The question in front of the window, with what has been typed into it.
    pub dialog: Option<Dialog>,
    /// The path that was just typed, until the work on its file takes it: it is asked for again when that is refused.
    pub typed: Option<(Purpose, PathBuf)>,
    /// The columns beside the chart that are shown, of those that are wanted: a narrow window has room for one.
    pub columns: Columns,
    /// Whether the window shows itself dark, which the system may decide.
    pub shows_dark: bool,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_tools_leave_steps_of_one_name() {
        let ink = Ink::Cell(Cell::slot(1));
        let paints = Tool::ALL.into_iter().filter(|tool| !matches!(tool, Tool::Pick | Tool::Region));
        let mut names: Vec<_> = paints.clone().map(|tool| tool.leaves(ink, true)).collect();
        names.extend([Tool::Rectangle, Tool::Ellipse].map(|tool| tool.leaves(ink, false)));
        names.push(Tool::Draw.leaves(Ink::Work(Work::ALL[0]), false));
        let count = names.len();
        names.sort_unstable();
        names.dedup();
        assert_eq!(names.len(), count, "{names:?}");
    }
}
