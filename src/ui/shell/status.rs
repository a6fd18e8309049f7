//! The bar at the bottom: what is under the pointer on the left, the project's size on the right.

use egui::{Panel, RichText, Ui};

use super::LINE;
use crate::app::Action;
use crate::app::state::State;
use crate::app::view::{ChartView, Gesture, View, Workspace};
use crate::chart::{Point, Rect};
use crate::project::{Project, key_entry};
use crate::ui::theme::Tokens;
use crate::units::both_lengths;

/// Shows the status bar.
pub fn status(ui: &mut Ui, state: &State, view: &View) -> Vec<Action> {
    let frame = egui::Frame::new().fill(Tokens::of(ui).rail).inner_margin(egui::Margin::symmetric(12, 3));
    let mut actions = Vec::new();
    Panel::bottom("status").frame(frame).exact_size(LINE).resizable(false).show(ui, |ui| {
        ui.horizontal_centered(|ui| {
            if view.workspace == Workspace::Design {
                let at = view.chart.hover.unwrap_or(view.chart.cursor);
                ui.label(RichText::new(under_pointer(state.project(), at)).small());
                // The size of the project on the right keeps its room.
                let roomy = ui.available_width() > 600.0;
                if let Some(region) = region_size(state.project(), &view.chart, roomy) {
                    ui.separator();
                    ui.label(RichText::new(region).small());
                }
            }
            ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
                ui.label(RichText::new(size(state.project())).small());
                if let Some(busy) = state.busy() {
                    ui.separator();
                    let percent = state.exporting.as_ref().map_or(0, |exporting| exporting.percent());
                    let done = if percent == 0 { String::new() } else { format!(" {percent} %") };
                    ui.label(RichText::new(format!("{busy}…{done}")).small());
                    if state.exporting.is_some() && ui.small_button("Stop").clicked() {
                        actions.push(Action::CancelExport);
                    }
                }
            });
        });
    });
    actions
}

/// Row, stitch, colour and place of a stitch in words.
pub fn under_pointer(project: &Project, at: Point) -> String {
    let grid = &project.chart.grid;
    let Some(cell) = grid.get(at) else { return String::new() };
    let slots = project.palette.slots();
    let colour = cell.index().and_then(|index| Some(key_entry(index, slots.get(index)?)));
    let colour = colour.unwrap_or_else(|| "no stitch".to_owned());
    let gauge = project.plan.gauge;
    let (row, stitch) = (at.y + 1, grid.width() - at.x);
    format!(
        "Row {row}, stitch {stitch}   {colour}   {} from the right, {} up",
        both_lengths(gauge.width(stitch).get(), project.units),
        both_lengths(gauge.height(row).get(), project.units),
    )
}

/// The size of the region, of the one that is being chosen, or of what is held, in stitches and, with room, as a
/// length.
fn region_size(project: &Project, view: &ChartView, with_lengths: bool) -> Option<String> {
    let held = view.floating.as_ref().map(|held| ("Held", held.patch.width(), held.patch.height()));
    let region = match view.gesture {
        Some(Gesture::Band { from, to, moved: true }) => Some(Rect::spanning(from, to)),
        _ => view.region,
    };
    let (what, stitches, rows) = held.or(region.map(|r| ("Region", r.width, r.height)))?;
    if !with_lengths {
        return Some(format!("{what} {stitches} × {rows}"));
    }
    let gauge = project.plan.gauge;
    Some(format!(
        "{what} {stitches} × {rows}   {} × {}",
        both_lengths(gauge.width(stitches).get(), project.units),
        both_lengths(gauge.height(rows).get(), project.units),
    ))
}

fn size(project: &Project) -> String {
    let (grid, gauge) = (&project.chart.grid, project.plan.gauge);
    format!(
        "{} × {} stitches   {} × {}",
        grid.width(),
        grid.height(),
        both_lengths(gauge.width(grid.width()).get(), project.units),
        both_lengths(gauge.height(grid.height()).get(), project.units),
    )
}
