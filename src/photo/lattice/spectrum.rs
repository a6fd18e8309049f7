//! How strong each frequency is in a channel, and where exactly a peak lies.

use rustfft::FftPlanner;
use rustfft::num_complex::Complex;

use super::flat::Flat;

/// A frequency: cycles in a mm along the rows and down the columns.
pub type Frequency = [f64; 2];

/// A channel faded out to its edges (von Hann's window), its mean taken off.
pub struct Faded {
    columns: usize,
    rows: usize,
    per_mm: f64,
    values: Vec<f32>,
}

impl Faded {
    /// Fades a channel out.
    pub fn of(channel: &Flat) -> Self {
        let window = |place: usize, count: usize| {
            let turn = (place as f64 + 0.5) / count as f64 * std::f64::consts::TAU;
            (0.5 - 0.5 * turn.cos()) as f32
        };
        let across: Vec<f32> = (0..channel.columns).map(|x| window(x, channel.columns)).collect();
        let mean = channel.values.iter().sum::<f32>() / channel.values.len() as f32;
        let mut values = channel.values.clone();
        for (y, row) in values.chunks_exact_mut(channel.columns).enumerate() {
            let down = window(y, channel.rows);
            row.iter_mut().zip(&across).for_each(|(value, across)| *value = (*value - mean) * across * down);
        }
        Self { columns: channel.columns, rows: channel.rows, per_mm: channel.per_mm, values }
    }

    /// What one turn over the whole swatch is, each way: two frequencies nearer than this are hard to tell apart.
    pub fn resolution(&self) -> Frequency {
        [self.per_mm / self.columns as f64, self.per_mm / self.rows as f64]
    }

    /// The strength and phase of any frequency, not only those of the table; the phase is that at the middle.
    pub fn at(&self, [fx, fy]: Frequency) -> Complex<f64> {
        let wave = |frequency: f64, count: usize| -> Vec<Complex<f64>> {
            let middle = count as f64 / 2.0;
            let turn =
                |n: usize| -std::f64::consts::TAU * frequency * (n as f64 + 0.5 - middle) / self.per_mm;
            (0..count).map(|n| Complex::from_polar(1.0, turn(n))).collect()
        };
        let across: Vec<Complex<f32>> =
            wave(fx, self.columns).into_iter().map(|c| Complex::new(c.re as f32, c.im as f32)).collect();
        let rows = self.values.chunks_exact(self.columns).map(|row| {
            let (mut re, mut im) = (0.0_f32, 0.0_f32);
            for (value, wave) in row.iter().zip(&across) {
                re += value * wave.re;
                im += value * wave.im;
            }
            Complex::new(f64::from(re), f64::from(im))
        });
        rows.zip(wave(fy, self.rows)).map(|(row, wave)| row * wave).sum()
    }

    /// Its whole spectrum.
    pub fn spectrum(&self) -> Spectrum {
        let padded = |count: usize| (count * 3 / 2).next_power_of_two();
        let (width, height) = (padded(self.columns), padded(self.rows));
        let mut planner = FftPlanner::<f32>::new();
        let along = planner.plan_fft_forward(width);
        let mut table = vec![Complex::default(); width * height];
        for (row, values) in table.chunks_exact_mut(width).zip(self.values.chunks_exact(self.columns)) {
            row.iter_mut().zip(values).for_each(|(cell, value)| cell.re = *value);
            along.process(row);
        }
        // Frequencies along the rows from 0 up are enough: the others are their mirror images.
        let half = width / 2;
        let down = planner.plan_fft_forward(height);
        let mut power = vec![0.0; half * height];
        let mut column = vec![Complex::default(); height];
        for x in 0..half {
            column.iter_mut().enumerate().for_each(|(y, cell)| *cell = table[y * width + x]);
            down.process(&mut column);
            column.iter().enumerate().for_each(|(y, cell)| power[y * half + x] = cell.norm_sqr());
        }
        Spectrum { half, height, step: [self.per_mm / width as f64, self.per_mm / height as f64], power }
    }
}

/// Power over frequency.
pub struct Spectrum {
    half: usize,
    height: usize,
    /// Cycles in a mm from one place of the table to the next.
    pub step: Frequency,
    power: Vec<f32>,
}

impl Spectrum {
    /// Power at a frequency, of either sign; 0 beyond the table.
    pub fn power(&self, [fx, fy]: Frequency) -> f32 {
        let (fx, fy) = if fx < 0.0 { (-fx, -fy) } else { (fx, fy) };
        let x = (fx / self.step[0]).round() as usize;
        let y = (fy / self.step[1]).round() as i64;
        let half_height = self.height as i64 / 2;
        if x >= self.half || y.abs() >= half_height {
            return 0.0;
        }
        let y = y.rem_euclid(self.height as i64) as usize;
        self.power[y * self.half + x]
    }

    /// All frequencies in a box, with their power.
    pub fn within(&self, [left, right]: [f64; 2], [low, high]: [f64; 2]) -> Vec<(Frequency, f32)> {
        let range = |from: f64, to: f64, step: f64| (from / step).ceil() as i64..=(to / step).floor() as i64;
        range(low, high, self.step[1])
            .flat_map(|y| range(left, right, self.step[0]).map(move |x| (x, y)))
            .map(|(x, y)| {
                let frequency = [x as f64 * self.step[0], y as f64 * self.step[1]];
                (frequency, self.power(frequency))
            })
            .collect()
    }
}

/// The top of the hill near `start`, by parabolas through three values each way; `step` is the first distance.
pub fn climb(start: Frequency, step: Frequency, height: impl Fn(Frequency) -> f64) -> Frequency {
    let mut best = start;
    for round in 0..4 {
        let scale = [0.5, 0.35, 0.2, 0.1][round];
        for axis in [0, 1] {
            let moved = |by: f64| {
                let mut place = best;
                place[axis] += by;
                place
            };
            let by = step[axis] * scale;
            let [below, here, above] =
                [moved(-by), best, moved(by)].map(|f| height(f).max(f64::MIN_POSITIVE).ln());
            let bend = below - 2.0 * here + above;
            let shift = if bend < 0.0 {
                (0.5 * (below - above) / bend).clamp(-1.5, 1.5)
            } else {
                (above - below).signum()
            };
            best = moved(shift * by);
        }
    }
    best
}
