//! Upper bounds on the scores of sets, over groups of shades.
//!
//! The search looks at families of similar shades first and at the shades of a family later; both are
//! groups here, a shade being a group of one. The bound of a group is that of its best shade in every
//! part, so that over groups of one it is as near as it can be.

use super::hue_bound::HueBound;
use super::scorer::{STEP, TEMPLATE_SCALE, VALUE_SCALE, separation};
use super::{MAX_WISH, SetParts};

/// What rounding in `f32` may take off a bound, in steps: a few parts in ten million.
const SLACK: f64 = 0.05;
/// What rounding in `f32` may take off a difference of L\*.
const LSTAR_SLACK: f64 = 1e-5;

/// Least difference of a pair, as parts of the score.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct PairParts {
    pub value: f32,
    pub vision: f32,
}

impl PairParts {
    /// Of two shades that there are not.
    pub const NONE: Self = Self { value: 0.0, vision: 0.0 };
    /// Of two shades that could not be further apart.
    pub const WIDEST: Self = Self { value: 1.0, vision: 1.0 };

    pub fn least(self, other: Self) -> Self {
        Self { value: self.value.min(other.value), vision: self.vision.min(other.vision) }
    }

    pub fn most(self, other: Self) -> Self {
        Self { value: self.value.max(other.value), vision: self.vision.max(other.vision) }
    }
}

/// Figures of single shades, by their places in the search.
pub(super) struct ShadeFigures<'a> {
    /// Every pair, `count` x `count`.
    pub pairs: &'a [PairParts],
    pub lstars: &'a [f32],
    /// Closeness to each colour of the wish.
    pub wish: &'a [[f32; MAX_WISH]],
    /// Price of 100 m over the dearest.
    pub price: &'a [f32],
    /// 1 for a shade at home, else 0.
    pub owned: &'a [f32],
}

/// What bounds need to know of groups of shades.
pub(super) struct Bounds {
    size: usize,
    wished: usize,
    weights: SetParts,
    /// Shades in each group.
    copies: Vec<u16>,
    /// The most that a shade of one group and another of the other can be apart.
    pairs: Vec<PairParts>,
    /// Least and greatest L\* in each group.
    span: Vec<(f32, f32)>,
    wish: Vec<[f32; MAX_WISH]>,
    price: Vec<f32>,
    owned: Vec<f32>,
    hue: HueBound,
    /// Whether any group has shades of several values.
    wide: bool,
}

/// What a set can reach at most.
#[derive(Clone, Copy, Debug)]
pub(super) struct Reach {
    /// What all parts but the separation of pairs add to the score.
    pub others: f32,
    pub apart: PairParts,
}

/// A set begun: what its bound is made of.
#[derive(Clone, Copy, Debug)]
pub(super) struct Begun {
    members: [u16; 5],
    pub len: usize,
    apart: PairParts,
    wish: [f32; MAX_WISH],
    price: f32,
    owned: f32,
    hue_weight: f32,
}

impl Begun {
    /// A set without shades.
    pub const NOTHING: Self = Self {
        members: [0; 5],
        len: 0,
        apart: PairParts::WIDEST,
        wish: [0.0; MAX_WISH],
        price: 0.0,
        owned: 0.0,
        hue_weight: 0.0,
    };

    /// The groups of the set; one of several shades may stand there several times.
    pub fn members(&self) -> &[u16] {
        &self.members[..self.len]
    }
}

/// What the shades that may still be added to a set begun can do at best.
#[derive(Clone, Copy, Debug)]
pub(super) struct Outlook {
    /// Shades still to add after the next one.
    rest: usize,
    wish: [f32; MAX_WISH],
    least_price: f32,
    owned: f32,
    dark: f32,
    light: f32,
    hue_weight: f32,
    /// The most that they can be apart from the set begun.
    pub apart: PairParts,
    /// The most that single shades add to wish, price and owned together, largest first.
    most_useful: [f32; 4],
}

