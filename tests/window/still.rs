//! Columns, words and questions that stay where they are: while the hand is on the chart, at every text size, and
//! when something was refused.

use egui::{Event, Key, Modifiers, Rect, Vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use huegauge::app::dialog::Dialog;
use huegauge::app::purpose::Purpose;
use huegauge::app::{Action, Command};
use huegauge::chart::{Cell, Grid, Point};
use huegauge::project::{Chart, Edit, Project};
use huegauge::units::LengthUnit;

use crate::screen::{
    Screen, ask, click, control, enter, open, open_sized, perform, project, settle, state, undo, view,
};

const USUAL: Vec2 = Vec2::new(1280.0, 800.0);

/// What was pressed and let go at a place.
fn press(screen: &mut Screen, at: egui::Pos2) {
    screen.hover_at(at);
    settle(screen);
    screen.drag_at(at);
    screen.drop_at(at);
    settle(screen);
}

/// The demo's chart with a float in four rows.
fn with_floats(project: &Project) -> Chart {
    let mut chart = project.chart.clone();
    for y in [1, 3, 5, 7] {
        let grid = &mut chart.grid;
        grid.fill(huegauge::chart::Rect::new(0, y, grid.width(), 1), Cell::slot(0));
        grid.set(Point::new(y, y), Cell::slot(1));
    }
    chart
}

#[test]
fn nothing_beside_the_chart_moves_while_the_hand_is_on_it() {
    let parts = ["Yarn use part, open", "Gauge and repeats part, open"];
    let tops = |screen: &Screen| parts.map(|part| control(screen, part).rect().top());
    let mut screen = open_sized(USUAL);
    let chart = control(&screen, "Stitch grid").rect();
    press(&mut screen, chart.center());
    let before = tops(&screen);
    let floats = with_floats(project(&screen));
    perform(&mut screen, Edit::Chart(Box::new(floats)));
    settle(&mut screen);
    assert!(state(&screen).figures().unwrap().findings.len() >= 4);
    assert_eq!(tops(&screen), before, "the pointer is over the chart");
    // Nor when the hand comes to them: they scroll in a height of their own.
    let heading = control(&screen, "Findings part, open").rect();
    screen.hover_at(heading.center());
    settle(&mut screen);
    screen.get_by_label("Stitch grid").focus();
    screen.run_steps(2);
    screen.get_by_label("Findings part, open").focus();
    screen.run_steps(4);
    assert_eq!(tops(&screen)[0], before[0], "the list keeps its height");
    assert_eq!(control(&screen, "Findings part, open").rect(), heading);
}

#[test]
fn a_colour_opened_in_yarn_use_fits_its_column() {
    let mut screen = open_sized(USUAL);
    let chart = control(&screen, "Stitch grid").rect();
    let heading = control(&screen, "Yarn use part, open").rect();
    let row = screen.query_all_by_label_contains("Yarn B").next().unwrap().rect().center();
    press(&mut screen, row);
    for field in ["Length in 100 g", "Ball"] {
        let field = control(&screen, field).rect();
        assert!(
            field.right() <= heading.right() + 0.5 && field.left() >= heading.left(),
            "{field} {heading}"
        );
    }
    assert_eq!(control(&screen, "Yarn use part, open").rect(), heading);
    assert_eq!(control(&screen, "Stitch grid").rect(), chart);
}

#[test]
fn a_motif_of_ones_own_leaves_the_library_as_tall_as_it_is() {
    use egui_kittest::kittest::By;
    let mut screen = open_sized(USUAL);
    let region = huegauge::chart::Rect::new(2, 20, 8, 8);
    screen.state_mut().as_mut().unwrap().program.view.chart.region = Some(region);
    ask(&mut screen, Action::Command(Command::KeepAsMotif));
    settle(&mut screen);
    screen.event(Event::Text("Quovvle walk".to_owned()));
    settle(&mut screen);
    screen.key_press(Key::Enter);
    settle(&mut screen);
    ask(&mut screen, Action::Command(Command::MotifLibrary));
    settle(&mut screen);
    let place = |screen: &Screen| {
        screen.ctx.memory(|memory| memory.area_rect(egui::Id::unique("motif library"))).unwrap()
    };
    let before = place(&screen);
    enter(&mut screen, "Search the motifs", "walk");
    let tile = screen.query_all(By::new().label("Motif Quovvle walk")).next().unwrap().rect().center();
    press(&mut screen, tile);
    settle(&mut screen);
    let remove = control(&screen, "Remove").rect();
    assert!(before.contains_rect(remove), "{remove} {before}");
    assert_eq!(place(&screen), before);
    screen.set_size(Vec2::new(1000.0, 700.0));
    settle(&mut screen);
    assert!(place(&screen).height() <= 700.0 - 76.0, "{}", place(&screen));
}

#[test]
fn a_refusal_stands_in_nobodys_way() {
    let mut screen = open_sized(USUAL);
    enter(&mut screen, "Gauge, stitches", "9999");
    let words = screen.query_all_by_label_contains("it stays as it was").next().unwrap().rect();
    for next in ["cm", "in", "Gauge, stitches", "Gauge, rows", "Technique"] {
        assert!(!control(&screen, next).rect().intersects(words), "{next} is under it");
    }
    // It is gone as soon as the hand goes on.
    let inch = control(&screen, "in").rect().center();
    press(&mut screen, inch);
    assert_eq!(project(&screen).units, LengthUnit::Imperial);
    assert!(screen.query_all_by_label_contains("it stays as it was").next().is_none());
}

#[test]
fn another_text_size_and_back_is_the_same_window() {
    const LOOKED_AT: [&str; 6] = [
        "Gauge, stitches",
        "Gauge, rows",
        "Stitches on the needle",
        "Shade – tint",
        "Colour name",
        "Stitch grid",
    ];
    let places = |screen: &Screen| -> Vec<(Rect, Option<String>)> {
        let place = |label| {
            let node = control(screen, label);
            (node.rect(), node.accesskit_node().value())
        };
        LOOKED_AT.into_iter().map(place).collect()
    };
    let mut screen = open_sized(Vec2::new(1280.0, 1400.0));
    let before = places(&screen);
    for _ in 0..4 {
        ask(&mut screen, Action::Command(Command::LargerText));
        // The harness keeps its points where the window keeps its pixels: a narrower one does the same.
        let zoom = f32::from(state(&screen).text_size.percent()) / 100.0;
        screen.set_size(Vec2::new(1280.0, 1400.0) / zoom);
        settle(&mut screen);
    }
    for _ in 0..6 {
        ask(&mut screen, Action::Command(Command::SmallerText));
        let zoom = f32::from(state(&screen).text_size.percent()) / 100.0;
        screen.set_size(Vec2::new(1280.0, 1400.0) / zoom);
        settle(&mut screen);
    }
    screen.key_press_modifiers(Modifiers::COMMAND, Key::Num0);
    settle(&mut screen);
    screen.set_size(Vec2::new(1280.0, 1400.0));
    settle(&mut screen);
    settle(&mut screen);
    assert_eq!(state(&screen).text_size.percent(), 100);
    assert_eq!(screen.ctx.content_rect().size(), Vec2::new(1280.0, 1400.0), "as it was");
    assert_eq!(places(&screen), before);
}

#[test]
fn the_library_shows_rows_of_motifs_and_closes_by_escape() {
    let mut screen = open_sized(USUAL);
    ask(&mut screen, Action::Command(Command::MotifLibrary));
    settle(&mut screen);
    let tiles: Vec<Rect> = screen.query_all_by_label_contains("Motif ").map(|node| node.rect()).collect();
    let mut tops: Vec<i64> =
        tiles.iter().filter(|tile| tile.height() > 60.0).map(|tile| tile.top().round() as i64).collect();
    tops.dedup();
    assert!(tops.len() >= 4, "{tops:?}");
    // Held stitches first.
    ask(&mut screen, Action::Command(Command::ChooseAll));
    ask(&mut screen, Action::Command(Command::Copy));
    ask(&mut screen, Action::Command(Command::Paste));
    screen.key_press(Key::Escape);
    settle(&mut screen);
    assert!(view(&screen).chart.floating.is_none() && view(&screen).motifs_open);
    screen.key_press(Key::Escape);
    settle(&mut screen);
    assert!(!view(&screen).motifs_open);
    assert!(view(&screen).chart.region.is_some(), "the region is for the next Escape");
}

#[test]
fn the_menu_ticks_what_is_on() {
    let mut screen = open_sized(USUAL);
    click(&mut screen, "View");
    let ticked = |screen: &Screen, label| {
        let all: Vec<_> = screen.get_all_by_label(label).collect();
        let lines = all.iter().map(NodeT::accesskit_node);
        let mut lines = lines.filter(|line| line.role() == egui::accesskit::Role::MenuItemCheckBox);
        lines.next().map(|line| line.toggled())
    };
    let on = Some(Some(egui::accesskit::Toggled::True));
    let off = Some(Some(egui::accesskit::Toggled::False));
    assert_eq!(ticked(&screen, "Numbers"), on);
    assert_eq!(ticked(&screen, "Symbols"), off);
    assert_eq!(ticked(&screen, "Findings column"), on);
    assert_eq!(ticked(&screen, "Whole chart"), None);
}

#[test]
fn a_refused_path_stays_in_its_question() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("notes.ron");
    std::fs::write(&path, "no project").unwrap();
    let mut screen = open();
    for purpose in [Purpose::Open, Purpose::ChartPicture, Purpose::Outline, Purpose::Photograph] {
        ask(&mut screen, Action::PathEntered(purpose.clone(), path.clone()));
        settle(&mut screen);
        match &view(&screen).dialog {
            Some(Dialog::Path { purpose: asked, text, refused: Some(why), .. }) => {
                assert_eq!((asked, text), (&purpose, &path.display().to_string()));
                assert!(why.contains("notes.ron"), "{why}");
                assert!(screen.query_all_by_label_contains("notes.ron").next().is_some(), "it is shown");
            }
            other => panic!("{purpose:?}: {other:?}"),
        }
        assert!(state(&screen).notices.is_empty(), "said once");
        ask(&mut screen, Action::CloseDialog);
    }
}

