//! Charts from pictures, motifs from outlines and mended floats, by accessible labels.

use egui_kittest::kittest::Queryable;
use huegauge::app::dialog::Dialog;
use huegauge::app::purpose::Purpose;
use huegauge::app::{Action, Command};
use huegauge::chart::{Cell, Point};

use crate::screen::{ask, click, open, perform, project, settle, undo, view, wait_for};

#[test]
fn floats_are_mended_as_one_step() {
    let mut screen = open();
    let mut plan = project(&screen).plan.clone();
    plan.float_limit.stitches = 2;
    perform(&mut screen, huegauge::project::Edit::Plan(Box::new(plan)));
    let before = project(&screen).clone();
    let floats = before.long_float_count();
    assert!(floats > 0);
    ask(&mut screen, Action::Command(Command::MendFloats));
    wait_for(&mut screen, &format!("{floats} floats over 2 stitches now, 0 after"));
    click(&mut screen, "Catch the strands, leave the chart");
    wait_for(&mut screen, "The chart stays as it is");
    // Each catch has its mark, after and not before.
    let catches: usize = (0..before.chart.grid.height()).map(|y| before.catches_in_row(y).len()).sum();
    let shown = |screen: &crate::screen::Screen| {
        ["Before", "After"].map(|side| bars_in(screen, &format!("The chart, {side}")))
    };
    for _ in 0..100 {
        settle(&mut screen);
        if shown(&screen)[1] > 0 {
            break;
        }
        std::thread::sleep(std::time::Duration::from_millis(20));
    }
    assert_eq!(shown(&screen), [0, catches]);
    click(&mut screen, "Change the fewest stitches");
    wait_for(&mut screen, "0 after");
    click(&mut screen, "Change the stitches");
    assert_eq!(project(&screen).long_float_count(), 0);
    undo(&mut screen);
    assert_eq!(project(&screen), &before);
}

/// Small rectangles that are painted whole in the picture of this name.
fn bars_in(screen: &crate::screen::Screen, picture: &str) -> usize {
    let place = screen.get_by_label(picture).rect();
    let is_bar = |shape: &egui::Shape| match shape {
        egui::Shape::Rect(bar) => {
            place.contains_rect(bar.rect)
                && bar.rect.height() < 4.0
                && bar.fill != egui::Color32::TRANSPARENT
                && bar.stroke.width == 0.0
        }
        _ => false,
    };
    screen.output().shapes.iter().filter(|clipped| is_bar(&clipped.shape)).count()
}

#[test]
fn a_picture_is_put_into_the_project_as_one_step() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("stripes.png");
    image::RgbImage::from_fn(60, 60, |_, y| image::Rgb(if y < 30 { [200, 30, 40] } else { [20, 40, 120] }))
        .save(&path)
        .unwrap();
    let mut screen = open();
    let before = project(&screen).clone();
    ask(&mut screen, Action::PathEntered(Purpose::ChartPicture, path));
    wait_for(&mut screen, "on average");
    click(&mut screen, "Put in this project");
    settle(&mut screen);
    let after = project(&screen);
    // Where the stripes meet, stitches may lie between them.
    assert!((2..=3).contains(&after.palette.slots().len()));
    let colour = |y| after.chart.grid.get(Point::new(5, y)).and_then(Cell::index);
    assert_ne!(colour(0), colour(after.chart.grid.height() - 1));
    undo(&mut screen);
    assert_eq!(project(&screen), &before);
}

#[test]
fn what_is_no_picture_is_said_by_name() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("letter.txt");
    std::fs::write(&path, "Dear shed").unwrap();
    let mut screen = open();
    for purpose in [Purpose::ChartPicture, Purpose::Outline] {
        ask(&mut screen, Action::PathEntered(purpose, path.clone()));
        wait_for(&mut screen, "letter.txt");
        let asked_again = |dialog: &Dialog| matches!(dialog, Dialog::Path { refused: Some(_), .. });
        assert!(view(&screen).dialog.as_ref().is_some_and(asked_again));
        ask(&mut screen, Action::CloseDialog);
    }
}

#[test]
fn an_outline_is_held_over_the_chart_in_the_paint_colour() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("gate.svg");
    std::fs::write(
        &path,
        "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 40 40'><path d='M0 40L20 0L40 40Z'/></svg>",
    )
    .unwrap();
    let mut screen = open();
    ask(&mut screen, Action::PathEntered(Purpose::Outline, path));
    wait_for(&mut screen, "Symmetry, parts and holes are kept.");
    click(&mut screen, "Hold over the chart");
    settle(&mut screen);
    let held = view(&screen).chart.floating.as_ref().unwrap();
    assert_eq!((held.label, held.see_through), ("Stamp", Some(Cell::NO_STITCH)));
    assert!(held.patch.width() <= 25);
}

#[test]
fn the_fabric_is_seen_before_it_is_written() {
    use egui_kittest::kittest::{NodeT, Queryable};
    use huegauge::app::exports::Export;
    let seen = |screen: &crate::screen::Screen| {
        let picture = screen.get_all_by_label_contains("The fabric, ").next().unwrap();
        (picture.accesskit_node().label(), picture.rect())
    };
    let mut screen = open();
    ask(&mut screen, Action::Command(Command::Export(Export::Fabric)));
    wait_for(&mut screen, "stitches.");
    let near = seen(&screen);
    click(&mut screen, "From where");
    click(&mut screen, "Across the room");
    wait_for(&mut screen, "stitches.");
    assert_eq!(seen(&screen), near, "as many stitches, and nothing moves");
    click(&mut screen, "Choose file…");
    assert!(matches!(view(&screen).dialog, Some(Dialog::Path { .. })), "the file is asked for");
}

#[test]
fn an_outline_whose_thin_ends_fall_away_says_so() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("cross.svg");
    // A post with a wire across it that covers a tenth of a row.
    let drawing = "<path d='M15 0H25V40H15Z M0 19.9H40V20.1H0Z'/>";
    std::fs::write(
        &path,
        format!("<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 40 40'>{drawing}</svg>"),
    )
    .unwrap();
    let mut screen = open();
    ask(&mut screen, Action::PathEntered(Purpose::Outline, path));
    wait_for(&mut screen, "6 \u{d7} ");
    let told = "Points that cover less than half a stitch fall away: 18 stitches of the 24.";
    assert_eq!(screen.query_all_by_label_contains(told).count(), 1);
}
