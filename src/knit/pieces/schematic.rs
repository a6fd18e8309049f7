//! The outline of each piece in cm, as it lies flat, for a drawing to scale.

use super::garment::LaidRow;
use super::garment_steeks;
use super::model::Shaping;
use super::worked::{ChartFit, WorkedBand, WorkedPiece};
use crate::knit::{Construction, Gauge};

/// A point in cm: x from the centre line to the right, y from the first row up.
pub type PointCm = (f64, f64);

/// The left and the right end of the lower and of the upper edge of a row, in cm from the middle of the piece's
/// first.
pub type RowEdges = [(f64, f64); 2];

/// One band of an outline: straight from its first row to its last, unless its chart holds the shaping.
#[derive(Clone, Debug, PartialEq)]
pub struct BandOutline {
    /// What the knitter calls it.
    pub name: String,
    /// Drawn width at its lower and upper end, in cm.
    pub width_cm: (f64, f64),
    /// Height of its lower and upper end above the first row of the piece, in cm.
    pub y_cm: (f64, f64),
    /// Its rows, counted from the first of the piece: first, and the one after the last.
    pub rows: (u32, u32),
    /// How its chart sits, when it has one.
    pub chart: Option<ChartFit>,
    /// Half its width, from the first row up, with the height.
    halves: Vec<PointCm>,
    /// Where its middle lies at its lower and upper end: off the piece's where only one edge slants.
    middle: (f64, f64),
}

impl BandOutline {
    /// Its lower end and its upper end: each the left edge and the right one.
    pub fn ends(&self) -> [[PointCm; 2]; 2] {
        let (start, end) = (self.width_cm.0 / 2.0, self.width_cm.1 / 2.0);
        [(start, self.middle.0, self.y_cm.0), (end, self.middle.1, self.y_cm.1)]
            .map(|(half, middle, y)| [(middle - half, y), (middle + half, y)])
    }

    /// Its corners, around from the lower left.
    pub fn corners(&self) -> [PointCm; 4] {
        let [[a, b], [d, c]] = self.ends();
        [a, b, c, d]
    }

    fn middle_at(&self, y: f64) -> f64 {
        let (low, high) = self.y_cm;
        let share = if high > low { (y - low) / (high - low) } else { 0.0 };
        self.middle.0 + (self.middle.1 - self.middle.0) * share
    }

    /// The left and the right edge at a height above the first row of the piece, in cm.
    fn edges_at(&self, y: f64) -> (f64, f64) {
        let after = self.halves.partition_point(|point| point.1 <= y);
        let half = match (after.checked_sub(1).and_then(|i| self.halves.get(i)), self.halves.get(after)) {
            (Some(a), Some(b)) => a.0 + (b.0 - a.0) * (y - a.1) / (b.1 - a.1),
            (Some(only), None) | (None, Some(only)) => only.0,
            (None, None) => 0.0,
        };
        let middle = self.middle_at(y);
        (middle - half, middle + half)
    }
}

/// Half the width of a band whose first row begins at `bottom`, with the height.
fn halves(band: &WorkedBand, bottom: f64, row_height: f64, half_width: &dyn Fn(u32) -> f64) -> Vec<PointCm> {
    let top = bottom + f64::from(band.rows()) * row_height;
    let (start, end) = band.worn_ends();
    let mut points = vec![(half_width(start), bottom)];
    if band.chart.is_some_and(|chart| chart.shaped) {
        // Through the middle of every row that differs from a neighbour.
        let rows = &band.row_stitches;
        let turns = rows.windows(3).enumerate().filter(|(_, near)| near[0] != near[1] || near[1] != near[2]);
        points.extend(turns.map(|(r, near)| (half_width(near[1]), bottom + (r as f64 + 1.5) * row_height)));
    }
    points.push((half_width(end), top));
    points
}

