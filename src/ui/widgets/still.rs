//! Parts whose height follows from the chart, and which move nothing while the hand is on it.

use std::hash::Hash;

use egui::{Id, Rect, ScrollArea, Ui};

use super::{Follow, steady};
use crate::ui::canvas;

/// The height a part keeps, and what it was of.
#[derive(Clone, Copy, PartialEq)]
struct Kept {
    of: u64,
    height: f32,
}

/// Height in points no part comes to: a scroll area wants a figure.
const TALLEST: f32 = 100_000.0;

/// Shows contents that grow and shrink with the chart. What stands below moves only
/// when another thing is shown than before (`of`), or while the hand is neither on the chart nor below; until
/// then what has no room is scrolled to.
pub fn still<R>(ui: &mut Ui, name: &'static str, of: impl Hash, contents: impl FnOnce(&mut Ui) -> R) -> R {
    steady(ui, name, |ui| {
        let id = ui.scope_id().with("kept height");
        let width = ui.available_width();
        let of = egui::util::hash((of, width.round() as i64, ui.pixels_per_point().to_bits()));
        let known: Option<Kept> = ui.data(|data| data.get_temp(id));
        let kept = known.filter(|known| known.of == of && is_busy(ui, known.height));
        let top = ui.cursor().top();
        let area = ScrollArea::vertical().id_salt(name);
        let area = if let Some(kept) = kept {
            area.auto_shrink([false, false]).max_height(kept.height).min_scrolled_height(kept.height)
        } else {
            // Its height is its own: what is left of the window below it must not cut it.
            area.auto_shrink([false, true]).max_height(TALLEST).min_scrolled_height(TALLEST)
        };
        let shown = area.follow(ui, contents);
        let height = kept.map_or(shown.content_size.y, |kept| kept.height);
        ui.expand_to_include_y(top + height);
        ui.data_mut(|data| data.insert_temp(id, Kept { of, height }));
        shown.inner
    })
}

/// Whether the hand is on the chart, or on what stands below a part of this height: with the pointer, with one of
/// its buttons held anywhere, or with the keyboard.
fn is_busy(ui: &Ui, height: f32) -> bool {
    let (pointer, held) = ui.input(|input| (input.pointer.latest_pos(), input.pointer.any_down()));
    if held {
        return true;
    }
    let place = |id: Id| ui.ctx().viewport(|viewport| viewport.prev_pass.widgets.get(id).copied());
    // The column alone: the chart stands beside it.
    let column = Rect::from_x_y_ranges(ui.max_rect().shrink(1.0).x_range(), ui.clip_rect().y_range());
    let below = column.with_min_y(ui.cursor().top() + height);
    let focus = ui.memory(egui::Memory::focused).and_then(place);
    if let Some(focus) = focus.filter(|focus| focus.interact_rect.intersects(column)) {
        return focus.interact_rect.intersects(below);
    }
    if let Some(at) = pointer.filter(|at| column.contains(*at)) {
        return below.contains(at);
    }
    let chart = place(canvas::id()).map(|chart| chart.interact_rect);
    let is_over_chart = pointer.is_some_and(|at| chart.is_some_and(|chart| chart.contains(at)));
    is_over_chart || focus.is_some_and(|focus| focus.id == canvas::id())
}
