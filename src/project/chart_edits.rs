//! Edits of the chart: rows and stitches put in and taken out, regions moved, mirrored, pasted.
//!
//! Each function looks at the project and returns the [`Edit`] that does the work; nothing is
//! changed until it is applied. What is uncovered takes the background colour.

use thiserror::Error;

use super::axis::{after_deleting, after_inserting, same, with_axis};
use super::edit::{CellPatch, Edit};
use super::model::{Chart, Project, ProjectError};
use crate::chart::{Cell, Grid, Ink, Point, Rect, Transform, balance_rows};

/// Why the chart cannot be edited that way.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum ChartEditError {
    /// The chosen stitches are not on the chart.
    #[error("that part lies outside the chart of {width} x {height}: choose stitches on the chart")]
    Outside {
        /// Stitches of the chart.
        width: u32,
        /// Rows of the chart.
        height: u32,
    },
    /// Nothing was asked for.
    #[error("give a number of {0} of 1 or more")]
    None(&'static str),
    /// No row or stitch would be left.
    #[error("that would take out all {0}: leave at least one, or start a new chart")]
    All(&'static str),
    /// The new chart cannot be.
    #[error(transparent)]
    Project(#[from] ProjectError),
}

impl From<crate::chart::GridError> for ChartEditError {
    fn from(error: crate::chart::GridError) -> Self {
        Self::Project(error.into())
    }
}

/// Which part of the chart keeps its place along one direction when the size changes.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Hold {
    /// The left edge or the bottom.
    #[default]
    Start,
    /// The right edge or the top.
    End,
}

impl Hold {
    fn offset(self, old: u32, new: u32) -> i64 {
        let gain = i64::from(new) - i64::from(old);
        match self {
            Self::Start => 0,
            Self::End => gain,
        }
    }
}

/// The repeat box along one direction.
#[derive(Clone, Copy)]
struct Span {
    start: u32,
    length: u32,
    /// Length of the chart in this direction.
    total: u32,
}

impl Span {
    const fn across(chart: &Chart) -> Self {
        Self { start: chart.repeat().x, length: chart.repeat().width, total: chart.grid.width() }
    }

    const fn up(chart: &Chart) -> Self {
        Self { start: chart.repeat().y, length: chart.repeat().height, total: chart.grid.height() }
    }

    /// A repeat over the whole chart stays over the whole chart; one above the gap moves up; one
    /// around the gap grows.
    const fn inserted(self, at: u32, count: u32) -> Self {
        let total = self.total + count;
        if self.length == self.total {
            Self { start: 0, length: total, total }
        } else if at <= self.start {
            Self { start: self.start + count, length: self.length, total }
        } else if at < self.start + self.length {
            Self { start: self.start, length: self.length + count, total }
        } else {
            Self { total, ..self }
        }
    }

    /// The box loses what is taken out of it; a box that vanishes becomes the whole chart.
    fn deleted(self, from: u32, end: u32) -> Self {
        let before = |edge: u32| edge.min(end).saturating_sub(from);
        let total = self.total - (end - from);
        let start = self.start - before(self.start);
        let stop = self.start + self.length;
        let length = stop - before(stop) - start;
        if length == 0 { Self { start: 0, length: total, total } } else { Self { start, length, total } }
    }

    /// The chart is moved by `offset` and cut or extended to `total`.
    fn shifted(self, offset: i64, total: u32) -> Self {
        let inside = |edge: i64| (edge + offset).clamp(0, i64::from(total)) as u32;
        let start = inside(i64::from(self.start));
        let length = inside(i64::from(self.start) + i64::from(self.length)) - start;
        if self.length == self.total || length == 0 {
            Self { start: 0, length: total, total }
        } else {
            Self { start, length, total }
        }
    }
}

fn chart_edit(grid: Grid, across: Span, up: Span) -> Result<Edit, ChartEditError> {
    let repeat = Rect::new(across.start, up.start, across.length, up.length);
    Ok(Edit::Chart(Box::new(Chart::with_repeat(grid, repeat)?)))
}

pub(super) fn background(project: &Project) -> Cell {
    Cell::slot(project.background_slot() as u8)
}

/// `cell`, or the background where the palette has no such colour (any more).
fn known(project: &Project, cell: Cell) -> Cell {
    match cell.index() {
        Some(slot) if slot >= project.palette.slots().len() => background(project),
        _ => cell,
    }
}

fn known_patch(project: &Project, patch: &Grid) -> Grid {
    let mut patch = patch.clone();
    let bounds = patch.bounds();
    for slot in project.palette.slots().len()..Cell::MAX_SLOTS {
        patch.replace(bounds, Cell::slot(slot as u8), background(project));
    }
    patch
}

/// Puts in `count` rows of background below row `at` (from 0 at the bottom; the number of rows
/// puts them on top).
///
/// # Errors
/// [`ChartEditError`] when `count` is 0, `at` is above the chart, or the chart would be too high.
pub fn insert_rows(project: &Project, at: u32, count: u32) -> Result<Edit, ChartEditError> {
    let chart = &project.chart;
    if count == 0 {
        return Err(ChartEditError::None("rows"));
    }
    if at > chart.grid.height() {
        return Err(outside(chart));
    }
    let grid = chart.grid.with_rows(at, count, background(project))?;
    let edit = chart_edit(grid, Span::across(chart), Span::up(chart).inserted(at, count))?;
    Ok(with_axis(project, edit, same, |y| after_inserting(y, at, count)))
}

/// Puts in `count` stitches of background left of column `at` (from 0 at the left edge; the
/// number of stitches puts them at the right edge).
///
/// # Errors
/// [`ChartEditError`] when `count` is 0, `at` is off the chart, or the chart would be too wide.
pub fn insert_stitches(project: &Project, at: u32, count: u32) -> Result<Edit, ChartEditError> {
    let chart = &project.chart;
    if count == 0 {
        return Err(ChartEditError::None("stitches"));
    }
    if at > chart.grid.width() {
        return Err(outside(chart));
    }
    let grid = chart.grid.with_stitches(at, count, background(project))?;
    let edit = chart_edit(grid, Span::across(chart).inserted(at, count), Span::up(chart))?;
    Ok(with_axis(project, edit, |x| after_inserting(x, at, count), same))
}

/// Takes out the rows `from..from + count`, as far as they exist.
///
/// # Errors
/// [`ChartEditError`] when none of them exists or no row would be left.
pub fn delete_rows(project: &Project, from: u32, count: u32) -> Result<Edit, ChartEditError> {
    let chart = &project.chart;
    let end = deletable(chart, from, count, chart.grid.height(), "rows")?;
    let grid = chart.grid.without_rows(from, count)?;
    let edit = chart_edit(grid, Span::across(chart), Span::up(chart).deleted(from, end))?;
    Ok(with_axis(project, edit, same, |y| after_deleting(y, from, end)))
}

/// Takes out the columns `from..from + count`, as far as they exist.
///
/// # Errors
/// [`ChartEditError`] when none of them exists or no stitch would be left.
pub fn delete_stitches(project: &Project, from: u32, count: u32) -> Result<Edit, ChartEditError> {
    let chart = &project.chart;
    let end = deletable(chart, from, count, chart.grid.width(), "stitches")?;
    let grid = chart.grid.without_stitches(from, count)?;
    let edit = chart_edit(grid, Span::across(chart).deleted(from, end), Span::up(chart))?;
    Ok(with_axis(project, edit, |x| after_deleting(x, from, end), same))
}

/// The end of `from..from + count` within `total`, when something of it exists and something is left.
fn deletable(
    chart: &Chart,
    from: u32,
    count: u32,
    total: u32,
    what: &'static str,
) -> Result<u32, ChartEditError> {
    if count == 0 {
        return Err(ChartEditError::None(what));
    }
    if from >= total {
        return Err(outside(chart));
    }
    let end = from.saturating_add(count).min(total);
    if end - from == total { Err(ChartEditError::All(what)) } else { Ok(end) }
}

const fn outside(chart: &Chart) -> ChartEditError {
    ChartEditError::Outside { width: chart.grid.width(), height: chart.grid.height() }
}

/// Gives the chart another size. `across` and `up` say what keeps its place; the repeat box keeps
/// to its stitches as far as they are left.
///
/// # Errors
/// [`ChartEditError`] unless both sides are in `1..=2000`.
pub fn resize(
    project: &Project,
    width: u32,
    height: u32,
    (across, up): (Hold, Hold),
) -> Result<Edit, ChartEditError> {
    let grid = &project.chart.grid;
    let at = (across.offset(grid.width(), width), up.offset(grid.height(), height));
    resize_to(project, width, height, at)
}

/// Cuts the chart down to `region`.
///
/// # Errors
/// [`ChartEditError::Outside`] when the region does not meet the chart.
pub fn crop(project: &Project, region: Rect) -> Result<Edit, ChartEditError> {
    let region = region.intersect(project.chart.grid.bounds());
    if region.is_empty() {
        return Err(outside(&project.chart));
    }
    resize_to(project, region.width, region.height, (-i64::from(region.x), -i64::from(region.y)))
}

fn resize_to(project: &Project, width: u32, height: u32, at: (i64, i64)) -> Result<Edit, ChartEditError> {
    let chart = &project.chart;
    let grid = chart.grid.resized(width, height, at, background(project))?;
    let edit =
        chart_edit(grid, Span::across(chart).shifted(at.0, width), Span::up(chart).shifted(at.1, height))?;
    let moved =
        |halves: u32, by: i64, side: u32| (i64::from(halves) + 2 * by).clamp(0, 2 * i64::from(side)) as u32;
    Ok(with_axis(project, edit, |x| moved(x, at.0, width), |y| moved(y, at.1, height)))
}

/// Sets the repeat box.
///
/// # Errors
/// [`ChartEditError`] when the box is empty or leaves the chart.
pub fn set_repeat(project: &Project, repeat: Rect) -> Result<Edit, ChartEditError> {
    let chart = Chart::with_repeat(project.chart.grid.clone(), repeat)?;
    Ok(Edit::Chart(Box::new(chart)))
}

/// The edit that carries out `change` on a copy of the stitches under `rect`; `change` also gets
/// the place of the copy's corner. `None` when nothing changes.
pub(super) fn in_place(project: &Project, rect: Rect, change: impl FnOnce(&mut Grid, Rect)) -> Option<Edit> {
    let grid = &project.chart.grid;
    let rect = rect.intersect(grid.bounds());
    let old = grid.copy(rect)?;
    let mut cells = old.clone();
    change(&mut cells, rect);
    (cells != old).then_some(Edit::Cells(CellPatch { x: rect.x, y: rect.y, cells }))
}

/// Paints every stitch of the region. `None` when nothing changes.
pub fn fill(project: &Project, region: Rect, ink: impl Into<Ink>) -> Option<Edit> {
    let ink = match ink.into() {
        Ink::Colour(cell) => Ink::Colour(known(project, cell)),
        Ink::Cell(cell) => Ink::Cell(known(project, cell)),
        work @ Ink::Work(_) => work,
    };
    in_place(project, region, |grid, _| grid.paint(ink))
}

/// Puts the decreases and increases into the region that make its rows follow from one another, see
/// [`balance_rows`]. `None` when nothing changes.
pub fn balance(project: &Project, region: Rect) -> Option<Edit> {
    let works = balance_rows(&project.chart.grid, region);
    in_place(project, region, |grid, origin| {
        for (at, work) in works {
            let at = Point::new(at.x - origin.x, at.y - origin.y);
            if let Some(cell) = grid.get(at) {
                grid.set(at, cell.worked(work));
            }
        }
    })
}

/// Puts `patch` with its bottom-left corner at `at`, cut off at the edges of the chart. Colours
/// the palette does not have become background. `None` when nothing changes.
pub fn paste(project: &Project, patch: &Grid, at: (i64, i64)) -> Option<Edit> {
    let patch = known_patch(project, patch);
    let target = clipped(at, patch.width(), patch.height(), project.chart.grid.bounds());
    in_place(project, target, |grid, origin| {
        grid.paste(&patch, (at.0 - i64::from(origin.x), at.1 - i64::from(origin.y)));
    })
}

/// Moves the stitches of the region by `(stitches, rows)`; what it leaves becomes background, what
/// leaves the chart is lost. `None` when nothing changes.
pub fn move_region(project: &Project, region: Rect, by: (i64, i64)) -> Option<Edit> {
    let bounds = project.chart.grid.bounds();
    let region = region.intersect(bounds);
    let at = (i64::from(region.x).saturating_add(by.0), i64::from(region.y).saturating_add(by.1));
    let target = clipped(at, region.width, region.height, bounds);
    let patch = project.chart.grid.copy(region)?;
    replace_region(project, region, &patch, target, at)
}

/// Mirrors or turns the region in place; a quarter turn of an oblong keeps its middle (see
/// [`transformed_region`]) and leaves background. `None` when nothing changes.
pub fn transform_region(project: &Project, region: Rect, transform: Transform) -> Option<Edit> {
    let grid = &project.chart.grid;
    let region = region.intersect(grid.bounds());
    let patch = grid.copy(region)?.transformed(transform);
    let target = transformed_region(region, transform, grid.bounds());
    replace_region(project, region, &patch, target, (i64::from(target.x), i64::from(target.y)))
}

/// Where a region comes to lie when it is mirrored or turned: around the same middle, pushed back
/// inside `bounds` and, when it is longer than the chart, cut off there.
pub fn transformed_region(region: Rect, transform: Transform, bounds: Rect) -> Rect {
    if !transform.swaps_sides() {
        return region;
    }
    // Rounded toward zero both ways, so that two quarter turns come back to the same place.
    let gain = (i64::from(region.width) - i64::from(region.height)) / 2;
    let place = |start: u32, gain: i64, length: u32, total: u32| {
        (i64::from(start) + gain).min(i64::from(total) - i64::from(length)).max(0) as u32
    };
    let x = place(region.x, gain, region.height, bounds.width);
    let y = place(region.y, -gain, region.width, bounds.height);
    Rect::new(x, y, region.height, region.width).intersect(bounds)
}

/// Clears `region`, then puts `patch` at `at`, of which `target` is on the chart.
fn replace_region(
    project: &Project,
    region: Rect,
    patch: &Grid,
    target: Rect,
    at: (i64, i64),
) -> Option<Edit> {
    in_place(project, region.union(target), |grid, origin| {
        let own = Rect::new(region.x - origin.x, region.y - origin.y, region.width, region.height);
        grid.fill(own, background(project));
        let at = (at.0.saturating_sub(origin.x.into()), at.1.saturating_sub(origin.y.into()));
        grid.paste(patch, at);
    })
}

/// The part inside `bounds` (which begins at 0, 0) of a rectangle with its corner anywhere.
fn clipped(at: (i64, i64), width: u32, height: u32, bounds: Rect) -> Rect {
    let part = |start: i64, length: u32, total: u32| {
        let inside = |edge: i64| edge.clamp(0, i64::from(total)) as u32;
        let first = inside(start);
        (first, inside(start.saturating_add(i64::from(length))) - first)
    };
    let (x, width) = part(at.0, width, bounds.width);
    let (y, height) = part(at.1, height, bounds.height);
    Rect::new(x, y, width, height)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Point;
    use crate::colour::Colour;
    use crate::project::{Palette, Role, Slot, SlotYarn, Symbol};
    use crate::yarn::PutUp;

    /// 6 stitches x 5 rows of slots 0, 1, 2 in turn; the ground is slot 0; the repeat is 3 x 2 at (2, 1).
    fn project() -> Project {
        let slot = |role| Slot {
            name: "Old boot brush".to_owned(),
            colour: Colour::BLACK,
            role,
            symbol: Symbol::Blank,
            locked: false,
            yarn: SlotYarn { put_up: PutUp::new(400.0, 50.0).unwrap(), ball_price: None, on_hand_m: 0.0 },
            chosen_shade: None,
        };
        let grid = Grid::from_cells(6, 5, (0..30).map(|i| Cell::slot(i % 3)).collect()).unwrap();
        Project {
            palette: Palette::new([Role::Ground, Role::Main, Role::Accent].map(slot).into()).unwrap(),
            chart: Chart::with_repeat(grid, Rect::new(2, 1, 3, 2)).unwrap(),
            ..Project::default()
        }
    }

    /// The project after the edit, once it is sure that undo brings the old one back.
    fn after(project: &Project, edit: Edit) -> Project {
        let mut changed = project.clone();
        let undo = changed.apply(edit);
        assert_eq!(changed.check(), Ok(()));
        let repeat = changed.chart.repeat();
        assert_eq!(repeat.intersect(changed.chart.grid.bounds()), repeat);
        let mut back = changed.clone();
        let redo = back.apply(undo);
        assert_eq!(&back, project);
        back.apply(redo);
        assert_eq!(back, changed);
        changed
    }

    fn repeat_after(edit: Result<Edit, ChartEditError>) -> Rect {
        after(&project(), edit.unwrap()).chart.repeat()
    }

    #[test]
    fn the_repeat_box_keeps_to_its_stitches_when_some_go_in() {
        let project = project();
        assert_eq!(repeat_after(insert_rows(&project, 0, 2)), Rect::new(2, 3, 3, 2));
        assert_eq!(repeat_after(insert_rows(&project, 1, 2)), Rect::new(2, 3, 3, 2));
        assert_eq!(repeat_after(insert_rows(&project, 2, 2)), Rect::new(2, 1, 3, 4));
        assert_eq!(repeat_after(insert_rows(&project, 3, 2)), Rect::new(2, 1, 3, 2));
        assert_eq!(repeat_after(insert_stitches(&project, 4, 1)), Rect::new(2, 1, 4, 2));
        assert_eq!(repeat_after(insert_stitches(&project, 6, 1)), Rect::new(2, 1, 3, 2));
    }

    #[test]
    fn the_repeat_box_keeps_to_its_stitches_when_some_come_out() {
        let project = project();
        assert_eq!(repeat_after(delete_rows(&project, 0, 1)), Rect::new(2, 0, 3, 2));
        assert_eq!(repeat_after(delete_rows(&project, 0, 2)), Rect::new(2, 0, 3, 1));
        assert_eq!(repeat_after(delete_rows(&project, 2, 90)), Rect::new(2, 1, 3, 1));
        assert_eq!(repeat_after(delete_stitches(&project, 3, 1)), Rect::new(2, 1, 2, 2));
        // All of it gone: the whole chart repeats.
        assert_eq!(repeat_after(delete_stitches(&project, 2, 3)), Rect::new(0, 1, 3, 2));
    }

    #[test]
    fn a_repeat_over_the_whole_chart_stays_so() {
        let mut whole = project();
        whole.chart = Chart::new(whole.chart.grid);
        for edit in [
            insert_rows(&whole, 0, 3),
            insert_stitches(&whole, 6, 3),
            delete_rows(&whole, 0, 2),
            resize(&whole, 9, 2, (Hold::Start, Hold::End)),
            crop(&whole, Rect::new(1, 1, 2, 2)),
        ] {
            let changed = after(&whole, edit.unwrap());
            assert_eq!(changed.chart.repeat(), changed.chart.grid.bounds());
        }
    }

    #[test]
    fn new_rows_are_background() {
        let changed = after(&project(), insert_rows(&project(), 5, 2).unwrap());
        assert!(changed.chart.grid.row(6).iter().all(|cell| *cell == Cell::slot(0)));
        assert_eq!(changed.chart.grid.height(), 7);
    }

    #[test]
    fn a_chart_is_never_emptied_and_the_message_says_what_to_do() {
        let project = project();
        assert_eq!(delete_rows(&project, 0, 5), Err(ChartEditError::All("rows")));
        assert_eq!(delete_stitches(&project, 0, u32::MAX), Err(ChartEditError::All("stitches")));
        assert_eq!(insert_rows(&project, 0, 0), Err(ChartEditError::None("rows")));
        assert!(insert_rows(&project, 6, 1).is_err());
        assert!(delete_stitches(&project, 6, 1).is_err());
        assert!(crop(&project, Rect::new(9, 9, 4, 4)).is_err());
        let error = insert_stitches(&project, 0, u32::MAX).unwrap_err();
        assert!(error.to_string().contains("1 to 2000"), "{error}");
    }

    #[test]
    fn resizing_holds_the_chosen_edge() {
        let project = project();
        let changed = after(&project, resize(&project, 8, 5, (Hold::End, Hold::Start)).unwrap());
        assert_eq!(changed.chart.grid.get(Point::new(2, 0)), Some(Cell::slot(0)));
        assert_eq!(changed.chart.grid.get(Point::new(3, 0)), Some(Cell::slot(1)));
        assert_eq!(changed.chart.repeat(), Rect::new(4, 1, 3, 2));
        let smaller = after(&project, resize(&project, 4, 3, (Hold::End, Hold::Start)).unwrap());
        assert_eq!(smaller.chart.grid, project.chart.grid.copy(Rect::new(2, 0, 4, 3)).unwrap());
    }

    #[test]
    fn cropping_keeps_the_region() {
        let project = project();
        let changed = after(&project, crop(&project, Rect::new(3, 2, 90, 90)).unwrap());
        assert_eq!(changed.chart.grid, project.chart.grid.copy(Rect::new(3, 2, 3, 3)).unwrap());
        assert_eq!(changed.chart.repeat(), Rect::new(0, 0, 2, 1));
    }

    #[test]
    fn a_moved_region_leaves_background_and_is_cut_at_the_edge() {
        let project = project();
        let changed = after(&project, move_region(&project, Rect::new(1, 0, 2, 1), (1, 1)).unwrap());
        let grid = &changed.chart.grid;
        let row = |y| grid.row(y).iter().map(|c| c.index().unwrap()).collect::<Vec<_>>();
        assert_eq!(row(0), [0, 0, 0, 0, 1, 2]);
        assert_eq!(row(1), [0, 1, 1, 2, 1, 2]);
        let gone =
            after(&project, move_region(&project, project.chart.grid.bounds(), (i64::MIN, 0)).unwrap());
        assert_eq!(gone.chart.grid.counts()[0], 30);
        assert_eq!(move_region(&project, Rect::new(1, 0, 2, 1), (0, 0)), None);
        assert_eq!(move_region(&project, Rect::new(50, 0, 2, 1), (1, 1)), None);
    }

    #[test]
    fn an_oblong_turned_twice_lies_where_it_lay() {
        let project = project();
        let region = Rect::new(1, 2, 4, 1);
        let bounds = project.chart.grid.bounds();
        let turned = transformed_region(region, Transform::TurnLeft, bounds);
        assert_eq!(turned, Rect::new(2, 1, 1, 4));
        assert_eq!(transformed_region(turned, Transform::TurnLeft, bounds), region);
        let changed = after(&project, transform_region(&project, region, Transform::TurnLeft).unwrap());
        let column: Vec<_> = turned.points().map(|p| changed.chart.grid.get(p)).collect();
        let row: Vec<_> = region.points().map(|p| project.chart.grid.get(p)).collect();
        assert_eq!(column, row);
    }

    #[test]
    fn mirroring_a_region_leaves_the_rest() {
        let project = project();
        let region = Rect::new(0, 0, 3, 2);
        let changed =
            after(&project, transform_region(&project, region, Transform::MirrorLeftRight).unwrap());
        assert_eq!(changed.chart.grid.row(0)[..3], [Cell::slot(2), Cell::slot(1), Cell::slot(0)]);
        assert_eq!(changed.chart.grid.row(0)[3..], project.chart.grid.row(0)[3..]);
    }

    #[test]
    fn pasted_colours_the_palette_lacks_become_background() {
        let project = project();
        let patch = Grid::new(2, 2, Cell::slot(40)).unwrap();
        let changed = after(&project, paste(&project, &patch, (1, 4)).unwrap());
        assert_eq!(changed.chart.grid.row(4)[..4], [0; 4].map(Cell::slot));
        let changed = after(&project, fill(&project, Rect::new(0, 0, 6, 5), Cell::slot(40)).unwrap());
        assert_eq!(changed.chart.grid.counts()[0], 30);
        assert_eq!(paste(&project, &patch, (i64::MAX, i64::MIN)), None);
    }

    #[test]
    fn the_repeat_box() {
        let project = project();
        assert_eq!(repeat_after(set_repeat(&project, Rect::new(0, 0, 4, 4))), Rect::new(0, 0, 4, 4));
        assert!(set_repeat(&project, Rect::new(0, 0, 7, 4)).is_err());
    }
}