impl Outlook {
    /// Of no shades, for a set that lacks `missing` of them.
    pub fn nothing(missing: usize) -> Self {
        Self {
            rest: missing.saturating_sub(1),
            wish: [0.0; MAX_WISH],
            least_price: f32::INFINITY,
            owned: 0.0,
            dark: f32::INFINITY,
            light: f32::NEG_INFINITY,
            hue_weight: 0.0,
            apart: PairParts::WIDEST,
            most_useful: [f32::NEG_INFINITY; 4],
        }
    }
}

impl Bounds {
    /// Bounds over these groups, none of which is empty, for sets of `size`.
    pub fn new(
        shades: &ShadeFigures<'_>,
        groups: &[Vec<u16>],
        hue: HueBound,
        (size, wished, weights): (usize, usize, SetParts),
    ) -> Self {
        let count = shades.lstars.len();
        let pair = |i: &u16, j: &u16| shades.pairs[usize::from(*i) * count + usize::from(*j)];
        let between = |a: &Vec<u16>, b: &Vec<u16>| {
            let different = a.iter().flat_map(|i| b.iter().map(move |j| (i, j))).filter(|(i, j)| i != j);
            different.map(|(i, j)| pair(i, j)).fold(PairParts::NONE, PairParts::most)
        };
        let least = |figures: &[f32], group: &Vec<u16>| {
            group.iter().map(|shade| figures[usize::from(*shade)]).fold(f32::INFINITY, f32::min)
        };
        let most = |figures: &[f32], group: &Vec<u16>| {
            group.iter().map(|shade| figures[usize::from(*shade)]).fold(f32::NEG_INFINITY, f32::max)
        };
        let wish = |group: &Vec<u16>| {
            let mut best = [0.0_f32; MAX_WISH];
            for shade in group {
                for (best, close) in best.iter_mut().zip(&shades.wish[usize::from(*shade)]) {
                    *best = best.max(*close);
                }
            }
            best
        };
        let span: Vec<(f32, f32)> =
            groups.iter().map(|g| (least(shades.lstars, g), most(shades.lstars, g))).collect();
        Self {
            size,
            wished,
            weights,
            wide: span.iter().any(|(dark, light)| dark < light),
            copies: groups.iter().map(|group| group.len() as u16).collect(),
            pairs: groups.iter().flat_map(|a| groups.iter().map(move |b| between(a, b))).collect(),
            span,
            wish: groups.iter().map(wish).collect(),
            price: groups.iter().map(|group| least(shades.price, group)).collect(),
            owned: groups.iter().map(|group| most(shades.owned, group)).collect(),
            hue,
        }
    }

    pub const fn hue(&self) -> &HueBound {
        &self.hue
    }

    /// Groups there are.
    pub fn len(&self) -> usize {
        self.copies.len()
    }

    /// Shades in a group.
    pub fn copies(&self, group: u16) -> u16 {
        self.copies[usize::from(group)]
    }

