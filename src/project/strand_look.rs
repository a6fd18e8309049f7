//! How a yarn whose colour changes along the strand looks knitted up: which of its colours a stitch has.

use super::model::Project;
use crate::chart::stirred;
use crate::colour::Colour;
use crate::yarn::{Variation, VariationKind};

/// Steps of lightness a heather is shown in, and the reach of them either way, in Oklab lightness (our judgement,
/// looked at beside heathers).
const HEATHER_STEPS: u32 = 7;
const HEATHER_REACH: f64 = 0.035;
/// One stitch in so many shows a spot (our judgement).
const SPOT_EVERY: u32 = 6;
/// How much lighter and darker spots and stretches are shown whose colours nobody knows, in Oklab lightness.
const UNKNOWN_REACH: f64 = 0.16;
/// Metres of one colour where nobody knows them: a length often dyed (our judgement).
const USUAL_CHANGE_M: f64 = 1.0;

/// A colour that is knitted in a yarn of changing colour.
#[derive(Clone, Debug, PartialEq)]
pub struct StrandLook {
    kind: VariationKind,
    /// What its stitches can look like, its own colour first; never empty.
    shown: Vec<Colour>,
    /// Metres of one colour.
    change_m: f64,
    /// Metres of this yarn to a stitch of the row, whatever its colour.
    stitch_m: f64,
    seed: u32,
}

impl StrandLook {
    fn new(slot: usize, own: Colour, variation: &Variation, stitch_m: f64) -> Option<Self> {
        let around = |reach: f64| own.with_lightness((own.lightness() + reach).clamp(0.0, 1.0));
        let others = || match variation.others.as_slice() {
            [] => vec![around(UNKNOWN_REACH), around(-UNKNOWN_REACH)],
            known => known.to_vec(),
        };
        let shown = match variation.kind {
            VariationKind::Solid => return None,
            VariationKind::Heathered => {
                let step = |i: u32| f64::from(i) / f64::from(HEATHER_STEPS - 1) * 2.0 - 1.0;
                (0..HEATHER_STEPS).map(|i| around(step(i) * HEATHER_REACH)).collect()
            }
            VariationKind::Speckled | VariationKind::LongChanges => {
                std::iter::once(own).chain(others()).collect()
            }
        };
        let change_m = variation.change_m.unwrap_or(USUAL_CHANGE_M).max(0.01);
        Some(Self { kind: variation.kind, shown, change_m, stitch_m, seed: slot as u32 })
    }

    /// What its stitches can look like; never empty.
    pub fn shown(&self) -> &[Colour] {
        &self.shown
    }

    /// Which of [`Self::shown`] the stitch has that is the `x`th of its row, in row `y`, both from anywhere, where a
    /// row has `width` stitches. The same stitch looks the same every time.
    pub fn at(&self, x: i64, y: i64, width: u32) -> usize {
        let count = self.shown.len() as u32;
        match self.kind {
            VariationKind::Solid => 0,
            VariationKind::Heathered => (self.chance(x, y) % count) as usize,
            VariationKind::Speckled => {
                let chance = self.chance(x, y);
                if !chance.is_multiple_of(SPOT_EVERY) || count < 2 {
                    0
                } else {
                    (1 + chance / SPOT_EVERY % (count - 1)) as usize
                }
            }
            VariationKind::LongChanges => {
                let stitches = y as f64 * f64::from(width) + x as f64;
                let stretch = (stitches * self.stitch_m / self.change_m).floor();
                stretch.rem_euclid(f64::from(count)) as usize
            }
        }
    }

    /// A number that has nothing to do with that of the neighbours.
    fn chance(&self, x: i64, y: i64) -> u32 {
        let state = (x as u32).wrapping_mul(0x9e37_79b9)
            ^ (y as u32).wrapping_mul(0x85eb_ca6b)
            ^ self.seed.wrapping_mul(0xc2b2_ae35);
        let state = stirred(stirred(state));
        state ^ state >> 16
    }
}

impl Project {
    /// How the colour of a palette slot changes along its strand: as its shade says, else as the project's yarn does;
    /// `None` when neither says anything.
    pub fn variation_of(&self, slot: usize) -> Option<&Variation> {
        let shade = self.palette.slots().get(slot)?.shade().and_then(|shade| shade.varies.as_ref());
        shade.or_else(|| self.material.yarn.as_ref()?.varies.as_ref())
    }

    /// The slots that are knitted in a yarn of changing colour, and how those look knitted up: in their order, `None`
    /// for one colour throughout. A row takes of each as much as the repeat does on the whole.
    pub fn strand_looks(&self) -> Vec<Option<StrandLook>> {
        let mut counts = vec![0_u32; self.palette.slots().len()];
        let repeat = self.chart.repeat();
        if (0..counts.len()).all(|slot| self.variation_of(slot).is_none()) {
            return vec![None; counts.len()];
        }
        for slot in (0..repeat.height).flat_map(|row| self.repeat_row(row)).filter_map(|cell| cell.index()) {
            counts.get_mut(slot).into_iter().for_each(|count| *count += 1);
        }
        self.strand_looks_by(&counts)
    }

