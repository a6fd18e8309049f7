//! Whether four corners can be those of a rectangle of known size, seen by a camera.
//!
//! A picture of a plane has one number that is not known, the focal length, and two things that it must keep: the sides of
//! the rectangle stand square, and they are as long to each other as was said (Zhang, "A flexible new technique for camera
//! calibration", IEEE Trans. PAMI 22 (2000), equations 3 and 4, from memory). The middle of the picture is taken to lie
//! straight ahead and its pixels to be square.

use super::lattice::{Place, Plane};

/// Focal lengths that are tried, in longer sides of the picture: from a wide lens to a long one.
const FOCAL: (f64, f64) = (0.6, 8.0);
const TRIED: i32 = 40;

/// How far corners are from those of such a rectangle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShapeMisfit {
    /// How far its sides are out of proportion or square, in per cent, at the focal length that suits best.
    pub percent: f64,
    /// The same in standard errors of the corners.
    pub errors: f64,
}

/// Holds corners of a rectangle of `size` mm, each unsure by so many pixels, against what a camera may see in a picture so
/// large; `None` when they are no corners at all.
pub fn misfit(
    corners: [Place; 4],
    unsure: [f64; 4],
    size: (f64, f64),
    picture: (u32, u32),
) -> Option<ShapeMisfit> {
    let middle = [f64::from(picture.0) / 2.0, f64::from(picture.1) / 2.0];
    let longer = f64::from(picture.0.max(picture.1));
    let at = |corners: [Place; 4], focal: f64| -> Option<[f64; 2]> {
        let [u, v] = Plane::of_rectangle(corners, size)?
            .axes()
            .map(|[x, y, w]| [(x - middle[0] * w) / focal, (y - middle[1] * w) / focal, w]);
        let dot = |a: [f64; 3], b: [f64; 3]| a[0] * b[0] + a[1] * b[1] + a[2] * b[2];
        let (uu, vv) = (dot(u, u).sqrt(), dot(v, v).sqrt());
        Some([dot(u, v) / (uu * vv), (uu / vv).ln()])
    };
    let (least, most) = FOCAL;
    let focals = (0..=TRIED).map(|n| longer * least * (most / least).powf(f64::from(n) / f64::from(TRIED)));
    let tried = focals.filter_map(|focal| {
        let own = at(corners, focal)?;
        let mut spread = [[1e-12, 0.0], [0.0, 1e-12]];
        for i in 0..8 {
            let step = unsure[i / 2];
            let mut moved = corners;
            moved[i / 2][i % 2] += step;
            let other = at(moved, focal)?;
            let by = [other[0] - own[0], other[1] - own[1]];
            (0..2).for_each(|r| (0..2).for_each(|c| spread[r][c] += by[r] * by[c]));
        }
        let [[a, b], [_, d]] = spread;
        let square =
            (d * own[0] * own[0] - 2.0 * b * own[0] * own[1] + a * own[1] * own[1]) / (a * d - b * b);
        let percent = 100.0 * own[0].abs().max(own[1].abs());
        Some(ShapeMisfit { percent, errors: square.max(0.0).sqrt() })
    });
    tried.min_by(|a, b| a.errors.total_cmp(&b.errors))
}

#[cfg(test)]
mod tests {
    use super::*;

    const SIZE: (u32, u32) = (1500, 1000);
    const CARD: (f64, f64) = (85.60, 53.98);

    /// A card of this size on a table, seen by a camera of focal length 1600 px that is tilted about a slanting axis.
    fn seen(tilt: f64, (width, height): (f64, f64)) -> [Place; 4] {
        let (sin, cos) = tilt.to_radians().sin_cos();
        [(0.0, 0.0), (width, 0.0), (width, height), (0.0, height)].map(|(x, y)| {
            let (x, y) = (x - 90.0, y - 40.0);
            // Turned by 30 degrees on the table, so that both its sides lean away.
            let (x, y) = (0.866 * x - 0.5 * y, 0.5 * x + 0.866 * y);
            let depth = 420.0 + sin * y;
            [750.0 + 1600.0 * x / depth, 500.0 + 1600.0 * cos * y / depth]
        })
    }

    #[test]
    fn a_card_seen_from_anywhere_is_one_and_another_rectangle_is_not() {
        for tilt in [0.0, 8.0, 25.0] {
            let of = |size| misfit(seen(tilt, size), [0.5; 4], CARD, SIZE).unwrap();
            assert!(of(CARD).errors < 1.0, "{tilt}: {:?}", of(CARD));
            // A5 paper folded once more is 105 x 74 mm.
            let other = of((105.0, 74.0));
            assert!(other.errors > 5.0 && other.percent > 3.0, "{tilt}: {other:?}");
        }
    }

    #[test]
    fn a_corner_that_was_misplaced_far_is_told() {
        let told = (0..8).filter(|i| {
            let mut corners = seen(5.0, CARD);
            corners[i / 2][i % 2] += 25.0;
            let found = misfit(corners, [1.0; 4], CARD, SIZE);
            println!("{i} {found:?}");
            found.unwrap().errors > 3.5
        });
        assert!(told.count() >= 6, "a camera may see most other quadrilaterals too, so not all are told");
    }
}
