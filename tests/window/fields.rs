//! What is typed into a field and how it is left: Escape drops it, Enter takes it, what is wrong is said.

use egui::{Key, Modifiers};
use egui_kittest::kittest::NodeT;
use huegauge::app::Command;

use crate::screen::{Screen, ask, click, control, open, project, settle, state, view};
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
