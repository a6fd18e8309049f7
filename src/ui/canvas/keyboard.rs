//! The chart by keyboard: a cursor that paints, chooses and stretches shapes, and the words that
//! a screen reader says for it.

use egui::accesskit::{Action as Request, Role};
use egui::{Event, EventFilter, Key, Modifiers, Rect, Response, Ui, UiBuilder, WidgetInfo};

use super::tools;
use crate::app::view::{ChartView, Choose, Gesture, Tool};
use crate::app::{Action, chosen_commands};
use crate::chart::{self, Cell, Point};
use crate::project::{Project, key_entry};

/// Rows that Page up and Page down pass.
const PAGE: i64 = 10;

/// The accessible name of the canvas.
pub const LABEL: &str = "Stitch grid";

/// What keys did in this frame.
#[derive(Default)]
pub struct Keyed {
    /// What is to be done.
    pub actions: Vec<Action>,
    /// The cursor moved and is to be brought into view.
    pub moved: bool,
    /// The menu is to open at the cursor.
    pub menu: bool,
}

/// Handles the keys while the canvas has the focus. `space_used` remembers that the space bar, still
/// down, has served to move the view and must not paint.
pub fn keys(
    ui: &Ui,
    response: &Response,
    project: &Project,
    view: &mut ChartView,
    space_used: &mut bool,
) -> Keyed {
    let mut keyed = Keyed::default();
    *space_used |= view.gesture == Some(Gesture::Pan);
    if ui.input(|i| i.has_accesskit_action_request(response.id, Request::Click)) {
        keyed.actions.extend(act(project, view));
    }
    if !response.has_focus() {
        return keyed;
    }
    // Arrows and Escape are for the chart; Tab goes on to the next widget.
    let filter = EventFilter { tab: false, horizontal_arrows: true, vertical_arrows: true, escape: true };
    ui.memory_mut(|memory| memory.set_focus_lock_filter(response.id, filter));
    for event in ui.input(|i| i.events.clone()) {
        let Event::Key { key, pressed, repeat, modifiers, .. } = event else { continue };
        match (key, pressed) {
            // Commands with Ctrl or Alt belong to the shell.
            _ if modifiers.command || modifiers.alt || modifiers.ctrl => {}
            (Key::Space, true) if !repeat => *space_used = false,
            (Key::Space, false) if !*space_used => keyed.actions.extend(act(project, view)),
            // Enter sets held stitches down; that is a command of the shell.
            (Key::Enter, true) if view.floating.is_none() => keyed.actions.extend(act(project, view)),
            (Key::Menu, true) => keyed.menu = true,
            (Key::F10, true) if modifiers.shift => keyed.menu = true,
            (_, true) if choose_colour(project, view, key) => {}
            (_, true) => keyed.moved |= step(project, view, key, modifiers),
            _ => {}
        }
    }
    keyed
}

/// 1 to 9 take up the colours in their order; whether it was one of them.
fn choose_colour(project: &Project, view: &mut ChartView, key: Key) -> bool {
    const DIGITS: [Key; 9] =
        [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6, Key::Num7, Key::Num8, Key::Num9];
    let slot = DIGITS.iter().position(|digit| *digit == key);
    let known = slot.filter(|slot| *slot < project.palette.slots().len());
    if let Some(slot) = known {
        view.take_up(Cell::slot(slot as u8));
    }
    known.is_some()
}

