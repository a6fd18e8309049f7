//! CIEDE2000 on a million pairs.

use std::hint::black_box;

use criterion::{Criterion, Throughput};
use huegauge::colour::{Colour, Lab, PairTable, ciede2000};
use palette::color_difference::Ciede2000;

use crate::Stream;

/// 1,000 by 1,000.
const SIDE: usize = 1000;
/// So many colours have a million pairs, each taken once.
const PAIRED: usize = 1415;

fn colours(count: usize) -> Vec<Colour> {
    let mut stream = Stream(1);
    let mut colour =
        || Colour::clamped(0.2 + 0.75 * stream.next(), 0.16 * stream.next().sqrt(), 360.0 * stream.next());
    (0..count).map(|_| colour()).collect()
}

/// The peer is the palette library's own CIEDE2000 on one processor; ours is built on it, so 1 is the
/// best ratio there is for the plain million. The pair table works out four differences (as everyone and
/// as three kinds of colour vision see it) and the pair harmony of each pair, on all processors.
pub fn differences(bench: &mut Criterion) {
    let labs: Vec<Lab> = colours(2 * SIDE).iter().map(|colour| colour.to_lab()).collect();
    let (left, right) = labs.split_at(SIDE);
    let sum = |difference: &dyn Fn(Lab, Lab) -> f64| -> f64 {
        left.iter().flat_map(|a| right.iter().map(move |b| difference(*a, *b))).sum()
    };
    let mut group = bench.benchmark_group("CIEDE2000 of a million pairs");
    group.throughput(Throughput::Elements((SIDE * SIDE) as u64));
    group.bench_function("ours, one processor", |b| b.iter(|| black_box(sum(&ciede2000))));
    group.bench_function("peer: palette, one processor", |b| {
        b.iter(|| black_box(sum(&|a: Lab, b: Lab| a.difference(b))));
    });
    let many = colours(PAIRED);
    // Four differences a pair.
    group.throughput(Throughput::Elements(4 * (PAIRED * (PAIRED - 1) / 2) as u64));
    group.bench_function("ours, pair table, all processors", |b| b.iter(|| black_box(PairTable::new(&many))));
    group.finish();
}
