//! Everything that is worked out from a project: for the window, for exports and for other programs.

use super::contrast::{ContrastMemory, LightnessChange, Touching};
use super::findings::{self, Facts, Finding, FindingsMemory};
use super::finished::{Finished, KnittedYarn};
use super::model::Project;
use crate::chart::{
    Cell, Contact, RepeatFit, RepeatHow, RepeatedRows, RowFacts, RowFactsMemo, Wrap, repeat_fit, row_facts,
    sum_of_rows,
};
use crate::colour::proportion::{PARTS, deviations, part_shares};
use crate::knit::pieces::WorkedPiece;
use crate::knit::{Construction, Estimate, RowUses, Technique};
use crate::units::Cm;

/// A width and a height in cm.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extent {
    /// Across the stitches, or the girth of a piece worked in the round.
    pub width: Cm,
    /// Along the rows.
    pub height: Cm,
}

/// What the figures of a project leave to those of its next state, so that only the rows that an edit touched are
/// looked at again. It changes no figure: they are the same after an empty one, or after another project.
#[derive(Debug, Default)]
pub struct FiguresMemory {
    rows: RowFactsMemo,
    uses: RowUses,
    findings: FindingsMemory,
    contrast: ContrastMemory,
}

/// The derived figures of a project. Pure and the same every time; some ten milliseconds for a chart
/// of millions of stitches, so work them out beside the window's thread.
#[derive(Clone, Debug, PartialEq)]
pub struct Figures {
    /// What is worth a second look, the most serious first.
    pub findings: Vec<Finding>,
    /// The yarn of what is knitted, and what that is.
    pub knitted: KnittedYarn,
    /// Stitches of one repeat per palette slot.
    pub repeat_stitches: Vec<u32>,
    /// Yarn in one stitch in cm, every cause of error in its range.
    pub stitch_cm: Estimate,
    /// What main, supporting and accent cover, in per cent of the repeat's stitches that are not ground.
    pub part_shares: [f64; PARTS],
    /// Percentage points that each of these is over (or, below 0, under) its target.
    pub part_deviations: [f64; PARTS],
    /// What the ground covers, in per cent of all the repeat's stitches.
    pub ground_share: f64,
    /// The same two of everything that is knitted, as the yarn is counted.
    pub worked_part_shares: [f64; PARTS],
    /// What the ground covers of everything that is knitted, in per cent of its stitches.
    pub worked_ground_share: f64,
    /// Colours that touch in the knitted repeat, the longest shared edge first.
    pub contacts: Vec<Contact>,
    /// How well these are told apart, in the same order.
    pub touching: Vec<Touching>,
    /// The one change of lightness that mends the weakest of them.
    pub mend: Option<LightnessChange>,
    /// Whether the chart is a pattern in which a yarn of changing colour is lost.
    pub busy_chart: bool,
    /// The stitches on the needle against the repeat.
    pub repeat_fit: RepeatFit,
    /// The whole chart as knitted once.
    pub chart_size: Extent,
    /// One repeat.
    pub repeat_size: Extent,
}

impl Figures {
    /// Works out the figures of `project`.
    pub fn of(project: &Project) -> Self {
        Self::after(project, &mut FiguresMemory::default())
    }

