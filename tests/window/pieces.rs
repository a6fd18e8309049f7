//! Pieces and sizes by accessible labels alone: a template, its bands, the sizes, what does not work and
//! its mend, and the hours.

use std::sync::Arc;

use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use huegauge::app::pieces_desk::PiecesWorked;
use huegauge::knit::pieces::{ChartFit, Fabric, Length, Measure, Ways, Width};
use huegauge::project::findings::FindingKind;
use huegauge::project::{Edit, PiecePlan};

use crate::screen::{Screen, click, control, enter, has, open, perform, project, settle, state, undo};

fn plan(screen: &Screen) -> &PiecePlan {
    &project(screen).pieces
}

fn worked(screen: &Screen) -> Arc<PiecesWorked> {
    state(screen).desks.pieces.worked.newest().expect("counted out").1
}

/// Clicks the one thing whose label begins so.
fn click_on(screen: &mut Screen, beginning: &str) {
    let mut found = screen.query_all_by_label_contains(beginning).filter(|node| {
        let label = node.accesskit_node().label();
        label.is_some_and(|label| label.starts_with(beginning))
    });
    found.next().expect(beginning).click();
    drop(found);
    settle(screen);
}

/// Clicks what may lie below the end of the window.
fn click_below(screen: &mut Screen, label: &str) {
    control(screen, label).scroll_to_me();
    settle(screen);
    click(screen, label);
}

/// Chooses an entry of a list that opens.
fn choose(screen: &mut Screen, list: &str, entry: &str) {
    click(screen, list);
    click(screen, entry);
}

/// The demo in sizes that know no head.
fn open_without_heads() -> Screen {
    let mut screen = open();
    let mut plan = plan(&screen).clone();
    plan.sizes.iter_mut().for_each(|size| size.body.set(Measure::Head, None));
    perform(&mut screen, Edit::Pieces(Box::new(plan)));
    screen
}

fn hat() -> Screen {
    let mut screen = open_without_heads();
    click(&mut screen, "Pieces");
    click(&mut screen, "Start from a template…");
    click(&mut screen, "Template: Hat");
    click(&mut screen, "Replace the pieces");
    screen
}

fn chart_of_the_hat(screen: &Screen) -> ChartFit {
    worked(screen).piece(0).unwrap().as_ref().unwrap().bands[1].chart.unwrap()
}

#[test]
fn from_a_template_to_bands_and_sizes_and_back() {
    let before = plan(&open_without_heads()).clone();
    let mut screen = hat();
    let names: Vec<&str> = plan(&screen).sizes.iter().map(|size| size.name.as_str()).collect();
    assert_eq!(names, ["Child", "Woman", "Man"], "sizes without a head measurement make room for heads");
    assert_eq!(plan(&screen).pieces.len(), 1);
    assert!(has(&screen, "Piece Hat: "));

    // 22.25 in of head (published), 7.5 % smaller, at 28 stitches in 10 cm: 146.4 wanted. Six repeats of 24
    // stitches stand on 144, and the brim with them.
    let stitches = |screen: &Screen| {
        let piece = worked(screen).piece(0).unwrap().as_ref().unwrap().clone();
        (piece.bands[0].start.stitches, piece.bands[1].start.stitches)
    };
    assert_eq!(stitches(&screen), (144, 144));
    assert!(chart_of_the_hat(&screen).divides());
    // 42 % of the head are 23.7 cm; brim, chart and crown take 13, 49 and 26 rows at 33 in 10 cm.
    assert!(has(&screen, "The bands come to 26.7 cm, 2.9 cm more than the length of the piece"));
    choose(&mut screen, "Size", "Child");
    assert_eq!(stitches(&screen), (128, 120), "19.75 in: 129.9 wanted");

    click_on(&mut screen, "Band Brim: ");
    choose(&mut screen, "Band fabric", "Plain");
    assert_eq!(plan(&screen).pieces[0].bands[0].fabric, Fabric::Plain);
    click(&mut screen, "Add a band");
    assert_eq!(plan(&screen).pieces[0].bands.len(), 5);
    assert!(has(&screen, "Band Band 5: "));
    for _ in 0..4 {
        undo(&mut screen);
    }
    assert_eq!(*plan(&screen), before, "every step is taken back, the template too");
}

