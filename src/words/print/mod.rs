//! From the abstract form to trade English. The grammar is documented in [`crate::words`].

mod amounts;
mod head;
mod row;
mod step;

pub(super) use self::amounts::number_word;
pub(super) use self::head::{NO_STITCH, sign, technique_word};
pub(super) use self::row::cast_on_words;
pub(super) use self::step::bind_off_words;
use super::{Colour, Course, Line, Name, Pattern, SizeName, Yarn};
use crate::plain_text::and_list;

/// Words the lines of one pattern: it knows the sizes and the colours by name.
#[derive(Clone, Copy, Debug)]
pub struct Wording<'a> {
    sizes: &'a [SizeName],
    colours: &'a [Yarn],
    copies: &'a super::Copies,
}

impl<'a> Wording<'a> {
    /// The wording of a piece of a pattern.
    pub fn new(pattern: &'a Pattern, copies: &'a super::Copies) -> Self {
        Self { sizes: &pattern.sizes, colours: &pattern.colours, copies }
    }

    /// A line as it is printed: for whom, the sentence, the count afterwards.
    pub fn line(&self, line: &Line) -> String {
        let step = self.step(&line.step);
        let mut text = self.for_whom(line);
        if text.is_empty() {
            text.push_str(&capitalised(&step));
        } else {
            text.push_str(&step);
        }
        if !matches!(line.step, super::Step::Note(_)) {
            text.push('.');
        }
        if let Some(count) = &line.count {
            text.push(' ');
            text.push_str(&amounts::stitches(count));
            // Said so after a line whose own figures differ: the sizes meet again here.
            if count.one().is_some() && names_sizes(&step) && self.sizes.len() > 1 {
                text.push_str(" in every size");
            }
            text.push('.');
        }
        text
    }

    /// `In sizes S and M only: `; `When both are worked: ` for what joins the copies of a piece; nothing for all.
    fn for_whom(&self, Line { only, step, .. }: &Line) -> String {
        let sizes: Vec<&str> = only.sizes.iter().map(|size| self.size(*size)).collect();
        let copies: Vec<String> =
            only.copies.iter().filter_map(|copy| Some(self.copies.name(*copy)?.to_string())).collect();
        let copies: Vec<&str> = copies.iter().map(String::as_str).collect();
        let word = if sizes.len() == 1 { "size" } else { "sizes" };
        let count = self.copies.count();
        if count > 1 && only.copies == [count - 1] && step.joins() {
            let all = if count == 2 { "both".to_owned() } else { format!("all {count}") };
            return match sizes.as_slice() {
                [] => format!("When {all} are worked: "),
                sizes => format!("In {word} {}, when {all} are worked: ", and_list(sizes)),
            };
        }
        match (sizes.is_empty(), copies.is_empty()) {
            (true, true) => String::new(),
            (false, true) => format!("In {word} {} only: ", and_list(&sizes)),
            (true, false) => format!("For the {} only: ", and_list(&copies)),
            (false, false) => format!("In {word} {}, for the {} only: ", and_list(&sizes), and_list(&copies)),
        }
    }

    fn size(&self, place: u32) -> &'a str {
        self.sizes.get(place as usize).map_or("?", SizeName::as_str)
    }

    fn code(&self, colour: Colour) -> String {
        self.colours.get(usize::from(colour.0)).map_or_else(|| "?".to_owned(), |yarn| yarn.code.to_string())
    }
}

/// Whether figures stand in it size by size.
fn names_sizes(text: &str) -> bool {
    text.match_indices(" (").any(|(at, _)| text[at + 2..].starts_with(|c: char| c.is_ascii_digit()))
}

fn capitalised(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// `rnd` or `row`.
pub(super) const fn course_word(course: Course) -> &'static str {
    match course {
        Course::Round => "rnd",
        Course::Row => "row",
    }
}
