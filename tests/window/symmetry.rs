//! Painting with symmetry, and a snowflake in few actions.

use std::collections::BTreeSet;

use egui::{Event, Modifiers, PointerButton};
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use huegauge::app::Command;
use huegauge::app::view::{Gesture, Tool};
use huegauge::chart::{Axis, Cell, Mirrors, Point, Rect, Symmetry};
use huegauge::project::Project;
use huegauge::ui::canvas;

use crate::canvas::{Shell, button, click, drag, middle_of, open, painted, plain, use_tool};

fn with(mut project: Project, mirrors: Mirrors) -> Project {
    project.symmetry = Symmetry { mirrors, ..Symmetry::default() };
    project
}

fn drag_cells(harness: &mut Harness<'_, Shell>, path: &[(i64, i64)]) {
    let path: Vec<_> = path.iter().map(|(x, y)| middle_of(harness, *x, *y)).collect();
    drag(harness, &path);
}

fn is_symmetric(project: &Project) -> bool {
    let (grid, placed) = (&project.chart.grid, project.placed_symmetry());
    let bounds = grid.bounds();
    bounds.points().all(|p| placed.orbit(p, bounds).iter().all(|other| grid.get(*other) == grid.get(p)))
}

/// The twelve actions of the snowflake: each is one key, one click or one drag.
#[test]
fn a_snowflake_of_24_stitches_takes_no_more_than_twelve_actions() {
    let mut harness = open(plain(24, 24));
    let mut actions = 0;
    // The key for the next symmetry, five times: eight ways.
    for _ in 0..5 {
        harness.state_mut().command(Command::NextSymmetry);
        actions += 1;
    }
    assert_eq!(harness.state().project.symmetry.mirrors, Mirrors::Star);
    // An arm up the middle, two pairs of barbs, a ring and a tip.
    let strokes: [&[(i64, i64)]; 5] = [
        &[(11, 11), (11, 1)],
        &[(11, 6), (8, 3)],
        &[(11, 9), (8, 6)],
        &[(4, 4), (7, 7)],
        &[(11, 2), (10, 1)],
    ];
    for stroke in strokes {
        drag_cells(&mut harness, stroke);
        actions += 1;
    }
    assert!(actions <= 12, "{actions}");
    let project = &harness.state().project;
    assert!(is_symmetric(project));
    let cells: BTreeSet<Point> = painted(&harness).into_iter().collect();
    assert!(cells.len() > 120, "{}", cells.len());
    for p in [(11, 1), (12, 22), (1, 12), (22, 11), (4, 4), (19, 19), (8, 3), (15, 20)] {
        assert!(cells.contains(&Point::new(p.0, p.1)), "{p:?}");
    }
    // Each stroke is one step.
    assert_eq!(harness.state().history.depth(), actions);
    harness.state_mut().undo();
    assert!(is_symmetric(&harness.state().project));
}

#[test]
fn every_tool_takes_the_images_along() {
    for tool in [Tool::Draw, Tool::Line, Tool::Rectangle, Tool::Ellipse] {
        let mut harness = open(with(plain(20, 20), Mirrors::Both));
        use_tool(&mut harness, tool);
        drag_cells(&mut harness, &[(2, 3), (6, 5)]);
        let cells = painted(&harness);
        for p in [(2, 3), (17, 3), (2, 16), (17, 16)] {
            // The corner of an ellipse is no part of it.
            let is_part = tool == Tool::Ellipse || cells.contains(&Point::new(p.0, p.1));
            assert!(is_part, "{tool:?} {p:?}");
        }
        assert!(!cells.is_empty() && is_symmetric(&harness.state().project), "{tool:?}");
        use_tool(&mut harness, Tool::Erase);
        drag_cells(&mut harness, &[(0, 4), (9, 4)]);
        assert!(is_symmetric(&harness.state().project), "{tool:?}");
        use_tool(&mut harness, Tool::Fill);
        let at = middle_of(&harness, 9, 9);
        click(&mut harness, at, PointerButton::Primary);
        assert!(is_symmetric(&harness.state().project), "{tool:?}");
        assert_eq!(harness.state().history.depth(), 3, "{tool:?}");
    }
}

#[test]
fn what_is_held_is_set_down_with_its_images() {
    let mut harness = open(with(plain(20, 20), Mirrors::QuarterTurns));
    let mut stamp = huegauge::chart::Grid::new(3, 2, Cell::slot(1)).unwrap();
    stamp.set(Point::new(0, 0), Cell::slot(0));
    let held = huegauge::app::view::Floating { patch: stamp, at: (1, 2), label: "Stamp", see_through: None };
    harness.state_mut().view.floating = Some(held);
    harness.run();
    harness.state_mut().command(Command::SetDown);
    harness.run();
    assert_eq!(painted(&harness).len(), 4 * 5);
    assert!(is_symmetric(&harness.state().project));
}

