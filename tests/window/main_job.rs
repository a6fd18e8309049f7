//! The main job from an empty project to both exports, by accessible labels alone.

use std::path::Path;

use egui::{Key, Modifiers, Pos2, Vec2, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use huegauge::chart::{Cell, Point};
use huegauge::colour::{Scheme, turn_between};
use huegauge::project::Role;

use crate::screen::{Screen, click, control, enter, has, open, project, settle, state, undo, view, write};

fn menu(screen: &mut Screen, title: &str, item: &str) {
    click(screen, title);
    screen.get_by_label_contains(item).click();
    settle(screen);
}

/// Answers the question for a file by typing its path.
fn type_path(screen: &mut Screen, path: &Path, verb: &str) {
    let field = control(screen, "File path");
    field.focus();
    settle(screen);
    screen.key_press_modifiers(Modifiers::COMMAND, Key::A);
    control(screen, "File path").type_text(path.to_str().unwrap());
    settle(screen);
    click(screen, verb);
}

/// Where a stitch lies on the screen.
fn place(screen: &Screen, at: Point) -> Pos2 {
    let state = state(screen);
    let (view, grid) = (&view(screen).chart, &state.project().chart.grid);
    let cell = vec2(view.zoom, view.zoom / state.project().plan.gauge.cell_aspect() as f32);
    let corner = screen.get_by_label("Stitch grid").rect().min + Vec2::from(view.pan);
    corner + vec2((at.x as f32 + 0.5) * cell.x, ((grid.height() - at.y) as f32 - 0.5) * cell.y)
}

/// Draws with the pointer held down from one stitch to another.
fn drag(screen: &mut Screen, from: Point, to: Point) {
    let (from, to) = (place(screen, from), place(screen, to));
    screen.hover_at(from);
    settle(screen);
    screen.drag_at(from);
    settle(screen);
    screen.hover_at(to);
    settle(screen);
    screen.drop_at(to);
    settle(screen);
}

fn new_project(screen: &mut Screen) {
    menu(screen, "Project", "New");
    control(screen, "Title").focus();
    settle(screen);
    control(screen, "Title").type_text("Late crossing");
    settle(screen);
    enter(screen, "Gauge, stitches", "30");
    enter(screen, "Gauge, rows", "36");
    click(screen, "Create");
}

fn choose_colours(screen: &mut Screen) {
    click(screen, "Colour A, main: Blue crate");
    control(screen, "Hex").focus();
    settle(screen);
    screen.key_press_modifiers(Modifiers::COMMAND, Key::A);
    control(screen, "Hex").type_text("#1f5a7a");
    settle(screen);
    screen.key_press(Key::Enter);
    settle(screen);
    click(screen, "Scheme");
    click(screen, "Triadic");
}

fn save_as_with_enter(screen: &mut Screen, file: &Path) {
    screen.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    settle(screen);
    screen.key_press_modifiers(Modifiers::COMMAND, Key::A);
    control(screen, "File path").type_text(file.to_str().unwrap());
    settle(screen);
    screen.key_press(Key::Enter);
    settle(screen);
}

#[test]
fn from_an_empty_project_to_both_exports() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = open();
    new_project(&mut screen);
    assert_eq!(project(&screen).title, "Late crossing");
    assert_eq!(project(&screen).plan.gauge.stitches.get(), 30.0);

    choose_colours(&mut screen);
    let palette = &project(&screen).palette;
    assert_eq!(palette.scheme, Some(Scheme::Triadic));
    assert_eq!(palette.slots()[0].colour.to_hex(), "#1f5a7a");
    let hue = |role| palette.slots()[palette.slot_of(role).unwrap()].colour.hue_angle();
    let turn = turn_between(hue(Role::Main), hue(Role::Supporting)).abs();
    assert!((turn - 120.0).abs() < 3.0, "a triadic scheme stands 120 degrees apart, not {turn}");

    // Tone it down: the slider by keyboard.
    let chroma = project(&screen).palette.slots()[0].colour.chroma();
    control(&screen, "Tone").focus();
    settle(&mut screen);
    for _ in 0..20 {
        screen.key_press(Key::ArrowRight);
        settle(&mut screen);
    }
    assert!(project(&screen).palette.slots()[0].colour.chroma() < chroma);

    // A 24-stitch motif: two lines of main, then a lone stitch far from its like: a long float.
    drag(&mut screen, Point::new(0, 2), Point::new(23, 2));
    drag(&mut screen, Point::new(4, 4), Point::new(6, 4));
    drag(&mut screen, Point::new(16, 4), Point::new(18, 4));
    let grid = &project(&screen).chart.grid;
    assert_eq!(grid.get(Point::new(12, 2)), Some(Cell::slot(0)));
    assert_eq!(grid.counts()[0], 30);
    let before = screen.get_by_label_contains("Yarn A, main: Blue crate").accesskit_node().label().unwrap();
    assert!(has(&screen, "Long float"), "the gap of nine stitches is a long float");

    // The finding shows its stitches; a stitch in the gap mends it.
    screen.get_all_by_label_contains("Long float").next().unwrap().click();
    settle(&mut screen);
    let shown = view(&screen).chart.highlight.clone();
    assert!(shown.iter().any(|place| place.y == 4), "{shown:?}");
    drag(&mut screen, Point::new(10, 4), Point::new(12, 4));
    drag(&mut screen, Point::new(21, 4), Point::new(23, 4));
    assert!(!has(&screen, "Long float"), "no float is longer than five stitches now");
    let after = screen.get_by_label_contains("Yarn A, main: Blue crate").accesskit_node().label().unwrap();
    assert_ne!(before, after, "more stitches take more yarn");

    let file = folder.path().join("sound crossing.ron");
    screen.key_press_modifiers(Modifiers::COMMAND, Key::S);
    settle(&mut screen);
    type_path(&mut screen, &file, "Save");
    assert!(file.is_file());
    // Once more, to another name, with Enter instead of the button.
    let second = folder.path().join("second.ron");
    save_as_with_enter(&mut screen, &second);
    assert!(second.is_file(), "Enter is as good as the button");
    let saved = project(&screen).clone();
    drop(screen);

    let mut screen = open();
    menu(&mut screen, "Project", "Open");
    type_path(&mut screen, &file, "Open");
    assert_eq!(*project(&screen), saved, "what was saved comes back");

    let (chart, table) = (folder.path().join("chart.png"), folder.path().join("yardage.csv"));
    menu(&mut screen, "Project", "Export");
    screen.get_by_label_contains("Chart picture").click();
    settle(&mut screen);
    click(&mut screen, "Choose file…");
    type_path(&mut screen, &chart, "Save");
    menu(&mut screen, "Project", "Export");
    screen.get_by_label_contains("Yardage table").click();
    settle(&mut screen);
    type_path(&mut screen, &table, "Save");
    assert!(image::open(&chart).unwrap().width() > 24 * 24);
    assert!(std::fs::read_to_string(&table).unwrap().contains("Blue crate"));
}

