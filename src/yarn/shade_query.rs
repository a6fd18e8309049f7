//! Finding shades on a card: search, filter, sort.

use super::shade_card::{Shade, ShadeCard, Stock};
use crate::units::Price;
use std::cmp::Ordering;

/// A closed range; either end may be open.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Between {
    /// Least value.
    pub from: Option<f64>,
    /// Greatest value.
    pub to: Option<f64>,
}

impl Between {
    /// Whether the value lies in the range.
    pub fn holds(self, value: f64) -> bool {
        self.from.is_none_or(|from| value >= from) && self.to.is_none_or(|to| value <= to)
    }

    /// Whether anything is asked for.
    pub const fn is_any(self) -> bool {
        self.from.is_none() && self.to.is_none()
    }
}

/// Part of the hue circle, from one hue on to another (Oklch degrees); it may pass 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HueArc {
    /// Where it begins.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
}

impl HueArc {
    /// Whether the hue lies on the arc.
    pub fn holds(self, hue: f64) -> bool {
        (hue - self.from).rem_euclid(360.0) <= (self.to - self.from).rem_euclid(360.0)
    }
}

/// Which shades by their stock.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Available {
    /// All.
    #[default]
    Any,
    /// In stock or owned.
    ToBeHad,
    /// Owned.
    Owned,
}

impl Available {
    /// All choices, in the order they are offered.
    pub const ALL: [Self; 3] = [Self::Any, Self::ToBeHad, Self::Owned];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Any => "All",
            Self::ToBeHad => "To be had",
            Self::Owned => "On hand",
        }
    }
}

/// What shades are sorted by.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum SortBy {
    /// As they stand on the card.
    #[default]
    Card,
    /// Name, without regard to capitals.
    Name,
    /// Code.
    Code,
    /// Round the hue circle, greys first from dark to light.
    Hue,
    /// L*.
    Value,
    /// Chroma.
    Chroma,
    /// Price of a ball; unknown last.
    Price,
    /// Fibre.
    Fibre,
    /// Weight class; unknown last.
    Weight,
}

impl SortBy {
    /// All keys, in the order they are offered.
    pub const ALL: [Self; 9] = [
        Self::Card,
        Self::Name,
        Self::Code,
        Self::Hue,
        Self::Value,
        Self::Chroma,
        Self::Price,
        Self::Fibre,
        Self::Weight,
    ];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Card => "Card order",
            Self::Name => "Name",
            Self::Code => "Code",
            Self::Hue => "Hue",
            Self::Value => "Value",
            Self::Chroma => "Chroma",
            Self::Price => "Price",
            Self::Fibre => "Fibre",
            Self::Weight => "Weight",
        }
    }
}

/// Which shades are wanted, in which order. The default is the whole card as it stands.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ShadeQuery {
    /// Words that must all appear in name, code, fibre or dye lot, whatever their capitals.
    pub text: String,
    /// Only this fibre.
    pub fibre: Option<String>,
    /// Only this weight class.
    pub weight_class: Option<u8>,
    /// Price of a ball; a shade without a price is outside any range.
    pub price: Between,
    /// Only these hues; greys have none and are left out.
    pub hue: Option<HueArc>,
    /// L*, `0..=100`.
    pub value: Between,
    /// Only what can be had.
    pub available: Available,
    /// The order.
    pub sort: SortBy,
    /// The other way round; shades without the sorted figure stay last.
    pub descending: bool,
}

/// Below this chroma (Oklch) a yarn is sorted among the greys: its hue cannot be told by eye.
const GREY: f64 = 0.02;

impl ShadeQuery {
    /// Places of the wanted shades on the card, in the wanted order.
    pub fn run(&self, card: &ShadeCard) -> Vec<usize> {
        let words: Vec<String> = self.text.split_whitespace().map(str::to_lowercase).collect();
        let mut found: Vec<usize> =
            (0..card.shades().len()).filter(|index| self.wants(&card.shades()[*index], &words)).collect();
        self.order(card, &mut found);
        found
    }

    fn wants(&self, shade: &Shade, words: &[String]) -> bool {
        let available = match self.available {
            Available::Any => true,
            Available::ToBeHad => shade.stock != Stock::Out,
            Available::Owned => shade.owned_balls() > 0,
        };
        available
            && self.fibre.as_ref().is_none_or(|fibre| shade.fibre.trim() == fibre.trim())
            && self.weight_class.is_none_or(|class| shade.weight_class == Some(class))
            && (self.price.is_any() || shade.ball_price.is_some_and(|price| self.price.holds(price.get())))
            && self.hue.is_none_or(|arc| shade.colour.hue().is_some_and(|hue| arc.holds(hue)))
            && (self.value.is_any() || self.value.holds(shade.colour.lstar()))
            && (words.is_empty() || has_words(shade, words))
    }

