//! The symmetry while painting, on every chart: what belongs together belongs together whichever stitch is asked.

use huegauge::chart::{Axis, Cell, Grid, Ink, Lay, Mirrors, Point, Rect, Symmetry, Tiles, Transform, Work};
use huegauge::project::{Chart, Project};
use proptest::prelude::*;

const SIDE: u32 = 24;
const CHART: Rect = Rect::new(0, 0, SIDE, SIDE);

fn mirrors() -> impl Strategy<Value = Mirrors> {
    prop::sample::select(Mirrors::ALL.to_vec())
}

fn axis() -> impl Strategy<Value = Option<Axis>> {
    prop::option::of((0..=2 * SIDE, 0..=2 * SIDE).prop_map(|(x2, y2)| Axis { x2, y2 }))
}

fn tiles() -> impl Strategy<Value = Option<Tiles>> {
    let tiles = (prop::sample::select(Lay::ALL.to_vec()), 1..=SIDE, 1..=SIDE);
    prop::option::of(tiles.prop_map(|(lay, w, h)| Tiles::new(lay, w, h)))
}

fn symmetry() -> impl Strategy<Value = Symmetry> {
    (mirrors(), axis(), tiles()).prop_map(|(mirrors, axis, tiles)| Symmetry { mirrors, axis, tiles })
}

fn point() -> impl Strategy<Value = Point> {
    (0..SIDE, 0..SIDE).prop_map(|(x, y)| Point::new(x, y))
}

fn project(symmetry: Symmetry, seed: u64) -> Project {
    let cells = (0..SIDE * SIDE).map(|i| {
        let mixed = (u64::from(i) + seed).wrapping_mul(0x9e37_79b9_7f4a_7c15) >> 60;
        Cell::slot((mixed % 4) as u8)
    });
    let grid = Grid::from_cells(SIDE, SIDE, cells.collect()).unwrap();
    Project { chart: Chart::new(grid), symmetry, ..Project::default() }
}

proptest! {
    #[test]
    fn an_orbit_is_the_same_from_each_of_its_stitches(symmetry in symmetry(), p in point()) {
        let placed = symmetry.about(CHART);
        let orbit = placed.orbit(p, CHART);
        prop_assert!(orbit.contains(&p));
        for other in &orbit {
            prop_assert_eq!(&placed.orbit(*other, CHART), &orbit, "from {:?}", other);
        }
    }

    #[test]
    fn a_mirror_twice_is_where_it_was(
        mirrors in prop::sample::select(vec![Mirrors::LeftRight, Mirrors::UpDown]),
        axis in axis(),
        p in point(),
    ) {
        let placed = Symmetry { mirrors, axis, tiles: None }.about(CHART);
        let everywhere = Rect::new(0, 0, 2000, 2000);
        let at = (i64::from(p.x), i64::from(p.y));
        let mut images = Vec::new();
        placed.images(at, (1, 1), everywhere, |image| images.push(image));
        for image in images {
            prop_assert_eq!(image.cell(image.cell(at)), at);
        }
    }

    #[test]
    fn four_quarter_turns_about_a_square_are_none(axis in axis(), p in point()) {
        let placed = Symmetry { mirrors: Mirrors::QuarterTurns, axis, tiles: None }.about(CHART);
        let at = (i64::from(p.x), i64::from(p.y));
        let mut turns = Vec::new();
        placed.images((0, 0), (2000, 2000), Rect::new(0, 0, 2000, 2000), |image| turns.push(image));
        for image in turns {
            let around = (0..4).fold(at, |at, _| image.cell(at));
            prop_assert_eq!(around, at);
        }
    }

    #[test]
    fn a_quarter_turn_about_the_middle_is_that_of_the_whole_chart(p in point(), seed: u64) {
        // What the orbit says is what turning the painted chart says.
        let turned = project(Symmetry { mirrors: Mirrors::QuarterTurns, ..Symmetry::default() }, seed);
        let mut painted = turned.clone();
        painted.chart = Chart::new(Grid::square(SIDE, Cell::slot(0)));
        let edit = painted.painting([p], Cell::slot(1)).unwrap();
        painted.apply(edit);
        let grid = &painted.chart.grid;
        prop_assert_eq!(&grid.transformed(Transform::TurnLeft), grid);
    }

    #[test]
    fn a_chart_that_has_the_symmetry_keeps_it_under_every_stroke(
        mirrors in mirrors(),
        strokes in prop::collection::vec((point(), 0_u8..4), 1..12),
        fill in point(),
    ) {
        let mut project = Project {
            chart: Chart::new(Grid::square(SIDE, Cell::slot(0))),
            symmetry: Symmetry { mirrors, ..Symmetry::default() },
            ..Project::default()
        };
        for (p, slot) in strokes {
            if let Some(edit) = project.painting([p], Cell::slot(slot)) {
                project.apply(edit);
            }
        }
        if let Some(edit) = project.filling(fill, None, Ink::from(Cell::slot(2))) {
            project.apply(edit);
        }
        let (placed, grid) = (project.placed_symmetry(), &project.chart.grid);
        for p in CHART.points() {
            for other in placed.orbit(p, CHART) {
                prop_assert_eq!(grid.get(p), grid.get(other));
            }
        }
    }

    #[test]
    fn strokes_paint_their_orbits_and_nothing_else_and_are_undone_exactly(
        symmetry in symmetry(),
        points in prop::collection::vec(point(), 1..20),
        seed: u64,
        works: bool,
    ) {
        let mut project = project(symmetry, seed);
        let before = project.clone();
        let ink = if works { Ink::Work(Work::K2tog) } else { Ink::from(Cell::slot(5 % 4)) };
        let placed = project.placed_symmetry();
        let Some(edit) = project.painting(points.iter().copied(), ink) else { return Ok(()) };
        let undo = project.apply(edit);
        for p in CHART.points() {
            let (old, new) = (before.chart.grid.get(p).unwrap(), project.chart.grid.get(p).unwrap());
            let reached = points.iter().any(|q| placed.orbit(*q, CHART).contains(&p));
            let expected = [ink.on(old), ink.mirrored().on(old)];
            prop_assert!(if reached { expected.contains(&new) } else { new == old }, "{:?}", p);
        }
        project.apply(undo);
        prop_assert_eq!(project, before);
    }
}
