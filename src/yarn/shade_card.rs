//! Shade cards: the colours that exist, in the yarns they exist in.

use super::{MakeFault, OnHand, PutUp, SecondReading, Variation, VariationFault, YarnMake};
use crate::colour::{Colour, ColourError};
use crate::units::Price;
use thiserror::Error;

/// Most shades a card holds.
pub const MAX_SHADES: usize = 20_000;
/// Longest text of a field, in characters.
pub const MAX_TEXT: usize = 200;

/// Why a shade or a card was refused.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum ShadeError {
    /// A shade without a name.
    #[error("a shade needs a name")]
    NoName,
    /// A text beyond [`MAX_TEXT`].
    #[error("the {field} has {found} characters, more than {MAX_TEXT}: shorten it")]
    LongText {
        /// The field.
        field: &'static str,
        /// Its length.
        found: usize,
    },
    /// No such weight class.
    #[error("the weight class must be a whole number from 0 to 7, not {0}")]
    WeightClass(u8),
    /// An uncertainty that is none.
    #[error("the uncertainty must be between 0 and 100, not {0}")]
    Uncertainty(f64),
    /// Too many shades.
    #[error("a card holds at most {MAX_SHADES} shades, not {0}: divide it")]
    TooMany(usize),
    /// Wraps per inch that cannot be.
    #[error(transparent)]
    Make(#[from] MakeFault),
    /// Colours along the strand that cannot be.
    #[error(transparent)]
    Variation(#[from] VariationFault),
    /// A colour that is none.
    #[error(transparent)]
    Colour(#[from] ColourError),
}

/// Where the colour of a shade comes from.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum ColourSource {
    /// Measured on a photograph.
    Photo,
    /// Out of a table, a shop's as a rule, that does not say how it came by it.
    Table,
    /// Typed in or matched by eye.
    #[default]
    Typed,
    /// Given by the maker.
    Maker,
}

impl ColourSource {
    /// All sources, in the order they are offered.
    pub const ALL: [Self; 4] = [Self::Photo, Self::Table, Self::Typed, Self::Maker];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Photo => "Photo",
            Self::Table => "Table",
            Self::Typed => "Typed",
            Self::Maker => "Maker",
        }
    }

    /// Where the colour comes from, in words that begin a sentence: the same in the window, on the card and on the sheet.
    pub const fn told(self) -> &'static str {
        match self {
            Self::Photo => "Read off a photograph",
            Self::Table => "From a table",
            Self::Typed => "Typed in or matched by eye",
            Self::Maker => "As the maker shows it",
        }
    }

    /// The uncertainty to assume when none is given, in CIEDE2000: what `photo` states on an average for a
    /// picture with one grey card, over daylights and lamps (`tests/reference/photo_error.rs` holds the two
    /// together); 5 for a colour out of a table or matched by eye and 3 for a maker's screen colour are our judgement.
    pub const fn usual_uncertainty(self) -> f64 {
        match self {
            Self::Photo => 8.0,
            Self::Table | Self::Typed => 5.0,
            Self::Maker => 3.0,
        }
    }
}

/// Whether a shade can be had.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Stock {
    /// To be bought.
    #[default]
    InStock,
    /// This many balls are at home, 1 or more; more can be bought.
    Owned(u32),
    /// Not to be had.
    Out,
}

/// One shade of a yarn.
#[derive(Clone, Debug, PartialEq)]
pub struct Shade {
    /// What it is called; never empty.
    pub name: String,
    /// The maker's number, or empty.
    pub code: String,
    /// Its colour under D65.
    pub colour: Colour,
    /// Where the colour comes from.
    pub source: ColourSource,
    /// How far the colour may be off: one standard deviation in CIEDE2000, `0..=100`.
    pub uncertainty: f64,
    /// What it is spun of, in words, or empty.
    pub fibre: String,
    /// Weight class of the published standard, `0..=7`, when known.
    pub weight_class: Option<u8>,
    /// Metres per 100 g and grams per ball, when known.
    pub put_up: Option<PutUp>,
    /// Price of a ball, when known.
    pub ball_price: Option<Price>,
    /// Whether it can be had.
    pub stock: Stock,
    /// The dye lot, or empty.
    pub dye_lot: String,
    /// The photograph it was measured on, or empty; the place may follow as in W3C Media Fragments
    /// (`balls.jpg#xywh=120,40,100,100`).
    pub photo: String,
    /// What a photograph of its ball read, where its colour is known from elsewhere.
    pub second: Option<SecondReading>,
    /// How its colour changes along the strand, when known.
    pub varies: Option<Variation>,
    /// The yarn line, how it is spun and how it is cared for.
    pub make: YarnMake,
}

