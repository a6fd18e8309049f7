//! Scores of sets, and upper bounds for sets begun.

use super::hue_bound::HueBound;
use super::{MAX_WISH, SetError, SetParts, SetRequest, ShadeSet};
use crate::colour::{PairTable, ciede2000};
use crate::yarn::shade_card::{Shade, ShadeCard};

/// Scores are whole steps of this, so that sets which differ by rounding only are equals.
pub(super) const STEP: f64 = 1e-5;
/// What rounding in `f32` may take off a bound, in steps: a few parts in ten million.
const SLACK: f64 = 0.05;

const TEMPLATE_SCALE: f64 = 15.0;
const VALUE_SCALE: f64 = 15.0;
const VISION_SCALE: f64 = 15.0;
const WISH_SCALE: f64 = 10.0;

/// Least difference of a pair, as parts of the score.
#[derive(Clone, Copy, Debug)]
struct PairParts {
    value: f32,
    vision: f32,
}

/// Everything about the shades that scores need, by their places in the search: the pinned shades
/// first, then the others.
pub(super) struct Scorer<'a> {
    request: &'a SetRequest,
    /// Place on the card.
    card_places: Vec<usize>,
    table: PairTable,
    pairs: Vec<PairParts>,
    /// Weights that add up to 1.
    weights: SetParts,
    lstars: Vec<f32>,
    /// Closeness to each colour of the wish.
    wish: Vec<[f32; MAX_WISH]>,
    /// Price of 100 m over the dearest.
    price: Vec<f32>,
    /// Whether any price is known.
    priced: bool,
    /// 1 for a shade at home, else 0.
    owned: Vec<f32>,
    hue: HueBound,
}

/// A set begun: what its bound is made of.
#[derive(Clone, Copy, Debug)]
pub(super) struct Begun {
    members: [u16; 5],
    pub len: usize,
    value: f32,
    vision: f32,
    wish: [f32; MAX_WISH],
    price: f32,
    owned: f32,
    hue_weight: f32,
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
            most_useful: [f32::NEG_INFINITY; 4],
        }
    }
}

impl<'a> Scorer<'a> {
    pub fn new(
        card: &ShadeCard,
        request: &'a SetRequest,
        pinned: &[usize],
        free: &[usize],
    ) -> Result<Self, SetError> {
        let card_places: Vec<usize> = pinned.iter().chain(free).copied().collect();
        let shades: Vec<&Shade> = card_places.iter().map(|place| &card.shades()[*place]).collect();
        let colours: Vec<_> = shades.iter().map(|shade| shade.colour).collect();
        let prices: Vec<Option<f64>> = shades
            .iter()
            .map(|shade| if shade.owned_balls() > 0 { Some(0.0) } else { shade.price_per_100m() })
            .collect();
        let dearest = prices.iter().flatten().copied().fold(0.0, f64::max);
        let weights = weights(request, dearest > 0.0)?;
        let table = PairTable::new(&colours);
        let wished: Vec<_> = request.wish.iter().map(|colour| colour.to_lab()).collect();
        let wish = colours.iter().map(|colour| {
            let mut closeness = [0.0; MAX_WISH];
            for (close, wished) in closeness.iter_mut().zip(&wished) {
                *close = (-ciede2000(*wished, colour.to_lab()) / WISH_SCALE).exp() as f32;
            }
            closeness
        });
        Ok(Self {
            request,
            pairs: pair_parts(&table),
            weights,
            lstars: table.lstars().iter().map(|l| *l as f32).collect(),
            wish: wish.collect(),
            price: prices.iter().map(|p| p.map_or(1.0, |p| p / dearest.max(1e-12)) as f32).collect(),
            priced: dearest > 0.0,
            owned: shades.iter().map(|shade| f32::from(u8::from(shade.owned_balls() > 0))).collect(),
            hue: HueBound::new(table.hue_points(), &request.templates),
            table,
            card_places,
        })
    }

    pub const fn table(&self) -> &PairTable {
        &self.table
    }

    pub const fn hue(&self) -> &HueBound {
        &self.hue
    }

    pub const fn size(&self) -> usize {
        self.request.size
    }

    /// How many shades are searched.
    pub fn len(&self) -> usize {
        self.card_places.len()
    }

    /// The parts of a set of [`Scorer::size`] shades.
    fn parts(&self, set: &[u16]) -> SetParts {
        let members: Vec<usize> = set.iter().map(|member| usize::from(*member)).collect();
        let count = members.len() as f64;
        let (mut value, mut vision) = (f32::MAX, f32::MAX);
        for (k, i) in members.iter().enumerate() {
            for pair in members[..k].iter().filter_map(|j| self.table.pair(*i, *j)) {
                value = value.min(pair.value);
                vision = pair.seen.iter().fold(vision.min(pair.difference), |least, seen| least.min(*seen));
            }
        }
        let wished = self.request.wish.len();
        let closest = |colour: usize| members.iter().map(|m| self.wish[*m][colour]).fold(0.0, f32::max);
        let mean =
            |values: &[f32]| members.iter().map(|member| f64::from(values[*member])).sum::<f64>() / count;
        SetParts {
            template: {
                let distance = self.table.template_distance(&members, &self.request.templates);
                (-distance / TEMPLATE_SCALE).exp()
            },
            value: separation(f64::from(value), VALUE_SCALE),
            vision: separation(f64::from(vision), VISION_SCALE),
            wish: (0..wished).map(closest).map(f64::from).sum::<f64>() / wished.max(1) as f64,
            price: if self.priced { 1.0 - mean(&self.price) } else { 0.0 },
            owned: mean(&self.owned),
        }
    }

