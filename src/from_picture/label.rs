//! Which stitch takes which colour: near the picture, tidy, and with no more colours in a row than wanted.
//!
//! What is made small is the sum over all stitches of the squared Oklab distance to their colour, plus a
//! price for every edge between two stitches of unlike colours, by its length (the Potts model: Potts 1952,
//! Proc. Camb. Phil. Soc. 48:106). Line by line, rows and columns in turn, the best colours of a whole line
//! are found exactly by dynamic programming while its neighbours stand still, until no line can be made
//! better. That is far stronger than changing single stitches (iterated conditional modes, Besag 1986), and
//! never makes anything worse; it is not proven to be the very best chart, only the best row by row.
//!
//! With a limit on the colours of a row, each row tries every set of that many colours, those first that
//! could be best, and stops when no other can: exact for the row.

use rayon::prelude::*;

/// Sets of colours that are all tried for a row: 12 colours in sets of 6 are 924.
pub const MOST_ENUMERATED: usize = 2_000;
/// Rounds over all lines at most; two to five are usual.
const MOST_ROUNDS: usize = 12;

/// The price of an edge between unlike stitches, in squares of Oklab.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Strength {
    /// Beside each other.
    across: f32,
    /// Above each other.
    up: f32,
}

impl Strength {
    /// Of a slider of `0..=100`. At 100 a lone stitch stays only if it is more than 0.4 nearer to its own
    /// colour than to that around it (our judgement, on photographs of 100 to 200 stitches).
    pub(super) fn of(tidy: f64, aspect: f64) -> Self {
        let part = (tidy / 100.0).clamp(0.0, 1.0);
        let price = 0.04 * part * part;
        // The edge between stitches beside each other is as long as a stitch is high; their mean is 1.
        let (high, wide) = (2.0 / (1.0 + aspect), 2.0 * aspect / (1.0 + aspect));
        Self { across: (price * high) as f32, up: (price * wide) as f32 }
    }

    fn is_none(self) -> bool {
        self.across <= 0.0 && self.up <= 0.0
    }
}

/// What is to be coloured.
pub(super) struct Task<'a> {
    /// What each stitch costs in each colour, stitch by stitch.
    pub unary: &'a [f32],
    /// How many colours there are.
    pub colours: usize,
    /// Stitches across and up.
    pub size: (usize, usize),
    /// The price of edges.
    pub strength: Strength,
}

/// What each stitch costs in each colour.
pub(super) fn distances(cells: &[[f32; 3]], colours: &[[f32; 3]]) -> Vec<f32> {
    let mut all = vec![0.0; cells.len() * colours.len()];
    all.par_chunks_mut(colours.len().max(1)).zip(cells).for_each(|(costs, cell)| {
        for (cost, colour) in costs.iter_mut().zip(colours) {
            *cost = super::distance_squared(*cell, *colour);
        }
    });
    all
}

/// The nearest colour of each stitch.
fn nearest(task: &Task<'_>) -> Vec<u8> {
    let least = |costs: &[f32]| {
        let all = costs.iter().enumerate();
        all.min_by(|a, b| a.1.total_cmp(b.1)).map_or(0, |(label, _)| label as u8)
    };
    task.unary.par_chunks(task.colours).map(least).collect()
}

/// A row or column: where it begins and how far apart its stitches are.
#[derive(Clone, Copy)]
struct Line {
    start: usize,
    step: usize,
    length: usize,
    /// From a stitch to its neighbour in the line before; the same to the one after.
    aside: usize,
    /// Whether there is a line before and one after.
    before: bool,
    after: bool,
}

impl Line {
    fn row(task: &Task<'_>, y: usize) -> Self {
        let (width, height) = task.size;
        let (before, after) = (y > 0, y + 1 < height);
        Self { start: y * width, step: 1, length: width, aside: width, before, after }
    }

    fn column(task: &Task<'_>, x: usize) -> Self {
        let (width, height) = task.size;
        let (before, after) = (x > 0, x + 1 < width);
        Self { start: x, step: width, length: height, aside: 1, before, after }
    }

