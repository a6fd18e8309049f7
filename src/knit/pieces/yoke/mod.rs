//! A yoke, a crown or a tip solved: repeats, decreases and plain rounds of every size together.
//!
//! From an ordered list of [`Part`]s (chart bands, rounds that change the count, plain rounds, wedges)
//! the solver chooses for each size the repeats of each band, the count after each decrease round and
//! the plain rounds between, so that every band divides, the fabric gathers least, depth and neck come
//! nearest, and neighbouring sizes stay one design.
//!
//! What is tried, in every size: each chart with as many repeats as the stitches allow, and left out where
//! it may be; each change with every count in its limits that the next band divides (but for the last change
//! no two closer together than 4 % of the round; before another change the regular rounds of one decrease in 2 to 8 stitches and two in 5, at the end every count) and without
//! a change; every number of plain rounds within the depth, shared out among the plain parts in one
//! proportion that all sizes have in common (six equal parts among up to four places, in every way). The
//! answer is the exact optimum of [`Costs`] over these: branch and bound lists for each size all choices
//! that could belong to it, dynamic programming over the sizes picks one of each, and
//! [`Solution::proven`] says whether every list was whole.

mod chains;
mod of_piece;
mod search;
mod share;
mod together;

#[cfg(test)]
mod tests;

pub use of_piece::{NotSolvable, PieceBrief};

use rayon::prelude::*;
use thiserror::Error;

use super::gather::Gather;
use super::model::Shaping;
use super::taper::taper;
use crate::knit::{Construction, Gauge};

/// One thing worked after another, from the first round to the last.
#[derive(Clone, Debug, PartialEq)]
pub enum Part {
    /// Rounds of whole repeats, as many as come out best.
    Plain {
        /// Stitches of one repeat, 1 or more (1 for plain knitting).
        repeat: u32,
        /// At least so many.
        least: u32,
        /// At most so many.
        most: u32,
    },
    /// One round that changes the count evenly, or none where nothing changes.
    Change {
        /// The least share of the stitches that stays, e.g. 0.6 (two fifths taken out).
        least: f64,
        /// The most; above 1 stitches may be made.
        most: f64,
    },
    /// A chart whose repeat has these stitches in each of its rows (equal, or narrowing).
    Chart {
        /// Stitches of one repeat, row by row; never empty, each 1 or more.
        widths: Vec<u32>,
        /// Whether a size may leave it out.
        optional: bool,
    },
    /// A fabric of whole repeats, of so many rounds (a neckband in ribbing).
    Fabric {
        /// Stitches of one repeat, 1 or more.
        repeat: u32,
        /// Rounds.
        rows: u32,
    },
    /// Wedges that lose one stitch each in a shaping round.
    Wedges {
        /// Numbers of wedges to choose from.
        wedges: Vec<u32>,
        /// Stitches that each is left with.
        leave: Vec<u32>,
        /// Rounds for each stitch that a wedge loses, at the least and at the most.
        every: (u32, u32),
    },
}

/// What is wanted in one size.
#[derive(Clone, Debug, PartialEq)]
pub struct Wanted {
    /// The size.
    pub name: String,
    /// Stitches on the needle before the first part.
    pub stitches: u32,
    /// Depth from the first round to the last, in cm.
    pub depth_cm: f64,
    /// Girth at the end in cm, its edge included.
    pub end_cm: f64,
    /// The least girth at the end that can pass (a head), in cm; 0 for none.
    pub least_end_cm: f64,
    /// Girth that must still be there at half of the depth (the shoulders), in cm; 0 for none.
    pub shoulder_cm: f64,
    /// What is held, part by part: an empty list, or one entry a part.
    pub held: Vec<Held>,
}

/// What a knitter holds while the rest is solved again.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Held {
    /// Stitches after the part.
    pub stitches: Option<u32>,
    /// Rounds of the part.
    pub rows: Option<u32>,
    /// Repeats of a chart, 0 for one that is left out; wedges.
    pub repeats: Option<u32>,
}

impl Held {
    /// So many stitches after the part.
    pub const fn stitches(n: u32) -> Self {
        Self { stitches: Some(n), rows: None, repeats: None }
    }

    /// So many rounds of the part.
    pub const fn rows(n: u32) -> Self {
        Self { stitches: None, rows: Some(n), repeats: None }
    }

