//! A drawing as pixels.
//!
//! Painted in horizontal bands, so that a picture of hundreds of megapixels needs the memory of
//! a few bands only.

use tiny_skia::{
    FillRule, IntRect, LineCap, LineJoin, Mask, Paint, PathBuilder, Pixmap, Rect, Stroke, Transform,
};

use super::drawing::{CellLook, Cells, Drawing, Item, Rgb, Text};
use super::outline::{self, Step};

/// Pixel size of a drawing at `scale` pixels a unit.
pub fn pixel_size(drawing: &Drawing, scale: f64) -> (u32, u32) {
    let pixels = |length: f64| (length * scale).ceil().clamp(1.0, f64::from(u32::MAX)) as u32;
    (pixels(drawing.width), pixels(drawing.height))
}

/// Rows painted beyond each end of a band and cut off again: the rasteriser smooths curves a little
/// differently where they leave its canvas, and that must not show as a seam.
const BLEED: u32 = 4;

/// The pixel rows `top..top + rows` of a drawing at `scale` pixels a unit: opaque RGBA, 4 bytes a
/// pixel. `None` when the band is empty or too large for memory.
pub fn band(drawing: &Drawing, scale: f64, top: u32, rows: u32) -> Option<Pixmap> {
    let (width, _) = pixel_size(drawing, scale);
    let above = BLEED.min(top);
    let painted = canvas(drawing, scale, top - above, rows.checked_add(above + BLEED)?)?;
    painted.clone_rect(IntRect::from_xywh(0, above as i32, width, rows)?)
}

/// What `read` makes of the bytes of the same rows, without a copy of them.
pub(super) fn rows<T>(
    drawing: &Drawing,
    scale: f64,
    top: u32,
    rows: u32,
    read: impl FnOnce(&[u8]) -> T,
) -> Option<T> {
    let above = BLEED.min(top);
    let painted = canvas(drawing, scale, top - above, rows.checked_add(above + BLEED)?)?;
    let line = painted.width() as usize * 4;
    let from = above as usize * line;
    painted.data().get(from..from + rows as usize * line).map(read)
}

fn canvas(drawing: &Drawing, scale: f64, top: u32, rows: u32) -> Option<Pixmap> {
    let (width, _) = pixel_size(drawing, scale);
    let mut pixmap = Pixmap::new(width, rows)?;
    let [r, g, b] = drawing.paper;
    pixmap.fill(tiny_skia::Color::from_rgba8(r, g, b, 255));
    let mut painter = Painter { pixmap, scale, top: f64::from(top) };
    let (first, last) = (f64::from(top) / scale, f64::from(top + rows) / scale);
    for item in drawing.layers.iter().flat_map(|layer| &layer.items) {
        let (item_top, item_bottom) = item.vertical_extent();
        if item_top <= last && item_bottom >= first {
            painter.item(item);
        }
    }
    Some(painter.pixmap)
}

struct Painter {
    pixmap: Pixmap,
    scale: f64,
    /// First pixel row of the band in the picture.
    top: f64,
}

impl Painter {
    fn item(&mut self, item: &Item) {
        match item {
            Item::Rect { x, y, width, height, ink } => self.rect(*x, *y, *width, *height, *ink),
            Item::Frame { x, y, width, height, thickness, ink } => {
                self.frame([*x, *y, *width, *height], *thickness, *ink);
            }
            Item::Polygon { points, ink } => {
                if let Some(path) = path_of(points, true) {
                    let to_pixels = self.to_pixels();
                    self.pixmap.fill_path(&path, &paint(*ink), FillRule::Winding, to_pixels, None);
                }
            }
            Item::Line { points, width, closed, ink } => {
                if let Some(path) = path_of(points, *closed) {
                    let to_pixels = self.to_pixels();
                    self.pixmap.stroke_path(&path, &paint(*ink), &stroke(*width), to_pixels, None);
                }
            }
            Item::Text(text) => self.text(text),
            Item::Cells(cells) => self.cells(cells),
        }
    }

    fn to_pixels(&self) -> Transform {
        let scale = self.scale as f32;
        Transform::from_row(scale, 0.0, 0.0, scale, 0.0, -self.top as f32)
    }

