//! How much wider than the body the knitting is: the ease as it is worked, beside the planned one of a [`Size`].
//!
//! What is worked differs from what is planned where whole stitches, or whole repeats of a chart, do not come to the
//! width that was asked for. Both are told wherever ease is told, and both by these functions.

use std::collections::BTreeMap;

use super::body::Measure;
use super::model::{Piece, Size, Width};
use super::worked::WorkedPiece;
use crate::knit::{Construction, Gauge};

/// How near to all of a girth the shares of flat pieces must come to count as going around it.
const ALL_AROUND: std::ops::RangeInclusive<f64> = 0.98..=1.02;

/// The measure that pieces are fitted to: the first in the order of [`Measure::ALL`] that they follow and that every
/// size gives.
pub fn fitted(pieces: &[Piece], sizes: &[Size]) -> Option<Measure> {
    let followed = |measure: &Measure| pieces.iter().any(|piece| piece.measures().contains(measure));
    let given = |measure: &Measure| sizes.iter().all(|size| size.body.get(*measure).is_some());
    Measure::ALL.into_iter().filter(followed).find(given)
}

/// The ease as worked, in cm, below 0 where the knitting is narrower than the body: of the first piece, in the round,
/// or of the flat pieces that go around the body together. `worked` are `pieces` in `size`. `None` where no pieces go
/// around what is measured; then only the planned ease is known.
pub fn ease_as_worked(
    measure: Measure,
    (pieces, worked): (&[Piece], &[WorkedPiece]),
    size: &Size,
    gauge: Gauge,
) -> Option<f64> {
    let body_cm = size.body.get(measure)?;
    let around = match worn_round(measure, worked.first()?) {
        Some(stitches) => stitches,
        None => flat_around(measure, pieces, worked)?,
    };
    Some(gauge.width(around).get() - body_cm)
}

/// Stitches of the row that tells how wide a piece is: the one its ease goes by, where it goes around the body that the
/// pieces are fitted to, else its widest.
pub fn told_row(fitted: Option<Measure>, piece: &WorkedPiece) -> u32 {
    let worn = fitted.and_then(|measure| worn_round(measure, piece));
    worn.or_else(|| piece.worn_rows().max()).unwrap_or(0)
}

/// Stitches of a piece in the round that goes around what is measured: most of its rounds decide how it fits, not a
/// gusset.
fn worn_round(measure: Measure, piece: &WorkedPiece) -> Option<u32> {
    (worn_around(measure) && piece.construction == Construction::InTheRound)
        .then(|| usual_row(piece))
        .flatten()
}

const fn worn_around(measure: Measure) -> bool {
    matches!(measure, Measure::Chest | Measure::Hand | Measure::Head)
}

/// Stitches of the flat pieces whose shares of the measure make up all of it.
fn flat_around(measure: Measure, pieces: &[Piece], worked: &[WorkedPiece]) -> Option<u32> {
    if !worn_around(measure) {
        return None;
    }
    let (mut share, mut stitches) = (0.0, 0);
    for (piece, worked) in pieces.iter().zip(worked) {
        let Some(Width::Body(follow)) = piece.bands.first().map(|band| band.start) else { continue };
        if follow.measure == measure && piece.construction == Construction::Flat {
            share += follow.times * f64::from(piece.copies);
            stitches += usual_row(worked)? * piece.copies;
        }
    }
    ALL_AROUND.contains(&share).then_some(stitches)
}

/// The count of stitches that most rows have as they are worn; of equals the larger.
fn usual_row(piece: &WorkedPiece) -> Option<u32> {
    let mut rows = BTreeMap::new();
    for stitches in piece.worn_rows() {
        *rows.entry(stitches).or_insert(0_u32) += 1;
    }
    rows.into_iter().max_by_key(|(stitches, rows)| (*rows, *stitches)).map(|(stitches, _)| stitches)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::{Cell, Grid};
    use crate::knit::pieces::{Band, Fabric, Follow, Length, Pattern, work};

    fn size(chest_cm: f64, ease_cm: f64) -> Size {
        let mut size = Size { ease_cm, ..Size::one_size() };
        size.body.set(Measure::Chest, Some(chest_cm));
        size
    }

    fn piece(construction: Construction, share: f64, copies: u32) -> Piece {
        let band = Band::new("Plain", Fabric::Plain, Length::Rows(10), 0)
            .from(Width::Body(Follow::with_ease(Measure::Chest, share)));
        Piece { copies, ..Piece::new("Body", construction, vec![band]) }
    }

    fn worked_ease(pieces: &[Piece], size: &Size) -> Option<f64> {
        let grid = Grid::new(2, 2, Cell::slot(0)).unwrap();
        let gauge = Gauge::new(20.0, 28.0).unwrap();
        let pattern = Pattern { grid: &grid, repeat: grid.bounds() };
        let worked = work(pieces, size, gauge, &pattern).unwrap();
        ease_as_worked(Measure::Chest, (pieces, &worked), size, gauge)
    }

    #[test]
    fn what_is_worked_is_held_against_the_body() {
        // 90.3 + 5 cm at 2 sts to the cm are 190.6 sts, worked as 191: 95.5 cm.
        let size = size(90.3, 5.0);
        let round = worked_ease(&[piece(Construction::InTheRound, 1.0, 1)], &size).unwrap();
        assert!((round - 5.2).abs() < 1e-9, "{round}");
        // Two halves of 95.3 sts, worked as 95: 95 cm.
        let halves = worked_ease(&[piece(Construction::Flat, 0.5, 2)], &size).unwrap();
        assert!((halves - 4.7).abs() < 1e-9, "{halves}");
    }

    #[test]
    fn half_a_body_has_no_ease_of_its_own() {
        assert_eq!(worked_ease(&[piece(Construction::Flat, 0.5, 1)], &size(90.0, 5.0)), None);
    }

    #[test]
    fn the_fit_is_to_a_measure_that_every_size_gives() {
        let pieces = [piece(Construction::InTheRound, 1.0, 1)];
        assert_eq!(fitted(&pieces, &[size(90.0, 5.0)]), Some(Measure::Chest));
        assert_eq!(fitted(&pieces, &[size(90.0, 5.0), Size::one_size()]), None);
    }
}
