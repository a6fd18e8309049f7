//! A drawing: what every picture format is made from.
//!
//! Lengths are in units of the drawing, `x` to the right and `y` down from the top-left corner.
//! A unit is one pixel of a PNG at scale 1 and `unit_mm` millimetres on paper, so that all
//! formats agree on the printed size.

use super::symbols::Mark;
use super::text::{self, Weight};

/// An opaque sRGB colour.
pub type Rgb = [u8; 3];

/// A picture of shapes and words.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawing {
    /// Width in units.
    pub width: f64,
    /// Height in units.
    pub height: f64,
    /// Printed size of a unit in mm.
    pub unit_mm: f64,
    /// What the picture shows.
    pub title: String,
    /// Colour of the paper.
    pub paper: Rgb,
    /// The layers, the lowest first.
    pub layers: Vec<Layer>,
}

/// A named group of items, painted in order.
#[derive(Clone, Debug, PartialEq)]
pub struct Layer {
    /// Its name, fit for an identifier.
    pub name: &'static str,
    /// Its items.
    pub items: Vec<Item>,
    /// What it is to somebody who is read the page.
    pub role: Role,
}

impl Layer {
    /// A layer of a picture.
    pub const fn new(name: &'static str, items: Vec<Item>) -> Self {
        Self { name, items, role: Role::Picture }
    }
}

/// What a layer is to somebody who is read the page: the structure of a tagged document.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Role {
    /// A part of a picture; nothing by itself.
    #[default]
    Picture,
    /// Rules, backgrounds, the foot of the page: passed over.
    Decoration,
    /// A heading of this level, from 1.
    Heading(u16),
    /// Running words; whether they go on with the paragraph before.
    Words {
        /// The last paragraph is not finished yet.
        goes_on: bool,
    },
    /// A picture, with words that take its place.
    Figure(String),
    /// A cell of a table; tables are numbered through the document.
    Cell {
        /// Number of the table.
        table: usize,
        /// Row of the table, from 0; a head that comes again has the number of the first.
        row: usize,
        /// Whether it heads a column.
        head: bool,
    },
}

/// One thing in a drawing.
#[derive(Clone, Debug, PartialEq)]
pub enum Item {
    /// A filled upright rectangle; on a raster its edges lie on whole pixels.
    Rect {
        /// Left edge.
        x: f64,
        /// Top edge.
        y: f64,
        /// Width.
        width: f64,
        /// Height.
        height: f64,
        /// Colour.
        ink: Rgb,
    },
    /// The outline of an upright rectangle, its stroke centred on the edges; on a raster the edges
    /// lie on whole pixels.
    Frame {
        /// Left edge.
        x: f64,
        /// Top edge.
        y: f64,
        /// Width.
        width: f64,
        /// Height.
        height: f64,
        /// Stroke width.
        thickness: f64,
        /// Colour.
        ink: Rgb,
    },
    /// A filled polygon.
    Polygon {
        /// Its corners.
        points: Vec<[f64; 2]>,
        /// Colour.
        ink: Rgb,
    },
    /// A stroked line with mitred corners and butt ends.
    Line {
        /// Its corners.
        points: Vec<[f64; 2]>,
        /// Stroke width.
        width: f64,
        /// Whether the last corner joins the first.
        closed: bool,
        /// Colour.
        ink: Rgb,
    },
    /// A line of words.
    Text(Text),
    /// Many equal cells in rows and columns.
    Cells(Cells),
}

/// Where a line of text stands with respect to its `x`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Align {
    /// It begins there.
    Start,
    /// It is centred there.
    Middle,
    /// It ends there.
    End,
}

/// A line of words.
#[derive(Clone, Debug, PartialEq)]
pub struct Text {
    /// See [`Align`].
    pub x: f64,
    /// Baseline.
    pub y: f64,
    /// The words, on one line.
    pub text: String,
    /// Font size (the em) in units.
    pub size: f64,
    /// Font weight.
    pub weight: Weight,
    /// How it stands.
    pub align: Align,
    /// Colour.
    pub ink: Rgb,
}

impl Text {
    /// Left end of the words.
    pub fn left(&self) -> f64 {
        let width = text::width(&self.text, self.size, self.weight);
        match self.align {
            Align::Start => self.x,
            Align::Middle => self.x - width / 2.0,
            Align::End => self.x - width,
        }
    }
}

