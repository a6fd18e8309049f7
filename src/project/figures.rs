//! Everything that is worked out from a project: for the window, for exports and for other programs.

use super::findings::{self, Facts, Finding};
use super::model::Project;
use crate::chart::{Cell, Contact, RepeatFit, Wrap, contacts, repeat_fit};
use crate::colour::proportion::{PARTS, deviations, part_shares};
use crate::knit::{Construction, LoopLength, YarnUse, YarnUseInput};
use crate::units::Cm;
use crate::yarn::PutUp;

/// A width and a height in cm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Size {
    /// Across the stitches, or the girth of a piece worked in the round.
    pub width: Cm,
    /// Along the rows.
    pub height: Cm,
}

/// The derived figures of a project. Pure and the same every time; some ten milliseconds for a chart
/// of millions of stitches, so work them out beside the window's thread.
#[derive(Clone, Debug, PartialEq)]
pub struct Figures {
    /// What is worth a second look, the most serious first.
    pub findings: Vec<Finding>,
    /// Yarn per palette slot.
    pub yarn: YarnUse,
    /// Yarn in one stitch.
    pub loop_length: LoopLength,
    /// Stitches of the repeat per palette slot.
    pub repeat_stitches: Vec<u32>,
    /// What main, supporting and accent cover, in per cent of the repeat's stitches that are not ground.
    pub part_shares: [f64; PARTS],
    /// Percentage points that each of these is over (or, below 0, under) its target.
    pub part_deviations: [f64; PARTS],
    /// What the ground covers, in per cent of all the repeat's stitches.
    pub ground_share: f64,
    /// Colours that touch in the knitted repeat, the longest shared edge first.
    pub contacts: Vec<Contact>,
    /// The stitches on the needle against the repeat.
    pub repeat_fit: RepeatFit,
    /// The whole chart as knitted once.
    pub chart_size: Size,
    /// One repeat.
    pub repeat_size: Size,
    /// All stitches on the needle, all repeats up.
    pub finished_size: Size,
    /// Rows of all repeats up.
    pub finished_rows: u32,
}

impl Figures {
    /// Works out the figures of `project`.
    pub fn of(project: &Project) -> Self {
        let plan = &project.plan;
        let chart = &project.chart;
        let repeat = chart.repeat();
        let slots = project.palette.slots();
        let mut counts = vec![0; slots.len()];
        for row in 0..repeat.height {
            for slot in project.repeat_row(row).iter().filter_map(|cell| cell.index()) {
                if let Some(count) = counts.get_mut(slot) {
                    *count += 1;
                }
            }
        }
        let parts: Vec<Option<usize>> = slots.iter().map(|slot| slot.role.part()).collect();
        let part_shares = part_shares(&counts, &parts);
        let all: u32 = counts.iter().sum();
        let ground: u32 = counts.iter().zip(&parts).filter(|(_, part)| part.is_none()).map(|(n, _)| n).sum();
        let wrap = Wrap { across: project.repeats_side_by_side(), up: plan.repeats_up > 1 };
        let contacts = contacts(&chart.grid, repeat, plan.gauge, wrap);
        let repeat_fit = repeat_fit(plan.needle_stitches, repeat.width, plan.edge_stitches, plan.gauge);
        let size =
            |stitches, rows| Size { width: plan.gauge.width(stitches), height: plan.gauge.height(rows) };
        let finished_rows = repeat.height.saturating_mul(plan.repeats_up.max(1));
        let facts = Facts { project, repeat_fit: &repeat_fit, contacts: &contacts, part_shares };
        Self {
            findings: findings::all(&facts),
            yarn: yarn_use(project),
            loop_length: LoopLength::from_gauge(plan.gauge),
            part_deviations: deviations(part_shares, project.palette.targets()),
            ground_share: if all > 0 { 100.0 * f64::from(ground) / f64::from(all) } else { 0.0 },
            chart_size: size(chart.grid.width(), chart.grid.height()),
            repeat_size: size(repeat.width, repeat.height),
            finished_size: size(plan.needle_stitches, finished_rows),
            finished_rows,
            repeat_stitches: counts,
            part_shares,
            contacts,
            repeat_fit,
        }
    }

    /// The share of a palette slot in the repeat's stitches, `0..=1`.
    pub fn share_of(&self, slot: usize) -> f64 {
        let all: u32 = self.repeat_stitches.iter().sum();
        let own = self.repeat_stitches.get(slot).copied().unwrap_or(0);
        if all > 0 { f64::from(own) / f64::from(all) } else { 0.0 }
    }
}

fn yarn_use(project: &Project) -> YarnUse {
    let plan = &project.plan;
    let put_ups: Vec<PutUp> = project.palette.slots().iter().map(|slot| slot.yarn.put_up).collect();
    YarnUse::of(&YarnUseInput {
        grid: &project.chart.grid,
        repeat: project.chart.repeat(),
        gauge: plan.gauge,
        loop_length: LoopLength::from_gauge(plan.gauge),
        technique: plan.technique,
        construction: plan.construction,
        needle_stitches: plan.needle_stitches,
        edge_stitches: plan.edge_stitches,
        edge_slot: project.background_slot(),
        repeats_up: plan.repeats_up,
        float_limit: plan.float_limit.in_stitches(plan.gauge),
        waste_percent: plan.waste_percent,
        tail_cm: plan.tail_cm,
        swatch_cm: plan.swatch_cm,
        put_ups: &put_ups,
    })
}

impl Project {
    /// Whether the left edge of the repeat meets its right edge: in the round, or when more than one
    /// repeat (or a part of the next) is worked side by side.
    pub fn repeats_side_by_side(&self) -> bool {
        let inner = self.plan.needle_stitches.saturating_sub(self.plan.edge_stitches);
        self.plan.construction == Construction::InTheRound || inner > self.chart.repeat().width
    }

    /// Row `row` of the repeat box, from its bottom row, left to right; empty above it.
    pub(super) fn repeat_row(&self, row: u32) -> &[Cell] {
        let repeat = self.chart.repeat();
        let columns = repeat.x as usize..(repeat.x + repeat.width) as usize;
        let inside = row < repeat.height;
        inside.then(|| self.chart.grid.row(repeat.y + row).get(columns)).flatten().unwrap_or_default()
    }
}
