//! What keeps the frame still: ids that depend on names alone, and space that is always there.

use egui::text::LayoutJob;
use egui::{AsIdSalt, FontId, Role, Sense, Ui, UiBuilder, Vec2, WidgetInfo};

use crate::ui::theme::{SMALL, Tokens};

/// A part of a column whose ids depend on its name alone, so that what comes and goes before it cannot
/// take a drag or the focus away.
pub fn steady<R>(ui: &mut Ui, name: impl AsIdSalt, contents: impl FnOnce(&mut Ui) -> R) -> R {
    let id = ui.scope_id().with(name);
    ui.scope_builder(UiBuilder::new().scope_id(id), contents).inner
}

/// Contents that grow and shrink by what is changed below them: what follows them keeps its place while a button
/// of the pointer is down, and until it is let go what does not fit is cut.
pub fn settled<R>(ui: &mut Ui, name: impl AsIdSalt, contents: impl FnOnce(&mut Ui) -> R) -> R {
    let id = ui.scope_id().with(name);
    let height_id = id.with("height");
    let kept: Option<f32> = ui.data(|data| data.get_temp(height_id));
    let kept = kept.filter(|_| ui.input(|input| input.pointer.any_down()));
    let room = ui.available_rect_before_wrap();
    let mut child = ui.new_child(UiBuilder::new().scope_id(id).max_rect(room));
    if let Some(kept) = kept {
        child.shrink_clip_rect(child.clip_rect().with_max_y(room.top() + kept));
    }
    let made = contents(&mut child);
    let height = kept.unwrap_or_else(|| child.min_rect().height());
    ui.data_mut(|data| data.insert_temp(height_id, height));
    ui.allocate_space(Vec2::new(child.min_rect().width(), height));
    made
}

/// A caption in the room of `lines` lines, which is there without it too; what does not fit is told on
/// hovering.
pub fn reserved_caption(ui: &mut Ui, text: Option<&str>, lines: usize) {
    let font = FontId::proportional(SMALL);
    let line = ui.text_style_height(&egui::TextStyle::Small);
    let size = Vec2::new(ui.available_width(), line * lines as f32);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let Some(text) = text else { return };
    let ink = Tokens::of(ui).weak;
    let mut job = LayoutJob::simple(text.to_owned(), font, ink, size.x);
    job.wrap.max_rows = lines;
    let galley = ui.painter().layout_job(job);
    let cut = galley.elided;
    ui.painter().with_clip_rect(rect).galley(rect.min, galley, ink);
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, text));
    if cut {
        response.on_hover_text(text);
    }
}
