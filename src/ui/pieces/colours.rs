//! The colours of a band: palette slots worked in turn.

use egui::{Rect, Sense, Stroke, StrokeKind, Ui, Vec2};

use crate::knit::Technique;
use crate::knit::pieces::{Band, Fabric};
use crate::project::{Project, key_entry};
use crate::ui::colours::paint;
use crate::ui::theme::Tokens;
use crate::ui::widgets::{Form, Icon, caption, sized_icon_button};

/// Most colours worked in turn.
const MOST: usize = 12;
/// Side of a small button.
const BUTTON: f32 = 24.0;

/// Shows the colours; a chart brings its own and needs one for its edge stitches only.
pub fn show(form: &mut Form, project: &Project, band: &mut Band) {
    if let Fabric::Chart { edge, .. } = band.fabric {
        if edge == 0 {
            caption(form, "Its colours are those of the chart.");
        } else {
            colour(form, project, ("Edge colour", "Edge colour of the band"), band, 0);
        }
        return;
    }
    for i in 0..band.colours.len() {
        let label = format!("Colour {} of the band", i + 1);
        let text = if band.colours.len() == 1 { "Colour".to_owned() } else { format!("Colour {}", i + 1) };
        colour(form, project, (&text, &label), band, i);
    }
    let in_columns = matches!(band.fabric, Fabric::Ribbing { .. }) && band.technique == Technique::Stranded;
    if band.colours.len() > 1 && in_columns {
        caption(form, "Knit columns in the first colour, purl columns in the second.");
    } else if band.colours.len() > 1 {
        form.count(("Rows of each", "Rows of each colour", " rows"), (1, 500), &mut band.stripe_rows);
    }
}

/// Another colour, or one fewer.
fn more_or_fewer(form: &mut Form, project: &Project, band: &mut Band) {
    let mut small = |enabled: bool, icon, label: &str, tip: &str| {
        let show =
            |ui: &mut Ui| sized_icon_button(ui, icon, label, tip, false, Vec2::splat(BUTTON)).clicked();
        let clicked = form.add_enabled_ui(enabled, show).inner;
        form.end_if(clicked);
        clicked
    };
    let several = band.colours.len() > 1;
    if small(
        band.colours.len() < MOST,
        Icon::Add,
        "Add a colour to the band",
        "Another colour, worked in turn",
    ) {
        let next = next_slot(project, band);
        band.colours.push(next);
    }
    if small(several, Icon::Remove, "Take the last colour out", "Take the last colour out") {
        band.colours.pop();
    }
}

/// The first slot that the band does not work yet.
fn next_slot(project: &Project, band: &Band) -> usize {
    let slots = 0..project.palette.slots().len();
    slots.into_iter().find(|slot| !band.colours.contains(slot)).unwrap_or(0)
}

fn colour(form: &mut Form, project: &Project, (text, label): (&str, &str), band: &mut Band, i: usize) {
    let slots = project.palette.slots();
    let entries: Vec<String> = slots.iter().enumerate().map(|(index, slot)| key_entry(index, slot)).collect();
    let before = band.colours.get(i).copied().unwrap_or_else(|| project.background_slot());
    let mut slot = before;
    form.row(text, |form| {
        let (rect, _) = form.allocate_exact_size(Vec2::new(22.0, 22.0), Sense::hover());
        if let Some(slot) = slots.get(slot) {
            let swatch = Rect::from_center_size(rect.center(), Vec2::splat(20.0));
            form.painter().rect_filled(swatch, 3, paint(slot.colour));
            let line = Stroke::new(1.0, Tokens::of(form).line);
            form.painter().rect_stroke(swatch, 3, line, StrokeKind::Inside);
        }
        let is_last = i + 1 == band.colours.len() && !matches!(band.fabric, Fabric::Chart { .. });
        let room = if is_last { 2.0 * (BUTTON + form.spacing().item_spacing.x) } else { 0.0 };
        form.one_of(label, entries.iter().enumerate(), &mut slot, room);
        if is_last {
            more_or_fewer(form, project, band);
        }
    });
    if slot != before {
        match band.colours.get_mut(i) {
            Some(colour) => *colour = slot,
            None => band.colours.push(slot),
        }
    }
}
