//! Everything that is worked out from a large chart.

use std::hint::black_box;

use criterion::{Criterion, Throughput};
use huegauge::chart::{Cell, Grid};
use huegauge::project::figures::Figures;
use huegauge::project::{Chart, Project};

use crate::Stream;

const SIDE: u32 = 2000;

/// Four million stitches, drawn in stretches of one to eight as a motif has them.
fn project() -> Project {
    let mut stream = Stream(5);
    let mut cells = Vec::with_capacity((SIDE * SIDE) as usize);
    while cells.len() < (SIDE * SIDE) as usize {
        let colour = Cell::slot((4.0 * stream.next()) as u8);
        let stretch = 1 + (8.0 * stream.next()) as usize;
        cells.extend(std::iter::repeat_n(colour, stretch));
    }
    cells.truncate((SIDE * SIDE) as usize);
    let mut project =
        Project { chart: Chart::new(Grid::from_cells(SIDE, SIDE, cells).unwrap()), ..Project::default() };
    project.plan.needle_stitches = SIDE;
    project
}

/// Findings, floats, contacts, yarn and shares of 2000 x 2000 stitches. The peer only counts the stitches
/// of each colour, on one processor: the floor of anything that looks at every stitch.
pub fn figures(bench: &mut Criterion) {
    let project = project();
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
