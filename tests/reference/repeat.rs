//! Stitch and repeat arithmetic against published worked examples.
//!
//! Sources are in the last column of `worked_examples.csv`: W8 and W9 are from teaching
//! pages, W12 from a published handbook of circular knitting.

use super::common::table;
use huegauge::chart::repeat_fit;
use huegauge::knit::Gauge;
use huegauge::units::CM_PER_INCH;

/// Inputs and exact output of a worked example.
fn example(id: &str) -> (String, Vec<f64>) {
    let rows = table("worked_examples.csv");
    let row = rows.iter().find(|row| row.text("id") == id).unwrap();
    (row.text("inputs").to_owned(), numbers(row.text("exact")))
}

/// The numbers in a text, in order.
fn numbers(text: &str) -> Vec<f64> {
    let number = |part: &str| part.parse().ok();
    text.split(|c: char| !c.is_ascii_digit() && c != '.').filter_map(number).collect()
}

/// A gauge from stitches and rows per inch.
fn per_inch(stitches: f64, rows: f64) -> Gauge {
    Gauge::new(stitches * 10.0 / CM_PER_INCH, rows * 10.0 / CM_PER_INCH).unwrap()
}

#[test]
fn w8_stitches_and_rows_of_a_blanket() {
    let (inputs, exact) = example("W8");
    let [stitches, rows, width, height] = numbers(&inputs)[..] else { panic!("{inputs}") };
    let gauge = per_inch(stitches, rows);
    assert_eq!(f64::from(gauge.stitches_in(width * CM_PER_INCH)), exact[0]);
    assert_eq!(f64::from(gauge.rows_in(height * CM_PER_INCH)), exact[1]);
}

#[test]
fn w9_a_motif_repeated_around() {
    let (inputs, exact) = example("W9");
    let [per_in, girth, motif] = numbers(&inputs)[..] else { panic!("{inputs}") };
    let gauge = per_inch(per_in, per_in);
    let stitches = gauge.stitches_in(girth * CM_PER_INCH);
    let fit = repeat_fit(stitches, motif as u32, 0, gauge);
    assert!(fit.divides());
    assert_eq!([f64::from(stitches), f64::from(fit.repeats)], exact[..]);
}

#[test]
fn w12_a_round_swatch_takes_the_next_multiple() {
    let (inputs, exact) = example("W12");
    let [per_in, girth, multiple] = numbers(&inputs)[..] else { panic!("{inputs}") };
    let gauge = per_inch(per_in, per_in);
    let stitches = gauge.stitches_in(girth * CM_PER_INCH);
    let fit = repeat_fit(stitches, multiple as u32, 0, gauge);
    assert!(!fit.divides());
    let nearest = fit.above.unwrap();
    let found = [f64::from(stitches), f64::from(nearest.stitches), f64::from(nearest.repeats)];
    assert_eq!(found, exact[..]);
    // Two stitches of a fifth of an inch.
    assert!((nearest.change_cm - 2.0 / per_in * CM_PER_INCH).abs() < 1e-9);
}