    /// An upright rectangle on whole pixels. A thin one keeps its rounded thickness wherever it
    /// lies, centred on the pixel edge nearest to its middle, so that lines are even.
    fn rect(&mut self, x: f64, y: f64, width: f64, height: f64, ink: Rgb) {
        let snap = |start: f64, length: f64| {
            let pixels = (length * self.scale).round();
            if pixels < 8.0 {
                let middle = ((start + length / 2.0) * self.scale).round();
                let from = middle - (pixels.max(1.0) / 2.0).floor();
                return (from, from + pixels.max(1.0));
            }
            ((start * self.scale).round(), ((start + length) * self.scale).round())
        };
        let ((left, right), (top, bottom)) = (snap(x, width), snap(y, height));
        self.fill([left, top, right, bottom], ink);
    }

    /// Four bars around whole-pixel edges, meeting exactly in the corners.
    fn frame(&mut self, [x, y, width, height]: [f64; 4], thickness: f64, ink: Rgb) {
        let edge = |at: f64| (at * self.scale).round();
        let (left, right, top, bottom) = (edge(x), edge(x + width), edge(y), edge(y + height));
        let pixels = (thickness * self.scale).round().max(1.0);
        let before = (pixels / 2.0).floor();
        let after = pixels - before;
        let (outer_left, outer_right, outer_top, outer_bottom) =
            (left - before, right + after, top - before, bottom + after);
        self.fill([outer_left, outer_top, outer_right, top + after], ink);
        self.fill([outer_left, bottom - before, outer_right, outer_bottom], ink);
        self.fill([outer_left, top, left + after, bottom], ink);
        self.fill([right - before, top, outer_right, bottom], ink);
    }

    /// Fills whole pixels: left, top, right, bottom in the picture.
    fn fill(&mut self, [left, top, right, bottom]: [f64; 4], ink: Rgb) {
        let (top, bottom) = (top - self.top, bottom - self.top);
        let mut paint = paint(ink);
        paint.anti_alias = false;
        if let Some(rect) = Rect::from_ltrb(left as f32, top as f32, right as f32, bottom as f32) {
            self.pixmap.fill_rect(rect, &paint, Transform::identity(), None);
        }
    }

    fn text(&mut self, line: &Text) {
        let mut path = PathBuilder::new();
        for step in outline::of(line) {
            let f = |p: [f64; 2]| p.map(|v| v as f32);
            match step {
                Step::Move(p) => path.move_to(f(p)[0], f(p)[1]),
                Step::Line(p) => path.line_to(f(p)[0], f(p)[1]),
                Step::Quad(c, p) => path.quad_to(f(c)[0], f(c)[1], f(p)[0], f(p)[1]),
                Step::Cubic(a, b, p) => path.cubic_to(f(a)[0], f(a)[1], f(b)[0], f(b)[1], f(p)[0], f(p)[1]),
                Step::Close => path.close(),
            }
        }
        if let Some(path) = path.finish() {
            let to_pixels = self.to_pixels();
            self.pixmap.fill_path(&path, &paint(line.ink), FillRule::Winding, to_pixels, None);
        }
    }

