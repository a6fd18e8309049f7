//! The pattern sheet: everything to knit from, page by page.

mod chart_pages;
mod figures;
mod flow;
mod front;
mod making;
mod measures;
mod sources;
mod sums;
mod table;

use super::ExportError;
use super::drawing::{Drawing, Item};
use super::instructions::{Instructions, Sized, instructions};
use super::paper::Paper;
use super::stitch_signs::Signs;
use super::text::Weight;
use super::written_rows::{ABBREVIATIONS, RowStyle, rows};
use crate::chart::{Cell, Grid, Rect};
use crate::project::figures::charts_are_worked_once;
use crate::project::{Chart, Project};

pub use chart_pages::STITCH_MM;
use flow::{Flow, Style, Term};
use making::Making;

/// What the sheet is to be.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SheetOptions {
    /// The paper.
    pub paper: Paper,
    /// The place of the size that picture, schematic and sums are of; `None` is the project's own.
    pub size: Option<usize>,
    /// Whether sums and sources follow.
    pub appendix: bool,
}

impl Default for SheetOptions {
    fn default() -> Self {
        Self { paper: Paper::default(), size: None, appendix: true }
    }
}

/// Lays out the pattern sheet of a project.
///
/// # Errors
/// [`ExportError`] when a piece cannot be worked, or the chart would take too many pages.
pub fn pages(project: &Project, options: &SheetOptions) -> Result<Vec<Drawing>, ExportError> {
    let sized = Sized::of(project, options.size)?;
    let yarn: Vec<_> = sized.worked.iter().map(|pieces| project.pieces_yarn(pieces, None)).collect();
    let making = Making::of(project, &sized);
    let said = instructions(project);
    let front =
        front::Front { through: &said.through, making: &making, yarn: &yarn, appendix: options.appendix };
    let mut flow = front::page(project, &sized, &front, options.paper);
    front::bobbins(&mut flow, project, &sized);
    measures::table(&mut flow, project, &sized);
    measures::schematic(&mut flow, project, &sized);
    front::care(&mut flow, project);
    let once = charts_are_worked_once(sized.worked.iter().flatten());
    let charts = charts(project, &said);
    let making =
        Words { said: &said, charts: &charts, abbreviations: abbreviations(project, &said, once), once };
    let mut flow = making.set(&flow, project)?;
    if options.appendix {
        flow.new_page();
        flow.heading("Appendix", Style::HEADING, 40.0);
        flow.words("Not needed to knit: where the figures come from.", Style::SMALL);
        measures::chart_fit(&mut flow, project, &sized);
        sums::set(&mut flow, project, &sized, &yarn[sized.chosen]);
        sources::set(&mut flow, project);
    }
    Ok(flow.finish())
}

/// Where the abbreviations stand.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Place {
    BeforeInstructions,
    AfterInstructions,
    Last,
}

/// The instructions with their charts, written rows and abbreviations.
struct Words<'a> {
    said: &'a Instructions,
    charts: &'a [(String, Project)],
    /// Words, then signs.
    abbreviations: Vec<Term>,
    /// Whether the charts are worked once across.
    once: bool,
}

impl Words<'_> {
    /// Sets them on the pages of `flow`: the abbreviations where they take no page for themselves, after the
    /// instructions if that can be.
    fn set(&self, flow: &Flow, project: &Project) -> Result<Flow, ExportError> {
        let places = [Place::AfterInstructions, Place::BeforeInstructions, Place::Last];
        let mut best: Option<Flow> = None;
        for place in places {
            let mut laid = flow.clone();
            self.set_with(&mut laid, project, place)?;
            if best.as_ref().is_none_or(|best| laid.page_count() < best.page_count()) {
                best = Some(laid);
            }
        }
        Ok(best.unwrap_or_else(|| flow.clone()))
    }

    fn set_with(&self, flow: &mut Flow, project: &Project, place: Place) -> Result<(), ExportError> {
        let abbreviations = |flow: &mut Flow, here: Place| {
            if here == place {
                set_terms(flow, &self.abbreviations);
            }
        };
        abbreviations(flow, Place::BeforeInstructions);
        pieces(flow, self.said);
        abbreviations(flow, Place::AfterInstructions);
        chart_pages::set_all(flow, self.charts)?;
        for (name, chart) in self.charts {
            written(flow, chart, name, project.repeats_side_by_side() && !self.once);
        }
        abbreviations(flow, Place::Last);
        Ok(())
    }
}

/// All words of some pages, one line after the other.
pub fn words_of(pages: &[Drawing]) -> String {
    let items = pages.iter().flat_map(|page| &page.layers).flat_map(|layer| &layer.items);
    let words =
        items.filter_map(|item| if let Item::Text(line) = item { Some(line.text.as_str()) } else { None });
    words.collect::<Vec<_>>().join("\n")
}

/// Lays out the chart alone, its stitches `stitch_mm` wide (pulled into [`STITCH_MM`]).
///
/// # Errors
/// [`ExportError::TooManyPages`] when it would take more than 400 pages.
pub fn chart_pages(project: &Project, paper: Paper, stitch_mm: f64) -> Result<Vec<Drawing>, ExportError> {
    let mut flow = Flow::new(paper, &project.title);
    let heading = if project.title.trim().is_empty() { "Chart" } else { project.title.trim() };
    chart_pages::set(&mut flow, project, heading, Some(stitch_mm))?;
    Ok(flow.finish())
}

