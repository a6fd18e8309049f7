//! The chart itself: stitches, ghost repeats and grid lines.

use egui::{Color32, Mesh, Rect, Shape, pos2};

use super::around::Around;
use super::geometry::Geometry;
use super::quads::Quads;
use super::texture::Sheet;
use crate::app::view::{ChartView, Surround};
use crate::chart::{self, Cell, Grid};
use crate::ui::theme::Tokens;

/// Minor grid lines fade out below this cell size, physical pixels.
const MINOR_FROM: f32 = 4.0;
/// They are at full strength from this cell size.
const MINOR_FULL: f32 = 12.0;
/// Lines every ten are left out below this cell size, physical pixels.
const MAJOR_FROM: f32 = 1.2;
/// Ghost repeats are painted as so many copies at most.
const MAX_GHOSTS: i64 = 2500;
/// What the ground takes from ghost repeats.
const VEIL: f32 = 0.7;

/// The grey around the chart.
pub fn surround(view: &ChartView, tokens: &Tokens) -> Color32 {
    match view.surround {
        Surround::Theme => tokens.surround,
        Surround::Light => Color32::from_gray(224),
        // sRGB 119 is L* 50.
        Surround::Mid => Color32::from_gray(119),
        Surround::Dark => Color32::from_gray(48),
    }
}

/// Adds the part of the chart texture that shows `cells` at `at` on the screen.
pub fn add_cells(mesh: &mut Mesh, sheet: Sheet, cells: chart::Rect, height: u32, at: Rect, tint: Color32) {
    let uv = Rect::from_min_max(
        pos2(cells.x as f32 * sheet.step.x, (height - cells.y - cells.height) as f32 * sheet.step.y),
        pos2((cells.x + cells.width) as f32 * sheet.step.x, (height - cells.y) as f32 * sheet.step.y),
    );
    mesh.add_rect_with_uv(at, uv, tint);
}

/// The stitches as one textured quad.
pub fn stitches(g: &Geometry, sheet: Sheet, tint: Color32) -> Shape {
    let mut mesh = Mesh::with_texture(sheet.texture);
    let all = chart::Rect::new(0, 0, g.size.0, g.size.1);
    add_cells(&mut mesh, sheet, all, g.size.1, g.chart(), tint);
    Shape::mesh(mesh)
}

/// The repeat continued on all sides. The chart is painted over it, and [`veil`] fades it.
pub fn ghosts(g: &Geometry, sheet: Sheet, repeat: chart::Rect, tint: Color32) -> Shape {
    let mut mesh = Mesh::with_texture(sheet.texture);
    let (width, height) = (i64::from(repeat.width), i64::from(repeat.height));
    let (left, top) = g.cell_at(g.canvas.left_top());
    let (right, bottom) = g.cell_at(g.canvas.right_bottom());
    let (x, y) = (i64::from(repeat.x), i64::from(repeat.y));
    let mut columns = ((left - x).div_euclid(width), (right - x).div_euclid(width));
    let mut rows = ((bottom - y).div_euclid(height), (top - y).div_euclid(height));
    // A tiny repeat seen from afar: only its nearer copies.
    while (columns.1 - columns.0 + 1) * (rows.1 - rows.0 + 1) > MAX_GHOSTS {
        let nearer = |(low, high): (i64, i64)| (low - low / 4, high - high / 4);
        let next = (nearer(columns), nearer(rows));
        if next == (columns, rows) {
            return Shape::Noop;
        }
        (columns, rows) = next;
    }
    let chart = g.chart();
    for j in rows.0..=rows.1 {
        for i in columns.0..=columns.1 {
            let at = g.block((x + i * width, y + j * height), repeat.width, repeat.height);
            if !chart.contains_rect(at) {
                add_cells(&mut mesh, sheet, repeat, g.size.1, at, tint);
            }
        }
    }
    Shape::mesh(mesh)
}

