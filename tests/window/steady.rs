//! The frame stands still: what comes and goes neither moves what is under the pointer nor takes a drag,
//! and what a person only passes changes nothing.

use egui::{Key, Modifiers, Pos2, pos2};
use egui_kittest::kittest::Queryable;
use huegauge::app::Action;
use huegauge::colour::{Colour, Scheme, turn_between};
use huegauge::project::{Edit, Palette, Role};

use crate::screen::{Screen, ask, click, control, open, perform, project, settle, state, undo, view};

/// What the colour editor offers to drag, and from where to where across it.
const SLIDERS: [(&str, [f32; 2]); 6] = [
    ("Shade – tint", [0.1, 0.95]),
    ("Tone", [0.05, 0.95]),
    ("Lightness and chroma field", [0.9, 0.05]),
    ("Lightness", [0.5, 12.0]),
    ("Chroma", [0.5, 9.0]),
    ("Hue in degrees", [0.5, 9.0]),
];

fn depth(screen: &Screen) -> usize {
    state(screen).document.history().depth()
}

fn has_note(screen: &Screen) -> bool {
    screen.query_all_by_label_contains("Chroma lowered").next().is_some()
}

/// Strong colours, so that the scheme and the sliders run into the edge of what can be shown.
fn strong(scheme: Option<Scheme>) -> Palette {
    let mut palette = huegauge::project::Project::default().palette;
    let colours = [(0.45, 0.2, 265.0), (0.62, 0.22, 25.0), (0.8, 0.16, 90.0)];
    for (slot, (l, c, h)) in palette.slots_mut().iter_mut().zip(colours) {
        slot.colour = Colour::clamped(l, c, h).mapped();
    }
    palette.scheme = scheme;
    palette
}

/// Drags from one place to another in steps; what is looked at after each.
fn drag(screen: &mut Screen, from: Pos2, to: Pos2, mut at_each: impl FnMut(&Screen)) {
    screen.hover_at(from);
    screen.run_steps(2);
    screen.drag_at(from);
    screen.run_steps(2);
    // There and back and there again.
    for step in (0..=8).chain((1..8).rev()).chain(2..=8) {
        let part = step as f32 / 8.0;
        screen.hover_at(from + (to - from) * part);
        screen.run_steps(2);
        at_each(screen);
    }
    screen.drop_at(to);
    screen.run_steps(3);
}

#[test]
fn a_drag_of_any_slider_is_one_step_while_captions_come_and_go() {
    let mut notes = [0, 0];
    for scheme in [None, Some(Scheme::Triadic)] {
        let mut screen = open();
        perform(&mut screen, Edit::Palette(Box::new(strong(scheme))));
        for slot in [0, 1] {
            let name = project(&screen).palette.slots()[slot].name.clone();
            let row = screen.get_all_by_label_contains(&name).find(|node| {
                egui_kittest::kittest::NodeT::accesskit_node(node)
                    .label()
                    .is_some_and(|label| label.starts_with("Colour "))
            });
            row.expect(&name).click();
            settle(&mut screen);
            for (label, [from, to]) in SLIDERS {
                let (before, steps) = (project(&screen).palette.clone(), depth(&screen));
                let rect = control(&screen, label).rect();
                let at =
                    |part: f32| pos2(rect.left() + part * rect.width(), rect.top() + 0.4 * rect.height());
                drag(&mut screen, at(from), at(to), |screen| {
                    notes[usize::from(has_note(screen))] += 1;
                    assert_eq!(control(screen, label).rect().min, rect.min, "{label} moved under the hand");
                });
                assert_ne!(project(&screen).palette, before, "{label} of {slot} with {scheme:?} did nothing");
                assert_eq!(depth(&screen), steps + 1, "{label} of {slot} with {scheme:?} is one step");
                let slots = project(&screen).palette.slots().to_vec();
                let old = &before.slots()[slot];
                if label != "Hue in degrees" {
                    let turned = turn_between(old.colour.hue_angle(), slots[slot].colour.hue_angle()).abs();
                    assert!(turned < 1.0, "{label} of {slot} with {scheme:?} turned the hue by {turned}");
                }
                for (index, (new, old)) in slots.iter().zip(before.slots()).enumerate() {
                    let follows = scheme.is_some() && old.role != Role::Ground;
                    assert!(index == slot || follows || new == old, "{label} of {slot} changed {index}");
                }
                undo(&mut screen);
                assert_eq!(project(&screen).palette, before, "{label} of {slot} with {scheme:?}");
            }
        }
    }
    assert!(notes[0] > 20 && notes[1] > 20, "the caption came and went: {notes:?}");
}

