//! How well a set of colours works, in parts. No part, and no sum of them, predicts taste.

use super::pair_harmony::{PairHarmony, hue_effect};
use super::template::{self, Fit, HuePoint, Template};
use super::{Colour, Lab, Vision, ciede2000};
use rayon::prelude::*;

/// What two colours are to each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pair {
    /// CIEDE2000.
    pub difference: f32,
    /// Difference of CIE L*.
    pub value: f32,
    /// CIEDE2000 as seen with each of [`Vision::DEFICIENT`].
    pub seen: [f32; 3],
    /// Ou and Luo's pair harmony, see [`PairHarmony`]; rewards sameness.
    pub harmony: f32,
}

/// Every pair among up to a few thousand colours, worked out once, so that millions of sets can be
/// scored.
#[derive(Clone, Debug)]
pub struct PairTable {
    lstar: Vec<f64>,
    points: Vec<HuePoint>,
    /// `rows[i][k]` is the pair of `i` and `i + 1 + k`.
    rows: Vec<Vec<Pair>>,
}

/// A set of colours, judged in parts. Minima are over its pairs.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetQuality {
    /// The narrowest hue template that holds it, else the nearest; `None` when all are greys.
    pub template: Option<Fit>,
    /// Mean pair harmony.
    pub harmony_mean: f64,
    /// Least pair harmony.
    pub harmony_min: f64,
    /// Least CIEDE2000.
    pub difference_min: f64,
    /// From the darkest to the lightest, in L*.
    pub lstar_range: f64,
    /// Least difference of L*.
    pub lstar_min: f64,
    /// Least CIEDE2000 as seen with each of [`Vision::DEFICIENT`].
    pub seen_min: [f64; 3],
}

/// A colour as the pairs need it.
struct Prepared {
    lab: Lab,
    seen: [Lab; 3],
    hue_effect: f64,
}

impl Prepared {
    fn new(colour: Colour) -> Self {
        let lab = colour.to_lab();
        let seen = Vision::DEFICIENT.map(|vision| vision.simulate(colour).to_lab());
        Self { lab, seen, hue_effect: hue_effect(lab) }
    }

    fn pair(&self, other: &Self) -> Pair {
        let harmony =
            PairHarmony::with_hue_effects((self.lab, self.hue_effect), (other.lab, other.hue_effect));
        let seen = |eye: usize| ciede2000(self.seen[eye], other.seen[eye]) as f32;
        Pair {
            difference: ciede2000(self.lab, other.lab) as f32,
            value: (self.lab.l - other.lab.l).abs() as f32,
            seen: [seen(0), seen(1), seen(2)],
            harmony: harmony.total() as f32,
        }
    }
}

impl PairTable {
    /// Works out all pairs, on all processors; takes 24 bytes for every two colours.
    pub fn new(colours: &[Colour]) -> Self {
        let prepared: Vec<Prepared> = colours.iter().map(|colour| Prepared::new(*colour)).collect();
        let row = |i: usize| prepared[i + 1..].iter().map(|other| prepared[i].pair(other)).collect();
        Self {
            lstar: prepared.iter().map(|colour| colour.lab.l).collect(),
            points: colours.iter().map(|colour| HuePoint::of(*colour)).collect(),
            rows: (0..prepared.len()).into_par_iter().map(row).collect(),
        }
    }

