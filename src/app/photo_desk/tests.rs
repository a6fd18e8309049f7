use super::*;
use crate::app::jobs::Jobs;
use crate::app::state::Home;
use crate::app::update::collect;
use crate::file::DEMO_PHOTOGRAPH;
use crate::project::Project;
use std::time::Duration;

fn state(jobs: Jobs<crate::app::state::Answer>) -> State {
    let mut state = State::new(Project::default(), Home::default(), jobs);
    collect(&mut state);
    state
}

/// Does everything and takes in every answer.
fn carry_out(state: &mut State, action: PhotoAction) {
    update(state, action);
    let start = Instant::now();
    while state.photo.work.is_some() {
        assert!(start.elapsed() < Duration::from_mins(1), "no answer");
        collect(state);
        std::thread::sleep(Duration::from_millis(2));
    }
}

const CARD: Reference = Reference { region: Region::new(782, 82, 116, 166), reflectance: 0.18 };

#[test]
fn a_cancelled_task_leaves_the_desk_as_it_was() {
    let mut state = state(Jobs::threaded(Arc::new(|| {})));
    update(&mut state, PhotoAction::OpenDemo);
    assert!(state.photo.is_busy());
    update(&mut state, PhotoAction::Cancel);
    assert!(state.photo.work.is_none());
    carry_out(&mut state, PhotoAction::OpenDemo);
    let number = state.photo.photograph.as_ref().unwrap().number;

    for task in [PhotoAction::SetReferences(vec![CARD]), PhotoAction::FindYarns, PhotoAction::OpenDemo] {
        update(&mut state, task);
        update(&mut state, PhotoAction::Cancel);
        std::thread::sleep(Duration::from_millis(50));
        collect(&mut state);
        let photograph = state.photo.photograph.as_ref().unwrap();
        assert_eq!(photograph.number, number, "a late answer changes nothing");
        assert!(photograph.light.is_none() && photograph.yarns.is_empty());
    }
    assert!(state.notices.is_empty(), "{:?}", state.notices);

    // A yarn whose reading was stopped says so and can be read again.
    update(&mut state, PhotoAction::AddYarn(Region::new(100, 130, 90, 90)));
    update(&mut state, PhotoAction::Cancel);
    let yarn = state.photo.photograph.as_ref().unwrap().yarns[0].clone();
    assert!(matches!(yarn.reading, Reading::Failed(_)), "{:?}", yarn.reading);
    carry_out(&mut state, PhotoAction::ReadAgain(yarn.id));
    assert!(state.photo.photograph.as_ref().unwrap().yarns[0].done().is_some());
}

#[test]
fn yarns_drawn_while_the_light_is_measured_are_read_in_the_new_light() {
    let mut state = state(Jobs::threaded(Arc::new(|| {})));
    carry_out(&mut state, PhotoAction::OpenDemo);
    let place = Region::new(100, 130, 90, 90);
    carry_out(&mut state, PhotoAction::AddYarn(place));
    update(&mut state, PhotoAction::SetReferences(vec![CARD]));
    update(&mut state, PhotoAction::AddYarn(place));
    carry_out(&mut state, PhotoAction::AcceptAll);
    let yarns = &state.photo.photograph.as_ref().unwrap().yarns;
    assert_eq!(yarns[0].done().unwrap(), yarns[1].done().unwrap());
    assert!(yarns[0].done().unwrap().sample.warnings.is_empty());
}

#[test]
fn a_name_that_would_break_the_place_is_escaped_and_a_long_one_keeps_its_end() {
    let mut state = state(Jobs::inline());
    update(&mut state, PhotoAction::OpenDemo);
    collect(&mut state);
    update(&mut state, PhotoAction::AddYarn(Region::new(100, 130, 90, 90)));
    collect(&mut state);
    let photograph = state.photo.photograph.as_mut().unwrap();
    let place = |photograph: &Photograph| shades_of(photograph, &BallFacts::default())[0].photo.clone();
    assert_eq!(place(photograph), format!("{}#xywh=100,130,90,90", DEMO_PHOTOGRAPH.0));
    photograph.name = "balls #2 100%.jpg".to_owned();
    assert_eq!(place(photograph), "balls %232 100%25.jpg#xywh=100,130,90,90");
    photograph.name = format!("{}.jpg", "å".repeat(300));
    let long = place(photograph);
    assert!(long.ends_with("å.jpg#xywh=100,130,90,90") && long.chars().count() == crate::yarn::MAX_TEXT);
    assert_eq!(shades_of(photograph, &BallFacts::default())[0].check(), Ok(()));
}

#[test]
fn a_mark_is_brought_inside_the_picture() {
    let mut state = state(Jobs::inline());
    update(&mut state, PhotoAction::OpenDemo);
    collect(&mut state);
    let photograph = state.photo.photograph.as_ref().unwrap();
    assert_eq!(photograph.fitted(Region::new(950, 630, 100, 1)), Region::new(860, 630, 100, 4));
    assert_eq!(photograph.fitted(Region::new(u32::MAX, 0, 5000, u32::MAX)), photograph.picture.bounds());
}
