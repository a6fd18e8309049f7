//! Does a basic shape survive at this gauge and size?
//!
//! A shape is legible when its stitches are its own: the shape and every basic shape as simple or
//! simpler are drawn in the same box at the true cell aspect, a cell filled from half coverage
//! up, and the result must differ from all the others, keep the mirrors, notches and proportion of its
//! outline and hang together. The principle is ours; what it gives on square cells is held against common
//! practice in `tests/reference/motif_fit`.

use std::fmt;
use std::sync::{Mutex, PoisonError};

use super::grid::GridError;
use super::likeness::likeness;
use super::raster::{Raster, Thinnest};
use super::shapes::BasicShape;
use crate::units::{Cm, Gauge};

/// Stitches or rows, along the longer side of a shape, up to which it must stay legible for its
/// smallest size to count.
///
/// Legibility is not monotone: a shape can happen to pass in one box and fail in the next larger
/// one. "Smallest" therefore means: from here on legible at every size up to this one, where a
/// cell is only 3 % of the shape. (The tests look three times as far.)
pub const LOOK_AHEAD: u32 = 32;

/// Smallest sizes that are kept: all shapes at a few gauges.
const MOST_KEPT: usize = 24;

/// How much higher or lower than its ideal a shape may come out and still be itself (our judgement).
pub const MOST_STRETCH: f64 = 0.10;

/// Whether a shape that comes out `stretch` times as high as it should is in proportion.
pub(super) fn in_proportion(stretch: f64) -> bool {
    (stretch - 1.0).abs() <= MOST_STRETCH + 1e-9
}

/// `19 % too high`.
pub(super) fn stretch_words(stretch: f64) -> String {
    let way = if stretch > 1.0 { "high" } else { "low" };
    format!("{:.0} % too {way}", (stretch - 1.0).abs() * 100.0)
}

/// What a shape loses in too few stitches.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum MotifProblem {
    /// It has the same stitches as a shape as simple or simpler.
    LooksLike(BasicShape),
    /// It is only one stitch wide or one row high.
    Line,
    /// No cell is half covered.
    Gone,
    /// The outline is its own mirror image, the stitches are not.
    MirrorLost,
    /// The dent or gap between two parts of the outline is filled.
    NotchLost,
    /// One shape became this many separate parts.
    FallsApart(usize),
    /// It comes out this many times as high as it should, by more than [`MOST_STRETCH`].
    Stretched(f64),
}

impl fmt::Display for MotifProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::LooksLike(shape) => {
                write!(f, "it has the same stitches as a {}", shape.name().to_lowercase())
            }
            Self::Line => f.write_str("it is a single line of stitches"),
            Self::Gone => f.write_str("no stitch is covered by half"),
            Self::MirrorLost => f.write_str("its two halves are no longer alike"),
            Self::NotchLost => f.write_str("its notch is filled"),
            Self::FallsApart(parts) => write!(f, "it falls apart into {parts} parts"),
            Self::Stretched(stretch) => {
                write!(
                    f,
                    "it comes out {}, over the {:.0} % allowed",
                    stretch_words(*stretch),
                    MOST_STRETCH * 100.0
                )
            }
        }
    }
}

/// The smallest a shape can be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SmallestFit {
    /// Stitches across; those that are left of it, a lost tip does not count.
    pub stitches: u32,
    /// Rows, counted likewise.
    pub rows: u32,
    /// Smallest width in cm at the present gauge.
    pub width_cm: f64,
    /// The coarsest gauge with the same cell aspect at which the asked size passes; `None` when no
    /// gauge is fine enough.
    pub gauge: Option<Gauge>,
}

/// A basic shape at a size and gauge.
#[derive(Clone, Debug, PartialEq)]
pub struct MotifFit {
    /// The shape.
    pub shape: BasicShape,
    /// Its stitches, to be stamped into the chart, from edge to edge: width and height are its size.
    pub raster: Raster,
    /// What is wrong with it; empty when it is legible.
    pub problems: Vec<MotifProblem>,
    /// Width of the box as knitted, in cm.
    pub width_cm: f64,
    /// Height of the box as knitted, in cm.
    pub height_cm: f64,
    /// Height over width as knitted over that of the ideal shape: above 1 it comes out too high.
    pub stretch: f64,
    /// Its thinnest part; `None` when nothing is left.
    pub thinnest: Option<Thinnest>,
    /// Its thinnest part in mm, the smaller of across and up; 0 when nothing is left.
    pub thinnest_mm: f64,
    /// Area shared with the ideal outline at the asked size over the area of either, `0..=1`.
    pub overlap: f64,
    /// Largest distance between the edge of the stitches and the ideal outline, in mm.
    pub deviation_mm: f64,
    /// The smallest size and gauge from which on it passes (see [`LOOK_AHEAD`]); `None` when it
    /// never does, on cells much longer one way than the other.
    pub smallest: Option<SmallestFit>,
}

