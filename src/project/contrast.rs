//! The colours that touch, how well they are told apart, and the one change of lightness that mends
//! the weakest pair.

use std::collections::HashMap;

use super::model::Project;
use super::palette::Slot;
use crate::chart::Contact;
use crate::colour::{Colour, Lab, ValueContrast, Vision, ciede2000};

/// Share of all colour edges below which a pair of colours hardly meets (our judgement).
pub(super) const LITTLE_CONTACT: f64 = 0.02;
/// Difference of L* a mend aims at: "readable" (see [`ValueContrast`]) with a little to spare.
const AIM: f64 = 20.5;
/// L* a mend stays within: wool is seldom brighter or deeper (our judgement).
const DYEABLE: std::ops::RangeInclusive<f64> = 15.0..=95.0;

/// Two colours that touch in the chart.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Touching {
    /// Where, and along how much of their edges.
    pub contact: Contact,
    /// Its part of all colour edges, `0..=1`.
    pub share: f64,
    /// Difference of CIE L*, 0 or more.
    pub value: f64,
    /// CIEDE2000.
    pub difference: f64,
    /// CIEDE2000 as seen with each of [`Vision::DEFICIENT`].
    pub seen: [f64; 3],
}

impl Touching {
    /// How well the two are told apart by value.
    pub fn contrast(&self) -> ValueContrast {
        ValueContrast::of(self.value)
    }

    /// The colour-vision type that tells the two apart the least, and its CIEDE2000.
    pub fn hardest(&self) -> (Vision, f64) {
        let pairs = Vision::DEFICIENT.into_iter().zip(self.seen);
        pairs.min_by(|a, b| a.1.total_cmp(&b.1)).unwrap_or((Vision::Usual, self.difference))
    }

    /// Whether the two meet along enough edges to matter.
    pub fn matters(&self) -> bool {
        self.share >= LITTLE_CONTACT
    }

    /// The other colour of the pair; `None` when `slot` is not in it.
    pub const fn other(&self, slot: usize) -> Option<usize> {
        match slot {
            slot if slot == self.contact.a => Some(self.contact.b),
            slot if slot == self.contact.b => Some(self.contact.a),
            _ => None,
        }
    }
}

/// A pair whose difference of L* shrinks when another is mended.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Nearer {
    /// The other colour of the pair.
    pub other: usize,
    /// Difference of L* before.
    pub before: f64,
    /// And after.
    pub after: f64,
}

/// One colour made lighter or darker, so that the weakest pair reads.
#[derive(Clone, Debug, PartialEq)]
pub struct LightnessChange {
    /// The colour that changes.
    pub slot: usize,
    /// The one it is told from.
    pub from: usize,
    /// What it becomes: the same hue, and chroma as far as sRGB can show it there.
    pub colour: Colour,
    /// L* before and after.
    pub lstar: (f64, f64),
    /// How far the colour moves, CIEDE2000.
    pub moved: f64,
    /// Pairs that matter and come nearer to each other by it.
    pub nearer: Vec<Nearer>,
}

/// Two slots.
type Pair = (usize, usize);

/// What was worked out from the colours alone, kept from one state of a project to the next.
#[derive(Debug, Default)]
pub(super) struct ContrastMemory {
    /// The colours it is of, and which are locked.
    colours: Vec<(Colour, bool)>,
    /// The same as everyone sees them, and with each of [`Vision::DEFICIENT`].
    seen: Vec<(Lab, [Lab; 3])>,
    /// Pairs that are worked out: the difference of L*, CIEDE2000, and as seen.
    pairs: HashMap<Pair, (f64, f64, [f64; 3])>,
    /// The pairs that mattered, in their order, and the mend for these.
    mend: Option<(Vec<Pair>, Option<LightnessChange>)>,
}

impl ContrastMemory {
    /// Forgets what is of other colours than those of `project`.
    fn begin(&mut self, project: &Project) {
        let colours = || project.palette.slots().iter().map(|slot| (slot.colour, slot.locked));
        if !self.colours.iter().copied().eq(colours()) {
            let seen = colours().map(|(colour, _)| prepare(colour)).collect();
            *self = Self { colours: colours().collect(), seen, ..Self::default() };
        }
    }

