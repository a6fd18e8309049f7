//! How a neckband lies that is knitted on held stitches and along slanting edges.
//!
//! It leans into the opening, and a little up at the shoulders: our judgement, as the rest of a garment on a table.

use super::garment::{LaidPiece, LaidRow, POINTS};
use super::schematic::PointCm;
use super::worked::{Taken, WorkedPiece};
use crate::knit::Gauge;

/// Where the edges of a neck run, each from right to left as its side is seen.
pub(super) struct NeckEdges {
    /// Down from the shoulder at the right of the front.
    pub down: Vec<PointCm>,
    /// Over the stitches that the front holds.
    pub bottom: Vec<PointCm>,
    /// Up to the shoulder at its left.
    pub up: Vec<PointCm>,
    /// Over the stitches that the back holds.
    pub back: Vec<PointCm>,
}

/// The edges between two stretches of the front that lie beside a neck: down the right one and up the left one.
pub(super) fn sides(right: &[LaidRow], left: &[LaidRow]) -> [Vec<PointCm>; 2] {
    let edge = |rows: &[LaidRow], end: fn(&[PointCm]) -> Option<&PointCm>| -> Vec<PointCm> {
        let edges = rows.iter().flat_map(|row| [&row.lower, &row.upper]);
        edges.filter_map(|edge| end(edge).copied()).collect()
    };
    let mut down = edge(right, <[PointCm]>::last);
    down.reverse();
    [down, edge(left, <[PointCm]>::first)]
}

/// A neckband on the held stitches of the back, then down one edge of the front, over its held stitches and up the
/// other edge: how it lies in front and at the back. `edges` finds them by the groups of the back and the front.
pub(super) fn round(
    place: usize,
    piece: &WorkedPiece,
    gauge: Gauge,
    edges: impl FnOnce((&str, &str)) -> Option<NeckEdges>,
) -> Option<[LaidPiece; 2]> {
    let [
        Taken::Group { name: back, stitches: held },
        Taken::PickedUp { stitches: down, .. },
        Taken::Group { name: front, stitches: middle },
        Taken::PickedUp { stitches: up, .. },
    ] = piece.taken.as_slice()
    else {
        return None;
    };
    let edges = edges((back, front))?;
    let stretch = |stitches: u32, path: Vec<PointCm>| Stretch { stitches, path };
    let front = [stretch(*down, edges.down), stretch(*middle, edges.bottom), stretch(*up, edges.up)];
    let back = [stretch(*held, edges.back)];
    let turns = f64::from(*held) / f64::from((held + down + middle + up).max(1));
    let laid =
        |shown, stretches: &[Stretch]| band(place, piece.rows(), gauge.row_height_cm(), shown, stretches);
    Some([laid((turns, 1.0), &front)?, laid((0.0, turns), &back)?])
}

/// A stretch of the edge that a band grows from: its stitches, and where it runs from right to left.
struct Stretch {
    stitches: u32,
    path: Vec<PointCm>,
}

/// The rows of a band, `row_height` tall each, on one side of the neck; `shown` are the shares of its stitches
/// that lie there.
fn band(
    piece: usize,
    rows: u32,
    row_height: f64,
    shown: (f64, f64),
    stretches: &[Stretch],
) -> Option<LaidPiece> {
    let total: u32 = stretches.iter().map(|stretch| stretch.stitches).sum();
    let share = |i: usize| i as f64 / (POINTS - 1) as f64 * f64::from(total);
    let edge: Vec<PointCm> = (0..POINTS).map(|i| on_edge(stretches, share(i))).collect::<Option<_>>()?;
    let inwards: Vec<PointCm> = (0..POINTS).map(|i| inward(&edge, i)).collect();
    let at = |row: u32| -> Vec<PointCm> {
        let off = f64::from(row) * row_height;
        edge.iter().zip(&inwards).map(|(point, by)| (point.0 + by.0 * off, point.1 + by.1 * off)).collect()
    };
    let rows = (0..rows).map(|row| LaidRow { row, shown, lower: at(row), upper: at(row + 1) });
    Some(LaidPiece { piece, rows: rows.collect() })
}

/// The point so many stitches from the right.
fn on_edge(stretches: &[Stretch], mut stitches: f64) -> Option<PointCm> {
    let last = stretches.len().checked_sub(1)?;
    for (i, stretch) in stretches.iter().enumerate() {
        let own = f64::from(stretch.stitches);
        if stitches <= own || i == last {
            return along(&stretch.path, if own > 0.0 { (stitches / own).min(1.0) } else { 0.0 });
        }
        stitches -= own;
    }
    None
}

/// The point at a share of a path's length.
fn along(path: &[PointCm], share: f64) -> Option<PointCm> {
    let lengths: Vec<f64> = path.windows(2).map(|p| (p[1].0 - p[0].0).hypot(p[1].1 - p[0].1)).collect();
    let mut left = share * lengths.iter().sum::<f64>();
    for (ends, length) in path.windows(2).zip(&lengths) {
        if left <= *length && *length > 0.0 {
            let t = left / length;
            return Some((ends[0].0 + (ends[1].0 - ends[0].0) * t, ends[0].1 + (ends[1].1 - ends[0].1) * t));
        }
        left -= length;
    }
    path.last().copied()
}

/// Points from a shoulder to where the band no longer leans up.
const LEANING: usize = 8;

/// Which way the band grows at a point of its edge: square to it, toward the shoulders ever more upright.
fn inward(edge: &[PointCm], i: usize) -> PointCm {
    let (from, to) = (edge[i.saturating_sub(1)], edge[(i + 1).min(edge.len() - 1)]);
    let (x, y) = unit((to.1 - from.1, from.0 - to.0));
    let from_end = i.min(edge.len() - 1 - i);
    unit((x, y + 0.6 * LEANING.saturating_sub(from_end) as f64 / LEANING as f64))
}

fn unit((x, y): PointCm) -> PointCm {
    let long = x.hypot(y);
    if long > 0.0 { (x / long, y / long) } else { (0.0, 1.0) }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_band_grows_into_the_opening() {
        let stretches = [
            Stretch { stitches: 10, path: vec![(6.0, 8.0), (5.0, 0.0)] },
            Stretch { stitches: 20, path: vec![(5.0, 0.0), (-5.0, 0.0)] },
            Stretch { stitches: 10, path: vec![(-5.0, 0.0), (-6.0, 8.0)] },
        ];
        let laid = band(3, 4, 0.5, (0.4, 1.0), &stretches).unwrap();
        assert_eq!((laid.rows.len(), laid.piece), (4, 3));
        let upper = &laid.rows[3].upper;
        assert_eq!(upper.len(), POINTS);
        let middle = upper[POINTS / 2];
        assert!(middle.0.abs() < 1e-9 && (middle.1 - 2.0).abs() < 1e-9, "{middle:?}");
        assert!(upper[3].0 < 5.0 && upper[POINTS - 4].0 > -5.0, "the sides come in");
        assert!(upper[0].1 > 8.0 && upper[0].0 < 6.0, "the shoulder leans up and in");
        assert!(band(0, 1, 0.5, (0.0, 1.0), &[]).is_none());
    }
}
