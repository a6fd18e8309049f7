//! The shade cards, by accessible labels alone: search, edit, knit in, import, save and open.

use std::fs;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use egui::accesskit::Role;
use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT, Queryable};
use huegauge::colour::Colour;
use huegauge::file;
use huegauge::project::Edit;
use huegauge::units::{LengthUnit, Price};
use huegauge::yarn::{ColourSource, MAX_SHADES, PutUp, Shade, ShadeCard, ShadeQuery, SortBy, Stock};

use crate::screen::{Screen, click, control, enter, has, open, perform, project, settle, undo, write};

fn open_cards() -> Screen {
    let mut screen = open();
    click(&mut screen, "Yarn");
    click(&mut screen, "Shade cards");
    screen
}

/// Answers the question for a file by typing its path.
fn type_path(screen: &mut Screen, path: &Path, verb: &str) {
    control(screen, "File path").focus();
    settle(screen);
    screen.key_press_modifiers(Modifiers::COMMAND, Key::A);
    control(screen, "File path").type_text(path.to_str().unwrap());
    settle(screen);
    click(screen, verb);
}

/// The rows in sight, in words, from the top down.
fn rows(screen: &Screen) -> Vec<String> {
    let rows = screen.query_all_by_role(Role::ListBoxOption);
    let mut rows: Vec<(i32, String)> =
        rows.filter_map(|row| Some((row.rect().top() as i32, row.accesskit_node().label()?))).collect();
    rows.sort();
    rows.into_iter().map(|(_, label)| label).collect()
}

/// Names of the shades in sight, from the top down.
fn names(screen: &Screen) -> Vec<String> {
    rows(screen).iter().map(|row| row.split(',').next().unwrap().to_owned()).collect()
}

fn click_row(screen: &mut Screen, start: &str) {
    let label = rows(screen).into_iter().find(|row| row.starts_with(start)).expect(start);
    screen.get_by_label(&label).click();
    settle(screen);
}

fn card(screen: &Screen) -> &ShadeCard {
    &project(screen).shade_cards[0]
}

fn shade<'a>(screen: &'a Screen, code: &str) -> &'a Shade {
    card(screen).shades().iter().find(|shade| shade.code == code).expect(code)
}

#[test]
fn the_demo_card_is_sorted_searched_and_filtered() {
    let mut screen = open_cards();
    assert!(has(&screen, "Card 1. Crooked Ladder Mill (invented): 48 shades"));
    assert_eq!(names(&screen)[..2], ["Plain sailcloth", "Folded envelope"]);
    let row = &rows(&screen)[0];
    for part in [
        "code F01",
        "fibre Wool",
        "wt 1",
        "m/100 g 400",
        "ball 50 g",
        "price 6.80",
        "stock 2 on hand",
        "l* 92",
    ] {
        assert!(row.contains(part), "no {part} in {row}");
    }

    click(&mut screen, "Sort by name");
    assert_eq!(names(&screen)[..2], ["Bare plaster", "Bent tin lid"]);
    click(&mut screen, "Sort by name");
    assert_eq!(names(&screen)[..2], ["Yellow ruler", "Worn door key"]);
    click(&mut screen, "Sort by value");
    assert_eq!(names(&screen)[0], "Spare tyre", "the darkest first");
    click(&mut screen, "Sort by card order");

    write(&mut screen, "Search shades", "green wool");
    assert_eq!(names(&screen), ["Green glass jar", "Green gutter", "Green soap dish"]);
    assert!(has(&screen, "3 of 48"));
    click(&mut screen, "Only this weight");
    click(&mut screen, "4 Medium");
    assert_eq!(rows(&screen).len(), 1);
    click(&mut screen, "Show all");
    click(&mut screen, "Only by stock");
    click(&mut screen, "On hand");
    let owned = card(&screen).shades().iter().filter(|shade| shade.owned_balls() > 0).count();
    assert_eq!(names(&screen).len(), owned);
    click(&mut screen, "Show all");
    click(&mut screen, "Only this fibre");
    click(&mut screen, "75 % wool, 25 % nylon");
    assert_eq!(names(&screen).len(), 12);
    enter(&mut screen, "Price to", "7.2");
    assert!(rows(&screen).iter().all(|row| row.contains("price 7.20")));
    enter(&mut screen, "Value to", "0");
    assert!(has(&screen, "No shade fits"));
    click(&mut screen, "Show the whole card");
    assert_eq!(names(&screen)[0], "Plain sailcloth");
}

