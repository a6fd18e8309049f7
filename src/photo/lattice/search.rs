//! Looking for the frequency of columns and rows.

use super::flat::Flat;
use super::hills::{Hills, middle, orders, slant};
use super::spectrum::{Faded, Frequency, climb};

/// Widths of a stitch that are looked for, in mm: from 55 to 5 stitches in 10 cm.
const WIDTHS: [f64; 2] = [1.8, 20.0];
/// How far the columns may lean, as the tangent: 14 degrees.
const LEAN: f64 = 0.25;
/// Rows over stitches in 10 cm: what plain and stranded knitting can have, with some room (common practice says 1.0 to 1.7). It is
/// less than an octave, so a multiple of the frequency of the rows is never taken for it.
const RATIOS: [f64; 2] = [0.95, 1.8];
/// A peak stands out at least so far over the middle of what is round about (power).
const LEAST_COLUMNS: f64 = 150.0;
/// The same for rows.
const LEAST_ROWS: f64 = 40.0;

/// The columns of stitches.
pub(super) struct Wales {
    pub(super) frequency: Frequency,
    /// Turns at the middle of the frame.
    pub(super) phase: f64,
    pub(super) clearness: f64,
    /// The channel they are seen in.
    channel: Flat,
}

/// The rows.
pub(super) struct Courses {
    pub(super) frequency: Frequency,
    /// Turns at the middle of the frame.
    pub(super) phase: f64,
    pub(super) clearness: f64,
    /// How clear columns and rows are together; among several scales the highest counts.
    pub(super) score: f64,
    /// What may as well be the rows.
    pub(super) rival: Option<Frequency>,
    channel: Flat,
}

/// Which way what is seen leans: +1 as `\`, -1 as `/`, 0 upright or level; the strength of an edge does not count.
fn lean(flat: &Flat, sigma: f64) -> Flat {
    let (along, down) = flat.blurred(sigma).slopes();
    let product = along.zip(&down, |a, b| -2.0 * a * b).blurred(sigma);
    let strength = along.zip(&down, |a, b| a * a + b * b).blurred(sigma);
    let mean = strength.values.iter().sum::<f32>() / strength.values.len() as f32;
    product.zip(&strength, |product, strength| product / (strength + 0.03 * mean + f32::MIN_POSITIVE))
}

impl Wales {
    /// Columns as they are seen at several scales; of those that are clear at all the rows must decide, for the plies of a
    /// yarn or a motif may look like columns too.
    pub(super) fn candidates(flat: &Flat) -> Vec<Self> {
        // Details of a stitch are about a tenth of its width.
        let widths = std::iter::successors(Some(WIDTHS[0] * 1.4), |width| Some(width * 1.5));
        widths
            .take_while(|width| *width < WIDTHS[1])
            .filter_map(|width| Self::at_scale(flat, (0.08 * width * flat.per_mm).max(0.7), width))
            .filter(|found| found.clearness > LEAST_COLUMNS)
            .collect()
    }

    /// The clearest columns of about `width` mm.
    fn at_scale(flat: &Flat, sigma: f64, width: f64) -> Option<Self> {
        let channel = lean(flat, sigma);
        let faded = Faded::of(&channel);
        let spectrum = faded.spectrum();
        // At least two samples in a leg, and five stitches.
        let highest = (1.0 / (width / 1.5)).min(flat.per_mm / 4.0);
        let lowest = (1.0 / (width * 1.5)).max(5.0 * faded.resolution()[0]);
        if lowest >= highest {
            return None;
        }
        let places = spectrum.within([lowest, highest], [-LEAN * highest, LEAN * highest]);
        let peak = places
            .iter()
            .filter(|([x, y], _)| y.abs() <= LEAN * x)
            .max_by(|(_, a), (_, b)| a.total_cmp(b))?;
        let around = spectrum.within([0.5 * lowest, 2.0 * highest], [-highest, highest]);
        let around = middle(around.into_iter().map(|(_, power)| power).collect());
        let clearness = f64::from(peak.1) / around;
        let frequency = climb(peak.0, faded.resolution(), |f| faded.at(f).norm_sqr());
        let phase = turns(faded.at(frequency).arg());
        Some(Self { frequency, phase, clearness, channel })
    }

    /// How sure the frequency is, from its parts.
    pub(super) fn parts(&self) -> Parts {
        let length = self.frequency[0].hypot(self.frequency[1]);
        Parts::of(&self.channel, |part| {
            let faded = Faded::of(part);
            let own = climb(self.frequency, faded.resolution(), |f| faded.at(f).norm_sqr());
            own[0].hypot(own[1]) / length
        })
    }
}

