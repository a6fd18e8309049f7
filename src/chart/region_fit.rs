//! Does a motif drawn in the chart survive, and at which gauge would it still?

use std::fmt;

use super::grid::{Cell, Grid, Point, Rect};
use super::motif_fit::{
    LOOK_AHEAD, MOST_STRETCH, SmallestFit, in_proportion, legibility, stretch_words, thinnest_mm,
};
use super::raster::{Raster, Thinnest};
use super::shapes::BasicShape;
use crate::units::Gauge;
use crate::units::{LengthUnit, both_lengths, counted};

/// Overlap from which on a figure counts as a basic shape, or as still the same figure after it
/// was knitted at another gauge (our judgement: the circle and the square of 5 stitches share 0.84).
pub(super) const ALIKE: f64 = 0.85;

/// Overlap from which on a figure is so plainly a circle, a heart or a star that it was meant as one (our
/// judgement; the circles of 11 stitches that knitters draw by eye share 0.95 and more).
const PLAINLY: f64 = 0.95;

/// Longest side, in cells, of a motif that is tried at coarser gauges and held against the basic
/// shapes; in a larger one no stitch matters.
const LARGEST_TRIED: u32 = 200;

/// Stitches or rows under which nothing can be told apart.
pub(super) const SMALLEST_SIDE: u32 = 3;

/// A mirror that fails in no more than this part of the stitches was meant.
const SLIP: f64 = 0.04;

/// Which two halves of a motif are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Mirror {
    /// Left and right.
    LeftRight,
    /// Top and bottom.
    UpDown,
}

/// Why a drawn motif is not legible.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RegionProblem {
    /// Under 3 stitches and 3 rows, where not even a square differs from a diamond.
    TooSmall,
    /// All but this many stitches are mirrored.
    MirrorBroken(Mirror, u32),
    /// It has the stitches of this shape, but comes out this many times as high as the shape should.
    Stretched(BasicShape, f64),
}

/// The basic shape a motif reads as.
#[derive(Clone, Debug, PartialEq)]
pub struct ShapeMatch {
    /// The nearest shape, the simplest of equally near ones.
    pub shape: BasicShape,
    /// Stitches shared with that shape's own over the stitches of either, `0..=1`; 1 = the same.
    pub overlap: f64,
    /// Further shapes that would have exactly these stitches.
    pub also: Vec<BasicShape>,
    /// Height over width in cm, relative to the ideal shape's: above 1 it comes out too high.
    pub stretch: f64,
}

/// A motif of the chart at a gauge.
#[derive(Clone, Debug, PartialEq)]
pub struct RegionFit {
    /// The box around the motif, on the chart.
    pub bounds: Rect,
    /// The motif in that box.
    pub raster: Raster,
    /// The gauge it was judged at.
    pub gauge: Gauge,
    /// Width in cm.
    pub width_cm: f64,
    /// Height in cm.
    pub height_cm: f64,
    /// Parts that do not touch, not even by a corner.
    pub pieces: usize,
    /// Parts of a single stitch, on the chart.
    pub specks: Vec<Point>,
    /// Its thinnest part.
    pub thinnest: Thinnest,
    /// Its thinnest part in mm, the smaller of across and up.
    pub thinnest_mm: f64,
    /// Whether left and right are mirror images.
    pub mirrored_left_right: bool,
    /// Whether top and bottom are mirror images.
    pub mirrored_up_down: bool,
    /// The basic shape it reads as, if any.
    pub shape: Option<ShapeMatch>,
    /// The smallest size, and the coarsest gauge at this size, down to which it stays itself at
    /// every step (see [`RegionFit::survives_at`]); `None` when it is too large to be tried.
    pub smallest: Option<SmallestFit>,
    /// Why it is not legible; empty when it is.
    pub problems: Vec<RegionProblem>,
}

/// The stitches in `region` that are neither `background` nor "no stitch", in the region's box.
fn figure(grid: &Grid, region: Rect, background: Cell) -> Raster {
    Raster::from_fn(region.width, region.height, |p| {
        grid.get(Point::new(region.x + p.x, region.y + p.y))
            .is_some_and(|cell| cell != background && cell != Cell::NO_STITCH)
    })
}