    /// Paints the cells straight into the pixels: one scan line a row of cells, then the marks.
    fn cells(&mut self, cells: &Cells) {
        let columns: Vec<usize> =
            self.edges(cells.x, cells.cell_width, cells.columns, 0.0, self.pixmap.width());
        let rows = self.edges(cells.y, cells.cell_height, cells.rows(), self.top, self.pixmap.height());
        let width = self.pixmap.width() as usize;
        let stamps: Vec<Option<Stamp>> =
            cells.looks.iter().map(|look| Stamp::new(cells, look, self.scale)).collect();
        let (from, to) = (columns.first().copied().unwrap_or(0), columns.last().copied().unwrap_or(0));
        let mut scan_line = vec![0; (to - from) * 4];
        for (row, looks) in cells.cells.chunks_exact(cells.columns).enumerate() {
            let (top, bottom) = (rows[row], rows[row + 1]);
            if top == bottom {
                continue;
            }
            for (column, look) in looks.iter().enumerate() {
                let [r, g, b] = cells.looks.get(usize::from(*look)).map_or([0; 3], |look| look.fill);
                let pixels = (columns[column] - from) * 4..(columns[column + 1] - from) * 4;
                for pixel in scan_line[pixels].chunks_exact_mut(4) {
                    pixel.copy_from_slice(&[r, g, b, 255]);
                }
            }
            let data = self.pixmap.data_mut();
            for y in top..bottom {
                let start = (y * width + from) * 4;
                data[start..start + scan_line.len()].copy_from_slice(&scan_line);
            }
            for (column, look) in looks.iter().enumerate() {
                if let Some(Some(stamp)) = stamps.get(usize::from(*look)) {
                    let x = (cells.x + column as f64 * cells.cell_width) * self.scale;
                    let y = (cells.y + row as f64 * cells.cell_height) * self.scale - self.top;
                    stamp.press(&mut self.pixmap, x.round() as i64, y.round() as i64);
                }
            }
        }
    }

    /// The pixel edges of `count` cells, cut to the picture.
    fn edges(&self, start: f64, size: f64, count: usize, top: f64, limit: u32) -> Vec<usize> {
        let edge = |i: usize| (start + i as f64 * size) * self.scale;
        (0..=count).map(|i| (edge(i).round() - top).clamp(0.0, f64::from(limit)) as usize).collect()
    }
}

/// A mark, painted once and pressed into every cell that has it.
struct Stamp {
    mask: Mask,
    ink: Rgb,
}

impl Stamp {
    /// Below this many pixels a mark is a smudge.
    const SMALLEST_CELL: f64 = 5.0;

    fn new(cells: &Cells, look: &CellLook, scale: f64) -> Option<Self> {
        let (width, height) = (cells.cell_width * scale, cells.cell_height * scale);
        if look.marks.is_empty() || width.min(height) < Self::SMALLEST_CELL {
            return None;
        }
        let mut pixmap = Pixmap::new(width.round() as u32, height.round() as u32)?;
        for mark in &look.marks {
            let mut painter = Painter { pixmap, scale, top: 0.0 };
            painter.item(&Item::of_mark(mark, cells.mark_box(look), [0; 3]));
            pixmap = painter.pixmap;
        }
        Some(Self { mask: Mask::from_pixmap(pixmap.as_ref(), tiny_skia::MaskType::Alpha), ink: look.ink })
    }

    fn press(&self, pixmap: &mut Pixmap, left: i64, top: i64) {
        let (width, height) = (i64::from(pixmap.width()), i64::from(pixmap.height()));
        let data = pixmap.data_mut();
        let rows = self.mask.data().chunks_exact(self.mask.width() as usize);
        for (y, row) in (top..).zip(rows).filter(|(y, _)| (0..height).contains(y)) {
            for (x, cover) in (left..).zip(row).filter(|(x, c)| **c > 0 && (0..width).contains(x)) {
                let at = (y * width + x) as usize * 4;
                for (under, ink) in data[at..at + 3].iter_mut().zip(self.ink) {
                    let (cover, ink) = (u32::from(*cover), u32::from(ink));
                    *under = ((u32::from(*under) * (255 - cover) + ink * cover + 127) / 255) as u8;
                }
            }
        }
    }
}

fn paint([r, g, b]: Rgb) -> Paint<'static> {
    let mut paint = Paint::default();
    paint.set_color_rgba8(r, g, b, 255);
    paint
}

fn stroke(width: f64) -> Stroke {
    Stroke {
        width: width as f32,
        line_cap: LineCap::Butt,
        line_join: LineJoin::Miter,
        miter_limit: 4.0,
        dash: None,
    }
}

fn path_of(points: &[[f64; 2]], closed: bool) -> Option<tiny_skia::Path> {
    let mut path = PathBuilder::new();
    for (i, [x, y]) in points.iter().enumerate() {
        let (x, y) = (*x as f32, *y as f32);
        if i == 0 { path.move_to(x, y) } else { path.line_to(x, y) }
    }
    if closed {
        path.close();
    }
    path.finish()
}