    /// The pairs of colours that touch, in the order of the contacts (the longest shared edge first), and
    /// [`mend_weakest`] of them.
    pub(super) fn of(
        &mut self,
        project: &Project,
        contacts: &[Contact],
    ) -> (Vec<Touching>, Option<LightnessChange>) {
        self.begin(project);
        let touching = self.touching(contacts);
        let matter = touching.iter().filter(|pair| pair.matters());
        let matter: Vec<Pair> = matter.map(|pair| (pair.contact.a, pair.contact.b)).collect();
        let mend = match self.mend.take() {
            Some((of, mend)) if of == matter => mend,
            _ => mend_weakest(project, &touching),
        };
        self.mend = Some((matter, mend.clone()));
        (touching, mend)
    }

    fn touching(&mut self, contacts: &[Contact]) -> Vec<Touching> {
        let total: f64 = contacts.iter().map(|contact| contact.cm).sum();
        let Self { seen, pairs, .. } = self;
        let pair = |contact: &Contact| {
            let ((a, seen_a), (b, seen_b)) = (seen.get(contact.a)?, seen.get(contact.b)?);
            let apart = || {
                let seen = std::array::from_fn(|eye| ciede2000(seen_a[eye], seen_b[eye]));
                ((a.l - b.l).abs(), ciede2000(*a, *b), seen)
            };
            let (value, difference, seen) = *pairs.entry((contact.a, contact.b)).or_insert_with(apart);
            Some(Touching { contact: *contact, share: contact.cm / total, value, difference, seen })
        };
        contacts.iter().filter_map(pair).collect()
    }
}

/// The pairs of colours that touch, in the order of the contacts (the longest shared edge first).
pub fn touching(project: &Project, contacts: &[Contact]) -> Vec<Touching> {
    let mut memory = ContrastMemory::default();
    memory.begin(project);
    memory.touching(contacts)
}

fn prepare(colour: Colour) -> (Lab, [Lab; 3]) {
    (colour.to_lab(), Vision::DEFICIENT.map(|vision| vision.simulate(colour).to_lab()))
}

/// The one change of lightness that makes the weakest pair (the least difference of L* among those
/// that matter) readable; `None` when every pair that matters is readable or both colours are locked.
///
/// Of all changes it takes the one that leaves the fewest other pairs unreadable that were better
/// before, and of those the one that moves the colour the least.
pub fn mend_weakest(project: &Project, touching: &[Touching]) -> Option<LightnessChange> {
    let weakest = weakest(touching)?;
    if weakest.contrast() >= ValueContrast::Readable {
        return None;
    }
    let slots = project.palette.slots();
    let ends = [(weakest.contact.a, weakest.contact.b), (weakest.contact.b, weakest.contact.a)];
    let free = ends.into_iter().filter(|(slot, _)| slots.get(*slot).is_some_and(|slot| !slot.locked));
    free.flat_map(|(slot, from)| changes(slots, touching, slot, from)).min_by(|a, b| {
        let moved = |change: &LightnessChange| (change.lstar.0 - change.lstar.1).abs();
        let harmed = |change: &LightnessChange| change.nearer.iter().filter(|n| n.harms()).count();
        harmed(a).cmp(&harmed(b)).then(moved(a).total_cmp(&moved(b)))
    })
}

/// The pair that matters with the least difference of L*.
pub fn weakest(touching: &[Touching]) -> Option<&Touching> {
    touching.iter().filter(|pair| pair.matters()).min_by(|a, b| a.value.total_cmp(&b.value))
}

impl Nearer {
    /// Whether the pair was better before and is not readable after.
    fn harms(&self) -> bool {
        self.after < AIM - 0.5
    }
}

