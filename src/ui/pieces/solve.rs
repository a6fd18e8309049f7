//! All sizes of a piece solved together: what each compromise costs, what is held, and taking it over.

use egui::{Grid, Ui};

use super::{Draft, words};
use crate::app::pieces_desk::{HeldAt, Solved};
use crate::app::state::State;
use crate::knit::Construction;
use crate::knit::pieces::yoke::{Held, Part};
use crate::ui::theme::STEP;
use crate::ui::widgets::{caption, heading, name};

/// What the panel remembers between frames.
#[derive(Default)]
pub struct SolveView {
    /// The piece that is solved, by its place.
    piece: Option<usize>,
    /// What is held.
    held: Vec<HeldAt>,
    /// What was held when the costs of other choices were asked for.
    costs_with: Option<Vec<HeldAt>>,
}

/// Shows the panel for the piece at `place`.
pub fn show(ui: &mut Ui, state: &State, place: usize, view: &mut SolveView, draft: &mut Draft) {
    let Some(piece) = draft.plan.pieces.get(place) else { return };
    if piece.construction != Construction::InTheRound {
        return;
    }
    ui.add_space(STEP);
    heading(ui, "All sizes together");
    caption(ui, "Finds repeats, decrease rounds and plain rounds of every size, so that the bands divide.");
    if view.piece != Some(place) {
        *view = SolveView::default();
        if ui.button("Solve the bands").clicked() {
            view.piece = Some(place);
        }
        return;
    }
    let reading = state.desks.pieces.solved(&state.document, &state.jobs, place, &view.held);
    let Some(solved) = reading.value() else {
        caption(ui, "Solving…");
        return;
    };
    match solved.as_ref() {
        Err(why) => {
            caption(ui, why.clone());
            if !view.held.is_empty() && ui.button("Let everything go").clicked() {
                view.held.clear();
            }
        }
        Ok(solved) => table(ui, state, (place, solved), view, draft),
    }
}

fn table(
    ui: &mut Ui,
    state: &State,
    (place, solved): (usize, &Solved),
    view: &mut SolveView,
    draft: &mut Draft,
) {
    let units = state.project().units;
    let solution = &solved.solution;
    Grid::new("solved sizes").num_columns(6).spacing([10.0, 2.0]).striped(true).show(ui, |ui| {
        for title in ["Size", "Gathers", "Depth", "End", "Shoulders", "Costs"] {
            ui.label(title);
        }
        ui.end_row();
        for (wanted, choice) in solved.brief.brief.sizes.iter().zip(&solution.sizes) {
            ui.label(&wanted.name);
            ui.label(format!("{:.0} %", choice.gather.percent()));
            ui.label(words::off(choice.depth_off_cm, units));
            ui.label(words::off(choice.end_off_cm, units));
            ui.label(words::off(-choice.shoulder_short_cm, units));
            let costs = format!("{:.1}", choice.own_cost + choice.uneven_cost);
            ui.label(costs).on_hover_text(format!(
                "{:.1} by itself, {:.1} for differing from the size before; 1 is a cm of depth",
                choice.own_cost, choice.uneven_cost
            ));
            ui.end_row();
        }
    });
    let proven = if solution.proven {
        "No choice that is tried costs less."
    } else {
        "A better one is not ruled out."
    };
    caption(ui, format!("{proven} In all {:.1}.", solution.cost));
    held(ui, state, (place, solved), view);
    if ui
        .button("Use these figures")
        .on_hover_text("They become the bands' own figures in every size")
        .clicked()
        && let Some(piece) = draft.plan.pieces.get_mut(place)
    {
        solved.brief.write(&mut piece.bands, solution);
        draft.step("Solved bands");
        *view = SolveView::default();
    }
}