/// Fades what is further from the chart than `seam` stitches and rows.
pub fn veil(g: &Geometry, seam: i64, ground: Color32) -> Shape {
    let grown = |side: u32| side.saturating_add(2 * seam as u32);
    let clear = g.block((-seam, -seam), grown(g.size.0), grown(g.size.1));
    let (canvas, shade) = (g.canvas, ground.gamma_multiply(VEIL));
    let level = |top: f32, bottom: f32| Rect::from_x_y_ranges(canvas.x_range(), top..=bottom);
    let middle = clear.top().max(canvas.top())..=clear.bottom().min(canvas.bottom());
    let mut quads = Quads::default();
    quads.fill(level(canvas.top(), clear.top().min(canvas.bottom())), shade);
    quads.fill(level(clear.bottom().max(canvas.top()), canvas.bottom()), shade);
    quads.fill(Rect::from_x_y_ranges(canvas.left()..=clear.left(), middle.clone()), shade);
    quads.fill(Rect::from_x_y_ranges(clear.right()..=canvas.right(), middle), shade);
    Shape::mesh(quads.into_mesh())
}

/// Grid lines over the visible cells: a dark line with a light one beside it, so that it shows on
/// any colour; every tenth heavier, counted as knitters count, from the right and the bottom.
pub fn grid_lines(g: &Geometry, visible: chart::Rect, quads: &mut Quads) {
    let pixels = g.cell_pixels();
    let strength = ((pixels - MINOR_FROM) / (MINOR_FULL - MINOR_FROM)).clamp(0.0, 1.0);
    let minor = if pixels >= MINOR_FROM { 0.35 + 0.65 * strength } else { 0.0 };
    let major = if pixels >= MAJOR_FROM { 0.3 + 0.7 * (pixels / MINOR_FULL).min(1.0) } else { 0.0 };
    let chart = g.chart().intersect(g.canvas);
    let mut line = |is_major: bool, at: &dyn Fn(f32, f32) -> Rect| {
        let px = g.pixel();
        if is_major && major > 0.0 {
            let heavy = if pixels >= 9.0 { 2.0 } else { 1.0 };
            quads.fill(at(-px * (heavy - 1.0), px * heavy), Color32::from_black_alpha((205.0 * major) as u8));
            quads.fill(at(px, px), Color32::from_white_alpha((74.0 * major) as u8));
        } else if minor > 0.0 {
            quads.fill(at(0.0, px), Color32::from_black_alpha((84.0 * minor) as u8));
            quads.fill(at(px, px), Color32::from_white_alpha((34.0 * minor) as u8));
        }
    };
    // Seen from afar only every tenth line is drawn.
    let is_drawn = |is_major: bool| minor > 0.0 || (is_major && major > 0.0);
    let is_major_x = |x: u32| (g.size.0 - x).is_multiple_of(10);
    for x in (visible.x..=visible.x + visible.width).filter(|x| is_drawn(is_major_x(*x))) {
        let edge = g.snap(g.x(i64::from(x)));
        line(is_major_x(x), &|from, width| {
            Rect::from_min_max(pos2(edge + from, chart.top()), pos2(edge + from + width, chart.bottom()))
        });
    }
    for y in (visible.y..=visible.y + visible.height).filter(|y| is_drawn(y.is_multiple_of(10))) {
        let edge = g.snap(g.y(i64::from(y)));
        line(y.is_multiple_of(10), &|from, width| {
            Rect::from_min_max(pos2(chart.left(), edge + from), pos2(chart.right(), edge + from + width))
        });
    }
}

/// Covers the cells without a stitch with the surround again, where the knitted look has shaded them.
pub fn no_stitches(g: &Geometry, grid: &Grid, repeat: Option<chart::Rect>, ground: Color32) -> Shape {
    let mut quads = Quads::default();
    let around = Around::new(g, repeat);
    for y in around.rows() {
        around.row(grid, y, |x, cell| {
            if cell == Cell::NO_STITCH {
                quads.fill(g.cell_block((x, y)), ground);
            }
        });
    }
    Shape::mesh(quads.into_mesh())
}
