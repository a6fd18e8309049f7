//! Edits of chosen stitches that need not fill a rectangle, of one colour, and of the repeat as a ring.
//!
//! A choice is a rectangle of the chart with, for all but plain rectangles, the stitches of it that are chosen.
//! Chosen stitches are lifted as a patch in which what is not chosen is "no stitch", and such a patch is laid
//! down without these; a chosen "no stitch" is therefore left where it is.

use super::chart_edits::{background, in_place};
use super::edit::Edit;
use super::model::Project;
use crate::chart::{Cell, Grid, Point, Raster, Rect};

fn is_chosen(mask: Option<&Raster>, x: u32, y: u32) -> bool {
    mask.is_none_or(|mask| mask.contains(i64::from(x), i64::from(y)))
}

/// The chosen stitches of `rect`; `None` when it lies outside the chart.
pub fn lifted(project: &Project, rect: Rect, mask: Option<&Raster>) -> Option<Grid> {
    let mut patch = project.chart.grid.copy(rect)?;
    for p in patch.bounds().points().filter(|p| !is_chosen(mask, p.x, p.y)) {
        patch.set(p, Cell::NO_STITCH);
    }
    Some(patch)
}

/// Paints the chosen stitches in the background. `None` when nothing changes.
pub fn clear(project: &Project, rect: Rect, mask: &Raster) -> Option<Edit> {
    in_place(project, rect, |grid, _| clear_in(grid, Rect::default(), mask, background(project)))
}

fn clear_in(grid: &mut Grid, corner: Rect, mask: &Raster, background: Cell) {
    for p in mask.points() {
        grid.set(Point::new(p.x + corner.x, p.y + corner.y), background);
    }
}

/// Lays `patch` with its corner at `at`, but for its "no stitch"; with `clears` the stitches chosen in `rect`
/// become background first. `None` when nothing changes.
pub fn lay(
    project: &Project,
    (rect, mask): (Rect, &Raster),
    patch: &Grid,
    at: (i64, i64),
    clears: bool,
) -> Option<Edit> {
    let bounds = project.chart.grid.bounds();
    let span = |start: i64, length: u32, side: u32| {
        let edge = |v: i64| v.clamp(0, i64::from(side)) as u32;
        (edge(start), edge(start.saturating_add(i64::from(length))))
    };
    let (x0, x1) = span(at.0, patch.width(), bounds.width);
    let (y0, y1) = span(at.1, patch.height(), bounds.height);
    let target = Rect::new(x0, y0, x1 - x0, y1 - y0);
    let all = if clears { rect.union(target) } else { target };
    in_place(project, all, |grid, origin| {
        if clears {
            let corner = Rect::new(rect.x - origin.x, rect.y - origin.y, rect.width, rect.height);
            clear_in(grid, corner, mask, background(project));
        }
        for p in target.points() {
            let own = Point::new((i64::from(p.x) - at.0) as u32, (i64::from(p.y) - at.1) as u32);
            if let Some(cell) = patch.get(own).filter(|cell| *cell != Cell::NO_STITCH) {
                grid.set(Point::new(p.x - origin.x, p.y - origin.y), cell);
            }
        }
    })
}

/// Gives the chosen stitches of the colour of `from` the colour of `to`, worked as before. `None` when nothing
/// changes.
pub fn replace_colour(
    project: &Project,
    rect: Rect,
    mask: Option<&Raster>,
    (from, to): (Cell, Cell),
) -> Option<Edit> {
    in_place(project, rect, |grid, _| {
        for p in grid.bounds().points() {
            if let Some(old) = grid.get(p).filter(|old| old.same_colour(&from) && is_chosen(mask, p.x, p.y)) {
                grid.set(p, old.painted(to));
            }
        }
    })
}

