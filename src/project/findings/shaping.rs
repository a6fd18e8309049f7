//! Rows of the chart whose stitches do not follow from the row below.

use super::super::model::Project;
use super::{Finding, FindingKind, Severity, capped};
use crate::chart::{Rect, RowFacts, RowImbalance, row_imbalances};
use crate::units::counted;

/// One finding for each row of the repeat that works more or fewer stitches than there are below it.
pub(super) fn unbalanced_rows(project: &Project, rows: &[RowFacts]) -> Vec<Finding> {
    let repeat = project.chart.repeat();
    let counts = rows.iter().map(|row| (row.stitches, row.takes));
    let rows = row_imbalances(counts, repeat.y, project.plan.repeats_up > 1);
    capped(rows.iter().map(|row| finding(*row, repeat)).collect(), 0, FindingKind::Shaping)
}

fn finding(row: RowImbalance, repeat: Rect) -> Finding {
    let sts = |n: u32| counted(n.into(), "stitch", "stitches");
    let (number, below) = (row.y + 1, sts(row.below));
    let message = if row.y == repeat.y {
        format!(
            "Row {number} works {} but the last row of the repeat leaves {below}: the repeat cannot follow on \
             itself. Work it once, or bring it back to the width it began with.",
            sts(row.takes)
        )
    } else if row.takes < row.below {
        format!(
            "Row {number} works {} of the {below} below it: mark {} (Chart > Mark the shaping), or give it the \
             stitches it lacks.",
            row.takes,
            if row.below - row.takes == 1 {
                "the decrease".to_owned()
            } else {
                format!("{} decreases", row.below - row.takes)
            },
        )
    } else {
        format!(
            "Row {number} works {}, but there are {below} below it: mark {} (Chart > Mark the shaping), or take \
             stitches out.",
            sts(row.takes),
            if row.takes - row.below == 1 {
                "the increase".to_owned()
            } else {
                format!("{} increases", row.takes - row.below)
            },
        )
    };
    let place = Some(Rect::new(repeat.x, row.y, repeat.width, 1));
    Finding { place, ..Finding::new(FindingKind::Shaping, Severity::Problem, message) }
}

#[cfg(test)]
mod tests {
    use super::super::tests::{drawn, rows};
    use super::*;
    use crate::chart::{Cell, Point, Work};

    #[test]
    fn a_row_that_narrows_without_a_decrease_is_a_problem_until_it_is_marked() {
        let mut project = drawn(&["0330333.", "03303330"]);
        let found = unbalanced_rows(&project, &rows(&project));
        assert_eq!(found.len(), 1);
        assert_eq!((found[0].row(), found[0].severity), (Some(2), Severity::Problem));
        assert_eq!(
            found[0].message,
            "Row 2 works 7 of the 8 stitches below it: mark the decrease (Chart > Mark the shaping), or give \
             it the stitches it lacks."
        );
        project.chart.grid.set(Point::new(6, 1), Cell::slot(3).worked(Work::K2tog));
        assert_eq!(unbalanced_rows(&project, &rows(&project)), []);
        project.plan.repeats_up = 2;
        let found = unbalanced_rows(&project, &rows(&project));
        assert!(found[0].message.contains("cannot follow on itself"), "{}", found[0].message);
    }
}
