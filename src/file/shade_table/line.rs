//! A line of a table as a shade.

use super::heading_words::{currency_of, unit_and_grams};
use super::headings::{HeadingFault, Matching, ShadeField};
use super::{CsvProblem, ShadeTable, TableRow};
use crate::colour::{Colour, ColourError, Lab};
use crate::file::shade_card::put_up;
use crate::plain_text::{Quoted, quoted};
use crate::units::{LengthUnit, Price};
use crate::yarn::{
    Blend, CareLabel, ColourSource, PutUp, Shade, Stock, Variation, WordsFault, YarnMake, band_length,
    band_price, band_weight, number,
};

/// What is wrong with the text of a cell.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
enum CellFault {
    #[error("'{0}' is not a colour: write oklch(lightness chroma hue), like oklch(0.5 0.12 40)")]
    NoOklch(Quoted),
    #[error("'{0}' is not a colour: write #rrggbb or rgb(red, green, blue) with whole numbers from 0 to 255")]
    NoColour(Quoted),
    #[error(transparent)]
    Words(#[from] WordsFault),
    #[error(transparent)]
    Colour(#[from] ColourError),
}

/// A line, with what its columns mean.
pub(super) struct Line<'a> {
    pub(super) table: &'a ShadeTable,
    pub(super) matching: &'a Matching,
    pub(super) row: &'a TableRow,
}

/// What a line says.
pub(super) struct LineRead {
    pub(super) shade: Shade,
    /// What stands for the currency of the price.
    pub(super) currency: String,
}

impl Line<'_> {
    fn text(&self, field: ShadeField) -> &str {
        let column = self.matching.column(field);
        column.and_then(|column| self.row.cells.get(column)).map_or("", String::as_str)
    }

    /// How the column of a field is headed, or what it is called when there is none.
    fn heading(&self, field: ShadeField) -> &str {
        let column = self.matching.column(field);
        column.and_then(|column| self.table.headings.get(column)).map_or(field.key(), String::as_str)
    }

    #[expect(clippy::needless_pass_by_value, reason = "callers hand over an error or words and are done")]
    fn problem(&self, field: ShadeField, message: impl ToString) -> CsvProblem {
        CsvProblem { line: self.row.line, column: quoted(self.heading(field)), message: message.to_string() }
    }

    /// What a cell says, when there is something in it.
    fn cell<T, E: ToString>(
        &self,
        field: ShadeField,
        read: impl FnOnce(&str) -> Result<T, E>,
    ) -> Result<Option<T>, CsvProblem> {
        let text = self.text(field);
        if text.is_empty() {
            return Ok(None);
        }
        read(text).map(Some).map_err(|error| self.problem(field, error))
    }

    fn whole(&self, field: ShadeField) -> Result<Option<u32>, CsvProblem> {
        self.cell(field, |text| {
            text.parse().map_err(|_| format!("'{}' is not a whole number of 0 or more", quoted(text)))
        })
    }

    /// The shade, or everything that is wrong, so that a line is mended in one go.
    pub(super) fn shade(&self) -> Result<LineRead, Vec<CsvProblem>> {
        let mut problems = Vec::new();
        let read = self.read(&mut problems);
        if let Some(first) = problems.first() {
            let (here, all) = (self.row.cells.len(), self.table.headings.len());
            if here < all {
                let why = format!(
                    "the line has {here} of {all} columns: check its dividers, or fill it up ({})",
                    first.message
                );
                return Err(vec![CsvProblem::of_line(self.row.line, &why)]);
            }
            return Err(problems);
        }
        read.shade.check().map_err(|error| vec![CsvProblem::of_line(self.row.line, &error.to_string())])?;
        Ok(read)
    }

    fn read(&self, problems: &mut Vec<CsvProblem>) -> LineRead {
        fn note<T: Default>(result: Result<T, CsvProblem>, problems: &mut Vec<CsvProblem>) -> T {
            result.unwrap_or_else(|problem| {
                problems.push(problem);
                T::default()
            })
        }
        let colour = self.colour().unwrap_or_else(|problem| {
            problems.push(problem);
            Colour::BLACK
        });
        let source = note(self.source(), problems);
        let put_up = self.put_up().unwrap_or_else(|found| {
            problems.extend(found);
            None
        });
        let class = note(self.whole(ShadeField::WeightClass), problems);
        let price = note(self.price(put_up), problems);
        let uncertainty = note(self.cell(ShadeField::Uncertainty, number), problems);
        let shade = Shade {
            code: self.text(ShadeField::Code).to_owned(),
            source,
            uncertainty: uncertainty.unwrap_or(source.usual_uncertainty()),
            fibre: self.text(ShadeField::Fibre).to_owned(),
            weight_class: class.map(|class| u8::try_from(class).unwrap_or(u8::MAX)),
            put_up,
            ball_price: price.as_ref().map(|(price, _)| *price),
            stock: note(self.stock(), problems),
            dye_lot: self.text(ShadeField::DyeLot).to_owned(),
            photo: self.text(ShadeField::Photo).to_owned(),
            varies: note(self.cell(ShadeField::Varies, Variation::of_words), problems),
            make: self.make(problems),
            ..Shade::new(self.text(ShadeField::Name), colour)
        };
        LineRead { shade, currency: price.map(|(_, currency)| currency).unwrap_or_default() }
    }

