//! The colours of a band: palette slots worked in turn.

use egui::{Rect, Sense, Stroke, StrokeKind, Ui, Vec2};

use super::fields::{combo_beside, count, row};
use crate::knit::Technique;
use crate::knit::pieces::{Band, Fabric};
use crate::project::{Project, key_entry};
use crate::ui::colours::paint;
use crate::ui::theme::Tokens;
use crate::ui::widgets::{Icon, caption, sized_icon_button};

/// Most colours worked in turn.
const MOST: usize = 12;
/// Side of a small button.
const BUTTON: f32 = 24.0;

/// Shows the colours; a chart brings its own and needs one for its edge stitches only.
pub fn show(ui: &mut Ui, project: &Project, band: &mut Band, ended: &mut bool) {
    if let Fabric::Chart { edge, .. } = band.fabric {
        if edge == 0 {
            caption(ui, "Its colours are those of the chart.");
        } else {
            colour(ui, project, ("Edge colour", "Edge colour of the band"), band, 0, ended);
        }
        return;
    }
    for i in 0..band.colours.len() {
        let label = format!("Colour {} of the band", i + 1);
        let text = if band.colours.len() == 1 { "Colour".to_owned() } else { format!("Colour {}", i + 1) };
        colour(ui, project, (&text, &label), band, i, ended);
    }
    let in_columns = matches!(band.fabric, Fabric::Ribbing { .. }) && band.technique == Technique::Stranded;
    if band.colours.len() > 1 && in_columns {
        caption(ui, "Knit columns in the first colour, purl columns in the second.");
    } else if band.colours.len() > 1 {
        count(ui, ("Rows of each", "Rows of each colour", " rows"), (1, 500), &mut band.stripe_rows, ended);
    }
}

/// Another colour, or one fewer.
fn more_or_fewer(ui: &mut Ui, project: &Project, band: &mut Band, ended: &mut bool) {
    let several = band.colours.len() > 1;
    ui.add_enabled_ui(band.colours.len() < MOST, |ui| {
        if small(ui, Icon::Add, "Add a colour to the band", "Another colour, worked in turn") {
            let next = next_slot(project, band);
            band.colours.push(next);
            *ended = true;
        }
    });
    ui.add_enabled_ui(several, |ui| {
        if small(ui, Icon::Remove, "Take the last colour out", "Take the last colour out") {
            band.colours.pop();
            *ended = true;
        }
    });
}

fn small(ui: &mut Ui, icon: Icon, label: &str, tip: &str) -> bool {
    sized_icon_button(ui, icon, label, tip, false, Vec2::splat(BUTTON)).clicked()
}

/// The first slot that the band does not work yet.
fn next_slot(project: &Project, band: &Band) -> usize {
    let slots = 0..project.palette.slots().len();
    slots.into_iter().find(|slot| !band.colours.contains(slot)).unwrap_or(0)
}

fn colour(
    ui: &mut Ui,
    project: &Project,
    (text, label): (&str, &str),
    band: &mut Band,
    i: usize,
    ended: &mut bool,
) {
    let slots = project.palette.slots();
    let entries: Vec<String> = slots.iter().enumerate().map(|(index, slot)| key_entry(index, slot)).collect();
    let names: Vec<(usize, &str)> = entries.iter().map(String::as_str).enumerate().collect();
    let before = band.colours.get(i).copied().unwrap_or_else(|| project.background_slot());
    let mut slot = before;
    row(ui, text, |ui| {
        let (rect, _) = ui.allocate_exact_size(Vec2::new(22.0, 22.0), Sense::hover());
        if let Some(slot) = slots.get(slot) {
            let swatch = Rect::from_center_size(rect.center(), Vec2::splat(20.0));
            ui.painter().rect_filled(swatch, 3, paint(slot.colour));
            let line = Stroke::new(1.0, Tokens::of(ui).line);
            ui.painter().rect_stroke(swatch, 3, line, StrokeKind::Inside);
        }
        let is_last = i + 1 == band.colours.len() && !matches!(band.fabric, Fabric::Chart { .. });
        let room = if is_last { 2.0 * (BUTTON + ui.spacing().item_spacing.x) } else { 0.0 };
        *ended |= combo_beside(ui, label, &names, &mut slot, room);
        if is_last {
            more_or_fewer(ui, project, band, ended);
        }
    });
    if slot != before {
        match band.colours.get_mut(i) {
            Some(colour) => *colour = slot,
            None => band.colours.push(slot),
        }
    }
}
