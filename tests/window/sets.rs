//! Shades of a card, by accessible labels alone: the nearest to the palette, the best sets, and the
//! chart knitted in them; the colours that touch and the mend of the weakest pair.

use std::sync::Arc;

use egui::Key;
use egui_kittest::kittest::{NodeT, Queryable};
use huegauge::app::shelf::Progress;
use huegauge::app::view::Eyes;
use huegauge::colour::{Colour, ValueContrast};
use huegauge::project::{Edit, Project, code_and_name};
use huegauge::units::Price;
use huegauge::yarn::{PutUp, Shade, ShadeCard, Stock};

use crate::screen::{
    Screen, click, control, enter, has, open, open_with_threads, perform, project, settle, state, undo, view,
};

/// Twelve invented shades of an invented spinner.
const SHADES: [(&str, &str); 12] = [
    ("Dull bucket", "#d8cbb2"),
    ("Blue oil drum", "#1f2a4d"),
    ("Rusty hinge", "#a3421f"),
    ("Patched tent", "#4d6b2a"),
    ("Yellow ruler", "#c9971c"),
    ("Wet pavement", "#5b6470"),
    ("Pink blotter", "#c9768c"),
    ("Old boot brush", "#3a2a22"),
    ("Clean plate", "#f0efe8"),
    ("Bare step", "#2f5d73"),
    ("Dull brass tap", "#a9ab6b"),
    ("Crimson curtain", "#8e1f3a"),
];

fn card() -> ShadeCard {
    let shade = |(index, (name, hex)): (usize, &(&str, &str))| Shade {
        put_up: PutUp::new(400.0, 50.0).ok(),
        ball_price: (index != 3).then_some(Price::clamped(6.5)),
        stock: if index == 11 { Stock::Out } else { Stock::InStock },
        ..Shade::new(*name, Colour::from_hex(hex).unwrap())
    };
    ShadeCard::new("Crooked Ladder", SHADES.iter().enumerate().map(shade).collect()).unwrap()
}

/// A window on the page, with the card in its project.
fn open_sets() -> Screen {
    let mut screen = open();
    perform(&mut screen, Edit::ShadeCards(vec![Arc::new(card())]));
    click(&mut screen, "Yarn");
    click(&mut screen, "Sets of shades");
    settle(&mut screen);
    screen
}

/// The shades the palette is knitted in, by slot.
fn worn(project: &Project) -> Vec<Option<String>> {
    project.palette.slots().iter().map(|slot| slot.shade().map(|shade| shade.name.clone())).collect()
}

fn click_containing(screen: &mut Screen, label: &str) {
    screen.get_all_by_label_contains(label).next().expect(label).click();
    settle(screen);
}

#[test]
fn without_shades_the_page_says_where_they_come_from() {
    let mut screen = open();
    perform(&mut screen, Edit::ShadeCards(Vec::new()));
    click(&mut screen, "Yarn");
    click(&mut screen, "Sets of shades");
    assert!(has(&screen, "There are no shades yet"));
}

#[test]
fn knitting_in_the_nearest_shades_is_one_step_and_every_colour_is_one_of_the_card() {
    let mut screen = open_sets();
    let before = project(&screen).clone();
    assert!(has(&screen, "11 of 12 shades"), "Crimson curtain cannot be had");
    click(&mut screen, "Knit the chart in these");
    let card = card();
    let names: Vec<String> = worn(project(&screen)).into_iter().map(|name| name.unwrap()).collect();
    for slot in project(&screen).palette.slots() {
        assert!(card.shades().iter().any(|shade| shade.colour == slot.colour), "{}", slot.name);
        assert!(card.shades().iter().any(|shade| shade.name == slot.name), "{}", slot.name);
        assert_eq!(slot.yarn.put_up, PutUp::new(400.0, 50.0).unwrap());
    }
    let mut once = names.clone();
    once.sort();
    once.dedup();
    assert_eq!(once.len(), names.len(), "every colour has a shade of its own");
    assert!(!names.contains(&"Crimson curtain".to_owned()));
    assert!(has(&screen, "The palette is knitted in these shades"));
    // What was wished for is not lost by trying the shades on.
    assert!(has(&screen, "Wish for the palette as it is now"));
    undo(&mut screen);
    assert_eq!(*project(&screen), before);
}