#[test]
fn the_fields_of_a_shade_are_edited_one_undo_a_visit() {
    let mut screen = open_cards();
    let before = project(&screen).shade_cards.clone();
    click_row(&mut screen, "Dull bucket");
    write(&mut screen, "Shade name", "Pale basin");
    assert_eq!(shade(&screen, "F03").name, "Pale basin");
    assert!(names(&screen).contains(&"Pale basin".to_owned()), "the table follows");
    undo(&mut screen);
    assert_eq!(project(&screen).shade_cards, before, "one step for the whole name");

    // A name that is wrong on the way to being right is not lost, nor taken over.
    control(&screen, "Shade name").focus();
    settle(&mut screen);
    screen.key_press_modifiers(Modifiers::COMMAND, Key::A);
    screen.key_press(Key::Backspace);
    settle(&mut screen);
    assert!(has(&screen, "Not taken over: a shade needs a name"));
    assert_eq!(shade(&screen, "F03").name, "Dull bucket");
    control(&screen, "Shade name").type_text("Spray");
    settle(&mut screen);
    assert_eq!(shade(&screen, "F03").name, "Spray");

    write(&mut screen, "Shade hex", "#336699");
    assert_eq!(shade(&screen, "F03").colour.to_hex(), "#336699");
    write(&mut screen, "Shade hex", "blue");
    assert_eq!(shade(&screen, "F03").colour.to_hex(), "#336699", "no colour, no change");
    enter(&mut screen, "Shade lightness", "0.8");
    assert!((shade(&screen, "F03").colour.lightness() - 0.8).abs() < 1e-9);

    write(&mut screen, "Shade fibre", "80 % alpaca, 20 % silk");
    assert!(has(&screen, "Understood as: 80 % alpaca, 20 % silk"));
    write(&mut screen, "Shade fibre", "80 % alpaca");
    assert!(has(&screen, "20 % missing"));
    click(&mut screen, "Colour source");
    click(&mut screen, "Read off a photograph");
    let usual = ColourSource::Photo.usual_uncertainty();
    assert_eq!(shade(&screen, "F03").uncertainty, usual, "the usual one of the new source");
    enter(&mut screen, "Price of a ball", "9.5");
    click(&mut screen, "Stock of the shade");
    click(&mut screen, "On hand");
    enter(&mut screen, "Balls on hand", "4");
    write(&mut screen, "Dye lot", "88");
    let shade = shade(&screen, "F03");
    assert_eq!(
        (shade.ball_price, shade.stock, shade.dye_lot.as_str()),
        (Price::new(9.5).ok(), Stock::Owned(4), "88")
    );
}

#[test]
fn yards_and_ounces_are_shown_and_typed() {
    let mut screen = open_cards();
    perform(&mut screen, Edit::Units(LengthUnit::Imperial));
    // 400 m are 437.4 yd.
    assert!(rows(&screen)[0].contains("yd/100 g 437"), "{}", rows(&screen)[0]);
    assert!(rows(&screen)[0].contains("ball 1.76 oz"));
    assert!(has(&screen, "219 yd a ball, 124 yd per oz."));
    enter(&mut screen, "Shade, length in 100 g", "500");
    let put_up = shade(&screen, "F01").put_up.unwrap();
    assert!((put_up.grist.get() - 457.2).abs() < 1e-9, "500 yd are 457.2 m");
}

