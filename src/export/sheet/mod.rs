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
use super::text::{self, Weight};
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
    let mut before = front::page(project, &sized, &front, options.paper);
    front::bobbins(&mut before, project, &sized);
    measures::table(&mut before, project, &sized);
    let before = measures::SCHEMATICS.map(|most| {
        let mut flow = before.clone();
        measures::schematic(&mut flow, project, &sized, most);
        front::care(&mut flow, project);
        flow
    });
    let once = charts_are_worked_once(sized.worked.iter().flatten());
    let charts = charts(project, &said);
    let making = Words {
        said: &said,
        charts: &charts,
        abbreviations: abbreviations(project, &said, once),
        signs: signs(project),
        once,
    };
    let mut flow = making.set(&before, project)?;
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

/// Where the abbreviations stand, and whether the signs of the charts stand with them.
#[derive(Clone, Copy)]
struct Terms {
    place: Place,
    signs: bool,
}

/// The instructions with their charts, written rows and abbreviations.
struct Words<'a> {
    said: &'a Instructions,
    charts: &'a [(String, Project)],
    abbreviations: Vec<Term>,
    /// The signs of the charts, which each chart's own key explains too.
    signs: Vec<Term>,
    /// Whether the charts are worked once across.
    once: bool,
}

impl Words<'_> {
    /// Sets them after the pages of the flow that leads to the fewest, the first of equals; the abbreviations where they
    /// take no page for themselves, after the instructions if that can be. Where only the signs would need a page, they
    /// are left to the keys of the charts.
    fn set(&self, flows: &[Flow; 3], project: &Project) -> Result<Flow, ExportError> {
        let places = [Place::AfterInstructions, Place::BeforeInstructions, Place::Last];
        let signs: &[bool] = if self.signs.is_empty() { &[false] } else { &[true, false] };
        let ways = flows.iter().flat_map(|flow| {
            signs.iter().flat_map(move |with| places.map(|place| (flow, Terms { place, signs: *with })))
        });
        // The charts between both begin and end a page, so that they need not be drawn to count the others.
        let pages = |(flow, terms): &(&Flow, Terms)| {
            let (mut before, mut after) = (flow.going_on(), flow.on_next_page());
            self.set_instructions(&mut before, *terms);
            self.set_rows(&mut after, project, *terms);
            flow.page_count() + before.page_count() + after.page_count()
        };
        let fallback = (&flows[0], Terms { place: Place::AfterInstructions, signs: true });
        let (flow, terms) = ways.min_by_key(pages).unwrap_or(fallback);
        let mut flow = flow.clone();
        self.set_instructions(&mut flow, terms);
        chart_pages::set_all(&mut flow, self.charts)?;
        self.set_rows(&mut flow, project, terms);
        Ok(flow)
    }

    fn set_instructions(&self, flow: &mut Flow, terms: Terms) {
        self.set_terms(flow, terms, Place::BeforeInstructions);
        pieces(flow, self.said);
        self.set_terms(flow, terms, Place::AfterInstructions);
    }

    fn set_rows(&self, flow: &mut Flow, project: &Project, terms: Terms) {
        for (name, chart) in self.charts {
            written(flow, chart, name, project.repeats_side_by_side() && !self.once);
        }
        self.set_terms(flow, terms, Place::Last);
    }

    fn set_terms(&self, flow: &mut Flow, of: Terms, here: Place) {
        if of.place != here {
            return;
        }
        let signs: &[Term] = if of.signs { &self.signs } else { &[] };
        let terms: Vec<&Term> = self.abbreviations.iter().chain(signs).collect();
        let heading = if signs.is_empty() { "Abbreviations" } else { "Abbreviations and signs" };
        let height = flow.height_of_terms(&terms, SHORT, Style::SMALL);
        flow.heading(heading, Style::HEADING, height + 1.0);
        flow.terms(&terms, SHORT, Style::SMALL);
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
    let all: Vec<&Term> = rows.iter().collect();
    let number = |row: &Term| text::width(&row.word, Style::BODY.size, Style::BODY.weight) + AFTER_NUMBER;
    let numbers = rows.iter().map(number).fold(0.0, f64::max);
    if flow.columns_hold(&all, numbers, Style::BODY) {
        let height = flow.height_of_terms(&all, numbers, Style::BODY);
        flow.heading(&heading, Style::HEADING, height + 3.0);
        return flow.terms(&all, numbers, Style::BODY);
    }
    flow.heading(&heading, Style::HEADING, 30.0);
    for row in rows {
        flow.hanging(&row.word, &row.meaning, ROW, Style::BODY);
    }
}

/// Width of the number of a row.
const ROW: f64 = 24.0;
/// After the number of a row where rows stand in two columns.
const AFTER_NUMBER: f64 = 4.0;
/// Width of an abbreviation or phrase.
const SHORT: f64 = 23.0;

/// The abbreviations that are used, and no others.
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
    terms.into_iter().map(term).collect()
}

/// The signs that the charts use, with what they mean.
fn signs(project: &Project) -> Vec<Term> {
    let sign = |(look, words)| Term {
        word: String::new(),
        weight: Weight::Regular,
        sign: Some(look),
        meaning: words,
    };
    Signs::of(project).key().into_iter().map(sign).collect()
}

fn rows_of(project: &Project, repeated: bool) -> Vec<super::written_rows::WrittenRow> {
    let names = project.palette.codes();
    let construction = project.plan.construction;
    let style = RowStyle { construction, repeated, names: &names };
    rows(&project.chart.grid, project.chart.repeat(), style)
}
