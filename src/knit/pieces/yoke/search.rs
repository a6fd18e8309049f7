//! All choices of one size that cost no more than a limit; what is certain to cost more is cut off.
//!
//! First the counts alone, part by part, in chains; a chain that costs too much however its plain rounds
//! lie is dropped. Then every number of plain rounds in every proportion.

use std::f64::consts::TAU;

use super::super::gather::{Gather, window};
use super::share::{Proportion, rounds};
use super::{Brief, Choice, Made, Part, Unsolved, Wanted};

/// Shares that a decrease round before another one takes out: `*k n, k2tog` with n from 0 to 6, and the
/// two fifths of common practice.
const SHARES: [f64; 8] = [1.0 / 8.0, 1.0 / 7.0, 1.0 / 6.0, 0.2, 0.25, 1.0 / 3.0, 0.4, 0.5];

/// Counts that are tried for a band lie no closer together than this share of the round.
const APART: f64 = 0.04;

/// Choices listed for one size and proportion at the most.
const MOST: usize = 4_000;

/// A stretch of equal rounds: from row, up to row, girth in cm.
type Plateau = (u32, u32, f64);

/// The choices of one size, for each proportion the cheapest first.
pub(super) struct Choices {
    pub(super) by_way: Vec<Vec<Choice>>,
    /// Whether none was left out.
    pub(super) whole: bool,
}

/// Rounds of one girth, one after another.
#[derive(Clone, Copy)]
struct Stretch {
    /// Rows beside plain rounds.
    rows: u32,
    /// The plain parts among them, a bit for each.
    plain: u64,
    /// In cm; not a number where the rows differ.
    girth: f64,
}

/// The counts of all parts, plain rounds left out.
struct Chain {
    made: Vec<Made>,
    stretches: Vec<Stretch>,
    rows: u32,
    /// What its end costs, and what it leaves out.
    own: f64,
    /// The same with what it gathers at the least.
    sure: f64,
}

impl Chain {
    fn new(brief: &Brief, made: &[Made], rows: u32, (own, sure): (f64, f64)) -> Self {
        let (mut stretches, mut plain) = (Vec::<Stretch>::new(), 0);
        for (part, made) in brief.parts.iter().zip(made) {
            let mut bit = 0_u64;
            if matches!(part, Part::Plain { .. }) {
                bit = 1 << (plain % 64);
                plain += 1;
            } else if made.rows == 0 {
                continue;
            }
            let girth = if is_even(part) {
                f64::from(made.stitches) * brief.gauge.stitch_width_cm()
            } else {
                f64::NAN
            };
            match stretches.last_mut() {
                Some(last) if last.girth.total_cmp(&girth).is_eq() && !girth.is_nan() => {
                    last.rows += made.rows;
                    last.plain |= bit;
                }
                _ => stretches.push(Stretch { rows: made.rows, plain: bit, girth }),
            }
        }
        Self { made: made.to_vec(), stretches, rows, own, sure }
    }

