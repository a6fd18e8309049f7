//! How a body lies that was knitted as a tube and is cut open along its steeks.

use super::garment::{All, LaidRow, Placed};
use super::garment_neck::{self, NeckEdges};
use super::schematic::PointCm;
use super::steek::{Gap, Span, Steeks};
use super::worked::{WorkedBand, WorkedPiece};
use crate::knit::Gauge;

/// Stitches of a stretch in the round below the steeks, with the share of the row's stitches where it begins and ends.
type Seen = ((u32, u32), (f64, f64));

/// Whether a tube is parted into a front and a back: steeks over the marker and in the middle of the round.
pub(super) fn has_sides(piece: &WorkedPiece) -> bool {
    let parted = |band: &WorkedBand| {
        let Some(steeks) = &band.steeks else { return true };
        let middle = |gap: &Gap| (2 * gap.from + gap.gone).abs_diff(steeks.round()) <= 2;
        steeks.gaps().iter().any(|(_, gap)| middle(gap))
    };
    piece.bands.iter().any(|band| band.steeks.is_some()) && piece.bands.iter().all(parted)
}

/// The rows of one side of a tube (0 the front, 1 the back), in parts: a new one wherever the side falls into more or
/// fewer stretches, from right to left as it is seen. The middle of the first row is the origin; bridges fold away.
pub(super) fn parts(piece: &WorkedPiece, side: u32, gauge: Gauge) -> Vec<Vec<LaidRow>> {
    let mut parts: Vec<Vec<LaidRow>> = Vec::new();
    let mut open = 0;
    let mut row = 0;
    for band in &piece.bands {
        for r in 0..band.rows() {
            let seen = seen(band, r, side);
            if seen.len() != open {
                open = seen.len();
                parts.extend(std::iter::repeat_n(Vec::new(), open));
            }
            let first = parts.len() - open;
            let round = band.worn_ends().0;
            for (part, ((from, to), shown)) in parts[first..].iter_mut().zip(seen) {
                let edge = |row: u32| [from, to].map(|i| point(round, side, i, (row, gauge))).to_vec();
                part.push(LaidRow { row, shown, lower: edge(row), upper: edge(row + 1) });
            }
            row += 1;
        }
    }
    parts
}

/// Where stitch `i` of a round begins, as its side is seen.
fn point(round: u32, side: u32, i: u32, (row, gauge): (u32, Gauge)) -> PointCm {
    let quarter = f64::from(round) / 4.0;
    let from_right = f64::from(i) - f64::from(side) * 2.0 * quarter;
    ((quarter - from_right) * gauge.stitch_width_cm(), f64::from(row) * gauge.row_height_cm())
}

fn seen(band: &WorkedBand, r: u32, side: u32) -> Vec<Seen> {
    let Some(steeks) = band.steek_row(r) else {
        let half = f64::from(side) / 2.0;
        let round = band.row_stitches[r as usize];
        return vec![((side * round / 2, (side + 1) * round / 2), (half, half + 0.5))];
    };
    let all = f64::from(band.row_stitches[r as usize].max(1));
    let mut done = 0;
    let mut seen = Vec::new();
    for span in steeks.spans() {
        let share = (f64::from(done) / all, f64::from(done + span.stitches()) / all);
        if let Span::Own { from, to } = span
            && u32::from(from + to >= steeks.round) == side
        {
            seen.push(((from, to), share));
        }
        done += span.stitches();
    }
    seen
}

/// Both edges of a neck that is cut open in the front: down from the shoulder at the right, and up to the one at the
/// left.
pub(super) fn neck_sides(parts: &[Vec<LaidRow>]) -> Option<[Vec<PointCm>; 2]> {
    // The right part comes before the left one.
    let [_, .., right, left] = parts else { return None };
    Some(garment_neck::sides(right, left))
}