#[test]
fn another_shade_can_be_taken_and_the_one_in_use_swaps() {
    let mut screen = open_sets();
    let labels: Vec<String> = screen
        .query_all_by_label_contains("Take ")
        .filter_map(|node| node.accesskit_node().label())
        .collect();
    assert!(labels.len() >= 8, "{labels:?}");
    let wanted = labels[0].clone();
    let (shade, slot) = wanted.strip_prefix("Take ").unwrap().split_once(" for ").unwrap();
    let index = project(&screen).palette.slots().iter().position(|s| s.name == slot).unwrap();
    let shade = shade.to_owned();
    click(&mut screen, &wanted);
    click(&mut screen, "Knit the chart in these");
    let worn = worn(project(&screen));
    assert_eq!(worn[index].as_deref(), Some(shade.as_str()));
    // Knitted, the palette's yarn differs and so do the metres; what was taken by hand stays.
    settle(&mut screen);
    assert!(has(&screen, "The palette is knitted in these shades"));
    // Yarn on hand makes another shelf of the same shades.
    let mut palette = project(&screen).palette.clone();
    palette.slots_mut()[index].set_on_hand(400.0);
    perform(&mut screen, Edit::Palette(Box::new(palette)));
    settle(&mut screen);
    assert!(has(&screen, "The palette is knitted in these shades"), "what was taken by hand stays");
    let mut names: Vec<_> = worn.clone();
    names.sort();
    names.dedup();
    assert_eq!(names.len(), worn.len(), "still each once: {worn:?}");
}

#[test]
fn typed_colours_are_matched_and_a_wrong_one_is_named() {
    let mut screen = open_sets();
    let before = worn(project(&screen));
    click(&mut screen, "Typed");
    control(&screen, "Typed colours").focus();
    settle(&mut screen);
    control(&screen, "Typed colours").type_text("#a23f20, #1e2b4f");
    settle(&mut screen);
    settle(&mut screen);
    assert!(has(&screen, ": Rusty hinge, CIEDE2000"), "the typed colour is nearest to Rusty hinge");
    assert!(has(&screen, ": Blue oil drum, CIEDE2000"));
    click(&mut screen, "Knit the chart in these");
    let changed = worn(project(&screen)).iter().zip(&before).filter(|(now, before)| now != before).count();
    assert_eq!(changed, 2, "two colours were typed: the others stay");
    control(&screen, "Typed colours").focus();
    settle(&mut screen);
    control(&screen, "Typed colours").type_text(", blu");
    settle(&mut screen);
    assert!(has(&screen, "blu"), "the message names the wrong one");
}

#[test]
fn best_sets_are_found_pinned_and_taken_up_with_one_click() {
    let mut screen = open_sets();
    let before = project(&screen).clone();
    click(&mut screen, "Best sets");
    settle(&mut screen);
    let sizes = state(&screen).desks.shelf.search.as_ref().unwrap().news().sets;
    assert!(sizes.iter().all(|set| set.shades.len() == 4), "as many as the palette has colours");
    click(&mut screen, "Sets of 3");
    settle(&mut screen);
    assert_eq!(state(&screen).desks.shelf.search.as_ref().unwrap().news().progress, Progress::Complete);
    let count = state(&screen).desks.shelf.search.as_ref().unwrap().news().sets.len();
    assert_eq!(count, 20);
    assert!(has(&screen, "The 20 best different sets of 3 from 11 shades"));
    assert!(has(&screen, "No score predicts taste"));

    // A pinned shade is in every set; the search begins anew by itself.
    control(&screen, "Find a shade").focus();
    settle(&mut screen);
    control(&screen, "Find a shade").type_text("yellow");
    settle(&mut screen);
    control(&screen, "Pin Yellow ruler").click();
    settle(&mut screen);
    settle(&mut screen);
    let search = state(&screen).desks.shelf.search.as_ref().unwrap();
    assert!(search.news().sets.iter().all(|set| set.shades.contains(&4)), "Yellow ruler is the fifth shade");

    click_containing(&mut screen, "Set 2: ");
    click(&mut screen, "Knit the chart in these");
    let set: Vec<String> = {
        let search = state(&screen).desks.shelf.search.as_ref().unwrap();
        let shades = search.ask.shelved.card.shades();
        search.news().sets[1].shades.iter().map(|place| shades[*place].name.clone()).collect()
    };
    let palette = &project(&screen).palette;
    let mut knitted: Vec<String> =
        palette.by_role()[..3].iter().map(|slot| palette.slots()[*slot].name.clone()).collect();
    knitted.sort();
    let mut wanted = set;
    wanted.sort();
    assert_eq!(knitted, wanted);
    assert!(has(&screen, "One colour stays as now"), "four colours, three shades");
    let last = palette.by_role()[3];
    assert_eq!(palette.slots()[last], before.palette.slots()[last]);
    undo(&mut screen);
    assert_eq!(*project(&screen), before);
}