/// Moves the cursor, or the held stitches. Whether the cursor moved.
fn step(project: &Project, view: &mut ChartView, key: Key, modifiers: Modifiers) -> bool {
    let grid = &project.chart.grid;
    let far = i64::from(chart::MAX_SIDE);
    let (dx, dy) = match key {
        Key::ArrowLeft => (-1, 0),
        Key::ArrowRight => (1, 0),
        Key::ArrowUp => (0, 1),
        Key::ArrowDown => (0, -1),
        Key::Home => (-far, 0),
        Key::End => (far, 0),
        Key::PageUp => (0, PAGE),
        Key::PageDown => (0, -PAGE),
        _ => return false,
    };
    if let Some(held) = &mut view.floating {
        // At least one stitch of it stays over the chart.
        let clamp = |v: i64, patch: u32, side: u32| v.clamp(1 - i64::from(patch), i64::from(side) - 1);
        held.at = (
            clamp(held.at.0 + dx, held.patch.width(), grid.width()),
            clamp(held.at.1 + dy, held.patch.height(), grid.height()),
        );
        return false;
    }
    let old = view.cursor;
    let clamp = |v: u32, by: i64, side: u32| (i64::from(v) + by).clamp(0, i64::from(side) - 1) as u32;
    view.cursor = Point::new(clamp(old.x, dx, grid.width()), clamp(old.y, dy, grid.height()));
    if let Some(Gesture::Shape { to, by_keys: true, .. }) = &mut view.gesture {
        *to = view.cursor;
    } else if modifiers.shift {
        let anchor = *view.anchor.get_or_insert(old);
        view.region = Some(chart::Rect::spanning(anchor, view.cursor));
    } else {
        view.anchor = None;
    }
    true
}

/// The tool at the cursor, as a click there would do it.
fn act(project: &Project, view: &mut ChartView) -> Option<Action> {
    let (at, grid) = (view.cursor, &project.chart.grid);
    match view.tool {
        Tool::Draw | Tool::Erase => {
            let ink = tools::stroke_ink(project, view, false);
            Some(Action::edit(view.tool.leaves(ink, false), project.painting([at], ink)?))
        }
        Tool::Fill => tools::fill(project, view, Some(at), false),
        Tool::Pick => {
            view.take_up(grid.get(at)?);
            None
        }
        Tool::Region if view.choose == Choose::Colour => {
            chosen_commands::choose_colour(project, view, at);
            None
        }
        Tool::Region if view.choose == Choose::Area => {
            chosen_commands::choose_area(project, view, at);
            None
        }
        Tool::Region => {
            view.anchor = Some(at);
            view.region = Some(chart::Rect::new(at.x, at.y, 1, 1));
            None
        }
        Tool::Line | Tool::Rectangle | Tool::Ellipse => {
            if let Some(Gesture::Shape { from, to, by_keys: true, second }) = view.gesture {
                view.gesture = None;
                tools::shape(project, view, (from, to), second)
            } else {
                view.gesture = Some(Gesture::Shape { from: at, to: at, by_keys: true, second: false });
                None
            }
        }
    }
}

/// A stitch in words, e.g. `Row 5, stitch 12, C, supporting: Chipped brick`.
pub fn describe(project: &Project, at: Point) -> String {
    let grid = &project.chart.grid;
    let slots = project.palette.slots();
    let colour =
        grid.get(at).and_then(Cell::index).and_then(|index| Some(key_entry(index, slots.get(index)?)));
    let colour = colour.unwrap_or_else(|| "no stitch".to_owned());
    format!("Row {}, stitch {}, {colour}", at.y + 1, grid.width().saturating_sub(at.x))
}

/// Tells assistive technology about the grid and the cell at the cursor.
pub fn announce(ui: &mut Ui, response: &Response, project: &Project, view: &ChartView, cell: Rect) {
    let words = describe(project, view.cursor);
    response.widget_info(|| {
        let mut info = WidgetInfo::labeled(Role::Grid, true, LABEL);
        info.current_text_value = Some(words.clone());
        info
    });
    // The cell is a node of its own, so that a screen reader speaks it when the cursor moves.
    let builder = UiBuilder::new()
        .id_salt("cursor cell")
        .max_rect(cell.intersect(response.rect))
        .accessibility_parent(response.id)
        .accessibility_role(Role::GridCell)
        .accessibility_label(words.clone());
    let child = ui.new_child(builder).unique_id();
    ui.ctx().accesskit_node_builder(response.id, |node| node.set_active_descendant(child.accesskit_id()));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_stitch_is_named_as_knitters_count() {
        let project = Project::default();
        let words = describe(&project, Point::new(0, 4));
        assert!(words.starts_with("Row 5, stitch 24, "), "{words}");
        assert!(words.ends_with("D, ground: Plain paper"), "{words}");
    }
}