/// Where the stitches of a group lie that the back holds at the end, from right to left as the back is seen.
pub(super) fn held(piece: &WorkedPiece, group: &str, gauge: Gauge) -> Option<[PointCm; 2]> {
    let at = piece.live.iter().position(|part| part.name == group)?;
    let band = piece.bands.last()?;
    let back = seen(band, band.rows().checked_sub(1)?, 1);
    let from = back.first()?.0.0 + piece.live.get(at.checked_sub(1)?)?.stitches;
    let ends = [from, from + piece.live[at].stitches];
    Some(ends.map(|i| point(band.worn_ends().0, 1, i, (piece.rows(), gauge))))
}

impl All<'_> {
    /// The edges of a neck on a body that is cut open.
    pub(super) fn cut_neck(&self, (back, front): (&str, &str), placed: &[Placed]) -> Option<NeckEdges> {
        let body = placed.iter().find(|one| {
            let gaps = self.pieces[one.piece].bands.iter().filter_map(|band| band.steeks.as_ref());
            gaps.flat_map(Steeks::gaps).any(|(name, _)| name == front)
        })?;
        let piece = &self.pieces[body.piece];
        let stood =
            |path: &[PointCm]| -> Vec<PointCm> { path.iter().map(|(x, y)| body.stand.at(*x, *y)).collect() };
        let [down, up] = neck_sides(&parts(piece, 0, self.gauge))?.map(|path| stood(&path));
        let bottom = vec![*down.last()?, *up.first()?];
        Some(NeckEdges { down, bottom, up, back: stood(&held(piece, back, self.gauge)?) })
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Garment, Pattern, Size, SizeTable, Template, work};
    use super::*;
    use crate::chart::{Cell, Grid};

    #[test]
    fn a_body_that_is_cut_open_has_a_neck_and_its_band_lies_in_it() {
        let grid = Grid::new(12, 20, Cell::slot(0)).unwrap();
        let pattern = Pattern { grid: &grid, repeat: grid.bounds() };
        let size = &SizeTable::shipped().unwrap().group("Woman").unwrap().sizes[2];
        let size = Size { name: "M".to_owned(), body: size.body, ease_cm: 7.5 };
        let gauge = Gauge::new(28.0, 36.0).unwrap();
        let pieces = work(&Template::SteekedDropShoulder.pieces(0), &size, gauge, &pattern).unwrap();
        let [front, back] = [0, 1].map(|side| parts(&pieces[0], side, gauge));
        assert_eq!((front.len(), back.len()), (3, 1), "a front with two shoulders, a back");
        assert_eq!(back[0].len() as u32, pieces[0].rows());
        // The neck: as wide at its bottom as what is set aside, wider at the shoulders, and in the middle.
        let gap =
            |row: &dyn Fn(&Vec<LaidRow>) -> LaidRow| (row(&front[1]).lower[1].0, row(&front[2]).lower[0].0);
        let (low, high) = (gap(&|part| part[0].clone()), gap(&|part| part[part.len() - 1].clone()));
        assert!((low.0 + low.1).abs() < 1e-9 && (high.0 + high.1).abs() < 1e-9, "{low:?} {high:?}");
        let held = pieces[1].taken.iter().map(super::super::Taken::stitches).nth(2).unwrap();
        assert!((low.0 - low.1 - f64::from(held) * gauge.stitch_width_cm()).abs() < 1e-9);
        assert!(
            (high.0 - high.1 - (low.0 - low.1) - 6.0).abs() < 2.0 * gauge.stitch_width_cm(),
            "the curve is 3 cm at either side"
        );
        // Front and back meet in the shoulders, stitch for stitch.
        let [right, left] = super::held(&pieces[0], "back neck", gauge).unwrap();
        assert!((right.0 - left.0 - (high.0 - high.1)).abs() < 1e-9, "{right:?} {left:?} {high:?}");
        let garment = Garment::of(&pieces, gauge);
        assert!(garment.worn && garment.left_out.is_empty(), "{:?}", garment.left_out);
    }
}
