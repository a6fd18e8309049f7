//! What can be taken hold of on the chart: the axes of the symmetry and the corners of the repeat.

use egui::{CursorIcon, Pos2, Rect, Vec2, pos2, vec2};

use super::geometry::Geometry;
use super::marks;
use super::numbers::Rulers;
use super::quads::Quads;
use crate::app::Action;
use crate::app::view::{ChartView, Gesture};
use crate::chart::{self, Axis, Placed, Symmetry, Tiles};
use crate::project::{Edit, Project, chart_edits};

/// Half the side of a knob at the end of an axis, points.
const KNOB: f32 = 6.0;
/// Least side of a tile whose edges are drawn, points.
const LEAST_TILE: f32 = 20.0;
/// How far outside its corner the repeat can be taken hold of, and how far inside, points.
const CORNER: (f32, f32) = (11.0, 3.0);

/// Something to take hold of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Handle {
    /// An axis of the symmetry.
    Axis {
        /// The upright one, which is moved sideways.
        upright: bool,
    },
    /// A corner of the repeat.
    Corner {
        /// At its right.
        right: bool,
        /// At its top.
        top: bool,
    },
}

impl Handle {
    /// The pointer over it.
    pub const fn cursor(self) -> CursorIcon {
        match self {
            Self::Axis { upright: true } => CursorIcon::ResizeHorizontal,
            Self::Axis { upright: false } => CursorIcon::ResizeVertical,
            Self::Corner { right, top } => {
                if right == top {
                    CursorIcon::ResizeNeSw
                } else {
                    CursorIcon::ResizeNwSe
                }
            }
        }
    }

    /// What the pointer is in the middle of once it has taken hold.
    pub fn gesture(self, project: &Project) -> Gesture {
        match self {
            Self::Axis { upright } => {
                let axis = project.placed_symmetry().axis();
                Gesture::Axis { upright, at2: if upright { axis.x2 } else { axis.y2 } }
            }
            Self::Corner { right, top } => Gesture::Corner { right, top, to: project.chart.repeat() },
        }
    }
}

/// The handle under a position, knobs before corners.
pub fn at(g: &Geometry, project: &Project, view: &ChartView, pos: Pos2) -> Option<Handle> {
    let free = free(g, project, view);
    if project.symmetry.is_on() {
        let placed = project.placed_symmetry();
        for upright in axes(project.symmetry) {
            if knobs(g, placed, upright, free).iter().any(|knob| knob.expand(3.0).contains(pos)) {
                return Some(Handle::Axis { upright });
            }
        }
    }
    let repeat = g.rect(project.chart.repeat());
    for (right, top) in [(false, false), (false, true), (true, false), (true, true)] {
        let corner = pos2(
            if right { repeat.right() } else { repeat.left() },
            if top { repeat.top() } else { repeat.bottom() },
        );
        let outward = vec2(if right { 1.0 } else { -1.0 }, if top { -1.0 } else { 1.0 });
        let reach = Rect::from_two_pos(corner - outward * CORNER.1, corner + outward * CORNER.0);
        if reach.contains(pos) && free.contains(pos) {
            return Some(Handle::Corner { right, top });
        }
    }
    None
}

/// What the gesture comes to at a position; gestures without a handle stay as they are.
pub fn drag(gesture: &mut Gesture, g: &Geometry, project: &Project, pos: Pos2) {
    let across = (pos.x - g.origin.x) / g.cell.x;
    let up = (g.y(0) - pos.y) / g.cell.y;
    let whole = |value: f32, most: u32| value.round().clamp(0.0, most as f32) as u32;
    match gesture {
        Gesture::Axis { upright: true, at2 } => *at2 = whole(across * 2.0, 2 * g.size.0),
        Gesture::Axis { upright: false, at2 } => *at2 = whole(up * 2.0, 2 * g.size.1),
        Gesture::Corner { right, top, to } => {
            let repeat = project.chart.repeat();
            let side = |start: u32, length: u32, end: bool, edge: u32| {
                if end {
                    (start, edge.max(start + 1) - start)
                } else {
                    let first = edge.min(start + length - 1);
                    (first, start + length - first)
                }
            };
            let (x, width) = side(repeat.x, repeat.width, *right, whole(across, g.size.0));
            let (y, height) = side(repeat.y, repeat.height, *top, whole(up, g.size.1));
            *to = chart::Rect::new(x, y, width, height);
        }
        _ => {}
    }
}

