//! Where each stitch lies on the screen: the mapping both ways, zoom, pan, fit and reveal.
//!
//! Screen positions are in points, y down; rows of the chart count from the bottom.

use egui::{Pos2, Rect, Vec2, pos2, vec2};

use crate::app::view::ChartView;
use crate::chart::{self, Point};
use crate::project::Project;

/// Largest stitch width, points.
pub const MAX_ZOOM: f32 = 96.0;
/// The whole chart opens no larger than this, points per stitch.
const MAX_FIT: f32 = 40.0;
/// Zoom out only until the longer side of the chart is this short, points.
const MIN_CHART: f32 = 64.0;
/// This much of the chart (or all of a smaller one) can never be pushed out of the canvas, points.
const KEEP: f32 = 56.0;
/// A stitch a finding points at is shown at least this wide, points, once the chart is moved for it.
const READABLE: f32 = 9.0;
/// Stitches narrower than this are as good as out of sight, points.
const SEEN: f32 = 2.0;

/// The mapping between stitches and the screen for one frame.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Geometry {
    /// The widget.
    pub canvas: Rect,
    /// Top-left corner of the chart.
    pub origin: Pos2,
    /// Width of a stitch and height of a row.
    pub cell: Vec2,
    /// Stitches and rows of the chart.
    pub size: (u32, u32),
    /// Physical pixels per point.
    pub pixels_per_point: f32,
}

impl Geometry {
    /// The mapping of `view` on `canvas`.
    pub fn new(canvas: Rect, project: &Project, view: &ChartView, pixels_per_point: f32) -> Self {
        let grid = &project.chart.grid;
        Self {
            canvas,
            origin: canvas.min + vec2(view.pan[0], view.pan[1]),
            cell: vec2(view.zoom, view.zoom / project.plan.gauge.cell_aspect() as f32),
            size: (grid.width(), grid.height()),
            pixels_per_point,
        }
    }

    /// Puts the mapping back into the view.
    pub fn store(&self, view: &mut ChartView) {
        let pan = self.origin - self.canvas.min;
        view.zoom = self.cell.x;
        view.pan = [pan.x, pan.y];
    }

    /// Nearest whole physical pixel.
    pub fn snap(&self, value: f32) -> f32 {
        (value * self.pixels_per_point).round() / self.pixels_per_point
    }

    /// One physical pixel in points.
    pub fn pixel(&self) -> f32 {
        1.0 / self.pixels_per_point
    }

    /// Screen position of the left edge of column `x`, which may lie outside the chart.
    pub fn x(&self, x: i64) -> f32 {
        self.origin.x + x as f32 * self.cell.x
    }

    /// Screen position of the bottom edge of row `y`, which may lie outside the chart.
    pub fn y(&self, y: i64) -> f32 {
        self.origin.y + (i64::from(self.size.1) - y) as f32 * self.cell.y
    }

    /// Screen rectangle of a block of cells, on whole pixels; it may lie outside the chart.
    pub fn block(&self, (x, y): (i64, i64), width: u32, height: u32) -> Rect {
        let (right, top) = (x + i64::from(width), y + i64::from(height));
        Rect::from_min_max(
            pos2(self.snap(self.x(x)), self.snap(self.y(top))),
            pos2(self.snap(self.x(right)), self.snap(self.y(y))),
        )
    }

    /// Screen rectangle of the cell in a column and row that may lie outside the chart.
    pub fn cell_block(&self, at: (i64, i64)) -> Rect {
        self.block(at, 1, 1)
    }

    /// Screen rectangle of some cells, on whole pixels.
    pub fn rect(&self, rect: chart::Rect) -> Rect {
        self.block((i64::from(rect.x), i64::from(rect.y)), rect.width, rect.height)
    }

    /// Screen rectangle of one cell, on whole pixels.
    pub fn cell_rect(&self, p: Point) -> Rect {
        self.rect(chart::Rect::new(p.x, p.y, 1, 1))
    }

    /// Screen rectangle of the chart, on whole pixels.
    pub fn chart(&self) -> Rect {
        self.block((0, 0), self.size.0, self.size.1)
    }

    /// Column and row under a position; they may lie outside the chart.
    pub fn cell_at(&self, pos: Pos2) -> (i64, i64) {
        let column = ((pos.x - self.origin.x) / self.cell.x).floor() as i64;
        let from_top = ((pos.y - self.origin.y) / self.cell.y).floor() as i64;
        (column, i64::from(self.size.1) - 1 - from_top)
    }

