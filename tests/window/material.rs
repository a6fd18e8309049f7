//! Fibre and swatch, by accessible labels alone: what the piece must withstand, the fibre for it,
//! and a washed swatch whose gauge the project takes over.

use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use huegauge::yarn::{Climate, PieceKind, Washing};

use crate::screen::{Screen, click, control, enter, open_before_material, project, settle, state, undo};

/// The names of the ranked entries, best first.
fn ranked(screen: &Screen) -> Vec<String> {
    let entries = screen.query_all_by_label_contains(" of 100");
    let mut named: Vec<(u32, String)> = entries
        .filter_map(|node| {
            let label = node.accesskit_node().label()?;
            let (place, rest) = label.split_once(". ")?;
            Some((place.parse().ok()?, rest.to_owned()))
        })
        .collect();
    named.sort();
    named.into_iter().map(|(_, name)| name).collect()
}

#[test]
fn mittens_for_a_gift_in_the_cold_rank_fibres_and_one_is_chosen() {
    let mut screen = open_before_material();
    assert_eq!(project(&screen).material.needs, None, "nothing is assumed before it is asked");
    click(&mut screen, "Fibre");
    click(&mut screen, "Kind of piece");
    click(&mut screen, "Mittens");
    click(&mut screen, "A gift");
    click(&mut screen, "Climate: Cold");
    let needs = project(&screen).material.needs.unwrap();
    assert_eq!((needs.piece, needs.climate, needs.gift), (PieceKind::Mittens, Climate::Cold, true));
    assert_eq!(needs.washed(), Washing::Machine, "a gift is planned for the machine");

    // Common practice, no published source: a gift wants a fibre that stands the machine.
    let order = ranked(&screen);
    assert!(order.len() > 15, "{order:?}");
    assert!(order[0].starts_with("75 % superwash wool, 25 % nylon"), "{}", order[0]);
    let place = |name: &str| order.iter().position(|entry| entry.starts_with(name)).expect(name);
    assert!(place("Superwash wool") < place("Wool:"), "{order:?}");

    let entry = screen.get_by_label_contains("75 % superwash wool, 25 % nylon: ");
    entry.click();
    settle(&mut screen);
    click(&mut screen, "Choose for this project");
    let chosen = project(&screen).material.blend.as_ref().unwrap().name();
    assert_eq!(chosen, "75 % superwash wool, 25 % nylon");
    assert!(screen.query_by_label_contains("of 100, chosen").is_some());
    undo(&mut screen);
    assert_eq!(project(&screen).material.blend, None);
    assert_eq!(project(&screen).material.needs, Some(needs), "the answers stay");
}

#[test]
fn an_own_blend_is_judged_and_a_wrong_one_is_explained() {
    let mut screen = open_before_material();
    click(&mut screen, "Fibre");
    let type_blend = |screen: &mut Screen, text: &str| {
        control(screen, "Own blend").focus();
        settle(screen);
        screen.key_press_modifiers(Modifiers::COMMAND, Key::A);
        control(screen, "Own blend").type_text(text);
        settle(screen);
        click(screen, "Judge it");
    };
    type_blend(&mut screen, "64 % wool, 36 % silk");
    assert!(ranked(&screen).iter().any(|entry| entry.starts_with("64 % wool, 36 % silk")));
    type_blend(&mut screen, "64 % wool, 30 % silk");
    assert!(screen.query_by_label_contains("6 % missing").is_some(), "the message says what is wrong");
}

#[test]
fn every_figure_of_the_table_is_named() {
    let mut screen = open_before_material();
    click(&mut screen, "Fibre");
    click(&mut screen, "Figures and sources");
    assert!(screen.query_by_label_contains("Wool, density: 1.31 g/cm³").is_some());
}

#[test]
fn a_washed_swatch_sets_the_gauge_and_undo_brings_the_old_one_back() {
    let mut screen = open_before_material();
    let planned = project(&screen).plan.gauge;
    click(&mut screen, "Swatch");
    click(&mut screen, "Add a swatch");
    enter(&mut screen, "Counted stitches", "30");
    enter(&mut screen, "Counted rows", "40");
    let button = control(&screen, "Use the gauge of swatch 1");
    assert!(button.accesskit_node().is_disabled(), "nothing is washed yet");
    click(&mut screen, "Off the needles");
    assert!(says(&screen, "not measured: its size is missing"), "a tick is no measurement");
    enter(&mut screen, "Off the needles, width", "12");
    assert!(!project(&screen).material.swatches[0].swatch.is_measured(), "a width alone is none either");
    enter(&mut screen, "Off the needles, height", "12");
    assert!(screen.query_by_label_contains("Measured off the needles only").is_some());
    click(&mut screen, "Washed and dried");
    enter(&mut screen, "Washed and dried, width", "12.5");
    enter(&mut screen, "Washed and dried, height", "12.8");
    assert!(screen.query_by_label_contains("Width grew 4.2 %, length grew 6.7 %").is_some());
    assert_eq!(project(&screen).plan.gauge, planned, "only the button changes the plan");

    click(&mut screen, "Use the gauge of swatch 1");
    let gauge = project(&screen).plan.gauge;
    assert!((gauge.stitches.get() - 24.0).abs() < 1e-9, "30 stitches in 12.5 cm are 24 in 10 cm");
    assert!((gauge.rows.get() - 31.25).abs() < 1e-9, "40 rows in 12.8 cm are 31.25 in 10 cm");
    click(&mut screen, "Design");
    let figures = state(&screen).figures().unwrap();
    assert!(!state(&screen).figures_are_stale());
    click(&mut screen, "Swatch");
    assert!(!figures.knitted.yarn.colours.is_empty());
    undo(&mut screen);
    assert_eq!(project(&screen).plan.gauge, planned);
    assert_eq!(project(&screen).material.swatches.len(), 1, "the swatch stays");
}

