//! `huegauge card`: a shop's table as a shade card.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use lexopt::Arg;
use serde::Serialize;

use super::args::{OptionHelp, known_names, path_value, unknown, value};
use super::error::CommandError;
use super::print;
use crate::export::json;
use crate::file::{self, CsvProblem, CsvTrouble, Matching, ShadeField, ShadeTable, TakenIn};
use crate::plain_text::{one_line, quoted};
use crate::yarn::ShadeCard;

/// The options of the command.
pub(super) const OPTIONS: &[OptionHelp] = &[
    OptionHelp { name: "out", value: "CARD", help: "the shade card to write (RON)" },
    OptionHelp {
        name: "columns",
        value: "FIELD=HEADING,...",
        help: "which column holds what, where the headings do not say it: fields are name, code, hex, oklch, red, green, blue, lab_l, lab_a, lab_b, source, uncertainty, fibre, weight_class, m_per_100g, length, ball_g, ball_price, in_stock, owned_balls, dye_lot, photo; nothing after the = leaves a field out",
    },
];

struct CardJob {
    table: PathBuf,
    out: PathBuf,
    columns: Vec<(ShadeField, String)>,
}

/// Reads the table, writes the card and prints what came in.
pub(super) fn run(args: lexopt::Parser) -> Result<(), CommandError> {
    let job = job_asked(args)?;
    let name = job.table.display().to_string();
    let trouble = |problem: CsvProblem| CommandError::Table(CsvTrouble::of(&name, vec![problem]));
    let table = ShadeTable::read(&file::read_bytes(&job.table)?).map_err(trouble)?;
    let matching = matching(&table, &job.columns)?;
    matching.check().map_err(|fault| trouble(fault.into()))?;
    let taken = table.shades(&matching);
    if taken.shades.is_empty() {
        return Err(nothing(&job.table, &name, &taken));
    }
    let title = job.table.file_stem().unwrap_or_default().to_string_lossy();
    let shades = taken.shades.iter().map(|(_, shade)| shade.clone()).collect();
    let content = |what: String| CommandError::Content { file: job.table.clone(), what };
    let card = ShadeCard::new(title, shades).map_err(|(_, error)| content(error.to_string()))?;
    if same_file(&job.table, &job.out) {
        return Err(CommandError::entry("--out names the table itself: name another file for the card"));
    }
    file::save_card(&job.out, &card)?;
    let out = TakenOut::new(&job, &table, &matching, &taken);
    print(&(json::text(&out).map_err(CommandError::Figures)? + "\n"))
}

fn same_file(one: &Path, other: &Path) -> bool {
    match (one.canonicalize(), other.canonicalize()) {
        (Ok(one), Ok(other)) => one == other,
        _ => false,
    }
}

fn nothing(path: &Path, name: &str, taken: &TakenIn) -> CommandError {
    if taken.set_aside.is_empty() {
        let what = "there are no shades under the headings: add some".to_owned();
        return CommandError::Content { file: path.to_owned(), what };
    }
    CommandError::Table(CsvTrouble::of(name, taken.set_aside.clone()))
}

fn job_asked(mut args: lexopt::Parser) -> Result<CardJob, CommandError> {
    let (mut table, mut out, mut columns) = (None, None, Vec::new());
    while let Some(arg) = args.next()? {
        match arg {
            Arg::Long("out") => out = Some(path_value(&mut args, "--out")?),
            Arg::Long("columns") => {
                let text: String = value(&mut args, "--columns", "FIELD=HEADING,...")?;
                columns.extend(columns_asked(&text)?);
            }
            Arg::Value(path) if table.is_none() => table = Some(PathBuf::from(path)),
            other => return Err(CommandError::Entry(unknown(&other, &known_names(&[OPTIONS])))),
        }
    }
    let table =
        table.ok_or_else(|| CommandError::entry("card needs a table: huegauge card TABLE --out CARD"))?;
    let out =
        out.ok_or_else(|| CommandError::entry("card needs a file to write: huegauge card TABLE --out CARD"))?;
    Ok(CardJob { table, out, columns })
}

