//! Which colours touch in the chart, and along how much of their edges.

use super::grid::{Cell, Grid, Point, Rect};
use super::runs::{Run, runs};
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

/// The pairs of colours that touch inside `region` (usually the repeat box), the longest shared
/// edge first. A cell of no stitch touches nothing.
///
/// Time grows with the cells, not with the colours.
pub fn contacts(grid: &Grid, region: Rect, gauge: Gauge, wrap: Wrap) -> Vec<Contact> {
    let region = region.intersect(grid.bounds());
    let columns = region.x as usize..(region.x + region.width) as usize;
    let runs_of = |row: u32| runs(&grid.row(region.y + row)[columns.clone()]).collect::<Vec<Run>>();
    let in_row = |row: u32| {
        let above = if row + 1 < region.height { Some(row + 1) } else { wrap.up.then_some(0) };
        row_contacts(&runs_of(row), above.map(runs_of).as_deref(), wrap.across)
    };
    let rows: Vec<Vec<RowContact>> = (0..region.height).map(in_row).collect();
    sum_of_rows(rows.iter().map(Vec::as_slice), region, gauge)
}

/// Two colours that touch in a row, or across its upper edge.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RowContact {
    /// The slots, the lower number first.
    slots: (u8, u8),
    side_by_side: u32,
    stacked: u32,
    /// Column from the left, from 0, of the first left or lower cell.
    first: u32,
}

/// The contacts of a row with itself (its ends meet when it `wraps`) and with the row above it, if there is
/// one; both rows are of one length and not empty.
pub fn row_contacts(row: &[Run], above: Option<&[Run]>, wraps: bool) -> Vec<RowContact> {
    let above = above.unwrap_or_default();
    let last = row.iter().chain(above).filter_map(|run| run.cell.index()).max().unwrap_or(0);
    if last < FEW - 1 {
        // A row of few colours, as nearly every one is: a table that stays in the processor's cache.
        let mut table = Table::<FEW> {
            side_by_side: [[0; FEW]; FEW],
            stacked: [[0; FEW]; FEW],
            first: [[u32::MAX; FEW]; FEW],
        };
        meet(row, above, wraps, |pair, at, counts| table.add(pair, at, counts));
        return table.contacts(last);
    }
    let mut found: Vec<RowContact> = Vec::new();
    meet(row, above, wraps, |(one, other), at, (side_by_side, stacked)| {
        let (Some(one), Some(other)) = (one.index(), other.index()) else { return };
        if one == other {
            return;
        }
        let slots = (one.min(other) as u8, one.max(other) as u8);
        let place = found.iter().position(|contact| contact.slots == slots).unwrap_or_else(|| {
            found.push(RowContact { slots, side_by_side: 0, stacked: 0, first: at });
            found.len() - 1
        });
        let contact = &mut found[place];
        contact.side_by_side += side_by_side;
        contact.stacked += stacked;
        contact.first = contact.first.min(at);
    });
    found.sort_unstable_by_key(|contact| contact.slots);
    found
}

/// Tells of all cells that meet in a row and across its upper edge, stretch by stretch: the two, the column of the
/// first left or lower one, and how often side by side and stacked. Cells of one colour are told of, too.
#[inline]
fn meet(row: &[Run], above: &[Run], wraps: bool, mut tell: impl FnMut((Cell, Cell), u32, (u32, u32))) {
    for pair in row.windows(2) {
        tell((pair[0].cell, pair[1].cell), pair[1].start - 1, (1, 0));
    }
    if let (true, Some(left), Some(right)) = (wraps, row.first(), row.last()) {
        tell((right.cell, left.cell), right.start + right.length - 1, (1, 0));
    }
    let (mut low, mut high, mut x) = (0, 0, 0);
    // Both rows in stretches in which neither changes.
    while let (Some(a), Some(b)) = (row.get(low), above.get(high)) {
        let (ends_low, ends_high) = (a.start + a.length, b.start + b.length);
        let end = ends_low.min(ends_high);
        tell((a.cell, b.cell), x, (0, end - x));
        x = end;
        low += usize::from(ends_low == end);
        high += usize::from(ends_high == end);
    }
}

/// Colours, "no stitch" among them, of a row that is counted in a table.
const FEW: usize = 8;

/// The contacts of one row of fewer than `N` colours while they are counted: of each two slots in either order, the
/// last place for "no stitch". What two cells are decides nothing here, for nobody could foresee it.
struct Table<const N: usize> {
    side_by_side: [[u32; N]; N],
    stacked: [[u32; N]; N],
    first: [[u32; N]; N],
}

impl<const N: usize> Table<N> {
    #[inline]
    fn add(&mut self, (one, other): (Cell, Cell), at: u32, (side_by_side, stacked): (u32, u32)) {
        let place = |cell: Cell| cell.index().map_or(N - 1, |slot| slot.min(N - 1));
        let (one, other) = (place(one), place(other));
        self.side_by_side[one][other] += side_by_side;
        self.stacked[one][other] += stacked;
        self.first[one][other] = self.first[one][other].min(at);
    }

    /// The contacts of the slots up to `last`.
    fn contacts(&self, last: usize) -> Vec<RowContact> {
        let pairs = (0..=last).flat_map(|a| (a + 1..=last).map(move |b| (a, b)));
        let contact = |(a, b): (usize, usize)| RowContact {
            slots: (a as u8, b as u8),
            side_by_side: self.side_by_side[a][b] + self.side_by_side[b][a],
            stacked: self.stacked[a][b] + self.stacked[b][a],
            first: self.first[a][b].min(self.first[b][a]),
        };
        let mut found = Vec::with_capacity(last * (last + 1) / 2);
        found.extend(pairs.map(contact).filter(|contact| contact.first < u32::MAX));
        found
    }
}

/// The contacts of all rows of `region`, the bottom one first, together; the longest shared edge first.
pub fn sum_of_rows<'a>(
    rows: impl Iterator<Item = &'a [RowContact]>,
    region: Rect,
    gauge: Gauge,
) -> Vec<Contact> {
    let mut table: Vec<Option<Contact>> = Vec::new();
    for (y, row) in (region.y..).zip(rows) {
        for found in row {
            let (a, b) = (usize::from(found.slots.0), usize::from(found.slots.1));
            let first = Point::new(region.x + found.first, y);
            // By the higher number first: few colours have few places.
            let place = b * (b - 1) / 2 + a;
            if table.len() <= place {
                table.resize(place + 1, None);
            }
            let contact =
                table[place].get_or_insert(Contact { a, b, side_by_side: 0, stacked: 0, cm: 0.0, first });
            contact.side_by_side += found.side_by_side;
            contact.stacked += found.stacked;
        }
    }
    let mut contacts: Vec<Contact> = table.into_iter().flatten().collect();
    for contact in &mut contacts {
        contact.cm = f64::from(contact.side_by_side) * gauge.row_height_cm()
            + f64::from(contact.stacked) * gauge.stitch_width_cm();
    }
    contacts.sort_by(|x, y| y.cm.total_cmp(&x.cm).then((x.a, x.b).cmp(&(y.a, y.b))));
    contacts
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
