//! Shades written as a table.

use csv::Writer;

use super::text::harmless;
use crate::file::error::Problem;
use crate::plain_text::unarmed;
use crate::units::Price;
use crate::yarn::{PutUp, Shade, Spin, Stock, Variation};

/// The columns of our own tables.
const COLUMNS: [&str; 20] = [
    "name",
    "code",
    "hex",
    "oklch",
    "source",
    "uncertainty",
    "fibre",
    "weight_class",
    "m_per_100g",
    "ball_g",
    "ball_price",
    "in_stock",
    "owned_balls",
    "dye_lot",
    "photo",
    "yarn_line",
    "spin",
    "wraps_per_inch",
    "care",
    "colour_changes",
];

/// The table of some shades, with all columns, which [`shades_from_csv`](super::shades_from_csv) reads back unchanged
/// (texts without the spaces around them and without what [acts on others](crate::plain_text::acts_on_others); a text that
/// begins like a formula has an apostrophe before it, which is taken off again; the other colours of a yarn that changes
/// as a screen shows them; without second readings, which only card and project files hold).
///
/// # Errors
/// [`Problem::Unwritten`] when the table cannot be put together, which is a fault of ours.
pub fn shades_to_csv(shades: &[Shade]) -> Result<String, Problem> {
    table(shades).map_err(|error| Problem::Unwritten(error.to_string()))
}

fn table(shades: &[Shade]) -> Result<String, csv::Error> {
    let mut writer = Writer::from_writer(Vec::new());
    let number = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    writer.write_record(COLUMNS)?;
    for shade in shades {
        let colour = shade.colour;
        let owned = shade.owned_balls();
        writer.write_record([
            cell(&shade.name),
            cell(&shade.code),
            colour.to_hex(),
            format!("oklch({} {} {})", colour.lightness(), colour.chroma(), colour.hue_angle()),
            shade.source.name().to_lowercase(),
            shade.uncertainty.to_string(),
            cell(&shade.fibre),
            shade.weight_class.map_or_else(String::new, |class| class.to_string()),
            number(shade.put_up.map(|put_up| put_up.grist.get())),
            number(shade.put_up.map(PutUp::ball_g)),
            number(shade.ball_price.map(Price::get)),
            if shade.stock == Stock::Out { "no" } else { "yes" }.to_owned(),
            if owned > 0 { owned.to_string() } else { String::new() },
            cell(&shade.dye_lot),
            cell(&shade.photo),
            cell(&shade.make.line),
            shade.make.spin.map_or_else(String::new, Spin::name),
            number(shade.make.wraps_per_inch),
            cell(&shade.make.care_words()),
            shade.varies.as_ref().map_or_else(String::new, Variation::words),
        ])?;
    }
    let bytes = writer.into_inner().map_err(csv::IntoInnerError::into_error)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// A text as a cell: nothing in it acts on a terminal, and it never begins as a formula does. Line
/// ends and tabs stay, for they are the person's own.
fn cell(text: &str) -> String {
    unarmed(harmless(text).trim()).into_owned()
}