impl Shade {
    /// A shade of which only name and colour are known.
    pub fn new(name: impl Into<String>, colour: Colour) -> Self {
        let source = ColourSource::default();
        Self {
            name: name.into(),
            code: String::new(),
            colour,
            source,
            uncertainty: source.usual_uncertainty(),
            fibre: String::new(),
            weight_class: None,
            put_up: None,
            ball_price: None,
            stock: Stock::default(),
            dye_lot: String::new(),
            photo: String::new(),
            second: None,
            varies: None,
            make: YarnMake::default(),
        }
    }

    /// Price of 100 m, when price and put-up are known: what a piece costs at one gauge, whatever
    /// the size of the balls.
    pub fn price_per_100m(&self) -> Option<f64> {
        Some(self.ball_price?.get() * 100.0 / self.put_up?.metres_per_ball())
    }

    /// Balls at home.
    pub const fn owned_balls(&self) -> u32 {
        match self.stock {
            Stock::Owned(balls) => balls,
            Stock::InStock | Stock::Out => 0,
        }
    }

    /// Metres at home, as far as its card says how long a ball is.
    pub fn owned_m(&self) -> f64 {
        self.put_up.map_or(0.0, |put_up| f64::from(self.owned_balls()) * put_up.metres_per_ball())
    }

    /// Refuses what the types allow and a shade does not.
    ///
    /// # Errors
    /// [`ShadeError`] naming the first field that is wrong.
    pub fn check(&self) -> Result<(), ShadeError> {
        if self.name.trim().is_empty() {
            return Err(ShadeError::NoName);
        }
        let texts: [(&str, &str); 7] = [
            ("name", &self.name),
            ("code", &self.code),
            ("fibre", &self.fibre),
            ("dye lot", &self.dye_lot),
            ("photo", &self.photo),
            ("care", self.make.care.unread()),
            ("yarn line", &self.make.line),
        ];
        for (field, text) in texts {
            let found = text.chars().count();
            if found > MAX_TEXT {
                return Err(ShadeError::LongText { field, found });
            }
        }
        if let Some(class) = self.weight_class.filter(|class| *class > 7) {
            return Err(ShadeError::WeightClass(class));
        }
        if !(0.0..=100.0).contains(&self.uncertainty) {
            return Err(ShadeError::Uncertainty(self.uncertainty));
        }
        if let Some(wraps) = self.make.wraps_per_inch {
            YarnMake::wraps(wraps)?;
        }
        if let Some(second) = &self.second {
            let found = second.photo.chars().count();
            if found > MAX_TEXT {
                return Err(ShadeError::LongText { field: "photo of the second reading", found });
            }
            if !(0.0..=100.0).contains(&second.uncertainty) {
                return Err(ShadeError::Uncertainty(second.uncertainty));
            }
        }
        if let Some(variation) = &self.varies {
            variation.check()?;
        }
        Ok(())
    }
}

/// A list of shades, e.g. one maker's, one shop's, or what is at home.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ShadeCard {
    /// What it is called.
    pub name: String,
    shades: Vec<Shade>,
    /// What a project has on hand of them; stands in no file of a card.
    on_hand: OnHand,
}

impl ShadeCard {
    /// A card of checked shades.
    ///
    /// # Errors
    /// The place (from 0) of the first wrong shade and what is wrong; the number of shades when
    /// they are too many.
    pub fn new(name: impl Into<String>, shades: Vec<Shade>) -> Result<Self, (usize, ShadeError)> {
        if shades.len() > MAX_SHADES {
            return Err((MAX_SHADES, ShadeError::TooMany(shades.len())));
        }
        for (index, shade) in shades.iter().enumerate() {
            shade.check().map_err(|error| (index, error))?;
        }
        Ok(Self { name: name.into(), shades, on_hand: OnHand::default() })
    }

    /// The shades in the card's order.
    pub fn shades(&self) -> &[Shade] {
        &self.shades
    }

    /// The same card for a project that has this on hand of its shades.
    #[must_use]
    pub fn with_on_hand(self, on_hand: OnHand) -> Self {
        Self { on_hand, ..self }
    }

    /// Metres that the project has on hand of a shade of this card; `None` where only the card speaks of it.
    pub fn on_hand_m(&self, shade: &Shade) -> Option<f64> {
        self.on_hand.metres(shade)
    }

    /// Whole balls at home of a shade of this card: of what the project has on hand, else as the card says.
    pub fn balls_at_home(&self, shade: &Shade) -> u32 {
        match (self.on_hand_m(shade), shade.put_up) {
            (Some(metres), Some(put_up)) => (metres / put_up.metres_per_ball() + 1e-9).floor() as u32,
            _ => shade.owned_balls(),
        }
    }

