//! The yarn of each colour as a table: CSV for spreadsheets, aligned text for people.

use super::ExportError;
use super::quiet::{EXPLAINED, quiet};
use super::yarn_words::yarn_words;
use crate::knit::Estimate;
use crate::knit::pieces::ColourYarn;
use crate::plain_text::{one_line, unarmed};
use crate::project::shopping::Shopping;
use crate::project::{Project, Slot, code_and_role, colour_code, key_entry};
use crate::units::{GRAMS_PER_OUNCE, METRES_PER_YARD, Price};
use crate::yarn::Shade;

/// The columns of the CSV table, units in their names. Numbers have a decimal point and no
/// thousands separator; `balls` is the whole number to buy, which holds the high figure less what is
/// on hand; price and cost are empty where no price is known; `basis` says what the amounts rest on.
pub const COLUMNS: [&str; 28] = [
    "colour",
    "role",
    "hex",
    "stitches",
    "share_percent",
    "metres_low",
    "metres_likely",
    "metres_high",
    "yards_low",
    "yards_likely",
    "yards_high",
    "grams_low",
    "grams_likely",
    "grams_high",
    "balls",
    "ball_g",
    "ball_m",
    "metres_per_100g",
    "ball_price",
    "cost",
    "on_hand_metres",
    "to_buy_metres",
    "size",
    "code",
    "basis",
    "shade_code",
    "dye_lot",
    "yarn",
];

/// The table as CSV (RFC 4180, UTF-8), one line a palette colour under the header.
///
/// # Errors
/// [`ExportError::Encoding`] when the table cannot be written to memory.
pub fn csv(project: &Project, shopping: &Shopping) -> Result<String, ExportError> {
    let mut table = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let failed = |error: String| ExportError::Encoding(error);
    table.write_record(COLUMNS).map_err(|e| failed(e.to_string()))?;
    let (_, source) = project.stitch_yarn();
    let basis = source.words();
    for (index, (slot, used)) in project.palette.slots().iter().zip(&shopping.yarn.colours).enumerate() {
        let mut row = csv_row(slot, used, &shopping.size_name);
        row.extend([colour_code(index), basis.to_owned()]);
        row.extend(shade_cells(project, slot));
        table.write_record(row).map_err(|e| failed(e.to_string()))?;
    }
    let bytes = table.into_inner().map_err(|e| failed(e.to_string()))?;
    String::from_utf8(bytes).map_err(|e| failed(e.to_string()))
}

fn csv_row(slot: &Slot, used: &ColourYarn, size: &str) -> Vec<String> {
    let put_up = slot.yarn.put_up;
    let three = |estimate: Estimate| [estimate.low, estimate.likely, estimate.high];
    let yards = used.metres().map(|metres| metres / METRES_PER_YARD);
    let price = |value: Option<Price>| value.map(|value| value.to_string()).unwrap_or_default();
    let mut row = vec![
        cell(&slot.name),
        slot.role.name().to_owned(),
        slot.colour.to_hex(),
        used.stitches.to_string(),
        format!("{:.2}", used.share_percent),
    ];
    let amounts = [three(used.metres()), three(yards), three(used.grams())];
    row.extend(amounts.iter().flatten().map(|value| format!("{value:.1}")));
    row.push(used.balls.to_string());
    row.extend([put_up.ball_g(), put_up.metres_per_ball(), put_up.grist.get()].map(|v| format!("{v:.1}")));
    row.push(price(slot.yarn.ball_price));
    row.push(price(used.cost));
    row.extend([slot.on_hand_m(), used.to_buy_m].map(|v| format!("{v:.1}")));
    row.push(cell(size));
    row
}

/// Number, dye lot and yarn of the shade a colour is knitted in; the project's yarn where the shade names none.
fn shade_cells(project: &Project, slot: &Slot) -> [String; 3] {
    let of = |field: fn(&Shade) -> &str| slot.shade().map_or("", |shade| field(shade).trim());
    let project_yarn = project.material.yarn.as_ref().map_or("", |yarn| yarn.name.as_str());
    let yarn = Some(of(|shade| &shade.make.line)).filter(|line| !line.is_empty()).unwrap_or(project_yarn);
    [of(|shade| &shade.code), of(|shade| &shade.dye_lot), yarn].map(cell)
}

/// A name as a cell: on one line, and never a formula.
fn cell(name: &str) -> String {
    unarmed(&one_line(name)).into_owned()
}