/// A piece as it lies flat. A tube lies double: it is drawn half as wide as it is round, and shows the
/// first half of each round.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceOutline {
    /// What the knitter calls it.
    pub name: String,
    /// How many are knitted.
    pub copies: u32,
    /// Whether it is a tube lying double.
    pub tube: bool,
    /// From the first row to the last.
    pub bands: Vec<BandOutline>,
    row_height_cm: f64,
    /// Its front in parts, where it is cut open.
    cut: Vec<Vec<LaidRow>>,
}

/// A stretch of a row that is seen.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RowPart {
    /// Where it lies.
    pub edges: RowEdges,
    /// What of the row it is, as shares of its stitches from where a right-side row begins, at the right.
    pub shown: (f64, f64),
}

impl PieceOutline {
    /// The outline of a worked piece at this gauge.
    pub fn of(piece: &WorkedPiece, gauge: Gauge) -> Self {
        let tube = piece.construction == Construction::InTheRound;
        let layers = if tube { 2.0 } else { 1.0 };
        let width = |stitches: u32| f64::from(stitches) * gauge.stitch_width_cm() / layers;
        let row_height_cm = gauge.row_height_cm();
        let mut row = 0;
        let mut middle = 0.0;
        let outline = |band: &WorkedBand| {
            let rows = (row, row + band.rows());
            row = rows.1;
            let below = middle;
            let (start, end) = band.worn_ends();
            let more = (width(end) - width(start)) / 2.0;
            middle += match band.shaping {
                // A right-side row begins at the right edge.
                Shaping::First => more,
                Shaping::Last => -more,
                Shaping::PerRow(_) | Shaping::InRows(_) | Shaping::Gusset | Shaping::Steek => 0.0,
            };
            BandOutline {
                name: band.name.clone(),
                width_cm: (width(start), width(end)),
                y_cm: (f64::from(rows.0) * row_height_cm, f64::from(rows.1) * row_height_cm),
                rows,
                chart: band.chart,
                halves: halves(band, f64::from(rows.0) * row_height_cm, row_height_cm, &|n| width(n) / 2.0),
                middle: (below, middle),
            }
        };
        Self {
            name: piece.name.clone(),
            copies: piece.copies,
            tube,
            bands: piece.bands.iter().map(outline).collect(),
            row_height_cm,
            cut: if garment_steeks::has_sides(piece) {
                garment_steeks::parts(piece, 0, gauge)
            } else {
                Vec::new()
            },
        }
    }

    /// The stretches of row `row` (from 0, counted through the piece) that are seen, from right to left.
    pub fn row_parts(&self, row: u32) -> Vec<RowPart> {
        if self.cut.is_empty() {
            let shown = (0.0, if self.tube { 0.5 } else { 1.0 });
            return self.row_edges(row).map(|edges| RowPart { edges, shown }).into_iter().collect();
        }
        let in_part = |part: &Vec<LaidRow>| {
            let laid = part.get(row.checked_sub(part.first()?.row)? as usize)?;
            let edges = [&laid.lower, &laid.upper].map(|edge| (edge[edge.len() - 1].0, edge[0].0));
            Some(RowPart { edges, shown: laid.shown })
        };
        self.cut.iter().filter_map(in_part).collect()
    }

    /// The edge of a neck that is cut open, from the shoulder at the right down and up to the one at the left.
    pub fn neck(&self) -> Vec<PointCm> {
        garment_steeks::neck_sides(&self.cut).map_or_else(Vec::new, |sides| sides.concat())
    }

    /// Widest drawn width in cm, as far to either side of the middle of its first row.
    pub fn width_cm(&self) -> f64 {
        let corners = self.bands.iter().flat_map(BandOutline::corners);
        2.0 * corners.map(|(x, _)| x.abs()).fold(0.0, f64::max)
    }

    /// Height in cm.
    pub fn height_cm(&self) -> f64 {
        self.bands.last().map_or(0.0, |band| band.y_cm.1)
    }