#[test]
fn a_colour_toned_to_grey_comes_back_in_its_own_hue() {
    let mut screen = open();
    perform(&mut screen, Edit::Palette(Box::new(strong(None))));
    let before = project(&screen).palette.slots()[0].colour;
    let rect = control(&screen, "Tone").rect();
    let at = |part: f32| pos2(rect.left() + part * rect.width(), rect.center().y);
    drag(&mut screen, at(0.1), at(1.0), |_| {});
    let grey = project(&screen).palette.slots()[0].colour;
    assert!(grey.chroma() < 0.01, "{grey:?}");
    // Another colour in between has its own pure hue.
    let second = project(&screen).palette.slots()[1].colour;
    click(&mut screen, "Colour B, supporting: Pink chalk");
    drag(&mut screen, at(0.1), at(0.3), |_| {});
    let toned = project(&screen).palette.slots()[1].colour;
    assert!(turn_between(second.hue_angle(), toned.hue_angle()).abs() < 1.0, "{second:?} {toned:?}");
    screen.get_all_by_label_contains("Colour A, main").next().unwrap().click();
    settle(&mut screen);
    drag(&mut screen, at(1.0), at(0.1), |_| {});
    let back = project(&screen).palette.slots()[0].colour;
    assert!(turn_between(before.hue_angle(), back.hue_angle()).abs() < 1.0, "{before:?} {back:?}");
    assert!(back.chroma() > 0.1, "{back:?}");
}

#[test]
fn a_gesture_ends_when_its_control_is_gone() {
    let mut screen = open();
    perform(&mut screen, Edit::Palette(Box::new(strong(None))));
    let steps = depth(&screen);
    let tone = control(&screen, "Tone").rect();
    screen.hover_at(tone.left_center());
    screen.run_steps(2);
    screen.drag_at(tone.left_center());
    screen.run_steps(2);
    screen.hover_at(tone.center());
    screen.run_steps(2);
    assert_eq!(depth(&screen), steps + 1);
    ask(&mut screen, Action::Command(huegauge::app::Command::FoldHarmony));
    screen.drop_at(tone.center());
    settle(&mut screen);
    let mut palette = project(&screen).palette.clone();
    palette.slots_mut()[1].locked = true;
    ask(&mut screen, Action::gesture("Lock", Edit::Palette(Box::new(palette))));
    assert_eq!(depth(&screen), steps + 2, "what comes later is a step of its own");
}

#[test]
fn going_through_the_window_with_tab_changes_nothing() {
    let mut screen = open();
    // A gauge that its field cannot show in full.
    let mut plan = project(&screen).plan.clone();
    plan.gauge = huegauge::knit::Gauge::new(27.123_456, 33.654_321).unwrap();
    plan.tail_cm = 15.123_456;
    perform(&mut screen, Edit::Plan(Box::new(plan)));
    let (before, steps) = (project(&screen).clone(), depth(&screen));
    let (paint, tool) = (view(&screen).chart.paint, view(&screen).chart.tool);
    for _ in 0..160 {
        screen.key_press(Key::Tab);
        screen.run_steps(2);
    }
    for _ in 0..20 {
        screen.key_press_modifiers(Modifiers::SHIFT, Key::Tab);
        screen.run_steps(2);
    }
    assert_eq!(*project(&screen), before);
    assert_eq!(depth(&screen), steps);
    assert_eq!((view(&screen).chart.paint, view(&screen).chart.tool), (paint, tool));
}

#[test]
fn a_figure_out_of_range_is_refused_with_a_word() {
    let mut screen = open();
    let gauge = project(&screen).plan.gauge.stitches.get();
    crate::screen::enter(&mut screen, "Gauge, stitches", "9999");
    assert_eq!(project(&screen).plan.gauge.stitches.get(), gauge);
    assert!(screen.query_all_by_label_contains("it stays as it was").next().is_some());
    crate::screen::enter(&mut screen, "Gauge, stitches", "27,5");
    assert_eq!(project(&screen).plan.gauge.stitches.get(), 27.5);
}

