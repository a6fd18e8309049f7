//! Whatever has the keyboard is brought into view and ringed, wherever Tab takes it.

use egui::containers::scroll_area::ScrollAreaOutput;
use egui::style::ScrollAnimation;
use egui::{Context, Id, ScrollArea, Stroke, StrokeKind, Ui, WidgetRect};

use crate::ui::canvas;
use crate::ui::theme::{CORNER, Tokens};

/// Frames in which an area still follows: one inside another moves what the outer one shows.
const FRAMES: u64 = 6;
/// Room around what has the keyboard, for its ring.
const MARGIN: f32 = 6.0;

/// What has the keyboard, and in which frame it was gone to.
#[derive(Clone, Copy, Default, PartialEq)]
struct Gone {
    to: Option<Id>,
    frame: u64,
}

const fn id() -> &'static str {
    "what the keyboard went to"
}

/// Notes where the keyboard went; once a frame. What is clicked is in view already and stays where it is.
pub fn note_focus(ctx: &Context) {
    let focused = ctx.memory(egui::Memory::focused);
    let frame = ctx.cumulative_frame_nr();
    let clicked = ctx.input(|input| input.pointer.any_down() || input.pointer.any_released());
    let key = Id::unique(id());
    ctx.data_mut(|data| {
        let gone: &mut Gone = data.get_temp_mut_or_default(key);
        if gone.to != focused {
            *gone = Gone { to: focused, frame: if clicked { 0 } else { frame } };
        }
    });
}

/// Where a control is. Asking for its response instead would take the keyboard from it where something of its
/// own was clicked.
fn place(ctx: &Context, id: Id) -> Option<WidgetRect> {
    ctx.viewport(|viewport| viewport.this_pass.widgets.get(id).copied())
}

/// Rings whatever has the keyboard: not every control shows it by itself. Call it when all is shown.
pub fn ring_focus(ctx: &Context, tokens: &Tokens) {
    let focused = ctx.memory(egui::Memory::focused).and_then(|id| place(ctx, id));
    // The chart rings itself, inside the numbers.
    let Some(focused) = focused.filter(|focused| focused.id != canvas::id()) else { return };
    let rect = focused.rect;
    let painter = ctx.layer_painter(focused.layer_id).with_clip_rect(focused.interact_rect.expand(1.0));
    let stroke = Stroke::new(2.0, tokens.focus);
    painter.rect_stroke(rect.shrink(1.0), CORNER, stroke, StrokeKind::Inside);
}

/// A scroll area that follows the keyboard.
pub trait Follow {
    /// Shows the contents; what has just got the keyboard in them is scrolled into view.
    fn follow<R>(self, ui: &mut Ui, contents: impl FnOnce(&mut Ui) -> R) -> ScrollAreaOutput<R>;
}

impl Follow for ScrollArea {
    fn follow<R>(self, ui: &mut Ui, contents: impl FnOnce(&mut Ui) -> R) -> ScrollAreaOutput<R> {
        self.show(ui, |ui| {
            let inner = contents(ui);
            bring_focus_into_view(ui);
            inner
        })
    }
}

/// Asks the scroll area around `ui`, whose contents are complete, to show what has the keyboard.
fn bring_focus_into_view(ui: &Ui) {
    let gone: Gone = ui.data(|data| data.get_temp(Id::unique(id()))).unwrap_or_default();
    let frame = ui.ctx().cumulative_frame_nr();
    let is_fresh = gone.frame > 0 && frame < gone.frame + FRAMES;
    let asked_id = ui.scope_id().with("asked to follow in");
    let asked: u64 = ui.data(|data| data.get_temp(asked_id)).unwrap_or_default();
    // What was asked for is seen in the frame after the next: asked again before, it would go twice as far.
    if frame < asked + 2 {
        return;
    }
    let Some(focused) = gone.to.filter(|_| is_fresh).and_then(|to| place(ui.ctx(), to)) else {
        return;
    };
    let rect = focused.rect;
    // Wider than the area it can be, in one of its own that scrolls sideways.
    let is_inside = focused.layer_id == ui.layer_id() && ui.min_rect().intersect(rect).is_positive();
    if is_inside && !ui.clip_rect().expand(0.5).contains_rect(rect) {
        ui.data_mut(|data| data.insert_temp(asked_id, frame));
        ui.scroll_to_rect_animation(rect.expand(MARGIN), None, ScrollAnimation::none());
        ui.ctx().request_repaint();
    }
}