#[test]
fn shades_are_added_duplicated_and_removed() {
    let mut screen = open_cards();
    click_row(&mut screen, "Full inkwell");
    click(&mut screen, "Duplicate");
    assert_eq!(card(&screen).shades().len(), 49);
    click(&mut screen, "Remove");
    assert_eq!(card(&screen).shades().len(), 48);
    click(&mut screen, "Add shade");
    let fresh = card(&screen).shades().last().unwrap();
    assert_eq!(fresh.name, "Shade 49");
    assert_ne!(fresh.put_up, None, "the yarn is taken over");
    write(&mut screen, "Shade name", "Bent tin lid");
    assert_eq!(card(&screen).shades().last().unwrap().name, "Bent tin lid", "the new shade is in the fields");
    undo(&mut screen);
    undo(&mut screen);
    assert_eq!(card(&screen).shades().len(), 48);
}

#[test]
fn a_shade_is_put_into_the_palette() {
    let mut screen = open_cards();
    let before = project(&screen).palette.clone();
    click_row(&mut screen, "Blue oil drum");
    assert!(has(&screen, "B, main: Blue oil drum, same, CIEDE2000 0.0"));
    click_row(&mut screen, "Wet pavement");
    click(&mut screen, "Use for…");
    click(&mut screen, "B, main: Blue oil drum");
    let slot = &project(&screen).palette.slots()[1];
    assert_eq!((slot.name.as_str(), slot.colour), ("Wet pavement", shade(&screen, "F05").colour));
    assert_eq!(slot.yarn.ball_price, Price::new(6.8).ok());
    assert!((slot.yarn.on_hand_m - 200.0).abs() < 1e-9, "one ball is at home");
    assert!(has(&screen, "Knitted as B, main"));
    undo(&mut screen);
    assert_eq!(project(&screen).palette, before);
}

#[test]
fn the_arrow_keys_walk_down_the_list() {
    let mut screen = open_cards();
    click_row(&mut screen, "Plain sailcloth");
    for key in [Key::ArrowDown, Key::ArrowDown, Key::ArrowUp] {
        screen.key_press(key);
        settle(&mut screen);
    }
    assert!(has(&screen, "chosen: Folded envelope"));
    screen.key_press(Key::End);
    settle(&mut screen);
    assert!(has(&screen, "chosen: Purple crayon"));
    assert_eq!(names(&screen).last().unwrap(), "Purple crayon", "it is brought into sight");
}

#[test]
fn a_wrong_table_is_explained_mended_and_imported() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("Corner shop.csv");
    fs::write(
        &path,
        "name,hex,ball_price,shelf\nTarred fence,#222222,5,left\nRope,beige,5,left\n,#ffffff,-5,left\n",
    )
    .unwrap();
    let mut screen = open_cards();
    let before = project(&screen).shade_cards.clone();
    click(&mut screen, "Import table…");
    type_path(&mut screen, &path, "Open");
    assert!(has(&screen, "Corner shop.csv: 1 of 3 lines are sound"));
    assert!(has(&screen, "Line 2: Tarred fence, 5.00"), "what comes in is looked at first");
    assert!(has(&screen, "Line 3: column hex: 'beige' is not a colour"));
    assert!(has(&screen, "Line 4: column ball_price: '-5' is not a price: write it like 5.45 or 5,45 €"));
    assert_eq!(project(&screen).shade_cards, before, "nothing came in and nothing is lost");
    click(&mut screen, "Bring in 1 shade");
    assert_eq!(names(&screen), ["Tarred fence"], "the others stay aside");
    assert!(has(&screen, "Brought in: 1 shade; lines set aside: 2. Columns left out: shelf"));
    undo(&mut screen);
    assert_eq!(project(&screen).shade_cards, before, "in one step");
    click(&mut screen, "Import table…");
    type_path(&mut screen, &path, "Open");

    fs::write(&path, "name,hex,ball_price,shelf\nTarred fence,#222222,5,left\nRope,#c8b48a,5,left\n")
        .unwrap();
    click(&mut screen, "Read it again");
    assert!(has(&screen, "Every line is sound."));
    click(&mut screen, "Bring in 2 shades");
    assert!(has(&screen, "Card 2. Corner shop: 2 shades"));
    assert_eq!(names(&screen), ["Tarred fence", "Rope"], "the new card is shown");
    undo(&mut screen);
    assert_eq!(project(&screen).shade_cards, before);
    click(&mut screen, "Import table…");
    type_path(&mut screen, &path, "Open");
    click(&mut screen, "Cancel");
    assert_eq!(project(&screen).shade_cards, before);
    assert!(names(&screen).len() > 10, "the card that was looked at is there again");
}

