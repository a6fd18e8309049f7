//! What becomes of the yarns on the desk: shades on a card, and the colours the chart is knitted in.

use std::sync::Arc;

use super::{DeskYarn, Photograph, YarnReading};
use crate::app::request::Request;
use crate::colour::Colour;
use crate::photo::Spread;
use crate::project::{Edit, Project};
use crate::units::Price;
use crate::yarn::{
    ColourSource, MAX_TEXT, MOST_OTHERS, PutUp, SecondReading, Shade, ShadeCard, Stock, Variation,
    WeightClass, Wish, Yarn, match_palette,
};

/// What is the same for every ball in the photograph.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct BallFacts {
    /// What it is spun of, in words, or empty.
    pub fibre: String,
    /// Weight class, when known.
    pub weight_class: Option<WeightClass>,
    /// Metres per 100 g and grams per ball, when known.
    pub put_up: Option<PutUp>,
    /// Price of a ball, when known.
    pub ball_price: Option<Price>,
    /// Balls at home of each; 0 when they are still to be bought.
    pub balls_at_home: u32,
    /// The dye lot, or empty.
    pub dye_lot: String,
}

impl BallFacts {
    /// Balls of a yarn that is known, none of them at home.
    pub fn of(yarn: &Yarn) -> Self {
        Self {
            fibre: yarn.blend.name(),
            weight_class: Some(yarn.weight_class().class()),
            put_up: Some(yarn.put_up),
            ball_price: yarn.ball_price,
            balls_at_home: 0,
            dye_lot: yarn.lot.clone(),
        }
    }
}

/// The card that shades are put on.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CardChoice {
    /// A new one of this name.
    New(String),
    /// One of the project's, by its place.
    Existing(usize),
}

/// Where a region lies in its picture, as in W3C Media Fragments URI 1.0 section 4.2.2.
fn place(photograph: &Photograph, yarn: &DeskYarn) -> String {
    let fragment = format!("#xywh={}", yarn.region);
    // The marks that would begin a fragment or an escape are escaped; a long name keeps its end.
    let name = photograph.name.replace('%', "%25").replace('#', "%23");
    let room = MAX_TEXT - fragment.chars().count();
    let skip = name.chars().count().saturating_sub(room);
    name.chars().skip(skip).chain(fragment.chars()).collect()
}

/// How the colour of a yarn changes, as far as the photograph shows it clearly; how long a colour lasts on the strand
/// cannot be seen on a ball.
fn variation(spread: &Spread) -> Option<Variation> {
    let others = spread.parts.iter().skip(1).take(MOST_OTHERS).map(|part| part.colour);
    spread.clear.then(|| Variation { others: others.collect(), ..Variation::of(spread.kind) })
}

fn shade(photograph: &Photograph, yarn: &DeskYarn, reading: &YarnReading, facts: &BallFacts) -> Shade {
    let owned = (facts.balls_at_home > 0).then_some(Stock::Owned(facts.balls_at_home));
    if let Some(known) = &yarn.shade {
        let stock = owned.unwrap_or(known.stock);
        return Shade { stock, ..read_again(photograph, yarn, reading, known) };
    }
    Shade {
        source: ColourSource::Photo,
        uncertainty: reading.sample.error.total().clamp(0.0, 100.0),
        fibre: facts.fibre.trim().to_owned(),
        weight_class: facts.weight_class.map(WeightClass::number),
        put_up: facts.put_up,
        ball_price: facts.ball_price,
        varies: variation(&reading.sample.spread),
        stock: owned.unwrap_or(Stock::InStock),
        dye_lot: facts.dye_lot.trim().to_owned(),
        photo: place(photograph, yarn),
        ..Shade::new(yarn.name.trim(), reading.sample.colour)
    }
}

/// A shade of a card with what the photograph read of its ball.
fn read_again(photograph: &Photograph, yarn: &DeskYarn, reading: &YarnReading, known: &Shade) -> Shade {
    Shade {
        varies: known.varies.clone().or_else(|| variation(&reading.sample.spread)),
        second: Some(SecondReading {
            colour: reading.sample.colour,
            uncertainty: reading.sample.error.total().clamp(0.0, 100.0),
            photo: place(photograph, yarn),
        }),
        ..known.clone()
    }
}