    /// How the yarn is made and cared for.
    fn make(&self, problems: &mut Vec<CsvProblem>) -> YarnMake {
        let mut made = YarnMake { line: self.text(ShadeField::YarnLine).to_owned(), ..YarnMake::default() };
        match self.cell(ShadeField::Spin, YarnMake::spin_of_words) {
            Ok(spin) => made.spin = spin,
            Err(problem) => problems.push(problem),
        }
        let wraps = |text: &str| {
            let value = number(text).map_err(|error| error.to_string())?;
            YarnMake::wraps(value).map_err(|error| error.to_string())
        };
        match self.cell(ShadeField::Wraps, wraps) {
            Ok(wraps) => made.wraps_per_inch = wraps,
            Err(problem) => problems.push(problem),
        }
        made.care = CareLabel::read(self.text(ShadeField::Care));
        made
    }

    /// What stands where a price would that is none: `on request`, `0.00`, a price of a weight where no ball is known.
    pub(super) fn unpriced(&self, shade: &Shade) -> Option<String> {
        let text = self.text(ShadeField::BallPrice);
        (!text.is_empty() && shade.ball_price.is_none()).then(|| quoted(text))
    }

    /// The price of a ball, and what stands for its currency; nothing where words or a 0 stand in its place, or where it
    /// is that of a weight and no ball is known.
    fn price(&self, put_up: Option<PutUp>) -> Result<Option<(Price, String)>, CsvProblem> {
        let text = self.text(ShadeField::BallPrice);
        if !text.contains(|c: char| c.is_ascii_digit()) {
            return Ok(None);
        }
        let Some(read) = self.cell(ShadeField::BallPrice, band_price)? else { return Ok(None) };
        let heading = self.heading(ShadeField::BallPrice);
        let of_ball = match (unit_and_grams(heading).1, put_up) {
            (None, _) => read.amount,
            (Some(grams), Some(put_up)) => read.amount * put_up.ball_g() / grams,
            (Some(_), None) => return Ok(None),
        };
        // Nothing is sold for nothing: a shop that writes 0 has no price yet.
        if of_ball == 0.0 {
            return Ok(None);
        }
        let price = Price::new(of_ball).map_err(|error| self.problem(ShadeField::BallPrice, error))?;
        let told = Some(read.currency).filter(|told| !told.is_empty());
        Ok(Some((price, told.or_else(|| currency_of(heading)).unwrap_or_default())))
    }

    /// What is written for a fibre that is not known.
    pub(super) fn unknown_fibre(&self) -> Option<String> {
        let text = self.text(ShadeField::Fibre);
        (!text.is_empty() && Blend::parse(text).is_err()).then(|| quoted(text))
    }

    /// How it is sold: metres in 100 g, or the length of a ball, with what the ball weighs.
    fn put_up(&self) -> Result<Option<PutUp>, Vec<CsvProblem>> {
        let (unit, heading_grams) = unit_and_grams(self.heading(ShadeField::Length));
        let mut problems = Vec::new();
        let mut noted = |result: Result<Option<f64>, CsvProblem>| {
            result.unwrap_or_else(|problem| {
                problems.push(problem);
                None
            })
        };
        // The heading says metres in 100 g, whatever a cell says is refused unless it is metres.
        let per_100g = noted(self.cell(ShadeField::MetresPer100G, |text| {
            band_length(text, LengthUnit::Metric)
                .map(|length| length.grams.map_or(length.metres, |grams| length.metres * 100.0 / grams))
        }));
        let heading = self.heading(ShadeField::BallGrams).to_lowercase();
        let bare_ounces =
            heading.split(|c: char| !c.is_alphanumeric()).any(|word| matches!(word, "oz" | "ounces"));
        let ball = noted(self.cell(ShadeField::BallGrams, |text| {
            let is_bare = text.chars().all(|c| c.is_ascii_digit() || c == '.' || c == ',');
            band_weight(text).map(|grams| {
                if bare_ounces && is_bare { LengthUnit::Imperial.to_grams(grams) } else { grams }
            })
        }));
        let length = self.cell(ShadeField::Length, |text| band_length(text, unit));
        let length = length.unwrap_or_else(|problem| {
            problems.push(problem);
            None
        });
        if !problems.is_empty() {
            return Err(problems);
        }
        // What the length is given for is the ball, unless its weight is told by itself.
        let weighed = length.and_then(|length| length.grams).or(heading_grams.filter(|_| length.is_some()));
        let by_length = length.and_then(|length| Some(length.metres * 100.0 / weighed.or(ball)?));
        let alone = |field, message: &str| vec![self.problem(field, message)];
        if length.is_some() && by_length.is_none() {
            let message =
                "a length needs what it weighs beside it: write 125 m / 50 g, or add a column 'ball_g'";
            return Err(alone(ShadeField::Length, message));
        }
        match (per_100g, by_length) {
            (Some(one), Some(other)) if (one / other - 1.0).abs() > 0.02 => {
                let message = format!(
                    "{one:.0} m in 100 g is not the {other:.0} m that its length says: keep one of them"
                );
                Err(alone(ShadeField::Length, &message))
            }
            _ => put_up(per_100g.or(by_length), ball.or(weighed)).map_err(|error| {
                let field = if by_length.is_some() { ShadeField::Length } else { ShadeField::MetresPer100G };
                vec![self.problem(field, error)]
            }),
        }
    }

