//! What to buy, by accessible labels alone: sizes, stock, sums, changes tried out, and every export.

use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use huegauge::app::exports::Export;
use huegauge::knit::Technique;
use huegauge::project::shopping::{Shopping, SizeSum};
use huegauge::units::{Price, hours_words};

use crate::screen::{Screen, ask, click, control, enter, has, open, project, settle, state, undo, write};

fn shop() -> Screen {
    let mut screen = open();
    click(&mut screen, "Shopping");
    settle(&mut screen);
    screen
}

fn figures(screen: &Screen) -> Shopping {
    Shopping::of(project(screen), None, None).unwrap()
}

#[test]
fn the_demo_is_bought_for_the_size_that_is_worked() {
    let mut screen = shop();
    let medium = figures(&screen);
    assert_eq!(medium.size_name, "M");
    assert!(has(&screen, "For Body, Sleeve × 2, Yoke."));
    assert!(has(&screen, &format!("{} balls", medium.yarn.balls())));
    click(&mut screen, "Size to buy for");
    click(&mut screen, "L");
    let large = figures(&screen);
    assert_eq!(large.size_name, "L");
    assert!(large.yarn.metres().likely > medium.yarn.metres().likely);
    let shown = format!("{:.0} m", large.yarn.metres().likely);
    assert!(has(&screen, &shown), "{shown} is not shown");
    undo(&mut screen);
    assert_eq!(figures(&screen), medium);
}

#[test]
fn what_is_on_hand_is_taken_off_and_prices_make_the_cost() {
    let mut screen = shop();
    let demo = figures(&screen).yarn.colours[0].clone();
    enter(&mut screen, "On hand, Plain sailcloth", "0");
    let before = figures(&screen).yarn.colours[0].clone();
    enter(&mut screen, "On hand, Plain sailcloth", "450");
    let after = figures(&screen).yarn.colours[0].clone();
    assert!((before.to_buy_m - after.to_buy_m - 450.0).abs() < 1e-6);
    assert!(after.balls < before.balls);
    assert!(has(&screen, "Ask for dye lot 4126"));
    enter(&mut screen, "Price of a ball, Plain sailcloth", "5");
    assert_eq!(project(&screen).palette.slots()[0].yarn.ball_price, Price::new(5.0).ok());
    assert!(has(&screen, &format!("{:.2}", 5.0 * f64::from(after.balls))));
    enter(&mut screen, "Price of a ball, Plain sailcloth", "0");
    assert_eq!(project(&screen).palette.slots()[0].yarn.ball_price, None);
    assert!(has(&screen, "No price is given for Plain sailcloth."));
    for _ in 0..4 {
        undo(&mut screen);
    }
    assert_eq!(figures(&screen).yarn.colours[0], demo);
}

#[test]
fn what_is_on_hand_is_told_in_balls_or_grams_too_and_money_has_one_currency() {
    let mut screen = shop();
    let on_hand = |screen: &Screen| project(screen).palette.slots()[0].yarn.on_hand_m;
    // Balls of 50 g at 400 m in 100 g.
    for (words, metres) in [("2 balls", 400.0), ("75 g", 300.0), ("120 m", 120.0)] {
        enter(&mut screen, "On hand, Plain sailcloth", words);
        assert!((on_hand(&screen) - metres).abs() < 1e-6, "{words}");
    }
    enter(&mut screen, "On hand, Plain sailcloth", "plenty");
    assert!((on_hand(&screen) - 120.0).abs() < 1e-6);
    assert!(has(&screen, "it stays as it was"), "and says why");
    let price = |screen: &Screen| project(screen).palette.slots()[0].yarn.ball_price;
    let before = price(&screen);
    enter(&mut screen, "Price of a ball, Plain sailcloth", "£7.20");
    assert_eq!(price(&screen), before, "no currency was said yet");
    write(&mut screen, "Currency of the project", "£");
    assert_eq!(project(&screen).currency.written(), "£");
    enter(&mut screen, "Price of a ball, Plain sailcloth", "£7,20");
    assert_eq!(price(&screen), Price::new(7.2).ok());
    let cost = figures(&screen).yarn.cost().unwrap();
    assert!(has(&screen, &format!("£{cost}")), "the total");
    let kept = huegauge::file::to_string(project(&screen)).unwrap();
    assert_eq!(&huegauge::file::from_str(&kept, "kept").unwrap(), project(&screen));
    undo(&mut screen);
    undo(&mut screen);
    assert_eq!(project(&screen).currency.written(), "");
}

#[test]
fn all_sizes_stand_side_by_side_and_one_is_chosen_there() {
    let mut screen = shop();
    let sums = SizeSum::all(project(&screen));
    assert!(sums.len() > 1);
    for sum in &sums {
        let figures = sum.figures.as_ref().unwrap();
        let row = format!("Size {}: {:.0} m", sum.name, figures.yarn.metres().likely);
        assert!(has(&screen, &row), "{row}");
        assert!(has(&screen, &hours_words(figures.hours)));
    }
    let large = sums.iter().position(|sum| sum.name == "L").unwrap();
    screen.query_all_by_label_contains("Size L: ").next().unwrap().click();
    settle(&mut screen);
    assert_eq!(project(&screen).pieces.chosen, large);
    undo(&mut screen);
    assert_ne!(project(&screen).pieces.chosen, large);
}

