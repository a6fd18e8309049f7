//! The best sets found so far, and the different ones among them.

use super::SetRequest;
use crate::colour::PairTable;
use std::collections::HashMap;

/// Shades nearer than this (CIEDE2000, "similar") are one family.
const FAMILY: f32 = 5.0;
/// Sets kept for each one asked for, to choose different ones from.
const KEPT_PER_SET: usize = 25;

/// A set by its places in the search, rising, with its score in steps of [`super::scorer::STEP`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Scored {
    pub score: u32,
    pub members: Vec<u16>,
}

impl Scored {
    /// Better first; of equals the one with the earlier shades.
    fn order(&self, other: &Self) -> std::cmp::Ordering {
        other.score.cmp(&self.score).then_with(|| self.members.cmp(&other.members))
    }
}

/// Families of the members, rising.
type Key = Vec<u16>;

/// The best sets with different families.
#[derive(Clone, Debug)]
pub(super) struct Pool {
    families: std::sync::Arc<[u16]>,
    size: usize,
    wanted: usize,
    pinned: usize,
    best: HashMap<Key, Scored>,
    /// Score of the worst kept set once the pool is full.
    worst: Option<u32>,
}

/// The family of each shade: that of the nearest earlier shade that began one and is similar, else
/// a new one.
pub(super) fn families(table: &PairTable) -> std::sync::Arc<[u16]> {
    let mut founders: Vec<usize> = Vec::new();
    let family = |shade: usize| {
        let near = founders
            .iter()
            .enumerate()
            .filter_map(|(family, founder)| Some((table.pair(*founder, shade)?.difference, family)))
            .filter(|(difference, _)| *difference < FAMILY)
            .min_by(|a, b| a.0.total_cmp(&b.0));
        let family = near.map_or(founders.len(), |(_, family)| family);
        if near.is_none() {
            founders.push(shade);
        }
        family as u16
    };
    (0..table.len()).map(family).collect()
}

impl Pool {
    pub fn new(request: &SetRequest, families: std::sync::Arc<[u16]>, pinned: usize) -> Self {
        let SetRequest { size, best: wanted, .. } = *request;
        Self { families, size, wanted, pinned, best: HashMap::new(), worst: None }
    }

    /// An empty pool of the same kind that takes only what this one would.
    pub fn branch(&self) -> Self {
        Self { best: HashMap::new(), ..self.clone() }
    }

    const fn capacity(&self) -> usize {
        self.wanted * KEPT_PER_SET
    }

    /// Sets must score more than this to get in.
    pub const fn bar(&self) -> Option<u32> {
        self.worst
    }

    /// Takes a set in when it is among the best. Of equal sets the first to come stays at the bar.
    pub fn add(&mut self, set: Scored) {
        if self.worst.is_some_and(|worst| set.score <= worst) {
            return;
        }
        let mut key: Key = set.members.iter().map(|member| self.families[usize::from(*member)]).collect();
        key.sort_unstable();
        match self.best.entry(key) {
            std::collections::hash_map::Entry::Occupied(mut kept) => {
                if set.order(kept.get()).is_lt() {
                    kept.insert(set);
                }
            }
            std::collections::hash_map::Entry::Vacant(place) => {
                place.insert(set);
            }
        }
        // Sorting out is dear, so the pool may fill to twice its size first.
        if self.best.len() >= 2 * self.capacity() {
            self.sort_out();
        }
    }

    /// Keeps the best and raises the bar.
    pub fn sort_out(&mut self) {
        if self.best.len() < self.capacity() {
            return;
        }
        let mut sets: Vec<(Key, Scored)> = self.best.drain().collect();
        sets.sort_unstable_by(|a, b| a.1.order(&b.1));
        sets.truncate(self.capacity());
        let worst = sets.last().map(|(_, set)| set.score);
        self.worst = self.worst.max(worst);
        self.best = sets.into_iter().collect();
    }

    /// Takes in all sets of a branch.
    pub fn merge(&mut self, branch: Self) {
        let mut sets: Vec<Scored> = branch.best.into_values().collect();
        sets.sort_unstable_by(Scored::order);
        for set in sets {
            self.add(set);
        }
        self.sort_out();
    }

