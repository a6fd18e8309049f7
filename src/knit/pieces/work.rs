//! From pieces and a size to stitches and rows.

use super::books::Books;
use super::count::{Count, Multiple};
use super::error::{MAX_ROWS, MAX_STITCHES, PieceError, Unworkable};
use super::model::{Band, EndEdge, Fabric, Follow, Length, Piece, Shaping, Size, Width};
use super::repeat_rows::{Pattern, RepeatRows};
use super::shaping::Schedule;
use super::steek::Steeks;
use super::steps::{Finish, Step};
use super::taper::{shaped_rows, taper};
use super::work_ends::taken;
use super::worked::{ChartFit, Taken, WorkedBand, WorkedPiece};
use crate::knit::{Construction, Gauge};

/// Works every piece in one size: stitches, rows, shaping and where the charts sit.
///
/// # Errors
/// [`PieceError`] naming the piece and band that cannot be worked.
pub fn work(
    pieces: &[Piece],
    size: &Size,
    gauge: Gauge,
    pattern: &Pattern,
) -> Result<Vec<WorkedPiece>, PieceError> {
    let worked = work_each(pieces, size, gauge, pattern).into_iter();
    worked.map(|piece| piece.map_err(|unworkable| unworkable.error)).collect()
}

/// Works every piece in one size by itself: a piece that cannot be worked does not keep the others from
/// it, unless they take up its live stitches.
pub fn work_each(
    pieces: &[Piece],
    size: &Size,
    gauge: Gauge,
    pattern: &Pattern,
) -> Vec<Result<WorkedPiece, Unworkable>> {
    let mut worked = Vec::with_capacity(pieces.len());
    let mut books = Books::default();
    let mut missing: Option<&Piece> = None;
    for (place, piece) in pieces.iter().enumerate() {
        let joins = piece.bands.iter().position(|band| band.start == Width::Joined);
        let result = taken(piece, size, gauge, &books).and_then(|taken| {
            let live = taken.iter().map(Taken::stitches).sum();
            let parts = taken.iter().map(Taken::stitches).collect();
            let mut work = PieceWork { piece, size, gauge, pattern, live, parts };
            let mut taken = taken;
            work.fit_picked_up(&mut taken);
            work.run(taken)
        });
        let result = match (result, joins.or((!piece.takes.is_empty()).then_some(0)), missing) {
            // What it waits for is the better reason.
            (result, Some(band), Some(missing))
                if if result.is_ok() { joins.is_some() } else { band < piece.bands.len() } =>
            {
                let error = PieceError::Waits {
                    at: self::place(piece, &piece.bands[band]),
                    piece: missing.name.clone(),
                };
                Err(Unworkable { band: Some(band), error })
            }
            (result, ..) => result,
        };
        match &result {
            Ok(done) => books.book(place, done),
            Err(_) if piece.end == EndEdge::Live => missing = missing.or(Some(piece)),
            Err(_) => {}
        }
        worked.push(result);
    }
    worked
}

/// A band by the name of its piece and its own.
fn place(piece: &Piece, band: &Band) -> String {
    format!("piece '{}', band '{}'", piece.name, band.name)
}

/// One piece on its way.
pub(super) struct PieceWork<'a> {
    pub(super) piece: &'a Piece,
    pub(super) size: &'a Size,
    pub(super) gauge: Gauge,
    pattern: &'a Pattern<'a>,
    /// Live stitches of the pieces before.
    live: u32,
    /// The same one by one, as they are taken up.
    pub(super) parts: Vec<u32>,
}