    /// The colour in whatever form it is given; two forms must agree, and the finer one counts.
    fn colour(&self) -> Result<Colour, CsvProblem> {
        let exact =
            [(ShadeField::Oklch, self.cell(ShadeField::Oklch, oklch)?), (ShadeField::LabL, self.lab()?)];
        let shown = [
            (ShadeField::Hex, self.cell(ShadeField::Hex, written_colour)?),
            (ShadeField::Red, self.channels()?),
        ];
        let mut found: Option<(ShadeField, Colour)> = None;
        for (field, colour) in exact.into_iter().chain(shown) {
            let Some(colour) = colour else { continue };
            let Some((_, meant)) = found else {
                found = Some((field, colour));
                continue;
            };
            // Two steps of 255 leave room for another rounding, none for another colour.
            if !colour.to_srgb8().iter().zip(meant.to_srgb8()).all(|(a, b)| a.abs_diff(b) <= 2) {
                let text = if field == ShadeField::Red { colour.to_hex() } else { quoted(self.text(field)) };
                let other = found.map_or_else(String::new, |(field, _)| quoted(self.text(field)));
                let message =
                    format!("{text} is not {other}, which looks like {}: keep one of them", meant.to_hex());
                return Err(self.problem(field, message));
            }
        }
        let field = self.matching.fields().map(|(field, _)| field).find(|field| COLOURS.contains(field));
        let message =
            "the colour is missing: give #rrggbb, red, green and blue, L*, a* and b*, or an oklch colour";
        found.map(|(_, colour)| colour).ok_or_else(|| self.problem(field.unwrap_or(ShadeField::Hex), message))
    }

    /// Three columns that are filled together.
    fn three(
        &self,
        fields: [ShadeField; 3],
        read: impl Fn(&str) -> Result<f64, String>,
    ) -> Result<Option<[f64; 3]>, CsvProblem> {
        let values =
            [self.cell(fields[0], &read)?, self.cell(fields[1], &read)?, self.cell(fields[2], &read)?];
        match values {
            [Some(a), Some(b), Some(c)] => Ok(Some([a, b, c])),
            [None, None, None] => Ok(None),
            _ => {
                let missing = fields.into_iter().zip(values).find(|(_, value)| value.is_none());
                let field = missing.map_or(fields[0], |(field, _)| field);
                let all = fields.map(ShadeField::key).join(", ");
                Err(self.problem(field, format!("a value is missing: {all} go together")))
            }
        }
    }

    fn channels(&self) -> Result<Option<Colour>, CsvProblem> {
        let fields = [ShadeField::Red, ShadeField::Green, ShadeField::Blue];
        let channel = |text: &str| {
            let value = text.parse::<u8>().map(f64::from);
            value.map_err(|_| format!("'{}' is not a whole number from 0 to 255", quoted(text)))
        };
        Ok(self.three(fields, channel)?.map(|channels| Colour::from_srgb8(channels.map(|value| value as u8))))
    }

    fn lab(&self) -> Result<Option<Colour>, CsvProblem> {
        let fields = [ShadeField::LabL, ShadeField::LabA, ShadeField::LabB];
        let Some([l, a, b]) = self.three(fields, |text| number(text).map_err(|error| error.to_string()))?
        else {
            return Ok(None);
        };
        if !(0.0..=100.0).contains(&l) {
            return Err(self.problem(ShadeField::LabL, format!("L* must be between 0 and 100, not {l}")));
        }
        // Published colour spaces of surfaces reach 150 at most.
        if a.abs() > 150.0 || b.abs() > 150.0 {
            return Err(self.problem(
                ShadeField::LabA,
                format!("a* and b* must be between -150 and 150, not {a} and {b}"),
            ));
        }
        Ok(Some(Colour::from_lab(Lab::new(l, a, b))))
    }

