//! The question for the chart's new size.

use egui::Ui;

use super::answers;
use crate::app::Action;
use crate::chart::MAX_SIDE;
use crate::project::Project;
use crate::project::chart_edits::{self, Hold};
use crate::ui::widgets::{caption, count_field, row};
use crate::units::both_lengths;

/// New width and height; the bottom right corner, where reading begins, stays.
pub fn resize(ui: &mut Ui, project: &Project, stitches: &mut u32, rows: &mut u32, actions: &mut Vec<Action>) {
    row(ui, "Width", |ui| {
        if let Some(value) = count_field(ui, "Width", " stitches", 1..=MAX_SIDE, *stitches) {
            *stitches = value;
        }
    });
    row(ui, "Height", |ui| {
        if let Some(value) = count_field(ui, "Height", " rows", 1..=MAX_SIDE, *rows) {
            *rows = value;
        }
    });
    let gauge = project.plan.gauge;
    caption(
        ui,
        format!(
            "{} wide, {} tall. Row 1, stitch 1 stays where it is; new stitches take the background colour.",
            both_lengths(gauge.width(*stitches).get(), project.units),
            both_lengths(gauge.height(*rows).get(), project.units)
        ),
    );
    match answers(ui, &["Change size", "Cancel"]) {
        Some(0) => {
            match chart_edits::resize(project, *stitches, *rows, (Hold::End, Hold::Start)) {
                Ok(edit) => actions.push(Action::edit("Chart size", edit)),
                Err(reason) => actions.push(Action::Complain(reason.to_string())),
            }
            actions.push(Action::CloseDialog);
        }
        Some(_) => actions.push(Action::CloseDialog),
        None => {}
    }
}
