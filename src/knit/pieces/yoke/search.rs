//! All choices of one size that cost no more than a limit; what is certain to cost more is cut off.

use super::super::gather::Gather;
use super::{Brief, Choice, Made, Part, Unsolved, Wanted};

/// Shares that a decrease round between plain rounds takes out: `*k n, k2tog` with n from 0 to 6, and
/// the two fifths of common practice.
const SHARES: [f64; 8] = [1.0 / 8.0, 1.0 / 7.0, 1.0 / 6.0, 0.2, 0.25, 1.0 / 3.0, 0.4, 0.5];

/// Counts that a round is tried with, and numbers of plain rounds, at the most: evenly over what is
/// allowed, both ends among them. Finer steps are held by hand.
const COUNTS: usize = 10;
const ROUNDS: usize = 5;

/// Choices listed for one size at the most.
pub(super) const MOST: usize = 3_000;

/// One size on its way.
pub(super) struct Search<'a> {
    brief: &'a Brief,
    wanted: &'a Wanted,
    row_cm: f64,
    stitch_cm: f64,
    /// Least and most rows from each part on.
    ahead: Vec<(u32, u32)>,
    /// Least and most share of the stitches that can be left at the end, from each part on.
    reach: Vec<(f64, f64)>,
    limit: f64,
    found: Vec<Choice>,
    cut: bool,
    only_best: bool,
}

impl<'a> Search<'a> {
    pub(super) fn new(brief: &'a Brief, size: usize) -> Self {
        let wanted = &brief.sizes[size];
        let row_cm = brief.gauge.row_height_cm();
        let most = ((wanted.depth_cm + brief.depth_within_cm) / row_cm).ceil() as u32;
        let mut ahead = vec![(0_u32, 0_u32); brief.parts.len() + 1];
        for i in (0..brief.parts.len()).rev() {
            let held = wanted.held.get(i).and_then(|held| held.rows);
            let (least, up_to) = match (&brief.parts[i], held) {
                (_, Some(rows)) => (rows, rows),
                (Part::Plain { least, most: up_to }, _) => (*least, (*up_to).max(*least)),
                (Part::Change { .. }, _) => (1, 1),
                (Part::Chart { widths, optional }, _) => {
                    let rows = widths.len() as u32;
                    (if *optional { 0 } else { rows }, rows)
                }
                (Part::Fabric { rows, .. }, _) => (*rows, *rows),
                (Part::Wedges { .. }, _) => (0, most),
            };
            ahead[i] = (ahead[i + 1].0 + least, ahead[i + 1].1.saturating_add(up_to));
        }
        let mut reach = vec![(1.0, 1.0); brief.parts.len() + 1];
        for (i, part) in brief.parts.iter().enumerate().rev() {
            let (least, most): (f64, f64) = match part {
                Part::Plain { .. } | Part::Fabric { .. } => (1.0, 1.0),
                Part::Change { least, most } => (*least, *most),
                Part::Chart { widths, optional } => {
                    let kept = f64::from(widths[widths.len() - 1]) / f64::from(widths[0]);
                    if *optional { (kept.min(1.0), kept.max(1.0)) } else { (kept, kept) }
                }
                Part::Wedges { .. } => (0.0, 1.0),
            };
            reach[i] = (reach[i + 1].0 * least, reach[i + 1].1 * most);
        }
        Self {
            reach,
            brief,
            wanted,
            row_cm,
            stitch_cm: brief.gauge.stitch_width_cm(),
            ahead,
            limit: f64::INFINITY,
            found: Vec::new(),
            cut: false,
            only_best: false,
        }
    }

    /// The cheapest choice.
    pub(super) fn best(mut self) -> Result<Choice, Unsolved> {
        self.only_best = true;
        self.run();
        let why = self.why_none();
        self.found.pop().ok_or(why)
    }

    /// All choices up to `limit`, the cheapest first, and whether none was left out.
    pub(super) fn all(mut self, limit: f64) -> (Vec<Choice>, bool) {
        self.limit = limit;
        self.run();
        self.found.sort_by(|a, b| a.own_cost.total_cmp(&b.own_cost));
        (self.found, !self.cut)
    }

    /// First the counts alone, those that end nearest to the girth first; then for each the plain rounds,
    /// those that come nearest to the depth first. What is certain to cost too much is never laid out.
    fn run(&mut self) {
        let (mut chains, mut made) = (Vec::new(), Vec::new());
        self.chains(0, self.wanted.stitches, 0, &mut made, &mut chains);
        chains.sort_by(|a, b| a.0.total_cmp(&b.0));
        let plains = self.plain_rounds();
        for (end_cost, chain) in chains {
            if self.cut || end_cost > self.limit + 1e-9 {
                return;
            }
            let fixed: u32 = chain.iter().map(|made| made.rows).sum();
            for (all, rounds) in &plains {
                let off = f64::from(fixed + all) * self.row_cm - self.wanted.depth_cm;
                let sure = end_cost + self.brief.costs.depth * off * off;
                if off.abs() <= self.brief.depth_within_cm + 1e-9 && sure <= self.limit + 1e-9 {
                    self.lay_out(&chain, rounds);
                }
            }
        }
    }

