//! XYZ to Oklab for every pixel; single colours go through `colour::Colour`.

use super::matrix::{Matrix3, apply_f32};

/// XYZ (D65) to the cone response of Oklab (Ottosson 2020, with the matrix recalculated for the
/// white of sRGB as in CSS Color 4 section 18).
pub(super) const XYZ_TO_CONES: Matrix3 = Matrix3([
    [0.819_022_437_996_703_3, 0.361_906_260_052_890_4, -0.128_873_781_520_987_9],
    [0.032_983_653_932_388_47, 0.929_286_861_586_343_4, 0.036_144_666_350_642_45],
    [0.048_177_189_356_963_31, 0.264_239_531_752_730_8, 0.633_547_828_469_430_9],
]);

/// Cube roots of the cone response to Oklab (Ottosson 2020).
const ROOTS_TO_OKLAB: [[f32; 3]; 3] = [
    [0.210_454_26, 0.793_617_8, -0.004_072_047],
    [1.977_998_5, -2.428_592_2, 0.450_593_7],
    [0.025_904_037, 0.782_771_8, -0.808_675_77],
];

/// Oklab of a cone response.
#[inline]
pub(super) fn cones_to_oklab(cones: [f32; 3]) -> [f32; 3] {
    apply_f32(&ROOTS_TO_OKLAB, cones.map(f32::cbrt))
}

/// The cone response of an Oklab colour.
pub(super) fn oklab_to_cones([l, a, b]: [f32; 3]) -> [f32; 3] {
    // Ottosson 2020.
    [
        (l + 0.396_337_78 * a + 0.215_803_76 * b).powi(3),
        (l - 0.105_561_346 * a - 0.063_854_17 * b).powi(3),
        (l - 0.089_484_18 * a - 1.291_485_5 * b).powi(3),
    ]
}

/// Oklab of XYZ under D65.
pub(super) fn xyz_to_oklab(xyz: [f64; 3]) -> [f32; 3] {
    cones_to_oklab(XYZ_TO_CONES.apply(xyz).map(|v| v as f32))
}

/// Distance of two Oklab colours.
#[inline]
pub(super) fn distance(p: [f32; 3], q: [f32; 3]) -> f32 {
    ((p[0] - q[0]).powi(2) + (p[1] - q[1]).powi(2) + (p[2] - q[2]).powi(2)).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::photo::matrix::D65_WHITE;

    #[test]
    fn white_has_lightness_one_and_no_chroma() {
        let [l, a, b] = xyz_to_oklab(D65_WHITE);
        assert!((l - 1.0).abs() < 1e-4 && a.abs() < 1e-4 && b.abs() < 1e-4, "{l} {a} {b}");
    }

    #[test]
    fn ottosson_s_published_pairs() {
        // Ottosson 2020, "A perceptual color space for image processing", table of XYZ and Oklab.
        // His white differs from sRGB's in the fourth place, hence the tolerance.
        let pairs = [
            ([1.0, 0.0, 0.0], [0.450, 1.236, -0.019]),
            ([0.0, 1.0, 0.0], [0.922, -0.671, 0.263]),
            ([0.0, 0.0, 1.0], [0.153, -1.415, -0.449]),
        ];
        for (xyz, expected) in pairs {
            assert!(distance(xyz_to_oklab(xyz), expected) < 2e-3, "{xyz:?}");
        }
    }
}
