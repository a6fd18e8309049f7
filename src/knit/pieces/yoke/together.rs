//! One choice for each size, so that the sizes are one design.
//!
//! For each size and each proportion of the plain rounds the choices up to a limit are listed. What is not
//! listed costs more than the limit by itself, whatever it is: it stands in the chain of sizes as one more
//! choice that costs the limit and differs from no neighbour. Where no chain through such a choice costs less
//! than the best chain of listed ones, that one is the optimum; else the limits that are too low are raised.

use rayon::prelude::*;

use super::search::{Found, Listed, Search};
use super::share::proportions;
use super::{Brief, Choice, Costs, Part, Solution, Unsolved};

/// How much more than its own best a choice may cost to be listed at first.
const ROOM: f64 = 4.0;

/// Choices of each size that a first chain is looked for in.
const QUICK: usize = 40;

/// From here on everything is listed.
const MOST_ROOM: f64 = 1e4;

/// How much the cheapest choice of a size may cost, tried one after the other; it lowers its limit itself.
const LEAST: [f64; 3] = [8.0, 64.0, f64::INFINITY];

/// Rounding alone must not be taken for a difference.
const HAIR: f64 = 1e-9;

pub(super) fn solve(brief: &Brief) -> Result<Solution, Unsolved> {
    let plain = brief.parts.iter().filter(|part| matches!(part, Part::Plain { .. })).count();
    let ways = proportions(plain);
    let sizes: Vec<Search> =
        (0..brief.sizes.len()).into_par_iter().map(|size| Search::new(brief, size, &ways)).collect();
    let least_of = |size: &Search| LEAST.into_iter().find_map(|limit| size.least(limit));
    let least: Vec<Option<f64>> = sizes.par_iter().map(least_of).collect();
    let mut limits: Vec<Vec<f64>> = Vec::with_capacity(sizes.len());
    for (size, least) in sizes.iter().zip(&least) {
        let Some(least) = least else { return Err(size.why_none()) };
        limits.push(vec![least + ROOM; ways.len()]);
    }
    let mut best: Option<Solution> = None;
    loop {
        let listed: Vec<Listed> =
            sizes.par_iter().zip(&limits).map(|(size, limits)| size.all(limits)).collect();
        let most = best.as_ref().map_or(f64::INFINITY, |best| best.cost);
        let quick = |way: usize| quick(&sizes, &listed, way);
        let most = (0..ways.len()).into_par_iter().map(quick).reduce(|| most, f64::min) + HAIR;
        let in_way = |way: usize| Chains::in_way(&sizes, &listed, &limits, way, most);
        let chains: Vec<Chains> = (0..ways.len()).into_par_iter().map(in_way).collect();
        for (way, chains) in chains.iter().enumerate() {
            if best.as_ref().is_none_or(|best| chains.cost < best.cost) && chains.cost.is_finite() {
                best = Some(laid_out(&sizes, &listed, way, chains));
            }
        }
        let most = best.as_ref().map_or(f64::INFINITY, |best| best.cost);
        let whole = listed.iter().all(|listed| listed.whole);
        if !raise(&mut limits, &least, &chains, most) || !whole {
            // Each size may have a choice, and yet in no proportion all have one.
            let none = || sizes.last().map_or(Unsolved::Empty, Search::why_none);
            return best.map(|best| Solution { proven: whole, ..best }).ok_or_else(none);
        }
    }
}

/// Raises the limits beyond which a chain might still cost less than `most`; whether there was one.
fn raise(limits: &mut [Vec<f64>], least: &[Option<f64>], ways: &[Chains], most: f64) -> bool {
    let mut open = false;
    for (size, (limits, least)) in limits.iter_mut().zip(least).enumerate() {
        let least = least.unwrap_or(0.0);
        for (limit, way) in limits.iter_mut().zip(ways) {
            let missing = most - way.beyond[size];
            if missing.partial_cmp(&HAIR).is_none_or(std::cmp::Ordering::is_le) || limit.is_infinite() {
                continue;
            }
            open = true;
            let room = *limit - least;
            let room = (room + missing + HAIR).min(2.0 * room);
            *limit = if room > MOST_ROOM { f64::INFINITY } else { least + room };
        }
    }
    open
}