fn pieces(flow: &mut Flow, said: &Instructions) {
    if said.pieces.is_empty() {
        return;
    }
    flow.heading("Instructions", Style::HEADING, 30.0);
    for piece in &said.pieces {
        flow.heading(&piece.heading, Style::SUBHEADING, 3.0 * Style::BODY.line());
        let mut number = 0;
        for (heading, lines) in &piece.sections {
            if let Some(heading) = heading {
                flow.heading(heading, Style::SECTION, 2.0 * Style::BODY.line());
            }
            for line in lines {
                number += 1;
                flow.hanging(&format!("{number}."), line, 6.0, Style::BODY);
            }
        }
    }
}

/// The charts that the words speak of, each as a project that holds it alone, its rows numbered as in the
/// words. The whole chart where they speak of one as high as it.
fn charts(project: &Project, said: &Instructions) -> Vec<(String, Project)> {
    let whole = project.chart.grid.bounds();
    let parts: Vec<Project> = match said.charts.as_slice() {
        [] => Vec::new(),
        [one] if (one.y, one.height) == (0, whole.height) => Vec::new(),
        parts => parts.iter().filter_map(|part| chart_alone(project, *part)).collect(),
    };
    if parts.is_empty() {
        return vec![("Chart".to_owned(), project.clone())];
    }
    let numbered = |(i, part): (usize, Project)| (format!("Chart {}", i + 1), part);
    parts.into_iter().enumerate().map(numbered).collect()
}

/// A part of the chart; rows without a stitch are left out, as in the knitting.
fn chart_alone(project: &Project, part: Rect) -> Option<Project> {
    let cells = project.chart.grid.copy(part)?;
    let rows =
        (0..cells.height()).map(|y| cells.row(y)).filter(|row| row.iter().any(|c| c.index().is_some()));
    let rows: Vec<&[Cell]> = rows.collect();
    let grid = Grid::from_cells(part.width, rows.len() as u32, rows.concat()).ok()?;
    Some(Project { chart: Chart::new(grid), ..project.clone() })
}

fn written(flow: &mut Flow, project: &Project, chart: &str, repeated: bool) {
    let heading = match chart.strip_prefix("Chart ") {
        Some(number) => format!("Written rows of chart {number}"),
        None => "Written rows".to_owned(),
    };
    let construction = project.plan.construction;
    let rows: Vec<Term> = rows_of(project, repeated)
        .into_iter()
        .map(|row| Term {
            word: row.label(construction).replace('-', "–"),
            weight: Weight::Regular,
            sign: None,
            meaning: row.words,
        })
        .collect();
    if flow.columns_hold(&rows, COLUMN_ROW, Style::BODY) {
        let height = flow.height_of_terms(&rows, COLUMN_ROW, Style::BODY);
        flow.heading(&heading, Style::HEADING, height + 3.0);
        return flow.terms(&rows, COLUMN_ROW, Style::BODY);
    }
    flow.heading(&heading, Style::HEADING, 30.0);
    for row in rows {
        flow.hanging(&row.word, &row.meaning, ROW, Style::BODY);
    }
}

/// Width of the number of a row.
const ROW: f64 = 24.0;
/// The same where rows stand in two columns.
const COLUMN_ROW: f64 = 20.0;
/// Width of an abbreviation or phrase.
const SHORT: f64 = 23.0;

/// The abbreviations and signs that are used, and no others.
fn abbreviations(project: &Project, said: &Instructions, once: bool) -> Vec<Term> {
    let mut terms: Vec<(&str, &str)> = said.terms.iter().map(|term| (term.word, term.meaning)).collect();
    let repeated = project.repeats_side_by_side() && !once;
    let in_rows =
        rows_of(project, repeated).iter().map(|row| row.words.clone()).collect::<Vec<_>>().join(" ");
    let others = crate::words::terms_used(&in_rows).into_iter().map(|term| (term.word, term.meaning));
    let labels = ABBREVIATIONS.into_iter().filter(|(short, _)| ["rnd(s)", "RS", "WS"].contains(short));
    let round = project.plan.construction == crate::knit::Construction::InTheRound;
    let labels = labels.filter(|(short, _)| (*short == "rnd(s)") == round);
    for (word, meaning) in others.chain(labels) {
        if terms.iter().all(|(known, _)| *known != word) {
            terms.push((word, meaning));
        }
    }
    terms.sort_by_key(|(word, _)| word.to_lowercase());
    let term = |(word, meaning): (&str, &str)| Term {
        word: word.to_owned(),
        weight: Weight::Semibold,
        sign: None,
        meaning: format!("{meaning}."),
    };
    let terms = terms.into_iter().map(term);
    let sign = |(look, words)| Term {
        word: String::new(),
        weight: Weight::Regular,
        sign: Some(look),
        meaning: words,
    };
    terms.chain(Signs::of(project).key().into_iter().map(sign)).collect()
}

fn set_terms(flow: &mut Flow, terms: &[Term]) {
    let height = flow.height_of_terms(terms, SHORT, Style::SMALL);
    flow.heading("Abbreviations and signs", Style::HEADING, height + 1.0);
    flow.terms(terms, SHORT, Style::SMALL);
}

fn rows_of(project: &Project, repeated: bool) -> Vec<super::written_rows::WrittenRow> {
    let names = project.palette.codes();
    let construction = project.plan.construction;
    let style = RowStyle { construction, repeated, names: &names };
    rows(&project.chart.grid, project.chart.repeat(), style)
}
