//! Every figure of every fibre, each with its source on hover.

use egui::{Align2, FontId, Pos2, Rect, Role, ScrollArea, Sense, Ui, Vec2, WidgetInfo};

use super::paint_bar;
use crate::ui::theme::{SMALL, STEP, Tokens, semibold};
use crate::ui::widgets::{Follow, caption};
use crate::yarn::{Fibre, Figure, Property};

/// Width of the column of fibres.
const FIBRE: f32 = 176.0;
/// Width of the column of a property.
const COLUMN: f32 = 78.0;
const ROW: f32 = 26.0;
const HEADER: f32 = 84.0;

/// Shows the table: the fibres stay in sight on the left while the properties scroll.
pub fn show(ui: &mut Ui) {
    caption(
        ui,
        "Rest the pointer on a figure for its source. Bars are grades from 0 to 1, our \
         judgement unless a source is named; an empty cell is not known. The label of the yarn decides on care.",
    );
    ScrollArea::vertical().auto_shrink([false, false]).follow(ui, |ui| {
        ui.horizontal_top(|ui| {
            ui.spacing_mut().item_spacing.x = 0.0;
            names(ui);
            ScrollArea::horizontal().auto_shrink([false, true]).follow(ui, figures);
        });
        ui.add_space(STEP);
    });
}

/// The fibres, one a row.
fn names(ui: &mut Ui) {
    let fibres: Vec<Fibre> = Fibre::known().collect();
    let size = Vec2::new(FIBRE, HEADER + ROW * fibres.len() as f32);
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    stripes(ui, rect, fibres.len());
    let tokens = Tokens::of(ui);
    for (row, fibre) in fibres.into_iter().enumerate() {
        let at = Pos2::new(rect.left() + STEP, rect.top() + HEADER + ROW * (row as f32 + 0.5));
        let font = FontId::new(SMALL + 0.5, semibold());
        ui.painter().text(at, Align2::LEFT_CENTER, fibre.name(), font, tokens.text);
    }
}

/// Every second row on a lighter ground.
fn stripes(ui: &Ui, rect: Rect, rows: usize) {
    let tokens = Tokens::of(ui);
    for row in (0..rows).step_by(2) {
        let top = rect.top() + HEADER + ROW * row as f32;
        let stripe = Rect::from_min_size(Pos2::new(rect.left(), top), Vec2::new(rect.width(), ROW));
        ui.painter().rect_filled(stripe, 0, tokens.field);
    }
}

/// The properties, one a column.
fn figures(ui: &mut Ui) {
    let fibres: Vec<Fibre> = Fibre::known().collect();
    let size = Vec2::new(
        COLUMN * Property::ALL.len() as f32,
        HEADER + ROW * fibres.len() as f32 + ui.spacing().scroll.bar_width + STEP,
    );
    let (rect, _) = ui.allocate_exact_size(size, Sense::hover());
    stripes(ui, rect, fibres.len());
    let tokens = Tokens::of(ui);
    for (column, property) in Property::ALL.iter().copied().enumerate() {
        let left = rect.left() + COLUMN * column as f32;
        let head = Rect::from_min_size(Pos2::new(left, rect.top()), Vec2::new(COLUMN, HEADER));
        if !ui.is_rect_visible(Rect::from_min_size(head.min, Vec2::new(COLUMN, rect.height()))) {
            continue;
        }
        header(ui, head, property, tokens);
        for (row, fibre) in fibres.iter().copied().enumerate() {
            let Some(figure) = fibre.figure(property) else { continue };
            let top = rect.top() + HEADER + ROW * row as f32;
            cell(ui, Rect::from_min_size(Pos2::new(left, top), Vec2::new(COLUMN, ROW)), fibre, figure);
        }
    }
}

fn header(ui: &Ui, rect: Rect, property: Property, tokens: Tokens) {
    let unit = if property.is_grade() { String::new() } else { format!("\n{}", property.unit()) };
    let text = format!("{}{unit}", property.name());
    let galley = ui.painter().layout(text, FontId::proportional(SMALL), tokens.weak, COLUMN - 6.0);
    let at = Pos2::new(rect.left(), rect.bottom() - galley.size().y - 4.0);
    ui.painter().galley(at, galley, tokens.weak);
}

/// One figure: a bar for a grade, a number for a measurement.
fn cell(ui: &Ui, rect: Rect, fibre: Fibre, figure: &Figure) {
    let id = ui.scope_id().with((fibre.key(), figure.property.key()));
    let response = ui.interact(rect, id, Sense::hover());
    let tokens = Tokens::of(ui);
    let words = || format!("{}, {}: {}", fibre.name(), figure.property.name().to_lowercase(), figure.text());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, words()));
    if response.hovered() {
        ui.painter().rect_filled(rect, 2, tokens.hover);
    }
    if figure.property.is_grade() {
        let bar =
            Rect::from_min_size(rect.left_center() - Vec2::new(0.0, 3.0), Vec2::new(COLUMN - 24.0, 6.0));
        paint_bar(ui.painter(), bar, figure.mid(), tokens);
    } else {
        let font = FontId::proportional(SMALL + 0.5);
        ui.painter().text(rect.left_center(), Align2::LEFT_CENTER, bare(figure), font, tokens.text);
    }
    response.on_hover_ui(|ui| {
        ui.label(words());
        caption(ui, figure.provenance());
    });
}

/// The figure without its unit, which stands in the header.
fn bare(figure: &Figure) -> String {
    let text = figure.text();
    let number = text.strip_suffix(figure.property.unit()).unwrap_or(&text).trim();
    number.replace(" to ", "–")
}