/// `FIELD=HEADING,...`; a heading may have commas of its own.
fn columns_asked(text: &str) -> Result<Vec<(ShadeField, String)>, CommandError> {
    let mut found: Vec<(ShadeField, String)> = Vec::new();
    for part in text.split(',') {
        let named = part.split_once('=').map(|(field, heading)| (ShadeField::named(field), field, heading));
        match (named, found.last_mut()) {
            (Some((Some(field), _, heading)), _) => found.push((field, heading.trim().to_owned())),
            (None, Some((_, heading))) => heading.extend([",", part]),
            (Some((None, field, _)), _) => {
                let fields: Vec<&str> = ShadeField::ALL.iter().map(|field| field.key()).collect();
                let what = format!(
                    "--columns: there is no field '{}': use one of {}",
                    quoted(field),
                    fields.join(", ")
                );
                return Err(CommandError::Entry(what));
            }
            (None, None) => {
                let what = format!("--columns needs FIELD=HEADING,... after it, not '{}'", quoted(text));
                return Err(CommandError::Entry(what));
            }
        }
    }
    Ok(found)
}

fn matching(table: &ShadeTable, asked: &[(ShadeField, String)]) -> Result<Matching, CommandError> {
    // What is asked for settles what would be there twice.
    let mut matching = match (Matching::of(table), asked.is_empty()) {
        (Ok(matching), _) => matching,
        (Err(_), false) => Matching::default(),
        (Err(fault), true) => return Err(CommandError::Entry(fault.to_string())),
    };
    for (field, heading) in asked {
        let is = |known: &&String| known.trim().to_lowercase() == heading.to_lowercase();
        let column = table.headings.iter().position(|known| is(&known));
        if column.is_none() && !heading.is_empty() {
            let known: Vec<String> = table.headings.iter().map(|heading| quoted(heading)).collect();
            let what = format!(
                "--columns: no column is headed '{}': the table has {}",
                quoted(heading),
                known.join(", ")
            );
            return Err(CommandError::Entry(what));
        }
        matching.set(*field, column);
    }
    Ok(matching.without_half_a_ball())
}

#[derive(Serialize)]
struct TakenOut {
    /// The card that was written.
    card: String,
    /// Shades on it.
    shades: usize,
    /// Field to heading.
    columns: BTreeMap<&'static str, String>,
    ignored_columns: Vec<String>,
    /// What stands for the currency of the prices.
    currency: Option<String>,
    set_aside: Vec<SetAsideOut>,
    duplicate_codes: Vec<DuplicateOut>,
    /// Lines that came in without a price, for words stand in its place.
    unpriced: Vec<SaidOut>,
    /// Lines whose fibre is not known here: its words came in, and nothing is concluded from them.
    fibre_not_known: Vec<SaidOut>,
}

#[derive(Serialize)]
struct SaidOut {
    line: u64,
    said: String,
}

#[derive(Serialize)]
struct SetAsideOut {
    line: u64,
    why: String,
}

#[derive(Serialize)]
struct DuplicateOut {
    code: String,
    lines: Vec<u64>,
}

impl TakenOut {
    fn new(job: &CardJob, table: &ShadeTable, matching: &Matching, taken: &TakenIn) -> Self {
        let heading =
            |column: usize| table.headings.get(column).map_or_else(String::new, |text| one_line(text));
        Self {
            card: job.out.display().to_string(),
            shades: taken.shades.len(),
            columns: matching.fields().map(|(field, column)| (field.key(), heading(column))).collect(),
            ignored_columns: matching.left_out(table),
            currency: taken.currency.clone(),
            set_aside: taken
                .set_aside_lines()
                .into_iter()
                .map(|(line, why)| SetAsideOut { line, why })
                .collect(),
            duplicate_codes: taken
                .twice
                .iter()
                .map(|(code, lines)| DuplicateOut { code: one_line(code), lines: lines.clone() })
                .collect(),
            unpriced: said(&taken.unpriced),
            fibre_not_known: said(&taken.unknown_fibres),
        }
    }
}

fn said(lines: &[(u64, String)]) -> Vec<SaidOut> {
    lines.iter().map(|(line, said)| SaidOut { line: *line, said: said.clone() }).collect()
}
