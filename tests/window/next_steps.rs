//! From the first question on: a new project, the marks on the rail, and the line that leads on.

use egui_kittest::kittest::Queryable;
use huegauge::app::Action;
use huegauge::app::Command;
use huegauge::app::progress::{Progress, Standing};
use huegauge::app::view::Workspace;
use huegauge::yarn::PieceKind;

use crate::screen::{
    ask, click, has, open, open_before_material, open_sized, perform, project, settle, state, undo, view,
    write,
};

/// A new project for a child, as a gift.
fn begin() -> crate::screen::Screen {
    let mut screen = open();
    ask(&mut screen, Action::Command(Command::New));
    click(&mut screen, "What for");
    click(&mut screen, "Baby and child");
    click(&mut screen, "It is a gift");
    click(&mut screen, "Fibre of the project");
    click(&mut screen, "Superwash wool");
    write(&mut screen, "Title", "For Mo");
    screen
}

#[test]
fn a_new_project_begins_with_what_it_is_for_and_opens_clean() {
    let screen = begin();
    let now = project(&screen);
    let needs = now.material.needs.unwrap();
    assert_eq!((needs.piece, needs.gift), (PieceKind::BabyAndChild, true));
    assert_eq!(now.material.blend.as_ref().unwrap().name(), "Superwash wool");
    let names: Vec<&str> = now.pieces.sizes.iter().map(|size| size.name.as_str()).collect();
    assert_eq!(names, ["4", "6", "8"]);
    assert!(!now.pieces.pieces.is_empty());
    assert!(!state(&screen).document.is_unsaved());
}

/// The button a page is for is seen whole in a window of the usual size, and says that it was done.
#[test]
fn the_step_a_page_is_for_is_in_view_and_can_be_taken_back() {
    use egui::Vec2;
    let size = Vec2::new(1280.0, 800.0);
    let mut screen = open_sized(size);
    let seen = |screen: &crate::screen::Screen, label: &str| {
        let rect = screen.get_by_label(label).rect();
        assert!(egui::Rect::from_min_size(egui::Pos2::ZERO, size).contains_rect(rect), "{label}: {rect:?}");
    };
    click(&mut screen, "Shopping");
    settle(&mut screen);
    seen(&screen, "Save the shopping card…");
    click(&mut screen, "Yarn");
    click(&mut screen, "Sets of shades");
    click(&mut screen, "Best sets");
    settle(&mut screen);
    settle(&mut screen);
    seen(&screen, "Knit the chart in these");
    let before = project(&screen).clone();
    click(&mut screen, "Knit the chart in these");
    assert_ne!(project(&screen), &before);
    assert!(has(&screen, "Every colour is knitted in its shade"));
    click(&mut screen, "Take it back");
    assert_eq!(project(&screen), &before);
    let mut plan = before.plan.clone();
    plan.gauge = huegauge::units::Gauge::new(20.0, 26.0).unwrap();
    perform(&mut screen, huegauge::project::Edit::Plan(Box::new(plan)));
    click(&mut screen, "Swatch");
    let label = "Use the gauge of swatch 1";
    let there: Vec<egui::Rect> = screen.get_all_by_label(label).map(|node| node.rect()).collect();
    assert!(there.iter().all(|rect| rect.bottom() <= size.y), "{there:?}");
    click(&mut screen, label);
    assert_ne!(project(&screen).plan.gauge.stitches.get(), 20.0);
    assert!(has(&screen, "Take it back"));
}

#[test]
fn looking_into_every_workspace_leaves_a_new_project_clean() {
    let mut screen = begin();
    for workspace in Workspace::ALL {
        click(&mut screen, workspace.name());
        assert!(!state(&screen).document.is_unsaved(), "{}", workspace.name());
    }
}

#[test]
fn the_rail_tells_how_far_each_workspace_has_come() {
    let screen = begin();
    let figures = state(&screen).figures();
    for workspace in Workspace::ALL {
        let progress = Progress::of(workspace, project(&screen), figures.as_deref());
        let told = format!("{}: {}. ", workspace.name(), progress.standing.name());
        assert_eq!(screen.query_all_by_label_contains(&told).count(), 1, "{told}");
    }
    let fibre = Progress::of(Workspace::Fibre, project(&screen), figures.as_deref());
    assert_eq!(fibre.standing, Standing::Done);
}