    fn places(self) -> impl Iterator<Item = usize> {
        (0..self.length).map(move |at| self.start + at * self.step)
    }
}

/// What each stitch of a line costs in each colour, its neighbours beside the line counted in.
fn line_costs(task: &Task<'_>, labels: &[u8], line: Line, price: f32) -> Vec<f32> {
    let k = task.colours;
    let mut costs = Vec::with_capacity(line.length * k);
    for at in line.places() {
        let start = costs.len();
        costs.extend_from_slice(&task.unary[at * k..(at + 1) * k]);
        let own = &mut costs[start..];
        let mut unlike = |neighbour: u8| {
            for cost in own.iter_mut() {
                *cost += price;
            }
            own[usize::from(neighbour)] -= price;
        };
        if line.before {
            unlike(labels[at - line.aside]);
        }
        if line.after {
            unlike(labels[at + line.aside]);
        }
    }
    costs
}

/// The colours of a line that cost least, out of `allowed`, and what they cost.
fn best_line(costs: &[f32], k: usize, allowed: &[u8], price: f32) -> (f32, Vec<u8>) {
    let n = costs.len() / k;
    // For each stitch and allowed colour, the allowed colour before it on the cheapest way.
    let mut came: Vec<u8> = Vec::with_capacity(n * allowed.len());
    let mut sums = vec![0.0_f32; allowed.len()];
    for (at, own) in costs.chunks_exact(k).enumerate() {
        let (best, least) = cheapest(&sums);
        for (place, label) in allowed.iter().enumerate() {
            let stay = sums[place];
            let change = least + price;
            let changes = at > 0 && change < stay;
            came.push(if changes { best as u8 } else { place as u8 });
            sums[place] = if changes { change } else { stay } + own[usize::from(*label)];
        }
    }
    let (mut place, least) = cheapest(&sums);
    let mut labels = vec![0; n];
    for at in (0..n).rev() {
        labels[at] = allowed[place];
        place = usize::from(came[at * allowed.len() + place]);
    }
    (least, labels)
}

fn cheapest(sums: &[f32]) -> (usize, f32) {
    let all = sums.iter().copied().enumerate();
    all.min_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((0, 0.0))
}

/// Every second line from `first`, each made as good as it can be with its neighbours as they stand;
/// whether any changed.
fn sweep(
    labels: &mut [u8],
    lines: impl Iterator<Item = Line>,
    solve: impl Fn(&[u8], Line) -> Vec<u8> + Sync,
) -> bool {
    let lines: Vec<Line> = lines.collect();
    let new: Vec<Vec<u8>> = lines.par_iter().map(|line| solve(labels, *line)).collect();
    let mut changed = false;
    for (line, new) in lines.iter().zip(new) {
        for (at, label) in line.places().zip(new) {
            changed |= labels[at] != label;
            labels[at] = label;
        }
    }
    changed
}

/// The tidy colours of all stitches.
pub(super) fn tidied(task: &Task<'_>) -> Vec<u8> {
    let mut labels = nearest(task);
    if task.strength.is_none() || task.colours < 2 {
        return labels;
    }
    let all: Vec<u8> = (0..task.colours as u8).collect();
    let (width, height) = task.size;
    let Strength { across, up } = task.strength;
    let rows =
        |labels: &[u8], line| best_line(&line_costs(task, labels, line, up), task.colours, &all, across).1;
    let columns =
        |labels: &[u8], line| best_line(&line_costs(task, labels, line, across), task.colours, &all, up).1;
    for _ in 0..MOST_ROUNDS {
        let mut changed = false;
        for first in 0..2 {
            changed |= sweep(&mut labels, (first..height).step_by(2).map(|y| Line::row(task, y)), rows);
        }
        for first in 0..2 {
            changed |= sweep(&mut labels, (first..width).step_by(2).map(|x| Line::column(task, x)), columns);
        }
        if !changed {
            break;
        }
    }
    labels
}