    fn source(&self) -> Result<ColourSource, CsvProblem> {
        let found = self.cell(ShadeField::Source, |text| {
            let found = ColourSource::ALL.into_iter().find(|source| source.name().eq_ignore_ascii_case(text));
            found.ok_or_else(|| format!("'{}' is not one of photo, table, typed, maker", quoted(text)))
        })?;
        // A table that does not say so is where it comes from.
        Ok(found.unwrap_or(ColourSource::Table))
    }

    fn stock(&self) -> Result<Stock, CsvProblem> {
        let text = self.text(ShadeField::InStock).to_lowercase();
        let in_stock = match text.as_str() {
            "" | "yes" | "y" | "true" | "x" | "in stock" | "available" | "low stock" | "few left"
            | "last few" | "ja" | "j" | "vorrätig" | "lieferbar" | "sofort lieferbar" | "auf lager"
            | "lagernd" | "verfügbar" | "wenige" | "restbestand" => true,
            "no" | "n" | "false" | "sold out" | "out of stock" | "unavailable" | "discontinued"
            | "on order" | "nein" | "ausverkauft" | "nicht lieferbar" | "nicht vorrätig"
            | "nicht verfügbar" | "vergriffen" | "nachbestellt" | "ausgelaufen" | "-" | "–" => false,
            other => {
                // `12 Stk`, `10+`, `> 10`
                let count = other.trim_start_matches(|c: char| "<>~≥≈ ".contains(c));
                let end = count.find(|c: char| !c.is_ascii_digit()).unwrap_or(count.len());
                let Ok(balls) = count[..end].parse::<u32>() else {
                    let message = format!("'{}' is neither yes nor no, nor a count of balls", quoted(other));
                    return Err(self.problem(ShadeField::InStock, message));
                };
                balls > 0
            }
        };
        match self.whole(ShadeField::OwnedBalls)? {
            Some(balls) if balls > 0 => Ok(Stock::Owned(balls)),
            _ if in_stock => Ok(Stock::InStock),
            _ => Ok(Stock::Out),
        }
    }
}

const COLOURS: [ShadeField; 8] = [
    ShadeField::Hex,
    ShadeField::Oklch,
    ShadeField::Red,
    ShadeField::Green,
    ShadeField::Blue,
    ShadeField::LabL,
    ShadeField::LabA,
    ShadeField::LabB,
];

/// Whether a cell holds a colour as [`ShadeField::Hex`] takes it.
pub(super) fn is_colour(text: &str) -> bool {
    written_colour(text).is_ok()
}

/// `#rrggbb`, or red, green and blue: `rgb(31, 42, 77)`, `31 42 77`.
fn written_colour(text: &str) -> Result<Colour, CellFault> {
    let lower = text.to_lowercase();
    let inner = lower.strip_prefix("rgb(").and_then(|rest| rest.strip_suffix(')'));
    let parts = |text: &str| -> Option<[u8; 3]> {
        let parts: Vec<&str> = text.split([',', ' ', ';', '/']).filter(|part| !part.is_empty()).collect();
        let [r, g, b] = parts[..] else { return None };
        Some([r.parse().ok()?, g.parse().ok()?, b.parse().ok()?])
    };
    if let Some(channels) = parts(inner.unwrap_or(&lower)) {
        return Ok(Colour::from_srgb8(channels));
    }
    if inner.is_some() {
        return Err(CellFault::NoColour(text.into()));
    }
    Ok(Colour::from_hex(text)?)
}

/// A colour as CSS Color 4 writes it: `oklch(0.5 0.12 40)`, the lightness also in per cent.
fn oklch(text: &str) -> Result<Colour, CellFault> {
    let wrong = || CellFault::NoOklch(text.into());
    let lower = text.to_lowercase();
    let inner = lower.strip_prefix("oklch(").and_then(|rest| rest.strip_suffix(')')).unwrap_or(&lower);
    let parts: Vec<&str> = inner.split_whitespace().collect();
    let [l, c, h] = parts[..] else { return Err(wrong()) };
    let parse = |text: &str| text.parse::<f64>().map_err(|_| wrong());
    let l = match l.strip_suffix('%') {
        Some(percent) => parse(percent)? / 100.0,
        None => parse(l)?,
    };
    Ok(Colour::new(l, parse(c)?, parse(h.trim_end_matches("deg"))?)?)
}

impl From<HeadingFault> for CsvProblem {
    fn from(fault: HeadingFault) -> Self {
        Self::of_line(1, &fault.to_string())
    }
}
