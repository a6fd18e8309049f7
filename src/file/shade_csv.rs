//! Shades as a CSV table, for spreadsheets.
//!
//! One line a shade under a header line. The columns ([`SHADE_COLUMNS`]) may stand in any order
//! and all but `name` and a colour may be missing; others are left out and named. Commas,
//! semicolons or tabs divide the columns, decimals may have a point or a comma.

use std::collections::HashMap;
use std::fmt;

use csv::{ReaderBuilder, StringRecord, Writer};

use super::error::Problem;
use super::shade_card::put_up;
use crate::colour::{Colour, ColourError};
use crate::plain_text::{Quoted, acts_on_others, armed, one_line, quoted, unarmed};
use crate::units::Price;
use crate::yarn::{ColourSource, MAX_SHADES, Shade, Stock};

/// The columns and what they hold.
pub const SHADE_COLUMNS: [(&str, &str); 15] = [
    ("name", "what the shade is called (needed)"),
    ("code", "the maker's number"),
    ("hex", "colour as #rrggbb (this or oklch is needed)"),
    (
        "oklch",
        "colour as oklch(lightness chroma hue), as in CSS: lightness 0 to 1, chroma 0 to 0.5, hue in degrees",
    ),
    ("source", "where the colour comes from: photo, typed or maker"),
    ("uncertainty", "how far the colour may be off, in CIEDE2000"),
    ("fibre", "what the yarn is spun of"),
    ("weight_class", "0 to 7"),
    ("m_per_100g", "metres in 100 g (with ball_g)"),
    ("ball_g", "grams in a ball (with m_per_100g)"),
    ("ball_price", "price of a ball"),
    ("in_stock", "yes or no"),
    ("owned_balls", "balls at home"),
    ("dye_lot", "the dye lot"),
    ("photo", "the photograph it was measured on"),
];

/// Problems listed at most; the rest are counted.
const MOST_PROBLEMS: usize = 20;

/// What is wrong with a line.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CsvProblem {
    /// Line in the file, from 1; the header is line 1.
    pub line: u64,
    /// The column, or empty when the whole line is meant.
    pub column: &'static str,
    /// What is wrong and how to mend it.
    pub message: String,
}

impl fmt::Display for CsvProblem {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let column = if self.column.is_empty() { String::new() } else { format!(", column {}", self.column) };
        f.write_str(&one_line(&format!("line {}{column}: {}", self.line, self.message)))
    }
}

/// Why a table was not read: nothing of it is, so that no shade is lost unseen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CsvTrouble {
    /// The file, as the user named it.
    pub file: String,
    /// The first problems, at least one, in the order of the lines.
    pub problems: Vec<CsvProblem>,
    /// How many more there are.
    pub more: usize,
}

impl std::error::Error for CsvTrouble {}

impl fmt::Display for CsvTrouble {
    /// One line: the first problem, and how many there are.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let file = one_line(&self.file);
        let others = self.problems.len() + self.more - self.problems.len().min(1);
        match self.problems.first() {
            Some(first) if others > 0 => write!(f, "{file}, {first} (and {others} more to mend)"),
            Some(first) => write!(f, "{file}, {first}"),
            None => write!(f, "{file}: the table cannot be read"),
        }
    }
}

/// The shades of a table.
#[derive(Clone, Debug, PartialEq)]
pub struct ShadeImport {
    /// One a line.
    pub shades: Vec<Shade>,
    /// Columns that were left out, as they are headed.
    pub ignored: Vec<String>,
}

