//! Colours off a photograph, by accessible labels alone: the demo's six balls become shades on a card
//! and the chart is knitted in them; bad pictures are messages and leave everything as it was.

use std::path::{Path, PathBuf};

use egui::{Key, Modifiers, Pos2};
use egui_kittest::kittest::Queryable;
use huegauge::app::photo_desk::{PhotoDesk, Photograph};
use huegauge::colour::{Lab, ciede2000};
use huegauge::photo::Region;
use huegauge::project::Edit;
use huegauge::units::Price;
use huegauge::yarn::{ColourSource, Stock, WeightClass};
use palette::convert::IntoColorUnclamped;

use crate::common::spectra::Tables;
use crate::common::tiff::tiff;
use crate::common::yarn_picture::six_shades;
use crate::screen::{Screen, click, control, enter, open, perform, press, project, settle, state};

/// A place on the grey card of the demo photograph (`tests/common/yarn_picture.rs`).
pub const CARD: [(&str, &str); 4] =
    [("Card, width", "116"), ("Card, height", "166"), ("Card, left", "782"), ("Card, top", "82")];

fn desk(screen: &Screen) -> &PhotoDesk {
    &state(screen).photo
}

fn photograph(screen: &Screen) -> &Photograph {
    desk(screen).photograph.as_ref().unwrap()
}

fn says(screen: &Screen, text: &str) -> bool {
    screen.query_all_by_label_contains(text).next().is_some()
}

fn retype(screen: &mut Screen, label: &str, text: &str) {
    control(screen, label).focus();
    settle(screen);
    screen.key_press_modifiers(Modifiers::COMMAND, Key::A);
    control(screen, label).type_text(text);
    settle(screen);
}

fn open_file(screen: &mut Screen, path: &Path) {
    click(screen, "Open a photograph…");
    retype(screen, "File path", path.to_str().unwrap());
    click(screen, "Open");
}

/// The page with the demo photograph.
fn with_demo() -> Screen {
    let mut screen = open();
    click(&mut screen, "Yarn");
    click(&mut screen, "From a photograph");
    click(&mut screen, "Open the demo photograph");
    screen
}

fn measure_the_light(screen: &mut Screen) {
    click(screen, "Place it by figures");
    for (label, figure) in CARD {
        enter(screen, label, figure);
    }
}

/// The colours of the demo's yarns in daylight, worked from their invented spectra.
fn truths() -> Vec<(&'static str, Lab)> {
    let tables = Tables::load();
    let daylight = tables.light("D65");
    let lab = |reflectance| {
        let [x, y, z] = tables.xyz(reflectance, &daylight);
        palette::Xyz::<palette::white_point::D65, f64>::new(x, y, z).into_color_unclamped()
    };
    six_shades().iter().map(|(name, reflectance)| (*name, lab(reflectance))).collect()
}

#[test]
fn six_balls_become_shades_and_the_chart_is_knitted_in_them() {
    let mut screen = with_demo();
    perform(&mut screen, Edit::ShadeCards(Vec::new()));
    assert!(says(&screen, "Not measured yet"));
    measure_the_light(&mut screen);
    let light = photograph(&screen).light.as_ref().unwrap();
    assert_eq!(light.references[0].region, Region::new(782, 82, 116, 166));
    // The lamp of the demo is a blackbody of 3000 K.
    let kelvin = light.balance.light().unwrap().kelvin().unwrap();
    assert!((kelvin - 3000.0).abs() < 150.0, "{kelvin}");
    assert!(says(&screen, "warm, like a lamp at home"));

    click(&mut screen, "Find the yarns");
    assert_eq!(photograph(&screen).yarns.len(), 6);
    assert!(photograph(&screen).yarns.iter().all(|yarn| !yarn.accepted), "proposals are accepted by hand");
    click(&mut screen, "Accept all");
    let truths = truths();
    let (mut before, mut after) = (Vec::new(), Vec::new());
    for (number, (name, truth)) in truths.iter().enumerate() {
        retype(&mut screen, &format!("Name of yarn {}", number + 1), name);
        let yarn = &photograph(&screen).yarns[number];
        assert_eq!(yarn.name, *name);
        let reading = yarn.done().unwrap();
        before.push(ciede2000(reading.as_taken.to_lab(), *truth));
        after.push(ciede2000(reading.sample.colour.to_lab(), *truth));
        assert!(after[number] < 2.0 * reading.sample.error.total(), "{name}: {:.1}", after[number]);
        let shown = format!("{name}, {}", reading.sample.colour.to_hex());
        assert!(says(&screen, &shown), "{shown}");
    }
    let mean = |values: &[f64]| values.iter().sum::<f64>() / values.len() as f64;
    println!("as taken {before:.1?}, mean {:.2}", mean(&before));
    println!("corrected {after:.1?}, mean {:.2}", mean(&after));
    assert!(mean(&before) > 15.0 && mean(&after) < 4.2, "{before:.1?} {after:.1?}");

    put_on_a_card(&mut screen);
    knit(&mut screen);
}