#[test]
fn a_figure_opens_into_its_sum_and_its_put_up() {
    let mut screen = shop();
    assert!(!has(&screen, "Body: ribbing"));
    click(&mut screen, "Sum of Plain sailcloth");
    for line in ["Body: stitches", "Body: ribbing", "Yoke: floats", "Swatch", "Waste and knots"] {
        assert!(has(&screen, line), "{line}");
    }
    assert!(has(&screen, "Floats are left 5 to 10 % slack."));
    let balls = figures(&screen).yarn.colours[0].balls;
    enter(&mut screen, "Ball, Plain sailcloth", "100");
    assert_eq!(figures(&screen).yarn.colours[0].balls, balls.div_ceil(2));
    click(&mut screen, "Same for every colour");
    assert!(project(&screen).palette.slots().iter().all(|slot| slot.yarn.put_up.ball_g() == 100.0));
    click(&mut screen, "Sum of Plain sailcloth");
    assert!(!has(&screen, "Body: ribbing"));
}

#[test]
fn a_figure_of_one_piece_opens_too() {
    let mut screen = shop();
    let floats = figures(&screen).yarn.pieces[2].colours[1].metres().likely;
    let cell = format!("Yoke of Blue oil drum: {floats:.0} m");
    assert!(screen.query_by_label(&cell).is_some(), "{cell}");
    click(&mut screen, &cell);
    assert!(has(&screen, "Yoke: Blue oil drum"));
    assert!(has(&screen, "Floats"));
    click(&mut screen, &cell);
    assert!(!has(&screen, "Yoke: Blue oil drum"));
}

#[test]
fn dropping_a_colour_is_seen_before_it_is_done() {
    let mut screen = shop();
    let (before, start) = (figures(&screen), project(&screen).clone());
    click(&mut screen, "Drop a colour");
    // Dull brass tap, the last, would go to the ground.
    assert!(has(&screen, "Colour to drop"));
    settle(&mut screen);
    assert_eq!(project(&screen), &start, "nothing is done yet");
    let promised = state(&screen).desks.shopping.newest().unwrap().1;
    let promised = promised.as_ref().as_ref().unwrap();
    let promised = promised.tried.as_ref().unwrap().1.clone();
    assert!(has(&screen, &format!("Then {:.0} m in all", promised.metres().likely)));
    click(&mut screen, "Do it");
    assert_eq!(project(&screen).palette.slots().len(), start.palette.slots().len() - 1);
    assert!((figures(&screen).yarn.metres().likely - promised.metres().likely).abs() < 1e-6);
    assert!(promised.metres().likely < before.yarn.metres().likely, "no more floats of a fourth colour");
    undo(&mut screen);
    assert_eq!(project(&screen), &start);
}

#[test]
fn another_technique_is_seen_before_it_is_done() {
    let mut screen = shop();
    click(&mut screen, "Work it another way");
    assert!(has(&screen, "Then "));
    click(&mut screen, "Do it");
    assert_eq!(project(&screen).plan.technique, Technique::Intarsia);
    undo(&mut screen);
    assert_eq!(project(&screen).plan.technique, Technique::Stranded);
}

#[test]
fn a_project_without_pieces_is_its_chart_as_planned() {
    let mut screen = open();
    click(&mut screen, "Project");
    screen.get_by_label_contains("New").click();
    settle(&mut screen);
    click(&mut screen, "Create");
    click(&mut screen, "Shopping");
    settle(&mut screen);
    assert!(has(&screen, "There are no pieces yet, so this is the chart as planned"));
}

#[test]
fn yards_and_ounces_where_the_project_is_imperial() {
    let mut screen = shop();
    let metres = figures(&screen).yarn.metres().likely;
    let edit = huegauge::project::Edit::Units(huegauge::units::LengthUnit::Imperial);
    let action = huegauge::app::Action::edit("Units", edit);
    ask(&mut screen, action);
    // An international yard is 0.9144 m exactly.
    assert!(has(&screen, &format!("{:.0} yd", metres / 0.9144)));
}

#[test]
fn every_export_is_reached_from_the_list_and_written() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = shop();
    for export in Export::ALL {
        let info = export.info();
        click(&mut screen, info.name);
        if screen.query_by_label("Choose file…").is_some() {
            click(&mut screen, "Choose file…");
        }
        let path = folder.path().join(format!("{} export.{}", info.file_words, info.extension));
        control(&screen, "File path").focus();
        settle(&mut screen);
        screen.key_press_modifiers(Modifiers::COMMAND, Key::A);
        control(&screen, "File path").type_text(path.to_str().unwrap());
        settle(&mut screen);
        let verb = if path.exists() { "Replace" } else { "Save" };
        click(&mut screen, verb);
        assert!(path.is_file(), "{}", info.name);
    }
    assert!(image::open(folder.path().join("shopping card export.png")).unwrap().height() > 1080);
    let pdf = std::fs::read(folder.path().join("pattern export.pdf")).unwrap();
    assert!(pdf.starts_with(b"%PDF-"));
    let node = control(&screen, "Pattern sheet");
    assert!(!node.accesskit_node().is_disabled());
}

#[test]
fn pieces_that_cannot_be_worked_say_why_and_the_rest_stays_usable() {
    let mut screen = shop();
    let mut plan = project(&screen).pieces.clone();
    plan.pieces[0].bands.clear();
    let edit = huegauge::project::Edit::Pieces(Box::new(plan));
    let action = huegauge::app::Action::edit("Pieces", edit);
    ask(&mut screen, action);
    assert!(has(&screen, "The pieces cannot be worked") && has(&screen, "Body"));
    click(&mut screen, "Drop a colour");
    undo(&mut screen);
    assert!(has(&screen, "For Body, Sleeve × 2, Yoke."));
}
