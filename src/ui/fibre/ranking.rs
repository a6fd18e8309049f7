//! Fibres and blends in order, each with its score in parts, and what would change the order.

use egui::{Align2, FontId, Panel, Rect, Role, ScrollArea, Sense, Ui, Vec2, WidgetInfo};

use super::paint_bar;
use crate::app::desks::FibreOrder;
use crate::project::Project;
use crate::ui::theme::{BODY, CORNER, SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{Follow, Icon, caption, focus_ring, heading, truncated};
use crate::yarn::{Blend, Need, Ranked};

/// Width of the column of one need.
const NEED: f32 = 44.0;
const ROW: f32 = 44.0;
/// Least room for place, name and score beside the columns.
const NAME: f32 = 130.0;

/// The short name over a column of bars.
const fn short(need: Need) -> &'static str {
    match need {
        Need::Durability => "Wear",
        Need::Warmth => "Warm",
        Need::Surface => "Touch",
        Need::Stretch => "Shape",
        Need::Washing => "Wash",
    }
}

/// How many needs have a column in a row: none where the names would have no room, as in a narrow window or with
/// enlarged text; what a fibre does for each stands beside the list too.
fn columns(row: Rect) -> usize {
    if row.width() < NEED * Need::ALL.len() as f32 + NAME { 0 } else { Need::ALL.len() }
}

/// Where the column of a need begins in a row.
fn column(row: Rect, index: usize) -> f32 {
    row.right() - STEP - NEED * (columns(row) as f32 - index as f32)
}

/// What would put another in the first place, at the foot.
pub fn changes(ui: &mut Ui, order: &FibreOrder) {
    if order.changes.is_empty() {
        return;
    }
    let frame = egui::Frame::new().inner_margin(egui::Margin { left: 0, right: 4, top: 8, bottom: 8 });
    Panel::bottom("what would change").frame(frame).resizable(false).show(ui, |ui| {
        heading(ui, "What would put another first");
        ScrollArea::vertical().max_height(112.0).auto_shrink([false, true]).follow(ui, |ui| {
            ui.spacing_mut().item_spacing.y = 2.0;
            for change in &order.changes {
                caption(ui, format!("If {}: {}", change.condition, change.first.name().to_lowercase()));
            }
        });
    });
}

/// The list; gives back the entry that was clicked.
pub fn list(ui: &mut Ui, project: &Project, order: &FibreOrder, shown: Option<&Blend>) -> Option<Blend> {
    header(ui);
    let mut clicked = None;
    ScrollArea::vertical().auto_shrink([false, false]).follow(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 3.0;
        for (place, ranked) in order.ranked.iter().enumerate() {
            let chosen = project.material.blend.as_ref() == Some(&ranked.blend);
            let standing = Standing { place: place + 1, chosen, shown: shown == Some(&ranked.blend) };
            if entry(ui, ranked, standing) {
                clicked = Some(ranked.blend.clone());
            }
        }
        ui.add_space(STEP);
    });
    clicked
}

fn header(ui: &mut Ui) {
    let size = Vec2::new(ui.available_width() - STEP, 18.0);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    let tokens = Tokens::of(ui);
    for (index, need) in Need::ALL.iter().copied().enumerate().take(columns(rect)) {
        let cell = Rect::from_min_size(egui::pos2(column(rect, index), rect.top()), Vec2::new(NEED, 18.0));
        ui.painter().text(
            cell.left_center(),
            Align2::LEFT_CENTER,
            short(need),
            FontId::proportional(SMALL),
            tokens.weak,
        );
        ui.interact(cell, ui.scope_id().with(need.key()), Sense::hover()).on_hover_text(need.name());
    }
}

/// How an entry stands in the list.
#[derive(Clone, Copy)]
struct Standing {
    /// From 1.
    place: usize,
    /// It is the project's.
    chosen: bool,
    /// Its reasons are shown beside the list.
    shown: bool,
}

/// One fibre or blend; whether it was clicked.
fn entry(ui: &mut Ui, ranked: &Ranked, Standing { place, chosen, shown }: Standing) -> bool {
    let size = Vec2::new(ui.available_width() - STEP, ROW);
    let (rect, response) = ui.allocate_exact_size(size, Sense::click());
    let score = format!("{:.0}", ranked.score * 100.0);
    let title = ranked.blend.name();
    response.widget_info(|| {
        let mark = if chosen { ", chosen" } else { "" };
        let text = format!("{place}. {title}: {score} of 100{mark}");
        WidgetInfo::selected(Role::Button, true, shown, text)
    });
    if !ui.is_rect_visible(rect) {
        return response.clicked();
    }
    let tokens = Tokens::of(ui);
    let fill = tokens.list_fill(shown, &response);
    let painter = ui.painter();
    painter.rect_filled(rect, CORNER, fill);
    let small = FontId::proportional(SMALL);
    let left = rect.left() + STEP;
    painter.text(
        egui::pos2(left, rect.top() + 6.0),
        Align2::LEFT_TOP,
        place.to_string(),
        small.clone(),
        tokens.weak,
    );
    if chosen {
        let mark = Rect::from_min_size(egui::pos2(left - 1.0, rect.bottom() - 18.0), Vec2::splat(12.0));
        Icon::Tick.paint(painter, mark, tokens.text);
    }
    let text_left = left + 20.0;
    let width = column(rect, 0) - 40.0 - text_left;
    let line = |text: &str, font: FontId, ink| truncated(ui, text, font, ink, width);
    let font = if chosen || shown { FontId::new(BODY, semibold()) } else { FontId::proportional(BODY) };
    painter.galley(egui::pos2(text_left, rect.top() + 4.0), line(&title, font, tokens.text), tokens.text);
    let why = summary(ranked);
    painter.galley(
        egui::pos2(text_left, rect.bottom() - 20.0),
        line(&why, small.clone(), tokens.weak),
        tokens.weak,
    );
    let at = egui::pos2(column(rect, 0) - 12.0, rect.center().y);
    painter.text(at, Align2::RIGHT_CENTER, score, FontId::new(BODY, semibold()), tokens.text);
    for (index, part) in ranked.needs.iter().enumerate().take(columns(rect)) {
        let at = egui::pos2(column(rect, index), rect.center().y - 3.0);
        // A need this piece does not have, or of which nothing is known, has no bar.
        if part.weight > 0.0 && part.known > 0.0 {
            paint_bar(painter, Rect::from_min_size(at, Vec2::new(NEED - STEP, 6.0)), part.score, tokens);
        } else {
            painter.text(at, Align2::LEFT_CENTER, "–", small.clone(), tokens.weak);
            let why = if part.weight > 0.0 {
                "Nothing is known of it for this fibre, and it is left out"
            } else {
                "This piece does not ask for it"
            };
            let cell = Rect::from_center_size(at + Vec2::new(4.0, 0.0), Vec2::new(24.0, ROW - 8.0));
            let dash = ui.interact(cell, response.id.with(part.need.key()), Sense::hover());
            let words = format!("{}, {}: {why}", title, part.need.name());
            dash.widget_info(|| WidgetInfo::labeled(Role::Label, true, &words));
            dash.on_hover_text(why);
        }
    }
    if response.has_focus() {
        focus_ring(ui, rect);
    }
    response.clicked()
}

/// The weightiest reason for, or against where nothing speaks for it.
fn summary(ranked: &Ranked) -> String {
    let first = ranked.in_favour.first().or(ranked.against.first());
    first.map(|reason| reason.text.clone()).unwrap_or_default()
}
