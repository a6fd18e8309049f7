//! What the pointer does on the chart: draw, stretch shapes, fill, choose, move, carry.
//!
//! A stroke is a gesture of small edits and one undo step; everything else is one edit when the
//! button is let go.

use egui::{Event, Modifiers, PointerButton, Pos2, Response, Ui};

use super::geometry::Geometry;
use super::{handles, press_closes};
use crate::app::Action;
use crate::app::view::{ChartView, Choose, Gesture, MenuAt, Tool};
use crate::app::{chart_commands, chosen_commands};
use crate::chart::{Cell, Grid, Ink, Point, Raster, Rect, Work, painting};
use crate::project::{Project, chart_edits, chosen_edits};

/// Shifts cells that lie left of or below the chart into the whole numbers that
/// [`painting::line`] takes; larger than any canvas is wide in cells.
const BIAS: i64 = 1 << 24;

/// What the tools paint: the colour taken up, or the background once its slot is gone.
pub fn paint_cell(project: &Project, view: &ChartView) -> Cell {
    let known = view.paint.index().is_none_or(|slot| slot < project.palette.slots().len());
    if known { view.paint } else { background(project) }
}

/// What the right button paints: the second colour, or the background while there is none.
pub fn second_cell(project: &Project, view: &ChartView) -> Cell {
    let known = |cell: &Cell| cell.index().is_none_or(|slot| slot < project.palette.slots().len());
    view.second.filter(known).unwrap_or(background(project))
}

/// What a brush leaves: the second colour, or the work taken up, or else the colour.
pub fn ink(project: &Project, view: &ChartView, second: bool) -> Ink {
    if second {
        return second_cell(project, view).into();
    }
    view.work.map_or_else(|| paint_cell(project, view).into(), Ink::Work)
}

fn background(project: &Project) -> Cell {
    Cell::slot(project.background_slot() as u8)
}

/// The pointer over the canvas during one frame.
pub struct Hand<'a> {
    /// The project as it was at the start of the frame.
    pub project: &'a Project,
    /// The mapping of this frame.
    pub g: Geometry,
    /// Stitches this frame's part of a stroke passes.
    stroke: Vec<Point>,
    actions: Vec<Action>,
}

/// Handles the pointer. `is_free` tells whether a position belongs to the chart (and not to the
/// numbers).
pub fn pointer(
    ui: &Ui,
    response: &Response,
    project: &Project,
    view: &mut ChartView,
    g: &Geometry,
    is_free: impl Fn(Pos2) -> bool,
) -> Vec<Action> {
    let (events, space, latest, modifiers) = ui.input(|i| {
        // Two fingers move the view; the stroke the first one began is over.
        let is_down = i.pointer.any_down() && i.multi_touch().is_none();
        let latest = i.pointer.latest_pos().filter(|_| is_down);
        (i.events.clone(), i.key_down(egui::Key::Space), latest, i.modifiers)
    });
    let pressed_here = response.is_pointer_button_down_on() || response.clicked() || response.drag_stopped();
    let secondary = response.secondary_clicked() || response.middle_clicked();
    let pointer = ui.input(|i| i.pointer.latest_pos());
    if let Some(pos) = pointer.filter(|_| response.secondary_clicked())
        && opens_menu(view)
        && is_free(pos)
    {
        view.menu = Some(MenuAt { pos: pos.into(), by_keys: false });
    }
    let mut hand = Hand { project, g: *g, stroke: Vec::new(), actions: Vec::new() };
    for event in &events {
        match *event {
            Event::PointerButton { pos, button, pressed: true, modifiers }
                if (pressed_here || secondary) && g.canvas.contains(pos) && is_free(pos) =>
            {
                response.request_focus();
                if press_closes(ui) {
                    // What is open would stay so when the press becomes a drag.
                    egui::Popup::close_all(ui.ctx());
                    continue;
                }
                let pans = button == PointerButton::Middle || (button == PointerButton::Primary && space);
                if pans {
                    hand.stop(view);
                    view.gesture = Some(Gesture::Pan);
                } else {
                    hand.press(view, pos, button, modifiers);
                }
            }
            Event::PointerMoved(pos) => {
                if response.hover_pos().is_some_and(&is_free) {
                    hand.hang(view, pos);
                }
                hand.drag(view, pos, modifiers);
            }
            Event::PointerButton { pressed: false, .. } => hand.release(view),
            _ => {}
        }
    }
    match latest {
        // Again for the modifiers, which may change while the pointer rests.
        Some(pos) => hand.drag(view, pos, modifiers),
        // No button is down: perhaps it was let go where this widget could not see it.
        None => hand.release(view),
    }
    hand.flush(view);
    hand.actions
}

