//! The lightness-chroma field of one hue: what sRGB can show of it, to drag in.

use egui::{Color32, ColorImage, Rect, Sense, Stroke, TextureHandle, TextureOptions, Ui, pos2};

use super::{HarmonyView, held};
use crate::app::Action;
use crate::app::state::State;
use crate::colour::Colour;
use crate::ui::colours::{ink_on, paint};
use crate::ui::theme::{CORNER, Tokens};

const TEXELS: [usize; 2] = [72, 144];

/// The field's picture, worked out anew when the hue or the theme changes.
#[derive(Default)]
pub struct FieldTexture {
    texture: Option<TextureHandle>,
    of: Option<(i64, Color32)>,
}

impl FieldTexture {
    fn of(&mut self, ui: &Ui, hue: f64, full: f64) -> Option<egui::TextureId> {
        let outside = Tokens::of(ui).control;
        let key = Some(((hue * 2.0).round() as i64, outside));
        if self.of != key || self.texture.is_none() {
            let image = picture(hue, full, outside);
            match &mut self.texture {
                Some(texture) => texture.set(image, TextureOptions::LINEAR),
                None => {
                    self.texture =
                        Some(ui.ctx().load_texture("lightness-chroma", image, TextureOptions::LINEAR));
                }
            }
            self.of = key;
        }
        self.texture.as_ref().map(TextureHandle::id)
    }
}

/// The largest chroma sRGB shows at a lightness and hue. Below the cusp the limit is the straight line from black
/// to it: a channel at 0 stays there when all are made darker by one factor. Beside black the search within
/// rounding finds more than there is.
fn edge(lightness: f64, hue: f64, cusp: Colour) -> f64 {
    let line = cusp.chroma() * lightness / cusp.lightness().max(f64::EPSILON);
    Colour::max_chroma(lightness, hue).min(line)
}

/// Chroma grows to the right up to `full`, lightness upward.
fn picture(hue: f64, full: f64, outside: Color32) -> ColorImage {
    let [width, height] = TEXELS;
    let cusp = Colour::cusp(hue);
    let step = full / width as f64;
    let mut pixels = Vec::with_capacity(width * height);
    for y in 0..height {
        let lightness = 1.0 - (y as f64 + 0.5) / height as f64;
        let edge = edge(lightness, hue, cusp);
        for x in 0..width {
            let chroma = (x as f64 + 0.5) * step;
            let colour = paint(Colour::clamped(lightness, chroma.min(edge), hue));
            // The edge runs through the pixel: as much of it as lies inside.
            let inside = ((edge - chroma) / step + 0.5).clamp(0.0, 1.0);
            pixels.push(outside.lerp_to_gamma(colour, inside as f32));
        }
    }
    ColorImage::new(TEXELS, pixels)
}

/// Shows the field of slot `index` in `rect`; dragging in it sets lightness and chroma.
pub fn show(
    ui: &mut Ui,
    state: &State,
    rect: Rect,
    view: &mut HarmonyView,
    index: usize,
    actions: &mut Vec<Action>,
) {
    let palette = &state.project().palette;
    let slot = &palette.slots()[index];
    let (colour, locked) = (slot.colour, slot.locked);
    let id = ui.scope_id().with(("field", index));
    // The hue of the start: a step through grey must not change it.
    let start = held::Held::start(view.held.as_ref(), id, palette);
    let hue = start.slots().get(index).map_or(colour, |slot| slot.colour).hue_angle();
    let full = Colour::cusp(hue).chroma() * 1.04;
    let sense = if locked { Sense::hover() } else { Sense::click_and_drag() };
    let response = ui.interact(rect, id, sense);
    response
        .widget_info(|| egui::WidgetInfo::labeled(egui::Role::Slider, !locked, "Lightness and chroma field"));
    if let Some(texture) = view.field.of(ui, hue, full) {
        let uv = Rect::from_min_max(pos2(0.0, 0.0), pos2(1.0, 1.0));
        egui::Image::from_texture((texture, rect.size())).corner_radius(CORNER).uv(uv).paint_at(ui, rect);
    }
    let at = pos2(
        rect.left() + (colour.chroma() / full).min(1.0) as f32 * rect.width(),
        rect.bottom() - colour.lightness() as f32 * rect.height(),
    );
    ui.painter().circle(at, 6.0, paint(colour), Stroke::new(2.0, ink_on(paint(colour))));

    if let (true, Some(pointer)) = (response.dragged() || response.clicked(), response.interact_pointer_pos())
    {
        let lightness = f64::from((rect.bottom() - pointer.y) / rect.height()).clamp(0.0, 1.0);
        let chroma = f64::from((pointer.x - rect.left()) / rect.width()).clamp(0.0, 1.0) * full;
        let wanted = Colour::clamped(lightness, chroma.min(edge(lightness, hue, Colour::cusp(hue))), hue);
        actions.push(held::step(view, palette, (id, "Lightness and chroma"), index, |_| wanted));
    }
    if response.drag_stopped() || response.clicked() {
        actions.push(Action::EndGesture);
    }
    let tip = if locked {
        "The colour is locked: unlock it in the list of colours to change it."
    } else {
        "Lightness upward, chroma to the right. Grey is beyond what sRGB can show."
    };
    response.on_hover_text(tip);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn below_the_cusp_the_edge_is_the_line_to_black() {
        for hue in (0..360).step_by(7).map(f64::from) {
            let cusp = Colour::cusp(hue);
            for part in [0.002, 0.01, 0.1, 0.4, 0.8, 0.99] {
                let lightness = part * cusp.lightness();
                let (edge, line) = (edge(lightness, hue, cusp), part * cusp.chroma());
                assert!(edge <= line + 1e-12 && edge > line * 0.985, "{hue} at {part}: {edge}, {line}");
            }
        }
    }
}
