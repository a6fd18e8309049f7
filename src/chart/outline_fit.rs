//! A drawn figure in whole stitches: where the grid lies over it decides what becomes of it.

use super::grid::Point;
use super::raster::Raster;

/// A figure as it covers small parts of cells: each cell has `parts` x `parts` of them.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Cover {
    width: u32,
    height: u32,
    parts: u32,
    /// 0 for bare, 255 for covered; the bottom row first, each row left to right.
    values: Vec<u8>,
}

impl Cover {
    /// From `width` x `height` parts, `parts` (1 or more) to a cell each way, the bottom row first. What is
    /// missing is bare.
    pub fn new(width: u32, height: u32, parts: u32, mut values: Vec<u8>) -> Self {
        values.resize(width as usize * height as usize, 0);
        Self { width, height, parts: parts.max(1), values }
    }

    /// Sums of all values below and left of each corner, to add up cells at once.
    fn sums(&self) -> Vec<u64> {
        let stride = self.width as usize + 1;
        let mut sums = vec![0_u64; stride * (self.height as usize + 1)];
        for y in 0..self.height as usize {
            let mut row = 0;
            for x in 0..self.width as usize {
                row += u64::from(self.values[y * self.width as usize + x]);
                sums[(y + 1) * stride + x + 1] = sums[y * stride + x + 1] + row;
            }
        }
        sums
    }

    /// The figure itself, a part a cell.
    fn fine(&self) -> Raster {
        Raster::from_fn(self.width, self.height, |p| {
            self.values[p.y as usize * self.width as usize + p.x as usize] >= 128
        })
    }
}

/// A figure in stitches.
#[derive(Clone, Debug, PartialEq)]
pub struct Stitched {
    /// Its stitches, in the smallest box around them; empty when the figure covers no cell by half.
    pub raster: Raster,
    /// Stitches without a partner across the figure's mirror axes, where the drawing has such axes.
    pub broken: u32,
    /// Pieces and holes more or fewer than the drawing has.
    pub pieces_off: u32,
    /// The area that differs from the drawing, in cells.
    pub area_off: f64,
}

/// How alike a drawing and its mirror image must be to count as symmetric: 3 parts in 100 may differ (our
/// judgement: drawn by hand, but meant).
const NEARLY: f64 = 0.03;

/// The stitches of the figure with the grid laid where most of it stays: first as many stitches as possible
/// with a partner across its axes, then as many pieces and holes as drawn, then the nearest area. A cell
/// belongs to the figure from half coverage on. All places of the grid in steps of a part are tried.
pub fn best_offset(cover: &Cover) -> Stitched {
    let fine = cover.fine().trimmed();
    let all = f64::from(fine.count().max(1));
    let symmetric = (
        f64::from(fine.broken_left_right()) <= NEARLY * all,
        f64::from(fine.broken_up_down()) <= NEARLY * all,
    );
    let drawn = (fine.pieces().len() as i64, fine.holes() as i64);
    let sums = cover.sums();
    let offsets = (0..cover.parts).flat_map(|y| (0..cover.parts).map(move |x| (x, y)));
    let tried = offsets.map(|offset| at_offset(cover, &sums, offset, symmetric, drawn));
    let key = |one: &Stitched| (one.broken, one.pieces_off);
    let best = tried.reduce(|a, b| {
        let order = key(&b).cmp(&key(&a)).then(b.area_off.total_cmp(&a.area_off));
        if order.is_lt() { b } else { a }
    });
    best.unwrap_or_else(|| Stitched {
        raster: Raster::from_fn(0, 0, |_| false),
        broken: 0,
        pieces_off: 0,
        area_off: 0.0,
    })
}

fn at_offset(
    cover: &Cover,
    sums: &[u64],
    (dx, dy): (u32, u32),
    (left_right, up_down): (bool, bool),
    drawn: (i64, i64),
) -> Stitched {
    let parts = cover.parts;
    let (columns, rows) = ((cover.width + dx).div_ceil(parts), (cover.height + dy).div_ceil(parts));
    let stride = cover.width as usize + 1;
    let full = f64::from(parts * parts) * 255.0;
    let share = |p: Point| {
        let edge = |cell: u32, shift: u32, most: u32| (cell * parts).saturating_sub(shift).min(most) as usize;
        let (x0, x1) = (edge(p.x, dx, cover.width), edge(p.x + 1, dx, cover.width));
        let (y0, y1) = (edge(p.y, dy, cover.height), edge(p.y + 1, dy, cover.height));
        let sum = |x: usize, y: usize| sums[y * stride + x];
        (sum(x1, y1) + sum(x0, y0) - sum(x0, y1) - sum(x1, y0)) as f64 / full
    };
    let mut area_off = 0.0;
    let raster = Raster::from_fn(columns, rows, |p| {
        let share = share(p);
        let filled = share >= super::raster::HALF;
        area_off += if filled { 1.0 - share } else { share };
        filled
    })
    .trimmed();
    let broken = |asked: bool, count: u32| if asked { count } else { 0 };
    let found = (raster.pieces().len() as i64, raster.holes() as i64);
    Stitched {
        broken: broken(left_right, raster.broken_left_right()) + broken(up_down, raster.broken_up_down()),
        pieces_off: ((found.0 - drawn.0).abs() + (found.1 - drawn.1).abs()) as u32,
        area_off,
        raster,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A figure drawn in parts, 4 to a cell.
    fn cover(width: u32, height: u32, inside: impl Fn(u32, u32) -> bool) -> Cover {
        let values = (0..height).flat_map(|y| (0..width).map(move |x| (x, y)));
        let values = values.map(|(x, y)| 255 * u8::from(inside(x, y))).collect();
        Cover::new(width, height, 4, values)
    }

    #[test]
    fn the_grid_is_laid_where_a_square_stays_a_square() {
        // Three cells wide, drawn half a cell off.
        let square = cover(18, 18, |x, y| (2..14).contains(&x) && (2..14).contains(&y));
        let found = best_offset(&square);
        assert_eq!((found.raster.width(), found.raster.height(), found.raster.count()), (3, 3, 9));
        assert!(found.area_off < 1e-9 && found.broken == 0);
    }

    #[test]
    fn a_symmetric_figure_stays_symmetric_and_its_hole_open() {
        let ring = |x: u32, y: u32| {
            let far = ((f64::from(x) - 14.5).powi(2) + (f64::from(y) - 14.5).powi(2)).sqrt();
            (5.0..14.0).contains(&far)
        };
        let found = best_offset(&cover(30, 30, ring));
        assert_eq!((found.broken, found.pieces_off, found.raster.holes()), (0, 0, 1));
    }

    #[test]
    fn nothing_is_drawn_nothing_is_found() {
        assert_eq!(best_offset(&cover(8, 8, |_, _| false)).raster.count(), 0);
        assert_eq!(best_offset(&Cover::new(0, 0, 4, Vec::new())).raster.count(), 0);
    }
}