#[test]
fn headings_that_say_nothing_are_matched_by_hand() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("Odd.csv");
    let table = "Kolor;Wert;Motek;Cena\r\nTarred fence;#222222;110 m / 50 g;5,45\r\nRope;#c8b48a;;-5\r\n";
    fs::write(&path, table).unwrap();
    let mut screen = open_cards();
    click(&mut screen, "Import table…");
    type_path(&mut screen, &path, "Open");
    assert!(has(&screen, "no heading says which column holds the name"));
    for (column, holds) in [
        ("Column 1, Kolor, holds", "Name"),
        ("Column 2, Wert, holds", "Colour, hex or rgb()"),
        ("Column 3, Motek, holds", "Length of a ball"),
        ("Column 4, Cena, holds", "Price of a ball"),
    ] {
        click(&mut screen, column);
        // The list is longer than it shows at once.
        control(&screen, holds).click_accesskit();
        settle(&mut screen);
        screen.key_press(Key::Escape);
        settle(&mut screen);
    }
    assert!(has(&screen, "Line 2: Tarred fence, 110 m / 50 g, 5.45"));
    assert!(
        has(&screen, "Line 3: column Cena: '-5' is not a price: write it like 5.45 or 5,45 €"),
        "two bytes end a line and count as one line"
    );
    click(&mut screen, "Column 4, Cena, holds");
    click(&mut screen, "Left out");
    click(&mut screen, "Bring in 2 shades");
    assert_eq!(project(&screen).currency.written(), "", "no price came in, and no currency");
    let card = project(&screen).shade_cards.last().unwrap();
    assert_eq!(card.shades()[0].put_up, PutUp::new(220.0, 50.0).ok());
    assert_eq!(card.shades()[1].ball_price, None);
}

#[test]
fn a_card_is_saved_and_opened_as_file_and_as_table() {
    let folder = tempfile::tempdir().unwrap();
    let mut screen = open_cards();
    let mill = card(&screen).clone();
    let (saved, table) = (folder.path().join("mill.ron"), folder.path().join("mill.csv"));
    click(&mut screen, "Save card…");
    type_path(&mut screen, &saved, "Save");
    assert_eq!(file::load_card(&saved).unwrap(), mill);
    click(&mut screen, "Save table…");
    type_path(&mut screen, &table, "Save");
    click(&mut screen, "Save example table…");
    type_path(&mut screen, &folder.path().join("example"), "Save");
    let example = fs::read(folder.path().join("example.csv")).unwrap();
    assert_eq!(file::shades_from_csv(&example, "example.csv").unwrap().shades.len(), 3);

    click(&mut screen, "Open card…");
    type_path(&mut screen, &saved, "Open");
    assert_eq!(*project(&screen).shade_cards[1], mill);
    click(&mut screen, "Import table…");
    type_path(&mut screen, &table, "Open");
    click(&mut screen, "Bring in 48 shades");
    assert_eq!(project(&screen).shade_cards[2].shades(), mill.shades());
    // A table is no card file; the message says what to do.
    click(&mut screen, "Open card…");
    type_path(&mut screen, &table, "Open");
    assert!(has(&screen, "import a CSV table"));
    assert_eq!(project(&screen).shade_cards.len(), 3);
}

#[test]
fn a_saved_table_holds_no_formula() {
    let folder = tempfile::tempdir().unwrap();
    let (shop, table) = (folder.path().join("shop.csv"), folder.path().join("saved.csv"));
    fs::write(&shop, "name,hex\n\"'=1+2\",#222222\n@SUM(A1),#333333\n").unwrap();
    let mut screen = open_cards();
    click(&mut screen, "Import table…");
    type_path(&mut screen, &shop, "Open");
    click(&mut screen, "Bring in 2 shades");
    assert_eq!(names(&screen), ["=1+2", "@SUM(A1)"]);
    click(&mut screen, "Save table…");
    type_path(&mut screen, &table, "Save");
    let saved = fs::read_to_string(&table).unwrap();
    let cells: Vec<&str> = saved.lines().skip(1).filter_map(|line| line.split(',').next()).collect();
    assert_eq!(cells, ["'=1+2", "'@SUM(A1)"], "{saved}");
}

