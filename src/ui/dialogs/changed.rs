//! The project's file holds something else than this window saved or read.

use std::path::Path;

use egui::{Align, Color32, Label, Layout, Mesh, Rect, Sense, Ui, Vec2};

use super::answers;
use crate::app::Action;
use crate::app::dialog::Dialog;
use crate::app::picker;
use crate::app::purpose::{Next, Purpose};
use crate::app::state::State;
use crate::app::view::Eyes;
use crate::chart::{Cell, Point};
use crate::project::Project;
use crate::ui::colours::seen;
use crate::ui::theme::{STEP, Tokens};
use crate::ui::widgets::{caption, part};

/// Height of the picture of a chart.
const PICTURE: f32 = 150.0;
/// Stitches of a chart that are painted side by side at most.
const MOST_ACROSS: u32 = 80;

/// Save beside it, replace it, or look at it?
pub fn show(
    ui: &mut Ui,
    state: &State,
    path: &Path,
    theirs: Option<(&Project, &[String])>,
    then: Option<&Next>,
    actions: &mut Vec<Action>,
) {
    let text = format!(
        "{} was written by another program or window since it was opened, saved or chosen here. Nothing was overwritten.",
        path.display()
    );
    ui.add(Label::new(text).wrap());
    ui.add_space(STEP / 2.0);
    let versions = [("Here", Some(state.project())), ("In the file", theirs.map(|(theirs, _)| theirs))];
    ui.columns(2, |columns| {
        for (ui, (place, project)) in columns.iter_mut().zip(versions) {
            // Columns stretch the words of a line apart.
            ui.with_layout(Layout::top_down(Align::Min), |ui| {
                part(ui, place);
                picture(ui, project, state.eyes);
                caption(ui, project.map_or_else(|| "No project that can be read.".to_owned(), version));
            });
        }
    });
    match theirs {
        Some((_, [])) => {
            ui.add(Label::new("They hold the same; only the text of the file is another.").wrap());
        }
        Some((_, differs)) => {
            ui.add(Label::new(format!("They differ in {}.", differs.join(", "))).wrap());
        }
        None => {}
    }
    caption(ui, "Save beside it to keep both; opening the file gives up the changes made here.");
    let labels: &[&str] = if theirs.is_some() {
        &["Save beside it…", "Replace it", "Open the file", "Cancel"]
    } else {
        &["Save beside it…", "Replace it", "Cancel"]
    };
    match answers(ui, labels).map(|number| labels[number]) {
        Some("Save beside it…") => actions.push(beside(path, then)),
        Some("Replace it") => actions.push(Action::SaveOver(path.to_owned(), then.cloned())),
        Some("Open the file") => actions.push(Action::Discard(Next::Open(Some(path.to_owned())))),
        Some(_) => actions.push(Action::CloseDialog),
        None => {}
    }
}

/// Asks for a name beside the file, a free one to start from.
fn beside(path: &Path, then: Option<&Next>) -> Action {
    let stem = path.file_stem().map_or_else(String::new, |stem| picker::file_stem(&stem.to_string_lossy()));
    let named = |number: u32| path.with_file_name(format!("{stem} {number}.ron"));
    let free = (2..100).map(named).find(|path| !path.exists()).unwrap_or_else(|| named(100));
    let purpose = Purpose::Save(then.cloned());
    Action::Ask(Dialog::Path { purpose, text: free.display().to_string(), replaces: false })
}

/// Paints the chart small; of a large one every so many stitches.
fn picture(ui: &mut Ui, project: Option<&Project>, eyes: Eyes) {
    let (rect, _) = ui.allocate_exact_size(Vec2::new(ui.available_width(), PICTURE), Sense::hover());
    ui.painter().rect_filled(rect, 4, Tokens::of(ui).surround);
    let Some(project) = project else { return };
    let grid = &project.chart.grid;
    let (wide, high) = (grid.width() as f32, grid.height() as f32 / project.plan.gauge.cell_aspect() as f32);
    let scale = ((rect.width() - 8.0) / wide).min((rect.height() - 8.0) / high);
    let chart = Rect::from_center_size(rect.center(), Vec2::new(wide, high) * scale);
    let (columns, rows) = (grid.width().min(MOST_ACROSS), grid.height().min(MOST_ACROSS));
    let size = Vec2::new(chart.width() / columns as f32, chart.height() / rows as f32);
    let inks: Vec<Color32> = project.palette.slots().iter().map(|slot| seen(slot.colour, eyes)).collect();
    let mut mesh = Mesh::default();
    for row in 0..rows {
        for column in 0..columns {
            let at = Point::new(column * grid.width() / columns, row * grid.height() / rows);
            let ink = grid.get(at).and_then(Cell::index).and_then(|slot| inks.get(slot));
            // The first row is the lowest.
            let corner = chart.left_bottom() + Vec2::new(column as f32, -1.0 - row as f32) * size;
            if let Some(ink) = ink {
                mesh.add_colored_rect(Rect::from_min_size(corner, size), *ink);
            }
        }
    }
    ui.painter().add(mesh);
}

/// What tells one version from the other.
fn version(project: &Project) -> String {
    let grid = &project.chart.grid;
    format!(
        "“{}”, {} × {} stitches, {} colours, {} pieces",
        project.title,
        grid.width(),
        grid.height(),
        project.palette.slots().len(),
        project.pieces.pieces.len()
    )
}
