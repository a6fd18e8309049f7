//! Rounds between the bridges of steeks in words.

use super::bands::Done;
use super::charts::ChartPart;
use super::{Page, Unwritten, amount, notes};
use crate::knit::pieces::{ChartFit, Gap, Span, SteekRow, Steeks, WorkedBand};
use crate::words::{Across, Amount, CastOn, ChartWork, Item, Name, Stitch, Strip, Work};

/// What happens beside the bridges in a round.
#[derive(Clone, Copy, PartialEq)]
enum Round {
    /// New ones are cast on.
    Opening,
    /// Nothing.
    Even,
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
            if !std::mem::replace(&mut self.told.steeks, true) {
                self.note(notes::STEEK_STITCHES);
            }
            self.one_round(&steeked, done, &vec![1; bands.len()], Round::Opening);
        }
        let most = bands.iter().map(|band| band.schedule.events()).max().unwrap_or(0);
        for event in 0..most as usize {
            let at: Vec<Option<u32>> = bands.iter().map(|band| band.schedule.rows().nth(event)).collect();
            let even =
                at.iter().zip(done.iter()).map(|(at, done)| at.map_or(0, |at| at - 1 - done)).collect();
            self.even_rounds(&steeked, done, even);
            let ones: Vec<u32> = at.iter().map(|at| u32::from(at.is_some())).collect();
            self.one_round(&steeked, done, &ones, Round::Shaping);
        }
        let rest = bands.iter().zip(done.iter()).map(|(band, done)| band.rows() - done).collect();
        self.even_rounds(&steeked, done, rest);
        Ok(())
    }

    fn one_round(&mut self, steeked: &Steeked, done: &mut Done, count: &[u32], round: Round) {
        let row = |size: usize| steeked.chart_row(size, done[size]);
        let work = steeked.work((done, count), (&row, &row), 1, round);
        let after =
            steeked.bands.iter().zip(done.iter()).map(|(band, done)| {
                band.row_stitches.get(*done as usize).copied().unwrap_or(band.end.stitches)
            });
        self.work(&done.clone(), count, 0, work, Some(amount(after)));
        done.iter_mut().zip(count).for_each(|(done, n)| *done += n);
    }

    /// Even rounds: up to the end of the chart, whole charts, and the first rows of one more.
    fn even_rounds(&mut self, steeked: &Steeked, done: &mut Done, count: Vec<u32>) {
        let parts = |size: usize, done: u32, count: u32| {
            let (at, all) = (steeked.chart_row(size, done) - 1, steeked.fits[size].repeat_rows.max(1));
            let head = if at == 0 { 0 } else { count.min(all - at) };
            [head, (count - head) / all * all, (count - head) % all]
        };
        let parts: Vec<[u32; 3]> =
            count.iter().enumerate().map(|(size, count)| parts(size, done[size], *count)).collect();
        for part in 0..3 {
            let count: Vec<u32> = parts.iter().map(|parts| parts[part]).collect();
            if count.iter().all(|n| *n == 0) {
                continue;
            }
            let all = |size: usize| steeked.fits[size].repeat_rows.max(1);
            let from = |size: usize| steeked.chart_row(size, done[size]);
            let to = |size: usize| if part == 1 { all(size) } else { from(size) + count[size] - 1 };
            let meant = (0..count.len()).find(|size| count[*size] > 0).unwrap_or(0);
            let times = if part == 1 {
                amount((0..count.len()).map(|size| {
                    let size = if count[size] > 0 { size } else { meant };
                    count[size] / all(size)
                }))
            } else {
                1.into()
            };
            let work = steeked.work((done, &count), (&from, &to), times, Round::Even);
            self.work(&done.clone(), &count, 0, work, None);
            done.iter_mut().zip(&count).for_each(|(done, n)| *done += n);
        }
    }
}

