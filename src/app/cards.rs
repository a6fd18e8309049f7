//! The shade cards of the project: which is looked at, what is searched for on it, and cards and
//! tables on disk. Searching, reading and writing run on threads.

use std::sync::Arc;

use super::derived::{Derived, Reading};
use super::document::DocumentId;
use super::jobs::{Host, Jobs};
use super::picker::file_stem;
use super::purpose::CardFile;
use super::table_desk::TableImport;
use crate::colour::Colour;
use crate::file::{self, Problem, ShadeField};
use crate::project::{Edit, Project};
use crate::units::Price;
use crate::yarn::{ColourSource, LikeShade, PutUp, Shade, ShadeCard, ShadeQuery, Stock, shades_like};

/// What is searched for, in a complaint.
const SHADES: &str = "shades on the card";

/// What the window asks for about the cards.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CardAction {
    /// Look at the card in this place.
    Show(usize),
    /// Ask for a file.
    Pick(CardFile),
    /// Read the table on its way in again, now that it is mended.
    ImportAgain,
    /// Say what a column of it holds, or that it is left out.
    Column(usize, Option<ShadeField>),
    /// Take its sound lines in as a card.
    TakeIn,
    /// Leave the table.
    ForgetTable,
    /// Add the card of the demos' invented mill.
    AddDemo,
}

/// A question about a card.
#[derive(Clone, Debug)]
pub struct FindAsk {
    /// The card.
    pub card: Arc<ShadeCard>,
    /// What is wanted of it.
    pub query: ShadeQuery,
}

impl PartialEq for FindAsk {
    /// Cards are told apart by where they lie: to compare thousands of shades in every frame would
    /// take too long.
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.card, &other.card) && self.query == other.query
    }
}

/// The shades that were searched for.
#[derive(Clone, Debug)]
pub struct Found {
    /// Places of the shades on the card, in the asked order.
    pub places: Vec<usize>,
    /// Every fibre on the card, once, in alphabetical order.
    pub fibres: Vec<String>,
    /// The highest price of a ball on the card, if there is any.
    pub dearest: Option<f64>,
}

impl Found {
    fn on(FindAsk { card, query }: &FindAsk) -> Self {
        let places = query.run(card);
        let fibres = card.fibres().into_iter().map(str::to_owned).collect();
        let dearest =
            card.shades().iter().filter_map(|shade| shade.ball_price).map(Price::get).reduce(f64::max);
        Self { places, fibres, dearest }
    }
}

/// Whether these are the same cards, told by where they lie: to compare thousands of shades in every frame would take
/// too long.
pub(super) fn same_cards(some: &[Arc<ShadeCard>], others: &[Arc<ShadeCard>]) -> bool {
    some.len() == others.len() && some.iter().zip(others).all(|(a, b)| Arc::ptr_eq(a, b))
}

/// A question about the twins of a shade.
#[derive(Clone, Debug)]
pub struct TwinsAsk {
    /// The card.
    pub card: Arc<ShadeCard>,
    /// The place of the shade on it.
    pub place: usize,
}

impl PartialEq for TwinsAsk {
    /// As for [`FindAsk`].
    fn eq(&self, other: &Self) -> bool {
        Arc::ptr_eq(&self.card, &other.card) && self.place == other.place
    }
}

/// A question about the shades that a colour may be.
#[derive(Clone, Debug)]
pub struct LikeAsk {
    /// The cards.
    pub cards: Vec<Arc<ShadeCard>>,
    /// The colour.
    pub colour: Colour,
}

impl PartialEq for LikeAsk {
    /// As for [`FindAsk`].
    fn eq(&self, other: &Self) -> bool {
        same_cards(&self.cards, &other.cards) && self.colour == other.colour
    }
}

/// Shades that are offered for a ball.
const MOST_LIKE: usize = 12;

/// The shade cards as they are looked at.
pub struct Cards {
    /// The card that is looked at, by its place in the project.
    pub shown: usize,
    /// What is searched for on it.
    pub found: Derived<FindAsk, Found>,
    /// The twins of the chosen shade.
    pub twins: Derived<TwinsAsk, Vec<(usize, f64)>>,
    /// The shades that a ball in a photograph may be.
    pub like: Derived<LikeAsk, Vec<LikeShade>>,
    /// The table on its way in.
    pub table: Option<TableImport>,
    /// What is to be written: the card as it stood when a file was asked for.
    pub(super) outgoing: Option<Arc<ShadeCard>>,
    /// What is read just now, for the status bar.
    pub(super) reading: Option<&'static str>,
    document: DocumentId,
}