fn put_on_a_card(screen: &mut Screen) {
    let before = project(screen).shade_cards.len();
    click(screen, "Shade card");
    retype(screen, "Name of the new card", "Crooked Ladder, seen at Quovvle");
    retype(screen, "Fibre of the balls", "wool");
    click(screen, "Weight class of the balls");
    click(screen, "1  Super Fine");
    click(screen, "Length and ball size are known");
    enter(screen, "Length in 100 g", "420");
    enter(screen, "Price of a ball", "5.5");
    enter(screen, "Balls on hand", "2");
    click(screen, "Put on the shade card");

    let cards = &project(screen).shade_cards;
    assert_eq!(cards.len(), before + 1);
    assert_eq!(cards[before].name, "Crooked Ladder, seen at Quovvle");
    let shades = cards[before].shades();
    let names: Vec<&str> = shades.iter().map(|shade| shade.name.as_str()).collect();
    assert_eq!(
        names,
        ["Dull bucket", "Dull brass tap", "Red kettle lid", "Pink blotter", "Green gutter", "Blue oil drum"]
    );
    for (shade, yarn) in shades.iter().zip(&photograph(screen).yarns) {
        let reading = yarn.done().unwrap();
        assert_eq!((shade.source, shade.stock), (ColourSource::Photo, Stock::Owned(2)));
        assert_eq!((shade.colour, shade.uncertainty), (reading.sample.colour, reading.sample.error.total()));
        assert_eq!(shade.weight_class, Some(WeightClass::SuperFine.number()));
        assert_eq!(shade.put_up.unwrap().grist.get(), 420.0);
        assert_eq!((shade.ball_price, shade.fibre.as_str()), (Price::new(5.5).ok(), "wool"));
        assert_eq!(shade.photo, format!("crooked-ladder-six-balls.jpg#xywh={}", yarn.region));
    }
    // One step to undo.
    screen.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(screen);
    assert_eq!(project(screen).shade_cards.len(), before);
    screen.key_press_modifiers(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    settle(screen);
    assert_eq!(project(screen).shade_cards[before].shades().len(), 6);
    // A card that is there can be chosen instead.
    click(screen, "Card for the yarns");
    click(screen, "Crooked Ladder, seen at Quovvle");
    click(screen, "Put on the shade card");
    assert_eq!(project(screen).shade_cards.len(), before + 1);
    assert_eq!(project(screen).shade_cards[before].shades().len(), 12);
}

fn knit(screen: &mut Screen) {
    click(screen, "Palette");
    let before = project(screen).palette.clone();
    assert!(says(screen, "different") || says(screen, "similar"), "differences are told in words");
    click(screen, "Knit the chart in these yarns");
    let palette = project(screen).palette.clone();
    let yarns = &photograph(screen).yarns;
    let mut used = Vec::new();
    for slot in palette.slots() {
        let yarn = yarns.iter().find(|yarn| yarn.name == slot.name).expect("each slot has a yarn");
        assert_eq!(slot.colour, yarn.done().unwrap().sample.colour);
        assert_eq!(slot.yarn.ball_price, Price::new(5.5).ok());
        assert_eq!(slot.shade().unwrap().name, slot.name);
        used.push(yarn.id);
    }
    used.sort_unstable();
    used.dedup();
    assert_eq!(used.len(), palette.slots().len(), "each colour has a yarn of its own");
    screen.key_press_modifiers(Modifiers::COMMAND, Key::Z);
    settle(screen);
    assert_eq!(project(screen).palette, before);

    // A colour may stay as it is.
    click(screen, "Yarn for colour 1");
    click(screen, "Stays as it is");
    click(screen, "Knit the chart in these yarns");
    assert_eq!(project(screen).palette.slots()[0], before.slots()[0]);
    assert_ne!(project(screen).palette.slots()[1], before.slots()[1]);
}

/// Where a place of the picture lies on the screen: the whole picture, in the middle.
fn on_screen(screen: &Screen, x: f32, y: f32) -> Pos2 {
    let area = screen.get_by_label_contains("yarns marked").rect();
    let size =
        egui::vec2(photograph(screen).picture.width() as f32, photograph(screen).picture.height() as f32);
    let scale = (area.width() / size.x).min(area.height() / size.y);
    area.center() + (egui::vec2(x, y) - size / 2.0) * scale
}

fn drag(screen: &mut Screen, from: (f32, f32), to: (f32, f32)) {
    let (from, to) = (on_screen(screen, from.0, from.1), on_screen(screen, to.0, to.1));
    screen.hover_at(from);
    settle(screen);
    screen.drag_at(from);
    settle(screen);
    screen.hover_at(from + (to - from) * 0.5);
    settle(screen);
    screen.hover_at(to);
    settle(screen);
    screen.drop_at(to);
    settle(screen);
}

fn click_at(screen: &mut Screen, (x, y): (f32, f32)) {
    let at = on_screen(screen, x, y);
    press(screen, at);
}

fn near(found: Region, expected: [u32; 4]) -> bool {
    let found = [found.x, found.y, found.width, found.height];
    found.iter().zip(expected).all(|(f, e)| f.abs_diff(e) <= 2)
}

#[test]
fn marks_are_drawn_moved_resized_and_dropped_on_the_picture() {
    let mut screen = with_demo();
    drag(&mut screen, (790.0, 90.0), (890.0, 240.0));
    let light = photograph(&screen).light.as_ref().unwrap().references[0].region;
    assert!(near(light, [790, 90, 100, 150]), "{light}");

    click(&mut screen, "Ball of yarn");
    drag(&mut screen, (110.0, 140.0), (190.0, 220.0));
    let yarn = photograph(&screen).yarns[0].clone();
    assert!(near(yarn.region, [110, 140, 80, 80]) && yarn.accepted, "{yarn:?}");
    let first = yarn.done().unwrap().sample.colour;
    // From the first ball to the second one: another colour.
    drag(&mut screen, (150.0, 180.0), (385.0, 160.0));
    let yarn = photograph(&screen).yarns[0].clone();
    assert!(near(yarn.region, [345, 120, 80, 80]), "{}", yarn.region);
    assert!(yarn.done().unwrap().sample.colour.difference(first) > 10.0);
    // By its corner.
    drag(&mut screen, (425.0, 200.0), (415.0, 180.0));
    assert!(near(photograph(&screen).yarns[0].region, [345, 120, 70, 60]));

    // Escape lets a mark that is being drawn go.
    let (from, to) = (on_screen(&screen, 600.0, 140.0), on_screen(&screen, 660.0, 200.0));
    screen.drag_at(from);
    settle(&mut screen);
    screen.hover_at(to);
    settle(&mut screen);
    screen.key_press(Key::Escape);
    settle(&mut screen);
    screen.drop_at(to);
    settle(&mut screen);
    assert_eq!(photograph(&screen).yarns.len(), 1);

    // The keyboard: chosen by a click, moved by arrows, dropped with Delete.
    click_at(&mut screen, (380.0, 150.0));
    let before = photograph(&screen).yarns[0].region;
    screen.key_press_modifiers(Modifiers::SHIFT, Key::ArrowRight);
    settle(&mut screen);
    assert_eq!(photograph(&screen).yarns[0].region, Region { x: before.x + 10, ..before });
    enter(&mut screen, "Yarn 1, width", "90");
    assert_eq!(photograph(&screen).yarns[0].region.width, 90);
    click(&mut screen, "Drop yarn 1");
    assert!(photograph(&screen).yarns.is_empty());
    drag(&mut screen, (110.0, 140.0), (190.0, 220.0));
    click_at(&mut screen, (150.0, 180.0));
    screen.key_press(Key::Delete);
    settle(&mut screen);
    assert!(photograph(&screen).yarns.is_empty());
}

#[test]
fn marking_a_card_moves_nothing_beside_the_picture() {
    let mut screen = with_demo();
    let places = |screen: &Screen| {
        ["Measured on", "Find the yarns", "Add by figures"].map(|label| control(screen, label).rect())
    };
    let before = places(&screen);
    let (from, to) = (on_screen(&screen, 790.0, 90.0), on_screen(&screen, 890.0, 240.0));
    screen.hover_at(from);
    screen.run_steps(2);
    screen.drag_at(from);
    for step in 1..=5 {
        screen.hover_at(from + (to - from) * (step as f32 / 5.0));
        screen.run_steps(2);
        assert_eq!(places(&screen), before, "step {step}");
    }
    screen.drop_at(to);
    settle(&mut screen);
    assert!(photograph(&screen).light.is_some());
    assert_eq!(places(&screen), before, "measured");
}

#[test]
fn without_a_card_every_reading_says_so_and_accepted_yarns_outlive_another_search() {
    let mut screen = with_demo();
    click(&mut screen, "Find the yarns");
    click(&mut screen, "Accept yarn 2");
    retype(&mut screen, "Name of yarn 2", "Dull brass tap");
    screen.get_by_label_contains("Yarn 2: Dull brass tap").click();
    settle(&mut screen);
    assert!(says(&screen, "No grey card or white paper was picked"));
    let total = |screen: &Screen| photograph(screen).yarns[1].done().unwrap().sample.error.total();
    let error = total(&screen);
    click(&mut screen, "Taken in");
    click(&mut screen, "Daylight");
    assert!(total(&screen) < 0.6 * error, "what light it was tells how far it may be off");
    click(&mut screen, "Taken in");
    click(&mut screen, "Not known");
    assert_eq!(total(&screen), error);
    measure_the_light(&mut screen);
    let yarn = &photograph(&screen).yarns[1];
    assert!(yarn.done().unwrap().sample.error.total() < error, "the yarns are read again");
    click(&mut screen, "Find the yarns");
    let names: Vec<&str> = photograph(&screen).yarns.iter().map(|yarn| yarn.name.as_str()).collect();
    assert_eq!(names, ["Dull brass tap", "Yarn 1", "Yarn 2", "Yarn 3", "Yarn 4", "Yarn 5"]);
    click(&mut screen, "Drop the correction");
    assert!(photograph(&screen).light.is_none());
    assert_eq!(photograph(&screen).yarns[0].done().unwrap().sample.error.total(), error);
}

#[test]
fn several_cards_and_a_yarn_of_known_colour_set_the_light() {
    let mut screen = with_demo();
    measure_the_light(&mut screen);
    let one = photograph(&screen).light.as_ref().unwrap().balance.clone();
    // The same card twice more, in other places of it: the light is known in both directions.
    for (number, left, top) in [(2, "782", "200"), (3, "782", "82")] {
        click(&mut screen, "Another card");
        for (side, figure) in [("width", "48"), ("height", "48"), ("left", left), ("top", top)] {
            enter(&mut screen, &format!("Card {number}, {side}"), figure);
        }
    }
    let light = photograph(&screen).light.as_ref().unwrap();
    assert_eq!(light.references.len(), 3);
    assert_eq!(light.balance.evenness().known_directions(), 2);
    click(&mut screen, "Drop card 3");
    assert_eq!(photograph(&screen).light.as_ref().unwrap().references.len(), 2);
    click(&mut screen, "Drop card 2");
    assert_eq!(*photograph(&screen).light.as_ref().unwrap().balance, *one);

    // The first ball is known: it is then read in its own lightness, and so are the others in theirs.
    click(&mut screen, "Find the yarns");
    screen.get_by_label_contains("Yarn 1: Yarn 1").click();
    settle(&mut screen);
    let before = photograph(&screen).yarns[1].done().unwrap().sample.clone();
    let hex = huegauge::colour::Colour::from_lab(truths()[0].1).to_hex();
    retype(&mut screen, "Known colour of yarn 1", "bluish");
    screen.key_press(Key::Enter);
    settle(&mut screen);
    assert!(says(&screen, "is no colour"));
    assert!(photograph(&screen).yarns[0].known.is_none());
    retype(&mut screen, "Known colour of yarn 1", &hex);
    screen.key_press(Key::Enter);
    settle(&mut screen);
    assert!(says(&screen, "A yarn of known colour makes every reading"));
    let yarns = &photograph(&screen).yarns;
    let first = yarns[0].done().unwrap().sample.colour.lstar();
    assert!((first - truths()[0].1.l).abs() < 0.5, "{first}");
    let after = &yarns[1].done().unwrap().sample;
    assert!(after.error.total() < before.error.total() && after.colour != before.colour);
    // Cleared, it is as before.
    retype(&mut screen, "Known colour of yarn 1", " ");
    screen.key_press(Key::Enter);
    settle(&mut screen);
    assert_eq!(photograph(&screen).yarns[1].done().unwrap().sample, before);
}

#[test]
fn bad_pictures_are_messages_and_leave_everything_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let saved = |name: &str, bytes: &[u8]| -> PathBuf {
        let path = folder.path().join(name);
        std::fs::write(&path, bytes).unwrap();
        path
    };
    let (_, demo) = huegauge::file::DEMO_PHOTOGRAPH;
    let slender = image::DynamicImage::new_rgb8(2000, 4);
    let thread = folder.path().join("thread.png");
    slender.save(&thread).unwrap();
    let mut damaged = demo.to_vec();
    // The length of the first segment.
    damaged[4..6].fill(0);
    let mut screen = with_demo();
    measure_the_light(&mut screen);
    click(&mut screen, "Find the yarns");
    let (number, yarns) = (photograph(&screen).number, photograph(&screen).yarns.clone());
    let before = project(&screen).clone();
    for (path, mend) in [
        (saved("nothing.jpg", &[]), "copy it again from the camera"),
        (saved("half.jpg", &demo[..demo.len() / 2]), "cut short"),
        (saved("damaged.jpg", &damaged), "is damaged"),
        (saved("press.tiff", &tiff(4, 5)), "save it as RGB"),
        (saved("vast.tiff", &tiff(60_000, 2)), "scale it down"),
        (saved("words.jpg", b"not a picture"), "save it as one of these"),
        (folder.path().join("gone.jpg"), "check the name"),
        (thread, "crop it first"),
    ] {
        open_file(&mut screen, &path);
        let name = path.file_name().unwrap().to_str().unwrap();
        assert!(says(&screen, name) && says(&screen, mend), "{name}: {mend}");
        assert!(desk(&screen).work.is_none());
        assert_eq!(photograph(&screen).number, number, "{name}: the picture stays");
        assert_eq!(photograph(&screen).yarns, yarns, "{name}: its yarns stay");
        // Said where its path was typed.
        click(&mut screen, "Cancel");
    }
    assert_eq!(*project(&screen), before);
}

#[test]
fn a_black_reference_is_refused_and_the_light_stays() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("night.png");
    image::DynamicImage::new_rgb8(200, 150).save(&path).unwrap();
    let mut screen = with_demo();
    open_file(&mut screen, &path);
    assert_eq!(photograph(&screen).name, "night.png");
    click(&mut screen, "Place it by figures");
    assert!(says(&screen, "choose a grey or white place"));
    assert!(photograph(&screen).light.is_none());
    click(&mut screen, "Dismiss message");
    click(&mut screen, "Find the yarns");
    assert!(says(&screen, "Draw a rectangle on each ball instead"));
}

#[test]
fn the_desk_outlives_another_project() {
    let mut screen = with_demo();
    let number = photograph(&screen).number;
    click(&mut screen, "Project");
    screen.get_by_label_contains("New").click();
    settle(&mut screen);
    click(&mut screen, "Create");
    assert_eq!(project(&screen).title, "Untitled");
    assert_eq!(photograph(&screen).number, number);
}
