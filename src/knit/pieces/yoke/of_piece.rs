//! A piece as a brief, and a solution as the figures its sizes have of their own.

use thiserror::Error;

use super::super::error::PieceError;
use super::super::model::{Band, Fabric, Length, OwnFigures, Piece, Shaping, Size, StartEdge, Width};
use super::super::openings::least_neck_cm;
use super::super::repeat_rows::{Pattern, RepeatRows};
use super::super::work::work;
use super::super::worked::WorkedPiece;
use super::{Brief, Held, Part, Solution, Unsolved, Wanted};
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
        let (parts, bands) = parts(&piece, gauge, pattern)?;
        let mut wanted = Vec::with_capacity(sizes.len());
        for size in sizes {
            let worked = work(&pieces, size, gauge, pattern)?;
            let Some(worked) = worked.get(place) else { return Err(Unsolved::Empty.into()) };
            wanted.push(of_size(&piece, worked, size, gauge));
        }
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
                let mut own = OwnFigures { size: wanted.name.clone(), stitches: None, rows: None };
                let mut rows = 0;
                for &part in &parts {
                    let made = choice.made[part];
                    match &self.brief.parts[part] {
                        Part::Change { .. } => own.stitches = Some(made.stitches),
                        Part::Chart { .. } => own.rows = (made.rows == 0).then_some(0),
                        Part::Plain { .. } | Part::Fabric { .. } | Part::Wedges { .. } => {}
                    }
                    rows += made.rows;
                }
                if !matches!(band.fabric, Fabric::Chart { .. }) {
                    own.rows = Some(rows);
                }
                // A band that is left out changes nothing.
                if own.rows == Some(0) {
                    own.stitches = None;
                }
                if own.stitches.is_some() || own.rows.is_some() {
                    band.own.push(own);
                }
            }
        }
    }

    /// Holds a band in one size at so many stitches or rows; `None` lets it go.
    pub fn hold(&mut self, size: usize, part: usize, held: Held) {
        let parts = self.brief.parts.len();
        if let Some(wanted) = self.brief.sizes.get_mut(size) {
            wanted.held.resize(parts, Held::default());
            if let Some(place) = wanted.held.get_mut(part) {
                *place = held;
            }
        }
    }
}

/// Whether a band begins with a round that may change the stitches.
fn may_change(place: usize, band: &Band) -> bool {
    match band.start {
        Width::Joined => false,
        Width::AsBefore => matches!(band.fabric, Fabric::Chart { .. } | Fabric::Ribbing { .. }),
        _ => place > 0,
    }
}

fn parts(piece: &Piece, gauge: Gauge, pattern: &Pattern) -> Result<(Vec<Part>, Vec<usize>), NotSolvable> {
    let refused =
        |band: &Band, why| NotSolvable::Band { piece: piece.name.clone(), band: band.name.clone(), why };
    let height = |band: &Band| match band.fabric {
        Fabric::Chart { region, .. } => {
            RepeatRows::of(pattern.grid, pattern.region(region)).map_or(0, |rows| rows.count())
        }
        _ => 0,
    };
    let tallest = piece.bands.iter().map(height).max().unwrap_or(0);
    let (mut parts, mut bands) = (Vec::new(), Vec::new());
    for (place, band) in piece.bands.iter().enumerate() {
        let mut put = |part| {
            parts.push(part);
            bands.push(place);
        };
        if may_change(place, band) {
            put(CHANGE);
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
                    Part::Plain { least: rows, most: rows }
                } else {
                    // There is a first round, and one to begin short rows on.
                    let least = u32::from(place == 0 || !band.then.is_empty());
                    Part::Plain { least, most: 60 }
                };
                put(part);
            }
            (Fabric::Plain, Width::Stitches(to)) => match band.shaping {
                Shaping::PerRow(wedges) if wedges > 0 && to >= wedges => {
                    put(Part::Wedges { wedges: vec![wedges], leave: vec![to / wedges] });
                }
                _ => return Err(refused(band, "end it with one stitch or more for each wedge")),
            },
            _ => {
                return Err(refused(
                    band,
                    "it is tapered: let it begin with its decrease round instead, and end as it begins",
                ));
            }
        }
    }
    Ok((parts, bands))
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
