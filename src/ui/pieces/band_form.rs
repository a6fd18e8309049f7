//! The fields of one band.

use egui::Ui;

use super::amounts::{Surroundings, band_length, width};
use super::{Draft, PiecesView, bands, colours, fit, steps};
use crate::app::pieces_desk::PiecesWorked;
use crate::app::state::State;
use crate::chart::Rect;
use crate::knit::Technique;
use crate::knit::pieces::{Band, Fabric, Length, MAX_STITCHES, Rounding, Shaping, Size, Width, WorkedBand};
use crate::project::Project;
use crate::ui::widgets::{Form, Icon, caption, item};

/// Shows the fields of the shown band.
pub fn show(ui: &mut Ui, state: &State, view: &PiecesView, worked: Option<&PiecesWorked>, draft: &mut Draft) {
    let project = state.project();
    let size = draft.plan.size();
    let result = worked.and_then(|worked| worked.piece(view.piece));
    let Some(piece) = draft.plan.pieces.get_mut(view.piece) else { return };
    let Some(band) = piece.bands.get_mut(view.band) else { return };
    let before = band.clone();
    let form = &mut Form::of_words(ui);
    form.text("Name", "Band name", &mut band.name);
    let piece_worked = result.and_then(|result| result.as_ref().ok());
    let band_worked = piece_worked.and_then(|piece| piece.bands.get(view.band));
    widths(form, project, band, (view.band == 0, &size, band_worked));
    let gauge = project.plan.gauge;
    let rows = band_worked.map_or((20, 5.0), |band| (band.rows(), band.height_cm(gauge)));
    let around = Surroundings { units: project.units, size: &size, now: rows };
    band_length(form, &mut band.length, around);
    fabric(form, state, view.region, band);
    colours::show(form, project, band);
    let several = band.colours.len() > 1 || matches!(band.fabric, Fabric::Chart { .. });
    if several {
        let techniques = Technique::ALL.map(|technique| (technique, technique.name()));
        form.choice("Technique", "Band technique", techniques, &mut band.technique);
    }
    steps::after_band(form, project.units, &size, band);
    // Below the fields: it comes and goes while one of them is dragged.
    if let Some(error) = bands::error_at(result, view.band) {
        item(form, Icon::Warning, &error);
    }
    if *band != before {
        draft.label = "Band";
    }
    draft.ended |= form.ended();
    let Some(piece_worked) = piece_worked else { return };
    if let Some(piece) = draft.plan.pieces.get_mut(view.piece)
        && let Some(label) = fit::show(form, project, &mut piece.bands, view.band, piece_worked)
    {
        draft.step(label);
    }
}

/// How wide it begins and ends, and how it gets from one to the other.
fn widths(
    form: &mut Form,
    project: &Project,
    band: &mut Band,
    (is_first, size, worked): (bool, &Size, Option<&WorkedBand>),
) {
    let gauge = project.plan.gauge;
    let around = |stitches: Option<u32>| {
        let stitches = stitches.unwrap_or_else(|| gauge.stitches_in(20.0));
        Surroundings { units: project.units, size, now: (stitches, gauge.width(stitches).get()) }
    };
    let start = around(worked.map(|band| band.start.stitches));
    // A first band "as before" is an error that can come from a file or a move; it stays choosable
    // only while it is there.
    let as_before = (!is_first || band.start == Width::AsBefore).then_some("As the band before");
    width(form, ("Begins", "Band start"), (as_before, true), &mut band.start, start);
    let end = around(worked.map(|band| band.end.stitches));
    width(form, ("Ends", "Band end"), (Some("As it begins"), false), &mut band.end, end);
    if band.end != Width::AsBefore {
        shaping(form, &mut band.shaping);
    }
    let roundings = Rounding::ALL.map(|rounding| (rounding, rounding.name()));
    form.choice("Between two counts", "Between two counts", roundings, &mut band.rounding);
}

