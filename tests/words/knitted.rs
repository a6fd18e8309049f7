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

/// Many write so, though 4 in are 10.16 cm.
#[test]
fn a_gauge_with_inches_beside_it_is_read_as_one_in_centimetres() {
    let beside = HAT.replace("in 10 cm.", "in 10 cm (4 in).");
    assert_ne!(beside, HAT);
    assert_eq!(read(&beside), read(HAT));
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

/// The first thing that is wrong with a text in its first size.
fn first_stumble(text: &str, from: &str, to: &str) -> String {
    assert!(text.contains(from), "{from}");
    let knitted = read(&text.replacen(from, to, 1)).knit(0);
    match (knitted.stumbles.first(), knitted.open.first()) {
        (Some(stumble), _) => stumble.why.clone(),
        (None, Some(open)) => format!("open: {}, {} sts", open.place, open.stitches),
        (None, None) => "nothing".to_owned(),
    }
}

/// A pattern, some words of it, what they are changed to, and how the knitter then begins to complain.
const STUMBLES: [(&str, &str, &str, &str); 30] = [
    (HAT, "120 (130, 140) sts.", "121 (130, 140) sts.", "121 sts are said, but 120 are on the needle"),
    (HAT, "Rnds 17–37", "Rnds 18–38", "rnd 18 is said, but rnd 17 comes next"),
    (HAT, "Rnds 17–37", "Rnds 17–36", "20 rnds are said, but 21 rows of the chart"),
    (HAT, "13 (14, 15) repeats", "12 (14, 15) repeats", "chart row 1 takes 120 sts, but 130 are there"),
    (HAT, "repeats of 10 sts", "repeats of 12 sts", "a repeat of chart 1 is 10 sts, not 12"),
    (HAT, "rnds 1–21 of", "rnds 2–22 of", "chart 1 has no row 22"),
    (HAT, "*k11 (12, 13)", "*k12 (13, 14)", "the repeat does not come out even: 4 sts are left over"),
    (
        HAT,
        "9 (10, 11) times more",
        "11 (10, 11) times more",
        "no sts are left before each k2tog to work fewer of",
    ),
    (HAT, "before each k2tog", "before each ssk", "no k or p stands right before a ssk in the last row"),
    (HAT, "Rnd 2 and every even rnd: k.\n", "", "rnd 3 is said, but rnd 2 comes next"),
    (HAT, "k2tog 10 times", "k2tog 9 times", "2 sts are left at the end of the rnd"),
    (HAT, "Cut the yarn to", "Cut B to", "B was not worked in the last row"),
    (
        HAT,
        "through the 10 sts",
        "through the 9 sts",
        "9 sts are to be drawn together, but 10 are on the needle",
    ),
    (
        HAT,
        "Place a marker and join for the round without twisting.\n",
        "",
        "a rnd is asked for, but the piece is not joined",
    ),
    (HAT, "Change to the larger", "Change to the finer", "that needle is in use already"),
    (HAT, "So far 68", "So far 67", "67 rnds are said to be worked, but 68 are"),
    (HAT, "With A and the finer needle, cast", "With the finer needle, cast", "no colour is said"),
    (
        YOKE,
        "k64 (65, 71) of the right sleeve",
        "k65 (65, 71) of the right sleeve",
        "the right sleeve has 64 sts, not 65",
    ),
    (YOKE, "of the right sleeve", "of the right arm", "no sts are called 'right arm'"),
    (
        YOKE,
        "Graft the 20 (23, 25) sts of the left body",
        "Graft the 19 (23, 25) sts of the left body",
        "the left body underarm has 20 sts, not 19",
    ),
    (
        YOKE,
        "10 (11, 12) sts on waste yarn for the left body underarm.",
        "9 (11, 12) sts on waste yarn for the left body underarm.",
        "1 st is left on the needle, and nothing is said of them",
    ),
    (
        YOKE,
        "Next row (RS): k20",
        "Next row (WS): k20",
        "the row is said to be on the WS, but it falls on the RS",
    ),
    (
        YOKE,
        "Next rnd: k, closing the gaps.",
        "Next rnd: k.",
        "a gap of the short rows is passed without being closed",
    ),
    (YOKE, "Remove the markers.\n", "", "a marker lies inside the k2tog"),
    (MITTENS, "remove marker, place the next", "place the next", "a marker lies inside the k2tog"),
    (MITTENS, "of the thumb, pick", "of the gusset, pick", "no sts are called 'gusset'"),
    (
        SOCK_WASTE_YARN,
        "30 (32) sts below",
        "31 (32) sts below",
        "the opening has 30 sts, not 31 below and 30 above",
    ),
    (
        SOCK_FLAP,
        "every 2 of 30 rows",
        "every 2 of 40 rows",
        "1 sts for every 2 of 40 rows are 20 sts, not 15",
    ),
    (
        SOCK_FLAP,
        "every 2 of 30 rows",
        "every 2 of 32 rows",
        "1 sts for every 2 of 32 rows are 16 sts, not 15",
    ),
    (
        SOCK_FLAP,
        "k to 1 st before the turn, ssk",
        "k to 1 st before the turn, k2",
        "18 sts are said, but 23 are on the needle",
    ),
];

#[test]
fn a_stumble_says_what_is_wrong() {
    for (text, from, to, expected) in STUMBLES {
        let why = first_stumble(text, from, to);
        assert!(why.starts_with(expected), "{from} -> {to}: {why}");
    }
}

#[test]
fn what_nothing_closes_stays_open() {
    let cases = [
        (
            YOKE,
            "Graft the 20 (23, 25) sts of the left body underarm to those of the left underarm.\n",
            "open: left body underarm, set aside, 20 sts",
        ),
        (
            SOCK_FLAP,
            "Graft the first 10 sts to the last 10 sts.\n",
            "open: Sock (first), on the needle, 20 sts",
        ),
        (
            DROP_SHOULDER,
            "Bind off all 82 (92) sts with a stretchy method.\n",
            "open: Body, on the needle, 82 sts",
        ),
    ];
    for (text, without, expected) in cases {
        assert_eq!(first_stumble(text, without, ""), expected);
    }
    let heel = SOCK_WASTE_YARN.split("### Heel").next().unwrap();
    assert_eq!(first_stumble(heel, "Graft", "Graft"), "open: first heel, on waste yarn, 30 sts");
    let provisional = HAT.replace("with a stretchy method", "provisionally on waste yarn");
    assert_eq!(first_stumble(&provisional, "k", "k"), "open: provisional cast-on, 130 sts");
}