fn laid_out(sizes: &[Search], listed: &[Listed], way: usize, chains: &Chains) -> Solution {
    let mut all: Vec<Choice> = Vec::with_capacity(sizes.len());
    let mut before: Option<Column> = None;
    for ((size, listed), place) in sizes.iter().zip(listed).zip(&chains.places) {
        let Some(found) = listed.by_way[way].get(*place) else { continue };
        let column = Column::of(size, listed, std::slice::from_ref(found));
        let costs = &size.brief.costs;
        let uneven_cost = before.as_ref().map_or(0.0, |before| uneven(costs, (before, 0), (&column, 0)));
        all.extend(size.choice(listed, *found).map(|choice| Choice { uneven_cost, ..choice }));
        before = Some(column);
    }
    Solution { sizes: all, cost: chains.cost, proven: false }
}

/// The listed choices of one size with what is compared between sizes, the cheapest first.
struct Column {
    own: Vec<f64>,
    depth_cm: Vec<f64>,
    /// For each choice place and share of each change, one after another.
    marks: Vec<f64>,
    each: usize,
}

impl Column {
    fn of(size: &Search, listed: &Listed, found: &[Found]) -> Self {
        let mut marks = Vec::new();
        let depth_cm: Vec<f64> = found.iter().map(|found| size.marks(listed, *found, &mut marks)).collect();
        let each = marks.len() / found.len().max(1);
        Self { own: found.iter().map(|found| found.own).collect(), depth_cm, marks, each }
    }

    fn marks(&self, place: usize) -> &[f64] {
        &self.marks[place * self.each..(place + 1) * self.each]
    }
}

/// What two choices of neighbouring sizes cost for differing.
fn uneven(costs: &Costs, (a, i): (&Column, usize), (b, j): (&Column, usize)) -> f64 {
    let depth = f64::midpoint(a.depth_cm[i], b.depth_cm[j]);
    let (mut place, mut share) = (0.0, 0.0);
    for (a, b) in a.marks(i).chunks_exact(2).zip(b.marks(j).chunks_exact(2)) {
        place += (a[0] - b[0]).powi(2);
        share += (a[1] - b[1]).powi(2);
    }
    costs.uneven_place * place * depth * depth + costs.uneven_share * share
}

/// The chains of all sizes in one proportion.
struct Chains {
    /// What the best of listed choices costs; infinite for none.
    cost: f64,
    /// Its choices, by their places in the lists.
    places: Vec<usize>,
    /// For each size what a chain costs at the least whose choice of this size is not listed.
    beyond: Vec<f64>,
}

impl Chains {
    /// Those that cost no more than `most`.
    fn in_way(sizes: &[Search], listed: &[Listed], limits: &[Vec<f64>], way: usize, most: f64) -> Self {
        let count = sizes.len();
        let limit = |size: usize| limits[size][way];
        let least = |size: usize| listed[size].by_way[way].first().map_or(limit(size), |found| found.own);
        let none = Self { cost: f64::INFINITY, places: Vec::new(), beyond: vec![f64::INFINITY; count] };
        let spare = most - (0..count).map(least).sum::<f64>();
        if spare < 0.0 {
            return none;
        }
        let costs = &sizes[0].brief.costs;
        // Sizes together never cost less than each by itself: what costs more than is to spare is in no chain.
        let column = |size: usize| {
            let found = &listed[size].by_way[way];
            let near = found.partition_point(|found| found.own <= least(size) + spare + HAIR);
            Column::of(&sizes[size], &listed[size], &found[..near])
        };
        let columns: Vec<Column> = (0..count).map(column).collect();
        // What the sizes up to each and from each on cost at the least, whether listed or not.
        let mut to = vec![0.0; count + 1];
        let mut ahead = vec![0.0; count + 1];
        let mut firsts: Vec<Vec<f64>> = Vec::with_capacity(count);
        for size in 0..count {
            let mut sums = columns[size].own.clone();
            if let Some(before) = firsts.last() {
                let unlisted = to[size - 1] + limit(size - 1);
                let reached = reach(costs, (&columns[size - 1], before), &columns[size], unlisted);
                sums.iter_mut().zip(reached).for_each(|(sum, (reached, _))| *sum += reached);
            }
            to[size + 1] = sums.iter().copied().fold(to[size] + limit(size), f64::min);
            firsts.push(sums);
        }
        if to[count] > most {
            return none;
        }
        let mut lasts: Vec<Vec<f64>> = vec![Vec::new(); count];
        for size in (0..count).rev() {
            let mut sums = columns[size].own.clone();
            if size + 1 < count {
                let unlisted = ahead[size + 2] + limit(size + 1);
                let reached = reach(costs, (&columns[size + 1], &lasts[size + 1]), &columns[size], unlisted);
                sums.iter_mut().zip(reached).for_each(|(sum, (reached, _))| *sum += reached);
            }
            ahead[size] = sums.iter().copied().fold(ahead[size + 1] + limit(size), f64::min);
            lasts[size] = sums;
        }
        let beyond = (0..count).map(|size| to[size] + limit(size) + ahead[size + 1]).collect();
        let worth = |size: usize, place: usize| {
            firsts[size][place] + lasts[size][place] - columns[size].own[place] <= most + HAIR
        };
        let (cost, places) = cheapest(costs, &columns, worth);
        Self { cost, places, beyond }
    }
}