#[test]
fn the_size_and_the_weights_change_what_is_found() {
    let mut screen = open_sets();
    click(&mut screen, "Best sets");
    settle(&mut screen);
    click(&mut screen, "Sets of 5");
    settle(&mut screen);
    let search = state(&screen).desks.shelf.search.as_ref().unwrap();
    assert!(search.news().sets.iter().all(|set| set.shades.len() == 5));
    assert!(has(&screen, "spare"), "the palette has four colours");
    for part in ["hue template", "value", "all eyes"] {
        let label = format!("Weight of {part}");
        control(&screen, &label).focus();
        settle(&mut screen);
        for _ in 0..30 {
            screen.key_press(Key::ArrowLeft);
        }
        settle(&mut screen);
    }
    settle(&mut screen);
    assert!(has(&screen, "nothing is weighed"), "all weights are 0");
}

/// A cloud of near colours: little to tell them apart, so bounds rule out little.
fn cloud() -> ShadeCard {
    let mut state = 7_u32;
    let mut next = |end: u32| {
        state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
        f64::from((state >> 16) % end) / f64::from(end)
    };
    let shades = (0..900).map(|i| {
        let colour = Colour::clamped(0.4 + 0.3 * next(97), 0.08 * next(89), 360.0 * next(83));
        Shade::new(format!("Cloud {i}"), colour)
    });
    ShadeCard::new("Cloud", shades.collect()).unwrap()
}

fn is_enabled(screen: &Screen, label: &str) -> bool {
    !control(screen, label).accesskit_node().is_disabled()
}

#[test]
fn a_search_whose_time_is_up_keeps_the_best_and_says_how_sure_they_are() {
    let mut screen = open_sets();
    click(&mut screen, "Best sets");
    let before = project(&screen).clone();
    assert!(has(&screen, "Sure: every set was looked at or ruled out."));
    assert!(!is_enabled(&screen, "Stop") && !is_enabled(&screen, "Search again"));
    enter(&mut screen, "Search at most, in seconds", "1");
    assert_eq!(state(&screen).search_time.seconds(), 1);
    // The choice is remembered as the theme is: between runs, not in the project.
    assert_eq!(*project(&screen), before);
    assert_eq!(state(&screen).settings.choice("seconds of a search for sets"), Some("1"));
    click(&mut screen, "Sets of 5");
    perform(&mut screen, Edit::ShadeCards(vec![Arc::new(cloud())]));
    settle(&mut screen);
    let search = state(&screen).desks.shelf.search.as_ref().unwrap();
    let news = search.news();
    assert_eq!(news.progress, Progress::TimeUp);
    assert!(!news.sets.is_empty() && news.come.decided < 1.0);
    assert!(has(&screen, "The time was up: the best"));
    assert!(has(&screen, "of all sets were decided."));
    assert!(has(&screen, "that was not looked at may score up to"));
    assert!(is_enabled(&screen, "Search again") && !is_enabled(&screen, "Stop"));
    click_containing(&mut screen, "Set 1: ");
    click(&mut screen, "Knit the chart in these");
    assert!(worn(project(&screen)).iter().flatten().count() >= 4, "the best so far are of use");
}

#[test]
fn a_search_that_is_stopped_keeps_the_best_so_far_where_they_are() {
    let mut screen = open_with_threads();
    perform(&mut screen, Edit::ShadeCards(vec![Arc::new(cloud())]));
    click(&mut screen, "Yarn");
    click(&mut screen, "Sets of shades");
    click(&mut screen, "Best sets");
    let news =
        |screen: &Screen| state(screen).desks.shelf.search.as_ref().map(huegauge::app::shelf::Search::news);
    let until = |screen: &mut Screen, what: &dyn Fn(&Screen) -> bool| {
        for _ in 0..6_000 {
            settle(screen);
            if what(screen) {
                // What came after the last frame is seen in the next.
                settle(screen);
                return;
            }
            std::thread::sleep(std::time::Duration::from_millis(10));
        }
        panic!("it never came: {:?}", news(screen).map(|news| news.progress));
    };
    until(&mut screen, &|screen| news(screen).is_some());
    click(&mut screen, "Sets of 5");
    until(&mut screen, &|screen| {
        news(screen).is_some_and(|news| {
            news.progress == Progress::Running && !news.sets.is_empty() && !news.come.taken.is_zero()
        })
    });
    assert!(has(&screen, " s of 60 s, ") && has(&screen, "Searching sets of 5 from 900 shades"));
    let place = |screen: &Screen| screen.get_all_by_label_contains("Set 1: ").next().map(|set| set.rect());
    let (button, before) = (control(&screen, "Stop").rect(), place(&screen));
    click(&mut screen, "Stop");
    until(&mut screen, &|screen| news(screen).is_some_and(|news| news.sure.is_some()));
    settle(&mut screen);
    assert!(has(&screen, "Called off: the best"));
    assert!(has(&screen, "of all sets were decided."));
    // Nothing has moved, and nothing new lies under the pointer.
    assert_eq!((control(&screen, "Stop").rect(), place(&screen)), (button, before));
    assert!(!is_enabled(&screen, "Stop") && is_enabled(&screen, "Search again"));
}

