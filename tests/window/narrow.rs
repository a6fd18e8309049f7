//! A narrow window: the chart keeps half of it, and what lies around it is whole.

use egui::{Key, Pos2, Rect, Vec2, vec2};
use egui_kittest::kittest::{NodeT, Queryable};

use crate::screen::{Screen, click, has, open_sized, settle};

const SIZES: [Vec2; 4] =
    [vec2(1000.0, 700.0), vec2(1100.0, 720.0), vec2(1280.0, 800.0), vec2(1920.0, 1080.0)];

/// 1280 x 800 with text at 150, 160, 180 and 200 %.
const LARGER_TEXTS: [Vec2; 4] =
    [vec2(853.0, 533.0), vec2(800.0, 500.0), vec2(711.0, 444.0), vec2(640.0, 400.0)];
/// 1280 x 800 with text at 140 %.
const LARGE_TEXT: Vec2 = vec2(914.0, 571.0);

fn chart(screen: &Screen) -> Rect {
    screen.get_by_label("Stitch grid").rect()
}

fn keeps_half(screen: &Screen, size: Vec2, when: &str) {
    let chart = chart(screen);
    assert!(Rect::from_min_size(Pos2::ZERO, size).contains_rect(chart), "{when} at {size}: {chart}");
    assert!(chart.width() >= size.x / 2.0, "{when} at {size}: {chart}");
    assert!(chart.height() >= size.y * 0.75, "{when} at {size}: {chart}");
}

#[test]
fn the_chart_keeps_half_and_one_column_folds_by_itself() {
    for size in SIZES {
        let mut screen = open_sized(size);
        keeps_half(&screen, size, "at the start");
        let narrow = size.x < 1200.0;
        assert_eq!(has(&screen, "Show Findings and yarn"), narrow, "{size}");
        assert!(!has(&screen, "Show Harmony"), "{size}");
        if narrow {
            // The other takes its turn, and nothing else changes.
            click(&mut screen, "Show Findings and yarn");
            keeps_half(&screen, size, "with the other column");
            assert!(has(&screen, "Show Harmony") && !has(&screen, "Show Findings and yarn"));
            click(&mut screen, "Show Harmony");
            keeps_half(&screen, size, "with the first again");
            click(&mut screen, "Fold Harmony");
            assert!(has(&screen, "Show Harmony") && has(&screen, "Show Findings and yarn"), "both folded");
            assert!(chart(&screen).width() > size.x * 0.8);
        }
    }
}

#[test]
fn the_row_of_tools_is_whole_above_the_chart() {
    use egui::accesskit::Role;
    for size in SIZES.into_iter().chain([LARGE_TEXT]).chain(LARGER_TEXTS) {
        let screen = open_sized(size);
        let chart = chart(&screen);
        assert!(Rect::from_min_size(Pos2::ZERO, size).contains_rect(chart), "at {size}: {chart}");
        let row = screen.query_all_by(|node| {
            let bounds = node.bounding_box();
            matches!(node.role(), Role::Button | Role::RadioButton | Role::CheckBox | Role::ComboBox)
                && bounds.is_some_and(|b| {
                    let middle = (b.x0 + b.x1) as f32 / 2.0;
                    chart.x_range().contains(middle) && (b.y1 as f32) <= chart.top() + 1.0 && b.y0 > 38.0
                })
        });
        let mut places: Vec<(String, Rect)> =
            row.map(|node| (node.accesskit_node().label().unwrap_or_default(), node.rect())).collect();
        // The colours scroll in a strip of their own.
        places.retain(|(name, _)| !name.starts_with("Paint "));
        assert!(places.len() >= 13, "{size}: {places:?}");
        for (number, (one, at)) in places.iter().enumerate() {
            for (other, beside) in &places[number + 1..] {
                assert!(!at.shrink(1.0).intersects(*beside), "{size}: {one} lies over {other}");
            }
            assert!(at.left() >= chart.left() && at.right() <= chart.right(), "{size}: {one} is cut, {at}");
        }
        // What is in hand stands before the colours it is taken from.
        let (pair, colour) = (
            screen.get_by_label_contains("Left button").rect(),
            screen.get_by_label_contains("Paint A").rect(),
        );
        assert!(
            (pair.center().y - colour.center().y).abs() < 8.0 && pair.right() <= colour.left(),
            "{size}: {pair}"
        );
    }
}

#[test]
fn the_keys_of_the_columns_show_and_fold_them_where_there_is_room_for_one() {
    let mut screen = open_sized(vec2(1000.0, 700.0));
    let shown = |screen: &Screen| [has(screen, "Fold Harmony"), has(screen, "Fold Findings and yarn")];
    assert_eq!(shown(&screen), [true, false]);
    let (harmony, findings) = (Key::F2, Key::F3);
    for (key, then) in [
        (findings, [false, true]),
        (harmony, [true, false]),
        (harmony, [false, false]),
        (findings, [false, true]),
        (harmony, [true, false]),
        (findings, [false, true]),
        (findings, [false, false]),
        (harmony, [true, false]),
    ] {
        screen.key_press(key);
        settle(&mut screen);
        assert_eq!(shown(&screen), then, "{key:?}");
    }
}