    /// All counts part by part, plain rounds left out, with what their end costs.
    fn chains(
        &self,
        part: usize,
        stitches: u32,
        done: u32,
        made: &mut Vec<Made>,
        chains: &mut Vec<(f64, Vec<Made>)>,
    ) {
        let girth = |share: f64| f64::from(stitches) * share * self.stitch_cm;
        let (low, high) = (girth(self.reach[part].0), girth(self.reach[part].1));
        let end_off = (low - self.wanted.end_cm).max(self.wanted.end_cm - high).max(0.0);
        // A count is whole, so that a bound may be missed by a stitch.
        let deepest = self.wanted.depth_cm + self.brief.depth_within_cm + 1e-9;
        let least_cm = f64::from(done + self.ahead[part].0) * self.row_cm;
        if end_off > self.brief.end_within_cm + self.stitch_cm || least_cm > deepest {
            return;
        }
        let Some(kind) = self.brief.parts.get(part) else {
            let off = girth(1.0) - self.wanted.end_cm;
            let passes = girth(1.0) + 1e-9 >= self.wanted.least_end_cm;
            if off.abs() <= self.brief.end_within_cm + 1e-9 && passes {
                chains.push((self.brief.costs.end * off * off, made.clone()));
            }
            return;
        };
        let options = match kind {
            Part::Plain { .. } => vec![Made { rows: 0, stitches, repeats: 0 }],
            _ => self.options(part, stitches),
        };
        for option in options {
            made.push(option);
            self.chains(part + 1, option.stitches, done + option.rows, made, chains);
            made.pop();
        }
    }

    /// Every way to share out plain rounds: their sum and those of each plain part, the sums nearest to
    /// the middle of what there is first.
    fn plain_rounds(&self) -> Vec<(u32, Vec<u32>)> {
        let mut ways = vec![(0_u32, Vec::new())];
        for (i, part) in self.brief.parts.iter().enumerate() {
            let Part::Plain { least, most } = part else { continue };
            let held = self.wanted.held.get(i).and_then(|held| held.rows);
            let (least, most) = held.map_or((*least, (*most).max(*least)), |rows| (rows, rows));
            let rounds = sampled(&(least..=most).collect::<Vec<u32>>(), ROUNDS);
            ways = ways
                .into_iter()
                .flat_map(|(sum, way)| {
                    rounds.clone().into_iter().map(move |rows| {
                        let mut way = way.clone();
                        way.push(rows);
                        (sum + rows, way)
                    })
                })
                .collect();
        }
        ways
    }

    /// Lays out one choice of counts with one choice of plain rounds.
    fn lay_out(&mut self, chain: &[Made], rounds: &[u32]) {
        if self.cut {
            return;
        }
        let (mut made, mut rows) = (chain.to_vec(), Vec::new());
        let mut before = self.wanted.stitches;
        let mut rounds = rounds.iter();
        for (part, made) in made.iter_mut().enumerate() {
            if matches!(self.brief.parts[part], Part::Plain { .. }) {
                made.rows = rounds.next().copied().unwrap_or(0);
            }
            self.lay(part, before, *made, &mut rows);
            before = made.stitches;
        }
        self.finish(before, &made, &rows);
    }

    fn why_none(&self) -> Unsolved {
        let size = self.wanted.name.clone();
        let bands_cm = f64::from(self.ahead[0].0) * self.row_cm;
        if bands_cm > self.wanted.depth_cm + self.brief.depth_within_cm {
            return Unsolved::TooDeep { size, bands_cm, depth_cm: self.wanted.depth_cm };
        }
        Unsolved::NoWay { size, end_cm: self.wanted.end_cm, within_cm: self.brief.end_within_cm }
    }

    /// Puts the rows of a part on those before.
    fn lay(&self, part: usize, before: u32, made: Made, rows: &mut Vec<u32>) {
        let last = rows.len() + made.rows as usize;
        match &self.brief.parts[part] {
            Part::Chart { widths, .. } if made.rows > 0 => {
                rows.extend(widths.iter().map(|width| width * made.repeats));
            }
            Part::Wedges { .. } if made.repeats > 0 => {
                rows.extend(wedge_rows(before, made));
            }
            _ => rows.resize(last, made.stitches),
        }
    }

