//! Working a row with charts: what lies across it, and how it goes on from row to row.

use super::Knitter;
use super::needle::{Row, Trouble};
use super::report::EdgeKind;
use super::row::Worked;
use crate::knit::Technique;
use crate::words::{Across, AsSet, ChartCell, ChartWork, Colour, Name, Side, Stitch, StitchPattern, Strip};

/// A stitch of a chart or beside it, with its colour where one is said.
type ChartStitch = (Option<Colour>, Stitch);

/// What stitches of the row before are, so that they go on as set; in the order of a right-side row.
#[derive(Clone, Debug)]
pub(super) enum Set {
    /// Columns of a chart: its place, the first column (from 1, from the right), and how many.
    Strip { chart: u32, begin: u32, columns: u32 },
    /// Stitches in a stitch pattern.
    Edge { stitches: u32, colour: Option<Colour>, fabric: StitchPattern },
    /// A bridge, or half of one, with its name where it was said.
    Steek { stitches: u32, name: Option<Name> },
    /// Stitches beside a bridge.
    EdgeStitches(u32),
}

/// What is done across a row, in the order of a right-side row.
enum Part<'p> {
    /// Stitches, as the right side shows them.
    Cells(Vec<ChartStitch>),
    /// A decrease in the first colour.
    Decrease(Stitch),
    /// Stitches set aside, a bridge cast on, and its name.
    Bridge(u32, u32, &'p Name),
}

impl Part<'_> {
    fn takes(&self) -> u32 {
        match self {
            Self::Cells(cells) => cells.iter().map(|(_, stitch)| stitch.takes()).sum(),
            Self::Decrease(stitch) => stitch.takes(),
            Self::Bridge(aside, ..) => *aside,
        }
    }
}

