//! The counts of all parts of one size, one after another, plain rounds left out.

use std::f64::consts::TAU;

use super::super::gather::Stretch;
use super::search::Search;
use super::{Brief, Made, Part};

/// Shares that a decrease round before another one takes out: `*k n, k2tog` with n from 0 to 6, and the
/// two fifths of common practice.
const SHARES: [f64; 8] = [1.0 / 8.0, 1.0 / 7.0, 1.0 / 6.0, 0.2, 0.25, 1.0 / 3.0, 0.4, 0.5];

/// Counts that are tried for a band lie no closer together than this share of the round.
const APART: f64 = 0.04;

/// Rounds of one girth, one after another.
#[derive(Clone, Copy)]
struct Kept {
    /// Rows beside plain rounds.
    rows: u32,
    /// The plain parts among them, a bit for each.
    plain: u64,
    /// In cm; not a number where the rows differ.
    girth_cm: f64,
}

/// The counts of all parts, plain rounds left out.
pub(super) struct Chain {
    pub(super) made: Vec<Made>,
    kept: Vec<Kept>,
    pub(super) rows: u32,
    /// Whether each of its parts keeps its girth.
    pub(super) even: bool,
    /// What its end costs, and what it leaves out.
    pub(super) own: f64,
    /// The same with what it gathers at the least.
    pub(super) sure: f64,
}

impl Chain {
    fn new(brief: &Brief, made: &[Made], rows: u32, (own, sure): (f64, f64)) -> Self {
        let (mut kept, mut plain) = (Vec::<Kept>::new(), 0);
        for (part, made) in brief.parts.iter().zip(made) {
            let mut bit = 0_u64;
            if matches!(part, Part::Plain { .. }) {
                bit = 1 << (plain % 64);
                plain += 1;
            } else if made.rows == 0 {
                continue;
            }
            let girth_cm = if is_even(part) {
                f64::from(made.stitches) * brief.gauge.stitch_width_cm()
            } else {
                f64::NAN
            };
            match kept.last_mut() {
                Some(last) if last.girth_cm.total_cmp(&girth_cm).is_eq() && !girth_cm.is_nan() => {
                    last.rows += made.rows;
                    last.plain |= bit;
                }
                _ => kept.push(Kept { rows: made.rows, plain: bit, girth_cm }),
            }
        }
        let even = kept.iter().all(|kept| !kept.girth_cm.is_nan());
        Self { made: made.to_vec(), kept, rows, even, own, sure }
    }

    /// The stretches of equal rounds with so many plain rounds.
    pub(super) fn laid(&self, plain: &[u32], stretches: &mut Vec<Stretch>) {
        let all = self.kept.iter().map(|kept| Stretch { rows: kept.rows(plain), girth_cm: kept.girth_cm });
        stretches.clear();
        stretches.extend(all.filter(|stretch| stretch.rows > 0));
    }
}

impl Kept {
    /// All its rows with so many plain rounds.
    fn rows(&self, plain: &[u32]) -> u32 {
        let (mut rows, mut bits) = (self.rows, self.plain);
        while bits != 0 {
            rows += plain.get(bits.trailing_zeros() as usize).copied().unwrap_or(0);
            bits &= bits - 1;
        }
        rows
    }
}

/// How far stretches of equal rounds must lie apart for the fabric to gather no more than it may: whole rows, so
/// that most ways to share out plain rounds fall at a glance.
#[derive(Default)]
pub(super) struct Apart {
    window: u32,
    pairs: Vec<Pair>,
}

/// A stretch and a narrower one that follows it.
struct Pair {
    wide: usize,
    narrow: usize,
    /// Rows between them with no gathering.
    flat: f64,
    /// How many fewer for the whole of the girth gathered.
    spared: f64,
    /// Rows between them with the gathering there may be.
    least: u32,
}

impl Apart {
    /// The stretches of another chain.
    pub(super) fn of(&mut self, search: &Search, chain: &Chain) {
        self.window = search.window;
        self.pairs.clear();
        let row = TAU * search.row_cm;
        for (narrow, to) in chain.kept.iter().enumerate() {
            for (wide, from) in chain.kept[..narrow].iter().enumerate() {
                // By the closed form of `gather`, with half a window of each stretch between their middles.
                let flat = (from.girth_cm - to.girth_cm) / row - f64::from(self.window) - 1e-9;
                let spared = (from.girth_cm + to.girth_cm) / row;
                if flat > 0.0 {
                    self.pairs.push(Pair { wide, narrow, flat, spared, least: 0 });
                }
            }
        }
    }

    /// They may gather by such a share.
    pub(super) fn gather(&mut self, share: f64) {
        for pair in &mut self.pairs {
            // Rounded up; what is below 0 becomes 0.
            pair.least = (pair.flat - share * pair.spared).ceil() as u32;
        }
    }

