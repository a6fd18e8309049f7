//! Work that a window left behind is offered with both versions; what is refused never returns.

use std::path::Path;
use std::time::Instant;

use egui::Vec2;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable;
use huegauge::app::Program;
use huegauge::app::dialog::Dialog;
use huegauge::app::home::Home;
use huegauge::app::jobs::Jobs;
use huegauge::app::purpose::Purpose;
use huegauge::app::update::{keep_now, look_at_file, offer, tick, update};
use huegauge::app::{Action, Command};
use huegauge::chart::{Cell, Point};
use huegauge::file::{self, demos};
use huegauge::project::{CellPatch, Edit, Project};
use huegauge::ui::Window;

use crate::screen::{Screen, click, has, project, settle, state, undo, view};

/// A window that keeps its unsaved work in `dir` and was offered what lies there.
fn open_in(dir: &Path) -> Screen {
    let dir = dir.to_owned();
    let mut screen =
        Harness::builder().with_size(Vec2::new(1280.0, 800.0)).with_max_steps(60).build_ui_state(
            move |ui, window: &mut Option<Window>| {
                let window = window.get_or_insert_with(|| {
                    let home = Home::at(dir.clone());
                    let found = home.left_behind();
                    let mut program = Program::new(Project::default(), home, Jobs::inline());
                    program.state.system_picker = false;
                    offer(&mut program, found);
                    Window::new(ui.ctx(), program)
                });
                window.collect();
                tick(&mut window.program, Instant::now());
                window.show(ui);
            },
            None,
        );
    screen.run_ok();
    screen
}

/// A person saves a project, changes three stitches and its title, and the window is killed.
fn leave_behind(dir: &Path) -> Project {
    let mut program = Program::new(demos()[0].project().unwrap(), Home::at(dir.to_owned()), Jobs::inline());
    program.state.system_picker = false;
    let path = dir.join("Saved one.ron");
    update(&mut program, Action::PathEntered(Purpose::Save(None), path));
    huegauge::app::update::collect(&mut program);
    let grid = program.state.project().chart.grid.clone();
    let other = |at| Cell::slot(u8::from(grid.get(at) == Some(Cell::slot(0))));
    for at in [Point::new(3, 4), Point::new(5, 4), Point::new(7, 9)] {
        let painted = CellPatch::painting(&grid, [at], other(at)).unwrap();
        update(&mut program, Action::edit("Draw", Edit::Cells(painted)));
    }
    let about =
        Edit::About { title: "Lantern steps".to_owned(), designer: String::new(), notes: String::new() };
    update(&mut program, Action::edit("Title", about));
    keep_now(&mut program);
    assert!(program.state.document.is_unsaved());
    let project = program.state.project().clone();
    update(&mut program, Action::Command(Command::About));
    project
}

#[test]
fn an_offer_names_the_work_and_shows_both_versions() {
    let dir = tempfile::tempdir().unwrap();
    let left = leave_behind(dir.path());
    let mut screen = open_in(dir.path());
    for part in [
        "A copy of “Lantern steps” as it was less than a minute ago (",
        " is here. 4 changes were not saved.",
        "The copy, less than a minute ago (",
        "Later offers it again at the next start",
        "The file, saved less than a minute ago",
        "They differ in 3 stitches of the chart, the title",
        "Saved one.ron",
    ] {
        assert!(has(&screen, part), "{part}");
    }
    click(&mut screen, "Take it up");
    assert!(*project(&screen) == left && state(&screen).document.is_unsaved());
    undo(&mut screen);
    assert_ne!(project(&screen).title, "Lantern steps", "its steps can be undone");
    let saved = file::load(&dir.path().join("Saved one.ron")).unwrap();
    assert!(saved == demos()[0].project().unwrap(), "the file stays as it is");
    screen.key_press_modifiers(egui::Modifiers::COMMAND, egui::Key::S);
    settle(&mut screen);
    let Some(Dialog::Path { text, .. }) = &view(&screen).dialog else { panic!("it asks where to") };
    assert_eq!(Path::new(text), dir.path().join("Saved one.ron"), "its own file is proposed");
}

#[test]
fn what_is_refused_never_returns_and_what_is_put_off_does() {
    let dir = tempfile::tempdir().unwrap();
    leave_behind(dir.path());
    let mut screen = open_in(dir.path());
    screen.key_press(egui::Key::Escape);
    settle(&mut screen);
    assert!(view(&screen).dialog.is_none());
    drop(screen);
    let mut screen = open_in(dir.path());
    assert!(matches!(view(&screen).dialog, Some(Dialog::Recovered(_))), "Escape is no answer");
    click(&mut screen, "Later");
    assert!(view(&screen).dialog.is_none());
    drop(screen);
    let mut screen = open_in(dir.path());
    click(&mut screen, "Drop it");
    assert!(view(&screen).dialog.is_none());
    drop(screen);
    assert!(view(&open_in(dir.path())).dialog.is_none());
}

#[test]
fn no_offer_is_older_than_its_file_and_a_spoilt_copy_says_so() {
    let dir = tempfile::tempdir().unwrap();
    leave_behind(dir.path());
    let copy = Home::at(dir.path().to_owned()).left_behind()[0].copy.clone();
    let text = std::fs::read_to_string(&copy).unwrap();
    std::fs::write(&copy, &text[..text.len() / 2]).unwrap();
    let screen = open_in(dir.path());
    let Some(Dialog::Recovered(found)) = &view(&screen).dialog else { panic!("it is offered all the same") };
    assert!(found.kept.is_err() && found.saved.is_ok());
    assert!(screen.query_by_label("Take it up").is_none() && has(&screen, "Later leaves it there"));
    drop(screen);

    std::fs::write(&copy, text).unwrap();
    let later = std::time::SystemTime::now() + std::time::Duration::from_mins(1);
    let file = std::fs::File::options().append(true).open(dir.path().join("Saved one.ron")).unwrap();
    file.set_modified(later).unwrap();
    assert!(view(&open_in(dir.path())).dialog.is_none(), "the file was saved since");
}

#[test]
fn a_file_changed_from_outside_is_marked_beside_the_title_and_not_after_saving() {
    let dir = tempfile::tempdir().unwrap();
    let mut screen = open_in(dir.path());
    let path = dir.path().join("Saved one.ron");
    crate::screen::ask(&mut screen, Action::PathEntered(Purpose::Save(None), path.clone()));
    let looked = |screen: &mut Screen| {
        look_at_file(state(screen));
        settle(screen);
        has(screen, "(file changed by another program)")
    };
    assert!(!looked(&mut screen), "only this window wrote it");
    let theirs = std::fs::read_to_string(&path).unwrap().replace("Untitled", "Theirs");
    std::fs::write(&path, theirs + "\n// theirs\n").unwrap();
    assert!(looked(&mut screen));
    crate::screen::ask(&mut screen, Action::SaveOver(path.clone(), None));
    assert!(!has(&screen, "(file changed by another program)"));
    assert!(!looked(&mut screen));
}
