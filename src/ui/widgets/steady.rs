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
