//! The plane that things lie on, as a camera sees it.

use super::super::matrix::Matrix3;

/// A place: in mm on the plane, or in pixels of the picture.
pub type Place = [f64; 2];

/// How places of a plane in mm go to pixels of a picture, and back.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Plane {
    to_px: Matrix3,
    to_mm: Matrix3,
}

impl Plane {
    /// The plane on which a rectangle of `width` by `height` mm has its corners at `px`, clockwise from its
    /// top left; `None` when they are no corners of a rectangle that is seen from its front.
    ///
    /// The projective map of a square to a quadrilateral in closed form: Heckbert, "Fundamentals of texture
    /// mapping and image warping" (1989), section 2.2.3 (from memory).
    pub fn of_rectangle(px: [Place; 4], (width, height): (f64, f64)) -> Option<Self> {
        let turns = (0..4).map(|i| {
            let (a, b, c) = (px[i], px[(i + 1) % 4], px[(i + 2) % 4]);
            (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
        });
        // In pixels from the top left, clockwise turns are positive.
        if !turns.into_iter().all(|turn| turn > 1.0) {
            return None;
        }
        let [[x0, y0], [x1, y1], [x2, y2], [x3, y3]] = px;
        let (dx1, dx2, sx) = (x1 - x2, x3 - x2, x0 - x1 + x2 - x3);
        let (dy1, dy2, sy) = (y1 - y2, y3 - y2, y0 - y1 + y2 - y3);
        let determinant = dx1 * dy2 - dx2 * dy1;
        let g = (sx * dy2 - dx2 * sy) / determinant;
        let h = (dx1 * sy - sx * dy1) / determinant;
        let square = Matrix3([
            [x1 - x0 + g * x1, x3 - x0 + h * x3, x0],
            [y1 - y0 + g * y1, y3 - y0 + h * y3, y0],
            [g, h, 1.0],
        ]);
        let unit = Matrix3::diagonal([1.0 / width, 1.0 / height, 1.0]);
        Self::of(square.after(&unit))
    }

    /// The plane seen straight from above, `mm_per_px` mm in a pixel.
    pub fn from_above(mm_per_px: f64) -> Option<Self> {
        let scale = 1.0 / mm_per_px;
        Self::of(Matrix3::diagonal([scale, scale, 1.0]))
    }

    fn of(to_px: Matrix3) -> Option<Self> {
        let to_mm = to_px.inverse()?;
        to_px.is_finite().then_some(Self { to_px, to_mm })
    }

    /// Where a step of a mm along the width and down the height goes, in homogeneous pixels.
    pub fn axes(&self) -> [[f64; 3]; 2] {
        [0, 1].map(|column| self.to_px.0.map(|row| row[column]))
    }

    /// Where a place in mm is seen; `None` when it lies behind the camera.
    pub fn px(&self, [x, y]: Place) -> Option<Place> {
        over(self.to_px.apply([x, y, 1.0]))
    }

    /// The place in mm that is seen at a pixel; `None` beyond the horizon.
    pub fn mm(&self, [x, y]: Place) -> Option<Place> {
        let place = over(self.to_mm.apply([x, y, 1.0]).map(|value| value * self.sign()))?;
        // A pixel above the horizon has a place behind the camera.
        self.px(place).is_some().then_some(place)
    }

    /// The inverse is known but for its sign: that of the origin of the plane decides.
    fn sign(&self) -> f64 {
        let origin = self.to_px.apply([0.0, 0.0, 1.0]);
        let back = self.to_mm.apply(origin)[2];
        if back < 0.0 { -1.0 } else { 1.0 }
    }

    /// Pixels in a mm along a direction (of length 1) at a place.
    pub fn px_per_mm(&self, at: Place, along: Place) -> Option<f64> {
        const HALF: f64 = 0.5;
        let ahead = self.px([at[0] + HALF * along[0], at[1] + HALF * along[1]])?;
        let behind = self.px([at[0] - HALF * along[0], at[1] - HALF * along[1]])?;
        Some((ahead[0] - behind[0]).hypot(ahead[1] - behind[1]))
    }
}

fn over([x, y, w]: [f64; 3]) -> Option<Place> {
    let place = [x / w, y / w];
    (w > 1e-12 && place.iter().all(|value| value.is_finite())).then_some(place)
}

#[cfg(test)]
mod tests {
    use super::*;

    const CARD: (f64, f64) = (85.60, 53.98);

    #[test]
    fn corners_go_to_corners_and_back() {
        let px = [[100.0, 120.0], [480.0, 90.0], [510.0, 360.0], [80.0, 330.0]];
        let plane = Plane::of_rectangle(px, CARD).unwrap();
        let mm = [[0.0, 0.0], [CARD.0, 0.0], [CARD.0, CARD.1], [0.0, CARD.1]];
        for (px, mm) in px.into_iter().zip(mm) {
            let (there, back) = (plane.px(mm).unwrap(), plane.mm(px).unwrap());
            assert!((0..2).all(|i| (there[i] - px[i]).abs() < 1e-9 && (back[i] - mm[i]).abs() < 1e-9));
        }
    }

    #[test]
    fn corners_out_of_turn_are_no_rectangle() {
        let crossed = [[0.0, 0.0], [10.0, 10.0], [10.0, 0.0], [0.0, 10.0]];
        assert_eq!(Plane::of_rectangle(crossed, CARD), None);
        let widdershins = [[0.0, 0.0], [0.0, 10.0], [10.0, 10.0], [10.0, 0.0]];
        assert_eq!(Plane::of_rectangle(widdershins, CARD), None);
        assert_eq!(Plane::of_rectangle([[3.0, 3.0]; 4], CARD), None);
    }

    #[test]
    fn from_above_a_mm_is_as_long_everywhere() {
        let plane = Plane::from_above(0.1).unwrap();
        assert!((plane.px_per_mm([3.0, 700.0], [0.6, 0.8]).unwrap() - 10.0).abs() < 1e-9);
    }
}
