//! A yoke solved in ten sizes.

use std::hint::black_box;

use criterion::Criterion;
use huegauge::knit::Gauge;
use huegauge::knit::pieces::Gather;
use huegauge::knit::pieces::yoke::{Brief, Part, Wanted, solve};

#[path = "../common/yoke_of_ten_sizes.rs"]
mod yoke_of_ten_sizes;

/// The exact answer for ten sizes together. The peer lays out and weighs 2,000 yokes one by one, as a plain
/// search does for each of the millions that are tried.
pub fn ten_sizes(bench: &mut Criterion) {
    let brief = yoke_of_ten_sizes::ten_sizes();
    let mut group = bench.benchmark_group("a yoke in ten sizes");
    group.bench_function("ours, all processors", |b| b.iter(|| black_box(solve(&brief).unwrap())));
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