    /// The stretches of equal rounds with so many plain rounds.
    fn plateaus(&self, plain: &[u32], plateaus: &mut Vec<Plateau>) {
        plateaus.clear();
        let mut done = 0;
        for stretch in &self.stretches {
            let mut rows = stretch.rows;
            if stretch.plain != 0 {
                let among = plain.iter().enumerate().filter(|(i, _)| stretch.plain >> (i % 64) & 1 == 1);
                rows += among.map(|(_, rows)| rows).sum::<u32>();
            }
            if rows > 0 {
                plateaus.push((done, done + rows, stretch.girth));
                done += rows;
            }
        }
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

/// One size on its way.
pub(super) struct Search<'a> {
    brief: &'a Brief,
    wanted: &'a Wanted,
    row_cm: f64,
    stitch_cm: f64,
    window: u32,
    /// Most rows there may be.
    deepest: u32,
    /// Least rows from each part on.
    ahead: Vec<u32>,
    /// Least and most share of the stitches that can be left at the end, from each part on.
    reach: Vec<(f64, f64)>,
    limit: f64,
}

impl<'a> Search<'a> {
    pub(super) fn new(brief: &'a Brief, size: usize) -> Self {
        let wanted = &brief.sizes[size];
        let row_cm = brief.gauge.row_height_cm();
        let mut ahead = vec![0_u32; brief.parts.len() + 1];
        let mut reach = vec![(1.0, 1.0); brief.parts.len() + 1];
        for (i, part) in brief.parts.iter().enumerate().rev() {
            let held = wanted.held.get(i).and_then(|held| held.rows);
            let rows = match (part, held) {
                (_, Some(rows)) => rows,
                (Part::Plain { least, .. }, _) => *least,
                (Part::Change { .. } | Part::Wedges { .. } | Part::Chart { optional: true, .. }, _) => 0,
                (Part::Chart { widths, .. }, _) => widths.len() as u32,
                (Part::Fabric { rows, .. }, _) => *rows,
            };
            ahead[i] = ahead[i + 1].saturating_add(rows);
            let (least, most): (f64, f64) = match part {
                Part::Plain { .. } | Part::Fabric { .. } => (1.0, 1.0),
                Part::Change { least, most } => (least.min(1.0), most.max(1.0)),
                Part::Chart { widths, optional } => {
                    let kept = f64::from(widths[widths.len() - 1]) / f64::from(widths[0]);
                    if *optional { (kept.min(1.0), kept.max(1.0)) } else { (kept, kept) }
                }
                Part::Wedges { .. } => (0.0, 1.0),
            };
            reach[i] = (reach[i + 1].0 * least, reach[i + 1].1 * most);
        }
        Self {
            brief,
            wanted,
            row_cm,
            stitch_cm: brief.gauge.stitch_width_cm(),
            window: window(brief.gauge) as u32,
            deepest: ((wanted.depth_cm + brief.depth_within_cm + 1e-9) / row_cm).floor() as u32,
            ahead,
            reach,
            limit: f64::INFINITY,
        }
    }

    /// All choices up to `limit`, for each of the proportions.
    pub(super) fn all(mut self, ways: &[Proportion], limit: f64) -> Choices {
        let mut choices = Choices { by_way: vec![Vec::new(); ways.len()], whole: true };
        self.each(ways, limit, |way, choice, limit| {
            let list = &mut choices.by_way[way];
            if list.len() < MOST {
                list.push(choice);
            } else {
                choices.whole = false;
            }
            limit
        });
        for list in &mut choices.by_way {
            list.sort_by(|a, b| a.own_cost.total_cmp(&b.own_cost));
        }
        choices
    }

    /// What the cheapest choice costs in any of the proportions, if it costs no more than `limit`.
    pub(super) fn least(mut self, ways: &[Proportion], limit: f64) -> Option<f64> {
        let mut least = None;
        self.each(ways, limit, |_, choice, _| {
            least = Some(choice.own_cost);
            choice.own_cost - 2e-9
        });
        least
    }

    /// Hands every choice up to `limit` to `visit`, which says what the limit is from there on.
    fn each(&mut self, ways: &[Proportion], limit: f64, mut visit: impl FnMut(usize, Choice, f64) -> f64) {
        self.limit = limit + 1e-9;
        let mut chains = Vec::new();
        self.chains(self.wanted.stitches, (0, 0.0), &mut Vec::new(), &mut chains);
        chains.sort_by(|a, b| a.sure.total_cmp(&b.sure));
        let shared = self.shared(ways);
        let mut rows = Vec::new();
        let mut plateaus = Vec::with_capacity(self.brief.parts.len());
        for chain in &chains {
            if chain.sure > self.limit {
                break;
            }
            for (sum, ways_of) in shared.iter().enumerate() {
                let off = f64::from(chain.rows + sum as u32) * self.row_cm - self.wanted.depth_cm;
                let depth = self.brief.costs.depth * off * off;
                if off.abs() > self.brief.depth_within_cm + 1e-9 || chain.sure + depth > self.limit {
                    continue;
                }
                for (plain, ways) in ways_of {
                    chain.plateaus(plain, &mut plateaus);
                    let sure = chain.own + depth;
                    if sure + self.gather_cost(self.steepest(&plateaus)) > self.limit {
                        continue;
                    }
                    let Some(choice) = self.weighed(chain, plain, sure, &mut rows) else { continue };
                    for way in ways {
                        self.limit = visit(*way, choice.clone(), self.limit);
                    }
                }
            }
        }
    }

