//! Patterns written by hand, knitted through in every size.

use huegauge::words::{Knitted, Pattern};

pub const HAT: &str = include_str!("patterns/hat.txt");
pub const YOKE: &str = include_str!("patterns/yoke.txt");
pub const MITTENS: &str = include_str!("patterns/mittens.txt");
pub const SOCK_WASTE_YARN: &str = include_str!("patterns/sock_waste_yarn.txt");
pub const SOCK_FLAP: &str = include_str!("patterns/sock_flap.txt");
pub const DROP_SHOULDER: &str = include_str!("patterns/drop_shoulder.txt");
pub const RAGLAN: &str = include_str!("patterns/raglan.txt");
pub const BLANKET: &str = include_str!("patterns/blanket.txt");

pub const ALL: [(&str, &str); 8] = [
    ("hat", HAT),
    ("yoke", YOKE),
    ("mittens", MITTENS),
    ("sock with a heel on waste yarn", SOCK_WASTE_YARN),
    ("sock with a heel flap", SOCK_FLAP),
    ("dropped shoulders", DROP_SHOULDER),
    ("raglan", RAGLAN),
    ("blanket", BLANKET),
];

pub fn read(text: &str) -> Pattern {
    Pattern::read(text).unwrap_or_else(|error| panic!("{error}"))
}

fn knit(text: &str) -> Vec<Knitted> {
    read(text).knit_all()
}

#[test]
fn every_pattern_is_knitted_through_in_every_size() {
    for (name, text) in ALL {
        let pattern = read(text);
        for knitted in pattern.knit_all() {
            let size = pattern.sizes[knitted.size].as_str();
            for s in &knitted.stumbles {
                println!(
                    "{name}, {size}: {} {:?} step {} row {}: {}\n    {}",
                    s.piece, s.section, s.step, s.row, s.why, s.words
                );
            }
            assert!(knitted.is_closed(), "{name}, {size}: {:?} {:?}", knitted.open, knitted.stumbles);
            assert_eq!(knitted.totals.live(), 0, "{name}, {size}");
        }
    }
}

#[test]
fn every_pattern_is_printed_as_it_was_written() {
    for (name, text) in ALL {
        for (printed, written) in read(text).to_text().lines().zip(text.lines()) {
            assert_eq!(printed, written, "{name}");
        }
    }
}

#[test]
fn the_hat_has_the_rounds_and_stitches_of_its_sums() {
    let knitted = knit(HAT);
    let rounds: Vec<u64> = knitted.iter().map(Knitted::rows).collect();
    // 16 + 21 + 8 (10, 12) + 23 (25, 27), as in the pattern's own sum.
    assert_eq!(rounds, [68, 72, 76]);
    for (knitted, cast_on) in knitted.iter().zip([130u64, 140, 150]) {
        assert_eq!(knitted.totals.cast_on, cast_on);
        assert_eq!((knitted.totals.drawn, knitted.totals.lost), (10, cast_on - 10));
    }
    // S: 45 rounds of 130; then pairs of rounds of 120 to 20 (the last plain round with them), and 10.
    let crown: u64 = (2..=12).map(|tens| 2 * 10 * tens).sum();
    assert_eq!(knitted[0].stitches(), 45 * 130 + crown + 10);
}
