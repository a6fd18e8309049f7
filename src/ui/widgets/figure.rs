//! A figure in stitches.

use egui::{Rect, Role, Sense, Ui, Vec2, WidgetInfo};

use crate::chart::Raster;
use crate::knit::Gauge;
use crate::ui::theme::{CORNER, STEP, Tokens};

/// The figure at the true aspect in a square of `side` points.
pub fn figure(ui: &mut Ui, label: &str, raster: &Raster, gauge: Gauge, side: f32) {
    let (rect, response) = ui.allocate_exact_size(Vec2::splat(side), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, label));
    let tokens = Tokens::of(ui);
    ui.painter().rect_filled(rect, CORNER, tokens.field);
    let aspect = gauge.cell_aspect() as f32;
    let (width, height) = (raster.width() as f32, raster.height() as f32 / aspect);
    let scale = (rect.width() - STEP * 1.5) / width.max(height).max(1.0);
    let size = Vec2::new(width, height) * scale;
    let origin = rect.center() - size / 2.0;
    let cell = Vec2::new(scale, scale / aspect);
    for point in raster.points() {
        let row = raster.height() - 1 - point.y;
        let min = origin + Vec2::new(point.x as f32 * cell.x, row as f32 * cell.y);
        // A hair of overlap hides the seams between cells.
        ui.painter().rect_filled(Rect::from_min_size(min, cell + Vec2::splat(0.4)), 0, tokens.text);
    }
}
