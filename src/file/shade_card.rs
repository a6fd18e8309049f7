//! Shade cards on disk: a RON file of their own, to share between projects, in the same style as a
//! project file. The record of the card itself is what a project embeds too.

use std::path::Path;

use serde::{Deserialize, Serialize};

use super::error::{FileError, Problem};
use super::record::{ColourRecord, Invalid};
use super::yarn_record::{SpinRecord, VariationRecord};
use super::{Trouble, header, parse, place, pretty, store};
use crate::units::{Price, UnitError};
use crate::yarn::{CareLabel, ColourSource, PutUp, SecondReading, Shade, ShadeCard, Stock, YarnMake};

/// The first field of every shade card file.
pub const CARD_FORMAT: &str = "huegauge-shade-card";
/// The version this program writes, and the newest it reads.
pub const CARD_VERSION: u64 = 1;

/// Reads a shade card file.
///
/// # Errors
/// [`FileError`] naming the file, the place and the mend.
pub fn load_card(path: &Path) -> Result<ShadeCard, FileError> {
    card_from_str(&store::read_text(path)?, &path.display().to_string())
}

/// Reads a shade card from text; `name` stands for the file in errors.
///
/// # Errors
/// [`FileError`] naming the place and the mend.
pub fn card_from_str(text: &str, name: &str) -> Result<ShadeCard, FileError> {
    read(super::without_mark(text)).map_err(|(place, problem)| FileError {
        file: name.to_owned(),
        place,
        problem,
    })
}

/// The text of a shade card file.
///
/// # Errors
/// [`Problem::Unwritten`] when the card has no words in the format, which is a fault of ours.
pub fn card_to_string(card: &ShadeCard) -> Result<String, Problem> {
    let file =
        CardFile { format: CARD_FORMAT.to_owned(), version: CARD_VERSION, card: CardRecord::new(card) };
    // One shade a line.
    Ok(pretty(&file, 3)? + "\n")
}

/// Writes a shade card file whole, or leaves what was there.
///
/// # Errors
/// [`FileError`] naming the file and the mend; nothing is overwritten then.
pub fn save_card(path: &Path, card: &ShadeCard) -> Result<(), FileError> {
    let text = card_to_string(card).map_err(|problem| FileError::new(path, problem))?;
    store::write_text(path, &text)
}