impl MotifFit {
    /// Whether the shape can be told for what it is.
    pub const fn is_legible(&self) -> bool {
        self.problems.is_empty()
    }
}

/// Judges `shape` at `width` in its own proportions.
///
/// # Errors
/// [`GridError::Size`] when it does not fit on a chart.
pub fn motif_fit(shape: BasicShape, width: Cm, gauge: Gauge) -> Result<MotifFit, GridError> {
    let (stitches, rows) = shape.box_for(width, gauge)?;
    let cell_cm = (gauge.stitch_width_cm(), gauge.row_height_cm());
    let cell_mm = (cell_cm.0 * 10.0, cell_cm.1 * 10.0);
    let (raster, problems) = legibility(shape, (stitches, rows), gauge.cell_aspect());
    let (stitches, rows) = (raster.width(), raster.height());
    // The ideal outline at the asked size, in cells, with the middle of the box as its own.
    let ideal_width = width.get() / cell_cm.0;
    let ideal_height = width.get() * shape.proportion() / cell_cm.1;
    let placed: Vec<_> = shape
        .outline()
        .iter()
        .map(|(x, y)| {
            let from_middle = ((x - 0.5) * ideal_width, (y - 0.5) * ideal_height);
            (f64::from(stitches) / 2.0 + from_middle.0, f64::from(rows) / 2.0 + from_middle.1)
        })
        .collect();
    let likeness = likeness(&raster, &placed, cell_mm);
    let thinnest = raster.thinnest();
    Ok(MotifFit {
        shape,
        problems,
        width_cm: f64::from(stitches) * cell_cm.0,
        height_cm: f64::from(rows) * cell_cm.1,
        stretch: shape.stretch((stitches.max(1), rows), gauge.cell_aspect()),
        thinnest,
        thinnest_mm: thinnest.map_or(0.0, |t| thinnest_mm(t, gauge)),
        overlap: likeness.overlap,
        deviation_mm: likeness.deviation_mm,
        smallest: smallest_fit(shape, width, gauge),
        raster,
    })
}

/// The smaller of the two thinnest parts, in mm.
pub(super) fn thinnest_mm(thinnest: Thinnest, gauge: Gauge) -> f64 {
    let across = f64::from(thinnest.stitches) * gauge.stitch_width_cm();
    let up = f64::from(thinnest.rows) * gauge.row_height_cm();
    10.0 * across.min(up)
}

/// The shape with which a box of stitches and rows is filled, on cells `aspect` times as wide as high,
/// and what is wrong with it there.
pub fn legibility(
    shape: BasicShape,
    (width, height): (u32, u32),
    aspect: f64,
) -> (Raster, Vec<MotifProblem>) {
    let figure = shape.figure(width, height);
    let mut problems = Vec::new();
    if figure.count() == 0 {
        return (figure, vec![MotifProblem::Gone]);
    }
    let size = (figure.width(), figure.height());
    if size.0 < 2 || size.1 < 2 {
        problems.push(MotifProblem::Line);
    }
    // The eye sees no box, only what is left in it.
    let same = |other: &BasicShape| {
        other.figure(size.0, size.1) == figure || other.raster(width, height).trimmed() == figure
    };
    problems.extend(shape.as_simple().filter(same).map(MotifProblem::LooksLike));
    let up_down = !shape.is_mirrored_up_down() || figure.is_mirrored_up_down();
    if !figure.is_mirrored_left_right() || !up_down {
        problems.push(MotifProblem::MirrorLost);
    }
    if figure.runs_in_a_row() < shape.parts_side_by_side() {
        problems.push(MotifProblem::NotchLost);
    }
    let pieces = figure.pieces().len();
    if pieces > 1 {
        problems.push(MotifProblem::FallsApart(pieces));
    }
    let stretch = shape.stretch(size, aspect);
    if !in_proportion(stretch) {
        problems.push(MotifProblem::Stretched(stretch));
    }
    (figure, problems)
}

/// The smallest stitches and rows from which on a shape is legible on cells `aspect` times as wide as
/// high (see [`LOOK_AHEAD`]); `None` when it never is.
pub fn smallest_box(shape: BasicShape, aspect: f64) -> Option<(u32, u32)> {
    let (width, height) = shape.box_of(smallest_across(shape, aspect)?, aspect);
    let figure = shape.figure(width, height);
    Some((figure.width(), figure.height()))
}

