//! Questions about the chart: its picture and its size.

use egui::{Checkbox, Ui};

use super::answers;
use crate::app::Action;
use crate::chart::MAX_SIDE;
use crate::export::chart_picture::{MAX_PX, PictureOptions};
use crate::project::Project;
use crate::project::chart_edits::{self, Hold};
use crate::ui::widgets::{caption, count_field, row};
use crate::units::both_lengths;

/// Options of the chart picture.
pub fn export(ui: &mut Ui, project: &Project, options: &mut PictureOptions, actions: &mut Vec<Action>) {
    row(ui, "Size of a stitch", |ui| {
        if let Some(px) = count_field(ui, "Size of a stitch", " px wide", 1..=MAX_PX, options.px_per_stitch) {
            options.px_per_stitch = px;
        }
    });
    ui.add(Checkbox::new(&mut options.symbols, "Symbols, so that it reads without colour"));
    let grid = &project.chart.grid;
    let width = u64::from(grid.width()) * u64::from(options.px_per_stitch);
    let height =
        f64::from(grid.height()) * f64::from(options.px_per_stitch) / project.plan.gauge.cell_aspect();
    caption(
        ui,
        format!(
            "The stitches alone will be {width} × {height:.0} px, at the true shape of the gauge; numbers, \
             repeat box and legend come around them. The picture notes its printed size."
        ),
    );
    match answers(ui, &["Choose file…", "Cancel"]) {
        Some(0) => actions.push(Action::ExportChart(*options)),
        Some(_) => actions.push(Action::CloseDialog),
        None => {}
    }
}

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