    /// The stitch under a position.
    pub fn point_at(&self, pos: Pos2) -> Option<Point> {
        let (x, y) = self.cell_at(pos);
        let inside = |v: i64, size: u32| u32::try_from(v).ok().filter(|v| *v < size);
        Some(Point::new(inside(x, self.size.0)?, inside(y, self.size.1)?))
    }

    /// The stitch nearest to a position.
    pub fn nearest(&self, pos: Pos2) -> Point {
        let (x, y) = self.cell_at(pos);
        let clamp = |v: i64, size: u32| v.clamp(0, i64::from(size) - 1) as u32;
        Point::new(clamp(x, self.size.0), clamp(y, self.size.1))
    }

    /// The stitches that are on the canvas, possibly none.
    pub fn visible(&self) -> chart::Rect {
        if !self.canvas.intersects(self.chart()) {
            return chart::Rect::default();
        }
        chart::Rect::spanning(
            self.nearest(self.canvas.left_top()),
            self.nearest(self.canvas.right_bottom() - Vec2::splat(0.01)),
        )
    }

    /// Smaller side of a cell in physical pixels.
    pub fn cell_pixels(&self) -> f32 {
        self.cell.min_elem() * self.pixels_per_point
    }

    /// The same with cells `factor` times as large, `fixed` staying where it is.
    #[must_use]
    pub fn zoomed(mut self, factor: f32, fixed: Pos2) -> Self {
        if !factor.is_finite() || factor <= 0.0 {
            return self;
        }
        let zoom = self.limited_zoom(self.cell.x * factor);
        let factor = zoom / self.cell.x;
        self.cell *= factor;
        self.origin = fixed + (self.origin - fixed) * factor;
        self.kept()
    }

    /// The same, moved.
    #[must_use]
    pub fn panned(mut self, by: Vec2) -> Self {
        self.origin += by;
        self.kept()
    }

    /// The whole chart in the middle of `area`.
    #[must_use]
    pub fn fitted(mut self, area: Rect) -> Self {
        let shape = vec2(1.0, self.cell.y / self.cell.x);
        let chart = vec2(self.size.0 as f32, self.size.1 as f32) * shape;
        let zoom = self.limited_zoom((area.size() / chart).min_elem().min(MAX_FIT));
        self.cell = shape * zoom;
        self.origin = area.center() - chart * zoom / 2.0;
        self.kept()
    }

    /// `rect` in the middle of `area` and large enough to be read, unless it is in sight already.
    #[must_use]
    pub fn revealing(mut self, rect: chart::Rect, area: Rect) -> Self {
        let block = self.rect(rect);
        if area.contains_rect(block) && self.cell.x >= SEEN {
            return self;
        }
        let most = (area.size() / block.size().max(Vec2::splat(0.01))).min_elem();
        let wanted = (READABLE / self.cell.x).max(1.0);
        let zoom = self.limited_zoom(self.cell.x * wanted.min(most));
        self.cell *= zoom / self.cell.x;
        let middle = vec2(
            (rect.x as f32 + rect.width as f32 / 2.0) * self.cell.x,
            (self.size.1 as f32 - rect.y as f32 - rect.height as f32 / 2.0) * self.cell.y,
        );
        self.origin = area.center() - middle;
        self.kept()
    }

    /// Moved as little as needed to have the cell in `area`.
    #[must_use]
    pub fn following(self, cell: Point, area: Rect) -> Self {
        let block = self.cell_rect(cell);
        let shift = |low: f32, high: f32, min: f32, max: f32| {
            if low < min || max - min < high - low { min - low } else { (max - high).min(0.0) }
        };
        self.panned(vec2(
            shift(block.left(), block.right(), area.left(), area.right()),
            shift(block.top(), block.bottom(), area.top(), area.bottom()),
        ))
    }

    /// Zoom and position inside their limits, so that the chart cannot be lost.
    #[must_use]
    pub fn kept(mut self) -> Self {
        let shape = self.cell.y / self.cell.x;
        let zoom = self.limited_zoom(self.cell.x);
        self.cell = vec2(zoom, zoom * shape);
        let chart = vec2(self.size.0 as f32, self.size.1 as f32) * self.cell;
        for axis in 0..2 {
            let keep = KEEP.min(chart[axis]).min(self.canvas.size()[axis]);
            let low = self.canvas.min[axis] + keep - chart[axis];
            let high = self.canvas.max[axis] - keep;
            self.origin[axis] = if self.origin[axis].is_finite() {
                self.origin[axis].clamp(low.min(high), high)
            } else {
                high
            };
        }
        self
    }