impl PieceWork<'_> {
    /// A few stitches more or fewer are picked up so that the first band's repeat comes out.
    fn fit_picked_up(&mut self, taken: &mut [Taken]) {
        let edges = taken.iter().filter(|taken| matches!(taken, Taken::PickedUp { .. })).count() as i64;
        let Some(Ok(start)) = self.piece.bands.first().filter(|_| edges > 0).map(|_| self.start(0, None))
        else {
            return;
        };
        let mut more = i64::from(start.stitches) - i64::from(self.live);
        let mut left = edges;
        for edge in taken.iter_mut() {
            if let Taken::PickedUp { stitches, .. } = edge {
                let share = more / left;
                let fitted = (i64::from(*stitches) + share).max(1);
                more -= fitted - i64::from(*stitches);
                *stitches = fitted as u32;
                left -= 1;
            }
        }
        self.live = taken.iter().map(Taken::stitches).sum();
    }

    fn run(self, taken: Vec<Taken>) -> Result<WorkedPiece, Unworkable> {
        if self.piece.bands.is_empty() {
            return Err(PieceError::NoBands { piece: self.piece.name.clone() }.into());
        }
        let rows = self.rows()?;
        let mut bands: Vec<WorkedBand> = Vec::with_capacity(rows.len());
        let mut done = 0;
        let mut steeks = None;
        for (index, (rows, wanted_cm)) in rows.into_iter().enumerate() {
            let before = bands.last();
            let mut band = self
                .band(index, (before, steeks), (rows, done), wanted_cm)
                .map_err(Unworkable::in_band(index))?;
            band.then = self.extras(index, &band, &taken).map_err(Unworkable::in_band(index))?;
            steeks = self.steeks_after(index, &mut band).map_err(Unworkable::in_band(index))?;
            done += band.rows();
            bands.push(band);
        }
        let live = match &steeks {
            Some(steeks) => self.parted(steeks)?,
            None => self.live_parts(bands.last().map_or(0, WorkedBand::last_stitches))?,
        };
        Ok(WorkedPiece {
            name: self.piece.name.clone(),
            copies: self.piece.copies.max(1),
            sided: self.piece.sided,
            construction: self.piece.construction,
            start: self.piece.start,
            cast_on: self.piece.cast_on,
            taken,
            end: self.piece.end,
            bind_off: self.piece.bind_off,
            set_aside: live.iter().filter(|part| part.rests).map(|part| part.stitches).sum(),
            live,
            finish: self.piece.finish.clone(),
            wanted_cm: self.piece.length.and_then(|length| self.length_cm(length, "").ok().flatten()),
            bands,
        })
    }

    pub(super) fn at(&self, band: &Band) -> String {
        place(self.piece, band)
    }

    fn follow(&self, follow: Follow, at: &str) -> Result<f64, PieceError> {
        self.size.follow(follow).map_err(|missing| PieceError::Unmeasured {
            at: at.to_owned(),
            measure: missing.name().to_lowercase(),
            size: self.size.name.clone(),
        })
    }

    /// A length in cm, when it is given in cm or by the body.
    fn length_cm(&self, length: Length, at: &str) -> Result<Option<f64>, PieceError> {
        match length {
            Length::Cm(cm) => Ok(Some(cm)),
            Length::Body(follow) => Ok(Some(self.follow(follow, at)?)),
            Length::Rows(_) | Length::Repeats(_) | Length::Rest | Length::Shaped { .. } => Ok(None),
        }
    }

    /// Rows of every band and the length asked for, with "the rest" shared out.
    fn rows(&self) -> Result<Vec<(u32, Option<f64>)>, Unworkable> {
        let mut rows = Vec::with_capacity(self.piece.bands.len());
        let (mut taken, mut resting) = (0_u32, 0_u32);
        let counts = self.dry_counts()?;
        for (index, band) in self.piece.bands.iter().enumerate() {
            let at = self.at(band);
            let own = band.own_figures(&self.size.name).and_then(|own| own.rows);
            let counted = match band.length {
                _ if own.is_some() => own.map(|rows| (rows, None)),
                Length::Shaped { every } => {
                    let (from, to) = counts[index];
                    let per_row = band.shaping_in(&self.size.name).per_row().unwrap_or(1);
                    let rows = from.abs_diff(to).div_ceil(per_row).saturating_mul(every.max(1));
                    Some((rows.min(MAX_ROWS + 1), None))
                }
                Length::Rest => {
                    resting += 1;
                    None
                }
                length => Some(self.fixed_rows(band, length, &at).map_err(Unworkable::in_band(index))?),
            };
            taken = taken.saturating_add(counted.map_or(0, |(n, _)| n));
            rows.push(counted);
        }
        let mut left = match (resting, self.piece.length) {
            (0, _) => 0,
            (_, Some(length)) => self.total_rows(length)?.saturating_sub(taken),
            (_, None) => {
                let bands = &self.piece.bands;
                let first = bands.iter().position(|band| band.length == Length::Rest).unwrap_or(0);
                let error = PieceError::NoTotal { at: self.at(&bands[first]) };
                return Err(Unworkable { band: Some(first), error });
            }
        };
        let mut shared = Vec::with_capacity(rows.len());
        for counted in rows {
            shared.push(counted.unwrap_or_else(|| {
                let share = left.div_ceil(resting.max(1));
                left -= share;
                resting = resting.saturating_sub(1);
                (share, None)
            }));
        }
        self.end_on_wrong_side(&mut shared);
        let total: u64 = shared.iter().map(|(n, _)| u64::from(*n)).sum();
        if total == 0 || total > u64::from(MAX_ROWS) {
            let at = format!("piece '{}'", self.piece.name);
            return Err(PieceError::Count { at, what: "rows", found: total, most: MAX_ROWS }.into());
        }
        Ok(shared)
    }

    /// In rows, live stitches are set aside after a wrong-side row and a chart begins on a right-side one:
    /// one row more before it, where that band is measured in cm.
    fn end_on_wrong_side(&self, rows: &mut [(u32, Option<f64>)]) {
        if self.piece.construction == Construction::InTheRound {
            return;
        }
        let bands = &self.piece.bands;
        let mut done = 0;
        for (place, band) in bands.iter().enumerate() {
            done += rows[place].0;
            let measured = matches!(band.length, Length::Cm(_) | Length::Body(_) | Length::Rest);
            let wanted = match bands.get(place + 1) {
                Some(next) => matches!(next.fabric, Fabric::Chart { .. }),
                None => self.piece.end == EndEdge::Live,
            };
            if wanted && measured && done % 2 == 1 && rows[place].0 > 0 {
                rows[place].0 += 1;
                done += 1;
            }
        }
    }

    /// Stitches that each band begins and ends with, were every band worked.
    fn dry_counts(&self) -> Result<Vec<(u32, u32)>, Unworkable> {
        let mut counts = Vec::with_capacity(self.piece.bands.len());
        if !self.piece.bands.iter().any(|band| matches!(band.length, Length::Shaped { .. })) {
            return Ok(vec![(0, 0); self.piece.bands.len()]);
        }
        let mut before = None;
        for (index, band) in self.piece.bands.iter().enumerate() {
            let both = || -> Result<(Count, Count), PieceError> {
                let start = self.start(index, before)?;
                let chart = self.repeat_rows(band, &self.at(band))?;
                Ok((start, self.end(band, start, chart.as_ref())?))
            };
            let (start, end) = both().map_err(Unworkable::in_band(index))?;
            let skipped = band.own_figures(&self.size.name).is_some_and(|own| own.rows == Some(0));
            if !skipped {
                before = Some(end);
            }
            counts.push((start.stitches, end.stitches));
        }
        Ok(counts)
    }

    fn total_rows(&self, length: Length) -> Result<u32, PieceError> {
        let at = format!("piece '{}'", self.piece.name);
        match (length, self.length_cm(length, &at)?) {
            (_, Some(cm)) => Ok(self.gauge.rows_in(cm)),
            (Length::Rows(rows), None) => Ok(rows),
            (Length::Repeats(times), None) => Ok(times.saturating_mul(self.pattern.repeat.height)),
            (_, None) => Err(PieceError::NoTotal { at }),
        }
    }

    /// Rows of a band that does not take the rest, and the length asked for.
    fn fixed_rows(&self, band: &Band, length: Length, at: &str) -> Result<(u32, Option<f64>), PieceError> {
        let chart = self.repeat_rows(band, at)?;
        if let Some(rows) = chart.as_ref().filter(|rows| rows.is_shaped()) {
            // A chart that holds the shaping is worked once, whatever length was asked for.
            return Ok((rows.count() as u32, self.length_cm(length, at)?));
        }
        let wanted = self.length_cm(length, at)?;
        let rows = match (length, wanted) {
            (_, Some(cm)) => self.gauge.rows_in(cm),
            (Length::Repeats(times), None) => {
                let one = chart.map_or(self.pattern.repeat.height, |rows| rows.count() as u32);
                times.saturating_mul(one)
            }
            (Length::Rows(rows), None) => rows,
            (_, None) => 0,
        };
        if rows == 0 || rows > MAX_ROWS {
            let found = u64::from(rows);
            return Err(PieceError::Count { at: at.to_owned(), what: "rows", found, most: MAX_ROWS });
        }
        Ok((rows, wanted))
    }

    /// The chart rows of a band; `None` when it has no chart.
    pub(super) fn repeat_rows(&self, band: &Band, at: &str) -> Result<Option<RepeatRows<'_>>, PieceError> {
        match band.fabric {
            Fabric::Plain | Fabric::Ribbing { .. } | Fabric::Garter | Fabric::Moss => Ok(None),
            Fabric::Chart { region, .. } => RepeatRows::of(self.pattern.grid, self.pattern.region(region))
                .map(Some)
                .ok_or_else(|| PieceError::EmptyChart { at: at.to_owned() }),
        }
    }

    /// The count for a width given on its own.
    pub(super) fn count(
        &self,
        width: Width,
        at: &str,
        multiple: Multiple,
        band: &Band,
    ) -> Result<Count, PieceError> {
        let folds = self.folds();
        let by_cm = |cm: f64| Count {
            wanted_cm: Some(cm),
            ..Count::for_width(
                cm + f64::from(folds) * self.gauge.stitch_width_cm(),
                self.gauge,
                multiple,
                band.rounding,
            )
        };
        let count = match width {
            Width::Stitches(stitches) => Count::given(stitches, multiple),
            Width::Cm(cm) => by_cm(cm),
            Width::Body(follow) => by_cm(self.follow(follow, at)?),
            Width::Joined if self.live == 0 => {
                return Err(PieceError::NothingToJoin { at: at.to_owned() });
            }
            Width::Joined => Count {
                stitches: multiple.choose(f64::from(self.live), band.rounding),
                wanted_cm: Some(f64::from(self.live) * self.gauge.stitch_width_cm()),
                multiple,
                folds: 0,
            },
            Width::AsBefore | Width::Narrower(_) | Width::Share(_) => {
                return Err(PieceError::NoWidth { at: at.to_owned() });
            }
        };
        if count.stitches == 0 || count.stitches > MAX_STITCHES {
            let found = u64::from(count.stitches);
            return Err(PieceError::Count { at: at.to_owned(), what: "stitches", found, most: MAX_STITCHES });
        }
        Ok(Count { folds, ..count })
    }

    /// Stitches of its rounds that fold away when the tube is cut open along its side; those of a bridge are gone
    /// from the count by themselves.
    fn folds(&self) -> u32 {
        let bridges = || self.piece.bands.iter().flat_map(|band| &band.then);
        let is_bridge =
            |place: &str| bridges().any(|step| matches!(step, Step::Steek { name, .. } if name == place));
        let cut = self.piece.finish.iter().map(|finish| match finish {
            Finish::Steek { stitches, place } if !is_bridge(place) => *stitches,
            _ => 0,
        });
        cut.fold(0, u32::saturating_add)
    }

    /// The width asked for in stitches, before any rounding.
    fn wanted_stitches(&self, width: Width, at: &str) -> Result<f64, PieceError> {
        let cm = match width {
            Width::Stitches(n) => return Ok(f64::from(n)),
            Width::Joined | Width::AsBefore | Width::Narrower(_) => return Ok(f64::from(self.live)),
            Width::Share(share) => return Ok(f64::from(self.live) * share),
            Width::Cm(cm) => cm,
            Width::Body(follow) => self.follow(follow, at)?,
        };
        Ok(cm / self.gauge.stitch_width_cm())
    }

    fn start(&self, index: usize, before: Option<Count>) -> Result<Count, PieceError> {
        let band = &self.piece.bands[index];
        let at = self.at(band);
        if let Some(stitches) = band.own_figures(&self.size.name).and_then(|own| own.stitches) {
            return self.count(Width::Stitches(stitches), &at, self.multiple(band, &at)?, band);
        }
        match (band.start, before) {
            (Width::Share(share), before) => {
                let from = before.map_or(self.live, |count| count.stitches);
                let stitches = (f64::from(from) * share).round() as u32;
                let multiple = self.multiple(band, &at)?;
                let stitches = multiple.choose(f64::from(stitches), band.rounding);
                self.count(Width::Stitches(stitches), &at, multiple, band)
            }
            (Width::AsBefore, Some(before)) => {
                let multiple = self.multiple(band, &at)?;
                let stitches = if multiple.fits(before.stitches) {
                    before.stitches
                } else {
                    multiple.choose(f64::from(before.stitches), band.rounding)
                };
                Ok(Count { stitches, multiple, ..before })
            }
            (width, _) => {
                let multiple = self.multiple_from(index, self.wanted_stitches(width, &at)?)?;
                self.count(width, &at, multiple, band)
            }
        }
    }

    /// The end that is asked for.
    pub(super) fn wanted_end(
        &self,
        band: &Band,
        start: Count,
        chart: Option<&RepeatRows>,
    ) -> Result<Count, PieceError> {
        if let (Some(rows), Fabric::Chart { edge, .. }) = (chart.filter(|rows| rows.is_shaped()), band.fabric)
        {
            let across = start.stitches.saturating_sub(edge) / rows.width(0).max(1);
            let top = rows.width(rows.count() - 1);
            let multiple = Multiple::with_edge(top, edge);
            return Ok(Count::given(across.saturating_mul(top).saturating_add(edge), multiple));
        }
        if band.shaping == Shaping::Gusset {
            // The others become as many as the first.
            let whole = 2 * self.parts.first().copied().unwrap_or(0);
            let ends = whole > 0 && whole <= start.stitches;
            return Ok(Count::given(if ends { whole } else { start.stitches }, Multiple::default()));
        }
        if let Some(end) = band.own_figures(&self.size.name).and_then(|own| own.end) {
            return self.count(Width::Stitches(end), &self.at(band), Multiple::default(), band);
        }
        if band.end == Width::AsBefore {
            return Ok(start);
        }
        let at = self.at(band);
        let multiple = match (band.fabric, band.shaping) {
            // An end that whole shaping rows reach.
            (Fabric::Plain | Fabric::Garter, Shaping::PerRow(n)) if n > 1 => {
                Multiple::with_edge(n, start.stitches % n)
            }
            _ => self.multiple(band, &at)?,
        };
        match band.end {
            Width::Stitches(n) if !multiple.fits(n) => {
                // "4 sts each time to 6 from 25" is not to be knitted: the nearest count that is.
                let near = multiple.choose(f64::from(n), band.rounding);
                Ok(Count {
                    wanted_cm: Some(f64::from(n) * self.gauge.stitch_width_cm()),
                    ..Count::given(near, multiple)
                })
            }
            Width::Narrower(cm) => {
                let fewer = (cm.max(0.0) / self.gauge.stitch_width_cm()).round() as u32;
                let stitches = start.stitches.saturating_sub(fewer).max(1);
                Ok(Count::given(stitches, multiple))
            }
            Width::Share(share) => {
                let wanted = f64::from(start.stitches) * share;
                Ok(Count::given(multiple.choose(wanted, band.rounding), multiple))
            }
            end => self.count(end, &at, multiple, band),
        }
    }

    fn band(
        &self,
        index: usize,
        (below, steeks): (Option<&WorkedBand>, Option<Steeks>),
        (rows, done): (u32, u32),
        wanted_cm: Option<f64>,
    ) -> Result<WorkedBand, PieceError> {
        let band = &self.piece.bands[index];
        let at = self.at(band);
        let chart = self.repeat_rows(band, &at)?;
        if let Some(steeks) = steeks {
            return self.steeked(band, below, steeks, (rows, wanted_cm), chart.as_ref());
        }
        let before = below.map(|band| band.end);
        // A band whose rest came to nothing changes nothing.
        let start = match before {
            Some(before) if rows == 0 => before,
            _ => self.start(index, before)?,
        };
        let end = if rows == 0 { start } else { self.end(band, start, chart.as_ref())? };
        let shaping = band.shaping_in(&self.size.name);
        let (schedule, mut row_stitches) = match chart.as_ref().filter(|rows| rows.is_shaped()) {
            Some(chart) => (Schedule::default(), shaped_rows(chart, start, rows)),
            None => taper(start.stitches, end.stitches, rows, shaping, self.piece.construction),
        };
        let carried = match before {
            Some(count) => Some(count.stitches),
            None => (self.live > 0).then_some(self.live),
        };
        let fit = chart.as_ref().map(|chart| self.fit(band, chart, &row_stitches));
        // The stitches are brought to a chart in plain rows before it, so many that it begins on the
        // right side; taken-up stitches are worked plain first, too.
        let setup_rows = match (&fit, carried) {
            (Some(_), Some(carried)) if rows > 0 && (carried != start.stitches || before.is_none()) => {
                let flat = self.piece.construction == Construction::Flat;
                if flat && done.is_multiple_of(2) { 2 } else { 1 }
            }
            _ => 0,
        };
        row_stitches.splice(0..0, std::iter::repeat_n(start.stitches, setup_rows as usize));
        Ok(WorkedBand {
            carried,
            schedule,
            shaping,
            setup_rows,
            row_stitches,
            wanted_cm,
            chart: fit,
            ..WorkedBand::of(band, self.piece.construction, (start, end))
        })
    }

    pub(super) fn fit(&self, band: &Band, chart: &RepeatRows, row_stitches: &[u32]) -> ChartFit {
        let (asked, edge) = match band.fabric {
            Fabric::Chart { region, edge } => (region, edge),
            Fabric::Plain | Fabric::Ribbing { .. } | Fabric::Garter | Fabric::Moss => (None, 0),
        };
        let whole = |(r, stitches): (usize, &u32)| {
            let (width, inner) = (chart.width(r), stitches.saturating_sub(edge));
            (inner / width, inner % width)
        };
        let (across, left_over) = row_stitches.first().map_or((0, 0), |n| whole((0, n)));
        let breaks = row_stitches.iter().enumerate().position(|row| {
            let (n, over) = whole(row);
            over != 0 || n == 0 || (chart.is_shaped() && n != across)
        });
        let rows = row_stitches.len() as u32;
        let repeat_rows = chart.count() as u32;
        ChartFit {
            region: self.pattern.region(asked),
            repeat_stitches: chart.width(0),
            across,
            edge,
            left_over,
            breaks_at: breaks.map(|r| r as u32 + 1),
            repeat_rows,
            up: rows / repeat_rows,
            rows_over: rows % repeat_rows,
            shaped: chart.is_shaped(),
            first_row: 0,
        }
    }
}
