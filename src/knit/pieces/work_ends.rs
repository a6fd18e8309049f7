//! Where a piece's stitches come from, what is done between its bands, and how its live stitches are parted.

use super::books::{Books, opening_group};
use super::count::{Count, Multiple};
use super::error::{PieceError, Unworkable};
use super::model::{Band, EndEdge, Length, Piece, Shaping, Size, StartEdge, Width};
use super::repeat_rows::RepeatRows;
use super::steps::{SetAside, Step, Take};
use super::work::PieceWork;
use super::worked::{LivePart, Taken, WorkedBand, WorkedExtra};
use crate::knit::{Construction, Gauge};

/// Fewest lines of a raglan.
const RAGLAN_LINES: u32 = 4;

/// Most pairs of short rows.
const MOST_PAIRS: f64 = 100.0;

/// Where the stitches of a piece come from.
pub(super) fn taken(
    piece: &Piece,
    size: &Size,
    gauge: Gauge,
    books: &Books,
) -> Result<Vec<Taken>, Unworkable> {
    if piece.start == StartEdge::CastOn {
        return Ok(Vec::new());
    }
    if piece.takes.is_empty() && piece.start == StartEdge::Joined {
        return Ok(books.free());
    }
    let at = || format!("piece '{}'", piece.name);
    let copy = piece.copy_name(0);
    let take = |take: &Take| -> Result<Taken, PieceError> {
        Ok(match take {
            Take::Group(name) => {
                let stitches = books.stitches(copy, name);
                if stitches == 0 {
                    return Err(PieceError::NoGroup { at: at(), group: name.clone() });
                }
                Taken::Group { name: name.clone(), stitches }
            }
            Take::PickUp { along, rows, stitches, every } => {
                let rows = match *rows {
                    Length::Cm(cm) => gauge.rows_in(cm),
                    Length::Rows(rows) => rows,
                    Length::Body(follow) => {
                        gauge.rows_in(size.follow(follow).map_err(|missing| PieceError::Unmeasured {
                            at: at(),
                            measure: missing.name().to_lowercase(),
                            size: size.name.clone(),
                        })?)
                    }
                    Length::Repeats(_) | Length::Rest | Length::Shaped { .. } => 0,
                };
                let ratio = ((*stitches).max(1), (*every).max(1));
                let picked = f64::from(rows) * f64::from(ratio.0) / f64::from(ratio.1);
                Taken::PickedUp { along: along.clone(), stitches: picked.round() as u32, ratio, rows }
            }
            Take::CastOn(stitches) => Taken::CastOn { stitches: *stitches },
            Take::Opening { name, corners } => {
                let both = books.stitches(copy, &opening_group(name));
                if both == 0 {
                    return Err(PieceError::NoGroup { at: at(), group: format!("opening '{name}'") });
                }
                Taken::Opening { name: name.clone(), below: both / 2, corners: *corners }
            }
        })
    };
    Ok(piece.takes.iter().map(take).collect::<Result<_, _>>()?)
}

