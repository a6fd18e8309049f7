//! The best shades of given families.

use super::bounds::{Begun, Outlook, PairParts, at_least};
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
    let mut search = Within { scorer, slots: &slots, members: &members, least, found: None, sums, cancel };
    search.extend(&Begun::NOTHING, 0);
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
    members: &'a [&'a [u16]],
    /// What a set must score: what was asked for, or as much as the best so far.
    least: u32,
    found: Option<Vec<u16>>,
    /// Hue sums of the set begun, by its shades.
    sums: Vec<Vec<f32>>,
    cancel: &'a AtomicBool,
}

impl Within<'_> {
    /// Adds a shade of the group of this place and of those after it.
    fn extend(&mut self, begun: &Begun, slot: usize) {
        let bounds = self.scorer.by_shade();
        let mut outlook = self.outlook(begun, slot);
        for (place, shade) in self.members[slot].iter().enumerate() {
            if self.cancel.load(Ordering::Relaxed) && self.found.is_some() {
                return;
            }
            if !self.may_add(begun, slot, place) {
                continue;
            }
            outlook.apart = self.apart_from_rest(*shade, slot);
            let bar = self.bar(begun, slot, place);
            if bounds.bound(begun, *shade, &outlook, &self.sums[slot], bar) < bar {
                continue;
            }
            let more = bounds.with(begun, *shade);
            if slot + 1 == self.slots.len() {
                self.take(rising(more.members().to_vec()));
                continue;
            }
            if let [.., longer, shorter] = &mut self.sums[..slot + 2] {
                bounds.hue().add(longer, usize::from(*shade), shorter);
            }
            self.extend(&more, slot + 1);
        }
    }

    /// Shades of one group are added in their order, and of two that nothing tells apart the earlier first.
    fn may_add(&self, begun: &Begun, slot: usize, place: usize) -> bool {
        let shade = self.members[slot][place];
        let again = slot > 0 && self.slots[slot] == self.slots[slot - 1];
        if again && begun.members()[slot - 1] >= shade {
            return false;
        }
        self.scorer.twin(shade).is_none_or(|twin| begun.members().contains(&twin))
    }

    /// What the shades for the places after this one can do.
    fn outlook(&self, begun: &Begun, slot: usize) -> Outlook {
        let mut outlook = Outlook::nothing(self.slots.len() - slot);
        for (after, members) in self.members.iter().enumerate().skip(slot + 1) {
            // A group that is named again is opened once.
            if self.slots[after] != self.slots[after - 1] || after == slot + 1 {
                for shade in *members {
                    self.scorer.by_shade().open(&mut outlook, begun, *shade);
                }
            }
        }
        outlook
    }

    fn apart_from_rest(&self, shade: u16, slot: usize) -> PairParts {
        let rest = self.slots[slot + 1..].iter().map(|group| self.scorer.apart(shade, *group));
        rest.fold(PairParts { value: 1.0, vision: 1.0 }, PairParts::least)
    }

    /// The bound to reach: where every set that may follow comes after the best so far, more than that.
    fn bar(&self, begun: &Begun, slot: usize, place: usize) -> f32 {
        let Some(found) = &self.found else { return at_least(self.least) };
        let rest = self.members[slot + 1..].iter().map(|members| members[0]);
        let earliest = begun.members().iter().copied().chain([self.members[slot][place]]).chain(rest);
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