impl Hand<'_> {
    fn press(&mut self, view: &mut ChartView, pos: Pos2, button: PointerButton, modifiers: Modifiers) {
        self.stop(view);
        let at = self.g.cell_at(pos);
        let nearest = self.g.nearest(pos);
        view.cursor = nearest;
        view.anchor = None;
        let second = button == PointerButton::Secondary;
        if second && opens_menu(view) {
            return;
        }
        if view.hangs && !second && view.floating.is_some() {
            self.hang(view, pos);
            self.actions.extend(chart_commands::set_down(self.project, view));
            return;
        }
        if let Some(held) = &view.floating {
            let grip = (at.0 - held.at.0, at.1 - held.at.1);
            if inside(grip, &held.patch) {
                view.gesture = Some(Gesture::Carry { grip });
            } else {
                self.actions.extend(chart_commands::set_down(self.project, view));
            }
            return;
        }
        if let Some(handle) = handles::at(&self.g, self.project, view, pos) {
            view.gesture = Some(handle.gesture(self.project));
            return;
        }
        match view.tool {
            Tool::Draw | Tool::Erase => {
                let ink = stroke_ink(self.project, view, second);
                view.gesture = Some(Gesture::Stroke { last: at, ink, label: view.tool.leaves(ink, false) });
                self.pass(at, at);
            }
            Tool::Line | Tool::Rectangle | Tool::Ellipse => {
                view.gesture = Some(Gesture::Shape { from: nearest, to: nearest, by_keys: false, second });
            }
            Tool::Fill => self.actions.extend(fill(self.project, view, self.g.point_at(pos), second)),
            Tool::Pick => {
                self.pick(view, pos, second);
                view.gesture = Some(Gesture::Pick { second });
            }
            Tool::Region => {
                let in_region = self.g.point_at(pos).is_some_and(|p| is_chosen(view, p));
                if in_region {
                    let copy = modifiers.alt || modifiers.command;
                    view.gesture = Some(Gesture::Shift { from: at, by: (0, 0), copy });
                } else {
                    choose(self.project, view, nearest);
                }
            }
        }
    }

    /// Takes what hangs on the pointer along, held in its middle.
    fn hang(&self, view: &mut ChartView, pos: Pos2) {
        let (x, y) = self.g.cell_at(pos);
        if let Some(held) = view.floating.as_mut().filter(|_| view.hangs && view.gesture.is_none()) {
            held.at = (x - i64::from(held.patch.width()) / 2, y - i64::from(held.patch.height()) / 2);
        }
    }

    fn drag(&mut self, view: &mut ChartView, pos: Pos2, modifiers: Modifiers) {
        let at = self.g.cell_at(pos);
        match &mut view.gesture {
            Some(Gesture::Stroke { last, .. }) => {
                let from = std::mem::replace(last, at);
                if from != at {
                    self.pass(from, at);
                }
            }
            Some(Gesture::Shape { from, to, by_keys: false, .. }) => {
                let aim = self.g.nearest(pos);
                *to = if modifiers.shift { constrained(view.tool, *from, aim, self.project) } else { aim };
            }
            Some(Gesture::Band { from, to, moved }) => {
                let aim = self.g.nearest(pos);
                // A click in place unchooses; leaving the stitch once chooses, even a single one.
                *moved |= aim != *from;
                *to = aim;
                view.cursor = aim;
            }
            Some(Gesture::Shift { from, by, copy }) => {
                *by = (at.0 - from.0, at.1 - from.1);
                *copy = modifiers.alt || modifiers.command;
            }
            Some(Gesture::Carry { grip }) => {
                if let Some(held) = &mut view.floating {
                    held.at = (at.0 - grip.0, at.1 - grip.1);
                }
            }
            Some(Gesture::Pick { second }) => {
                let second = *second;
                self.pick(view, pos, second);
            }
            Some(Gesture::Around) => {
                let aim = self.g.nearest(pos);
                if view.path.last() != Some(&aim) {
                    view.path.push(aim);
                }
                view.cursor = aim;
            }
            Some(gesture @ (Gesture::Axis { .. } | Gesture::Corner { .. })) => {
                handles::drag(gesture, &self.g, self.project, pos);
            }
            Some(Gesture::Shape { .. } | Gesture::Pan) | None => {}
        }
    }

    fn release(&mut self, view: &mut ChartView) {
        match view.gesture.take() {
            Some(stroke @ Gesture::Stroke { .. }) => {
                view.gesture = Some(stroke);
                self.flush(view);
                view.gesture = None;
                self.actions.push(Action::EndGesture);
            }
            Some(shape @ Gesture::Shape { by_keys: true, .. }) => view.gesture = Some(shape),
            Some(Gesture::Shape { from, to, second, .. }) => {
                view.cursor = to;
                self.actions.extend(shape(self.project, view, (from, to), second));
            }
            Some(Gesture::Band { from, to, moved }) => {
                view.region = moved.then(|| Rect::spanning(from, to));
            }
            // A click in place, inside what is chosen: what is chosen by itself is chosen anew.
            Some(Gesture::Shift { by: (0, 0), copy: false, .. })
                if matches!(view.choose, Choose::Area | Choose::Colour) =>
            {
                choose(self.project, view, view.cursor);
            }
            Some(Gesture::Shift { by, copy, .. }) => {
                self.actions.extend(shift_region(self.project, view, by, copy));
            }
            Some(Gesture::Around) => {
                let path = std::mem::take(&mut view.path);
                // A click in place unchooses.
                let bounds = self.project.chart.grid.bounds();
                let inside = if path.len() > 1 { painting::enclosed(&path, bounds) } else { Vec::new() };
                view.choose_points(&inside);
            }
            Some(gesture @ (Gesture::Axis { .. } | Gesture::Corner { .. })) => {
                self.actions.extend(handles::release(gesture, self.project));
            }
            Some(Gesture::Carry { .. } | Gesture::Pick { .. } | Gesture::Pan) | None => {}
        }
    }

    /// Ends whatever was going on before something new begins.
    fn stop(&mut self, view: &mut ChartView) {
        if !matches!(view.gesture, Some(Gesture::Shape { by_keys: true, .. })) {
            self.release(view);
        }
        view.gesture = None;
    }

    /// Adds the cells between two samples of a stroke.
    fn pass(&mut self, from: (i64, i64), to: (i64, i64)) {
        let bounds = self.project.chart.grid.bounds();
        let biased = |(x, y): (i64, i64)| {
            let shift = |v: i64| (v + BIAS).clamp(0, 2 * BIAS) as u32;
            Point::new(shift(x), shift(y))
        };
        let clip = Rect::new(BIAS as u32, BIAS as u32, bounds.width, bounds.height);
        let cells = painting::line(biased(from), biased(to), clip);
        self.stroke.extend(cells.iter().map(|p| Point::new(p.x - clip.x, p.y - clip.y)));
    }

    /// Turns the cells of the stroke so far into an edit of its gesture.
    fn flush(&mut self, view: &ChartView) {
        let points = std::mem::take(&mut self.stroke);
        if let Some(Gesture::Stroke { ink, label, .. }) = view.gesture {
            let edit = self.project.painting(points, ink);
            self.actions.extend(edit.map(|edit| Action::gesture(label, edit)));
        }
    }

    fn pick(&self, view: &mut ChartView, pos: Pos2, second: bool) {
        let cell = self.g.point_at(pos).and_then(|p| self.project.chart.grid.get(p));
        match cell {
            Some(cell) if second => view.second = Some(cell.worked(Work::Plain)),
            Some(cell) => view.take_up(cell),
            None => {}
        }
    }
}