    /// The corners, from the lower right edge up and down the left edge, each once.
    pub fn corners(&self) -> Vec<PointCm> {
        let bands = self.bands.iter().filter(|band| band.rows.0 < band.rows.1);
        let sides = bands.flat_map(|band| {
            band.halves.iter().map(|(half, y)| {
                let middle = band.middle_at(*y);
                ((middle + half, *y), (middle - half, *y))
            })
        });
        let (mut corners, left): (Vec<PointCm>, Vec<PointCm>) = sides.unzip();
        corners.extend(self.neck());
        corners.extend(left.into_iter().rev());
        corners.dedup();
        corners
    }

    /// Where row `row` (from 0, counted through the piece) lies. Its stitches share the width evenly, as they do
    /// once the piece is blocked.
    pub fn row_edges(&self, row: u32) -> Option<RowEdges> {
        let band = self.bands.iter().find(|band| (band.rows.0..band.rows.1).contains(&row))?;
        let bottom = f64::from(row) * self.row_height_cm;
        Some([bottom, bottom + self.row_height_cm].map(|y| band.edges_at(y)))
    }
}

#[cfg(test)]
mod tests {
    use super::super::{Pattern, Size, SizeTable, Template, work};
    use super::*;
    use crate::chart::{Cell, Grid};

    /// Area of a polygon (shoelace).
    fn area(corners: &[PointCm]) -> f64 {
        let next = corners.iter().cycle().skip(1);
        corners.iter().zip(next).map(|(a, b)| a.0 * b.1 - b.0 * a.1).sum::<f64>() / 2.0
    }

    /// A drop-shoulder pullover for a woman.
    fn drop_shoulder() -> (Vec<WorkedPiece>, Gauge) {
        let grid = Grid::new(12, 20, Cell::slot(0)).unwrap();
        let pattern = Pattern { grid: &grid, repeat: grid.bounds() };
        let woman = SizeTable::shipped().unwrap().group("Woman").unwrap();
        let size = Size { name: "M".to_owned(), body: woman.sizes[2].body, ease_cm: 7.5 };
        let gauge = Gauge::new(28.0, 36.0).unwrap();
        (work(&Template::DropShoulder.pieces(0), &size, gauge, &pattern).unwrap(), gauge)
    }

    #[test]
    fn the_outline_encloses_the_area_of_the_stitches() {
        let (pieces, gauge) = drop_shoulder();
        for piece in pieces {
            let outline = PieceOutline::of(&piece, gauge);
            let layers = if outline.tube { 2.0 } else { 1.0 };
            let drawn = area(&outline.corners()) * layers;
            let worked = piece.area_cm2(gauge);
            assert!((drawn / worked - 1.0).abs() < 0.02, "{}: {drawn} {worked}", piece.name);
            assert!((outline.height_cm() - piece.height_cm(gauge)).abs() < 1e-9);
        }
    }

    #[test]
    fn a_front_slants_at_its_neck_edge_alone() {
        let (pieces, gauge) = drop_shoulder();
        // Which edge stands upright: the armhole's, at the right of the left front as it is seen.
        for (name, upright) in [("Left front", 1), ("Right front", 0)] {
            let piece = pieces.iter().find(|piece| piece.name == name).unwrap();
            let [low, high] = PieceOutline::of(piece, gauge).bands[0].ends();
            assert!((low[upright].0 - high[upright].0).abs() < 1e-9, "{name}");
            assert!((low[1 - upright].0 - high[1 - upright].0).abs() > 1.0, "{name}");
        }
    }

    #[test]
    fn a_row_of_a_straight_piece_is_as_wide_as_the_outline() {
        let grid = Grid::new(12, 20, Cell::slot(0)).unwrap();
        let pattern = Pattern { grid: &grid, repeat: grid.bounds() };
        let gauge = Gauge::new(28.0, 36.0).unwrap();
        let scarf = work(&Template::Scarf.pieces(0), &Size::one_size(), gauge, &pattern).unwrap().remove(0);
        let outline = PieceOutline::of(&scarf, gauge);
        let [lower, upper] = outline.row_edges(0).unwrap();
        assert!((lower.1 - lower.0 - outline.bands[0].width_cm.0).abs() < 1e-9);
        assert_eq!(lower, upper, "straight edges");
        assert!(outline.row_edges(scarf.rows()).is_none());
    }
}
