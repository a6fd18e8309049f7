//! Branch and bound over families of shades, then over the shades of each.
//!
//! Of sets with the same families only the best counts, so the search goes through families: a set of
//! families begun is extended by each family left, the most promising first; one that was tried is not
//! offered again, so every set of families is met once. Where its bound lets it in, the best shades of
//! those families are looked for (see `within`). What cannot beat the bar by its bound is dropped; so is
//! what can at most equal it and would come after it.
//!
//! The branches of the first family are searched side by side in waves. There is one right answer
//! (better score first, of equals the earlier families, of those the earlier shades), so it is the same
//! on any machine.

use super::bounds::{Begun, Bounds, Outlook, at_least};
use super::pool::{Bar, Key, Pool, Scored};
use super::scorer::{STEP, Scorer};
use super::within;
use rayon::prelude::*;
use std::sync::Mutex;
use std::sync::atomic::{AtomicBool, Ordering};

/// Branches in the first wave and in the largest; each wave is twice the one before. The first
/// branches raise the bar the most.
const FIRST_WAVE: usize = 2;
const LARGEST_WAVE: usize = 32;
/// Families that a first set is begun with.
const FIRSTS: usize = 64;

/// How a search ended.
pub(super) struct Ended {
    pub pool: Pool,
    /// What a set that was not looked at may score at most; `None` when there is none.
    pub open: Option<f64>,
}

/// Searches all sets; `improved` sees the pool after each wave, `decided` the share of all sets that
/// were looked at or ruled out.
pub(super) fn run(
    scorer: &Scorer,
    mut pool: Pool,
    pinned: usize,
    (cancel, decided): (&AtomicBool, &(dyn Fn(f64) + Sync)),
    improved: &mut dyn FnMut(&Pool),
) -> Ended {
    let bounds = scorer.by_family();
    let mut begun = Begun::NOTHING;
    let mut hue_sum = bounds.hue().nothing();
    for group in 0..pinned {
        let before = hue_sum.clone();
        bounds.hue().add(&before, group, &mut hue_sum);
        begun = bounds.with(&begun, group as u16);
    }
    let missing = scorer.size() - pinned;
    if missing == 0 {
        let key = scorer.families().key(begun.members().iter().copied());
        pool.add(scorer.scored(begun.members().to_vec(), key));
        improved(&pool);
        return Ended { pool, open: None };
    }
    let list: Vec<u16> = (pinned as u16..bounds.len() as u16).collect();
    let list = promising(bounds, &begun, &list, missing, &hue_sum, f32::NEG_INFINITY);
    let shares = Shares::new(bounds, &list, missing);
    decided(0.0);
    let firsts = Firsts::found(scorer, &list, (&begun, &hue_sum), cancel);
    improved(&firsts.beside(&pool));
    let done = Mutex::new(0.0);
    let mut open = f32::NEG_INFINITY;
    let (mut start, mut wave) = (0, FIRST_WAVE);
    while start < list.len() && !cancel.load(Ordering::Relaxed) {
        let end = (start + wave).min(list.len());
        let branches: Vec<(Pool, bool)> = (start..end)
            .into_par_iter()
            .map(|first| {
                let sums = vec![hue_sum.clone(); missing];
                let mut branch = Branch { scorer, bounds, pool: pool.branch(), cancel, sums };
                branch.try_first(&begun, &list[first..], missing);
                let whole = !cancel.load(Ordering::Relaxed);
                if whole {
                    // A thread that broke down has left a sound number behind.
                    let mut done = done.lock().unwrap_or_else(std::sync::PoisonError::into_inner);
                    *done += shares.of(first);
                    decided(*done);
                }
                (branch.pool, whole)
            })
            .collect();
        for ((branch, whole), step) in branches.into_iter().zip(&list[start..end]) {
            pool.merge(branch);
            if !whole {
                open = open.max(step.bound);
            }
        }
        improved(&firsts.beside(&pool));
        (start, wave) = (end, (2 * wave).min(LARGEST_WAVE));
    }
    // The most promising come first, so the next one stands for all that were not begun.
    open = list.get(start).map_or(open, |next| open.max(next.bound));
    let is_open = open > f32::NEG_INFINITY && open >= floor(pool.bar(), None);
    let pool = firsts.beside(&pool);
    Ended { pool, open: is_open.then(|| f64::from(open) + STEP) }
}

