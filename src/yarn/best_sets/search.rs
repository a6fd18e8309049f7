//! Branch and bound over sets.
//!
//! A set begun is extended by each shade left, the most promising first; a shade that was tried is
//! not offered again, so every set is met once. What cannot beat the bar by its bound is dropped.
//!
//! The branches of the first free shade are searched side by side in waves. The bar rises between
//! waves and within a branch, never across branches at work, so the answer is the same on any
//! machine.

use super::pool::{Pool, Scored};
use super::scorer::{Begun, Outlook, Scorer, cut};
use rayon::prelude::*;
use std::sync::atomic::{AtomicBool, Ordering};

/// Branches in the first wave and in the largest; each wave is twice the one before. The first
/// branches raise the bar the most.
const FIRST_WAVE: usize = 2;
const LARGEST_WAVE: usize = 32;

/// Searches all sets; `improved` sees the pool after each wave. `false` when it was cancelled.
pub(super) fn run(
    scorer: &Scorer,
    mut pool: Pool,
    pinned: usize,
    cancel: &AtomicBool,
    improved: &mut dyn FnMut(&Pool),
) -> (Pool, bool) {
    let mut begun = Scorer::nothing();
    let mut hue_sum = scorer.hue().nothing();
    for shade in 0..pinned {
        let before = hue_sum.clone();
        scorer.hue().add(&before, shade, &mut hue_sum);
        begun = scorer.with(&begun, shade as u16);
    }
    let missing = scorer.size() - pinned;
    if missing == 0 {
        pool.add(scored(scorer, begun.members().to_vec()));
        improved(&pool);
        return (pool, true);
    }
    let list: Vec<u16> = (pinned as u16..scorer.len() as u16).collect();
    let list = promising(scorer, &begun, &list, missing, &hue_sum, f32::NEG_INFINITY);
    let (mut start, mut wave) = (0, FIRST_WAVE);
    while start < list.len() && !cancel.load(Ordering::Relaxed) {
        let end = (start + wave).min(list.len());
        let branches: Vec<Pool> = (start..end)
            .into_par_iter()
            .map(|first| {
                let sums = vec![hue_sum.clone(); missing];
                let mut branch = Branch { scorer, pool: pool.branch(), cancel, sums };
                branch.try_first(&begun, &list[first..], missing);
                branch.pool
            })
            .collect();
        for branch in branches {
            pool.merge(branch);
        }
        improved(&pool);
        (start, wave) = (end, (2 * wave).min(LARGEST_WAVE));
    }
    (pool, start >= list.len())
}

fn scored(scorer: &Scorer, mut members: Vec<u16>) -> Scored {
    members.sort_unstable();
    Scored { score: scorer.score(&members), members }
}

/// A shade to add, with the bound on all sets that it makes with the shades after it.
struct Step {
    shade: u16,
    bound: f32,
    /// What the shades after it can do.
    after: Outlook,
}

/// The shades whose bound reaches `bar`, the most promising first.
fn promising(
    scorer: &Scorer,
    begun: &Begun,
    list: &[u16],
    missing: usize,
    hue_sum: &[f32],
    bar: f32,
) -> Vec<Step> {
    let mut all = Outlook::nothing(missing);
    for shade in list {
        scorer.open(&mut all, begun, *shade);
    }
    let step = |shade: &u16| {
        let bound = scorer.bound(begun, *shade, &all, hue_sum, bar);
        Step { shade: *shade, bound, after: Outlook::nothing(missing) }
    };
    let mut steps: Vec<Step> = list.iter().map(step).filter(|step| step.bound >= bar).collect();
    steps.sort_unstable_by(|a, b| b.bound.total_cmp(&a.bound).then(a.shade.cmp(&b.shade)));
    let mut after = Outlook::nothing(missing);
    for step in steps.iter_mut().rev() {
        step.after = after;
        scorer.open(&mut after, begun, step.shade);
    }
    steps
}

/// One branch at work.
struct Branch<'a> {
    scorer: &'a Scorer<'a>,
    pool: Pool,
    cancel: &'a AtomicBool,
    /// Hue sums of the set begun, by how many shades are missing but one.
    sums: Vec<Vec<f32>>,
}

impl Branch<'_> {
    /// Searches the sets that add the first of the steps and `missing - 1` of those after it.
    fn try_first(&mut self, begun: &Begun, steps: &[Step], missing: usize) {
        let Some((first, others)) = steps.split_first() else { return };
        let bar = cut(self.pool.bar());
        let bound = self.scorer.bound(begun, first.shade, &first.after, &self.sums[missing - 1], bar);
        if bound < bar {
            return;
        }
        let more = self.scorer.with(begun, first.shade);
        if missing == 1 {
            self.pool.add(scored(self.scorer, more.members().to_vec()));
            return;
        }
        if let [.., shorter, longer] = &mut self.sums[..missing] {
            self.scorer.hue().add(longer, usize::from(first.shade), shorter);
        }
        let others: Vec<u16> = others.iter().map(|step| step.shade).collect();
        self.extend(&more, &others, missing - 1);
    }

    fn extend(&mut self, begun: &Begun, list: &[u16], missing: usize) {
        if list.len() < missing || self.cancel.load(Ordering::Relaxed) {
            return;
        }
        if missing == 1 {
            let outlook = Outlook::nothing(missing);
            for shade in list {
                let bar = cut(self.pool.bar());
                if self.scorer.bound(begun, *shade, &outlook, &self.sums[0], bar) >= bar {
                    self.pool.add(scored(self.scorer, self.scorer.with(begun, *shade).members().to_vec()));
                }
            }
            return;
        }
        let bar = cut(self.pool.bar());
        let steps = promising(self.scorer, begun, list, missing, &self.sums[missing - 1], bar);
        for start in 0..steps.len() {
            if steps[start].bound < cut(self.pool.bar()) {
                break;
            }
            self.try_first(begun, &steps[start..], missing);
        }
    }
}