#[test]
fn the_menu_by_key_begins_at_its_first_line_that_can_do_something() {
    let mut screen = open_sized(USUAL);
    let focused = |screen: &Screen| {
        let mut all = screen.get_all_by(|node| node.is_focused() && node.label().is_some());
        all.find_map(|node| node.accesskit_node().label()).unwrap_or_default()
    };
    for (region, first) in [(false, "Choose this area"), (true, "Cut")] {
        if region {
            ask(&mut screen, Action::Command(Command::ChooseAll));
        }
        screen.get_by_label("Stitch grid").focus();
        settle(&mut screen);
        screen.key_press_modifiers(Modifiers::SHIFT, Key::F10);
        settle(&mut screen);
        assert!(focused(&screen).starts_with(first), "{}", focused(&screen));
        screen.key_press(Key::Escape);
        settle(&mut screen);
    }
}

#[test]
fn another_size_that_is_undone_is_seen_whole_again() {
    let mut screen = open_sized(USUAL);
    let place = |screen: &Screen| (view(screen).chart.zoom, view(screen).chart.pan);
    let before = place(&screen);
    let large = Chart::new(Grid::new(120, 90, Cell::slot(0)).unwrap());
    perform(&mut screen, Edit::Chart(Box::new(large)));
    screen.event(Event::PointerGone);
    settle(&mut screen);
    assert_ne!(place(&screen).0, before.0);
    undo(&mut screen);
    settle(&mut screen);
    assert_eq!(place(&screen), before);
}

