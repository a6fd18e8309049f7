//! Which colours touch in the chart, and along how much of their edges.

use super::grid::{Cell, Grid, Point, Rect};
use crate::units::Gauge;

/// Which edges of the region meet each other when it is knitted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Wrap {
    /// The right edge meets the left one (in the round, or the repeat beside it).
    pub across: bool,
    /// The top row meets the bottom one (the repeat above it).
    pub up: bool,
}

/// Two colours that touch.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Contact {
    /// The slot with the lower number.
    pub a: usize,
    /// The slot with the higher number.
    pub b: usize,
    /// Pairs of neighbours side by side; each shares one row height.
    pub side_by_side: u32,
    /// Pairs of neighbours one above the other; each shares one stitch width.
    pub stacked: u32,
    /// Length of the shared edge in cm.
    pub cm: f64,
    /// Where they first touch, reading rows from the bottom, left to right: the left or lower cell.
    pub first: Point,
}

#[derive(Clone, Copy)]
struct Count {
    side_by_side: u32,
    stacked: u32,
    first: Point,
}

/// The pairs of colours that touch inside `region` (usually the repeat box), the longest shared
/// edge first. A cell of no stitch touches nothing.
///
/// Time grows with the cells, not with the colours.
pub fn contacts(grid: &Grid, region: Rect, gauge: Gauge, wrap: Wrap) -> Vec<Contact> {
    let region = region.intersect(grid.bounds());
    let mut table = Table::new();
    let part = |y: u32| &grid.row(y)[region.x as usize..(region.x + region.width) as usize];
    for y in region.y..region.y + region.height {
        let row = part(y);
        let at = |x: usize| Point::new(region.x + x as u32, y);
        for (x, pair) in row.windows(2).enumerate() {
            if !pair[0].same_colour(&pair[1]) {
                table.count(pair[0], pair[1], at(x)).side_by_side += 1;
            }
        }
        if let (true, Some(left), Some(right)) = (wrap.across, row.first(), row.last())
            && !left.same_colour(right)
        {
            table.count(*right, *left, at(row.len() - 1)).side_by_side += 1;
        }
        let above = if y + 1 < region.y + region.height {
            part(y + 1)
        } else if wrap.up {
            part(region.y)
        } else {
            continue;
        };
        for (x, (low, high)) in row.iter().zip(above).enumerate() {
            if !low.same_colour(high) {
                table.count(*low, *high, at(x)).stacked += 1;
            }
        }
    }
    table.finish(gauge)
}

/// Cells looked at for the places of one pair, so that a click answers at once in any chart.
const MOST_LOOKED_AT: usize = 200_000;

/// Where two colours touch, as runs of cells of `contact.a` or `contact.b` beside or under one of the
/// other, reading from where they first touch; at most `most` runs, from the first 200,000 cells.
pub fn touching_places(grid: &Grid, region: Rect, contact: &Contact, most: usize) -> Vec<Rect> {
    let region = region.intersect(grid.bounds());
    let (a, b) = (Cell::slot(contact.a as u8), Cell::slot(contact.b as u8));
    let other = |cell: Cell| match cell {
        cell if cell.same_colour(&a) => Some(b),
        cell if cell.same_colour(&b) => Some(a),
        _ => None,
    };
    let rows = (MOST_LOOKED_AT / region.width.max(1) as usize).max(1) as u32;
    let top = region.y + region.height;
    let mut places: Vec<Rect> = Vec::new();
    for y in contact.first.y..top.min(contact.first.y.saturating_add(rows)) {
        for x in region.x..region.x + region.width {
            let at = |dx: i64, dy: i64| {
                let (x, y) = (u32::try_from(i64::from(x) + dx).ok()?, u32::try_from(i64::from(y) + dy).ok()?);
                let point = Point::new(x, y);
                region.contains(point).then(|| grid.get(point)).flatten()
            };
            let wanted = at(0, 0).and_then(other);
            let touches =
                |neighbour: Option<Cell>| wanted.zip(neighbour).is_some_and(|(a, b)| a.same_colour(&b));
            if ![(1, 0), (-1, 0), (0, 1), (0, -1)].iter().any(|(dx, dy)| touches(at(*dx, *dy))) {
                continue;
            }
            let full = places.len() == most;
            match places.last_mut() {
                Some(run) if run.y == y && run.x + run.width == x => run.width += 1,
                _ if full => return places,
                _ => places.push(Rect::new(x, y, 1, 1)),
            }
        }
    }
    places
}

/// Counts for each ordered pair of cell values that were met; one extra value for "no stitch".
struct Table {
    counts: Vec<Option<Count>>,
}

impl Table {
    const SIDE: usize = Cell::MAX_SLOTS + 1;

    fn new() -> Self {
        Self { counts: vec![None; Self::SIDE * Self::SIDE] }
    }

