//! The blocks of JPEG compression (ITU-T T.81: 8 by 8 pixels), which in a smooth picture repeat as stitches would.

use super::lattice::{Place, Plane};

/// Side of a block in pixels.
const SIDE: f64 = 8.0;
/// How near to a whole number of waves in a block a frequency lies that may be theirs.
const NEAR: f64 = 0.06;
/// Blocks lie along the axes of the picture: the sine of 1.5 degrees.
const ASLANT: f64 = 0.026;
/// How far the step at one pixel of eight stands out over every other: in a fabric many do. Our judgement, after smooth
/// pictures at several qualities.
const LEAST_STEP: f64 = 1.06;

/// Whether a lattice, its steps of one stitch and of one row given as the two ends of each on the plane, is that of the blocks:
/// a whole number of waves in 8 pixels along both axes, and one pixel of eight at which the light steps most, both ways.
pub fn are_blocks(
    light: &dyn Fn(u32, u32) -> f32,
    (left, top): (u32, u32),
    (right, bottom): (u32, u32),
    plane: &Plane,
    steps: [[Place; 2]; 2],
) -> bool {
    let along_axes = steps.into_iter().all(|[from, to]| {
        let (Some(from), Some(to)) = (plane.px(from), plane.px(to)) else { return false };
        let (x, y) = ((to[0] - from[0]).abs(), (to[1] - from[1]).abs());
        let length = x.hypot(y);
        let waves = SIDE / length;
        x.min(y) <= ASLANT * length && waves > 0.5 && (waves - waves.round()).abs() < NEAR
    });
    if !along_axes {
        return false;
    }
    let size = (right.saturating_sub(left), bottom.saturating_sub(top));
    if size.0 < 64 || size.1 < 64 {
        return false;
    }
    let (mut across, mut down) = ([0.0_f64; 8], [0.0_f64; 8]);
    for y in top + 1..bottom {
        for x in left + 1..right {
            // As the eye and the code see it.
            let here = light(x, y).max(0.0).sqrt();
            across[x as usize % 8] += f64::from((here - light(x - 1, y).max(0.0).sqrt()).abs());
            down[y as usize % 8] += f64::from((here - light(x, y - 1).max(0.0).sqrt()).abs());
        }
    }
    [across, down].into_iter().all(|mut steps| {
        steps.sort_by(f64::total_cmp);
        steps[7] > LEAST_STEP * steps[6]
    })
}
