//! A region in figures, for the keyboard: left, top, width and height in pixels.

use egui::Ui;

use super::{PhotographView, Place};
use crate::app::Action;
use crate::app::photo_desk::Photograph;
use crate::photo::Region;
use crate::ui::theme::STEP;
use crate::ui::widgets::{NumberField, caption};

/// Shows the fields of a place; `what` begins their names. Dragging a figure moves the mark on the
/// picture; it is measured when the figure is let go.
pub fn fields(
    ui: &mut Ui,
    photograph: &Photograph,
    view: &mut PhotographView,
    (place, what): (Place, &str),
    actions: &mut Vec<Action>,
) {
    let Some(region) = view.region(photograph, place) else { return };
    let (wide, high) = (photograph.picture.width(), photograph.picture.height());
    let least = Region::LEAST_SIDE;
    let sides = [
        ("left", region.x, 0, wide.saturating_sub(least)),
        ("top", region.y, 0, high.saturating_sub(least)),
        ("width", region.width, least, wide),
        ("height", region.height, least, high),
    ];
    let (mut typed, mut done) = (region, false);
    ui.scope(|ui| {
        ui.set_max_width(ui.available_width() - STEP);
        ui.columns(4, |columns| {
            for (number, (side, value, from, to)) in sides.into_iter().enumerate() {
                let ui = &mut columns[number];
                ui.spacing_mut().item_spacing.y = 2.0;
                caption(ui, ["Left", "Top", "Width", "Height"][number]);
                let label = format!("{what}, {side}");
                let range = f64::from(from)..=f64::from(to.max(from));
                let field = NumberField { label: &label, suffix: " px", range, decimals: 0, speed: 0.5 };
                let (response, new) = field.respond(ui, f64::from(value));
                if let Some(new) = new {
                    let new = new.round() as u32;
                    match number {
                        0 => typed.x = new,
                        1 => typed.y = new,
                        2 => typed.width = new,
                        _ => typed.height = new,
                    }
                }
                done |= response.drag_stopped() || (new.is_some() && !response.dragged());
            }
        });
    });
    if typed != region {
        view.draft = Some((place, photograph.fitted(typed)));
    }
    if done && let Some((place, region)) = view.draft.take() {
        actions.push(view.put(photograph, place, region));
    }
}