/// Reads shades from a CSV table; `file` stands for it in errors.
///
/// # Errors
/// [`CsvTrouble`] with every line that is wrong.
pub fn shades_from_csv(bytes: &[u8], file: &str) -> Result<ShadeImport, CsvTrouble> {
    let trouble = |problems: Vec<CsvProblem>| {
        let more = problems.len().saturating_sub(MOST_PROBLEMS);
        let problems = problems.into_iter().take(MOST_PROBLEMS).collect();
        CsvTrouble { file: file.to_owned(), problems, more }
    };
    let alone = |line: u64, message: &str| {
        trouble(vec![CsvProblem { line, column: "", message: message.to_owned() }])
    };
    let text = std::str::from_utf8(bytes).map_err(|error| {
        let line = 1 + bytes[..error.valid_up_to()].split(|byte| *byte == b'\n').count() as u64 - 1;
        alone(line, "this is not UTF-8 text: save the table as CSV UTF-8")
    })?;
    let text = text.trim_start_matches('\u{feff}');
    let delimiter = delimiter(text);
    if let Some(line) = open_quote(text, delimiter) {
        return Err(alone(line, "a quote that opens in this line is never closed: close it with \""));
    }
    let mut reader = ReaderBuilder::new().delimiter(delimiter).flexible(true).from_reader(text.as_bytes());
    let (columns, ignored) = header(reader.headers().ok()).map_err(|fault| alone(1, &fault.to_string()))?;
    let (mut shades, mut problems) = (Vec::new(), Vec::new());
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                let line = error.position().map_or(0, csv::Position::line);
                problems.push(CsvProblem {
                    line,
                    column: "",
                    message: format!("this line cannot be read ({error})"),
                });
                continue;
            }
        };
        if record.iter().all(|field| field.trim().is_empty()) {
            continue;
        }
        if shades.len() + problems.len() >= MAX_SHADES {
            let line = record.position().map_or(0, csv::Position::line);
            problems.push(CsvProblem {
                line,
                column: "",
                message: format!("more than {MAX_SHADES} shades: divide the table"),
            });
            break;
        }
        let mut words: StringRecord = record.iter().map(word).collect();
        words.set_position(record.position().cloned());
        let line = Line { record: &words, columns: &columns };
        match line.shade() {
            Ok(shade) => shades.push(shade),
            Err(found) => problems.extend(found),
        }
    }
    match (problems.is_empty(), shades.is_empty()) {
        (true, false) => Ok(ShadeImport { shades, ignored }),
        (true, true) => Err(alone(1, "there are no shades under the header")),
        (false, _) => Err(trouble(problems)),
    }
}

/// The divider that the header line has most of.
fn delimiter(text: &str) -> u8 {
    let header = text.lines().next().unwrap_or_default();
    let count = |byte: &u8| header.bytes().filter(|b| b == byte).count();
    // The last of equals wins, so the comma stands last.
    [b'\t', b';', b','].into_iter().max_by_key(count).unwrap_or(b',')
}

/// The line where a quote opens that is never closed: all that follows would be one cell.
fn open_quote(text: &str, delimiter: u8) -> Option<u64> {
    let (mut line, mut opened) = (1, None);
    let (mut starts, mut closing) = (true, false);
    for byte in text.bytes() {
        match (opened, byte) {
            (Some(_), b'"') => (opened, closing) = (None, true),
            // A quote twice is one that belongs to the cell.
            (None, b'"') if starts || closing => (opened, closing) = (Some(line), false),
            _ => closing = false,
        }
        starts = opened.is_none() && (byte == delimiter || byte == b'\n' || byte == b'\r');
        line += u64::from(byte == b'\n');
    }
    opened
}

type Columns = HashMap<&'static str, usize>;

fn header(header: Option<&StringRecord>) -> Result<(Columns, Vec<String>), HeaderFault> {
    let mut columns = Columns::new();
    let mut ignored = Vec::new();
    for (index, title) in header.into_iter().flatten().enumerate() {
        let key = title.trim().to_lowercase().replace([' ', '-'], "_");
        match SHADE_COLUMNS.iter().find(|(name, _)| *name == key) {
            Some((name, _)) if columns.insert(name, index).is_some() => {
                return Err(HeaderFault::Twice(name));
            }
            Some(_) => {}
            None if key.is_empty() => {}
            None => ignored.push(quoted(title.trim())),
        }
    }
    if !columns.contains_key("name") {
        return Err(HeaderFault::NoName);
    }
    if !columns.contains_key("hex") && !columns.contains_key("oklch") {
        return Err(HeaderFault::NoColour);
    }
    Ok((columns, ignored))
}

/// A line of the table.
struct Line<'a> {
    record: &'a StringRecord,
    columns: &'a Columns,
}

