//! Sentences.

use super::{Read, Reader, Text, Token};
use crate::words::{
    Amount, BindOff, Change, Colour, Course, GroupAside, Item, Needle, Pace, PartAside, PerSize, Rest, Side,
    Step, Stitch, Until, Work, bind_off_words,
};

/// Openings of sentences, for the message when none fits.
const SENTENCES: &str = "a sentence: 'Cast on 88 (92, 96) sts', 'Rnd 1: ...', 'Next row (RS): ...', 'K 8 rnds', \
     'Rep the last 2 rnds 5 times more', 'Place the next 12 sts on waste yarn for the thumb', \
     'Bind off all 40 sts', 'Note: ...'";

impl Reader<'_> {
    /// A sentence up to its full stop.
    pub(super) fn step(&mut self) -> Read<Step> {
        let Token::Word(word) = self.cursor.peek() else { return Err(self.cursor.expected(SENTENCES)) };
        match word.to_ascii_lowercase().as_str() {
            "rnd" | "rnds" | "round" | "rounds" | "row" | "rows" | "next" => Ok(Step::Rows(self.labelled()?)),
            "place" => self.place(),
            "rep" | "repeat" => self.repeat(),
            "go" => self.go_on(),
            "take" => self.take_out(),
            "graft" => self.graft(),
            "bind" => self.bind_off(None),
            "cut" => self.cut(),
            "note" => self.note(),
            "so" => {
                self.must("so far", "'so far 68 rnds'")?;
                let rows = self.amount("how many rows or rounds")?;
                Ok(Step::SoFar { rows, course: self.course()? })
            }
            "change" | "remove" | "sew" | "secure" | "weave" => self.finishing(),
            _ => self.with(),
        }
    }

    /// `With A and the finer needle, ...`, or the same without it.
    fn with(&mut self) -> Read<Step> {
        if self.cursor.phrase("work back and forth from here") {
            return Ok(Step::WorkFlat);
        }
        let (mut colour, mut needle) = (None, None);
        if self.cursor.one_of(&["with"]) {
            if self.cursor.one_of(&["the"]) {
                needle = Some(self.needle()?);
            } else {
                colour = Some(self.colour()?);
                if self.cursor.phrase("and the") {
                    needle = Some(self.needle()?);
                }
            }
            self.must_sign(',')?;
        }
        if self.cursor.phrase("cast on") {
            let stitches = self.stitches()?;
            return Ok(Step::CastOn { stitches, method: self.cast_on_method(), colour, needle });
        }
        if self.cursor.phrase("pick up and k") {
            return Ok(Step::PickUp { pick_up: self.pick_up()?, colour, needle });
        }
        if needle.is_some() {
            return Err(self.cursor.expected("'cast on' or 'pick up and k' after a needle"));
        }
        if matches!(self.cursor.peek(), Token::Word(word) if word.eq_ignore_ascii_case("bind")) {
            return self.bind_off(colour);
        }
        self.simple(colour)
    }

    fn simple(&mut self, colour: Option<Colour>) -> Read<Step> {
        let here = self.cursor;
        let stitch =
            [Stitch::K, Stitch::P, Stitch::Sl].into_iter().find(|s| self.cursor.phrase(s.abbreviation()));
        if stitch.is_none() && !self.cursor.one_of(&["work"]) {
            return Err(here.expected(SENTENCES));
        }
        Ok(Step::Rows(self.simple_rows(stitch, colour)?))
    }

    fn needle(&mut self) -> Read<Needle> {
        let needle = if self.cursor.one_of(&["finer"]) {
            Needle::Finer
        } else if self.cursor.one_of(&["larger"]) {
            Needle::Larger
        } else {
            return Err(self.cursor.expected("'finer needle' or 'larger needle'"));
        };
        self.must("needle", "'needle'")?;
        Ok(needle)
    }

    fn place(&mut self) -> Read<Step> {
        if self.cursor.phrase("place a marker and join for the round") {
            self.cursor.phrase("without twisting");
            return Ok(Step::Join);
        }
        if self.cursor.phrase("place in turn") {
            let mut parts = vec![self.part()?];
            while self.cursor.sign(',') {
                parts.push(self.part()?);
            }
            return Ok(Step::SetAside { parts, others_stay: self.others_stay() });
        }
        if self.cursor.phrase("place the next") {
            let parts = vec![self.part()?];
            return Ok(Step::SetAside { parts, others_stay: self.others_stay() });
        }
        self.must(
            "place the",
            "'place a marker and join', 'place in turn', 'place the next' or 'place the'",
        )?;
        let mut groups = Vec::new();
        loop {
            let stitches = self.stitches()?;
            self.must("of the", "'of the' and their name")?;
            groups
                .push(GroupAside { stitches, group: self.name(&["on the needle"], "which sts these are")? });
            if !self.cursor.phrase(", then the") {
                break;
            }
        }
        self.must("on the needle ,", "'on the needle, RS facing'")?;
        let facing = if self.cursor.one_of(&["ws"]) {
            Side::Wrong
        } else {
            self.must("rs", "'RS' or 'WS'")?;
            Side::Right
        };
        self.must("facing", "'facing'")?;
        Ok(Step::TakeUp { groups, facing })
    }

    fn part(&mut self) -> Read<PartAside> {
        let stitches = self.stitches()?;
        let rest = if self.cursor.phrase("on waste yarn") {
            Rest::WasteYarn
        } else {
            self.must("on a spare needle", "'on waste yarn' or 'on a spare needle'")?;
            Rest::SpareNeedle
        };
        self.must("for the", "'for the' and what these sts are called")?;
        Ok(PartAside { stitches, rest, group: self.name(&[], "what these sts are called")? })
    }

    fn others_stay(&mut self) -> bool {
        self.cursor.phrase("; the others stay on the needle")
    }

    fn repeat(&mut self) -> Read<Step> {
        self.must("rep the last", "'rep the last 2 rnds 5 times more'")?;
        let rows: Amount = match self.cursor.peek() {
            Token::Number(_) => self.amount("how many rows")?,
            _ => PerSize::all(1),
        };
        let course = self.course()?;
        Ok(Step::Repeat { rows, times: self.times_more()?, course })
    }

    fn go_on(&mut self) -> Read<Step> {
        self.must("go on so ,", "'go on so, on every 2nd rnd 9 times more'")?;
        let mut changes = Vec::new();
        if self.cursor.one_of(&["with"]) {
            loop {
                changes.push(self.change()?);
                if !self.cursor.one_of(&["and"]) {
                    break;
                }
            }
            self.must_sign(',')?;
        }
        let (first, course) = self.pace(None)?;
        let mut paces = vec![first];
        while self.cursor.phrase(", then") {
            paces.push(self.pace(Some(course))?.0);
        }
        let between = if self.cursor.sign(';') { Some(self.between(course)?) } else { None };
        Ok(Step::GoOn { changes, paces, between, course })
    }

    fn change(&mut self) -> Read<Change> {
        let here = self.cursor;
        let by = match self.cursor.next() {
            Token::Number(number) if (1..=100).contains(&number) => number,
            Token::Word(word) => (1..=10u32)
                .find(|n| crate::words::number_word(*n).eq_ignore_ascii_case(word))
                .ok_or_else(|| here.expected("how many sts: one, two, ..."))?,
            _ => return Err(here.expected("how many sts: one, two, ...")),
        };
        self.must("sts", "'sts'")?;
        let fewer = self.cursor.one_of(&["fewer"]);
        if !fewer {
            self.must("more", "'fewer' or 'more'")?;
        }
        self.must("before each", "'before each' and a stitch")?;
        let before = self.stitch().ok_or_else(|| self.cursor.expected("a stitch like k2tog"))?;
        Ok(Change { by: if fewer { -(by as i32) } else { by as i32 }, before })
    }

    fn pace(&mut self, course: Option<Course>) -> Read<(Pace, Course)> {
        self.must("on every", "'on every 2nd rnd'")?;
        let every = match self.cursor.peek() {
            Token::Word(word) if word.starts_with(|c: char| c.is_ascii_digit()) => self.ordinals()?,
            _ => PerSize::all(1),
        };
        let here = self.cursor;
        let said = self.course()?;
        if course.is_some_and(|course| course != said) {
            return Err(here.expected("rounds or rows, not both in one sentence"));
        }
        Ok((Pace { every, times: self.times_more()? }, said))
    }

    /// `2nd`, `2nd (3rd, 4th)`.
    fn ordinals(&mut self) -> Read<Amount> {
        let here = self.cursor;
        let mut figures = vec![self.ordinal()?];
        let listed = matches!(self.cursor.peek_second(), Token::Word(word) if word.starts_with(|c: char| c.is_ascii_digit()));
        if !listed || !self.cursor.sign('(') {
            return Ok(PerSize::all(figures[0]));
        }
        loop {
            figures.push(self.ordinal()?);
            if !self.cursor.sign(',') {
                break;
            }
        }
        self.must_sign(')')?;
        self.sized(figures, here)
    }

    fn ordinal(&mut self) -> Read<u32> {
        let here = self.cursor;
        let figure = match self.cursor.next() {
            Token::Word(word) => word.trim_end_matches(char::is_alphabetic).parse().ok(),
            _ => None,
        };
        let figure = figure.filter(|n| (1..=super::amounts::MAX_AMOUNT).contains(n));
        figure.ok_or_else(|| here.expected("which row: 2nd, 4th, ..."))
    }

    fn between(&mut self, course: Course) -> Read<Work> {
        let plain = |stitch| Work::Formula(vec![Item::WorkTo { stitch, until: Until::End, colour: None }]);
        for stitch in [Stitch::K, Stitch::P, Stitch::Sl] {
            let mut ahead = self.cursor;
            if ahead.phrase(stitch.abbreviation()) && ahead.one_of(&["the"]) {
                self.cursor = ahead;
                self.same_course(course)?;
                self.must("between", "'between'")?;
                return Ok(plain(stitch));
            }
        }
        if self.cursor.phrase("work the") {
            self.same_course(course)?;
            self.must("between in", "'between in' and a stitch pattern")?;
            return Ok(Work::Fabric(self.fabric()?));
        }
        self.same_course(course)?;
        self.must("between :", "'between:'")?;
        self.work(course)
    }

    fn take_out(&mut self) -> Read<Step> {
        if self.cursor.phrase("take out the provisional cast - on :") {
            let stitches = self.stitches()?;
            let rest = "rest on a spare needle for the";
            self.must(rest, "'rest on a spare needle for the' and their name")?;
            return Ok(Step::Release { stitches, group: self.name(&[], "what these sts are called")? });
        }
        self.must("take out the waste yarn of the", "'take out the waste yarn of the heel: ...'")?;
        let opening = self.name(&[], "which opening")?;
        self.must_sign(':')?;
        let below = self.stitches()?;
        self.must("below and", "'below and'")?;
        let above = self.stitches()?;
        self.must("above are on the needle", "'above are on the needle'")?;
        Ok(Step::Open { opening, below, above })
    }

    fn graft(&mut self) -> Read<Step> {
        let here = self.cursor;
        if self.cursor.phrase("graft the first") {
            let stitches = self.stitches()?;
            self.must("to the last", "'to the last'")?;
            if self.stitches()? != stitches {
                return Err(here.expected("as many sts on both sides of the graft"));
            }
            return Ok(Step::GraftHalves { stitches });
        }
        self.must("graft the", "'graft the 20 sts of the ... to those of the ...'")?;
        let stitches = self.stitches()?;
        self.must("of the", "'of the'")?;
        let one = self.name(&["to those of the"], "which sts these are")?;
        self.must("to those of the", "'to those of the'")?;
        Ok(Step::Graft { stitches, one, other: self.name(&[], "which sts these are")? })
    }

    fn bind_off(&mut self, colour: Option<Colour>) -> Read<Step> {
        if self.cursor.phrase("bind off all") {
            let stitches = self.stitches()?;
            let said = BindOff::ALL
                .into_iter()
                .filter(|method| *method != BindOff::Any)
                .find(|method| self.cursor.phrase(bind_off_words(*method).trim()));
            return Ok(Step::BindOff { stitches, method: said.unwrap_or(BindOff::Any), colour });
        }
        self.must("bind off the", "'bind off all 40 sts' or 'bind off the 20 sts of the ...'")?;
        if colour.is_some() {
            return Err(self.cursor.expected("no colour for a bind-off of two groups together"));
        }
        let stitches = self.stitches()?;
        self.must("of the", "'of the'")?;
        let front = self.name(&["together with those of the"], "which sts these are")?;
        self.must("together with those of the", "'together with those of the'")?;
        Ok(Step::ThreeNeedle { stitches, front, back: self.name(&[], "which sts these are")? })
    }

    fn cut(&mut self) -> Read<Step> {
        self.must("cut", "'cut the yarn'")?;
        let colour = if self.cursor.phrase("the yarn") { None } else { Some(self.colour()?) };
        let drawn = ["to 20 cm ( 8 in ) , draw it twice through the", "to 20 cm , draw it twice through the"];
        if !drawn.into_iter().any(|words| self.cursor.phrase(words)) {
            return match colour {
                None => Ok(Step::Cut),
                Some(_) => Err(self.cursor.expected("'to 20 cm, draw it twice through the 8 sts'")),
            };
        }
        let stitches = self.stitches()?;
        self.must("and close the", "'and close the'")?;
        Ok(Step::DrawThrough { stitches, colour, what: self.name(&[], "what is closed")? })
    }

    fn note(&mut self) -> Read<Step> {
        self.must("note :", "'Note:'")?;
        let here = self.cursor;
        let text = Text::new(self.cursor.rest_of_line());
        Ok(Step::Note(text.ok_or_else(|| here.expected("the words of the note on the same line"))?))
    }

    fn finishing(&mut self) -> Read<Step> {
        if self.cursor.phrase("change to the") {
            return Ok(Step::Needle(self.needle()?));
        }
        if self.cursor.phrase("remove the markers") {
            return Ok(Step::RemoveMarkers);
        }
        if self.cursor.phrase("weave in the ends") {
            return Ok(Step::WeaveIn);
        }
        if self.cursor.phrase("sew the") {
            return Ok(Step::Seam(self.name(&[], "the seam")?));
        }
        self.must("secure the", SENTENCES)?;
        let stitches = self.amount("how many sts the steek has")?;
        self.must("steek sts of the", "'steek sts of the'")?;
        let place = self.name(&["on both sides of their centre"], "where the steek lies")?;
        let rest = "on both sides of their centre , then cut between";
        self.must(rest, "'on both sides of their centre, then cut between'")?;
        Ok(Step::Steek { stitches, place })
    }
}
