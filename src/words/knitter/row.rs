//! Working a row by its words.

use super::needle::{On, Row, Trouble};
use super::report::EdgeKind;
use super::{Knitter, OPS};
use crate::knit::Technique;
use crate::words::{Colour, Item, Side, Stitch, StitchPattern, Until, Work};

pub(super) type Worked = Result<(), Trouble>;

impl Knitter<'_> {
    /// Works the stitches of a row; `phase` is its place (from 0) among the rows worked alike.
    pub(super) fn fill(&mut self, row: &mut Row, work: &Work, phase: u32) -> Result<Technique, Trouble> {
        match work {
            Work::Formula(items) => {
                self.items(row, items)?;
                let first = row.made.first().map(|made| made.0);
                let several = row.made.iter().any(|made| Some(made.0) != first);
                return Ok(if several { Technique::Stranded } else { Technique::Stripes });
            }
            Work::Fabric(fabric) => self.fabric(row, *fabric, phase, None)?,
            Work::Striped { fabric, stripes } => {
                let all: u32 = stripes.iter().map(|stripe| stripe.1).sum();
                let mut at = phase % all.max(1);
                let colour = stripes.iter().find(|(_, rows)| {
                    let inside = at < *rows;
                    at = at.saturating_sub(*rows);
                    inside
                });
                self.fabric(row, *fabric, phase, colour.map(|stripe| stripe.0))?;
            }
            Work::AsSet => {
                while !row.at_end() {
                    let seen = if row.next_shows_purl() { Stitch::P } else { Stitch::K };
                    self.stitch(row, seen.on(row.side), None)?;
                }
            }
            Work::Chart(chart) => return self.chart(row, chart, phase),
            Work::ChartAsSet(work) => return self.chart_as_set(row, work, phase),
        }
        Ok(Technique::Stripes)
    }

    fn fabric(&mut self, row: &mut Row, fabric: StitchPattern, phase: u32, colour: Option<Colour>) -> Worked {
        let all = row.ahead;
        if let (true, StitchPattern::Rib { knit, purl }) = (self.needle.joined, fabric)
            && !all.is_multiple_of(knit + purl)
        {
            return Err(format!("{all} sts are no multiple of the {} of the rib", knit + purl).into());
        }
        for n in 0..all {
            let from_right = if row.side == Side::Right { n } else { all - 1 - n };
            let seen = self.shows(fabric, phase, from_right, row.side);
            self.stitch(row, seen.on(row.side), colour)?;
        }
        Ok(())
    }

    /// How a stitch pattern shows on the right side; `from_right` counts from 0.
    pub(super) fn shows(&self, fabric: StitchPattern, phase: u32, from_right: u32, side: Side) -> Stitch {
        let knit = match fabric {
            StitchPattern::Stockinette => true,
            StitchPattern::ReverseStockinette => false,
            StitchPattern::Garter if self.needle.joined => phase.is_multiple_of(2),
            StitchPattern::Garter => side == Side::Right,
            StitchPattern::Moss => (phase + from_right).is_multiple_of(2),
            StitchPattern::Rib { knit, purl } => from_right % (knit + purl).max(1) < knit,
        };
        if knit { Stitch::K } else { Stitch::P }
    }

    fn items(&mut self, row: &mut Row, items: &[Item]) -> Worked {
        items.iter().try_for_each(|item| self.item(row, item))
    }

    fn item(&mut self, row: &mut Row, item: &Item) -> Worked {
        self.spend(1)?;
        if row.turned.is_some() {
            return Err("something follows the turn".to_owned().into());
        }
        match item {
            Item::Work { stitch, times, colour } => self.times(row, *stitch, times.get(self.size), *colour),
            Item::WorkTo { stitch, until, colour } => {
                let stitches = self.distance(row, until)?;
                self.times(row, *stitch, stitches, *colour)
            }
            Item::Group { items, times } => {
                (0..times.get(self.size)).try_for_each(|_| self.items(row, items))
            }
            Item::Star { items, until } => self.star(row, items, until),
            Item::Turn(turn) => {
                row.turned = Some(*turn);
                Ok(())
            }
            Item::PlaceMarker | Item::SlipMarker | Item::RemoveMarker | Item::RoundMarker => {
                marker(row, item)
            }
            _ => self.live_stitches(row, item),
        }
    }

    /// Items that open or close live stitches, or set them aside.
    fn live_stitches(&mut self, row: &mut Row, item: &Item) -> Worked {
        let size = self.size;
        match item {
            Item::From { stitch, times, group } => {
                let (times, colour) = (times.get(size), row.colour(None)?);
                self.spend(u64::from(times))?;
                for _ in self.take_from(group, times, row.side)? {
                    row.make(*stitch, colour);
                }
            }
            Item::BindOff(count) => {
                let (count, colour) = (count.get(size), row.colour(None)?);
                row.lift(count, "the bind-off")?;
                self.edge_worked(EdgeKind::BoundOff, colour, count, None);
                self.totals.bound_off += u64::from(count);
            }
            Item::CastOn { times, .. } => {
                let (times, colour) = (times.get(size), row.colour(None)?);
                self.spend(u64::from(times))?;
                row.put_on(times, colour);
                self.edge_worked(EdgeKind::CastOn, colour, times, None);
                self.bridges.push((None, times));
                self.totals.cast_on += u64::from(times);
            }
            Item::PickUp(pick_up) => {
                let (times, colour) = (pick_up.times.get(size), row.colour(None)?);
                self.check_ratio(pick_up);
                self.spend(u64::from(times))?;
                row.put_on(times, colour);
                self.edge_worked(EdgeKind::PickedUp, colour, times, Some(&pick_up.edge));
                self.totals.picked_up += u64::from(times);
            }
            Item::SetAside { times, group } => {
                let mut on = row.lift(times.get(size), "what is set aside")?;
                if row.side == Side::Wrong {
                    on.reverse();
                }
                self.set_aside(group, on);
            }
            Item::WasteYarn { times, opening } => {
                let times = times.get(size);
                self.times(row, Stitch::K, times, None)?;
                self.open(opening, times)?;
            }
            _ => {}
        }
        Ok(())
    }

    fn times(&mut self, row: &mut Row, stitch: Stitch, times: u32, colour: Option<Colour>) -> Worked {
        let wanted = u64::from(times) * u64::from(stitch.takes());
        if wanted > u64::from(row.ahead) && !row.left.contains(&On::RoundMark) {
            let what = if stitch.takes() == 1 {
                format!("{}{times}", stitch.abbreviation())
            } else {
                stitch.abbreviation().to_owned()
            };
            return Err(Trouble::Short { what, left: row.ahead });
        }
        (0..times).try_for_each(|_| self.stitch(row, stitch, colour))
    }

    pub(super) fn stitch(&mut self, row: &mut Row, stitch: Stitch, colour: Option<Colour>) -> Worked {
        self.spend(1)?;
        row.work(stitch, colour)
    }

    /// `*...; repeat from * to ...`
    fn star(&mut self, row: &mut Row, items: &[Item], until: &Until) -> Worked {
        let keep = row.ahead.saturating_sub(self.distance(row, until)?);
        while row.ahead > keep {
            let before = row.ahead;
            let over = before - keep;
            let worked = self.items(row, items);
            let uneven = || {
                let sts = if over == 1 { "st is" } else { "sts are" };
                Trouble::Other(format!("the repeat does not come out even: {over} {sts} left over"))
            };
            match worked {
                Err(Trouble::Short { .. }) => return Err(uneven()),
                Err(other) => return Err(other),
                Ok(()) if row.ahead < keep => return Err(uneven()),
                Ok(()) if row.ahead == before => {
                    return Err("the repeat takes no sts".to_owned().into());
                }
                Ok(()) => {}
            }
        }
        Ok(())
    }

    /// Stitches up to a place.
    fn distance(&self, row: &Row, until: &Until) -> Result<u32, Trouble> {
        let (size, joined) = (self.size, self.needle.joined);
        let less = |stitches: u32, before: u32, what: &str| {
            stitches
                .checked_sub(before)
                .ok_or_else(|| Trouble::Short { what: what.to_owned(), left: stitches })
        };
        match until {
            Until::End => Ok(row.ahead),
            Until::Last(last) => less(row.ahead, last.get(size), "'to last'"),
            Until::Marker { before } => {
                let next = row.up_to(|on| matches!(on, On::Marker | On::RoundMark));
                let next = next.or((joined && row.side == Side::Right).then_some(row.ahead));
                let next = next.ok_or_else(|| "no marker is ahead".to_owned())?;
                less(next, before.get(size), "'before marker'")
            }
            Until::Turn { before } => {
                let next = row.up_to(|on| matches!(on, On::Gap(_)));
                let next = next.ok_or_else(|| "no turn is ahead".to_owned())?;
                less(next, before.get(size), "'before the turn'")
            }
            Until::PastTurn(past) => {
                let next = row.up_to(|on| matches!(on, On::Gap(_)));
                let next = next.ok_or_else(|| "no turn is ahead".to_owned())?;
                Ok(next + past.get(size))
            }
        }
    }

    /// Counts work done, so that a text of a few words cannot keep the program for ever.
    pub(super) fn spend(&mut self, ops: u64) -> Worked {
        self.ops += ops;
        if self.ops > OPS {
            return Err(format!("these words take more than {} million sts", OPS / 1_000_000).into());
        }
        Ok(())
    }
}

fn marker(row: &mut Row, item: &Item) -> Worked {
    let next_is_marker = row.left.last() == Some(&On::Marker);
    match item {
        Item::PlaceMarker => row.right.push(On::Marker),
        Item::SlipMarker if next_is_marker => {
            row.left.pop();
            row.right.push(On::Marker);
        }
        // The last marker of a round is the one that is always there.
        Item::SlipMarker if row.at_end() => {}
        Item::RemoveMarker if next_is_marker => {
            row.left.pop();
        }
        Item::RoundMarker if row.at_end() => row.joins = true,
        Item::RoundMarker => return Err("the marker of the rnd stands before the end".to_owned().into()),
        _ => return Err("no marker is here".to_owned().into()),
    }
    Ok(())
}
