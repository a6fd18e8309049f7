//! Two versions of a project side by side, and in what they differ.

use egui::{Align, Color32, Label, Layout, Mesh, Rect, Sense, Ui, Vec2};

use crate::app::view::Eyes;
use crate::chart::{Cell, Point};
use crate::project::Project;
use crate::ui::colours::seen;
use crate::ui::theme::Tokens;
use crate::ui::widgets::{caption, part};

/// Height of the picture of a chart.
const PICTURE: f32 = 150.0;
/// Stitches of a chart that are painted side by side at most.
const MOST_ACROSS: u32 = 80;

/// Two versions: where each is, and its project or why there is none to be shown.
pub fn side_by_side(ui: &mut Ui, versions: [(&str, Result<&Project, &str>); 2], eyes: Eyes) {
    // Columns stretch the words of a line apart.
    let left = Layout::top_down(Align::Min);
    // The words first, of which one may take a line more: the pictures stand at one height.
    ui.columns(2, |columns| {
        for (ui, (place, _)) in columns.iter_mut().zip(versions) {
            ui.with_layout(left, |ui| part(ui, place));
        }
    });
    ui.columns(2, |columns| {
        for (ui, (_, project)) in columns.iter_mut().zip(versions) {
            ui.with_layout(left, |ui| {
                picture(ui, project.ok(), eyes);
                caption(ui, project.map_or_else(str::to_owned, version));
            });
        }
    });
}

/// In what the two differ.
pub fn differ(ui: &mut Ui, differs: &[String]) {
    let text = if differs.is_empty() {
        "They hold the same; only the text of the file is another.".to_owned()
    } else {
        format!("They differ in {}.", differs.join(", "))
    };
    ui.add(Label::new(text).wrap());
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
