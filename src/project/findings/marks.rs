//! All the stitches a finding is about, to be marked on the chart.

use rayon::prelude::*;

use super::super::model::Project;
use super::{Finding, FindingKind, floats, small_figures};
use crate::chart::{Rect, colours_in_row, touching_places};
use crate::project::figures::Figures;

/// Marks of one finding at most; more could not be told apart.
pub(super) const MOST_MARKS: usize = 400;

impl Finding {
    /// The stitches it is about, all of them up to 400 runs, in boxes on the chart; none when it is about the
    /// whole piece. `figures` are those it stands in.
    pub fn marks(&self, project: &Project, figures: &Figures) -> Vec<Rect> {
        let Some(place) = self.place else { return Vec::new() };
        let mut marks = match self.kind {
            FindingKind::LongFloat => floats::places(project, self),
            FindingKind::ManyColours => rows_of_these_colours(project, &self.slots),
            FindingKind::SmallMotif => small_figures::places(project),
            FindingKind::CloseValues => touching(project, figures, &self.slots),
            _ => Vec::new(),
        };
        marks.truncate(MOST_MARKS);
        // A pair of colours may touch only where the repeat meets itself.
        if marks.is_empty() { vec![place] } else { marks }
    }
}

/// The rows of the repeat in which just these colours meet; rows that follow each other are one box.
fn rows_of_these_colours(project: &Project, slots: &[usize]) -> Vec<Rect> {
    let repeat = project.chart.repeat();
    let are_these = |row: &u32| colours_in_row(project.repeat_row(*row)) == slots;
    let rows: Vec<u32> = (0..repeat.height).into_par_iter().filter(are_these).collect();
    let mut boxes: Vec<Rect> = Vec::new();
    for row in rows {
        let y = repeat.y + row;
        match boxes.last_mut() {
            Some(below) if below.y + below.height == y => below.height += 1,
            _ => boxes.push(Rect::new(repeat.x, y, repeat.width, 1)),
        }
    }
    boxes
}

fn touching(project: &Project, figures: &Figures, slots: &[usize]) -> Vec<Rect> {
    let [a, b] = slots[..] else { return Vec::new() };
    let pair = figures.contacts.iter().find(|pair| (pair.a, pair.b) == (a, b) || (pair.a, pair.b) == (b, a));
    pair.map_or_else(Vec::new, |pair| {
        touching_places(&project.chart.grid, project.chart.repeat(), pair, MOST_MARKS)
    })
}

#[cfg(test)]
mod tests {
    use super::super::tests::drawn;
    use super::*;

    /// The marks of the first finding of a kind.
    fn marks(rows: &[&str], kind: FindingKind) -> Vec<Rect> {
        let project = drawn(rows);
        let figures = Figures::of(&project);
        let found = figures.findings.iter().find(|finding| finding.kind == kind).unwrap();
        let mut marks = found.marks(&project, &figures);
        marks.sort_by_key(|mark| (mark.y, mark.x));
        marks
    }

    #[test]
    fn a_float_is_marked_in_every_row_it_is_in_and_across_the_end_of_the_round() {
        let rows = ["0333333330", "3333333333", "0333333330"];
        assert_eq!(marks(&rows, FindingKind::LongFloat), [Rect::new(1, 0, 8, 1), Rect::new(1, 2, 8, 1)]);
        let across = ["3333003333"];
        assert_eq!(marks(&across, FindingKind::LongFloat), [Rect::new(0, 0, 4, 1), Rect::new(6, 0, 4, 1)]);
    }

    #[test]
    fn rows_of_many_colours_and_seeds_are_all_marked() {
        let rows = ["3012301230", "3333333333", "0123012301", "0123012301"];
        assert_eq!(marks(&rows, FindingKind::ManyColours), [Rect::new(0, 0, 10, 2), Rect::new(0, 3, 10, 1)]);
        let seeds = ["3330333033", "3333333333", "3033313333", "3333333333"];
        let at = [(1, 1), (5, 1), (3, 3), (7, 3)].map(|(x, y)| Rect::new(x, y, 1, 1));
        assert_eq!(marks(&seeds, FindingKind::SmallMotif), at);
    }
}
