//! The rows of a band in words.

use std::borrow::Cow;

use super::charts::ChartPart;
use super::{Page, Unwritten, amount, formula, notes, side};
use crate::knit::pieces::{self, RepeatRows, Shaping, WorkedBand, WorkedExtra};
use crate::knit::{Construction, Technique};
use crate::project::Project;
use crate::words::{
    Across, Change, ChartWork, Colour, Edge, Item, Line, Name, Pace, Side, Step, Stitch, StitchPattern,
    Strip, Until, Work,
};

/// Rows of a band that are said already, in every size.
pub(super) type Done = Vec<u32>;

impl Page<'_> {
    pub(super) fn band(
        &mut self,
        place: usize,
        charts: &mut Vec<ChartPart>,
        project: &Project,
    ) -> Result<(), Unwritten> {
        let bands: Vec<&WorkedBand> = self.pieces.iter().map(|piece| &piece.bands[place]).collect();
        let Some(band) = bands.iter().copied().find(|band| band.rows() > 0) else { return Ok(()) };
        if place > 0 {
            self.heading(&band.name);
        }
        self.ribs_meet(&bands)?;
        self.needle(matches!(band.fabric, pieces::Fabric::Ribbing { .. }));
        self.explain(band, project);
        let mut done: Done = vec![if place == 0 { self.begun } else { 0 }; bands.len()];
        if done.iter().zip(&bands).any(|(done, band)| *done > 0 && band.change_at_start() != 0) {
            return Err(self.unwritten(
                band,
                "the stitches cannot be picked up and changed in one round: \
                           give its first band as many as are picked up",
            ));
        }
        self.change_first(&bands, &mut done)?;
        self.setup(&bands, &mut done);
        // The waste yarn goes into the last round, which is then said by itself.
        let opens = band.then.iter().any(|extra| matches!(extra, WorkedExtra::Opening { .. }));
        let kept = u32::from(opens);
        let shaped = bands.iter().any(|band| band.schedule.events() > 0);
        if opens && (shaped || band.chart.is_some()) {
            return Err(self.unwritten(
                band,
                "an opening lies in the last round of a plain band: add one after the chart",
            ));
        }
        match (band.chart, shaped) {
            (Some(_), _) if band.steeks.is_some() => self.steek_rounds(&bands, &mut done, charts)?,
            (Some(_), true) => {
                return Err(self.unwritten(
                    band,
                    "a chart cannot be said while its edges are shaped: shape a plain band, \
                               or draw the shaping into the chart",
                ));
            }
            (Some(_), false) => self.chart_rows(&bands, &mut done, charts, project)?,
            (None, true) => self.shaped_rows(&bands, &mut done)?,
            (None, false) => self.even_rows(&bands, &mut done, kept)?,
        }
        for extra in 0..band.then.len() {
            match &band.then[extra] {
                WorkedExtra::Opening { name, .. } => self.opening(&bands, &mut done, extra, name),
                WorkedExtra::ShortRows { .. } => self.short_rows(&bands, extra),
                WorkedExtra::HeelTurn { .. } => self.heel_turn(&bands, extra),
                // Said in the round that casts its bridge on.
                WorkedExtra::Steek { .. } => {}
            }
        }
        Ok(())
    }

    /// The side on which the next row of a size falls.
    fn facing(&self, size: usize) -> Side {
        if self.flat() { side(self.rows[size]) } else { Side::Right }
    }

    pub(super) fn unwritten(&self, band: &WorkedBand, why: impl Into<Cow<'static, str>>) -> Unwritten {
        Unwritten::Band { piece: self.first().name.clone(), band: band.name.clone(), why: why.into() }
    }

    /// Ribs must meet where a round closes.
    fn ribs_meet(&self, bands: &[&WorkedBand]) -> Result<(), Unwritten> {
        for band in
            bands.iter().filter(|band| band.rows() > 0 && band.construction == Construction::InTheRound)
        {
            let pieces::Fabric::Ribbing { knit, purl } = band.fabric else { continue };
            let (rib, stitches) = (pieces::Multiple::of(knit.saturating_add(purl)), band.start.stitches);
            if !rib.fits(stitches) {
                let [fewer, more] = [pieces::Rounding::Down, pieces::Rounding::Up]
                    .map(|rounding| rib.choose(f64::from(stitches), rounding));
                return Err(self.unwritten(
                    band,
                    format!("k{knit}, p{purl} ribs do not meet in a round of {stitches} sts: give it {fewer} or {more}"),
                ));
            }
        }
        Ok(())
    }

    /// The first row where it gains or loses stitches.
    fn change_first(&mut self, bands: &[&WorkedBand], done: &mut Done) -> Result<(), Unwritten> {
        let changes = |band: &WorkedBand| band.rows() > 0 && band.change_at_start() != 0;
        if !bands.iter().any(|band| changes(band)) {
            return Ok(());
        }
        let worked: Vec<usize> = (0..bands.len()).filter(|size| bands[*size].rows() > 0).collect();
        let from: Vec<u32> = bands.iter().map(|band| band.carried.unwrap_or(band.start.stitches)).collect();
        let to: Vec<u32> = bands.iter().map(|band| band.start.stitches).collect();
        // A chart has plain rows before it only where its stitches change.
        let first = |band: &WorkedBand| match band.chart {
            Some(_) => band.setup_rows > 0,
            // Sizes that change nothing begin with the fabric of the band.
            None => changes(band),
        };
        let count: Vec<u32> = bands.iter().map(|band| u32::from(first(band))).collect();
        let colour = bands[worked[0]].colours.first().copied().unwrap_or(0);
        let before = done.clone();
        self.change_row(&before, &count, colour, (&from, &to)).ok_or_else(|| {
            self.unwritten(
                bands[worked[0]],
                "its first row loses more stitches than one row can: \
                                              take them out in two rounds",
            )
        })?;
        done.iter_mut().zip(&count).for_each(|(done, count)| *done += count);
        self.lines.clear();
        Ok(())
    }

    /// One row that goes evenly from some stitches to others. Where all sizes gain, or all lose, it is one
    /// sentence; else each size has its own, so that none reads what is meant for another. `None` when a
    /// size cannot do it in one row.
    fn change_row(
        &mut self,
        before: &[u32],
        count: &[u32],
        colour: usize,
        (from, to): (&[u32], &[u32]),
    ) -> Option<()> {
        let sizes: Vec<usize> = (0..count.len()).filter(|size| count[*size] > 0).collect();
        let facing = self.facing(*sizes.first()?);
        let way = |size: usize| to[size].cmp(&from[size]);
        if sizes.len() == count.len() && sizes.iter().all(|size| way(*size) == way(0)) {
            let work = formula::evenly(from, to, facing)?;
            self.work(before, count, colour, work, Some(amount(to.iter().copied())));
            return Some(());
        }
        let mut said = vec![false; count.len()];
        let gaps = self.gaps;
        for size in sizes.iter().copied() {
            let like = |other: &usize| (from[*other], to[*other]) == (from[size], to[size]);
            let alike: Vec<usize> = sizes.iter().copied().filter(like).collect();
            if std::mem::replace(&mut said[size], true) {
                continue;
            }
            for other in &alike {
                said[*other] = true;
            }
            let only: Vec<u32> = (0..count.len()).map(|n| u32::from(alike.contains(&n))).collect();
            let work = formula::unfolded(formula::evenly(&[from[size]], &[to[size]], self.facing(size))?);
            // Each size is told to close the gaps.
            self.gaps = gaps;
            let after = (from[size] != to[size]).then(|| to[size].into());
            self.work(before, &only, colour, work, after);
        }
        if sizes.len() < count.len() {
            self.gaps = gaps;
        } else {
            // Where all have been told, all know it.
            self.colour = Some(Colour(colour.min(255) as u8));
        }
        Some(())
    }

    /// Plain rows before a chart.
    fn setup(&mut self, bands: &[&WorkedBand], done: &mut Done) {
        let left: Vec<u32> =
            bands.iter().zip(done.iter()).map(|(band, done)| band.setup_rows.saturating_sub(*done)).collect();
        let colour = bands.iter().find_map(|band| band.colours.first().copied()).unwrap_or(0);
        self.work(&done.clone(), &left, colour, Work::Fabric(StitchPattern::Stockinette), None);
        done.iter_mut().zip(&left).for_each(|(done, left)| *done += left);
    }

    /// The other rows of a band that is not shaped, but for the last `kept`.
    fn even_rows(&mut self, bands: &[&WorkedBand], done: &mut Done, kept: u32) -> Result<(), Unwritten> {
        let band = bands.iter().copied().find(|band| band.rows() > 0).unwrap_or(bands[0]);
        let left: Vec<u32> = bands
            .iter()
            .zip(done.iter())
            .map(|(band, done)| band.rows().saturating_sub(*done).saturating_sub(kept))
            .collect();
        let from = done.clone();
        done.iter_mut().zip(&left).for_each(|(done, left)| *done += left);
        let fabric = fabric(band.fabric);
        let several = band.colours.len() > 1;
        if let (pieces::Fabric::Ribbing { knit, purl }, true, Technique::Stranded) =
            (band.fabric, several, band.technique)
        {
            if self.flat() {
                return Err(self.unwritten(band, "ribbing in two colours is said in the round only"));
            }
            let in_colour = |stitch, times: u32, place: usize| Item::Work {
                stitch,
                times: times.into(),
                colour: Some(colour(band, place)),
            };
            let items = vec![in_colour(Stitch::K, knit, 0), in_colour(Stitch::P, purl, 1)];
            let star = Work::Formula(vec![Item::Star { items, until: Until::End }]);
            self.work(&from, &left, usize::from(colour(band, 0).0), star, None);
            return Ok(());
        }
        if !several {
            self.work(&from, &left, usize::from(colour(band, 0).0), Work::Fabric(fabric), None);
            return Ok(());
        }
        let begun = from[0];
        if from.iter().any(|n| *n != begun) {
            return Err(self.unwritten(band, "its stripes begin in another row in each size"));
        }
        // A first row that was said already has worked some of the first stripe.
        let mut stripes: Vec<(Colour, u32)> =
            (0..band.colours.len()).map(|place| (colour(band, place), band.stripe_rows)).collect();
        let into = begun % band.stripe_rows.max(1);
        let mut from = from;
        let mut left = left;
        if into > 0 {
            let rest: Vec<u32> = left.iter().map(|left| (band.stripe_rows - into).min(*left)).collect();
            self.work(&from, &rest, usize::from(stripes[0].0.0), Work::Fabric(fabric), None);
            from.iter_mut().zip(&rest).for_each(|(from, rest)| *from += rest);
            left.iter_mut().zip(&rest).for_each(|(left, rest)| *left -= rest);
        }
        if begun > 0 {
            let whole = begun.div_ceil(band.stripe_rows.max(1)) as usize;
            let turn = whole % stripes.len();
            stripes.rotate_left(turn);
        }
        self.work(&from, &left, 0, Work::Striped { fabric, stripes }, None);
        Ok(())
    }

    fn chart_rows(
        &mut self,
        bands: &[&WorkedBand],
        done: &mut Done,
        charts: &mut Vec<ChartPart>,
        project: &Project,
    ) -> Result<(), Unwritten> {
        let band = bands.iter().copied().find(|band| band.rows() > 0).unwrap_or(bands[0]);
        let Some(fit) = band.chart else { return Ok(()) };
        let part = ChartPart { region: fit.region, technique: band.technique };
        let chart = part.place(charts);
        let widths = RepeatRows::of(&project.chart.grid, fit.region);
        if fit.shaped
            && widths.is_some_and(|rows| (1..rows.count()).any(|r| rows.width(r) > rows.width(r - 1)))
        {
            return Err(self.unwritten(
                band,
                "its chart gains stitches without saying how: \
                                             draw the increases into the chart",
            ));
        }
        let of_fit = |of: fn(&pieces::ChartFit) -> u32| {
            amount(bands.iter().map(|band| band.chart.as_ref().map_or(0, of)))
        };
        let edge = |half: fn(&pieces::ChartFit) -> u32| {
            let stitches = of_fit(half);
            (stitches.one() != Some(0)).then(|| {
                let colour = Some(colour(band, 0));
                Across::Edge(Edge { stitches, colour, fabric: StitchPattern::Stockinette })
            })
        };
        let strip = Strip {
            chart,
            repeats: of_fit(|fit| fit.across),
            of: fit.repeat_stitches,
            begin: 1.into(),
            extra: of_fit(|fit| fit.left_over),
        };
        let mut across = Vec::from_iter(edge(|fit| fit.edge / 2));
        across.push(Across::Strip(strip));
        across.extend(edge(|fit| fit.edge - fit.edge / 2));
        let work = |to: crate::words::Amount, times: crate::words::Amount| {
            Work::Chart(ChartWork { from: 1.into(), to, times, across: across.clone() })
        };
        let rows = |of: &dyn Fn(&pieces::ChartFit) -> u32| -> Vec<u32> {
            let in_band = |band: &&WorkedBand| {
                if band.rows() == 0 { 0 } else { band.chart.as_ref().map_or(0, of) }
            };
            bands.iter().map(in_band).collect()
        };
        let whole = rows(&|fit| fit.up * fit.repeat_rows);
        let over = rows(&|fit| fit.rows_over);
        let said = fit.shaped.then(|| amount(bands.iter().map(|band| band.end.stitches)));
        let times = of_fit(|fit| fit.up.max(1));
        let first = if over.iter().any(|n| *n > 0) { None } else { said.clone() };
        self.work(&done.clone(), &whole, 0, work(fit.repeat_rows.into(), times), first);
        done.iter_mut().zip(&whole).for_each(|(done, n)| *done += n);
        let to = of_fit(|fit| fit.rows_over.max(1));
        self.work(&done.clone(), &over, 0, work(to, 1.into()), said);
        done.iter_mut().zip(&over).for_each(|(done, n)| *done += n);
        Ok(())
    }

    fn shaped_rows(&mut self, bands: &[&WorkedBand], done: &mut Done) -> Result<(), Unwritten> {
        let band = bands.iter().copied().find(|band| band.schedule.events() > 0).unwrap_or(bands[0]);
        if band.colours.len() > 1 {
            return Err(self.unwritten(band, "stripes cannot be said in a band that is shaped"));
        }
        if matches!(band.fabric, pieces::Fabric::Moss | pieces::Fabric::Ribbing { .. }) {
            return Err(self.unwritten(
                band,
                "ribbing and moss cannot be said in a band that is shaped: \
                                             change the stitches in the first row of a band instead",
            ));
        }
        match band.shaping.per_row() {
            None => self.few_rounds(bands, done),
            Some(_) => self.series(bands, done),
        }
    }

    /// A few rounds that each change the count evenly.
    fn few_rounds(&mut self, bands: &[&WorkedBand], done: &mut Done) -> Result<(), Unwritten> {
        let fabric = Work::Fabric(fabric(bands[0].fabric));
        let colour = usize::from(colour(bands[0], 0).0);
        let most = bands.iter().map(|band| band.schedule.events()).max().unwrap_or(0);
        for event in 0..most as usize {
            let at: Vec<Option<u32>> = bands.iter().map(|band| band.schedule.rows().nth(event)).collect();
            if at.iter().zip(done.iter()).any(|(at, done)| at.is_some_and(|at| at <= *done)) {
                return Err(self.unwritten(
                    bands[0],
                    "its first row changes the stitches twice: make it longer, or give it fewer shaping rows",
                ));
            }
            let plain: Vec<u32> =
                at.iter().zip(done.iter()).map(|(at, done)| at.map_or(0, |at| at - 1 - done)).collect();
            self.work(&done.clone(), &plain, colour, fabric.clone(), None);
            done.iter_mut().zip(&plain).for_each(|(done, n)| *done += n);
            let before = |band: &WorkedBand, row: u32| match row {
                0 => band.start.stitches,
                row => band.row_stitches[row as usize - 1],
            };
            let counts = |row: fn(u32) -> u32| -> Vec<u32> {
                bands.iter().zip(&at).map(|(band, at)| before(band, at.map_or(0, row))).collect()
            };
            let (from, to) = (counts(|at| at - 1), counts(|at| at));
            let ones: Vec<u32> = at.iter().map(|at| u32::from(at.is_some())).collect();
            self.change_row(&done.clone(), &ones, colour, (&from, &to)).ok_or_else(|| {
                self.unwritten(bands[0], "a row loses more stitches than one row can: add shaping rows")
            })?;
            done.iter_mut().zip(&ones).for_each(|(done, n)| *done += n);
        }
        self.rest(bands, done);
        Ok(())
    }

    /// Plain rows up to the end of the band.
    fn rest(&mut self, bands: &[&WorkedBand], done: &mut Done) {
        let left: Vec<u32> = bands.iter().zip(done.iter()).map(|(band, done)| band.rows() - done).collect();
        let work = Work::Fabric(fabric(bands[0].fabric));
        self.work(&done.clone(), &left, usize::from(colour(bands[0], 0).0), work, None);
        done.clone_from(&bands.iter().map(|band| band.rows()).collect());
    }

    /// Shaping rows at equal distances: the first is written out, the others go on from it.
    fn series(&mut self, bands: &[&WorkedBand], done: &mut Done) -> Result<(), Unwritten> {
        let band = bands.iter().copied().find(|band| band.schedule.events() > 0).unwrap_or(bands[0]);
        let uneven = |band: &WorkedBand| {
            band.start.stitches.abs_diff(band.end.stitches) != per_row(band) * band.schedule.events()
        };
        if bands.iter().any(|band| uneven(band)) {
            return Err(self.unwritten(
                band,
                "its last shaping row would change fewer stitches than the \
                                             others: end it with a count that whole shaping rows reach",
            ));
        }
        let plain = Work::Fabric(fabric(band.fabric));
        let yarn = usize::from(colour(band, 0).0);
        let events: Vec<u32> = bands.iter().map(|band| band.schedule.events()).collect();
        let at: Vec<u32> = bands.iter().map(|band| band.schedule.rows().next().unwrap_or(0)).collect();
        if at.iter().zip(done.iter()).any(|(at, done)| *at > 0 && *at <= *done) {
            return Err(self.unwritten(
                band,
                "its first row changes the stitches twice: begin the shaping a \
                                             row later",
            ));
        }
        let before: Vec<u32> = at
            .iter()
            .zip(done.iter())
            .map(|(at, done)| (at.saturating_sub(1)).saturating_sub(*done))
            .collect();
        self.work(&done.clone(), &before, yarn, plain.clone(), None);
        done.iter_mut().zip(&before).for_each(|(done, n)| *done += n);
        let sides: Vec<Side> = self.rows.iter().map(|rows| side(*rows)).collect();
        let meant: Vec<usize> = (0..bands.len()).filter(|size| events[*size] > 0).collect();
        if self.flat() && meant.iter().any(|size| sides[*size] != sides[meant[0]]) {
            return Err(self.unwritten(
                band,
                "its shaping falls on the right side in some sizes and on the \
                                             wrong side in others: give the bands before it even rows",
            ));
        }
        let on_both_sides = |band: &WorkedBand| {
            let intervals = band.schedule.intervals.iter().enumerate();
            intervals.into_iter().any(|(place, interval)| {
                interval.times > u32::from(place == 0) && !interval.every.is_multiple_of(2)
            })
        };
        if self.flat() && bands.iter().any(|band| on_both_sides(band)) {
            return Err(self.unwritten(
                band,
                "its shaping falls on right-side and wrong-side rows in turn: make it so long that it falls on \
                 every second row or on fewer",
            ));
        }
        let facing = if self.flat() { sides[meant[0]] } else { Side::Right };
        let (work, changes) = self
            .shaping_row(bands, facing)
            .ok_or_else(|| self.unwritten(band, "too few stitches are left between its decreases"))?;
        let ones: Vec<u32> = events.iter().map(|events| u32::from(*events > 0)).collect();
        let gains = band.end.stitches > band.start.stitches;
        let first = amount(bands.iter().zip(&events).map(|(band, events)| match (gains, *events > 0) {
            (true, true) => band.start.stitches + per_row(band),
            (false, true) => band.start.stitches - per_row(band),
            _ => band.start.stitches,
        }));
        self.work(&done.clone(), &ones, yarn, work, Some(first));
        done.iter_mut().zip(&ones).for_each(|(done, n)| *done += n);
        self.go_on(bands, done, changes, plain);
        self.rest(bands, done);
        Ok(())
    }

    /// The shaping row at the beginning of the series, and how it changes from one to the next.
    fn shaping_row(&self, bands: &[&WorkedBand], facing: Side) -> Option<(Work, Vec<Change>)> {
        let band = bands.iter().copied().find(|band| band.schedule.events() > 0)?;
        let gains = band.end.stitches > band.start.stitches;
        let from: Vec<u32> = bands.iter().map(|band| band.start.stitches).collect();
        let to: Vec<u32> = bands
            .iter()
            .map(|band| match (band.schedule.events() > 0, gains) {
                (false, _) => band.start.stitches,
                (true, true) => band.start.stitches + per_row(band),
                (true, false) => band.start.stitches - per_row(band),
            })
            .collect();
        match (band.shaping, per_row(band)) {
            (Shaping::First, _) => Some(formula::edges(gains, (true, false), facing)),
            (Shaping::Gusset, _) if !gains => {
                let first: Vec<u32> = to_first(self.pieces);
                Some(formula::beside(&first))
            }
            (Shaping::Last, _) | (_, 1) => Some(formula::edges(gains, (false, true), facing)),
            (_, 2) => Some(formula::edges(gains, (true, true), facing)),
            (_, 4) if facing == Side::Right => {
                let halves: Vec<Vec<u32>> = from.iter().map(|n| vec![n / 2, n - n / 2]).collect();
                formula::stretches(gains, &halves)
            }
            _ => self
                .raglan_lines(bands, &from, per_row(band))
                .and_then(|lines| formula::stretches(gains, &lines))
                .or_else(|| formula::wedges(&from, &to, facing)),
        }
    }

    /// The stretches between raglan lines, where every size has them and they last.
    fn raglan_lines(&self, bands: &[&WorkedBand], from: &[u32], per_row: u32) -> Option<Vec<Vec<u32>>> {
        let last = |size: usize, stretch: &u32| {
            let events = bands[size].schedule.events();
            stretch.checked_sub(2 * events).is_some_and(|left| left >= 2)
        };
        let fits = self.lines.len() == bands.len()
            && self.lines.iter().enumerate().all(|(size, lines)| {
                2 * lines.len() as u32 == per_row
                    && lines.iter().sum::<u32>() == from[size]
                    && lines.iter().all(|stretch| last(size, stretch))
            });
        fits.then(|| self.lines.clone())
    }

    /// The other shaping rows of a series.
    fn go_on(&mut self, bands: &[&WorkedBand], done: &mut Done, changes: Vec<Change>, plain: Work) {
        let more: Vec<u32> = bands.iter().map(|band| band.schedule.events().saturating_sub(1)).collect();
        let Some(only) = self.only(|size| more[size] > 0) else { return };
        let pace = |place: usize, size: usize| {
            let intervals = &bands[size].schedule.intervals;
            let every = intervals.get(place).or(intervals.first()).map_or(1, |interval| interval.every);
            let times = intervals.get(place).map_or(0, |interval| interval.times);
            // The first shaping row has been written out.
            (every, times.saturating_sub(u32::from(place == 0)))
        };
        let sizes = || 0..bands.len();
        let paces = (0..2).filter(|place| sizes().any(|size| pace(*place, size).1 > 0)).map(|place| Pace {
            every: amount(sizes().map(|size| pace(place, size).0)),
            times: amount(sizes().map(|size| pace(place, size).1)),
        });
        let paces = paces.collect();
        let between =
            sizes().any(|size| (0..2).any(|place| pace(place, size).0 > 1 && pace(place, size).1 > 0));
        let step = Step::GoOn { changes, paces, between: between.then_some(plain), course: self.course() };
        let count = amount(bands.iter().map(|band| band.end.stitches));
        self.line(Line { only, step, count: Some(count) });
        for (size, band) in bands.iter().enumerate().filter(|(size, _)| more[*size] > 0) {
            let last = band.schedule.rows().last().unwrap_or(0);
            self.rows[size] += last - done[size];
            done[size] = last;
        }
    }

    /// The last round of a band, with waste yarn over some of it.
    fn opening(&mut self, bands: &[&WorkedBand], done: &mut Done, extra: usize, name: &str) {
        let figures: Vec<(u32, (u32, u32), u32)> = bands
            .iter()
            .map(|band| match band.then.get(extra) {
                Some(WorkedExtra::Opening { stitches, before, face, .. }) => (*stitches, *before, *face),
                _ => (0, (0, 0), 0),
            })
            .collect();
        let faces: Vec<u32> = figures.iter().map(|figure| figure.2).collect();
        self.note(&notes::face_of(name, &faces, self.hands));
        let times = amount(figures.iter().map(|figure| figure.0));
        let sided = self.first().sided;
        let row = |before: Vec<u32>| {
            let mut items = formula::work(Stitch::K, &before);
            items.push(Item::WasteYarn { times: times.clone(), opening: Name::new(name) });
            items.push(Item::WorkTo { stitch: Stitch::K, until: Until::End, colour: None });
            Work::Formula(items)
        };
        let ones = vec![1; bands.len()];
        let yarn = usize::from(colour(bands[0], 0).0);
        let lines = [
            row(figures.iter().map(|figure| figure.1.0).collect()),
            row(figures.iter().map(|figure| figure.1.1).collect()),
        ];
        let [left, right] = lines;
        let rows = self.rows.clone();
        self.work(&done.clone(), &ones, yarn, left, None);
        if sided {
            let said = |page: &mut Self, copies: Vec<u32>| {
                if let Some(line) = page.sections.last_mut().and_then(|section| section.lines.last_mut()) {
                    line.only.copies = copies;
                }
            };
            said(self, vec![0]);
            self.rows = rows;
            // Both lines are for the same round; the colour is said again where it was said.
            self.colour = None;
            self.work(&done.clone(), &ones, yarn, right, None);
            said(self, vec![1]);
        }
        for done in done.iter_mut() {
            *done += 1;
        }
    }
}

/// Stitches that a shaping row of the band gains or loses; crowns have wedges of their own in each size.
fn per_row(band: &WorkedBand) -> u32 {
    band.shaping.per_row().unwrap_or(1)
}

/// The stitches that each size takes up first.
fn to_first(pieces: &[&pieces::WorkedPiece]) -> Vec<u32> {
    pieces.iter().map(|piece| piece.taken.first().map_or(0, pieces::Taken::stitches)).collect()
}

/// The colour at this place of a band's list.
fn colour(band: &WorkedBand, place: usize) -> Colour {
    Colour(band.colours.get(place).copied().unwrap_or(0).min(255) as u8)
}

/// The stitch pattern of a band without a chart.
const fn fabric(fabric: pieces::Fabric) -> StitchPattern {
    match fabric {
        pieces::Fabric::Plain | pieces::Fabric::Chart { .. } => StitchPattern::Stockinette,
        pieces::Fabric::Garter => StitchPattern::Garter,
        pieces::Fabric::Moss => StitchPattern::Moss,
        pieces::Fabric::Ribbing { knit, purl } => StitchPattern::Rib { knit, purl },
    }
}
