//! The hue ring: angle is hue on the chosen wheel, distance from the middle is chroma, and a handle's
//! area is the share of its colour in the chart.

use std::sync::Arc;

use egui::epaint::{Mesh, Vertex};
use egui::{Color32, Id, Pos2, Rect, Sense, Shape, Stroke, Ui, Vec2, WidgetInfo};

use super::apart::{moved_apart, radii_that_fit};
use super::{HarmonyView, cell, chosen, field, held};
use crate::app::Action;
use crate::app::state::State;
use crate::chart::Cell;
use crate::colour::{Colour, Wheel};
use crate::project::{Palette, Role, colour_code, key_entry};
use crate::ui::colours::{ink_on, paint, seen};
use crate::ui::theme::{STEP, Tokens};
use crate::ui::widgets::{Icon, focus_ring};

const SIDE: f32 = 172.0;
const BAND: f32 = 13.0;
/// Lightness and chroma at which the band shows every hue; about the middle of yarn colours.
const BAND_LIGHTNESS: f64 = 0.72;
const BAND_CHROMA: f64 = 0.13;
/// Chroma at the inner edge of the band, at least and at most: yarn colours are muted, and as far as sRGB
/// reaches at most hues.
const FULL_CHROMA: std::ops::RangeInclusive<f64> = 0.12..=0.26;
const HANDLE: std::ops::RangeInclusive<f32> = 8.0..=18.0;

/// Shows the ring with its handles, and at its right the lightness and chroma of the chosen colour.
pub fn show(ui: &mut Ui, state: &State, paint: &mut Cell, view: &mut HarmonyView, actions: &mut Vec<Action>) {
    let size = Vec2::new(ui.available_width(), SIDE);
    let (area, _) = ui.allocate_exact_size(size, Sense::hover());
    let rect = Rect::from_min_size(area.min, Vec2::splat(SIDE.min(area.width())));
    let beside = Rect::from_min_max(egui::pos2(rect.right() + STEP, area.top()), area.max);
    field::show(ui, state, beside, view, chosen(state, *paint), actions);
    let palette = &state.project().palette;
    // While a handle is dragged the scale stands still.
    let start = view.held.as_ref().map_or(palette, |held| held.from());
    let ring = Ring {
        centre: rect.center(),
        radius: rect.width() / 2.0,
        wheel: palette.wheel,
        full: full_chroma(start),
    };
    ring.paint_band(ui, &mut view.band);
    let shares = shares(state);
    let handles = Handles::of(&ring, palette, &shares, view.grip.as_ref());
    ring.paint_spokes(ui, palette, &handles);

    let current = chosen(state, *paint);
    for (index, share) in shares.iter().copied().enumerate() {
        let place = (index, handles.at[index], handles.radii[index]);
        if handle(ui, &ring, state, view, place, share, index == current, actions) {
            *paint = cell(index);
        }
    }
}

/// Where the handle that is dragged was taken hold of: it follows the hand from there and does not jump to it.
pub struct Grip {
    index: usize,
    /// From the place of its colour to the hand.
    hand: Vec2,
    /// From the place of its colour to the handle, which stands beside it where there is no room.
    beside: Vec2,
}

/// The handles as they stand: on their colours, or beside them where they would cover each other.
struct Handles {
    at: Vec<Pos2>,
    radii: Vec<f32>,
}

impl Handles {
    fn of(ring: &Ring, palette: &Palette, shares: &[f32], grip: Option<&Grip>) -> Self {
        let wished: Vec<f32> =
            shares.iter().map(|share| (share.sqrt() * 26.0).clamp(*HANDLE.start(), *HANDLE.end())).collect();
        let radii = radii_that_fit(&wished, ring.reach());
        let mut places: Vec<Vec2> =
            palette.slots().iter().map(|slot| ring.place(slot.colour) - ring.centre).collect();
        if let Some((place, grip)) = grip.and_then(|grip| Some((places.get_mut(grip.index)?, grip))) {
            *place += grip.beside;
        }
        let apart = moved_apart(&places, &radii, grip.map(|grip| grip.index), ring.reach());
        Self { at: apart.into_iter().map(|at| ring.centre + at).collect(), radii }
    }
}

/// Chroma at the edge of the ring, so that the most colourful one stands well out.
fn full_chroma(palette: &Palette) -> f64 {
    let most = palette.slots().iter().map(|slot| slot.colour.chroma()).fold(0.0, f64::max);
    (most * 1.15).clamp(*FULL_CHROMA.start(), *FULL_CHROMA.end())
}

