//! The yarn of the project by accessible labels alone: described, found wanting, and replaced.

use std::sync::Arc;

use egui_kittest::kittest::{NodeT, Queryable};
use huegauge::app::view::Workspace;
use huegauge::colour::Colour;
use huegauge::project::Edit;
use huegauge::units::Price;
use huegauge::yarn::{PieceKind, PutUp, Shade, ShadeCard, SpinSystem};

use crate::screen::{
    Screen, click, control, enter, open_before_material, perform, project, settle, state, undo, view,
};

fn shade(name: &str, hex: &str, fibre: &str, metres: f64) -> Shade {
    let mut shade = Shade::new(name, Colour::from_hex(hex).unwrap());
    fibre.clone_into(&mut shade.fibre);
    shade.put_up = PutUp::new(metres, 50.0).ok();
    shade.ball_price = Price::new(4.0).ok();
    shade
}

fn with_card(screen: &mut Screen) {
    let shades = vec![
        shade("Green gutter", "#3b4a3f", "cotton", 210.0),
        shade("Dull bucket", "#c9ccd0", "75 % wool, 25 % nylon", 410.0),
        shade("Pink blotter", "#c8506e", "75 % wool, 25 % nylon", 410.0),
    ];
    let card = Arc::new(ShadeCard::new("Front shelf", shades).unwrap());
    perform(screen, Edit::ShadeCards(vec![card]));
}

#[test]
fn a_single_described_for_socks_is_a_finding_in_design() {
    let mut screen = open_before_material();
    // The findings about its pieces would stand before the one that is looked for.
    perform(&mut screen, Edit::Pieces(Box::default()));
    click(&mut screen, "Fibre");
    click(&mut screen, "Kind of piece");
    click(&mut screen, "Socks");
    click(&mut screen, "Yarn");
    click(&mut screen, "Describe it");
    click(&mut screen, "How it is spun is known");
    enter(&mut screen, "Plies", "1");
    let yarn = project(&screen).material.yarn.clone().unwrap();
    assert_eq!(project(&screen).material.needs.unwrap().piece, PieceKind::Socks);
    assert_eq!(yarn.spin.map(|spin| (spin.system, spin.plies())), Some((SpinSystem::Worsted, 1)));
    click(&mut screen, "Design");
    let finding = "a single ply for socks";
    let entry = screen
        .query_all_by_label_contains(finding)
        .find(|node| node.accesskit_node().label().is_some_and(|label| label.starts_with("Warning: Yarn. ")));
    entry.unwrap().click();
    settle(&mut screen);
    click(&mut screen, "Go to Yarn");
    assert_eq!(view(&screen).workspace, Workspace::Yarn, "where it is mended");
    click(&mut screen, "Design");
    undo(&mut screen);
    assert_eq!(project(&screen).material.yarn.clone().unwrap().spin.unwrap().plies(), 4);
    assert!(screen.query_all_by_label_contains("a single ply for socks").next().is_none());
}

#[test]
fn a_yarn_out_of_make_is_replaced_from_the_card_and_the_balls_follow() {
    let mut screen = open_before_material();
    with_card(&mut screen);
    click(&mut screen, "Yarn");
    click(&mut screen, "The pattern's yarn");
    click(&mut screen, "Describe it");
    enter(&mut screen, "Yarn length in 100 g", "450");
    let pattern = project(&screen).material.pattern_yarn.clone().unwrap();
    assert!((pattern.put_up.grist.get() - 450.0).abs() < 1e-9);
    // Wool for wool leads, cotton of half the length follows.
    let first = screen.get_by_label_contains("1. 75 % wool, 25 % nylon, ");
    let said = first.accesskit_node().label().unwrap();
    let project_now = project(&screen).clone();
    let balls: u32 = project_now.metres_to_buy().iter().map(|m| (m / 205.0).ceil() as u32).sum();
    assert!(said.contains(&format!("{balls} balls")), "{said}");
    assert!(screen.query_by_label_contains("2. Cotton, ").is_some());
    assert!(
        screen.query_by_label("Fibre: near").is_some() || screen.query_by_label("Fibre: differs").is_some()
    );
    click(&mut screen, "Knit it in this");
    let now = project(&screen);
    assert_eq!(now.material.yarn.as_ref().unwrap().blend.name(), "75 % wool, 25 % nylon");
    assert_eq!(now.material.pattern_yarn.as_ref(), Some(&pattern), "what the pattern names is kept");
    assert!(now.palette.slots().iter().all(|slot| slot.yarn.put_up.grist.get() == 410.0));
    undo(&mut screen);
    assert_eq!(project(&screen).material, project_now.material);
    assert_eq!(project(&screen).palette, project_now.palette);
}

