//! The best sets side by side, each on the user's own chart.

use egui::{Align2, FontId, Rect, Role, ScrollArea, Sense, Stroke, StrokeKind, Ui, Vec2, WidgetInfo, pos2};

use super::deal::Dealt;
use super::{SetsView, Target, progress, swatch};
use crate::app::Action;
use crate::app::shelf::Search;
use crate::app::state::State;
use crate::colour::Colour;
use crate::ui::theme::{BODY, CORNER, SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{Follow, caption, focus_ring, heading, paint_chart, truncated};
use crate::yarn::best_sets::ShadeSet;

/// Least width of a set.
const LEAST: f32 = 164.0;

/// Shows the sets; a click opens one.
pub(super) fn show(
    ui: &mut Ui,
    state: &State,
    view: &mut SetsView,
    targets: &[Target],
    actions: &mut Vec<Action>,
) {
    let Some(found) = &state.desks.shelf.search else {
        heading(ui, "Best sets");
        caption(ui, "Looking…");
        return;
    };
    let news = found.news();
    progress::show(ui, state, found, &news, actions);
    if news.sets.is_empty() {
        return;
    }
    let deals = view.deals.of(found, &news.sets, targets, view.options.rule);
    let opened = view.opened.place(&news.sets);
    ScrollArea::vertical().auto_shrink([false, false]).follow(ui, |ui| {
        let width = ui.available_width() - STEP;
        let columns = ((width + STEP) / (LEAST + STEP)).floor().max(1.0);
        let across = (width - (columns - 1.0) * STEP) / columns;
        let cell = Vec2::new(across, whole_rows(ui.available_height(), across * 0.66 + 76.0));
        let all: Vec<(&ShadeSet, &Dealt)> = news.sets.iter().zip(deals.iter()).collect();
        ui.spacing_mut().item_spacing = Vec2::splat(STEP);
        for (row, sets) in all.chunks(columns as usize).enumerate() {
            ui.horizontal(|ui| {
                for (column, (set, dealt)) in sets.iter().enumerate() {
                    let place = row * columns as usize + column;
                    if entry(ui, state, view, (place, found, set, dealt), place == opened, cell) {
                        view.opened.open(set);
                    }
                }
            });
        }
        ui.add_space(STEP);
    });
}

/// The height nearest to `wished` at which whole rows fill the room, so that none is cut off at its end.
fn whole_rows(room: f32, wished: f32) -> f32 {
    let rows = ((room + STEP) / (wished + STEP)).round().max(1.0);
    ((room + STEP) / rows - STEP).clamp(0.85 * wished, 1.3 * wished)
}

/// One set; whether it was clicked.
fn entry(
    ui: &mut Ui,
    state: &State,
    view: &mut SetsView,
    (place, found, set, dealt): (usize, &Search, &ShadeSet, &Dealt),
    is_open: bool,
    size: Vec2,
) -> bool {
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let card = &found.ask.shelved.card;
    // The opened one shows the shades where they were swapped to.
    let dealt = if is_open { view.opened.dealt(set, dealt) } else { dealt.clone() };
    let names: Vec<&str> = dealt.all().map(|shade| card.shades()[shade].name.as_str()).collect();
    let names = names.join(", ");
    let score = format!("{:.0} of 100", set.score * 100.0);
    response.widget_info(|| {
        let text = format!("Set {}: {names}, {score}", place + 1);
        WidgetInfo::selected(Role::Button, true, is_open, text)
    });
    if !ui.is_rect_visible(rect) {
        return response.clicked();
    }
    let tokens = Tokens::of(ui);
    let fill = tokens.list_fill(is_open, &response);
    let painter = ui.painter();
    painter.rect_filled(rect, CORNER, fill);
    let inner = rect.shrink(STEP);
    let chart = Rect::from_min_max(inner.min, pos2(inner.right(), inner.bottom() - 62.0));
    let picture = view.pictures.of(ui, state, &dealt.colours(state.project(), card));
    paint_chart(ui, state.project(), chart, picture);
    let bar = Rect::from_min_size(pos2(inner.left(), chart.bottom() + 8.0), Vec2::new(inner.width(), 14.0));
    let colours: Vec<Colour> = dealt.all().map(|shade| card.shades()[shade].colour).collect();
    swatch::proportion_bar(painter, bar, &dealt.slots, &colours, state, tokens);
    let strong = FontId::new(BODY, semibold());
    let at = pos2(inner.left(), bar.bottom() + 4.0);
    painter.text(at, Align2::LEFT_TOP, format!("{}", place + 1), strong.clone(), tokens.text);
    let right = pos2(inner.right(), bar.bottom() + 4.0);
    painter.text(right, Align2::RIGHT_TOP, score, strong, tokens.text);
    let ink = if is_open { tokens.text } else { tokens.weak };
    let line = truncated(ui, &names, FontId::proportional(SMALL), ink, inner.width());
    painter.galley(pos2(inner.left(), inner.bottom() - 14.0), line, ink);
    if is_open {
        painter.rect_stroke(rect, CORNER, Stroke::new(1.5, tokens.focus), StrokeKind::Inside);
    }
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    let told = format!(
        "{names}. The bar: the shares of the figure aimed at in Design; the ground stands beside it."
    );
    response.on_hover_text(told).clicked()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_row_of_sets_is_cut_off_at_the_end_of_the_room() {
        for room in [545.0, 700.0, 1000.0] {
            let rows = (room + STEP) / (whole_rows(room, 190.0) + STEP);
            assert!((rows - rows.round()).abs() < 1e-3, "{room}: {rows}");
        }
        assert!(whole_rows(60.0, 190.0) > 150.0, "in a small room a set keeps its size");
    }
}
