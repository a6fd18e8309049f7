//! The weight classes against the published Standard Yarn Weight System.
//!
//! Source: Craft Yarn Council, Standard Yarn Weight System (`tests/data/cyc_yarn_weights.csv`, where
//! each row says how its values were seen). Metres per 100 g are not part of the standard: they come
//! from a trade table by plies in the same file.

use huegauge::units::MetresPer100G;
use huegauge::yarn::{Span, WeightClass};

use crate::common::{Row, table};

fn rows() -> Vec<Row> {
    table("cyc_yarn_weights.csv")
}

/// A published end: `40+` and `>800` are open, an empty field is unknown, so open as well.
fn end(row: &Row, column: &str) -> Option<f64> {
    row.text(column).parse().ok()
}

fn class(row: &Row) -> WeightClass {
    WeightClass::from_number(row.number("cyc") as u8).unwrap()
}

fn span(row: &Row, from: &str, to: &str) -> Span {
    Span { from: end(row, from), to: end(row, to) }
}

#[test]
fn every_class_has_the_published_values() {
    let rows = rows();
    assert_eq!(rows.len(), WeightClass::ALL.len());
    for row in &rows {
        let facts = class(row).facts();
        assert_eq!(facts.name, row.text("name"));
        assert_eq!(facts.types, row.text("types"));
        assert_eq!(facts.needle_mm, span(row, "needle_mm_min", "needle_mm_max"), "{}", facts.name);
        assert_eq!(facts.wraps_per_inch, span(row, "wpi_min", "wpi_max"), "{}", facts.name);
        let metres = span(row, "m_per_100g_min", "m_per_100g_max");
        assert_eq!(facts.metres_per_100_g, metres, "{}", facts.name);
        assert!(facts.needle_us.starts_with(row.text("needle_us_min")), "{}", facts.name);
        assert!(facts.needle_us.ends_with(row.text("needle_us_max")) || row.text("needle_us_max").is_empty());
        // Class 7 is published as "6 stitches and fewer"; the file writes its open end as 1.
        let published = span(row, "sts_per_4in_min", "sts_per_4in_max");
        let stitches = facts.stitches_per_4_in;
        assert_eq!(stitches.to, published.to, "{}", facts.name);
        assert_eq!(stitches.from.or(Some(1.0)), published.from, "{}", facts.name);
    }
}

#[test]
fn a_traded_grist_finds_its_class() {
    for row in &rows() {
        for metres in ["m_per_100g_min", "m_per_100g_max"].into_iter().filter_map(|field| end(row, field)) {
            let grist = MetresPer100G::new(metres).unwrap();
            assert!(WeightClass::for_grist(grist).classes.contains(&class(row)), "{metres}");
        }
    }
}
