//! Sentences.

use super::amounts::{amount, number_word, ordinals, stitches as sts};
use super::row::{cast_on_words, fabric_words, pick_up_words};
use super::{Wording, course_word};
use crate::words::{
    BindOff, Change, Colour, Course, GroupAside, Item, Needle, Pace, PartAside, Rest, Step, Until, Work,
};

impl Wording<'_> {
    /// The sentence of a step, without a capital and without its full stop.
    pub(super) fn step(&self, step: &Step) -> String {
        match step {
            Step::CastOn { stitches, method, colour, needle } => {
                let with = self.with(*colour, *needle);
                format!("{with}cast on {}{}", sts(stitches), cast_on_words(*method))
            }
            Step::PickUp { pick_up, colour, needle } => {
                format!("{}{}", self.with(*colour, *needle), pick_up_words(pick_up))
            }
            Step::Join => "place a marker and join for the round without twisting".to_owned(),
            Step::WorkFlat => "work back and forth from here".to_owned(),
            Step::Needle(needle) => format!("change to the {}", needle_words(*needle)),
            Step::Rows(rows) => self.rows(rows),
            Step::Repeat { rows, times, course } => {
                let word = course_word(*course);
                let last = match rows.one() {
                    Some(1) => format!("last {word}"),
                    _ => format!("last {} {word}s", amount(rows)),
                };
                format!("rep the {last} {}", self.times_more(times))
            }
            Step::GoOn { changes, paces, between, course } => {
                self.go_on(changes, paces, between.as_ref(), *course)
            }
            _ => self.stitches_moved(step),
        }
    }

    /// Steps after which stitches are somewhere else, or gone.
    fn stitches_moved(&self, step: &Step) -> String {
        match step {
            Step::SetAside { parts, others_stay } => set_aside(parts, *others_stay),
            Step::TakeUp { groups, facing } => {
                let held = |held: &GroupAside| format!("the {} of the {}", sts(&held.stitches), held.group);
                let groups: Vec<String> = groups.iter().map(held).collect();
                let groups = groups.join(", then ");
                format!("place {groups} on the needle, {} facing", facing.abbreviation())
            }
            Step::Open { opening, below, above } => {
                let (below, above) = (sts(below), sts(above));
                format!(
                    "take out the waste yarn of the {opening}: {below} below and {above} above are on the needle"
                )
            }
            Step::Release { stitches, group } => {
                let stitches = sts(stitches);
                format!("take out the provisional cast-on: {stitches} rest on a spare needle for the {group}")
            }
            Step::BindOff { stitches, method, colour } => {
                let with = self.with(*colour, None);
                format!("{with}bind off all {}{}", sts(stitches), bind_off_words(*method))
            }
            Step::ThreeNeedle { stitches, front, back } => {
                let stitches = sts(stitches);
                format!("bind off the {stitches} of the {front} together with those of the {back}")
            }
            Step::Graft { stitches, one, other } => {
                format!("graft the {} of the {one} to those of the {other}", sts(stitches))
            }
            Step::GraftHalves { stitches } => {
                let half = sts(stitches);
                format!("graft the first {half} to the last {half}")
            }
            Step::DrawThrough { stitches, what, colour } => {
                let stitches = sts(stitches);
                let yarn = colour.map_or_else(|| "the yarn".to_owned(), |colour| self.code(colour));
                format!(
                    "cut {yarn} to 20 cm (8 in), draw it twice through the {stitches} and close the {what}"
                )
            }
            _ => by_the_way(step),
        }
    }

    /// `with A and the finer needle, `.
    fn with(&self, colour: Option<Colour>, needle: Option<Needle>) -> String {
        match (colour, needle) {
            (None, None) => String::new(),
            (Some(colour), None) => format!("with {}, ", self.code(colour)),
            (None, Some(needle)) => format!("with the {}, ", needle_words(needle)),
            (Some(colour), Some(needle)) => {
                format!("with {} and the {}, ", self.code(colour), needle_words(needle))
            }
        }
    }

    fn go_on(&self, changes: &[Change], paces: &[Pace], between: Option<&Work>, course: Course) -> String {
        let word = course_word(course);
        let change = |change: &Change| {
            let by = change.by.unsigned_abs();
            let plural = if by == 1 { "st" } else { "sts" };
            let way = if change.by < 0 { "fewer" } else { "more" };
            format!("{} {plural} {way} before each {}", number_word(by), change.before.abbreviation())
        };
        let pace = |pace: &Pace| {
            let every = match pace.every.one() {
                Some(1) => String::new(),
                _ => format!("{} ", ordinals(&pace.every)),
            };
            format!("on every {every}{word} {}", self.times_more(&pace.times))
        };
        let with = if changes.is_empty() {
            String::new()
        } else {
            let changes: Vec<String> = changes.iter().map(change).collect();
            format!("with {}, ", changes.join(" and "))
        };
        let paces: Vec<String> = paces.iter().map(pace).collect();
        let between = between.map_or_else(String::new, |work| match work {
            Work::Formula(items) => match items.as_slice() {
                [Item::WorkTo { stitch, until: Until::End, colour: None }] => {
                    format!("; {} the {word}s between", stitch.abbreviation())
                }
                _ => format!("; {word}s between: {}", self.work(work, course)),
            },
            Work::Fabric(fabric) => format!("; work the {word}s between in {}", fabric_words(*fabric)),
            _ => format!("; {word}s between: {}", self.work(work, course)),
        });
        format!("go on so, {with}{}{between}", paces.join(", then "))
    }
}

const fn needle_words(needle: Needle) -> &'static str {
    match needle {
        Needle::Finer => "finer needle",
        Needle::Larger => "larger needle",
    }
}

const fn rest_words(rest: Rest) -> &'static str {
    match rest {
        Rest::WasteYarn => "waste yarn",
        Rest::SpareNeedle => "a spare needle",
    }
}

pub(in crate::words) const fn bind_off_words(method: BindOff) -> &'static str {
    match method {
        BindOff::Any => "",
        BindOff::Stretchy => " with a stretchy method",
        BindOff::InPattern => " in pattern",
        BindOff::Sewn => " by sewing",
    }
}

/// Steps that leave every stitch where it is.
fn by_the_way(step: &Step) -> String {
    match step {
        Step::RemoveMarkers => "remove the markers".to_owned(),
        Step::Cut => "cut the yarn".to_owned(),
        Step::SoFar { rows, course } => {
            let plural = if rows.one() == Some(1) { "" } else { "s" };
            format!("so far {} {}{plural}", amount(rows), course_word(*course))
        }
        Step::Seam(seam) => format!("sew the {seam}"),
        Step::Steek { stitches, place } => {
            let stitches = amount(stitches);
            format!(
                "secure the {stitches} steek sts of the {place} on both sides of their centre, then cut between"
            )
        }
        Step::WeaveIn => "weave in the ends".to_owned(),
        Step::Note(text) => format!("note: {text}"),
        // The others are worded by the callers.
        _ => String::new(),
    }
}

fn set_aside(parts: &[PartAside], others_stay: bool) -> String {
    let part = |part: &PartAside| {
        let (stitches, rest) = (sts(&part.stitches), rest_words(part.rest));
        format!("{stitches} on {rest} for the {}", part.group)
    };
    let others = if others_stay { "; the others stay on the needle" } else { "" };
    match parts {
        [one] => format!("place the next {}{others}", part(one)),
        parts => {
            let parts: Vec<String> = parts.iter().map(part).collect();
            format!("place in turn {}{others}", parts.join(", "))
        }
    }
}
