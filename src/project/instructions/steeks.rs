//! Rounds between the bridges of steeks in words.

use super::bands::Done;
use super::charts::ChartPart;
use super::{Page, Unwritten, amount, notes, told};
use crate::knit::pieces::{ChartFit, Gap, Span, SteekRow, Steeks, WorkedBand};
use crate::words::{Across, Amount, AsSet, ChartWork, Name, Strip, Work};

/// What happens beside the bridges in a round.
#[derive(Clone, Copy, PartialEq)]
enum Round {
    /// New ones are cast on.
    Opening,
    /// The one begun last is shaped.
    Shaping,
}

/// A band between bridges, in every size.
struct Steeked<'a> {
    bands: &'a [&'a WorkedBand],
    fits: Vec<ChartFit>,
    chart: u32,
}

impl Page<'_> {
    /// The rounds of a band between bridges: those in which a bridge is cast on or its sides are shaped, each for
    /// itself, and the even ones between.
    pub(super) fn steek_rounds(
        &mut self,
        bands: &[&WorkedBand],
        done: &mut Done,
        charts: &mut Vec<ChartPart>,
    ) -> Result<(), Unwritten> {
        let Some((fit, band)) = bands.iter().find_map(|band| Some((band.chart?, *band))) else {
            return Ok(());
        };
        let alike = |other: &&WorkedBand| {
            let names = |band: &WorkedBand| {
                let gaps = band.steeks.as_ref().map(Steeks::gaps).unwrap_or_default();
                gaps.iter().map(|(name, _)| name.clone()).collect::<Vec<_>>()
            };
            names(other) == names(band)
        };
        if !bands.iter().all(alike) {
            return Err(
                self.unwritten(band, "its steeks lie in another order in some sizes: move them apart")
            );
        }
        let chart = ChartPart { region: fit.region, technique: band.technique }.place(charts);
        let fits: Vec<ChartFit> = bands.iter().filter_map(|band| band.chart).collect();
        if fits.len() < bands.len() {
            return Ok(());
        }
        let steeked = Steeked { bands, fits, chart };
        let opens = |(_, gap): &(String, Gap)| gap.opens;
        if band.steeks.as_ref().is_some_and(|steeks| steeks.gaps().iter().any(opens)) {
            if self.told.first(notes::Topic::Steeks) {
                self.note(notes::STEEK_STITCHES);
            }
            self.one_round(&steeked, done, &vec![1; bands.len()], Round::Opening);
        }
        let most = bands.iter().map(|band| band.schedule.events()).max().unwrap_or(0);
        for event in 0..most as usize {
            let at: Vec<Option<u32>> = bands.iter().map(|band| band.schedule.rows().nth(event)).collect();
            let even: Vec<u32> =
                at.iter().zip(done.iter()).map(|(at, done)| at.map_or(0, |at| at - 1 - done)).collect();
            self.even_rounds(&steeked, done, &even);
            let ones: Vec<u32> = at.iter().map(|at| u32::from(at.is_some())).collect();
            self.one_round(&steeked, done, &ones, Round::Shaping);
        }
        let rest: Vec<u32> = bands.iter().zip(done.iter()).map(|(band, done)| band.rows() - done).collect();
        self.even_rounds(&steeked, done, &rest);
        Ok(())
    }

    fn one_round(&mut self, steeked: &Steeked, done: &mut Done, count: &[u32], round: Round) {
        let told = |of: &dyn Fn(usize) -> u32| told(count, of);
        let row = told(&|size| steeked.chart_row(size, done[size]));
        let work = match round {
            Round::Opening => {
                let across = steeked.opening_across();
                Work::Chart(ChartWork { from: row.clone(), to: row, times: 1.into(), across })
            }
            Round::Shaping => {
                let steeks = steeked.bands.iter().find_map(|band| band.steeks.as_ref());
                let shaped = steeks.map(|steeks| Name::new(&steeks.gaps()[steeks.shaped()].0));
                Work::ChartAsSet(AsSet { from: row.clone(), to: row, times: 1.into(), shaped })
            }
        };
        let after =
            steeked.bands.iter().zip(done.iter()).map(|(band, done)| {
                band.row_stitches.get(*done as usize).copied().unwrap_or(band.end.stitches)
            });
        let after = amount(after);
        self.work(&done.clone(), count, 0, work, Some(after));
        done.iter_mut().zip(count).for_each(|(done, n)| *done += n);
    }

    /// Even rounds: up to the end of the chart, whole charts, and the first rows of one more.
    fn even_rounds(&mut self, steeked: &Steeked, done: &mut Done, count: &[u32]) {
        let all = |size: usize| steeked.fits[size].repeat_rows.max(1);
        let parts = |size: usize, done: u32, count: u32| {
            let at = steeked.chart_row(size, done) - 1;
            let head = if at == 0 { 0 } else { count.min(all(size) - at) };
            [head, (count - head) / all(size) * all(size), (count - head) % all(size)]
        };
        let parts: Vec<[u32; 3]> =
            count.iter().enumerate().map(|(size, count)| parts(size, done[size], *count)).collect();
        for part in 0..3 {
            let count: Vec<u32> = parts.iter().map(|parts| parts[part]).collect();
            let from = |size: usize| steeked.chart_row(size, done[size]);
            let whole = part == 1;
            let work = Work::ChartAsSet(AsSet {
                from: told(&count, &from),
                to: told(&count, &|size| {
                    if whole { all(size) } else { (from(size) + count[size]).saturating_sub(1) }
                }),
                times: if whole { told(&count, &|size| count[size] / all(size)) } else { 1.into() },
                shaped: None,
            });
            self.work(&done.clone(), &count, 0, work, None);
            done.iter_mut().zip(&count).for_each(|(done, n)| *done += n);
        }
    }
}

