//! What strokes leave on the chart, with the stitches that the symmetry takes along.

use super::edit::{CellPatch, Edit};
use super::model::Project;
use crate::chart::{Cell, Grid, Ink, Placed, Point, Rect, painting};

/// A patch is parted no further when this many stitches of its rectangle stay as they are.
const WORTH_PARTING: usize = 48;
/// Halvings at most: 64 patches.
const DEEPEST: u32 = 6;

impl Project {
    /// The symmetry over the chart as it is.
    pub fn placed_symmetry(&self) -> Placed {
        self.symmetry.about(self.chart.repeat())
    }

    /// The edit that paints every given stitch, and those that the symmetry takes along, with one ink.
    /// `None` when nothing would change.
    pub fn painting(&self, points: impl IntoIterator<Item = Point>, ink: impl Into<Ink>) -> Option<Edit> {
        let ink = ink.into();
        let strokes: Vec<(Point, Ink)> = points.into_iter().map(|p| (p, ink)).collect();
        self.stroking(&strokes)
    }

    /// The edit that leaves each stroke's ink on its stitch, and on those that the symmetry takes along.
    /// `None` when nothing would change.
    pub fn stroking(&self, strokes: &[(Point, Ink)]) -> Option<Edit> {
        let grid = &self.chart.grid;
        let all = self.placed_symmetry().strokes(strokes, grid.bounds());
        self.leaving(all)
    }

    /// The edit that fills the area of one colour around `at`, inside `within` if given, and the areas around
    /// the stitches that the symmetry takes along. `None` when nothing would change.
    pub fn filling(&self, at: Point, within: Option<Rect>, ink: Ink) -> Option<Edit> {
        let grid = &self.chart.grid;
        let from = (i64::from(at.x), i64::from(at.y));
        let mut starts = vec![(at, ink)];
        self.placed_symmetry().images(from, (1, 1), grid.bounds(), |image| {
            let (x, y) = image.cell(from);
            starts.push((Point::new(x as u32, y as u32), image.ink(ink)));
        });
        let places: Vec<Point> = starts.iter().map(|(p, _)| *p).collect();
        let floods = painting::flood_each(grid, &places, within);
        let each = floods.into_iter().zip(starts);
        self.leaving(each.flat_map(|(points, (_, ink))| points.into_iter().map(move |p| (p, ink))))
    }

    fn leaving(&self, all: impl IntoIterator<Item = (Point, Ink)>) -> Option<Edit> {
        let grid = &self.chart.grid;
        let changed = all.into_iter().filter_map(|(p, ink)| {
            let old = grid.get(p)?;
            Some((p, ink.on(old))).filter(|(_, new)| *new != old)
        });
        let mut changed: Vec<(Point, Cell)> = changed.collect();
        let mut patches = Vec::new();
        part(grid, &mut changed, DEEPEST, &mut patches);
        match patches.len() {
            0 | 1 => patches.pop(),
            _ => Some(Edit::Several(patches)),
        }
    }
}

/// Puts the changes into few patches that hold little else. They do not overlap.
fn part(grid: &Grid, changed: &mut [(Point, Cell)], depth: u32, patches: &mut Vec<Edit>) {
    let bounds = changed.iter().fold(Rect::default(), |r, (p, _)| r.union(Rect::new(p.x, p.y, 1, 1)));
    if depth > 0 && bounds.area() > changed.len() + WORTH_PARTING {
        let (level, at, saved) = widest_gap(changed, bounds);
        if saved * 4 > bounds.area() {
            if level {
                changed.sort_unstable_by_key(|(p, _)| p.y);
            } else {
                changed.sort_unstable_by_key(|(p, _)| p.x);
            }
            let first = changed.partition_point(|(p, _)| if level { p.y < at } else { p.x < at });
            let (before, after) = changed.split_at_mut(first);
            part(grid, before, depth - 1, patches);
            part(grid, after, depth - 1, patches);
            return;
        }
    }
    if let Some(mut cells) = grid.copy(bounds) {
        for (p, cell) in changed {
            cells.set(Point::new(p.x - bounds.x, p.y - bounds.y), *cell);
        }
        patches.push(Edit::Cells(CellPatch { x: bounds.x, y: bounds.y, cells }));
    }
}

/// The rows (`true`) or columns without a change that hold the most stitches: which way they run, where what
/// lies beyond them begins, and how many stitches they are.
fn widest_gap(changed: &[(Point, Cell)], bounds: Rect) -> (bool, u32, usize) {
    let gap = |start: u32, length: u32, place: &dyn Fn(Point) -> u32| {
        let mut taken = vec![false; length as usize];
        for (p, _) in changed {
            taken[(place(*p) - start) as usize] = true;
        }
        let (mut best, mut at, mut run) = (0, 0, 0);
        for (index, taken) in taken.into_iter().enumerate() {
            if taken {
                if run > best {
                    (best, at) = (run, start + index as u32);
                }
                run = 0;
            } else {
                run += 1;
            }
        }
        (best, at)
    };
    let (rows, at_row) = gap(bounds.y, bounds.height, &|p| p.y);
    let (columns, at_column) = gap(bounds.x, bounds.width, &|p| p.x);
    let (by_rows, by_columns) = (rows * bounds.width as usize, columns * bounds.height as usize);
    if by_rows >= by_columns { (true, at_row, by_rows) } else { (false, at_column, by_columns) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::{Mirrors, Symmetry};
    use crate::project::Chart;

    fn project(side: u32, mirrors: Mirrors) -> Project {
        let symmetry = Symmetry { mirrors, ..Symmetry::default() };
        let chart = Chart::new(Grid::square(side, Cell::slot(0)));
        Project { chart, symmetry, ..Project::default() }
    }

    #[test]
    fn eight_stitches_far_apart_are_small_patches_and_come_back() {
        let mut project = project(500, Mirrors::Star);
        let before = project.clone();
        let edit = project.painting([Point::new(10, 30)], Cell::slot(1)).unwrap();
        assert!(edit.bytes() < 4000, "{}", edit.bytes());
        let undo = project.apply(edit);
        assert_eq!(project.chart.grid.counts()[1], 8);
        project.apply(undo);
        assert_eq!(project, before);
    }

    #[test]
    fn a_filled_shape_is_one_patch() {
        let project = project(40, Mirrors::LeftRight);
        let points = (0..40).map(|x| Point::new(x, 7));
        assert!(matches!(project.painting(points, Cell::slot(1)), Some(Edit::Cells(_))));
    }

    #[test]
    fn what_changes_nothing_is_no_edit() {
        assert_eq!(project(9, Mirrors::Both).painting([Point::new(1, 1)], Cell::slot(0)), None);
        assert_eq!(project(9, Mirrors::Both).painting([], Cell::slot(1)), None);
    }
}
