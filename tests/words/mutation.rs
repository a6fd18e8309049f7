//! One number or one word of a pattern is changed: is it noticed?
//!
//! Caught by the words alone: the reader refuses them, the knitter stumbles, or stitches stay open. Caught
//! against the piece: the words are followed without a stumble, but the fabric, an edge or the book of
//! stitches is not that of the pattern as it was (what a project compares its printed words with). A change
//! that reads the same (`sts` for `st`) or knits nothing else (a note) is none.

use crate::knitted::{ALL, read};
use crate::random::Random;
use huegauge::words::{Knitted, Pattern};

#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Caught {
    Same,
    ByReader,
    ByKnitter,
    AgainstPiece,
    Escaped,
}

pub fn outcome(original: &Pattern, knitted: &[Knitted], text: &str) -> Caught {
    let Ok(pattern) = Pattern::read(text) else { return Caught::ByReader };
    if pattern == *original {
        return Caught::Same;
    }
    let again = pattern.knit_all();
    if again.iter().any(|one| !one.is_closed()) {
        Caught::ByKnitter
    } else if again != knitted {
        Caught::AgainstPiece
    } else {
        Caught::Escaped
    }
}

/// Places of the words and numbers in the instructions; headings and notes are not instructions.
fn places(text: &str) -> Vec<(usize, usize)> {
    let mut places = Vec::new();
    let start = text.find("\n## ").unwrap_or(0);
    let mut at = start;
    for line in text[start..].split_inclusive('\n') {
        if !line.trim_start().starts_with('#') && !line.starts_with("Note:") {
            let mut word: Option<usize> = None;
            for (i, c) in line.char_indices().chain([(line.len(), ' ')]) {
                let same_kind = word.is_some_and(|from| {
                    line[from..].chars().next().unwrap().is_ascii_digit() == c.is_ascii_digit()
                });
                if let Some(from) = word.filter(|_| !c.is_alphanumeric() || !same_kind) {
                    places.push((at + from, at + i));
                    word = None;
                }
                if c.is_alphanumeric() && word.is_none() {
                    word = Some(i);
                }
            }
        }
        at += line.len();
    }
    places
}

/// Which slips are made.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Slip {
    /// A number is another number.
    Number,
    /// A word is another word of the pattern, or gone.
    Word,
    /// A stitch, side, colour, hand or word of order is another of its kind: still a sentence.
    Kind,
}

/// Words of one kind.
const KINDS: [&[&str]; 10] = [
    &["k", "p", "sl"],
    &["k2tog", "ssk", "s2kp", "M1L", "M1R", "kfb"],
    &["A", "B"],
    &["RS", "WS"],
    &["rnd", "row"],
    &["rnds", "rows"],
    &["left", "right", "front", "back"],
    &["fewer", "more"],
    &["finer", "larger"],
    &["even", "odd"],
];

/// The text with one number or word changed, and what was changed.
fn mutated(text: &str, slip: Slip, random: &mut Random) -> Option<(String, String)> {
    let places = places(text);
    let (from, to) = random.pick(&places);
    let old = &text[from..to];
    let new = match (slip, old.parse::<u32>()) {
        (Slip::Number, Ok(number)) => {
            let other =
                random.pick(&[number + 1, number.saturating_sub(1), number * 2 + 1, number + 10, number + 2]);
            other.to_string()
        }
        (Slip::Word, Err(_)) if random.chance(10) => String::new(),
        (Slip::Word, Err(_)) => {
            let (from, to) = random.pick(&places);
            text[from..to].to_owned()
        }
        (Slip::Kind, Err(_)) => {
            let kind = KINDS.into_iter().find(|kind| kind.contains(&old))?;
            random.pick(kind).to_owned()
        }
        _ => return None,
    };
    if new == old {
        return None;
    }
    let line = text[..from].lines().last().unwrap_or("").to_owned() + &format!("[{old} -> {new}]");
    let rest = text[to..].lines().next().unwrap_or("");
    Some((format!("{}{new}{}", &text[..from], &text[to..]), line + rest))
}

/// Makes a thousand slips of a kind; gives how many were caught by the words alone and in all, in per cent.
fn caught(slip: Slip) -> (f64, f64) {
    let mut random = Random::new(7);
    let mut counts = [0usize; 5];
    let mut escaped = Vec::new();
    let originals: Vec<_> = ALL.iter().map(|(_, text)| read(text)).collect();
    let knitted: Vec<_> = originals.iter().map(Pattern::knit_all).collect();
    let mut n = 0;
    while counts[1..].iter().sum::<usize>() < 1_000 {
        n += 1;
        let (name, text) = ALL[n % ALL.len()];
        let Some((changed, what)) = mutated(text, slip, &mut random) else { continue };
        let outcome = outcome(&originals[n % ALL.len()], &knitted[n % ALL.len()], &changed);
        counts[outcome as usize] += 1;
        if matches!(outcome, Caught::Escaped | Caught::AgainstPiece) {
            escaped.push(format!("{outcome:?} {name}: {what}"));
        }
    }
    escaped.sort();
    escaped.dedup();
    println!("{}", escaped.join("\n"));
    let [same, reader, knitter, against, out] = counts;
    println!(
        "{slip:?}: {same} read the same; reader {reader}, knitter {knitter}, against the piece {against}, escaped {out}"
    );
    let per_cent = |n: usize| n as f64 / 10.0;
    (per_cent(reader + knitter), per_cent(reader + knitter + against))
}

#[test]
fn nearly_every_wrong_number_is_noticed() {
    let (alone, in_all) = caught(Slip::Number);
    assert!(alone >= 85.0 && in_all >= 99.0, "{alone} {in_all}");
}

#[test]
fn nearly_every_wrong_word_is_noticed() {
    let (alone, in_all) = caught(Slip::Word);
    assert!(alone >= 97.0 && in_all >= 99.0, "{alone} {in_all}");
}

#[test]
fn nearly_every_word_taken_for_its_like_is_noticed() {
    let (alone, in_all) = caught(Slip::Kind);
    assert!(alone >= 40.0 && in_all >= 95.0, "{alone} {in_all}");
}
