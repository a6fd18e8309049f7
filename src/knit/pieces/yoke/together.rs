//! One choice for each size, so that the sizes are one design.

use std::cmp::Ordering;

use rayon::prelude::*;

use super::search::{Choices, Search};
use super::share::{Proportion, proportions};
use super::{Brief, Choice, Part, Solution, Unsolved};

/// What is compared between neighbouring sizes: for each change of count its place in the depth and the
/// share it takes out.
struct Traits {
    changes: Vec<(f64, f64)>,
    depth_cm: f64,
}

impl Traits {
    fn of(brief: &Brief, size: usize, choice: &Choice) -> Self {
        let all = choice.rows.len().max(1) as f64;
        let (mut done, mut before) = (0_u32, brief.sizes[size].stitches);
        let mut changes = Vec::new();
        for (part, made) in brief.parts.iter().zip(&choice.made) {
            match part {
                Part::Change { .. } => {
                    let kept = f64::from(made.stitches) / f64::from(before.max(1));
                    changes.push((f64::from(done) / all, kept * 100.0));
                }
                Part::Wedges { .. } => changes.push((f64::from(done) / all, f64::from(made.repeats))),
                Part::Plain { .. } | Part::Fabric { .. } | Part::Chart { .. } => {}
            }
            done += made.rows;
            before = made.stitches;
        }
        Self { changes, depth_cm: all * brief.gauge.row_height_cm() }
    }
}

fn uneven(brief: &Brief, a: &Traits, b: &Traits) -> f64 {
    let costs = &brief.costs;
    let depth = f64::midpoint(a.depth_cm, b.depth_cm);
    let changes = a.changes.iter().zip(&b.changes).map(|(a, b)| {
        costs.uneven_place * ((a.0 - b.0) * depth).powi(2) + costs.uneven_share * (a.1 - b.1).powi(2)
    });
    changes.sum()
}

type Listed<'a> = Vec<(&'a Choice, Traits)>;

/// How much more than its own best a size may cost, tried one after the other: a low limit cuts nearly
/// everything off, so that looking in vain costs little.
const ROOM: [f64; 9] = [0.5, 1.0, 2.0, 4.0, 8.0, 16.0, 32.0, 64.0, f64::INFINITY];

/// The same for the cheapest choice of a size, which lowers its limit itself.
const LEAST: [f64; 4] = [4.0, 16.0, 64.0, f64::INFINITY];

pub(super) fn solve(brief: &Brief) -> Result<Solution, Unsolved> {
    let plain = brief.parts.iter().filter(|part| matches!(part, Part::Plain { .. })).count();
    let ways = proportions(plain);
    let sizes = 0..brief.sizes.len();
    let least: Vec<Option<f64>> =
        sizes.clone().into_par_iter().map(|size| least_of(brief, size, &ways)).collect();
    let Some(least) = least.iter().copied().collect::<Option<Vec<f64>>>() else {
        let size = least.iter().position(Option::is_none).unwrap_or(0);
        return Err(Search::new(brief, size).why_none());
    };
    let floor: f64 = least.iter().sum();
    for room in ROOM {
        let choices = |room: f64| -> Vec<Choices> {
            let choices = |size: usize| Search::new(brief, size).all(&ways, least[size] + room);
            sizes.clone().into_par_iter().map(choices).collect()
        };
        let near = choices(room);
        let Some(found) = in_any_way(brief, ways.len(), &near, f64::INFINITY) else { continue };
        // What is found bounds how much worse than its own best a size can be in the optimum: lists up to
        // that bound hold the optimum.
        let bound = found.cost - floor;
        if bound <= room {
            let proven = near.iter().all(|choices| choices.whole);
            return Ok(Solution { proven, ..found });
        }
        let all = choices(bound);
        let proven = all.iter().all(|choices| choices.whole);
        let found = in_any_way(brief, ways.len(), &all, found.cost).unwrap_or(found);
        return Ok(Solution { proven, ..found });
    }
    // Each size has a choice, but in no proportion all have one.
    Err(Search::new(brief, brief.sizes.len() - 1).why_none())
}

/// What a size costs at the least in any proportion; `None` where nothing can be worn.
fn least_of(brief: &Brief, size: usize, ways: &[Proportion]) -> Option<f64> {
    LEAST.into_iter().find_map(|limit| Search::new(brief, size).least(ways, limit))
}

