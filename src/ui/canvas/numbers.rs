//! Row and stitch numbers the way charts are read: from the right and from the bottom.
//!
//! They stand beside the chart and stay at the edge of the canvas when the chart is larger. In the
//! round every row is numbered at the right, where it begins; in flat knitting wrong-side (even)
//! rows begin, and are numbered, at the left.

use egui::{Align2, Color32, FontId, Painter, Pos2, Rect, Vec2, pos2, vec2};

use super::geometry::Geometry;
use crate::app::view::ChartView;
use crate::chart::Point;
use crate::knit::Construction;
use crate::project::Project;
use crate::ui::colours::ink_on;
use crate::ui::theme;

/// Height of the strip of stitch numbers, points.
const STRIP: f32 = 22.0;
/// Width of a figure of the number font, points (Open Sans figures are 0.57 em wide, all alike).
const FIGURE: f32 = 0.572 * theme::SMALL;
/// Height of a line of numbers, points.
const LINE: f32 = theme::SMALL + 3.0;
/// Air between two numbers and around them, points.
const AIR: f32 = 6.0;

/// Room left around the chart, points.
const MARGIN: f32 = 26.0;

/// Every how many rows or stitches a number is written so that `needed` points lie between two.
fn step(cell: f32, needed: f32) -> u32 {
    [1, 2, 5, 10, 20, 50, 100, 200, 500].into_iter().find(|s| *s as f32 * cell >= needed).unwrap_or(1000)
}

fn text_width(number: u32) -> f32 {
    number.to_string().len() as f32 * FIGURE
}

/// The strips the numbers stand in.
#[derive(Clone, Copy, Debug)]
pub struct Rulers {
    bottom: Rect,
    right: Rect,
    /// Wrong-side rows, in flat knitting only.
    left: Option<Rect>,
    /// The canvas without the strips that lie over stitches.
    free: Rect,
    /// They stand at the edges of the canvas wherever the chart is.
    at_edges: bool,
}

impl Rulers {
    /// Where the numbers stand; `None` when they are switched off.
    pub fn new(g: &Geometry, project: &Project, view: &ChartView) -> Option<Self> {
        if !view.numbers {
            return None;
        }
        let width = text_width(g.size.1) + 2.0 * AIR;
        let (chart, canvas) = (g.chart(), g.canvas);
        let shown = chart.intersect(canvas);
        // Beside the chart, or over its stitches at the edge of the canvas. With the repeat continued around
        // the chart always at the edge, so that no strip stands between the repeats.
        let (foot, far) = (canvas.bottom() - STRIP, canvas.right() - width);
        let (top, right, left) = if view.ghosts {
            (foot, far, canvas.left() + width)
        } else {
            (chart.bottom().min(foot), chart.right().min(far), chart.left().max(canvas.left() + width))
        };
        let is_flat = project.plan.construction == Construction::Flat;
        let rows = |x: f32| Rect::from_min_max(pos2(x, shown.top()), pos2(x + width, top.max(shown.top())));
        let mut free = canvas;
        if view.ghosts || top < chart.bottom() {
            free.max.y = top;
        }
        if view.ghosts || right < chart.right() {
            free.max.x = right;
        }
        if is_flat && (view.ghosts || left > chart.left()) {
            free.min.x = left;
        }
        Some(Self {
            bottom: Rect::from_min_max(pos2(shown.left(), top), pos2(shown.right(), top + STRIP)),
            right: rows(right),
            left: is_flat.then(|| rows(left - width)),
            free,
            at_edges: view.ghosts,
        })
    }

    /// Whether a position lies on the numbers and not on the chart.
    pub fn contains(&self, pos: Pos2) -> bool {
        let strips = [Some(self.bottom), Some(self.right), self.left];
        strips.into_iter().flatten().any(|strip| strip.contains(pos))
    }

    /// The canvas without the strips that lie over stitches.
    pub const fn free(&self) -> Rect {
        self.free
    }

    /// Paints the numbers; those of `current` stand out.
    pub fn paint(
        &self,
        painter: &Painter,
        g: &Geometry,
        project: &Project,
        current: Option<Point>,
        ground: Color32,
    ) {
        let left = self.left.map_or(self.bottom.left(), |left| left.left().min(self.bottom.left()));
        let right = self.right.right().max(self.bottom.right());
        // At the edges of the canvas the strips go all along them.
        let (across, along) = if self.at_edges {
            (g.canvas.x_range(), g.canvas.y_range())
        } else {
            ((left..=right).into(), self.right.y_range())
        };
        let foot = Rect::from_x_y_ranges(across, self.bottom.y_range());
        let side = |strip: Rect| Rect::from_x_y_ranges(strip.x_range(), along);
        for strip in [Some(foot), Some(side(self.right)), self.left.map(side)].into_iter().flatten() {
            painter.rect_filled(strip, 0.0, ground);
        }
        // On middle grey there is no contrast to give away.
        let weak = if (80..176).contains(&ground.r()) { 1.0 } else { 0.72 };
        let pen = Pen { painter, ground, weak };
        self.stitch_numbers(&pen, g, current);
        let sides = [(Some(self.right), true), (self.left, false)];
        for (strip, is_right) in sides {
            if let Some(strip) = strip {
                row_numbers(&pen, g, project.plan.construction, strip, is_right, current);
            }
        }
    }

