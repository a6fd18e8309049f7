//! What a band or a shop says of care in words, English or German, read as the symbols of a label.
//!
//! A phrase is taken only when every word of it is known: one that is not may turn its sense round. What is not taken
//! stays as it was written, with the caution to see the label.

use Sense as S;

use super::care::{CareLabel, CareSymbol};

/// What a word of a phrase stands for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sense {
    Not,
    Wash,
    Machine,
    Hand,
    Mild,
    VeryMild,
    Celsius(u16),
    Cold,
    Low,
    Medium,
    High,
    Bleach,
    Oxygen,
    Tumble,
    Dry,
    Flat,
    Line,
    Shade,
    Iron,
    Steam,
    Clean,
    /// It adds nothing.
    Filler,
}

/// The words of the trade; common practice, no published source. The last ones first where one holds another.
const WORDS: &[(&str, &[Sense])] = &[
    ("not", &[S::Not]),
    ("no", &[S::Not]),
    ("never", &[S::Not]),
    ("without", &[S::Not]),
    ("nicht", &[S::Not]),
    ("kein", &[S::Not]),
    ("keine", &[S::Not]),
    ("keinen", &[S::Not]),
    ("nie", &[S::Not]),
    ("ohne", &[S::Not]),
    ("wash", &[S::Wash]),
    ("washing", &[S::Wash]),
    ("washed", &[S::Wash]),
    ("washable", &[S::Wash]),
    ("waschen", &[S::Wash]),
    ("waschbar", &[S::Wash]),
    ("wäsche", &[S::Wash]),
    ("machine", &[S::Machine]),
    ("maschine", &[S::Machine]),
    ("waschmaschine", &[S::Machine, S::Wash]),
    ("maschinenwäsche", &[S::Machine, S::Wash]),
    ("maschinenwaschbar", &[S::Machine, S::Wash]),
    ("waschmaschinenfest", &[S::Machine, S::Wash]),
    ("hand", &[S::Hand]),
    ("handwash", &[S::Hand, S::Wash]),
    ("handwashable", &[S::Hand, S::Wash]),
    ("handwäsche", &[S::Hand, S::Wash]),
    ("gentle", &[S::Mild]),
    ("gently", &[S::Mild]),
    ("mild", &[S::Mild]),
    ("delicate", &[S::Mild]),
    ("delicates", &[S::Mild]),
    ("schonend", &[S::Mild]),
    ("schonwaschgang", &[S::Mild, S::Wash]),
    ("schonwäsche", &[S::Mild, S::Wash]),
    ("feinwaschgang", &[S::Mild, S::Wash]),
    ("feinwäsche", &[S::Mild, S::Wash]),
    ("wool", &[S::VeryMild]),
    ("wollwaschgang", &[S::VeryMild, S::Wash]),
    ("wollwäsche", &[S::VeryMild, S::Wash]),
    ("wollprogramm", &[S::VeryMild, S::Wash]),
    ("cold", &[S::Cold]),
    ("cool", &[S::Cold]),
    ("kalt", &[S::Cold]),
    ("low", &[S::Low]),
    ("niedrig", &[S::Low]),
    ("niedriger", &[S::Low]),
    ("medium", &[S::Medium]),
    ("warm", &[S::Medium]),
    ("normal", &[S::Medium]),
    ("mäßig", &[S::Medium]),
    ("high", &[S::High]),
    ("hot", &[S::High]),
    ("heiß", &[S::High]),
    ("bleach", &[S::Bleach]),
    ("bleaching", &[S::Bleach]),
    ("bleichen", &[S::Bleach]),
    ("bleiche", &[S::Bleach]),
    ("oxygen", &[S::Oxygen]),
    ("sauerstoffbleiche", &[S::Oxygen, S::Bleach]),
    ("tumble", &[S::Tumble]),
    ("tumbler", &[S::Tumble]),
    ("dryer", &[S::Tumble]),
    ("trockner", &[S::Tumble]),
    ("wäschetrockner", &[S::Tumble]),
    ("trocknergeeignet", &[S::Tumble]),
    ("dry", &[S::Dry]),
    ("drying", &[S::Dry]),
    ("trocknen", &[S::Dry]),
    ("flat", &[S::Flat]),
    ("flach", &[S::Flat]),
    ("liegend", &[S::Flat]),
    ("line", &[S::Line]),
    ("leine", &[S::Line]),
    ("hang", &[S::Line]),
    ("hängend", &[S::Line]),
    ("shade", &[S::Shade]),
    ("schatten", &[S::Shade]),
    ("iron", &[S::Iron]),
    ("ironing", &[S::Iron]),
    ("bügeln", &[S::Iron]),
    ("steam", &[S::Steam]),
    ("dampf", &[S::Steam]),
    ("clean", &[S::Clean]),
    ("cleaning", &[S::Clean]),
    ("reinigen", &[S::Clean]),
    ("reinigung", &[S::Clean]),
    ("dryclean", &[S::Clean]),
    ("chemisch", &[S::Clean]),
    ("chemische", &[S::Clean]),
    ("cycle", &[S::Filler]),
    ("degrees", &[S::Filler]),
    ("grad", &[S::Filler]),
    ("celsius", &[S::Filler]),
    ("programme", &[S::Filler]),
    ("heat", &[S::Filler]),
];