fn smallest_fit(shape: BasicShape, width: Cm, gauge: Gauge) -> Option<SmallestFit> {
    let aspect = gauge.cell_aspect();
    let across = smallest_across(shape, aspect)?;
    let (width_stitches, height_rows) = shape.box_of(across, aspect);
    let figure = shape.figure(width_stitches, height_rows);
    let (stitches, rows) = (figure.width(), figure.height());
    let per_10_cm = across * 10.0 / width.get();
    Some(SmallestFit {
        stitches,
        rows,
        width_cm: across * gauge.stitch_width_cm(),
        gauge: Gauge::new(per_10_cm, per_10_cm * aspect).ok(),
    })
}

/// The smallest width in stitches (a fraction is rounded when it is knitted) from which on the
/// shape is legible up to [`LOOK_AHEAD`], not smaller than the box it is knitted in.
///
/// The box changes only where the width is a whole number and a half, so each whole width is judged
/// once, from the largest down to the first that fails.
///
/// It takes some milliseconds and is asked again and again at one gauge, so the last answers are kept.
pub fn smallest_across(shape: BasicShape, aspect: f64) -> Option<f64> {
    static KNOWN: Mutex<Vec<(BasicShape, f64, Option<f64>)>> = Mutex::new(Vec::new());
    let known = || KNOWN.lock().unwrap_or_else(PoisonError::into_inner);
    if let Some((.., found)) = known().iter().find(|(of, at, _)| *of == shape && *at == aspect) {
        return *found;
    }
    let found = look_for_smallest(shape, aspect);
    let mut kept = known();
    if kept.len() == MOST_KEPT {
        kept.remove(0);
    }
    kept.push((shape, aspect, found));
    found
}