#[test]
fn shift_tells_redo_from_undo() {
    let mut screen = open();
    click(&mut screen, "Region");
    drag(&mut screen, Point::new(0, 0), Point::new(5, 5));
    let before = project(&screen).clone();
    screen.key_press_modifiers(Modifiers::COMMAND, Key::X);
    screen.event(egui::Event::Cut);
    settle(&mut screen);
    let after = project(&screen).clone();
    assert_ne!(before, after);
    screen.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(&mut screen);
    assert_eq!(*project(&screen), before);
    screen.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    settle(&mut screen);
    assert_eq!(*project(&screen), after);
}

#[test]
fn enter_in_the_title_creates_the_project() {
    let mut screen = open();
    menu(&mut screen, "Project", "New");
    control(&screen, "Title").focus();
    settle(&mut screen);
    control(&screen, "Title").type_text("Late crossing");
    settle(&mut screen);
    screen.key_press(Key::Enter);
    settle(&mut screen);
    assert_eq!(project(&screen).title, "Late crossing");
    assert!(!has(&screen, "New project"), "the question is gone");
}

#[test]
fn plus_enlarges_the_chart_and_with_ctrl_the_text() {
    let mut screen = open();
    screen.get_by_label("Stitch grid").focus();
    settle(&mut screen);
    let zoom = |screen: &Screen| view(screen).chart.zoom;
    for key in [Key::Plus, Key::Equals] {
        let before = zoom(&screen);
        screen.key_press(key);
        settle(&mut screen);
        assert!(zoom(&screen) > before, "{key:?}");
    }
    let before = zoom(&screen);
    screen.key_press(Key::Minus);
    settle(&mut screen);
    assert!(zoom(&screen) < before);
    let size = |screen: &Screen| state(screen).text_size.percent();
    for (key, percent) in [(Key::Plus, 110), (Key::Equals, 120), (Key::Minus, 110), (Key::Minus, 100)] {
        screen.key_press_modifiers(Modifiers::COMMAND, key);
        settle(&mut screen);
        assert_eq!(size(&screen), percent, "{key:?}");
    }
}

#[test]
fn unsaved_changes_are_asked_about_and_nothing_is_lost() {
    let mut screen = open();
    let top = project(&screen).chart.grid.height() - 1;
    click(&mut screen, "Region");
    drag(&mut screen, Point::new(0, 0), Point::new(5, top));
    screen.key_press(Key::Delete);
    settle(&mut screen);
    let painted = project(&screen).clone();
    menu(&mut screen, "Project", "New");
    assert!(has(&screen, "Save your changes first?"));
    click(&mut screen, "Cancel");
    assert_eq!(*project(&screen), painted);
    menu(&mut screen, "Project", "New");
    click(&mut screen, "Do not save");
    click(&mut screen, "Create");
    assert_eq!(project(&screen).title, "Untitled");
}

#[test]
fn a_bad_file_is_a_message_and_the_project_stays() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("broken.ron");
    std::fs::write(&file, "(format: \"huegauge-project\", version: 1, title: ").unwrap();
    let mut screen = open();
    let before = project(&screen).clone();
    menu(&mut screen, "Project", "Open");
    type_path(&mut screen, &file, "Open");
    assert!(has(&screen, "broken.ron"), "the message names the file");
    assert_eq!(*project(&screen), before);
}

#[test]
fn a_pattern_is_named_with_its_designer_in_one_step() {
    let mut screen = open();
    let before = project(&screen).title.clone();
    menu(&mut screen, "Project", "Title and designer");
    write(&mut screen, "Title of the pattern", "Storm over the mill");
    write(&mut screen, "Designer", "Nobody Atall");
    click(&mut screen, "Keep");
    assert_eq!(
        (project(&screen).title.as_str(), project(&screen).designer.as_str()),
        ("Storm over the mill", "Nobody Atall")
    );
    undo(&mut screen);
    assert_eq!((project(&screen).title.as_str(), project(&screen).designer.as_str()), (before.as_str(), ""));
    menu(&mut screen, "Project", "Title and designer");
    write(&mut screen, "Title of the pattern", " ");
    assert!(has(&screen, "A pattern needs a title"));
}
