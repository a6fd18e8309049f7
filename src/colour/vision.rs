//! How colours look to eyes that miss a kind of cone, and in greyscale.

use super::Colour;
use palette::{LinSrgb, Srgb};
use std::sync::LazyLock;

/// A way of seeing. The simulations show a full lack of one kind of cone; most people with a colour
/// vision deficiency see more than that, so a palette that works here works for them too.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Vision {
    /// All three kinds of cone.
    #[default]
    Usual,
    /// No long-wave ("red") cones.
    Protan,
    /// No middle-wave ("green") cones, the most frequent.
    Deutan,
    /// No short-wave ("blue") cones, rare.
    Tritan,
    /// Value alone: the grey of equal CIE L*, as on a black-and-white printer.
    Greyscale,
}

type Matrix = [[f64; 3]; 3];

/// Protanopia on linear sRGB. Source: Machado, Oliveira and Fernandes 2009 (*IEEE TVCG* 15:1291),
/// severity 1.
const PROTAN: Matrix = [
    [0.152_286, 1.052_583, -0.204_868],
    [0.114_503, 0.786_281, 0.099_216],
    [-0.003_882, -0.048_116, 1.051_998],
];

/// Deuteranopia on linear sRGB. Source: as [`PROTAN`].
const DEUTAN: Matrix = [
    [0.367_322, 0.860_646, -0.227_968],
    [0.280_085, 0.672_501, 0.047_413],
    [-0.011_820, 0.042_940, 0.968_881],
];

/// Tritanopia on linear sRGB, towards the 660 nm anchor: for colours on the side of
/// [`TRITAN_PLANE`] that red lies on.
///
/// Source: the method of Brettel, Viénot and Mollon 1997 (*J. Opt. Soc. Am. A* 14:2647): two half
/// planes through white and the anchors 485 and 660 nm, in the Smith and Pokorny 1975 cone space for
/// BT.709 primaries after Viénot, Brettel and Mollon 1999 (*Color Res. Appl.* 24:243), with white at
/// the screen's. The test below derives the figures; its inputs are from memory of those papers.
const TRITAN_LONG: Matrix =
    [[1.012_77, 0.135_48, -0.148_26], [-0.012_43, 0.868_12, 0.144_31], [0.075_89, 0.805_00, 0.119_11]];

/// Tritanopia towards the 485 nm anchor: the other side. Source: as [`TRITAN_LONG`].
const TRITAN_SHORT: Matrix =
    [[0.936_78, 0.189_79, -0.126_57], [0.061_54, 0.815_26, 0.123_20], [-0.375_62, 1.127_67, 0.247_96]];

/// Normal, in linear sRGB, of the plane through white and the missing cone's axis.
const TRITAN_PLANE: [f64; 3] = [390.146, -278.808, -111.338];

/// Luminance on every channel (BT.709 weights): equal Y is equal L*.
const GREYSCALE: Matrix = [[0.2126, 0.7152, 0.0722]; 3];

fn dot(a: [f64; 3], b: [f64; 3]) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// Linear light of every 8-bit sRGB value.
static LINEAR: LazyLock<[f64; 256]> =
    LazyLock::new(|| std::array::from_fn(|v| Srgb::new(v as f64 / 255.0, 0.0, 0.0).into_linear().red));

/// Steps of linear light in [`ENCODED`]: 20 to the smallest 8-bit step, so an answer is off by one
/// only within 1/40 step of a rounding edge.
const LIGHT_STEPS: f64 = 65_535.0;

/// 8-bit sRGB of linear light in steps of 1 / [`LIGHT_STEPS`].
static ENCODED: LazyLock<Vec<u8>> = LazyLock::new(|| {
    let encode = |step: u16| {
        let light = f64::from(step) / LIGHT_STEPS;
        let encoded: Srgb<f64> = LinSrgb::new(light, 0.0, 0.0).into();
        (encoded.red * 255.0).round() as u8
    };
    (0..=u16::MAX).map(encode).collect()
});

impl Vision {
    /// All ways of seeing, in the order they are offered.
    pub const ALL: [Self; 5] = [Self::Usual, Self::Protan, Self::Deutan, Self::Tritan, Self::Greyscale];

    /// Those that lack a kind of cone.
    pub const DEFICIENT: [Self; 3] = [Self::Protan, Self::Deutan, Self::Tritan];

    /// What is seen of linear sRGB light; the answer may leave `0..=1`.
    pub fn simulate_linear(self, light: [f64; 3]) -> [f64; 3] {
        let matrix = match self {
            Self::Usual => return light,
            Self::Protan => &PROTAN,
            Self::Deutan => &DEUTAN,
            Self::Tritan if dot(TRITAN_PLANE, light) >= 0.0 => &TRITAN_LONG,
            Self::Tritan => &TRITAN_SHORT,
            Self::Greyscale => &GREYSCALE,
        };
        matrix.map(|row| dot(row, light))
    }

    /// The colour as it is seen. All but [`Vision::Usual`] answer within sRGB.
    pub fn simulate(self, colour: Colour) -> Colour {
        match self {
            Self::Usual => colour,
            Self::Greyscale => colour.mapped().greyscale(),
            Self::Protan | Self::Deutan | Self::Tritan => {
                let [r, g, b] = colour.to_srgb();
                let light = Srgb::new(r, g, b).into_linear();
                let [r, g, b] =
                    self.simulate_linear([light.red, light.green, light.blue]).map(|v| v.clamp(0.0, 1.0));
                let seen: Srgb<f64> = LinSrgb::new(r, g, b).into();
                Colour::from_srgb(seen.red, seen.green, seen.blue)
            }
        }
    }