fn read(text: &str) -> Result<ShadeCard, Trouble> {
    if !text.trim().is_empty() && !text.trim_start().starts_with(['(', '/', '#']) {
        return Err((None, Problem::NotACard));
    }
    header(text, CARD_FORMAT, CARD_VERSION).map_err(|(place, problem)| match problem {
        Problem::OtherFormat(_) => (place, Problem::NotACard),
        other => (place, other),
    })?;
    let file: CardFile = parse(text)?;
    file.card
        .card("card")
        .map_err(|invalid| (Some(place::of(text, &invalid.field)), Problem::Value(invalid.message)))
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct CardFile {
    format: String,
    version: u64,
    card: CardRecord,
}

/// A shade card, in a file of its own or in a project.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct CardRecord {
    name: String,
    shades: Vec<ShadeRecord>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ShadeRecord {
    name: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    code: String,
    colour: ColourRecord,
    #[serde(default)]
    source: SourceWord,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    uncertainty_ciede2000: Option<f64>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    fibre: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    weight_class: Option<u8>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    metres_per_100g: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    ball_g: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    ball_price: Option<f64>,
    #[serde(default)]
    stock: StockWord,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    owned_balls: Option<u32>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    dye_lot: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    photo: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    second_reading: Option<SecondReadingRecord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    varies: Option<VariationRecord>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    yarn_line: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    spin: Option<SpinRecord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    wraps_per_inch: Option<f64>,
    /// The drawings of the label in words.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    care: Vec<String>,
    /// What a card says of care for which there is no drawing.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    care_unread: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SecondReadingRecord {
    colour: ColourRecord,
    uncertainty_ciede2000: f64,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    photo: String,
}

impl SecondReadingRecord {
    fn new(second: &SecondReading) -> Self {
        Self {
            colour: ColourRecord::new(second.colour),
            uncertainty_ciede2000: second.uncertainty,
            photo: second.photo.clone(),
        }
    }

    fn reading(&self, field: &str) -> Result<SecondReading, Invalid> {
        Ok(SecondReading {
            colour: self.colour.colour(&format!("{field} > second_reading > colour"))?,
            uncertainty: self.uncertainty_ciede2000,
            photo: self.photo.clone(),
        })
    }
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum SourceWord {
    Photo,
    Table,
    #[default]
    Typed,
    Maker,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum StockWord {
    #[default]
    InStock,
    Owned,
    Out,
}

impl CardRecord {
    pub(super) fn new(card: &ShadeCard) -> Self {
        Self { name: card.name.clone(), shades: card.shades().iter().map(ShadeRecord::new).collect() }
    }

    /// The card of the record, which stands in `field` of the file.
    pub(super) fn card(&self, field: &str) -> Result<ShadeCard, Invalid> {
        let place = |index: usize| format!("{field} > shades {}", index + 1);
        let shades = self.shades.iter().enumerate().map(|(index, shade)| shade.shade(&place(index)));
        let shades = shades.collect::<Result<Vec<_>, _>>()?;
        ShadeCard::new(self.name.clone(), shades).map_err(|(index, error)| Invalid::new(place(index), &error))
    }
}

impl ShadeRecord {
    pub(super) fn new(shade: &Shade) -> Self {
        let owned = shade.owned_balls();
        Self {
            name: shade.name.clone(),
            code: shade.code.clone(),
            colour: ColourRecord::new(shade.colour),
            source: match shade.source {
                ColourSource::Photo => SourceWord::Photo,
                ColourSource::Table => SourceWord::Table,
                ColourSource::Typed => SourceWord::Typed,
                ColourSource::Maker => SourceWord::Maker,
            },
            uncertainty_ciede2000: Some(shade.uncertainty),
            fibre: shade.fibre.clone(),
            weight_class: shade.weight_class,
            metres_per_100g: shade.put_up.map(|put_up| put_up.grist.get()),
            ball_g: shade.put_up.map(PutUp::ball_g),
            ball_price: shade.ball_price.map(Price::get),
            stock: match shade.stock {
                Stock::InStock => StockWord::InStock,
                Stock::Owned(_) => StockWord::Owned,
                Stock::Out => StockWord::Out,
            },
            owned_balls: (owned > 0).then_some(owned),
            dye_lot: shade.dye_lot.clone(),
            photo: shade.photo.clone(),
            second_reading: shade.second.as_ref().map(SecondReadingRecord::new),
            varies: shade.varies.as_ref().map(VariationRecord::new),
            yarn_line: shade.make.line.clone(),
            spin: shade.make.spin.map(SpinRecord::new),
            wraps_per_inch: shade.make.wraps_per_inch,
            care: shade.make.care.symbols().iter().map(|symbol| symbol.code().to_owned()).collect(),
            care_unread: shade.make.care.unread().to_owned(),
        }
    }

    pub(super) fn shade(&self, field: &str) -> Result<Shade, Invalid> {
        let source = match self.source {
            SourceWord::Photo => ColourSource::Photo,
            SourceWord::Table => ColourSource::Table,
            SourceWord::Typed => ColourSource::Typed,
            SourceWord::Maker => ColourSource::Maker,
        };
        Ok(Shade {
            name: self.name.clone(),
            code: self.code.clone(),
            colour: self.colour.colour(&format!("{field} > colour"))?,
            source,
            uncertainty: self.uncertainty_ciede2000.unwrap_or_else(|| source.usual_uncertainty()),
            fibre: self.fibre.clone(),
            weight_class: self.weight_class,
            put_up: put_up(self.metres_per_100g, self.ball_g)
                .map_err(|message| Invalid::new(field, &message))?,
            ball_price: self
                .ball_price
                .map(Price::new)
                .transpose()
                .map_err(|error| Invalid::new(field, &error))?,
            stock: stock(self.stock, self.owned_balls).map_err(|message| Invalid::new(field, &message))?,
            dye_lot: self.dye_lot.clone(),
            photo: self.photo.clone(),
            second: self.second_reading.as_ref().map(|second| second.reading(field)).transpose()?,
            varies: self.varies.as_ref().map(|varies| varies.variation(field)).transpose()?,
            make: YarnMake {
                line: self.yarn_line.clone(),
                spin: self.spin.as_ref().map(|spin| spin.spin(field)).transpose()?,
                wraps_per_inch: self.wraps_per_inch,
                care: CareLabel::from_codes(self.care.iter().map(String::as_str))
                    .map_err(|error| Invalid::new(format!("{field} > care"), &error))?
                    .with_unread(self.care_unread.clone()),
            },
        })
    }
}

/// What is wrong with the figures of a shade, in words for the one who typed them.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub(super) enum ShadeFault {
    #[error("metres per 100 g need grams per ball beside them")]
    NoGrams,
    #[error("grams per ball need metres per 100 g beside them")]
    NoMetres,
    #[error("an owned shade needs owned_balls of 1 or more")]
    NoneOwned,
    #[error("owned_balls goes with stock: owned")]
    NotOwned,
    #[error(transparent)]
    Unit(#[from] UnitError),
}

/// Metres per 100 g and grams per ball go together: one alone says nothing about a ball.
pub(super) fn put_up(metres_per_100g: Option<f64>, ball_g: Option<f64>) -> Result<Option<PutUp>, ShadeFault> {
    match (metres_per_100g, ball_g) {
        (Some(metres), Some(grams)) => Ok(Some(PutUp::new(metres, grams)?)),
        (None, None) => Ok(None),
        (Some(_), None) => Err(ShadeFault::NoGrams),
        (None, Some(_)) => Err(ShadeFault::NoMetres),
    }
}

fn stock(word: StockWord, owned_balls: Option<u32>) -> Result<Stock, ShadeFault> {
    match (word, owned_balls) {
        (StockWord::Owned, Some(balls)) if balls > 0 => Ok(Stock::Owned(balls)),
        (StockWord::Owned, _) => Err(ShadeFault::NoneOwned),
        (_, Some(balls)) if balls > 0 => Err(ShadeFault::NotOwned),
        (StockWord::InStock, _) => Ok(Stock::InStock),
        (StockWord::Out, _) => Ok(Stock::Out),
    }
}