/// The marks on the rail, in words.
fn marks(screen: &crate::screen::Screen) -> Vec<String> {
    let mut marks: Vec<String> = Vec::new();
    for workspace in Workspace::ALL {
        for standing in ["untouched", "begun", "done", "contradicts"] {
            let told = format!("{}: {standing}. ", workspace.name());
            if screen.query_all_by_label_contains(&told).next().is_some() {
                marks.push(told);
            }
        }
    }
    marks
}

#[test]
fn the_marks_are_those_of_the_work_whatever_was_looked_at_and_after_opening_it_again() {
    let mut screen = begin();
    let begun = marks(&screen);
    assert_eq!(begun.len(), Workspace::ALL.len());
    assert!(begun.contains(&"Pieces: begun. ".to_owned()), "the chart of the pieces is empty: {begun:?}");
    for workspace in Workspace::ALL {
        click(&mut screen, workspace.name());
        assert_eq!(marks(&screen), begun, "looking is no work");
    }
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("marks.ron");
    for opened in [project(&screen).clone(), huegauge::file::demos()[0].project().unwrap()] {
        huegauge::file::save_atomic(&path, &opened).unwrap();
        let again = huegauge::file::load(&path).unwrap();
        let of = |project: &huegauge::project::Project| {
            huegauge::app::progress::Standings::of(
                project,
                Some(&huegauge::project::figures::Figures::of(project)),
            )
        };
        assert_eq!(of(&again), of(&opened));
    }
}

#[test]
fn the_line_leads_on_and_its_edit_is_told_and_taken_back() {
    let mut screen = begin();
    click(&mut screen, "Fibre");
    click(&mut screen, "On to the yarn");
    assert_eq!(view(&screen).workspace, Workspace::Yarn);
    click(&mut screen, "Describe it");
    crate::screen::enter(&mut screen, "Yarn length in 100 g", "230");
    let metres = |screen: &crate::screen::Screen| project(screen).palette.slots()[0].yarn.put_up.grist.get();
    assert!((metres(&screen) - 230.0).abs() < 1e-9, "a typed length reaches the colours");
    let mut palette = project(&screen).palette.clone();
    palette.slots_mut()[0].yarn.put_up = huegauge::yarn::PutUp::new(120.0, 50.0).unwrap();
    crate::screen::perform(&mut screen, huegauge::project::Edit::Palette(Box::new(palette)));
    click(&mut screen, "Use the yarn for every colour");
    assert!((metres(&screen) - 230.0).abs() < 1e-9);
    assert!(screen.query_by_label_contains("Yarn of every colour: done.").is_some());
    click(&mut screen, "Take it back");
    assert!((metres(&screen) - 120.0).abs() < 1e-9);
}

#[test]
fn a_childs_piece_in_grown_sizes_contradicts_until_a_childs_are_taken() {
    let mut screen = open_before_material();
    click(&mut screen, "Fibre");
    click(&mut screen, "Kind of piece");
    click(&mut screen, "Baby and child");
    assert!(screen.query_all_by_label_contains("Fibre: contradicts. ").next().is_some());
    click(&mut screen, "Take a child's sizes");
    assert!(screen.query_all_by_label_contains("Fibre: contradicts. ").next().is_none());
    undo(&mut screen);
    assert!(project(&screen).sizes_contradict_needs());
}

// Common practice, no published source: untreated wool felts in the machine.
#[test]
fn a_gift_says_why_it_goes_in_the_machine_and_a_dash_says_why() {
    let mut screen = open_before_material();
    click(&mut screen, "Fibre");
    click(&mut screen, "A gift");
    assert!(screen.query_all_by_label_contains("A gift goes in the machine").next().is_some());
    click(&mut screen, "Kind of piece");
    click(&mut screen, "Cushion and decor");
    let dashes = screen.query_all_by_label_contains("This piece does not ask for it").count();
    assert!(dashes > 0, "a cushion is not worn, so warmth has dashes");
}

#[test]
fn a_message_leaves_the_next_step_free() {
    let mut screen = open_before_material();
    click(&mut screen, "Fibre");
    click(&mut screen, "Choose for this project");
    let message = screen.get_by_label("Take it back").rect();
    for workspace in Workspace::ALL {
        click(&mut screen, workspace.name());
        let figures = state(&screen).figures();
        let step = Progress::of(workspace, project(&screen), figures.as_deref()).step;
        let Some(step) = step else { continue };
        let button = screen.query_all_by_label(&step.label).last().unwrap().rect();
        assert!(!button.intersects(message), "{}: {button} under {message}", step.label);
    }
}

