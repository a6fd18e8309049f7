//! What the hand meets while it works: lists that open over questions, words beside menus, keys that go on to the
//! chart, and parts that stay whole wherever the pointer is.

use egui::{Event, Key, Modifiers, PointerButton, Pos2, Rect, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use huegauge::app::purpose::Purpose;
use huegauge::app::view::{Choose, Tool};
use huegauge::app::{Action, Command};
use huegauge::chart::Cell;
use huegauge::project::Edit;
use huegauge::ui::canvas;

use crate::screen::{
    Screen, ask, click, control, has, open, open_sized, perform, press, project, settle, state, view,
    wait_for,
};

/// A click whose press and release come in one frame, as a tap on a pad or a slow frame gives them.
fn tap(screen: &mut Screen, at: Pos2) {
    screen.hover_at(at);
    settle(screen);
    let button = |pressed| Event::PointerButton {
        pos: at,
        button: PointerButton::Primary,
        pressed,
        modifiers: Modifiers::NONE,
    };
    screen.input_mut().events.extend([button(true), button(false)]);
    settle(screen);
}

fn place(screen: &Screen, label: &str) -> Rect {
    control(screen, label).rect()
}

fn has_keys(screen: &Screen) -> bool {
    screen.ctx.memory(|memory| memory.has_focus(canvas::id()))
}

#[test]
fn a_list_opens_over_its_question_each_time() {
    let mut screen = open_sized(vec2(1280.0, 800.0));
    for time in 1..=3 {
        ask(&mut screen, Action::Command(Command::New));
        let list = place(&screen, "Begin from").center();
        tap(&mut screen, list);
        let at = place(&screen, "Scarf").center();
        tap(&mut screen, at);
        assert!(!has(&screen, "Cowl, grafted"), "the list is gone, time {time}");
        let chosen = control(&screen, "Begin from").accesskit_node().value();
        assert_eq!(chosen.as_deref(), Some("Scarf"), "what was pointed at was chosen, time {time}");
        ask(&mut screen, Action::CloseDialog);
    }
}

#[test]
fn what_is_clicked_in_the_row_of_tools_leaves_the_keys_to_the_chart() {
    let mut screen = open_sized(vec2(1280.0, 800.0));
    for clicked in ["Rectangle", "Filled", "Line", "Region", "Choose by area", "Draw"] {
        ask(&mut screen, Action::Command(Command::NextPane));
        screen.ctx.memory_mut(|memory| {
            if let Some(id) = memory.focused() {
                memory.surrender_focus(id);
            }
        });
        let at = place(&screen, clicked).center();
        press(&mut screen, at);
        assert!(has_keys(&screen), "{clicked}");
    }
    // While the choices of the symmetry are open they are not the chart's; Escape closes them, and they are.
    let at = place(&screen, "Symmetry").center();
    press(&mut screen, at);
    let at = place(&screen, "Left and right").center();
    press(&mut screen, at);
    assert!(project(&screen).symmetry.is_on());
    assert_eq!(state(&screen).document.history().undo_label(), Some("Mirror left and right"));
    screen.key_press(Key::Escape);
    settle(&mut screen);
    assert!(!has(&screen, "Quarter turns") && has_keys(&screen));
    screen.key_press(Key::Num3);
    settle(&mut screen);
    assert_eq!(view(&screen).chart.paint, Cell::slot(2));
}

#[test]
fn a_click_on_the_chart_that_closes_what_is_open_paints_nothing() {
    let mut screen = open_sized(vec2(1280.0, 800.0));
    let chart = place(&screen, "Stitch grid");
    // Below what opens.
    let at = Pos2::new(chart.center().x, chart.center().y + 200.0);
    let depth = |screen: &Screen| state(screen).document.history().depth();
    for hit in [press, tap] {
        for (opener, part) in [
            ("Chart", "Insert row above"),
            ("Symmetry", "Quarter turns"),
            ("Look", "Enlarge"),
            ("Scheme", "Triadic"),
        ] {
            let opens = place(&screen, opener).center();
            press(&mut screen, opens);
            assert!(has(&screen, part), "{opener}");
            hit(&mut screen, at);
            assert!(!has(&screen, part), "{opener} is closed");
            assert_eq!(depth(&screen), 0, "{opener}: nothing was painted");
            assert!(has_keys(&screen), "{opener}: keys are for the chart");
        }
    }
    // A drag paints no more than a click does.
    let opens = place(&screen, "Chart").center();
    press(&mut screen, opens);
    screen.hover_at(at);
    settle(&mut screen);
    screen.drag_at(at);
    screen.run_steps(2);
    screen.hover_at(at + vec2(60.0, 0.0));
    screen.run_steps(2);
    screen.drop_at(at + vec2(60.0, 0.0));
    settle(&mut screen);
    assert!(!has(&screen, "Insert row above"));
    assert_eq!(depth(&screen), 0);
    // The next one paints.
    let paint = Cell::slot(2);
    screen.state_mut().as_mut().unwrap().program.view.chart.paint = paint;
    press(&mut screen, at);
    assert_eq!(depth(&screen), 1);
}

#[test]
fn when_a_menu_or_a_question_closes_keys_are_for_the_chart() {
    let mut screen = open_sized(vec2(1280.0, 800.0));
    let paint = |screen: &mut Screen, key, slot, why: &str| {
        assert!(has_keys(screen), "{why}");
        screen.key_press(key);
        settle(screen);
        assert_eq!(view(screen).chart.paint, Cell::slot(slot), "{why}");
    };
    for opener in ["Chart", "View", "Symmetry", "Look", "Scheme"] {
        let at = place(&screen, opener).center();
        press(&mut screen, at);
        screen.key_press(Key::Escape);
        settle(&mut screen);
        paint(&mut screen, Key::Num4, 3, opener);
        press(&mut screen, at);
        press(&mut screen, at);
        paint(&mut screen, Key::Num3, 2, opener);
    }
    // A question that had the keyboard in one of its fields.
    ask(&mut screen, Action::Command(Command::New));
    control(&screen, "Title").focus();
    settle(&mut screen);
    click(&mut screen, "Create");
    settle(&mut screen);
    assert!(!has(&screen, "Begin from"));
    paint(&mut screen, Key::Num2, 1, "a new project");
}

#[test]
fn a_question_closes_the_menu_it_comes_up_over() {
    let mut screen = open();
    click(&mut screen, "Edit");
    assert!(has(&screen, "Mirror top to bottom"));
    screen.key_press_modifiers(Modifiers::COMMAND, Key::N);
    settle(&mut screen);
    assert!(has(&screen, "New project") && !has(&screen, "Mirror top to bottom"));
}

#[test]
fn words_to_a_line_of_a_menu_lie_over_no_other_line() {
    let mut screen = open_sized(vec2(1280.0, 800.0));
    click(&mut screen, "Chart");
    let of = |label| screen.query_all_by_label_contains(label).next_back().expect(label).rect();
    let (line, next) = (of("Insert row above"), of("Insert stitch to the left"));
    screen.hover_at(line.center());
    screen.run_steps(60);
    let tip = Command::InsertRow.info().tip;
    let words = screen.get_all_by_label(tip).map(|node| node.rect()).next().expect("the words are there");
    assert!(!words.intersects(line) && !words.intersects(next), "{words} over {line} {next}");
}

#[test]
fn yarn_use_is_whole_wherever_the_pointer_is() {
    let mut screen = open_sized(vec2(1280.0, 800.0));
    click(&mut screen, "Colours that touch (5)");
    let last = screen.query_all_by_label_contains("In all ").next().unwrap().rect();
    // How much of the line is seen: what is cut away is clipped.
    let seen = |screen: &Screen| {
        let lines = screen.output().shapes.iter().filter_map(|shape| match &shape.shape {
            egui::Shape::Text(text) if text.galley.text().starts_with("In all ") => {
                let seen = shape.clip_rect.intersect(text.visual_bounding_rect());
                Some(if seen.is_positive() { seen.height() } else { 0.0 })
            }
            _ => None,
        });
        lines.fold(0.0_f32, f32::max)
    };
    // Scrolled to, with the pointer over the column.
    screen.hover_at(last.with_min_y(300.0).with_max_y(300.0).center());
    screen.run_steps(2);
    screen.event(Event::MouseWheel {
        unit: egui::MouseWheelUnit::Point,
        delta: vec2(0.0, -360.0),
        phase: egui::TouchPhase::Move,
        source: egui::MouseWheelSource::Unknown,
        modifiers: Modifiers::NONE,
    });
    screen.run_steps(30);
    let over = seen(&screen);
    assert!(over > 8.0, "{over}");
    for away in [Pos2::new(220.0, 400.0), Pos2::new(640.0, 790.0)] {
        screen.hover_at(away);
        screen.run_steps(4);
        assert!((seen(&screen) - over).abs() < 1.0, "{} of {over} with the pointer at {away}", seen(&screen));
    }
}

#[test]
fn a_picture_that_cannot_be_a_chart_moves_nothing_and_cannot_be_taken() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("stripes.png");
    image::RgbImage::from_fn(60, 60, |_, y| image::Rgb(if y < 30 { [200, 30, 40] } else { [20, 40, 120] }))
        .save(&path)
        .unwrap();
    let mut screen = open_sized(vec2(1280.0, 800.0));
    perform(&mut screen, Edit::ShadeCards(Vec::new()));
    ask(&mut screen, Action::PathEntered(Purpose::ChartPicture, path));
    wait_for(&mut screen, "on average");
    let parts = ["Width", "Dither", "Cancel", "Put in this project"];
    let places =
        |screen: &Screen| parts.map(|part| screen.get_all_by_label(part).next_back().unwrap().rect());
    let before = places(&screen);
    click(&mut screen, "Colours");
    click(&mut screen, "Shades on the cards");
    wait_for(&mut screen, "there are no shades on the cards");
    assert_eq!(places(&screen), before);
    for answer in ["Put in this project", "As a new project"] {
        assert!(control(&screen, answer).accesskit_node().is_disabled(), "{answer}");
    }
    assert!(!control(&screen, "Cancel").accesskit_node().is_disabled());
}

