//! A yoke solved in ten sizes.

use std::hint::black_box;

use criterion::Criterion;
use huegauge::chart::{Cell, Grid};
use huegauge::knit::Gauge;
use huegauge::knit::pieces::yoke::{Brief, Part, PieceBrief, Wanted, solve};
use huegauge::knit::pieces::{Gather, Pattern, Size, SizeTable, Template};

#[path = "../common/yoke_of_ten_sizes.rs"]
mod yoke_of_ten_sizes;

/// The exact answer for ten sizes together. The peer lays out and weighs 2,000 yokes one by one, as a plain
/// search does for each of the millions that are tried.
pub fn ten_sizes(bench: &mut Criterion) {
    let brief = yoke_of_ten_sizes::ten_sizes();
    let template = of_template();
    let mut group = bench.benchmark_group("a yoke in ten sizes");
    group.bench_function("ours, all processors", |b| b.iter(|| black_box(solve(&brief).unwrap())));
    group.bench_function("ours, the template with its four decrease rounds", |b| {
        b.iter(|| black_box(solve(&template).unwrap()));
    });
    group.bench_function("peer: weighing 2,000 yokes one by one, one processor", |b| {
        b.iter(|| {
            for size in 0..2_000_u32 {
                let rows: Vec<u32> = (0..80).map(|row| 592 - row * (300 + size % 100) / 80).collect();
                black_box(Gather::of(&rows, brief.gauge));
            }
        });
    });
    group.finish();
}

/// The template in ten sizes of the published table, with a chart of 24 stitches and 40 rounds.
fn of_template() -> Brief {
    let (table, ease_cm) =
        (SizeTable::shipped().unwrap(), Template::CircularYoke.sizes().unwrap()[0].ease_cm);
    let groups: [(&str, &[&str]); 3] = [
        ("Child", &["4", "8"]),
        ("Youth", &["12", "16"]),
        ("Woman", &["XS", "M", "XL/1X", "2X", "4X", "5X"]),
    ];
    let mut sizes = Vec::new();
    for (group, names) in groups {
        let known = table.group(group).unwrap().sizes.iter();
        let wanted = known.filter(|size| names.contains(&size.name.as_str()));
        sizes.extend(wanted.map(|size| Size {
            name: format!("{group} {}", size.name),
            body: size.body,
            ease_cm,
        }));
    }
    let grid = Grid::new(24, 40, Cell::slot(0)).unwrap();
    let pattern = Pattern { grid: &grid, repeat: grid.bounds() };
    let gauge = Gauge::new(28.0, 33.0).unwrap();
    PieceBrief::of(&Template::CircularYoke.pieces(0), 2, &sizes, gauge, &pattern).unwrap().brief
}
