//! From trade English to the abstract form. The grammar is documented in [`crate::words`].

mod amounts;
mod cursor;
mod error;
mod head;
mod items;
mod row;
mod step;

use self::cursor::{Cursor, Token};
pub use self::error::ReadError;
use super::{Colour, Copies, Line, Name, Only, Pattern, Piece, Section, SizeName, Step, Text, Yarn};

/// Longest text that is read, in bytes.
pub const MAX_TEXT: usize = 4 << 20;

type Read<T> = Result<T, ReadError>;

/// A text with what its head has said.
struct Reader<'a> {
    cursor: Cursor<'a>,
    sizes: Vec<SizeName>,
    colours: Vec<Yarn>,
    charts: usize,
    copies: Copies,
}

impl Pattern {
    /// Reads a pattern from its words.
    ///
    /// # Errors
    /// [`ReadError`] with line and column, what was expected there and what stands there.
    pub fn read(text: &str) -> Result<Self, ReadError> {
        let cursor = Cursor::new(text);
        if text.len() > MAX_TEXT {
            return Err(cursor.expected(format!("a text of at most {} MB", MAX_TEXT >> 20)));
        }
        let mut reader =
            Reader { cursor, sizes: Vec::new(), colours: Vec::new(), charts: 0, copies: Copies::One };
        reader.pattern()
    }
}

/// The lines that begin with these stand above others.
const PIECE: &str = "## ";
const SECTION: &str = "### ";

impl Reader<'_> {
    fn pieces(&mut self) -> Read<Vec<Piece>> {
        let mut pieces = Vec::new();
        while self.cursor.peek() != Token::End {
            pieces.push(self.piece()?);
        }
        if pieces.is_empty() {
            return Err(self.cursor.expected("a piece: a line like '## Hat'"));
        }
        Ok(pieces)
    }

    fn piece(&mut self) -> Read<Piece> {
        let heading = self.heading(PIECE, "a piece: a line like '## Hat'")?;
        self.copies = self.make()?;
        let mut sections = Vec::new();
        let lines = self.lines()?;
        let mut first = Some(Section { heading: None, lines });
        while self.at_heading(SECTION) {
            let heading = self.heading(SECTION, "a section: a line like '### Crown'")?;
            let lines = self.lines()?;
            sections.extend(first.take().filter(|section| !section.lines.is_empty()));
            sections.push(Section { heading: Some(heading), lines });
        }
        sections.extend(first);
        Ok(Piece { heading, copies: self.copies.clone(), sections })
    }

    fn at_heading(&self, mark: &str) -> bool {
        self.cursor.rest().trim_start().starts_with(mark)
    }

    fn heading(&mut self, mark: &str, what: &str) -> Read<Text> {
        if !self.at_heading(mark) {
            return Err(self.cursor.expected(what));
        }
        while self.cursor.sign('#') {
            if self.cursor.rest().starts_with(' ') {
                break;
            }
        }
        let here = self.cursor;
        Text::new(self.cursor.rest_of_line())
            .ok_or_else(|| here.expected("words after the mark of a heading"))
    }

    /// `Make 2: left, right.`
    fn make(&mut self) -> Read<Copies> {
        if !self.cursor.one_of(&["make"]) {
            return Ok(Copies::One);
        }
        let here = self.cursor;
        let count = self.number("how many pieces are made", 2..=super::MAX_COPIES)?;
        if !self.cursor.sign(':') {
            self.full_stop()?;
            return Ok(Copies::Alike(count));
        }
        let mut names: Vec<Name> = Vec::new();
        loop {
            let name = self.name(&[], "what a piece is called, as in 'Make 2: left, right.'")?;
            if names.contains(&name) {
                return Err(here.expected("pieces that are called differently"));
            }
            names.push(name);
            if !self.cursor.sign(',') {
                break;
            }
        }
        self.full_stop()?;
        if names.len() != count as usize {
            return Err(
                here.expected(format!("as many names as pieces are made, but {} are given", names.len()))
            );
        }
        Ok(Copies::Named(names))
    }

    fn lines(&mut self) -> Read<Vec<Line>> {
        let mut lines = Vec::new();
        while !matches!(self.cursor.peek(), Token::End | Token::Sign('#')) {
            lines.push(self.line()?);
        }
        Ok(lines)
    }

    fn line(&mut self) -> Read<Line> {
        let only = self.only()?;
        let step = self.step()?;
        if matches!(step, Step::Note(_)) {
            return Ok(Line { only, step, count: None });
        }
        self.full_stop()?;
        let mut count = None;
        if matches!(self.cursor.peek(), Token::Number(_)) {
            let here = self.cursor;
            let said = self.stitches()?;
            if self.cursor.phrase("in every size") && said.one().is_none() {
                return Err(here.expected("one count in every size"));
            }
            self.full_stop()?;
            count = Some(said);
        }
        Ok(Line { only, step, count })
    }

    /// `In sizes S and M, for the left only:`
    fn only(&mut self) -> Read<Only> {
        let mut only = Only::ALL;
        let in_sizes = self.cursor.phrase("in size") || self.cursor.phrase("in sizes");
        if in_sizes {
            only.sizes = self.size_list()?;
        }
        let here = self.cursor;
        if self.cursor.phrase(if in_sizes { ", when" } else { "when" }) {
            return self.when_worked(only);
        }
        let for_copies =
            if in_sizes { self.cursor.phrase(", for the") } else { self.cursor.phrase("for the") };
        if for_copies {
            loop {
                let name = self.name(&["and", "only"], "the name of a copy")?;
                let place =
                    (0..self.copies.count()).find(|copy| self.copies.name(*copy).as_ref() == Some(&name));
                only.copies.push(place.ok_or_else(|| here.expected("a copy that this piece has"))?);
                if !(self.cursor.sign(',') || self.cursor.one_of(&["and"])) {
                    break;
                }
            }
        }
        if in_sizes || for_copies {
            let rising = |list: &[u32]| list.windows(2).all(|pair| pair[0] < pair[1]);
            if !rising(&only.sizes) || !rising(&only.copies) {
                return Err(here.expected("each size or copy once, in their order"));
            }
            self.must("only", "'only'")?;
            self.must_sign(':')?;
        }
        Ok(only)
    }

    /// `both are worked:` or `all 4 are worked:` after `when`: with the last copy.
    fn when_worked(&mut self, mut only: Only) -> Read<Only> {
        let (here, count) = (self.cursor, self.copies.count());
        let said = if self.cursor.phrase("both") {
            2
        } else {
            self.must("all", "'both' or 'all'")?;
            self.number("how many are worked", 2..=super::MAX_COPIES)?
        };
        if said != count {
            return Err(here.expected("as many as this piece is made"));
        }
        self.must("are worked", "'are worked'")?;
        self.must_sign(':')?;
        only.copies.push(count - 1);
        Ok(only)
    }
}