    /// The same where the stitches of the repeat are counted already, by slot (`Figures::repeat_stitches`); before
    /// they are, every colour is taken to have as many.
    pub fn strand_looks_by(&self, counts: &[u32]) -> Vec<Option<StrandLook>> {
        let slots = self.palette.slots();
        let varied =
            |slot: usize| self.variation_of(slot).filter(|variation| variation.kind != VariationKind::Solid);
        if (0..slots.len()).all(|slot| varied(slot).is_none()) {
            return vec![None; slots.len()];
        }
        let all = f64::from(counts.iter().sum::<u32>().max(1));
        let stitch_m = self.loop_basis().length.likely / 100.0;
        let look = |slot: usize| {
            let share = match counts.get(slot) {
                Some(count) => f64::from(*count) / all,
                None => 1.0 / slots.len() as f64,
            };
            StrandLook::new(slot, slots[slot].colour, varied(slot)?, stitch_m * share)
        };
        (0..slots.len()).map(look).collect()
    }

    /// Whether the chart is a pattern in which a yarn of changing colour is lost (see
    /// [`crate::knit::BUSY_CHART`]).
    pub fn has_busy_chart(&self) -> bool {
        is_busy(super::findings::busyness(self))
    }
}

/// The same, given the share of neighbouring stitches that change colour.
pub(super) fn is_busy(busyness: Option<f64>) -> bool {
    busyness.is_some_and(|busy| busy >= crate::knit::BUSY_CHART)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::findings::tests::drawn;
    use crate::yarn::Shade;
    use std::sync::Arc;

    fn knitted_in(variation: Variation) -> Project {
        let mut project = drawn(&["0000000000", "0000000000"]);
        let mut shade = Shade::new("Dull bucket", Colour::from_hex("#446688").unwrap());
        shade.varies = Some(variation);
        project.palette.slots_mut()[0].knit_in(Arc::new(shade));
        project
    }

    #[test]
    fn counted_before_or_now_the_looks_are_the_same() {
        let others = vec![Colour::from_hex("#aa3322").unwrap()];
        let project = knitted_in(Variation { kind: VariationKind::LongChanges, change_m: None, others });
        let counts = crate::project::figures::Figures::of(&project).repeat_stitches;
        assert_eq!(project.strand_looks_by(&counts), project.strand_looks());
        assert!(project.strand_looks_by(&[])[0].is_some(), "nothing is counted yet");
    }

    #[test]
    fn one_colour_throughout_has_no_look_of_its_own() {
        assert!(drawn(&["01"]).strand_looks().iter().all(Option::is_none));
        assert_eq!(knitted_in(Variation::default()).strand_looks()[0], None);
    }

    #[test]
    fn long_changes_are_stripes_of_their_length() {
        let red = Colour::from_hex("#aa3322").unwrap();
        let variation =
            Variation { kind: VariationKind::LongChanges, change_m: Some(3.0), others: vec![red] };
        let project = knitted_in(variation);
        let look = project.strand_looks()[0].clone().unwrap();
        assert_eq!(look.shown()[1], red);
        // A round of 100 stitches takes 100 loops: so many rounds are 3 m.
        let round_m = project.loop_basis().length.likely / 100.0 * 100.0;
        let rounds = 3.0 / round_m;
        let of_rows: Vec<usize> = (0..40).map(|y| look.at(0, y, 100)).collect();
        let changes = of_rows.windows(2).filter(|pair| pair[0] != pair[1]).count() as f64;
        assert!((changes - 40.0 / rounds).abs() <= 1.0, "{changes} {rounds}");
        // Twice as wide, twice as many stripes.
        let wide: Vec<usize> = (0..40).map(|y| look.at(0, y, 50)).collect();
        let fewer = wide.windows(2).filter(|pair| pair[0] != pair[1]).count() as f64;
        assert!((fewer - changes / 2.0).abs() <= 1.0, "{fewer} {changes}");
    }

    #[test]
    fn spots_are_few_and_a_heather_is_everywhere() {
        let share = |kind| {
            let look = knitted_in(Variation::of(kind)).strand_looks()[0].clone().unwrap();
            let shown: Vec<usize> = (0..10_000).map(|i| look.at(i % 100, i / 100, 100)).collect();
            let own = look.shown().len() / 2 * usize::from(kind == VariationKind::Heathered);
            shown.iter().filter(|place| **place != own).count() as f64 / 10_000.0
        };
        let (spots, heather) = (share(VariationKind::Speckled), share(VariationKind::Heathered));
        assert!((spots - 1.0 / 6.0).abs() < 0.02, "{spots}");
        assert!((heather - 6.0 / 7.0).abs() < 0.02, "{heather}");
    }
}