/// The cheapest of all proportions, if it costs no more than `most`.
fn in_any_way(brief: &Brief, ways: usize, choices: &[Choices], most: f64) -> Option<Solution> {
    let least = |way: usize| -> Option<f64> {
        choices.iter().map(|choices| choices.by_way[way].first().map(|choice| choice.own_cost)).sum()
    };
    let mut order: Vec<(f64, usize)> = (0..ways).filter_map(|way| Some((least(way)?, way))).collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0));
    let (mut most, mut found) = (most + 1e-9, None);
    for (least, way) in order {
        // Sizes together never cost less than each by itself.
        if least >= most {
            break;
        }
        if let Some(solution) = in_way(brief, way, choices, (least, most)) {
            most = solution.cost - 1e-9;
            found = Some(solution);
        }
    }
    found
}

/// The cheapest choices with one proportion that cost less than `most`; by themselves they cost `least`.
fn in_way(brief: &Brief, way: usize, choices: &[Choices], (least, most): (f64, f64)) -> Option<Solution> {
    let mut slack = (most - least).min(0.5);
    loop {
        let lists: Vec<Listed> = choices
            .iter()
            .enumerate()
            .map(|(size, choices)| near(brief, size, &choices.by_way[way], slack))
            .collect();
        let (cost, places) = cheapest(brief, &lists);
        let bound = cost.min(most) - least;
        if bound <= slack + 1e-9 {
            return (cost < most).then(|| solution(brief, &lists, &places, cost));
        }
        slack = bound.min(slack * 3.0);
    }
}

/// The choices that cost no more than `slack` over the cheapest.
fn near<'c>(brief: &Brief, size: usize, list: &'c [Choice], slack: f64) -> Listed<'c> {
    let own = list.first().map_or(0.0, |choice| choice.own_cost);
    let near = list.iter().take_while(|choice| choice.own_cost <= own + slack + 1e-9);
    near.map(|choice| (choice, Traits::of(brief, size, choice))).collect()
}

/// The cheapest chain, one choice of each size.
fn cheapest(brief: &Brief, lists: &[Listed]) -> (f64, Vec<usize>) {
    let mut sums: Vec<f64> = lists[0].iter().map(|(choice, _)| choice.own_cost).collect();
    let mut from: Vec<Vec<usize>> = Vec::new();
    for pair in lists.windows(2) {
        // Cheapest first, so that the scan ends where the sum alone costs more than the best pair.
        let mut order: Vec<usize> = (0..sums.len()).collect();
        order.sort_by(|a, b| sums[*a].total_cmp(&sums[*b]));
        let reach = |(_, traits): &(&Choice, Traits)| {
            let mut best = (f64::INFINITY, 0);
            for &a in &order {
                if sums[a] >= best.0 {
                    break;
                }
                let cost = sums[a] + uneven(brief, &pair[0][a].1, traits);
                if cost < best.0 {
                    best = (cost, a);
                }
            }
            best
        };
        let reached: Vec<(f64, usize)> = pair[1].iter().map(reach).collect();
        sums = reached.iter().zip(&pair[1]).map(|((cost, _), (choice, _))| cost + choice.own_cost).collect();
        from.push(reached.into_iter().map(|(_, a)| a).collect());
    }
    let by_cost = |a: &(usize, &f64), b: &(usize, &f64)| -> Ordering { a.1.total_cmp(b.1) };
    let (mut place, cost) = sums.iter().enumerate().min_by(by_cost).map_or((0, 0.0), |(i, cost)| (i, *cost));
    let mut places = vec![place];
    for back in from.iter().rev() {
        place = back[place];
        places.push(place);
    }
    places.reverse();
    (cost, places)
}

fn solution(brief: &Brief, lists: &[Listed], places: &[usize], cost: f64) -> Solution {
    let mut sizes: Vec<Choice> = Vec::with_capacity(places.len());
    let mut before: Option<&Traits> = None;
    for (list, place) in lists.iter().zip(places) {
        if let Some((choice, traits)) = list.get(*place) {
            let uneven_cost = before.map_or(0.0, |before| uneven(brief, before, traits));
            sizes.push(Choice { uneven_cost, ..(*choice).clone() });
            before = Some(traits);
        }
    }
    Solution { sizes, cost, proven: true }
}
