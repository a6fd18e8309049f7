//! What is painted on a chart and found in it, on every chart; the clever against the plain way.

use huegauge::chart::{
    BasicShape, Cell, Float, Grid, Point, Rect, Transform, Wrap, contacts, legibility, long_floats_in_row,
    painting, region_fit, repeat_fit,
};
use huegauge::knit::Gauge;
use huegauge::units::LengthUnit;
use proptest::prelude::*;

/// A stitch of one of `slots` colours, now and then none.
fn cell(slots: u8) -> impl Strategy<Value = Cell> {
    prop_oneof![9 => (0..slots).prop_map(Cell::slot), 1 => Just(Cell::NO_STITCH)]
}

fn grid(side: u32, slots: u8) -> impl Strategy<Value = Grid> {
    (1..=side, 1..=side).prop_flat_map(move |(width, height)| {
        prop::collection::vec(cell(slots), (width * height) as usize)
            .prop_map(move |cells| Grid::from_cells(width, height, cells).unwrap())
    })
}

fn point(side: u32) -> impl Strategy<Value = Point> {
    (0..side, 0..side).prop_map(|(x, y)| Point::new(x, y))
}

fn rect(side: u32) -> impl Strategy<Value = Rect> {
    (0..side, 0..side, 0..=side, 0..=side).prop_map(|(x, y, w, h)| Rect::new(x, y, w, h))
}

/// Floats by walking on from every stitch to the next of its colour.
fn plain_floats(row: &[Cell], wraps: bool) -> Vec<Float> {
    // The stitches only, each with its column.
    let stitches: Vec<(u32, usize)> =
        row.iter().enumerate().filter_map(|(x, cell)| Some((x as u32, cell.index()?))).collect();
    let mut floats = Vec::new();
    for (i, (_, slot)) in stitches.iter().enumerate() {
        let rest = stitches[i + 1..].iter();
        let on: Vec<_> = if wraps { rest.chain(&stitches[..=i]).collect() } else { rest.collect() };
        if let Some(length) = on.iter().position(|(_, other)| other == slot)
            && length > 0
        {
            floats.push(Float { slot: *slot, start: on[0].0, length: length as u32 });
        }
    }
    floats.sort_by_key(|float| (float.start, float.slot));
    floats
}

/// A fill that looks at one stitch at a time.
fn plain_flood(grid: &Grid, start: Point, within: Rect) -> Vec<Point> {
    let mut found = Vec::new();
    let mut open = vec![start];
    while let Some(p) = open.pop() {
        if !within.contains(p)
            || grid.get(p) != grid.get(start)
            || found.contains(&p)
            || grid.get(p).is_none()
        {
            continue;
        }
        found.push(p);
        open.extend([Point::new(p.x + 1, p.y), Point::new(p.x, p.y + 1)]);
        open.extend(p.x.checked_sub(1).map(|x| Point::new(x, p.y)));
        open.extend(p.y.checked_sub(1).map(|y| Point::new(p.x, y)));
    }
    found
}

fn sorted(mut points: Vec<Point>) -> Vec<Point> {
    points.sort();
    points
}