/// Whether the right button opens the menu of the chart: while a region can be chosen or stitches are held,
/// for there it paints nothing.
pub const fn opens_menu(view: &ChartView) -> bool {
    matches!(view.tool, Tool::Region) || view.floating.is_some()
}

/// Whether a stitch is part of the region.
pub fn is_chosen(view: &ChartView, p: Point) -> bool {
    view.region.is_some_and(|region| {
        let in_mask = |mask: &Raster| mask.contains((p.x - region.x).into(), (p.y - region.y).into());
        region.contains(p) && view.mask().is_none_or(in_mask)
    })
}

/// Begins to choose at a stitch, or chooses at once.
fn choose(project: &Project, view: &mut ChartView, at: Point) {
    match view.choose {
        Choose::Rectangle => view.gesture = Some(Gesture::Band { from: at, to: at, moved: false }),
        Choose::Freehand => {
            view.path = vec![at];
            view.gesture = Some(Gesture::Around);
        }
        Choose::Colour => chosen_commands::choose_colour(project, view, at),
        Choose::Area => chosen_commands::choose_area(project, view, at),
    }
}

/// What a stroke of the tool leaves.
pub fn stroke_ink(project: &Project, view: &ChartView, second: bool) -> Ink {
    if view.tool == Tool::Erase { Ink::Cell(background(project)) } else { ink(project, view, second) }
}

