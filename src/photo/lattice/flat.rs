//! The swatch laid flat: resampled straight from above, at a known number of samples in a mm.

use super::LatticeFault;
use super::plane::{Place, Plane};

/// Samples along the longer side at most: enough for 10 samples in a stitch over 60 stitches.
const MOST_SAMPLES: f64 = 640.0;
/// Samples in a mm at most: a stitch of 2 mm then has 16.
const MOST_PER_MM: f64 = 8.0;
/// A side of the swatch at least, in mm: five stitches of the thickest yarns.
const LEAST_SIDE_MM: f64 = 20.0;
/// A pixel is cut into as many parts at most, each way, where the picture is finer than the samples.
const MOST_PARTS: usize = 4;
/// Light that is added before the logarithm, so that black stays finite: a hundredth of a mid grey.
const FLOOR: f32 = 0.002;

/// Where the samples lie on the plane.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frame {
    /// The middle, in mm on the plane.
    pub middle: Place,
    /// Along the rows of knitting, length 1.
    pub along: Place,
    /// Down the columns of stitches, length 1.
    pub down: Place,
    /// Width in mm.
    pub width: f64,
    /// Height in mm.
    pub height: f64,
}

impl Frame {
    /// The largest upright rectangle in a quadrilateral given in mm, clockwise; its top edge goes along the rows.
    pub fn within(corners: [Place; 4]) -> Result<Self, LatticeFault> {
        let [a, b, c, d] = corners;
        let edge = [b[0] - a[0] + c[0] - d[0], b[1] - a[1] + c[1] - d[1]];
        let length = edge[0].hypot(edge[1]);
        if length < 1e-9 {
            return Err(LatticeFault::NoQuadrilateral);
        }
        let along = [edge[0] / length, edge[1] / length];
        let down = [-along[1], along[0]];
        let dot = |p: Place, axis: Place| p[0] * axis[0] + p[1] * axis[1];
        let (left, right) = (dot(a, along).max(dot(d, along)), dot(b, along).min(dot(c, along)));
        let (top, bottom) = (dot(a, down).max(dot(b, down)), dot(c, down).min(dot(d, down)));
        let (width, height) = (right - left, bottom - top);
        if width < LEAST_SIDE_MM || height < LEAST_SIDE_MM {
            return Err(LatticeFault::TooSmall { width, height, least: LEAST_SIDE_MM });
        }
        let (x, y) = (f64::midpoint(left, right), f64::midpoint(top, bottom));
        let middle = [x * along[0] + y * down[0], x * along[1] + y * down[1]];
        Ok(Self { middle, along, down, width, height })
    }

    /// A place of the plane from mm along the rows and down the columns, off the middle.
    pub fn plane_place(&self, [x, y]: Place) -> Place {
        [0, 1].map(|i| self.middle[i] + x * self.along[i] + y * self.down[i])
    }
}

/// A channel of samples on a frame.
#[derive(Clone, Debug)]
pub struct Flat {
    /// Samples in a row.
    pub columns: usize,
    /// Rows of samples.
    pub rows: usize,
    /// Samples in a mm, both ways.
    pub per_mm: f64,
    /// Row by row.
    pub values: Vec<f32>,
}

/// The light between the middles of four pixels, channel by channel: bilinear. The place counts from the middle of the
/// first pixel and lies no further than that of the last one.
pub fn between_pixels<const CHANNELS: usize>(
    light: impl Fn(u32, u32) -> [f32; CHANNELS],
    (width, height): (u32, u32),
    [x, y]: Place,
) -> [f32; CHANNELS] {
    let (x0, y0) = (x as u32, y as u32);
    let (x1, y1) = ((x0 + 1).min(width - 1), (y0 + 1).min(height - 1));
    let (u, v) = ((x - f64::from(x0)) as f32, (y - f64::from(y0)) as f32);
    let [a, b, c, d] = [light(x0, y0), light(x1, y0), light(x0, y1), light(x1, y1)];
    std::array::from_fn(|k| (a[k] * (1.0 - u) + b[k] * u) * (1.0 - v) + (c[k] * (1.0 - u) + d[k] * u) * v)
}