/// Sets that are begun with one of the most promising families each and go on with the most promising: soon
/// found and good, so that there is something to show long before the first branch is searched through.
struct Firsts(Vec<Scored>);

impl Firsts {
    fn found(
        scorer: &Scorer,
        steps: &[Step],
        (begun, hue_sum): (&Begun, &[f32]),
        cancel: &AtomicBool,
    ) -> Self {
        let (bounds, mut found) = (scorer.by_family(), Vec::<Scored>::new());
        let list: Vec<u16> = steps.iter().map(|step| step.group).collect();
        for first in list.iter().take(FIRSTS) {
            let (mut set, mut sum, mut next) = (*begun, hue_sum.to_vec(), Some(*first));
            while let Some(group) = next {
                let before = sum.clone();
                bounds.hue().add(&before, usize::from(group), &mut sum);
                set = bounds.with(&set, group);
                let missing = scorer.size() - set.len;
                let left = list.iter().copied().filter(|group| bounds.copies(*group) > taken(&set, *group));
                let left: Vec<u16> = if missing == 0 { Vec::new() } else { left.collect() };
                next = promising(bounds, &set, &left, missing, &sum, f32::NEG_INFINITY)
                    .first()
                    .map(|step| step.group);
            }
            let key = scorer.families().key(set.members().iter().copied());
            if set.len < scorer.size()
                || cancel.load(Ordering::Relaxed)
                || found.iter().any(|other| other.key == key)
            {
                continue;
            }
            if let Some(members) = within::best(scorer, set.members(), 0, cancel) {
                found.push(scorer.scored(members, key));
            }
        }
        Self(found)
    }

    /// A pool with these in it, too.
    fn beside(&self, pool: &Pool) -> Pool {
        let mut both = pool.clone();
        self.0.iter().filter(|set| !pool.has(&set.key)).for_each(|set| both.add(set.clone()));
        both
    }
}

/// How many of all sets lie in each branch.
struct Shares(Vec<f64>);

impl Shares {
    /// A branch holds the sets of the shades from its family on that have one of its family.
    fn new(bounds: &Bounds, steps: &[Step], missing: usize) -> Self {
        let mut after = 0.0;
        let mut shares: Vec<f64> = steps
            .iter()
            .rev()
            .map(|step| {
                let before = combinations(after, missing);
                after += f64::from(bounds.copies(step.group));
                combinations(after, missing) - before
            })
            .collect();
        shares.reverse();
        let all = combinations(after, missing).max(1.0);
        Self(shares.into_iter().map(|share| share / all).collect())
    }

    fn of(&self, branch: usize) -> f64 {
        self.0[branch]
    }
}

fn combinations(count: f64, size: usize) -> f64 {
    (0..size).map(|i| (count - i as f64).max(0.0) / (i + 1) as f64).product()
}

/// The bound that a set must reach to get over the bar: its score and more, or just its score where the
/// families come earlier than those of the bar.
fn floor(bar: Option<&Bar>, earliest: Option<&Key>) -> f32 {
    match (bar, earliest) {
        (None, _) => f32::NEG_INFINITY,
        (Some(bar), Some(key)) if *key >= bar.key => at_least(bar.score + 1),
        (Some(bar), _) => at_least(bar.score),
    }
}

/// A family to add, with the bound on all sets that it makes with the families after it.
struct Step {
    group: u16,
    bound: f32,
    /// What it and the families after it can do.
    after: Outlook,
}

/// The families whose bound reaches `bar`, the most promising first.
fn promising(
    bounds: &Bounds,
    begun: &Begun,
    list: &[u16],
    missing: usize,
    hue_sum: &[f32],
    bar: f32,
) -> Vec<Step> {
    let mut all = Outlook::nothing(missing);
    for group in list {
        bounds.open(&mut all, begun, *group);
    }
    let step = |group: &u16| {
        let bound = bounds.bound(begun, *group, &all, hue_sum, bar);
        Step { group: *group, bound, after: Outlook::nothing(missing) }
    };
    let mut steps: Vec<Step> = list.iter().map(step).filter(|step| step.bound >= bar).collect();
    steps.sort_unstable_by(|a, b| b.bound.total_cmp(&a.bound).then(a.group.cmp(&b.group)));
    let mut after = Outlook::nothing(missing);
    for step in steps.iter_mut().rev() {
        // A family of several shades may be taken again.
        if bounds.copies(step.group) > 1 {
            bounds.open(&mut after, begun, step.group);
            step.after = after;
        } else {
            step.after = after;
            bounds.open(&mut after, begun, step.group);
        }
    }
    steps
}