    /// The same, with what the figures of an earlier state left.
    pub fn after(project: &Project, memory: &mut FiguresMemory) -> Self {
        let plan = &project.plan;
        let chart = &project.chart;
        let repeat = chart.repeat();
        let slots = project.palette.slots();
        let rows = row_facts(&mut memory.rows, &chart.grid, project.repeat_how());
        let contacts = sum_of_rows(rows.iter().map(|row| row.contacts.as_slice()), repeat, plan.gauge);
        let knitted = project.knitted_yarn_after(&mut memory.uses);
        let counts = repeat_stitches(rows, slots.len());
        let parts: Vec<Option<usize>> = slots.iter().map(|slot| slot.role.part()).collect();
        let part_shares = part_shares(&counts, &parts);
        let all: u32 = counts.iter().sum();
        let ground: u32 = counts.iter().zip(&parts).filter(|(_, part)| part.is_none()).map(|(n, _)| n).sum();
        let repeat_fit = repeat_fit(plan.needle_stitches, repeat.width, plan.edge_stitches, plan.gauge);
        let size =
            |stitches, rows| Extent { width: plan.gauge.width(stitches), height: plan.gauge.height(rows) };
        let (touching, mend) = memory.contrast.of(project, &contacts);
        let worked: Vec<f64> = knitted.yarn.colours.iter().map(|colour| colour.stitches as f64).collect();
        let (worked_part_shares, worked_ground_share) = worked_shares(&worked, &parts);
        let facts = Facts { project, rows, repeat_fit: &repeat_fit, contacts: &contacts, part_shares };
        Self {
            findings: findings::all(&facts, &mut memory.findings),
            knitted,
            stitch_cm: project.loop_basis().stitch_cm(),
            part_deviations: deviations(part_shares, project.palette.targets()),
            ground_share: if all > 0 { 100.0 * f64::from(ground) / f64::from(all) } else { 0.0 },
            chart_size: size(chart.grid.width(), chart.grid.height()),
            repeat_size: size(repeat.width, repeat.height),
            mend,
            touching,
            busy_chart: project.has_busy_chart(),
            part_shares,
            worked_part_shares,
            worked_ground_share,
            contacts,
            repeat_fit,
            repeat_stitches: counts,
        }
    }

    /// The largest piece that is knitted, which stands for all where there is room for one size; `None`
    /// when nothing can be worked.
    pub fn finished(&self) -> Option<&Finished> {
        Finished::largest(&self.knitted.pieces)
    }

    /// The share of a palette slot in the repeat's stitches, `0..=1`.
    pub fn share_of(&self, slot: usize) -> f64 {
        let all: u32 = self.repeat_stitches.iter().sum();
        let own = self.repeat_stitches.get(slot).copied().unwrap_or(0);
        if all > 0 { f64::from(own) / f64::from(all) } else { 0.0 }
    }
}

/// Shares of main, supporting and accent in per cent of what is not ground, and the ground's of all.
fn worked_shares(stitches: &[f64], parts: &[Option<usize>]) -> ([f64; PARTS], f64) {
    let mut sums = [0.0; PARTS];
    let mut ground = 0.0;
    for (count, part) in stitches.iter().zip(parts) {
        match part {
            Some(part) => sums[*part] += count,
            None => ground += count,
        }
    }
    let figure: f64 = sums.iter().sum();
    let share = |part: f64, of: f64| if of > 0.0 { 100.0 * part / of } else { 0.0 };
    (sums.map(|sum| share(sum, figure)), share(ground, figure + ground))
}

/// Stitches of the repeat box per palette slot.
fn repeat_stitches(rows: &[RowFacts], slots: usize) -> Vec<u32> {
    let mut counts = vec![0; slots];
    for (slot, stitches) in rows.iter().flat_map(|row| &row.colours) {
        if let Some(count) = counts.get_mut(*slot) {
            *count += stitches;
        }
    }
    counts
}

impl Project {
    /// Whether the left edge of the repeat meets its right edge: in the round, or when more than one
    /// repeat (or a part of the next) is worked side by side.
    pub fn repeats_side_by_side(&self) -> bool {
        let inner = self.plan.needle_stitches.saturating_sub(self.plan.edge_stitches);
        self.plan.construction == Construction::InTheRound || inner > self.chart.repeat().width
    }

    /// What the facts of the repeat's rows rest on, beside their stitches.
    pub(super) fn repeat_how(&self) -> RepeatHow {
        let plan = &self.plan;
        let stranded = plan.technique == Technique::Stranded;
        RepeatHow {
            repeat: self.chart.repeat(),
            wrap: Wrap { across: self.repeats_side_by_side(), up: plan.repeats_up > 1 },
            float_limit: stranded.then(|| plan.float_limit.in_stitches(plan.gauge)),
            background: Cell::slot(self.background_slot() as u8),
        }
    }