/// Fills the area around `at`, inside the region when it lies in one.
pub fn fill(project: &Project, view: &ChartView, at: Option<Point>, second: bool) -> Option<Action> {
    let at = at?;
    let within = view.region.filter(|region| region.contains(at));
    let ink = ink(project, view, second);
    Some(Action::edit(Tool::Fill.leaves(ink, true), project.filling(at, within, ink)?))
}

/// The stitches of the shape that is being stretched, as far as they lie in `clip`.
pub fn shape_points(view: &ChartView, from: Point, to: Point, filled: bool, clip: Rect) -> Vec<Point> {
    let rect = Rect::spanning(from, to);
    match (view.tool, filled) {
        (Tool::Line, _) => painting::line(from, to, clip),
        (Tool::Rectangle, true) => painting::rectangle(rect, clip),
        (Tool::Rectangle, false) => painting::rectangle_outline(rect, clip),
        (Tool::Ellipse, true) => painting::ellipse(rect, clip),
        (Tool::Ellipse, false) => painting::ellipse_outline(rect, clip),
        _ => Vec::new(),
    }
}

/// The edit that sets the stretched shape down.
pub fn shape(
    project: &Project,
    view: &ChartView,
    (from, to): (Point, Point),
    second: bool,
) -> Option<Action> {
    let (grid, ink) = (&project.chart.grid, ink(project, view, second));
    let edit = if view.tool == Tool::Rectangle && view.filled && !project.symmetry.is_on() {
        chart_edits::fill(project, Rect::spanning(from, to), ink)?
    } else {
        let points = shape_points(view, from, to, view.filled, grid.bounds());
        project.painting(points, ink)?
    };
    Some(Action::edit(view.tool.leaves(ink, view.filled), edit))
}

/// The edit that moves or copies the stitches of the region; the region goes along.
fn shift_region(project: &Project, view: &mut ChartView, by: (i64, i64), copy: bool) -> Option<Action> {
    let region = view.region.filter(|_| by != (0, 0))?;
    let bounds = project.chart.grid.bounds();
    let at = (i64::from(region.x) + by.0, i64::from(region.y) + by.1);
    let mask = view.mask().cloned();
    if let Some(mask) = mask {
        let patch = chosen_edits::lifted(project, region, Some(&mask))?;
        let edit = chosen_edits::lay(project, (region, &mask), &patch, at, !copy);
        view.choose_mask(&mask, at, bounds);
        return edit.map(|edit| Action::edit(if copy { "Copy region" } else { "Move region" }, edit));
    }
    view.region = moved(region, by, bounds);
    if copy {
        let patch = project.chart.grid.copy(region)?;
        chart_edits::paste(project, &patch, at).map(|edit| Action::edit("Copy region", edit))
    } else {
        chart_edits::move_region(project, region, by).map(|edit| Action::edit("Move region", edit))
    }
}

/// A rectangle moved by whole cells, as far as it still lies in `bounds`.
pub fn moved(rect: Rect, by: (i64, i64), bounds: Rect) -> Option<Rect> {
    let span = |start: u32, length: u32, by: i64, side: u32| {
        let edge = |v: i64| v.clamp(0, i64::from(side)) as u32;
        let first = edge(i64::from(start) + by);
        (first, edge(i64::from(start) + i64::from(length) + by) - first)
    };
    let (x, width) = span(rect.x, rect.width, by.0, bounds.width);
    let (y, height) = span(rect.y, rect.height, by.1, bounds.height);
    let rect = Rect::new(x, y, width, height);
    (!rect.is_empty()).then_some(rect)
}