/// Words that join others and turn nothing round.
const FILLERS: &[&str] = &[
    "at", "by", "in", "the", "a", "on", "to", "do", "up", "max", "only", "heat", "heats", "c", "please",
    "lay", "bei", "bis", "von", "der", "den", "im", "auf", "mit", "bitte", "nur", "geben",
];

impl CareLabel {
    /// A label from the drawings in words (`tub 30 one bar`) or the words of a band, apart by commas, semicolons or
    /// full stops. What could not be read stays beside it ([`Self::unread`]).
    pub fn read(text: &str) -> Self {
        let (mut label, mut unread) = (Self::default(), Vec::new());
        for phrase in phrases(text) {
            let (symbols, whole) = symbols(&phrase);
            match Self::new(label.symbols().iter().copied().chain(symbols.iter().copied())) {
                Ok(with) if !symbols.is_empty() => {
                    label = with;
                    if !whole {
                        unread.push(phrase);
                    }
                }
                _ => unread.push(phrase),
            }
        }
        label.with_unread(unread.join("; "))
    }
}

/// The phrases of a text; what only says how (`gentle cycle`, `30°`) belongs to the one before it.
fn phrases(text: &str) -> Vec<String> {
    let ends = |c: char| matches!(c, ';' | ',' | '.' | '\n' | '/' | '|' | '·');
    let only_how = |phrase: &str| {
        let how = |sense: &Sense| {
            matches!(sense, S::Mild | S::VeryMild | S::Celsius(_) | S::Cold | S::Low | S::Medium | S::Filler)
        };
        senses(phrase).is_some_and(|senses| senses.iter().all(how))
    };
    let mut found: Vec<String> = Vec::new();
    for phrase in text.split(ends).map(str::trim).filter(|phrase| !phrase.is_empty()) {
        match found.last_mut() {
            Some(before) if only_how(phrase) => *before = format!("{before}, {phrase}"),
            _ => found.push(phrase.to_owned()),
        }
    }
    found
}

/// The symbols a phrase stands for, none where it is not understood, and whether they say all of it.
fn symbols(phrase: &str) -> (Vec<CareSymbol>, bool) {
    if let Some(symbol) = CareSymbol::from_code(phrase) {
        return (vec![symbol], true);
    }
    let Some(senses) = senses(phrase) else { return (Vec::new(), false) };
    let (codes, whole) = codes(&senses);
    (codes.iter().filter_map(|code| CareSymbol::from_code(code)).collect(), whole)
}

/// What the words of a phrase stand for; `None` when one of them is not known.
fn senses(phrase: &str) -> Option<Vec<Sense>> {
    let lower = phrase.to_lowercase().replace("dry clean", "dryclean").replace("very gentle", "wool");
    let mut found = Vec::new();
    for word in lower.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()) {
        let word = word.strip_suffix('c').filter(|number| number.parse::<u16>().is_ok()).unwrap_or(word);
        if let Ok(celsius) = word.parse() {
            found.push(S::Celsius(celsius));
        } else if let Some((_, senses)) = WORDS.iter().find(|(known, _)| *known == word) {
            found.extend(*senses);
        } else if !FILLERS.contains(&word) {
            return None;
        }
    }
    Some(found)
}

/// The drawings that these words stand for, and whether they say all of it. Words that leave open what the label would
/// tell (a machine without its heat, an iron without its dots) stand for none.
fn codes(senses: &[Sense]) -> (Vec<String>, bool) {
    let has = |sense: Sense| senses.contains(&sense);
    let one = |code: &str| (vec![code.to_owned()], true);
    let none = (Vec::new(), false);
    let not = has(S::Not);
    // Of two things in one breath (`machine wash 30 do not tumble dry`) a `not` may be of either.
    if subjects(senses) > 1 {
        return none;
    }
    if has(S::Bleach) {
        return if not {
            one("triangle crossed")
        } else if has(S::Oxygen) {
            one("triangle two lines")
        } else {
            none
        };
    }
    if has(S::Clean) {
        return if not { one("circle crossed") } else { none };
    }
    if has(S::Iron) || has(S::Steam) {
        return ironing(senses).map_or(none, one);
    }
    if has(S::Tumble) {
        return match (not, has(S::Low) || has(S::Mild), has(S::Medium)) {
            (true, ..) => one("square circle crossed"),
            (false, true, _) => one("square circle one dot"),
            (false, false, true) => one("square circle two dots"),
            (false, false, false) => none,
        };
    }
    let mut found = Vec::new();
    let mut whole = true;
    if has(S::Wash) || has(S::Machine) || has(S::Hand) {
        match washing(senses) {
            Some((code, all)) => {
                found.push(code);
                whole = all;
            }
            None => return none,
        }
    }
    if not && !found.iter().any(|code| code == "tub crossed") {
        return none;
    }
    let drying = [
        (S::Flat, "square horizontal line"),
        (S::Line, "square vertical line"),
        (S::Shade, "plus corner stroke"),
    ];
    found.extend(drying.iter().filter(|(sense, _)| has(*sense)).map(|(_, code)| (*code).to_owned()));
    (found, whole)
}