    fn count(&mut self, one: Cell, other: Cell, at: Point) -> &mut Count {
        let value = |cell: Cell| cell.index().unwrap_or(Cell::MAX_SLOTS);
        let new = Count { side_by_side: 0, stacked: 0, first: at };
        self.counts[value(one) * Self::SIDE + value(other)].get_or_insert(new)
    }

    /// Both orders of each pair of colours added up.
    fn finish(&self, gauge: Gauge) -> Vec<Contact> {
        let slots = 0..Cell::MAX_SLOTS;
        let pairs = slots.flat_map(|a| (a + 1..Cell::MAX_SLOTS).map(move |b| (a, b)));
        let mut contacts: Vec<Contact> = pairs
            .filter_map(|(a, b)| {
                let found = [self.counts[a * Self::SIDE + b], self.counts[b * Self::SIDE + a]];
                let found = || found.iter().flatten();
                let side_by_side = found().map(|count| count.side_by_side).sum();
                let stacked = found().map(|count| count.stacked).sum();
                let first = found().map(|count| count.first).min_by_key(|p| (p.y, p.x))?;
                let cm = f64::from(side_by_side) * gauge.row_height_cm()
                    + f64::from(stacked) * gauge.stitch_width_cm();
                Some(Contact { a, b, side_by_side, stacked, cm, first })
            })
            .collect();
        contacts.sort_by(|x, y| y.cm.total_cmp(&x.cm));
        contacts
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 20 x 25 per 10 cm: stitches 0.5 cm wide, rows 0.4 cm high.
    fn gauge() -> Gauge {
        Gauge::new(20.0, 25.0).unwrap()
    }

    fn grid(width: u32, digits: &str) -> Grid {
        let cell = |b: u8| if b == b'.' { Cell::NO_STITCH } else { Cell::slot(b - b'0') };
        let height = digits.len() as u32 / width;
        Grid::from_cells(width, height, digits.bytes().map(cell).collect()).unwrap()
    }

    #[test]
    fn a_block_touches_its_ground_all_around() {
        let grid = grid(4, "0000011001100000");
        let found = contacts(&grid, grid.bounds(), gauge(), Wrap::default());
        assert_eq!(found.len(), 1);
        assert_eq!((found[0].a, found[0].b), (0, 1));
        assert_eq!((found[0].side_by_side, found[0].stacked), (4, 4));
        assert!((found[0].cm - (4.0 * 0.4 + 4.0 * 0.5)).abs() < 1e-12);
        assert_eq!(found[0].first, Point::new(1, 0));
    }

    #[test]
    fn edges_meet_when_the_fabric_does() {
        let stripe = grid(3, "012");
        let open = contacts(&stripe, stripe.bounds(), gauge(), Wrap::default());
        assert!(!open.iter().any(|c| (c.a, c.b) == (0, 2)));
        let closed = contacts(&stripe, stripe.bounds(), gauge(), Wrap { across: true, up: false });
        let contact = closed.iter().find(|c| (c.a, c.b) == (0, 2)).unwrap();
        assert_eq!((contact.side_by_side, contact.first), (1, Point::new(2, 0)));
        let column = grid(1, "012");
        let closed = contacts(&column, column.bounds(), gauge(), Wrap { across: false, up: true });
        assert!(closed.iter().any(|c| (c.a, c.b, c.stacked) == (0, 2, 1)));
    }

    #[test]
    fn no_stitch_touches_nothing_and_the_region_is_all_that_counts() {
        let grid = grid(4, "0.12");
        assert_eq!(contacts(&grid, Rect::new(0, 0, 3, 1), gauge(), Wrap::default()), []);
        assert_eq!(contacts(&grid, grid.bounds(), gauge(), Wrap::default()).len(), 1);
        assert_eq!(contacts(&grid, Rect::new(9, 0, 3, 1), gauge(), Wrap::default()), []);
    }

    #[test]
    fn the_places_of_a_pair_are_both_sides_of_its_edge() {
        let grid = grid(4, "0000011001100000");
        let contact = contacts(&grid, grid.bounds(), gauge(), Wrap::default())[0];
        let places = touching_places(&grid, grid.bounds(), &contact, 99);
        // All but the corners of the ground.
        assert_eq!(places.iter().map(|run| run.width).sum::<u32>(), 12);
        assert_eq!(places[0], Rect::new(1, 0, 2, 1));
        assert_eq!(touching_places(&grid, grid.bounds(), &contact, 1).len(), 1);
        assert_eq!(touching_places(&grid, Rect::new(0, 0, 1, 1), &contact, 9), []);
    }

    #[test]
    fn the_longest_edge_comes_first() {
        let grid = grid(5, "0001200012");
        let found = contacts(&grid, grid.bounds(), gauge(), Wrap { across: true, up: false });
        assert!(found.windows(2).all(|pair| pair[0].cm >= pair[1].cm));
        assert_eq!(found.len(), 3);
    }
}