/// What the best chain of the cheapest few choices costs.
fn quick(sizes: &[Search], listed: &[Listed], way: usize) -> f64 {
    let column = |(size, listed): (&Search, &Listed)| {
        let found = &listed.by_way[way];
        Column::of(size, listed, &found[..found.len().min(QUICK)])
    };
    let columns: Vec<Column> = sizes.iter().zip(listed).map(column).collect();
    cheapest(&sizes[0].brief.costs, &columns, |_, _| true).0
}

/// For each choice of `to` the cheapest way to it from the sums of the choices before it, and from which; not more
/// than `unlisted`, with the place after the last.
fn reach(costs: &Costs, (from, sums): (&Column, &[f64]), to: &Column, unlisted: f64) -> Vec<(f64, usize)> {
    // Cheapest first, so that the scan ends where the sum alone costs more than the best pair.
    let mut order: Vec<usize> = (0..sums.len()).filter(|a| sums[*a] < unlisted).collect();
    order.sort_by(|a, b| sums[*a].total_cmp(&sums[*b]));
    let reached = |b: usize| {
        let mut best = (unlisted, sums.len());
        for &a in &order {
            if sums[a] >= best.0 {
                break;
            }
            let cost = sums[a] + uneven(costs, (from, a), (to, b));
            if cost < best.0 {
                best = (cost, a);
            }
        }
        best
    };
    (0..to.own.len()).map(reached).collect()
}

/// The cheapest chain of choices that are worth it, one of each size.
fn cheapest(costs: &Costs, columns: &[Column], worth: impl Fn(usize, usize) -> bool) -> (f64, Vec<usize>) {
    let mut sums: Vec<f64> = Vec::new();
    let mut from: Vec<Vec<usize>> = Vec::new();
    for (size, column) in columns.iter().enumerate() {
        let mut here = column.own.clone();
        if size > 0 {
            let reached = reach(costs, (&columns[size - 1], &sums), column, f64::INFINITY);
            here.iter_mut().zip(&reached).for_each(|(sum, (reached, _))| *sum += reached);
            from.push(reached.into_iter().map(|(_, place)| place).collect());
        }
        for (place, sum) in here.iter_mut().enumerate() {
            if !worth(size, place) {
                *sum = f64::INFINITY;
            }
        }
        sums = here;
    }
    let least = sums.iter().copied().enumerate().min_by(|a, b| a.1.total_cmp(&b.1));
    let Some((mut place, cost)) = least.filter(|(_, cost)| cost.is_finite()) else {
        return (f64::INFINITY, Vec::new());
    };
    let mut places = vec![place];
    for back in from.iter().rev() {
        place = back[place];
        places.push(place);
    }
    places.reverse();
    (cost, places)
}
