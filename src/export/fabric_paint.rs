//! Stitches painted as light, band by band, and averaged to pixels.

use super::stitch_light::REACH;
use crate::colour::transfer;

/// Blur of the eye across a room, as the standard deviation of a bell curve in such pixels: about the half width
/// of 1.4 minutes of arc of a good eye by daylight (from memory, no source at hand). Without it the stitches, some
/// three pixels wide, beat with the pixels and show stripes that no one knits.
const BLUR: f64 = 0.6;
/// Pixels to each side over which the blur reaches.
pub const SPREAD: u32 = 2;

/// A stitch where it lies, in painted pixels.
#[derive(Clone, Copy)]
pub struct Laid {
    /// Its lower left corner, the way to its lower right one, and the way up.
    pub at: [f32; 2],
    pub right: [f32; 2],
    pub up: [f32; 2],
    /// Which of the lights.
    pub light: u16,
    pub purl: bool,
    pub number: u32,
}

/// A band of pixels in linear light.
pub struct Paint {
    width: u32,
    top: f32,
    rows: u32,
    light: Vec<[f32; 3]>,
}

impl Paint {
    /// Rows of pixels on a grey ground of this light.
    pub fn new(width: u32, top: f32, rows: u32, ground: f32) -> Self {
        Self { width, top, rows, light: vec![[ground; 3]; (width * rows) as usize] }
    }

    /// Top and bottom of a stitch with its reach.
    pub fn meets(&self, laid: &Laid) -> bool {
        let (low, high) = bounds(laid, 1);
        high >= self.top && low <= self.top + self.rows as f32
    }

    /// Paints what `shade` gives over a stitch, `reach` rows beyond it below and above.
    pub fn quad(
        &mut self,
        laid: &Laid,
        light: [f32; 3],
        reach: f32,
        shade: impl Fn(f32, f32) -> Option<f32>,
    ) {
        let turn = laid.right[0] * laid.up[1] - laid.right[1] * laid.up[0];
        if turn.abs() < 1e-6 {
            return;
        }
        let long = laid.right[0].hypot(laid.right[1]);
        let samples: usize = if long > 12.0 { 2 } else { 3 };
        let ((left, right), (low, high)) = (bounds(laid, 0), bounds(laid, 1));
        let clip = |from: f32, to: f32, most: u32| {
            (from.floor().max(0.0) as u32)..(to.ceil().max(0.0) as u32 + 1).min(most)
        };
        let step = 1.0 / samples as f32;
        // Half a pixel wider, so that nothing shines through between neighbours.
        let spare = if reach > 0.0 { 0.0 } else { 0.5 / long.max(1.0) };
        for y in clip(low - self.top, high - self.top, self.rows) {
            for x in clip(left, right, self.width) {
                let (mut sum, mut hits) = (0.0, 0_u8);
                for sample in 0..samples * samples {
                    let dx = x as f32 + ((sample % samples) as f32 + 0.5) * step - laid.at[0];
                    let dy = y as f32 + self.top + ((sample / samples) as f32 + 0.5) * step - laid.at[1];
                    let u = (dx * laid.up[1] - dy * laid.up[0]) / turn;
                    let v = (dy * laid.right[0] - dx * laid.right[1]) / turn;
                    let inside = (-spare..=1.0 + spare).contains(&u)
                        && (-reach - spare..=1.0 + reach + spare).contains(&v);
                    if let Some(share) = inside.then(|| shade(u, v)).flatten() {
                        sum += share;
                        hits += 1;
                    }
                }
                if hits > 0 {
                    let cover = f32::from(hits) / (samples * samples) as f32;
                    let share = sum / f32::from(hits);
                    let pixel = &mut self.light[(y * self.width + x) as usize];
                    for (old, light) in pixel.iter_mut().zip(light) {
                        *old += (light * share - *old) * cover;
                    }
                }
            }
        }
    }

    /// Averaged to pixels of `finer` painted ones each way with the weights of [`weights`], as bytes.
    pub fn averaged(&self, finer: u32, weights: &[f32]) -> Vec<u8> {
        let across = (self.width / finer) as usize;
        let (width, finer) = (self.width as usize, finer as usize);
        let beyond = (weights.len() - finer) / 2;
        let reach = |from: usize, index: usize| (from + index).saturating_sub(beyond).min(width - 1);
        let narrow = |row: &[[f32; 3]]| -> Vec<[f32; 3]> {
            let pixel = |x: usize| {
                weighted(weights, |index| {
                    // What is brighter than the screen is white before it is averaged, as in the near picture.
                    row[reach(x * finer, index)].map(|light| light.min(1.0))
                })
            };
            (0..across).map(pixel).collect()
        };
        let rows: Vec<Vec<[f32; 3]>> = self.light.chunks_exact(width).map(narrow).collect();
        let high = (rows.len() - 2 * beyond) / finer;
        let places = (0..high).flat_map(|y| (0..across).map(move |x| (x, y)));
        places
            .flat_map(|(x, y)| {
                let light = weighted(weights, |index| rows[y * finer + index][x]);
                light.map(|light| transfer::to_byte(f64::from(light)))
            })
            .collect()
    }
}

/// How much each painted pixel counts for a pixel of `finer`, along one side: all of its own alike, or from afar
/// with those around it, as the eye blurs them. They add up to 1.
pub fn weights(finer: u32, afar: bool) -> Vec<f32> {
    if !afar {
        return vec![1.0 / finer as f32; finer as usize];
    }
    let count = (1 + 2 * SPREAD) * finer;
    let away = |index: u32| (f64::from(index) + 0.5) / f64::from(finer) - 0.5 - f64::from(SPREAD);
    let bell: Vec<f64> = (0..count).map(|index| (-0.5 * (away(index) / BLUR).powi(2)).exp()).collect();
    let sum: f64 = bell.iter().sum();
    bell.into_iter().map(|weight| (weight / sum) as f32).collect()
}

/// The weighted sum of light.
fn weighted(weights: &[f32], light: impl Fn(usize) -> [f32; 3]) -> [f32; 3] {
    let mut sum = [0.0; 3];
    for (index, weight) in weights.iter().enumerate() {
        sum.iter_mut().zip(light(index)).for_each(|(sum, light)| *sum += weight * light);
    }
    sum
}

/// Least and most of a stitch along an axis, its reach included.
fn bounds(laid: &Laid, axis: usize) -> (f32, f32) {
    let (at, right, up) = (laid.at[axis], laid.right[axis], laid.up[axis]);
    let (down, above) = (at - REACH * up, at + (1.0 + REACH) * up);
    let ends = [down, above, down + right, above + right];
    ends.into_iter().fold((f32::INFINITY, f32::NEG_INFINITY), |(low, high), end| {
        (low.min(end - 1.0), high.max(end + 1.0))
    })
}
