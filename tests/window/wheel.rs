//! The ring of hues: its handles lie apart whatever the colours, and follow the hand from where they are taken.

use egui::{Rect, vec2};
use egui_kittest::kittest::{NodeT, Queryable};
use huegauge::colour::Colour;
use huegauge::project::Edit;

use crate::screen::{Screen, open, perform, project, settle, undo};

/// The places of all handles.
fn handles(screen: &Screen) -> Vec<(String, Rect)> {
    let found = screen.query_all_by_label_contains("Handle of ");
    found.map(|node| (node.accesskit_node().label().unwrap_or_default(), node.rect())).collect()
}

/// Naturals: nearly no chroma, all at about one place.
fn undyed(screen: &mut Screen) {
    let mut palette = project(screen).palette.clone();
    for (index, slot) in palette.slots_mut().iter_mut().enumerate() {
        slot.recolour(Colour::clamped(0.92 - 0.2 * index as f64, 0.012, 70.0 + 4.0 * index as f64));
        slot.locked = false;
    }
    palette.scheme = None;
    perform(screen, Edit::Palette(Box::new(palette)));
}

#[test]
fn handles_of_near_neutrals_do_not_cover_each_other() {
    let mut screen = open();
    undyed(&mut screen);
    let handles = handles(&screen);
    assert_eq!(handles.len(), project(&screen).palette.slots().len());
    for (index, (name, rect)) in handles.iter().enumerate() {
        for (other_name, other) in &handles[..index] {
            let apart = rect.center().distance(other.center());
            let radii = f32::midpoint(rect.width(), other.width());
            assert!(apart >= radii, "{name} at {rect} and {other_name} at {other}");
        }
    }
}

#[test]
fn a_handle_beside_its_colour_is_taken_up_without_a_jump() {
    let mut screen = open();
    undyed(&mut screen);
    let colour = |screen: &Screen, index: usize| project(screen).palette.slots()[index].colour;
    for index in 0..project(&screen).palette.slots().len() {
        let before = project(&screen).palette.clone();
        let letter = char::from(b'A' + index as u8);
        let (_, rect) = handles(&screen)
            .into_iter()
            .find(|(name, _)| name.starts_with(&format!("Handle of {letter},")))
            .unwrap();
        // Not in its middle.
        let from = rect.center() + vec2(3.0, -2.0);
        screen.hover_at(from);
        screen.run_steps(2);
        screen.drag_at(from);
        screen.run_steps(2);
        // Just far enough to be a drag.
        for step in 1..=8 {
            screen.hover_at(from + vec2(step as f32, 0.0));
            screen.run_steps(2);
        }
        let moved = before.slots()[index].colour.difference(colour(&screen, index));
        assert!(moved > 0.1, "{letter} does not move");
        screen.hover_at(from + vec2(0.4, 0.0));
        screen.run_steps(2);
        let jumped = before.slots()[index].colour.difference(colour(&screen, index));
        assert!(jumped < 1.0, "{letter} is {jumped} off where it was taken up");
        let held = handles(&screen).into_iter().find(|(name, _)| name.contains(&format!(" {letter},")));
        let (_, held) = held.unwrap();
        assert!(held.contains(from), "{letter} at {held} left the hand at {from}");
        screen.drop_at(from);
        settle(&mut screen);
        undo(&mut screen);
        assert_eq!(project(&screen).palette, before, "one step");
    }
}
