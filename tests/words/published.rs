//! The published arithmetic of spacing and shaping, knitted; and the published abbreviations.

use std::fmt::Write;

use crate::common::{Row, table};
use crate::knitted::read;
use huegauge::words::{Pattern, Stitch};

fn rule(id: &str) -> Row {
    table("yoke_shaping.csv").into_iter().find(|row| row.text("id") == id).unwrap()
}

/// The whole numbers in a text.
fn numbers(text: &str) -> Vec<u32> {
    text.split(|c: char| !c.is_ascii_digit()).filter_map(|figures| figures.parse().ok()).collect()
}

/// A pattern of one size in one colour.
fn one_size(steps: &str) -> Pattern {
    let head = "# Sum\nSizes: S.\nGauge: 20 sts and 28 rows in 10 cm.\nColours: A wool.\n## Piece\n";
    read(&format!("{head}With A, {steps}"))
}

fn assert_knits(steps: &str) {
    let knitted = one_size(steps).knit(0);
    assert!(knitted.is_closed(), "{:?} {:?}", knitted.stumbles, knitted.open);
}

/// Casts on, works these rounds with these counts after them, and binds off.
fn assert_rounds(cast_on: u32, rounds: &[(&str, u32)]) {
    let mut steps = format!("cast on {cast_on} sts. Place a marker and join for the round. ");
    for (words, count) in rounds {
        write!(steps, "Next rnd: {words}. {count} sts. ").unwrap();
    }
    let last = rounds.last().unwrap().1;
    assert_knits(&format!("{steps}Bind off all {last} sts."));
}

#[test]
fn a_yoke_joined_by_the_published_shares() {
    // Y2 to Y4: sleeves a third, underarms 8 %, 200 -> 268 stitches when joined.
    let (sleeve, underarm) = (rule("Y2").number("value"), rule("Y3").number("value"));
    let joined = numbers(rule("Y4").text("note").rsplit("worked example").next().unwrap());
    let [body, joined] = joined[..] else { panic!("{joined:?}") };
    let sleeve = (f64::from(body) * sleeve).round() as u32;
    let underarm = (f64::from(body) * underarm).round() as u32;
    let (half, side, arm) = (underarm / 2, body / 2 - underarm, sleeve - underarm);
    let text = format!(
        "# Sum\nSizes: S.\nGauge: 20 sts and 28 rows in 10 cm.\nColours: A wool.\n\
         ## Body\nWith A, cast on {body} sts. Place a marker and join for the round. K 1 rnd.\n\
         Place in turn {half} sts on waste yarn for the left body underarm, {side} sts on a spare needle for the \
         front, {underarm} sts on waste yarn for the right body underarm, {side} sts on a spare needle for the back, \
         {half} sts on waste yarn for the left body underarm.\n\
         ## Sleeve\nMake 2: left, right.\nWith A, cast on {sleeve} sts. Place a marker and join for the round. K 1 rnd.\n\
         Place in turn {half} sts on waste yarn for the underarm, {arm} sts on a spare needle for the sleeve, \
         {half} sts on waste yarn for the underarm.\n\
         ## Yoke\nNext rnd: with A, k{arm} of the left sleeve, k{side} of the front, k{arm} of the right sleeve, \
         k{side} of the back, place the marker of the rnd. {joined} sts.\nBind off all {joined} sts.\n\
         Graft the {underarm} sts of the left body underarm to those of the left underarm.\n\
         Graft the {underarm} sts of the right body underarm to those of the right underarm."
    );
    let knitted = read(&text).knit(0);
    assert!(knitted.is_closed(), "{:?}", knitted.stumbles);
}

#[test]
fn the_decrease_rounds_of_yokes() {
    // Y9: a third each time; 268 and 179 do not divide by 3, the rest is plain.
    let counts = numbers(rule("Y9").text("note").split(':').nth(1).unwrap());
    assert_eq!(counts.len(), 4, "{counts:?}");
    let spelled =
        ["(k1, k2tog) 89 times, k1", "(k1, k2tog) 59 times, k2", "*k1, k2tog; repeat from * to end"];
    let rounds: Vec<(&str, u32)> = spelled.into_iter().zip(counts[1..].iter().copied()).collect();
    assert_rounds(counts[0], &rounds);
    // Y10: a quarter, a third, two fifths.
    let counts = numbers(rule("Y10").text("note").split(';').next().unwrap());
    let spelled = [
        "*k2, k2tog; repeat from * to end",
        "*k1, k2tog; repeat from * to end",
        "(k2tog, k1, k2tog) 26 times, k2tog twice",
    ];
    let rounds: Vec<(&str, u32)> = spelled.into_iter().zip(counts[1..].iter().copied()).collect();
    assert_rounds(counts[0], &rounds);
}

