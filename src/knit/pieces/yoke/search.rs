//! All choices of one size that cost no more than a limit; what is certain to cost more is cut off.
//!
//! First the counts alone, part by part, in chains; a chain that costs too much however its plain rounds
//! lie is dropped. Then every number of plain rounds in every proportion, each weighed on its stretches of
//! equal rounds: the rounds themselves are laid out for the optimum alone.

use std::cell::Cell;
use std::f64::consts::TAU;

use super::super::gather::{Gather, Knots, Stretch, window};
use super::chains::{Apart, Chain};
use super::share::{Proportion, rounds};
use super::{Brief, Choice, Made, Part, Unsolved, Wanted};

/// Choices listed for one size at the most, all proportions together.
const MOST: usize = 400_000;

/// Plain rounds part by part, and the proportions that share them out so, by their places.
pub(super) struct Shared {
    plain: Vec<u32>,
    ways: Vec<usize>,
}

/// A choice by the places of its counts and of its plain rounds.
#[derive(Clone, Copy)]
pub(super) struct Found {
    /// What it costs by itself.
    pub(super) own: f64,
    chain: u32,
    sum: u32,
    shared: u32,
}

/// The choices of one size, in each proportion the cheapest first.
pub(super) struct Listed {
    chains: Vec<Chain>,
    pub(super) by_way: Vec<Vec<Found>>,
    /// Whether none was left out.
    pub(super) whole: bool,
}

/// One size on its way.
pub(super) struct Search<'a> {
    pub(super) brief: &'a Brief,
    pub(super) wanted: &'a Wanted,
    pub(super) row_cm: f64,
    pub(super) stitch_cm: f64,
    pub(super) window: u32,
    /// Most rows there may be.
    pub(super) deepest: u32,
    /// Least rows from each part on.
    pub(super) ahead: Vec<u32>,
    /// Least and most share of the stitches that can be left at the end, from each part on.
    pub(super) reach: Vec<(f64, f64)>,
    ways: usize,
    /// By the sum of plain rounds the ways to share them out.
    shared: Vec<Vec<Shared>>,
}

impl<'a> Search<'a> {
    /// The size at `size` with its plain rounds shared out in these proportions.
    pub(super) fn new(brief: &'a Brief, size: usize, ways: &[Proportion]) -> Self {
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
        let deepest = ((wanted.depth_cm + brief.depth_within_cm + 1e-9) / row_cm).floor() as u32;
        Self {
            brief,
            wanted,
            row_cm,
            stitch_cm: brief.gauge.stitch_width_cm(),
            window: window(brief.gauge) as u32,
            deepest,
            ahead,
            reach,
            ways: ways.len(),
            shared: shared(brief, wanted, ways, deepest),
        }
    }

    /// All choices up to a limit for each of the proportions.
    pub(super) fn all(&self, limits: &[f64]) -> Listed {
        let most = limits.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let chains = self.chains(most);
        let mut by_way: Vec<Vec<Found>> = vec![Vec::new(); self.ways];
        let mut room = MOST;
        let limit = |shared: &Shared| shared.ways.iter().map(|way| limits[*way]).fold(f64::MIN, f64::max);
        self.each(
            &chains,
            || most,
            limit,
            |found, shared| {
                for way in shared.ways.iter().filter(|way| found.own <= limits[**way] + 1e-9) {
                    if room > 0 {
                        by_way[*way].push(found);
                        room -= 1;
                    }
                }
            },
        );
        for list in &mut by_way {
            list.sort_by(|a, b| a.own.total_cmp(&b.own));
        }
        Listed { chains, by_way, whole: room > 0 }
    }

    /// What the cheapest choice costs in any of the proportions, if it costs no more than `limit`.
    pub(super) fn least(&self, limit: f64) -> Option<f64> {
        let chains = self.chains(limit);
        let (least, limit) = (Cell::new(None), Cell::new(limit));
        self.each(
            &chains,
            || limit.get(),
            |_| limit.get(),
            |found, _| {
                least.set(Some(found.own));
                limit.set(found.own - 2e-9);
            },
        );
        least.get()
    }

