//! The swatch log against published relaxation, needle charts and swatch arithmetic.

use huegauge::knit::{
    Construction, Gauge, Needle, Relaxation, Swatch, SwatchFabric, SwatchFlag, SwatchSize, swatch_flags,
};
use huegauge::yarn::YarnId;

use crate::common::{assert_near, table};

/// `needle_sizes.csv`: the majority of five needle charts (read), the finest sizes from memory.
#[test]
fn needles_carry_the_published_numbers() {
    let rows = table("needle_sizes.csv");
    // Metric makers sell US 17 in 12 mm, as the note of the charts' 12.75 mm says.
    let metric = Needle::nearest(12.0).unwrap();
    let seventeen = rows.iter().find(|row| row.text("us") == "17").unwrap();
    assert!(seventeen.text("note").contains("12.0 mm on metric needles"));
    assert_eq!((metric.mm(), metric.us()), (12.0, Some("17")));
    let charted: Vec<Needle> = Needle::all().filter(|needle| *needle != metric).collect();
    assert_eq!(rows.len(), charted.len());
    for (row, needle) in rows.iter().zip(charted) {
        assert_near(row.place(), needle.mm(), row.number("mm"), 1e-9);
        assert_eq!(needle.us().unwrap_or(""), row.text("us"), "{}", row.place());
        assert_eq!(needle.old_uk().unwrap_or(""), row.text("uk_old"), "{}", row.place());
        assert_eq!(needle.provenance().contains("from memory:"), row.text("basis") == "from memory");
    }
}

/// A swatch knitted at one loop length and measured in two states of relaxation.
fn relaxed(from: Relaxation, to: Relaxation) -> Swatch {
    let (from, to) = (from.constants(), to.constants());
    // 28 stitches by 36 rows of 1.5 cm loops: width = stitches l / kw, height = rows l / kc.
    let size = |kw: f64, kc: f64| SwatchSize::new(28.0 * 1.5 / kw, 36.0 * 1.5 / kc).unwrap();
    let mut swatch = Swatch::new(YarnId(1), 3.0, SwatchFabric::Plain, Construction::Flat, (28, 36)).unwrap();
    swatch.before = Some(size(from.kw, from.kc));
    swatch.after = Some(size(to.kw, to.kc));
    swatch
}

/// `relaxation_change.csv`, the rows derived from Munden 1959 and Knapton et al. 1968: a swatch of wool
/// that relaxes shrinks by these per cents, and that is no felting.
#[test]
fn relaxing_wool_shrinks_as_published_and_is_not_called_felting() {
    let mut compared = 0;
    for row in table("relaxation_change.csv") {
        let to = match (row.text("from_state"), row.text("to_state")) {
            ("dry relaxed", "wet relaxed") => Relaxation::Wet,
            ("dry relaxed", "fully relaxed") => Relaxation::Full,
            _ => continue,
        };
        let swatch = relaxed(Relaxation::Dry, to);
        let change = swatch.wash_change().unwrap();
        assert_near(row.place(), change.width_percent, row.number("width_change_pct"), 0.05);
        assert_near(row.place(), change.length_percent, row.number("length_change_pct"), 0.05);
        // The published area of the wet state uses Munden's ks 21.6, not kc kw = 21.73.
        assert_near(row.place(), change.area_percent, row.number("area_change_pct"), 0.65);
        let found = swatch_flags(&swatch, SwatchFabric::Plain, Construction::Flat);
        assert!(!found.iter().any(|flag| matches!(flag, SwatchFlag::Felted { .. })), "{}", row.place());
        compared += 1;
    }
    assert_eq!(compared, 2);
}

/// `relaxation_change.csv`: a published hand-knit pattern reckons with 22 in growing to 25 3/4 in in
/// superwash wool (one designer, read).
#[test]
fn superwash_that_grows_as_in_the_published_pattern_is_flagged() {
    let row =
        table("relaxation_change.csv").into_iter().find(|row| row.text("material").contains("superwash"));
    let row = row.unwrap();
    let mut swatch =
        Swatch::new(YarnId(1), 4.0, SwatchFabric::Plain, Construction::Flat, (110, 170)).unwrap();
    swatch.before = Some(SwatchSize::new(50.0, 22.0 * 2.54).unwrap());
    swatch.after = Some(SwatchSize::new(50.0, 25.75 * 2.54).unwrap());
    let change = swatch.wash_change().unwrap();
    assert_near(row.place(), change.length_percent, row.number("length_change_pct"), 0.1);
    let found = swatch_flags(&swatch, SwatchFabric::Plain, Construction::Flat);
    assert!(matches!(found[..], [SwatchFlag::Grew { .. }]), "{found:?}");
}

/// Swatch arithmetic (a knitting-mathematics teaching page, `worked_examples.csv` W8): 6 stitches and
/// 7 rows to the inch over 36 in are 216 stitches and 252 rows.
#[test]
fn a_swatch_in_inches_gives_the_published_stitch_counts() {
    let mut swatch = Swatch::new(YarnId(1), 4.0, SwatchFabric::Plain, Construction::Flat, (24, 28)).unwrap();
    swatch.after = Some(SwatchSize::new(4.0 * 2.54, 4.0 * 2.54).unwrap());
    let Gauge { stitches, rows } = swatch.gauge_after().unwrap().gauge;
    assert_near("W8 stitches", stitches.get() / 10.0 * 36.0 * 2.54, 216.0, 1e-9);
    assert_near("W8 rows", rows.get() / 10.0 * 36.0 * 2.54, 252.0, 1e-9);
}