fn shaping(form: &mut Form, shaping: &mut Shaping) {
    let kinds = [
        (Shaping::default(), "Spread over the band"),
        (Shaping::InRows(4), "In a few rows"),
        (Shaping::First, "Where right-side rows begin"),
        (Shaping::Last, "Where right-side rows end"),
        (Shaping::Gusset, "As gussets beside the first stitches"),
        (Shaping::Steek, "Beside the steek begun last"),
    ];
    let same = |a: &Shaping, b: &Shaping| std::mem::discriminant(a) == std::mem::discriminant(b);
    // The kind that is chosen keeps its figure.
    let options = kinds.map(|(kind, words)| (if same(&kind, shaping) { *shaping } else { kind }, words));
    form.choice("Shaped", "Band shaped", options, shaping);
    match shaping {
        Shaping::PerRow(stitches) => {
            let words = ("  In each shaping row", "Stitches in each shaping row", " stitches");
            form.count(words, (1, 200), stitches);
        }
        Shaping::InRows(rows) => {
            form.count(("  Shaping rows", "Shaping rows", " rows"), (1, 200), rows);
        }
        Shaping::First | Shaping::Last | Shaping::Gusset | Shaping::Steek => {}
    }
}

fn fabric(form: &mut Form, state: &State, in_design: Option<Rect>, band: &mut Band) {
    let project = state.project();
    let kind = std::mem::discriminant(&band.fabric);
    let mut kinds = [
        Fabric::Plain,
        Fabric::Ribbing { knit: 2, purl: 2 },
        Fabric::Garter,
        Fabric::Moss,
        Fabric::Chart { region: None, edge: 0 },
    ];
    if let Some(own) = kinds.iter_mut().find(|fabric| std::mem::discriminant(*fabric) == kind) {
        *own = band.fabric;
    }
    let options = kinds.map(|fabric| (fabric, fabric.name()));
    form.choice("Fabric", "Band fabric", options, &mut band.fabric);
    if std::mem::discriminant(&band.fabric) != kind {
        if matches!(band.fabric, Fabric::Chart { .. }) {
            band.technique = Technique::Stranded;
        } else if matches!(band.length, Length::Repeats(_)) {
            // A chart's length means little without its chart.
            band.length = Length::Rows(project.chart.repeat().height);
        }
    }
    match &mut band.fabric {
        Fabric::Plain | Fabric::Garter | Fabric::Moss => {}
        Fabric::Ribbing { knit, purl } => {
            form.count(("  Knit", "Knit stitches of a rib", " stitches"), (1, 50), knit);
            form.count(("  Purl", "Purl stitches of a rib", " stitches"), (1, 50), purl);
        }
        Fabric::Chart { region, edge } => {
            part_of_chart(form, state, in_design, region);
            let words = ("  Edge stitches", "Edge stitches of the band", " stitches");
            form.count(words, (0, MAX_STITCHES), edge);
        }
    }
}

/// The part of the chart that a band repeats.
fn part_of_chart(form: &mut Form, state: &State, in_design: Option<Rect>, region: &mut Option<Rect>) {
    let project = state.project();
    let mut own = region.is_some();
    let options = [(false, "The repeat box"), (true, "A part of its own")];
    form.choice("  Of the chart", "Part of the chart", options, &mut own);
    if !own {
        *region = None;
        return;
    }
    let mut part = region.unwrap_or_else(|| project.chart.repeat());
    let bounds = project.chart.grid.bounds();
    let stitches = |label| ("", label, " stitches");
    let mut first = part.x + 1;
    form.count(("  From the left", "Part, from the left", ""), (1, bounds.width), &mut first);
    part.x = first - 1;
    let mut row = part.y + 1;
    form.count(("  From the bottom", "Part, from the bottom", ""), (1, bounds.height), &mut row);
    part.y = row - 1;
    let (_, label, suffix) = stitches("Part, width");
    form.count(("  Width", label, suffix), (1, bounds.width), &mut part.width);
    form.count(("  Height", "Part, height", " rows"), (1, bounds.height), &mut part.height);
    if let Some(chosen) = in_design.filter(|chosen| *chosen != part) {
        let take = form.button("Take the region chosen in Design");
        if take.clicked() {
            part = chosen;
            form.end();
        }
    } else {
        caption(form, "Or choose a region in Design and come back.");
    }
    *region = Some(part);
}