/// Share of each slot in the chart's stitches, `0..=1`.
fn shares(state: &State) -> Vec<f32> {
    let slots = state.project().palette.slots().len();
    state.figures().map_or_else(
        || vec![0.0; slots],
        |figures| (0..slots).map(|slot| figures.share_of(slot) as f32).collect(),
    )
}

/// The band of hues as it was last drawn, and what it rests on: where it stands, how large it is, its wheel, and
/// pixels in a point.
pub struct Band {
    of: (Pos2, f32, Wheel, f32),
    mesh: Arc<Mesh>,
}

struct Ring {
    centre: Pos2,
    radius: f32,
    wheel: Wheel,
    /// Chroma at the inner edge of the band.
    full: f64,
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
        let distance = (colour.chroma() / self.full).min(1.0) as f32 * self.reach();
        self.centre + Self::direction(angle) * distance
    }

    /// The colour of this lightness under a pointer position.
    fn colour_at(&self, at: Pos2, like: Colour) -> Colour {
        let v = at - self.centre;
        let angle = f64::from(v.x.atan2(-v.y)).to_degrees();
        // Beyond the band it goes on as far as there is chroma.
        let chroma = f64::from(v.length() / self.reach()) * self.full;
        let hue = self.wheel.hue_at(angle);
        // Dragged outward past what sRGB shows, the handle stays at the edge of the gamut.
        let chroma = chroma.min(Colour::max_chroma(like.lightness(), hue));
        like.with_hue(hue).with_chroma(chroma)
    }

    fn paint_band(&self, ui: &Ui, kept: &mut Option<Band>) {
        let of = (self.centre, self.radius, self.wheel, ui.pixels_per_point());
        let band = match kept.take() {
            Some(band) if band.of == of => band,
            _ => Band { of, mesh: Arc::new(self.band(1.0 / ui.pixels_per_point())) },
        };
        ui.painter().add(Shape::Mesh(Arc::clone(&band.mesh)));
        *kept = Some(band);
        let tokens = Tokens::of(ui);
        ui.painter().circle_filled(self.centre, self.radius - BAND, tokens.field);
        for part in [0.33, 0.66, 1.0] {
            let stroke = Stroke::new(1.0, tokens.line);
            ui.painter().circle_stroke(self.centre, self.reach() * part, stroke);
        }
    }

    /// Every hue around the edge; a mesh has no smooth edges of its own: the outer one fades out over `fade` points,
    /// the inner one is covered.
    fn band(&self, fade: f32) -> Mesh {
        const STEPS: u32 = 120;
        let radii = [self.radius, self.radius - fade, self.radius - BAND - 2.0];
        let mut mesh = Mesh::default();
        for step in 0..=STEPS {
            let angle = f64::from(step) * 360.0 / f64::from(STEPS);
            let hue = self.wheel.hue_at(angle);
            let colour = paint(Colour::clamped(BAND_LIGHTNESS, BAND_CHROMA, hue));
            let direction = Self::direction(angle);
            for (radius, color) in radii.into_iter().zip([Color32::TRANSPARENT, colour, colour]) {
                let pos = self.centre + direction * radius;
                mesh.vertices.push(Vertex { pos, uv: egui::epaint::WHITE_UV, color });
            }
            if step < STEPS {
                for i in [step * 3, step * 3 + 1] {
                    mesh.add_triangle(i, i + 1, i + 3);
                    mesh.add_triangle(i + 1, i + 3, i + 4);
                }
            }
        }
        mesh
    }

    /// A line from the middle to each colour and on to its handle, and a tick on the band at each place of the
    /// scheme.
    fn paint_spokes(&self, ui: &Ui, palette: &Palette, handles: &Handles) {
        let tokens = Tokens::of(ui);
        for (slot, handle) in palette.slots().iter().zip(&handles.at) {
            let place = self.place(slot.colour);
            let stroke = Stroke::new(1.5, tokens.weak);
            ui.painter().line_segment([self.centre, place], stroke);
            if place.distance(*handle) > 1.0 {
                ui.painter().line_segment([place, *handle], Stroke::new(1.0, tokens.weak));
                ui.painter().circle_filled(place, 2.5, tokens.text);
            }
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

/// One handle; whether it was taken hold of.
#[expect(clippy::too_many_arguments, reason = "one handle needs where, what and how much")]
fn handle(
    ui: &Ui,
    ring: &Ring,
    state: &State,
    view: &mut HarmonyView,
    (index, at, radius): (usize, Pos2, f32),
    share: f32,
    is_chosen: bool,
    actions: &mut Vec<Action>,
) -> bool {
    let palette = &state.project().palette;
    let slot = &palette.slots()[index];
    let (colour, locked) = (slot.colour, slot.locked);
    let lock_word = if locked { ", locked" } else { "" };
    let label = format!("Handle of {}{lock_word}", key_entry(index, slot));
    let rect = Rect::from_center_size(at, Vec2::splat(radius * 2.0));
    let sense = if locked { Sense::click() } else { Sense::click_and_drag() };
    let id = handle_id(index);
    let response = ui.interact(rect, id, sense);
    response.widget_info(|| WidgetInfo::labeled(egui::Role::Slider, true, &label));

    let tokens = Tokens::of(ui);
    ui.painter().circle(at, radius, seen(colour, state.eyes), Stroke::new(1.5, tokens.field));
    // A pale yarn on a pale ground has an edge too.
    ui.painter().circle_stroke(at, radius + 0.5, Stroke::new(1.0, tokens.edge));
    if is_chosen || response.hovered() {
        ui.painter().circle_stroke(at, radius + 2.0, Stroke::new(2.0, tokens.focus));
    }
    if response.has_focus() {
        focus_ring(ui, rect.expand(3.0));
    }
    let font = egui::FontId::new(11.0, crate::ui::theme::semibold());
    ui.painter().text(
        at,
        egui::Align2::CENTER_CENTER,
        colour_code(index),
        font,
        ink_on(seen(colour, state.eyes)),
    );
    if locked {
        let lock = Rect::from_center_size(at + Vec2::splat(radius * 0.9), Vec2::splat(16.0));
        ui.painter().circle(lock.center(), 9.0, tokens.field, Stroke::new(1.0, tokens.weak));
        Icon::Locked.paint(ui.painter(), lock.shrink(2.0), tokens.text);
    }

    // Only what was done by hand chooses: going past with Tab does not.
    let taken = response.clicked() || response.drag_started();
    if let (true, Some(pressed)) = (response.drag_started(), ui.input(|input| input.pointer.press_origin())) {
        let place = ring.place(colour);
        view.grip = Some(Grip { index, hand: pressed - place, beside: at - place });
    }
    if let (true, Some(pointer)) = (response.dragged(), response.interact_pointer_pos()) {
        let hand = view.grip.as_ref().map_or(Vec2::ZERO, |grip| grip.hand);
        let wanted = |start| ring.colour_at(pointer - hand, start);
        actions.push(held::step(view, palette, (id, "Hue and chroma"), index, wanted));
    }
    if response.drag_stopped() {
        view.grip = None;
        actions.push(Action::EndGesture);
    }
    if response.has_focus() && !locked {
        turn_by_keys(ui, ring, palette, view, index, actions);
    }
    let tip = format!("{}: {} %", slot.name, (share * 100.0).round());
    let unlock = "Locked: it keeps itself. Unlock it in the list of colours.";
    response.on_hover_text(if locked { format!("{tip}. {unlock}") } else { tip });
    taken
}

fn handle_id(index: usize) -> Id {
    Id::unique(("handle", index))
}

/// Arrow keys turn the hue of the focused handle by 5 degrees on the wheel.
fn turn_by_keys(
    ui: &Ui,
    ring: &Ring,
    palette: &Palette,
    view: &mut HarmonyView,
    index: usize,
    actions: &mut Vec<Action>,
) {
    use egui::{EventFilter, Key, Modifiers};
    let id = handle_id(index);
    let arrows = EventFilter { horizontal_arrows: true, ..EventFilter::default() };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(id, arrows));
    let turn = ui.input_mut(|input| {
        let right = input.consume_key(Modifiers::NONE, Key::ArrowRight);
        let left = input.consume_key(Modifiers::NONE, Key::ArrowLeft);
        f64::from(i8::from(right) - i8::from(left)) * 5.0
    });
    if turn != 0.0 {
        let now = palette.slots()[index].colour.hue_angle();
        let hue = ring.wheel.hue_at(ring.wheel.angle_of_hue(now) + turn);
        actions.push(held::step(view, palette, (id, "Hue"), index, |start| start.with_hue(hue)));
    }
}