#[test]
fn a_count_that_breaks_the_repeat_says_so_and_the_nearest_is_one_click_away() {
    let mut screen = hat();
    click_on(&mut screen, "Band Chart: ");
    choose(&mut screen, "Band start", "Stitches");
    enter(&mut screen, "Band start, stitches", "130");
    assert!(!chart_of_the_hat(&screen).divides());
    assert!(has(&screen, "The repeat of 24 stitches goes 5 times across with 10 stitches over."));
    click(&mut screen, "Take 120 stitches");
    assert_eq!(plan(&screen).pieces[0].bands[1].start, Width::Stitches(120));
    assert!(chart_of_the_hat(&screen).divides());
    undo(&mut screen);
    assert_eq!(plan(&screen).pieces[0].bands[1].start, Width::Stitches(130));
}

#[test]
fn a_count_taken_at_a_chart_becomes_the_sizes_own() {
    let mut screen = open();
    click(&mut screen, "Pieces");
    click_on(&mut screen, "Piece Yoke: ");
    click_on(&mut screen, "Band Flowers: ");
    // 12 repeats of 24 are worked in the chosen size, M; 13 would be 312.
    click_below(&mut screen, "Take 312 stitches");
    let own = |screen: &Screen| plan(screen).pieces[2].bands[2].own_figures("M").unwrap().stitches;
    assert_eq!(own(&screen), Some(312));
    let flowers =
        |screen: &Screen| worked(screen).piece(2).unwrap().as_ref().unwrap().bands[2].start.stitches;
    assert_eq!(flowers(&screen), 312);
    undo(&mut screen);
    assert_eq!((own(&screen), flowers(&screen)), (Some(288), 288));
}

#[test]
fn the_yoke_is_solved_in_all_sizes_with_a_count_held_and_taken_over_in_one_step() {
    let mut screen = open();
    click(&mut screen, "Pieces");
    click_on(&mut screen, "Piece Yoke: ");
    click(&mut screen, "Whole piece");
    click_below(&mut screen, "Solve the bands");
    assert!(has(&screen, "No choice that is tried costs less."));
    // The demo's own figures are the solution: 12 repeats of 24 in the worked size, M. One more is held.
    click_below(&mut screen, "Hold Flowers");
    control(&screen, "Stitches of Flowers").scroll_to_me();
    settle(&mut screen);
    enter(&mut screen, "Stitches of Flowers", "312");
    let before = plan(&screen).pieces[2].bands.clone();
    click_below(&mut screen, "Use these figures");
    let after = |screen: &Screen| plan(screen).pieces[2].bands.clone();
    assert_eq!(after(&screen)[2].own_figures("M").unwrap().stitches, Some(312));
    assert_ne!(after(&screen), before);
    undo(&mut screen);
    assert_eq!(after(&screen), before);
}

#[test]
fn rounds_and_repeats_are_held_in_the_project_while_the_rest_is_solved() {
    let mut screen = open();
    click(&mut screen, "Pieces");
    click_on(&mut screen, "Piece Yoke: ");
    click(&mut screen, "Whole piece");
    click_below(&mut screen, "Solve the bands");
    let held = |screen: &Screen, band: usize| plan(screen).pieces[2].bands[band].held.clone();
    click_below(&mut screen, "Hold rounds of Joining rounds");
    let rows = held(&screen, 0)[0].rows.unwrap();
    control(&screen, "Rounds of Joining rounds").scroll_to_me();
    settle(&mut screen);
    enter(&mut screen, "Rounds of Joining rounds", &(rows + 1).to_string());
    click_below(&mut screen, "Hold repeats of Flowers");
    assert_eq!((held(&screen, 0)[0].rows, held(&screen, 2)[0].repeats), (Some(rows + 1), Some(12)));
    assert_eq!((held(&screen, 0)[0].size.as_str(), held(&screen, 0)[0].stitches), ("M", None));
    assert!(has(&screen, "No choice that is tried costs less."));
    click_below(&mut screen, "Use these figures");
    let own = |screen: &Screen, band: usize| plan(screen).pieces[2].bands[band].own_figures("M").cloned();
    assert_eq!(own(&screen, 0).unwrap().rows, Some(rows + 1));
    assert_eq!(own(&screen, 2).unwrap().stitches, Some(288));
    undo(&mut screen);
    undo(&mut screen);
    assert_eq!(held(&screen, 2), [], "one tick, one step");
    undo(&mut screen);
    assert_eq!(held(&screen, 0)[0].rows, Some(rows));
    undo(&mut screen);
    assert_eq!(held(&screen, 0), []);
}

