//! A camera: spectral sensitivities, white balance, a matrix to sRGB, tones, noise and JPEG.

use super::super::dice::Dice;
use crate::common::spectra::{BANDS, Spectrum, Tables, chart24, srgb_code, xyz_to_linear_srgb};
use crate::common::table;

/// What the sensor's channels answer to.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Sensor {
    /// As the 1931 observer sees: no camera, what a camera would be at best.
    Observer,
    /// The first measured camera of `camera_sensitivities.csv`.
    One,
    /// The second.
    Two,
}

impl Sensor {
    pub const ALL: [Self; 3] = [Self::Observer, Self::One, Self::Two];
}

type Matrix = [[f64; 3]; 3];

fn apply(matrix: &Matrix, v: [f64; 3]) -> [f64; 3] {
    matrix.map(|row| row[0] * v[0] + row[1] * v[1] + row[2] * v[2])
}

/// A camera set for one picture.
pub struct Camera {
    channels: [Spectrum; 3],
    to_srgb: Matrix,
    /// Vividness beyond what is there, 1 for none.
    vivid: f64,
    /// How strongly tones are bent: code + bend x sin(2 pi code) / (2 pi), negative for more contrast.
    bend: f64,
    noise: (f64, f64),
    quality: u8,
}

/// Channels of a sensor.
fn channels(sensor: Sensor, tables: &Tables) -> [Spectrum; 3] {
    let rows = table("camera_sensitivities.csv");
    let column = |name: &str| std::array::from_fn(|band: usize| rows[band].number(name));
    match sensor {
        Sensor::Observer => tables.observer(),
        Sensor::One => ["one_r", "one_g", "one_b"].map(column),
        Sensor::Two => ["two_r", "two_g", "two_b"].map(column),
    }
}

fn answer(channels: &[Spectrum; 3], light: &Spectrum, surface: &Spectrum) -> [f64; 3] {
    channels.map(|channel| (0..BANDS).map(|b| channel[b] * light[b] * surface[b]).sum())
}

/// Solves three equations by Cramer's rule.
fn solve(m: &Matrix, v: [f64; 3]) -> [f64; 3] {
    let det = |m: &Matrix| {
        m[0][0] * (m[1][1] * m[2][2] - m[1][2] * m[2][1]) - m[0][1] * (m[1][0] * m[2][2] - m[1][2] * m[2][0])
            + m[0][2] * (m[1][0] * m[2][1] - m[1][1] * m[2][0])
    };
    let whole = det(m);
    std::array::from_fn(|column| {
        let mut replaced = *m;
        for row in 0..3 {
            replaced[row][column] = v[row];
        }
        det(&replaced) / whole
    })
}

/// The matrix from balanced raw to linear sRGB that fits the chart best in the light the camera was
/// profiled in, its white kept white (as camera makers fit theirs; common practice).
fn profile(channels: &[Spectrum; 3], tables: &Tables, light: &Spectrum) -> Matrix {
    let white = answer(channels, light, &[1.0; BANDS]);
    let day = tables.light("D65");
    let mut normal = [[0.0; 3]; 3];
    let mut wanted = [[0.0; 3]; 3];
    for (_, patch) in chart24() {
        let raw: [f64; 3] = std::array::from_fn(|k| answer(channels, light, &patch)[k] / white[k]);
        let srgb = xyz_to_linear_srgb(tables.xyz(&patch, &day));
        for i in 0..3 {
            for j in 0..3 {
                normal[i][j] += raw[i] * raw[j];
                wanted[j][i] += raw[i] * srgb[j];
            }
        }
    }
    wanted.map(|row| {
        let weights = solve(&normal, row);
        let sum: f64 = weights.iter().sum();
        weights.map(|w| w / sum)
    })
}