/// A figure of a stretch of a round in every size, worked out from the size's place and the stretch.
type OfSpan<'a> = dyn Fn(&dyn Fn(usize, Span) -> u32) -> Amount + 'a;

impl Steeked<'_> {
    /// The row of the chart, from 1, that follows so many rounds of the band.
    fn chart_row(&self, size: usize, done: u32) -> u32 {
        let fit = self.fits[size];
        (fit.first_row + done) % fit.repeat_rows.max(1) + 1
    }

    /// All that lies across the round in which bridges are cast on.
    fn opening_across(&self) -> Vec<Across> {
        let spans: Vec<Vec<Span>> = self
            .bands
            .iter()
            .map(|band| band.steek_row(0).as_ref().map(SteekRow::spans).unwrap_or_default())
            .collect();
        let all = spans[0].len();
        let mut across = Vec::new();
        for (place, span) in spans[0].iter().enumerate() {
            let of_span = |of: &dyn Fn(usize, Span) -> u32| {
                amount((0..spans.len()).map(|size| spans[size].get(place).map_or(0, |span| of(size, *span))))
            };
            match span {
                Span::Bridge { gap, .. } => {
                    let stitches = of_span(&|_, span| span.stitches());
                    across.push(self.bridge(*gap, place + 1 == all, stitches));
                }
                Span::Own { .. } => {
                    let edge = || Across::EdgeStitches(1.into());
                    across.extend([edge(), Across::Strip(self.strip(&of_span)), edge()]);
                }
            }
        }
        across
    }

    /// A bridge that is there or is cast on, with what is set aside under it; the one over the marker lies half at
    /// each end of the round.
    fn bridge(&self, gap: usize, last: bool, stitches: Amount) -> Across {
        let gap_of =
            |band: &WorkedBand| band.steeks.as_ref().and_then(|steeks| steeks.gaps().get(gap).cloned());
        let Some((steek, own)) = self.bands.first().and_then(|band| gap_of(band)) else {
            return Across::Steek(stitches);
        };
        if !own.opens {
            return Across::Steek(stitches);
        }
        let aside = amount(self.bands.iter().map(|band| {
            let gone = gap_of(band).map_or(0, |(_, own)| own.gone);
            match (gap, last) {
                (0, false) => gone - gone / 2,
                (0, true) => gone / 2,
                _ => gone,
            }
        }));
        Across::Bridge { aside, stitches, steek: Name::new(&steek) }
    }

    /// The chart over a stretch between its two edge stitches.
    fn strip(&self, of_span: &OfSpan) -> Strip {
        let width = |size: usize| self.fits[size].repeat_stitches.max(1);
        let inside = |span: Span| span.stitches().saturating_sub(2);
        Strip {
            chart: self.chart,
            repeats: of_span(&|size, span| inside(span) / width(size)),
            of: width(0),
            begin: of_span(&|size, span| match span {
                Span::Own { from, .. } => (from + 1) % width(size) + 1,
                Span::Bridge { .. } => 1,
            }),
            extra: of_span(&|size, span| inside(span) % width(size)),
        }
    }
}
