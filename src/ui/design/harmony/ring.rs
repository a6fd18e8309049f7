//! The hue ring: angle is hue on the chosen wheel, distance from the middle is chroma, and a handle's
//! area is the share of its colour in the chart.

use egui::epaint::{Mesh, Vertex};
use egui::{Color32, Id, Pos2, Rect, Sense, Shape, Stroke, StrokeKind, Ui, Vec2, WidgetInfo};

use super::{HarmonyView, cell, chosen, recolour};
use crate::app::Action;
use crate::app::state::State;
use crate::colour::{Colour, Wheel};
use crate::project::{Role, colour_code, key_entry};
use crate::ui::colours::{ink_on, paint, seen};
use crate::ui::theme::Tokens;

const SIDE: f32 = 200.0;
const BAND: f32 = 13.0;
/// Lightness and chroma at which the band shows every hue; about the middle of yarn colours.
const BAND_LIGHTNESS: f64 = 0.72;
const BAND_CHROMA: f64 = 0.13;
/// Chroma at the inner edge of the band: as far as sRGB reaches at most hues.
const FULL_CHROMA: f64 = 0.26;
const HANDLE: std::ops::RangeInclusive<f32> = 8.0..=22.0;

/// Shows the ring and its handles.
pub fn show(ui: &mut Ui, state: &mut State, view: &mut HarmonyView, actions: &mut Vec<Action>) {
    let size = Vec2::new(ui.available_width(), SIDE);
    let (area, _) = ui.allocate_exact_size(size, Sense::hover());
    let rect = Rect::from_center_size(area.center(), Vec2::splat(SIDE));
    let ring = Ring { centre: rect.center(), radius: SIDE / 2.0, wheel: state.project().palette.wheel };
    ring.paint_band(ui);
    ring.paint_spokes(ui, state);

    let shares = shares(state);
    let current = chosen(state);
    // Largest first, so that a small handle is never hidden under a large one.
    let mut order: Vec<usize> = (0..state.project().palette.slots().len()).collect();
    order.sort_by(|a, b| shares[*b].total_cmp(&shares[*a]));
    for index in order {
        handle(ui, &ring, state, view, index, shares[index], index == current, actions);
    }
}

/// Share of each slot in the chart's stitches, `0..=1`.
fn shares(state: &State) -> Vec<f32> {
    let slots = state.project().palette.slots().len();
    state.figures.as_ref().map_or_else(
        || vec![0.0; slots],
        |figures| (0..slots).map(|slot| figures.share_of(slot) as f32).collect(),
    )
}

struct Ring {
    centre: Pos2,
    radius: f32,
    wheel: Wheel,
}

impl Ring {
    /// 0 degrees at the top, clockwise, as painters draw their circle.
    fn direction(angle: f64) -> Vec2 {
        let (sin, cos) = angle.to_radians().sin_cos();
        Vec2::new(sin as f32, -cos as f32)
    }

    fn reach(&self) -> f32 {
        self.radius - BAND - 4.0
    }

    fn place(&self, colour: Colour) -> Pos2 {
        let angle = self.wheel.angle_of_hue(colour.hue_angle());
        let distance = (colour.chroma() / FULL_CHROMA).min(1.0) as f32 * self.reach();
        self.centre + Self::direction(angle) * distance
    }

    /// The colour of this lightness under a pointer position.
    fn colour_at(&self, at: Pos2, like: Colour) -> Colour {
        let v = at - self.centre;
        let angle = f64::from(v.x.atan2(-v.y)).to_degrees();
        let chroma = f64::from((v.length() / self.reach()).min(1.0)) * FULL_CHROMA;
        let hue = self.wheel.hue_at(angle);
        // Dragged outward past what sRGB shows, the handle stays at the edge of the gamut.
        let chroma = chroma.min(Colour::max_chroma(like.lightness(), hue));
        like.with_hue(hue).with_chroma(chroma)
    }

    fn paint_band(&self, ui: &Ui) {
        const STEPS: u32 = 120;
        let mut mesh = Mesh::default();
        for step in 0..=STEPS {
            let angle = f64::from(step) * 360.0 / f64::from(STEPS);
            let hue = self.wheel.hue_at(angle);
            let colour = paint(Colour::clamped(BAND_LIGHTNESS, BAND_CHROMA, hue));
            let direction = Self::direction(angle);
            for radius in [self.radius, self.radius - BAND] {
                let pos = self.centre + direction * radius;
                mesh.vertices.push(Vertex { pos, uv: egui::epaint::WHITE_UV, color: colour });
            }
            if step < STEPS {
                let i = step * 2;
                mesh.add_triangle(i, i + 1, i + 2);
                mesh.add_triangle(i + 1, i + 2, i + 3);
            }
        }
        ui.painter().add(Shape::mesh(mesh));
        let tokens = Tokens::of(ui);
        ui.painter().circle_filled(self.centre, self.radius - BAND - 1.0, tokens.field);
        for part in [0.33, 0.66, 1.0] {
            let stroke = Stroke::new(1.0, tokens.line);
            ui.painter().circle_stroke(self.centre, self.reach() * part, stroke);
        }
    }

