//! How near a figure in whole stitches comes to an ideal outline.

use super::coverage::{coverage, edges};
use super::raster::Raster;

/// The measure of a figure against an outline.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Likeness {
    /// Area of both over area of either, `0..=1` (the Jaccard index).
    pub overlap: f64,
    /// Largest distance from a point of either edge to the other edge, in mm (the Hausdorff distance).
    pub deviation_mm: f64,
}

/// Measures `raster` against a closed outline given in cells from the corner of its box (it may
/// stick out by up to one cell), on cells of `cell_mm` width and height.
pub(super) fn likeness(raster: &Raster, outline: &[(f64, f64)], cell_mm: (f64, f64)) -> Likeness {
    Likeness { overlap: overlap(raster, outline), deviation_mm: deviation(raster, outline, cell_mm) }
}

fn overlap(raster: &Raster, outline: &[(f64, f64)]) -> f64 {
    let (width, height) = (raster.width() + 2, raster.height() + 2);
    let moved: Vec<_> = outline.iter().map(|(x, y)| (x + 1.0, y + 1.0)).collect();
    let covered = coverage(&moved, width, height);
    let total: f64 = covered.iter().sum();
    let both: f64 =
        raster.points().map(|p| covered[(p.y as usize + 1) * width as usize + p.x as usize + 1]).sum();
    let either = total + f64::from(raster.count()) - both;
    if either > 0.0 { both / either } else { 1.0 }
}

fn deviation(raster: &Raster, outline: &[(f64, f64)], (width, height): (f64, f64)) -> f64 {
    if raster.count() == 0 || outline.is_empty() {
        // Nothing to compare: as wrong as the box is large.
        return (f64::from(raster.width()) * width).max(f64::from(raster.height()) * height);
    }
    let ideal: Vec<_> = outline.iter().map(|(x, y)| (x * width, y * height)).collect();
    let from_raster = raster
        .points()
        .flat_map(|p| sides(raster, i64::from(p.x), i64::from(p.y)))
        .flat_map(|(a, b)| {
            let (a, b) = ((a.0 * width, a.1 * height), (b.0 * width, b.1 * height));
            [a, (f64::midpoint(a.0, b.0), f64::midpoint(a.1, b.1))]
        })
        .map(|point| edges(&ideal).map(|(a, b)| distance(point, a, b)).fold(f64::INFINITY, f64::min))
        .fold(0.0, f64::max);
    // Points of the ideal edge no further apart than half a cell.
    let step = width.min(height) / 2.0;
    let from_ideal = edges(&ideal)
        .flat_map(|(a, b)| {
            let parts = ((b.0 - a.0).hypot(b.1 - a.1) / step).ceil().max(1.0);
            (0..parts as u32).map(move |i| {
                let t = f64::from(i) / parts;
                (a.0 + (b.0 - a.0) * t, a.1 + (b.1 - a.1) * t)
            })
        })
        .map(|point| to_raster(raster, point, (width, height)))
        .fold(0.0, f64::max);
    f64::max(from_raster, from_ideal)
}

/// The sides of a filled cell that lie on the edge of the figure, in cells.
fn sides(raster: &Raster, x: i64, y: i64) -> impl Iterator<Item = ((f64, f64), (f64, f64))> {
    let (x0, y0, x1, y1) = (x as f64, y as f64, (x + 1) as f64, (y + 1) as f64);
    // In order around the cell, so that every corner of the figure begins one side.
    [
        (!raster.contains(x, y - 1), ((x0, y0), (x1, y0))),
        (!raster.contains(x + 1, y), ((x1, y0), (x1, y1))),
        (!raster.contains(x, y + 1), ((x1, y1), (x0, y1))),
        (!raster.contains(x - 1, y), ((x0, y1), (x0, y0))),
    ]
    .into_iter()
    .filter_map(|(open, side)| open.then_some(side))
}

/// Distance from a point to the edge of the figure, all in mm: rings of cells around the point are
/// searched until no further one can be nearer.
fn to_raster(raster: &Raster, point: (f64, f64), (width, height): (f64, f64)) -> f64 {
    let (cx, cy) = ((point.0 / width).floor() as i64, (point.1 / height).floor() as i64);
    let mut best = f64::INFINITY;
    let last = i64::from(raster.width().max(raster.height())) + 2;
    for ring in 0..=last {
        for y in cy - ring..=cy + ring {
            let whole = (y - cy).abs() == ring;
            let step = if whole || ring == 0 { 1 } else { 2 * ring };
            let mut x = cx - ring;
            while x <= cx + ring {
                if raster.contains(x, y) {
                    for (a, b) in sides(raster, x, y) {
                        let (a, b) = ((a.0 * width, a.1 * height), (b.0 * width, b.1 * height));
                        best = best.min(distance(point, a, b));
                    }
                }
                x += step;
            }
        }
        if best <= ring as f64 * width.min(height) {
            break;
        }
    }
    best
}

/// Distance from a point to a line segment.
fn distance(p: (f64, f64), a: (f64, f64), b: (f64, f64)) -> f64 {
    let (dx, dy) = (b.0 - a.0, b.1 - a.1);
    let length = dx * dx + dy * dy;
    let along = if length > 0.0 { ((p.0 - a.0) * dx + (p.1 - a.1) * dy) / length } else { 0.0 };
    let t = along.clamp(0.0, 1.0);
    (p.0 - a.0 - t * dx).hypot(p.1 - a.1 - t * dy)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::raster::tests::drawn;

    const BOX: [(f64, f64); 4] = [(0.0, 0.0), (2.0, 0.0), (2.0, 2.0), (0.0, 2.0)];

    #[test]
    fn the_same_figure_is_wholly_alike() {
        let found = likeness(&drawn(&["##", "##"]), &BOX, (5.0, 4.0));
        assert!((found.overlap - 1.0).abs() < 1e-12);
        assert!(found.deviation_mm < 1e-12);
    }

    #[test]
    fn a_missing_row_is_as_far_off_as_it_is_high() {
        let found = likeness(&drawn(&["..", "##"]), &BOX, (5.0, 4.0));
        assert!((found.overlap - 0.5).abs() < 1e-12);
        assert!((found.deviation_mm - 4.0).abs() < 1e-12);
    }

    #[test]
    fn an_outline_that_sticks_out_counts_in_full() {
        let larger = [(-0.5, 0.0), (2.5, 0.0), (2.5, 2.0), (-0.5, 2.0)];
        let found = likeness(&drawn(&["##", "##"]), &larger, (5.0, 4.0));
        assert!((found.overlap - 4.0 / 6.0).abs() < 1e-12);
        assert!((found.deviation_mm - 2.5).abs() < 1e-12);
    }

    #[test]
    fn nothing_is_as_wrong_as_its_box_is_large() {
        let found = likeness(&drawn(&["...", "..."]), &BOX, (5.0, 4.0));
        assert_eq!((found.overlap, found.deviation_mm), (0.0, 15.0));
    }
}