impl Line<'_> {
    fn text(&self, column: &'static str) -> &str {
        self.columns.get(column).and_then(|index| self.record.get(*index)).unwrap_or_default()
    }

    #[expect(clippy::needless_pass_by_value, reason = "callers hand over an error or words and are done")]
    fn problem(&self, column: &'static str, message: impl ToString) -> CsvProblem {
        let line = self.record.position().map_or(0, csv::Position::line);
        CsvProblem { line, column, message: message.to_string() }
    }

    fn number(&self, column: &'static str) -> Result<Option<f64>, CsvProblem> {
        let text = self.text(column);
        if text.is_empty() {
            return Ok(None);
        }
        number(text).map(Some).map_err(|message| self.problem(column, message))
    }

    fn price(&self) -> Result<Option<Price>, CsvProblem> {
        let price = self.number("ball_price")?.map(Price::new).transpose();
        price.map_err(|error| self.problem("ball_price", error))
    }

    fn whole(&self, column: &'static str) -> Result<Option<u32>, CsvProblem> {
        let text = self.text(column);
        if text.is_empty() {
            return Ok(None);
        }
        let wrong =
            |_| self.problem(column, format!("'{}' is not a whole number of 0 or more", quoted(text)));
        text.parse().map(Some).map_err(wrong)
    }

    fn shade(&self) -> Result<Shade, Vec<CsvProblem>> {
        let mut problems = Vec::new();
        let shade = self.read(&mut problems);
        if !problems.is_empty() {
            return Err(problems);
        }
        shade.check().map_err(|error| vec![self.problem("", error)])?;
        Ok(shade)
    }

    /// The shade, its problems put down one by one so that a line is mended in one go.
    fn read(&self, problems: &mut Vec<CsvProblem>) -> Shade {
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
        let before = problems.len();
        let metres = note(self.number("m_per_100g"), problems);
        let grams = note(self.number("ball_g"), problems);
        let put_up = put_up(metres, grams).map_err(|message| self.problem("m_per_100g", message));
        let put_up = if problems.len() > before { None } else { note(put_up, problems) };
        let class = note(self.whole("weight_class"), problems);
        Shade {
            code: self.text("code").to_owned(),
            source,
            uncertainty: note(self.number("uncertainty"), problems).unwrap_or(source.usual_uncertainty()),
            fibre: self.text("fibre").to_owned(),
            weight_class: class.map(|class| u8::try_from(class).unwrap_or(u8::MAX)),
            put_up,
            ball_price: note(self.price(), problems),
            stock: note(self.stock(), problems),
            dye_lot: self.text("dye_lot").to_owned(),
            photo: self.text("photo").to_owned(),
            ..Shade::new(self.text("name"), colour)
        }
    }

    fn colour(&self) -> Result<Colour, CsvProblem> {
        let (hex, oklch) = (self.text("hex"), self.text("oklch"));
        let by_hex = || Colour::from_hex(hex).map_err(|error| self.problem("hex", error));
        let by_oklch = || self::oklch(oklch).map_err(|message| self.problem("oklch", message));
        match (hex.is_empty(), oklch.is_empty()) {
            (true, true) => {
                Err(self.problem("hex", "the colour is missing: give #rrggbb or an oklch colour"))
            }
            (false, true) => by_hex(),
            (true, false) => by_oklch(),
            (false, false) => {
                let (shown, meant) = (by_hex()?.to_srgb8(), by_oklch()?);
                // Two steps of 255 leave room for another rounding, none for another colour.
                let agree = shown.iter().zip(meant.to_srgb8()).all(|(a, b)| a.abs_diff(b) <= 2);
                let message = || {
                    format!(
                        "{} is not {}, which looks like {}: keep one of them",
                        quoted(hex),
                        quoted(oklch),
                        meant.to_hex()
                    )
                };
                if agree { Ok(meant) } else { Err(self.problem("hex", message())) }
            }
        }
    }

    fn source(&self) -> Result<ColourSource, CsvProblem> {
        let text = self.text("source");
        if text.is_empty() {
            return Ok(ColourSource::default());
        }
        let found = ColourSource::ALL.into_iter().find(|source| source.name().eq_ignore_ascii_case(text));
        found.ok_or_else(|| {
            self.problem("source", format!("'{}' is not one of photo, typed, maker", quoted(text)))
        })
    }

    fn stock(&self) -> Result<Stock, CsvProblem> {
        let in_stock = match self.text("in_stock").to_lowercase().as_str() {
            "" | "yes" | "y" | "true" | "1" => true,
            "no" | "n" | "false" | "0" => false,
            other => {
                return Err(self.problem("in_stock", format!("'{}' is neither yes nor no", quoted(other))));
            }
        };
        match self.whole("owned_balls")? {
            Some(balls) if balls > 0 => Ok(Stock::Owned(balls)),
            _ if in_stock => Ok(Stock::InStock),
            _ => Ok(Stock::Out),
        }
    }
}

