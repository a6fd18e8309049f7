//! Shapes that exist: how far a tube of knitting must gather or stretch to be worn.
//!
//! Let `C(s)` be the relaxed girth of a tube at slant distance `s` from its first row. A worn surface
//! cannot lose girth faster than a flat disc, `2 pi` cm for each cm of slant (beyond, it ruffles). It
//! exists when its girth stays within a share `t` of `C` everywhere, so that the least `t` is
//!
//! `t = max over s1 < s2 of (C(s1) - C(s2) - 2 pi (s2 - s1)) / (C(s1) + C(s2))`, never below 0.
//!
//! Stitches slant across a few rows and even a sudden change out: `C` is averaged over 2 cm first
//! (our judgement, no published source).

use std::f64::consts::TAU;

use crate::knit::Gauge;

/// What a tube must gather at the least, and where.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Gather {
    /// The share of its girth the fabric gathers by, `0..1`.
    pub share: f64,
    /// The rows between which it must, counted from 0: the wider and, later, the narrower one.
    pub rows: (u32, u32),
    /// Girth in cm at these two rows, averaged.
    pub girths_cm: (f64, f64),
    /// Slant in cm between the two.
    pub apart_cm: f64,
}

/// What a share of gathering means.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum GatherGrade {
    /// Up to 12 %: worn without a thought.
    Comfortable,
    /// Up to 20 %: seen as folds or felt as a pull.
    Strained,
    /// More: not a shape that can be worn.
    Refused,
}

impl Gather {
    /// The most that is still comfortable (our judgement, no published source; stranded fabric gives
    /// less than plain).
    pub const COMFORTABLE: f64 = 0.12;
    /// The most that is not refused (our judgement, no published source).
    pub const MOST: f64 = 0.20;
    /// Length over which a sudden change of girth evens out, in cm.
    const EVENED_CM: f64 = 2.0;

    /// The gathering of a tube with this many stitches in each row, from the first.
    pub fn of(rows: &[u32], gauge: Gauge) -> Self {
        let evened = evened(rows, window(gauge));
        let girths: Vec<f64> = evened.iter().map(|n| n * gauge.stitch_width_cm()).collect();
        most_of(&girths, gauge.row_height_cm())
    }

    /// What it means.
    pub fn grade(&self) -> GatherGrade {
        // A hair of tolerance so that a share of exactly a limit is within it.
        if self.share <= Self::COMFORTABLE + 1e-9 {
            GatherGrade::Comfortable
        } else if self.share <= Self::MOST + 1e-9 {
            GatherGrade::Strained
        } else {
            GatherGrade::Refused
        }
    }

    /// In per cent.
    pub fn percent(&self) -> f64 {
        self.share * 100.0
    }

    /// How many cm more between the two rows would bring the gathering down to `share`.
    pub fn longer_by_cm(&self, share: f64) -> f64 {
        let (wide, narrow) = self.girths_cm;
        ((wide * (1.0 - share) - narrow * (1.0 + share)) / TAU - self.apart_cm).max(0.0)
    }

    /// How many cm wider the upper of the two rows would have to stay for it.
    pub fn wider_by_cm(&self, share: f64) -> f64 {
        let (wide, narrow) = self.girths_cm;
        ((wide * (1.0 - share) - TAU * self.apart_cm) / (1.0 + share) - narrow).max(0.0)
    }
}

/// Rows over which the girth is averaged, 1 or more.
pub(super) fn window(gauge: Gauge) -> usize {
    (Gather::EVENED_CM / gauge.row_height_cm()).round().max(1.0) as usize
}

/// The running mean over `window` rows; beyond its ends the tube goes on as it is there.
fn evened(rows: &[u32], window: usize) -> Vec<f64> {
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else { return Vec::new() };
    let before = (window - 1) / 2;
    let ahead = window - 1 - before;
    let at = |i: usize| {
        let row = i.checked_sub(before).map_or(first, |i| rows.get(i).unwrap_or(last));
        f64::from(*row)
    };
    let mut sum: f64 = (0..window).map(at).sum();
    (0..rows.len() + ahead)
        .map(|i| {
            let mean = sum / window as f64;
            sum += at(i + window) - at(i);
            mean
        })
        .collect()
}

/// The greatest quotient over all pairs, in a few passes over the rows (Dinkelbach 1967: the greatest
/// quotient is the `t` at which the greatest `N - t D` is 0).
fn most_of(girths: &[f64], step_cm: f64) -> Gather {
    let fall = TAU * step_cm;
    let mut most = Gather::default();
    loop {
        let t = most.share;
        let mut wide = (0, f64::NEG_INFINITY);
        let mut best: Option<(usize, usize, f64)> = None;
        for (i, girth) in girths.iter().enumerate() {
            let way = fall * i as f64;
            let over = wide.1 - girth * (1.0 + t) - way;
            if best.is_none_or(|(_, _, most)| over > most) {
                best = Some((wide.0, i, over));
            }
            let own = girth * (1.0 - t) + way;
            if own > wide.1 {
                wide = (i, own);
            }
        }
        // Rounding alone must not be taken for progress.
        let Some((from, to, _)) = best.filter(|(_, _, over)| *over > 1e-9) else { return most };
        let (a, b) = (girths[from], girths[to]);
        let apart_cm = (to - from) as f64 * step_cm;
        let share = (a - b - TAU * apart_cm) / (a + b);
        if share <= t {
            return most;
        }
        most = Gather { share, rows: (from as u32, to as u32), girths_cm: (a, b), apart_cm };
    }
}