/// The project's cards after its shades that stand in the photograph have their second readings, how many those are, and
/// the other accepted yarns, which are new.
fn noted(
    photograph: &Photograph,
    project: &Project,
    facts: &BallFacts,
) -> (Vec<Arc<ShadeCard>>, usize, Vec<Shade>) {
    let (mut cards, mut count, mut new) = (project.shade_cards.clone(), 0, Vec::new());
    for (yarn, reading) in photograph.accepted() {
        let made = shade(photograph, yarn, reading, facts);
        // An earlier reading of the same ball gives way.
        let is = |other: &Shade| {
            yarn.shade.as_ref().is_some_and(|known| {
                (&known.name, &known.code, known.colour) == (&other.name, &other.code, other.colour)
            })
        };
        let place = cards
            .iter()
            .enumerate()
            .find_map(|(card, shades)| shades.shades().iter().position(is).map(|place| (card, place)));
        let replaced = place.and_then(|(card, place)| {
            Arc::make_mut(&mut cards[card]).replace(place, made.clone()).ok().flatten()
        });
        match replaced {
            Some(_) => count += 1,
            None => new.push(made),
        }
    }
    (cards, count, new)
}

/// The accepted yarns as shades, in their order.
pub fn shades_of(photograph: &Photograph, facts: &BallFacts) -> Vec<Shade> {
    photograph.accepted().map(|(yarn, reading)| shade(photograph, yarn, reading, facts)).collect()
}

/// Puts the accepted yarns on a card: one step to undo.
pub(super) fn put_on_card(
    photograph: &Photograph,
    project: &Project,
    choice: &CardChoice,
    facts: &BallFacts,
) -> Vec<Request> {
    let (cards, count, new) = noted(photograph, project, facts);
    let told = match count {
        0 => String::new(),
        1 => "1 second reading noted with its shade.".to_owned(),
        count => format!("{count} second readings noted with their shades."),
    };
    if count > 0 && new.is_empty() {
        return vec![Request::Edit("Note second readings", Edit::ShadeCards(cards)), Request::Notify(told)];
    }
    match with_shades(cards, choice, new) {
        Ok((edit, message)) => {
            let message = format!("{message} {told}").trim_end().to_owned();
            vec![Request::Edit("Put on a shade card", edit), Request::Notify(message)]
        }
        Err(reason) => vec![Request::Complain(reason)],
    }
}

fn with_shades(
    mut cards: Vec<Arc<ShadeCard>>,
    choice: &CardChoice,
    shades: Vec<Shade>,
) -> Result<(Edit, String), String> {
    if shades.is_empty() {
        return Err("No yarn is accepted yet: tick the yarns to put on the card.".to_owned());
    }
    let count = shades.len();
    let mut card = match choice {
        CardChoice::New(name) if name.trim().is_empty() => {
            return Err("The new shade card needs a name: type one.".to_owned());
        }
        CardChoice::New(name) => {
            let mut card = ShadeCard::default();
            name.trim().clone_into(&mut card.name);
            card
        }
        CardChoice::Existing(index) => {
            let card = cards.get(*index).ok_or("That shade card is gone: choose another.")?;
            (**card).clone()
        }
    };
    for (index, shade) in shades.into_iter().enumerate() {
        card.push(shade).map_err(|error| format!("Accepted yarn {}: {error}.", index + 1))?;
    }
    let one = if count == 1 { "1 shade".to_owned() } else { format!("{count} shades") };
    let message = format!("{one} put on the card {}.", card.name);
    match choice {
        CardChoice::New(_) => cards.push(Arc::new(card)),
        CardChoice::Existing(index) => cards[*index] = Arc::new(card),
    }
    Ok((Edit::ShadeCards(cards), message))
}

/// A yarn for a colour.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Pairing {
    /// Place of the yarn among those given.
    pub yarn: usize,
    /// CIEDE2000 between them.
    pub difference: f64,
}