/// How many of the five drawings of a label the words are about.
fn subjects(senses: &[Sense]) -> usize {
    let drawings: [&[Sense]; 5] =
        [&[S::Wash, S::Machine, S::Hand], &[S::Bleach], &[S::Tumble], &[S::Iron, S::Steam], &[S::Clean]];
    drawings.iter().filter(|about| about.iter().any(|sense| senses.contains(sense))).count()
}

/// The drawing of an iron.
fn ironing(senses: &[Sense]) -> Option<&'static str> {
    let has = |sense: Sense| senses.contains(&sense);
    let (not, cool) = (has(S::Not), has(S::Low) || has(S::Cold));
    if has(S::Steam) {
        return not.then_some("plus crossed steam");
    }
    // `nicht heiß` and `mäßig heiß` name the heat they keep below: the cooler one counts.
    match (not, cool, has(S::Medium), has(S::High)) {
        (true, false, false, false) => Some("crossed"),
        (true, false, false, true) | (false, true, ..) => Some("one dot"),
        (false, false, true, _) => Some("two dots"),
        (false, false, false, true) => Some("three dots"),
        _ => None,
    }
}

/// The drawing of a tub, and whether it says all of it.
fn washing(senses: &[Sense]) -> Option<(String, bool)> {
    let has = |sense: Sense| senses.contains(&sense);
    // Of several the coolest counts.
    let celsius =
        senses.iter().filter_map(|sense| if let S::Celsius(at) = sense { Some(*at) } else { None }).min();
    if has(S::Not) {
        let alone = !has(S::Machine) && !has(S::Hand) && celsius.is_none();
        return alone.then(|| ("tub crossed".to_owned(), true));
    }
    if has(S::Hand) && !has(S::Machine) {
        // The tub with the hand is at most 40 °C; a cooler bath is said in words beside it.
        let code = if has(S::Cold) { "tub hand one bar" } else { "tub hand" };
        return Some((code.to_owned(), celsius.is_none_or(|at| at == 40)));
    }
    let bars = if has(S::VeryMild) {
        " two bars"
    } else if has(S::Mild) {
        " one bar"
    } else {
        ""
    };
    let code = format!("tub {}{bars}", celsius?);
    CareSymbol::from_code(&code).map(|_| (code, true))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn codes_of(text: &str) -> Vec<&'static str> {
        CareLabel::read(text).symbols().iter().map(|symbol| symbol.code()).collect()
    }

    #[test]
    fn words_of_bands_in_both_languages_are_their_symbols() {
        let known: [(&str, &[&str]); 14] = [
            ("Maschinenwäsche 30°", &["tub 30"]),
            ("machine wash 30", &["tub 30"]),
            ("Machine wash at 40 °C, gentle cycle", &["tub 40 one bar"]),
            ("Gentle machine wash 40°C", &["tub 40 one bar"]),
            ("30° Schonwaschgang", &["tub 30 one bar"]),
            ("Wollwaschgang 30 Grad; nicht in den Trockner", &["tub 30 two bars", "square circle crossed"]),
            ("hand wash", &["tub hand"]),
            ("Handwäsche kalt, liegend trocknen", &["tub hand one bar", "square horizontal line"]),
            (
                "Do not tumble dry. Dry flat in the shade",
                &["square circle crossed", "square horizontal line", "plus corner stroke"],
            ),
            ("nicht bleichen / nicht heiß bügeln", &["triangle crossed", "one dot"]),
            ("do not iron", &["crossed"]),
            ("mäßig heiß bügeln", &["two dots"]),
            ("keine chemische Reinigung; do not dry clean", &["circle crossed"]),
            ("nicht waschen", &["tub crossed"]),
        ];
        for (text, codes) in known {
            let read = CareLabel::read(text);
            assert_eq!((codes_of(text).as_slice(), read.unread()), (codes, ""), "{text}");
        }
    }

    #[test]
    fn what_is_not_wholly_understood_stays_as_it_was_written() {
        for text in [
            "not in the machine wash 30",
            "do not machine wash",
            "machine washable",
            "wash with a cold heart",
            "tub 37",
            "machine wash 37",
            "nicht von Hand waschen",
            "machine wash 30 do not tumble dry",
            "iron",
        ] {
            let read = CareLabel::read(text);
            assert_eq!((read.symbols(), read.unread()), (&[][..], text));
            assert!(read.unread_words().unwrap().contains("see the label"));
        }
        // A bath cooler than the symbol allows is said beside it, and of two washes the first counts.
        let cool = CareLabel::read("Handwäsche 30°");
        assert_eq!((cool.words(), cool.unread()), (vec!["Wash by hand, at most 40 °C"], "Handwäsche 30°"));
        let two = CareLabel::read("hand wash, machine wash 30");
        assert_eq!((two.words().len(), two.unread()), (1, "machine wash 30"));
        assert_eq!(CareLabel::read(" ; "), CareLabel::default());
    }
}
