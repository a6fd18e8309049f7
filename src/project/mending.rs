//! The project's floats brought under its limit: by other stitches, or by catches.

use super::edit::{CellPatch, Edit};
use super::model::Project;
use crate::chart::{Rect, mend_floats};

/// How long floats are dealt with.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum MendBy {
    /// The fewest stitches take another colour of their row.
    #[default]
    Stitches,
    /// The chart stays; the strands are caught, as seldom as will do.
    Catches,
}

/// What mending the floats of a project comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct Mending {
    /// Floats over the limit now, as the findings count them.
    pub floats_before: usize,
    /// Floats over the limit that are neither mended nor caught.
    pub floats_after: usize,
    /// Stitches that take another colour.
    pub stitches_changed: u32,
    /// Catches the knitter makes in one repeat.
    pub catches: usize,
    /// Rows of the chart (from 0 at the bottom) with too many colours for an exact answer.
    pub rows_left: Vec<u32>,
    /// The change of the chart; `None` when it stays.
    pub patch: Option<CellPatch>,
}

impl Mending {
    /// The edit that carries it out.
    pub fn edit(&self) -> Option<Edit> {
        self.patch.clone().map(Edit::Cells)
    }
}

impl Project {
    /// How the floats of the repeat come under the limit of the plan. Only stranded colours float.
    pub fn mending(&self, by: MendBy) -> Mending {
        let floats_before = self.long_float_count();
        let mut mending = Mending {
            floats_before,
            floats_after: 0,
            stitches_changed: 0,
            catches: 0,
            rows_left: Vec::new(),
            patch: None,
        };
        if floats_before == 0 {
            return mending;
        }
        match by {
            MendBy::Catches => mending.catches = self.catch_count(),
            MendBy::Stitches => self.mend_stitches(&mut mending),
        }
        mending
    }

    fn mend_stitches(&self, mending: &mut Mending) {
        let repeat = self.chart.repeat();
        let Some(grid) = self.chart.grid.copy(repeat) else { return };
        let limit = self.plan.float_limit.in_stitches(self.plan.gauge);
        let mended = mend_floats(&grid, self.repeats_side_by_side(), limit);
        mending.stitches_changed = mended.changed;
        mending.rows_left = mended.left.iter().map(|row| repeat.y + row).collect();
        if mended.changed > 0 {
            let patch = CellPatch { x: repeat.x, y: repeat.y, cells: mended.grid };
            let mut after = self.clone();
            after.apply(Edit::Cells(patch.clone()));
            mending.floats_after = after.long_float_count();
            mending.patch = Some(patch);
        } else {
            mending.floats_after = mending.floats_before;
        }
    }

    /// Catches of one repeat.
    fn catch_count(&self) -> usize {
        let Rect { y, height, .. } = self.chart.repeat();
        (y..y + height).map(|row| self.catches_in_row(row).len()).sum()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::knit::Technique;
    use crate::project::figures::Figures;
    use crate::project::findings::FindingKind;
    use crate::project::findings::tests::drawn;

    fn long(project: &Project) -> usize {
        let findings = Figures::of(project).findings;
        findings.iter().filter(|finding| finding.kind == FindingKind::LongFloat).count()
    }

    #[test]
    fn after_mending_the_finding_is_gone_and_undo_brings_it_back() {
        let mut project = drawn(&["333333333333", "030000000030", "333333333333"]);
        assert_eq!(long(&project), 1);
        let mending = project.mending(MendBy::Stitches);
        assert_eq!((mending.floats_before, mending.floats_after), (1, 0));
        assert_eq!(mending.stitches_changed, 2, "an even run keeps its mirror image");
        let before = project.clone();
        let undo = project.apply(mending.edit().unwrap());
        assert_eq!(long(&project), 0);
        project.apply(undo);
        assert_eq!(project, before);
    }

    #[test]
    fn catches_leave_the_chart() {
        let project = drawn(&["333333333333", "030000000030"]);
        let mending = project.mending(MendBy::Catches);
        assert_eq!((mending.floats_before, mending.floats_after, mending.catches), (1, 0, 1));
        assert_eq!(mending.edit(), None);
    }

    #[test]
    fn what_is_not_stranded_does_not_float() {
        let mut project = drawn(&["033333333333"]);
        project.plan.technique = Technique::Intarsia;
        for by in [MendBy::Stitches, MendBy::Catches] {
            let mending = project.mending(by);
            assert_eq!((mending.floats_before, mending.edit()), (0, None));
        }
    }

    #[test]
    fn stitches_outside_the_repeat_stay() {
        let mut project = drawn(&["033333333333330", "033333333333330"]);
        let chart = project.chart.clone();
        project.chart = crate::project::Chart::with_repeat(chart.grid, Rect::new(0, 1, 15, 1)).unwrap();
        let before = project.clone();
        project.apply(project.mending(MendBy::Stitches).edit().unwrap());
        assert_eq!(project.chart.grid.row(0), before.chart.grid.row(0));
        assert_ne!(project.chart.grid.row(1), before.chart.grid.row(1));
    }
}
