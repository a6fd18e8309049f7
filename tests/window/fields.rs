//! What is typed into a field and how it is left: Escape drops it, Enter takes it, what is wrong is said.

use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use huegauge::app::Command;

use crate::screen::{Screen, ask, click, control, has, open, project, settle, state, undo, view};
use huegauge::app::Action;

/// What a field holds.
fn held(screen: &Screen, label: &str) -> String {
    let node = control(screen, label).accesskit_node();
    node.value().or_else(|| node.numeric_value().map(|value| value.to_string())).unwrap_or_default()
}

/// Types over what stands in a field and leaves it by this key.
fn leave(screen: &mut Screen, label: &str, text: &str, by: Key) {
    control(screen, label).focus();
    settle(screen);
    screen.key_press_modifiers(Modifiers::COMMAND, Key::A);
    control(screen, label).type_text(text);
    settle(screen);
    screen.key_press(by);
    settle(screen);
}

#[test]
fn escape_drops_what_is_typed_into_the_project_and_enter_takes_it() {
    let mut screen = open();
    let region = Some(huegauge::chart::Rect::new(1, 1, 3, 3));
    screen.state_mut().as_mut().unwrap().program.view.chart.region = region;
    for (label, text) in [
        ("Hue in degrees", "12"),
        ("Lightness", "0.31"),
        ("Hex", "#102030"),
        ("Gauge, stitches", "31"),
        ("Colour name", "Another"),
    ] {
        let (before, depth) = (project(&screen).clone(), state(&screen).document.history().depth());
        let held_before = held(&screen, label);
        leave(&mut screen, label, text, Key::Escape);
        // Not `assert_eq`: a whole project is no message.
        assert!(*project(&screen) == before, "{label}: what was typed is dropped");
        assert_eq!(held(&screen, label), held_before, "{label}: the field shows the old value");
        assert_eq!(state(&screen).document.history().depth(), depth, "{label}: no step is left");
        assert_eq!(state(&screen).document.history().redo_label(), None, "{label}");
        assert_eq!(view(&screen).chart.region, region, "{label}: the chart was not spoken to");
        leave(&mut screen, label, text, Key::Enter);
        assert!(*project(&screen) != before, "{label}: Enter takes it");
        assert_eq!(state(&screen).document.history().depth(), depth + 1, "{label}: in one step");
    }
}

#[test]
fn escape_drops_what_is_typed_beside_the_project() {
    let mut screen = open();
    ask(&mut screen, Action::Command(Command::MotifLibrary));
    leave(&mut screen, "Search the motifs", "leaf", Key::Enter);
    leave(&mut screen, "Search the motifs", "star", Key::Escape);
    assert_eq!(held(&screen, "Search the motifs"), "leaf");
    assert!(view(&screen).motifs_open, "the library was not spoken to");
    click(&mut screen, "Yarn");
    click(&mut screen, "Shade cards");
    let card = project(&screen).shade_cards[0].name.clone();
    leave(&mut screen, "Name of the card", "Another", Key::Escape);
    assert_eq!(project(&screen).shade_cards[0].name, card);
}

#[test]
fn a_wrong_hex_is_refused_in_words_that_stay() {
    let mut screen = open();
    let before = project(&screen).clone();
    for wrong in ["#zzz", "#12345g"] {
        leave(&mut screen, "Hex", wrong, Key::Enter);
        assert!(has(&screen, &format!("'{wrong}' is not a colour: write # and six hex digits")), "{wrong}");
        assert!(has(&screen, "it stays as it was."), "{wrong}");
        assert!(*project(&screen) == before, "{wrong}");
    }
    leave(&mut screen, "Hex", "#zzz", Key::Escape);
    screen.run_steps(400);
    assert!(!has(&screen, "is not a colour"), "what was dropped is not refused");
}