impl Cards {
    /// The cards of a document that has just been opened.
    pub fn of(document: DocumentId) -> Self {
        Self {
            shown: 0,
            found: Derived::of(document, SHADES),
            twins: Derived::of(document, "twins of the shade"),
            like: Derived::of(document, "shades like the ball"),
            table: None,
            outgoing: None,
            reading: None,
            document,
        }
    }

    /// The twins of a shade: their places and CIEDE2000, the nearest first.
    pub fn twins(&self, ask: &TwinsAsk, jobs: &Jobs<impl Host>) -> Reading<Vec<(usize, f64)>> {
        let asked = ask.clone();
        self.twins.ask(ask, jobs, move || asked.card.twins(asked.place))
    }

    /// The shades nearest to a colour, the nearest first.
    pub fn like(&self, ask: &LikeAsk, jobs: &Jobs<impl Host>) -> Reading<Vec<LikeShade>> {
        let asked = ask.clone();
        self.like.ask(ask, jobs, move || shades_like(&asked.cards, asked.colour, MOST_LIKE))
    }

    /// The shades of a card that are wanted.
    pub fn found(&self, ask: &FindAsk, jobs: &Jobs<impl Host>) -> Reading<Found> {
        let asked = ask.clone();
        self.found.ask(ask, jobs, move || Found::on(&asked))
    }

    /// Looks at another card: what was found and read before is of no more use.
    pub(super) fn look_at(&mut self, place: usize) {
        self.shown = place;
        self.found = Derived::of(self.document, SHADES);
        self.table = None;
    }

    /// A file name to start from.
    pub(super) fn suggested_name(&self, what: CardFile) -> String {
        let stem = self.outgoing.as_ref().map_or_else(|| "Shades".to_owned(), |card| file_stem(&card.name));
        match what {
            CardFile::Open | CardFile::Import => String::new(),
            CardFile::Save => format!("{stem} card.ron"),
            CardFile::SaveTable => format!("{stem}.csv"),
            CardFile::SaveExample => "Example shades.csv".to_owned(),
        }
    }
}

/// The edit that changes the list of cards.
pub fn changed(project: &Project, change: impl FnOnce(&mut Vec<Arc<ShadeCard>>)) -> Edit {
    let mut cards = project.shade_cards.clone();
    change(&mut cards);
    Edit::ShadeCards(cards)
}

/// A count in words: `1 shade`, `48 shades`.
pub fn shades(count: usize) -> String {
    if count == 1 { "1 shade".to_owned() } else { format!("{count} shades") }
}

/// A table with every column filled, to write one's own after. Invented shades.
pub(super) fn example_table() -> Result<String, Problem> {
    let bucket = Shade {
        code: "01".to_owned(),
        source: ColourSource::Maker,
        uncertainty: ColourSource::Maker.usual_uncertainty(),
        fibre: "75 % wool, 25 % nylon".to_owned(),
        weight_class: Some(1),
        put_up: PutUp::new(420.0, 50.0).ok(),
        ball_price: Price::new(6.5).ok(),
        stock: Stock::Owned(2),
        dye_lot: "1207".to_owned(),
        photo: "bucket.jpg".to_owned(),
        ..Shade::new("Dull bucket", Colour::clamped(0.78, 0.012, 250.0))
    };
    let gutter = Shade {
        name: "Green gutter".to_owned(),
        code: "02".to_owned(),
        colour: Colour::clamped(0.56, 0.075, 190.0),
        ball_price: Price::new(7.0).ok(),
        stock: Stock::Out,
        dye_lot: String::new(),
        photo: String::new(),
        ..bucket.clone()
    };
    let least = Shade::new("Only name and colour are needed", Colour::clamped(0.6, 0.12, 32.0));
    file::shades_to_csv(&[bucket, gutter, least])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_example_is_a_table_the_program_reads() {
        let read = file::shades_from_csv(example_table().unwrap().as_bytes(), "example.csv").unwrap();
        assert_eq!(read.shades.len(), 3);
        assert!(read.ignored.is_empty());
        assert_eq!(read.shades[0].owned_balls(), 2);
    }
}
