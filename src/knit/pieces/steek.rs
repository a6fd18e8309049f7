//! Steeks in a round: where its stitches lie between the bridges that will be cut open.
//!
//! Every stitch keeps its place in the round below the steeks, so that the columns of a chart run on straight.
//! The stitch at either side of a bridge is its edge stitch, which is picked up from or sewn along later (common
//! practice, no published source).

use super::error::PieceError;
use crate::chart::Cell;

/// Most steeks of a piece: two armholes, the neck in front and at the back.
pub const MOST_STEEKS: usize = 4;

/// A gap in the round, and the bridge over it.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Gap {
    /// Stitches of the round from the marker to the gap; 0 for the one over the marker.
    pub from: u32,
    /// Stitches of the round that are gone: set aside or decreased.
    pub gone: u32,
    /// Stitches of the bridge.
    pub bridge: u32,
    /// Whether the bridge is cast on in this row.
    pub opens: bool,
}

/// A stretch of a round, in the order it is worked from the marker.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Span {
    /// Stitches of the round below the steeks, `from..to` from its marker.
    Own {
        /// The first.
        from: u32,
        /// The one after the last.
        to: u32,
    },
    /// A bridge, or half of the one over the marker.
    Bridge {
        /// Which gap.
        gap: usize,
        /// Its stitches here.
        stitches: u32,
    },
}

impl Span {
    /// Its stitches.
    pub const fn stitches(self) -> u32 {
        match self {
            Self::Own { from, to } => to - from,
            Self::Bridge { stitches, .. } => stitches,
        }
    }
}

/// A round with steeks.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct SteekRow {
    /// Stitches of the round below the steeks.
    pub round: u32,
    /// The gaps from the marker on, the first over it.
    gaps: [Gap; MOST_STEEKS],
    /// How many there are.
    count: usize,
}

impl SteekRow {
    /// The gaps from the marker on.
    pub fn gaps(&self) -> impl Iterator<Item = &Gap> {
        self.gaps.iter().take(self.count)
    }

    /// What is worked from the marker on.
    pub fn spans(&self) -> Vec<Span> {
        let first = self.gaps[0];
        let mut spans = vec![Span::Bridge { gap: 0, stitches: first.bridge - first.bridge / 2 }];
        let mut at = first.gone - first.gone / 2;
        for (place, gap) in self.gaps().enumerate().skip(1) {
            spans.push(Span::Own { from: at, to: gap.from });
            spans.push(Span::Bridge { gap: place, stitches: gap.bridge });
            at = gap.from + gap.gone;
        }
        spans.push(Span::Own { from: at, to: self.round - first.gone / 2 });
        spans.push(Span::Bridge { gap: 0, stitches: first.bridge / 2 });
        spans
    }

    /// Puts the stitches of this round into `out`, left to right as the right side shows them, over a row of the
    /// chart; every stretch of its own begins and ends with an edge stitch.
    pub(super) fn put(&self, chart: &[Cell], out: &mut Vec<Cell>) {
        let colours = colours_of(chart);
        let (Some(first), width) = (colours.first().copied(), chart.len()) else { return };
        for span in self.spans() {
            match span {
                Span::Own { from, to } => out.extend((from..to).map(|i| {
                    let edge = i == from || i + 1 == to;
                    if edge { first } else { chart[width - 1 - i as usize % width] }
                })),
                Span::Bridge { gap, stitches } if self.gaps[gap].opens => {
                    out.extend(std::iter::repeat_n(first, stitches as usize));
                }
                Span::Bridge { stitches, .. } => {
                    out.extend(colours.iter().copied().cycle().take(stitches as usize));
                }
            }
        }
        out.reverse();
    }
}

/// The colours of a row of the chart, in the order of the palette.
fn colours_of(chart: &[Cell]) -> Vec<Cell> {
    let mut slots: Vec<usize> = chart.iter().filter_map(|cell| cell.index()).collect();
    slots.sort_unstable();
    slots.dedup();
    slots.into_iter().map(|slot| Cell::slot(slot as u8)).collect()
}