/// The table as text for a monospaced typeface, in metres and grams as well as yards and ounces,
/// with the sum behind each colour.
pub fn text(project: &Project, shopping: &Shopping) -> String {
    let mut out = String::new();
    let mut line = |words: &str| {
        out.push_str(words.trim_end());
        out.push('\n');
    };
    let title = if project.title.is_empty() { "Untitled" } else { &project.title };
    line(&format!("{}: yarn by colour", one_line(title)));
    if shopping.sizes > 1 {
        line(&format!("Size {}", one_line(&shopping.size_name)));
    }
    line(&one_line(&yarn_words(project)));
    line("");
    for row in aligned(&main_table(project, shopping)) {
        line(&row);
    }
    line("");
    line("Amounts are low - likely - high. Balls hold the high figure, less what is on hand.");
    line("Buy all balls of a colour from one dye lot.");
    line(&project.loop_basis().words(project.units));
    line(crate::knit::LOOP_LENGTH_VALID_FOR);
    if let Some(caveat) = shopping.yarn.caveat() {
        line(caveat);
    }
    line(&quiet(crate::knit::RANGE_WORDS, true));
    line("");
    line("How the metres are made up (low - likely - high)");
    let colours = project.palette.slots().iter().zip(&shopping.yarn.colours).enumerate();
    for (index, (slot, used)) in colours.filter(|(_, (_, used))| used.stitches > 0) {
        line("");
        line(&one_line(&key_entry(index, slot)));
        let several = shopping.yarn.pieces.len() > 1;
        let rows: Vec<Vec<Cell>> = shopping
            .yarn
            .lines(index)
            .into_iter()
            .filter(|(_, item)| item.metres().high >= 0.05)
            .map(|(piece, item)| {
                let piece = piece
                    .filter(|_| several)
                    .map_or_else(String::new, |piece| format!("{}: ", one_line(piece)));
                vec![words(&format!("  {piece}{}", item.kind.name())), range(item.metres(), 1, "m")]
            })
            .chain([vec![words("  Together"), range(used.metres(), 1, "m")]])
            .collect();
        for row in aligned(&rows) {
            line(&row);
        }
    }
    line("");
    line(EXPLAINED);
    out
}

fn main_table(project: &Project, shopping: &Shopping) -> Vec<Vec<Cell>> {
    let headings = ["Colour", "Code, role"].map(words);
    let cost = match project.currency.written() {
        "" => "Cost".to_owned(),
        written => format!("Cost, {written}"),
    };
    let numbers = ["Stitches", "Share", "Metres", "Yards", "Grams", "Ounces", "Balls", &cost].map(number);
    let mut rows = vec![headings.into_iter().chain(numbers).collect::<Vec<_>>()];
    let mut stitches = 0;
    let mut balls = 0_u64;
    for (index, (slot, used)) in project.palette.slots().iter().zip(&shopping.yarn.colours).enumerate() {
        stitches += used.stitches;
        balls += u64::from(used.balls);
        rows.push(table_row(
            [one_line(&slot.name), code_and_role(index, slot.role)],
            (used.stitches, used.share_percent),
            (used.metres(), used.grams()),
            (u64::from(used.balls), used.cost),
        ));
    }
    rows.push(table_row(
        ["All".to_owned(), String::new()],
        (stitches, if stitches > 0 { 100.0 } else { 0.0 }),
        (shopping.yarn.metres(), shopping.yarn.grams()),
        (balls, shopping.yarn.cost()),
    ));
    if rows.iter().skip(1).all(|row| row.last().is_some_and(|cost| cost.text.is_empty())) {
        for row in &mut rows {
            row.pop();
        }
    }
    rows
}

fn table_row(
    [name, role]: [String; 2],
    (stitches, share): (u64, f64),
    (metres, grams): (Estimate, Estimate),
    (balls, cost): (u64, Option<Price>),
) -> Vec<Cell> {
    vec![
        words(&name),
        words(&role),
        number(&stitches.to_string()),
        number(&format!("{share:.1} %")),
        range(metres, 0, ""),
        range(metres.map(|m| m / METRES_PER_YARD), 0, ""),
        range(grams, 0, ""),
        range(grams.map(|g| g / GRAMS_PER_OUNCE), 1, ""),
        number(&balls.to_string()),
        number(&cost.map(|cost| cost.to_string()).unwrap_or_default()),
    ]
}

/// One cell of a text table.
struct Cell {
    text: String,
    to_the_right: bool,
}

fn words(text: &str) -> Cell {
    Cell { text: text.to_owned(), to_the_right: false }
}

fn number(text: &str) -> Cell {
    Cell { text: text.to_owned(), to_the_right: true }
}

/// `low - likely - high` with so many decimals.
fn range(estimate: Estimate, decimals: usize, unit: &str) -> Cell {
    let Estimate { low, likely, high } = estimate;
    let text = format!("{low:.decimals$} - {likely:.decimals$} - {high:.decimals$} {unit}");
    number(text.trim_end())
}

/// The rows with every column as wide as its widest cell.
fn aligned(rows: &[Vec<Cell>]) -> Vec<String> {
    let columns = rows.iter().map(Vec::len).max().unwrap_or(0);
    let length = |cell: &Cell| cell.text.chars().count();
    let width = |column: usize| rows.iter().filter_map(|row| row.get(column)).map(length).max().unwrap_or(0);
    let widths: Vec<usize> = (0..columns).map(width).collect();
    let set = |(cell, width): (&Cell, &usize)| {
        let space = " ".repeat(width - length(cell));
        if cell.to_the_right { space + &cell.text } else { cell.text.clone() + &space }
    };
    rows.iter().map(|row| row.iter().zip(&widths).map(set).collect::<Vec<_>>().join("   ")).collect()
}
