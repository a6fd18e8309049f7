//! How the pieces are knitted, in words, for all sizes at once: `256 (284, 312) sts`.

use crate::chart::Rect;
use crate::knit::pieces::{PieceError, Size, WorkedPiece};
use crate::project::{Project, TO_FINISH};
use crate::words::{
    Copies, Line, Only, Pattern, Piece, Section, Step, Term, Wording, knitted_through, terms_used,
};

/// The pieces of a project counted out in every size.
pub struct Sized {
    /// The sizes, never none.
    pub sizes: Vec<Size>,
    /// For each size its pieces, in the same order in every size.
    pub worked: Vec<Vec<WorkedPiece>>,
    /// The size that sums and schematics are for.
    pub chosen: usize,
}

impl Sized {
    /// Counts out the pieces of `project`; `chosen` names the size of sums and schematics, `None` is the
    /// project's own choice.
    ///
    /// # Errors
    /// [`PieceError`] when a piece cannot be worked in one of the sizes.
    pub fn of(project: &Project, chosen: Option<usize>) -> Result<Self, PieceError> {
        let sizes = project.pieces.all_sizes();
        let worked = sizes.iter().map(|size| project.work_pieces(size)).collect::<Result<_, _>>()?;
        let chosen = chosen.unwrap_or(project.pieces.chosen).min(sizes.len() - 1);
        Ok(Self { sizes, worked, chosen })
    }

    /// The pieces of the chosen size.
    pub fn chosen_pieces(&self) -> &[WorkedPiece] {
        self.worked.get(self.chosen).map_or(&[], Vec::as_slice)
    }

    /// The ease as worked in every size, in cm; `None` where no pieces go around what is measured.
    pub fn ease_as_worked(&self, project: &Project) -> Option<Vec<f64>> {
        let sizes = self.sizes.iter().zip(&self.worked);
        sizes.map(|(size, worked)| project.ease_as_worked(size, worked)).collect()
    }

    /// `S (M, L)`.
    pub fn size_names(&self) -> String {
        in_sizes(self.sizes.iter().map(|size| size.name.clone()))
    }
}

/// The first, and the others in brackets; one when all are the same.
pub(super) fn in_sizes(values: impl Iterator<Item = String>) -> String {
    let values: Vec<String> = values.collect();
    match values.split_first() {
        None => String::new(),
        Some((first, rest)) if rest.iter().all(|value| value == first) => first.clone(),
        Some((first, rest)) => format!("{first} ({})", rest.join(", ")),
    }
}

/// The pieces in words, and what came of knitting them through.
pub struct Instructions {
    /// What the virtual knitter says of the words, or why there are none; whole sentences.
    pub through: String,
    /// The pieces, in the order they are knitted; none when they cannot be put in words.
    pub pieces: Vec<PieceWords>,
    /// The abbreviations and phrases that are used.
    pub terms: Vec<Term>,
    /// The part of the project's chart that chart 1, chart 2 and so on of the words is.
    pub charts: Vec<Rect>,
}

/// One piece in words, or what is done when all are knitted.
pub struct PieceWords {
    /// Its name and how often it is made.
    pub heading: String,
    /// Its sections: a heading, but for the first, and the sentences.
    pub sections: Vec<(Option<String>, Vec<String>)>,
}

/// All pieces in words, for all sizes at once, knitted through from those words alone.
pub fn instructions(project: &Project) -> Instructions {
    let none = |why: String| Instructions {
        through: format!("The pieces cannot be put in words yet. {why}."),
        pieces: Vec::new(),
        terms: Vec::new(),
        charts: Vec::new(),
    };
    let (pattern, charts) = match project.instructions_and_charts() {
        Ok(both) => both,
        Err(error) => return none(error.to_string()),
    };
    let text = pattern.to_text();
    match Pattern::read(&text) {
        Err(error) => none(format!("Their own words cannot be read back: {error}")),
        Ok(read) => Instructions {
            through: knitted_through(&read, &read.knit_all()),
            pieces: pieces_words(&pattern),
            terms: terms_used(&text),
            charts,
        },
    }
}

/// The pieces, and after them what is done with all of them together.
fn pieces_words(pattern: &Pattern) -> Vec<PieceWords> {
    let mut pieces: Vec<PieceWords> =
        pattern.pieces.iter().map(|piece| piece_words(pattern, piece)).collect();
    let finish = pieces
        .last_mut()
        .and_then(|piece| piece.sections.pop_if(|(heading, _)| heading.as_deref() == Some(TO_FINISH)));
    if let Some((_, lines)) = finish {
        pieces.push(PieceWords { heading: TO_FINISH.to_owned(), sections: vec![(None, lines)] });
    }
    pieces
}

fn piece_words(pattern: &Pattern, piece: &Piece) -> PieceWords {
    let wording = Wording::new(pattern, &piece.copies);
    let make = match &piece.copies {
        Copies::One => String::new(),
        Copies::Alike(count) => format!(", make {count}"),
        Copies::Named(names) => {
            let names: Vec<String> = names.iter().map(ToString::to_string).collect();
            format!(", make {}: {}", names.len(), names.join(", "))
        }
    };
    let section = |section: &Section| {
        // On the sheet a note needs no word before it that tells a program what it is.
        let said = |line: &Line| match &line.step {
            Step::Note(text) if line.only == Only::ALL => text.to_string(),
            _ => wording.line(line),
        };
        let lines = section.lines.iter().map(said).collect();
        (section.heading.as_ref().map(ToString::to_string), lines)
    };
    PieceWords {
        heading: format!("{}{make}", piece.heading),
        sections: piece.sections.iter().map(section).collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::file::demos;

    #[test]
    fn figures_of_all_sizes_stand_in_one_row_and_equal_ones_once() {
        let words = |values: &[&str]| in_sizes(values.iter().map(|v| (*v).to_owned()));
        assert_eq!(words(&["256", "284", "312"]), "256 (284, 312)");
        assert_eq!(words(&["8", "8"]), "8");
        assert_eq!(words(&[]), "");
    }

    #[test]
    fn the_demos_are_said_in_every_size_and_knitted_through_from_those_words() {
        for demo in demos() {
            let project = demo.project().unwrap();
            let said = instructions(&project);
            assert!(
                said.through.starts_with("Knitted through by program in "),
                "{}: {}",
                demo.title,
                said.through
            );
            assert!(said.pieces.iter().all(|piece| !piece.sections.is_empty()));
            assert!(said.terms.iter().any(|term| term.word == "k"));
        }
    }

    #[test]
    fn pieces_that_cannot_be_worked_say_why_instead() {
        let mut project = demos()[0].project().unwrap();
        project.pieces.pieces[0].name.clear();
        let said = instructions(&project);
        assert!(said.pieces.is_empty());
        assert!(said.through.contains("a piece has no name: give it one"), "{}", said.through);
    }
}
