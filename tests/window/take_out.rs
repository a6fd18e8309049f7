//! Taking a colour out asks what takes its stitches, and a lock is said on the handle.

use egui_kittest::kittest::Queryable;
use huegauge::project::Edit;

use crate::screen::{click, open, perform, project, settle, undo};

#[test]
fn taking_a_colour_out_asks_what_takes_its_stitches() {
    let mut screen = open();
    let before = project(&screen).clone();
    let counts = before.chart.grid.counts();
    let has = |screen: &crate::screen::Screen, part: &str| {
        screen.query_all_by_label_contains(part).next().is_some()
    };
    click(&mut screen, "Take out the colour");
    assert!(has(&screen, &format!("{} stitches of A", counts[0])), "it says how many go");
    assert!(*project(&screen) == before, "nothing is done yet");
    let heir = huegauge::project::code_and_name(1, &before.palette.slots()[1]);
    let choices: Vec<_> = screen.get_all_by_label(&heir).collect();
    choices.last().unwrap().click();
    settle(&mut screen);
    let after = project(&screen);
    assert_eq!(after.palette.slots().len(), before.palette.slots().len() - 1);
    // The heir has moved up a place.
    assert_eq!(after.chart.grid.counts()[0], counts[0] + counts[1]);
    undo(&mut screen);
    assert!(*project(&screen) == before, "in one step");
}

#[test]
fn a_lock_is_said_on_the_handle() {
    let mut screen = open();
    let mut palette = project(&screen).palette.clone();
    palette.slots_mut()[1].locked = true;
    perform(&mut screen, Edit::Palette(Box::new(palette)));
    let locked = screen.query_all_by_label_contains("Handle of ").filter(|node| {
        use egui_kittest::kittest::NodeT;
        node.accesskit_node().label().unwrap_or_default().ends_with(", locked")
    });
    assert_eq!(locked.count(), 1);
}
