//! A wished palette in shades that exist.

use super::shade_card::{Shade, ShadeCard};
use crate::colour::{Colour, Lab, Likeness, ciede2000};
use crate::units::Price;
use pathfinding::matrix::Matrix;
use pathfinding::prelude::kuhn_munkres_min;
use rayon::prelude::*;
use thiserror::Error;

/// Most colours that are wished for at once: as many as a chart can name. The work grows with the square
/// of the wishes times the shades, so 64 of 20,000 are a moment and 15,000 would be more memory than there is.
pub const MOST_WISHES: usize = 64;

/// Why no shades can be given to a palette.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum MatchError {
    /// No colours are wished for.
    #[error("no colours are wished for: name at least one")]
    NoWish,
    /// More colours than a palette has.
    #[error("{0} colours are wished for: wish for at most {MOST_WISHES}, as many as a palette has")]
    TooMany(usize),
    /// Fewer shades than colours.
    #[error(
        "{wishes} colours are wished for but only {shades} shades may be used: wish for fewer or allow more shades"
    )]
    TooFew {
        /// Colours wished for.
        wishes: usize,
        /// Shades that may be used.
        shades: usize,
    },
}

/// A colour wished for.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Wish {
    /// The colour.
    pub colour: Colour,
    /// Metres of yarn it takes, when known; without, one ball is counted.
    pub metres: Option<f64>,
}

/// A shade held against a wish.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Candidate {
    /// Place of the shade on the card.
    pub shade: usize,
    /// CIEDE2000 from the wish.
    pub difference: f64,
}

impl Candidate {
    /// The difference in a word.
    pub fn likeness(&self) -> Likeness {
        Likeness::of(self.difference)
    }
}

/// What one wish got.
#[derive(Clone, Debug, PartialEq)]
pub struct Matched {
    /// Its shade; no other wish has it.
    pub chosen: Candidate,
    /// Other shades, the nearest first; one of them may be nearer when another wish needed it more.
    pub alternatives: Vec<Candidate>,
}

/// Shades for a palette.
#[derive(Clone, Debug, PartialEq)]
pub struct Matching {
    /// One for each wish, in their order.
    pub matched: Vec<Matched>,
    /// Sum of the differences, the least possible with distinct shades.
    pub total_difference: f64,
    /// What the set costs.
    pub cost: SetCost,
}

/// What a set of shades costs.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SetCost {
    /// Price of the balls to buy, as far as prices are known.
    pub known: Price,
    /// Balls each shade of the set takes, what is owned with them.
    pub needed: Vec<u32>,
    /// Balls to buy for each of them, what is owned taken off.
    pub balls: Vec<u32>,
    /// Shades (places on the card) with balls to buy and no price.
    pub unpriced: Vec<usize>,
}

impl SetCost {
    /// The cost of shades, each with the metres it takes; without metres or put-up one ball is counted.
    pub fn of(card: &ShadeCard, set: impl IntoIterator<Item = (usize, Option<f64>)>) -> Self {
        let mut cost = Self::default();
        for (index, metres) in set {
            let Some(shade) = card.shades().get(index) else { continue };
            let needed = balls_needed(shade, metres);
            let balls = balls_to_buy(card, shade, needed, metres);
            cost.needed.push(needed);
            cost.balls.push(balls);
            match shade.ball_price {
                Some(price) => cost.known += price.of_balls(balls),
                None if balls > 0 => cost.unpriced.push(index),
                None => {}
            }
        }
        cost
    }
}

fn balls_needed(shade: &Shade, metres: Option<f64>) -> u32 {
    match (shade.put_up, metres) {
        (Some(put_up), Some(metres)) if metres.is_finite() => put_up.balls(metres),
        _ => 1,
    }
}

/// Of the balls needed those to buy: what is on hand is taken off the length, as Shopping does, and what is
/// owned by the card off the balls.
fn balls_to_buy(card: &ShadeCard, shade: &Shade, needed: u32, metres: Option<f64>) -> u32 {
    let wanted = metres.filter(|metres| metres.is_finite());
    match (card.on_hand_m(shade), wanted, shade.put_up) {
        (Some(on_hand), Some(metres), Some(put_up)) => put_up.balls((metres - on_hand).max(0.0)),
        (Some(on_hand), Some(metres), None) => u32::from(metres > on_hand),
        _ => needed.saturating_sub(card.balls_at_home(shade)),
    }
}

/// Costs are whole numbers in the assignment: ten-thousandths of a CIEDE2000 unit.
const COST_SCALE: f64 = 10_000.0;

