//! Care symbols against ISO 3758: the symbols of 2012, which stay (`care_symbols_iso3758.csv`; the wording was checked against two
//! care-label reference pages, what is from memory is marked
//! there), and what the edition of 2023 changes (`care_iso3758_2023.csv`; four notices read, the standard
//! itself was not).

use huegauge::yarn::{CareGroup, CareLabel, CareSymbol, WashLimit};

use crate::common::table;

fn numbers(text: &str) -> Vec<u16> {
    text.split(|c: char| !c.is_ascii_digit()).filter_map(|word| word.parse().ok()).collect()
}

#[test]
fn every_symbol_of_the_standard_has_its_group_its_meaning_and_its_temperature() {
    let mut compared = 0;
    for row in table("care_symbols_iso3758.csv") {
        let group = match row.text("group") {
            "wash" => CareGroup::Washing,
            "bleach" => CareGroup::Bleaching,
            "tumble" => CareGroup::TumbleDrying,
            "natural dry" => CareGroup::NaturalDrying,
            "iron" => CareGroup::Ironing,
            "professional" => CareGroup::ProfessionalCare,
            other => panic!("{}: {other}", row.place()),
        };
        for code in row.text("code").split(" / ") {
            let symbol = CareSymbol::all().find(|s| s.code() == code && s.group() == group);
            let symbol = symbol.unwrap_or_else(|| panic!("{}: no symbol {code}", row.place()));
            let (published, ours) = (row.text("meaning"), symbol.meaning());
            assert_eq!(numbers(ours), numbers(published), "{}: {ours}", row.place());
            assert_eq!(
                ours.starts_with("Do not"),
                published.starts_with("do not"),
                "{}: {ours}",
                row.place()
            );
            assert_eq!(
                symbol.provenance().contains("memory"),
                row.text("basis").contains("memory"),
                "{}: {}",
                row.place(),
                symbol.provenance()
            );
            compared += 1;
        }
    }
    // The two that are new in 2023 are below.
    assert_eq!(compared + 2, CareSymbol::all().count());
}

#[test]
fn the_new_symbols_of_2023_are_there_and_no_temperature_changed() {
    let rows = table("care_iso3758_2023.csv");
    let new: Vec<_> = rows
        .iter()
        .filter(|row| row.text("iso3758_2023").starts_with("NEW: "))
        .map(|row| (row.text("group"), row.text("item")))
        .collect();
    assert_eq!(new, [("wash", "by hand at ambient temperature"), ("iron", "without steam")]);
    for (code, group, meaning) in [
        ("tub hand one bar", CareGroup::Washing, "by hand at ambient temperature"),
        ("plus crossed steam", CareGroup::Ironing, "without steam"),
    ] {
        let symbol = CareSymbol::from_code(code).unwrap();
        assert_eq!(symbol.group(), group);
        assert!(symbol.meaning().ends_with(meaning) && numbers(symbol.meaning()).is_empty());
        assert!(symbol.provenance().contains("ISO 3758:2023") && symbol.provenance().contains("new"));
    }
    for item in ["temperatures", "tumble and natural drying"] {
        let row = rows.iter().find(|row| row.text("item") == item).unwrap();
        assert!(row.text("iso3758_2023").starts_with("no change"), "{}", row.place());
    }
}

#[test]
fn wash_limits_are_the_published_ones() {
    for row in table("care_symbols_iso3758.csv").iter().filter(|row| row.text("group") == "wash") {
        let limit = CareLabel::from_codes([row.text("code")]).unwrap().wash_limit().unwrap();
        let published = row.text("meaning");
        let expected = match (published, numbers(published).as_slice()) {
            ("do not wash", _) => WashLimit::Never,
            (hand, _) if hand.contains("hand") => WashLimit::ByHand,
            (machine, [max_celsius]) => WashLimit::Machine {
                max_celsius: *max_celsius,
                agitation: match machine {
                    m if m.contains("very mild") => 0,
                    m if m.contains("mild") => 1,
                    _ => 2,
                },
            },
            other => panic!("{}: {other:?}", row.place()),
        };
        assert_eq!(limit, expected, "{}", row.place());
    }
}
