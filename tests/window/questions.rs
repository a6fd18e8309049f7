//! Questions take the room the window gives, follow it when it changes, and keep their answers in view.

use egui::{Rect, Vec2, vec2};
use egui_kittest::kittest::Queryable;
use huegauge::app::exports::Export;
use huegauge::app::{Action, Command};

use crate::screen::{Screen, ask, control, open_sized, settle, wait_for};

const SIZES: [Vec2; 3] = [vec2(1000.0, 700.0), vec2(1280.0, 800.0), vec2(1920.0, 1080.0)];

/// What asks, and its main answer.
const QUESTIONS: [(Command, &str); 11] = [
    (Command::New, "Create"),
    (Command::Describe, "Keep"),
    (Command::ResizeChart, "Change size"),
    (Command::MendFloats, "Close"),
    (Command::AcrossWeights, "Close"),
    (Command::Colourways, "Close"),
    (Command::Export(Export::Fabric), "Choose file…"),
    (Command::Export(Export::Sheet), "Choose file…"),
    (Command::Export(Export::Chart), "Choose file…"),
    (Command::ShowKeys, "Close"),
    (Command::About, "Close"),
];

/// Everything of the question lies in the window, so the main answer does.
fn is_in_view(screen: &Screen, answer: &str, when: &str) {
    let window = screen.ctx.content_rect();
    let button = control(screen, answer).rect();
    assert!(window.shrink(8.0).contains_rect(button), "{when}: {answer} at {button} of {window}");
    let fill = screen.output().shapes.iter().find_map(|clipped| match &clipped.shape {
        egui::Shape::Rect(shape) if shape.rect == button || shape.rect.expand(1.5).contains_rect(button) => {
            (shape.rect.width() < button.width() + 4.0).then_some(shape.fill)
        }
        _ => None,
    });
    let ink = screen.ctx.global_style().visuals.text_color();
    assert_eq!(fill, Some(ink), "{when}: {answer} stands out");
}

#[test]
fn the_main_answer_stands_out_and_is_in_view_also_when_the_window_gets_smaller() {
    for size in SIZES {
        let mut screen = open_sized(size);
        for (command, answer) in QUESTIONS {
            ask(&mut screen, Action::Command(command));
            is_in_view(&screen, answer, &format!("{command:?} at {size}"));
            screen.set_size(SIZES[0]);
            // As many frames as are asked for, and no more.
            screen.run_ok();
            is_in_view(&screen, answer, &format!("{command:?} at {size} made smaller"));
            screen.set_size(size);
            ask(&mut screen, Action::CloseDialog);
        }
    }
}

/// The box of a picture.
fn place(screen: &Screen, picture: &str) -> Rect {
    screen.get_all_by_label_contains(picture).next().expect(picture).rect()
}

/// The largest thing painted in it, as a part of it.
fn filled(screen: &Screen, picture: &str) -> f32 {
    let area = place(screen, picture);
    let inside = screen.output().shapes.iter().filter_map(|clipped| {
        let rect = clipped.shape.visual_bounding_rect();
        let is_surround = rect.width() >= area.width() - 1.0 && rect.height() >= area.height() - 1.0;
        (!is_surround && area.contains_rect(rect)).then(|| rect.area())
    });
    inside.fold(0.0, f32::max) / area.area()
}

#[test]
fn pictures_fill_their_boxes_and_grow_with_the_window() {
    let mut before = [Rect::ZERO; 3];
    for size in SIZES {
        let mut screen = open_sized(size);
        let mut boxes = Vec::new();
        let pictures = [
            (Command::MendFloats, "The chart, Before", 0.9),
            (Command::AcrossWeights, "4 Medium: ", 0.0),
            (Command::Export(Export::Fabric), "The fabric", 0.0),
        ];
        for (command, picture, least) in pictures {
            ask(&mut screen, Action::Command(command));
            wait_for(&mut screen, picture);
            for _ in 0..50 {
                if filled(&screen, picture) >= least {
                    break;
                }
                std::thread::sleep(std::time::Duration::from_millis(20));
                settle(&mut screen);
            }
            assert!(filled(&screen, picture) >= least, "{picture} at {size}: {}", filled(&screen, picture));
            boxes.push(place(&screen, picture));
            ask(&mut screen, Action::CloseDialog);
        }
        for (now, before) in boxes.iter().zip(&before) {
            assert!(now.area() > 1.1 * before.area(), "at {size}: {now} after {before}");
        }
        before.copy_from_slice(&boxes);
    }
}