/// The edit when the handle is let go; `None` when it is where it was.
pub fn release(gesture: Gesture, project: &Project) -> Option<Action> {
    match gesture {
        Gesture::Axis { .. } => {
            let symmetry = shown_symmetry(project, Some(gesture));
            let edit = Edit::Symmetry(symmetry);
            (symmetry != project.symmetry).then(|| Action::edit("Place the axis", edit))
        }
        Gesture::Corner { to, .. } if to != project.chart.repeat() => {
            Some(match chart_edits::set_repeat(project, to) {
                Ok(edit) => Action::edit("Repeat box", edit),
                Err(reason) => Action::Complain(format!("Repeat box: {reason}")),
            })
        }
        _ => None,
    }
}

/// The repeat, where its corner is dragged to.
pub fn shown_repeat(project: &Project, gesture: Option<Gesture>) -> chart::Rect {
    match gesture {
        Some(Gesture::Corner { to, .. }) => to,
        _ => project.chart.repeat(),
    }
}

/// The symmetry, with its axis where it is dragged to. Dragged back to the middle it belongs to the middle.
pub fn shown_symmetry(project: &Project, gesture: Option<Gesture>) -> Symmetry {
    let symmetry = project.symmetry;
    let Some(Gesture::Axis { upright, at2 }) = gesture else { return symmetry };
    let old = symmetry.axis.unwrap_or(Axis::middle(project.chart.repeat()));
    let axis = if upright { Axis { x2: at2, ..old } } else { Axis { y2: at2, ..old } };
    let axis = Some(axis).filter(|axis| *axis != Axis::middle(project.chart.repeat()));
    Symmetry { axis, ..symmetry }
}

/// The axes and their knobs over the chart.
pub fn paint_axes(g: &Geometry, project: &Project, view: &ChartView, quads: &mut Quads) {
    let symmetry = shown_symmetry(project, view.gesture);
    if !symmetry.is_on() {
        return;
    }
    let placed = symmetry.about(project.chart.repeat());
    let (px, chart) = (g.pixel(), g.chart());
    if let Some(tiles) = placed.tiles() {
        paint_tiles(g, tiles, shown_repeat(project, view.gesture), quads);
    }
    let reach = placed.reach(project.chart.grid.bounds());
    if reach != project.chart.grid.bounds() && !reach.is_empty() {
        let corner = (i64::from(reach.x), i64::from(reach.y));
        marks::tile(g, g.block(corner, reach.width, reach.height), quads);
    }
    for upright in axes(symmetry) {
        let (x, y) = crossing(g, placed.axis());
        let line = if upright {
            Rect::from_x_y_ranges(x..=x, chart.y_range())
        } else {
            Rect::from_x_y_ranges(chart.x_range(), y..=y)
        };
        marks::axis(g, line.expand(px), upright, quads);
        for knob in knobs(g, placed, upright, free(g, project, view)) {
            marks::knob(g, knob, quads);
        }
    }
}

/// The edges of the tiles, laid from the corner of the repeat; left out where they would hide the stitches.
fn paint_tiles(g: &Geometry, tiles: Tiles, repeat: chart::Rect, quads: &mut Quads) {
    let size = vec2(tiles.width() as f32, tiles.height() as f32) * g.cell;
    if size.min_elem() < LEAST_TILE {
        return;
    }
    for corner in tiles.corners((i64::from(repeat.x), i64::from(repeat.y)), g.visible()) {
        marks::tile(g, g.block(corner, tiles.width(), tiles.height()), quads);
    }
}

/// The axes there are: upright `true`, level `false`.
fn axes(symmetry: Symmetry) -> impl Iterator<Item = bool> {
    let there = [(symmetry.mirrors.has_upright(), true), (symmetry.mirrors.has_level(), false)];
    there.into_iter().filter(|(is, _)| *is).map(|(_, upright)| upright)
}

