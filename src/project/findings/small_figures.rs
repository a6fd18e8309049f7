//! Figures too small to be told apart.

use rayon::prelude::*;

use super::super::model::Project;
use super::marks::MOST_MARKS;
use super::places::{colours, stitches};
use super::{Finding, FindingKind, Severity};
use crate::chart::{BasicShape, Cell, Rect, RepeatedRows, smallest_box};

/// One note that counts stitches that stand alone and figures under 3 x 3 stitches: stitches other than the
/// background that hang together, corners included, in a box of at most 2 x 2, where not even a square
/// differs from a diamond (see `chart::motif_fit`). Seeding is made of them on purpose, so it is a note.
pub(super) fn small_figures(project: &Project) -> Option<Finding> {
    let seeds = Seeds::of(project);
    let tally = (0..seeds.fabric.rows.len())
        .into_par_iter()
        .fold(Tally::default, |tally, y| {
            seeds.in_row(y).map(|seed| Tally::of(&seed)).fold(tally, Tally::merged)
        })
        .reduce(Tally::default, Tally::merged);
    let (y, x) = tally.first?;
    let repeat = project.chart.repeat();
    let slots: Vec<usize> = (0..Cell::MAX_SLOTS).filter(|slot| tally.slots >> slot & 1 == 1).collect();
    let (x, y) = (repeat.x + x as u32, repeat.y + y as u32);
    let at = format!("row {}, stitch {}", y + 1, stitches(x, x + 1, project.chart.grid.width()));
    let alone = match tally.lone {
        1 => "a stitch stands alone".to_owned(),
        lone => format!("{lone} stitches stand alone"),
    };
    let small = match tally.figures {
        1 => "a figure is smaller than 3 x 3 stitches".to_owned(),
        figures => format!("{figures} figures are smaller than 3 x 3 stitches"),
    };
    let what = match (tally.lone, tally.figures) {
        (_, 0) => alone,
        (0, _) => small,
        _ => format!("{alone} and {small}"),
    };
    let (first, read) =
        if tally.lone + tally.figures == 1 { ("in", "it reads") } else { ("the first in", "they read") };
    let message = format!(
        "{}, {first} {at} ({}): {read} as seeding, not as a shape.{}",
        capitalised(&what),
        colours(project, &slots),
        needed(project.plan.gauge.cell_aspect()),
    );
    let place = Some(Rect::new(x, y, 1, 1));
    Some(Finding { place, slots, ..Finding::new(FindingKind::SmallMotif, Severity::Note, message) })
}

/// The stitches of what [`small_figures`] counts, on the chart; the first [`MOST_MARKS`].
pub(super) fn places(project: &Project) -> Vec<Rect> {
    let seeds = Seeds::of(project);
    let repeat = project.chart.repeat();
    let found = (0..seeds.fabric.rows.len()).flat_map(|y| seeds.in_row(y));
    let on_chart = |(y, x): (usize, usize)| Rect::new(repeat.x + x as u32, repeat.y + y as u32, 1, 1);
    found.flat_map(|seed| seed.stitches).map(on_chart).take(MOST_MARKS).collect()
}

fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

impl Project {
    /// How many stitches of the repeat stand alone (see [`RepeatedRows::stands_alone`]), whatever their colour.
    pub fn lone_stitches(&self) -> usize {
        let fabric = self.repeated_rows();
        (0..fabric.rows.len())
            .into_par_iter()
            .map(|y| (0..fabric.rows[y].len()).filter(|x| fabric.stands_alone(*x, y)).count())
            .sum()
    }
}

/// The fewest stitches and rows of a square and a circle on these cells.
fn needed(aspect: f64) -> String {
    let square = smallest_box(BasicShape::Square, aspect);
    let Some(((square, rows), circle)) = square.zip(smallest_box(BasicShape::Circle, aspect)) else {
        return String::new();
    };
    format!(" At this gauge a square needs {square} x {rows} stitches, a circle {} x {}.", circle.0, circle.1)
}

/// A stitch that stands alone or a small figure.
struct Seed {
    /// Row and column of its stitches in the repeat, the first first.
    stitches: Vec<(usize, usize)>,
    /// Their colours, one bit a slot.
    slots: u64,
}

/// Seeds counted.
#[derive(Clone, Copy, Default)]
struct Tally {
    /// Stitches that stand alone.
    lone: u32,
    /// Figures of two to four stitches.
    figures: u32,
    slots: u64,
    /// Row and column of the first.
    first: Option<(usize, usize)>,
}

