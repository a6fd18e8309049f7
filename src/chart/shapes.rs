//! The basic shapes as ideal outlines, and what is left of them in whole stitches.

use std::f64::consts::{PI, TAU};
use std::sync::LazyLock;

use super::coverage::coverage;
use super::grid::{Grid, GridError};
use super::raster::{HALF, Raster};
use crate::units::{Cm, Gauge};

/// Edges of a curved outline; the polygon leaves the circle by less than 1/50,000 of its width.
const CURVE_EDGES: u32 = 360;

/// Rows that a shape may lose at its tips and still be drawn, or looked for in a drawing.
const MOST_ROWS_LOST: u32 = 6;
/// Stitches likewise, on both sides together.
const MOST_STITCHES_LOST: u32 = 4;

/// A shape that everybody knows by its outline.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum BasicShape {
    /// A square, sides upright.
    Square,
    /// A square on its corner.
    Diamond,
    /// A circle.
    Circle,
    /// An equilateral triangle, point up.
    Triangle,
    /// A heart, point down.
    Heart,
    /// A regular five-pointed star, point up.
    Star,
}

/// A shape as it is before any stitch is counted.
struct Ideal {
    /// Height over width.
    proportion: f64,
    /// The closed outline in the unit box.
    outline: Vec<(f64, f64)>,
}

impl Ideal {
    fn of(natural: Vec<(f64, f64)>) -> Self {
        let start = ((f64::INFINITY, f64::INFINITY), (f64::NEG_INFINITY, f64::NEG_INFINITY));
        let (low, high) = natural.iter().fold(start, |(low, high), p| {
            ((low.0.min(p.0), low.1.min(p.1)), (high.0.max(p.0), high.1.max(p.1)))
        });
        let (width, height) = (high.0 - low.0, high.1 - low.1);
        let outline = natural.into_iter().map(|(x, y)| ((x - low.0) / width, (y - low.1) / height)).collect();
        Self { proportion: height / width, outline }
    }
}

