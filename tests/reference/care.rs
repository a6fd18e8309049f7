//! Care symbols against ISO 3758:2012 (`care_symbols_iso3758.csv`; the wording was checked against two
//! care-label reference pages, what is from memory is marked there).

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
    assert_eq!(compared, CareSymbol::all().count());
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