#[test]
fn what_is_no_fibre_is_said_and_nothing_is_lost() {
    let mut screen = open_before_material();
    click(&mut screen, "Yarn");
    click(&mut screen, "Describe it");
    let before = project(&screen).material.clone();
    enter(&mut screen, "Yarn fibre", "dragon 50");
    assert!(!state(&screen).notices.is_empty(), "it is told");
    assert_eq!(project(&screen).material, before);
    enter(&mut screen, "Yarn fibre", "80 % wool, 20 % nylon");
    assert_eq!(project(&screen).material.yarn.as_ref().unwrap().blend.name(), "80 % wool, 20 % nylon");
    assert!(control(&screen, "Yarn fibre").accesskit_node().value().is_some());
}

#[test]
fn a_length_is_typed_as_it_is_printed_on_the_band() {
    let mut screen = open_before_material();
    click(&mut screen, "Yarn");
    click(&mut screen, "Describe it");
    let put_up = |screen: &Screen| {
        let put_up = project(screen).material.yarn.as_ref().unwrap().put_up;
        (put_up.grist.get(), put_up.ball_g())
    };
    let length = "Yarn length in 100 g";
    enter(&mut screen, length, "112,5 m / 25 g");
    assert_eq!(put_up(&screen), (450.0, 25.0), "both at once");
    enter(&mut screen, length, "250 yd");
    assert_eq!(put_up(&screen), (228.6, 25.0));
    enter(&mut screen, "Yarn ball", "125 m per 50 g");
    assert_eq!(put_up(&screen), (250.0, 50.0), "in either field");
    for (text, why) in [
        ("2 m / 50 g", "metres per 100 g must be between 5 and 10000, not 4; it stays as it was."),
        ("3", "3 is not from 5 to 10000 m in 100 g; it stays as it was."),
        ("a lot", "is not a length of yarn"),
    ] {
        enter(&mut screen, length, text);
        assert_eq!(put_up(&screen), (250.0, 50.0), "{text}");
        assert!(screen.query_by_label_contains(why).is_some(), "{text}");
    }
    // The same length of another ball is a change too.
    enter(&mut screen, length, "250 m / 100 g");
    assert_eq!(put_up(&screen), (250.0, 100.0));
    undo(&mut screen);
    assert_eq!(put_up(&screen), (250.0, 50.0));
}

#[test]
fn a_kept_yarn_and_a_class_stand_beside_the_project_and_one_click_knits_it() {
    let mut screen = open_before_material();
    click(&mut screen, "Yarn");
    click(&mut screen, "Describe it");
    enter(&mut screen, "Yarn name", "Bare step");
    enter(&mut screen, "Yarn length in 100 g", "420");
    click(&mut screen, "Keep among my yarns");
    enter(&mut screen, "Yarn name", "Worn sill");
    enter(&mut screen, "Yarn length in 100 g", "300");
    click(&mut screen, "Side by side");
    click(&mut screen, "Second side");
    click(&mut screen, "Weight 5, Bulky");
    let row = |screen: &Screen, what: &str| {
        let start = format!("{what}: ");
        let nodes = screen.query_all_by_label_contains(&start);
        let told = |node: &egui_kittest::kittest::AccessKitNode| node.label().or_else(|| node.value());
        let labels = nodes.filter_map(|node| told(&node.accesskit_node()));
        // The rail's mark of the workspace begins alike.
        labels.into_iter().find(|label| label.starts_with(&start) && label.contains(" against ")).unwrap()
    };
    let shopping = huegauge::project::shopping::Shopping::of(project(&screen), None, None).unwrap().yarn;
    let metres = format!("Yarn: {:.0} m against ", shopping.metres().likely);
    assert!(row(&screen, "Yarn").starts_with(&metres), "{} {metres}", row(&screen, "Yarn"));
    assert!(row(&screen, "Drape (judged)").ends_with("against Stands away from the body"));
    assert!(screen.query_by_label("Knit it in Bare step").is_none());
    click(&mut screen, "Second side");
    click(&mut screen, "Bare step (kept)");
    let before = project(&screen).clone();
    click(&mut screen, "Knit it in Bare step");
    assert_eq!(project(&screen).material.yarn.as_ref().unwrap().name, "Bare step");
    undo(&mut screen);
    assert_eq!(project(&screen).material, before.material);
}