    /// Hands every choice up to its limit to `visit`; no limit is above `most`.
    fn each(
        &self,
        chains: &[Chain],
        most: impl Fn() -> f64,
        limit: impl Fn(&Shared) -> f64,
        mut visit: impl FnMut(Found, &Shared),
    ) {
        let mut knots = Knots::new(self.brief.gauge);
        let mut stretches = Vec::with_capacity(self.brief.parts.len());
        let mut apart = Apart::default();
        for (chain_place, chain) in chains.iter().enumerate() {
            if chain.sure > most() + 1e-9 {
                break;
            }
            apart.of(self, chain);
            for (sum, shared_out) in self.shared.iter().enumerate() {
                let rows = chain.rows + sum as u32;
                let off = f64::from(rows) * self.row_cm - self.wanted.depth_cm;
                let depth = self.brief.costs.depth * off * off;
                if off.abs() > self.brief.depth_within_cm + 1e-9 || chain.sure + depth > most() + 1e-9 {
                    continue;
                }
                apart.gather(self.gather_that_costs(most() - chain.own - depth));
                for (place, shared) in shared_out.iter().enumerate() {
                    let limit = limit(shared) + 1e-9;
                    if chain.sure + depth > limit || !apart.keeps(chain, &shared.plain) {
                        continue;
                    }
                    chain.laid(&shared.plain, &mut stretches);
                    let own = chain.own + depth + self.shoulder_cost(chain, shared, rows, &stretches);
                    if own > limit {
                        continue;
                    }
                    let share = if chain.even {
                        knots.share(&stretches)
                    } else {
                        Gather::of(&self.rows(chain, &shared.plain).1, self.brief.gauge).share
                    };
                    let own = own + self.gather_cost(share);
                    if own <= limit {
                        let (chain, sum, shared_place) = (chain_place as u32, sum as u32, place as u32);
                        visit(Found { own, chain, sum, shared: shared_place }, shared);
                    }
                }
            }
        }
    }

    pub(super) fn gather_cost(&self, share: f64) -> f64 {
        if share > Gather::MOST + 1e-9 {
            return f64::INFINITY;
        }
        self.brief.costs.gather * (share * 100.0).powi(2)
    }

    /// The share of gathering that costs so much, a hair more.
    pub(super) fn gather_that_costs(&self, cost: f64) -> f64 {
        let share = (cost.max(0.0) / self.brief.costs.gather.max(f64::MIN_POSITIVE)).sqrt() / 100.0;
        share.min(Gather::MOST) + 1e-9
    }

    fn shoulder_cost(&self, chain: &Chain, shared: &Shared, rows: u32, stretches: &[Stretch]) -> f64 {
        if self.wanted.shoulder_cm <= 0.0 {
            return 0.0;
        }
        let half = rows / 2;
        let girth = if chain.even {
            let mut done = 0;
            let at = stretches.iter().find(|stretch| {
                done += stretch.rows;
                done > half
            });
            at.or(stretches.last()).map_or(0.0, |stretch| stretch.girth_cm)
        } else {
            let all = self.rows(chain, &shared.plain).1;
            all.get(half as usize).map_or(0.0, |n| f64::from(*n) * self.stitch_cm)
        };
        self.brief.costs.shoulder * (self.wanted.shoulder_cm - girth).max(0.0).powi(2)
    }

    /// A chain part by part with its plain rounds, and the stitches of each of its rows.
    fn rows(&self, chain: &Chain, plain: &[u32]) -> (Vec<Made>, Vec<u32>) {
        let (mut all, mut rows) = (Vec::with_capacity(chain.made.len()), Vec::new());
        let mut before = self.wanted.stitches;
        for (part, made) in self.each_part(chain, plain) {
            match part {
                Part::Chart { widths, .. } if made.rows > 0 => {
                    rows.extend(widths.iter().map(|width| width * made.repeats));
                }
                Part::Wedges { .. } if made.repeats > 0 => rows.extend(super::wedge_rows(before, made)),
                _ => rows.resize(rows.len() + made.rows as usize, made.stitches),
            }
            before = made.stitches;
            all.push(made);
        }
        (all, rows)
    }