/// One branch at work.
struct Branch<'a> {
    scorer: &'a Scorer<'a>,
    bounds: &'a Bounds,
    pool: Pool,
    cancel: &'a AtomicBool,
    /// Hue sums of the set begun, by how many shades are missing but one.
    sums: Vec<Vec<f32>>,
}

impl Branch<'_> {
    /// Searches the sets that add the first of the steps and `missing - 1` of it and those after it.
    fn try_first(&mut self, begun: &Begun, steps: &[Step], missing: usize) {
        let Some((first, others)) = steps.split_first() else { return };
        let bar = floor(self.pool.bar(), None);
        let bound = self.bounds.bound(begun, first.group, &first.after, &self.sums[missing - 1], bar);
        if bound < bar {
            return;
        }
        let more = self.bounds.with(begun, first.group);
        if missing == 1 {
            self.within(&more, bound);
            return;
        }
        if let [.., shorter, longer] = &mut self.sums[..missing] {
            self.bounds.hue().add(longer, usize::from(first.group), shorter);
        }
        let again = self.bounds.copies(first.group) > taken(&more, first.group);
        let first = again.then_some(first.group);
        let list: Vec<u16> = first.into_iter().chain(others.iter().map(|step| step.group)).collect();
        self.extend(&more, &list, missing - 1);
    }

    fn extend(&mut self, begun: &Begun, list: &[u16], missing: usize) {
        let free: usize =
            list.iter().map(|group| usize::from(self.bounds.copies(*group) - taken(begun, *group))).sum();
        if free < missing || self.cancel.load(Ordering::Relaxed) {
            return;
        }
        // The earliest families that the list can give: what comes after the bar must beat its score.
        let earliest = self.pool.bar().map(|_| self.earliest(begun, list, missing));
        if missing == 1 {
            let outlook = Outlook::nothing(missing);
            for group in list {
                let bar = floor(self.pool.bar(), earliest.as_ref());
                let bound = self.bounds.bound(begun, *group, &outlook, &self.sums[0], bar);
                if bound >= bar {
                    self.within(&self.bounds.with(begun, *group), bound);
                }
            }
            return;
        }
        let bar = floor(self.pool.bar(), earliest.as_ref());
        let steps = promising(self.bounds, begun, list, missing, &self.sums[missing - 1], bar);
        for start in 0..steps.len() {
            if steps[start].bound < floor(self.pool.bar(), earliest.as_ref()) {
                break;
            }
            self.try_first(begun, &steps[start..], missing);
        }
    }

    /// The best shades of these families, when they get over the bar.
    fn within(&mut self, families: &Begun, bound: f32) {
        let key = self.scorer.families().key(families.members().iter().copied());
        if bound < floor(self.pool.bar(), Some(&key)) {
            return;
        }
        let least = self.pool.bar().map_or(0, |bar| bar.score + u32::from(key >= bar.key));
        if let Some(members) = within::best(self.scorer, families.members(), least, self.cancel) {
            self.pool.add(self.scorer.scored(members, key));
        }
    }

    fn earliest(&self, begun: &Begun, list: &[u16], missing: usize) -> Key {
        let families = self.scorer.families();
        let mut least: Vec<u16> = Vec::with_capacity(missing + 1);
        for group in list {
            let copies = self.bounds.copies(*group) - taken(begun, *group);
            let family = families.key([*group])[0];
            for _ in 0..usize::from(copies).min(missing) {
                let place = least.partition_point(|other| *other <= family);
                if place >= missing {
                    break;
                }
                least.insert(place, family);
                least.truncate(missing);
            }
        }
        least.extend(families.key(begun.members().iter().copied()));
        least.sort_unstable();
        least
    }
}

/// How often a set begun has a family.
fn taken(begun: &Begun, group: u16) -> u16 {
    begun.members().iter().filter(|member| **member == group).count() as u16
}
