//! Stitches that stand alone, in fabric whose edges may meet.

use super::Cell;

/// Rows of stitches, the bottom one first and all of one length, and which of their edges meet.
#[derive(Clone, Debug)]
pub struct RepeatedRows<'a> {
    /// The rows.
    pub rows: Vec<&'a [Cell]>,
    /// The left end of a row meets its right one: the rows are repeated side by side.
    pub across: bool,
    /// The top row meets the bottom one: the rows are repeated one above another.
    pub up: bool,
}

impl RepeatedRows<'_> {
    /// The cell this far from the one in column `x` of row `y`; `None` past an edge that meets no other.
    pub fn beside(&self, (x, y): (usize, usize), (dx, dy): (i64, i64)) -> Option<Cell> {
        let (y, x) = self.place((x, y), (dx, dy))?;
        self.rows.get(y)?.get(x).copied()
    }

    /// Row and column of that cell.
    pub fn place(&self, (x, y): (usize, usize), (dx, dy): (i64, i64)) -> Option<(usize, usize)> {
        let y = moved(y, dy, self.rows.len(), self.up)?;
        Some((y, moved(x, dx, self.rows.get(y)?.len(), self.across)?))
    }

    /// Whether the stitch in column `x` of row `y` stands alone: none of the eight around it, corners
    /// included, has its colour. "No stitch" never does.
    ///
    /// Corners count because a line that climbs a stitch a row reads as a line (our judgement, no
    /// published source).
    pub fn stands_alone(&self, x: usize, y: usize) -> bool {
        // Nearly every stitch has one of its colour beside it, which is quickly seen.
        let Some(own) = self.rows.get(y).and_then(|row| row.get(x)).filter(|cell| cell.index().is_some())
        else {
            return false;
        };
        let same = |cell: &Cell| cell.same_colour(own);
        let inside = x.checked_sub(1).map(|left| left..x + 2);
        let rows = y.checked_sub(1).and_then(|below| self.rows.get(below..y + 2));
        if let (Some(columns), Some([below, row, above])) = (inside, rows)
            && let (Some(below), Some(&[left, _, right]), Some(above)) =
                (below.get(columns.clone()), row.get(columns.clone()), above.get(columns))
        {
            return !(same(&left) || same(&right) || below.iter().any(same) || above.iter().any(same));
        }
        AROUND.into_iter().all(|by| !self.beside((x, y), by).is_some_and(|cell| cell.same_colour(own)))
    }
}

/// The eight places around a stitch.
const AROUND: [(i64, i64); 8] = [(-1, 0), (1, 0), (0, -1), (0, 1), (-1, -1), (1, -1), (-1, 1), (1, 1)];

/// The place `by` after `at` in `0..length`, whose ends meet when it `wraps`.
fn moved(at: usize, by: i64, length: usize, wraps: bool) -> Option<usize> {
    let to = at as i64 + by;
    if (0..length as i64).contains(&to) {
        Some(to as usize)
    } else {
        wraps.then(|| to.rem_euclid(length as i64) as usize)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Counts the lone stitches of rows written from the top, a figure a slot, a dot "no stitch".
    fn lone(rows: &[&str], (across, up): (bool, bool)) -> usize {
        let cell = |c: char| c.to_digit(10).map_or(Cell::NO_STITCH, |slot| Cell::slot(slot as u8));
        let rows: Vec<Vec<Cell>> = rows.iter().rev().map(|row| row.chars().map(cell).collect()).collect();
        let fabric = RepeatedRows { rows: rows.iter().map(Vec::as_slice).collect(), across, up };
        let places = (0..rows.len()).flat_map(|y| (0..rows[0].len()).map(move |x| (x, y)));
        places.filter(|(x, y)| fabric.stands_alone(*x, *y)).count()
    }

    #[test]
    fn a_stitch_stands_alone_among_other_colours_whichever_they_are() {
        assert_eq!(lone(&["000", "010", "000"], (false, false)), 1);
        assert_eq!(lone(&["234", "010", "567"], (false, false)), 9, "the two 0 are apart");
        assert_eq!(lone(&["000", "0.0", "000"], (false, false)), 0, "no stitch is none");
        // A stitch of the ground inside a figure is alone as much as one of a figure on the ground.
        assert_eq!(lone(&["111", "101", "111"], (false, false)), 1);
    }

    #[test]
    fn corners_and_the_repeat_beside_and_above_keep_it_company() {
        assert_eq!(lone(&["100", "010", "001"], (false, false)), 0);
        assert_eq!(lone(&["0000", "1001", "0000"], (false, false)), 2);
        assert_eq!(lone(&["0000", "1001", "0000"], (true, false)), 0);
        assert_eq!(lone(&["010", "000", "000", "010"], (false, false)), 2);
        assert_eq!(lone(&["010", "000", "000", "010"], (false, true)), 0);
        // One stitch wide, repeated side by side: a stripe.
        assert_eq!((lone(&["0", "1", "0"], (true, false)), lone(&["0", "1", "0"], (false, false))), (0, 3));
    }
}