#[test]
fn the_axis_is_dragged_by_its_knob_and_placed_in_one_step() {
    let mut harness = open(with(plain(20, 20), Mirrors::LeftRight));
    let canvas = harness.get_by_label(canvas::LABEL).rect();
    let zoom = harness.state().view.zoom;
    let left = canvas.min.x + harness.state().view.pan[0];
    let knob = egui::pos2(left + 10.0 * zoom, middle_of(&harness, 0, 19).y);
    // The knob stands above the chart, ten points over its top edge.
    let height = zoom / harness.state().project.plan.gauge.cell_aspect() as f32;
    let knob = egui::pos2(knob.x, knob.y - height / 2.0 - 10.0);
    let to = egui::pos2(left + 6.5 * zoom, knob.y);
    button(&harness, knob, PointerButton::Primary, true, Modifiers::NONE);
    harness.event(Event::PointerMoved(to));
    harness.run();
    assert!(matches!(harness.state().view.gesture, Some(Gesture::Axis { upright: true, at2: 13 })));
    button(&harness, to, PointerButton::Primary, false, Modifiers::NONE);
    harness.run();
    let symmetry = harness.state().project.symmetry;
    assert_eq!(symmetry.axis, Some(Axis { x2: 13, y2: 20 }));
    assert_eq!(harness.state().history.undo_label(), Some("Place the axis"));
    let at = middle_of(&harness, 2, 2);
    click(&mut harness, at, PointerButton::Primary);
    assert_eq!(painted(&harness), [Point::new(2, 2), Point::new(10, 2)]);
}

#[test]
fn a_corner_of_the_repeat_is_a_handle() {
    let mut harness = open(plain(20, 20));
    let zoom = harness.state().view.zoom;
    let height = zoom / harness.state().project.plan.gauge.cell_aspect() as f32;
    let corner = middle_of(&harness, 19, 19) + egui::vec2(zoom / 2.0 + 4.0, -height / 2.0 - 4.0);
    let to = middle_of(&harness, 9, 7) + egui::vec2(zoom / 2.0, -height / 2.0);
    drag(&mut harness, &[corner, to]);
    assert_eq!(harness.state().project.chart.repeat(), Rect::new(0, 0, 10, 8));
    assert_eq!(harness.state().history.depth(), 1);
    assert!(painted(&harness).is_empty());
}

/// A window on a plain chart with a repeat box of its own.
fn screen_on(grid: (u32, u32), repeat: Rect) -> crate::screen::Screen {
    use huegauge::project::{Chart, Edit};
    let mut screen = crate::screen::open();
    let chart = Chart::with_repeat(plain(grid.0, grid.1).chart.grid, repeat).unwrap();
    crate::screen::perform(&mut screen, Edit::Chart(Box::new(chart)));
    screen.state_mut().as_mut().unwrap().program.state.notices.clear();
    crate::screen::settle(&mut screen);
    screen
}

#[test]
fn tiles_that_come_out_otherwise_than_asked_say_so() {
    use crate::screen::{click, enter, has, project};
    let mut screen = screen_on((24, 20), Rect::new(0, 0, 24, 20));
    for label in ["Symmetry", "Straight"] {
        click(&mut screen, label);
    }
    enter(&mut screen, "Tile height", "5");
    assert!(!has(&screen, "The tiles are"));
    click(&mut screen, "Half-drop");
    assert!(has(&screen, "The tiles are 24 × 6 now, not 24 × 5, as the rows of a half-drop tile are even."));
    enter(&mut screen, "Tile height", "7");
    assert!(has(&screen, "now, not 24 × 7"));
    assert_eq!(project(&screen).symmetry.tiles.unwrap().height(), 8);
}

#[test]
fn copies_that_fall_off_the_chart_are_told_where_the_symmetry_is_set() {
    use crate::screen::{click, has};
    let mut screen = screen_on((24, 9), Rect::new(0, 0, 24, 9));
    for label in ["Symmetry", "Both ways"] {
        click(&mut screen, label);
    }
    assert!(!has(&screen, "fall off"));
    click(&mut screen, "Quarter turns");
    assert!(has(
        &screen,
        "Copies that fall off the chart are left out. All of them lie on it within the dashes, 9 × 9"
    ));
}

#[test]
fn a_repeat_box_that_goes_along_with_the_chart_says_so() {
    use crate::screen::{ask, has, project};
    let mut screen = screen_on((24, 20), Rect::new(0, 0, 12, 10));
    let told = |screen: &crate::screen::Screen| has(screen, "The repeat box is");
    assert!(!told(&screen));
    // The cursor stands in the lowest row, so that a row above it lies in the box.
    ask(&mut screen, huegauge::app::Action::Command(Command::InsertRow));
    assert!(has(&screen, "The repeat box is now 12 × 11, not 12 × 10."));
    ask(&mut screen, huegauge::app::Action::Command(Command::InsertRow));
    assert!(has(&screen, "The repeat box is now 12 × 12") && !has(&screen, "now 12 × 11"));
    assert_eq!(project(&screen).chart.repeat(), Rect::new(0, 0, 12, 12));
    let mut screen = screen_on((24, 20), Rect::new(0, 0, 24, 20));
    ask(&mut screen, huegauge::app::Action::Command(Command::InsertRow));
    assert!(!told(&screen), "the whole chart stays the whole chart");
}