impl PieceWork<'_> {
    /// What a band ends with: what is asked for, but where raglan lines run between the stitches that are taken up no
    /// fewer than leave two stitches between any two lines. The band after it takes out the rest.
    pub(super) fn end(
        &self,
        band: &Band,
        start: Count,
        chart: Option<&RepeatRows>,
    ) -> Result<Count, PieceError> {
        let end = Count { folds: start.folds, ..self.wanted_end(band, start, chart)? };
        let lines = self.parts.len() as u32;
        let raglan = lines >= RAGLAN_LINES
            && band.shaping_in(&self.size.name) == Shaping::PerRow(2 * lines)
            && start.stitches == self.parts.iter().sum::<u32>();
        let Some(narrowest) = self.parts.iter().min().filter(|_| raglan) else { return Ok(end) };
        let rounds = narrowest.saturating_sub(2) / 2;
        let least = start.stitches.saturating_sub(2 * lines * rounds);
        Ok(if end.stitches < least { Count { stitches: least, ..end } } else { end })
    }

    /// What is done after a band.
    pub(super) fn extras(
        &self,
        index: usize,
        band: &WorkedBand,
        taken: &[Taken],
    ) -> Result<Vec<WorkedExtra>, PieceError> {
        let edited = &self.piece.bands[index];
        let at = self.at(edited);
        let all = band.end.stitches;
        let extra = |step: &Step| -> Result<WorkedExtra, PieceError> {
            Ok(match step {
                Step::Opening { name, stitches, inset, face } => {
                    let wanted = match *stitches {
                        Width::Share(share) => Width::Stitches((f64::from(all) * share).floor() as u32),
                        other => other,
                    };
                    let stitches = self.count(wanted, &at, Multiple::default(), edited)?.stitches;
                    let face = if *face == 0 { all / 2 } else { (*face).min(all) };
                    if stitches + inset > face {
                        let found = u64::from(stitches + inset);
                        let what = "stitches of an opening in its face of the round";
                        return Err(PieceError::Count { at: at.clone(), what, found, most: face });
                    }
                    let left = if self.piece.sided { face - inset - stitches } else { *inset };
                    WorkedExtra::Opening { name: name.clone(), stitches, before: (left, *inset), face }
                }
                Step::ShortRows { rise_cm, share, further } => {
                    let pairs = (rise_cm.max(0.0) / self.gauge.row_height_cm() / 2.0).round();
                    let back = back_share(taken, band);
                    short_rows(all, (pairs.clamp(1.0, MOST_PAIRS) as u32, *share, *further), back)
                }
                Step::HeelTurn | Step::Steek { .. } => {
                    let last = index + 1 == self.piece.bands.len()
                        && std::ptr::eq(edited.then.last().unwrap_or(step), step);
                    let flat = self.piece.construction == Construction::Flat;
                    let turned = heel_turn(all).filter(|_| last && flat && band.rows().is_multiple_of(2));
                    turned.ok_or_else(|| PieceError::HeelTurn { at: at.clone(), found: all })?
                }
            })
        };
        let steps = edited.then.iter().filter(|step| !matches!(step, Step::Steek { .. }));
        steps.map(extra).collect()
    }

    /// The parts its live stitches are set aside in.
    pub(super) fn live_parts(&self, last: u32) -> Result<Vec<LivePart>, PieceError> {
        if self.piece.end != EndEdge::Live {
            return Ok(Vec::new());
        }
        let aside = match &self.piece.set_aside {
            None | Some(SetAside { each: Width::AsBefore | Width::Joined, .. }) => None,
            Some(aside) => Some(aside),
        };
        let Some(aside) = aside else {
            let name = self.piece.name.to_lowercase();
            return Ok(vec![LivePart { name, stitches: last, rests: false }]);
        };
        let each = match aside.each {
            Width::Stitches(0) => 0,
            Width::Share(share) => (f64::from(last) * share.clamp(0.0, 1.0)).floor() as u32,
            each => self.count(each, &self.piece.name, Multiple::default(), &self.piece.bands[0])?.stitches,
        };
        let less = 2 * (aside.less_cm.max(0.0) / self.gauge.stitch_width_cm()).round() as u32;
        let places = aside.places.clamp(1, SetAside::MOST);
        let in_round = self.piece.construction == Construction::InTheRound;
        let others = if in_round { places } else { places + 1 };
        // As many stitches on either side: one more at each place, where that is needed.
        let odd = u32::from((last.saturating_sub(places.saturating_mul(each))) % others != 0 && each > 0);
        let each = (each + odd).saturating_sub(less);
        let between = last.saturating_sub(places.saturating_mul(each));
        let parts = aside.parts(&self.piece.name, self.piece.construction);
        let mut other = 0;
        let share = |rests: bool| {
            if rests {
                return each;
            }
            other += 1;
            between / others + u32::from(other <= between % others)
        };
        let shares: Vec<u32> = parts.iter().map(|(_, rests)| *rests).map(share).collect();
        let parts = parts.into_iter().zip(shares);
        Ok(parts
            .filter(|(_, stitches)| *stitches > 0)
            .map(|((name, rests), stitches)| LivePart { name, stitches, rests })
            .collect())
    }
}

/// The turn of a heel over so many stitches: the first row goes a little past the middle and takes one stitch in,
/// the second goes back as far on its other side; every later row goes one stitch further. Half the stitches and
/// two or three are left (`yoke_shaping.csv` S5 has a third between its turns at the start; our arithmetic).
fn heel_turn(all: u32) -> Option<WorkedExtra> {
    let half = all / 2;
    if !all.is_multiple_of(2) || half < 6 {
        return None;
    }
    // The stitches beyond each turn are taken in two by two.
    let (past, purl) = if half.is_multiple_of(2) { (1, 3) } else { (2, 5) };
    let knit = half + past;
    let beyond = half - past - 3;
    let mut rows = vec![knit + 2, purl + 3];
    rows.extend((1..=beyond).map(|n| purl + 3 + n));
    Some(WorkedExtra::HeelTurn { knit, purl, rows, left: all - 2 - beyond })
}

/// The share of the last group taken up (the back) in the round that a band ends with. Rounds that change evenly
/// keep it; raglan lines take as many stitches from every group.
fn back_share(taken: &[Taken], band: &WorkedBand) -> f64 {
    let (Some(last), groups @ 2..) = (taken.last(), taken.len() as u32) else {
        // Nothing tells front from back: the second half of the round is the back.
        return 0.5;
    };
    let lost = match band.shaping {
        Shaping::PerRow(n) if n == 2 * groups => 2 * band.schedule.events(),
        _ => 0,
    };
    let all: u32 = taken.iter().map(Taken::stitches).sum();
    let left = |stitches: u32, lost: u32| f64::from(stitches.saturating_sub(lost).max(1));
    left(last.stitches(), lost) / left(all, groups * lost)
}

/// Short rows round the marker, over a share of `all` stitches about the middle of the back, whose share of the
/// round is `last`, each pair after the first further out.
fn short_rows(all: u32, (pairs, share, further): (u32, f64, u32), last: f64) -> WorkedExtra {
    let back = (f64::from(all) * last).round() as u32;
    let span = (f64::from(all) * share.clamp(0.0, 1.0)).round() as u32;
    let past = (span.saturating_sub(back) / 2).max(1);
    let pairs = pairs.max(1);
    // All turns lie within the round.
    let room = all.saturating_sub(back + 2 * past + 2);
    let further = if pairs > 1 { further.min(room / (2 * (pairs - 1))) } else { 0 };
    let before_marker = back + past;
    let mut rows = vec![past, past + before_marker];
    for pair in 1..pairs {
        let out = (2 * pair - 1) * further;
        rows.extend([past + before_marker + out, past + before_marker + out + further]);
    }
    rows.push(before_marker + (pairs - 1) * further);
    WorkedExtra::ShortRows { past_marker: past, before_marker, further, rows }
}
