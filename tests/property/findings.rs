//! Findings against plain twins that look at the chart stitch by stitch.

use std::collections::BTreeSet;

use huegauge::chart::{Cell, Grid, Point};
use huegauge::project::figures::Figures;
use huegauge::project::findings::{Finding, FindingKind, MOST_OF_A_KIND};
use huegauge::project::{Chart, FloatLimit, KnitPlan, Project};
use proptest::prelude::*;

/// The ground of the default palette, which is the background of the chart.
const GROUND: u8 = 3;

/// A chart in the round, mostly ground, a few cells no stitch.
fn projects() -> impl Strategy<Value = Project> {
    let cell = prop_oneof![
        8 => Just(Cell::slot(GROUND)),
        3 => (0..GROUND).prop_map(Cell::slot),
        1 => Just(Cell::NO_STITCH),
    ];
    (1u32..16, 1u32..10).prop_flat_map(move |(width, height)| {
        prop::collection::vec(cell.clone(), (width * height) as usize).prop_map(move |cells| {
            let chart = Chart::new(Grid::from_cells(width, height, cells).unwrap());
            let float_limit = FloatLimit { stitches: 3, cm: 99.0 };
            let plan = KnitPlan { needle_stitches: width, float_limit, ..KnitPlan::default() };
            Project { chart, plan, ..Project::default() }
        })
    })
}

fn found(project: &Project, kind: FindingKind) -> Vec<Finding> {
    Figures::of(project).findings.into_iter().filter(|finding| finding.kind == kind).collect()
}

/// Every float of every round over the limit, walked stitch by stitch: slot, row, length.
fn naive_floats(project: &Project, limit: usize) -> BTreeSet<(usize, u32, u32)> {
    let mut floats = BTreeSet::new();
    let grid = &project.chart.grid;
    for y in 0..grid.height() {
        let stitches: Vec<usize> = grid.row(y).iter().filter_map(|cell| cell.index()).collect();
        for (at, slot) in stitches.iter().enumerate() {
            let gap = (1..=stitches.len())
                .take_while(|step| stitches[(at + step) % stitches.len()] != *slot)
                .count();
            if gap > limit {
                floats.insert((*slot, y, gap as u32));
            }
        }
    }
    floats
}

/// Stitches none of whose neighbours on the cylinder of the round, corners included, has their colour.
fn naive_lone(project: &Project) -> BTreeSet<(i64, i64)> {
    let grid = &project.chart.grid;
    let (width, height) = (i64::from(grid.width()), i64::from(grid.height()));
    let colour = |x: i64, y: i64| {
        let inside = (0..height).contains(&y);
        let at = Point::new(x.rem_euclid(width) as u32, y.max(0) as u32);
        grid.get(at).filter(|_| inside).and_then(Cell::index)
    };
    let mut lone = BTreeSet::new();
    for (x, y) in (0..height).flat_map(|y| (0..width).map(move |x| (x, y))) {
        let Some(own) = colour(x, y) else { continue };
        let around = (-1..=1).flat_map(|dy| (-1..=1).map(move |dx| (dx, dy)));
        if around.filter(|by| *by != (0, 0)).all(|(dx, dy)| colour(x + dx, y + dy) != Some(own)) {
            lone.insert((x, y));
        }
    }
    lone
}

/// Figures in a box of at most 2 x 2 on the cylinder of the round, by flood filling each of them; not one
/// that is made of `lone` stitches only.
fn naive_small_figures(project: &Project, lone: &BTreeSet<(i64, i64)>) -> usize {
    let grid = &project.chart.grid;
    let width = i64::from(grid.width());
    let filled = |(x, y): (i64, i64)| {
        let inside = (0..i64::from(grid.height())).contains(&y);
        let cell = grid.get(Point::new(x.rem_euclid(width) as u32, y.max(0) as u32));
        inside && cell.is_some_and(|cell| cell != Cell::slot(GROUND) && cell != Cell::NO_STITCH)
    };
    let mut small = BTreeSet::new();
    for start in (0..i64::from(grid.height())).flat_map(|y| (0..width).map(move |x| (x, y))) {
        let mut figure = BTreeSet::new();
        let mut open = if filled(start) { vec![start] } else { Vec::new() };
        // More than 4 stitches do not fit in the box; a figure around the whole round never ends.
        while let (Some((x, y)), true) = (open.pop(), figure.len() <= 4) {
            if figure.insert((x, y)) {
                let around = (-1..=1).flat_map(|dy| (-1..=1).map(move |dx| (x + dx, y + dy)));
                open.extend(around.filter(|place| filled(*place)));
            }
        }
        let span = |values: Vec<i64>| Some(values.iter().max()? - values.iter().min()?);
        let across = span(figure.iter().map(|(x, _)| *x).collect());
        let up = span(figure.iter().map(|(_, y)| *y).collect());
        if figure.len() <= 4 && across.is_some_and(|span| span < 2) && up.is_some_and(|span| span < 2) {
            let wrapped: BTreeSet<_> = figure.iter().map(|(x, y)| (x.rem_euclid(width), *y)).collect();
            if !wrapped.is_subset(lone) {
                small.insert(wrapped);
            }
        }
    }
    small.len()
}

proptest! {
    #[test]
    fn floats_are_those_a_plain_walk_finds(project in projects()) {
        let naive = naive_floats(&project, 3);
        let listed = found(&project, FindingKind::LongFloat);
        prop_assert_eq!(listed.is_empty(), naive.is_empty());
        for finding in listed.iter().filter(|finding| finding.place.is_some()) {
            let place = finding.place.unwrap();
            let key = (finding.slots[0], place.y, finding.length.unwrap());
            prop_assert!(naive.contains(&key), "{finding:?} is not in {naive:?}");
            prop_assert!(place.intersect(project.chart.grid.bounds()) == place && !place.is_empty());
        }
        // The longest is listed first.
        let longest = naive.iter().map(|(_, _, length)| *length).max();
        prop_assert_eq!(listed.iter().filter_map(|finding| finding.length).max(), longest);
        prop_assert!(listed.len() <= MOST_OF_A_KIND + 1);
    }

    #[test]
    fn small_figures_are_those_a_flood_fill_finds(project in projects()) {
        let lone = naive_lone(&project);
        let small = naive_small_figures(&project, &lone);
        let listed = found(&project, FindingKind::SmallMotif);
        prop_assert_eq!(listed.len(), usize::from(lone.len() + small > 0));
        prop_assert_eq!(project.lone_stitches(), lone.len());
        if let [finding] = &listed[..] {
            // "A stitch stands alone and 2 figures are smaller than ...": the number before the noun.
            let words: Vec<&str> = finding.message.split_whitespace().collect();
            let counted = |nouns: [&str; 2]| {
                let at = words.iter().take(8).position(|word| nouns.contains(word))?;
                words[at - 1].parse().ok().or(Some(1))
            };
            let told = (counted(["stitch", "stitches"]), counted(["figure", "figures"]));
            let expected = |n: usize| Some(n).filter(|n| *n > 0);
            prop_assert_eq!(told, (expected(lone.len()), expected(small)), "{}", finding.message);
        }
    }
}