#[test]
fn without_a_card_there_are_ways_to_one() {
    let mut screen = open_cards();
    click(&mut screen, "Remove card");
    assert!(project(&screen).shade_cards.is_empty());
    assert!(has(&screen, "Make a shade card"));
    click(&mut screen, "What it may hold");
    assert!(has(&screen, "owned_balls") && has(&screen, "the dye lot"));
    click(&mut screen, "Back");
    click(&mut screen, "Begin a card");
    assert!(has(&screen, "This card is empty"));
    write(&mut screen, "Name of the card", "My basket");
    click(&mut screen, "Add a shade");
    assert_eq!(card(&screen).name, "My basket");
    assert_eq!(names(&screen), ["Shade 1"]);
    click(&mut screen, "Remove card");
    click(&mut screen, "Add the demo card");
    assert_eq!(card(&screen).shades().len(), 48);
    click(&mut screen, "Remove card");
    click(&mut screen, "Go to photographs");
    assert!(!has(&screen, "Make a shade card"));
}

/// The largest card there can be.
fn largest_card() -> ShadeCard {
    let shade = |number: usize| Shade {
        code: format!("{number:05}"),
        fibre: ["Wool", "Alpaca", "75 % wool, 25 % nylon"][number % 3].to_owned(),
        ball_price: Price::new((number % 97) as f64 / 10.0).ok(),
        ..Shade::new(
            format!("Shade {number}"),
            Colour::clamped(
                (number % 101) as f64 / 100.0,
                (number % 13) as f64 / 100.0,
                (number * 7 % 360) as f64,
            ),
        )
    };
    ShadeCard::new("All there is", (0..MAX_SHADES).map(shade).collect()).unwrap()
}

#[test]
fn of_the_largest_card_only_the_rows_in_sight_are_made() {
    let mut screen = open_cards();
    perform(&mut screen, Edit::ShadeCards(vec![Arc::new(largest_card())]));
    assert!(has(&screen, "20000 shades"));
    let made = rows(&screen).len();
    assert!((20..80).contains(&made), "{made} rows");
    click(&mut screen, "Sort by price");
    write(&mut screen, "Search shades", "19999");
    assert_eq!(names(&screen), ["Shade 19999"]);
}

/// What a frame, a letter and a search cost: `cargo test --test window -- --ignored --nocapture shades`.
#[test]
#[ignore = "takes time and prints figures"]
fn cost() {
    const TIMES: usize = 21;
    let median = |mut times: Vec<Duration>| {
        times.sort_unstable();
        times[times.len() / 2]
    };
    for card in [file::demo_card().unwrap(), largest_card()] {
        let mut screen = open_cards();
        let card = Arc::new(card);
        perform(&mut screen, Edit::ShadeCards(vec![Arc::clone(&card)]));
        let step = |screen: &mut Screen| {
            let start = Instant::now();
            screen.step();
            start.elapsed()
        };
        let idle = median((0..TIMES).map(|_| step(&mut screen)).collect());
        control(&screen, "Shade name").focus();
        settle(&mut screen);
        let edits = (0..TIMES).map(|_| {
            control(&screen, "Shade name").type_text("x");
            let frame = step(&mut screen);
            settle(&mut screen);
            frame
        });
        let edits = median(edits.collect());
        let queries = SortBy::ALL.map(|sort| {
            let query = ShadeQuery { text: "shade wool".to_owned(), sort, ..ShadeQuery::default() };
            let start = Instant::now();
            query.run(&card);
            start.elapsed()
        });
        println!(
            "{:6} shades: frame {idle:?}, frame with a letter typed {edits:?}, searches {queries:?}",
            card.shades().len()
        );
    }
}