    fn finish(&mut self, stitches: u32, made: &[Made], rows: &[u32]) {
        let (wanted, costs) = (self.wanted, &self.brief.costs);
        let girth = |stitches: u32| f64::from(stitches) * self.stitch_cm;
        let depth_off_cm = rows.len() as f64 * self.row_cm - wanted.depth_cm;
        let end_off_cm = girth(stitches) - wanted.end_cm;
        let outside = depth_off_cm.abs() > self.brief.depth_within_cm + 1e-9
            || end_off_cm.abs() > self.brief.end_within_cm + 1e-9
            || girth(stitches) + 1e-9 < wanted.least_end_cm;
        if outside {
            return;
        }
        let half = rows.get(rows.len() / 2).copied().unwrap_or(stitches);
        let shoulder_short_cm = (wanted.shoulder_cm - girth(half)).max(0.0);
        let gather = Gather::of(rows, self.brief.gauge);
        if gather.share > Gather::MOST + 1e-9 {
            return;
        }
        let own_cost = costs.depth * depth_off_cm.powi(2)
            + costs.end * end_off_cm.powi(2)
            + costs.shoulder * shoulder_short_cm.powi(2)
            + costs.gather * gather.percent().powi(2);
        if own_cost > self.limit + 1e-9 {
            return;
        }
        if self.only_best {
            self.limit = own_cost - 2e-9;
            self.found.clear();
        }
        self.found.push(Choice {
            made: made.to_vec(),
            gather,
            depth_off_cm,
            end_off_cm,
            shoulder_short_cm,
            own_cost,
            uneven_cost: 0.0,
            rows: rows.to_vec(),
        });
        self.cut = self.found.len() >= MOST;
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

    /// Counts after a round that changes it: those that the next band divides, or regular rounds.
    fn changes(&self, part: usize, least: f64, most: f64, stitches: u32) -> Vec<Made> {
        let low = (f64::from(stitches) * least - 1e-9).ceil().max(1.0) as u32;
        let high = (f64::from(stitches) * most + 1e-9).floor() as u32;
        let mut counts: Vec<u32> = Vec::new();
        let mut optional = false;
        for next in &self.brief.parts[part + 1..] {
            let divisors: Vec<u32> = match next {
                Part::Plain { .. } => continue,
                Part::Change { .. } => Vec::new(),
                Part::Chart { widths, .. } => vec![widths[0]],
                Part::Fabric { repeat, .. } => vec![*repeat],
                Part::Wedges { wedges, .. } => wedges.clone(),
            };
            for of in divisors {
                counts.extend((low.div_ceil(of)..=high / of).map(|n| n * of));
            }
            if matches!(next, Part::Change { .. }) {
                counts.extend(SHARES.map(|share| (f64::from(stitches) * (1.0 - share)).round() as u32));
            }
            optional = matches!(next, Part::Chart { optional: true, .. });
            if !optional {
                break;
            }
        }
        if optional || counts.is_empty() || self.next_is_change(part) {
            counts.push(stitches);
        }
        counts.retain(|n| (low..=high).contains(n));
        counts.sort_unstable();
        counts.dedup();
        // What is held is among them, however coarse the steps.
        let held = self.wanted.held.iter().skip(part).find_map(|held| held.stitches);
        let kept = counts.iter().copied().filter(|n| Some(*n) == held);
        let mut counts: Vec<u32> = sampled(&counts, COUNTS).into_iter().chain(kept).collect();
        counts.sort_unstable();
        counts.dedup();
        counts.into_iter().rev().map(|stitches| Made { rows: 1, stitches, repeats: 0 }).collect()
    }

    fn next_is_change(&self, part: usize) -> bool {
        let next = self.brief.parts[part + 1..].iter().find(|part| !matches!(part, Part::Plain { .. }));
        matches!(next, Some(Part::Change { .. }))
    }
}

/// At most `most` of the values, evenly spaced, the first and the last among them.
fn sampled(values: &[u32], most: usize) -> Vec<u32> {
    if values.len() <= most {
        return values.to_vec();
    }
    (0..most).map(|i| values[i * (values.len() - 1) / (most - 1)]).collect()
}

/// Wedges that divide, each with every number of rounds that lose in every second round.
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

/// Rounds of wedges: a plain one after each shaping round as long as the rounds suffice.
fn wedge_rows(before: u32, made: Made) -> Vec<u32> {
    let lost = (before - made.stitches) / made.repeats;
    let slow = made.rows - lost;
    let mut rows = Vec::with_capacity(made.rows as usize);
    for done in 1..=lost {
        let stitches = before - done * made.repeats;
        rows.push(stitches);
        if done <= slow {
            rows.push(stitches);
        }
    }
    rows
}