/// Judges the motif in `region`: every stitch that is not `background`, in one colour or several.
/// `None` when there is none.
pub fn region_fit(grid: &Grid, region: Rect, background: Cell, gauge: Gauge) -> Option<RegionFit> {
    let region = region.intersect(grid.bounds());
    let whole = figure(grid, region, background);
    let inner = whole.bounds();
    let raster = whole.trimmed();
    let thinnest = raster.thinnest()?;
    let bounds = Rect::new(region.x + inner.x, region.y + inner.y, inner.width, inner.height);
    let pieces = raster.pieces();
    let specks = pieces.iter().filter(|piece| piece.stitches == 1);
    let specks =
        specks.map(|piece| Point::new(bounds.x + piece.bounds.x, bounds.y + piece.bounds.y)).collect();
    let tried = raster.width().max(raster.height()) <= LARGEST_TRIED;
    let shape = if tried { best_shape(&raster, gauge) } else { None };
    let smallest = tried.then(|| Identity::of(&raster, shape.as_ref(), gauge).smallest(gauge));
    let problems = problems(&raster, shape.as_ref());
    Some(RegionFit {
        bounds,
        gauge,
        width_cm: f64::from(bounds.width) * gauge.stitch_width_cm(),
        height_cm: f64::from(bounds.height) * gauge.row_height_cm(),
        pieces: pieces.len(),
        specks,
        thinnest,
        thinnest_mm: thinnest_mm(thinnest, gauge),
        mirrored_left_right: raster.is_mirrored_left_right(),
        mirrored_up_down: raster.is_mirrored_up_down(),
        shape,
        smallest,
        problems,
        raster,
    })
}

fn problems(raster: &Raster, shape: Option<&ShapeMatch>) -> Vec<RegionProblem> {
    if raster.width().max(raster.height()) < SMALLEST_SIDE {
        return vec![RegionProblem::TooSmall];
    }
    let broken = [(Mirror::LeftRight, raster.broken_left_right()), (Mirror::UpDown, raster.broken_up_down())];
    let slip = |stitches: u32| stitches > 0 && f64::from(stitches) <= SLIP * f64::from(raster.count());
    let broken = broken.into_iter().filter(|(_, stitches)| slip(*stitches));
    let mut found: Vec<RegionProblem> =
        broken.map(|(mirror, stitches)| RegionProblem::MirrorBroken(mirror, stitches)).collect();
    let meant = shape.filter(|found| found.was_meant() && !found.in_proportion());
    found.extend(meant.map(|found| RegionProblem::Stretched(found.shape, found.stretch)));
    found
}

fn best_shape(raster: &Raster, gauge: Gauge) -> Option<ShapeMatch> {
    let size = (raster.width(), raster.height());
    let better = |best: f64, next: f64| if next > best { next } else { best };
    let nearest = |shape: BasicShape| {
        let overlaps = shape.fillings(size.0, size.1).map(|drawn| drawn.overlap(raster));
        Some((shape, overlaps.reduce(better)?))
    };
    let found: Vec<(BasicShape, f64)> = BasicShape::ALL.into_iter().filter_map(nearest).collect();
    let (shape, overlap) =
        found.iter().copied().reduce(|best, next| if next.1 > best.1 { next } else { best })?;
    let also = found.into_iter().filter(|(other, overlap)| *other != shape && *overlap >= 1.0);
    (overlap >= ALIKE).then(|| ShapeMatch {
        shape,
        overlap,
        also: also.map(|(other, _)| other).collect(),
        stretch: shape.stretch(size, gauge.cell_aspect()),
    })
}

/// What must be kept of a motif when it is knitted in another number of stitches and rows.
pub(super) struct Identity<'a> {
    raster: &'a Raster,
    /// The basic shape whose very stitches the motif has, and how far it is stretched as drawn: of that
    /// size, that is what it is.
    shape: Option<(BasicShape, f64)>,
    /// Cells as drawn are this many times as wide as high.
    aspect: f64,
    pieces: usize,
    holes: usize,
}