/// The changes of one colour that make it readable beside `from`: to the edge of each neighbour's
/// readable distance, on either side.
fn changes(slots: &[Slot], touching: &[Touching], slot: usize, from: usize) -> Vec<LightnessChange> {
    let lstar = |slot: usize| slots.get(slot).map_or(50.0, |slot| slot.colour.lstar());
    let neighbours: Vec<usize> =
        touching.iter().filter(|pair| pair.matters()).filter_map(|pair| pair.other(slot)).collect();
    let aims = neighbours.iter().flat_map(|other| [lstar(*other) - AIM, lstar(*other) + AIM]);
    let reads = |aim: &f64| DYEABLE.contains(aim) && (aim - lstar(from)).abs() >= AIM - 1e-9;
    let before = slots[slot].colour;
    let change = |aim: f64| {
        let colour = before.with_lstar(aim);
        let after = colour.lstar();
        let nearer = |other: &usize| {
            let gap = |own: f64| (own - lstar(*other)).abs();
            let pair = Nearer { other: *other, before: gap(before.lstar()), after: gap(after) };
            (pair.after < pair.before).then_some(pair)
        };
        LightnessChange {
            slot,
            from,
            colour,
            lstar: (before.lstar(), after),
            moved: before.difference(colour),
            nearer: neighbours.iter().filter_map(nearer).collect(),
        }
    };
    aims.filter(reads).map(change).collect()
}

#[cfg(test)]
mod tests {
    use super::super::findings::tests::drawn;
    use super::*;
    use crate::chart::{Wrap, contacts};

    fn greys(rows: &[&str], lstars: &[f64]) -> (Project, Vec<Touching>) {
        let mut project = drawn(rows);
        for (slot, lstar) in project.palette.slots_mut().iter_mut().zip(lstars) {
            slot.colour = Colour::grey(*lstar);
        }
        let chart = &project.chart;
        let found = contacts(&chart.grid, chart.repeat(), project.plan.gauge, Wrap::default());
        let pairs = touching(&project, &found);
        (project, pairs)
    }

    #[test]
    fn shares_add_up_and_greys_differ_by_value_alone() {
        let (_, pairs) = greys(&["0011", "2211"], &[30.0, 60.0, 50.0, 90.0]);
        assert!((pairs.iter().map(|pair| pair.share).sum::<f64>() - 1.0).abs() < 1e-9);
        let pair = pairs.iter().find(|pair| (pair.contact.a, pair.contact.b) == (0, 1)).unwrap();
        assert!((pair.value - 30.0).abs() < 0.01);
        // A grey is a grey to every eye.
        for seen in pair.seen {
            assert!((seen - pair.difference).abs() < 1.0, "{pair:?}");
        }
    }

    #[test]
    fn the_least_change_mends_the_weakest_pair() {
        let (mut project, pairs) = greys(&["0011", "0011"], &[30.0, 40.0]);
        let change = mend_weakest(&project, &pairs).unwrap();
        // Darker by 10.5 would reach 19.5 L*; both ways are as far, so either colour may move.
        assert!((change.lstar.0 - change.lstar.1).abs() < 11.0, "{change:?}");
        let slot = change.slot;
        project.palette.slots_mut()[slot].colour = change.colour;
        let [a, b] = [0, 1].map(|slot| project.palette.slots()[slot].colour);
        assert!(ValueContrast::of(a.lstar() - b.lstar()) >= ValueContrast::Readable);
    }

    #[test]
    fn a_mend_does_not_break_another_pair_when_it_can_help_it() {
        // 0 and 1 are 8 apart; lightening 1 would bring it to 2, which stands at 62.
        let (project, pairs) = greys(&["0011", "2211"], &[40.0, 48.0, 70.0]);
        let change = mend_weakest(&project, &pairs).unwrap();
        assert!(change.nearer.iter().all(|pair| !pair.harms()), "{change:?}");
    }

    #[test]
    fn locked_colours_stay_and_readable_charts_need_nothing() {
        let (mut project, pairs) = greys(&["0011"], &[30.0, 40.0]);
        project.palette.slots_mut()[0].locked = true;
        assert_eq!(mend_weakest(&project, &pairs).unwrap().slot, 1);
        project.palette.slots_mut()[1].locked = true;
        assert_eq!(mend_weakest(&project, &pairs), None);
        let (project, pairs) = greys(&["0011"], &[30.0, 70.0]);
        assert_eq!(mend_weakest(&project, &pairs), None);
        assert_eq!(mend_weakest(&project, &[]), None);
    }
}