#[test]
fn what_passes_an_opening_is_said() {
    let mut screen = open();
    click(&mut screen, "Pieces");
    click_on(&mut screen, "Piece Yoke: ");
    click(&mut screen, "Whole piece");
    assert!(has(&screen, "Size M: Passes the head: the neck, 42.9 cm"));
    click_on(&mut screen, "Piece 2 × Sleeve");
    assert!(has(&screen, "Size M: Passes the hand"));
    click(&mut screen, "Sizes");
    assert!(has(&screen, "  head must pass: "));
}

#[test]
fn an_impossible_band_says_why_and_keeps_only_those_that_need_it() {
    let mut screen = open();
    click(&mut screen, "Pieces");
    click_on(&mut screen, "Piece Body: ");
    click(&mut screen, "Whole piece");
    choose(&mut screen, "Piece length", "As its bands come to");
    assert!(has(&screen, "Band To the underarm: Piece 'Body', band 'To the underarm' takes what is left"));
    assert!(has(&screen, "Piece Body: Piece 'Body', band 'To the underarm'"));
    assert!(worked(&screen).piece(1).unwrap().is_ok(), "the sleeves need nothing of the body");
    click_on(&mut screen, "Piece Yoke: ");
    assert!(has(&screen, "joins the live stitches of piece 'Body', which cannot be worked yet"));

    // The mend it names: a length for the piece, or for the band.
    click_on(&mut screen, "Piece Body: ");
    click_on(&mut screen, "Band To the underarm: ");
    choose(&mut screen, "Band length", "Rows");
    assert!(matches!(plan(&screen).pieces[0].bands[1].length, Length::Rows(_)));
    assert!((0..3).all(|place| worked(&screen).piece(place).unwrap().is_ok()));
}

#[test]
fn a_measurement_that_is_not_known_is_asked_for_where_it_is_missing() {
    let mut screen = hat();
    click(&mut screen, "Sizes");
    click_on(&mut screen, "Size Woman: ");
    click(&mut screen, "Clear head");
    assert!(has(&screen, "follows the head measurement, which size 'Woman' does not have"));
    click(&mut screen, "Add head");
    enter(&mut screen, "Head", "56");
    assert!(has(&screen, "Head: 50.2 cm, 56.0 cm, 59.1 cm"), "all sizes side by side");
    // 56 cm less 7.5 %, at 28 stitches in 10 cm: 145.04, in fours 144.
    assert!(has(&screen, "At the start, around: 128 sts, 45.7 cm, 144 sts, 51.4 cm, 152 sts, 54.3 cm"));
    click(&mut screen, "Work size Man");
    assert_eq!(plan(&screen).chosen, 2);
    click(&mut screen, "Move the size down");
    assert_eq!((plan(&screen).chosen, plan(&screen).size().name.as_str()), (1, "Man"));
}

#[test]
fn published_sizes_are_added_with_the_ease_of_their_fit() {
    let mut screen = open();
    click(&mut screen, "Pieces");
    click(&mut screen, "Sizes");
    choose(&mut screen, "Published sizes for", "Man");
    click(&mut screen, "Published size M");
    choose(&mut screen, "Fit of the published sizes", "Loose-fitting");
    click(&mut screen, "Add 1 size");
    let added = plan(&screen).sizes.last().unwrap();
    // Chest 38 to 40 in; a loose fit is 4 to 6 in, of which the program takes 5.
    assert!((added.body.known().next().unwrap().1 - 39.0 * 2.54).abs() < 1e-9);
    assert!((added.ease_cm - 5.0 * 2.54).abs() < 1e-9);
    undo(&mut screen);
    assert_eq!(plan(&screen).sizes.len(), 3);
}

