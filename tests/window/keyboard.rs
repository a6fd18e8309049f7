//! The window by keys alone: what has the keyboard is in view and ringed wherever it goes, and there is a key
//! to every workspace, every pane and out of every menu and list.

use egui::{Color32, Id, Key, Modifiers, Rect, Shape, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use huegauge::app::exports::Export;
use huegauge::app::view::Workspace;
use huegauge::app::{Action, Command};

use crate::screen::{Screen, ask, click, open, open_sized, settle, view};

/// More stops than any workspace has.
const MOST: usize = 400;

fn focused(screen: &Screen) -> Option<Id> {
    screen.ctx.memory(egui::Memory::focused)
}

/// Name and role of what has the keyboard.
fn name(screen: &Screen) -> String {
    #[expect(clippy::redundant_closure_for_method_calls, reason = "the method alone is not general enough")]
    let found = screen.query_all_by(|node| node.is_focused());
    let mut names = found.map(|node| {
        let node = node.accesskit_node();
        format!("{:?} {}", node.role(), node.label().unwrap_or_default())
    });
    names.next_back().unwrap_or_default()
}

/// Whether a stroke of this colour goes round something about as large as `rect`, at about its place.
fn is_ringed(shape: &Shape, colour: Color32, rect: Rect) -> bool {
    let stroked = |own: egui::Color32, width: f32| own == colour && width >= 1.0;
    match shape {
        Shape::Vec(shapes) => shapes.iter().any(|shape| is_ringed(shape, colour, rect)),
        Shape::Rect(own) => {
            stroked(own.stroke.color, own.stroke.width) && rect.expand(8.0).contains_rect(own.rect)
        }
        Shape::Circle(own) => {
            stroked(own.stroke.color, own.stroke.width) && rect.expand(8.0).contains(own.center)
        }
        Shape::Path(own) => {
            own.stroke.color == egui::epaint::ColorMode::Solid(colour)
                && own.stroke.width >= 1.0
                && rect.expand(8.0).contains_rect(own.visual_bounding_rect())
        }
        // The chart paints its own as a mesh.
        _ => false,
    }
}

#[test]
fn tab_goes_through_fibre_in_view_and_ringed() {
    go_through(Workspace::Fibre);
}

#[test]
fn tab_goes_through_yarn_in_view_and_ringed() {
    go_through(Workspace::Yarn);
}

#[test]
fn tab_goes_through_design_in_view_and_ringed() {
    go_through(Workspace::Design);
}

#[test]
fn tab_goes_through_swatch_in_view_and_ringed() {
    go_through(Workspace::Swatch);
}

#[test]
fn tab_goes_through_pieces_in_view_and_ringed() {
    go_through(Workspace::Pieces);
}

#[test]
fn tab_goes_through_shopping_in_view_and_ringed() {
    go_through(Workspace::Shopping);
}

fn go_through(workspace: Workspace) {
    let mut screen = open_sized(vec2(1000.0, 700.0));
    ask(&mut screen, Action::Command(Command::Go(workspace)));
    let window = Rect::from_min_size(egui::Pos2::ZERO, vec2(1000.0, 700.0));
    let (mut stops, mut first, mut faults) = (0, None, Vec::new());
    for _ in 0..MOST {
        screen.key_press(Key::Tab);
        screen.run_steps(5);
        let Some(id) = focused(&screen) else { continue };
        if first == Some(id) {
            break;
        }
        first = first.or(Some(id));
        stops += 1;
        let Some(response) = screen.ctx.read_response(id) else {
            faults.push(format!("{} is not shown", name(&screen)));
            continue;
        };
        let (rect, seen) = (response.rect, response.interact_rect);
        // What is larger than its place is seen as far as it goes.
        let is_whole =
            seen.width() >= rect.width().min(220.0) - 1.0 && seen.height() >= rect.height().min(120.0) - 1.0;
        if !is_whole || !window.expand(1.0).contains_rect(seen) {
            faults.push(format!("{} at {rect} is seen in {seen}", name(&screen)));
        }
        let ring = screen.ctx.global_style().visuals.widgets.active.bg_stroke.color;
        let is_canvas = name(&screen).starts_with("GridCell");
        let ringed = screen
            .output()
            .shapes
            .iter()
            .any(|clipped| is_ringed(&clipped.shape, ring, rect) && clipped.clip_rect.intersects(rect));
        if !ringed && !is_canvas {
            faults.push(format!("{} at {rect} has no ring", name(&screen)));
        }
    }
    println!("{}: {stops} stops", workspace.name());
    assert!(stops > 12 && stops < MOST, "{}: {stops} stops", workspace.name());
    assert!(faults.is_empty(), "{}, {stops} stops:\n{}", workspace.name(), faults.join("\n"));
}

#[test]
fn a_key_goes_to_each_workspace() {
    let mut screen = open();
    let keys = [Key::Num1, Key::Num2, Key::Num3, Key::Num4, Key::Num5, Key::Num6];
    for (key, workspace) in keys.into_iter().zip(Workspace::ALL).rev() {
        screen.key_press_modifiers(Modifiers::COMMAND, key);
        settle(&mut screen);
        assert_eq!(view(&screen).workspace, workspace, "{key:?}");
    }
}

#[test]
fn f6_goes_round_the_panes() {
    let mut screen = open_sized(vec2(1280.0, 800.0));
    let mut round = Vec::new();
    for _ in 0..6 {
        screen.key_press(Key::F6);
        settle(&mut screen);
        round.push(name(&screen));
    }
    let ends =
        ["GridCell Row ", "Tools pane", "Harmony pane", "Findings pane", "Workspaces pane", "GridCell Row "];
    for (name, end) in round.iter().zip(ends) {
        assert!(name.contains(end), "{round:?}");
    }
    // A folded column is passed by.
    ask(&mut screen, Action::Command(Command::FoldHarmony));
    for _ in 0..2 {
        screen.key_press(Key::F6);
        settle(&mut screen);
    }
    assert!(name(&screen).contains("Findings pane"), "{}", name(&screen));
}

#[test]
fn escape_closes_menus_and_lists_and_nothing_else() {
    let mut screen = open();
    let has = |screen: &Screen, label: &str| screen.query_all_by_label_contains(label).next().is_some();
    click(&mut screen, "Project");
    assert!(has(&screen, "Save as"));
    screen.key_press(Key::Escape);
    settle(&mut screen);
    assert!(!has(&screen, "Save as"));
    // A list of choices.
    let region = Some(huegauge::chart::Rect::new(1, 1, 3, 3));
    screen.state_mut().as_mut().unwrap().program.view.chart.region = region;
    let before = view(&screen).chart.region;
    click(&mut screen, "Scheme");
    assert!(has(&screen, "Triadic"));
    screen.key_press(Key::Escape);
    settle(&mut screen);
    assert!(!has(&screen, "Triadic"));
    assert_eq!(view(&screen).chart.region, before, "the chart was not spoken to");
    screen.key_press(Key::Escape);
    settle(&mut screen);
    assert_eq!(view(&screen).chart.region, None, "now it is");
}

#[test]
fn enter_gives_the_usual_answer_unless_a_field_has_the_keyboard() {
    let mut screen = open();
    ask(&mut screen, Action::Command(Command::Export(Export::Fabric)));
    crate::screen::enter(&mut screen, "Size of a knit stitch", "12");
    assert!(crate::screen::has(&screen, "Choose file…"), "Enter ended the field, not the question");
    screen.key_press(Key::Enter);
    settle(&mut screen);
    assert!(
        !crate::screen::has(&screen, "Choose file…") && view(&screen).dialog.is_some(),
        "the file is asked for"
    );
}