    /// The rows of the repeat box, and which of its edges meet.
    pub(super) fn repeated_rows(&self) -> RepeatedRows<'_> {
        let rows = (0..self.chart.repeat().height).map(|row| self.repeat_row(row)).collect();
        let Wrap { across, up } = self.repeat_how().wrap;
        RepeatedRows { rows, across, up }
    }

    /// Whether every band that works the chart has its part of it once across, in every size; `false` without
    /// such a band.
    pub fn chart_is_worked_once(&self) -> bool {
        let sizes = self.pieces.all_sizes();
        let worked: Vec<_> = sizes.iter().filter_map(|size| self.work_pieces(size).ok()).collect();
        charts_are_worked_once(worked.iter().flatten())
    }

    /// Row `row` of the repeat box, from its bottom row, left to right; empty above it.
    pub(super) fn repeat_row(&self, row: u32) -> &[Cell] {
        let repeat = self.chart.repeat();
        let columns = repeat.x as usize..(repeat.x + repeat.width) as usize;
        let inside = row < repeat.height;
        inside.then(|| self.chart.grid.row(repeat.y + row).get(columns)).flatten().unwrap_or_default()
    }
}

/// Whether every band of these pieces that works a chart has its part of it once across; `false` without such a band.
pub fn charts_are_worked_once<'p>(pieces: impl IntoIterator<Item = &'p WorkedPiece>) -> bool {
    let bands = pieces.into_iter().flat_map(|piece| &piece.bands);
    let mut fits = bands.filter_map(|band| band.chart).peekable();
    fits.peek().is_some() && fits.all(|fit| fit.across == 1 && fit.left_over == 0)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knit::{Gauge, Technique};
    use crate::project::findings::tests::drawn;

    fn near(a: f64, b: f64) -> bool {
        (a - b).abs() < 1e-9
    }

    #[test]
    fn shares_are_of_the_repeat_and_the_ground_stands_apart() {
        let figures = Figures::of(&drawn(&["0001", "3333", "0012"]));
        assert_eq!(figures.part_shares, [62.5, 25.0, 12.5]);
        assert_eq!(figures.part_deviations, [2.5, -5.0, 2.5]);
        assert!(near(figures.ground_share, 100.0 / 3.0));
        assert!(near(figures.share_of(0), 5.0 / 12.0));
        assert_eq!(figures.share_of(99), 0.0);
    }

    #[test]
    fn sizes_follow_the_gauge() {
        let mut project = drawn(&["0033", "3333"]);
        project.plan.gauge = Gauge::new(20.0, 25.0).unwrap();
        project.plan.needle_stitches = 100;
        project.plan.repeats_up = 10;
        let figures = Figures::of(&project);
        assert!(near(figures.repeat_size.width.get(), 2.0) && near(figures.repeat_size.height.get(), 0.8));
        let finished = figures.finished().unwrap();
        assert!(near(finished.size.width.get(), 50.0) && near(finished.size.height.get(), 8.0));
        assert_eq!((finished.stitches, finished.rows), (100, 20));
        assert_eq!(figures.knitted.yarn.colours[0].stitches, 2 * 25 * 10);
    }

    #[test]
    fn only_the_repeat_counts() {
        let mut project = drawn(&["0033", "3333", "1111"]);
        let repeat = crate::chart::Rect::new(0, 1, 4, 2);
        project.chart = crate::project::Chart::with_repeat(project.chart.grid, repeat).unwrap();
        let figures = Figures::of(&project);
        assert_eq!(figures.knitted.yarn.colours[1].stitches, 0);
        assert!(figures.contacts.iter().all(|contact| contact.a != 1 && contact.b != 1));
        assert_eq!(figures.part_shares, [100.0, 0.0, 0.0]);
    }

    #[test]
    fn odd_projects_give_figures_too() {
        for rows in [&["...."][..], &["."], &["9999", "0000"]] {
            for (technique, needle, edge) in [(Technique::Stranded, 1, 7), (Technique::Intarsia, 9, 0)] {
                let mut project = drawn(rows);
                project.plan.technique = technique;
                project.plan.needle_stitches = needle;
                project.plan.edge_stitches = edge;
                project.plan.repeats_up = u32::MAX;
                project.plan.waste_percent = f64::NAN;
                let figures = Figures::of(&project);
                assert!(figures.knitted.yarn.metres().high.is_finite(), "{rows:?}");
                assert!(figures.part_shares.iter().all(|share| share.is_finite()));
            }
        }
    }

    #[test]
    fn another_thread_gives_the_same_figures() {
        let project = std::sync::Arc::new(drawn(&["0133301333", "3333333333", "0003330003"]));
        let there = std::sync::Arc::clone(&project);
        let figures = std::thread::spawn(move || Figures::of(&there)).join().unwrap();
        assert_eq!(figures, Figures::of(&project));
    }
}