    /// So many repeats or wedges.
    pub const fn repeats(n: u32) -> Self {
        Self { stitches: None, rows: None, repeats: Some(n) }
    }

    /// Whether a part that is worked so keeps to it.
    pub fn allows(&self, made: Made) -> bool {
        self.stitches.is_none_or(|n| n == made.stitches)
            && self.rows.is_none_or(|n| n == made.rows)
            && self.repeats.is_none_or(|n| n == made.repeats)
    }

    /// The same with what `other` holds in place of its own.
    fn with(self, other: Self) -> Self {
        Self {
            stitches: other.stitches.or(self.stitches),
            rows: other.rows.or(self.rows),
            repeats: other.repeats.or(self.repeats),
        }
    }
}

/// What is weighed against what, in squared cm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Costs {
    /// For each squared cm off the depth.
    pub depth: f64,
    /// For each squared cm off the girth at the end.
    pub end: f64,
    /// For each squared cm that the shoulders miss.
    pub shoulder: f64,
    /// For each squared per cent of gathering.
    pub gather: f64,
    /// For each squared cm that a change lies higher or lower than in the next size, depth for depth.
    pub uneven_place: f64,
    /// For each squared per cent that a change takes out more or less than in the next size.
    pub uneven_share: f64,
    /// For a band that a size leaves out.
    pub left_out: f64,
}

impl Default for Costs {
    /// Our judgement, no published source: a cm of depth weighs as much as two of girth at the neck,
    /// as three per cent of gathering, or as a decrease round five per cent off its neighbour.
    fn default() -> Self {
        Self {
            depth: 1.0,
            end: 0.25,
            shoulder: 0.1,
            gather: 0.11,
            uneven_place: 0.25,
            uneven_share: 0.04,
            left_out: 4.0,
        }
    }
}

/// A yoke to be solved.
#[derive(Clone, Debug, PartialEq)]
pub struct Brief {
    /// Washed gauge.
    pub gauge: Gauge,
    /// From the first round to the last.
    pub parts: Vec<Part>,
    /// The sizes, smallest first.
    pub sizes: Vec<Wanted>,
    /// What is weighed against what.
    pub costs: Costs,
    /// How far the depth may be off, in cm.
    pub depth_within_cm: f64,
    /// How far the girth at the end may be off, in cm.
    pub end_within_cm: f64,
}

impl Brief {
    /// A brief with the usual costs, within 2 cm of the depth and 6 cm of the girth at the end.
    pub fn new(gauge: Gauge, parts: Vec<Part>, sizes: Vec<Wanted>) -> Self {
        Self { gauge, parts, sizes, costs: Costs::default(), depth_within_cm: 2.0, end_within_cm: 6.0 }
    }
}

/// One part as it is worked.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Made {
    /// Rounds.
    pub rows: u32,
    /// Stitches after it.
    pub stitches: u32,
    /// Repeats of a chart, or wedges; 0 for none.
    pub repeats: u32,
}

/// What is chosen for one size, and what each compromise costs.
#[derive(Clone, Debug, PartialEq)]
pub struct Choice {
    /// Part by part.
    pub made: Vec<Made>,
    /// What it gathers.
    pub gather: Gather,
    /// Depth less the depth wanted, in cm.
    pub depth_off_cm: f64,
    /// Girth at the end less the girth wanted, in cm.
    pub end_off_cm: f64,
    /// What the girth at half of the depth misses, in cm, 0 or more.
    pub shoulder_short_cm: f64,
    /// The weighed sum of these.
    pub own_cost: f64,
    /// What the steps from the next smaller size cost.
    pub uneven_cost: f64,
}

/// All sizes solved.
#[derive(Clone, Debug, PartialEq)]
pub struct Solution {
    /// In the order of the sizes.
    pub sizes: Vec<Choice>,
    /// The weighed sum over all sizes.
    pub cost: f64,
    /// Whether it is proven that no choice that is tried costs less. A brief that leaves so much open that
    /// a list had to be cut is not.
    pub proven: bool,
}

