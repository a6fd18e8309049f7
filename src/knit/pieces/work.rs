//! From pieces and a size to stitches and rows.

use super::count::{Count, Multiple};
use super::error::{MAX_ROWS, MAX_STITCHES, PieceError, Unworkable};
use super::model::{Band, EndEdge, Fabric, Follow, Length, Piece, SetAside, Shaping, Size, Width};
use super::repeat_rows::{Pattern, RepeatRows};
use super::shaping::Schedule;
use super::taper::{shaped_rows, taper};
use super::worked::{ChartFit, WorkedBand, WorkedPiece};
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
/// it, unless they join its live stitches.
pub fn work_each(
    pieces: &[Piece],
    size: &Size,
    gauge: Gauge,
    pattern: &Pattern,
) -> Vec<Result<WorkedPiece, Unworkable>> {
    let mut worked = Vec::with_capacity(pieces.len());
    let mut live = 0_u32;
    let mut missing: Option<&Piece> = None;
    for piece in pieces {
        let joins = piece.bands.iter().position(|band| band.start == Width::Joined);
        let result = match (joins, missing) {
            (Some(band), Some(missing)) => {
                Err(PieceError::Waits { at: place(piece, &piece.bands[band]), piece: missing.name.clone() })
                    .map_err(Unworkable::in_band(band))
            }
            _ => PieceWork { piece, size, gauge, pattern, live }.run(),
        };
        match &result {
            Ok(done) => live = live.saturating_add(done.live_stitches()),
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
struct PieceWork<'a> {
    piece: &'a Piece,
    size: &'a Size,
    gauge: Gauge,
    pattern: &'a Pattern<'a>,
    /// Live stitches of the pieces before.
    live: u32,
}

impl PieceWork<'_> {
    fn run(self) -> Result<WorkedPiece, Unworkable> {
        if self.piece.bands.is_empty() {
            return Err(PieceError::NoBands { piece: self.piece.name.clone() }.into());
        }
        let rows = self.rows()?;
        let mut bands: Vec<WorkedBand> = Vec::with_capacity(rows.len());
        for (index, (rows, wanted_cm)) in rows.into_iter().enumerate() {
            let before = bands.last().map(|band| band.end);
            let band = self.band(index, before, rows, wanted_cm);
            bands.push(band.map_err(Unworkable::in_band(index))?);
        }
        let set_aside = match self.piece.set_aside {
            None | Some(SetAside { each: Width::AsBefore | Width::Joined, .. }) => 0,
            Some(SetAside { places, each }) => {
                let first = &self.piece.bands[0];
                self.count(each, &self.piece.name, Multiple::default(), first)?
                    .stitches
                    .saturating_mul(places)
            }
        };
        Ok(WorkedPiece {
            name: self.piece.name.clone(),
            copies: self.piece.copies.max(1),
            construction: self.piece.construction,
            start: self.piece.start,
            end: self.piece.end,
            set_aside,
            wanted_cm: self.piece.length.and_then(|length| self.length_cm(length, "").ok().flatten()),
            bands,
        })
    }

    fn at(&self, band: &Band) -> String {
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
            Length::Rows(_) | Length::Repeats(_) | Length::Rest => Ok(None),
        }
    }

    /// Rows of every band and the length asked for, with "the rest" shared out.
    fn rows(&self) -> Result<Vec<(u32, Option<f64>)>, Unworkable> {
        let mut rows = Vec::with_capacity(self.piece.bands.len());
        let (mut taken, mut resting) = (0_u32, 0_u32);
        for (index, band) in self.piece.bands.iter().enumerate() {
            let at = self.at(band);
            let counted = match band.length {
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
        let total: u64 = shared.iter().map(|(n, _)| u64::from(*n)).sum();
        if total == 0 || total > u64::from(MAX_ROWS) {
            let at = format!("piece '{}'", self.piece.name);
            return Err(PieceError::Count { at, what: "rows", found: total, most: MAX_ROWS }.into());
        }
        Ok(shared)
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
    fn repeat_rows(&self, band: &Band, at: &str) -> Result<Option<RepeatRows<'_>>, PieceError> {
        match band.fabric {
            Fabric::Plain | Fabric::Ribbing { .. } => Ok(None),
            Fabric::Chart { region, .. } => RepeatRows::of(self.pattern.grid, self.pattern.region(region))
                .map(Some)
                .ok_or_else(|| PieceError::EmptyChart { at: at.to_owned() }),
        }
    }

    /// The counts on which a band's fabric works out.
    fn multiple(&self, band: &Band, at: &str) -> Result<Multiple, PieceError> {
        Ok(match (band.fabric, self.repeat_rows(band, at)?) {
            (Fabric::Chart { edge, .. }, Some(rows)) => Multiple::with_edge(rows.width(0), edge),
            (Fabric::Ribbing { knit, purl }, _) => {
                let rib = knit.saturating_add(purl);
                match self.piece.construction {
                    Construction::InTheRound => Multiple::of(rib),
                    // Flat ribbing ends as it began, so that both edges look the same.
                    Construction::Flat => Multiple::with_edge(rib, knit),
                }
            }
            _ => Multiple::default(),
        })
    }

    /// The counts for a width that starts at `index`: where the bands after it are as wide and their
    /// repeats can be served as well at little cost, theirs too.
    fn multiple_from(&self, index: usize, wanted: f64) -> Result<Multiple, PieceError> {
        let bands = &self.piece.bands;
        let mut multiple = self.multiple(&bands[index], &self.at(&bands[index]))?;
        for (band, next) in bands[index..].iter().zip(&bands[index + 1..]) {
            if band.end != Width::AsBefore || next.start != Width::AsBefore {
                break;
            }
            let Some(both) = multiple.and(self.multiple(next, &self.at(next))?) else { break };
            let off = f64::from(both.choose(wanted, next.rounding)) - wanted;
            let free = both.repeat() == multiple.repeat();
            if !free && off.abs() > Self::DEAR * wanted {
                break;
            }
            multiple = both;
        }
        Ok(multiple)
    }

    /// Share of the width that serving two repeats at once may cost: about 2 to 4 cm round a body,
    /// within one step of the fit chart's ease (our judgement).
    const DEAR: f64 = 0.03;

    /// The count for a width given on its own.
    fn count(&self, width: Width, at: &str, multiple: Multiple, band: &Band) -> Result<Count, PieceError> {
        let by_cm = |cm| Count::for_width(cm, self.gauge, multiple, band.rounding);
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
            },
            Width::AsBefore => return Err(PieceError::NoWidth { at: at.to_owned() }),
        };
        if count.stitches == 0 || count.stitches > MAX_STITCHES {
            let found = u64::from(count.stitches);
            return Err(PieceError::Count { at: at.to_owned(), what: "stitches", found, most: MAX_STITCHES });
        }
        Ok(count)
    }

    /// The width asked for in stitches, before any rounding.
    fn wanted_stitches(&self, width: Width, at: &str) -> Result<f64, PieceError> {
        let cm = match width {
            Width::Stitches(n) => return Ok(f64::from(n)),
            Width::Joined | Width::AsBefore => return Ok(f64::from(self.live)),
            Width::Cm(cm) => cm,
            Width::Body(follow) => self.follow(follow, at)?,
        };
        Ok(cm / self.gauge.stitch_width_cm())
    }

    fn start(&self, index: usize, before: Option<Count>) -> Result<Count, PieceError> {
        let band = &self.piece.bands[index];
        let at = self.at(band);
        match (band.start, before) {
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

    fn end(&self, band: &Band, start: Count, chart: Option<&RepeatRows>) -> Result<Count, PieceError> {
        if let (Some(rows), Fabric::Chart { edge, .. }) = (chart.filter(|rows| rows.is_shaped()), band.fabric)
        {
            let across = start.stitches.saturating_sub(edge) / rows.width(0).max(1);
            let top = rows.width(rows.count() - 1);
            let multiple = Multiple::with_edge(top, edge);
            return Ok(Count::given(across.saturating_mul(top).saturating_add(edge), multiple));
        }
        if band.end == Width::AsBefore {
            return Ok(start);
        }
        let at = self.at(band);
        let multiple = match (band.fabric, band.shaping) {
            // An end that whole shaping rows reach.
            (Fabric::Plain, Shaping::PerRow(n)) if n > 1 => Multiple::with_edge(n, start.stitches % n),
            _ => self.multiple(band, &at)?,
        };
        self.count(band.end, &at, multiple, band)
    }

    fn band(
        &self,
        index: usize,
        before: Option<Count>,
        rows: u32,
        wanted_cm: Option<f64>,
    ) -> Result<WorkedBand, PieceError> {
        let band = &self.piece.bands[index];
        let at = self.at(band);
        let chart = self.repeat_rows(band, &at)?;
        let start = self.start(index, before)?;
        // A band whose rest came to nothing changes nothing.
        let end = if rows == 0 { start } else { self.end(band, start, chart.as_ref())? };
        let (schedule, row_stitches) = match chart.as_ref().filter(|rows| rows.is_shaped()) {
            Some(chart) => (Schedule::default(), shaped_rows(chart, start, rows)),
            None => taper(start.stitches, end.stitches, rows, band.shaping, self.piece.construction),
        };
        let carried = match before {
            Some(count) => Some(count.stitches),
            None => (band.start == Width::Joined).then_some(self.live),
        };
        let fit = chart.as_ref().map(|chart| self.fit(band, chart, &row_stitches));
        Ok(WorkedBand {
            name: band.name.clone(),
            fabric: band.fabric,
            technique: band.technique,
            construction: self.piece.construction,
            colours: band.colours.clone(),
            stripe_rows: band.stripe_rows.max(1),
            carried,
            start,
            end,
            schedule,
            row_stitches,
            wanted_cm,
            chart: fit,
        })
    }

    fn fit(&self, band: &Band, chart: &RepeatRows, row_stitches: &[u32]) -> ChartFit {
        let (asked, edge) = match band.fabric {
            Fabric::Chart { region, edge } => (region, edge),
            Fabric::Plain | Fabric::Ribbing { .. } => (None, 0),
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
        }
    }
}