impl Knitter<'_> {
    /// A row of charts that is written out.
    pub(super) fn chart(
        &mut self,
        row: &mut Row,
        work: &ChartWork,
        phase: u32,
    ) -> Result<Technique, Trouble> {
        let size = self.size;
        let chart_row = chart_row((work.from.get(size), work.to.get(size)), phase)?;
        if phase == 0 {
            work.strips().try_for_each(|strip| self.check_strip(strip, chart_row))?;
        }
        let set: Vec<Set> = work.across.iter().map(|part| self.set_by(part)).collect();
        let colours = self.chart_colours(&set, chart_row);
        let mut parts = Vec::with_capacity(set.len());
        for (part, set) in work.across.iter().zip(&set) {
            parts.push(match part {
                Across::Bridge { aside, stitches, steek } => {
                    Part::Bridge(aside.get(size), stitches.get(size), steek)
                }
                _ => Part::Cells(self.cells(set, (chart_row, phase), &colours, row.side)?),
            });
        }
        self.across(row, chart_row, parts, colours.first().copied())?;
        let technique = self.technique(&set);
        self.set = set;
        Ok(technique)
    }

    /// A row in which every stitch stays in its column.
    pub(super) fn chart_as_set(
        &mut self,
        row: &mut Row,
        work: &AsSet,
        phase: u32,
    ) -> Result<Technique, Trouble> {
        let size = self.size;
        let chart_row = chart_row((work.from.get(size), work.to.get(size)), phase)?;
        let mut set = self.set.clone();
        if !set.iter().any(|part| matches!(part, Set::Strip { .. })) {
            return Err("no chart was set in this piece".to_owned().into());
        }
        let shaped = work.shaped.as_ref().map(|steek| narrowed(&mut set, steek)).transpose()?;
        let colours = self.chart_colours(&set, chart_row);
        let mut parts = Vec::with_capacity(set.len());
        for (place, part) in set.iter().enumerate() {
            parts.push(match shaped {
                Some(steek) if place + 1 == steek => Part::Decrease(Stitch::K2tog),
                Some(steek) if place == steek + 1 => Part::Decrease(Stitch::Ssk),
                _ => Part::Cells(self.cells(part, (chart_row, phase), &colours, row.side)?),
            });
        }
        self.across(row, chart_row, parts, colours.first().copied())?;
        let technique = self.technique(&set);
        self.set = set;
        Ok(technique)
    }

    /// Works what lies across a row, on the wrong side from its other end.
    fn across(
        &mut self,
        row: &mut Row,
        chart_row: u32,
        mut parts: Vec<Part>,
        first: Option<Colour>,
    ) -> Worked {
        let takes: u32 = parts.iter().map(Part::takes).fold(0, u32::saturating_add);
        if takes != row.ahead {
            return Err(
                format!("chart row {chart_row} takes {takes} sts, but {} are there", row.ahead).into()
            );
        }
        if row.side == Side::Wrong {
            parts.reverse();
        }
        for part in parts {
            match (part, row.side) {
                (Part::Cells(cells), Side::Right) => {
                    cells.into_iter().try_for_each(|(c, stitch)| self.stitch(row, stitch, c))?;
                }
                (Part::Cells(cells), Side::Wrong) => {
                    let back = cells.into_iter().rev();
                    back.map(|(c, s)| (c, s.on(Side::Wrong)))
                        .try_for_each(|(c, s)| self.stitch(row, s, c))?;
                }
                (Part::Decrease(stitch), Side::Right) => self.stitch(row, stitch, first)?,
                (Part::Bridge(aside, new, steek), Side::Right) => {
                    self.bridge(row, (aside, new), steek, first)?;
                }
                (Part::Decrease(_) | Part::Bridge(..), Side::Wrong) => {
                    return Err("steeks are begun and shaped on the right side only".to_owned().into());
                }
            }
        }
        Ok(())
    }

    fn bridge(
        &mut self,
        row: &mut Row,
        (aside, new): (u32, u32),
        steek: &Name,
        first: Option<Colour>,
    ) -> Worked {
        let colour = row.colour(first)?;
        if aside > 0 {
            let on = row.lift(aside, "what is set aside")?;
            self.set_aside(steek, on);
        }
        self.spend(u64::from(new))?;
        row.put_on(new, colour);
        self.edge_worked(EdgeKind::CastOn, colour, new, None);
        self.bridges.push((Some(steek.clone()), new));
        self.totals.cast_on += u64::from(new);
        Ok(())
    }

    /// What a part of a row leaves on the needle.
    fn set_by(&self, part: &Across) -> Set {
        let size = self.size;
        match part {
            Across::Strip(strip) => {
                let width =
                    self.pattern.charts.get(strip.chart as usize).map_or(0, |chart| chart.width() as u32);
                Set::Strip {
                    chart: strip.chart,
                    begin: strip.begin.get(size),
                    columns: strip
                        .repeats
                        .get(size)
                        .saturating_mul(width)
                        .saturating_add(strip.extra.get(size)),
                }
            }
            Across::Edge(edge) => {
                let (colour, fabric) = (edge.colour, edge.fabric);
                Set::Edge { stitches: edge.stitches.get(size), colour, fabric }
            }
            Across::Steek(stitches) => Set::Steek { stitches: stitches.get(size), name: None },
            Across::EdgeStitches(stitches) => Set::EdgeStitches(stitches.get(size)),
            Across::Bridge { stitches, steek, .. } => {
                Set::Steek { stitches: stitches.get(size), name: Some(steek.clone()) }
            }
        }
    }

    /// The row of a chart, from 1.
    fn chart_cells(&self, chart: u32, chart_row: u32) -> Result<&[ChartCell], Trouble> {
        let number = chart + 1;
        let chart = self.pattern.charts.get(chart as usize);
        let chart = chart.ok_or_else(|| format!("there is no chart {number}"))?;
        let row = chart.rows.get((chart_row as usize).saturating_sub(1));
        Ok(row.ok_or_else(|| format!("chart {number} has no row {chart_row}"))?)
    }

    fn check_strip(&self, strip: &Strip, chart_row: u32) -> Worked {
        let row = self.chart_cells(strip.chart, chart_row)?;
        let of: u32 = row.iter().map(|cell| cell.map_or(0, |(_, stitch)| stitch.takes())).sum();
        let number = strip.chart + 1;
        if of != strip.of {
            return Err(format!("a repeat of chart {number} is {of} sts, not {}", strip.of).into());
        }
        let begin = strip.begin.get(self.size);
        if begin == 0 || begin as usize > row.len() {
            return Err(format!("chart {number} has no st {begin}").into());
        }
        Ok(())
    }

    /// The stitches of a part in a row of the charts.
    fn cells(
        &mut self,
        part: &Set,
        (chart_row, phase): (u32, u32),
        colours: &[Colour],
        side: Side,
    ) -> Result<Vec<ChartStitch>, Trouble> {
        let in_turn = |count: u32, colours: &[Colour]| -> Vec<ChartStitch> {
            let colour = |n: usize| colours.get(n % colours.len().max(1)).copied();
            (0..count as usize).map(|n| (colour(n), Stitch::K)).collect()
        };
        Ok(match part {
            Set::Strip { chart, begin, columns } => {
                self.spend(u64::from(*columns))?;
                let row = self.chart_cells(*chart, chart_row)?;
                let from_right = row.iter().rev().cycle().skip(begin.saturating_sub(1) as usize);
                let cells = from_right.take(*columns as usize);
                cells.filter_map(|cell| cell.map(|(colour, stitch)| (Some(colour), stitch))).collect()
            }
            Set::Edge { stitches, colour, fabric } => {
                self.spend(u64::from(*stitches))?;
                (0..*stitches).map(|n| (*colour, self.shows(*fabric, phase, n, side))).collect()
            }
            Set::Steek { stitches, .. } => {
                self.spend(u64::from(*stitches))?;
                in_turn(*stitches, colours)
            }
            Set::EdgeStitches(stitches) => {
                self.spend(u64::from(*stitches))?;
                in_turn(*stitches, colours.get(..1).unwrap_or_default())
            }
        })
    }

    /// The colours that the charts have in a row, in the order of their letters.
    fn chart_colours(&self, set: &[Set], chart_row: u32) -> Vec<Colour> {
        let row = |part: &Set| match part {
            Set::Strip { chart, .. } => self.chart_cells(*chart, chart_row).ok(),
            _ => None,
        };
        let cells = set.iter().filter_map(row).flatten().flatten();
        let mut colours: Vec<Colour> = cells.map(|(colour, _)| *colour).collect();
        colours.sort_unstable();
        colours.dedup();
        colours
    }

    /// How the last chart of a row is worked.
    fn technique(&self, set: &[Set]) -> Technique {
        let of = |part: &Set| match part {
            Set::Strip { chart, .. } => Some(self.pattern.charts.get(*chart as usize)?.technique),
            _ => None,
        };
        set.iter().rev().find_map(of).unwrap_or(Technique::Stranded)
    }
}