    /// By the sum of plain rounds the ways to share them out, each with the proportions it comes from.
    fn shared(&self, ways: &[Proportion]) -> Vec<Vec<(Vec<u32>, Vec<usize>)>> {
        let mut shared: Vec<Vec<(Vec<u32>, Vec<usize>)>> = vec![Vec::new(); self.deepest as usize + 1];
        for (way, proportion) in ways.iter().enumerate() {
            for plain in rounds(&self.brief.parts, self.wanted, proportion, self.deepest) {
                let Some(of_sum) = shared.get_mut(plain.iter().sum::<u32>() as usize) else { continue };
                match of_sum.iter_mut().find(|(known, _)| *known == plain) {
                    Some((_, ways)) => ways.push(way),
                    None => of_sum.push((plain, vec![way])),
                }
            }
        }
        shared
    }

    fn gather_cost(&self, share: f64) -> f64 {
        if share > Gather::MOST + 1e-9 {
            return f64::INFINITY;
        }
        self.brief.costs.gather * (share * 100.0).powi(2)
    }

    /// All counts part by part that may cost no more than the limit, after `made`, with `done` the rows so
    /// far and what is left out.
    fn chains(
        &self,
        stitches: u32,
        (done, left_out): (u32, f64),
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
        if end + left_out + gathers > self.limit {
            return;
        }
        let Some(kind) = self.brief.parts.get(part) else {
            let off = girth(1.0) - wanted.end_cm;
            let passes = girth(1.0) + 1e-9 >= wanted.least_end_cm;
            let own = self.brief.costs.end * off * off + left_out;
            let sure = own + gathers;
            if off.abs() <= self.brief.end_within_cm + 1e-9 && passes && sure <= self.limit {
                chains.push(Chain::new(self.brief, made, done, (own, sure)));
            }
            return;
        };
        let options = match kind {
            Part::Plain { .. } => vec![Made { rows: 0, stitches, repeats: 0 }],
            _ => self.options(part, stitches),
        };
        for option in options {
            let missing = matches!(kind, Part::Chart { .. }) && option.rows == 0;
            let left_out = left_out + if missing { self.brief.costs.left_out } else { 0.0 };
            made.push(option);
            self.chains(option.stitches, (done + option.rows, left_out), made, chains);
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
    fn is_pure(&self, (from, to, girth): &Plateau) -> bool {
        !girth.is_nan() && (to - from >= self.window || (*from == 0 && 2 * to > self.window))
    }

    /// What the fabric gathers at the least between two stretches of equal rounds, whose girth no
    /// averaging touches in their middle.
    fn steep(&self, from: &Plateau, to: &Plateau) -> f64 {
        let apart = f64::from(to.0.saturating_sub(from.1) + self.window) * self.row_cm;
        ((from.2 - to.2 - TAU * apart) / (from.2 + to.2)).max(0.0)
    }

    /// The same between any two of all stretches.
    fn steepest(&self, plateaus: &[Plateau]) -> f64 {
        let mut most = 0.0_f64;
        for (i, to) in plateaus.iter().enumerate() {
            let last = i + 1 == plateaus.len();
            if last || self.is_pure(to) {
                let pure = plateaus[..i].iter().filter(|from| self.is_pure(from));
                most = pure.map(|from| self.steep(from, to)).fold(most, f64::max);
            }
        }
        most
    }

    /// The rows of every part, plain ones as they are shared out.
    fn each_part<'c>(
        &'c self,
        chain: &'c Chain,
        plain: &'c [u32],
    ) -> impl Iterator<Item = (&'c Part, u32, Made)> {
        let mut plain = plain.iter();
        let mut before = self.wanted.stitches;
        self.brief.parts.iter().zip(&chain.made).map(move |(part, made)| {
            let mut made = *made;
            if matches!(part, Part::Plain { .. }) {
                made.rows = plain.next().copied().unwrap_or(0);
            }
            let from = std::mem::replace(&mut before, made.stitches);
            (part, from, made)
        })
    }

    /// A chain with its plain rounds and all its costs, where it may be worn and keeps to the limit.
    fn weighed(&self, chain: &Chain, plain: &[u32], sure: f64, rows: &mut Vec<u32>) -> Option<Choice> {
        rows.clear();
        let mut made = Vec::with_capacity(chain.made.len());
        for (part, before, one) in self.each_part(chain, plain) {
            match part {
                Part::Chart { widths, .. } if one.rows > 0 => {
                    rows.extend(widths.iter().map(|width| width * one.repeats));
                }
                Part::Wedges { .. } if one.repeats > 0 => rows.extend(super::wedge_rows(before, one)),
                _ => rows.resize(rows.len() + one.rows as usize, one.stitches),
            }
            made.push(one);
        }
        let (wanted, costs) = (self.wanted, &self.brief.costs);
        let girth = |stitches: u32| f64::from(stitches) * self.stitch_cm;
        let end = made.last().map_or(wanted.stitches, |made| made.stitches);
        let half = rows.get(rows.len() / 2).copied().unwrap_or(end);
        let shoulder_short_cm = (wanted.shoulder_cm - girth(half)).max(0.0);
        let sure = sure + costs.shoulder * shoulder_short_cm.powi(2);
        if sure > self.limit {
            return None;
        }
        let gather = Gather::of(rows, self.brief.gauge);
        let own_cost = sure + self.gather_cost(gather.share);
        (own_cost <= self.limit).then(|| Choice {
            made,
            gather,
            depth_off_cm: rows.len() as f64 * self.row_cm - wanted.depth_cm,
            end_off_cm: girth(end) - wanted.end_cm,
            shoulder_short_cm,
            own_cost,
            uneven_cost: 0.0,
            rows: rows.clone(),
        })
    }

    pub(super) fn why_none(&self) -> Unsolved {
        let size = self.wanted.name.clone();
        let bands_cm = f64::from(self.ahead[0]) * self.row_cm;
        if bands_cm > self.wanted.depth_cm + self.brief.depth_within_cm {
            return Unsolved::TooDeep { size, bands_cm, depth_cm: self.wanted.depth_cm };
        }
        Unsolved::NoWay { size, end_cm: self.wanted.end_cm, within_cm: self.brief.end_within_cm }
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
            Part::Wedges { wedges, leave } => wedge_options(stitches, wedges, leave),
        };
        options.retain(|made| {
            held.stitches.is_none_or(|n| n == made.stitches) && held.rows.is_none_or(|n| n == made.rows)
        });
        options
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
        for next in &self.brief.parts[part + 1..] {
            let divisors: &[u32] = match next {
                Part::Plain { .. } => continue,
                Part::Change { .. } => {
                    let regular = SHARES.map(|share| (f64::from(stitches) * (1.0 - share)).round() as u32);
                    counts.extend(regular);
                    &[]
                }
                Part::Chart { widths, .. } => &widths[..1],
                Part::Fabric { repeat, .. } => std::slice::from_ref(repeat),
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

/// Wedges that divide, each with every number of rounds from one to two for each stitch that they lose.
fn wedge_options(stitches: u32, wedges: &[u32], leave: &[u32]) -> Vec<Made> {
    let mut options = Vec::new();
    for &wedges in wedges.iter().filter(|n| **n > 0 && stitches.is_multiple_of(**n)) {
        for &leave in leave {
            let Some(lost) = (stitches / wedges).checked_sub(leave).filter(|_| leave > 0) else { continue };
            options.extend((lost..=2 * lost).map(|rows| Made {
                rows,
                stitches: wedges * leave,
                repeats: wedges,
            }));
        }
    }
    options
}