/// The tidy colours of all stitches with at most `most` in a row, and whether every row is proven best.
pub(super) fn per_row(task: &Task<'_>, most: usize) -> (Vec<u8>, bool) {
    let most = most.max(1);
    if most >= task.colours {
        return (tidied(task), true);
    }
    let mut labels = tidied(task);
    let sets = sets(task.colours, most);
    let Strength { across, up } = task.strength;
    let rows = |labels: &[u8], line| {
        let costs = line_costs(task, labels, line, up);
        match &sets {
            Some(sets) => best_of_sets(&costs, task.colours, sets, across),
            None => exchanged(&costs, task.colours, most, across),
        }
    };
    for _ in 0..MOST_ROUNDS {
        let mut changed = false;
        for first in 0..2 {
            let lines = (first..task.size.1).step_by(2).map(|y| Line::row(task, y));
            changed |= sweep(&mut labels, lines, rows);
        }
        if !changed || task.strength.is_none() {
            break;
        }
    }
    (labels, sets.is_some())
}

/// Every set of `most` out of `colours`; `None` when there are too many.
fn sets(colours: usize, most: usize) -> Option<Vec<Vec<u8>>> {
    let mut all = vec![Vec::new()];
    for left in (0..most).rev() {
        let mut longer = Vec::new();
        for set in &all {
            let from = set.last().map_or(0, |last: &u8| usize::from(*last) + 1);
            for colour in from..colours - left {
                longer.push([&set[..], &[colour as u8]].concat());
            }
        }
        if longer.len() > MOST_ENUMERATED {
            return None;
        }
        all = longer;
    }
    Some(all)
}

/// What a row costs in a set of colours if edges cost nothing: no less than what it really costs.
fn least_cost(costs: &[f32], k: usize, set: &[u8]) -> f32 {
    let least = |own: &[f32]| set.iter().map(|label| own[usize::from(*label)]).fold(f32::MAX, f32::min);
    costs.chunks_exact(k).map(least).sum()
}

/// The best row over all sets.
fn best_of_sets(costs: &[f32], k: usize, sets: &[Vec<u8>], price: f32) -> Vec<u8> {
    let mut order: Vec<(f32, usize)> =
        sets.iter().enumerate().map(|(number, set)| (least_cost(costs, k, set), number)).collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
    let mut best: Option<(f32, Vec<u8>)> = None;
    for (least, number) in order {
        if best.as_ref().is_some_and(|(cost, _)| least >= *cost) {
            break;
        }
        let found = best_line(costs, k, &sets[number], price);
        if best.as_ref().is_none_or(|(cost, _)| found.0 < *cost) {
            best = Some(found);
        }
    }
    best.map_or_else(Vec::new, |(_, labels)| labels)
}

