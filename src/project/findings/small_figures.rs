//! Figures too small to be told apart.

use rayon::prelude::*;

use super::super::model::Project;
use super::places::{colours, stitches};
use super::{Finding, FindingKind, Severity};
use crate::chart::{BasicShape, Cell, Rect, smallest_box};

/// One note that counts the figures under 3 x 3 stitches: stitches other than the background that
/// hang together, corners included, in a box of at most 2 x 2, where not even a square differs from a
/// diamond (see `chart::motif_fit`). Seeding is made of them on purpose, so it is a note.
pub(super) fn small_figures(project: &Project) -> Option<Finding> {
    let repeat = project.chart.repeat();
    let rows: Vec<&[Cell]> = (0..repeat.height).map(|row| project.repeat_row(row)).collect();
    let fabric = RepeatedRows {
        rows: &rows,
        background: Cell::slot(project.background_slot() as u8),
        across: project.repeats_side_by_side(),
        up: project.plan.repeats_up > 1,
    };
    let tally = (0..rows.len())
        .into_par_iter()
        .fold(Tally::default, |tally, y| {
            let stitches = (0..rows[y].len()).filter(|x| fabric.is_filled(rows[y][*x]));
            stitches.filter_map(|x| fabric.small_figure_from(x, y)).fold(tally, Tally::merged)
        })
        .reduce(Tally::default, Tally::merged);
    let (y, x) = tally.first?;
    let slots: Vec<usize> = (0..Cell::MAX_SLOTS).filter(|slot| tally.slots >> slot & 1 == 1).collect();
    let (x, y) = (repeat.x + x as u32, repeat.y + y as u32);
    let at = format!("row {}, stitch {}", y + 1, stitches(x, x + 1, project.chart.grid.width()));
    let what = match (tally.figures, tally.singles) {
        (1, 1) => format!("A stitch stands alone in {at}"),
        (1, _) => format!("A figure in {at} is smaller than 3 x 3 stitches"),
        (figures, 0) => format!("{figures} figures, the first in {at}, are smaller than 3 x 3 stitches"),
        (figures, singles) if figures == singles => {
            format!("{figures} stitches stand alone, the first in {at}")
        }
        (figures, singles) => format!(
            "{figures} figures, the first in {at}, are smaller than 3 x 3 stitches, {singles} of them single \
             stitches"
        ),
    };
    let read = if tally.figures == 1 { "it reads" } else { "they read" };
    let message = format!(
        "{what} ({}): {read} as seeding, not as a shape.{}",
        colours(project, &slots),
        needed(project.plan.gauge.cell_aspect()),
    );
    let place = Some(Rect::new(x, y, 1, 1));
    Some(Finding { place, slots, ..Finding::new(FindingKind::SmallMotif, Severity::Note, message) })
}

/// The fewest stitches and rows of a square and a circle on these cells.
fn needed(aspect: f64) -> String {
    let square = smallest_box(BasicShape::Square, aspect);
    let Some(((square, rows), circle)) = square.zip(smallest_box(BasicShape::Circle, aspect)) else {
        return String::new();
    };
    format!(" At this gauge a square needs {square} x {rows} stitches, a circle {} x {}.", circle.0, circle.1)
}

/// Small figures counted.
#[derive(Clone, Copy, Default)]
struct Tally {
    figures: u32,
    /// Those of one stitch.
    singles: u32,
    /// Their colours, one bit a slot.
    slots: u64,
    /// Row and column of the first.
    first: Option<(usize, usize)>,
}

impl Tally {
    fn merged(self, other: Self) -> Self {
        Self {
            figures: self.figures + other.figures,
            singles: self.singles + other.singles,
            slots: self.slots | other.slots,
            first: [self.first, other.first].into_iter().flatten().min(),
        }
    }
}

/// The rows of the repeat and which of its edges meet.
struct RepeatedRows<'a> {
    rows: &'a [&'a [Cell]],
    background: Cell,
    across: bool,
    up: bool,
}

