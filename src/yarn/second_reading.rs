//! A shade seen again: what a photograph of its ball reads, beside what its card says; and shades that may be taken
//! for one another.

use std::sync::Arc;

use super::shade_card::{Shade, ShadeCard};
use crate::colour::{Colour, ciede2000};

/// What a photograph read of a ball of a shade whose colour is known from elsewhere.
#[derive(Clone, Debug, PartialEq)]
pub struct SecondReading {
    /// The colour it read, under D65.
    pub colour: Colour,
    /// How far it may be off: one standard deviation in CIEDE2000, `0..=100`.
    pub uncertainty: f64,
    /// The photograph and the place on it, as [`Shade::photo`].
    pub photo: String,
}

/// A shade of some card, held against a colour.
#[derive(Clone, Debug, PartialEq)]
pub struct LikeShade {
    /// Place of its card among those asked.
    pub card: usize,
    /// The shade.
    pub shade: Arc<Shade>,
    /// CIEDE2000 from the colour.
    pub difference: f64,
}

impl ShadeCard {
    /// The twins of the shade at `place`: others nearer to it than either colour may be off, so that they can be taken
    /// for one another; their places and CIEDE2000, the nearest first.
    pub fn twins(&self, place: usize) -> Vec<(usize, f64)> {
        let Some(own) = self.shades().get(place) else { return Vec::new() };
        let colour = own.colour.to_lab();
        let others = self.shades().iter().enumerate().filter(|(other, _)| *other != place);
        let near = |(other, shade): (usize, &Shade)| {
            let difference = ciede2000(colour, shade.colour.to_lab());
            (difference < own.uncertainty.max(shade.uncertainty)).then_some((other, difference))
        };
        let mut twins: Vec<(usize, f64)> = others.filter_map(near).collect();
        twins.sort_by(|a, b| a.1.total_cmp(&b.1));
        twins
    }
}

/// The shades of some cards nearest to a colour, the nearest first, at most `most`.
pub fn shades_like(cards: &[Arc<ShadeCard>], colour: Colour, most: usize) -> Vec<LikeShade> {
    let wished = colour.to_lab();
    let all = cards.iter().enumerate();
    let all = all.flat_map(|(card, of)| of.shades().iter().map(move |shade| (card, shade)));
    let mut near: Vec<(usize, &Shade, f64)> =
        all.map(|(card, shade)| (card, shade, ciede2000(wished, shade.colour.to_lab()))).collect();
    near.sort_by(|a, b| a.2.total_cmp(&b.2));
    let like = |(card, shade, difference): (usize, &Shade, f64)| LikeShade {
        card,
        shade: Arc::new(shade.clone()),
        difference,
    };
    near.into_iter().take(most).map(like).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shade(name: &str, hex: &str, uncertainty: f64) -> Shade {
        Shade { uncertainty, ..Shade::new(name, Colour::from_hex(hex).unwrap()) }
    }

    #[test]
    fn twins_are_nearer_than_either_may_be_off() {
        let shades = vec![
            shade("Dull bucket", "#446688", 1.0),
            shade("Wet pavement", "#4a6a8c", 3.0),
            shade("Old fire bucket", "#aa3322", 8.0),
        ];
        let card = ShadeCard::new("Front shelf", shades).unwrap();
        let twins = card.twins(0);
        assert_eq!(twins.len(), 1, "{twins:?}");
        assert_eq!((twins[0].0, card.twins(1)[0].0), (1, 0), "one is the other's twin");
        assert!(twins[0].1 > 1.0 && twins[0].1 < 3.0, "{twins:?}");
        assert!(card.twins(2).is_empty() && card.twins(9).is_empty());
    }

    #[test]
    fn the_nearest_of_all_cards_come_first() {
        let card = |shades| Arc::new(ShadeCard::new("Card", shades).unwrap());
        let cards = [
            card(vec![shade("far", "#ffffff", 1.0), shade("near", "#446689", 1.0)]),
            card(vec![shade("same", "#446688", 1.0)]),
        ];
        let found = shades_like(&cards, Colour::from_hex("#446688").unwrap(), 2);
        let told: Vec<(usize, &str)> = found.iter().map(|l| (l.card, l.shade.name.as_str())).collect();
        assert_eq!(told, [(1, "same"), (0, "near")]);
    }
}
