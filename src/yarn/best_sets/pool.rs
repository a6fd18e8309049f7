//! The best sets found so far, and the different ones among them.

use super::SetRequest;
use std::cmp::Ordering;

/// Sets kept for each one asked for, to choose different ones from.
const KEPT_PER_SET: usize = 25;

/// Families of the members, rising.
pub(super) type Key = Vec<u16>;

/// The best set of its families, by its places in the search, rising, with its score in steps of
/// [`super::scorer::STEP`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Scored {
    pub score: u32,
    pub key: Key,
    pub members: Vec<u16>,
}

/// What a set must be better than.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) struct Bar {
    pub score: u32,
    pub key: Key,
}

impl Scored {
    /// Better first; of equals the one with the earlier families. No two sets of a search are equal in
    /// both, so that there is one right answer.
    fn order(&self, other: &Self) -> Ordering {
        other.score.cmp(&self.score).then_with(|| self.key.cmp(&other.key))
    }

    fn beats(&self, bar: &Bar) -> bool {
        self.score.cmp(&bar.score).then_with(|| bar.key.cmp(&self.key)).is_gt()
    }
}

/// The best sets, each of other families.
#[derive(Clone, Debug)]
pub(super) struct Pool {
    size: usize,
    wanted: usize,
    pinned: usize,
    best: Vec<Scored>,
    /// The worst kept set once the pool is full.
    bar: Option<Bar>,
}

impl Pool {
    pub fn new(request: &SetRequest, pinned: usize) -> Self {
        let SetRequest { size, best: wanted, .. } = *request;
        Self { size, wanted, pinned, best: Vec::new(), bar: None }
    }

    /// An empty pool of the same kind that takes only what this one would.
    pub fn branch(&self) -> Self {
        Self { best: Vec::new(), ..self.clone() }
    }

    const fn capacity(&self) -> usize {
        self.wanted * KEPT_PER_SET
    }

    /// Whether a set of these families is in.
    pub fn has(&self, key: &Key) -> bool {
        self.best.iter().any(|set| set.key == *key)
    }

    /// Sets must beat this to get in.
    pub const fn bar(&self) -> Option<&Bar> {
        self.bar.as_ref()
    }

    /// Takes a set in when it is among the best. Its families must not be in the pool yet.
    pub fn add(&mut self, set: Scored) {
        if self.bar.as_ref().is_some_and(|bar| !set.beats(bar)) {
            return;
        }
        self.best.push(set);
        // Sorting out is dear, but a bar that stands low is dearer.
        if self.best.len() >= self.capacity() + self.capacity().div_ceil(8) {
            self.sort_out();
        }
    }

    /// Keeps the best and raises the bar.
    pub fn sort_out(&mut self) {
        if self.best.len() < self.capacity() {
            return;
        }
        self.best.sort_unstable_by(Scored::order);
        self.best.truncate(self.capacity());
        self.bar = self.best.last().map(|set| Bar { score: set.score, key: set.key.clone() });
    }

    /// Takes in all sets of a branch.
    pub fn merge(&mut self, branch: Self) {
        branch.best.into_iter().for_each(|set| self.add(set));
        self.sort_out();
    }

    /// The different sets, best first (see [`super::best_sets`]).
    pub fn different(&self) -> Vec<Scored> {
        let mut sets: Vec<&Scored> = self.best.iter().collect();
        sets.sort_unstable_by(|a, b| a.order(b));
        sets.truncate(self.capacity());
        let free = self.size - self.pinned;
        let most_shared = self.pinned + if free >= 3 { free - 2 } else { free.saturating_sub(1) };
        let (mut taken, mut left_out): (Vec<&Scored>, Vec<&Scored>) = (Vec::new(), Vec::new());
        for set in sets {
            if taken.len() >= self.wanted {
                break;
            }
            if taken.iter().all(|other| shared(&set.key, &other.key) <= most_shared) {
                taken.push(set);
            } else {
                left_out.push(set);
            }
        }
        let missing = self.wanted - taken.len();
        let mut different: Vec<Scored> =
            taken.into_iter().chain(left_out.into_iter().take(missing)).cloned().collect();
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

    fn pool(wanted: usize, pinned: usize) -> Pool {
        Pool::new(&SetRequest::new(3, wanted, vec![]), pinned)
    }

    /// A set whose shades are all of families of their own.
    fn set(score: u32, members: &[u16]) -> Scored {
        Scored { score, key: members.to_vec(), members: members.to_vec() }
    }

    #[test]
    fn near_copies_give_way_to_different_sets() {
        let mut pool = pool(2, 0);
        for (score, members) in [(90, [0, 2, 3]), (88, [0, 2, 4]), (50, [4, 5, 6])] {
            pool.add(set(score, &members));
        }
        // 88 has all the families of 90 but one.
        assert_eq!(pool.different(), [set(90, &[0, 2, 3]), set(50, &[4, 5, 6])]);
    }

    #[test]
    fn when_too_few_are_different_the_best_of_the_rest_follow() {
        let mut pool = pool(3, 0);
        for (score, members) in [(90, [0, 2, 3]), (88, [0, 2, 4]), (70, [0, 3, 4]), (60, [1, 2, 3])] {
            pool.add(set(score, &members));
        }
        let scores: Vec<u32> = pool.different().iter().map(|set| set.score).collect();
        assert_eq!(scores, [90, 88, 70]);
    }

    #[test]
    fn pinned_shades_are_shared_by_all() {
        let mut pool = pool(2, 1);
        for (score, members) in [(90, [0, 1, 2]), (88, [0, 1, 3]), (70, [0, 3, 4])] {
            pool.add(set(score, &members));
        }
        let scores: Vec<u32> = pool.different().iter().map(|set| set.score).collect();
        assert_eq!(scores, [90, 88]);
    }

    #[test]
    fn the_bar_rises_and_the_best_stay_in_any_order() {
        let sets: Vec<Scored> =
            (0..190_u16).map(|i| set(u32::from(i * 37 % 191), &[i, i + 3, i + 7])).collect();
        let filled = |sets: &mut dyn Iterator<Item = &Scored>| {
            let mut pool = pool(2, 0);
            sets.for_each(|set| pool.add(set.clone()));
            pool.sort_out();
            pool
        };
        let (forth, back) = (filled(&mut sets.iter()), filled(&mut sets.iter().rev()));
        assert_eq!(forth.best, back.best);
        assert_eq!(forth.best.len(), 50);
        let bar = forth.bar().unwrap().clone();
        assert_eq!(sets.iter().filter(|set| set.beats(&bar)).count(), 49);
    }
}
