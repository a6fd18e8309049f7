//! One choice for each size, so that the sizes are one design.

use std::cmp::Ordering;

use super::search::Search;
use super::{Brief, Choice, Part, Solution, Unsolved};

/// What is compared between neighbouring sizes: for each change of count its place in the depth and the
/// share it takes out; for each chart whether it is there.
struct Traits {
    changes: Vec<(f64, f64)>,
    charts: Vec<bool>,
    depth_cm: f64,
}

impl Traits {
    fn of(brief: &Brief, size: usize, choice: &Choice) -> Self {
        let all = choice.rows.len().max(1) as f64;
        let (mut done, mut before) = (0_u32, brief.sizes[size].stitches);
        let (mut changes, mut charts) = (Vec::new(), Vec::new());
        for (part, made) in brief.parts.iter().zip(&choice.made) {
            match part {
                Part::Change { .. } => {
                    let kept = f64::from(made.stitches) / f64::from(before.max(1));
                    changes.push((f64::from(done) / all, kept * 100.0));
                }
                Part::Chart { .. } => charts.push(made.rows > 0),
                Part::Wedges { .. } => changes.push((f64::from(done) / all, f64::from(made.repeats))),
                Part::Plain { .. } | Part::Fabric { .. } => {}
            }
            done += made.rows;
            before = made.stitches;
        }
        Self { changes, charts, depth_cm: all * brief.gauge.row_height_cm() }
    }
}

fn uneven(brief: &Brief, a: &Traits, b: &Traits) -> f64 {
    let costs = &brief.costs;
    let depth = f64::midpoint(a.depth_cm, b.depth_cm);
    let changes = a.changes.iter().zip(&b.changes).map(|(a, b)| {
        costs.uneven_place * ((a.0 - b.0) * depth).powi(2) + costs.uneven_share * (a.1 - b.1).powi(2)
    });
    let left_out = a.charts.iter().zip(&b.charts).filter(|(a, b)| a != b).count();
    changes.sum::<f64>() + costs.left_out * left_out as f64
}

type Listed = Vec<(Choice, Traits)>;

fn listed(brief: &Brief, size: usize, choices: Vec<Choice>) -> Listed {
    choices
        .into_iter()
        .map(|choice| (Traits::of(brief, size, &choice), choice))
        .map(|(t, c)| (c, t))
        .collect()
}

pub(super) fn solve(brief: &Brief) -> Result<Solution, Unsolved> {
    use rayon::prelude::*;
    let sizes = 0..brief.sizes.len();
    let best: Vec<Choice> = sizes
        .clone()
        .into_par_iter()
        .map(|size| Search::new(brief, size).best())
        .collect::<Result<_, _>>()?;
    let least: Vec<f64> = best.iter().map(|choice| choice.own_cost).collect();
    let sum: f64 = least.iter().sum();
    // Choices near each size's own best give a first answer. It bounds how much worse than its own best
    // a size can be in the optimum; lists up to that bound hold the optimum.
    let mut slack = 0.5;
    loop {
        let lists = lists(brief, &least, slack);
        let whole = lists.iter().all(|(_, whole)| *whole);
        let lists: Vec<Listed> = lists.into_iter().map(|(list, _)| list).collect();
        let (cost, places) = cheapest(brief, &lists);
        let bound = cost - sum;
        if bound <= slack + 1e-9 || !whole {
            return Ok(solution(brief, lists, &places, cost, whole));
        }
        slack = bound.min(slack * 3.0);
    }
}

fn lists(brief: &Brief, least: &[f64], slack: f64) -> Vec<(Listed, bool)> {
    use rayon::prelude::*;
    let list = |(size, least): (usize, &f64)| {
        let (choices, whole) = Search::new(brief, size).all(least + slack);
        (listed(brief, size, choices), whole)
    };
    least.par_iter().enumerate().map(list).collect()
}

/// The cheapest chain, one choice of each size.
fn cheapest(brief: &Brief, lists: &[Listed]) -> (f64, Vec<usize>) {
    let mut sums: Vec<f64> = lists[0].iter().map(|(choice, _)| choice.own_cost).collect();
    let mut from: Vec<Vec<usize>> = Vec::new();
    for pair in lists.windows(2) {
        // Cheapest first, so that the scan ends where the sum alone costs more than the best pair.
        let mut order: Vec<usize> = (0..sums.len()).collect();
        order.sort_by(|a, b| sums[*a].total_cmp(&sums[*b]));
        let reach = |(_, traits): &(Choice, Traits)| {
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

fn solution(brief: &Brief, lists: Vec<Listed>, places: &[usize], cost: f64, proven: bool) -> Solution {
    let mut sizes: Vec<Choice> = Vec::with_capacity(places.len());
    let mut before: Option<Traits> = None;
    for (list, place) in lists.into_iter().zip(places) {
        if let Some((mut choice, traits)) = list.into_iter().nth(*place) {
            choice.uneven_cost = before.as_ref().map_or(0.0, |before| uneven(brief, before, &traits));
            before = Some(traits);
            sizes.push(choice);
        }
    }
    Solution { sizes, cost, proven }
}
