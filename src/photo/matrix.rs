//! Three by three matrices for colour spaces.

/// A matrix that acts on column vectors; rows first.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Matrix3(pub [[f64; 3]; 3]);

impl Matrix3 {
    /// The matrix that changes nothing.
    pub const IDENTITY: Self = Self([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0], [0.0, 0.0, 1.0]]);

    /// A matrix that scales each coordinate.
    pub const fn diagonal([a, b, c]: [f64; 3]) -> Self {
        Self([[a, 0.0, 0.0], [0.0, b, 0.0], [0.0, 0.0, c]])
    }

    /// The vector this matrix makes of `v`.
    pub fn apply(&self, v: [f64; 3]) -> [f64; 3] {
        self.0.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2])
    }

    /// The matrix that acts like `first` and then this one.
    pub fn after(&self, first: &Self) -> Self {
        let mut product = [[0.0; 3]; 3];
        for (row, out) in self.0.iter().zip(&mut product) {
            for (column, value) in out.iter_mut().enumerate() {
                *value = row.iter().zip(&first.0).map(|(a, b)| a * b[column]).sum();
            }
        }
        Self(product)
    }

    /// Every entry times `factor`.
    pub fn scaled(&self, factor: f64) -> Self {
        Self(self.0.map(|row| row.map(|value| value * factor)))
    }

    /// The matrix that undoes this one; `None` when it has none.
    pub fn inverse(&self) -> Option<Self> {
        let [[a, b, c], [d, e, f], [g, h, i]] = self.0;
        let cofactors = [
            [e * i - f * h, c * h - b * i, b * f - c * e],
            [f * g - d * i, a * i - c * g, c * d - a * f],
            [d * h - e * g, b * g - a * h, a * e - b * d],
        ];
        let determinant = a * cofactors[0][0] + b * cofactors[1][0] + c * cofactors[2][0];
        let inverse = Self(cofactors).scaled(1.0 / determinant);
        inverse.is_finite().then_some(inverse)
    }

    /// The entries as `f32`, for work on every pixel.
    pub(super) fn to_f32(self) -> [[f32; 3]; 3] {
        self.0.map(|row| row.map(|value| value as f32))
    }

    /// Whether every entry is a finite number.
    pub fn is_finite(&self) -> bool {
        self.0.iter().flatten().all(|value| value.is_finite())
    }
}

/// White of CIE illuminant D65 as XYZ with Y = 1, from the chromaticity x = 0.3127, y = 0.3290 that
/// IEC 61966-2-1 and CSS Color 4 use.
pub const D65_WHITE: [f64; 3] = [0.3127 / 0.3290, 1.0, (1.0 - 0.3127 - 0.3290) / 0.3290];

/// White of the ICC profile connection space (D50) as XYZ, ICC.1:2022 section 7.2.16.
pub const ICC_WHITE: [f64; 3] = [0.9642, 1.0, 0.8249];

/// The Bradford cone response (Lam 1985; the matrix of ICC.1:2022 annex E).
const BRADFORD: Matrix3 =
    Matrix3([[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]]);

/// Bradford adaptation of XYZ from one white to another (both with Y = 1): what looked white under
/// the first looks white under the second. `None` when a white is no light at all.
pub fn bradford(from: [f64; 3], to: [f64; 3]) -> Option<Matrix3> {
    let (source, target) = (BRADFORD.apply(from), BRADFORD.apply(to));
    let gain = [target[0] / source[0], target[1] / source[1], target[2] / source[2]];
    if !gain.iter().all(|g| g.is_finite() && *g > 0.0) {
        return None;
    }
    Some(BRADFORD.inverse()?.after(&Matrix3::diagonal(gain)).after(&BRADFORD))
}

/// `m * v` in `f32`.
#[inline]
pub(super) fn apply_f32(m: &[[f32; 3]; 3], v: [f32; 3]) -> [f32; 3] {
    m.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_inverse_undoes() {
        let product = BRADFORD.inverse().unwrap().after(&BRADFORD);
        for (row, expected) in product.0.iter().zip(Matrix3::IDENTITY.0) {
            for (value, want) in row.iter().zip(expected) {
                assert!((value - want).abs() < 1e-12, "{product:?}");
            }
        }
        assert_eq!(Matrix3([[1.0; 3]; 3]).inverse(), None);
    }

    #[test]
    fn bradford_d50_to_d65_is_the_published_matrix() {
        // CSS Color 4 section 18, D50_to_D65 (ICC white to the sRGB white).
        let published = [
            [0.955_473_421_488_075, -0.023_098_454_948_764_71, 0.063_259_243_200_570_72],
            [-0.028_369_709_333_863_7, 1.009_995_398_081_304, 0.021_041_441_191_917_323],
            [0.012_314_014_864_481_998, -0.020_507_649_298_898_964, 1.330_365_926_242_124],
        ];
        let d50 = [0.3457 / 0.3585, 1.0, (1.0 - 0.3457 - 0.3585) / 0.3585];
        let ours = bradford(d50, D65_WHITE).unwrap();
        for (row, expected) in ours.0.iter().zip(published) {
            for (value, want) in row.iter().zip(expected) {
                assert!((value - want).abs() < 1e-6, "{ours:?}");
            }
        }
        assert_eq!(bradford([0.0; 3], D65_WHITE), None);
    }
}