/// Rows that keep one girth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Stretch {
    /// How many.
    pub(super) rows: u32,
    /// Girth in cm.
    pub(super) girth_cm: f64,
}

/// The share of [`Gather::of`] for a tube told in stretches, without laying out its rows.
///
/// The averaged girth is straight between the rows where the window meets or leaves a step. On straight pieces
/// the share is a quotient of straight lines in either row, greatest at an end: only those rows are compared.
pub(super) struct Knots {
    window: i64,
    step_cm: f64,
    /// Row and averaged girth.
    at: Vec<(i64, f64)>,
}

impl Knots {
    pub(super) fn new(gauge: Gauge) -> Self {
        Self { window: window(gauge) as i64, step_cm: gauge.row_height_cm(), at: Vec::new() }
    }

    /// What the stretches, each of one row or more, gather at the least, `0..1`.
    pub(super) fn share(&mut self, stretches: &[Stretch]) -> f64 {
        let before = (self.window - 1) / 2;
        let ahead = self.window - 1 - before;
        let rows: i64 = stretches.iter().map(|stretch| i64::from(stretch.rows)).sum();
        let last = rows + ahead - 1;
        self.at.clear();
        self.at.extend([(0, 0.0), (last, 0.0)]);
        let mut done = 0;
        for stretch in stretches.iter().take(stretches.len().saturating_sub(1)) {
            done += i64::from(stretch.rows);
            let knots = [done - ahead - 1, done + before];
            self.at.extend(knots.into_iter().filter(|row| (1..last).contains(row)).map(|row| (row, 0.0)));
        }
        self.at.sort_unstable_by_key(|(row, _)| *row);
        for (row, girth) in &mut self.at {
            let sum = sum_to(stretches, *row + ahead + 1) - sum_to(stretches, *row - before);
            *girth = sum / self.window as f64;
        }
        let fall = TAU * self.step_cm;
        let mut most = 0.0_f64;
        for (i, (to, narrow)) in self.at.iter().enumerate() {
            for (from, wide) in &self.at[..i] {
                let over = wide - narrow - fall * (to - from) as f64;
                if over > most * (wide + narrow) {
                    most = over / (wide + narrow);
                }
            }
        }
        most
    }
}

/// The girths of all rows before `row` added up; before the first and after the last the tube goes on as it is.
fn sum_to(stretches: &[Stretch], row: i64) -> f64 {
    let (mut sum, mut done) = (0.0, 0_i64);
    for (i, stretch) in stretches.iter().enumerate() {
        let end = done + i64::from(stretch.rows);
        if row < end || i + 1 == stretches.len() {
            return sum + (row - done) as f64 * stretch.girth_cm;
        }
        sum += f64::from(stretch.rows) * stretch.girth_cm;
        done = end;
    }
    sum
}

#[cfg(test)]
mod tests {
    use super::*;

    fn gauge() -> Gauge {
        Gauge::new(28.0, 33.0).unwrap()
    }

    fn stitches(cm: f64) -> u32 {
        (cm * 2.8).round() as u32
    }

    fn rows(cm: f64) -> usize {
        (cm * 3.3).round() as usize
    }

    fn percent(rows: &[u32]) -> f64 {
        Gather::of(rows, gauge()).percent().round()
    }

    /// Rows of the three decrease rounds of common practice (`yoke_shaping.csv` Y10: a quarter, a third,
    /// two fifths; Y6-Y8: at a half, three quarters and the whole of the depth), then the neck.
    fn three_rounds(girth_cm: f64, depth_cm: f64) -> Vec<u32> {
        let depth = rows(depth_cm);
        let at = |share: f64| stitches(girth_cm * share);
        let (half, quarter) = (depth / 2, depth * 3 / 4 - depth / 2);
        let mut rows = vec![at(1.0); half];
        rows.extend(vec![at(0.75); quarter]);
        rows.extend(vec![at(0.5); depth - half - quarter]);
        rows.extend(vec![at(0.3); 9]);
        rows
    }

    /// The worked values of the house plan, section 9.
    #[test]
    fn the_worked_examples_come_out() {
        // 128.6 cm kept for 15.4 cm, 41 cm after 5.5 cm more, then the neckband.
        let (wide, narrow, way) = (stitches(128.6), stitches(41.0), rows(5.5));
        let mut kept = vec![wide; rows(15.4)];
        kept.extend((1..=way).map(|i| wide - (wide - narrow) * i as u32 / way as u32));
        kept.extend(vec![narrow; rows(2.5)]);
        assert_eq!(percent(&kept), 27.0);
        assert_eq!(percent(&three_rounds(128.0, 22.0)), 12.0);
        assert_eq!(percent(&three_rounds(200.0, 28.0)), 17.0);
        let even: Vec<u32> = (0..rows(22.0)).map(|i| 358 - (358 - 108) * i as u32 / 72).collect();
        assert_eq!(percent(&even), 0.0);
        // Ten wedges, 130 sts, one stitch of each every 2nd round, then once more: the hat of the example.
        let mut hat = vec![130; 20];
        let mut left = 130;
        while left > 20 {
            left -= 10;
            hat.extend([left, left]);
        }
        hat.push(10);
        // The very last round halves ten pairs: a hair, and the thread closes it anyway.
        assert!(percent(&hat) <= 1.0);
    }

