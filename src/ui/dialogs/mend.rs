//! Floats mended, before and after.

use egui::{Align, Color32, Id, Layout, Rect, Sense, Stroke, StrokeKind, Ui, Vec2, vec2};

use super::{answers, fitted};
use crate::app::Action;
use crate::app::derived::Reading;
use crate::app::picture_desk::MendTrial;
use crate::app::state::State;
use crate::app::view::Eyes;
use crate::chart::{Grid, Point};
use crate::project::{MendBy, Project};
use crate::ui::colours::{ink_on, seen};
use crate::ui::theme::STEP;
use crate::ui::widgets::{caption, project_picture};
use crate::units::counted;

/// Height of all but the pictures, and of the word over one.
const BESIDES: f32 = 210.0;
const WORD: f32 = 24.0;
/// Changed stitches that are ringed; of more, the pictures alone must do.
const MOST_RINGS: usize = 400;
/// Least width: both ways to mend stand side by side.
const WIDE: f32 = 520.0;

/// The size of a picture, and whether one stands over the other: as both are largest.
fn laid(project: &Project, room: Vec2) -> (Vec2, bool) {
    let grid = &project.chart.grid;
    let shape = grid.width() as f32 * project.plan.gauge.cell_aspect() as f32 / grid.height() as f32;
    let tall = room.y - BESIDES;
    let beside = fitted(shape, vec2((room.x - STEP) / 2.0, tall - WORD));
    let over = fitted(shape, vec2(room.x, tall / 2.0 - WORD));
    if over.x > beside.x { (over, true) } else { (beside, false) }
}

/// Width of the question.
pub fn width(project: &Project, room: Vec2) -> f32 {
    let (picture, over) = laid(project, room);
    let both = if over { picture.x } else { picture.x * 2.0 + STEP };
    both.max(WIDE)
}

/// Shows what mending comes to and asks whether it is wanted.
pub fn show(ui: &mut Ui, state: &State, by: &mut MendBy, room: Vec2, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = STEP * 2.0;
        ui.radio_value(by, MendBy::Stitches, "Change the fewest stitches");
        ui.radio_value(by, MendBy::Catches, "Catch the strands, leave the chart");
    });
    ui.add_space(STEP);
    let reading = state.desks.picture.mending(&state.document, &state.jobs, *by);
    let fresh = matches!(reading, Reading::Fresh(_));
    let trial = reading.value();
    pictures(ui, state, trial.as_deref(), room);
    ui.add_space(STEP / 2.0);
    // Always two lines, so that nothing below them moves.
    let lines = trial.as_deref().map_or_else(
        || ["Working it out…".to_owned(), String::new()],
        |trial| words(trial, state.project(), *by),
    );
    ui.label(&lines[0]);
    caption(ui, if lines[1].is_empty() { " ".to_owned() } else { lines[1].clone() });
    let edit = trial.filter(|_| fresh).and_then(|trial| trial.mending.edit());
    let labels: &[&str] = if edit.is_some() { &["Change the stitches", "Cancel"] } else { &["Close"] };
    match (answers(ui, labels), edit) {
        (Some(0), Some(edit)) => {
            actions.push(Action::edit("Mend floats", edit));
            actions.push(Action::CloseDialog);
        }
        (Some(_), _) => actions.push(Action::CloseDialog),
        (None, _) => {}
    }
}

fn pictures(ui: &mut Ui, state: &State, trial: Option<&MendTrial>, room: Vec2) {
    let (size, over) = laid(state.project(), room);
    let layout = if over { Layout::top_down(Align::Center) } else { Layout::left_to_right(Align::Min) };
    ui.with_layout(layout, |ui| {
        ui.spacing_mut().item_spacing.x = STEP;
        let before = state.document.project();
        let sides = [("Before", Some(before)), ("After", trial.map(|trial| &trial.after))];
        for (title, project) in sides {
            ui.vertical(|ui| {
                ui.set_width(size.x);
                caption(ui, title);
                let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
                response.widget_info(|| {
                    egui::WidgetInfo::labeled(egui::Role::Image, true, format!("The chart, {title}"))
                });
                let Some(project) = project else { return };
                let place = Id::unique(("mended floats", title));
                let inside = project_picture(ui, place, project, state.eyes, rect);
                if let Some(inside) = inside {
                    ring_changes(ui, inside, &before.chart.grid, trial.map(|trial| &trial.after.chart.grid));
                    if let Some(trial) = trial.filter(|_| title == "After") {
                        mark_catches(ui, inside, trial, state.eyes);
                    }
                }
            });
        }
    });
}