impl BasicShape {
    /// All shapes in the order they are declared, the simplest first.
    pub const ALL: [Self; 6] =
        [Self::Square, Self::Diamond, Self::Circle, Self::Triangle, Self::Heart, Self::Star];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Square => "Square",
            Self::Diamond => "Diamond",
            Self::Circle => "Circle",
            Self::Triangle => "Triangle",
            Self::Heart => "Heart",
            Self::Star => "Star",
        }
    }

    /// How much there is to tell about the outline; a shape can be taken for any other of the
    /// same or a lower rank.
    ///
    /// Our ranking: 0 for the square and the same square on its corner, 1 for the other convex
    /// outlines, 2 for those with notches.
    pub const fn complexity(self) -> u8 {
        match self {
            Self::Square | Self::Diamond => 0,
            Self::Circle | Self::Triangle => 1,
            Self::Heart | Self::Star => 2,
        }
    }

    /// The other shapes that are as simple or simpler.
    pub fn as_simple(self) -> impl Iterator<Item = Self> {
        Self::ALL.into_iter().filter(move |other| *other != self && other.complexity() <= self.complexity())
    }

    /// Whether the outline is its own mirror image top to bottom. (Each is left to right.)
    pub const fn is_mirrored_up_down(self) -> bool {
        matches!(self, Self::Square | Self::Diamond | Self::Circle)
    }

    /// The most separate parts the outline has at one height: the lobes of a heart, the feet of a star.
    pub const fn parts_side_by_side(self) -> u32 {
        match self {
            Self::Square | Self::Diamond | Self::Circle | Self::Triangle => 1,
            Self::Heart | Self::Star => 2,
        }
    }

    /// Height over width of the ideal shape.
    pub fn proportion(self) -> f64 {
        self.ideal().proportion
    }

    /// The closed outline, stretched to the unit box; y points up.
    pub fn outline(self) -> &'static [(f64, f64)] {
        &self.ideal().outline
    }

    fn ideal(self) -> &'static Ideal {
        static IDEALS: LazyLock<[Ideal; 6]> =
            LazyLock::new(|| BasicShape::ALL.map(|shape| Ideal::of(shape.natural_outline())));
        &IDEALS[self as usize]
    }

    /// The outline in its own proportions, at any size.
    fn natural_outline(self) -> Vec<(f64, f64)> {
        match self {
            Self::Square => vec![(-1.0, -1.0), (1.0, -1.0), (1.0, 1.0), (-1.0, 1.0)],
            Self::Diamond => vec![(0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0)],
            Self::Triangle => vec![(-1.0, 0.0), (1.0, 0.0), (0.0, 3f64.sqrt())],
            Self::Circle => around(CURVE_EDGES).map(|t| (t.cos(), t.sin())).collect(),
            Self::Heart => around(CURVE_EDGES).map(heart).collect(),
            Self::Star => star(),
        }
    }

    /// The nearest whole stitches, at least 1, of the shape `width` wide, and the rows that give it its
    /// own proportions best.
    ///
    /// # Errors
    /// [`GridError::Size`] when it does not fit on a chart.
    pub fn box_for(self, width: Cm, gauge: Gauge) -> Result<(u32, u32), GridError> {
        let across = width.get() / gauge.stitch_width_cm();
        let (stitches, rows) = self.box_of(across, gauge.cell_aspect());
        Grid::check_size(u64::from(stitches), u64::from(rows))?;
        Ok((stitches, rows))
    }

    /// The box of the shape `across` stitches wide, a fraction allowed, on cells `aspect` times as
    /// wide as high. The rows follow the whole stitches, not the fraction: two roundings the same way
    /// would make a small circle an egg.
    pub(super) fn box_of(self, across: f64, aspect: f64) -> (u32, u32) {
        let stitches = across.round().max(1.0);
        (stitches as u32, (stitches * aspect * self.proportion()).round().max(1.0) as u32)
    }

    /// How much too high (above 1) or too low (below 1) it comes out in a box of `width` stitches and
    /// `height` rows, on cells `aspect` times as wide as high.
    pub fn stretch(self, (width, height): (u32, u32), aspect: f64) -> f64 {
        f64::from(height) / (f64::from(width) * aspect * self.proportion())
    }

    /// The stitches with which the shape fills a box of `width` stitches and `height` rows from edge to
    /// edge. Where none do, the largest that stay inside.
    pub fn figure(self, width: u32, height: u32) -> Raster {
        let mut best = self.raster(width, height).trimmed();
        let lacking = |figure: &Raster| (width - figure.width()) + (height - figure.height());
        for drawn in self.larger_frames(width, height) {
            if lacking(&best) == 0 {
                break;
            }
            let inside = drawn.width() <= width && drawn.height() <= height;
            if inside && lacking(&drawn) < lacking(&best) {
                best = drawn;
            }
        }
        best
    }

    /// Every way a drawing that fills this box can have been made of the shape.
    pub(super) fn fillings(self, width: u32, height: u32) -> impl Iterator<Item = Raster> {
        let all = std::iter::once(self.raster(width, height).trimmed());
        let all = all.chain(self.larger_frames(width, height));
        all.filter(move |drawn| (drawn.width(), drawn.height()) == (width, height))
    }

    /// What is left of the shape when its outline is stretched over a box a little larger than this, the
    /// smallest first. A tip narrower than half a stitch is lost: on both sides alike, and at top and bottom
    /// where these mirror each other.
    fn larger_frames(self, width: u32, height: u32) -> impl Iterator<Item = Raster> {
        let rows = if self.is_mirrored_up_down() { 2 } else { 1 };
        (1..=MOST_ROWS_LOST + MOST_STITCHES_LOST)
            .flat_map(|lost| (0..=MOST_STITCHES_LOST.min(lost)).step_by(2).map(move |dx| (dx, lost - dx)))
            .filter(move |(_, dy)| *dy <= MOST_ROWS_LOST && dy % rows == 0)
            .map(move |(dx, dy)| self.raster(width + dx, height + dy).trimmed())
    }

    /// The outline stretched over a box of `width` stitches and `height` rows: a cell is filled when
    /// it covers half of it or more. Mirrored as the outline is.
    pub fn raster(self, width: u32, height: u32) -> Raster {
        let cells = self.coverage(width, height);
        Raster::from_fn(width, height, |p| cells[p.y as usize * width as usize + p.x as usize] >= HALF)
    }

    /// How much of each cell of the box the stretched outline covers, exactly mirrored.
    fn coverage(self, width: u32, height: u32) -> Vec<f64> {
        let (sx, sy) = (f64::from(width), f64::from(height));
        let outline: Vec<_> = self.outline().iter().map(|(x, y)| (x * sx, y * sy)).collect();
        let mut cells = coverage(&outline, width, height);
        // The last digit of a sum depends on its order: averaging makes the mirror exact.
        for row in cells.chunks_mut(width.max(1) as usize) {
            average_ends(row);
        }
        if self.is_mirrored_up_down() {
            let reversed: Vec<f64> = cells.chunks(width.max(1) as usize).rev().flatten().copied().collect();
            cells.iter_mut().zip(reversed).for_each(|(a, b)| *a = f64::midpoint(*a, b));
        }
        cells
    }
}

