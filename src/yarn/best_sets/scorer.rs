//! Scores of sets, and what the search needs to know of the shades.

use super::bounds::{Bounds, PairParts, ShadeFigures};
use super::families::Families;
use super::hue_bound::HueBound;
use super::pool::{Key, Scored};
use super::{MAX_WISH, SetError, SetParts, SetRequest, ShadeSet};
use crate::colour::{Colour, PairTable, ciede2000};
use crate::yarn::shade_card::{Shade, ShadeCard};
use std::collections::HashMap;

/// Scores are whole steps of this, so that sets which differ by rounding only are equals.
pub(super) const STEP: f64 = 1e-5;
pub(super) const TEMPLATE_SCALE: f64 = 15.0;
pub(super) const VALUE_SCALE: f64 = 15.0;
const VISION_SCALE: f64 = 15.0;
const WISH_SCALE: f64 = 10.0;

/// Everything about the shades that scores need, by their places in the search: the pinned shades
/// first, then the others.
pub(super) struct Scorer<'a> {
    request: &'a SetRequest,
    /// Place on the card.
    card_places: Vec<usize>,
    table: PairTable,
    /// Weights that add up to 1.
    weights: SetParts,
    /// Closeness to each colour of the wish.
    wish: Vec<[f32; MAX_WISH]>,
    /// Price of 100 m over the dearest.
    price: Vec<f32>,
    /// Whether any price is known.
    priced: bool,
    /// 1 for a shade at home, else 0.
    owned: Vec<f32>,
    /// Which shades are similar.
    families: Families,
    /// Bounds over the groups of [`Families`].
    by_family: Bounds,
    /// Bounds over single shades.
    by_shade: Bounds,
    /// The shade before each that nothing tells it from, if there is one.
    twins: Vec<Option<u16>>,
    /// Shades that were tried in sets of given families.
    #[cfg(test)]
    pub tried: std::sync::atomic::AtomicU64,
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
            .map(|shade| if card.is_at_home(shade) { Some(0.0) } else { shade.price_per_100m() })
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
        let wish: Vec<[f32; MAX_WISH]> = wish.collect();
        let price: Vec<f32> =
            prices.iter().map(|p| p.map_or(1.0, |p| p / dearest.max(1e-12)) as f32).collect();
        let owned: Vec<f32> =
            shades.iter().map(|shade| f32::from(u8::from(card.is_at_home(shade)))).collect();
        let (pairs, lstars) =
            (pair_parts(&table), table.lstars().iter().map(|l| *l as f32).collect::<Vec<_>>());
        let figures =
            ShadeFigures { pairs: &pairs, lstars: &lstars, wish: &wish, price: &price, owned: &owned };
        let families = Families::new(&table, pinned.len());
        let told = (request.size, request.wish.len(), weights);
        let bounds = |groups: &[Vec<u16>]| {
            let hue = HueBound::new(table.hue_points(), &request.templates, groups);
            Bounds::new(&figures, groups, hue, told)
        };
        let alone: Vec<Vec<u16>> = (0..card_places.len() as u16).map(|shade| vec![shade]).collect();
        let (by_family, by_shade) = (bounds(families.groups()), bounds(&alone));
        let twins =
            twins(&colours, (&price, weights.price > 0.0), (&owned, weights.owned > 0.0), pinned.len());
        Ok(Self {
            #[cfg(test)]
            tried: std::sync::atomic::AtomicU64::new(0),
            request,
            weights,
            wish,
            price,
            priced: dearest > 0.0,
            owned,
            families,
            by_family,
            by_shade,
            twins,
            table,
            card_places,
        })
    }

    pub const fn families(&self) -> &Families {
        &self.families
    }

    pub const fn by_family(&self) -> &Bounds {
        &self.by_family
    }

    pub const fn by_shade(&self) -> &Bounds {
        &self.by_shade
    }

    /// The shade before this one that nothing tells it from.
    pub fn twin(&self, shade: u16) -> Option<u16> {
        self.twins[usize::from(shade)]
    }

    /// Counts shades that were tried in a set: what a search costs, on any machine.
    #[cfg(test)]
    pub fn count_tried(&self, shades: usize) {
        self.tried.fetch_add(shades as u64, std::sync::atomic::Ordering::Relaxed);
    }

    pub const fn size(&self) -> usize {
        self.request.size
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

    /// A set of these shades, rising or not, whose families are `key`.
    pub fn scored(&self, mut members: Vec<u16>, key: Key) -> Scored {
        members.sort_unstable();
        Scored { score: self.score(&members), key, members }
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
}

/// 0 for no difference, toward 1 for a large one.
pub(super) fn separation(difference: f64, scale: f64) -> f64 {
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

/// For each free shade the one before it that no part of the score tells it from.
fn twins(
    colours: &[Colour],
    (price, by_price): (&[f32], bool),
    (owned, by_owned): (&[f32], bool),
    pinned: usize,
) -> Vec<Option<u16>> {
    let mut last = HashMap::new();
    (0..colours.len())
        .map(|shade| {
            let colour = colours[shade];
            let bits = [colour.lightness(), colour.chroma(), colour.hue_angle()].map(f64::to_bits);
            let price = if by_price { price[shade].to_bits() } else { 0 };
            let owned = by_owned && owned[shade] > 0.0;
            if shade < pinned { None } else { last.insert((bits, price, owned), shade as u16) }
        })
        .collect()
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