impl Flat {
    /// The logarithm of the light on a frame; shadows only add to it. `light` gives a pixel's light, `0..=1`.
    pub fn of(
        light: &dyn Fn(u32, u32) -> f32,
        (picture_width, picture_height): (u32, u32),
        plane: &Plane,
        frame: &Frame,
    ) -> Result<Self, LatticeFault> {
        let density = |axis| plane.px_per_mm(frame.middle, axis).ok_or(LatticeFault::Horizon);
        let finest = density(frame.along)?.max(density(frame.down)?);
        let per_mm = finest.min(MOST_PER_MM).min(MOST_SAMPLES / frame.width.max(frame.height));
        let parts = ((finest / per_mm).ceil() as usize).clamp(1, MOST_PARTS);
        let (columns, rows) = ((frame.width * per_mm) as usize, (frame.height * per_mm) as usize);
        let read = |[x, y]: Place| -> Option<f32> {
            // The middle of the first pixel is half a pixel inside the picture.
            let (x, y) = (x - 0.5, y - 0.5);
            let (limit_x, limit_y) = (f64::from(picture_width) - 1.0, f64::from(picture_height) - 1.0);
            if !(-0.5..=limit_x + 0.5).contains(&x) || !(-0.5..=limit_y + 0.5).contains(&y) {
                return None;
            }
            let (x, y) = (x.clamp(0.0, limit_x), y.clamp(0.0, limit_y));
            let [light] = between_pixels(|x, y| [light(x, y)], (picture_width, picture_height), [x, y]);
            Some(light)
        };
        let mut values = Vec::with_capacity(columns * rows);
        for row in 0..rows {
            for column in 0..columns {
                let mut sum = 0.0;
                for part in 0..parts * parts {
                    let offset = |n: usize| (n as f64 + 0.5) / parts as f64;
                    let x = (column as f64 + offset(part % parts)) / per_mm - frame.width / 2.0;
                    let y = (row as f64 + offset(part / parts)) / per_mm - frame.height / 2.0;
                    let px = plane.px(frame.plane_place([x, y])).ok_or(LatticeFault::Horizon)?;
                    sum += read(px).ok_or(LatticeFault::Outside)?;
                }
                values.push((sum / (parts * parts) as f32 + FLOOR).ln());
            }
        }
        Ok(Self { columns, rows, per_mm, values })
    }

    /// The same frame with other values.
    pub fn with(&self, values: Vec<f32>) -> Self {
        Self {
            values,
            ..Self { columns: self.columns, rows: self.rows, per_mm: self.per_mm, values: Vec::new() }
        }
    }

    /// Each sample with its fellow of another channel.
    pub fn zip(&self, other: &Self, combine: impl Fn(f32, f32) -> f32) -> Self {
        self.with(self.values.iter().zip(&other.values).map(|(a, b)| combine(*a, *b)).collect())
    }

    /// The part from a column and a row on.
    pub fn cut(&self, (left, top): (usize, usize), (columns, rows): (usize, usize)) -> Self {
        let rows_of = self.values.chunks_exact(self.columns).skip(top).take(rows);
        let values: Vec<f32> = rows_of.flat_map(|row| row[left..left + columns].iter().copied()).collect();
        Self { columns, rows, per_mm: self.per_mm, values }
    }

    /// Blurred by a Gaussian of `sigma` samples; the edge goes on as it is.
    pub fn blurred(&self, sigma: f64) -> Self {
        let reach = (3.0 * sigma).ceil().max(1.0) as isize;
        let weight = |offset: isize| (-0.5 * (offset as f64 / sigma).powi(2)).exp();
        let sum: f64 = (-reach..=reach).map(weight).sum();
        let kernel: Vec<f32> = (-reach..=reach).map(|offset| (weight(offset) / sum) as f32).collect();
        let across = pass(&self.values, self.columns, &kernel);
        let turned = turn(&across, self.columns);
        let down = pass(&turned, self.rows, &kernel);
        self.with(turn(&down, self.rows))
    }

    /// Slopes along the rows and down the columns, by central differences.
    pub fn slopes(&self) -> (Self, Self) {
        let (columns, rows) = (self.columns, self.rows);
        let at = |x: usize, y: usize| self.values[y * columns + x];
        let mut along = Vec::with_capacity(self.values.len());
        let mut down = Vec::with_capacity(self.values.len());
        for y in 0..rows {
            let (above, below) = (y.saturating_sub(1), (y + 1).min(rows - 1));
            for x in 0..columns {
                along.push(at((x + 1).min(columns - 1), y) - at(x.saturating_sub(1), y));
                down.push(at(x, below) - at(x, above));
            }
        }
        (self.with(along), self.with(down))
    }

    /// What is finer than `coarse` and coarser than `fine` (in samples), each place by how strong it is round
    /// about, so that pale and dark yarns, lit and shaded places count alike.
    pub fn local_contrast(&self, fine: f64, coarse: f64) -> Self {
        let band = self.blurred(fine).zip(&self.blurred(coarse), |a, b| a - b);
        let strength = band.zip(&band, |a, b| a * b).blurred(coarse * 1.5);
        let mean = strength.values.iter().sum::<f32>() / strength.values.len() as f32;
        band.zip(&strength, |value, strength| {
            (value / (strength + 0.05 * mean + f32::MIN_POSITIVE).sqrt()).clamp(-2.5, 2.5)
        })
    }
}

fn pass(values: &[f32], columns: usize, kernel: &[f32]) -> Vec<f32> {
    let reach = kernel.len() / 2;
    let mut out = Vec::with_capacity(values.len());
    let mut padded = vec![0.0; columns + 2 * reach];
    for row in values.chunks_exact(columns) {
        padded[..reach].fill(row[0]);
        padded[reach..reach + columns].copy_from_slice(row);
        padded[reach + columns..].fill(row[columns - 1]);
        out.extend(
            padded.windows(kernel.len()).map(|part| part.iter().zip(kernel).map(|(a, k)| a * k).sum::<f32>()),
        );
    }
    out
}

/// Columns as rows.
fn turn(values: &[f32], columns: usize) -> Vec<f32> {
    let rows = values.len() / columns;
    (0..columns).flat_map(|x| (0..rows).map(move |y| values[y * columns + x])).collect()
}