    /// The widest separation of value of a set that has one shade out of each of these.
    pub fn value_among<'a>(&self, places: impl Iterator<Item = &'a [u16]>) -> f32 {
        let (mut darkest, mut lightest) = ([0.0_f32; 5], [0.0_f32; 5]);
        let mut count = 0;
        for ((dark, light), shades) in darkest.iter_mut().zip(&mut lightest).zip(places) {
            let spans = || shades.iter().map(|shade| self.span[usize::from(*shade)]);
            *dark = spans().map(|span| span.0).fold(f32::INFINITY, f32::min);
            *light = spans().map(|span| span.1).fold(f32::NEG_INFINITY, f32::max);
            count += 1;
        }
        darkest[..count].sort_unstable_by(f32::total_cmp);
        lightest[..count].sort_unstable_by(f32::total_cmp);
        let widest = f64::from(chained(&darkest[..count], &lightest[..count]));
        separation(widest + LSTAR_SLACK, VALUE_SCALE) as f32
    }

    /// The most that a shade of one group and another of the other can be apart.
    pub fn pair(&self, a: u16, b: u16) -> PairParts {
        self.pairs[usize::from(a) * self.len() + usize::from(b)]
    }

    /// A set with one more shade.
    pub fn with(&self, begun: &Begun, group: u16) -> Begun {
        let mut more = *begun;
        for member in begun.members() {
            more.apart = more.apart.least(self.pair(group, *member));
        }
        let new = usize::from(group);
        more.members[begun.len] = group;
        more.len += 1;
        for (best, close) in more.wish.iter_mut().zip(&self.wish[new]) {
            *best = best.max(*close);
        }
        more.price += self.price[new];
        more.owned += self.owned[new];
        more.hue_weight += self.hue.weight(new);
        more
    }

    /// Opens the outlook to one more group whose shades may be added to the set begun.
    pub fn open(&self, outlook: &mut Outlook, begun: &Begun, group: u16) {
        let copies = self.copies[usize::from(group)];
        let group = usize::from(group);
        for (best, close) in outlook.wish.iter_mut().zip(&self.wish[group]) {
            *best = best.max(*close);
        }
        outlook.least_price = outlook.least_price.min(self.price[group]);
        outlook.owned += self.owned[group] * f32::from(copies);
        outlook.dark = outlook.dark.min(self.span[group].0);
        outlook.light = outlook.light.max(self.span[group].1);
        outlook.hue_weight = outlook.hue_weight.max(self.hue.weight(group));
        let gain = |(have, close): (&f32, &f32)| (close - have).max(0.0);
        let gain: f32 = begun.wish.iter().zip(&self.wish[group]).map(gain).sum();
        let useful = self.additive(gain, self.price[group], self.owned[group]);
        for _ in 0..copies.min(outlook.most_useful.len() as u16) {
            let mut useful = useful;
            for place in &mut outlook.most_useful {
                if useful > *place {
                    std::mem::swap(place, &mut useful);
                }
            }
        }
    }

    /// What sums over shades add to the score: closeness (summed over the wish), prices, owned.
    fn additive(&self, closeness: f32, price: f32, owned: f32) -> f32 {
        let (weights, size) = (&self.weights, self.size as f32);
        let wished = self.wished.max(1) as f32;
        weights.wish as f32 * closeness / wished - weights.price as f32 * price / size
            + weights.owned as f32 * owned / size
    }

    /// An upper bound on the score of any set that adds a shade of `group` and the rest from the
    /// outlook; the template is looked at only when the other parts leave the set above `bar`.
    /// `hue_sum` is the sum of the set begun.
    pub fn bound(&self, begun: &Begun, group: u16, outlook: &Outlook, hue_sum: &[f32], bar: f32) -> f32 {
        self.score(self.reach(begun, group, outlook, hue_sum, bar))
    }

    /// What makes up [`Bounds::bound`].
    pub fn reach(&self, begun: &Begun, group: u16, outlook: &Outlook, hue_sum: &[f32], bar: f32) -> Reach {
        let mut apart = begun.apart.least(outlook.apart);
        for member in begun.members() {
            apart = apart.least(self.pair(group, *member));
        }
        let (new, weights) = (usize::from(group), &self.weights);
        let others =
            weights.template as f32 + weights.price as f32 + self.additive_bound(begun, new, outlook);
        let mut reach = Reach { others, apart };
        if self.score(reach) < bar {
            return reach;
        }
        if weights.value > 0.0 && (outlook.rest > 0 || self.wide) {
            reach.apart.value = reach.apart.value.min(self.value_bound(begun, new, outlook));
        }
        if weights.template <= 0.0 || self.score(reach) < bar {
            return reach;
        }
        let rest_weight = if outlook.rest > 0 { outlook.rest as f32 * outlook.hue_weight } else { 0.0 };
        let hue_weight = begun.hue_weight + self.hue.weight(new) + rest_weight;
        if hue_weight > 0.0 {
            let distance = self.hue.least_with(hue_sum, new) / hue_weight;
            reach.others -= weights.template as f32 * (1.0 - (-distance / TEMPLATE_SCALE as f32).exp());
        }
        reach
    }

    /// The most that a set with this reach can score.
    pub fn score(&self, reach: Reach) -> f32 {
        let Reach { others, apart } = reach;
        others + self.weights.value as f32 * apart.value + self.weights.vision as f32 * apart.vision
    }

    /// The least of two bounds on wish, price and owned. One takes the best of each from all that is
    /// left. The other adds the most useful single shades: what a shade adds to the closeness never
    /// grows with the set (the nearest shade counts), so their sum is enough.
    fn additive_bound(&self, begun: &Begun, new: usize, outlook: &Outlook) -> f32 {
        let rest = outlook.rest;
        let (mut have, mut at_best) = (0.0, 0.0);
        for colour in 0..self.wished {
            let close = begun.wish[colour].max(self.wish[new][colour]);
            have += close;
            at_best += close.max(outlook.wish[colour]);
        }
        let (price, owned) = (begun.price + self.price[new], begun.owned + self.owned[new]);
        let now = self.additive(have, price, owned);
        if rest == 0 {
            return now;
        }
        let apart = self.additive(
            at_best,
            price + rest as f32 * outlook.least_price,
            owned + outlook.owned.min(rest as f32),
        );
        apart.min(now + outlook.most_useful[..rest].iter().sum::<f32>())
    }

    /// The widest separation of value that the rest of the set can have, were there a shade of
    /// every value the list spans: each goes where it leaves the widest gap.
    ///
    /// The i-th darkest shade of the set is no darker than the i-th of the darkest shades of its groups
    /// and no lighter than the i-th of the lightest, so two neighbours are at most so far apart.
    fn value_bound(&self, begun: &Begun, new: usize, outlook: &Outlook) -> f32 {
        let (mut darkest, mut lightest) = ([0.0_f32; 5], [0.0_f32; 5]);
        let count = begun.len + 1;
        let groups = begun.members().iter().map(|member| usize::from(*member)).chain([new]);
        for (place, group) in groups.enumerate() {
            (darkest[place], lightest[place]) = self.span[group];
        }
        darkest[..count].sort_unstable_by(f32::total_cmp);
        lightest[..count].sort_unstable_by(f32::total_cmp);
        let chain = chained(&darkest[..count], &lightest[..count]);
        // Gap, shades put into it, and whether both its ends are taken.
        let mut gaps = [(0.0_f32, 0_u8, true); 6];
        for (place, gap) in gaps.iter_mut().enumerate().take(count - 1) {
            gap.0 = lightest[place + 1] - darkest[place];
        }
        gaps[count - 1] = ((lightest[0] - outlook.dark).max(0.0), 0, false);
        gaps[count] = ((outlook.light - darkest[count - 1]).max(0.0), 0, false);
        let width =
            |(gap, inside, closed): (f32, u8, bool)| gap / f32::from(inside + u8::from(closed)).max(1.0);
        let mut least = chain;
        for _ in 0..outlook.rest {
            let with_one = |gap: &(f32, u8, bool)| width((gap.0, gap.1 + 1, gap.2));
            let widest = gaps[..=count].iter_mut().max_by(|a, b| with_one(a).total_cmp(&with_one(b)));
            if let Some(gap) = widest {
                gap.1 += 1;
                least = least.min(width(*gap));
            }
        }
        separation(f64::from(least) + LSTAR_SLACK, VALUE_SCALE) as f32
    }
}

/// The widest separation of value of a set whose i-th darkest shade is between the i-th of the rising
/// `darkest` and the i-th of the rising `lightest`: no gap can be wider than a share of the way from any
/// of them to any other.
fn chained(darkest: &[f32], lightest: &[f32]) -> f32 {
    let mut widest = f32::INFINITY;
    for (j, light) in lightest.iter().enumerate() {
        for (i, dark) in darkest[..j].iter().enumerate() {
            widest = widest.min((light - dark) / (j - i) as f32);
        }
    }
    widest
}

/// The least bound with which a set may still score this many steps.
pub(super) fn at_least(score: u32) -> f32 {
    ((f64::from(score) - 0.5 - SLACK) * STEP) as f32
}
