//! Stitches of a motif, small.

use egui::epaint::Mesh;
use egui::{Color32, Painter, Rect, Vec2, pos2};

use crate::chart::{Grid, runs};

/// Points to the cm at most: about life size on a screen of 96 points an inch.
const LIFE_SIZE: f32 = 38.0;

/// Points to the cm for pictures side by side that each fit into `room`, so that one cm is one cm in each; `sizes` are their widths
/// and heights in cm.
pub fn one_scale(room: Vec2, sizes: impl Iterator<Item = (f64, f64)>) -> f32 {
    let (wide, high) =
        sizes.fold((0.1_f64, 0.1_f64), |(wide, high), (width, height)| (wide.max(width), high.max(height)));
    (room.x / wide as f32).min(room.y / high as f32).min(LIFE_SIZE)
}

/// Paints the stitches in the middle of `rect` at their true shape (`aspect` times as wide as high) and at most
/// `most` points to a stitch; `colour` gives the colour of a slot. What is "no stitch" is left clear. Where they lie.
pub fn paint_stitches(
    painter: &Painter,
    rect: Rect,
    grid: &Grid,
    (aspect, most): (f32, f32),
    colour: impl Fn(usize) -> Color32,
) -> Rect {
    let (columns, rows) = (grid.width() as f32, grid.height() as f32);
    let wide = (rect.width() / columns).min(rect.height() * aspect / rows).min(most);
    let cell = Vec2::new(wide, wide / aspect);
    let inside = Rect::from_center_size(rect.center(), Vec2::new(columns * cell.x, rows * cell.y));
    let pixels = painter.pixels_per_point();
    let snap = |value: f32| (value * pixels).round() / pixels;
    let mut mesh = Mesh::default();
    for y in 0..grid.height() {
        let top = snap(inside.bottom() - (y + 1) as f32 * cell.y);
        let bottom = snap(inside.bottom() - y as f32 * cell.y);
        for run in runs(grid.row(y)) {
            if let Some(slot) = run.cell.index() {
                let left = snap(inside.left() + run.start as f32 * cell.x);
                let right = snap(inside.left() + (run.start + run.length) as f32 * cell.x);
                mesh.add_colored_rect(Rect::from_min_max(pos2(left, top), pos2(right, bottom)), colour(slot));
            }
        }
    }
    painter.add(mesh);
    inside
}
