//! The words of the trade that a pattern uses, with what they mean.

use super::Stitch;

/// A word or phrase, and what it stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Term {
    /// As it stands in the text.
    pub word: &'static str,
    /// What it means.
    pub meaning: &'static str,
}

/// Abbreviations that are no stitches: those of the published master list (`abbreviations.csv`).
const ABBREVIATIONS: [(&str, &str); 8] = [
    ("rep", "repeat"),
    ("rev St st", "reverse stockinette stitch: p RS rows, k WS rows; in the round p every rnd"),
    ("rnd(s)", "round(s)"),
    ("RS", "right side"),
    ("sl", "slip 1 purlwise, yarn on the wrong side"),
    ("st(s)", "stitch(es)"),
    ("St st", "stockinette stitch: k RS rows, p WS rows; in the round k every rnd"),
    ("WS", "wrong side"),
];

/// Phrases of the grammar that ask for more than their words say (common practice, no published source).
const PHRASES: [(&str, &str); 13] = [
    (
        "above are on the needle",
        "above the waste yarn take the loops between the sts, and the strand at the end of the opening as the last; \
         begin with the sts below it",
    ),
    ("closing the gaps", "work each wrap or double st together with its st"),
    (
        "double st",
        "bring the yarn to the front, slip the first st after the turn, pull the yarn up over the needle until the st shows two legs",
    ),
    ("edge st", "the st beside a steek: from it the next piece is picked up or sewn on"),
    ("garter st", "k every row; in the round k 1 rnd, p 1 rnd"),
    ("graft", "join two rows of live sts with a tapestry needle, sewing one new row between them"),
    ("moss st", "k1, p1 in turn, shifted by one st in every row"),
    ("place in turn", "without working them, beginning where the next row would begin"),
    ("rib", "as the right side shows it, from the right edge: knit over knit and purl over purl"),
    ("steek", "a bridge of sts in the rnd that is cut open along its centre when the piece is knitted"),
    (
        "together with those",
        "right sides together, with a third needle: work one st of each together, and bind off as you go",
    ),
    ("with waste yarn", "the waste yarn is taken out later, and the sts on both sides of it are live again"),
    ("wrap the next st", "slip the next st, take the yarn to the other side of the work, slip the st back"),
];

/// What fabrics mean in rows alone and in rounds alone.
const IN_ROWS_OR_ROUNDS: [(&str, [&str; 2]); 3] = [
    ("garter st", ["k every row", "k 1 rnd, p 1 rnd"]),
    (
        "rev St st",
        ["reverse stockinette stitch: p RS rows, k WS rows", "reverse stockinette stitch: p every rnd"],
    ),
    ("St st", ["stockinette stitch: k RS rows, p WS rows", "stockinette stitch: k every rnd"]),
];

/// What a term means in the rows or rounds that a text has.
fn meaning_in(text: &str, (word, meaning): (&'static str, &'static str)) -> &'static str {
    // Only flat rows name their side.
    let flat = ["(RS", "(WS", "RS row", "WS row"].into_iter().any(|side| text.contains(side));
    let round = text.contains("rnd") || text.contains("Rnd");
    let known = IN_ROWS_OR_ROUNDS.into_iter().find(|(known, _)| *known == word);
    match (known, flat, round) {
        (Some((_, [in_rows, _])), true, false) => in_rows,
        (Some((_, [_, in_rounds])), false, true) => in_rounds,
        _ => meaning,
    }
}

/// The terms that occur in a printed text, in the order of the alphabet.
pub fn terms_used(text: &str) -> Vec<Term> {
    let lower = text.to_lowercase();
    let stitches = Stitch::ALL.into_iter().filter(|stitch| *stitch != Stitch::Sl);
    let stitches = stitches.map(|stitch| (stitch.abbreviation(), stitch.meaning()));
    let mut found: Vec<Term> = stitches
        .chain(ABBREVIATIONS)
        .chain(PHRASES)
        .filter(|(word, _)| occurs(&lower, word))
        .map(|(word, meaning)| Term { word, meaning: meaning_in(text, (word, meaning)) })
        .collect();
    found.sort_by_key(|term| term.word.to_lowercase());
    found
}

/// Whether a term stands in the text as a word of its own; figures may follow (`k11`).
fn occurs(lower: &str, word: &str) -> bool {
    let word = word.to_lowercase();
    let stem = word.strip_suffix("(s)").unwrap_or(&word);
    let letter = |c: char| c.is_alphabetic();
    lower.match_indices(stem).any(|(at, _)| {
        let before = lower[..at].chars().next_back();
        let mut after = lower[at + stem.len()..].chars();
        let next = after.next();
        let plural = word.len() > stem.len() && next == Some('s');
        let end = if plural { after.next() } else { next };
        // `k2tog` is no `k`: the figures of a count are followed by no letter.
        let figures = lower[at + stem.len()..].trim_start_matches(|c: char| c.is_ascii_digit());
        let counted = end.is_some_and(|c| c.is_ascii_digit()) && figures.starts_with(letter);
        !before.is_some_and(char::is_alphanumeric) && !end.is_some_and(letter) && !counted
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_what_is_used_is_listed() {
        let words = |text| terms_used(text).iter().map(|term| term.word).collect::<Vec<_>>();
        let text = "Rnd 1: *k11, k2tog; repeat from * to end. 120 sts.";
        assert_eq!(words(text), ["k", "k2tog", "rnd(s)", "st(s)"]);
        assert_eq!(words("k2tog 10 times"), ["k2tog"]);
        assert_eq!(words("Work 8 rows in rev St st (RS first)."), ["rev St st", "RS", "St st", "st(s)"]);
        assert_eq!(words("Next row (WS): p40, turn with a double st."), ["double st", "p", "st(s)", "WS"]);
        assert_eq!(words("Backward, thus."), [""; 0]);
    }

    #[test]
    fn a_term_says_what_it_means_in_the_rows_or_rounds_that_there_are() {
        let of = |text: &str| terms_used(text).iter().find(|term| term.word == "St st").map(|t| t.meaning);
        assert_eq!(of("Rnds 1–4: work in St st."), Some("stockinette stitch: k every rnd"));
        let flat = "stockinette stitch: k RS rows, p WS rows";
        assert_eq!(of("Rows 1–4 (RS first): work in St st."), Some(flat));
        let both = "Rnds 1–4: work in St st.\nRow 5 (RS): k to end.";
        assert!(of(both).is_some_and(|words| words.contains("RS rows") && words.contains("every rnd")));
        assert!(of("work in St st with A").is_some_and(|words| words.contains("in the round")));
    }
}