/// A good row with too many colours to try every set: the colour that helps most, one after the other, then
/// single exchanges as long as they help.
fn exchanged(costs: &[f32], k: usize, most: usize, price: f32) -> Vec<u8> {
    let mut set: Vec<u8> = Vec::new();
    while set.len() < most {
        let free = (0..k as u8).filter(|colour| !set.contains(colour));
        let with = |colour: u8| least_cost(costs, k, &[&set[..], &[colour]].concat());
        let next = free.map(|colour| (with(colour), colour)).min_by(|a, b| a.0.total_cmp(&b.0));
        let Some((_, next)) = next else { break };
        set.push(next);
    }
    let mut cost = least_cost(costs, k, &set);
    let mut place = 0;
    let mut tried = 0;
    while tried < set.len() {
        let old = set[place];
        for colour in 0..k as u8 {
            if set.contains(&colour) {
                continue;
            }
            let kept = std::mem::replace(&mut set[place], colour);
            let now = least_cost(costs, k, &set);
            if now < cost {
                cost = now;
            } else {
                set[place] = kept;
            }
        }
        tried = if set[place] == old { tried + 1 } else { 0 };
        place = (place + 1) % set.len();
    }
    set.sort_unstable();
    best_line(costs, k, &set, price).1
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Costs in hundredths from a seed.
    fn costs(cells: usize, k: usize, seed: usize) -> Vec<f32> {
        (0..cells * k).map(|n| ((n * n * 31 + n * 17 + seed * 101) % 97) as f32 / 97.0).collect()
    }

    fn energy(costs: &[f32], k: usize, price: f32, labels: &[u8]) -> f32 {
        let own: f32 = labels.iter().enumerate().map(|(at, l)| costs[at * k + usize::from(*l)]).sum();
        own + price * labels.windows(2).filter(|pair| pair[0] != pair[1]).count() as f32
    }

    /// Every way to colour `n` stitches with `k` colours.
    fn every(n: usize, k: usize) -> impl Iterator<Item = Vec<u8>> {
        (0..k.pow(n as u32)).map(move |mut number| {
            let mut digit = || {
                let digit = number % k;
                number /= k;
                digit as u8
            };
            (0..n).map(|_| digit()).collect()
        })
    }

    #[test]
    fn a_line_is_the_best_of_all_lines() {
        for seed in 0..40 {
            let costs = costs(6, 3, seed);
            for price in [0.0, 0.05, 0.3] {
                let (cost, labels) = best_line(&costs, 3, &[0, 1, 2], price);
                let least = every(6, 3).map(|l| energy(&costs, 3, price, &l)).fold(f32::MAX, f32::min);
                assert!((cost - least).abs() < 1e-5, "{seed} {price}: {cost} {least}");
                assert!((energy(&costs, 3, price, &labels) - least).abs() < 1e-5);
            }
        }
    }

    #[test]
    fn a_row_of_few_colours_is_the_best_of_all_such_rows() {
        let colours = |labels: &[u8]| (0..4_u8).filter(|colour| labels.contains(colour)).count();
        for seed in 0..25 {
            let costs = costs(5, 4, seed);
            for price in [0.0, 0.1] {
                let found = best_of_sets(&costs, 4, &sets(4, 2).unwrap(), price);
                assert!(colours(&found) <= 2);
                let all = every(5, 4).filter(|labels| colours(labels) <= 2);
                let least = all.map(|l| energy(&costs, 4, price, &l)).fold(f32::MAX, f32::min);
                assert!((energy(&costs, 4, price, &found) - least).abs() < 1e-5, "{seed} {price}");
            }
        }
    }

    #[test]
    fn tidying_never_makes_the_whole_worse() {
        let (width, height, k) = (9, 7, 4);
        let whole = |costs: &[f32], labels: &[u8], strength: Strength| {
            let own: f32 = labels.iter().enumerate().map(|(at, l)| costs[at * k + usize::from(*l)]).sum();
            let unlike = |a: usize, b: usize| f32::from(u8::from(labels[a] != labels[b]));
            let mut edges = 0.0;
            for at in 0..width * height {
                if at % width + 1 < width {
                    edges += strength.across * unlike(at, at + 1);
                }
                if at + width < width * height {
                    edges += strength.up * unlike(at, at + width);
                }
            }
            own + edges
        };
        for seed in 0..10 {
            let costs = costs(width * height, k, seed);
            let strength = Strength { across: 0.15, up: 0.1 };
            let task = Task { unary: &costs, colours: k, size: (width, height), strength };
            let labels = tidied(&task);
            assert!(whole(&costs, &labels, strength) <= whole(&costs, &nearest(&task), strength) + 1e-4);
            // No single stitch can be bettered: what changing them one by one ends in.
            for at in 0..labels.len() {
                for label in 0..k as u8 {
                    let mut other = labels.clone();
                    other[at] = label;
                    assert!(whole(&costs, &other, strength) >= whole(&costs, &labels, strength) - 1e-4);
                }
            }
            let (rows, exact) = per_row(&task, 2);
            assert!(exact);
            for row in rows.chunks(width) {
                assert!((0..k as u8).filter(|colour| row.contains(colour)).count() <= 2);
            }
        }
    }

    #[test]
    fn too_many_sets_are_exchanged_instead() {
        assert_eq!(sets(12, 6).unwrap().len(), 924);
        assert!(sets(30, 6).is_none());
        let costs = costs(40, 30, 3);
        let row = exchanged(&costs, 30, 6, 0.0);
        assert!((0..30_u8).filter(|colour| row.contains(colour)).count() <= 6);
    }
}
