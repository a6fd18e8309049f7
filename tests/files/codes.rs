//! One code for one colour, whatever leaves the program.

use huegauge::export::chart_picture::{PictureOptions, draw};
use huegauge::export::drawing::{Drawing, Item};
use huegauge::export::sheet::SheetOptions;
use huegauge::export::{card, colour_list, inspect, sheet, written_rows, yardage};
use huegauge::file;
use huegauge::project::figures::Figures;
use huegauge::project::shopping::Shopping;
use huegauge::project::{code_and_role, colour_code, key_entry};
use serde_json::Value;

/// All words of a drawing.
fn words(drawing: &Drawing) -> String {
    let items = drawing.layers.iter().flat_map(|layer| &layer.items);
    let texts = items.filter_map(|item| match item {
        Item::Text(line) => Some(line.text.as_str()),
        _ => None,
    });
    texts.collect::<Vec<_>>().join(" ")
}

#[test]
fn every_export_calls_a_colour_by_the_same_code_and_role() {
    for demo in file::demos() {
        let project = demo.project().unwrap();
        let shopping = Shopping::of(&project, None, None).unwrap();
        let pages: Vec<String> =
            sheet::pages(&project, &SheetOptions::default()).unwrap().iter().map(words).collect();
        let texts = [
            ("rows", written_rows::of_project(&project)),
            ("sheet", pages.join(" ")),
            ("chart", words(&draw(&project, &PictureOptions::default()).unwrap())),
            ("card", words(&card::draw(&project, &shopping))),
            ("yardage", yardage::text(&project, &shopping)),
            ("styles", colour_list::css(&project)),
            ("tokens", colour_list::tokens(&project).unwrap()),
        ];
        let table = yardage::csv(&project, &shopping).unwrap();
        let inspected: Value =
            serde_json::from_str(&inspect::json(&project, &Figures::of(&project)).unwrap()).unwrap();
        for (index, slot) in project.palette.slots().iter().enumerate() {
            let code = code_and_role(index, slot.role);
            for (what, text) in &texts {
                assert!(text.contains(&code), "{}: no '{code}' in {what}: {text}", demo.title);
            }
            for (what, text) in &texts[..2] {
                assert!(text.contains(&key_entry(index, slot)), "{}: {what}", demo.title);
            }
            let code = colour_code(index);
            assert!(table.lines().nth(index + 1).unwrap().contains(&format!(",{code},")), "{table}");
            for list in [&inspected["yarn"], &inspected["pieces_yarn"]["colours"]] {
                assert_eq!(list[index]["colour"], slot.name.as_str());
                assert_eq!(list[index]["code"], code.as_str());
            }
        }
        for finding in inspected["findings"].as_array().unwrap() {
            let of = |key: &str| finding[key].as_array().unwrap().len();
            assert_eq!(of("codes"), of("colours"));
        }
        for (what, text) in &texts {
            let mut parts = text.split(|c: char| !c.is_alphanumeric());
            let old = parts.find(|part| ["MC", "CC", "CC1"].contains(part));
            assert!(old.is_none() && !text.contains("main colour"), "{}: {old:?} in {what}", demo.title);
        }
    }
}
