//! Bands between the bridges of steeks, and how their live stitches are parted.

use super::count::{Count, Multiple};
use super::error::PieceError;
use super::model::{Band, EndEdge, Fabric, Length, Shaping, Width};
use super::repeat_rows::RepeatRows;
use super::shaping::Schedule;
use super::steek::{Span, Steeks};
use super::steps::{SetAside, Step, bridge_group};
use super::taper::taper;
use super::work::PieceWork;
use super::worked::{LivePart, WorkedBand, WorkedExtra};
use crate::knit::Construction;

impl PieceWork<'_> {
    fn refused(&self, band: &Band, steeks: &Steeks, why: &'static str) -> PieceError {
        let name = steeks.gaps().get(steeks.shaped()).map_or_else(String::new, |(name, _)| name.clone());
        PieceError::Steek { at: self.at(band), name, why }
    }

    /// The steeks after a band: those that it has, and those that are begun after it.
    pub(super) fn steeks_after(
        &self,
        index: usize,
        band: &mut WorkedBand,
    ) -> Result<Option<Steeks>, PieceError> {
        let edited = &self.piece.bands[index];
        let at = self.at(edited);
        let last = index + 1 == self.piece.bands.len();
        let mut steeks = band.steeks.clone().map(|steeks| steeks.after(band.eaten(band.rows())));
        for step in &edited.then {
            let Step::Steek { name, at: share, aside, less_cm, bridge } = step else { continue };
            let steeks = steeks.get_or_insert_with(|| Steeks::of(band.end.stitches));
            let refused = |why| PieceError::Steek { at: at.clone(), name: name.clone(), why };
            if self.piece.construction != Construction::InTheRound {
                return Err(refused(
                    "a steek closes a round: work the piece in the round, or take the steek out",
                ));
            }
            if last && self.piece.end != EndEdge::Live {
                return Err(refused(
                    "stitches that are parted after the last band wait for another piece: let this one end with \
                     its stitches left live",
                ));
            }
            let place = (f64::from(steeks.round()) * share.clamp(0.0, 1.0)).round() as u32;
            let gone = self.gone(edited, steeks, place, (*aside, *less_cm))?;
            let bridge = if last { 0 } else { (*bridge).max(2) };
            steeks.open(&at, name, place, (gone, bridge))?;
            if !last {
                band.then.push(WorkedExtra::Steek { name: name.clone(), aside: gone, bridge });
            }
        }
        Ok(steeks)
    }

    /// Stitches that are set aside about a place of the round, so many that as many are left on either side.
    fn gone(
        &self,
        band: &Band,
        steeks: &Steeks,
        place: u32,
        (aside, less_cm): (Width, f64),
    ) -> Result<u32, PieceError> {
        let (from, to) = steeks.stretch_at(place).unwrap_or_default();
        let stretch = to - from;
        let gone = match aside {
            Width::Stitches(0) => return Ok(0),
            Width::Share(share) => (f64::from(stretch) * share.clamp(0.0, 1.0)).floor() as u32,
            Width::AsBefore | Width::Joined | Width::Narrower(_) => 0,
            each => self.count(each, &self.at(band), Multiple::default(), band)?.stitches,
        };
        let odd = u32::from(place > 0 && stretch.abs_diff(gone) % 2 == 1);
        Ok((gone + odd).saturating_sub(2 * self.stitches_in(less_cm)))
    }

    /// Whole stitches of a length.
    fn stitches_in(&self, cm: f64) -> u32 {
        (cm.max(0.0) / self.gauge.stitch_width_cm()).round() as u32
    }

    /// A band between bridges: its chart goes on where that of the band below ended.
    pub(super) fn steeked(
        &self,
        band: &Band,
        below: Option<&WorkedBand>,
        steeks: Steeks,
        (rows, wanted_cm): (u32, Option<f64>),
        chart: Option<&RepeatRows>,
    ) -> Result<WorkedBand, PieceError> {
        let refused = |why| Err(self.refused(band, &steeks, why));
        let (Some(chart), Fabric::Chart { edge: 0, .. }) = (chart, band.fabric) else {
            return refused(
                "every bridge has edge stitches of its own: let the band above it work a chart, with 0 edge stitches",
            );
        };
        if below.and_then(|below| below.chart).is_some_and(|chart| chart.edge > 0) {
            return refused(
                "the chart below it has edge stitches, above which its columns would not run on: set them to 0",
            );
        }
        if chart.is_shaped() {
            return refused(
                "a chart with \"no stitch\" cells cannot go on beside a bridge: choose another part",
            );
        }
        if rows == 0 || matches!(band.length, Length::Shaped { .. }) {
            return refused("a band above a steek needs a length of its own: give it rows or a length");
        }
        let start = Count::given(steeks.stitches(), Multiple::default());
        let eaten = match (band.shaping, band.end) {
            (_, Width::AsBefore) => 0,
            (Shaping::Steek, Width::Narrower(cm)) => self.stitches_in(cm / 2.0),
            _ => {
                return refused(
                    "a band above a steek is shaped beside the steek begun last: let it end so many cm narrower, \
                     shaped beside the steek",
                );
            }
        };
        if eaten > steeks.most_eaten() {
            return refused("too few stitches are left beside it: shape away less, or make it narrower");
        }
        let end = Count::given(start.stitches - 2 * eaten, Multiple::default());
        let (schedule, row_stitches) = match eaten {
            0 => (Schedule::default(), vec![start.stitches; rows as usize]),
            _ => taper(start.stitches, end.stitches, rows, Shaping::Steek, self.piece.construction),
        };
        if schedule.events() != eaten || schedule.rows().next() == Some(1) {
            return refused(
                "its rounds are too few to shape it, one stitch at either side: make the band longer",
            );
        }
        let mut fit = self.fit(band, chart, &row_stitches);
        let same = below.and_then(|below| below.chart).filter(|chart| chart.region == fit.region);
        let done = below.map_or(0, |below| below.rows() - below.setup_rows);
        fit.first_row = same.map_or(0, |chart| (chart.first_row + done) % fit.repeat_rows.max(1));
        (fit.across, fit.left_over, fit.breaks_at) = (steeks.round() / fit.repeat_stitches.max(1), 0, None);
        Ok(WorkedBand {
            carried: Some(start.stitches),
            schedule,
            shaping: Shaping::Steek,
            row_stitches,
            wanted_cm,
            chart: Some(fit),
            steeks: Some(steeks),
            ..WorkedBand::of(band, self.piece.construction, (start, end))
        })
    }

    /// The parts a round with steeks is set aside in: its stretches, its bridges, and what rests.
    pub(super) fn parted(&self, steeks: &Steeks) -> Result<Vec<LivePart>, PieceError> {
        if self.piece.end != EndEdge::Live {
            let band = self.piece.bands.last();
            let refused = |band| {
                Err(self.refused(
                    band,
                    steeks,
                    "its bridge is bound off when the piece is finished: let the piece end with its stitches left \
                     live, and add the steek to what is done then",
                ))
            };
            return band.map_or(Ok(Vec::new()), refused);
        }
        let places = steeks.gaps().len() as u32;
        let names = self.piece.set_aside.as_ref().map_or_else(Vec::new, |aside| aside.names.clone());
        let places = SetAside { names, ..SetAside::new(places, Width::Stitches(0)) };
        let names = places.parts(&self.piece.name, self.piece.construction);
        let spans = steeks.row(0, false).spans();
        let stretches = spans.iter().filter(|span| matches!(span, Span::Own { .. }));
        let own = names.into_iter().filter(|(_, place)| !place).map(|(name, _)| name);
        let mut parts = Vec::new();
        for (((name, gap), stretch), own) in steeks.gaps().iter().zip(stretches).zip(own) {
            if gap.bridge > 0 {
                parts.push(LivePart { name: bridge_group(name), stitches: gap.bridge, rests: true });
            } else if gap.gone > 0 {
                parts.push(LivePart { name: name.clone(), stitches: gap.gone, rests: true });
            }
            parts.push(LivePart { name: own, stitches: stretch.stitches(), rests: false });
        }
        Ok(parts)
    }
}