impl<'a> Identity<'a> {
    pub(super) fn of(raster: &'a Raster, shape: Option<&ShapeMatch>, gauge: Gauge) -> Self {
        let exact = shape.filter(|found| found.overlap >= 1.0);
        Self {
            raster,
            shape: exact.map(|found| (found.shape, found.stretch)),
            aspect: gauge.cell_aspect(),
            pieces: raster.pieces().len(),
            holes: raster.holes(),
        }
    }

    const fn size(&self) -> (u32, u32) {
        (self.raster.width(), self.raster.height())
    }

    /// Whole stitches and rows at a scale. Those of a basic shape keep its proportion as well as they can.
    pub(super) fn size_at(&self, (across, up): (f64, f64)) -> (u32, u32) {
        let (width, height) = self.size();
        let stitches = cells(f64::from(width) * across);
        if self.shape.is_some() {
            return (
                stitches,
                cells(f64::from(stitches) * f64::from(height) / f64::from(width) * up / across),
            );
        }
        (stitches, cells(f64::from(height) * up))
    }

    /// The cell aspect a basic shape is judged by at a scale; `None` for any other motif.
    pub(super) fn shape_aspect_at(&self, scale: (f64, f64)) -> Option<f64> {
        self.shape.map(|(_, stretch)| self.aspect * stretch * scale.1 / scale.0)
    }

    /// Whether the motif is still itself at a scale. What is a basic shape must be legible as that
    /// shape there. Any other motif is knitted there and drawn again at the old size: it must have
    /// the same parts and holes, the same mirrors, and overlap enough.
    fn survives(&self, scale: (f64, f64)) -> bool {
        let (width, height) = self.size_at(scale);
        if width.max(height) < SMALLEST_SIDE {
            return false;
        }
        if let Some(((shape, _), aspect)) = self.shape.zip(self.shape_aspect_at(scale)) {
            return width.max(height) > LOOK_AHEAD || legibility(shape, (width, height), aspect).1.is_empty();
        }
        let other = self.raster.resampled(width, height);
        other.resampled(self.size().0, self.size().1).overlap(self.raster) >= ALIKE
            && (other.is_mirrored_left_right() || !self.raster.is_mirrored_left_right())
            && (other.is_mirrored_up_down() || !self.raster.is_mirrored_up_down())
            && other.pieces().len() == self.pieces
            && other.holes() == self.holes
    }

    /// The smallest box down to which every smaller size survives, from the drawn size on.
    ///
    /// The box changes only where width or height is a whole number and a half.
    fn smallest(&self, gauge: Gauge) -> SmallestFit {
        let drawn = self.size();
        let width = f64::from(drawn.0);
        let halves = |cells: u32| (0..cells).map(move |k| (f64::from(k) + 0.5) / f64::from(cells));
        let mut steps: Vec<f64> = halves(drawn.0).chain(halves(drawn.1)).collect();
        steps.sort_by(|a, b| b.total_cmp(a));
        steps.dedup();
        let (mut scale, mut end, mut last) = (1.0, 1.0, drawn);
        for start in steps {
            let middle = f64::midpoint(start, end);
            let size = self.size_at((middle, middle));
            if size != drawn && !self.survives((middle, middle)) {
                break;
            }
            // Not below the width that is then knitted.
            scale = f64::max(start * (1.0 + 1e-9), f64::from(size.0) / width).min(1.0);
            (end, last) = (start, size);
        }
        SmallestFit {
            stitches: last.0,
            rows: last.1,
            width_cm: width * scale * gauge.stitch_width_cm(),
            gauge: Gauge::new(gauge.stitches.get() * scale, gauge.rows.get() * scale).ok(),
        }
    }
}

/// The nearest whole number of cells, at least 1.
fn cells(side: f64) -> u32 {
    side.round().max(1.0) as u32
}

impl RegionFit {
    /// Whether the motif can be told for what it is.
    pub const fn is_legible(&self) -> bool {
        self.problems.is_empty()
    }