#[test]
fn a_name_typed_for_a_motif_takes_the_place_of_the_proposed_one() {
    let mut screen = open_sized(USUAL);
    let region = huegauge::chart::Rect::new(2, 20, 8, 8);
    screen.state_mut().as_mut().unwrap().program.view.chart.region = Some(region);
    for name in ["Quovvle corner", "Quovvle edge"] {
        ask(&mut screen, Action::Command(Command::KeepAsMotif));
        settle(&mut screen);
        screen.event(Event::Text(name.to_owned()));
        settle(&mut screen);
        assert_eq!(view(&screen).dialog, Some(Dialog::KeepMotif(name.to_owned())));
        ask(&mut screen, Action::CloseDialog);
        settle(&mut screen);
    }
    // It is shown, there and in every weight, in the colours it has on the chart.
    let of = huegauge::app::weights::WeightsOf::Region(region);
    let form = huegauge::app::weights::WeightsForm::of(project(&screen), of);
    let ground = Cell::slot(project(&screen).background_slot() as u8);
    let own = project(&screen).chart.grid.copy(region).unwrap();
    let colours = form.colours(project(&screen), Cell::slot(2));
    assert!(!colours.is_empty() && colours.iter().all(|cell| *cell != ground));
    assert!(colours.iter().all(|cell| own.cells().iter().any(|own| own.same_colour(cell))), "{colours:?}");
}

#[test]
fn a_message_that_passes_lets_the_pointer_through() {
    let mut screen = open_sized(USUAL);
    let order = |screen: &Screen, part: &str| {
        let at = screen.get_by_label_contains(part).rect().center();
        screen.ctx.layer_id_at(at).map(|layer| layer.order)
    };
    ask(&mut screen, Action::Notify("Kept in the library: Quovvle corner".to_owned()));
    assert_eq!(order(&screen, "Kept in the library"), Some(egui::Order::Background));
    ask(&mut screen, Action::Complain("The library cannot be read".to_owned()));
    assert_eq!(order(&screen, "cannot be read"), Some(egui::Order::Foreground), "it wants to be dismissed");
    click(&mut screen, "Dismiss message");
    assert!(state(&screen).notices.iter().all(|notice| !notice.is_error));
}