impl RepeatedRows<'_> {
    fn is_filled(&self, cell: Cell) -> bool {
        cell != self.background && cell != Cell::NO_STITCH
    }

    /// The stitch of a figure this far from `(x, y)`, if there is one.
    fn filled(&self, (x, y): (usize, usize), (dx, dy): (i64, i64)) -> Option<Cell> {
        let row = self.rows[moved(y, dy, self.rows.len(), self.up)?];
        let cell = row[moved(x, dx, row.len(), self.across)?];
        self.is_filled(cell).then_some(cell)
    }

    /// The small figure whose first stitch, from the bottom left, is `(x, y)`.
    fn small_figure_from(&self, x: usize, y: usize) -> Option<Tally> {
        let filled = |place| self.filled((x, y), place);
        // Its first stitch has none of the figure to its left or below.
        let before = [(-1, 0), (-1, -1), (0, -1), (1, -1)];
        if before.into_iter().any(|place| filled(place).is_some()) {
            return None;
        }
        let left = filled((-1, 1)).is_some();
        let right = filled((1, 0)).is_some() || filled((1, 1)).is_some();
        let up = left || filled((0, 1)).is_some() || filled((1, 1)).is_some();
        if left && right {
            return None;
        }
        let (columns, rows) = (-i64::from(left)..=i64::from(right), 0..=i64::from(up));
        let mut figure = Tally { figures: 1, first: Some((y, x)), ..Tally::default() };
        let mut count = 0;
        for place in rows.clone().flat_map(|dy| columns.clone().map(move |dx| (dx, dy))) {
            let Some(slot) = filled(place).and_then(Cell::index) else { continue };
            count += 1;
            figure.slots |= 1 << slot;
            let around = (-1..=1).flat_map(|dy| (-1..=1).map(move |dx| (place.0 + dx, place.1 + dy)));
            let mut outside = around.filter(|(dx, dy)| !columns.contains(dx) || !rows.contains(dy));
            if outside.any(|place| filled(place).is_some()) {
                return None;
            }
        }
        figure.singles = u32::from(count == 1);
        Some(figure)
    }
}

/// The place `by` after `at` in `0..length`, whose ends meet when it `wraps`.
fn moved(at: usize, by: i64, length: usize, wraps: bool) -> Option<usize> {
    let to = at as i64 + by;
    let inside = (0..length as i64).contains(&to);
    if inside || wraps { Some(to.rem_euclid(length as i64) as usize) } else { None }
}

#[cfg(test)]
mod tests {
    use super::super::tests::drawn;
    use super::*;

    fn note(rows: &[&str]) -> Option<String> {
        small_figures(&drawn(rows)).map(|finding| finding.message)
    }

    #[test]
    fn seeding_is_one_note() {
        let project = drawn(&["3330333033", "3333333333", "3033313333", "3333333333"]);
        let found = small_figures(&project).unwrap();
        assert_eq!(found.severity, Severity::Note);
        assert_eq!(found.place, Some(Rect::new(1, 1, 1, 1)));
        assert_eq!(found.slots, [0, 1]);
        assert_eq!(
            found.message,
            "4 stitches stand alone, the first in row 2, stitch 9 (A Blue crate and B Pink chalk): they read \
             as seeding, not as a shape. At this gauge a square needs 4 x 5 stitches, a circle 4 x 5."
        );
    }

    #[test]
    fn a_figure_of_three_stitches_across_is_no_small_one() {
        assert_eq!(note(&["33333", "30003", "33333"]), None);
        assert_eq!(note(&["333333", "303333", "330333", "333033", "333333"]), None);
        assert_eq!(note(&["333333", "303033", "330333", "333333"]), None);
        assert_eq!(note(&["333333", "330333", "303033", "333333"]), None);
    }

    #[test]
    fn boxes_of_two_by_two_are() {
        for figure in [["003", "003"], ["303", "033"], ["033", "303"], ["333", "003"], ["033", "033"]] {
            let rows: Vec<String> = figure.iter().map(|row| format!("33{row}33")).collect();
            let found = note(&["3333333", &rows[0], &rows[1], "3333333"]).unwrap();
            assert!(found.starts_with("A figure in row "), "{figure:?}: {found}");
        }
    }

    #[test]
    fn a_stitch_of_another_colour_inside_a_figure_is_part_of_it() {
        assert_eq!(note(&["333333", "300033", "301033", "300033", "333333"]), None);
    }

    #[test]
    fn the_repeat_beside_and_above_counts() {
        // Two columns at each edge meet across the end of the round.
        assert_eq!(note(&["333333", "003300", "333333"]), None);
        let mut project = drawn(&["330333", "333333", "330333", "330333"]);
        assert!(
            small_figures(&project)
                .unwrap()
                .message
                .contains("2 figures, the first in row 1, stitch 4, are smaller")
        );
        project.plan.repeats_up = 2;
        assert_eq!(small_figures(&project), None);
        // A repeat of one stitch is a stripe.
        assert_eq!(note(&["3", "0", "3"]), None);
    }

    #[test]
    fn the_background_and_no_stitch_are_no_figures() {
        assert_eq!(note(&["333", "3.3", "333"]), None);
    }
}