    /// How many colours there are.
    pub fn len(&self) -> usize {
        self.rows.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The pair of two different colours, in either order; `None` for one colour twice or one that
    /// does not exist.
    pub fn pair(&self, i: usize, j: usize) -> Option<&Pair> {
        let (low, high) = (i.min(j), i.max(j));
        self.rows.get(low)?.get(high.checked_sub(low + 1)?)
    }

    /// The pairs of a colour with all that come after it, in order; for inner loops.
    pub fn pairs_after(&self, i: usize) -> &[Pair] {
        self.rows.get(i).map_or(&[], Vec::as_slice)
    }

    /// CIE L* of each colour.
    pub fn lstars(&self) -> &[f64] {
        &self.lstar
    }

    /// Hue and weight of each colour, for [`template::fit`].
    pub fn hue_points(&self) -> &[HuePoint] {
        &self.points
    }

    /// Distance of a set from the nearest of some templates, in degrees; 0 without templates.
    pub fn template_distance(&self, set: &[usize], templates: &[Template]) -> f64 {
        template::nearest(templates, &self.points_of(set)).map_or(0.0, |fit| fit.distance)
    }

    /// Judges a set of different colours, given by their places; `None` for fewer than two, or when
    /// one is named twice or does not exist.
    pub fn quality(&self, set: &[usize]) -> Option<SetQuality> {
        let mut pairs = 0.0;
        let mut harmony_sum = 0.0;
        let mut least =
            Pair { difference: f32::MAX, value: f32::MAX, seen: [f32::MAX; 3], harmony: f32::MAX };
        for (k, i) in set.iter().enumerate() {
            for j in set.iter().take(k) {
                let pair = self.pair(*i, *j)?;
                pairs += 1.0;
                harmony_sum += f64::from(pair.harmony);
                least = Pair {
                    difference: least.difference.min(pair.difference),
                    value: least.value.min(pair.value),
                    seen: std::array::from_fn(|eye| least.seen[eye].min(pair.seen[eye])),
                    harmony: least.harmony.min(pair.harmony),
                };
            }
        }
        if pairs == 0.0 {
            return None;
        }
        let lstars = set.iter().filter_map(|i| self.lstar.get(*i));
        let (dark, light) =
            lstars.fold((f64::MAX, f64::MIN), |(dark, light), l| (dark.min(*l), light.max(*l)));
        Some(SetQuality {
            template: template::narrowest(&self.points_of(set)),
            harmony_mean: harmony_sum / pairs,
            harmony_min: f64::from(least.harmony),
            difference_min: f64::from(least.difference),
            lstar_range: light - dark,
            lstar_min: f64::from(least.value),
            seen_min: least.seen.map(f64::from),
        })
    }

    fn points_of(&self, set: &[usize]) -> Vec<HuePoint> {
        set.iter().filter_map(|i| self.points.get(*i).copied()).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn judged(colours: &[Colour]) -> Option<SetQuality> {
        PairTable::new(colours).quality(&(0..colours.len()).collect::<Vec<_>>())
    }

    fn colours(hexes: &[&str]) -> Vec<Colour> {
        hexes.iter().map(|hex| Colour::from_hex(hex).unwrap()).collect()
    }

    #[test]
    fn the_parts_are_what_they_say() {
        let set = colours(&["#1f2a4d", "#d8cbb2", "#a3421f"]);
        let quality = judged(&set).unwrap();
        let lstars: Vec<f64> = set.iter().map(|c| c.lstar()).collect();
        assert!((quality.lstar_range - (lstars[1] - lstars[0])).abs() < 1e-9);
        assert!((quality.lstar_min - (lstars[2] - lstars[0])).abs() < 1e-4);
        assert!(
            (quality.difference_min - set[0].difference(set[2]).min(set[1].difference(set[2]))).abs() < 1e-4
        );
        let harmony = |i: usize, j: usize| {
            let [a, b] = [i, j].map(|k| set[k].to_lab());
            PairHarmony::with_hue_effects((a, hue_effect(a)), (b, hue_effect(b))).total()
        };
        let all = [harmony(0, 1), harmony(0, 2), harmony(1, 2)];
        assert!((quality.harmony_mean - all.iter().sum::<f64>() / 3.0).abs() < 1e-6);
        assert!((quality.harmony_min - all.into_iter().fold(f64::MAX, f64::min)).abs() < 1e-6);
    }

    #[test]
    fn rust_and_moss_fall_together_for_red_green_deficient_eyes() {
        let quality = judged(&colours(&["#a3421f", "#4d6b2a"])).unwrap();
        assert!(quality.difference_min > 30.0);
        assert!(quality.seen_min[1] < quality.difference_min / 2.0, "{quality:?}");
        assert!(quality.lstar_min < 1.0);
    }

    #[test]
    fn pairs_are_found_in_either_order() {
        let table = PairTable::new(&colours(&["#1f2a4d", "#d8cbb2", "#a3421f", "#4d6b2a"]));
        assert_eq!(table.len(), 4);
        for i in 0..4 {
            for j in 0..4 {
                assert_eq!(table.pair(i, j), table.pair(j, i));
                assert_eq!(table.pair(i, j).is_some(), i != j);
            }
            assert_eq!(table.pairs_after(i).first(), table.pair(i, i + 1));
        }
        assert_eq!(table.pair(0, 9), None);
        assert!(table.pairs_after(9).is_empty());
    }

    #[test]
    fn no_set_is_no_quality() {
        let table = PairTable::new(&colours(&["#1f2a4d", "#d8cbb2"]));
        for set in [&[][..], &[0], &[0, 0], &[0, 7]] {
            assert_eq!(table.quality(set), None, "{set:?}");
        }
        assert!(PairTable::new(&[]).is_empty());
        assert_eq!(judged(&[]), None);
    }

    #[test]
    fn a_set_of_greys_has_no_template() {
        let quality = judged(&[Colour::grey(20.0), Colour::grey(80.0)]).unwrap();
        assert_eq!(quality.template, None);
        assert!((quality.lstar_min - 60.0).abs() < 1e-3);
    }
}