    fn order(&self, card: &ShadeCard, found: &mut [usize]) {
        let shades = card.shades();
        let number = |key: &dyn Fn(&Shade) -> Option<f64>, found: &mut [usize]| {
            let key = |index: &usize| key(&shades[*index]);
            found.sort_by_cached_key(|index| Figure::new(key(index), self.descending));
        };
        let text = |key: &dyn Fn(&Shade) -> String, found: &mut [usize]| {
            found.sort_by_cached_key(|index| key(&shades[*index]));
            if self.descending {
                found.reverse();
            }
        };
        match self.sort {
            SortBy::Card if self.descending => found.reverse(),
            SortBy::Card => {}
            SortBy::Name => text(&|shade| shade.name.to_lowercase(), found),
            SortBy::Code => text(&|shade| shade.code.to_lowercase(), found),
            SortBy::Fibre => text(&|shade| shade.fibre.to_lowercase(), found),
            SortBy::Hue => number(&|shade| Some(hue_order(shade)), found),
            SortBy::Value => number(&|shade| Some(shade.colour.lstar()), found),
            SortBy::Chroma => number(&|shade| Some(shade.colour.chroma()), found),
            SortBy::Price => number(&|shade| shade.ball_price.map(Price::get), found),
            SortBy::Weight => number(&|shade| shade.weight_class.map(f64::from), found),
        }
    }
}

fn has_words(shade: &Shade, words: &[String]) -> bool {
    let all = format!("{}\n{}\n{}\n{}", shade.name, shade.code, shade.fibre, shade.dye_lot).to_lowercase();
    words.iter().all(|word| all.contains(word.as_str()))
}

/// Greys from dark to light, below every hue.
fn hue_order(shade: &Shade) -> f64 {
    match shade.colour.hue() {
        Some(hue) if shade.colour.chroma() >= GREY => hue,
        _ => shade.colour.lightness() - 1.0,
    }
}

/// A figure in its order; unknown ones last either way.
#[derive(PartialEq)]
struct Figure(Option<f64>);

impl Figure {
    fn new(value: Option<f64>, descending: bool) -> Self {
        Self(value.map(|value| if descending { -value } else { value }))
    }
}

impl Eq for Figure {}

impl PartialOrd for Figure {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl Ord for Figure {
    fn cmp(&self, other: &Self) -> Ordering {
        match (self.0, other.0) {
            (Some(a), Some(b)) => a.total_cmp(&b),
            (a, b) => b.is_some().cmp(&a.is_some()),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::Colour;

    fn card() -> ShadeCard {
        let shade = |name: &str, hex: &str, fibre: &str, price: Option<f64>, stock: Stock| Shade {
            fibre: fibre.to_owned(),
            ball_price: price.map(Price::clamped),
            stock,
            ..Shade::new(name, Colour::from_hex(hex).unwrap())
        };
        let shades = vec![
            shade("Red kettle lid", "#a3421f", "Wool", Some(5.0), Stock::InStock),
            shade("dull bucket", "#d8cbb2", "Wool", None, Stock::Owned(3)),
            shade("Blue oil drum", "#1f2a4d", "Alpaca", Some(7.5), Stock::Out),
            shade("Wet pavement", "#808080", "Wool", Some(4.0), Stock::InStock),
            shade("Red curtain", "#8e1f3a", "Alpaca", Some(5.0), Stock::InStock),
        ];
        ShadeCard::new("Crooked Ladder", shades).unwrap()
    }

    fn run(query: &ShadeQuery) -> Vec<usize> {
        query.run(&card())
    }

    #[test]
    fn filters_narrow_and_combine() {
        let any = ShadeQuery::default();
        assert_eq!(run(&any), [0, 1, 2, 3, 4]);
        assert_eq!(run(&ShadeQuery { text: "RED wool".to_owned(), ..any.clone() }), [0]);
        assert_eq!(run(&ShadeQuery { text: "red".to_owned(), ..any.clone() }), [0, 4]);
        assert_eq!(run(&ShadeQuery { fibre: Some("Alpaca".to_owned()), ..any.clone() }), [2, 4]);
        assert_eq!(run(&ShadeQuery { available: Available::ToBeHad, ..any.clone() }), [0, 1, 3, 4]);
        assert_eq!(run(&ShadeQuery { available: Available::Owned, ..any.clone() }), [1]);
        let price = Between { from: Some(4.5), to: Some(6.0) };
        assert_eq!(run(&ShadeQuery { price, ..any.clone() }), [0, 4]);
        let value = Between { from: Some(50.0), to: None };
        assert_eq!(run(&ShadeQuery { value, ..any.clone() }), [1, 3]);
        // Across 0: crimson and the red lid, not grey.
        let hue = Some(HueArc { from: 350.0, to: 60.0 });
        assert_eq!(run(&ShadeQuery { hue, ..any }), [0, 4]);
    }

    #[test]
    fn sorting_puts_the_unknown_last_either_way() {
        let by = |sort, descending| run(&ShadeQuery { sort, descending, ..ShadeQuery::default() });
        assert_eq!(by(SortBy::Price, false), [3, 0, 4, 2, 1]);
        assert_eq!(by(SortBy::Price, true), [2, 0, 4, 3, 1]);
        assert_eq!(by(SortBy::Name, false), [2, 1, 4, 0, 3]);
        assert_eq!(by(SortBy::Value, true)[0], 1);
        assert_eq!(by(SortBy::Hue, false)[0], 3);
        assert_eq!(by(SortBy::Card, true), [4, 3, 2, 1, 0]);
    }

    #[test]
    fn a_hue_arc_may_pass_the_top() {
        let arc = HueArc { from: 350.0, to: 20.0 };
        assert!(arc.holds(0.0) && arc.holds(355.0) && arc.holds(20.0));
        assert!(!arc.holds(21.0) && !arc.holds(180.0));
    }
}