    /// 8-bit sRGB as it is seen, for pictures: table look-ups, within one step of [`Vision::simulate`].
    pub fn simulate_srgb8(self, rgb: [u8; 3]) -> [u8; 3] {
        if self == Self::Usual {
            return rgb;
        }
        let light = rgb.map(|v| LINEAR[usize::from(v)]);
        self.simulate_linear(light).map(|v| ENCODED[(v.clamp(0.0, 1.0) * LIGHT_STEPS).round() as usize])
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn greys_stay_grey_for_everyone() {
        for vision in Vision::ALL {
            for v in [0, 1, 17, 128, 200, 255] {
                for channel in vision.simulate_srgb8([v; 3]) {
                    assert!(channel.abs_diff(v) <= 1, "{vision:?} turns grey {v} into {channel}");
                }
            }
        }
    }

    #[test]
    fn pictures_agree_with_single_colours() {
        for vision in Vision::ALL {
            for step in 0..4096_u32 {
                let rgb = [step % 16, step / 16 % 16, step / 256].map(|v| (v * 17) as u8);
                let exact = vision.simulate(Colour::from_srgb8(rgb)).to_srgb8();
                let fast = vision.simulate_srgb8(rgb);
                assert!(
                    exact.iter().zip(fast).all(|(a, b)| a.abs_diff(b) <= 1),
                    "{vision:?} {rgb:?}: {exact:?} against {fast:?}"
                );
            }
        }
    }

    #[test]
    fn the_two_tritan_halves_meet_without_a_seam() {
        // A light on the dividing plane: white plus a step along the missing cone's axis.
        let on_plane = [0.9, 0.8, (390.146 * 0.9 - 278.808 * 0.8) / 111.338];
        let [long, short] = [TRITAN_LONG, TRITAN_SHORT].map(|half| half.map(|row| dot(row, on_plane)));
        assert!(long.iter().zip(short).all(|(a, b)| (a - b).abs() < 1e-4), "{long:?} {short:?}");
    }

    fn multiply(a: Matrix, b: Matrix) -> Matrix {
        std::array::from_fn(|i| std::array::from_fn(|j| (0..3).map(|k| a[i][k] * b[k][j]).sum()))
    }

    fn cross(a: [f64; 3], b: [f64; 3]) -> [f64; 3] {
        [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
    }

    fn inverse(m: Matrix) -> Matrix {
        // The columns of the inverse are the cross products of the rows, over the determinant.
        let columns = [cross(m[1], m[2]), cross(m[2], m[0]), cross(m[0], m[1])];
        let determinant = dot(m[0], columns[0]);
        std::array::from_fn(|i| std::array::from_fn(|j| columns[j][i] / determinant))
    }

    /// From memory: Smith and Pokorny 1975 cone fundamentals on Judd-Vos XYZ; BT.709 primaries in
    /// Judd-Vos XYZ (Viénot et al. 1999); Judd-Vos colour matching functions at 660 and 485 nm. The
    /// product of the first two is checked against the RGB to LMS matrix printed in Viénot et al.
    #[test]
    fn the_tritan_halves_follow_from_the_published_cone_space() {
        let lms_of_xyz = [[0.15514, 0.54312, -0.03286], [-0.15514, 0.45684, 0.03286], [0.0, 0.0, 0.01608]];
        let xyz_of_rgb =
            [[40.9568, 35.5041, 17.9167], [21.3389, 70.6743, 7.98680], [1.86297, 11.4620, 91.2367]];
        let lms_of_rgb = multiply(lms_of_xyz, xyz_of_rgb);
        let printed =
            [[17.8824, 43.5161, 4.11935], [3.45565, 27.1554, 3.86714], [0.029_956_6, 0.184_309, 1.467_09]];
        for (ours, theirs) in lms_of_rgb.as_flattened().iter().zip(printed.as_flattened()) {
            assert!((ours - theirs).abs() < 2e-4, "{ours} {theirs}");
        }
        let white = lms_of_rgb.map(|row| row.iter().sum());
        let anchors =
            [([0.161_61, 0.061, 0.000_01], TRITAN_LONG), ([0.056_99, 0.169_87, 0.5864], TRITAN_SHORT)];
        for (xyz, constant) in anchors {
            let normal = cross(white, lms_of_xyz.map(|row| dot(row, xyz)));
            let projection =
                [[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [-normal[0] / normal[2], -normal[1] / normal[2], 0.0]];
            let derived = multiply(multiply(inverse(lms_of_rgb), projection), lms_of_rgb);
            for (ours, theirs) in derived.as_flattened().iter().zip(constant.as_flattened()) {
                assert!((ours - theirs).abs() < 1e-5, "{ours} {theirs}");
            }
        }
        let plane = cross(white, [0.0, 0.0, 1.0]);
        for (channel, expected) in TRITAN_PLANE.into_iter().enumerate() {
            let derived: f64 = (0..3).map(|cone| plane[cone] * lms_of_rgb[cone][channel]).sum();
            assert!((derived - expected).abs() < 1e-3, "{derived} {expected}");
        }
    }
}