/// What is wrong with the text of a cell.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
enum CellFault {
    #[error("'{0}' is not a number")]
    NoNumber(Quoted),
    #[error("'{0}' may be read in two ways: write it without dividing thousands")]
    TwoNumbers(Quoted),
    #[error("'{0}' is not a colour: write oklch(lightness chroma hue), like oklch(0.5 0.12 40)")]
    NoColour(Quoted),
    #[error(transparent)]
    Colour(#[from] ColourError),
}

/// What is wrong with the header line.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
enum HeaderFault {
    #[error("the column {0} is there twice: take one out")]
    Twice(&'static str),
    #[error("there is no column 'name': head the columns with some of {known}", known = known_columns())]
    NoName,
    #[error("there is no colour: add a column 'hex' (#rrggbb) or 'oklch'")]
    NoColour,
}

fn known_columns() -> String {
    SHADE_COLUMNS.map(|(name, _)| name).join(", ")
}

/// A number with a decimal point or comma.
fn number(text: &str) -> Result<f64, CellFault> {
    let wrong = || CellFault::NoNumber(text.into());
    let plain = match text.split_once(',') {
        None => text.to_owned(),
        Some((_, after)) if after.len() == 3 || text.contains('.') || after.contains(',') => {
            return Err(CellFault::TwoNumbers(text.into()));
        }
        Some((before, after)) => format!("{before}.{after}"),
    };
    plain.parse().ok().filter(|value: &f64| value.is_finite()).ok_or_else(wrong)
}

/// A colour as CSS Color 4 writes it: `oklch(0.5 0.12 40)`, the lightness also in per cent.
fn oklch(text: &str) -> Result<Colour, CellFault> {
    let wrong = || CellFault::NoColour(text.into());
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

/// The table of some shades, with all columns, which [`shades_from_csv`] reads back unchanged
/// (texts without the spaces around them and without what [acts on others](acts_on_others); a text that
/// begins like a formula has an apostrophe before it, which is taken off again).
///
/// # Errors
/// [`Problem::Unwritten`] when the table cannot be put together, which is a fault of ours.
pub fn shades_to_csv(shades: &[Shade]) -> Result<String, Problem> {
    table(shades).map_err(|error| Problem::Unwritten(error.to_string()))
}

fn table(shades: &[Shade]) -> Result<String, csv::Error> {
    let mut writer = Writer::from_writer(Vec::new());
    let number = |value: Option<f64>| value.map_or_else(String::new, |value| value.to_string());
    writer.write_record(SHADE_COLUMNS.map(|(name, _)| name))?;
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
            number(shade.put_up.map(crate::yarn::PutUp::ball_g)),
            number(shade.ball_price.map(Price::get)),
            if shade.stock == Stock::Out { "no" } else { "yes" }.to_owned(),
            if owned > 0 { owned.to_string() } else { String::new() },
            cell(&shade.dye_lot),
            cell(&shade.photo),
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

/// The text of a cell, without the mark that a spreadsheet needs before what is no formula.
fn word(cell: &str) -> String {
    armed(harmless(cell).trim()).to_owned()
}

fn harmless(text: &str) -> String {
    let plain = |c: char| if acts_on_others(c) && !matches!(c, '\n' | '\r' | '\t') { ' ' } else { c };
    text.chars().map(plain).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn read(text: &str) -> Result<ShadeImport, CsvTrouble> {
        shades_from_csv(text.as_bytes(), "card.csv")
    }

    fn trouble(text: &str) -> String {
        read(text).unwrap_err().to_string()
    }

    #[test]
    fn a_short_table_is_enough() {
        let found = read("name,hex\nDull bucket,#d8cbb2\n\nGreen gutter,4d6b2a\n").unwrap();
        assert_eq!(found.shades.len(), 2);
        assert_eq!(found.shades[1], Shade::new("Green gutter", Colour::from_hex("#4d6b2a").unwrap()));
    }

    #[test]
    fn a_table_from_a_spreadsheet_with_decimal_commas() {
        let text = "\u{feff}Name;Shop;HEX;m per 100g;Ball-g;ball price;owned balls;in stock\r\n\
                    Dull bucket;corner;#d8cbb2;212,5;50;7,9;3;yes\r\nGreen gutter;;#4d6b2a;;;;;no\r\n";
        let found = read(text).unwrap();
        assert_eq!(found.ignored, ["Shop"]);
        let bucket = &found.shades[0];
        assert!((bucket.put_up.unwrap().grist.get() - 212.5).abs() < 1e-9);
        assert_eq!((bucket.ball_price, bucket.stock), (Price::new(7.9).ok(), Stock::Owned(3)));
        assert_eq!(found.shades[1].stock, Stock::Out);
    }

    #[test]
    fn every_wrong_line_is_named() {
        let text = "name,hex,ball_price,ball_g,weight_class,source\n\
                    Dull bucket,#d8cbb2,7,,3,maker\n\
                    Green gutter,green,dear,,3,photo\n\
                    ,#ffffff,,,,\n\
                    Red kettle lid,#a3421f,,50,,guess\n\
                    Old boot brush,#332211,,,9,\n";
        let error = read(text).unwrap_err();
        let lines: Vec<String> = error.problems.iter().map(ToString::to_string).collect();
        assert_eq!(lines.len(), 6, "{lines:#?}");
        for (line, parts) in lines.iter().zip([
            ["line 3, column hex", "'green' is not a colour"],
            ["line 3, column ball_price", "'dear' is not a number"],
            ["line 4", "needs a name"],
            ["line 5, column source", "photo, typed, maker"],
            ["line 5, column m_per_100g", "need metres per 100 g"],
            ["line 6", "from 0 to 7, not 9"],
        ]) {
            assert!(parts.iter().all(|part| line.contains(part)), "{line}");
        }
        assert!(error.to_string().starts_with("card.csv, line 3, column hex"), "{error}");
        assert!(error.to_string().ends_with("(and 5 more to mend)"), "{error}");
    }

    #[test]
    fn a_table_that_is_none_says_what_to_write() {
        assert!(trouble("").contains("no column 'name'"));
        assert!(trouble("name,code\nDull bucket,1\n").contains("add a column 'hex'"));
        assert!(trouble("name,hex,Name\nDull bucket,#fff,x\n").contains("there twice"));
        assert!(trouble("name,hex\n").contains("no shades"));
        let open = trouble("name,hex\nDull bucket,#fff\n\"Green gutter,#4d6b2a\nRed kettle lid,#a3421f\n");
        assert!(open.contains("line 3") && open.contains("never closed"), "{open}");
        assert!(read("name,hex\n\"a \"\"b\"\", 5\" c\",#fff\nfive\",#fff\n").is_ok());
        let latin = shades_from_csv(b"name,hex\nFj\xf6ll,#fff\n", "card.csv").unwrap_err().to_string();
        assert!(latin.contains("line 2") && latin.contains("CSV UTF-8"), "{latin}");
    }

    #[test]
    fn numbers_that_may_be_read_in_two_ways_are_refused() {
        assert_eq!(number("7,5"), Ok(7.5));
        assert_eq!(number("7.5"), Ok(7.5));
        for text in ["1,200", "1,2,3", "1.200,5", "nan", "inf", "x"] {
            assert!(number(text).is_err(), "{text}");
        }
    }

    #[test]
    fn hex_and_oklch_must_agree() {
        let line = |hex: &str, oklch: &str| read(&format!("name,hex,oklch\nA,{hex},{oklch}\n"));
        assert!(line("#a3421f", "oklch(0.5047 0.1372 39.14)").is_ok());
        assert!(line("#a3421f", "50.47% 0.1372 39.14deg").is_ok());
        let error = line("#a34fff", "oklch(0.5047 0.1372 39.14)").unwrap_err().to_string();
        assert!(error.contains("#a34fff is not") && error.contains("#a3421f"), "{error}");
        assert!(line("", "oklch(1.5 0 0)").is_err());
        assert!(line("", "rgb(1 2 3)").is_err());
    }

    #[test]
    fn a_cell_of_any_length_is_quoted_short() {
        let long = "x".repeat(5_000_000);
        for line in [format!("A,{long},\n"), format!("A,#fff,{long}\n")] {
            let error = trouble(&format!("name,hex,weight_class\n{line}"));
            assert!(error.len() < 300, "{}", error.len());
        }
    }

    #[test]
    fn a_name_cannot_become_a_formula_and_comes_back() {
        let names = ["=1+2", "+1", "-1", "@x", "'=1", "it's"];
        let shades: Vec<Shade> = names.iter().map(|name| Shade::new(*name, Colour::BLACK)).collect();
        let table = shades_to_csv(&shades).unwrap();
        let mut raw = csv::Reader::from_reader(table.as_bytes());
        let cells: Vec<String> = raw.records().map(|row| row.unwrap()[0].to_owned()).collect();
        assert_eq!(cells, ["'=1+2", "'+1", "'-1", "'@x", "''=1", "it's"]);
        assert_eq!(read(&table).unwrap().shades, shades);
        let odd = [Shade::new("a\u{1b}[31m\u{9b}b\u{202e}c", Colour::BLACK)];
        assert!(!shades_to_csv(&odd).unwrap().contains(['\u{1b}', '\u{9b}', '\u{202e}']));
    }

    #[test]
    fn problems_beyond_the_list_are_counted() {
        let lines = "x,\n".repeat(30);
        let error = read(&format!("name,hex\n{lines}")).unwrap_err();
        assert_eq!((error.problems.len(), error.more), (20, 10));
    }
}