fn crossing(g: &Geometry, axis: Axis) -> (f32, f32) {
    let x = g.origin.x + axis.x2 as f32 / 2.0 * g.cell.x;
    let y = g.y(0) - axis.y2 as f32 / 2.0 * g.cell.y;
    (g.snap(x), g.snap(y))
}

/// The two knobs of an axis: beside the chart, or at the edge of the canvas when the chart reaches beyond.
fn knobs(g: &Geometry, placed: Placed, upright: bool, free: Rect) -> [Rect; 2] {
    let (x, y) = crossing(g, placed.axis());
    let (chart, area) = (g.chart(), free.shrink(KNOB + 3.0));
    let out = KNOB + 4.0;
    let knob = |at: Pos2| Rect::from_center_size(at, Vec2::splat(2.0 * KNOB));
    // `clamp` would panic on a canvas smaller than a knob.
    let within = |v: f32, low: f32, high: f32| v.min(high).max(low);
    if upright {
        [chart.top() - out, chart.bottom() + out]
            .map(|v| knob(pos2(x, g.snap(within(v, area.top(), area.bottom())))))
    } else {
        [chart.left() - out, chart.right() + out]
            .map(|v| knob(pos2(g.snap(within(v, area.left(), area.right())), y)))
    }
}

fn free(g: &Geometry, project: &Project, view: &ChartView) -> Rect {
    Rulers::new(g, project, view).map_or(g.canvas, |rulers| rulers.free())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Mirrors;

    fn geometry() -> Geometry {
        Geometry {
            canvas: Rect::from_min_size(pos2(0.0, 0.0), vec2(800.0, 600.0)),
            origin: pos2(100.0, 100.0),
            cell: vec2(10.0, 10.0),
            size: (24, 24),
            pixels_per_point: 1.0,
        }
    }

    #[test]
    fn an_axis_goes_to_half_stitches_and_belongs_to_the_middle_when_it_is_there() {
        let mut project = Project::default();
        project.symmetry.mirrors = Mirrors::LeftRight;
        let mut gesture = Handle::Axis { upright: true }.gesture(&project);
        assert_eq!(release(gesture, &project), None);
        drag(&mut gesture, &geometry(), &project, pos2(144.0, 90.0));
        assert_eq!(gesture, Gesture::Axis { upright: true, at2: 9 });
        assert_eq!(shown_symmetry(&project, Some(gesture)).axis, Some(Axis { x2: 9, y2: 24 }));
        drag(&mut gesture, &geometry(), &project, pos2(221.0, 90.0));
        assert_eq!(shown_symmetry(&project, Some(gesture)).axis, None);
    }

    #[test]
    fn a_corner_keeps_the_opposite_one_and_a_stitch() {
        let project = Project::default();
        let mut gesture = Handle::Corner { right: true, top: true }.gesture(&project);
        drag(&mut gesture, &geometry(), &project, pos2(221.0, 259.0));
        assert_eq!(shown_repeat(&project, Some(gesture)), chart::Rect::new(0, 0, 12, 8));
        drag(&mut gesture, &geometry(), &project, pos2(0.0, 900.0));
        assert_eq!(shown_repeat(&project, Some(gesture)), chart::Rect::new(0, 0, 1, 1));
        let mut gesture = Handle::Corner { right: false, top: false }.gesture(&project);
        drag(&mut gesture, &geometry(), &project, pos2(131.0, 300.0));
        assert_eq!(shown_repeat(&project, Some(gesture)), chart::Rect::new(3, 4, 21, 20));
    }

    #[test]
    fn knobs_and_corners_are_found_and_stitches_are_not() {
        let mut project = Project::default();
        project.symmetry.mirrors = Mirrors::Both;
        let (g, view) = (geometry(), ChartView { numbers: false, ..ChartView::default() });
        let found = |x, y| at(&g, &project, &view, pos2(x, y));
        assert_eq!(found(220.0, 90.0), Some(Handle::Axis { upright: true }));
        assert_eq!(found(90.0, 220.0), Some(Handle::Axis { upright: false }));
        assert_eq!(found(345.0, 95.0), Some(Handle::Corner { right: true, top: true }));
        assert_eq!(found(220.0, 220.0), None);
        assert_eq!(found(335.0, 105.0), None);
    }
}