    /// The different sets, best first (see [`super::best_sets`]).
    pub fn different(&self) -> Vec<Scored> {
        let mut sets: Vec<(&Key, &Scored)> = self.best.iter().collect();
        sets.sort_unstable_by(|a, b| a.1.order(b.1));
        sets.truncate(self.capacity());
        let free = self.size - self.pinned;
        let most_shared = self.pinned + if free >= 3 { free - 2 } else { free.saturating_sub(1) };
        let (mut taken, mut left_out): (Vec<(&Key, &Scored)>, Vec<&Scored>) = (Vec::new(), Vec::new());
        for (key, set) in sets {
            if taken.len() >= self.wanted {
                break;
            }
            if taken.iter().all(|(other, _)| shared(key, other) <= most_shared) {
                taken.push((key, set));
            } else {
                left_out.push(set);
            }
        }
        let missing = self.wanted - taken.len();
        let taken = taken.into_iter().map(|(_, set)| set);
        let mut different: Vec<Scored> = taken.chain(left_out.into_iter().take(missing)).cloned().collect();
        different.sort_by(Scored::order);
        different
    }
}

/// How many families two sets share, each counted as often as both have it.
fn shared(a: &Key, b: &Key) -> usize {
    let (mut i, mut j, mut count) = (0, 0, 0);
    while let (Some(first), Some(second)) = (a.get(i), b.get(j)) {
        match first.cmp(second) {
            std::cmp::Ordering::Less => i += 1,
            std::cmp::Ordering::Greater => j += 1,
            std::cmp::Ordering::Equal => {
                count += 1;
                i += 1;
                j += 1;
            }
        }
    }
    count
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pool(wanted: usize, families: &[u16], pinned: usize) -> Pool {
        Pool::new(&SetRequest::new(3, wanted, vec![]), families.into(), pinned)
    }

    fn set(score: u32, members: &[u16]) -> Scored {
        Scored { score, members: members.to_vec() }
    }

    #[test]
    fn near_copies_give_way_to_different_sets() {
        // Shades 0 and 1 are one family.
        let mut pool = pool(2, &[0, 0, 2, 3, 4, 5, 6], 0);
        for (score, members) in [(90, [0, 2, 3]), (89, [1, 2, 3]), (88, [0, 2, 4]), (50, [4, 5, 6])] {
            pool.add(set(score, &members));
        }
        // 89 has the families of 90, 88 all but one of them.
        assert_eq!(pool.different(), [set(90, &[0, 2, 3]), set(50, &[4, 5, 6])]);
    }

    #[test]
    fn when_too_few_are_different_the_best_of_the_rest_follow() {
        let mut pool = pool(3, &[0, 1, 2, 3, 4], 0);
        for (score, members) in [(90, [0, 2, 3]), (88, [0, 2, 4]), (70, [0, 3, 4]), (60, [1, 2, 3])] {
            pool.add(set(score, &members));
        }
        let scores: Vec<u32> = pool.different().iter().map(|set| set.score).collect();
        assert_eq!(scores, [90, 88, 70]);
    }

    #[test]
    fn pinned_shades_are_shared_by_all() {
        let mut pool = pool(2, &[0, 1, 2, 3, 4], 1);
        for (score, members) in [(90, [0, 1, 2]), (88, [0, 1, 3]), (70, [0, 3, 4])] {
            pool.add(set(score, &members));
        }
        let scores: Vec<u32> = pool.different().iter().map(|set| set.score).collect();
        assert_eq!(scores, [90, 88]);
    }

    #[test]
    fn the_bar_rises_and_the_best_stay_in_any_order() {
        let families: Vec<u16> = (0..200).collect();
        let sets: Vec<Scored> =
            (0..190_u16).map(|i| set(u32::from(i * 37 % 191), &[i, i + 3, i + 7])).collect();
        let filled = |sets: &mut dyn Iterator<Item = &Scored>| {
            let mut pool = pool(2, &families, 0);
            sets.for_each(|set| pool.add(set.clone()));
            pool.sort_out();
            pool
        };
        let (forth, back) = (filled(&mut sets.iter()), filled(&mut sets.iter().rev()));
        assert_eq!(forth.best, back.best);
        assert_eq!(forth.best.len(), 50);
        let least = forth.best.values().map(|set| set.score).min();
        assert_eq!(forth.bar(), least);
        assert!(sets.iter().filter(|set| set.score > least.unwrap()).count() < 50);
    }
}
