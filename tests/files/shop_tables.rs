//! Five tables as shops have them (invented shops, yarns and prices), made into shade cards without a window.

use std::path::PathBuf;

use huegauge::file::load_card;
use huegauge::yarn::{ShadeCard, Stock};
use serde_json::Value;

use crate::headless::{ok, refused};

fn table(name: &str) -> String {
    let path: PathBuf = [env!("CARGO_MANIFEST_DIR"), "tests", "data", "shop_tables", name].iter().collect();
    path.display().to_string()
}

fn card_of(name: &str, more: &[&str]) -> (Value, ShadeCard) {
    let dir = tempfile::tempdir().unwrap();
    let out = dir.path().join("card.ron");
    let (table, path) = (table(name), out.display().to_string());
    let answer = ok(&[&["card", &table, "--out", &path][..], more].concat());
    (serde_json::from_str(&answer).unwrap(), load_card(&out).unwrap())
}

fn lines(answer: &Value) -> Vec<u64> {
    answer["set_aside"].as_array().unwrap().iter().map(|entry| entry["line"].as_u64().unwrap()).collect()
}

#[test]
fn pounds_yards_and_crlf() {
    let (answer, card) = card_of("harbour_stall.csv", &[]);
    assert_eq!((answer["shades"].as_u64(), answer["currency"].as_str()), (Some(3), Some("£")));
    assert_eq!(answer["columns"]["length"], "Yardage");
    assert_eq!(answer["columns"]["code"], "Shade no");
    assert_eq!(lines(&answer), [5], "an empty line counts too");
    assert_eq!(answer["unpriced"][0]["line"], 6, "words in place of a price leave it open");
    assert!(answer["set_aside"][0]["why"].as_str().unwrap().contains("'slate' is not a colour"));
    let lid = &card.shades()[0];
    // 230 yd of 0.9144 m in 100 g.
    assert!((lid.put_up.unwrap().grist.get() - 210.312).abs() < 1e-9);
    assert_eq!((lid.name.as_str(), lid.ball_price.unwrap().get()), ("Tin lid", 14.5));
}

#[test]
fn german_headings_semicolons_and_decimal_commas() {
    let (answer, card) = card_of("kontor.csv", &[]);
    assert_eq!(answer["shades"], 3);
    for (field, heading) in [
        ("name", "Farbe"),
        ("code", "Farb-Nr."),
        ("hex", "RGB"),
        ("ball_price", "Preis (€)"),
        ("in_stock", "Lagerbestand"),
    ] {
        assert_eq!(answer["columns"][field], heading);
    }
    assert_eq!(lines(&answer), [5], "1 m in 50 g is no yarn");
    let stock: Vec<Stock> = card.shades().iter().map(|shade| shade.stock).collect();
    assert_eq!(stock, [Stock::InStock, Stock::Out, Stock::Out]);
    assert!((card.shades()[0].put_up.unwrap().metres_per_ball() - 125.0).abs() < 1e-9);
}

#[test]
fn tabs_and_channels_in_columns() {
    let (answer, card) = card_of("mill_list.tsv", &[]);
    assert_eq!(answer["columns"]["red"], "R");
    assert_eq!(lines(&answer), [4]);
    assert_eq!(card.shades()[1].colour.to_hex(), "#a3421f");
    assert!((card.shades()[1].put_up.unwrap().metres_per_ball() - 110.0).abs() < 1e-9);
}

#[test]
fn utf_16_and_measured_colours() {
    let (answer, card) = card_of("labor_utf16.csv", &[]);
    assert_eq!(answer["columns"]["lab_l"], "L*");
    assert_eq!(answer["columns"]["m_per_100g"], "m/100g");
    assert_eq!(lines(&answer), [4]);
    let lab = card.shades()[0].colour.to_lab();
    assert!((lab.l - 55.2).abs() < 0.01 && (lab.a - 8.1).abs() < 0.01 && (lab.b - 20.4).abs() < 0.01);
}

#[test]
fn headings_of_their_own_are_told() {
    refused(&["card", &table("attic.csv"), "--out", "never.ron"], &["no column 'name'"]);
    let columns = "name=What we call it,length=Puts up at,price=Ask";
    let (answer, card) = card_of("attic.csv", &["--columns", columns]);
    assert_eq!(answer["columns"]["ball_price"], "Ask");
    assert_eq!(lines(&answer), [5, 6], "a cell of two lines moves the others down");
    assert_eq!(card.shades().len(), 2);
    refused(
        &["card", &table("attic.csv"), "--out", "never.ron", "--columns", "name=Nothing"],
        &["no column is headed 'Nothing'", "Web colour"],
    );
    refused(
        &["card", &table("attic.csv"), "--out", "never.ron", "--columns", "smell=Ask"],
        &["no field 'smell'"],
    );
}