/// Why a yoke has no solution.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum Unsolved {
    /// The rounds that are asked for are more than the depth.
    #[error(
        "size {size}: the bands alone take {bands_cm:.1} cm of a depth of {depth_cm:.1} cm: leave one out, \
         let this size leave one out, or choose a shorter part of the chart"
    )]
    TooDeep {
        /// The size.
        size: String,
        /// Depth of what must be worked.
        bands_cm: f64,
        /// Depth there is.
        depth_cm: f64,
    },
    /// Nothing that divides ends within the limits without gathering too much.
    #[error(
        "size {size}: no count that divides ends within {within_cm:.0} cm of a girth of {end_cm:.1} cm and \
         gathers less than 20 %: add a decrease round between the bands, or let the end be wider"
    )]
    NoWay {
        /// The size.
        size: String,
        /// Girth wanted at the end.
        end_cm: f64,
        /// How far off it may be.
        within_cm: f64,
    },
    /// A brief without parts or sizes.
    #[error("there is nothing to solve: name the bands and the sizes")]
    Empty,
}

/// Solves all sizes together.
///
/// # Errors
/// [`Unsolved`] with the first size that has no solution, and the nearest way out.
pub fn solve(brief: &Brief) -> Result<Solution, Unsolved> {
    if brief.parts.is_empty() || brief.sizes.is_empty() {
        return Err(Unsolved::Empty);
    }
    together::solve(brief)
}

/// What it costs to hold one part of one size at other stitches: the brief solved again with it held,
/// less `solution`; `None` where that has no solution.
pub fn cost_of_holding(
    brief: &Brief,
    solution: &Solution,
    size: usize,
    part: usize,
    held: Held,
) -> Option<f64> {
    let mut brief = brief.clone();
    let parts = brief.parts.len();
    let wanted = brief.sizes.get_mut(size)?;
    wanted.held.resize(parts, Held::default());
    *wanted.held.get_mut(part)? = held;
    solve(&brief).ok().map(|held| held.cost - solution.cost)
}

/// What it costs to work a part of one size with one step more or fewer: a repeat of the band after it, or a plain
/// round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Compromise {
    /// The part, by its place.
    pub part: usize,
    /// One step fewer.
    pub fewer: Held,
    /// What that costs more; `None` where it has no solution.
    pub fewer_costs: Option<f64>,
    /// One step more.
    pub more: Held,
    /// What that costs more; `None` where it has no solution.
    pub more_costs: Option<f64>,
}

/// The nearest other choices of one size, part by part, and what each costs: every part that changes the count by
/// a repeat of what comes after it (2 stitches where nothing repeats), every plain part by a round.
pub fn compromises(brief: &Brief, solution: &Solution, size: usize) -> Vec<Compromise> {
    let Some(choice) = solution.sizes.get(size) else { return Vec::new() };
    let beside = |part: usize| -> Option<(Held, Held)> {
        let made = choice.made.get(part)?;
        match brief.parts[part] {
            Part::Change { .. } => {
                let step = brief.parts[part + 1..].iter().find_map(repeat_of).unwrap_or(2);
                Some((
                    Held::stitches(made.stitches.saturating_sub(step)),
                    Held::stitches(made.stitches + step),
                ))
            }
            Part::Plain { .. } => Some((Held::rows(made.rows.saturating_sub(1)), Held::rows(made.rows + 1))),
            Part::Chart { .. } | Part::Fabric { .. } | Part::Wedges { .. } => None,
        }
    };
    let costs = |part: usize| {
        let (fewer, more) = beside(part)?;
        let cost = |held| cost_of_holding(brief, solution, size, part, held);
        Some(Compromise { part, fewer, fewer_costs: cost(fewer), more, more_costs: cost(more) })
    };
    (0..brief.parts.len()).into_par_iter().filter_map(costs).collect()
}

/// Stitches of one repeat of a part that has repeats.
fn repeat_of(part: &Part) -> Option<u32> {
    match part {
        Part::Chart { widths, .. } => widths.first().copied(),
        Part::Fabric { repeat, .. } => Some(*repeat),
        Part::Plain { repeat, .. } => Some(*repeat).filter(|repeat| *repeat > 1),
        Part::Change { .. } | Part::Wedges { .. } => None,
    }
}

/// Rounds of wedges, each losing one stitch in a shaping round, spread as the rows of a piece are.
fn wedge_rows(before: u32, made: Made) -> Vec<u32> {
    taper(before, made.stitches, made.rows, Shaping::PerRow(made.repeats), Construction::InTheRound).1
}