    fn stitch_numbers(&self, pen: &Pen<'_>, g: &Geometry, current: Option<Point>) {
        let needed = text_width(g.size.0) + AIR;
        let every = step(g.cell.x, needed);
        let visible = g.visible();
        let strip = self.bottom;
        let place = |x: u32| pos2(g.x(i64::from(x)) + g.cell.x / 2.0, strip.center().y + 2.0);
        let mark = current.map(|p| pen.chip(place(p.x), g.size.0 - p.x, strip, Vec2::X));
        for x in visible.x..visible.x + visible.width {
            let number = g.size.0 - x;
            let first = number == 1 && (every - 1) as f32 * g.cell.x >= needed;
            if number.is_multiple_of(every) || first {
                pen.number(place(x), number, every, strip, mark);
            }
        }
    }
}

fn row_numbers(
    pen: &Pen<'_>,
    g: &Geometry,
    construction: Construction,
    strip: Rect,
    is_right: bool,
    current: Option<Point>,
) {
    let flat = construction == Construction::Flat;
    // Each side of a flat chart has every other row only.
    let every = if flat && 2.0 * g.cell.y >= LINE { 1 } else { step(g.cell.y, LINE) };
    let visible = g.visible();
    let place = |y: u32| pos2(strip.center().x, g.y(i64::from(y)) - g.cell.y / 2.0);
    let is_here = |y: u32| construction.reads_from_right(y) == is_right;
    let mark = current.filter(|p| is_here(p.y)).map(|p| pen.chip(place(p.y), p.y + 1, strip, Vec2::Y));
    for y in (visible.y..visible.y + visible.height).filter(|y| is_here(*y)) {
        let number = y + 1;
        // An even step would leave the right-side rows, which are odd, without numbers.
        let counted = if flat && every.is_multiple_of(2) && is_right { number - 1 } else { number };
        let first = number == 1 && (every - 1) as f32 * g.cell.y >= LINE;
        if counted.is_multiple_of(every) || first {
            pen.number(place(y), number, every, strip, mark);
        }
    }
}

struct Pen<'a> {
    painter: &'a Painter,
    ground: Color32,
    /// Opacity of numbers that are no tens.
    weak: f32,
}

impl Pen<'_> {
    /// A number centred at `at`, unless it would leave its strip or touch the marked one.
    /// Tens stand out where there are other numbers between them.
    fn number(&self, at: Pos2, number: u32, every: u32, strip: Rect, mark: Option<Rect>) {
        let room = Rect::from_center_size(at, vec2(text_width(number), LINE));
        let inside = room.left() >= strip.left() - AIR
            && room.right() <= strip.right() + AIR
            && room.top() >= strip.top() - 3.0
            && room.bottom() <= strip.bottom() + 3.0;
        if !inside || mark.is_some_and(|mark| mark.intersects(room)) {
            return;
        }
        let ink = ink_on(self.ground);
        let (family, ink) = if every < 10 && number.is_multiple_of(10) {
            (theme::semibold(), ink)
        } else {
            (egui::FontFamily::Proportional, ink.gamma_multiply(self.weak))
        };
        let font = FontId::new(theme::SMALL, family);
        self.painter.text(at, Align2::CENTER_CENTER, number, font, ink);
    }

    /// The number of the current row or stitch on a chip, kept inside its strip along `axis`.
    fn chip(&self, at: Pos2, number: u32, strip: Rect, axis: Vec2) -> Rect {
        let size = vec2(text_width(number) + AIR, LINE);
        let inside = |at: f32, low: f32, high: f32, size: f32| {
            at.clamp(low + size / 2.0, (high - size / 2.0).max(low + size / 2.0))
        };
        let at = if axis == Vec2::X {
            pos2(inside(at.x, strip.left() - AIR, strip.right() + AIR, size.x), at.y)
        } else {
            pos2(at.x, inside(at.y, strip.top() - 3.0, strip.bottom() + 3.0, size.y))
        };
        let chip = Rect::from_center_size(at, size);
        let ink = ink_on(self.ground);
        self.painter.rect_filled(chip, 3.0, ink);
        let font = FontId::new(theme::SMALL, theme::semibold());
        self.painter.text(at, Align2::CENTER_CENTER, number, font, ink_on(ink));
        chip
    }
}

/// The part of the canvas that is free of numbers: charts are fitted, and the cursor kept, inside it.
pub fn free_area(canvas: Rect, project: &Project, view: &ChartView) -> Rect {
    let mut area = canvas.shrink2((canvas.size() / 4.0).min(Vec2::splat(MARGIN)));
    if view.numbers {
        let width = text_width(project.chart.grid.height()) + AIR;
        area.max.x -= width;
        area.max.y -= STRIP / 2.0;
        if project.plan.construction == Construction::Flat {
            area.min.x += width;
        }
    }
    if area.is_positive() { area } else { canvas }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_thinned_until_they_fit() {
        assert_eq!(step(16.0, 14.0), 1);
        assert_eq!(step(8.0, 14.0), 2);
        assert_eq!(step(2.9, 14.5), 5);
        assert_eq!(step(0.05, 30.0), 1000);
        for cell in [0.3, 1.0, 2.7, 9.0] {
            assert!(step(cell, 20.0) as f32 * cell >= 20.0);
        }
    }
}