#[test]
fn swapping_before_taking_up_changes_who_wears_what() {
    let mut screen = open_sets();
    click(&mut screen, "Best sets");
    settle(&mut screen);
    let combo = |screen: &Screen, label: &str| control(screen, label).accesskit_node().value();
    let (main, accent) = (combo(&screen, "Shade for main"), combo(&screen, "Shade for accent"));
    let accent = accent.unwrap();
    click(&mut screen, "Shade for main");
    screen.get_all_by_label(&accent).next_back().unwrap().click();
    settle(&mut screen);
    assert_eq!(combo(&screen, "Shade for main").unwrap(), accent);
    assert_eq!(combo(&screen, "Shade for accent"), main);
    click(&mut screen, "Knit the chart in these");
    let palette = &project(&screen).palette;
    assert_eq!(palette.slots()[palette.by_role()[0]].name, accent);
}

#[test]
fn eyes_are_chosen_on_the_page_too() {
    let mut screen = open_sets();
    click(&mut screen, "Seen through");
    click(&mut screen, "Deutan");
    assert_eq!(state(&screen).eyes, Eyes::Deutan);
}

#[test]
fn the_weakest_pair_is_mended_with_one_click_and_a_pair_shows_its_stitches() {
    let mut screen = open();
    let mut palette = project(&screen).palette.clone();
    let figures = state(&screen).figures().unwrap();
    let pair = figures.touching[0].contact;
    let (a, b) = (pair.a, pair.b);
    let near = palette.slots()[a].colour.lstar() + 4.0;
    palette.slots_mut()[b].colour = palette.slots()[b].colour.with_lstar(near);
    perform(&mut screen, Edit::Palette(Box::new(palette)));
    let before = project(&screen).clone();
    click_containing(&mut screen, "Colours that touch");
    assert!(has(&screen, "Weakest: "));
    let names = [a, b].map(|slot| code_and_name(slot, &before.palette.slots()[slot]));
    click_containing(&mut screen, &format!("{} and {}: ", names[0], names[1]));
    assert!(!view(&screen).chart.highlight.is_empty());

    let mend = state(&screen).figures().unwrap().mend.clone().unwrap();
    click_containing(&mut screen, &format!(" {} to L* ", before.palette.slots()[mend.slot].name));
    let after = &project(&screen).palette;
    let contrast = ValueContrast::of(after.slots()[a].colour.lstar() - after.slots()[b].colour.lstar());
    assert!(contrast >= ValueContrast::Readable, "{contrast:?}");
    let changed = (0..after.slots().len()).filter(|s| after.slots()[*s] != before.palette.slots()[*s]);
    assert_eq!(changed.count(), 1, "one change mends it");
    undo(&mut screen);
    assert_eq!(*project(&screen), before);
}

#[test]
fn a_card_of_another_weight_is_said_and_let_in_with_one_click() {
    let mut screen = open();
    let card = card();
    let heavier = card.shades().iter().map(|s| Shade { put_up: PutUp::new(110.0, 50.0).ok(), ..s.clone() });
    let heavier = ShadeCard::new("Heavy", heavier.collect()).unwrap();
    perform(&mut screen, Edit::ShadeCards(vec![Arc::new(heavier)]));
    click(&mut screen, "Yarn");
    click(&mut screen, "Sets of shades");
    settle(&mut screen);
    assert!(has(&screen, "0 of 12 shades. Left out: 12 of another weight, 1 out of stock."));
    click(&mut screen, "Take any weight");
    settle(&mut screen);
    assert!(has(&screen, "11 of 12 shades. Left out: 1 out of stock."));
    assert!(!has(&screen, "Take any weight"));
    // Two of the twelve fit, too few for four colours: what keeps the others out can be let go too.
    let mut shades: Vec<Shade> = card.shades().to_vec();
    for shade in shades.iter_mut().skip(2) {
        shade.put_up = PutUp::new(110.0, 50.0).ok();
    }
    let mut screen = open();
    perform(&mut screen, Edit::ShadeCards(vec![Arc::new(ShadeCard::new("Mixed", shades).unwrap())]));
    click(&mut screen, "Yarn");
    click(&mut screen, "Sets of shades");
    settle(&mut screen);
    assert!(has(&screen, "That is too few for 4 colours."));
    click(&mut screen, "Take any weight");
    settle(&mut screen);
    assert!(!has(&screen, "That is too few"));
}