    /// Whether some of a shade of this card is at home.
    pub fn is_at_home(&self, shade: &Shade) -> bool {
        self.on_hand_m(shade).map_or_else(|| shade.owned_balls() > 0, |metres| metres > 0.0)
    }

    /// Adds a shade at the end.
    ///
    /// # Errors
    /// [`ShadeError`] when the shade is wrong or the card is full.
    pub fn push(&mut self, shade: Shade) -> Result<(), ShadeError> {
        shade.check()?;
        if self.shades.len() >= MAX_SHADES {
            return Err(ShadeError::TooMany(self.shades.len() + 1));
        }
        self.shades.push(shade);
        Ok(())
    }

    /// Puts a shade in the place of another and returns that one; `None` when there is none there.
    ///
    /// # Errors
    /// [`ShadeError`] when the shade is wrong.
    pub fn replace(&mut self, index: usize, shade: Shade) -> Result<Option<Shade>, ShadeError> {
        shade.check()?;
        Ok(self.shades.get_mut(index).map(|place| std::mem::replace(place, shade)))
    }

    /// Takes a shade out; `None` when there is none there.
    pub fn remove(&mut self, index: usize) -> Option<Shade> {
        (index < self.shades.len()).then(|| self.shades.remove(index))
    }

    /// Puts a shade in at a place, the others moving on: the inverse of [`ShadeCard::remove`].
    ///
    /// # Errors
    /// [`ShadeError`] when the shade is wrong or the card is full.
    pub fn insert(&mut self, index: usize, shade: Shade) -> Result<(), ShadeError> {
        self.push(shade)?;
        let index = index.min(self.shades.len() - 1);
        self.shades[index..].rotate_right(1);
        Ok(())
    }

    /// Roughly the memory it takes, in bytes.
    pub fn bytes(&self) -> usize {
        let text = |shade: &Shade| {
            let texts = [&shade.name, &shade.code, &shade.fibre, &shade.dye_lot, &shade.photo];
            texts.iter().map(|text| text.len()).sum::<usize>()
                + shade.make.bytes()
                + shade.second.as_ref().map_or(0, |second| second.photo.len())
                + shade.varies.as_ref().map_or(0, |varies| size_of_val(varies.others.as_slice()))
        };
        size_of::<Self>() + self.shades.iter().map(|shade| size_of_val(shade) + text(shade)).sum::<usize>()
    }

    /// The fibres on the card, each once, in alphabetical order.
    pub fn fibres(&self) -> Vec<&str> {
        let mut fibres: Vec<&str> = self.shades.iter().map(|shade| shade.fibre.trim()).collect();
        fibres.sort_unstable();
        fibres.dedup();
        fibres.retain(|fibre| !fibre.is_empty());
        fibres
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shade(name: &str) -> Shade {
        Shade::new(name, Colour::from_hex("#1f2a4d").unwrap())
    }

    #[test]
    fn wrong_shades_are_refused_by_field() {
        let wrong = |change: fn(&mut Shade)| {
            let mut shade = shade("Dull bucket");
            change(&mut shade);
            shade.check().unwrap_err()
        };
        assert_eq!(wrong(|s| s.name = "  ".to_owned()), ShadeError::NoName);
        assert_eq!(wrong(|s| s.weight_class = Some(8)), ShadeError::WeightClass(8));
        assert!(matches!(wrong(|s| s.uncertainty = f64::NAN), ShadeError::Uncertainty(_)));
        let long = wrong(|s| s.fibre = "w".repeat(201)).to_string();
        assert!(long.contains("fibre") && long.contains("201"), "{long}");
        assert_eq!(ShadeCard::new("Card", vec![shade("a"), shade("")]), Err((1, ShadeError::NoName)));
    }

    #[test]
    fn taking_out_and_putting_back_restores_the_card() {
        let mut card = ShadeCard::new("Card", ["a", "b", "c"].map(shade).to_vec()).unwrap();
        let before = card.clone();
        for index in 0..3 {
            let taken = card.remove(index).unwrap();
            card.insert(index, taken).unwrap();
            assert_eq!(card, before);
        }
        assert_eq!(card.remove(3), None);
        assert_eq!(card.replace(9, shade("z")), Ok(None));
    }

    #[test]
    fn the_price_of_100_m_does_not_depend_on_the_ball() {
        let priced = |ball_g: f64, price: f64| Shade {
            put_up: PutUp::new(200.0, ball_g).ok(),
            ball_price: Price::new(price).ok(),
            ..shade("Dull bucket")
        };
        let (small, large) = (priced(25.0, 3.0), priced(100.0, 12.0));
        assert!((small.price_per_100m().unwrap() - 6.0).abs() < 1e-9);
        assert!((large.price_per_100m().unwrap() - 6.0).abs() < 1e-9);
        assert_eq!(shade("Dull bucket").price_per_100m(), None);
    }
}
