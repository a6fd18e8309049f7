//! Everything that is worked out from a large chart.

use std::hint::black_box;

use criterion::{Criterion, Throughput};
use huegauge::chart::{Cell, Grid, Point};
use huegauge::project::figures::{Figures, FiguresMemory};
use huegauge::project::{Chart, Project};

use crate::Stream;

const SIDE: u32 = 2000;

/// A square chart, drawn in stretches of one to eight as a motif has them.
fn drawn(side: u32) -> Project {
    let mut stream = Stream(5);
    let mut cells = Vec::with_capacity((side * side) as usize);
    while cells.len() < (side * side) as usize {
        let colour = Cell::slot((4.0 * stream.next()) as u8);
        let stretch = 1 + (8.0 * stream.next()) as usize;
        cells.extend(std::iter::repeat_n(colour, stretch));
    }
    cells.truncate((side * side) as usize);
    project_of(Grid::from_cells(side, side, cells).unwrap())
}

/// The chart in the round, once around.
fn project_of(grid: Grid) -> Project {
    let mut project = Project { chart: Chart::new(grid), ..Project::default() };
    project.plan.needle_stitches = project.chart.grid.width();
    project
}

/// Findings, yarn and all other figures after one stitch of 500 x 500 was painted; the peer works them out from
/// scratch. One chart is drawn in stretches, the other is a motif of 12 stitches with floats in every row.
pub fn after_a_stitch(bench: &mut Criterion) {
    const SIDE: u32 = 500;
    let motif = (0..SIDE * SIDE).map(|i| Cell::slot(((i / 3 + i / SIDE * 5) % 4) as u8)).collect();
    let motif = project_of(Grid::from_cells(SIDE, SIDE, motif).unwrap());
    let mut group = bench.benchmark_group("figures after one stitch of 500 x 500");
    for (name, mut project) in [("stretches", drawn(SIDE)), ("motif", motif)] {
        let mut memory = FiguresMemory::default();
        Figures::after(&project, &mut memory);
        let mut painted = 0_u32;
        let mut paint = |project: &mut Project| {
            painted += 1;
            let place = Point::new(painted * 7919 % SIDE, painted * 104_729 % SIDE);
            let old = project.chart.grid.get(place).and_then(Cell::index).unwrap_or(0);
            project.chart.grid.set(place, Cell::slot((old + 1) as u8 % 4));
        };
        group.bench_function(format!("ours, {name}"), |b| {
            b.iter(|| {
                paint(&mut project);
                black_box(Figures::after(&project, &mut memory))
            });
        });
        assert_eq!(Figures::after(&project, &mut memory), Figures::of(&project), "the twin agrees");
        group.bench_function(format!("peer: from scratch, all processors, {name}"), |b| {
            b.iter(|| {
                paint(&mut project);
                black_box(Figures::of(&project))
            });
        });
    }
    group.finish();
}

/// Findings, floats, contacts, yarn and shares of 2000 x 2000 stitches. The peer only counts the stitches
/// of each colour, on one processor: the floor of anything that looks at every stitch.
pub fn figures(bench: &mut Criterion) {
    let project = drawn(SIDE);
    let mut group = bench.benchmark_group("figures of 2000 x 2000 stitches");
    group.throughput(Throughput::Elements(u64::from(SIDE * SIDE)));
    group.bench_function("ours, all processors", |b| b.iter(|| black_box(Figures::of(&project))));
    group.bench_function("peer: counting colours, one processor", |b| {
        b.iter(|| {
            let mut counts = [0_u32; Cell::MAX_SLOTS];
            for slot in project.chart.grid.cells().iter().filter_map(|cell| cell.index()) {
                counts[slot] += 1;
            }
            black_box(counts)
        });
    });
    group.finish();
}