#[test]
fn kept_colourways_stand_in_one_row_where_there_is_room() {
    for size in &SIZES[1..] {
        let mut screen = open_sized(*size);
        ask(&mut screen, Action::Command(Command::Colourways));
        wait_for(&mut screen, "and the chart as it is now");
        let cards: Vec<Rect> =
            screen.get_all_by_label_contains("of the large ones").map(|node| node.rect()).collect();
        assert_eq!(cards.len(), 3);
        assert!(cards.iter().all(|card| card.top() == cards[0].top()), "at {size}: {cards:?}");
        // Nothing dead between them and the answer.
        let answer = control(&screen, "Close").rect();
        assert!(answer.top() - cards[0].bottom() < 150.0, "at {size}: {answer} under {}", cards[0]);
    }
}

#[test]
fn the_fields_of_a_question_end_in_one_line() {
    let dir = tempfile::tempdir().unwrap();
    let mut screen = open_sized(SIZES[1]);
    let (_, open_picture) = crate::edges::OPENED.into_iter().find(|(name, _)| *name == "Picture").unwrap();
    open_picture(&mut screen, dir.path());
    let of_picture =
        ["Width", "Width as a length", "Colours", "Colours at most", "Tidy up", "Colours in a row"];
    let ends = |screen: &Screen, labels: &[&str]| -> Vec<(String, f32)> {
        labels.iter().map(|label| ((*label).to_owned(), control(screen, label).rect().right())).collect()
    };
    let mut all = vec![ends(&screen, &of_picture)];
    ask(&mut screen, Action::CloseDialog);
    ask(&mut screen, Action::Command(Command::Export(Export::Fabric)));
    all.push(ends(&screen, &["What is shown", "From where", "Size of a knit stitch", "Size for the export"]));
    ask(&mut screen, Action::CloseDialog);
    ask(&mut screen, Action::Command(Command::New));
    all.push(ends(
        &screen,
        &["What for", "Fibre of the project", "Begin from", "Title", "Gauge, stitches", "Chart width"],
    ));
    let stripes = control(&screen, "Stripes").rect().right();
    assert!(stripes <= all[2][0].1 + 0.6, "{stripes}");
    for ends in all {
        assert!(ends.iter().all(|(_, end)| (end - ends[0].1).abs() < 0.6), "{ends:?}");
    }
}

#[test]
fn no_column_of_the_colourways_is_left_empty() {
    for (size, orders) in
        [(SIZES[1], true), (SIZES[2], true), (SIZES[0], true), (SIZES[0], false), (SIZES[1], false)]
    {
        let mut screen = open_sized(size);
        let mut palette = crate::screen::project(&screen).palette.clone();
        palette.slots_mut().iter_mut().for_each(|slot| slot.locked = false);
        crate::screen::perform(&mut screen, huegauge::project::Edit::Palette(Box::new(palette)));
        ask(&mut screen, Action::Command(Command::Colourways));
        wait_for(&mut screen, "and the chart as it is now");
        for _ in 0..if orders { 0 } else { 4 } {
            crate::screen::click(&mut screen, "Keep the shades");
        }
        if orders {
            crate::screen::click(&mut screen, "Which colourways");
            crate::screen::click(&mut screen, "Every order of the colours");
            wait_for(&mut screen, "All 24 orders");
        }
        settle(&mut screen);
        let cards: Vec<Rect> =
            screen.get_all_by_label_contains("of the large ones").map(|node| node.rect()).collect();
        let left = cards.iter().map(Rect::left).fold(f32::INFINITY, f32::min);
        let right = cards.iter().map(Rect::right).fold(0.0, f32::max);
        // The question stands in the middle of the window, with an edge of 20 points.
        let end = size.x - left;
        assert!(end - right < 40.0, "{size}, orders {orders}: {right} of {end}, {}", cards[0]);
    }
}