fn average_ends(row: &mut [f64]) {
    let last = row.len().saturating_sub(1);
    for i in 0..row.len() / 2 {
        let mean = f64::midpoint(row[i], row[last - i]);
        row[i] = mean;
        row[last - i] = mean;
    }
}

fn around(steps: u32) -> impl Iterator<Item = f64> {
    (0..steps).map(move |i| TAU * f64::from(i) / f64::from(steps))
}

/// The heart curve x = 16 sin^3 t, y = 13 cos t - 5 cos 2t - 2 cos 3t - cos 4t (Weisstein,
/// "Heart Curve", `MathWorld`; from memory).
fn heart(t: f64) -> (f64, f64) {
    let y = 13.0 * t.cos() - 5.0 * (2.0 * t).cos() - 2.0 * (3.0 * t).cos() - (4.0 * t).cos();
    (16.0 * t.sin().powi(3), y)
}

/// The regular pentagram's outline: its inner corners lie at (3 - sqrt 5) / 2 of the outer radius.
fn star() -> Vec<(f64, f64)> {
    let inner = (3.0 - 5f64.sqrt()) / 2.0;
    (0..10)
        .map(|i| {
            let radius = if i % 2 == 0 { 1.0 } else { inner };
            let t = PI / 2.0 + PI / 5.0 * f64::from(i);
            (radius * t.cos(), radius * t.sin())
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::raster::tests::drawn;

    #[test]
    fn areas_are_those_of_geometry() {
        let area = |shape: BasicShape| shape.coverage(40, 40).iter().sum::<f64>() / 1600.0;
        assert!((area(BasicShape::Square) - 1.0).abs() < 1e-12);
        assert!((area(BasicShape::Diamond) - 0.5).abs() < 1e-12);
        assert!((area(BasicShape::Triangle) - 0.5).abs() < 1e-12);
        assert!((area(BasicShape::Circle) - PI / 4.0).abs() < 1e-4);
        // The heart curve encloses 180 pi (integral of y dx) in a box 32 wide.
        let box_area = 32.0 * 32.0 * BasicShape::Heart.proportion();
        assert!((area(BasicShape::Heart) - 180.0 * PI / box_area).abs() < 1e-3);
        // Ten triangles between centre, tip and inner corner: 10 (r R / 2) sin 36 degrees.
        let (width, height) = (2.0 * (PI / 5.0 * 2.0).sin(), 1.0 + (PI / 5.0).cos());
        let star = 5.0 * (3.0 - 5f64.sqrt()) / 2.0 * (PI / 5.0).sin() / (width * height);
        assert!((area(BasicShape::Star) - star).abs() < 1e-12);
    }

    #[test]
    fn the_corner_of_a_circle_of_three_is_a_little_more_than_half_covered() {
        // The part of x^2 + y^2 < 1.5^2 with x, y > 0.5, by integration.
        let primitive = |x: f64| 0.5 * x * (2.25 - x * x).sqrt() + 1.125 * (x / 1.5).asin();
        let exact = primitive(2f64.sqrt()) - primitive(0.5) - 0.5 * (2f64.sqrt() - 0.5);
        assert!((exact - 0.5454).abs() < 1e-4, "{exact}");
        let corner = BasicShape::Circle.coverage(3, 3)[0];
        assert!((corner - exact).abs() < 1e-4, "{corner}");
    }

    #[test]
    fn every_raster_keeps_the_mirrors_of_its_outline() {
        for shape in BasicShape::ALL {
            for (width, height) in (1..=30).flat_map(|w| (1..=40).map(move |h| (w, h))) {
                let raster = shape.raster(width, height);
                assert!(raster.is_mirrored_left_right(), "{shape:?} {width} x {height}");
                let up_down = !shape.is_mirrored_up_down() || raster.is_mirrored_up_down();
                assert!(up_down, "{shape:?} {width} x {height}");
            }
        }
    }

    #[test]
    fn half_a_cell_is_filled_on_both_sides() {
        // Every cell of the diamond of two, and the cells beside its tips at four, are exactly half covered.
        assert_eq!(BasicShape::Diamond.raster(2, 2), drawn(&["##", "##"]));
        assert_eq!(BasicShape::Diamond.raster(4, 4), drawn(&[".##.", "####", "####", ".##."]));
    }

    #[test]
    fn a_heart_and_a_star_look_like_themselves() {
        // The tip of the heart and the feet of the star are narrower than half a stitch.
        let heart = [".##.##.", "#######", "#######", ".#####.", "..###..", "......."];
        assert_eq!(BasicShape::Heart.raster(7, 6), drawn(&heart));
        let star = [
            "....#....",
            "....#....",
            ".#######.",
            ".#######.",
            "...###...",
            "..#####..",
            "..##.##..",
            ".........",
        ];
        assert_eq!(BasicShape::Star.raster(9, 9).trimmed(), drawn(&star).trimmed());
    }

    #[test]
    fn a_shape_fills_its_box_though_its_tips_are_lost() {
        // Drawn over seven rows the heart loses its tip and leaves six.
        let heart = [".##.##.", "#######", "#######", ".#####.", "..###..", "...#..."];
        assert_eq!(BasicShape::Heart.figure(7, 6), drawn(&heart));
        for (shape, aspect) in BasicShape::ALL.into_iter().flat_map(|s| [0.9, 1.0, 1.25, 1.4].map(|a| (s, a)))
        {
            for across in 5..=20 {
                let (width, height) = shape.box_of(f64::from(across), aspect);
                let figure = shape.figure(width, height);
                // The arms and feet of a star come back two rows at once, so that one may be lacking.
                let lacking = if shape == BasicShape::Star { 0..=1 } else { 0..=0 };
                assert_eq!(figure.width(), width, "{shape:?} at {aspect}");
                assert!(lacking.contains(&(height - figure.height())), "{shape:?} {width} x {height}");
            }
        }
    }

    #[test]
    fn the_rows_follow_the_stitches() {
        // 3.59 stitches wide on cells of 5 : 4 are 4 x 5, not 4 x 4.
        assert_eq!(BasicShape::Square.box_of(3.59, 1.25), (4, 5));
        assert!((BasicShape::Square.stretch((4, 5), 1.25) - 1.0).abs() < 1e-12);
        assert!((BasicShape::Circle.stretch((4, 4), 1.25) - 0.8).abs() < 1e-12);
    }

    #[test]
    fn a_circle_is_round_in_centimetres() {
        let gauge = Gauge::new(20.0, 28.0).unwrap();
        let width = |cm| Cm::new(cm).unwrap();
        assert_eq!(BasicShape::Circle.box_for(width(5.0), gauge), Ok((10, 14)));
        assert_eq!(BasicShape::Square.box_for(width(2.6), gauge), Ok((5, 7)));
        assert_eq!(BasicShape::Square.box_for(width(0.0), gauge), Ok((1, 1)));
        // An equilateral triangle is 0.866 times as high as wide.
        assert_eq!(BasicShape::Triangle.box_for(width(5.0), gauge), Ok((10, 12)));
        assert!(BasicShape::Circle.box_for(width(2000.0), gauge).is_err());
    }

    #[test]
    fn nothing_simpler_than_the_square_but_the_square_on_its_corner() {
        let as_simple: Vec<_> = BasicShape::Square.as_simple().collect();
        assert_eq!(as_simple, [BasicShape::Diamond]);
        assert_eq!(BasicShape::Star.as_simple().count(), 5);
    }
}
