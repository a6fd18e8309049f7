//! Intarsia areas, counted the way they are worked: in bobbins.

use crate::chart::Cell;

/// Counts areas as bobbins: a bobbin works one run in a row and goes on with a run of its colour that
/// touches it in the next, corners included; every run without such a forerunner begins a new one.
/// So a U takes two bobbins, and so does a ring.
pub(super) struct Areas {
    width: u32,
    around: f64,
    /// Per slot, for one repeat, for two side by side, and so on as far as they are worked.
    slots: Vec<Vec<Tiles>>,
}

/// Repeats side by side that are counted out; further ones each add what the last of these added.
const MOST_TILES: usize = 3;

/// Columns of one colour's runs in one row, left to right: first, and the one after the last.
type Spans = Vec<(u32, u32)>;

/// One colour's areas so far, in a number of repeats side by side.
#[derive(Default)]
struct Tiles {
    first_row: Option<Spans>,
    last_row: Spans,
    /// Runs that begin an area.
    begun: usize,
}

impl Tiles {
    fn add_row(&mut self, row: Spans) {
        self.begun += row.len() - continued(&self.last_row, &row);
        if self.first_row.is_none() {
            self.first_row = Some(row.clone());
        }
        self.last_row = row;
    }

    /// Areas when the rows are worked `up` times (1 or more).
    fn count(&self, up: f64) -> f64 {
        // An area may go on from the top of one repeat into the bottom of the next.
        let kept = self.first_row.as_ref().map_or(0, |first| continued(&self.last_row, first));
        self.begun as f64 * up - kept as f64 * (up - 1.0)
    }
}

impl Areas {
    /// No areas yet, in a repeat of `width` columns worked `around` times (0 or more) side by side.
    pub fn new(width: u32, around: f64) -> Self {
        let tiles = (around.ceil() as usize).clamp(1, MOST_TILES);
        let slot = || (0..tiles).map(|_| Tiles::default()).collect();
        Self { width, around, slots: (0..Cell::MAX_SLOTS).map(|_| slot()).collect() }
    }

    /// Adds the row above those so far: slot and columns of each run, left to right.
    pub fn add_row(&mut self, runs: impl Iterator<Item = (usize, (u32, u32))>) {
        let mut rows = vec![Spans::new(); Cell::MAX_SLOTS];
        let (mut first, mut last) = (None, None);
        for (slot, columns) in runs {
            rows[slot].push(columns);
            first = first.or(Some(slot));
            last = Some(slot);
        }
        for (slot, (tiles, row)) in self.slots.iter_mut().zip(rows).enumerate() {
            let meets_itself = first == Some(slot) && last == Some(slot);
            for (n, tile) in (1..).zip(tiles) {
                tile.add_row(side_by_side(&row, n, self.width, meets_itself));
            }
        }
    }

    /// Areas of a colour when the rows are worked `up` times (1 or more). Areas that meet across a seam
    /// are one; a part of a repeat counts as that part.
    pub fn count(&self, slot: usize, up: f64) -> f64 {
        let mut areas = [0.0; MOST_TILES + 1];
        for n in 1..=MOST_TILES {
            let counted = self.slots[slot].get(n - 1).map_or(0.0, |tiles| tiles.count(up));
            areas[n] = f64::max(areas[n - 1], counted);
        }
        let whole = (self.around as usize).min(MOST_TILES - 1);
        let more = (self.around - whole as f64) * (areas[whole + 1] - areas[whole]);
        if areas[1] > 0.0 { (areas[whole] + more).max(1.0) } else { 0.0 }
    }
}

/// The runs of `n` repeats of `width` columns side by side; where the colour both ends and begins the
/// row it meets itself at the seams, and the runs there are one.
fn side_by_side(row: &Spans, n: u32, width: u32, meets_itself: bool) -> Spans {
    let mut all = Spans::with_capacity(row.len() * n as usize);
    for offset in (0..n).map(|tile| tile * width) {
        for (index, (from, to)) in row.iter().enumerate() {
            match all.last_mut() {
                Some(last) if index == 0 && meets_itself => last.1 = to + offset,
                _ => all.push((from + offset, to + offset)),
            }
        }
    }
    all
}

/// How many runs of `below` go on, each in a run of its own, in the row `above` it.
fn continued(below: &[(u32, u32)], above: &[(u32, u32)]) -> usize {
    let (mut i, mut j, mut pairs) = (0, 0, 0);
    let (mut below_free, mut above_free) = (true, true);
    while let (Some(a), Some(b)) = (below.get(i), above.get(j)) {
        if below_free && above_free && a.0 <= b.1 && b.0 <= a.1 {
            pairs += 1;
            (below_free, above_free) = (false, false);
        }
        if a.1 <= b.1 {
            (i, below_free) = (i + 1, true);
        } else {
            (j, above_free) = (j + 1, true);
        }
    }
    pairs
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Areas of `#` in rows written top first.
    fn areas(rows: &[&str], around: f64, up: f64) -> f64 {
        let mut areas = Areas::new(rows[0].len() as u32, around);
        for row in rows.iter().rev() {
            let mut column = 0;
            areas.add_row(row.as_bytes().chunk_by(|a, b| a == b).map(|chunk| {
                let from = column;
                column += chunk.len() as u32;
                (usize::from(chunk[0] != b'#'), (from, column))
            }));
        }
        areas.count(0, up)
    }

    #[test]
    fn a_block_is_one_bobbin_and_a_u_two() {
        assert_eq!(areas(&["....", ".##.", ".##."], 1.0, 1.0), 1.0);
        assert_eq!(areas(&["#..#", "#..#", "####"], 1.0, 1.0), 2.0);
        assert_eq!(areas(&["####", "#..#", "####"], 1.0, 1.0), 2.0);
        assert_eq!(areas(&["....", "...."], 3.0, 3.0), 0.0);
    }

    #[test]
    fn a_diagonal_of_single_stitches_is_one_bobbin() {
        assert_eq!(areas(&["...#", "..#.", ".#..", "#..."], 1.0, 1.0), 1.0);
        assert_eq!(areas(&["#...", "....", "#..."], 1.0, 1.0), 2.0);
    }

    #[test]
    fn areas_that_meet_across_repeats_are_one() {
        assert_eq!(areas(&["####", "####"], 5.0, 5.0), 1.0);
        assert_eq!(areas(&["#..#", "#..#"], 3.0, 2.0), 4.0);
        assert_eq!(areas(&[".##.", ".##."], 3.0, 1.0), 3.0);
        assert_eq!(areas(&["....", ".##."], 3.0, 2.0), 6.0);
    }
}