/// Moves the stitches of the repeat by `(stitches, rows)` around it: what leaves it on one side comes in on the
/// other, so that the fabric stays the same and begins elsewhere. `None` when nothing changes.
pub fn shift_around(project: &Project, (right, up): (i64, i64)) -> Option<Edit> {
    in_place(project, project.chart.repeat(), |grid, _| {
        let old = grid.clone();
        let around = |at: u32, by: i64, side: u32| (i64::from(at) - by).rem_euclid(i64::from(side)) as u32;
        for p in old.bounds().points() {
            let from = Point::new(around(p.x, right, old.width()), around(p.y, up, old.height()));
            if let Some(cell) = old.get(from) {
                grid.set(p, cell);
            }
        }
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::project::Chart;

    /// Rows from the top; a digit is its slot.
    fn project(rows: &[&str]) -> Project {
        let cells = rows.iter().rev().flat_map(|row| row.bytes().map(|b| Cell::slot(b - b'0'))).collect();
        let grid = Grid::from_cells(rows[0].len() as u32, rows.len() as u32, cells).unwrap();
        let mut project = Project { chart: Chart::new(grid), ..Project::default() };
        // Slot 3 is the ground of the palette at hand.
        assert_eq!(project.background_slot(), 3);
        project.title = "chosen".to_owned();
        project
    }

    fn rows(project: &Project) -> Vec<String> {
        let grid = &project.chart.grid;
        let row =
            |y| grid.row(y).iter().map(|c| c.index().map_or('.', |i| (b'0' + i as u8) as char)).collect();
        (0..grid.height()).rev().map(row).collect()
    }

    fn after(mut project: Project, edit: Option<Edit>) -> Vec<String> {
        let before = project.clone();
        let undo = project.apply(edit.expect("an edit"));
        let shown = rows(&project);
        project.apply(undo);
        assert_eq!(project, before);
        shown
    }

    #[test]
    fn only_what_is_chosen_moves() {
        let project = project(&["0123", "3210", "0000"]);
        let (rect, mask) = (Rect::new(0, 1, 2, 2), Raster::from_fn(2, 2, |p| p.x == p.y));
        let patch = lifted(&project, rect, Some(&mask)).unwrap();
        assert_eq!(patch.get(Point::new(1, 0)), Some(Cell::NO_STITCH));
        let moved = lay(&project, (rect, &mask), &patch, (2, 0), true);
        assert_eq!(after(project.clone(), moved), ["0323", "3211", "0030"]);
        let copied = lay(&project, (rect, &mask), &patch, (2, 0), false);
        assert_eq!(after(project.clone(), copied), ["0123", "3211", "0030"]);
        assert_eq!(after(project.clone(), clear(&project, rect, &mask)), ["0323", "3210", "0000"]);
        assert_eq!(lay(&project, (rect, &mask), &patch, (90, 0), false), None);
    }

    #[test]
    fn a_colour_is_replaced_here_or_everywhere() {
        let project = project(&["0123", "3210"]);
        let (from, to) = (Cell::slot(0), Cell::slot(2));
        let here = replace_colour(&project, Rect::new(0, 0, 2, 2), None, (from, to));
        assert_eq!(after(project.clone(), here), ["2123", "3210"]);
        let everywhere = replace_colour(&project, project.chart.grid.bounds(), None, (from, to));
        assert_eq!(after(project.clone(), everywhere), ["2123", "3212"]);
        let mask = Raster::from_fn(4, 2, |p| p.y == 0);
        let masked = replace_colour(&project, project.chart.grid.bounds(), Some(&mask), (from, to));
        assert_eq!(after(project, masked), ["0123", "3212"]);
    }

    #[test]
    fn the_repeat_goes_around_and_comes_back() {
        let mut project = project(&["0123", "3210"]);
        assert_eq!(after(project.clone(), shift_around(&project, (1, 0))), ["3012", "0321"]);
        assert_eq!(after(project.clone(), shift_around(&project, (-1, 1))), ["2103", "1230"]);
        assert_eq!(shift_around(&project, (4, 2)), None);
        project.chart = Chart::with_repeat(project.chart.grid.clone(), Rect::new(1, 0, 2, 2)).unwrap();
        assert_eq!(after(project.clone(), shift_around(&project, (1, 0))), ["0213", "3120"]);
    }
}