#[test]
fn swatches_stand_side_by_side_and_say_how_they_were_washed() {
    let mut screen = open_before_material();
    click(&mut screen, "Fibre");
    click(&mut screen, "Kind of piece");
    click(&mut screen, "Baby and child");
    click(&mut screen, "A gift");
    assert_eq!(project(&screen).material.needs.unwrap().washed(), Washing::Machine);
    click(&mut screen, "Swatch");
    for needle in ["3 mm", "3.5 mm"] {
        click(&mut screen, "Add a swatch");
        assert!(says(&screen, "needle not told, not measured"), "nobody told anything yet");
        click(&mut screen, "Swatch needle");
        screen.query_all_by_label_contains(needle).next().unwrap().click_accesskit();
        settle(&mut screen);
        for (count, figure) in [("Counted stitches", "28"), ("Counted rows", "36")] {
            enter(&mut screen, count, figure);
        }
        click(&mut screen, "Washed and dried");
        assert!(!project(&screen).material.swatches.last().unwrap().swatch.is_measured());
        enter(&mut screen, "Washed and dried, width", "10");
        enter(&mut screen, "Washed and dried, height", "10");
    }
    assert!(says(&screen, "Needles tried: "), "both are listed");
    assert!(says(&screen, "How it was washed and dried is not noted"));
    click(&mut screen, "How the swatch was washed");
    click(&mut screen, "Washed by hand");
    click(&mut screen, "How the swatch was dried");
    click(&mut screen, "Dried flat");
    click(&mut screen, "So the piece will be washed and dried");
    let care = project(&screen).material.swatches[1].swatch.care;
    assert_eq!(care.words(), "Washed by hand, dried flat");
    assert!(says(&screen, "the piece is meant for the machine"), "the needs are held against it");
    click(&mut screen, "How the swatch was washed");
    click(&mut screen, "Washed in the machine");
    assert!(!says(&screen, "the piece is meant for the machine"));
    // The first one is shown by a click on its line.
    screen.query_all_by_label_contains("Side by side: 1. ").next().unwrap().click();
    settle(&mut screen);
    assert!(says(&screen, "How it was washed and dried is not noted"));
    let kept = huegauge::file::to_string(project(&screen)).unwrap();
    assert_eq!(&huegauge::file::from_str(&kept, "kept").unwrap(), project(&screen));
    undo(&mut screen);
    assert_eq!(project(&screen).material.swatches[1].swatch.care, care);
}

#[test]
fn every_room_says_the_same_gauge_after_the_swatch_that_is_followed() {
    let mut screen = open_before_material();
    click(&mut screen, "Swatch");
    for (stitches, width) in [("30", "12"), ("30", "13")] {
        click(&mut screen, "Add a swatch");
        enter(&mut screen, "Counted stitches", stitches);
        enter(&mut screen, "Counted rows", "40");
        click(&mut screen, "Washed and dried");
        enter(&mut screen, "Washed and dried, width", width);
        enter(&mut screen, "Washed and dried, height", "12");
    }
    let hears = |screen: &mut Screen, what: &str| {
        let words = project(screen).gauge_words();
        assert!(words.contains(what), "{words}");
        for room in ["Design", "Pieces", "Swatch"] {
            click(screen, room);
            assert!(says(screen, &words), "{room} does not say: {words}");
        }
    };
    hears(&mut screen, "swatch 2, washed, gives 23.1 stitches");
    // A merely added one changes nothing; the older is followed when it is chosen, and undo takes it back.
    click(&mut screen, "Add a swatch");
    hears(&mut screen, "swatch 2, washed, gives 23.1 stitches");
    assert!(control(&screen, "Follow this swatch").accesskit_node().is_disabled());
    screen.query_all_by_label_contains("Swatch 1. ").next().unwrap().click();
    settle(&mut screen);
    click(&mut screen, "Follow this swatch");
    hears(&mut screen, "swatch 1, washed, gives 25.0 stitches");
    let kept = huegauge::file::to_string(project(&screen)).unwrap();
    assert_eq!(&huegauge::file::from_str(&kept, "kept").unwrap(), project(&screen));
    undo(&mut screen);
    assert_eq!(project(&screen).material.follows, None);
    // Planning with a swatch follows it, in one step; the step to the next thing takes the followed one's, and says so.
    assert!(says(&screen, "Use the gauge of swatch 2"));
    click(&mut screen, "Use the gauge of swatch 1");
    hears(&mut screen, "the gauge of swatch 1, washed");
    assert_eq!(project(&screen).material.follows, Some(0));
    undo(&mut screen);
    assert_eq!(project(&screen).material.follows, None);
}

fn says(screen: &Screen, text: &str) -> bool {
    screen.query_all_by_label_contains(text).next().is_some()
}

#[test]
fn keys_of_the_chart_rest_while_the_chart_is_out_of_sight() {
    let mut screen = open_before_material();
    screen.key_press_modifiers(Modifiers::COMMAND, Key::A);
    settle(&mut screen);
    click(&mut screen, "Swatch");
    let before = project(&screen).chart.clone();
    screen.key_press(Key::Delete);
    settle(&mut screen);
    assert_eq!(project(&screen).chart, before);
    click(&mut screen, "Design");
    screen.get_by_label("Stitch grid").focus();
    settle(&mut screen);
    screen.key_press(Key::Delete);
    settle(&mut screen);
    assert_ne!(project(&screen).chart, before, "in sight, the same key clears the region");
}
