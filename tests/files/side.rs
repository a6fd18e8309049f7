//! `huegauge side`: held to what `inspect` and the window's own figures say.

use huegauge::file;
use huegauge::project::Side;
use huegauge::yarn::WeightClass;
use serde_json::Value;

use crate::common::assert_near;
use crate::headless::{ok, refused, yoke};

fn printed(args: &[&str]) -> Value {
    serde_json::from_str(&ok(args)).unwrap()
}

#[test]
fn the_first_side_is_what_inspect_says_and_the_second_what_the_window_shows() {
    let yoke = yoke();
    let both = printed(&["side", &yoke]);
    let inspected = printed(&["inspect", &yoke]);
    let size =
        inspected["sizes"].as_array().unwrap().iter().find(|size| size["name"] == both["size"]).unwrap();
    let first = &both["sides"][0];
    for (key, there) in [
        ("metres_likely", "metres_likely"),
        ("grams_likely", "grams_likely"),
        ("balls_to_buy", "balls"),
        ("cost_to_buy", "cost"),
    ] {
        assert_eq!(first[key], size[there], "{key}");
    }
    assert_eq!(first["hours"], size["hours"]);
    assert_eq!(first["stitches_per_10_cm"], inspected["gauge"]["stitches_per_10_cm"]);
    let project = file::load(std::path::Path::new(&yoke)).unwrap();
    let shown = project.side_by_side(&project.first_sides(), &[]).unwrap();
    let second = &both["sides"][1];
    assert_eq!(second["name"], shown[1].name);
    assert_eq!(second["stitches"], shown[1].stitches);
    assert_near("hours", second["hours"].as_f64().unwrap(), shown[1].hours, 0.06);
    assert_eq!(second["warmth"], shown[1].meaning.warmth);
    assert!(second["smallest_square"]["width_cm"].as_f64() > first["smallest_square"]["width_cm"].as_f64());
}

#[test]
fn a_size_and_two_classes_are_chosen_by_name_and_what_is_neither_is_refused() {
    let yoke = yoke();
    let both = printed(&["side", &yoke, "--first", "1", "--second", "bulky", "--size", "S"]);
    assert_eq!(both["size"], "S");
    let mut project = file::load(std::path::Path::new(&yoke)).unwrap();
    project.pieces.chosen = project.pieces.sizes.iter().position(|size| size.name == "S").unwrap();
    let sides = [WeightClass::SuperFine, WeightClass::Bulky].map(Side::Class);
    for (side, printed) in
        project.side_by_side(&sides, &[]).unwrap().iter().zip(both["sides"].as_array().unwrap())
    {
        assert_eq!(
            (&printed["balls"], &printed["weight_class"]),
            (&side.sum.balls().into(), &side.class.class().number().into())
        );
    }
    refused(&["side", &yoke, "--second", "rope"], &["--second", "'rope'", "0 to 7"]);
    refused(&["side"], &["side needs a project"]);
}

/// Ease is told by the same two figures in every place.
#[test]
fn ease_planned_and_as_worked_are_the_same_in_inspect_and_on_the_sheet() {
    let yoke = yoke();
    let inspected = printed(&["inspect", &yoke]);
    let project = file::load(std::path::Path::new(&yoke)).unwrap();
    let sizes = inspected["sizes"].as_array().unwrap();
    let eases = |key: &str| -> Vec<f64> { sizes.iter().map(|size| size[key].as_f64().unwrap()).collect() };
    let pages =
        huegauge::export::sheet::pages(&project, &huegauge::export::sheet::SheetOptions::default()).unwrap();
    let items = pages.iter().flat_map(|page| &page.layers).flat_map(|layer| &layer.items);
    let words: Vec<String> = items
        .filter_map(|item| match item {
            huegauge::export::drawing::Item::Text(text) => Some(text.text.clone()),
            _ => None,
        })
        .collect();
    let words = words.join(" ");
    for (key, name) in [("ease_planned_cm", "ease planned"), ("ease_as_worked_cm", "ease as worked")] {
        let told: Vec<String> = eases(key).iter().map(|cm| huegauge::plain_text::signed(*cm, 1)).collect();
        let alike = told.iter().all(|one| *one == told[0]);
        let told = if alike { told[0].clone() } else { format!("{} ({})", told[0], told[1..].join(", ")) };
        assert!(words.contains(&format!("{name} {told} cm")), "{name} {told} in {words}");
    }
    // Whole repeats never come to just what was planned.
    assert_ne!(eases("ease_planned_cm"), eases("ease_as_worked_cm"));
}