#[test]
fn a_hat_gathered_in_quarters() {
    // H5: three rounds, each a quarter of the first count, 4 -> 3 -> 2 -> 1.
    assert_eq!(rule("H5").text("value"), "4 -> 3 -> 2 -> 1");
    let rounds = [
        ("*k2, k2tog; repeat from * to end", 96 * 3 / 4),
        ("*k1, k2tog; repeat from * to end", 96 * 2 / 4),
        ("*k2tog; repeat from * to end", 96 / 4),
    ];
    assert_rounds(96, &rounds);
}

#[test]
fn a_toe_of_twenty_one_rounds() {
    // S10: 60 sts; 3 x every 3rd, 3 x every 2nd, 6 x every round; 21 rounds; 4 sts each time (S9).
    let row = rule("S10");
    assert_eq!(numbers(row.text("value")), [3, 3, 3, 2, 6]);
    let rounds = numbers(row.text("note"))[0];
    let each = rule("S9").number("value") as u32;
    assert_eq!((each, 60 - each * (3 + 3 + 6)), (4, 12));
    assert_knits(&format!(
        "cast on 60 sts. Place a marker and join for the round. K 2 rnds.\n\
         Next rnd: *k1, ssk, k24, k2tog, k1; repeat from * to end. 56 sts.\n\
         Go on so, with two sts fewer before each k2tog, on every 3rd rnd twice more, then on every 2nd rnd 3 times \
         more, then on every rnd 6 times more; k the rnds between. 12 sts. So far {rounds} rnds.\n\
         Graft the first 6 sts to the last 6 sts."
    ));
}

#[test]
fn a_thumb_gusset_of_two_every_third_round() {
    // M8: 2 sts, then +2 every 3rd round; cast on 4 over the gap.
    let note = rule("M8");
    assert_eq!(numbers(note.text("value")), [2, 2, 3]);
    assert_eq!(numbers(note.text("note").split("cast on").nth(1).unwrap())[0], 4);
    assert_knits(
        "cast on 42 sts. Place a marker and join for the round. \
         Next rnd: k20, place marker, M1L, M1R, place marker, k to end. 44 sts. K 2 rnds. \
         Next rnd: k to marker, slip marker, M1R, k to marker, M1L, slip marker, k to end. 46 sts. \
         Go on so, on every 3rd rnd 5 times more; k the rnds between. 56 sts. \
         Next rnd: k to marker, remove marker, place the next 14 sts on waste yarn for the thumb, \
         cast on 4 sts by backward loops, remove marker, k to end. 46 sts. Bind off all 46 sts. \
         Place the 14 sts of the thumb on the needle, RS facing. Place a marker and join for the round. \
         With A, bind off all 14 sts.",
    );
}

#[test]
fn the_stitches_are_called_as_published() {
    let lists: String =
        table("abbreviations.csv")
            .iter()
            .map(|row| row.text("abbr").to_owned())
            .chain(table("shaping_symbols.csv").iter().flat_map(|row| {
                ["abbr", "rs_working", "ws_working"].map(|column| row.text(column).to_owned())
            }))
            .collect::<Vec<_>>()
            .join(" ")
            .to_lowercase();
    let words: Vec<&str> = lists.split(|c: char| !c.is_alphanumeric()).collect();
    for stitch in Stitch::ALL {
        // `k` or `p` with `tbl` (through the back loop), both in the list.
        let abbreviation = stitch.abbreviation().to_lowercase();
        let parts =
            abbreviation.strip_suffix("tbl").map_or(vec![abbreviation.as_str()], |st| vec![st, "tbl"]);
        assert!(parts.iter().all(|part| words.contains(part)), "{abbreviation}");
    }
}