    /// Whether they lie so far apart with so many plain rounds.
    pub(super) fn keeps(&self, chain: &Chain, plain: &[u32]) -> bool {
        let rows = |stretch: usize| chain.kept[stretch].rows(plain);
        let last = chain.kept.len() - 1;
        self.pairs.iter().all(|pair| {
            let between: u32 = (pair.wide + 1..pair.narrow).map(rows).sum();
            if between >= pair.least {
                return true;
            }
            let (wide, narrow) = (rows(pair.wide), rows(pair.narrow));
            // Some row of either keeps its girth when girths are averaged.
            let pure = (wide >= self.window || (pair.wide == 0 && 2 * wide > self.window))
                && (narrow >= self.window || (pair.narrow == last && narrow > 0));
            !pure
        })
    }
}

/// Whether all rows of a part have the same stitches.
fn is_even(part: &Part) -> bool {
    match part {
        Part::Chart { widths, .. } => widths.iter().all(|width| *width == widths[0]),
        Part::Wedges { .. } => false,
        _ => true,
    }
}

impl Search<'_> {
    /// All counts that may cost no more than a limit, what is sure to cost least first.
    pub(super) fn chains(&self, limit: f64) -> Vec<Chain> {
        let mut chains = Vec::new();
        self.chain(self.wanted.stitches, (0, 0.0), limit + 1e-9, &mut Vec::new(), &mut chains);
        chains.sort_by(|a, b| a.sure.total_cmp(&b.sure));
        chains
    }

    /// The same part by part, after `made`, with `done` the rows so far and what is left out.
    fn chain(
        &self,
        stitches: u32,
        (done, left_out): (u32, f64),
        limit: f64,
        made: &mut Vec<Made>,
        chains: &mut Vec<Chain>,
    ) {
        let part = made.len();
        let girth = |share: f64| f64::from(stitches) * share * self.stitch_cm;
        let (low, high) = (girth(self.reach[part].0), girth(self.reach[part].1));
        let wanted = self.wanted;
        // A count is whole, so that a bound may be missed by a stitch.
        let missed = (low - wanted.end_cm).max(wanted.end_cm - high).max(0.0) - self.stitch_cm;
        if missed > self.brief.end_within_cm || done + self.ahead[part] > self.deepest {
            return;
        }
        let end = self.brief.costs.end * missed.max(0.0).powi(2);
        let widest = high.min(wanted.end_cm + self.brief.end_within_cm);
        let gathers = self.gather_cost(self.least_gather(made, widest));
        if end + left_out + gathers > limit {
            return;
        }
        let Some(kind) = self.brief.parts.get(part) else {
            let off = girth(1.0) - wanted.end_cm;
            let passes = girth(1.0) + 1e-9 >= wanted.least_end_cm;
            let own = self.brief.costs.end * off * off + left_out;
            let sure = own + gathers;
            if off.abs() <= self.brief.end_within_cm + 1e-9 && passes && sure <= limit {
                chains.push(Chain::new(self.brief, made, done, (own, sure)));
            }
            return;
        };
        let options = match kind {
            Part::Plain { repeat, .. } if stitches.is_multiple_of(*repeat) => {
                vec![Made { rows: 0, stitches, repeats: 0 }]
            }
            _ => self.options(part, stitches),
        };
        for option in options {
            let missing = matches!(kind, Part::Chart { .. }) && option.rows == 0;
            let left_out = left_out + if missing { self.brief.costs.left_out } else { 0.0 };
            made.push(option);
            self.chain(option.stitches, (done + option.rows, left_out), limit, made, chains);
            made.pop();
        }
    }

    /// What counts gather at the least however the plain rounds lie: from one stretch of equal rounds to the
    /// next, and from each to the end, which is no wider than `widest` and no further than the whole depth.
    fn least_gather(&self, made: &[Made], widest: f64) -> f64 {
        let mut most = 0.0_f64;
        let (mut done, mut from, mut rows) = (0_u32, 0_u32, 0_u32);
        let mut girth = f64::NAN;
        let mut before: Option<f64> = None;
        let end = (self.deepest, self.deepest, widest);
        for (part, made) in self.brief.parts.iter().zip(made) {
            if made.rows == 0 {
                continue;
            }
            let here = f64::from(made.stitches) * self.stitch_cm;
            let even = is_even(part);
            if !even || here.total_cmp(&girth).is_ne() {
                before = self.is_pure(&(from, done, girth)).then_some(girth);
                (from, girth, rows) = (done, if even { here } else { f64::NAN }, 0);
            }
            done += made.rows;
            rows += made.rows;
            let stretch = (from, done, girth);
            if rows > 0 && even && self.is_pure(&stretch) {
                if let Some(wide) = before {
                    most = most.max(self.steep(&(0, from, wide), &stretch));
                }
                most = most.max(self.steep(&stretch, &end));
            }
        }
        most
    }

    /// Whether some row of a stretch keeps its girth when girths are averaged; beyond its first row the
    /// tube goes on as it is there.
    fn is_pure(&self, (from, to, girth): &(u32, u32, f64)) -> bool {
        !girth.is_nan() && (to - from >= self.window || (*from == 0 && 2 * to > self.window))
    }

    /// What a part can be on so many stitches.
    fn options(&self, part: usize, stitches: u32) -> Vec<Made> {
        let held = self.wanted.held.get(part).copied().unwrap_or_default();
        let mut options = match &self.brief.parts[part] {
            Part::Change { least, most } => self.changes(part, *least, *most, stitches),
            Part::Chart { widths, optional } => {
                let (first, last) = (widths[0], widths[widths.len() - 1]);
                let mut options = Vec::new();
                if stitches.is_multiple_of(first) {
                    let repeats = stitches / first;
                    options.push(Made { rows: widths.len() as u32, stitches: repeats * last, repeats });
                }
                if *optional {
                    options.push(Made { rows: 0, stitches, repeats: 0 });
                }
                options
            }
            Part::Fabric { repeat, rows } if stitches.is_multiple_of(*repeat) => {
                vec![Made { rows: *rows, stitches, repeats: stitches / repeat }]
            }
            Part::Fabric { .. } | Part::Plain { .. } => Vec::new(),
            Part::Wedges { wedges, leave, every } => wedge_options(stitches, wedges, leave, *every),
        };
        options.retain(|made| held.allows(*made));
        options
    }

    /// The stitches that a held number of repeats begins on.
    fn count_for_held(&self, place: usize, part: &Part) -> Option<u32> {
        let repeats = self.wanted.held.get(place)?.repeats?;
        match part {
            Part::Chart { widths, .. } => widths[0].checked_mul(repeats).filter(|n| *n > 0),
            _ => None,
        }
    }

    /// How far counts lie apart at the least: nobody sees a difference that small. The last change comes as
    /// near to the end as it can.
    fn steps(&self, part: usize, stitches: u32) -> u32 {
        let last = !self.brief.parts[part + 1..].iter().any(|part| matches!(part, Part::Change { .. }));
        if last { 1 } else { (f64::from(stitches) * APART).round() as u32 }
    }

    /// Counts after a round that changes it, or no round: every count that what comes next divides, and
    /// also what comes after it where that may be left out; before another change regular rounds; at the
    /// end every count.
    fn changes(&self, part: usize, least: f64, most: f64, stitches: u32) -> Vec<Made> {
        let low = (f64::from(stitches) * least - 1e-9).ceil().max(1.0) as u32;
        let high = (f64::from(stitches) * most + 1e-9).floor() as u32;
        let mut counts: Vec<u32> = vec![stitches];
        let mut open = true;
        for (place, next) in self.brief.parts.iter().enumerate().skip(part + 1) {
            counts.extend(self.count_for_held(place, next));
            let divisors: &[u32] = match next {
                Part::Plain { repeat: 1, .. } => continue,
                Part::Change { .. } => {
                    let regular = SHARES.map(|share| (f64::from(stitches) * (1.0 - share)).round() as u32);
                    counts.extend(regular);
                    &[]
                }
                Part::Chart { widths, .. } => &widths[..1],
                Part::Plain { repeat, .. } | Part::Fabric { repeat, .. } => std::slice::from_ref(repeat),
                Part::Wedges { wedges, .. } => wedges,
            };
            for of in divisors.iter().filter(|of| **of > 0) {
                let apart = of * self.steps(part, stitches).div_ceil(*of).max(1);
                counts.extend((low.div_ceil(apart)..=high / apart).map(|n| n * apart));
            }
            if !matches!(next, Part::Chart { optional: true, .. }) {
                open = false;
                break;
            }
        }
        if open {
            counts.extend(low..=high);
        }
        counts.extend(self.wanted.held.get(part).and_then(|held| held.stitches));
        counts.retain(|n| *n == stitches || (low..=high).contains(n));
        counts.sort_unstable();
        counts.dedup();
        let made = |n: u32| Made { rows: u32::from(n != stitches), stitches: n, repeats: 0 };
        counts.into_iter().rev().map(made).collect()
    }
}

/// Wedges that divide (of a single number of them what does not divide stays), each with every number of rounds there may be for the stitches that they lose.
fn wedge_options(stitches: u32, wedges: &[u32], leave: &[u32], (least, most): (u32, u32)) -> Vec<Made> {
    let mut options = Vec::new();
    let divides = |n: u32| wedges.len() == 1 || stitches.is_multiple_of(n);
    for &wedges in wedges.iter().filter(|n| **n > 0 && divides(**n)) {
        for &leave in leave {
            let Some(lost) = (stitches / wedges).checked_sub(leave).filter(|_| leave > 0) else { continue };
            options.extend((least * lost..=most * lost).map(|rows| Made {
                rows,
                stitches: stitches - wedges * lost,
                repeats: wedges,
            }));
        }
    }
    options
}
