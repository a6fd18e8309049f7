use super::*;
use crate::app::Action;
use crate::app::jobs::Jobs;
use crate::app::state::Home;
use crate::app::update::{collect, update};
use crate::project::Project;

fn shade(name: &str, hex: &str, fibre: &str, class: Option<u8>, stock: Stock) -> Shade {
    let colour = Colour::from_hex(hex).unwrap();
    Shade { fibre: fibre.to_owned(), weight_class: class, stock, ..Shade::new(name, colour) }
}

fn card() -> Arc<ShadeCard> {
    let shades = vec![
        shade("Dull bucket", "#d8cbb2", "75 % wool, 25 % nylon", Some(1), Stock::InStock),
        shade("Blue oil drum", "#1f2a4d", "80 % wool, 20 % nylon", Some(1), Stock::Owned(2)),
        shade("Rusty hinge", "#a3421f", "Wool", Some(3), Stock::InStock),
        shade("Patched tent", "#4d6b2a", "", None, Stock::InStock),
        shade("Yellow ruler", "#c9971c", "75 % wool, 25 % nylon", Some(1), Stock::Out),
    ];
    Arc::new(ShadeCard::new("Crooked Ladder", shades).unwrap())
}

fn ask() -> ShelfAsk {
    ShelfAsk { cards: vec![card()], fibre: FibreWanted::Any, classes: Vec::new(), to_be_had: false }
}

fn names(shelved: &Shelved) -> Vec<&str> {
    shelved.card.shades().iter().map(|shade| shade.name.as_str()).collect()
}

#[test]
fn filters_keep_what_fits_and_what_does_not_say() {
    let all = Shelved::of(ask());
    assert_eq!((all.card.shades().len(), all.of, all.unknown), (5, 5, 0));
    assert_eq!(all.labels, ["75 % wool, 25 % nylon", "80 % wool, 20 % nylon", "Wool"]);
    assert_eq!(all.classes, [1, 3]);
    let blend = Blend::parse("75 % wool, 25 % nylon").unwrap();
    let like = Shelved::of(ShelfAsk { fibre: FibreWanted::Like(blend), to_be_had: true, ..ask() });
    assert_eq!(names(&like), ["Dull bucket", "Blue oil drum", "Patched tent"]);
    assert_eq!(like.unknown, 1);
    let label = FibreWanted::Label("Wool".to_owned());
    assert_eq!(names(&Shelved::of(ShelfAsk { fibre: label, ..ask() })), ["Rusty hinge", "Patched tent"]);
    let thick = Shelved::of(ShelfAsk { classes: vec![3], ..ask() });
    assert_eq!(names(&thick), ["Rusty hinge", "Patched tent"]);
}

fn state() -> State {
    State::new(Project::default(), Home::default(), Jobs::inline())
}

fn sets_ask(size: usize) -> SetsAsk {
    SetsAsk {
        shelved: Arc::new(Shelved::of(ask())),
        size,
        weights: SetWeights::default(),
        pinned: Vec::new(),
        forbidden: Vec::new(),
        wish: Vec::new(),
    }
}

#[test]
fn a_search_goes_to_its_end_with_what_is_pinned_and_forbidden() {
    let mut state = state();
    let mut ask = sets_ask(3);
    let shades = ask.shelved.card.shades().to_vec();
    ask.pinned = vec![Arc::new(shades[2].clone())];
    ask.forbidden = vec![Arc::new(shades[0].clone())];
    update(&mut state, Action::Shelf(ShelfAction::Search(Box::new(ask))));
    collect(&mut state);
    let search = state.shelf.search.as_ref().unwrap();
    assert_eq!(search.progress, Progress::Complete);
    assert!(!search.sets.is_empty());
    assert!(search.sets.iter().all(|set| set.shades.contains(&2) && !set.shades.contains(&0)));
}

#[test]
fn answers_of_an_older_search_are_dropped() {
    let mut state = state();
    // Inline, both answers wait when the second search begins.
    update(&mut state, Action::Shelf(ShelfAction::Search(Box::new(sets_ask(2)))));
    update(&mut state, Action::Shelf(ShelfAction::Search(Box::new(sets_ask(3)))));
    collect(&mut state);
    let search = state.shelf.search.as_ref().unwrap();
    assert!(!search.sets.is_empty() && search.sets.iter().all(|set| set.shades.len() == 3));
    update(&mut state, Action::Shelf(ShelfAction::Search(Box::new(sets_ask(2)))));
    state.shelf.clear();
    collect(&mut state);
    assert!(state.shelf.search.is_none(), "another project knows nothing of it");
}

#[test]
fn sets_of_the_search_before_stay_up_until_better_ones_come() {
    let mut state = state();
    let ask = sets_ask(2);
    let search = |ask: &SetsAsk| Action::Shelf(ShelfAction::Search(Box::new(ask.clone())));
    update(&mut state, search(&ask));
    collect(&mut state);
    update(&mut state, search(&SetsAsk { size: 3, ..ask.clone() }));
    let shown = state.shelf.search.as_ref().unwrap();
    assert!(shown.of_before && shown.sets.iter().all(|set| set.shades.len() == 2));
    collect(&mut state);
    let shown = state.shelf.search.as_ref().unwrap();
    assert!(!shown.of_before && shown.sets.iter().all(|set| set.shades.len() == 3));
    // Of another shelf the places would mean other shades.
    update(&mut state, search(&sets_ask(2)));
    assert!(state.shelf.search.as_ref().unwrap().sets.is_empty());
}

#[test]
fn a_search_that_cannot_be_says_why_and_a_stopped_one_keeps_what_it_found() {
    let mut state = state();
    let mut ask = sets_ask(5);
    ask.forbidden = vec![Arc::new(ask.shelved.card.shades()[0].clone())];
    update(&mut state, Action::Shelf(ShelfAction::Search(Box::new(ask))));
    update(&mut state, Action::Shelf(ShelfAction::Stop));
    assert_eq!(state.shelf.search.as_ref().unwrap().progress, Progress::Stopped);
    collect(&mut state);
    let progress = &state.shelf.search.as_ref().unwrap().progress;
    assert!(matches!(progress, Progress::Failed(reason) if reason.contains("only 4 shades")), "{progress:?}");
}
