//! The Shopping workspace: how much of each colour to buy, what a change would save, and what leaves
//! the program.

mod basket;
mod exports;
mod matrix;
mod sizes;
pub(in crate::ui) mod sums;
mod trial;

use std::collections::BTreeSet;

use egui::{CentralPanel, Frame, Id, Margin, Panel, ScrollArea, Ui};

use super::theme::{STEP, Tokens};
use super::widgets::{Drafted, Follow, Form, caption, heading, one_of_in};
use crate::app::Action;
use crate::app::state::State;
use crate::project::shopping::Shopping;
use crate::project::{Edit, Project};
use crate::units::Currency;
use crate::yarn::Washing;

/// Width of the column of changes and exports, and its least in a small window.
const ASIDE: f32 = 324.0;
const LEAST_ASIDE: f32 = 276.0;

/// What the workspace remembers between frames.
#[derive(Default)]
pub struct ShoppingView {
    /// Colours whose sum is open.
    open: BTreeSet<usize>,
    /// The cell of the matrix whose sum is shown.
    cell: Option<matrix::Place>,
    trial: trial::Trial,
    /// The currency while it is typed.
    draft: Option<(Id, String)>,
}

/// Shows the workspace.
pub fn show(ui: &mut Ui, state: &State, view: &mut ShoppingView) -> Vec<Action> {
    let mut actions = Vec::new();
    let project = state.project();
    let change = view.trial.change(project);
    // Figures of an earlier palette would name the wrong colours.
    let colours = project.palette.slots().len();
    let found = state.desks.shopping(&state.document, &state.jobs, change).value();
    let found = found.as_deref();
    let figures = found.and_then(|found| found.as_ref().ok()).filter(|f| f.yarn.colours.len() == colours);
    let tokens = Tokens::of(ui);
    let frame = |fill| Frame::new().fill(fill).inner_margin(Margin { left: 12, right: 8, top: 8, bottom: 0 });
    let aside = (ui.available_width() * 0.29).clamp(LEAST_ASIDE, ASIDE);
    Panel::right("shopping aside").frame(frame(tokens.panel)).exact_size(aside).resizable(false).show(
        ui,
        |ui| {
            Panel::bottom("to the shop").frame(Frame::new()).resizable(false).show(ui, |ui| {
                exports::to_the_shop(ui, figures.is_some(), &mut actions);
            });
            ScrollArea::vertical().auto_shrink([false, false]).follow(ui, |ui| {
                trial::show(ui, project, figures, &mut view.trial, &mut actions);
                ui.add_space(STEP);
                let gift = state.project().material.needs.is_some_and(|needs| needs.gift);
                exports::show(ui, gift, &mut actions);
                ui.add_space(STEP);
            });
        },
    );
    CentralPanel::no_frame().frame(frame(tokens.rail)).show(ui, |ui| {
        head(ui, project, figures, &mut view.draft, &mut actions);
        match (figures, found) {
            (Some(figures), _) => {
                ScrollArea::vertical().auto_shrink([false, false]).follow(ui, |ui| {
                    basket::show(ui, state, figures, &mut view.open, &mut actions);
                    ui.add_space(STEP);
                    if project.pieces.sizes.len() > 1 {
                        sizes::show(ui, state, &mut actions);
                        ui.add_space(STEP);
                    }
                    matrix::show(ui, state, figures, &mut view.cell);
                    ui.add_space(STEP);
                    caption(ui, project.loop_basis().words(project.units));
                    caption(ui, crate::knit::LOOP_LENGTH_VALID_FOR);
                    ui.add_space(STEP);
                });
            }
            (None, Some(Err(reason))) => {
                caption(ui, format!("The pieces cannot be worked: {reason}. Mend it under Pieces."));
            }
            (None, _) => {
                caption(ui, "Working it out…");
            }
        }
    });
    actions
}

/// Heading, size and what the figures are for.
fn head(
    ui: &mut Ui,
    project: &Project,
    figures: Option<&Shopping>,
    draft: &mut Option<(Id, String)>,
    actions: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        heading(ui, "What to buy");
        if project.pieces.sizes.len() > 1 {
            ui.add_space(STEP);
            size(ui, project, actions);
        }
        ui.add_space(STEP);
        currency(ui, project, draft, actions);
    });
    let what = if project.pieces.pieces.is_empty() {
        let plan = &project.plan;
        format!(
            "There are no pieces yet, so this is the chart as planned: {} stitches, {} times up.",
            plan.needle_stitches, plan.repeats_up
        )
    } else {
        let pieces = project.pieces.pieces.iter().map(|piece| match piece.copies {
            1 => piece.name.clone(),
            copies => format!("{} × {copies}", piece.name),
        });
        format!("For {}.", pieces.collect::<Vec<_>>().join(", "))
    };
    let stale = if figures.is_some() { "" } else { " Working it out…" };
    let wash = project
        .material
        .needs
        .filter(|needs| needs.washed() == Washing::Machine)
        .map_or_else(String::new, |needs| {
            format!(" {} Take only yarn whose label allows it.", needs.washing_reason())
        });
    caption(ui, format!("{what}{wash}{stale}"));
    counted_as(ui, project, actions);
    ui.add_space(STEP / 2.0);
}

/// What all prices of the project are in.
fn currency(ui: &mut Ui, project: &Project, draft: &mut Option<(Id, String)>, actions: &mut Vec<Action>) {
    ui.label("Prices in")
        .on_hover_text("For all prices of the project: £, EUR, kr; nothing when it needs no saying");
    ui.allocate_ui(egui::vec2(64.0, ui.spacing().interact_size.y), |ui| {
        ui.set_width(64.0);
        let written = project.currency.written();
        let typed = Form::new(ui).drafted(("Currency of the project", 0), Currency::MOST, written, draft);
        if let Drafted::Left(typed) = typed {
            actions.push(match Currency::new(&typed) {
                Ok(currency) => Action::edit("Currency", Edit::Currency(currency)),
                Err(why) => Action::Complain(why.to_string()),
            });
        }
    });
}

/// Which yarn the figures are those of, and the way to have them all of the project's.
fn counted_as(ui: &mut Ui, project: &Project, actions: &mut Vec<Action>) {
    let Some(words) = project.counted_as_words() else { return };
    ui.horizontal(|ui| {
        if let Some(yarn) = &project.material.yarn {
            let button =
                ui.add_enabled(!project.is_wholly(yarn), egui::Button::new("Use the yarn for every colour"));
            if button
                .on_hover_text("Length, ball and price of every colour become those of the yarn")
                .clicked()
            {
                actions.push(Action::edit("Yarn of every colour", project.yarn_for_every_colour(yarn)));
                let done = format!("Every colour is counted as {}.", yarn.name);
                actions.push(Action::Done(done));
            }
        }
        caption(ui, words);
    });
}

/// The size that is worked.
fn size(ui: &mut Ui, project: &Project, actions: &mut Vec<Action>) {
    let plan = &project.pieces;
    let mut chosen = plan.chosen.min(plan.sizes.len() - 1);
    let before = chosen;
    ui.label("Size");
    // The ground of this area is nearly as deep as a resting control.
    ui.visuals_mut().widgets.inactive.weak_bg_fill = Tokens::of(ui).hover;
    let sizes = plan.sizes.iter().map(|size| size.name.as_str()).enumerate();
    one_of_in(ui, 120.0, "Size to buy for", sizes, &mut chosen);
    if chosen != before {
        let mut plan = plan.clone();
        plan.chosen = chosen;
        actions.push(Action::edit("Size", Edit::Pieces(Box::new(plan))));
    }
}
