//! What lies over the stitches: repeat box, region, findings, hover and the keyboard cursor.
//!
//! Every mark is a light and a dark stroke side by side, so that it shows on any yarn colour, and
//! each has a form of its own: the repeat is solid with ticked corners, the region dashed, a
//! finding a heavy white frame, the cursor four brackets.

use egui::{Color32, Rect, Vec2, pos2, vec2};

use super::geometry::Geometry;
use super::quads::Quads;
use crate::chart::{self, Raster};

const DARK: Color32 = Color32::from_gray(14);
const LIGHT: Color32 = Color32::from_gray(250);
/// Length of a dash of the region, in points.
const DASH: f32 = 5.0;

/// The repeat box. Its corners are ticked outwards, so that two boxes that touch can be told apart.
pub fn repeat(g: &Geometry, repeat: chart::Rect, quads: &mut Quads) {
    let px = g.pixel();
    let rect = g.rect(repeat);
    let arm = (g.cell.x * 0.5).clamp(3.0, 6.0);
    let ticks: Vec<Rect> = [(rect.left(), -arm), (rect.right(), arm)]
        .into_iter()
        .flat_map(|x| [(rect.top(), -arm), (rect.bottom(), arm)].map(|y| (x, y)))
        .flat_map(|((x, out_x), (y, out_y))| {
            let corner = pos2(x, y);
            [vec2(out_x, 0.0), vec2(0.0, out_y)]
                .map(|out| Rect::from_two_pos(corner, corner + out).expand(px))
        })
        .collect();
    for tick in &ticks {
        quads.fill(tick.expand(px), LIGHT);
    }
    quads.frames(rect.expand(px * 2.0), &[(px, LIGHT), (2.0 * px, DARK), (px, LIGHT)]);
    for tick in &ticks {
        quads.fill(*tick, DARK);
    }
}

/// A dashed double stroke: the region, the rubber band or held stitches.
pub fn dashed(g: &Geometry, rect: Rect, quads: &mut Quads) {
    let px = g.pixel();
    let outer = rect.expand(px);
    quads.frame(outer, 2.0 * px, LIGHT);
    quads.dashes(outer, 2.0 * px, DASH, DARK, g.canvas);
}

/// Chosen stitches are outlined one by one while no more than this many are in view.
const MOST_OUTLINED: usize = 60_000;

/// The outline of the chosen stitches of a region, dashed as that of a rectangle.
pub fn chosen(g: &Geometry, region: chart::Rect, mask: &Raster, quads: &mut Quads) {
    let shown = region.intersect(g.visible());
    if shown.area() > MOST_OUTLINED {
        return dashed(g, g.rect(region), quads);
    }
    let (px, whole) = (g.pixel(), g.rect(region));
    let inside = |x: u32, y: u32, dx: i64, dy: i64| {
        mask.contains(i64::from(x) - i64::from(region.x) + dx, i64::from(y) - i64::from(region.y) + dy)
    };
    for p in shown.points().filter(|p| inside(p.x, p.y, 0, 0)) {
        let cell = g.cell_rect(p);
        let side = |min: egui::Pos2, max: egui::Pos2| Rect::from_min_max(min, max).expand(px);
        let sides = [
            ((-1, 0), side(cell.left_top(), cell.left_bottom())),
            ((1, 0), side(cell.right_top(), cell.right_bottom())),
            ((0, 1), side(cell.left_top(), cell.right_top())),
            ((0, -1), side(cell.left_bottom(), cell.right_bottom())),
        ];
        for ((dx, _), edge) in sides.into_iter().filter(|((dx, dy), _)| !inside(p.x, p.y, *dx, *dy)) {
            quads.fill(edge, LIGHT);
            let start = if dx == 0 { whole.left() } else { whole.top() };
            quads.dashed_line(edge, dx == 0, start, DASH, DARK);
        }
    }
}

/// A step of a way drawn by hand.
pub fn way(g: &Geometry, a: egui::Pos2, b: egui::Pos2, quads: &mut Quads) {
    let px = g.pixel();
    let steps = ((b - a).length() / (3.0 * px)).ceil().max(1.0) as u32;
    for step in 0..=steps {
        let at = a + (b - a) * (step as f32 / steps as f32);
        quads.fill(Rect::from_center_size(at, Vec2::splat(4.0 * px)), LIGHT);
        quads.fill(Rect::from_center_size(at, Vec2::splat(2.0 * px)), DARK);
    }
}