/// How the stitches of a band lie between its bridges.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Steeks {
    /// Stitches of the round below the steeks.
    round: u32,
    /// The gaps of its first round from the marker on, each with its name.
    gaps: Vec<(String, Gap)>,
    /// The gap that was opened last: the one that is shaped.
    last: usize,
}

impl Steeks {
    /// A round of so many stitches, not yet parted.
    pub(super) const fn of(round: u32) -> Self {
        Self { round, gaps: Vec::new(), last: 0 }
    }

    /// Stitches of the round below the steeks.
    pub const fn round(&self) -> u32 {
        self.round
    }

    /// The gaps of the first round from the marker on, each with its name.
    pub fn gaps(&self) -> &[(String, Gap)] {
        &self.gaps
    }

    /// The place of the gap that is shaped.
    pub const fn shaped(&self) -> usize {
        self.last
    }

    /// The round when so many stitches have been taken away at either side of the gap that is shaped; `first` is
    /// the round in which bridges are cast on.
    pub fn row(&self, eaten: u32, first: bool) -> SteekRow {
        let mut gaps = [Gap::default(); MOST_STEEKS];
        for (place, (gap, (_, own))) in gaps.iter_mut().zip(&self.gaps).enumerate() {
            *gap = Gap { opens: own.opens && first, ..*own };
            if place == self.last {
                gap.gone += 2 * eaten;
                gap.from -= if place == 0 { 0 } else { eaten };
            }
        }
        SteekRow { round: self.round, gaps, count: self.gaps.len() }
    }

    /// Stitches on the needle in its first round, bridges and all.
    pub fn stitches(&self) -> u32 {
        self.gaps.iter().fold(self.round, |sum, (_, gap)| sum + gap.bridge - gap.gone)
    }

    /// Most stitches that can go at either side of the gap that is shaped: three are left beside it.
    pub(super) fn most_eaten(&self) -> u32 {
        let spans = self.row(0, false).spans();
        let beside = |place: usize| match spans.get(place) {
            Some(span @ Span::Own { .. }) => span.stitches().saturating_sub(3),
            _ => 0,
        };
        match self.last {
            0 => beside(1).min(beside(spans.len().saturating_sub(2))),
            gap => beside(2 * gap - 1).min(beside(2 * gap + 1)),
        }
    }

    /// The same after a band that took so many away at either side; no bridge is new.
    pub(super) fn after(mut self, eaten: u32) -> Self {
        let row = self.row(eaten, false);
        for ((_, gap), now) in self.gaps.iter_mut().zip(row.gaps) {
            *gap = now;
        }
        self
    }

    /// Stitches of the stretch around a place of the round, from its marker.
    pub(super) fn stretch_at(&self, place: u32) -> Option<(u32, u32)> {
        if self.gaps.is_empty() {
            return Some((0, self.round));
        }
        self.row(0, false).spans().into_iter().find_map(|span| match span {
            Span::Own { from, to } if (from..to).contains(&place) => Some((from, to)),
            _ => None,
        })
    }

    /// Opens another gap: `gone` stitches about a place of the round.
    ///
    /// # Errors
    /// [`PieceError::Steek`] when it does not fit.
    pub(super) fn open(
        &mut self,
        at: &str,
        name: &str,
        place: u32,
        (gone, bridge): (u32, u32),
    ) -> Result<(), PieceError> {
        let refused = |why| Err(PieceError::Steek { at: at.to_owned(), name: name.to_owned(), why });
        if self.gaps.len() == MOST_STEEKS {
            return refused("a piece has four steeks at the most: take one out");
        }
        if self.gaps.iter().any(|(known, _)| known == name) {
            return refused("another steek of the piece has this name: give it another");
        }
        if place == 0 && !self.gaps.is_empty() {
            return refused("a steek lies over the marker already: begin this one elsewhere in the round");
        }
        if self.gaps.is_empty() != (place == 0) {
            return refused(
                "the first steek lies over the marker (at 0 % of the round), where colours change unseen, and the \
                 others do not: move it",
            );
        }
        let from = if place == 0 { 0 } else { place - (gone / 2).min(place) };
        let fits = match self.stretch_at(place) {
            Some((first, end)) if place == 0 => first + 2 * LEAST + gone <= end,
            Some((first, end)) => first + LEAST <= from && from + gone + LEAST <= end,
            None => false,
        };
        if !fits {
            return refused("too few stitches are left beside it: move it, or make it narrower");
        }
        let before = self.gaps.iter().filter(|(_, gap)| gap.from < from || place == 0).count();
        self.gaps.insert(before, (name.to_owned(), Gap { from, gone, bridge, opens: true }));
        self.last = before;
        Ok(())
    }
}