/// The counts and plain rounds of the worked size: each can be held while the rest is solved again, and what one
/// step more or fewer costs stands beside it.
fn held(ui: &mut Ui, state: &State, (place, solved): (usize, &Solved), view: &mut SolveView) {
    let plan = &state.project().pieces;
    let size = plan.chosen.min(solved.solution.sizes.len().saturating_sub(1));
    let Some(choice) = solved.solution.sizes.get(size) else { return };
    let bands = plan.pieces.get(solved.brief.piece).map(|piece| piece.bands.as_slice()).unwrap_or_default();
    caption(ui, "Hold a figure of the worked size and solve the rest again:");
    let asked = view.costs_with.as_ref() == Some(&view.held);
    let held = view.held.clone();
    let costs = if asked {
        state.desks.pieces.compromises(&state.document, &state.jobs, (place, size), &held).value()
    } else {
        None
    };
    Grid::new("held figures").num_columns(4).spacing([10.0, 2.0]).show(ui, |ui| {
        for title in ["Hold", "Worked", "Fewer", "More"] {
            ui.label(title);
        }
        ui.end_row();
        for (part, made) in choice.made.iter().enumerate() {
            let Some(band) = solved.brief.bands.get(part).and_then(|place| bands.get(*place)) else {
                continue;
            };
            let wanted = match solved.brief.brief.parts[part] {
                Part::Change { .. } => Held { stitches: Some(made.stitches), rows: None },
                Part::Plain { .. } => Held { stitches: None, rows: Some(made.rows) },
                Part::Chart { .. } | Part::Fabric { .. } | Part::Wedges { .. } => continue,
            };
            ui.push_id(("held", part), |ui| tick(ui, (&band.name, size, part), wanted, view));
            figure(ui, &band.name, (size, part), wanted, view);
            let cost = costs.as_ref().and_then(|costs| costs.iter().find(|cost| cost.part == part));
            for (held, cost) in [
                cost.map(|cost| (cost.fewer, cost.fewer_costs)),
                cost.map(|cost| (cost.more, cost.more_costs)),
            ]
            .map(Option::unzip)
            {
                ui.label(if asked { costs_words(held, cost.flatten()) } else { String::new() });
            }
            ui.end_row();
        }
    });
    ui.add_enabled_ui(!asked, |ui| {
        let why = "Solves all sizes again with each figure one repeat or round off; 1 is a cm of depth";
        if ui.button("What would others cost?").on_hover_text(why).clicked() {
            view.costs_with = Some(held);
        }
    });
}

fn tick(ui: &mut Ui, (band, size, part): (&str, usize, usize), wanted: Held, view: &mut SolveView) {
    let known = view.held.iter().position(|at| (at.size, at.part) == (size, part));
    let mut on = known.is_some();
    let tick = ui.checkbox(&mut on, band);
    let what = if wanted.rows.is_some() { "rounds of " } else { "" };
    name(&tick, &format!("Hold {what}{band}"));
    if tick.changed() {
        match known {
            Some(place) => drop(view.held.remove(place)),
            None => view.held.push(HeldAt { size, part, held: wanted }),
        }
    }
}

/// The figure of a part: a field while it is held.
fn figure(ui: &mut Ui, band: &str, (size, part): (usize, usize), worked: Held, view: &mut SolveView) {
    let at = view.held.iter_mut().find(|at| (at.size, at.part) == (size, part));
    match at.map(|at| (&mut at.held.stitches, &mut at.held.rows)) {
        Some((Some(stitches), _)) => {
            let field = ui.add(egui::DragValue::new(stitches).range(1..=9999).suffix(" sts"));
            name(&field, &format!("Stitches of {band}"));
        }
        Some((None, Some(rows))) => {
            let field = ui.add(egui::DragValue::new(rows).range(0..=999).suffix(" rnds"));
            name(&field, &format!("Rounds of {band}"));
        }
        _ => {
            ui.label(held_words(worked));
        }
    }
}

/// `306 sts`, `8 rnds`.
fn held_words(held: Held) -> String {
    match (held.stitches, held.rows) {
        (Some(stitches), _) => format!("{stitches} sts"),
        (None, Some(rows)) => format!("{rows} rnds"),
        (None, None) => String::new(),
    }
}

/// `300 sts: +0.8`, `300 sts: −0.2`, `300 sts: no way`; dots while it is worked out.
fn costs_words(held: Option<Held>, cost: Option<f64>) -> String {
    match (held, cost) {
        (None, _) => "…".to_owned(),
        (Some(held), None) => format!("{}: no way", held_words(held)),
        // A count that is not tried by itself (no regular round) may cost less: that is said.
        (Some(held), Some(cost)) => {
            let tenths = (cost * 10.0).round() / 10.0;
            let sign = if tenths < 0.0 { '−' } else { '+' };
            format!("{}: {sign}{:.1}", held_words(held), tenths.abs())
        }
    }
}
