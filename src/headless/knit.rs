//! `huegauge knit`: knits a pattern from its words and prints what came off the needles.

use std::io::Read;
use std::path::{Path, PathBuf};

use lexopt::Arg;
use serde::Serialize;

use super::args::{OptionHelp, known_names, path_value, unknown};
use super::error::CommandError;
use super::print;
use crate::export::json;
use crate::export::metres::Knitted as KnittedMetres;
use crate::file::{self, FileError};
use crate::words::{Knitted, LeftOpen, MAX_TEXT, Pattern, Stumble, YarnBasis, knitted_through};

/// The options of the command.
pub(super) const OPTIONS: &[OptionHelp] = &[OptionHelp {
    name: "words",
    value: "FILE",
    help: "the words of a pattern, as they were written or edited",
}];

/// A pattern as knitted.
#[derive(Serialize)]
struct Report {
    pattern: String,
    /// The sentence for the head of a sheet.
    summary: String,
    /// Whether every size was knitted without a stumble and nothing is left open.
    closed: bool,
    sizes: Vec<SizeReport>,
}

#[derive(Serialize)]
struct SizeReport {
    size: String,
    closed: bool,
    stitches: u64,
    /// Rounds and rows.
    rounds: u64,
    colours: Vec<ColourReport>,
    /// Stitches that nothing closes.
    live_at_end: Vec<OpenReport>,
    stumbles: Vec<StumbleReport>,
}

#[derive(Serialize)]
struct ColourReport {
    code: String,
    name: String,
    stitches: u64,
    metres: f64,
    metres_low: f64,
    metres_high: f64,
    #[serde(flatten)]
    knitted: KnittedMetres,
}

#[derive(Serialize)]
struct OpenReport {
    place: String,
    stitches: u32,
}

#[derive(Serialize)]
struct StumbleReport {
    piece: String,
    section: Option<String>,
    step: u32,
    row: u32,
    words: String,
    why: String,
}

/// Knits the pattern named: words from a file, or those a project is printed in.
pub(super) fn run(mut args: lexopt::Parser) -> Result<(), CommandError> {
    let (mut file, mut project) = (None, None);
    while let Some(arg) = args.next()? {
        match arg {
            Arg::Long("words") if file.is_none() => file = Some(path_value(&mut args, "--words")?),
            Arg::Value(path) if project.is_none() => project = Some(PathBuf::from(path)),
            other => return Err(CommandError::Entry(unknown(&other, &known_names(&[OPTIONS])))),
        }
    }
    let (report, from) = match (file, project) {
        (Some(file), None) => (of_words(&file)?, file),
        (None, Some(project)) => (of_project(&project)?, project),
        (Some(_), Some(_)) => {
            let what = "knit takes a project or --words FILE, not both: there is one word too many";
            return Err(CommandError::entry(what));
        }
        (None, None) => {
            let what = "knit needs a project or words: huegauge knit PROJECT, or huegauge knit --words FILE";
            return Err(CommandError::entry(what));
        }
    };
    print(&(json::text(&report).map_err(CommandError::Figures)? + "\n"))?;
    // The report is what was asked for; that the pattern is not sound must still stop a script.
    if report.closed { Ok(()) } else { Err(CommandError::Content { file: from, what: report.summary }) }
}

fn of_words(file: &Path) -> Result<Report, CommandError> {
    let wrong = |what: String| CommandError::Content { file: file.to_owned(), what };
    let pattern = Pattern::read(&words_of(file)?).map_err(|error| wrong(error.to_string()))?;
    Ok(report(&pattern, &YarnBasis::of_gauge(pattern.gauge)))
}

/// The project is knitted from its own printed words, not from what they were printed from.
fn of_project(file: &Path) -> Result<Report, CommandError> {
    let project = file::load(file)?;
    let wrong = |what: String| CommandError::Content { file: file.to_owned(), what };
    let words = project.instructions().map_err(|error| wrong(error.to_string()))?.to_text();
    let pattern = Pattern::read(&words).map_err(|error| wrong(format!("its own words: {error}")))?;
    Ok(report(&pattern, &project.yarn_basis()))
}

/// The text of a file, not read further than any pattern goes.
fn words_of(path: &Path) -> Result<String, CommandError> {
    let file = std::fs::File::open(path).map_err(|error| FileError::reading(path, &error))?;
    let mut bytes = Vec::new();
    let read = file.take(MAX_TEXT as u64 + 1).read_to_end(&mut bytes);
    read.map_err(|error| FileError::reading(path, &error))?;
    let text = String::from_utf8(bytes).map_err(|_| CommandError::Content {
        file: path.to_owned(),
        what: "this is no text: save it as plain text in UTF-8".to_owned(),
    })?;
    Ok(crate::file::without_mark(&text).to_owned())
}

fn report(pattern: &Pattern, basis: &YarnBasis) -> Report {
    let knitted = pattern.knit_all();
    Report {
        pattern: pattern.title.to_string(),
        summary: knitted_through(pattern, &knitted),
        closed: knitted.iter().all(Knitted::is_closed),
        sizes: knitted.iter().map(|one| size_report(pattern, one, basis)).collect(),
    }
}

fn size_report(pattern: &Pattern, knitted: &Knitted, basis: &YarnBasis) -> SizeReport {
    let colours = knitted.yarn(basis).into_iter().filter_map(|used| {
        let yarn = pattern.colours.get(usize::from(used.colour.0))?;
        let metres = used.metres.estimate();
        Some(ColourReport {
            code: yarn.code.to_string(),
            name: yarn.name.as_str().to_owned(),
            stitches: used.counts.stitches(),
            metres: json::rounded(metres.likely),
            metres_low: json::rounded(metres.low),
            metres_high: json::rounded(metres.high),
            knitted: metres.into(),
        })
    });
    SizeReport {
        size: pattern.sizes[knitted.size].as_str().to_owned(),
        closed: knitted.is_closed(),
        stitches: knitted.stitches(),
        rounds: knitted.rows(),
        colours: colours.collect(),
        live_at_end: knitted.open.iter().map(open_report).collect(),
        stumbles: knitted.stumbles.iter().map(stumble_report).collect(),
    }
}

fn open_report(open: &LeftOpen) -> OpenReport {
    OpenReport { place: open.place.clone(), stitches: open.stitches }
}

fn stumble_report(stumble: &Stumble) -> StumbleReport {
    let Stumble { piece, section, step, row, words, why } = stumble.clone();
    StumbleReport { piece, section, step, row, words, why }
}