    /// The score of a set of [`Scorer::size`] shades, in steps.
    pub fn score(&self, set: &[u16]) -> u32 {
        let (parts, weights) = (self.parts(set), &self.weights);
        let score = weights.template * parts.template
            + weights.value * parts.value
            + weights.vision * parts.vision
            + weights.wish * parts.wish
            + weights.price * parts.price
            + weights.owned * parts.owned;
        (score / STEP).round() as u32
    }

    /// A set with all that is shown of it.
    pub fn dressed(&self, set: &[u16]) -> Option<ShadeSet> {
        let members: Vec<usize> = set.iter().map(|member| usize::from(*member)).collect();
        let mut shades: Vec<usize> = members.iter().map(|member| self.card_places[*member]).collect();
        shades.sort_unstable();
        Some(ShadeSet {
            shades,
            score: f64::from(self.score(set)) * STEP,
            parts: self.parts(set),
            quality: self.table.quality(&members)?,
        })
    }

    /// A set without shades.
    pub fn nothing() -> Begun {
        Begun {
            members: [0; 5],
            len: 0,
            value: 1.0,
            vision: 1.0,
            wish: [0.0; MAX_WISH],
            price: 0.0,
            owned: 0.0,
            hue_weight: 0.0,
        }
    }

    /// A set with one more shade.
    pub fn with(&self, begun: &Begun, shade: u16) -> Begun {
        let mut more = *begun;
        let new = usize::from(shade);
        for member in begun.members() {
            let pair = self.pairs[new * self.len() + usize::from(*member)];
            more.value = more.value.min(pair.value);
            more.vision = more.vision.min(pair.vision);
        }
        more.members[begun.len] = shade;
        more.len += 1;
        for (best, close) in more.wish.iter_mut().zip(&self.wish[new]) {
            *best = best.max(*close);
        }
        more.price += self.price[new];
        more.owned += self.owned[new];
        more.hue_weight += self.hue.weight(new);
        more
    }

    /// Opens the outlook to one more shade that may be added to the set begun.
    pub fn open(&self, outlook: &mut Outlook, begun: &Begun, shade: u16) {
        let shade = usize::from(shade);
        for (best, close) in outlook.wish.iter_mut().zip(&self.wish[shade]) {
            *best = best.max(*close);
        }
        outlook.least_price = outlook.least_price.min(self.price[shade]);
        outlook.owned += self.owned[shade];
        outlook.dark = outlook.dark.min(self.lstars[shade]);
        outlook.light = outlook.light.max(self.lstars[shade]);
        outlook.hue_weight = outlook.hue_weight.max(self.hue.weight(shade));
        let gain = |(have, close): (&f32, &f32)| (close - have).max(0.0);
        let gain: f32 = begun.wish.iter().zip(&self.wish[shade]).map(gain).sum();
        let mut useful = self.additive(gain, self.price[shade], self.owned[shade]);
        for place in &mut outlook.most_useful {
            if useful > *place {
                std::mem::swap(place, &mut useful);
            }
        }
    }

    /// What sums over shades add to the score: closeness (summed over the wish), prices, owned.
    fn additive(&self, closeness: f32, price: f32, owned: f32) -> f32 {
        let (weights, size) = (&self.weights, self.size() as f32);
        let wished = self.request.wish.len().max(1) as f32;
        weights.wish as f32 * closeness / wished - weights.price as f32 * price / size
            + weights.owned as f32 * owned / size
    }

    /// An upper bound on the score of any set that adds `shade` and the rest from the outlook; the
    /// template is looked at only when the other parts leave the set above `bar`. `hue_sum` is the
    /// sum of the set begun.
    pub fn bound(&self, begun: &Begun, shade: u16, outlook: &Outlook, hue_sum: &[f32], bar: f32) -> f32 {
        let new = usize::from(shade);
        let (mut value, mut vision) = (begun.value, begun.vision);
        let row = &self.pairs[new * self.len()..(new + 1) * self.len()];
        for member in begun.members() {
            let pair = row[usize::from(*member)];
            value = value.min(pair.value);
            vision = vision.min(pair.vision);
        }
        let weights = &self.weights;
        let mut bound = weights.vision as f32 * vision + weights.template as f32;
        bound += weights.price as f32 + self.additive_bound(begun, new, outlook);
        if bound + weights.value as f32 * value < bar {
            return bound + weights.value as f32 * value;
        }
        if outlook.rest > 0 && weights.value > 0.0 {
            value = value.min(self.value_bound(begun, new, outlook));
        }
        bound += weights.value as f32 * value;
        if bound < bar || weights.template <= 0.0 {
            return bound;
        }
        let rest_weight = if outlook.rest > 0 { outlook.rest as f32 * outlook.hue_weight } else { 0.0 };
        let hue_weight = begun.hue_weight + self.hue.weight(new) + rest_weight;
        if hue_weight <= 0.0 {
            return bound;
        }
        let distance = self.hue.least_with(hue_sum, new) / hue_weight;
        bound - weights.template as f32 * (1.0 - (-distance / TEMPLATE_SCALE as f32).exp())
    }