    /// Whether the motif, at its size in cm, is still itself at another gauge.
    ///
    /// A basic shape must be legible in the whole stitches and rows that gauge has for it. Any other
    /// motif is put into them (a cell filled from half coverage up) and back, and must keep its
    /// parts, holes and mirrors and most of its stitches. Always `false` for a motif that would
    /// fill more than a chart.
    pub fn survives_at(&self, gauge: Gauge) -> bool {
        let scale =
            (gauge.stitches.get() / self.gauge.stitches.get(), gauge.rows.get() / self.gauge.rows.get());
        let identity = Identity::of(&self.raster, self.shape.as_ref(), self.gauge);
        let (width, height) = identity.size_at(scale);
        Grid::check_size(u64::from(width), u64::from(height)).is_ok() && identity.survives(scale)
    }

    /// The report in sentences, the verdict's reasons first; lengths in both systems, `units` first.
    pub fn words(&self, units: LengthUnit) -> Vec<String> {
        let mut lines: Vec<String> = self.problems.iter().map(RegionProblem::to_string).collect();
        lines.push(format!(
            "{} \u{d7} {} stitches, {} wide and {} high{}.",
            self.bounds.width,
            self.bounds.height,
            both_lengths(self.width_cm, units),
            both_lengths(self.height_cm, units),
            if self.pieces == 1 { String::new() } else { format!(", in {} parts", self.pieces) }
        ));
        lines.extend(self.shape.as_ref().map(ShapeMatch::words));
        lines.push(format!(
            "{} Thinnest part {} or {} ({:.1} mm).",
            self.mirror_words(),
            counted(u64::from(self.thinnest.stitches), "stitch", "stitches"),
            counted(u64::from(self.thinnest.rows), "row", "rows"),
            self.thinnest_mm
        ));
        match self.specks.len() as u32 {
            0 => {}
            count if count as usize == self.pieces => {
                lines.push(
                    "Only single stitches: it reads as dots, and is lost first in fuzzy yarn.".to_owned(),
                );
            }
            1 => lines.push("1 part is a single stitch: it is lost first in fuzzy yarn.".to_owned()),
            count => {
                lines.push(format!("{count} parts are single stitches: they are lost first in fuzzy yarn."));
            }
        }
        lines.extend(self.smallest.as_ref().map(|smallest| self.smallest_words(smallest, units)));
        lines
    }

    const fn mirror_words(&self) -> &'static str {
        match (self.mirrored_left_right, self.mirrored_up_down) {
            (true, true) => "Mirrored left to right and top to bottom.",
            (true, false) => "Mirrored left to right.",
            (false, true) => "Mirrored top to bottom.",
            (false, false) => "Not mirrored.",
        }
    }

    fn smallest_words(&self, smallest: &SmallestFit, units: LengthUnit) -> String {
        if smallest.width_cm >= self.width_cm {
            return "It needs every one of its stitches: at a coarser gauge or smaller it is another motif."
                .to_owned();
        }
        let size = both_lengths(smallest.width_cm, units);
        let gauge = smallest.gauge.map_or(self.gauge, |gauge| gauge).stitches.get() * units.gauge_factor();
        format!(
            "It stays itself down to {} \u{d7} {} stitches: {size} wide at this gauge, or at this size \
             down to {gauge:.1} stitches in {}.",
            smallest.stitches,
            smallest.rows,
            units.gauge_base()
        )
    }
}

impl ShapeMatch {
    /// Whether it is stretched by no more than [`MOST_STRETCH`].
    pub fn in_proportion(&self) -> bool {
        in_proportion(self.stretch)
    }

    /// Whether it must have been meant as this shape. A square, a diamond or a triangle that is stretched
    /// is a figure of its own: an oblong, a lozenge, another triangle.
    fn was_meant(&self) -> bool {
        let own = matches!(self.shape, BasicShape::Square | BasicShape::Diamond | BasicShape::Triangle);
        !own && self.overlap >= PLAINLY
    }

    fn words(&self) -> String {
        let name = |shape: &BasicShape| shape.name().to_lowercase();
        let reads = if self.in_proportion() { "Reads as a" } else { "Nearest to a" };
        let mut parts = vec![if self.overlap >= 1.0 {
            format!("{reads} {}", name(&self.shape))
        } else {
            format!("{reads} {}, {:.0} % of its stitches shared", name(&self.shape), self.overlap * 100.0)
        }];
        if !self.also.is_empty() {
            let others: Vec<_> = self.also.iter().map(name).collect();
            parts.push(format!("a {} of this size has the same stitches", others.join(" or a ")));
        }
        parts.push(if (self.stretch - 1.0).abs() < 0.005 {
            "in its own proportion at this gauge".to_owned()
        } else {
            format!("at this gauge {} for one", stretch_words(self.stretch))
        });
        parts.join("; ") + "."
    }
}

