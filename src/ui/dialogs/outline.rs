//! An outline in stitches: how wide, and a look at it.

use std::cmp::Ordering;

use egui::Ui;

use super::answers_if;
use crate::app::Action;
use crate::app::chart_commands;
use crate::app::derived::Reading;
use crate::app::state::State;
use crate::app::view::ChartView;
use crate::chart::Stitched;
use crate::file::MOST_STITCHES;
use crate::project::Project;
use crate::ui::theme::STEP;
use crate::ui::widgets::{caption, count_field, figure, row};
use crate::units::{both_lengths, counted};

/// Asks for the width, shows the figure and holds it over the chart.
pub fn show(
    ui: &mut Ui,
    state: &State,
    chart: &mut ChartView,
    stitches: &mut u32,
    actions: &mut Vec<Action>,
) {
    row(ui, "Width as drawn", |ui| {
        let range = 1..=MOST_STITCHES;
        if let Some(asked) = count_field(ui, "Width of the outline", " stitches", range, *stitches) {
            *stitches = asked;
        }
    });
    let project = state.project();
    let reading = state.desks.picture.stitched(&state.document, &state.jobs, *stitches);
    let fresh = matches!(reading, Reading::Fresh(_));
    let value = reading.value();
    let found = value.as_deref().and_then(|found| found.as_ref().ok());
    let empty = crate::chart::Raster::from_fn(0, 0, |_| false);
    let raster = found.map_or(&empty, |found| &found.raster);
    ui.vertical_centered(|ui| figure(ui, "The outline in stitches", raster, project.plan.gauge, 300.0));
    ui.add_space(STEP / 2.0);
    let lines = match value.as_deref() {
        None => ["Working it out…".to_owned(), String::new()],
        Some(Err(reason)) => [format!("Not possible: {reason}."), String::new()],
        Some(Ok(found)) => words(found, *stitches, project),
    };
    for line in lines {
        caption(ui, if line.is_empty() { " ".to_owned() } else { line });
    }
    let can_be = found.is_some_and(|found| found.raster.count() > 0);
    let ready = found.filter(|_| fresh && can_be);
    match (answers_if(ui, can_be, &["Hold over the chart", "Cancel"]), ready) {
        (Some(0), Some(found)) => {
            chart_commands::hold_figure(project, chart, &found.raster);
            chart.hangs = true;
            actions.push(Action::CloseDialog);
        }
        (Some(1), _) => actions.push(Action::CloseDialog),
        (Some(_) | None, _) => {}
    }
}

fn words(found: &Stitched, drawn: u32, project: &Project) -> [String; 2] {
    let (raster, gauge) = (&found.raster, project.plan.gauge);
    if raster.count() == 0 {
        return ["Too small: no stitch is covered by half. Make it wider.".to_owned(), String::new()];
    }
    let size = format!(
        "{} \u{d7} {} stitches: {} wide, {} tall.",
        raster.width(),
        raster.height(),
        both_lengths(gauge.width(raster.width()).get(), project.units),
        both_lengths(gauge.height(raster.height()).get(), project.units)
    );
    let mut kept = Vec::new();
    let off = counted(drawn.abs_diff(raster.width()).into(), "stitch", "stitches");
    match raster.width().cmp(&drawn) {
        Ordering::Less => {
            kept.push(format!("Points that cover less than half a stitch fall away: {off} of the {drawn}."));
        }
        Ordering::Greater => kept.push(format!("Most of it stays where it takes {off} more than drawn.")),
        Ordering::Equal => {}
    }
    if found.broken > 0 {
        let stitches = counted(found.broken.into(), "stitch breaks", "stitches break");
        kept.push(format!("{stitches} its symmetry."));
    }
    if found.pieces_off > 0 {
        kept.push("Parts run together or break up: make it wider.".to_owned());
    }
    if found.broken == 0 && found.pieces_off == 0 {
        kept.push("Symmetry, parts and holes are kept.".to_owned());
    }
    [size, kept.join(" ")]
}