    /// The least of two bounds on wish, price and owned. One takes the best of each from all that is
    /// left. The other adds the most useful single shades: what a shade adds to the closeness never
    /// grows with the set (the nearest shade counts), so their sum is enough.
    fn additive_bound(&self, begun: &Begun, new: usize, outlook: &Outlook) -> f32 {
        let rest = outlook.rest;
        let (mut have, mut at_best) = (0.0, 0.0);
        for colour in 0..self.request.wish.len() {
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
    fn value_bound(&self, begun: &Begun, new: usize, outlook: &Outlook) -> f32 {
        let mut lstars = [0.0_f32; 5];
        let count = begun.len + 1;
        for (l, member) in lstars.iter_mut().zip(begun.members()) {
            *l = self.lstars[usize::from(*member)];
        }
        lstars[begun.len] = self.lstars[new];
        lstars[..count].sort_unstable_by(f32::total_cmp);
        // Gap, shades put into it, and whether both its ends are taken.
        let mut gaps = [(0.0_f32, 0_u8, true); 6];
        for (gap, pair) in gaps.iter_mut().zip(lstars[..count].windows(2)) {
            gap.0 = pair[1] - pair[0];
        }
        gaps[count - 1] = ((lstars[0] - outlook.dark).max(0.0), 0, false);
        gaps[count] = ((outlook.light - lstars[count - 1]).max(0.0), 0, false);
        let width =
            |(gap, inside, closed): (f32, u8, bool)| gap / f32::from(inside + u8::from(closed)).max(1.0);
        let mut least = f32::INFINITY;
        for _ in 0..outlook.rest {
            let with_one = |gap: &(f32, u8, bool)| width((gap.0, gap.1 + 1, gap.2));
            let widest = gaps[..=count].iter_mut().max_by(|a, b| with_one(a).total_cmp(&with_one(b)));
            if let Some(gap) = widest {
                gap.1 += 1;
                least = least.min(width(*gap));
            }
        }
        separation(f64::from(least), VALUE_SCALE) as f32
    }
}

impl Begun {
    pub fn members(&self) -> &[u16] {
        &self.members[..self.len]
    }
}

/// 0 for no difference, toward 1 for a large one.
fn separation(difference: f64, scale: f64) -> f64 {
    1.0 - (-difference / scale).exp()
}

fn pair_parts(table: &PairTable) -> Vec<PairParts> {
    let count = table.len();
    let mut pairs = vec![PairParts { value: 0.0, vision: 0.0 }; count * count];
    for i in 0..count {
        for (offset, pair) in table.pairs_after(i).iter().enumerate() {
            let j = i + 1 + offset;
            let least = pair.seen.iter().fold(pair.difference, |least, seen| least.min(*seen));
            let parts = PairParts {
                value: separation(f64::from(pair.value), VALUE_SCALE) as f32,
                vision: separation(f64::from(least), VISION_SCALE) as f32,
            };
            pairs[i * count + j] = parts;
            pairs[j * count + i] = parts;
        }
    }
    pairs
}

/// The request's weights, those without meaning left out, so that they add up to 1.
fn weights(request: &SetRequest, has_prices: bool) -> Result<SetParts, SetError> {
    let given = request.weights;
    let all = [given.template, given.value, given.vision, given.wish, given.price, given.owned];
    if all.iter().any(|weight| !(0.0..f64::INFINITY).contains(weight)) {
        return Err(SetError::Weight);
    }
    let when = |means: bool, weight: f64| if means { weight } else { 0.0 };
    let wish = when(!request.wish.is_empty(), given.wish);
    let price = when(has_prices, given.price);
    let template = when(!request.templates.is_empty(), given.template);
    let total = template + given.value + given.vision + wish + price + given.owned;
    if total <= 0.0 || !total.is_finite() {
        return Err(SetError::NoWeight);
    }
    Ok(SetParts {
        template: template / total,
        value: given.value / total,
        vision: given.vision / total,
        wish: wish / total,
        price: price / total,
        owned: given.owned / total,
    })
}

/// The least bound with which a set may still score more than `bar` steps.
pub(super) fn cut(bar: Option<u32>) -> f32 {
    bar.map_or(f32::NEG_INFINITY, |bar| ((f64::from(bar) + 0.5 - SLACK) * STEP) as f32)
}