    /// A line from the middle to each colour, and a tick on the band at each place of the scheme.
    fn paint_spokes(&self, ui: &Ui, state: &State) {
        let palette = &state.project().palette;
        let tokens = Tokens::of(ui);
        for slot in palette.slots() {
            let stroke = Stroke::new(1.5, tokens.weak);
            ui.painter().line_segment([self.centre, self.place(slot.colour)], stroke);
        }
        let main = palette.slot_of(Role::Main).and_then(|index| palette.slots()[index].colour.hue());
        if let (Some(scheme), Some(hue)) = (palette.scheme, main) {
            let angle = self.wheel.angle_of_hue(hue);
            for offset in scheme.offsets() {
                let direction = Self::direction(angle + offset);
                let ends = [self.radius - BAND, self.radius].map(|r| self.centre + direction * r);
                ui.painter().line_segment(ends, Stroke::new(3.0, Color32::from_gray(20)));
            }
        }
    }
}

#[expect(clippy::too_many_arguments, reason = "one handle needs where, what and how much")]
fn handle(
    ui: &Ui,
    ring: &Ring,
    state: &mut State,
    view: &mut HarmonyView,
    index: usize,
    share: f32,
    is_chosen: bool,
    actions: &mut Vec<Action>,
) {
    let slot = &state.project().palette.slots()[index];
    let (colour, label) = (slot.colour, format!("Handle of {}", key_entry(index, slot)));
    let locked = slot.locked;
    let radius = (share.sqrt() * 30.0).clamp(*HANDLE.start(), *HANDLE.end());
    let at = ring.place(colour);
    let rect = Rect::from_center_size(at, Vec2::splat(radius * 2.0));
    let sense = if locked { Sense::click() } else { Sense::click_and_drag() };
    let response = ui.interact(rect, Id::unique(("handle", index)), sense);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Slider, true, &label));

    let tokens = Tokens::of(ui);
    ui.painter().circle(at, radius, seen(colour, state.view.eyes), Stroke::new(1.5, tokens.field));
    if is_chosen || response.hovered() || response.has_focus() {
        ui.painter().circle_stroke(at, radius + 2.0, Stroke::new(2.0, tokens.focus));
    }
    let font = egui::FontId::new(11.0, crate::ui::theme::semibold());
    ui.painter().text(at, egui::Align2::CENTER_CENTER, colour_code(index), font, ink_on(colour));
    if locked {
        let lock = Rect::from_center_size(at, Vec2::splat(radius * 2.0 + 2.0));
        ui.painter().rect_stroke(lock, 3, Stroke::new(1.0, tokens.weak), StrokeKind::Outside);
    }

    if response.clicked() || response.drag_started() || response.gained_focus() {
        state.view.paint = cell(index);
    }
    if response.drag_started() {
        view.drag_start = Some(state.project().palette.clone());
    }
    if let (true, Some(pointer)) = (response.dragged(), response.interact_pointer_pos()) {
        let start = view.drag_start.clone().unwrap_or_else(|| state.project().palette.clone());
        let wanted = ring.colour_at(pointer, start.slots()[index].colour);
        actions.push(recolour(&start, index, wanted, "Colour", true, view));
    }
    if response.drag_stopped() {
        actions.push(Action::EndGesture);
    }
    if response.has_focus() && !locked {
        turn_by_keys(ui, ring, state, view, index, actions);
    }
    let tip = format!("{}: {} %", state.project().palette.slots()[index].name, (share * 100.0).round());
    response.on_hover_text(if locked { format!("{tip}. Locked.") } else { tip });
}

/// Arrow keys turn the hue of the focused handle by 5 degrees on the wheel.
fn turn_by_keys(
    ui: &Ui,
    ring: &Ring,
    state: &State,
    view: &mut HarmonyView,
    index: usize,
    actions: &mut Vec<Action>,
) {
    use egui::{EventFilter, Key, Modifiers};
    let id = Id::unique(("handle", index));
    let arrows = EventFilter { horizontal_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, arrows));
    let turn = ui.input_mut(|input| {
        let right = input.consume_key(Modifiers::NONE, Key::ArrowRight);
        let left = input.consume_key(Modifiers::NONE, Key::ArrowLeft);
        f64::from(i8::from(right) - i8::from(left)) * 5.0
    });
    if turn != 0.0 {
        let palette = &state.project().palette;
        let colour = palette.slots()[index].colour;
        let hue = ring.wheel.hue_at(ring.wheel.angle_of_hue(colour.hue_angle()) + turn);
        actions.push(recolour(palette, index, colour.with_hue(hue), "Hue", false, view));
    }
}