/// What a cell looks like.
#[derive(Clone, Debug, PartialEq)]
pub struct CellLook {
    /// Colour of the cell.
    pub fill: Rgb,
    /// The mark on it; may be empty.
    pub marks: Vec<Mark>,
    /// Colour of the mark.
    pub ink: Rgb,
    /// Whether the mark covers the whole cell rather than a square in its middle.
    pub whole_cell: bool,
}

/// Many equal cells in rows and columns.
#[derive(Clone, Debug, PartialEq)]
pub struct Cells {
    /// Left edge.
    pub x: f64,
    /// Top edge.
    pub y: f64,
    /// Width of a cell.
    pub cell_width: f64,
    /// Height of a cell.
    pub cell_height: f64,
    /// Cells in a row, 1 or more.
    pub columns: usize,
    /// The look of each cell, by its index in `looks`; the top row first, each row left to right.
    pub cells: Vec<u8>,
    /// The looks.
    pub looks: Vec<CellLook>,
}

impl Cells {
    /// Number of rows.
    pub const fn rows(&self) -> usize {
        self.cells.len() / self.columns
    }

    /// The box of a mark inside a cell at the origin: left, top, width, height.
    pub fn mark_box(&self, look: &CellLook) -> [f64; 4] {
        mark_box(self.cell_width, self.cell_height, look.whole_cell)
    }
}

/// The box of a mark in a cell: the whole cell, or the largest square in its middle.
pub fn mark_box(cell_width: f64, cell_height: f64, whole_cell: bool) -> [f64; 4] {
    if whole_cell {
        return [0.0, 0.0, cell_width, cell_height];
    }
    let side = cell_width.min(cell_height);
    [(cell_width - side) / 2.0, (cell_height - side) / 2.0, side, side]
}

impl Item {
    /// A mark of the unit square, drawn in the box `[left, top, width, height]`.
    pub fn of_mark(mark: &Mark, [x, y, width, height]: [f64; 4], ink: Rgb) -> Self {
        let place = |points: &[[f32; 2]]| {
            let to = |p: &[f32; 2]| [x + f64::from(p[0]) * width, y + f64::from(p[1]) * height];
            points.iter().map(to).collect()
        };
        match mark {
            Mark::Fill(points) => Self::Polygon { points: place(points), ink },
            Mark::Stroke { points, width: stroke, closed } => Self::Line {
                points: place(points),
                width: f64::from(*stroke) * width.min(height),
                closed: *closed,
                ink,
            },
        }
    }

    /// The same item, `dx` further right and `dy` further down.
    pub fn moved(mut self, dx: f64, dy: f64) -> Self {
        match &mut self {
            Self::Rect { x, y, .. }
            | Self::Frame { x, y, .. }
            | Self::Text(Text { x, y, .. })
            | Self::Cells(Cells { x, y, .. }) => {
                *x += dx;
                *y += dy;
            }
            Self::Polygon { points, .. } | Self::Line { points, .. } => {
                for [x, y] in points {
                    *x += dx;
                    *y += dy;
                }
            }
        }
        self
    }

    /// Top and bottom of what the item paints, with room to spare for strokes and descenders.
    pub fn vertical_extent(&self) -> (f64, f64) {
        let around = |points: &[[f64; 2]], spare: f64| {
            let ys = points.iter().map(|p| p[1]);
            let (top, bottom) = ys.fold((f64::MAX, f64::MIN), |(a, b), y| (a.min(y), b.max(y)));
            (top - spare, bottom + spare)
        };
        match self {
            Self::Rect { y, height, .. } => (y - 1.0, y + height + 1.0),
            Self::Frame { y, height, thickness, .. } => (y - thickness - 1.0, y + height + thickness + 1.0),
            Self::Polygon { points, .. } => around(points, 1.0),
            // A mitre reaches at most four half widths past its corner.
            Self::Line { points, width, .. } => around(points, 2.0 * width + 1.0),
            Self::Text(text) => (text.y - 1.5 * text.size, text.y + text.size),
            Self::Cells(cells) => (cells.y - 1.0, cells.y + cells.rows() as f64 * cells.cell_height + 1.0),
        }
    }
}
