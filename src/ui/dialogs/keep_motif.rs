//! What the chosen region is to be called in the motif library.

use egui::{TextEdit, Ui};

use super::answers;
use crate::app::Action;
use crate::app::motifs::MotifAction;
use crate::app::state::State;
use crate::chart::{Cell, Motif, Rect};
use crate::ui::theme::STEP;
use crate::ui::widgets::{caption, figure, name, row};
use crate::units::both_lengths;

/// Shows the motif and asks for its name.
pub fn show(ui: &mut Ui, state: &State, region: Option<Rect>, typed: &mut String, actions: &mut Vec<Action>) {
    let project = state.project();
    let Some(region) = region else {
        actions.push(Action::CloseDialog);
        return;
    };
    let ground = Cell::slot(project.background_slot() as u8);
    let motif = Motif::of_region(typed, &project.chart.grid, region, ground);
    row(ui, "Name", |ui| {
        name(&ui.add(TextEdit::singleline(typed).desired_width(240.0)), "Name of the motif");
    });
    ui.add_space(STEP / 2.0);
    let shown = Motif::of_region("Motif", &project.chart.grid, region, ground).map(|motif| motif.figure());
    if let Ok(raster) = shown {
        ui.vertical_centered(|ui| figure(ui, "The motif in stitches", &raster, project.plan.gauge, 220.0));
    }
    let gauge = project.plan.gauge;
    caption(
        ui,
        match &motif {
            Ok(motif) => format!(
                "{} \u{d7} {} stitches: {} wide, {} tall at this gauge. It takes colours of each project it is used in.",
                motif.stitches().width(),
                motif.stitches().height(),
                both_lengths(gauge.width(motif.stitches().width()).get(), project.units),
                both_lengths(gauge.height(motif.stitches().height()).get(), project.units)
            ),
            Err(reason) => format!("Not possible: {reason}"),
        },
    );
    match (answers(ui, &["Keep", "Cancel"]), motif) {
        (Some(0), Ok(motif)) => {
            actions.push(Action::Motifs(MotifAction::Keep(motif.into())));
            actions.push(Action::CloseDialog);
        }
        (Some(1), _) => actions.push(Action::CloseDialog),
        (Some(_) | None, _) => {}
    }
}