/// The row of a chart that is worked when so many have been.
fn chart_row((from, to): (u32, u32), phase: u32) -> Result<u32, Trouble> {
    if from == 0 || to < from {
        return Err(format!("rows {from} to {to} of a chart cannot be").into());
    }
    Ok(from + phase % (to - from + 1))
}

/// Takes a column off the charts at either side of a steek, beyond its edge stitches; its place.
fn narrowed(set: &mut [Set], steek: &Name) -> Result<usize, Trouble> {
    let named = |part: &Set| matches!(part, Set::Steek { name: Some(name), .. } if name == steek);
    let place = set.iter().position(named).ok_or_else(|| format!("no steek of the {steek} was begun"))?;
    let beside = |place: Option<usize>, edge: Option<usize>| -> Option<usize> {
        let edged = matches!(set.get(edge?)?, Set::EdgeStitches(1));
        let room = matches!(set.get(place?)?, Set::Strip { columns: 1.., .. });
        place.filter(|_| edged && room)
    };
    let before = beside(place.checked_sub(2), place.checked_sub(1));
    let after = beside(Some(place + 2), Some(place + 1));
    let (Some(before), Some(after)) = (before, after) else {
        return Err(format!("no stitch is left to decrease beside the steek of the {steek}").into());
    };
    for (place, at_start) in [(before, false), (after, true)] {
        if let Set::Strip { begin, columns, .. } = &mut set[place] {
            *columns -= 1;
            *begin += u32::from(at_start);
        }
    }
    Ok(place)
}
