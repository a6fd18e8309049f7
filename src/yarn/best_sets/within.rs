//! The best shades of given families.
//!
//! A shade that is taken narrows the choice for the places after it to those that can still reach the best
//! so far beside it: on a ramp of shades that is a short piece for each, so that hardly any set is tried.

use super::bounds::{Begun, Outlook, PairParts, Reach, at_least};
use super::scorer::Scorer;
use std::sync::atomic::{AtomicBool, Ordering};

/// The best set with one shade of each of these groups (two of a group that is named twice, and so on)
/// that scores `least` steps or more; of equal ones that with the earlier shades. `None` when there is
/// none. Once `cancel` is set, the best so far.
pub(super) fn best(scorer: &Scorer, groups: &[u16], least: u32, cancel: &AtomicBool) -> Option<Vec<u16>> {
    let mut slots = groups.to_vec();
    // The narrow choices first: fewer sets are begun. Equal groups stay together.
    slots.sort_by_key(|group| (scorer.by_family().copies(*group), *group));
    let members: Vec<&[u16]> = slots.iter().map(|group| scorer.families().members(*group)).collect();
    if members.iter().all(|members| members.len() == 1) {
        let set: Vec<u16> = members.iter().map(|members| members[0]).collect();
        return (scorer.score(&rising(set.clone())) >= least).then(|| rising(set));
    }
    let sums = vec![scorer.by_shade().hue().nothing(); slots.len()];
    let mut open = vec![vec![Vec::new(); slots.len()]; slots.len()];
    open[0] = members.iter().map(|members| members.to_vec()).collect();
    let mut search = Within { scorer, slots: &slots, least, found: None, sums, open, cancel };
    let value = scorer.by_shade().value_among(members.iter().copied());
    search.extend(&Begun::NOTHING, 0, PairParts { value, ..PairParts::WIDEST });
    search.found
}

fn rising(mut set: Vec<u16>) -> Vec<u16> {
    set.sort_unstable();
    set
}

struct Within<'a> {
    scorer: &'a Scorer<'a>,
    /// The group of each shade of the set.
    slots: &'a [u16],
    /// What a set must score: what was asked for, or as much as the best so far.
    least: u32,
    found: Option<Vec<u16>>,
    /// Hue sums of the set begun, by its shades.
    sums: Vec<Vec<f32>>,
    /// By the shades of the set begun, then by place: the shades that may still come there, rising.
    open: Vec<Vec<Vec<u16>>>,
    cancel: &'a AtomicBool,
}