impl Courses {
    /// The rows that go with the columns.
    pub(super) fn find(flat: &Flat, wales: &Wales) -> Option<Self> {
        let stitch = flat.per_mm / wales.frequency[0].hypot(wales.frequency[1]);
        let channel = flat.local_contrast((0.04 * stitch).max(0.6), 0.3 * stitch);
        let faded = Faded::of(&channel);
        let spectrum = faded.spectrum();
        let columns = wales.frequency;
        let width = columns[0].hypot(columns[1]);
        let places = spectrum.within([-LEAN * width, LEAN * width], [RATIOS[0] * width, RATIOS[1] * width]);
        let places: Vec<Frequency> = places
            .into_iter()
            .map(|(f, _)| f)
            .filter(|[x, y]| x.abs() <= LEAN * y && slant([*x, *y], columns) <= LEAN)
            .collect();
        let leaning = Faded::of(&wales.channel).spectrum();
        let hills = Hills::of(&spectrum, &leaning, columns, &places);
        let (best, rival) = hills.rows(&places)?;
        let clearness = hills.clearness(best);
        if clearness < LEAST_ROWS {
            return None;
        }
        let score = hills.score(best) + wales.clearness.ln();
        let frequency = climb(best, faded.resolution(), |f| height(&faded, f, columns));
        let strongest = orders()
            .map(|k| (k, faded.at([frequency[0] + k * columns[0], frequency[1] + k * columns[1]])))
            .max_by(|(_, a), (_, b)| a.norm_sqr().total_cmp(&b.norm_sqr()))?;
        let phase = (turns(strongest.1.arg()) - strongest.0 * wales.phase).rem_euclid(1.0);
        Some(Self { frequency, phase, clearness, score, rival, channel })
    }

    /// How sure the frequency is, from its parts.
    pub(super) fn parts(&self, wales: &Wales) -> Parts {
        let length = self.frequency[0].hypot(self.frequency[1]);
        Parts::of(&self.channel, |part| {
            let faded = Faded::of(part);
            let own = climb(self.frequency, faded.resolution(), |f| height(&faded, f, wales.frequency));
            own[0].hypot(own[1]) / length
        })
    }
}

/// Power of the rows at a frequency, of all orders of the columns together.
fn height(faded: &Faded, [x, y]: Frequency, columns: Frequency) -> f64 {
    orders().map(|k| faded.at([x + k * columns[0], y + k * columns[1]]).norm_sqr()).sum()
}

/// Side of a part, as a share of the whole.
const PART: f64 = 0.6;

/// The frequency in four parts of a channel that overlap a little, one in each corner, as shares of the whole: the upper two,
/// then the lower two, from the left.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Parts([f64; 4]);

impl Parts {
    fn of(channel: &Flat, share: impl Fn(&Flat) -> f64) -> Self {
        let (columns, rows) = (channel.columns, channel.rows);
        let (part_columns, part_rows) = ((columns as f64 * PART) as usize, (rows as f64 * PART) as usize);
        let (right, bottom) = (columns - part_columns, rows - part_rows);
        let corners = [(0, 0), (right, 0), (0, bottom), (right, bottom)];
        Self(corners.map(|corner| share(&channel.cut(corner, (part_columns, part_rows)))))
    }

    /// One standard deviation of the whole, as a share of it. The parts differ among each other about twice as much as the whole
    /// differs from the truth (a frequency's error falls with the power 3/2 of the length and 1/2 of the breadth).
    pub(super) fn error(&self) -> f64 {
        let mean = self.0.iter().sum::<f64>() / 4.0;
        let square = self.0.iter().map(|share| (share - mean).powi(2)).sum::<f64>() / 3.0;
        // The least is what the grid of samples itself may do.
        (square.sqrt() / 2.0).hypot(0.0007)
    }

    /// How much the frequency grows or falls steadily from one side of the swatch to the other, as a share, where that is clearly
    /// more than the parts differ otherwise: a wrong tilt does so, uneven knitting does not.
    pub(super) fn drift(&self) -> Option<f64> {
        let [a, b, c, d] = self.0;
        let (across, down) = ((b + d - a - c) / 2.0, (c + d - a - b) / 2.0);
        let otherwise = (a + d - b - c).abs() / 2.0;
        let steady = across.hypot(down);
        (steady > 3.0 * otherwise).then(|| steady / (1.0 - PART))
    }
}

fn turns(angle: f64) -> f64 {
    (angle / std::f64::consts::TAU).rem_euclid(1.0)
}
