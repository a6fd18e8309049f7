//! Figures too small to be told apart.

use rayon::prelude::*;

use super::super::model::Project;
use super::marks::MOST_MARKS;
use super::places::{colours, stitches};
use super::{Finding, FindingKind, Severity};
use crate::chart::{BasicShape, Cell, Rect, RowFacts, Run, SeedCount, Seeds, runs, smallest_box};

/// One note that counts stitches that stand alone and figures under 3 x 3 stitches: stitches other than the
/// background that hang together, corners included, in a box of at most 2 x 2, where not even a square
/// differs from a diamond (see `chart::motif_fit`). Seeding is made of them on purpose, so it is a note.
pub(super) fn small_figures(project: &Project, rows: &[RowFacts], boxes: &mut LeastBoxes) -> Option<Finding> {
    let tally = rows.iter().fold(SeedCount::default(), |count, row| count.merged(row.seeds));
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
        boxes.words(project.plan.gauge.cell_aspect()),
    );
    let place = Some(Rect::new(x, y, 1, 1));
    Some(Finding { place, slots, ..Finding::new(FindingKind::SmallMotif, Severity::Note, message) })
}

/// The stitches of what [`small_figures`] counts, on the chart; the first [`MOST_MARKS`].
pub(super) fn places(project: &Project) -> Vec<Rect> {
    let how = project.repeat_how();
    let seeds = Seeds { fabric: project.repeated_rows(), background: how.background };
    let found = (0..seeds.fabric.rows.len()).flat_map(|y| {
        let runs: Vec<Run> = runs(seeds.fabric.rows[y]).collect();
        seeds.in_row(y, &runs).collect::<Vec<_>>()
    });
    let on_chart = |(y, x): (usize, usize)| Rect::new(how.repeat.x + x as u32, how.repeat.y + y as u32, 1, 1);
    found.flat_map(|seed| seed.stitches().to_vec()).map(on_chart).take(MOST_MARKS).collect()
}

fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

impl Project {
    /// How many stitches of the repeat stand alone (see [`RepeatedRows::stands_alone`](crate::chart::RepeatedRows::stands_alone)), whatever their colour.
    pub fn lone_stitches(&self) -> usize {
        let fabric = self.repeated_rows();
        (0..fabric.rows.len())
            .into_par_iter()
            .map(|y| (0..fabric.rows[y].len()).filter(|x| fabric.stands_alone(*x, y)).count())
            .sum()
    }
}

/// The fewest stitches and rows of a square and a circle, in words, kept with the aspect of the cells they are
/// for: shapes take long to draw.
#[derive(Debug, Default)]
pub(super) struct LeastBoxes(Option<(f64, String)>);

impl LeastBoxes {
    fn words(&mut self, aspect: f64) -> &str {
        if self.0.as_ref().is_none_or(|(known, _)| *known != aspect) {
            self.0 = Some((aspect, needed(aspect)));
        }
        self.0.as_ref().map_or("", |(_, words)| words)
    }
}

fn needed(aspect: f64) -> String {
    let square = smallest_box(BasicShape::Square, aspect);
    let Some(((square, rows), circle)) = square.zip(smallest_box(BasicShape::Circle, aspect)) else {
        return String::new();
    };
    format!(" At this gauge a square needs {square} x {rows} stitches, a circle {} x {}.", circle.0, circle.1)
}

#[cfg(test)]
mod tests {
    use super::super::tests::{drawn, rows};
    use super::*;
    use crate::chart::{Cell, Point, Work};

    fn of(project: &Project) -> Option<Finding> {
        small_figures(project, &rows(project), &mut LeastBoxes::default())
    }

    fn note(rows: &[&str]) -> Option<String> {
        of(&drawn(rows)).map(|finding| finding.message)
    }

    #[test]
    fn seeding_is_one_note() {
        let project = drawn(&["3330333033", "3333333333", "3033313333", "3333333333"]);
        let found = of(&project).unwrap();
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
        let found = of(&drawn).unwrap();
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
        let message = of(&project).unwrap().message;
        let words =
            "A stitch stands alone and a figure is smaller than 3 x 3 stitches, the first in row 1, stitch 4";
        assert!(message.starts_with(words), "{message}");
        assert_eq!(places(&project).len(), 3);
        project.plan.repeats_up = 2;
        assert_eq!(of(&project), None);
        // A repeat of one stitch is a stripe.
        assert_eq!(note(&["3", "0", "3"]), None);
    }

    #[test]
    fn a_decrease_in_the_colour_of_the_ground_is_no_figure() {
        let mut project = drawn(&["33333", "33333", "33333"]);
        project.chart.grid.set(Point::new(2, 1), Cell::slot(3).worked(Work::K2tog));
        assert_eq!(of(&project), None);
    }

    #[test]
    fn the_background_and_no_stitch_are_no_figures() {
        assert_eq!(note(&["333", "3.3", "333"]), None);
    }
}
