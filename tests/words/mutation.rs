//! One number or one word of a pattern is changed: is it noticed?
//!
//! Caught by the words alone: the reader refuses them, the knitter stumbles, or stitches stay open. Caught
//! against the piece: the words are followed without a stumble, but the fabric, an edge or the book of
//! stitches is not that of the pattern as it was (what a project compares its printed words with). A change
//! that reads the same (`sts` for `st`) or knits nothing else (a note) is none.

use crate::knitted::{ALL, read};
use crate::random::Random;
use crate::random_pieces::cases;
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

/// Places of the words and numbers in the instructions; headings, notes and the names of seams knit nothing.
fn places(text: &str) -> Vec<(usize, usize)> {
    let mut places = Vec::new();
    let start = text.find("\n## ").unwrap_or(0);
    let mut at = start;
    for line in text[start..].split_inclusive('\n') {
        let instructs = !line.trim_start().starts_with('#')
            && !["Note:", "Sew the"].iter().any(|no| line.starts_with(no));
        if instructs {
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
    &["A", "B", "C", "D"],
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

/// The patterns written by hand.
fn by_hand() -> Vec<(String, String)> {
    ALL.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect()
}

/// The printed patterns of the demos, and of every template in its usual sizes.
fn of_projects() -> Vec<(String, String)> {
    let demos = huegauge::file::demos().iter().map(|demo| demo.project().unwrap());
    let gauge = huegauge::knit::Gauge::new(22.0, 30.0).unwrap();
    let templates = huegauge::knit::pieces::Template::ALL.map(|template| {
        let mut project = crate::projects::of_template(template, gauge);
        project.pieces.sizes = template.sizes().unwrap();
        project
    });
    let print = |project: huegauge::project::Project| {
        (project.title.clone(), project.instructions().unwrap().to_text())
    };
    demos.chain(templates).map(print).collect()
}

/// Makes so many slips of a kind; gives how many were caught by the words alone and in all, in per cent of those
/// that change what is knitted.
fn caught(texts: &[(String, String)], slip: Slip, wanted: usize) -> (f64, f64) {
    let mut random = Random::new(7);
    let mut counts = [0usize; 5];
    let mut escaped = Vec::new();
    let originals: Vec<_> = texts.iter().map(|(_, text)| read(text)).collect();
    let knitted: Vec<_> = originals.iter().map(Pattern::knit_all).collect();
    let mut n = 0;
    while counts[1..].iter().sum::<usize>() < wanted {
        n += 1;
        let (name, text) = &texts[n % texts.len()];
        let Some((changed, what)) = mutated(text, slip, &mut random) else { continue };
        let outcome = outcome(&originals[n % texts.len()], &knitted[n % texts.len()], &changed);
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
    let all = (reader + knitter + against + out).max(1) as f64;
    let per_cent = |n: usize| n as f64 / all * 100.0;
    (per_cent(reader + knitter), per_cent(reader + knitter + against))
}

#[test]
fn nearly_every_wrong_number_is_noticed() {
    let (alone, in_all) = caught(&by_hand(), Slip::Number, 1_000);
    assert!(alone >= 85.0 && in_all >= 99.0, "{alone} {in_all}");
}

#[test]
fn nearly_every_wrong_word_is_noticed() {
    let (alone, in_all) = caught(&by_hand(), Slip::Word, 1_000);
    assert!(alone >= 97.0 && in_all >= 99.0, "{alone} {in_all}");
}

#[test]
fn nearly_every_word_taken_for_its_like_is_noticed() {
    let (alone, in_all) = caught(&by_hand(), Slip::Kind, 1_000);
    assert!(alone >= 40.0 && in_all >= 95.0, "{alone} {in_all}");
}

/// `MUTATIONS=1000 cargo test --test words printed_pattern -- --nocapture` makes a thousand of each kind and lists
/// what escapes.
#[test]
fn nearly_every_slip_in_a_printed_pattern_is_noticed() {
    let texts = of_projects();
    let wanted = cases("MUTATIONS", 60);
    for slip in [Slip::Number, Slip::Word, Slip::Kind] {
        let (alone, in_all) = caught(&texts, slip, wanted);
        println!(
            "{slip:?}, of {wanted} printed patterns: {alone:.1} % by the words alone, {in_all:.1} % in all"
        );
        assert!(in_all >= 95.0, "{slip:?} {alone} {in_all}");
    }
}
