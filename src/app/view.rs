//! How the project is being looked at: never saved with it, never undone.

use super::dialog::Dialog;
use crate::chart::{Cell, Grid, Ink, Point, Rect, Work};

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
    /// Taking up colours while the button is down.
    Pick,
    /// Moving the view.
    Pan,
}

/// What of the chart's picture is out of date.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Stale {
    /// Stitches inside this rectangle changed.
    pub cells: Rect,
    /// Everything changed (another chart, size or palette).
    pub all: bool,
}

impl Default for Stale {
    /// A new window has drawn nothing yet.
    fn default() -> Self {
        Self { cells: Rect::default(), all: true }
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
    /// The corner of the region that stays while the keyboard cursor stretches it.
    pub anchor: Option<Point>,
    /// What the pointer is in the middle of.
    pub gesture: Option<Gesture>,
    /// Stitches held over the chart.
    pub floating: Option<Floating>,
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
            anchor: None,
            gesture: None,
            floating: None,
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

    /// The tools paint what this cell is: its work where it is not plain, else its colour.
    pub fn take_up(&mut self, cell: Cell) {
        self.paint = Cell::NO_STITCH;
        if let Some(slot) = cell.index() {
            self.paint = Cell::slot(slot as u8);
        }
        self.work = Some(cell.work()).filter(|work| *work != Work::Plain);
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
    /// Whether the window shows itself dark, which the system may decide.
    pub shows_dark: bool,
}

/// A workspace of the rail.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Workspace {
    /// What the piece must withstand, and the fibre for it.
    Fibre,
    /// The yarn, and the shades it can be had in.
    Yarn,
    /// Harmony, chart and findings.
    #[default]
    Design,
    /// The swatch log.
    Swatch,
    /// The pieces, their bands and sizes.
    Pieces,
    /// How much of each colour to buy, and what it costs.
    Shopping,
}

impl Workspace {
    /// All workspaces, in the order a knitter meets them.
    pub const ALL: [Self; 6] =
        [Self::Fibre, Self::Yarn, Self::Design, Self::Swatch, Self::Pieces, Self::Shopping];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Fibre => "Fibre",
            Self::Yarn => "Yarn",
            Self::Design => "Design",
            Self::Swatch => "Swatch",
            Self::Pieces => "Pieces",
            Self::Shopping => "Shopping",
        }
    }
}

/// Light, dark, or as the system.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum ThemeChoice {
    /// As the system.
    #[default]
    System,
    /// Light.
    Light,
    /// Dark.
    Dark,
}

impl ThemeChoice {
    /// All choices.
    pub const ALL: [Self; 3] = [Self::System, Self::Light, Self::Dark];

    /// Name, as remembered between runs.
    pub const fn name(self) -> &'static str {
        match self {
            Self::System => "As the system",
            Self::Light => "Light",
            Self::Dark => "Dark",
        }
    }

    /// The choice of this name, else as the system.
    pub fn named(name: Option<&str>) -> Self {
        Self::ALL.into_iter().find(|choice| Some(choice.name()) == name).unwrap_or_default()
    }
}

/// How large the window's text and controls are, in steps of ten per cent.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct TextSize(u16);

impl Default for TextSize {
    fn default() -> Self {
        Self(100)
    }
}

impl TextSize {
    /// The name it is remembered under.
    pub const KEY: &'static str = "text size";
    const STEP: u16 = 10;
    const RANGE: std::ops::RangeInclusive<u16> = 80..=200;

    /// As remembered, in per cent; 100 the first time.
    pub fn named(text: Option<&str>) -> Self {
        text.and_then(|text| text.parse().ok())
            .filter(|p| Self::RANGE.contains(p))
            .map_or_else(Self::default, Self)
    }

    /// In per cent of the size it is designed at, 80 to 200.
    pub const fn percent(self) -> u16 {
        self.0
    }

    /// One step larger, if there is one.
    #[must_use]
    pub fn larger(self) -> Self {
        Self((self.0 + Self::STEP).min(*Self::RANGE.end()))
    }

    /// One step smaller, if there is one.
    #[must_use]
    pub fn smaller(self) -> Self {
        Self((self.0 - Self::STEP).max(*Self::RANGE.start()))
    }
}

/// A part of the right column that folds away, in the order of use.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Fold {
    /// What is worth a second look, and the colours that touch.
    Findings,
    /// Yarn per colour.
    Yarn,
    /// Gauge, repeats and rules.
    Gauge,
    /// Motif fit and repeat fit.
    Fit,
}

/// Which parts of the right column are open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Folds {
    open: [bool; 4],
}

impl Default for Folds {
    /// All but the fit, which is asked now and then.
    fn default() -> Self {
        Self { open: [true, true, true, false] }
    }
}

impl Folds {
    /// The name they are remembered under.
    pub const KEY: &'static str = "folds";
    const NAMES: [(Fold, &'static str); 4] =
        [(Fold::Findings, "findings"), (Fold::Yarn, "yarn"), (Fold::Gauge, "gauge"), (Fold::Fit, "fit")];

    /// Whether a part is open.
    pub const fn is_open(self, fold: Fold) -> bool {
        self.open[fold as usize]
    }

    /// Opens or folds a part.
    pub const fn toggle(&mut self, fold: Fold) {
        self.open[fold as usize] = !self.open[fold as usize];
    }

    /// As remembered: the open parts by name.
    pub fn to_text(self) -> String {
        let open = Self::NAMES.iter().filter(|(fold, _)| self.is_open(*fold));
        open.map(|(_, name)| *name).collect::<Vec<_>>().join(" ")
    }

    /// What was remembered.
    pub fn named(text: Option<&str>) -> Self {
        text.map_or_else(Self::default, |text| {
            let open = |name: &str| text.split_whitespace().any(|word| word == name);
            Self { open: Self::NAMES.map(|(_, name)| open(name)) }
        })
    }
}

/// Which side columns of the Design workspace are open.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Columns {
    /// Harmony, on the left.
    pub harmony: bool,
    /// Findings and yarn, on the right.
    pub findings: bool,
}

impl Columns {
    /// The name they are remembered under.
    pub const KEY: &'static str = "columns";

    /// As remembered: the open columns by name.
    pub fn to_text(self) -> String {
        let open = [(self.harmony, "harmony"), (self.findings, "findings")];
        open.iter().filter(|(open, _)| *open).map(|(_, name)| *name).collect::<Vec<_>>().join(" ")
    }

    /// What was remembered; both open the first time.
    pub fn named(text: Option<&str>) -> Self {
        text.map_or_else(Self::default, |text| {
            let open = |name| text.split_whitespace().any(|word| word == name);
            Self { harmony: open("harmony"), findings: open("findings") }
        })
    }
}

impl Default for Columns {
    fn default() -> Self {
        Self { harmony: true, findings: true }
    }
}
