//! Edges and what must pass through them, against `edge_stretch.csv` (each row with its source and basis).

use huegauge::knit::pieces::{Measure, SizeTable};
use huegauge::knit::{Edge, Passing, passes};
use huegauge::yarn::Basis;

use crate::common::{Row, assert_near, table};

fn row(id: &str) -> Row {
    table("edge_stretch.csv").into_iter().find(|row| row.text("id") == id).unwrap()
}

#[test]
fn edges_stretch_as_was_measured() {
    for (id, edge) in [
        ("E1", Edge::BindOff),
        ("E2", Edge::SuspendedBindOff),
        ("E4", Edge::KnitBackBindOff),
        ("E5", Edge::YarnOverBindOff),
    ] {
        let row = row(id);
        assert_eq!((row.text("unit"), row.text("basis")), ("%", "seen"));
        assert_near(row.place(), edge.stretch().high, 1.0 + row.number("value") / 100.0, 1e-9);
        assert_eq!(edge.stretch().basis, Basis::Seen);
    }
    for (id, edge) in [("E12", Edge::RibOneByOne), ("E13", Edge::RibTwoByTwo)] {
        let row = row(id);
        assert_near(row.place(), edge.stretch().high, row.number("value"), 1e-9);
    }
    assert_near("E18", Edge::Stockinette.stretch().low, 1.0 + row("E18").number("value") / 100.0, 1e-9);
    assert_eq!(row("E20").text("value"), "5-10");
    let stranded = Edge::Stranded.stretch();
    assert_eq!((stranded.low, stranded.high, stranded.basis), (1.05, 1.1, Basis::Derived));
    // A measured bind-off is one knitter's, so another may count on less.
    assert!(row("E1").text("confidence").contains("one knitter") && Edge::BindOff.stretch().low < 1.39);
}

fn woman(measure: Measure) -> f64 {
    let group = SizeTable::shipped().unwrap().group("Woman").unwrap();
    group.sizes.iter().find(|size| size.name == "M").unwrap().body.get(measure).unwrap()
}

/// S3: a sock 10 % smaller than the foot must pass 1.51 times its girth over the heel, more than the
/// standard bind-off or floats give.
#[test]
fn a_sock_must_pass_the_heel() {
    let sock = 0.9 * woman(Measure::Foot);
    let found = passes(sock, Edge::BindOff, woman(Measure::Heel));
    assert_near("S3", found.needed, row("S3").number("value"), 0.01);
    assert_eq!(found.verdict, Passing::DoesNot);
    assert_eq!(passes(sock, Edge::Stranded, woman(Measure::Heel)).verdict, Passing::DoesNot);
    assert_eq!(passes(sock, Edge::YarnOverBindOff, woman(Measure::Heel)).verdict, Passing::Passes);
    assert_eq!(passes(sock, Edge::RibOneByOne, woman(Measure::Heel)).verdict, Passing::Passes);
}

/// N13, C1, S1: the ratios of our sizes are the measured ones.
#[test]
fn openings_must_stretch_as_far_as_bodies_were_measured() {
    let head = passes(woman(Measure::NeckBase), Edge::BindOff, woman(Measure::Head));
    assert_near("N13", head.needed, row("N13").number("value"), 0.01);
    assert_eq!(head.verdict, Passing::DoesNot);
    assert_near("C1", woman(Measure::Hand) / woman(Measure::Wrist), row("C1").number("value"), 0.01);
    assert_near("S1", woman(Measure::Heel) / woman(Measure::Ankle), row("S1").number("value"), 0.01);
    // N4: the neck of a baby's first sweater, ribbing of 10 in, passes a head of 17 in.
    assert!(row("N4").text("note").contains("x1.7"));
    assert_eq!(passes(10.0, Edge::RibOneByOne, 17.0).verdict, Passing::Passes);
}
