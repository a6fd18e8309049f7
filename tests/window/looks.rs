//! Motifs, weights and colourways looked at, by accessible labels.

use huegauge::app::{Action, Command};
use huegauge::chart::{Cell, Point, Rect};

use crate::screen::{
    Screen, ask, click, has, open, press, project, settle, state, undo, view, wait_for, write,
};

/// Opens the library and searches it.
fn look_for_heart(screen: &mut Screen) {
    ask(screen, Action::Command(Command::MotifLibrary));
    wait_for(screen, "Hold over the chart");
    write(screen, "Search the motifs", "heart");
    wait_for(screen, "Motif Heart");
}

#[test]
fn a_motif_is_looked_for_and_stamped_as_one_step() {
    let mut screen = open();
    let before = project(&screen).clone();
    look_for_heart(&mut screen);
    assert!(!has(&screen, "Motif Anchor"));
    click(&mut screen, "Motif Heart");
    wait_for(&mut screen, "Longest float");
    click(&mut screen, "Hold over the chart");
    assert!(view(&screen).chart.floating.is_some());
    ask(&mut screen, Action::Command(Command::SetDown));
    assert_ne!(project(&screen).chart, before.chart);
    let history = state(&screen).document.history();
    assert_eq!(history.undo_label(), Some("Stamp motif"));
    undo(&mut screen);
    assert_eq!(project(&screen), &before);
}

#[test]
fn a_motif_held_over_the_chart_follows_the_pointer_and_is_set_down_by_a_click() {
    use egui_kittest::kittest::Queryable;
    let mut screen = open();
    let before = project(&screen).clone();
    look_for_heart(&mut screen);
    click(&mut screen, "Motif Heart");
    click(&mut screen, "Hold over the chart");
    ask(&mut screen, Action::Command(Command::MotifLibrary));
    let chart = screen.get_all_by_label("Stitch grid").next_back().unwrap().rect();
    let held = |screen: &Screen| view(screen).chart.floating.as_ref().map(|held| held.at);
    let mut places = Vec::new();
    for part in [0.45, 0.55] {
        screen.hover_at(chart.lerp_inside(egui::vec2(part, part)));
        settle(&mut screen);
        places.push(held(&screen).expect("it is held"));
    }
    assert!(places[0].0 < places[1].0 && places[0].1 > places[1].1, "{places:?}");
    let at = chart.lerp_inside(egui::vec2(0.55, 0.55));
    press(&mut screen, at);
    assert_eq!(held(&screen), None, "it is set down");
    assert_ne!(project(&screen).chart, before.chart);
    let region = view(&screen).chart.region.expect("where it was set down");
    assert_eq!((i64::from(region.x), i64::from(region.y)), places[1]);
    assert_eq!(state(&screen).document.history().undo_label(), Some("Stamp motif"));
}

#[test]
fn a_region_is_kept_renamed_removed_and_brought_back() {
    let mut screen = open();
    screen.state_mut().as_mut().unwrap().program.view.chart.region = Some(Rect::new(2, 6, 15, 12));
    ask(&mut screen, Action::Command(Command::KeepAsMotif));
    // Enter keeps it.
    write(&mut screen, "Name of the motif", "Lamp of Quovvle");
    settle(&mut screen);
    let own = state(&screen).motifs.own().to_vec();
    assert_eq!((own.len(), own[0].name()), (1, "Lamp of Quovvle"));
    ask(&mut screen, Action::Command(Command::MotifLibrary));
    write(&mut screen, "Search the motifs", "quovvle");
    click(&mut screen, "Motif Lamp of Quovvle");
    click(&mut screen, "Rename");
    write(&mut screen, "New name of the motif", "Lantern of Quovvle");
    click(&mut screen, "Set name");
    settle(&mut screen);
    assert_eq!(state(&screen).motifs.own()[0].name(), "Lantern of Quovvle");
    click(&mut screen, "Remove");
    settle(&mut screen);
    assert!(state(&screen).motifs.own().is_empty());
    click(&mut screen, "Bring Lantern of Quovvle back");
    settle(&mut screen);
    assert_eq!(state(&screen).motifs.own()[0].stitches(), own[0].stitches());
}

#[test]
fn a_motif_is_shown_in_every_weight_with_its_verdict() {
    let mut screen = open();
    ask(&mut screen, Action::Command(Command::AcrossWeights));
    wait_for(&mut screen, "0 Lace: ");
    for class in ["1 Super Fine: ", "4 Medium: ", "7 Jumbo: "] {
        assert!(has(&screen, class), "{class}");
    }
    assert!(has(&screen, "begins to be itself") || has(&screen, "is itself in"));
    click(&mut screen, "Close");
    assert!(view(&screen).dialog.is_none());
}

#[test]
fn a_stamped_motif_stands_in_the_colour_that_is_painted() {
    let mut screen = open();
    screen.state_mut().as_mut().unwrap().program.view.chart.paint = Cell::slot(2);
    ask(&mut screen, Action::Command(Command::MotifLibrary));
    write(&mut screen, "Search the motifs", "chequer");
    click(&mut screen, "Motif Chequer");
    click(&mut screen, "Hold over the chart");
    let held = view(&screen).chart.floating.clone().unwrap();
    assert_eq!(held.patch.get(Point::new(0, 3)), Some(Cell::slot(2)));
    assert_eq!(held.see_through, Some(Cell::NO_STITCH));
}

#[test]
fn colourways_are_kept_compared_swapped_and_put_in_order() {
    let mut screen = open();
    let before = project(&screen).clone();
    ask(&mut screen, Action::Command(Command::Colourways));
    wait_for(&mut screen, "and the chart as it is now");
    click(&mut screen, "Keep the palette");
    wait_for(&mut screen, &format!("{} kept", before.colourways.len() + 1));
    assert!(project(&screen).colourways.last().unwrap().whole.is_some());
    click(&mut screen, "Swap them");
    let swapped = project(&screen).palette.slots().to_vec();
    assert_eq!((&swapped[0], &swapped[1]), (&before.palette.slots()[1], &before.palette.slots()[0]));
    undo_all(&mut screen, 2);
    assert_eq!(project(&screen), &before);
    let mut unlocked = before.palette.clone();
    unlocked.slots_mut().iter_mut().for_each(|slot| slot.locked = false);
    crate::screen::perform(&mut screen, huegauge::project::Edit::Palette(Box::new(unlocked)));
    click(&mut screen, "Which colourways");
    click(&mut screen, "Every order of the colours");
    wait_for(&mut screen, " orders of ");
    click(&mut screen, "Take up Order 3 of the large ones");
    assert_ne!(project(&screen).palette.slots(), before.palette.slots());
}

/// The question in front holds the keys back, so the commands are asked for.
fn undo_all(screen: &mut Screen, steps: usize) {
    for _ in 0..steps {
        ask(screen, Action::Command(Command::Undo));
    }
}