#[test]
fn every_colour_is_in_the_row_of_tools_also_of_a_narrow_window() {
    let mut screen = open_sized(vec2(1000.0, 700.0));
    let looks = place(&screen, "Whole chart");
    let chart = place(&screen, "Stitch grid");
    let cells: Vec<Rect> = screen.get_all_by_label_contains("Paint ").map(|node| node.rect()).collect();
    assert_eq!(cells.len(), project(&screen).palette.slots().len() + 1);
    for cell in &cells {
        assert!(cell.right() <= looks.left() && cell.bottom() <= chart.top(), "{cell} {looks}");
        assert!(cell.width() >= 24.0 && cell.height() >= 22.0, "{cell}");
    }
    // Each can be hit where it is.
    let last = screen.get_by_label_contains("Paint D").rect().center();
    press(&mut screen, last);
    assert_eq!(view(&screen).chart.paint, Cell::slot(3));
}

#[test]
fn a_click_inside_the_region_chooses_the_area_there() {
    let mut screen = open_sized(vec2(1280.0, 800.0));
    let chart = &mut screen.state_mut().as_mut().unwrap().program.view.chart;
    chart.take_tool(Tool::Region);
    chart.choose = Choose::Area;
    chart.region = Some(project_bounds());
    settle(&mut screen);
    let middle = place(&screen, "Stitch grid").center();
    press(&mut screen, middle);
    let region = view(&screen).chart.region.expect("an area is chosen");
    assert_ne!(region, project_bounds(), "not all of it any more");
}

fn project_bounds() -> huegauge::chart::Rect {
    huegauge::file::demos()[0].project().unwrap().chart.grid.bounds()
}

#[test]
fn a_line_of_text_has_most_of_its_question() {
    let mut screen = open_sized(vec2(1280.0, 800.0));
    ask(&mut screen, Action::Command(Command::Describe));
    for label in ["Title of the pattern", "Designer"] {
        assert!(place(&screen, label).width() > 400.0, "{label}: {}", place(&screen, label));
    }
}
