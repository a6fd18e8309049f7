//! Stitches that stand alone.

use super::super::model::Project;
use super::places::{colour, stitches};
use super::{Finding, FindingKind, Severity};
use crate::chart::{Cell, Point, Rect};

/// For each colour but the background, one note that counts its single stitches: those with no
/// neighbour of their colour, corners included. Seeding is made of them on purpose, so it is a note.
pub(super) fn single_stitches(project: &Project) -> Vec<Finding> {
    let repeat = project.chart.repeat();
    let background = Cell::slot(project.background_slot() as u8);
    let rows: Vec<&[Cell]> = (0..repeat.height).map(|row| project.repeat_row(row)).collect();
    let tiles =
        Tiles { rows: &rows, across: project.repeats_side_by_side(), up: project.plan.repeats_up > 1 };
    let mut found = [(0_u32, Point::default()); Cell::MAX_SLOTS];
    for (y, row) in rows.iter().enumerate() {
        for (x, cell) in row.iter().enumerate().filter(|(_, cell)| **cell != background) {
            let Some(slot) = cell.index() else { continue };
            if tiles.is_alone(x, y) {
                let (count, first) = &mut found[slot];
                if *count == 0 {
                    *first = Point::new(repeat.x + x as u32, repeat.y + y as u32);
                }
                *count += 1;
            }
        }
    }
    let width = project.chart.grid.width();
    let found = found.into_iter().enumerate().filter(|(_, (count, _))| *count > 0);
    let findings = found.map(|(slot, (count, first))| {
        let stand = if count == 1 { "single stitch stands" } else { "single stitches stand" };
        let message = format!(
            "{}: {count} {stand} alone, the first in row {}, stitch {}. They read as seeding, not as a \
             figure; a square needs 3 x 3 stitches, a circle 5 x 5.",
            colour(project, slot),
            first.y + 1,
            stitches(first.x, first.x + 1, width),
        );
        let place = Some(Rect::new(first.x, first.y, 1, 1));
        let slots = vec![slot];
        Finding { place, slots, ..Finding::new(FindingKind::SmallMotif, Severity::Note, message) }
    });
    findings.collect()
}

/// The rows of the repeat and which of its edges meet.
struct Tiles<'a> {
    rows: &'a [&'a [Cell]],
    across: bool,
    up: bool,
}

impl Tiles<'_> {
    /// Whether none of the eight neighbours has the cell's colour.
    fn is_alone(&self, x: usize, y: usize) -> bool {
        let row = self.rows[y];
        let cell = row[x];
        let [left, right] = neighbours(x, row.len(), self.across);
        // Side by side first: most stitches have a neighbour there.
        if [left, right].into_iter().flatten().any(|x| row[x] == cell) {
            return false;
        }
        let rows = neighbours(y, self.rows.len(), self.up).into_iter().flatten();
        rows.map(|y| self.rows[y])
            .all(|row| [left, Some(x), right].into_iter().flatten().all(|x| row[x] != cell))
    }
}

/// The places before and after `at` in `0..length`; the ends meet when it `wraps`, so that in a repeat
/// of one stitch each stitch is its own neighbour.
fn neighbours(at: usize, length: usize, wraps: bool) -> [Option<usize>; 2] {
    let before = if at > 0 { Some(at - 1) } else { wraps.then_some(length - 1) };
    let after = if at + 1 < length { Some(at + 1) } else { wraps.then_some(0) };
    [before, after]
}

#[cfg(test)]
mod tests {
    use super::super::tests::drawn;
    use super::*;

    #[test]
    fn seeding_is_one_note_a_colour() {
        let project = drawn(&["3330333033", "3333333333", "3033303333", "3333333333"]);
        let found = single_stitches(&project);
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].severity, Severity::Note);
        assert_eq!(found[0].place, Some(Rect::new(1, 1, 1, 1)));
        assert!(found[0].message.starts_with(
            "Harbour blue: 4 single stitches stand alone, the first in row 2, stitch 9. They read as seeding"
        ));
    }

    #[test]
    fn stitches_that_touch_at_a_corner_are_a_figure() {
        assert_eq!(single_stitches(&drawn(&["33333", "30333", "33033", "33333"])), []);
    }

    #[test]
    fn the_repeat_beside_and_above_counts() {
        // Column 0 meets column 4 across the end of the round.
        assert_eq!(single_stitches(&drawn(&["33333", "03330", "33333"])), []);
        let mut project = drawn(&["33033", "33333", "33033"]);
        assert_eq!(single_stitches(&project).len(), 1);
        project.plan.repeats_up = 2;
        assert_eq!(single_stitches(&project), []);
        // A repeat of one stitch is a stripe.
        assert_eq!(single_stitches(&drawn(&["3", "0", "3"])), []);
    }

    #[test]
    fn the_background_and_no_stitch_are_no_figures() {
        assert_eq!(single_stitches(&drawn(&["000", "0.0", "030", "000"])), []);
    }
}
