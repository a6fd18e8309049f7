//! Shade cards on disk: RON of their own and CSV for spreadsheets.

use std::fs;

use huegauge::colour::Colour;
use huegauge::file::{card_from_str, card_to_string, load_card, save_card, shades_from_csv, shades_to_csv};
use huegauge::units::Price;
use huegauge::yarn::{
    ColourSource, MOST_OTHERS, PutUp, Shade, ShadeCard, Stock, Variation, VariationKind, YarnMake,
};
use proptest::prelude::*;

/// Texts as people type them, with what trips CSV and RON; no spaces at the ends.
fn text() -> impl Strategy<Value = String> {
    r#"[a-zåéß"',;\\(){}#0-9=+-]([a-z ,;"'\n\t]{0,8}[a-z!."])?"#
}

/// Any way a colour changes along the strand, its other colours such as a screen shows.
fn variation() -> impl Strategy<Value = Variation> {
    let hex = (0..0x100_0000_u32).prop_map(|code| Colour::from_hex(&format!("#{code:06x}")).unwrap());
    let kind = proptest::sample::select(&VariationKind::ALL[..]);
    (kind, proptest::option::of(0.01..1_000.0), proptest::collection::vec(hex, 0..=MOST_OTHERS))
        .prop_map(|(kind, change_m, others)| Variation { kind, change_m, others })
}

/// Any shade.
pub fn shade() -> impl Strategy<Value = Shade> {
    let colour = (0.0..=1.0, 0.0..=0.4, 0.0..360.0).prop_map(|(l, c, h)| Colour::clamped(l, c, h));
    let stock = prop_oneof![Just(Stock::InStock), Just(Stock::Out), (1..99_u32).prop_map(Stock::Owned)];
    let put_up =
        proptest::option::of((5.0..5_000.0, 1.0..5_000.0).prop_map(|(m, g)| PutUp::new(m, g).unwrap()));
    (
        (text(), text(), text(), text(), text()),
        (colour, proptest::sample::select(&ColourSource::ALL[..]), 0.0..100.0),
        (proptest::option::of(0..=7_u8), put_up, proptest::option::of(0.0..500.0), stock),
        proptest::option::of(variation()),
    )
        .prop_map(
            |((name, code, fibre, dye_lot, photo), (colour, source, uncertainty), yarn, varies)| {
                let (weight_class, put_up, ball_price, stock) = yarn;
                Shade {
                    name,
                    code,
                    colour,
                    source,
                    uncertainty,
                    fibre,
                    weight_class,
                    put_up,
                    ball_price: ball_price.map(Price::clamped),
                    stock,
                    dye_lot,
                    photo,
                    second: None,
                    varies,
                    make: YarnMake::default(),
                }
            },
        )
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_card_comes_back_as_it_was(name in text(), shades in proptest::collection::vec(shade(), 0..8)) {
        let card = ShadeCard::new(name, shades).unwrap();
        prop_assert_eq!(card_from_str(&card_to_string(&card).unwrap(), "card.ron").unwrap(), card);
    }

    #[test]
    fn a_table_comes_back_as_it_was(shades in proptest::collection::vec(shade(), 1..8)) {
        let table = shades_to_csv(&shades).unwrap();
        prop_assert_eq!(shades_from_csv(table.as_bytes(), "card.csv").unwrap().shades, shades);
    }

    #[test]
    fn no_table_brings_the_program_down(bytes in proptest::collection::vec(any::<u8>(), 0..300)) {
        let _ = shades_from_csv(&bytes, "card.csv");
        let headed = [b"name,hex,ball_price,m_per_100g,ball_g\n", &bytes[..]].concat();
        let _ = shades_from_csv(&headed, "card.csv");
    }
}

fn sample() -> ShadeCard {
    let bucket = Shade {
        weight_class: Some(4),
        put_up: PutUp::new(200.0, 50.0).ok(),
        ball_price: Price::new(7.5).ok(),
        stock: Stock::Owned(2),
        ..Shade::new("Dull bucket", Colour::from_hex("#d8cbb2").unwrap())
    };
    ShadeCard::new(
        "Crooked Ladder (invented)",
        vec![bucket, Shade::new("Green gutter", Colour::from_hex("#4d6b2a").unwrap())],
    )
    .unwrap()
}

#[test]
fn a_card_is_saved_whole_and_opened() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("card.ron");
    save_card(&path, &sample()).unwrap();
    assert_eq!(load_card(&path).unwrap(), sample());
}

#[test]
fn wrong_cards_name_the_place_and_the_mend() {
    let text = card_to_string(&sample()).unwrap();
    let changed = |from: &str, to: &str| {
        assert!(text.contains(from), "no {from} in {text}");
        card_from_str(&text.replacen(from, to, 1), "card.ron").unwrap_err().to_string()
    };
    for (message, parts) in [
        (changed("weight_class: 4", "weight_class: 9"), &["card > shades 1", "from 0 to 7, not 9"][..]),
        (changed("ball_price: 7.5", "ball_price: -7.5"), &["card > shades 1", "the price must be between 0"]),
        (changed("ball_g: 50.0", "grams: 50.0"), &["no field 'grams'"]),
        (changed(", ball_g: 50.0", ""), &["card > shades 1", "need grams per ball"]),
        (changed("owned_balls: 2", "owned_balls: 0"), &["owned_balls of 1 or more"]),
        (changed("version: 1", "version: 7"), &["newer Huegauge (version 7)"]),
        (changed("huegauge-shade-card", "huegauge-project"), &["not a Huegauge shade card"]),
        (changed("#d8cbb2", "#ff0000"), &["the hex is #ff0000"]),
    ] {
        assert!(parts.iter().all(|part| message.contains(part)), "{message}");
        assert!(message.starts_with("card.ron") && !message.contains('\n'), "{message}");
    }
    for (text, part) in [
        ("", "empty"),
        ("name,hex\nDull bucket,#fff\n", "import a CSV table"),
        (&text[..text.len() / 2], "cut short"),
    ] {
        let message = card_from_str(text, "card.ron").unwrap_err().to_string();
        assert!(message.contains(part), "{message}");
    }
    let dir = tempfile::tempdir().unwrap();
    fs::write(dir.path().join("card.ron"), [0xff, 0xfe, 0]).unwrap();
    assert!(load_card(&dir.path().join("card.ron")).is_err());
}
