//! The yarn of each colour as a table: CSV for spreadsheets, aligned text for people.

use super::ExportError;
use crate::knit::{Estimate, SlotUse};
use crate::project::figures::Figures;
use crate::project::{Project, Slot};
use crate::units::{GRAMS_PER_OUNCE, METRES_PER_YARD};

/// The columns of the CSV table, units in their names. Numbers have a decimal point and no
/// thousands separator; `balls` is the whole number to buy, which holds the high figure; price
/// and cost are empty where no price is known.
pub const COLUMNS: [&str; 20] = [
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
];

/// The table as CSV (RFC 4180, UTF-8), one line a palette colour under the header.
///
/// # Errors
/// [`ExportError::Encoding`] when the table cannot be written to memory.
pub fn csv(project: &Project, figures: &Figures) -> Result<String, ExportError> {
    let mut table = csv::WriterBuilder::new().terminator(csv::Terminator::CRLF).from_writer(Vec::new());
    let failed = |error: String| ExportError::Encoding(error);
    table.write_record(COLUMNS).map_err(|e| failed(e.to_string()))?;
    for (slot, used) in project.palette.slots().iter().zip(&figures.yarn.slots) {
        table.write_record(csv_row(slot, used)).map_err(|e| failed(e.to_string()))?;
    }
    let bytes = table.into_inner().map_err(|e| failed(e.to_string()))?;
    String::from_utf8(bytes).map_err(|e| failed(e.to_string()))
}

fn csv_row(slot: &Slot, used: &SlotUse) -> Vec<String> {
    let put_up = slot.yarn.put_up;
    let three = |estimate: Estimate| [estimate.low, estimate.likely, estimate.high];
    let yards = used.metres.map(|metres| metres / METRES_PER_YARD);
    let price = |value: Option<f64>| value.map(|value| format!("{value:.2}")).unwrap_or_default();
    let mut row = vec![
        unarmed(&slot.name),
        slot.role.name().to_owned(),
        slot.colour.to_hex(),
        used.stitches.to_string(),
        format!("{:.2}", used.share_percent),
    ];
    let amounts = [three(used.metres), three(yards), three(used.grams)];
    row.extend(amounts.iter().flatten().map(|value| format!("{value:.1}")));
    row.push(used.balls.to_string());
    row.extend([put_up.ball_g(), put_up.metres_per_ball(), put_up.grist.get()].map(|v| format!("{v:.1}")));
    row.push(price(slot.yarn.ball_price));
    row.push(price(cost(slot, used)));
    row
}

/// What the balls of a colour cost, when a price is known.
fn cost(slot: &Slot, used: &SlotUse) -> Option<f64> {
    slot.yarn.ball_price.map(|price| price * f64::from(used.balls))
}

/// A name that a spreadsheet takes for words: one that begins like a formula gets an apostrophe
/// before it, which marks text there.
fn unarmed(name: &str) -> String {
    let formula = name.trim_start().starts_with(['=', '+', '-', '@']) || name.starts_with(char::is_control);
    if formula { format!("'{name}") } else { name.to_owned() }
}

/// The table as text for a monospaced typeface, in metres and grams as well as yards and ounces,
/// with the sum behind each colour.
pub fn text(project: &Project, figures: &Figures) -> String {
    let mut out = String::new();
    let mut line = |words: &str| {
        out.push_str(words.trim_end());
        out.push('\n');
    };
    let title = if project.title.is_empty() { "Untitled" } else { &project.title };
    line(&format!("{title}: yarn by colour"));
    line("");
    for row in aligned(&main_table(project, figures)) {
        line(&row);
    }
    line("");
    line(
        "Amounts are low - likely - high. Balls hold the high figure. Buy all balls of a colour from one dye lot.",
    );
    let basis = figures.loop_length;
    line(&format!(
        "A stitch takes {:.2} cm of yarn ({:.2} to {:.2} cm), worked out from the washed gauge.",
        basis.likely, basis.low, basis.high
    ));
    line("");
    line("How the metres are made up (low - likely - high)");
    for (slot, used) in project.palette.slots().iter().zip(&figures.yarn.slots) {
        if used.lines.is_empty() {
            continue;
        }
        line("");
        line(&crate::file::one_line(&slot.name));
        let rows: Vec<Vec<Cell>> = used
            .lines
            .iter()
            .filter(|part| part.metres.high >= 0.05)
            .map(|part| vec![words(&format!("  {}", part.what)), range(part.metres, 1, "m")])
            .chain([vec![words("  Together"), range(used.metres, 1, "m")]])
            .collect();
        for row in aligned(&rows) {
            line(&row);
        }
    }
    out
}

fn main_table(project: &Project, figures: &Figures) -> Vec<Vec<Cell>> {
    let headings = ["Colour", "Role"].map(words);
    let numbers = ["Stitches", "Share", "Metres", "Yards", "Grams", "Ounces", "Balls", "Cost"].map(number);
    let mut rows = vec![headings.into_iter().chain(numbers).collect::<Vec<_>>()];
    let mut stitches = 0;
    let mut balls = 0_u64;
    let mut total_cost = Some(0.0);
    for (slot, used) in project.palette.slots().iter().zip(&figures.yarn.slots) {
        stitches += used.stitches;
        balls += u64::from(used.balls);
        let own = cost(slot, used);
        total_cost = total_cost.zip(own.or((used.balls == 0).then_some(0.0))).map(|(sum, own)| sum + own);
        rows.push(table_row(
            [crate::file::one_line(&slot.name), slot.role.name().to_owned()],
            (used.stitches, used.share_percent),
            (used.metres, used.grams),
            (u64::from(used.balls), own),
        ));
    }
    rows.push(table_row(
        ["All".to_owned(), String::new()],
        (stitches, if stitches > 0 { 100.0 } else { 0.0 }),
        (figures.yarn.metres(), figures.yarn.grams()),
        (balls, total_cost),
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
    (balls, cost): (u64, Option<f64>),
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
        number(&cost.map(|cost| format!("{cost:.2}")).unwrap_or_default()),
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_cannot_become_a_formula() {
        for name in ["=1+2", "+1", "-1", "@x", " =1", "\t=1"] {
            assert!(unarmed(name).starts_with('\''), "{name}");
        }
        assert_eq!(unarmed("Sea = pink"), "Sea = pink");
    }
}