impl Within<'_> {
    /// Adds a shade of this place and of those after it; no pair of them can be further apart than `most`.
    fn extend(&mut self, begun: &Begun, slot: usize, most: PairParts) {
        let mut outlook = self.outlook(begun, slot);
        let between = self.apart_after(slot).least(most);
        let mut tries: Vec<(u16, Reach, f32)> = Vec::with_capacity(self.open[slot][slot].len());
        for shade in &self.open[slot][slot] {
            if !self.may_add(begun, slot, *shade) {
                continue;
            }
            outlook.apart = self.apart_from_rest(*shade, slot).least(between);
            let bar = self.bar(begun, slot, *shade);
            let bounds = self.scorer.by_shade();
            let reach = bounds.reach(begun, *shade, &outlook, &self.sums[slot], bar);
            let bound = bounds.score(reach);
            if bound >= bar {
                tries.push((*shade, reach, bound));
            }
        }
        #[cfg(test)]
        self.scorer.count_tried(self.open[slot][slot].len());
        // The most promising first, so that the bar rises early; of equals the earlier.
        tries.sort_by(|a, b| b.2.total_cmp(&a.2));
        for (shade, reach, bound) in tries {
            if self.cancel.load(Ordering::Relaxed) && self.found.is_some() {
                return;
            }
            let bar = self.bar(begun, slot, shade);
            if bound < bar {
                continue;
            }
            let more = self.scorer.by_shade().with(begun, shade);
            if slot + 1 == self.slots.len() {
                self.take(rising(more.members().to_vec()));
            } else if let Some(most) = self.narrow(&more, reach, bar) {
                let hue = self.scorer.by_shade().hue();
                if let [longer, shorter] = &mut self.sums[slot..slot + 2] {
                    hue.add(longer, usize::from(shade), shorter);
                }
                self.extend(&more, slot + 1, most);
            }
        }
    }

    /// Leaves open at the places after those of the set begun what may still reach `bar` beside its last shade,
    /// and gives the most that any pair can then be apart; `None` when `bar` is out of reach.
    fn narrow(&mut self, begun: &Begun, mut reach: Reach, bar: f32) -> Option<PairParts> {
        let bounds = self.scorer.by_shade();
        let (before, after) = self.open.split_at_mut(begun.len);
        let (wide, narrow, shade) = (before.last()?, after.first_mut()?, *begun.members().last()?);
        for place in begun.len..self.slots.len() {
            narrow[place].clear();
            let mut most = PairParts::NONE;
            for other in &wide[place] {
                let apart = bounds.pair(shade, *other);
                let beside = Reach { apart: reach.apart.least(apart), ..reach };
                if *other != shade && bounds.score(beside) >= bar {
                    narrow[place].push(*other);
                    most = most.most(apart);
                }
            }
            // What is left here limits what the set can reach, and so what is left at the next place.
            reach.apart = reach.apart.least(most);
            if narrow[place].is_empty() {
                return None;
            }
        }
        let taken = begun.members().iter().map(std::slice::from_ref);
        let value = bounds.value_among(taken.chain(narrow[begun.len..].iter().map(Vec::as_slice)));
        reach.apart.value = reach.apart.value.min(value);
        (bounds.score(reach) >= bar).then_some(reach.apart)
    }

    /// Shades of one group are added in their order, and of two that nothing tells apart the earlier first.
    fn may_add(&self, begun: &Begun, slot: usize, shade: u16) -> bool {
        let again = slot > 0 && self.slots[slot] == self.slots[slot - 1];
        if again && begun.members()[slot - 1] >= shade {
            return false;
        }
        self.scorer.twin(shade).is_none_or(|twin| begun.members().contains(&twin))
    }

    /// What the shades for the places after this one can do.
    fn outlook(&self, begun: &Begun, slot: usize) -> Outlook {
        let mut outlook = Outlook::nothing(self.slots.len() - slot);
        for place in self.places_after(slot) {
            for shade in &self.open[slot][place] {
                self.scorer.by_shade().open(&mut outlook, begun, *shade);
            }
        }
        outlook
    }

    /// The places after this one, of those with the same group the first.
    fn places_after(&self, slot: usize) -> impl Iterator<Item = usize> {
        (slot + 1..self.slots.len())
            .filter(move |place| *place == slot + 1 || self.slots[*place] != self.slots[*place - 1])
    }

    /// The most that a shade of this place can be apart from those that are open at each place after it.
    fn apart_from_rest(&self, shade: u16, slot: usize) -> PairParts {
        let bounds = self.scorer.by_shade();
        let most = |place: usize| {
            let others = self.open[slot][place].iter().filter(|other| **other != shade);
            others.map(|other| bounds.pair(shade, *other)).fold(PairParts::NONE, PairParts::most)
        };
        self.places_after(slot).map(most).fold(PairParts::WIDEST, PairParts::least)
    }

    /// The most that the shades at the places after this one can be apart from each other.
    fn apart_after(&self, slot: usize) -> PairParts {
        let rest = &self.slots[slot + 1..];
        let pairs =
            rest.iter().enumerate().flat_map(|(place, a)| rest[..place].iter().map(move |b| (*a, *b)));
        let most = pairs.map(|(a, b)| self.scorer.by_family().pair(a, b));
        most.fold(PairParts::WIDEST, PairParts::least)
    }

    /// The bound to reach: where every set that may follow comes after the best so far, more than that.
    fn bar(&self, begun: &Begun, slot: usize, shade: u16) -> f32 {
        let Some(found) = &self.found else { return at_least(self.least) };
        let rest = self.open[slot][slot + 1..].iter().filter_map(|place| place.first().copied());
        let earliest = begun.members().iter().copied().chain([shade]).chain(rest);
        let later = rising(earliest.collect()) >= *found;
        at_least(self.least + u32::from(later))
    }

    fn take(&mut self, set: Vec<u16>) {
        let score = self.scorer.score(&set);
        let better = match &self.found {
            None => score >= self.least,
            Some(found) => score > self.least || (score == self.least && set < *found),
        };
        if better {
            (self.least, self.found) = (score, Some(set));
        }
    }
}