impl Steeked<'_> {
    /// The row of the chart, from 1, that follows so many rounds of the band.
    fn chart_row(&self, size: usize, done: u32) -> u32 {
        let fit = self.fits[size];
        (fit.first_row + done) % fit.repeat_rows.max(1) + 1
    }

    /// So many rounds alike (0 in a size leaves it out), with these rows of the chart.
    fn work(
        &self,
        (done, count): (&[u32], &[u32]),
        (from, to): (&dyn Fn(usize) -> u32, &dyn Fn(usize) -> u32),
        times: impl Into<Amount>,
        round: Round,
    ) -> Work {
        let meant = (0..count.len()).find(|size| count[*size] > 0).unwrap_or(0);
        // A size that is not meant has the figures of one that is, so that they are read once.
        let told = |of: &dyn Fn(usize) -> u32| {
            amount((0..count.len()).map(|size| of(if count[size] > 0 { size } else { meant })))
        };
        let rows: Vec<Option<SteekRow>> =
            self.bands.iter().zip(done).map(|(band, done)| band.steek_row(*done)).collect();
        let spans: Vec<Vec<Span>> =
            rows.iter().map(|row| row.as_ref().map(SteekRow::spans).unwrap_or_default()).collect();
        let all = spans[meant].len();
        let of_span = |place: usize, of: &dyn Fn(usize, Span) -> u32| {
            told(&|size| spans[size].get(place).map_or(0, |span| of(size, *span)))
        };
        let mut across = Vec::new();
        for place in 0..all {
            match spans[meant][place] {
                Span::Bridge { gap, .. } => {
                    let stitches = of_span(place, &|_, span| span.stitches());
                    if round == Round::Opening && self.opens(meant, gap) {
                        across.extend(self.opening((place, all), gap, stitches, &told));
                    } else {
                        across.push(Across::Steek(stitches));
                    }
                }
                Span::Own { .. } => {
                    let shaped = self.bands[meant].steeks.as_ref().map(Steeks::shaped);
                    let beside = |place: Option<&Span>| match place {
                        Some(Span::Bridge { gap, .. }) => round == Round::Shaping && Some(*gap) == shaped,
                        _ => false,
                    };
                    across.push(edge(beside(place.checked_sub(1).map(|p| &spans[meant][p])), Stitch::Ssk));
                    across.push(Across::Strip(self.strip(&|of| of_span(place, of))));
                    across.push(edge(beside(spans[meant].get(place + 1)), Stitch::K2tog));
                }
            }
        }
        Work::Chart(ChartWork { from: told(from), to: told(to), times: times.into(), across })
    }

    fn opens(&self, size: usize, gap: usize) -> bool {
        self.bands[size].steeks.as_ref().is_some_and(|steeks| steeks.gaps()[gap].1.opens)
    }

    /// What is set aside under a bridge, and its stitches cast on: half of it at each end of the round where it lies
    /// over the marker.
    fn opening(
        &self,
        (place, all): (usize, usize),
        gap: usize,
        bridge: Amount,
        told: &dyn Fn(&dyn Fn(usize) -> u32) -> Amount,
    ) -> Vec<Across> {
        let gone = |size: usize| {
            let gone = self.bands[size].steeks.as_ref().map_or(0, |steeks| steeks.gaps()[gap].1.gone);
            match (gap, place) {
                (0, 0) => gone - gone / 2,
                (0, _) => gone / 2,
                _ => gone,
            }
        };
        let name = self.bands[0].steeks.as_ref().map_or("", |steeks| steeks.gaps()[gap].0.as_str());
        let aside = told(&gone);
        let mut parts = vec![Across::Item(Item::CastOn { times: bridge, method: CastOn::BackwardLoop })];
        if aside.one() != Some(0) {
            let aside = Across::Item(Item::SetAside { times: aside, group: Name::new(name) });
            // The cast-on stitches lie at the marker, at both ends of the round.
            parts.insert(usize::from(place == 0 && all > 1), aside);
        }
        parts
    }

    /// The chart over a stretch between its two edge stitches.
    fn strip(&self, of_span: &dyn Fn(&dyn Fn(usize, Span) -> u32) -> Amount) -> Strip {
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

/// The stitch beside a bridge: an edge stitch, or the decrease that becomes it.
fn edge(shaped: bool, decrease: Stitch) -> Across {
    if shaped {
        return Across::Item(Item::Work { stitch: decrease, times: 1.into(), colour: None });
    }
    Across::EdgeStitches(1.into())
}
