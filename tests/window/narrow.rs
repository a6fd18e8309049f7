//! A narrow window: the chart keeps half of it, and what lies around it is whole.

use egui::{Key, Pos2, Rect, Vec2, vec2};
use egui_kittest::kittest::{NodeT, Queryable};

use crate::screen::{Screen, click, has, open_sized, settle};

const SIZES: [Vec2; 4] =
    [vec2(1000.0, 700.0), vec2(1100.0, 720.0), vec2(1280.0, 800.0), vec2(1920.0, 1080.0)];

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
    for size in SIZES.into_iter().chain([LARGE_TEXT]) {
        let screen = open_sized(size);
        let chart = chart(&screen);
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
        places.sort_by(|a, b| a.1.left().total_cmp(&b.1.left()));
        assert!(places.len() >= 10, "{size}: {places:?}");
        for pair in places.windows(2) {
            assert!(pair[1].1.left() >= pair[0].1.right() - 12.0, "{size}: {pair:?} lie over each other");
        }
        let last = &places[places.len() - 1];
        assert!(last.1.right() <= chart.right() + 1.0, "{size}: {last:?} is cut");
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