impl Camera {
    /// A camera in this light. It balances on the light it sees, wholly or in part, or not at all.
    pub fn new(sensor: Sensor, tables: &Tables, light: &Spectrum, is_warm: bool, dice: &mut Dice) -> Self {
        let channels = channels(sensor, tables);
        let profiled = tables.light(if is_warm { "A" } else { "D50" });
        let matrix = profile(&channels, tables, &profiled);
        // Share of the light's colour that the automatic balance takes out; a fourth of the pictures are
        // taken with the balance left on daylight.
        let balanced = if dice.chance(0.25) { 0.0 } else { dice.between(0.55, 1.0) };
        let (seen, fixed) =
            (answer(&channels, light, &[1.0; BANDS]), answer(&channels, &tables.light("D55"), &[1.0; BANDS]));
        let gains: [f64; 3] = std::array::from_fn(|k| {
            let ratio = (seen[k] / seen[1]).powf(balanced) * (fixed[k] / fixed[1]).powf(1.0 - balanced);
            1.0 / ratio
        });
        // The balanced white's green is 1.
        let scale = 1.0 / seen[1];
        let to_srgb = matrix.map(|row| std::array::from_fn(|k| row[k] * gains[k] * scale));
        // Half the pictures are developed neutrally, half as phones do: a little more vivid and harder.
        let phone = dice.chance(0.5);
        Self {
            channels,
            to_srgb,
            vivid: if phone { dice.between(1.0, 1.15) } else { 1.0 },
            bend: if phone { dice.between(-0.35, 0.0) } else { 0.0 },
            noise: (dice.between(0.0005, 0.002), dice.between(2e-5, 3e-4)),
            quality: dice.between(84.0, 96.0) as u8,
        }
    }

    /// Linear sRGB of a surface in a light, before exposure.
    pub fn see(&self, light: &Spectrum, surface: &Spectrum) -> [f64; 3] {
        apply(&self.to_srgb, answer(&self.channels, light, surface))
    }

    /// Codes of a picture's linear sRGB, with noise, tones and JPEG.
    pub fn develop(&self, light: &[[f64; 3]], width: usize, dice: &mut Dice) -> Vec<u8> {
        let blurred = blur(light, width);
        let mut codes = Vec::with_capacity(3 * light.len());
        for pixel in blurred {
            let noisy = pixel.map(|v| {
                let deviation = (self.noise.0.powi(2) + self.noise.1 * v.max(0.0)).sqrt();
                v + deviation * dice.normal()
            });
            let grey = 0.2126 * noisy[0] + 0.7152 * noisy[1] + 0.0722 * noisy[2];
            for value in noisy {
                let code = srgb_code(grey + self.vivid * (value - grey));
                let tau = std::f64::consts::TAU;
                let bent = code + self.bend * (tau * code).sin() / tau;
                codes.push((bent.clamp(0.0, 1.0) * 255.0).round() as u8);
            }
        }
        let mut file = Vec::new();
        let height = light.len() / width;
        image::codecs::jpeg::JpegEncoder::new_with_quality(&mut file, self.quality)
            .encode(&codes, width as u32, height as u32, image::ExtendedColorType::Rgb8)
            .unwrap();
        image::load_from_memory(&file).unwrap().to_rgb8().into_raw()
    }
}

/// A lens: each pixel with a little of its neighbours.
fn blur(light: &[[f64; 3]], width: usize) -> Vec<[f64; 3]> {
    let pass = |from: &[[f64; 3]], step: usize, inside: &dyn Fn(usize) -> bool| -> Vec<[f64; 3]> {
        (0..from.len())
            .map(|place| {
                if !inside(place) {
                    return from[place];
                }
                let (a, b, c) = (from[place - step], from[place], from[place + step]);
                std::array::from_fn(|k| 0.2 * a[k] + 0.6 * b[k] + 0.2 * c[k])
            })
            .collect()
    };
    let across = pass(light, 1, &|place| !place.is_multiple_of(width) && place % width + 1 < width);
    pass(&across, width, &|place| place >= width && place + width < light.len())
}