    /// The parts as they are worked, plain ones as they are shared out.
    fn each_part<'c>(&'c self, chain: &'c Chain, plain: &'c [u32]) -> impl Iterator<Item = (&'c Part, Made)> {
        let mut plain = plain.iter();
        self.brief.parts.iter().zip(&chain.made).map(move |(part, made)| {
            let mut made = *made;
            if matches!(part, Part::Plain { .. }) {
                made.rows = plain.next().copied().unwrap_or(0);
            }
            (part, made)
        })
    }

    /// What is compared between neighbouring sizes: the depth in cm, and for each part that changes the
    /// count its place in the depth (`0..1`) and the per cent it keeps, or the number of wedges.
    pub(super) fn marks(&self, listed: &Listed, found: Found, marks: &mut Vec<f64>) -> f64 {
        let Some((chain, shared)) = self.parts_of(listed, found) else { return 0.0 };
        let all = f64::from((chain.rows + found.sum).max(1));
        let (mut done, mut before) = (0_u32, self.wanted.stitches);
        for (part, made) in self.each_part(chain, &shared.plain) {
            match part {
                Part::Change { .. } => {
                    let kept = f64::from(made.stitches) / f64::from(before.max(1));
                    marks.extend([f64::from(done) / all, kept * 100.0]);
                }
                Part::Wedges { .. } => marks.extend([f64::from(done) / all, f64::from(made.repeats)]),
                Part::Plain { .. } | Part::Fabric { .. } | Part::Chart { .. } => {}
            }
            done += made.rows;
            before = made.stitches;
        }
        all * self.row_cm
    }

    fn parts_of<'l>(&'l self, listed: &'l Listed, found: Found) -> Option<(&'l Chain, &'l Shared)> {
        let shared = self.shared.get(found.sum as usize)?.get(found.shared as usize)?;
        Some((listed.chains.get(found.chain as usize)?, shared))
    }

    /// A choice laid out whole.
    pub(super) fn choice(&self, listed: &Listed, found: Found) -> Option<Choice> {
        let (chain, shared) = self.parts_of(listed, found)?;
        let (made, rows) = self.rows(chain, &shared.plain);
        let girth = |stitches: u32| f64::from(stitches) * self.stitch_cm;
        let end = made.last().map_or(self.wanted.stitches, |made| made.stitches);
        let half = rows.get(rows.len() / 2).copied().unwrap_or(end);
        Some(Choice {
            made,
            gather: Gather::of(&rows, self.brief.gauge),
            depth_off_cm: rows.len() as f64 * self.row_cm - self.wanted.depth_cm,
            end_off_cm: girth(end) - self.wanted.end_cm,
            shoulder_short_cm: (self.wanted.shoulder_cm - girth(half)).max(0.0),
            own_cost: found.own,
            uneven_cost: 0.0,
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

    /// What the fabric gathers at the least between two stretches of equal rounds, whose girth no
    /// averaging touches in their middle: from row, up to row, girth in cm.
    pub(super) fn steep(&self, from: &(u32, u32, f64), to: &(u32, u32, f64)) -> f64 {
        let apart = f64::from(to.0.saturating_sub(from.1) + self.window) * self.row_cm;
        ((from.2 - to.2 - TAU * apart) / (from.2 + to.2)).max(0.0)
    }
}

/// By the sum of plain rounds the ways to share them out, each with the proportions it comes from.
fn shared(brief: &Brief, wanted: &Wanted, ways: &[Proportion], deepest: u32) -> Vec<Vec<Shared>> {
    let mut shared: Vec<Vec<Shared>> = (0..=deepest).map(|_| Vec::new()).collect();
    for (way, proportion) in ways.iter().enumerate() {
        for plain in rounds(&brief.parts, wanted, proportion, deepest) {
            let Some(of_sum) = shared.get_mut(plain.iter().sum::<u32>() as usize) else { continue };
            match of_sum.iter_mut().find(|known| known.plain == plain) {
                Some(known) => known.ways.push(way),
                None => of_sum.push(Shared { plain, ways: vec![way] }),
            }
        }
    }
    shared
}
