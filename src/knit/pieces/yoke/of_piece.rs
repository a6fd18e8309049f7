//! A piece as a brief, and a solution as the figures its sizes have of their own.

use thiserror::Error;

use super::super::error::PieceError;
use super::super::model::{Band, Fabric, Length, OwnFigures, Piece, Shaping, Size, StartEdge, Width};
use super::super::openings::least_neck_cm;
use super::super::repeat_rows::{Pattern, RepeatRows};
use super::super::steps::Take;
use super::super::work::work;
use super::super::worked::WorkedPiece;
use super::{Brief, Held, Made, Part, Solution, Unsolved, Wanted};
use crate::knit::pieces::Measure;
use crate::knit::{Construction, Gauge};

/// The parts of a piece that are solved, and which band each belongs to.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceBrief {
    /// What is solved.
    pub brief: Brief,
    /// The band of each part, by its place.
    pub bands: Vec<usize>,
    /// The piece, by its place.
    pub piece: usize,
}

/// Why a piece cannot be solved.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum NotSolvable {
    /// A piece that cannot be worked at all.
    #[error(transparent)]
    Piece(#[from] PieceError),
    /// A band whose shape the solver has no part for.
    #[error("piece '{piece}', band '{band}': {why}")]
    Band {
        /// The piece.
        piece: String,
        /// The band.
        band: String,
        /// What stands in the way, and what to do.
        why: &'static str,
    },
    /// A piece of rows.
    #[error("piece '{0}' is knitted in rows: only what is knitted in the round is solved")]
    Flat(String),
    /// There is no solution.
    #[error(transparent)]
    Unsolved(#[from] Unsolved),
}

/// A decrease round takes out two fifths at the most (`yoke_shaping.csv` Y10), and a few stitches may be
/// made for a repeat.
const CHANGE: Part = Part::Change { least: 0.6, most: 1.05 };

impl PieceBrief {
    /// The piece at `place` as a brief for these sizes. Charts other than the tallest may be left out.
    ///
    /// # Errors
    /// [`NotSolvable`] naming the band that stands in the way.
    pub fn of(
        pieces: &[Piece],
        place: usize,
        sizes: &[Size],
        gauge: Gauge,
        pattern: &Pattern,
    ) -> Result<Self, NotSolvable> {
        let mut pieces = pieces.to_vec();
        pieces.truncate(place + 1);
        let Some(piece) = pieces.get_mut(place) else { return Err(Unsolved::Empty.into()) };
        if piece.construction != Construction::InTheRound {
            return Err(NotSolvable::Flat(piece.name.clone()));
        }
        piece.bands.iter_mut().for_each(|band| band.own.clear());
        let piece = piece.clone();
        let parts = parts(&piece, gauge, pattern)?;
        let mut wanted = Vec::with_capacity(sizes.len());
        for size in sizes {
            let worked = work(&pieces, size, gauge, pattern)?;
            let Some(worked) = worked.get(place) else { return Err(Unsolved::Empty.into()) };
            let mut held = if is_yoke(&piece) {
                vec![Held::default(); parts.len()]
            } else {
                held(&piece, worked, &parts)
            };
            for (held, (part, band)) in held.iter_mut().zip(&parts) {
                *held = held.with(held_by_knitter(&piece.bands[*band], part, &size.name));
            }
            wanted.push(Wanted { held, ..of_size(&piece, worked, size, gauge) });
        }
        let (parts, bands) = parts.into_iter().unzip();
        Ok(Self { brief: Brief::new(gauge, parts, wanted), bands, piece: place })
    }

    /// The bands with the figures of a solution as their own.
    pub fn write(&self, bands: &mut [Band], solution: &Solution) {
        for band in bands.iter_mut() {
            band.own.clear();
        }
        for (place, band) in bands.iter_mut().enumerate() {
            let parts: Vec<usize> = (0..self.bands.len()).filter(|part| self.bands[*part] == place).collect();
            for (wanted, choice) in self.brief.sizes.iter().zip(&solution.sizes) {
                let mut own = OwnFigures { size: wanted.name.clone(), ..OwnFigures::default() };
                let mut rows = 0;
                for &part in &parts {
                    let made = choice.made[part];
                    match &self.brief.parts[part] {
                        Part::Change { .. } => own.stitches = Some(made.stitches),
                        Part::Chart { .. } => own.rows = (made.rows == 0).then_some(0),
                        Part::Wedges { .. } => {
                            own.end = Some(made.stitches);
                            own.per_row = Some(made.repeats);
                        }
                        Part::Plain { .. } | Part::Fabric { .. } => {}
                    }
                    // The plain round that brings the stitches to a chart is not one of the chart's.
                    let to_chart = matches!(band.fabric, Fabric::Chart { .. })
                        && matches!(self.brief.parts[part], Part::Change { .. });
                    rows += if to_chart { 0 } else { made.rows };
                }
                if !matches!(band.fabric, Fabric::Chart { .. }) || band.length == Length::Rest {
                    own.rows = Some(rows);
                }
                // A band that is left out changes nothing.
                if own.rows == Some(0) {
                    (own.stitches, own.end, own.per_row) = (None, None, None);
                }
                if own.stitches.is_some() || own.rows.is_some() {
                    band.own.push(own);
                }
            }
        }
    }

    /// What of its band a part is, worked so: what a knitter holds to keep it.
    pub fn figures_of(&self, part: usize, made: Made) -> Option<Held> {
        match self.brief.parts.get(part)? {
            Part::Change { .. } => Some(Held::stitches(made.stitches)),
            Part::Plain { .. } => Some(Held::rows(made.rows)),
            Part::Chart { .. } => Some(Held::repeats(made.repeats)),
            Part::Wedges { .. } => Some(Held { rows: Some(made.rows), ..Held::repeats(made.repeats) }),
            Part::Fabric { .. } => None,
        }
    }
}

/// What the knitter holds of a band in a size, as far as it is about this part of it.
fn held_by_knitter(band: &Band, part: &Part, size: &str) -> Held {
    let Some(held) = band.held.iter().find(|held| held.size == size) else { return Held::default() };
    let (stitches, rows, repeats) = (held.stitches, held.rows, held.repeats);
    match part {
        Part::Change { .. } => Held { stitches, ..Held::default() },
        Part::Plain { .. } => Held { rows, ..Held::default() },
        Part::Chart { .. } => Held { repeats, ..Held::default() },
        Part::Wedges { .. } => Held { rows, repeats, ..Held::default() },
        Part::Fabric { .. } => Held::default(),
    }
}

/// A change of the count that is held where the plan has it.
const PLANNED: Part = Part::Change { least: 0.5, most: 2.0 };

/// A few stitches more or fewer in the first round above a chart, so that a crown divides.
const BEFORE_CROWN: Part = Part::Change { least: 0.95, most: 1.05 };

/// Wedges from which on they are a crown, whose number is free; fewer are a tip, half of them at either side.
const CROWN: u32 = 6;

/// How many wedges more or fewer than planned a crown may have, so that its stitches divide.
const WEDGES_OFF: u32 = 4;

/// Most plain rounds that are tried.
const MOST_PLAIN: u32 = 60;
/// The same in a piece whose other figures stay.
const MOST_REST: u32 = 400;

/// Whether a piece joins a body and sleeves, so that its counts are free between underarm and neck. In any other
/// piece only what takes up the rest, and the wedges, are: its girths are the wearer's.
fn is_yoke(piece: &Piece) -> bool {
    let groups = piece.takes.iter().filter(|take| matches!(take, Take::Group(_))).count();
    piece.start == StartEdge::Joined && (piece.takes.is_empty() || groups >= 4)
}

/// The stitches of a piece and the rows of its bands as they are planned, but for what is free.
fn held(piece: &Piece, worked: &WorkedPiece, parts: &[(Part, usize)]) -> Vec<Held> {
    let of = |(part, place): &(Part, usize)| {
        let (Some(band), Some(made)) = (piece.bands.get(*place), worked.bands.get(*place)) else {
            return Held::default();
        };
        let changes = u32::from(made.carried.is_some_and(|carried| carried != made.start.stitches));
        match part {
            _ if *part == BEFORE_CROWN => Held::default(),
            Part::Change { .. } => Held::stitches(made.start.stitches),
            Part::Plain { .. } if band.length != Length::Rest => {
                Held::rows(made.rows().saturating_sub(changes))
            }
            Part::Wedges { wedges, .. } if wedges.len() == 1 => Held::stitches(made.end.stitches),
            _ => Held::default(),
        }
    };
    parts.iter().map(of).collect()
}

/// Whether a band begins with a round that may change the stitches.
fn may_change(piece: &Piece, place: usize) -> Option<Part> {
    let (band, next) = (&piece.bands[place], piece.bands.get(place + 1));
    let changes = match band.start {
        Width::Joined => false,
        Width::AsBefore => matches!(band.fabric, Fabric::Chart { .. } | Fabric::Ribbing { .. }),
        _ => place > 0,
    };
    let crown = |band: &Band| matches!((band.end, band.shaping), (Width::Stitches(_), Shaping::PerRow(n)) if n >= CROWN);
    let above = place > 0 && band.start == Width::AsBefore && band.end == Width::AsBefore;
    if changes {
        Some(if is_yoke(piece) { CHANGE } else { PLANNED })
    } else {
        (above && band.length == Length::Rest && next.is_some_and(crown)).then_some(BEFORE_CROWN)
    }
}

/// The parts of a piece with the band that each belongs to.
fn parts(piece: &Piece, gauge: Gauge, pattern: &Pattern) -> Result<Vec<(Part, usize)>, NotSolvable> {
    let refused =
        |band: &Band, why| NotSolvable::Band { piece: piece.name.clone(), band: band.name.clone(), why };
    let height = |band: &Band| match band.fabric {
        Fabric::Chart { region, .. } => {
            RepeatRows::of(pattern.grid, pattern.region(region)).map_or(0, |rows| rows.count())
        }
        _ => 0,
    };
    let tallest = piece.bands.iter().map(height).max().unwrap_or(0);
    let most = if is_yoke(piece) { MOST_PLAIN } else { MOST_REST };
    let mut parts = Vec::new();
    for (place, band) in piece.bands.iter().enumerate() {
        let mut put = |part| parts.push((part, place));
        if let Some(change) = may_change(piece, place) {
            put(change);
        }
        match (band.fabric, band.end) {
            (Fabric::Chart { region, edge }, Width::AsBefore) => {
                if edge > 0 {
                    return Err(refused(band, "a chart with edge stitches is not solved: set its edge to 0"));
                }
                let rows = RepeatRows::of(pattern.grid, pattern.region(region))
                    .ok_or_else(|| refused(band, "its part of the chart holds no stitch"))?;
                let times = match band.length {
                    Length::Repeats(times) => times.max(1) as usize,
                    // As many rounds as there is room for, or as its length says.
                    _ if !rows.is_shaped() && !is_yoke(piece) => {
                        put(Part::Plain { repeat: rows.width(0), least: 1, most });
                        continue;
                    }
                    _ => 1,
                };
                let widths: Vec<u32> = (0..rows.count() * times).map(|r| rows.width(r)).collect();
                put(Part::Chart { widths, optional: rows.count() < tallest });
            }
            (Fabric::Ribbing { knit, purl }, Width::AsBefore) => {
                let rows = match band.length {
                    Length::Rows(rows) => rows,
                    Length::Cm(cm) => gauge.rows_in(cm),
                    _ => return Err(refused(band, "say in cm or in rounds how long its ribbing is")),
                };
                put(Part::Fabric { repeat: (knit + purl).max(1), rows });
            }
            (_, Width::AsBefore) => {
                let part = if let Length::Rows(rows) = band.length {
                    Part::Plain { repeat: 1, least: rows, most: rows }
                } else {
                    // There is a first round, and one to begin short rows on.
                    let least = u32::from(place == 0 || !band.then.is_empty());
                    Part::Plain { repeat: 1, least, most }
                };
                put(part);
            }
            (Fabric::Plain, Width::Stitches(_) | Width::Share(_)) => {
                let wedges = wedges(band, is_yoke(piece));
                put(wedges.ok_or_else(|| refused(band, "end it with one stitch or more for each wedge"))?);
            }
            _ => {
                return Err(refused(
                    band,
                    "it is tapered: let it begin with its decrease round instead, and end as it begins",
                ));
            }
        }
    }
    Ok(parts)
}

/// A band that loses one stitch of each wedge in its shaping rounds.
fn wedges(band: &Band, yoke: bool) -> Option<Part> {
    let Shaping::PerRow(wedges) = band.shaping else { return None };
    let every = match band.length {
        Length::Shaped { every } => (every.max(1), every.max(1)),
        _ => (1, 2),
    };
    match band.end {
        Width::Stitches(to) if wedges >= CROWN && !yoke && to >= wedges => {
            let free = (wedges.saturating_sub(WEDGES_OFF)).max(CROWN - 1)..=wedges + WEDGES_OFF;
            Some(Part::Wedges { wedges: free.collect(), leave: vec![to / wedges], every })
        }
        // Held where the plan has it.
        Width::Stitches(_) | Width::Share(_) if !yoke => {
            Some(Part::Wedges { wedges: vec![wedges], leave: (1..=MOST_REST).collect(), every })
        }
        Width::Stitches(to) if to >= wedges => {
            Some(Part::Wedges { wedges: vec![wedges], leave: vec![to / wedges], every })
        }
        _ => None,
    }
}

fn of_size(piece: &Piece, worked: &WorkedPiece, size: &Size, gauge: Gauge) -> Wanted {
    let last = worked.bands.last();
    let end = last.map_or(0.0, |band| {
        let whole = f64::from(band.end.stitches) * gauge.stitch_width_cm();
        band.end.wanted_cm.unwrap_or(whole)
    });
    let least_end_cm = least_neck_cm(piece, size).unwrap_or(0.0);
    let yoke = piece.start == StartEdge::Joined && piece.takes.len() >= 4;
    let shoulders = size.body.get(Measure::ShoulderGirth).filter(|_| yoke);
    Wanted {
        name: size.name.clone(),
        stitches: worked.bands.first().map_or(0, |band| band.start.stitches),
        depth_cm: worked.wanted_cm.unwrap_or_else(|| worked.height_cm(gauge)),
        // A neck that the head cannot pass is made as wide as it must be.
        end_cm: end.max(least_end_cm),
        least_end_cm,
        shoulder_cm: shoulders.map_or(0.0, |cm| cm + size.ease_cm.min(0.0)),
        held: Vec::new(),
    }
}