/// The end of a shape with Shift held: a line goes level, upright or one stitch a row; a rectangle
/// or ellipse becomes a square or a circle of the finished fabric, at the true gauge.
fn constrained(tool: Tool, from: Point, to: Point, project: &Project) -> Point {
    let bounds = project.chart.grid.bounds();
    let (dx, dy) = (i64::from(to.x) - i64::from(from.x), i64::from(to.y) - i64::from(from.y));
    if tool == Tool::Line {
        let (across, up) = (dx.abs(), dy.abs());
        let (dx, dy) = if up * 2 < across {
            (dx, 0)
        } else if across * 2 < up {
            (0, dy)
        } else {
            let both = across.min(up);
            (both * dx.signum(), both * dy.signum())
        };
        return Point::new((i64::from(from.x) + dx) as u32, (i64::from(from.y) + dy) as u32);
    }
    // Sides in stitch widths; a row is 1 / aspect stitch widths high.
    let aspect = project.plan.gauge.cell_aspect();
    let room = |start: u32, step: i64, side: u32| f64::from(if step < 0 { start + 1 } else { side - start });
    let wanted = ((dx.abs() + 1) as f64).max((dy.abs() + 1) as f64 / aspect);
    let side = wanted.min(room(from.x, dx, bounds.width)).min(room(from.y, dy, bounds.height) / aspect);
    let reach = |length: f64, step: i64| (length.round().max(1.0) as i64 - 1) * if step < 0 { -1 } else { 1 };
    let end = |start: u32, by: i64, side: u32| (i64::from(start) + by).clamp(0, i64::from(side) - 1) as u32;
    Point::new(
        end(from.x, reach(side, dx), bounds.width),
        end(from.y, reach(side * aspect, dy), bounds.height),
    )
}

/// Whether a cell counted from the corner of a patch lies on it.
fn inside((x, y): (i64, i64), patch: &Grid) -> bool {
    (0..i64::from(patch.width())).contains(&x) && (0..i64::from(patch.height())).contains(&y)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Grid;
    use crate::knit::Gauge;
    use crate::project::Chart;

    fn project(stitches: f64, rows: f64) -> Project {
        let chart = Chart::new(Grid::new(60, 60, Cell::slot(0)).unwrap());
        let mut project = Project { chart, ..Project::default() };
        project.plan.gauge = Gauge::new(stitches, rows).unwrap();
        project
    }

    #[test]
    fn shift_makes_a_square_of_the_finished_fabric() {
        // 20 stitches and 30 rows to 10 cm: ten stitches are 5 cm, and so are fifteen rows.
        let project = project(20.0, 30.0);
        let end = constrained(Tool::Rectangle, Point::new(5, 5), Point::new(14, 7), &project);
        assert_eq!(end, Point::new(14, 19));
        let end = constrained(Tool::Ellipse, Point::new(40, 40), Point::new(39, 26), &project);
        assert_eq!(end, Point::new(31, 26));
    }

    #[test]
    fn a_square_that_would_leave_the_chart_gets_smaller() {
        let project = project(20.0, 30.0);
        let end = constrained(Tool::Rectangle, Point::new(50, 57), Point::new(59, 58), &project);
        assert_eq!(end, Point::new(51, 59));
    }

    #[test]
    fn shift_makes_a_line_level_upright_or_diagonal() {
        let project = project(20.0, 20.0);
        let from = Point::new(20, 20);
        let ends = [((35, 22), (35, 20)), ((22, 35), (20, 35)), ((30, 28), (28, 28)), ((12, 30), (12, 28))];
        for (aim, end) in ends {
            let aim = Point::new(aim.0, aim.1);
            assert_eq!(constrained(Tool::Line, from, aim, &project), Point::new(end.0, end.1));
        }
    }

    #[test]
    fn chosen_stitches_moved_over_the_edge_leave_what_is_left_of_them_chosen() {
        let mut project = project(20.0, 20.0);
        project.chart.grid.set(Point::new(3, 2), Cell::slot(2));
        let mut view = ChartView::default();
        view.choose_points(&[(1, 1), (2, 1), (3, 2)].map(|(x, y)| Point::new(x, y)));
        let moved = shift_region(&project, &mut view, (-2, 0), false).unwrap();
        assert!(matches!(moved, Action::Edit { ref label, .. } if label == "Move region"));
        assert_eq!(view.region, Some(Rect::new(0, 1, 2, 2)));
        let left: Vec<Point> = view.mask().unwrap().points().collect();
        assert_eq!(left, [Point::new(0, 0), Point::new(1, 1)]);
        shift_region(&project, &mut view, (-9, 0), false);
        assert_eq!((view.region, view.mask()), (None, None));
    }

    #[test]
    fn a_moved_region_is_cut_at_the_edge_or_gone() {
        let bounds = Rect::new(0, 0, 10, 10);
        let rect = Rect::new(2, 2, 3, 3);
        assert_eq!(moved(rect, (-3, 1), bounds), Some(Rect::new(0, 3, 2, 3)));
        assert_eq!(moved(rect, (-9, 0), bounds), None);
    }
}