/// Rings the stitches that differ.
fn ring_changes(ui: &Ui, inside: Rect, before: &Grid, after: Option<&Grid>) {
    let Some(after) = after.filter(|after| after.bounds() == before.bounds()) else { return };
    let changed: Vec<_> =
        before.bounds().points().filter(|p| before.get(*p) != after.get(*p)).take(MOST_RINGS + 1).collect();
    if changed.len() > MOST_RINGS {
        return;
    }
    let rings: Vec<_> = changed.into_iter().map(|p| stitch(inside, before, p)).collect();
    let Some(side) = rings.first().map(|ring| ring.width().min(ring.height())) else { return };
    // Inside its stitch, dark around light, so that a ring is seen on every colour and hides no neighbour.
    let width = (side / 6.0).clamp(0.5, 1.5);
    for ring in rings {
        for (shrunk, ink) in [(0.0, Color32::BLACK), (width, Color32::WHITE)] {
            ui.painter().rect_stroke(ring.shrink(shrunk), 1, Stroke::new(width, ink), StrokeKind::Inside);
        }
    }
}

/// Where a stitch lies in the picture at `inside`.
fn stitch(inside: Rect, grid: &Grid, p: Point) -> Rect {
    let cell = inside.size() / Vec2::new(grid.width() as f32, grid.height() as f32);
    let corner = inside.left_bottom() + Vec2::new(p.x as f32 * cell.x, -(p.y as f32 + 1.0) * cell.y);
    Rect::from_min_size(corner, cell)
}

/// A bar at the foot of each stitch behind which a strand is caught, as in the chart of the pattern sheet; in a small
/// picture as large as can be seen, but no larger than the stitch.
fn mark_catches(ui: &Ui, inside: Rect, trial: &MendTrial, eyes: Eyes) {
    let (grid, slots) = (&trial.after.chart.grid, trial.after.palette.slots());
    for p in &trial.catches {
        let slot = grid.get(*p).and_then(|cell| slots.get(cell.index()?));
        let Some(slot) = slot else { continue };
        let at = stitch(inside, grid, *p);
        let size = Vec2::new((at.width() * 0.44).max(4.0), (at.height() * 0.12).max(2.0)).min(at.size());
        let foot = at.center_bottom() - Vec2::new(0.0, at.height() * 0.04 + size.y / 2.0);
        let bar = Rect::from_center_size(foot, size);
        ui.painter().rect_filled(bar, 0, ink_on(seen(slot.colour, eyes)));
    }
}

fn words(trial: &MendTrial, project: &Project, by: MendBy) -> [String; 2] {
    let mending = &trial.mending;
    let limit = project.plan.float_limit.in_stitches(project.plan.gauge);
    if mending.floats_before == 0 {
        return [format!("No float passes behind more than {limit} stitches."), String::new()];
    }
    let before = counted(mending.floats_before as u64, "float", "floats");
    match by {
        MendBy::Catches => [
            format!("{before} over {limit} stitches, caught {} in one repeat.", times(mending.catches)),
            "The chart stays as it is; the pattern sheet marks where to catch.".to_owned(),
        ],
        MendBy::Stitches => {
            let left = match &mending.rows_left[..] {
                [] => "No row can do with fewer; the symmetry that the chart has is kept.".to_owned(),
                rows => format!(
                    "{} with too many colours to find the fewest: catch the strands there.",
                    counted(rows.len() as u64, "row is left", "rows are left")
                ),
            };
            let changed = counted(u64::from(mending.stitches_changed), "stitch changes", "stitches change");
            let first = format!(
                "{before} over {limit} stitches now, {} after: {changed} colour.",
                mending.floats_after
            );
            [first, left]
        }
    }
}

fn times(n: usize) -> String {
    if n == 1 { "once".to_owned() } else { format!("{n} times") }
}
