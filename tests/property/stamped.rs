//! Motif fit agrees with itself: a shape that survives at a size still does once it is stamped into the chart.

use huegauge::chart::{BasicShape, Cell, Grid, motif_fit, region_fit};
use huegauge::knit::Gauge;
use huegauge::units::Cm;
use proptest::prelude::*;

proptest! {
    #[test]
    fn a_shape_that_survives_survives_stamped(
        shape in prop::sample::select(BasicShape::ALL.to_vec()),
        width in 0.5_f64..9.0,
        stitches in 12.0_f64..36.0,
        higher in 1.0_f64..1.5,
    ) {
        let gauge = Gauge::new(stitches, stitches * higher).unwrap();
        let asked = motif_fit(shape, Cm::new(width).unwrap(), gauge).unwrap();
        prop_assume!(asked.is_legible());
        let (ground, ink) = (Cell::slot(0), Cell::slot(1));
        let mut grid = Grid::new(asked.raster.width() + 6, asked.raster.height() + 6, ground).unwrap();
        grid.paste(&asked.raster.to_grid(ink, ground).unwrap(), (3, 2));
        let found = region_fit(&grid, grid.bounds(), ground, gauge).unwrap();
        prop_assert!(found.is_legible(), "{shape:?} {width} cm at {gauge:?}: {:?}", found.problems);
        let read = found.shape.unwrap();
        prop_assert!(
            read.shape == shape || read.also.contains(&shape),
            "{shape:?} reads as {:?} {:?}", read.shape, read.also
        );
    }
}
