//! A mesh of pixel-exact rectangles: grid lines, outlines and dashes without a shape each.

use egui::{Color32, Mesh, Pos2, Rect, pos2, vec2};

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
        let mut run = |from: Pos2, length: f32, across: bool| {
            let (start, low, high) = if across {
                (from.x, clip.left(), clip.right())
            } else {
                (from.y, clip.top(), clip.bottom())
            };
            let period = dash * 2.0;
            let first = ((low - start) / period).floor().max(0.0) as u32;
            let last = ((high - start).min(length) / period).ceil().max(0.0) as u32;
            for i in first..last {
                let at = i as f32 * period;
                let long = dash.min(length - at);
                let (min, size) = if across {
                    (pos2(from.x + at, from.y), vec2(long, width))
                } else {
                    (pos2(from.x, from.y + at), vec2(width, long))
                };
                self.fill(Rect::from_min_size(min, size), colour);
            }
        };
        run(rect.left_top(), rect.width(), true);
        run(pos2(rect.left(), rect.bottom() - width), rect.width(), true);
        run(rect.left_top(), rect.height(), false);
        run(pos2(rect.right() - width, rect.top()), rect.height(), false);
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