fn look_for_smallest(shape: BasicShape, aspect: f64) -> Option<f64> {
    let longer = (aspect * shape.proportion()).max(1.0);
    let largest = (f64::from(LOOK_AHEAD) / longer).floor() as u32;
    let passes = |stitches: &u32| {
        let size = shape.box_of(f64::from(*stitches), aspect);
        legibility(shape, size, aspect).1.is_empty()
    };
    (1..=largest).rev().take_while(passes).last().map(f64::from)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cm(value: f64) -> Cm {
        Cm::new(value).unwrap()
    }

    fn problems(shape: BasicShape, side: u32) -> Vec<MotifProblem> {
        legibility(shape, (side, side), 1.0).1
    }

    #[test]
    fn a_line_and_a_lost_notch_are_named() {
        assert_eq!(legibility(BasicShape::Square, (1, 4), 1.0).1[0], MotifProblem::Line);
        assert!(problems(BasicShape::Heart, 4).contains(&MotifProblem::NotchLost));
        assert_eq!(legibility(BasicShape::Heart, (7, 6), 1.0).1, []);
    }

    #[test]
    fn a_triangle_that_lost_its_point_is_a_bar() {
        // Its point is narrower than half a stitch: what is left in 2 x 2 are four stitches.
        let found = problems(BasicShape::Triangle, 2);
        assert!(found.contains(&MotifProblem::LooksLike(BasicShape::Square)), "{found:?}");
    }

    #[test]
    fn from_the_smallest_size_on_it_stays_legible() {
        for (shape, aspect) in
            BasicShape::ALL.into_iter().flat_map(|s| [0.9, 1.0, 1.25, 1.4, 1.8].map(|a| (s, a)))
        {
            let smallest = smallest_across(shape, aspect).unwrap();
            let mut across = smallest;
            while across < 3.0 * f64::from(LOOK_AHEAD) {
                let (width, height) = shape.box_of(across, aspect);
                let found = legibility(shape, (width, height), aspect).1;
                assert!(found.is_empty(), "{shape:?} in {width} x {height}: {found:?}");
                across += 0.19 * across.sqrt();
            }
        }
    }

    #[test]
    fn below_the_smallest_size_something_fails() {
        for shape in BasicShape::ALL {
            let smallest = smallest_across(shape, 1.4).unwrap();
            let fails = |across: f64| {
                let (width, height) = shape.box_of(across, 1.4);
                !legibility(shape, (width, height), 1.4).1.is_empty()
            };
            assert!(fails(smallest - 1.0), "{shape:?}");
        }
    }

    #[test]
    fn the_smallest_size_and_gauge_pass_when_asked_for() {
        let gauge = Gauge::new(22.0, 30.0).unwrap();
        for shape in BasicShape::ALL {
            let small = motif_fit(shape, cm(0.9), gauge).unwrap();
            let smallest = small.smallest.unwrap();
            let at_size = motif_fit(shape, cm(smallest.width_cm), gauge).unwrap();
            assert!(at_size.is_legible(), "{shape:?}");
            let at_gauge = motif_fit(shape, cm(0.9), smallest.gauge.unwrap()).unwrap();
            assert!(at_gauge.is_legible(), "{shape:?}");
            assert_eq!(
                (at_gauge.raster.width(), at_gauge.raster.height()),
                (smallest.stitches, smallest.rows)
            );
        }
    }

    /// On cells of 28 x 33 a square of 3 x 4 is 33/28 x 3 = 3.54 rows high by rights: 13 % too high.
    #[test]
    fn a_shape_out_of_proportion_is_not_itself() {
        let gauge = Gauge::new(28.0, 33.0).unwrap();
        let fit = motif_fit(BasicShape::Square, gauge.width(3), gauge).unwrap();
        assert_eq!((fit.raster.width(), fit.raster.height()), (3, 4));
        assert!((fit.stretch - 4.0 * 28.0 / (3.0 * 33.0)).abs() < 1e-12);
        assert!(matches!(fit.problems[..], [MotifProblem::Stretched(stretch)] if stretch == fit.stretch));
        assert_eq!(fit.problems[0].to_string(), "it comes out 13 % too high, over the 10 % allowed");
        let smallest = fit.smallest.unwrap();
        assert_eq!((smallest.stitches, smallest.rows), (4, 5));
        assert_eq!(smallest_box(BasicShape::Square, 1.0), Some((3, 3)));
        assert_eq!(smallest_box(BasicShape::Circle, 1.0), Some((5, 5)));
        assert_eq!(smallest_box(BasicShape::Circle, 1.4), Some((4, 6)));
    }

    /// Whatever the cells, the sizes that are told are those of the stitches there are, in proportion.
    #[test]
    fn the_smallest_sizes_count_the_stitches_that_are_left() {
        for (shape, aspect) in BasicShape::ALL.into_iter().flat_map(|s| [0.9, 1.0, 1.18, 1.4].map(|a| (s, a)))
        {
            let (width, height) = smallest_box(shape, aspect).unwrap();
            let (raster, problems) = legibility(shape, (width, height), aspect);
            assert_eq!(problems, [], "{shape:?} {width} x {height} at {aspect}");
            let filled = (0..height).all(|y| (0..width).any(|x| raster.contains(x.into(), y.into())));
            assert!(filled && (raster.width(), raster.height()) == (width, height), "{shape:?} at {aspect}");
            assert!((shape.stretch((width, height), aspect) - 1.0).abs() <= MOST_STRETCH + 1e-9);
        }
    }

    #[test]
    fn a_square_of_whole_cells_is_exact() {
        let gauge = Gauge::new(20.0, 20.0).unwrap();
        let fit = motif_fit(BasicShape::Square, cm(2.0), gauge).unwrap();
        assert_eq!(fit.thinnest, Some(Thinnest { stitches: 4, rows: 4 }));
        assert!((fit.thinnest_mm - 20.0).abs() < 1e-9);
        assert!((fit.overlap - 1.0).abs() < 1e-9);
        assert!(fit.deviation_mm < 1e-9);
        let smallest = fit.smallest.unwrap();
        assert_eq!((smallest.stitches, smallest.rows), (3, 3));
        assert!((smallest.width_cm - 1.5).abs() < 1e-9);
        assert!((smallest.gauge.unwrap().stitches.get() - 15.0).abs() < 1e-6);
    }

    #[test]
    fn a_size_between_stitches_shows_in_the_overlap() {
        // 2.2 cm is 4.4 stitches: knitted as 4, so 0.1 cm is missing on every side.
        let gauge = Gauge::new(20.0, 20.0).unwrap();
        let fit = motif_fit(BasicShape::Square, cm(2.2), gauge).unwrap();
        assert!((fit.overlap - 4.0 / 4.84).abs() < 1e-9);
        assert!((fit.deviation_mm - 2f64.sqrt()).abs() < 1e-9);
        assert!((fit.width_cm - 2.0).abs() < 1e-9);
    }

    #[test]
    fn no_gauge_is_fine_enough_for_a_speck() {
        let gauge = Gauge::new(20.0, 28.0).unwrap();
        let fit = motif_fit(BasicShape::Star, cm(0.05), gauge).unwrap();
        assert!(!fit.is_legible());
        assert_eq!(fit.smallest.unwrap().gauge, None);
        assert_eq!(motif_fit(BasicShape::Star, cm(0.0), gauge).unwrap().raster.width(), 1);
        assert!(motif_fit(BasicShape::Star, cm(99_999.0), gauge).is_err());
    }
}