    fn limited_zoom(&self, zoom: f32) -> f32 {
        let shape = self.cell.y / self.cell.x;
        let longer = (self.size.0 as f32).max(self.size.1 as f32 * shape);
        let least = (MIN_CHART / longer).min(MAX_FIT);
        if zoom.is_finite() { zoom.clamp(least, MAX_ZOOM) } else { MAX_FIT }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn geometry(width: u32, height: u32) -> Geometry {
        Geometry {
            canvas: Rect::from_min_size(pos2(100.0, 50.0), vec2(800.0, 600.0)),
            origin: pos2(140.0, 80.0),
            cell: vec2(16.0, 12.5),
            size: (width, height),
            pixels_per_point: 1.0,
        }
    }

    #[test]
    fn every_cell_is_found_again_at_its_middle() {
        let g = geometry(37, 23);
        for p in chart::Rect::new(0, 0, 37, 23).points() {
            assert_eq!(g.point_at(g.cell_rect(p).center()), Some(p));
        }
        assert_eq!(g.point_at(g.chart().left_top() - vec2(1.0, 0.0)), None);
        assert_eq!(g.point_at(g.chart().right_bottom() + vec2(0.5, 0.5)), None);
    }

    #[test]
    fn rows_count_from_the_bottom() {
        let g = geometry(10, 8);
        assert!(g.cell_rect(Point::new(0, 0)).bottom() > g.cell_rect(Point::new(0, 7)).bottom());
        assert_eq!(g.cell_rect(Point::new(0, 0)).bottom(), g.chart().bottom());
    }

    #[test]
    fn zoom_keeps_the_cell_under_the_pointer() {
        let mut g = geometry(200, 200).panned(vec2(-700.0, -500.0));
        let pointer = pos2(431.0, 322.0);
        let cell = g.point_at(pointer);
        assert!(cell.is_some());
        for factor in [1.3, 1.3, 1.3, 0.7, 0.7, 0.6, 0.5, 2.9] {
            g = g.zoomed(factor, pointer);
            assert_eq!(g.point_at(pointer), cell, "at {}", g.cell.x);
        }
    }

    #[test]
    fn zoom_has_ends_and_keeps_the_aspect() {
        let g = geometry(200, 100);
        let shape = g.cell.y / g.cell.x;
        let largest = g.zoomed(1e6, pos2(300.0, 300.0));
        assert_eq!(largest.cell.x, MAX_ZOOM);
        let smallest = g.zoomed(1e-6, pos2(300.0, 300.0));
        assert!((smallest.chart().width() - MIN_CHART).abs() < 1.5);
        for g in [largest, smallest, g.zoomed(f32::NAN, pos2(0.0, 0.0))] {
            assert!((g.cell.y / g.cell.x - shape).abs() < 1e-5);
        }
    }

    #[test]
    fn the_chart_cannot_be_lost() {
        for by in [vec2(1e9, 1e9), vec2(-1e9, -1e9), vec2(1e9, -1e9)] {
            let g = geometry(60, 60).panned(by);
            let seen = g.chart().intersect(g.canvas);
            assert!(seen.width() >= KEEP - 1.0 && seen.height() >= KEEP - 1.0, "{seen}");
            assert!(!g.visible().is_empty());
        }
    }

    #[test]
    fn fit_shows_all_of_it() {
        for (width, height) in [(1, 1), (5, 2000), (2000, 5), (300, 200)] {
            let g = geometry(width, height);
            let g = g.fitted(g.canvas.shrink(30.0));
            assert!(g.canvas.contains_rect(g.chart()), "{width} x {height}");
        }
    }

    #[test]
    fn a_finding_is_brought_into_view_and_made_readable() {
        let g = geometry(2000, 2000).zoomed(1e-6, pos2(0.0, 0.0));
        let rect = chart::Rect::new(1700, 40, 9, 1);
        let area = g.canvas.shrink(40.0);
        let shown = g.revealing(rect, area);
        assert!(area.contains_rect(shown.rect(rect)));
        assert!(shown.cell.x >= READABLE - 0.01);
        assert_eq!(shown.revealing(rect, area), shown);
        // Small, but in sight: the chart stays as it is.
        let small = g.zoomed(3.0 / g.cell.x, pos2(0.0, 0.0));
        let there = small.panned(area.center() - small.rect(rect).center());
        assert_eq!(there.revealing(rect, area), there);
    }

    #[test]
    fn following_the_cursor_moves_no_further_than_needed() {
        let g = geometry(100, 100);
        let area = g.canvas.shrink(20.0);
        let shown = g.following(Point::new(99, 0), area);
        let block = shown.cell_rect(Point::new(99, 0));
        assert!(area.expand(1.0).contains_rect(block));
        assert!((block.right() - area.right()).abs() < 1.5);
        assert_eq!(shown.following(Point::new(99, 1), area), shown);
    }
}