proptest! {
    #[test]
    fn floats_are_found_as_the_plain_way_finds_them(
        row in prop::collection::vec(cell(4), 0..40),
        wraps: bool,
    ) {
        prop_assert_eq!(long_floats_in_row(&row, wraps, 0), plain_floats(&row, wraps));
    }

    #[test]
    fn in_the_round_it_does_not_matter_where_the_round_begins(
        row in prop::collection::vec(cell(3), 1..30),
        turn in 0usize..30,
    ) {
        let lengths = |row: &[Cell]| {
            let mut all: Vec<_> = long_floats_in_row(row, true, 0).iter().map(|f| (f.slot, f.length)).collect();
            all.sort_unstable();
            all
        };
        let mut turned = row.clone();
        turned.rotate_left(turn % row.len());
        prop_assert_eq!(lengths(&row), lengths(&turned));
    }

    #[test]
    fn a_fill_finds_what_the_plain_way_finds(
        grid in grid(12, 2),
        start in point(14),
        within in rect(12),
    ) {
        let found = painting::flood(&grid, start, Some(within));
        prop_assert_eq!(sorted(found), sorted(plain_flood(&grid, start, within)));
    }

    #[test]
    fn strokes_stay_on_the_chart_and_touch_each_stitch_once(
        a in point(60), b in point(60), area in rect(60), clip in rect(40),
    ) {
        let strokes = [
            painting::line(a, b, clip),
            painting::rectangle(area, clip),
            painting::rectangle_outline(area, clip),
            painting::ellipse(area, clip),
            painting::ellipse_outline(area, clip),
        ];
        for stroke in strokes {
            prop_assert!(stroke.iter().all(|p| clip.contains(*p)));
            let count = stroke.len();
            let mut once = sorted(stroke);
            once.dedup();
            prop_assert_eq!(once.len(), count);
        }
    }

    #[test]
    fn a_clipped_stroke_is_the_part_of_the_whole_one(
        a in point(60), b in point(60), area in rect(60), clip in rect(40),
    ) {
        let all = Rect::new(0, 0, 200, 200);
        let inside = |points: Vec<Point>| sorted(points.into_iter().filter(|p| clip.contains(*p)).collect());
        prop_assert_eq!(sorted(painting::line(a, b, clip)), inside(painting::line(a, b, all)));
        for draw in [painting::rectangle_outline, painting::ellipse, painting::ellipse_outline] {
            prop_assert_eq!(sorted(draw(area, clip)), inside(draw(area, all)));
        }
    }

    #[test]
    fn a_line_leaves_no_gap(a in point(60), b in point(60)) {
        let line = painting::line(a, b, Rect::new(0, 0, 60, 60));
        prop_assert_eq!(line.len() as u32, a.x.abs_diff(b.x).max(a.y.abs_diff(b.y)) + 1);
        for pair in line.windows(2) {
            prop_assert!(pair[0].x.abs_diff(pair[1].x).max(pair[0].y.abs_diff(pair[1].y)) == 1);
        }
    }

    #[test]
    fn mirrors_and_turns_come_back(grid in grid(9, 5)) {
        for transform in Transform::ALL {
            let back = match transform {
                Transform::TurnLeft => Transform::TurnRight,
                Transform::TurnRight => Transform::TurnLeft,
                mirror => mirror,
            };
            prop_assert_eq!(&grid.transformed(transform).transformed(back), &grid);
        }
        let mut turned = grid.clone();
        for _ in 0..4 {
            turned = turned.transformed(Transform::TurnLeft);
        }
        prop_assert_eq!(turned, grid);
    }

    #[test]
    fn what_goes_in_comes_out(grid in grid(9, 5), at in 0u32..9, count in 1u32..5) {
        let (row, column) = (at.min(grid.height()), at.min(grid.width()));
        let taller = grid.with_rows(row, count, Cell::slot(7)).unwrap();
        prop_assert_eq!(&taller.without_rows(row, count).unwrap(), &grid);
        let wider = grid.with_stitches(column, count, Cell::slot(7)).unwrap();
        prop_assert_eq!(&wider.without_stitches(column, count).unwrap(), &grid);
    }

    #[test]
    fn repeats_and_edge_make_up_the_needle(
        stitches in 1u32..3000, repeat in 0u32..200, edge in 0u32..20,
    ) {
        let fit = repeat_fit(stitches, repeat, edge, Gauge::new(22.0, 30.0).unwrap());
        if stitches >= edge {
            prop_assert_eq!(fit.repeats * fit.repeat + fit.left_over + edge, stitches);
        }
        prop_assert!(fit.left_over < fit.repeat);
        for even in fit.above.into_iter().chain(fit.below) {
            prop_assert!(even.repeats > 0);
            prop_assert_eq!(even.repeats * fit.repeat + edge, even.stitches);
            prop_assert_eq!(i64::from(stitches) + even.change, i64::from(even.stitches));
            // No even count lies nearer on that side.
            prop_assert!(even.change.abs() < i64::from(fit.repeat) || fit.repeats == 0);
        }
        if let Some(centred) = fit.centred {
            prop_assert_eq!(
                centred.before + centred.repeats * fit.repeat + centred.after + edge, stitches
            );
            prop_assert!(centred.after - centred.before <= 1);
        }
    }

    #[test]
    fn contacts_are_those_counted_pair_by_pair(
        grid in grid(9, 4), region in rect(9), across: bool, up: bool,
    ) {
        let gauge = Gauge::new(20.0, 25.0).unwrap();
        let inside = region.intersect(grid.bounds());
        let mut plain = std::collections::BTreeMap::new();
        for p in inside.points() {
            let next = |at: u32, start: u32, length: u32, wraps: bool| {
                if at + 1 < start + length { Some(at + 1) } else { wraps.then_some(start) }
            };
            let right = next(p.x, inside.x, inside.width, across).map(|x| (Point::new(x, p.y), true));
            let above = next(p.y, inside.y, inside.height, up).map(|y| (Point::new(p.x, y), false));
            for (other, beside) in right.into_iter().chain(above) {
                let (a, b) = (grid.get(p).unwrap().index(), grid.get(other).unwrap().index());
                if let (Some(a), Some(b), true) = (a, b, a != b) {
                    let count = plain.entry((a.min(b), a.max(b))).or_insert((0, 0));
                    if beside { count.0 += 1 } else { count.1 += 1 }
                }
            }
        }
        let found = contacts(&grid, region, gauge, Wrap { across, up });
        let counts: std::collections::BTreeMap<_, _> =
            found.iter().map(|c| ((c.a, c.b), (c.side_by_side, c.stacked))).collect();
        prop_assert_eq!(counts, plain);
        for contact in &found {
            let cm = f64::from(contact.side_by_side) * 0.4 + f64::from(contact.stacked) * 0.5;
            prop_assert!((contact.cm - cm).abs() < 1e-9);
            let first = grid.get(contact.first).and_then(Cell::index);
            prop_assert!(first == Some(contact.a) || first == Some(contact.b));
        }
    }

    #[test]
    fn any_motif_can_be_judged(grid in grid(16, 2), region in rect(16), rows in 10.0f64..60.0) {
        let gauge = Gauge::new(24.0, rows).unwrap();
        if let Some(fit) = region_fit(&grid, region, Cell::slot(0), gauge) {
            prop_assert!(region.contains(Point::new(fit.bounds.x, fit.bounds.y)));
            prop_assert_eq!((fit.raster.width(), fit.raster.height()), (fit.bounds.width, fit.bounds.height));
            let smallest = fit.smallest.unwrap();
            prop_assert!(smallest.width_cm > 0.0);
            prop_assert!(!fit.words(LengthUnit::Metric).is_empty());
            if let Some(coarser) = smallest.gauge {
                let kept = fit.survives_at(coarser) || coarser.stitches.get() > gauge.stitches.get() * 0.999;
                prop_assert!(kept, "{:?}", smallest);
            }
        }
    }

    #[test]
    fn a_shape_in_any_box_keeps_its_mirror(shape in 0usize..6, width in 1u32..70, height in 1u32..70) {
        let shape = BasicShape::ALL[shape];
        let (raster, _) = legibility(shape, (width, height), 1.25);
        prop_assert!(raster.is_mirrored_left_right());
        prop_assert!(raster.is_mirrored_up_down() || !shape.is_mirrored_up_down());
    }
}
