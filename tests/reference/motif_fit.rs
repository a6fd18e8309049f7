//! The fewest stitches of the basic shapes.
//!
//! The counts for square and circle are common practice, no published source.

use huegauge::chart::{BasicShape, MotifProblem, Raster, legibility, motif_fit};
use huegauge::knit::Gauge;
use huegauge::units::Cm;

/// Stitches in each row of a raster, from the bottom.
fn rows(raster: &Raster) -> Vec<u32> {
    let mut rows = vec![0; raster.height() as usize];
    for p in raster.points() {
        rows[p.y as usize] += 1;
    }
    rows
}

fn square_box(shape: BasicShape, side: u32) -> Raster {
    shape.raster(side, side)
}

#[test]
fn a_square_needs_three_stitches() {
    let [square, diamond] = [BasicShape::Square, BasicShape::Diamond];
    for side in [1, 2] {
        assert_eq!(square_box(square, side), square_box(diamond, side), "{side}");
        let problems = legibility(square, side, side).1;
        assert!(problems.contains(&MotifProblem::LooksLike(diamond)), "{side}");
    }
    assert_ne!(square_box(square, 3), square_box(diamond, 3));
    assert_eq!(legibility(square, 3, 3).1, []);
}

#[test]
fn a_circle_needs_five_stitches() {
    let [square, diamond, circle] = [BasicShape::Square, BasicShape::Diamond, BasicShape::Circle];
    assert_eq!(square_box(circle, 3), square_box(square, 3));
    assert_eq!(square_box(circle, 4), square_box(diamond, 4));
    assert_eq!(rows(&square_box(circle, 4)), [2, 4, 4, 2]);
    assert_eq!(legibility(circle, 3, 3).1, [MotifProblem::LooksLike(square)]);
    assert_eq!(legibility(circle, 4, 4).1, [MotifProblem::LooksLike(diamond)]);
    assert_ne!(square_box(circle, 5), square_box(square, 5));
    assert_ne!(square_box(circle, 5), square_box(diamond, 5));
    assert_eq!(rows(&square_box(circle, 5)), [3, 5, 5, 5, 3]);
    assert_eq!(legibility(circle, 5, 5).1, []);
}

#[test]
fn the_smallest_sizes_on_square_cells_are_the_trades() {
    let gauge = Gauge::new(20.0, 20.0).unwrap();
    for (shape, side) in [(BasicShape::Square, 3), (BasicShape::Circle, 5)] {
        // Asked for at one stitch, so that the answer cannot come from the size.
        let fit = motif_fit(shape, Cm::new(0.5).unwrap(), gauge).unwrap();
        assert!(!fit.is_legible());
        let smallest = fit.smallest.unwrap();
        assert_eq!((smallest.stitches, smallest.rows), (side, side));
        assert!((smallest.width_cm - f64::from(side) * 0.5).abs() < 1e-9);
        // The same shape at 0.5 cm needs that many stitches in 0.5 cm.
        let finest = 20.0 * f64::from(side);
        assert!((smallest.gauge.unwrap().stitches.get() - finest).abs() < 1e-6);
    }
}
