//! Rows, rounds and what fills them.

use super::{Read, Reader, Token};
use crate::words::{
    Across, Amount, AsSet, ChartWork, Colour, Course, Edge, Item, Label, PerSize, Rows, Stitch,
    StitchPattern, Strip, Until, Work,
};

/// Charts and what is beside them in one row: no garment has as many steeks.
const MAX_ACROSS: usize = 100;

impl Reader<'_> {
    /// `Rnds 17-37: ...`, `Next row (RS): ...`; the first word has not been read.
    pub(super) fn labelled(&mut self) -> Read<Rows> {
        let (course, label, side) = if self.cursor.one_of(&["next"]) {
            let count = match self.cursor.peek() {
                Token::Number(_) => Some(self.amount("how many rows")?),
                _ => None,
            };
            let course = self.course()?;
            if let Some(count) = &count {
                self.not_in(count)?;
            }
            (course, Label::Next(count.unwrap_or(PerSize::all(1))), self.side_note()?)
        } else {
            let course = self.course()?;
            let from = self.amount("the number of the row")?;
            let to = if self.cursor.sign('–') || self.cursor.sign('-') {
                self.amount("the number of the last row")?
            } else {
                from.clone()
            };
            let side = self.side_note()?;
            let here = self.cursor;
            if self.cursor.phrase("and every") {
                let even = self.cursor.one_of(&["even"]);
                let first = from.one().filter(|first| *first > 0 && from == to && (first % 2 == 0) == even);
                let first = first.ok_or_else(|| {
                    here.expected("'and every even' after an even number, 'odd' after an odd one")
                })?;
                if !even {
                    self.must("odd", "'even' or 'odd'")?;
                }
                self.same_course(course)?;
                (course, Label::EverySecond(first), side)
            } else {
                (course, Label::Numbered { from, to }, side)
            }
        };
        self.must_sign(':')?;
        let colour = self.with_colour()?;
        let work = self.work(course)?;
        let closing_gaps = self.cursor.phrase(", closing the gaps");
        Ok(Rows { course, label, side, colour, work, closing_gaps })
    }

    /// `with A,`
    fn with_colour(&mut self) -> Read<Option<Colour>> {
        if !self.cursor.one_of(&["with"]) {
            return Ok(None);
        }
        let colour = self.colour()?;
        self.must_sign(',')?;
        Ok(Some(colour))
    }

    /// `k 8 (10, 12) rnds`, `work 8 rows in St st (RS first)`; `stitch` is `None` after `work`.
    pub(super) fn simple_rows(&mut self, stitch: Option<Stitch>, colour: Option<Colour>) -> Read<Rows> {
        let count = self.amount("how many rows or rounds")?;
        let course = self.course()?;
        self.not_in(&count)?;
        let work = if let Some(stitch) = stitch {
            Work::Formula(vec![Item::WorkTo { stitch, until: Until::End, colour: None }])
        } else {
            self.must("in", "'in' and a stitch pattern")?;
            self.fabric_or_stripes(course)?
        };
        let side = self.side_note()?;
        Ok(Rows { course, label: Label::Next(count), side, colour, work, closing_gaps: false })
    }

    /// What fills a row.
    pub(super) fn work(&mut self, course: Course) -> Read<Work> {
        let bridges = self.leading_bridges();
        if !self.cursor.one_of(&["work"]) {
            if !bridges.is_empty() {
                return Err(self.cursor.expected("'work' and the rows of a chart"));
            }
            return Ok(Work::Formula(self.items()?));
        }
        if bridges.is_empty() && self.cursor.one_of(&["in"]) {
            return self.fabric_or_stripes(course);
        }
        if bridges.is_empty() && self.cursor.phrase("each st as it shows") {
            return Ok(Work::AsSet);
        }
        self.chart_work(course, bridges)
    }

    /// Bridges cast on before anything is worked: `cast on 4 steek sts for the left armhole, then`.
    fn leading_bridges(&mut self) -> Vec<Across> {
        let mut bridges = Vec::new();
        loop {
            let here = self.cursor;
            match self.bridge() {
                Ok(Some(bridge)) if self.cursor.phrase(", then") => bridges.push(bridge),
                _ => {
                    self.cursor = here;
                    return bridges;
                }
            }
        }
    }

    /// `[place the next 32 sts on waste yarn for the front neck and] cast on 8 steek sts [for the front neck]`
    fn bridge(&mut self) -> Read<Option<Across>> {
        if self.cursor.phrase("cast on") {
            let stitches = self.amount("how many sts")?;
            self.must("steek sts for the", "'steek sts for the' and the name of the steek")?;
            let steek = self.name(&[], "the name of the steek")?;
            return Ok(Some(Across::Bridge { aside: PerSize::all(0), stitches, steek }));
        }
        if !self.cursor.phrase("place the next") {
            return Ok(None);
        }
        let aside = self.stitches()?;
        self.must("on waste yarn for the", "'on waste yarn for the'")?;
        let steek = self.name(&["and cast on"], "the name of the steek")?;
        self.must("and cast on", "'and cast on' and the sts of the bridge")?;
        let stitches = self.amount("how many sts")?;
        self.must("steek sts", "'steek sts'")?;
        Ok(Some(Across::Bridge { aside, stitches, steek }))
    }

    fn fabric_or_stripes(&mut self, course: Course) -> Read<Work> {
        let fabric = self.fabric()?;
        let striped =
            matches!((self.cursor.peek(), self.cursor.peek_second()), (Token::Sign(','), Token::Number(_)));
        if !striped {
            return Ok(Work::Fabric(fabric));
        }
        let mut stripes = Vec::new();
        while self.cursor.sign(',') || self.cursor.one_of(&["and"]) {
            let rows = self.number("the rows of a stripe", 1..=super::amounts::MAX_AMOUNT)?;
            self.same_course(course)?;
            self.must("with", "'with' and a colour")?;
            stripes.push((self.colour()?, rows));
        }
        self.must("in turn", "'in turn'")?;
        Ok(Work::Striped { fabric, stripes })
    }

    pub(super) fn fabric(&mut self) -> Read<StitchPattern> {
        let named = [
            ("st st", StitchPattern::Stockinette),
            ("rev st st", StitchPattern::ReverseStockinette),
            ("garter st", StitchPattern::Garter),
            ("moss st", StitchPattern::Moss),
        ];
        if let Some((_, fabric)) = named.into_iter().find(|(words, _)| self.cursor.phrase(words)) {
            return Ok(fabric);
        }
        self.must("k", "a stitch pattern: St st, rev St st, garter st, moss st, or k2, p2 rib")?;
        let knit = self.number("knit sts of the rib", 1..=99)?;
        self.must(", p", "', p'")?;
        let purl = self.number("purl sts of the rib", 1..=99)?;
        self.must("rib", "'rib'")?;
        Ok(StitchPattern::Rib { knit, purl })
    }

    /// `[2 sts with A, then] rnds 1-21 of chart 1, 13 repeats of 10 sts[, then 1 st with A]`, or
    /// `rnds 1-21 of the chart as set`.
    fn chart_work(&mut self, course: Course, mut across: Vec<Across>) -> Read<Work> {
        loop {
            let here = self.cursor;
            match self.course_if_any() {
                Some(said) if said == course => break,
                Some(_) => return Err(here.expected("rounds or rows, not both in one sentence")),
                None => {}
            }
            let part = self.beside()?.ok_or_else(|| {
                here.expected("'in St st', 'each st as it shows' or 'rnds 1-21 of chart 1'")
            })?;
            across.push(part);
            self.must(", then", "', then' and the rows of a chart")?;
        }
        let from = self.amount("the first row of the chart")?;
        let to = if self.cursor.sign('–') || self.cursor.sign('-') {
            self.amount("the last row of the chart")?
        } else {
            from.clone()
        };
        self.must("of", "'of chart' and its number")?;
        if across.is_empty() && self.cursor.phrase("the chart as set") {
            let mut shaped = None;
            if self.cursor.phrase(", with") {
                let words = "'k2tog before and ssk after the steek of the' and its name";
                self.must("k2tog before and ssk after the steek of the", words)?;
                shaped = Some(self.name(&[], "the name of the steek")?);
            }
            let times = self.in_all(course)?;
            return Ok(Work::ChartAsSet(AsSet { from, to, times, shaped }));
        }
        across.push(Across::Strip(self.strip()?));
        while self.cursor.phrase(", then") {
            if across.len() == MAX_ACROSS {
                return Err(self.cursor.expected("no more charts and edges in one row"));
            }
            if self.cursor.one_of(&["of"]) {
                across.push(Across::Strip(self.strip()?));
                continue;
            }
            let here = self.cursor;
            let part = self.beside()?;
            across.push(
                part.ok_or_else(|| here.expected("'of chart' and its number, or sts beside the chart"))?,
            );
        }
        let times = self.in_all(course)?;
        Ok(Work::Chart(ChartWork { from, to, times, across }))
    }

    /// `; these rnds twice in all`
    fn in_all(&mut self, course: Course) -> Read<Amount> {
        if !self.cursor.phrase("; these") {
            return Ok(PerSize::all(1));
        }
        self.same_course(course)?;
        let times = self.times()?;
        self.must("in all", "'in all'")?;
        Ok(times)
    }

    /// `2 sts with A`, `8 steek sts`, `1 edge st`, or a bridge that is cast on.
    fn beside(&mut self) -> Read<Option<Across>> {
        let Token::Number(_) = self.cursor.peek() else { return self.bridge() };
        let stitches = self.amount("how many sts")?;
        if self.cursor.phrase("steek sts") {
            return Ok(Some(Across::Steek(stitches)));
        }
        if self.cursor.phrase("edge sts") {
            return Ok(Some(Across::EdgeStitches(stitches)));
        }
        self.must("sts", "'sts', 'steek sts' or 'edge sts'")?;
        let colour = if self.cursor.one_of(&["with"]) { Some(self.colour()?) } else { None };
        let fabric = if self.cursor.one_of(&["in"]) { self.fabric()? } else { StitchPattern::Stockinette };
        Ok(Some(Across::Edge(Edge { stitches, colour, fabric })))
    }

    /// `chart 1, 13 (14, 15) repeats of 10 sts from st 4 and 3 sts more`.
    fn strip(&mut self) -> Read<Strip> {
        self.must("chart", "'chart' and its number")?;
        let here = self.cursor;
        let number = self.number("the number of the chart", 1..=super::amounts::MAX_AMOUNT)?;
        if number as usize > self.charts {
            return Err(here.expected("the number of a chart that stands at the top"));
        }
        let repeats = if self.cursor.one_of(&["over"]) {
            PerSize::all(1)
        } else {
            self.must_sign(',')?;
            let repeats = self.amount("how many repeats")?;
            self.must("repeats of", "'repeats of'")?;
            repeats
        };
        let of = self.number("the sts of a repeat", 0..=super::amounts::MAX_AMOUNT)?;
        self.must("sts", "'sts'")?;
        let begin: Amount = if self.cursor.phrase("from st") {
            self.amount("the st of the chart to begin with")?
        } else {
            PerSize::all(1)
        };
        let mut extra: Amount = PerSize::all(0);
        if self.cursor.one_of(&["and"]) {
            extra = self.stitches()?;
            self.must("more", "'more'")?;
        }
        Ok(Strip { chart: number - 1, repeats, of, begin, extra })
    }
}
