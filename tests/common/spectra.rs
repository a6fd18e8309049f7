//! Colour from spectra: what a surface looks like in a light, by the published tables.

use super::table;
use std::collections::HashMap;

/// 380 to 730 nm in steps of 10 nm.
pub const BANDS: usize = 36;
/// Power, response or reflectance at each of the bands.
pub type Spectrum = [f64; BANDS];

/// Lights of `tests/data/light_spectra.csv` that the other table has not.
const MORE_LIGHTS: [&str; 12] = [
    "D55", "D75", "FL4", "FL7", "FL3_12", "LED_B1", "LED_B2", "LED_B5", "LED_BH1", "LED_RGB1", "LED_V1",
    "LED_V2",
];

/// The 1931 observer and the illuminants of `tests/data/cie_observer_illuminants.csv` and
/// `tests/data/light_spectra.csv`.
pub struct Tables {
    observer: [Spectrum; 3],
    lights: HashMap<String, Spectrum>,
}

impl Tables {
    pub fn load() -> Self {
        let rows = table("cie_observer_illuminants.csv");
        assert_eq!(rows.len(), BANDS);
        let column = |name: &str| std::array::from_fn(|band| rows[band].number(name));
        let lights = ["A", "D50", "D65", "FL2", "FL11", "LED_B3"];
        let mut lights: HashMap<_, _> =
            lights.into_iter().map(|name| (name.to_owned(), column(name))).collect();
        let more = table("light_spectra.csv");
        assert_eq!(more.len(), BANDS);
        for name in MORE_LIGHTS {
            lights.insert(name.to_owned(), std::array::from_fn(|band| more[band].number(name)));
        }
        Self { observer: ["xbar", "ybar", "zbar"].map(column), lights }
    }

    /// The observer: x, y and z.
    pub const fn observer(&self) -> [Spectrum; 3] {
        self.observer
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
        .iter()
        .map(|row| {
            let band = |band: usize| row.number(&(380 + 10 * band).to_string());
            (row.text("patch").to_owned(), std::array::from_fn(band))
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
