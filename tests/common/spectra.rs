//! Colour from spectra: what a surface looks like in a light, by the published tables.

use std::collections::HashMap;
use std::path::Path;

/// 380 to 730 nm in steps of 10 nm.
pub const BANDS: usize = 36;
/// Power, response or reflectance at each of the bands.
pub type Spectrum = [f64; BANDS];

/// The 1931 observer and the illuminants of `tests/data/cie_observer_illuminants.csv`.
pub struct Tables {
    observer: [Spectrum; 3],
    lights: HashMap<String, Spectrum>,
}

/// Text of a table in tests/data without its leading comment lines.
pub fn table(name: &str) -> String {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data").join(name);
    let text = std::fs::read_to_string(&path).unwrap_or_else(|e| panic!("{}: {e}", path.display()));
    text.lines().skip_while(|line| line.starts_with('#')).collect::<Vec<_>>().join("\n")
}

impl Tables {
    pub fn load() -> Self {
        let text = table("cie_observer_illuminants.csv");
        let mut lines = text.lines();
        let names: Vec<&str> = lines.next().unwrap().split(',').collect();
        let rows: Vec<Vec<f64>> =
            lines.map(|line| line.split(',').map(|v| v.parse().unwrap()).collect()).collect();
        assert_eq!(rows.len(), BANDS);
        let column = |index: usize| std::array::from_fn(|band| rows[band][index]);
        let lights = (4..names.len()).map(|index| (names[index].to_owned(), column(index))).collect();
        Self { observer: [1, 2, 3].map(column), lights }
    }

    /// An illuminant by its column name.
    pub fn light(&self, name: &str) -> Spectrum {
        self.lights[name]
    }

    /// XYZ of a reflectance in a light; a perfect white has Y = 1.
    pub fn xyz(&self, reflectance: &Spectrum, light: &Spectrum) -> [f64; 3] {
        let sum = |weights: &Spectrum, surface: &Spectrum| -> f64 {
            (0..BANDS).map(|band| weights[band] * light[band] * surface[band]).sum()
        };
        let white = sum(&self.observer[1], &[1.0; BANDS]);
        [0, 1, 2].map(|axis| sum(&self.observer[axis], reflectance) / white)
    }
}

/// Names and reflectances of the 24 patches.
pub fn chart24() -> Vec<(String, Spectrum)> {
    table("chart24_spectral.csv")
        .lines()
        .skip(1)
        .map(|line| {
            let fields: Vec<&str> = line.split(',').collect();
            let values: Vec<f64> = fields[2..].iter().map(|v| v.parse().unwrap()).collect();
            (fields[1].to_owned(), values.try_into().unwrap())
        })
        .collect()
}

/// Light of a blackbody at this temperature in kelvin (Planck; relative).
pub fn blackbody(kelvin: f64) -> Spectrum {
    std::array::from_fn(|band| {
        let metres = (380.0 + 10.0 * band as f64) * 1e-9;
        1.0 / (metres.powi(5) * ((1.438_776_877e-2 / (metres * kelvin)).exp() - 1.0)) * 1e-30
    })
}

/// XYZ to linear sRGB (inverse of the IEC 61966-2-1 matrix), not clipped.
pub fn xyz_to_linear_srgb([x, y, z]: [f64; 3]) -> [f64; 3] {
    [
        3.240_969_941_904_521 * x - 1.537_383_177_570_093 * y - 0.498_610_760_293 * z,
        -0.969_243_636_280_87 * x + 1.875_967_501_507_72 * y + 0.041_555_057_407_175 * z,
        0.055_630_079_696_993 * x - 0.203_976_958_888_976 * y + 1.056_971_514_242_878 * z,
    ]
}

/// The sRGB tone curve, light to code.
pub fn srgb_code(light: f64) -> f64 {
    let light = light.clamp(0.0, 1.0);
    if light <= 0.003_130_8 { 12.92 * light } else { 1.055 * light.powf(1.0 / 2.4) - 0.055 }
}
