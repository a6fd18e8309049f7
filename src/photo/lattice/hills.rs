//! Which hill of the spectrum is that of the rows.

use super::spectrum::{Frequency, Spectrum};

/// Places of the rows' frequency that are summed: so many columns' frequencies to either side.
const ORDERS: i32 = 2;
/// How far rows lie off square to the columns in a swatch that is laid out with care: 3 degrees, as a sine; our judgement.
const USUAL_SLANT: f64 = 0.052;
/// Hills that are told apart: the rows and what may be taken for them.
const MOST_HILLS: usize = 2;
/// How far the score of the rows must lead: to be, in the light, in the legs and at twice the frequency, about twice as clear as
/// what else may be the rows; our judgement, and a third of the least that the makers of pictures gave which it was chosen on.
const LEAST_LEAD: f64 = 2.0;
/// Steps of the table from a hill's top to its foot: the lobe of the window over the padding of the table.
const FOOT: f64 = 4.0;

/// The hills of a lattice with given columns. Those of all orders lie upon each other. Stripes and motifs have hills of their own in what is
/// light and dark, at parts of the frequency of the rows; but they have none in the direction of the legs, nor at twice the frequency.
pub(super) struct Hills<'a> {
    light: &'a Spectrum,
    legs: &'a Spectrum,
    columns: Frequency,
    /// The middle of the powers in the light, in the legs and at twice the frequency.
    middles: [f64; 3],
}

impl<'a> Hills<'a> {
    /// Looks at `places`, where rows may be.
    pub(super) fn of(
        light: &'a Spectrum,
        legs: &'a Spectrum,
        columns: Frequency,
        places: &[Frequency],
    ) -> Self {
        let mut hills = Self { light, legs, columns, middles: [1.0; 3] };
        let powers: Vec<[f32; 3]> = places.iter().map(|place| hills.powers(*place)).collect();
        hills.middles = [0, 1, 2].map(|i| middle(powers.iter().map(|powers| powers[i]).collect()));
        hills
    }

    fn powers(&self, [x, y]: Frequency) -> [f32; 3] {
        let comb = |spectrum: &Spectrum, [x, y]: Frequency| -> f32 {
            orders().map(|k| spectrum.power([x + k * self.columns[0], y + k * self.columns[1]])).sum()
        };
        [comb(self.light, [x, y]), comb(self.legs, [x, y]), comb(self.light, [2.0 * x, 2.0 * y])]
    }

    /// How far a place stands out in the light: power over the middle.
    pub(super) fn clearness(&self, place: Frequency) -> f64 {
        f64::from(self.powers(place)[0]) / self.middles[0]
    }

    /// How clear a place is in all three, each by how far it stands out, less what its slant makes unlikely.
    pub(super) fn score(&self, place: Frequency) -> f64 {
        let powers = self.powers(place);
        let clear: f64 = (0..3).map(|i| (f64::from(powers[i]) / self.middles[i]).ln_1p()).sum();
        clear - 0.5 * (slant(place, self.columns) / USUAL_SLANT).powi(2)
    }

    /// The place of the rows among `places`, and the place that may as well be theirs, if there is one.
    ///
    /// A motif in strong contrast multiplies what is seen of the rows and so lays twins of their hill aside of it, which may be higher;
    /// a motif that slants lays them aslant. Rows lie square to the columns, so a place counts less the more it slants.
    pub(super) fn rows(&self, places: &[Frequency]) -> Option<(Frequency, Option<Frequency>)> {
        let hills = self.highest(places);
        let (best, score) = *hills.first()?;
        let rival = hills.get(1).filter(|(_, next)| score - next < LEAST_LEAD);
        Some((best, rival.map(|(place, _)| *place)))
    }

    /// The highest places, one of each hill, with their scores.
    fn highest(&self, places: &[Frequency]) -> Vec<(Frequency, f64)> {
        let mut all: Vec<(Frequency, f64)> =
            places.iter().map(|place| (*place, self.score(*place))).collect();
        all.sort_by(|(_, a), (_, b)| b.total_cmp(a));
        let mut tops: Vec<(Frequency, f64)> = Vec::new();
        for (place, score) in all {
            if tops.iter().all(|(top, _)| self.steps(*top, place) > FOOT) {
                tops.push((place, score));
            }
            if tops.len() == MOST_HILLS {
                break;
            }
        }
        tops
    }

    fn steps(&self, a: Frequency, b: Frequency) -> f64 {
        let step = self.light.step;
        ((a[0] - b[0]) / step[0]).hypot((a[1] - b[1]) / step[1])
    }
}

/// How far rows are from square to the columns, as the sine of the angle.
pub(super) fn slant([x, y]: Frequency, columns: Frequency) -> f64 {
    (x * columns[0] + y * columns[1]).abs() / (x.hypot(y) * columns[0].hypot(columns[1]))
}

/// Orders of the columns at which the rows are seen.
pub(super) fn orders() -> impl Iterator<Item = f64> {
    (-ORDERS..=ORDERS).map(f64::from)
}

/// The middle of the powers: half are less.
pub(super) fn middle(mut powers: Vec<f32>) -> f64 {
    if powers.is_empty() {
        return f64::MAX;
    }
    let half = powers.len() / 2;
    let (_, middle, _) = powers.select_nth_unstable_by(half, f32::total_cmp);
    f64::from(*middle).max(f64::MIN_POSITIVE)
}
