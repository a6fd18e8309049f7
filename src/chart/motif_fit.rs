//! Does a basic shape survive at this gauge and size?
//!
//! A shape is legible when its stitches are its own: the shape and every basic shape as simple or
//! simpler are drawn in the same box at the true cell aspect, a cell filled from half coverage
//! up, and the result must differ from all the others, keep the mirrors and notches of its outline
//! and hang together. The principle is ours; what it gives on square cells is held against common
//! practice in `tests/reference/motif_fit`.

use std::fmt;

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

/// What a shape loses in too few stitches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
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
        }
    }
}

/// The smallest a shape can be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SmallestFit {
    /// Stitches across.
    pub stitches: u32,
    /// Rows.
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
    /// Its stitches, to be stamped into the chart; width and height of the box are its size.
    pub raster: Raster,
    /// What is wrong with it; empty when it is legible.
    pub problems: Vec<MotifProblem>,
    /// Width of the box as knitted, in cm.
    pub width_cm: f64,
    /// Height of the box as knitted, in cm.
    pub height_cm: f64,
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
    let (raster, problems) = legibility(shape, stitches, rows);
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

/// The shape in a box of `width` stitches and `height` rows, and what is wrong with it there.
pub fn legibility(shape: BasicShape, width: u32, height: u32) -> (Raster, Vec<MotifProblem>) {
    let raster = shape.raster(width, height);
    let figure = raster.trimmed();
    let mut problems = Vec::new();
    if figure.count() == 0 {
        return (raster, vec![MotifProblem::Gone]);
    }
    if figure.width() < 2 || figure.height() < 2 {
        problems.push(MotifProblem::Line);
    }
    for other in shape.as_simple() {
        // The eye sees no box: what is left of the other shape may fill a smaller one, and so may
        // the other shape drawn in the smaller one.
        let trimmed = (figure.width(), figure.height()) != (width, height);
        let same = other.raster(width, height).trimmed() == figure
            || (trimmed && other.raster(figure.width(), figure.height()) == figure);
        if same {
            problems.push(MotifProblem::LooksLike(other));
        }
    }
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
    (raster, problems)
}

fn smallest_fit(shape: BasicShape, width: Cm, gauge: Gauge) -> Option<SmallestFit> {
    let aspect = gauge.cell_aspect();
    let across = smallest_across(shape, aspect)?;
    let (stitches, rows) = shape.box_of(across, aspect);
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
/// The box changes only where the width or the height is a whole number and a half, so the sizes
/// between two such places are judged once, from the largest down to the first that fails.
fn smallest_across(shape: BasicShape, aspect: f64) -> Option<f64> {
    let per_row = 1.0 / (aspect * shape.proportion());
    let limit = f64::from(LOOK_AHEAD) * per_row.min(1.0);
    let halves =
        |scale: f64| (0..).map(move |k| (f64::from(k) + 0.5) * scale).take_while(move |t| *t < limit);
    let mut steps: Vec<f64> = halves(1.0).chain(halves(per_row)).collect();
    steps.sort_by(f64::total_cmp);
    steps.dedup();
    let ends = steps.iter().skip(1).copied().chain([limit]);
    let mut smallest = None;
    for (start, end) in steps.iter().copied().zip(ends).collect::<Vec<_>>().into_iter().rev() {
        let (width, height) = shape.box_of(f64::midpoint(start, end), aspect);
        if !legibility(shape, width, height).1.is_empty() {
            break;
        }
        // A hair above the step, so that the size asked for again falls on the right side of it.
        smallest = Some(f64::max(start * (1.0 + 1e-9), f64::from(width)));
    }
    smallest
}

#[cfg(test)]
mod tests {
    use super::*;

    fn cm(value: f64) -> Cm {
        Cm::new(value).unwrap()
    }

    fn problems(shape: BasicShape, side: u32) -> Vec<MotifProblem> {
        legibility(shape, side, side).1
    }

    #[test]
    fn a_line_and_a_lost_notch_are_named() {
        assert_eq!(legibility(BasicShape::Square, 1, 4).1[0], MotifProblem::Line);
        assert!(problems(BasicShape::Heart, 4).contains(&MotifProblem::NotchLost));
        assert!(problems(BasicShape::Heart, 5).is_empty());
    }

    #[test]
    fn a_triangle_that_lost_its_point_is_a_bar() {
        // In 2 x 2 only the lower row is left, and two stitches side by side are an oblong.
        let found = problems(BasicShape::Triangle, 2);
        assert!(found.contains(&MotifProblem::Line));
        assert!(found.contains(&MotifProblem::LooksLike(BasicShape::Square)));
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
                let found = legibility(shape, width, height).1;
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
                !legibility(shape, width, height).1.is_empty()
            };
            // Within one stitch or row below it.
            let below = (1..=100).map(|i| smallest - f64::from(i) * 0.01);
            assert!(below.into_iter().any(fails), "{shape:?}");
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
