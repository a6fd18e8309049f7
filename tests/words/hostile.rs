//! Words from anywhere: the reader answers with an error that helps, never a panic, and the knitter comes to
//! an end.

use crate::knitted::{ALL, HAT, read};
use crate::random::{Random, pattern};
use huegauge::words::{LeftOpen, MAX_STUMBLES, Pattern};

/// Reads, and knits what can be read.
fn try_out(text: &str) {
    match Pattern::read(text) {
        Ok(pattern) => {
            for knitted in pattern.knit_all() {
                assert!(knitted.stumbles.len() <= MAX_STUMBLES);
                assert!(knitted.stitches() <= 4_000_000);
                // Whatever went wrong, no stitch is lost from the book.
                let on_paper = |open: &&LeftOpen| {
                    !open.place.ends_with("on waste yarn") && open.place != "provisional cast-on"
                };
                let open: i64 =
                    knitted.open.iter().filter(on_paper).map(|open| i64::from(open.stitches)).sum();
                assert_eq!(knitted.totals.live(), open, "{:?} {:?}", knitted.stumbles, knitted.open);
            }
        }
        Err(error) => {
            assert!(error.line >= 1 && error.column >= 1);
            assert!(error.line <= text.lines().count() + 1, "{error}");
            assert!(!error.expected.is_empty() && !error.found.is_empty());
            assert!(error.to_string().len() < 600, "{error}");
        }
    }
}

#[test]
fn any_random_pattern_can_be_tried() {
    for seed in 10_000..10_300 {
        try_out(&pattern(seed).to_text());
    }
}

#[test]
fn letters_lost_doubled_and_swapped_are_survived() {
    let mut random = Random::new(11);
    for n in 0..1_500 {
        let mut letters: Vec<char> = ALL[n % ALL.len()].1.chars().collect();
        for _ in 0..=random.below(4) {
            if letters.len() < 2 {
                break;
            }
            let at = random.below(letters.len());
            match random.below(5) {
                0 => {
                    letters.remove(at);
                }
                1 => letters.insert(at, letters[at]),
                2 => {
                    letters[at] =
                        random.pick(&['(', ')', '*', '.', ',', ';', '#', '9', 'k', '\n', 'ß', '\0', '–']);
                }
                3 => letters.truncate(at.max(1)),
                _ => {
                    let other = random.below(letters.len());
                    letters.swap(at, other);
                }
            }
        }
        try_out(&letters.into_iter().collect::<String>());
    }
}

#[test]
fn soups_of_words_are_survived() {
    let mut random = Random::new(5);
    let head_end = HAT.find("### Brim").unwrap();
    let words: Vec<&str> = ALL.iter().flat_map(|(_, text)| text.split_inclusive(' ')).collect();
    for _ in 0..1_000 {
        let soup: String = (0..=random.below(40)).map(|_| random.pick(&words)).collect();
        try_out(&format!("{}{soup}", &HAT[..head_end]));
        try_out(&soup);
        let bytes: Vec<u8> = (0..random.below(200)).map(|_| random.next() as u8).collect();
        try_out(&String::from_utf8_lossy(&bytes));
    }
}

#[test]
fn few_words_cannot_ask_for_endless_work() {
    let head = "# T\nSizes: S.\nGauge: 20 sts and 28 rows in 10 cm.\nColours: A a.\n## P\n";
    let work = [
        "With A, cast on 9999 sts. K 9999 rows. Rep the last 9999 rows 9999 times more.",
        "With A, cast on 9 sts. Next row: (((M1L 9999 times) 9999 times) 9999 times) 9999 times.",
        "With A, cast on 9 sts. Next row: (((place marker) 9999 times) 9999 times) 9999 times, k.",
        "With A, cast on 9 sts. Next row: k. Go on so, on every 9999th row 9999 times more; k the rows between.",
        "With A, cast on 9 sts. Next row: *place marker; repeat from * to end.",
        "With A, cast on 9 sts. Next row: *cast on 5 sts; repeat from * to last 2 sts.",
        "With A, cast on 0 sts. K 9999 rows. Rep the last 9999 rows 9999 times more.",
        "With A, cast on 9 sts. Place a marker and join for the round. Next row (RS): turn. Next row (WS): turn. \
         Rep the last 2 rows 9999 times more.",
    ];
    for words in work {
        let pattern = read(&format!("{head}{words}"));
        let knitted = pattern.knit(0);
        assert!(!knitted.is_closed(), "{words}");
        assert!(knitted.rows() <= 20_000 && knitted.stitches() <= 4_000_000, "{words}");
    }
    let brackets = format!("{head}With A, cast on 9 sts. Next row: {}", "(".repeat(300_000));
    let error = Pattern::read(&brackets).unwrap_err();
    assert!(error.expected.contains("not bracketed deeper"), "{error}");
    let error = Pattern::read(&" ".repeat(5 << 20)).unwrap_err();
    assert!(error.expected.contains("at most 4 MB"), "{error}");
}

#[test]
fn errors_say_where_and_what_would_help() {
    let wrong = |from: &str, to: &str| {
        assert!(HAT.contains(from), "{from}");
        Pattern::read(&HAT.replacen(from, to, 1)).unwrap_err().to_string()
    };
    let cases = [
        (
            wrong("cast on 130 (140, 150) sts", "cast on 130 (140) sts"),
            "line 34, column 38: expected one figure, or one for each of the 3 sizes, not 2, found '130 (140) sts with'",
        ),
        (
            wrong("k 8 (10, 12) rnds.", "k 8 (10, 12) rnds"),
            "line 45, column 26: expected a full stop, found the end of the line",
        ),
        (
            wrong("; repeat from * to end.", "."),
            "line 36, column 19: expected '; repeat from * to end', found '.'",
        ),
        (
            wrong("With A, k 8", "With C, k 8"),
            "line 45, column 6: expected a colour of the list at the top, found 'C, k 8 (10,'",
        ),
        (
            wrong("of chart 1", "of chart 2"),
            "expected the number of a chart that stands at the top, found '2, 13 (14, 15)'",
        ),
        (
            wrong("Rnd 2 and every even rnd", "Rnd 3 and every even rnd"),
            "'and every even' after an even number",
        ),
        (wrong("Gauge: 28 sts", "Gauge: many sts"), "expected a gauge like '28 sts and 33 rows in 10 cm.'"),
        (wrong("Sizes: S (M, L).", "Sizes: S (M, M)."), "sizes, each once"),
        (wrong("21: A", "21: C"), "cells of a colour of the list"),
        (wrong("20: A ", "20: "), "expected 10 cells in this row, not 9"),
    ];
    for (said, expected) in cases {
        assert!(said.contains(expected), "{said}");
    }
}