#[test]
fn with_large_text_what_a_colour_costs_is_in_sight() {
    use huegauge::app::view::Workspace;
    use huegauge::app::{Action, Command};
    let mut screen = open_sized(LARGE_TEXT);
    crate::screen::ask(&mut screen, Action::Command(Command::Go(Workspace::Shopping)));
    let to_the_side = screen.get_by_label("Try a change").rect().left();
    let cost = screen.get_all_by_label("Cost").map(|node| node.rect()).next().unwrap();
    assert!(cost.right() < to_the_side, "{cost} under {to_the_side}");
}

#[test]
fn a_menu_higher_than_the_window_is_scrolled_to_its_last_line() {
    use egui::{Event, Modifiers, MouseWheelSource, MouseWheelUnit, TouchPhase};
    let mut screen = open_sized(LARGE_TEXT);
    click(&mut screen, "Chart");
    let of = |screen: &Screen, label: &str| screen.get_by_label_contains(label).rect();
    assert!(of(&screen, "Insert row above").top() > 0.0);
    screen.hover_at(of(&screen, "Chart size").center());
    for _ in 0..10 {
        let delta = vec2(0.0, -100.0);
        let (unit, phase, modifiers) = (MouseWheelUnit::Point, TouchPhase::Move, Modifiers::NONE);
        let source = MouseWheelSource::Unknown;
        screen.event(Event::MouseWheel { unit, delta, phase, modifiers, source });
        settle(&mut screen);
    }
    let last = of(&screen, "Colourways…");
    assert!(last.bottom() < LARGE_TEXT.y, "{last}");
}

#[test]
fn every_scheme_leaves_the_column_its_width_and_is_read_whole() {
    use egui::accesskit::Role;
    use huegauge::colour::Scheme;
    use huegauge::project::Edit;
    for size in [SIZES[0], vec2(1200.0, 800.0), SIZES[2]] {
        let mut screen = open_sized(size);
        for scheme in Scheme::ALL {
            let mut palette = crate::screen::project(&screen).palette.clone();
            palette.scheme = Some(scheme);
            crate::screen::perform(&mut screen, Edit::Palette(Box::new(palette)));
            let (chart, name) = (chart(&screen), scheme.name());
            let column = chart.left() - 10.0;
            let controls = screen.query_all_by(|node| {
                use Role::{Button, CheckBox, ComboBox, Slider, SpinButton, TextInput};
                matches!(node.role(), Button | CheckBox | ComboBox | Slider | SpinButton | TextInput)
            });
            let mut count = 0;
            for node in controls.filter(|node| {
                let (left, middle) = (node.rect().left(), node.rect().center().y);
                (90.0..column - 12.0).contains(&left) && (38.0..chart.bottom()).contains(&middle)
            }) {
                let label = node.accesskit_node().label();
                assert!(node.rect().right() <= column, "{size}, {name}: {label:?} {}", node.rect());
                count += 1;
            }
            assert!(count > 15, "{size}: {count}");
            let whole = screen.output().shapes.iter().any(|clipped| match &clipped.shape {
                egui::Shape::Text(text) => text.galley.text() == name && !text.galley.elided,
                _ => false,
            });
            assert!(whole, "{size}: {name} is cut");
        }
    }
}

#[test]
fn a_long_name_ends_before_the_balls() {
    use huegauge::project::Edit;
    let mut screen = open_sized(SIZES[2]);
    let mut palette = crate::screen::project(&screen).palette.clone();
    for slot in palette.slots_mut() {
        slot.name = "Middling greyish blue-green of the outer islands".to_owned();
    }
    crate::screen::perform(&mut screen, Edit::Palette(Box::new(palette)));
    let texts: Vec<(String, Rect)> = screen
        .output()
        .shapes
        .iter()
        .filter_map(|clipped| match &clipped.shape {
            egui::Shape::Text(text) => Some((text.galley.text().to_owned(), text.visual_bounding_rect())),
            _ => None,
        })
        .collect();
    let balls = texts.iter().filter(|(text, _)| text.ends_with(" to buy") || text == "1 ball");
    let mut rows = 0;
    for (figure, at) in balls {
        for (name, row) in texts.iter().filter(|(text, _)| text.contains("  Middling")) {
            assert!(!row.intersects(*at), "{name} runs into {figure}");
            rows += usize::from(row.y_range().intersects(at.y_range()));
        }
    }
    assert_eq!(rows, 4);
}
