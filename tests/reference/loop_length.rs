//! Yarn per stitch against published loop geometry.
//!
//! Sources, in `tests/data/loop_geometry_constants.csv`: Munden, J. Text. Inst. 50 (1959) T448 (K1, K2);
//! Knapton et al., Text. Res. J. 38 (1968) 999 (K3). K1 and K2 are from memory, of high confidence.
//! W1 in `tests/data/worked_examples.csv`: a published examination question with its answer.

use huegauge::knit::{Gauge, LoopLength, Relaxation, grams_per_m2};
use huegauge::units::CM_PER_INCH;
use huegauge::yarn::{CountSystem, Tex};

use crate::common::{Row, assert_near, table};

fn row(name: &str, id: &str) -> Row {
    table(name).into_iter().find(|row| row.text("id") == id).unwrap()
}

/// The leading number of a field such as `5.5 +/-0.2`.
fn number(row: &Row, column: &str) -> f64 {
    row.text(column).split_whitespace().next().unwrap().parse().unwrap()
}

#[test]
fn the_constants_are_the_published_ones() {
    for (id, state) in ["K1", "K2", "K3"].into_iter().zip(Relaxation::ALL) {
        let published = row("loop_geometry_constants.csv", id);
        let constants = state.constants();
        assert_eq!(constants.kc, number(&published, "kc"), "{id}");
        assert_eq!(constants.kw, number(&published, "kw"), "{id}");
        assert_eq!(constants.ks, number(&published, "ks"), "{id}");
    }
}

#[test]
fn the_worked_example_of_stitch_density_comes_out() {
    let example = row("worked_examples.csv", "W1");
    assert_eq!(example.text("inputs"), "kw=4.2 kc=5.5 l=0.5 cm");
    let density = Relaxation::Full.constants().ks / (0.5 * 0.5);
    assert_near(example.place(), density, example.number("exact"), 1e-9);
}

#[test]
fn a_common_gauge_takes_just_under_2_cm_a_stitch() {
    // Our own arithmetic on K1 to K3 for 20 stitches and 28 rows per 10 cm.
    let length = LoopLength::from_gauge(Gauge::new(20.0, 28.0).unwrap());
    assert!((length.low - 1.84).abs() < 0.005, "{length:?}");
    assert!((length.likely - 1.96).abs() < 0.005, "{length:?}");
    assert!((length.high - 2.03).abs() < 0.005, "{length:?}");
}

#[test]
fn a_plain_row_takes_three_to_four_times_its_width() {
    // Common practice, no published source: three to four times. The published constants say kw =
    // 3.8 to 4.2 (+/- 0.1), for fabric of their own proportion of 1.3 rows to a stitch; a hand-knitting
    // page gives 1.25 (G2 in the file) and the common gauge 20 x 28 has 1.4.
    for rows_per_stitch in [1.25, 1.3, 1.35, 1.4] {
        for stitches in [10.0, 20.0, 28.0, 40.0] {
            let gauge = Gauge::new(stitches, stitches * rows_per_stitch).unwrap();
            let [low, high] = row_over_width(gauge);
            assert!(low >= 3.0 && high <= 4.3, "{stitches} x {rows_per_stitch}: {low} to {high}");
        }
    }
    let ratio = row_over_width(Gauge::new(20.0, 28.0).unwrap());
    assert!(ratio.iter().all(|ratio| (3.0..=4.2).contains(ratio)), "{ratio:?}");
}

/// How many times its own width a plain row takes, least and most.
fn row_over_width(gauge: Gauge) -> [f64; 2] {
    let length = LoopLength::from_gauge(gauge);
    [length.low, length.high].map(|loop_cm| loop_cm / gauge.stitch_width_cm())
}

#[test]
fn a_fingering_sweater_of_9570_cm2_weighs_331_to_365_g() {
    // Body 105 x 62 cm, two sleeves 45 x 34 cm, 28 x 36 per 10 cm, 400 m per 100 g: our arithmetic on
    // K1 and K3, against about 350 g (common practice, no published source).
    let area_cm2 = 105.0 * 62.0 + 2.0 * 45.0 * 34.0;
    let gauge = Gauge::new(28.0, 36.0).unwrap();
    let stitches = area_cm2 / (gauge.stitch_width_cm() * gauge.row_height_cm());
    let metres = LoopLength::from_gauge(gauge).metres(stitches);
    assert_eq!((metres.low / 4.0).round(), 331.0);
    assert_eq!((metres.high / 4.0).round(), 365.0);
    assert!((metres.likely / 4.0 - 350.0).abs() < 10.0);
}

/// G1, a textile handbook (read): grams per m2 = courses/in x wales/in x loop mm x 0.9155 / Ne.
#[test]
fn a_square_metre_weighs_what_the_handbook_says() {
    let published = row("loop_geometry_constants.csv", "G1");
    assert!(published.text("equation").contains("CPI*WPI*l(mm)*0.9155/Ne"));
    assert_eq!(published.text("basis"), "seen");
    for (courses, wales, loop_mm, ne) in [(40.0, 30.0, 2.9, 24.0), (9.0, 7.0, 15.0, 2.36)] {
        let gauge = Gauge::new(wales * 10.0 / CM_PER_INCH, courses * 10.0 / CM_PER_INCH).unwrap();
        let tex = Tex::new(CountSystem::Ne, ne).unwrap();
        let handbook = courses * wales * loop_mm * 0.9155 / ne;
        let found = grams_per_m2(loop_mm / 10.0, gauge, tex);
        // The handbook rounds 0.91527 to 0.9155.
        assert_near("g/m2", found, handbook, 3e-4 * handbook);
    }
}
