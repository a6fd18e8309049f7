//! A mesh of pixel-exact rectangles: grid lines, outlines and dashes without a shape each.

use egui::{Color32, Mesh, Rect, pos2, vec2};

/// Collects plain rectangles into one mesh.
#[derive(Default)]
pub struct Quads {
    mesh: Mesh,
}

impl Quads {
    /// A filled rectangle.
    pub fn fill(&mut self, rect: Rect, colour: Color32) {
        if rect.is_positive() {
            self.mesh.add_colored_rect(rect, colour);
        }
    }

    /// A frame of `width` inside the edge of `rect`.
    pub fn frame(&mut self, rect: Rect, width: f32, colour: Color32) {
        let inner = rect.shrink(width);
        if !inner.is_positive() {
            return self.fill(rect, colour);
        }
        let edges = [
            Rect::from_min_max(rect.min, pos2(rect.max.x, inner.min.y)),
            Rect::from_min_max(pos2(rect.min.x, inner.max.y), rect.max),
            Rect::from_min_max(pos2(rect.min.x, inner.min.y), pos2(inner.min.x, inner.max.y)),
            Rect::from_min_max(pos2(inner.max.x, inner.min.y), pos2(rect.max.x, inner.max.y)),
        ];
        for edge in edges {
            self.fill(edge, colour);
        }
    }

    /// Nested frames from the outside in, each `(width, colour)`.
    pub fn frames(&mut self, mut rect: Rect, bands: &[(f32, Color32)]) {
        for (width, colour) in bands {
            self.frame(rect, *width, *colour);
            rect = rect.shrink(*width);
        }
    }

    /// Dashes of `dash` with gaps of the same length along a frame of `width` inside the edge of
    /// `rect`, only as far as they lie in `clip`.
    pub fn dashes(&mut self, rect: Rect, width: f32, dash: f32, colour: Color32, clip: Rect) {
        let (low, high) = (rect.min + vec2(width, width), rect.max - vec2(width, width));
        for line in [rect.with_max_y(low.y), rect.with_min_y(high.y)] {
            self.dashed_line(line.intersect(clip), true, rect.left(), dash, colour);
        }
        for line in [rect.with_max_x(low.x), rect.with_min_x(high.x)] {
            self.dashed_line(line.intersect(clip), false, rect.top(), dash, colour);
        }
    }

    /// Dashes along a line, `across` or upright, counted from `start`, so that those of one line go on in the next.
    pub fn dashed_line(&mut self, line: Rect, across: bool, start: f32, dash: f32, colour: Color32) {
        let along = if across { line.x_range() } else { line.y_range() };
        let period = dash * 2.0;
        let first = ((along.min - start) / period).floor() as i32;
        let last = ((along.max - start) / period).ceil() as i32;
        for from in (first..last).map(|i| start + i as f32 * period) {
            let part = from.max(along.min)..=(from + dash).min(along.max);
            self.fill(
                if across {
                    Rect::from_x_y_ranges(part, line.y_range())
                } else {
                    Rect::from_x_y_ranges(line.x_range(), part)
                },
                colour,
            );
        }
    }

    /// Four corner brackets with arms of `arm` inside the edge of `rect`.
    pub fn brackets(&mut self, rect: Rect, width: f32, arm: f32, colour: Color32) {
        let arm_x = arm.min(rect.width() / 2.0);
        let arm_y = arm.min(rect.height() / 2.0);
        for (x, inward) in [(rect.left(), 1.0), (rect.right(), -1.0)] {
            for (y, downward) in [(rect.top(), 1.0), (rect.bottom(), -1.0)] {
                let corner = pos2(x, y);
                self.fill(
                    Rect::from_two_pos(corner, corner + vec2(inward * arm_x, downward * width)),
                    colour,
                );
                self.fill(
                    Rect::from_two_pos(
                        corner + vec2(0.0, downward * width),
                        corner + vec2(inward * width, downward * arm_y),
                    ),
                    colour,
                );
            }
        }
    }

    /// The mesh, to be painted as one shape.
    pub fn into_mesh(self) -> Mesh {
        self.mesh
    }
}