/// Stitches of the shortest stretch beside a steek: its two edge stitches and one between.
const LEAST: u32 = 3;

#[cfg(test)]
mod tests {
    use super::*;

    fn body() -> Steeks {
        let mut steeks = Steeks::of(40);
        steeks.open("", "left armhole", 0, (2, 4)).unwrap();
        steeks.open("", "right armhole", 20, (2, 4)).unwrap();
        steeks
    }

    fn text(row: SteekRow, chart: &[u8]) -> String {
        let chart: Vec<Cell> = chart.iter().map(|slot| Cell::slot(*slot)).collect();
        let mut out = Vec::new();
        row.put(&chart, &mut out);
        out.iter().map(|cell| (b'0' + cell.index().unwrap() as u8) as char).collect()
    }

    #[test]
    fn own_stitches_keep_their_columns_and_bridges_alternate() {
        let steeks = body();
        assert_eq!(steeks.stitches(), 40 - 4 + 8);
        // Columns from the right: 2, 1, 0, 0, 0; the row's colours are 0, 1, 2.
        let row = text(steeks.row(0, false), &[0, 0, 0, 1, 2]);
        assert_eq!(row.len(), 44);
        let from_right: String = row.chars().rev().collect();
        assert_eq!(&from_right[..2], "01", "half a bridge, its first colour first");
        assert_eq!(&from_right[2..20], concat!("0", "000210002100021", "00"), "{from_right}");
        assert_eq!(&from_right[20..24], "0120");
        let opening: String = text(steeks.row(0, true), &[0, 0, 0, 1, 2]).chars().rev().collect();
        assert_eq!((&opening[..2], &opening[20..24]), ("00", "0000"), "loops are cast on in one colour");
    }

    #[test]
    fn a_neck_is_shaped_at_both_its_sides() {
        let mut steeks = body().after(0);
        steeks.open("", "front neck", 10, (4, 6)).unwrap();
        assert_eq!(steeks.shaped(), 1);
        let spans = |eaten| steeks.row(eaten, false).spans();
        let own =
            |eaten| spans(eaten).into_iter().filter(|s| matches!(s, Span::Own { .. })).collect::<Vec<_>>();
        assert_eq!(
            own(0),
            [Span::Own { from: 1, to: 8 }, Span::Own { from: 12, to: 19 }, Span::Own { from: 21, to: 39 }]
        );
        assert_eq!(own(2)[..2], [Span::Own { from: 1, to: 6 }, Span::Own { from: 14, to: 19 }]);
        assert_eq!(steeks.most_eaten(), 4);
        let all = |eaten: u32| spans(eaten).into_iter().map(Span::stitches).sum::<u32>();
        assert_eq!((all(0), all(2)), (steeks.stitches(), steeks.clone().after(2).stitches()));
    }

    #[test]
    fn what_does_not_fit_is_refused_in_words() {
        let words = |steeks: &mut Steeks, name, place, gone| {
            steeks.open("piece 'Body'", name, place, (gone, 8)).unwrap_err().to_string()
        };
        assert!(words(&mut Steeks::of(40), "neck", 10, 0).contains("over the marker"));
        let mut steeks = body();
        assert!(words(&mut steeks, "neck", 10, 14).contains("too few stitches"));
        assert!(words(&mut steeks, "neck", 20, 0).contains("too few stitches"));
        assert!(words(&mut steeks, "left armhole", 10, 0).contains("another steek"));
        steeks.open("", "front neck", 10, (0, 2)).unwrap();
        steeks.open("", "back neck", 30, (4, 2)).unwrap();
        assert!(words(&mut steeks, "pocket", 35, 0).contains("four steeks"));
    }
}