#[test]
fn the_step_to_describe_the_yarn_does_so_from_anywhere() {
    for from in ["Yarn", "Shopping"] {
        let mut screen = begin();
        click(&mut screen, from);
        click(&mut screen, "Describe the yarn");
        assert_eq!(view(&screen).workspace, Workspace::Yarn);
        assert!(project(&screen).material.yarn.is_some(), "from {from}");
        undo(&mut screen);
        assert!(project(&screen).material.yarn.is_none());
    }
}

#[test]
fn a_step_to_the_page_that_is_open_has_no_button() {
    let mut screen = begin();
    click(&mut screen, "Yarn");
    click(&mut screen, "Describe the yarn");
    assert!(!has(&screen, "Put shades on a card"), "nobody typed a word of it yet");
    assert!(has(&screen, "The yarn is not described yet: "));
    crate::screen::enter(&mut screen, "Price of a ball", "5,45");
    assert!(has(&screen, "Put shades on a card"));
    click(&mut screen, "Put shades on a card");
    assert!(!has(&screen, "Put shades on a card"), "the page is open");
}

#[test]
fn a_price_is_counted_when_it_is_typed_and_not_before() {
    let mut screen = begin();
    click(&mut screen, "Fibre");
    click(&mut screen, "On to the yarn");
    click(&mut screen, "Describe it");
    let prices = |screen: &crate::screen::Screen| -> Vec<Option<f64>> {
        let slots = project(screen).palette.slots();
        slots.iter().map(|slot| slot.yarn.ball_price.map(huegauge::units::Price::get)).collect()
    };
    assert!(prices(&screen).iter().all(Option::is_none));
    assert_eq!(project(&screen).material.yarn.as_ref().unwrap().ball_price, None);
    crate::screen::enter(&mut screen, "Price of a ball", "5,45");
    assert!(prices(&screen).iter().all(|price| *price == Some(5.45)), "{:?}", prices(&screen));
    crate::screen::enter(&mut screen, "Price of a ball", "0");
    assert!(prices(&screen).iter().all(Option::is_none), "0 takes it out: {:?}", prices(&screen));
}

#[test]
fn the_gift_tag_is_offered_where_care_is_told() {
    let mut screen = begin();
    click(&mut screen, "Fibre");
    for tag in ["Gift tag (PNG)…", "Gift tag to print (PDF)…"] {
        click(&mut screen, tag);
        assert!(has(&screen, "Size for the export"), "{tag} asks for the size");
        click(&mut screen, "Cancel");
    }
    click(&mut screen, "On to the yarn");
    click(&mut screen, "Describe it");
    assert!(has(&screen, "Gift tag (PNG)…"));
    click(&mut screen, "Shopping");
    let top = |screen: &crate::screen::Screen, name: &str| screen.get_by_label(name).rect().top();
    assert!(top(&screen, "Gift tag") < top(&screen, "Pattern sheet"), "it is a gift");
}

#[test]
fn both_eases_are_told_by_name() {
    let mut screen = begin();
    click(&mut screen, "Pieces");
    click(&mut screen, "Sizes");
    for row in ["Ease planned", "Ease as worked"] {
        assert!(screen.query_all_by_label_contains(row).next().is_some(), "{row}");
    }
}

#[test]
fn what_is_to_be_done_can_be_read_whole_in_a_narrow_window() {
    let mut opened = 0;
    for width in [1000.0, 1280.0] {
        let mut screen = open_sized(egui::vec2(width, 700.0));
        // A gauge that no swatch has, for which nothing fits any more.
        let mut plan = project(&screen).plan.clone();
        plan.gauge.stitches = huegauge::units::StitchesPer10Cm::clamped(19.0);
        perform(&mut screen, huegauge::project::Edit::Plan(Box::new(plan)));
        for workspace in Workspace::ALL {
            click(&mut screen, workspace.name());
            let figures = state(&screen).figures();
            let progress = Progress::of(workspace, project(&screen), figures.as_deref());
            let whole = |screen: &crate::screen::Screen| {
                screen.output().shapes.iter().any(|clipped| match &clipped.shape {
                    egui::Shape::Text(text) => text.galley.text() == progress.words && !text.galley.elided,
                    _ => false,
                })
            };
            if let Some(step) = &progress.step {
                let button = screen.get_all_by_label(&step.label).next_back().unwrap().rect();
                assert!(screen.ctx.content_rect().contains_rect(button), "{workspace:?} at {width}");
            }
            if !whole(&screen) {
                opened += 1;
                click(&mut screen, "All of it");
                assert!(whole(&screen), "{workspace:?} at {width}: {}", progress.words);
                egui::Popup::close_all(&screen.ctx);
            }
        }
    }
    assert!(opened > 0, "some words are longer than the line");
}