impl Tally {
    fn of(seed: &Seed) -> Self {
        let is_lone = seed.stitches.len() == 1;
        Self {
            lone: u32::from(is_lone),
            figures: u32::from(!is_lone),
            slots: seed.slots,
            first: seed.stitches.first().copied(),
        }
    }

    fn merged(self, other: Self) -> Self {
        Self {
            lone: self.lone + other.lone,
            figures: self.figures + other.figures,
            slots: self.slots | other.slots,
            first: [self.first, other.first].into_iter().flatten().min(),
        }
    }
}

/// Where seeds are looked for.
struct Seeds<'a> {
    fabric: RepeatedRows<'a>,
    background: Cell,
}

impl<'a> Seeds<'a> {
    fn of(project: &'a Project) -> Self {
        Self { fabric: project.repeated_rows(), background: Cell::slot(project.background_slot() as u8) }
    }

    /// Lone stitches of a row and the small figures that begin in it, from the left.
    fn in_row(&self, y: usize) -> impl Iterator<Item = Seed> {
        let row = self.fabric.rows[y];
        (0..row.len()).flat_map(move |x| {
            let lone = row[x].index().filter(|_| self.fabric.stands_alone(x, y));
            let lone = lone.map(|slot| Seed { stitches: vec![(y, x)], slots: 1 << slot });
            let figure = if self.is_filled(row[x]) { self.figure_from(x, y) } else { None };
            lone.into_iter().chain(figure)
        })
    }

    fn is_filled(&self, cell: Cell) -> bool {
        cell != self.background && cell != Cell::NO_STITCH
    }

    /// The stitch of a figure this far from `at`, if there is one.
    fn filled(&self, at: (usize, usize), by: (i64, i64)) -> Option<Cell> {
        self.fabric.beside(at, by).filter(|cell| self.is_filled(*cell))
    }

    /// The small figure of two stitches or more whose first, from the bottom left, is `(x, y)`; not one whose
    /// stitches all stand alone.
    fn figure_from(&self, x: usize, y: usize) -> Option<Seed> {
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
        let mut figure = Seed { stitches: Vec::new(), slots: 0 };
        for place in rows.clone().flat_map(|dy| columns.clone().map(move |dx| (dx, dy))) {
            let Some(slot) = filled(place).and_then(Cell::index) else { continue };
            figure.stitches.push(self.fabric.place((x, y), place)?);
            figure.slots |= 1 << slot;
            let around = (-1..=1).flat_map(|dy| (-1..=1).map(move |dx| (place.0 + dx, place.1 + dy)));
            let mut outside = around.filter(|(dx, dy)| !columns.contains(dx) || !rows.contains(dy));
            if outside.any(|place| filled(place).is_some()) {
                return None;
            }
        }
        let all_lone = figure.stitches.iter().all(|(y, x)| self.fabric.stands_alone(*x, *y));
        (!all_lone).then_some(figure)
    }
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
            assert!(
                found.starts_with("A figure is smaller than 3 x 3 stitches, in row "),
                "{figure:?}: {found}"
            );
        }
    }

    #[test]
    fn a_stitch_of_another_colour_inside_a_figure_stands_alone() {
        let drawn = drawn(&["333333", "300033", "301033", "300033", "333333"]);
        let found = small_figures(&drawn).unwrap();
        assert!(
            found.message.starts_with("A stitch stands alone, in row 3, stitch 4 (B "),
            "{}",
            found.message
        );
        assert_eq!((drawn.lone_stitches(), places(&drawn)), (1, vec![Rect::new(2, 2, 1, 1)]));
        // Two of different colours side by side are two stitches that stand alone, not one figure.
        let message = note(&["333333", "330133", "333333"]).unwrap();
        assert!(message.starts_with("2 stitches stand alone, the first in row 2"), "{message}");
    }

    #[test]
    fn the_repeat_beside_and_above_counts() {
        // Two columns at each edge meet across the end of the round.
        assert_eq!(note(&["333333", "003300", "333333"]), None);
        let mut project = drawn(&["330333", "333333", "330333", "330333"]);
        let message = small_figures(&project).unwrap().message;
        let words =
            "A stitch stands alone and a figure is smaller than 3 x 3 stitches, the first in row 1, stitch 4";
        assert!(message.starts_with(words), "{message}");
        assert_eq!(places(&project).len(), 3);
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
