//! A palette matched to shades, and the best sets among them.

use std::hint::black_box;
use std::sync::atomic::AtomicBool;

use criterion::{Criterion, Throughput};
use huegauge::colour::{Colour, PairTable, ciede2000};
use huegauge::yarn::best_sets::{SetRequest, best_sets};
use huegauge::yarn::{Shade, ShadeCard, Wish, match_palette};
use pathfinding::matrix::Matrix;
use pathfinding::prelude::kuhn_munkres_min;

use crate::Stream;

fn card(count: usize) -> ShadeCard {
    let mut stream = Stream(7);
    let mut shade = || {
        let colour =
            Colour::clamped(0.2 + 0.75 * stream.next(), 0.16 * stream.next().sqrt(), 360.0 * stream.next());
        Shade::new("x", colour)
    };
    ShadeCard::new("Card", (0..count).map(|_| shade()).collect()).unwrap()
}

/// Five wishes and 200 shades. The peers: the pathfinding library's assignment on differences that are
/// worked out before (the floor), and each wish taking the nearest shade that is left, which is not the
/// best answer.
pub fn assignment(bench: &mut Criterion) {
    let card = card(200);
    let mut stream = Stream(3);
    let mut colour =
        || Colour::clamped(0.3 + 0.5 * stream.next(), 0.12 * stream.next(), 360.0 * stream.next());
    let wishes: Vec<Wish> = (0..5).map(|_| Wish { colour: colour(), metres: None }).collect();
    let all: Vec<usize> = (0..200).collect();
    let labs: Vec<_> = card.shades().iter().map(|shade| shade.colour.to_lab()).collect();
    let costs = Matrix::from_fn(5, 200, |(wish, shade)| {
        (ciede2000(wishes[wish].colour.to_lab(), labs[shade]) * 10_000.0).round() as i64
    });
    let mut group = bench.benchmark_group("5 wishes, 200 shades");
    group.bench_function("ours: differences, assignment, alternatives, cost", |b| {
        b.iter(|| black_box(match_palette(&card, &all, &wishes, 5).unwrap()));
    });
    group.bench_function("peer: pathfinding, assignment alone", |b| {
        b.iter(|| black_box(kuhn_munkres_min(&costs)));
    });
    group.bench_function("peer: greedy with differences, not optimal", |b| {
        b.iter(|| {
            let mut taken: Vec<usize> = Vec::new();
            for wish in &wishes {
                let lab = wish.colour.to_lab();
                let free = (0..labs.len()).filter(|shade| !taken.contains(shade));
                let difference = |shade: &usize| ciede2000(lab, labs[*shade]);
                let nearest = free.min_by(|a, b| difference(a).total_cmp(&difference(b)));
                taken.extend(nearest);
            }
            black_box(taken)
        });
    });
    group.finish();
}

/// The best twenty of all triples of 500 shades and of all fives of 200. The peer scores every set of a
/// smaller card the plain way; compare the sets per second, which favours the peer: its tables are small.
pub fn sets(bench: &mut Criterion) {
    let mut group = bench.benchmark_group("best sets");
    for (size, count, peer_count) in [(3, 500, 60), (5, 200, 22)] {
        let large = card(count);
        let request = SetRequest::new(size, 20, (0..count).collect());
        group.throughput(Throughput::Elements(combinations(count, size)));
        group.bench_function(format!("ours: {size} of {count}, all processors"), |b| {
            b.iter(|| black_box(best_sets(&large, &request, &AtomicBool::new(false), &|_| {}).unwrap()));
        });
        let small = card(peer_count);
        group.throughput(Throughput::Elements(combinations(peer_count, size)));
        group.bench_function(format!("peer: every {size} of {peer_count}, one processor"), |b| {
            b.iter(|| black_box(every_set(&small, size)));
        });
    }
    group.finish();
}

fn combinations(count: usize, size: usize) -> u64 {
    (0..size as u64).fold(1, |product, i| product * (count as u64 - i) / (i + 1))
}

/// The best score of all sets, by the usual weights.
fn every_set(card: &ShadeCard, size: usize) -> f64 {
    let colours: Vec<Colour> = card.shades().iter().map(|shade| shade.colour).collect();
    let table = PairTable::new(&colours);
    let score = |set: &[usize]| {
        let quality = table.quality(set).unwrap();
        let template = (-table.template_distance(set, &SetRequest::TELLING_TEMPLATES) / 15.0).exp();
        let apart = |d: f64| 1.0 - (-d / 15.0).exp();
        let seen = quality.seen_min.into_iter().fold(quality.difference_min, f64::min);
        (template + apart(quality.lstar_min) + 0.5 * apart(seen)) / 2.5
    };
    let mut best = 0.0_f64;
    let mut set: Vec<usize> = (0..size).collect();
    loop {
        best = best.max(score(&set));
        // The next set in rising order.
        let Some(place) = (0..size).rev().find(|i| set[*i] < colours.len() - size + i) else { break };
        set[place] += 1;
        for i in place + 1..size {
            set[i] = set[i - 1] + 1;
        }
    }
    best
}
