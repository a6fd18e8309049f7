//! The instructions inside a row.

use super::{Read, Reader, Token};
use crate::words::{
    Amount, CastOn, Colour, Item, PerSize, PickUp, Ratio, Stitch, Turn, Until, cast_on_words,
};

/// Brackets in brackets: no row of a pattern has more.
const MAX_DEPTH: u32 = 4;
/// Instructions in one row.
const MAX_ITEMS: usize = 2_000;

impl Reader<'_> {
    /// Instructions with commas between, at least one.
    pub(super) fn items(&mut self) -> Read<Vec<Item>> {
        self.items_at(0)
    }

    fn items_at(&mut self, depth: u32) -> Read<Vec<Item>> {
        let mut items = Vec::new();
        loop {
            items.push(self.item(depth)?);
            let mut ahead = self.cursor;
            if !ahead.sign(',') || ahead.phrase("closing the gaps") {
                return Ok(items);
            }
            if items.len() == MAX_ITEMS {
                return Err(self.cursor.expected("no more instructions in one row"));
            }
            self.cursor = ahead;
        }
    }

    fn item(&mut self, depth: u32) -> Read<Item> {
        if matches!(self.cursor.peek(), Token::Sign('(' | '*')) {
            return self.bracket(depth);
        }
        if let Some(item) = self.marker_or_turn() {
            return Ok(item);
        }
        if self.cursor.phrase("bind off") {
            return Ok(Item::BindOff(self.stitches()?));
        }
        if self.cursor.phrase("cast on") {
            let times = self.stitches()?;
            return Ok(Item::CastOn { times, method: self.cast_on_method() });
        }
        if self.cursor.phrase("pick up and k") {
            return Ok(Item::PickUp(self.pick_up()?));
        }
        if self.cursor.phrase("place the next") {
            let times = self.stitches()?;
            self.must("on waste yarn for the", "'on waste yarn for the'")?;
            return Ok(Item::SetAside { times, group: self.name(&[], "what these sts are called")? });
        }
        let here = self.cursor;
        let stitch = self.stitch().ok_or_else(|| {
            here.expected(
                "an instruction: a stitch like k3 or k2tog, (...) 3 times, *...; repeat from * to end",
            )
        })?;
        match stitch {
            Stitch::K | Stitch::P | Stitch::Sl => self.counted(stitch),
            _ => {
                let colour = self.colour_if_any()?;
                let counted = matches!(self.cursor.peek(), Token::Number(_) | Token::Sign('–' | '-'))
                    || matches!(self.cursor.peek(), Token::Word(word) if ["once", "twice"].contains(&word));
                let times = if counted { self.times()? } else { PerSize::all(1) };
                Ok(Item::Work { stitch, times, colour })
            }
        }
    }

    fn bracket(&mut self, depth: u32) -> Read<Item> {
        let here = self.cursor;
        let star = self.cursor.sign('*');
        if !star {
            self.must_sign('(')?;
        }
        if depth >= MAX_DEPTH || (star && depth > 0) {
            return Err(here.expected("an instruction that is not bracketed deeper"));
        }
        let items = self.items_at(depth + 1)?;
        if !star {
            self.must_sign(')')?;
            return Ok(Item::Group { items, times: self.times()? });
        }
        self.must("; repeat from * to", "'; repeat from * to end'")?;
        Ok(Item::Star { items, until: self.until()? })
    }

    fn marker_or_turn(&mut self) -> Option<Item> {
        let phrases = [
            ("place marker", Item::PlaceMarker),
            ("pm", Item::PlaceMarker),
            ("slip marker", Item::SlipMarker),
            ("sm", Item::SlipMarker),
            ("remove marker", Item::RemoveMarker),
            ("place the marker of the rnd", Item::RoundMarker),
            ("wrap the next st and turn", Item::Turn(Turn::Wrapped)),
            ("turn with a double st", Item::Turn(Turn::Double)),
            ("turn", Item::Turn(Turn::Plain)),
        ];
        phrases.into_iter().find(|(phrase, _)| self.cursor.phrase(phrase)).map(|(_, item)| item)
    }

    pub(super) fn stitch(&mut self) -> Option<Stitch> {
        Stitch::ALL.into_iter().find(|stitch| self.cursor.phrase(&stitch.abbreviation().to_ascii_lowercase()))
    }

    /// `k11`, `k11 B`, `k to last 3 sts`, `k64 of the left sleeve`, `k12 with waste yarn for the ...`.
    fn counted(&mut self, stitch: Stitch) -> Read<Item> {
        if !matches!(self.cursor.peek(), Token::Number(_)) {
            let colour = self.colour_if_any()?;
            let until = if self.cursor.one_of(&["to"]) { self.until()? } else { Until::End };
            return Ok(Item::WorkTo { stitch, until, colour });
        }
        let times = self.amount("how many sts")?;
        if self.cursor.phrase("of the") {
            return Ok(Item::From { stitch, times, group: self.name(&[], "which sts these are")? });
        }
        if stitch == Stitch::K && self.cursor.phrase("with waste yarn for the") {
            let opening = self.name(&[], "what is opened here later")?;
            let rest = ", slip these sts back and k them again";
            self.must(rest, "', slip these sts back and k them again'")?;
            return Ok(Item::WasteYarn { times, opening });
        }
        let colour: Option<Colour> = self.colour_if_any()?;
        Ok(Item::Work { stitch, times, colour })
    }

    pub(super) fn until(&mut self) -> Read<Until> {
        if self.cursor.phrase("end") {
            return Ok(Until::End);
        }
        if self.cursor.phrase("marker") {
            return Ok(Until::Marker { before: PerSize::all(0) });
        }
        if self.cursor.phrase("the turn") {
            return Ok(Until::Turn { before: PerSize::all(0) });
        }
        if self.cursor.one_of(&["last"]) {
            let one = self.cursor.phrase("st");
            let count: Amount = if one { PerSize::all(1) } else { self.stitches()? };
            return Ok(Until::Last(count));
        }
        let what = "how far: 'end', 'last 3 sts', 'marker', '2 sts before marker', '4 sts past the turn'";
        let count = self.amount(what)?;
        self.must("sts", "'sts'")?;
        if self.cursor.phrase("before marker") {
            Ok(Until::Marker { before: count })
        } else if self.cursor.phrase("before the turn") {
            Ok(Until::Turn { before: count })
        } else if self.cursor.phrase("past the turn") {
            Ok(Until::PastTurn(count))
        } else {
            Err(self.cursor.expected("'before marker', 'before the turn' or 'past the turn'"))
        }
    }

    pub(super) fn cast_on_method(&mut self) -> CastOn {
        let said = CastOn::ALL
            .into_iter()
            .filter(|method| *method != CastOn::Any)
            .find(|method| self.cursor.phrase(&spaced(cast_on_words(*method))));
        said.unwrap_or(CastOn::Any)
    }

    /// What follows `pick up and k`.
    pub(super) fn pick_up(&mut self) -> Read<PickUp> {
        let times = self.amount("how many sts are picked up")?;
        self.must("along the", "'along the'")?;
        let edge = self.name(&[], "the edge")?;
        let mut ratio = None;
        if matches!(self.cursor.peek_second(), Token::Number(_)) && self.cursor.sign('(') {
            let stitches = self.number("the sts of the ratio", 1..=99)?;
            self.must("sts for every", "'sts for every'")?;
            let every = self.number("the rows of the ratio", 1..=99)?;
            self.must("of", "'of'")?;
            let of = self.amount("the rows of the edge")?;
            self.must("rows", "'rows'")?;
            self.must_sign(')')?;
            ratio = Some(Ratio { stitches, every, of });
        }
        Ok(PickUp { times, edge, ratio })
    }
}

/// A phrase as the cursor takes it apart: hyphens stand alone.
fn spaced(words: &str) -> String {
    words.trim().replace('-', " - ")
}