#[test]
fn only_the_programs_own_copy_is_pasted_and_letters_are_for_the_chart() {
    let mut screen = open();
    ask(&mut screen, Action::Command(huegauge::app::Command::ChooseAll));
    ask(&mut screen, Action::Command(huegauge::app::Command::Copy));
    let words = state(&screen).clipboard.as_ref().unwrap().words.clone();
    // A letter with the keyboard elsewhere.
    let tool = view(&screen).chart.tool;
    screen.key_press(Key::L);
    settle(&mut screen);
    assert_eq!(view(&screen).chart.tool, tool, "the chart does not have the keyboard");
    screen.get_by_label("Stitch grid").focus();
    settle(&mut screen);
    screen.key_press(Key::L);
    settle(&mut screen);
    assert_eq!(view(&screen).chart.tool, huegauge::app::view::Tool::Line);
    screen.key_press(Key::Num3);
    settle(&mut screen);
    assert_eq!(view(&screen).chart.paint, huegauge::chart::Cell::slot(2));
    screen.event(egui::Event::Paste("250 g of something else".to_owned()));
    settle(&mut screen);
    assert!(view(&screen).chart.floating.is_none());
    screen.event(egui::Event::Paste(words));
    settle(&mut screen);
    assert!(view(&screen).chart.floating.is_some());
    screen.key_press(Key::Escape);
    settle(&mut screen);
    assert!(view(&screen).chart.floating.is_none());
    // The window system makes no paste of this one, but a key.
    screen.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::V);
    settle(&mut screen);
    let held = view(&screen).chart.floating.clone().unwrap();
    assert_eq!(held.label, "Paste without the ground");
}

#[test]
fn a_ground_stays_a_proposal_is_new_each_time_and_a_colour_is_taken_out_by_name() {
    let mut screen = open();
    let ground = |screen: &Screen| {
        let palette = &project(screen).palette;
        palette.slots()[palette.slot_of(Role::Ground).unwrap()].clone()
    };
    let before = ground(&screen);
    let mut seen: Vec<Vec<String>> = Vec::new();
    for _ in 0..5 {
        click(&mut screen, "Propose");
        let colours = project(&screen).palette.slots().iter().map(|slot| slot.colour.to_hex()).collect();
        assert!(!seen.contains(&colours), "{colours:?} was there before");
        seen.push(colours);
        assert_eq!(ground(&screen), before);
    }
    let count = project(&screen).palette.slots().len();
    click(&mut screen, "Add a colour");
    let slots = project(&screen).palette.slots();
    let (new, old) = slots.split_last().unwrap();
    let nearest = old.iter().map(|slot| slot.colour.difference(new.colour)).fold(f64::INFINITY, f64::min);
    assert!(nearest > 10.0, "{nearest}");
    // No stitch has it yet: it goes at once.
    click(&mut screen, "Take out the colour");
    assert_eq!(project(&screen).palette.slots().len(), count);
}

#[test]
fn the_row_of_tools_and_the_chart_stand_still() {
    let mut screen = open();
    let chart = screen.get_by_label("Stitch grid").rect();
    for tool in ["Rectangle", "Region", "Line", "Erase", "Draw"] {
        let place = control(&screen, tool).rect();
        click(&mut screen, tool);
        assert_eq!(control(&screen, tool).rect(), place, "{tool}");
        assert_eq!(screen.get_by_label("Stitch grid").rect(), chart, "{tool}");
        ask(&mut screen, Action::Command(huegauge::app::Command::ChooseAll));
        assert_eq!(screen.get_by_label("Stitch grid").rect(), chart, "{tool}");
    }
}

#[test]
fn what_the_pointer_does_is_one_step_whatever_had_the_keyboard_before() {
    let mut screen = open();
    let chart = |screen: &Screen| project(screen).chart.clone();
    // A tool, a text field, a number and nothing at all.
    for before in ["Draw", "Colour name", "Lightness", ""] {
        if !before.is_empty() {
            control(&screen, before).focus();
            settle(&mut screen);
        }
        let (was, steps) = (chart(&screen), depth(&screen));
        let middle = control(&screen, "Stitch grid").rect().center();
        drag(&mut screen, middle, middle + egui::vec2(90.0, 10.0), |_| ());
        settle(&mut screen);
        assert!(chart(&screen) != was, "{before}: something was drawn");
        assert_eq!(depth(&screen), steps + 1, "{before}: a stroke is one step");
        control(&screen, "Colour name").focus();
        settle(&mut screen);
        let steps = depth(&screen);
        let tone = control(&screen, "Tone").rect();
        drag(&mut screen, tone.center(), tone.left_center(), |_| ());
        settle(&mut screen);
        assert_eq!(depth(&screen), steps + 1, "{before}: a slider is one step");
        ask(&mut screen, Action::Command(huegauge::app::Command::Undo));
        ask(&mut screen, Action::Command(huegauge::app::Command::Undo));
        assert!(chart(&screen) == was, "{before}: undone");
    }
}