/// An axis of the symmetry: dashes along `line`, two pixels wide.
pub fn axis(g: &Geometry, line: Rect, upright: bool, quads: &mut Quads) {
    let line = line.intersect(g.canvas);
    let px = g.pixel();
    let side = if upright { vec2(px, 0.0) } else { vec2(0.0, px) };
    quads.fill(line.expand2(side), LIGHT.gamma_multiply(0.8));
    let along = if upright { line.height() } else { line.width() };
    let (dash, mut at): (f32, f32) = (8.0, 0.0);
    while at < along {
        let long = dash.min(along - at);
        let (from, size) = if upright {
            (line.min + vec2(0.0, at), vec2(line.width(), long))
        } else {
            (line.min + vec2(at, 0.0), vec2(long, line.height()))
        };
        quads.fill(Rect::from_min_size(from, size), DARK);
        at += 2.0 * dash;
    }
}

/// The edge of a tile of the repeat that is painted along: thin dashes that show on light and on dark yarn.
pub fn tile(g: &Geometry, rect: Rect, quads: &mut Quads) {
    let px = g.pixel();
    let rect = rect.intersect(g.chart());
    quads.frame(rect, px, LIGHT.gamma_multiply(0.6));
    quads.dashes(rect, px, 5.0, DARK, g.canvas);
}

/// What an axis is taken hold of by.
pub fn knob(g: &Geometry, rect: Rect, quads: &mut Quads) {
    let px = g.pixel();
    quads.fill(rect, LIGHT);
    quads.frames(rect, &[(px, LIGHT), (2.0 * px, DARK)]);
    quads.fill(rect.shrink(5.0 * px), DARK);
}

/// The stitches a finding points at.
pub fn highlight(g: &Geometry, cells: chart::Rect, quads: &mut Quads) {
    let px = g.pixel();
    let rect = g.rect(cells);
    // From afar a single stitch would vanish under its own frame.
    let grow = ((Vec2::splat(6.0) - rect.size()) / 2.0).max(Vec2::ZERO);
    let rect = rect.expand2(grow).expand(px * 3.0);
    if rect.intersects(g.canvas) {
        quads.frames(rect, &[(px, DARK), (3.0 * px, LIGHT), (px, DARK)]);
    }
}

/// The cell under the pointer.
pub fn hover(g: &Geometry, cell: Rect, quads: &mut Quads) {
    let px = g.pixel();
    quads.frames(cell.expand(px), &[(px, DARK), (px, LIGHT)]);
}

/// The keyboard cursor.
pub fn cursor(g: &Geometry, cell: Rect, quads: &mut Quads) {
    let px = g.pixel();
    let rect = cell.expand(2.0 * px);
    let arm = (cell.size().min_elem() * 0.36).max(4.0);
    quads.brackets(rect.expand(px), 4.0 * px, arm + 2.0 * px, LIGHT);
    quads.brackets(rect, 2.0 * px, arm, DARK);
}

/// The ring around the canvas while it has the keyboard.
pub fn focus_ring(g: &Geometry, colour: Color32, quads: &mut Quads) {
    quads.frame(g.canvas, 2.0, colour);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_outline_of_chosen_stitches_is_of_both_colours_all_along() {
        let g = Geometry {
            canvas: Rect::from_min_size(pos2(0.0, 0.0), vec2(800.0, 600.0)),
            origin: pos2(40.0, 30.0),
            cell: vec2(24.0, 18.0),
            size: (8, 8),
            pixels_per_point: 1.0,
        };
        let region = chart::Rect::new(1, 1, 3, 3);
        // A corner.
        let mask = Raster::from_fn(3, 3, |p| p.x == 0 || p.y == 0);
        let mut quads = Quads::default();
        chosen(&g, region, &mask, &mut quads);
        let mesh = quads.into_mesh();
        let quads: Vec<(Rect, Color32)> = mesh
            .vertices
            .chunks(4)
            .map(|corners| {
                (
                    Rect::from_points(&[corners[0].pos, corners[1].pos, corners[2].pos, corners[3].pos]),
                    corners[0].color,
                )
            })
            .collect();
        let seen =
            |at: egui::Pos2| quads.iter().rev().find(|(rect, _)| rect.contains(at)).map(|(_, ink)| *ink);
        let whole = g.rect(region);
        // Down its left side and along its foot.
        let left: Vec<_> = (0..54).map(|y| seen(whole.left_top() + vec2(0.5, y as f32 + 0.5))).collect();
        let foot: Vec<_> = (0..72).map(|x| seen(whole.left_bottom() + vec2(x as f32 + 0.5, -0.5))).collect();
        for line in [left, foot] {
            for part in line.windows(2 * DASH as usize) {
                assert!(part.contains(&Some(LIGHT)) && part.contains(&Some(DARK)), "{line:?}");
            }
        }
    }
}
