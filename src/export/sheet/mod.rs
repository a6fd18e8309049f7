//! The pattern sheet: everything to knit from, page by page.

mod chart_pages;
mod flow;
mod overview;
mod sources;
mod sums;
mod table;

use super::ExportError;
use super::drawing::Drawing;
use super::instructions::{Instructions, Sized, instructions};
use super::paper::Paper;
use super::written_rows::{ABBREVIATIONS, RowStyle, rows};
use crate::project::{Project, key_entry};

pub use chart_pages::STITCH_MM;
use flow::{Flow, Style};

/// Lays out the pattern sheet of a project.
///
/// `size` is the place of the size that yarn, schematic and times are for; `None` is the project's own.
///
/// # Errors
/// [`ExportError`] when a piece cannot be worked, or the chart would take too many pages.
pub fn pages(project: &Project, paper: Paper, size: Option<usize>) -> Result<Vec<Drawing>, ExportError> {
    let sized = Sized::of(project, size)?;
    let yarn = project.pieces_yarn(sized.chosen_pieces(), None);
    let mut flow = Flow::new(paper, &project.title);
    let said = instructions(project);
    overview::title(&mut flow, project, &sized);
    flow.words(&said.through, Style::SMALL);
    overview::materials(&mut flow, project, &yarn);
    overview::gauge(&mut flow, project);
    overview::sizes(&mut flow, project, &sized);
    overview::schematic(&mut flow, project, &sized);
    overview::times(&mut flow, project, &sized);
    overview::care(&mut flow, project);
    pieces(&mut flow, &said);
    abbreviations(&mut flow, project, &said);
    chart_pages::set(&mut flow, project, "Chart", None)?;
    written(&mut flow, project);
    sums::set(&mut flow, project, &yarn);
    sources::set(&mut flow, project);
    Ok(flow.finish())
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
    flow.heading("Pieces", Style::HEADING, 30.0);
    for piece in &said.pieces {
        flow.heading(&piece.heading, Style::SUBHEADING, 3.0 * Style::BODY.line());
        let mut number = 0;
        for (heading, lines) in &piece.sections {
            if let Some(heading) = heading {
                flow.heading(heading, Style::SMALL, 2.0 * Style::BODY.line());
            }
            for line in lines {
                number += 1;
                flow.hanging(&format!("{number}."), line, 6.0, Style::BODY);
            }
        }
    }
}

fn written(flow: &mut Flow, project: &Project) {
    flow.heading("Written rows", Style::HEADING, 30.0);
    let construction = project.plan.construction;
    let names = project.palette.codes();
    let style = RowStyle { construction, repeated: project.repeats_side_by_side(), names: &names };
    for row in rows(&project.chart.grid, project.chart.repeat(), style) {
        flow.hanging(&row.label(construction), &row.words, 24.0, Style::BODY);
    }
}

fn abbreviations(flow: &mut Flow, project: &Project, said: &Instructions) {
    flow.heading("Abbreviations and colours", Style::HEADING, 20.0);
    let used = said.terms.iter().map(|term| (term.word, term.meaning));
    let others = ABBREVIATIONS.into_iter().filter(|(short, _)| used.clone().all(|(word, _)| word != *short));
    let words: Vec<String> =
        used.clone().chain(others).map(|(short, long)| format!("{short}: {long}")).collect();
    flow.words(&format!("{}.", words.join("; ")), Style::SMALL);
    let slots = project.palette.slots().iter().enumerate();
    let colours: Vec<String> = slots.map(|(index, slot)| key_entry(index, slot)).collect();
    flow.words(&format!("{}.", colours.join("; ")), Style::SMALL);
}
