//! The words of written rows against the published list of abbreviations.

use crate::common::table;
use huegauge::export::written_rows::ABBREVIATIONS;

/// Craft Yarn Council, knit abbreviations master list (the table says which are from memory). The list
/// spells "color"; we spell "colour".
#[test]
fn every_abbreviation_is_in_the_master_list_with_the_same_meaning() {
    let published = table("abbreviations.csv");
    for (abbreviation, meaning) in ABBREVIATIONS {
        let row = published.iter().find(|row| row.text("abbr") == abbreviation).unwrap();
        assert_eq!(row.text("meaning").replace("color", "colour"), meaning, "{abbreviation}");
    }
}