impl fmt::Display for RegionProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooSmall => write!(
                f,
                "Too small: under {SMALLEST_SIDE} stitches and rows not even a square differs from a diamond."
            ),
            Self::Stretched(shape, stretch) => write!(
                f,
                "Drawn as a {}, but it comes out {} at this gauge: more than the {:.0} % the eye forgives.",
                shape.name().to_lowercase(),
                stretch_words(*stretch),
                MOST_STRETCH * 100.0
            ),
            Self::MirrorBroken(mirror, stitches) => {
                let halves = match mirror {
                    Mirror::LeftRight => "left and right half",
                    Mirror::UpDown => "upper and lower half",
                };
                let stitches = counted(u64::from(*stitches), "stitch", "stitches");
                write!(f, "The {halves} are mirror images but for {stitches}: a slip?")
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::raster::tests::drawn;

    const GROUND: Cell = Cell::slot(0);

    /// A chart with the figure (rows from the top, `#`) at (3, 2) on a ground of 60 x 60.
    fn chart(rows: &[&str]) -> Grid {
        stamped(&drawn(rows))
    }

    fn stamped(raster: &Raster) -> Grid {
        let mut grid = Grid::new(70, 70, GROUND).unwrap();
        grid.paste(&raster.to_grid(Cell::slot(1), GROUND).unwrap(), (3, 2));
        grid
    }

    fn square_cells() -> Gauge {
        Gauge::new(20.0, 20.0).unwrap()
    }

    fn fit(grid: &Grid) -> RegionFit {
        region_fit(grid, grid.bounds(), GROUND, square_cells()).unwrap()
    }

    #[test]
    fn a_stamped_shape_is_found_again() {
        for shape in BasicShape::ALL {
            for (width, height) in [(13, 12), (20, 19), (60, 60)] {
                let found = fit(&stamped(&shape.raster(width, height)));
                let matched = found.shape.clone().unwrap();
                assert_eq!((matched.shape, matched.overlap), (shape, 1.0), "{width} x {height}");
                assert!(found.is_legible(), "{shape:?}: {:?}", found.problems);
            }
        }
    }

    #[test]
    fn a_circle_of_three_reads_as_a_square_and_says_so() {
        let found = fit(&stamped(&BasicShape::Circle.raster(3, 3)));
        let matched = found.shape.clone().unwrap();
        assert_eq!(matched.shape, BasicShape::Square);
        assert!(matched.also.contains(&BasicShape::Circle));
        assert_eq!(found.bounds, Rect::new(3, 2, 3, 3));
        let words = found.words(LengthUnit::Metric).join(" ");
        assert!(words.contains("Reads as a square; a circle"), "{words}");
    }

    #[test]
    fn a_circle_drawn_on_squared_paper_comes_out_flat() {
        let grid = stamped(&BasicShape::Circle.raster(11, 11));
        let gauge = Gauge::new(20.0, 28.0).unwrap();
        let found = region_fit(&grid, grid.bounds(), GROUND, gauge).unwrap();
        let stretch = found.shape.clone().unwrap().stretch;
        assert!((stretch - 20.0 / 28.0).abs() < 1e-12);
        assert!(!found.is_legible());
        let words = found.words(LengthUnit::Metric);
        assert!(words[0].contains("Drawn as a circle, but it comes out 29 % too low"), "{words:?}");
        assert!(words.iter().any(|line| line.starts_with("Nearest to a circle")), "{words:?}");
        // An oblong is no square that went wrong.
        let oblong = stamped(&BasicShape::Square.raster(11, 6));
        let found = region_fit(&oblong, oblong.bounds(), GROUND, gauge).unwrap();
        assert!(found.is_legible() && !found.shape.unwrap().in_proportion());
    }

    #[test]
    fn a_large_circle_survives_down_to_the_smallest_circle() {
        let found = fit(&stamped(&BasicShape::Circle.raster(21, 21)));
        let smallest = found.smallest.unwrap();
        assert_eq!((smallest.stitches, smallest.rows), (5, 5));
        let diamond = fit(&stamped(&BasicShape::Diamond.raster(21, 21))).smallest.unwrap();
        assert_eq!((diamond.stitches, diamond.rows), (3, 3));
        assert!(found.survives_at(Gauge::new(10.0, 10.0).unwrap()));
        assert!(found.survives_at(Gauge::new(30.0, 30.0).unwrap()));
        assert!(!found.survives_at(Gauge::new(3.0, 3.0).unwrap()));
        assert!(!found.survives_at(Gauge::new(1.0, 1.0).unwrap()));
        assert!(found.survives_at(smallest.gauge.unwrap()));
    }

    #[test]
    fn a_motif_of_single_lines_needs_all_its_stitches() {
        let found = fit(&chart(&["#.#.#.#", ".#.#.#.", "#.#.#.#", ".#.#.#.", "#.#.#.#"]));
        let smallest = found.smallest.unwrap();
        assert_eq!((smallest.stitches, smallest.rows), (7, 5));
        assert_eq!(smallest.width_cm, found.width_cm);
        assert!(
            found.words(LengthUnit::Imperial).iter().any(|line| line.contains("every one of its stitches"))
        );
    }

    #[test]
    fn a_motif_in_blocks_of_two_survives_at_half_the_gauge() {
        let found = fit(&chart(&[
            "##..##..##",
            "##..##..##",
            "..######..",
            "..######..",
            "####..####",
            "####..####",
        ]));
        assert!(found.survives_at(Gauge::new(10.0, 10.0).unwrap()));
    }

    #[test]
    fn specks_and_thin_parts_are_found() {
        let found = fit(&chart(&["#......", "..####.", "..####.", "..#...#"]));
        assert_eq!(found.specks, [Point::new(3, 5)]);
        assert_eq!(found.pieces, 2);
        assert_eq!(found.thinnest, Thinnest { stitches: 1, rows: 1 });
        assert!((found.thinnest_mm - 5.0).abs() < 1e-12);
        assert!(
            found.words(LengthUnit::Metric).iter().any(|line| line.starts_with("1 part is a single stitch"))
        );
    }

    #[test]
    fn a_slip_in_the_mirror_is_pointed_at() {
        let mut grid = stamped(&BasicShape::Heart.raster(13, 12));
        grid.set(Point::new(3, 5), Cell::slot(1));
        let found = fit(&grid);
        assert_eq!(found.problems, [RegionProblem::MirrorBroken(Mirror::LeftRight, 1)]);
        assert!(!found.is_legible());
        assert!(found.words(LengthUnit::Metric)[0].contains("but for 1 stitch"));
    }

    #[test]
    fn a_dot_is_too_small_and_nothing_is_nothing() {
        let grid = chart(&["##", "##"]);
        assert_eq!(fit(&grid).problems, [RegionProblem::TooSmall]);
        assert_eq!(region_fit(&grid, Rect::new(20, 20, 9, 9), GROUND, square_cells()), None);
        assert_eq!(region_fit(&grid, Rect::new(900, 20, 9, 9), GROUND, square_cells()), None);
    }

    #[test]
    fn several_colours_are_one_motif_and_no_stitch_is_none() {
        let mut grid = chart(&["###", "###", "###"]);
        grid.set(Point::new(4, 3), Cell::slot(5));
        assert_eq!(fit(&grid).raster.count(), 9);
        grid.set(Point::new(4, 3), Cell::NO_STITCH);
        assert_eq!(fit(&grid).raster.count(), 8);
    }

    #[test]
    fn the_largest_motif_is_measured_but_not_tried() {
        let grid = Grid::new(400, 3, Cell::slot(1)).unwrap();
        let found = fit(&grid);
        assert_eq!((found.shape.is_none(), found.smallest), (true, None));
        assert!((found.width_cm - 200.0).abs() < 1e-9);
    }
}