/// Gives each wish a shade of its own so that the sum of CIEDE2000 is least (optimal assignment,
/// Kuhn 1955 and Munkres 1957), from the shades at the `allowed` places, with up to `alternatives`
/// other shades for each.
///
/// # Errors
/// [`MatchError`] when there are no wishes or fewer allowed shades than wishes.
pub fn match_palette(
    card: &ShadeCard,
    allowed: &[usize],
    wishes: &[Wish],
    alternatives: usize,
) -> Result<Matching, MatchError> {
    let mut allowed: Vec<usize> = allowed.iter().copied().filter(|i| *i < card.shades().len()).collect();
    allowed.sort_unstable();
    allowed.dedup();
    if wishes.is_empty() {
        return Err(MatchError::NoWish);
    }
    if wishes.len() > MOST_WISHES {
        return Err(MatchError::TooMany(wishes.len()));
    }
    if allowed.len() < wishes.len() {
        return Err(MatchError::TooFew { wishes: wishes.len(), shades: allowed.len() });
    }
    let labs: Vec<Lab> = allowed.iter().map(|index| card.shades()[*index].colour.to_lab()).collect();
    let differences: Vec<Vec<f64>> = wishes
        .par_iter()
        .map(|wish| {
            let wished = wish.colour.to_lab();
            labs.iter().map(|lab| ciede2000(wished, *lab)).collect()
        })
        .collect();
    let costs = Matrix::from_fn(wishes.len(), allowed.len(), |(wish, shade)| {
        (differences[wish][shade] * COST_SCALE).round() as i64
    });
    let (_, columns) = kuhn_munkres_min(&costs);
    let candidate = |wish: usize, column: usize| Candidate {
        shade: allowed[column],
        difference: differences[wish][column],
    };
    let matched: Vec<Matched> = columns
        .iter()
        .enumerate()
        .map(|(wish, chosen)| {
            let mut others: Vec<Candidate> =
                (0..allowed.len()).filter(|column| column != chosen).map(|c| candidate(wish, c)).collect();
            let nearest_first = |a: &Candidate, b: &Candidate| a.difference.total_cmp(&b.difference);
            if others.len() > alternatives {
                others.select_nth_unstable_by(alternatives, nearest_first);
                others.truncate(alternatives);
            }
            others.sort_by(nearest_first);
            Matched { chosen: candidate(wish, *chosen), alternatives: others }
        })
        .collect();
    let set = matched.iter().zip(wishes).map(|(matched, wish)| (matched.chosen.shade, wish.metres));
    Ok(Matching {
        total_difference: matched.iter().map(|matched| matched.chosen.difference).sum(),
        cost: SetCost::of(card, set),
        matched,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::yarn::{PutUp, Stock};

    fn card(hexes: &[&str]) -> ShadeCard {
        let shade = |hex: &&str| Shade::new(*hex, Colour::from_hex(hex).unwrap());
        ShadeCard::new("Card", hexes.iter().map(shade).collect()).unwrap()
    }

    fn wishes(hexes: &[&str]) -> Vec<Wish> {
        hexes.iter().map(|hex| Wish { colour: Colour::from_hex(hex).unwrap(), metres: None }).collect()
    }

    #[test]
    fn two_wishes_for_one_shade_are_settled_for_the_best_sum() {
        // Both reds are nearest to the first shade; the second wish has a good second choice.
        let card = card(&["#a03020", "#802010", "#1f2a4d"]);
        let found = match_palette(&card, &[0, 1, 2], &wishes(&["#a83828", "#9c2c1c"]), 2).unwrap();
        let shades: Vec<usize> = found.matched.iter().map(|m| m.chosen.shade).collect();
        assert_eq!(shades, [0, 1]);
        let second = &found.matched[1];
        assert_eq!(second.alternatives[0].shade, 0);
        assert!(second.alternatives[0].difference < second.chosen.difference);
    }

    #[test]
    fn only_allowed_shades_are_used_each_once() {
        let card = card(&["#a03020", "#802010", "#1f2a4d", "#ffffff"]);
        let found = match_palette(&card, &[3, 2, 2, 99], &wishes(&["#a03020", "#000000"]), 9).unwrap();
        let shades: Vec<usize> = found.matched.iter().map(|m| m.chosen.shade).collect();
        assert_eq!(shades, [3, 2]);
        assert_eq!(found.matched[0].alternatives.len(), 1);
    }

    #[test]
    fn what_cannot_be_matched_says_why() {
        let card = card(&["#a03020"]);
        assert_eq!(match_palette(&card, &[0], &[], 1), Err(MatchError::NoWish));
        let many = wishes(&["#000"; 65]);
        assert_eq!(match_palette(&card, &[0], &many, 1), Err(MatchError::TooMany(65)));
        let error = match_palette(&card, &[0], &wishes(&["#000", "#fff"]), 1).unwrap_err();
        assert!(error.to_string().contains("2 colours") && error.to_string().contains("only 1 shades"));
    }

    #[test]
    fn cost_counts_whole_balls_less_those_owned() {
        let mut card = card(&["#a03020", "#802010", "#1f2a4d"]);
        let sold = |price: Option<f64>, stock| Shade {
            put_up: PutUp::new(200.0, 50.0).ok(),
            ball_price: price.map(Price::clamped),
            stock,
            ..Shade::new("x", Colour::BLACK)
        };
        card.replace(0, sold(Some(6.0), Stock::Owned(1))).unwrap();
        card.replace(1, sold(None, Stock::InStock)).unwrap();
        // 250 m are three balls of 100 m, one of which is at home; the last has no put-up: one ball.
        let cost = SetCost::of(&card, [(0, Some(250.0)), (1, Some(90.0)), (2, None)]);
        let expected = SetCost {
            known: Price::clamped(12.0),
            needed: vec![3, 1, 1],
            balls: vec![2, 1, 1],
            unpriced: vec![1, 2],
        };
        assert_eq!(cost, expected);
        // What is at home costs nothing, whatever its price.
        assert_eq!(SetCost::of(&card, [(0, Some(100.0))]).known, Price::default());
    }
}
