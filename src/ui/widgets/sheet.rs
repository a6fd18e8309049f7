//! Where the photograph lies on the screen.

use egui::{Pos2, Rect, Vec2};

/// From picture pixels to the screen and back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sheet {
    pane: Rect,
    size: Vec2,
    scale: f32,
    /// Picture place in the middle of the pane.
    centre: Pos2,
}

impl Sheet {
    /// A picture of `size` pixels in `pane`, enlarged `zoom`-fold over fitting, the place `middle` (in
    /// shares of the picture) as near to the middle as leaves no empty space.
    pub fn new(pane: Rect, size: Vec2, zoom: f32, middle: Vec2) -> Self {
        let fit = (pane.width() / size.x).min(pane.height() / size.y).max(1e-6);
        let scale = fit * zoom;
        let half = pane.size() / scale / 2.0;
        let held = |at: f32, half: f32, size: f32| {
            if 2.0 * half >= size { size / 2.0 } else { at.clamp(half, size - half) }
        };
        let centre =
            Pos2::new(held(middle.x * size.x, half.x, size.x), held(middle.y * size.y, half.y, size.y));
        Self { pane, size, scale, centre }
    }

    /// The part of the screen.
    pub const fn pane(&self) -> Rect {
        self.pane
    }

    /// Points on the screen to a picture pixel.
    pub const fn scale(&self) -> f32 {
        self.scale
    }

    /// What lies in the middle, in shares of the picture.
    pub fn middle(&self) -> Vec2 {
        self.centre.to_vec2() / self.size
    }

    /// A picture place on the screen.
    pub fn to_screen(self, at: Pos2) -> Pos2 {
        self.pane.center() + (at - self.centre) * self.scale
    }

    /// The picture place under a point of the screen; may lie outside the picture.
    pub fn to_picture(self, at: Pos2) -> Pos2 {
        self.centre + (at - self.pane.center()) / self.scale
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use egui::{pos2, vec2};

    #[test]
    fn a_place_comes_back_and_the_picture_fills_what_it_can() {
        let pane = Rect::from_min_size(pos2(100.0, 50.0), vec2(800.0, 400.0));
        let whole = Sheet::new(pane, vec2(960.0, 640.0), 1.0, vec2(0.9, 0.1));
        assert_eq!(whole.centre, pos2(480.0, 320.0), "a whole picture lies in the middle");
        let near = Sheet::new(pane, vec2(960.0, 640.0), 4.0, vec2(0.0, 1.0));
        assert_eq!(near.to_picture(pane.left_bottom()), pos2(0.0, 640.0), "no space beyond the edge");
        for sheet in [whole, near] {
            let at = pos2(333.0, 222.0);
            assert!((sheet.to_picture(sheet.to_screen(at)) - at).length() < 1e-3);
        }
    }
}
