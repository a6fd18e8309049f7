//! Amounts, names, and the small words between.

use std::ops::RangeInclusive;

use super::{Colour, Name, Read, Reader, Token};
use crate::words::{Amount, Code, Course, PerSize, Side};

/// No amount in a pattern is larger.
pub(super) const MAX_AMOUNT: u32 = 9_999;

impl Reader<'_> {
    pub(super) fn full_stop(&mut self) -> Read<()> {
        if self.cursor.sign('.') { Ok(()) } else { Err(self.cursor.missing("a full stop")) }
    }

    pub(super) fn must_sign(&mut self, sign: char) -> Read<()> {
        if self.cursor.sign(sign) { Ok(()) } else { Err(self.cursor.expected(format!("'{sign}'"))) }
    }

    pub(super) fn must(&mut self, phrase: &str, what: &str) -> Read<()> {
        if self.cursor.phrase(phrase) { Ok(()) } else { Err(self.cursor.expected(what)) }
    }

    pub(super) fn number(&mut self, what: &str, range: RangeInclusive<u32>) -> Read<u32> {
        let here = self.cursor;
        match self.cursor.next() {
            Token::Number(number) if range.contains(&number) => Ok(number),
            Token::Number(_) => Err(here.expected(format!("{what}: {} to {}", range.start(), range.end()))),
            _ => Err(here.expected(what)),
        }
    }

    /// `88 (92, 96)`: one figure, or one per size.
    pub(super) fn amount(&mut self, what: &str) -> Read<Amount> {
        let here = self.cursor;
        let first = self.number(what, 0..=MAX_AMOUNT)?;
        let listed = matches!(self.cursor.peek_second(), Token::Number(_)) && self.cursor.sign('(');
        if !listed {
            return Ok(PerSize::all(first));
        }
        let mut figures = vec![first];
        loop {
            figures.push(self.number("the figure of a size", 0..=MAX_AMOUNT)?);
            if !self.cursor.sign(',') {
                break;
            }
        }
        self.must_sign(')')?;
        self.sized(figures, here)
    }

    /// The same, where a size that has none has a dash: `30 (–, 24)`.
    fn amount_or_dash(&mut self, what: &str) -> Read<Amount> {
        let here = self.cursor;
        let first = self.figure_or_dash(what)?;
        let more = matches!(self.cursor.peek_second(), Token::Number(_) | Token::Sign('–' | '-'));
        if !more || !self.cursor.sign('(') {
            return Ok(PerSize::all(first));
        }
        let mut figures = vec![first];
        loop {
            figures.push(self.figure_or_dash("the figure of a size")?);
            if !self.cursor.sign(',') {
                break;
            }
        }
        self.must_sign(')')?;
        self.sized(figures, here)
    }

    fn figure_or_dash(&mut self, what: &str) -> Read<u32> {
        if self.cursor.sign('–') || self.cursor.sign('-') {
            return Ok(0);
        }
        self.number(what, 0..=MAX_AMOUNT)
    }

    /// One figure for all sizes, or one for each.
    pub(super) fn sized(&self, figures: Vec<u32>, here: super::Cursor<'_>) -> Read<Amount> {
        let (found, sizes) = (figures.len(), self.sizes.len());
        let amount = PerSize::each(figures).filter(|_| found == sizes);
        amount.ok_or_else(|| {
            here.expected(format!("one figure, or one for each of the {sizes} sizes, not {found}"))
        })
    }

    /// `88 (92, 96) sts`
    pub(super) fn stitches(&mut self) -> Read<Amount> {
        let amount = self.amount("how many sts")?;
        self.must("sts", "'sts'")?;
        Ok(amount)
    }

    /// `once`, `twice`, `5 (6, 7) times`.
    pub(super) fn times(&mut self) -> Read<Amount> {
        self.how_often(false)
    }

    /// The same with `more`.
    pub(super) fn times_more(&mut self) -> Read<Amount> {
        self.how_often(true)
    }

    fn how_often(&mut self, more: bool) -> Read<Amount> {
        let amount = if self.cursor.one_of(&["once"]) {
            PerSize::all(1)
        } else if self.cursor.one_of(&["twice"]) {
            PerSize::all(2)
        } else {
            let amount = self.amount_or_dash("how often: once, twice, 3 times")?;
            self.must("times", "'times'")?;
            amount
        };
        if more {
            self.must("more", "'more'")?;
        }
        self.not_in(&amount)?;
        Ok(amount)
    }

    /// `(not in S and M)`, which must name the sizes with nothing; it may be left out.
    pub(super) fn not_in(&mut self, amount: &Amount) -> Read<()> {
        let here = self.cursor;
        if !self.cursor.phrase("( not in") {
            return Ok(());
        }
        let named = self.size_list()?;
        self.must_sign(')')?;
        let without: Vec<u32> =
            (0..self.sizes.len() as u32).filter(|size| amount.get(*size as usize) == 0).collect();
        if named == without {
            Ok(())
        } else {
            Err(here.expected("the sizes whose figure is 0, and no others"))
        }
    }

    /// `S, M and L`, as places.
    pub(super) fn size_list(&mut self) -> Read<Vec<u32>> {
        let mut list = Vec::new();
        loop {
            list.push(self.size()?);
            let mut ahead = self.cursor;
            let copies_next = |ahead: &mut super::cursor::Cursor<'_>| {
                ["for the", "when both", "when all"].into_iter().any(|phrase| ahead.phrase(phrase))
            };
            let more = ahead.sign(',') && !copies_next(&mut ahead) || ahead.one_of(&["and"]);
            if !more {
                return Ok(list);
            }
            self.cursor = ahead;
        }
    }

    fn size(&mut self) -> Read<u32> {
        // The longest first: 'XL' is not 'X'.
        let mut places: Vec<usize> = (0..self.sizes.len()).collect();
        places.sort_by_key(|place| std::cmp::Reverse(self.sizes[*place].as_str().len()));
        let found = places.into_iter().find(|place| self.cursor.exactly(self.sizes[*place].as_str()));
        found.map(|place| place as u32).ok_or_else(|| self.cursor.expected("the name of a size"))
    }

    pub(super) fn name(&mut self, ends: &[&str], what: &str) -> Read<Name> {
        self.cursor.name(ends).ok_or_else(|| self.cursor.expected(what))
    }

    /// A colour code, if one comes next; one that the head does not have is an error.
    pub(super) fn colour_if_any(&mut self) -> Read<Option<Colour>> {
        let Token::Word(word) = self.cursor.peek() else { return Ok(None) };
        let Some(code) = Code::read(word) else { return Ok(None) };
        let here = self.cursor;
        let place = self.colours.iter().position(|yarn| yarn.code == code);
        let place = place.ok_or_else(|| here.expected("a colour of the list at the top"))?;
        self.cursor.next();
        Ok(Some(Colour(place as u8)))
    }

    pub(super) fn colour(&mut self) -> Read<Colour> {
        let colour = self.colour_if_any()?;
        colour.ok_or_else(|| self.cursor.expected("a colour, by its letter"))
    }

    /// `rnd`, `rnds`, `row` or `rows`.
    pub(super) fn course(&mut self) -> Read<Course> {
        self.course_if_any().ok_or_else(|| self.cursor.expected("'rnd' or 'row'"))
    }

    pub(super) fn course_if_any(&mut self) -> Option<Course> {
        if self.cursor.phrase("rnd") || self.cursor.phrase("rnds") {
            Some(Course::Round)
        } else if self.cursor.one_of(&["row", "rows"]) {
            Some(Course::Row)
        } else {
            None
        }
    }

    /// The word for rounds or rows, which must be the one of this sentence.
    pub(super) fn same_course(&mut self, course: Course) -> Read<()> {
        let here = self.cursor;
        if self.course()? == course {
            Ok(())
        } else {
            Err(here.expected("rounds or rows, not both in one sentence"))
        }
    }

    /// ` (RS)`, ` (WS first)`.
    pub(super) fn side_note(&mut self) -> Read<Option<Side>> {
        let side = if self.cursor.phrase("( rs") {
            Side::Right
        } else if self.cursor.phrase("( ws") {
            Side::Wrong
        } else {
            return Ok(None);
        };
        self.cursor.one_of(&["first"]);
        self.must_sign(')')?;
        Ok(Some(side))
    }
}