/// Gives each colour a yarn of its own so that the sum of CIEDE2000 is least (see
/// [`match_palette`]); when there are fewer yarns, those colours that are worst served get none.
pub fn pair(colours: &[Colour], yarns: &[Colour]) -> Vec<Option<Pairing>> {
    let assign = |wishes: &[Colour], there_are: &[Colour]| {
        let card = ShadeCard::new("", there_are.iter().map(|colour| Shade::new("-", *colour)).collect());
        let wishes: Vec<Wish> = wishes.iter().map(|colour| Wish { colour: *colour, metres: None }).collect();
        let places: Vec<usize> = (0..there_are.len()).collect();
        card.ok().and_then(|card| match_palette(&card, &places, &wishes, 0).ok())
    };
    let mut pairings = vec![None; colours.len()];
    if colours.len() <= yarns.len() {
        for (slot, matched) in assign(colours, yarns).into_iter().flat_map(|m| m.matched).enumerate() {
            let (yarn, difference) = (matched.chosen.shade, matched.chosen.difference);
            pairings[slot] = Some(Pairing { yarn, difference });
        }
    } else {
        for (yarn, matched) in assign(yarns, colours).into_iter().flat_map(|m| m.matched).enumerate() {
            pairings[matched.chosen.shade] = Some(Pairing { yarn, difference: matched.chosen.difference });
        }
    }
    pairings
}

/// Knits the chart in yarns of the desk: one step to undo.
pub(super) fn knit_in(
    photograph: &Photograph,
    project: &Project,
    yarns: &[Option<u64>],
    facts: &BallFacts,
) -> Vec<Request> {
    let mut shades = Vec::new();
    for (slot, id) in yarns.iter().enumerate() {
        let Some((yarn, reading)) = photograph.accepted().find(|(yarn, _)| Some(yarn.id) == *id) else {
            continue;
        };
        let shade = shade(photograph, yarn, reading, facts);
        if let Err(error) = shade.check() {
            return vec![Request::Complain(format!("{}: {error}.", yarn.name))];
        }
        shades.push((slot, Arc::new(shade)));
    }
    let said = match shades.len() {
        0 => {
            let mend = "No colour has a yarn yet: accept a yarn and choose it for a colour.";
            return vec![Request::Complain(mend.to_owned())];
        }
        1 => "One colour is knitted in its yarn now.".to_owned(),
        count => format!("{count} colours are knitted in their yarns now."),
    };
    vec![Request::Edit("Knit in photographed yarn", project.knit_in(shades)), Request::Notify(said)]
}

#[cfg(test)]
mod tests {
    use super::*;

    fn colours(hexes: &[&str]) -> Vec<Colour> {
        hexes.iter().map(|hex| Colour::from_hex(hex).unwrap()).collect()
    }

    #[test]
    fn colours_are_paired_once_each_and_the_worst_served_goes_without() {
        let palette = colours(&["#a03020", "#1f2a4d", "#e8d8b0"]);
        let yarns = colours(&["#f0e0c0", "#202c50", "#a83828", "#00ff00"]);
        let places = |pairings: Vec<Option<Pairing>>| -> Vec<Option<usize>> {
            pairings.iter().map(|pairing| pairing.map(|p| p.yarn)).collect()
        };
        assert_eq!(places(pair(&palette, &yarns)), [Some(2), Some(1), Some(0)]);
        assert_eq!(places(pair(&palette, &yarns[1..3])), [Some(1), Some(0), None]);
        assert_eq!(places(pair(&palette, &[])), [None, None, None]);
        let pairing = pair(&palette[..1], &yarns[2..3])[0].unwrap();
        assert!((pairing.difference - palette[0].difference(yarns[2])).abs() < 1e-9);
    }

    #[test]
    fn nothing_is_put_on_a_card_without_yarns_or_a_name() {
        let project = Project::default();
        let shade = || Shade::new("Dull bucket", Colour::WHITE);
        let new = |name: &str| CardChoice::New(name.to_owned());
        assert!(
            with_shades(project.shade_cards.clone(), &new("Card"), vec![])
                .unwrap_err()
                .contains("tick the yarns")
        );
        assert!(
            with_shades(project.shade_cards.clone(), &new("  "), vec![shade()])
                .unwrap_err()
                .contains("type one")
        );
        let gone = with_shades(project.shade_cards.clone(), &CardChoice::Existing(0), vec![shade()]);
        assert!(gone.unwrap_err().contains("choose another"));
        let nameless = with_shades(
            project.shade_cards.clone(),
            &new("Card"),
            vec![shade(), Shade::new(" ", Colour::WHITE)],
        );
        assert_eq!(nameless.unwrap_err(), "Accepted yarn 2: a shade needs a name.");
        let (_, message) = with_shades(project.shade_cards.clone(), &new(" Card "), vec![shade()]).unwrap();
        assert_eq!(message, "1 shade put on the card Card.");
    }
}