#[test]
fn hours_follow_the_pace_and_a_timed_swatch_sets_it() {
    let mut screen = open();
    click(&mut screen, "Pieces");
    let hours = |screen: &Screen| {
        let node = screen.get_by_label_contains("All pieces: ");
        let label = node.accesskit_node().label().unwrap_or_default();
        let words = if label.is_empty() { node.accesskit_node().value().unwrap() } else { label };
        words.trim_start_matches("All pieces: ").trim_end_matches(" h").parse::<f64>().expect("whole hours")
    };
    let all: Ways = worked(&screen).stitches.iter().map(|stitches| stitches.unwrap()).sum();
    assert!(all.plain > 0 && all.stranded > 0, "the yoke is stranded, the rest plain: {all:?}");
    let at = |pace: f64, share: f64| (all.plain as f64 + all.stranded as f64 / share) / pace / 60.0;
    assert!((hours(&screen) - at(20.0, 0.65)).abs() <= 0.5);
    enter(&mut screen, "Pace", "40");
    assert!((hours(&screen) - at(40.0, 0.65)).abs() <= 0.5);
    enter(&mut screen, "Pace, stranded", "50");
    assert!((hours(&screen) - at(40.0, 0.5)).abs() <= 0.5);
    undo(&mut screen);
    assert!((hours(&screen) - at(40.0, 0.65)).abs() <= 0.5);
    click(&mut screen, "A swatch took me…");
    enter(&mut screen, "Timed stitches", "30");
    enter(&mut screen, "Timed rows", "40");
    enter(&mut screen, "Minutes for the swatch", "48");
    click(&mut screen, "Use this pace");
    assert!((plan(&screen).pace.per_minute() - 25.0).abs() < 1e-9, "1200 stitches in 48 minutes");
    undo(&mut screen);
    assert!((plan(&screen).pace.per_minute() - 40.0).abs() < 1e-9);
}

#[test]
fn pieces_are_added_moved_and_removed() {
    let mut screen = open();
    click(&mut screen, "Pieces");
    click(&mut screen, "Add a piece");
    assert_eq!(plan(&screen).pieces[3].name, "Piece 4");
    click(&mut screen, "Whole piece");
    control(&screen, "Piece name").focus();
    settle(&mut screen);
    screen.key_press_modifiers(Modifiers::COMMAND, Key::A);
    control(&screen, "Piece name").type_text("Pocket");
    settle(&mut screen);
    screen.key_press(Key::Enter);
    settle(&mut screen);
    assert_eq!(plan(&screen).pieces[3].name, "Pocket");
    click(&mut screen, "Move the piece up");
    assert_eq!(plan(&screen).pieces[2].name, "Pocket");
    click(&mut screen, "Remove the piece");
    assert_eq!(plan(&screen).pieces.len(), 3);
    assert!(!has(&screen, "Piece Pocket"));
}

#[test]
fn a_body_is_cut_open_and_a_steek_too_many_says_why() {
    let mut screen = open();
    click(&mut screen, "Pieces");
    click(&mut screen, "Start from a template…");
    click_below(&mut screen, "Template: Drop shoulder, cut open");
    click(&mut screen, "Replace the pieces");
    let body = worked(&screen).piece(0).unwrap().as_ref().unwrap().clone();
    let steeks = body.bands[3].steeks.clone().unwrap();
    let names: Vec<&str> = steeks.gaps().iter().map(|(name, _)| name.as_str()).collect();
    assert_eq!(names, ["left armhole", "front neck", "right armhole"]);
    let findings = &state(&screen).figures().unwrap().findings;
    assert!(findings.iter().all(|found| found.kind != FindingKind::OpenStitches), "every stitch is closed");
    // 11 repeats of 24 sts around in size S: a quarter of them ends beside the middle of the motif.
    let message = &findings.iter().find(|found| found.kind == FindingKind::OffCentre).unwrap().message;
    let told = ["Size S: Body: the middle of the front neck lies", "10 (240 sts) or 12 (288 sts)"];
    assert!(told.iter().all(|words| message.contains(words)), "{message}");
    click_on(&mut screen, "Band Body: ");
    click_below(&mut screen, "Begin a steek");
    assert!(has(&screen, "another steek of the piece has this name: give it another"));
    undo(&mut screen);
    assert!(!has(&screen, "another steek"));
    assert!(worked(&screen).piece(0).unwrap().is_ok());
}