    /// A disc: `2 pi` times the radius.
    #[test]
    fn a_flat_disc_needs_no_gathering_and_anything_steeper_does() {
        let disc = |radius: f64, per_cm: f64| -> Vec<f64> {
            (0..100).map(|i| per_cm * (radius - radius * f64::from(i) / 99.0)).collect()
        };
        let step = 20.0 / 99.0;
        assert!(most_of(&disc(20.0, TAU), step).share < 1e-9, "a disc");
        assert!(most_of(&disc(20.0, TAU * 0.8), step).share < 1e-9, "a cone");
        let ruffle = most_of(&disc(20.0, TAU * 1.1), step);
        // To the very centre: (1.1 - 1) / 1.1 of the girth must go.
        assert!((ruffle.share - 0.1 / 1.1).abs() < 1e-9, "{ruffle:?}");
    }

    /// A cone of half-angle `a`: its girth grows by `2 pi sin a` for each cm of slant.
    #[test]
    fn cones_lie_within_the_disc() {
        for degrees in [5.0_f64, 30.0, 60.0, 89.0] {
            let sin = degrees.to_radians().sin();
            let girths: Vec<f64> = (0..60).rev().map(|i| TAU * sin * f64::from(i) * 0.3).collect();
            assert!(most_of(&girths, 0.3).share < 1e-9, "{degrees}");
        }
    }

    /// All pairs, one by one.
    fn twin(girths: &[f64], step: f64) -> f64 {
        let mut most = 0.0_f64;
        for (i, a) in girths.iter().enumerate() {
            for (j, b) in girths.iter().enumerate().skip(i + 1) {
                most = most.max((a - b - TAU * (j - i) as f64 * step) / (a + b));
            }
        }
        most
    }

    #[test]
    fn the_few_passes_find_what_all_pairs_find() {
        let mut seed = 7_u64;
        let mut random = move |most: u64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (seed >> 33) % most
        };
        let mut strained = 0;
        for _ in 0..400 {
            let girths: Vec<f64> = (0..=random(60)).map(|_| 20.0 + random(120) as f64).collect();
            let step = 0.1 + random(20) as f64 / 10.0;
            let (found, all) = (most_of(&girths, step).share, twin(&girths, step));
            assert!((found - all).abs() < 1e-9, "{found} {all}");
            strained += usize::from(all > 0.0);
        }
        assert!(strained > 200, "most of them need some");
    }

    #[test]
    fn stretches_gather_what_their_rows_laid_out_gather() {
        let mut seed = 5_u64;
        let mut random = move |most: u64| {
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            (seed >> 33) % most
        };
        let mut strained = 0;
        for _ in 0..2_000 {
            let gauge = Gauge::new(12.0 + random(24) as f64, 14.0 + random(36) as f64).unwrap();
            let told: Vec<(u32, u32)> =
                (0..=random(6)).map(|_| (1 + random(30) as u32, 20 + random(400) as u32)).collect();
            let rows: Vec<u32> = told.iter().flat_map(|(rows, n)| vec![*n; *rows as usize]).collect();
            let stretch = |(rows, n): &(u32, u32)| Stretch {
                rows: *rows,
                girth_cm: f64::from(*n) * gauge.stitch_width_cm(),
            };
            let stretches: Vec<Stretch> = told.iter().map(stretch).collect();
            let (knots, all) = (Knots::new(gauge).share(&stretches), Gather::of(&rows, gauge).share);
            assert!((knots - all).abs() < 1e-9, "{knots} {all} {told:?} {gauge:?}");
            strained += usize::from(all > 0.0);
        }
        assert!(strained > 1_000, "most of them need some: {strained}");
    }

    #[test]
    fn a_mended_tube_just_passes() {
        let mut rows = vec![360; 51];
        rows.extend(vec![114; 12]);
        let gather = Gather::of(&rows, gauge());
        assert_eq!(gather.grade(), GatherGrade::Refused);
        let longer = Gather { apart_cm: gather.apart_cm + gather.longer_by_cm(0.2), ..gather };
        let (a, b) = longer.girths_cm;
        assert!(((a - b - TAU * longer.apart_cm) / (a + b) - 0.2).abs() < 1e-9);
        let b = b + gather.wider_by_cm(0.2);
        assert!(((a - b - TAU * gather.apart_cm) / (a + b) - 0.2).abs() < 1e-9);
        assert_eq!(Gather::of(&[], gauge()), Gather::default());
    }
}