#[test]
fn a_step_is_named_by_what_was_changed_of_which_colour() {
    let mut screen = open();
    for (label, text, what) in [
        ("Hex", "#102030", "Hex"),
        ("Lightness", "0.31", "Lightness"),
        ("Chroma", "0.02", "Chroma"),
        ("Hue in degrees", "12", "Hue"),
    ] {
        let named = project(&screen).palette.slots()[0].name.clone();
        leave(&mut screen, label, text, Key::Enter);
        let step = state(&screen).document.history().undo_label().map(str::to_owned);
        assert_eq!(step, Some(format!("{what} of {named}")));
    }
    leave(&mut screen, "Colour name", " ", Key::Enter);
    leave(&mut screen, "Hex", "#203040", Key::Enter);
    assert_eq!(state(&screen).document.history().undo_label(), Some("Hex of A, ground"));
}

#[test]
fn a_list_closes_when_its_entry_is_chosen_by_a_key() {
    let mut screen = open();
    for (list, inside, key) in [
        ("Scheme", "Tetradic", Key::Enter),
        ("Chart symbol", "Falling quarters", Key::Space),
        ("What the tools leave", "slip, slip, knit (leans left)", Key::Enter),
    ] {
        let before = held(&screen, list);
        control(&screen, list).focus();
        settle(&mut screen);
        screen.key_press(Key::Space);
        settle(&mut screen);
        assert!(has(&screen, inside), "{list} is open");
        for _ in 0..2 {
            screen.key_press(Key::ArrowDown);
            settle(&mut screen);
        }
        screen.key_press(key);
        settle(&mut screen);
        assert!(!has(&screen, inside), "{list} is closed");
        assert_ne!(held(&screen, list), before, "{list}: another was chosen");
    }
}

#[test]
fn the_motif_that_is_held_is_one_of_those_found() {
    let mut screen = open();
    ask(&mut screen, Action::Command(Command::MotifLibrary));
    let chosen = |screen: &Screen| -> Vec<String> {
        let tiles = screen.query_all_by_label_contains("Motif ").map(|node| node.accesskit_node());
        let chosen = tiles.filter(|node| node.toggled() == Some(egui::accesskit::Toggled::True));
        chosen.filter_map(|node| node.label()).collect()
    };
    let before = chosen(&screen);
    leave(&mut screen, "Search the motifs", "flake", Key::Enter);
    let found = chosen(&screen);
    assert!(found.len() == 1 && found != before, "{before:?}, then {found:?}");
    leave(&mut screen, "Search the motifs", "no such words", Key::Enter);
    assert!(has(&screen, "No motif by these words.") && !has(&screen, "Hold over the chart"));
}

#[test]
fn the_ground_follows_no_scheme_in_another_project() {
    let mut screen = open();
    click(&mut screen, "Ground");
    let ticked = |screen: &Screen| control(screen, "Ground").accesskit_node().toggled();
    assert_eq!(ticked(&screen), Some(egui::accesskit::Toggled::True));
    ask(&mut screen, Action::Command(Command::New));
    click(&mut screen, "Create");
    assert_eq!(ticked(&screen), Some(egui::accesskit::Toggled::False));
}

#[test]
fn undo_lets_held_stitches_go_and_takes_nothing_back() {
    let mut screen = open();
    let depth = |screen: &Screen| state(screen).document.history().depth();
    leave(&mut screen, "Hex", "#102030", Key::Enter);
    leave(&mut screen, "Hex", "#203040", Key::Enter);
    undo(&mut screen);
    ask(&mut screen, Action::Command(Command::MotifLibrary));
    click(&mut screen, "Hold over the chart");
    ask(&mut screen, Action::Command(Command::Redo));
    screen.key_press_modifiers(Modifiers::COMMAND, Key::Y);
    settle(&mut screen);
    assert!(depth(&screen) == 1 && view(&screen).chart.floating.is_some(), "redo leaves it");
    undo(&mut screen);
    assert!(view(&screen).chart.floating.is_none(), "undo lets it go");
    assert!(depth(&screen) == 1 && view(&screen).motifs_open, "and does nothing else");
    undo(&mut screen);
    assert_eq!(depth(&screen), 0, "the next one takes a step back");
}
