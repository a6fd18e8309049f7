//! Every figure that can be dragged, in every workspace: it stays under the hand whatever its drag makes come and
//! go beside it, and the drag is one step that undo takes back exactly.

use egui::{Rect, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use huegauge::app::exports::Export;
use huegauge::app::view::{Fold, Workspace};
use huegauge::app::{Action, Command};

use crate::edges::OPENED;
use crate::screen::{Screen, ask, open, open_drawn, project, settle, state, undo};

/// A control by its name and which of that name it is.
#[derive(Clone, Debug, PartialEq)]
struct Control {
    name: String,
    nth: usize,
    rect: Rect,
}

/// All figures in sight that can be dragged, from the top.
fn controls(screen: &Screen) -> Vec<Control> {
    use egui::accesskit::Role;
    let found = screen
        .query_all_by(|node| matches!(node.role(), Role::SpinButton | Role::Slider) && !node.is_disabled());
    let mut controls: Vec<Control> = Vec::new();
    for node in found {
        // What a handle is called after its code goes with its colour, which the drag changes.
        let label = node.accesskit_node().label().unwrap_or_default();
        let name =
            label.strip_prefix("Handle of ").map_or(label.clone(), |of| format!("Handle of {}", &of[..1]));
        let nth = controls.iter().filter(|other| other.name == name).count();
        controls.push(Control { name, nth, rect: node.rect() });
    }
    controls
}

fn place(screen: &Screen, control: &Control) -> Option<Rect> {
    let same = |other: &Control| (&other.name, other.nth) == (&control.name, control.nth);
    controls(screen).into_iter().find(same).map(|found| found.rect)
}

fn stands(now: Rect, before: Rect) -> bool {
    let near = |a: f32, b: f32| (a - b).abs() < 1.1;
    near(now.top(), before.top()) && (near(now.left(), before.left()) || near(now.right(), before.right()))
}

/// Drags a control there and back and there; where it was seen elsewhere than it began.
fn drag(screen: &mut Screen, control: &Control) -> Vec<String> {
    let from = control.rect.left_center() + vec2(control.rect.width().min(60.0) * 0.4, 0.0);
    let mut moved = Vec::new();
    screen.hover_at(from);
    screen.run_steps(1);
    screen.drag_at(from);
    screen.run_steps(1);
    let mut last = from;
    for right in [45.0, -40.0, 30.0] {
        last = from + vec2(right, -0.3 * right);
        screen.hover_at(last);
        screen.run_steps(2);
        // The handles of the ring go with the hand.
        let follows = control.name.starts_with("Handle of ");
        match place(screen, control) {
            // As wide as its figure, it keeps one of its sides.
            Some(rect) if follows || stands(rect, control.rect) => {}
            Some(rect) => moved.push(format!("{} went from {} to {rect}", control.name, control.rect)),
            None => moved.push(format!("{} is gone", control.name)),
        }
    }
    screen.drop_at(last);
    screen.run_steps(3);
    moved
}

fn drag_all(workspace: Workspace, least: usize) {
    let mut screen = open();
    ask(&mut screen, Action::Command(Command::Go(workspace)));
    if workspace == Workspace::Design && !state(&screen).folds.is_open(Fold::Fit) {
        ask(&mut screen, Action::Fold(Fold::Fit));
    }
    settle(&mut screen);
    let window = Rect::from_min_size(egui::Pos2::ZERO, vec2(1280.0, 1400.0)).shrink(40.0);
    let (mut faults, mut done, mut still) = (Vec::new(), 0, Vec::new());
    for control in controls(&screen) {
        // An earlier drag may have moved it for good.
        let Some(rect) = place(&screen, &control).filter(|rect| window.contains_rect(*rect)) else {
            continue;
        };
        let control = Control { rect, ..control };
        let (before, steps) = (project(&screen).clone(), state(&screen).document.history().depth());
        faults.extend(drag(&mut screen, &control));
        let taken = state(&screen).document.history().depth() - steps;
        if taken > 1 {
            faults.push(format!("{} is {taken} steps", control.name));
        }
        if *project(&screen) == before && taken == 0 {
            still.push(control.name.clone());
            continue;
        }
        done += 1;
        for _ in 0..taken {
            undo(&mut screen);
        }
        if *project(&screen) != before {
            faults.push(format!("{} is not taken back", control.name));
            break;
        }
    }
    println!("{}: {done} dragged; nothing changed by {still:?}", workspace.name());
    assert!(faults.is_empty(), "{}:\n{}", workspace.name(), faults.join("\n"));
    assert!(done >= least, "{}: only {done} were dragged, not {still:?}", workspace.name());
}

#[test]
fn every_figure_of_design_is_dragged_in_one_step_that_stands_still() {
    drag_all(Workspace::Design, 16);
}

#[test]
fn every_figure_of_yarn_is_dragged_in_one_step_that_stands_still() {
    drag_all(Workspace::Yarn, 2);
}

#[test]
fn every_figure_of_swatch_is_dragged_in_one_step_that_stands_still() {
    drag_all(Workspace::Swatch, 4);
}

#[test]
fn every_figure_of_pieces_is_dragged_in_one_step_that_stands_still() {
    drag_all(Workspace::Pieces, 4);
}

#[test]
fn every_figure_of_shopping_is_dragged_in_one_step_that_stands_still() {
    drag_all(Workspace::Shopping, 1);
}

fn figure(screen: &Screen, control: &Control) -> Option<f64> {
    let node = screen.query_all_by_label(&control.name).find(|node| node.rect() == control.rect)?;
    node.accesskit_node().numeric_value()
}

/// Drags every figure of what lies over the window now; how many of them changed.
fn drag_in_question(screen: &mut Screen, place: &str, behind: &[Control], faults: &mut Vec<String>) -> usize {
    let mut changed = 0;
    for control in controls(screen) {
        if behind.iter().any(|other| other.rect == control.rect) {
            continue;
        }
        let Some(rect) = self::place(screen, &control) else { continue };
        let control = Control { rect, ..control };
        let (before, steps) = (project(screen).clone(), state(screen).document.history().depth());
        let from = figure(screen, &control);
        faults.extend(drag(screen, &control).into_iter().map(|fault| format!("{place}: {fault}")));
        settle(screen);
        let now = Control { rect: self::place(screen, &control).unwrap_or(control.rect), ..control.clone() };
        changed += usize::from(figure(screen, &now) != from);
        let taken = state(screen).document.history().depth() - steps;
        if taken > 1 {
            faults.push(format!("{place}: {} is {taken} steps", control.name));
        }
        for _ in 0..taken {
            undo(screen);
        }
        if *project(screen) != before {
            faults.push(format!("{place}: {} is not taken back", control.name));
        }
    }
    changed
}

/// A question stands in the middle of the window: one line more in it, and all of it would move.
#[test]
fn every_figure_of_a_question_stands_still_under_the_hand() {
    let dir = tempfile::tempdir().unwrap();
    let (mut faults, mut changed) = (Vec::new(), 0);
    let (mut screen, _) = open_drawn(vec2(1280.0, 900.0));
    for (place, go) in OPENED {
        let behind = controls(&screen);
        go(&mut screen, dir.path());
        changed += drag_in_question(&mut screen, place, &behind, &mut faults);
        ask(&mut screen, Action::CloseDialog);
        egui::Popup::close_all(&screen.ctx);
        screen.state_mut().as_mut().unwrap().program.view.motifs_open = false;
        settle(&mut screen);
    }
    for export in Export::ALL {
        let behind = controls(&screen);
        ask(&mut screen, Action::Command(Command::Export(export)));
        changed += drag_in_question(&mut screen, export.info().name, &behind, &mut faults);
        ask(&mut screen, Action::CloseDialog);
    }
    println!("{changed} figures of questions changed");
    assert!(faults.is_empty(), "{}", faults.join("\n"));
    assert!(changed >= 12, "only {changed}");
}
