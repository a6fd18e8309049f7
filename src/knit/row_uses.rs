//! Worked rows counted out once, kept from one state of a chart to the next.

use std::collections::{HashMap, HashSet};
use std::hash::{BuildHasherDefault, Hash, Hasher};
use std::sync::Arc;

use super::pieces::SteekRow;
use super::row_use::RowUse;
use crate::chart::{Cell, RowMark, RunList, each_worked};

/// What the stitches of a worked row are: rows with equal keys are equal, stitch by stitch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct RowKey {
    /// Stitches of the row.
    pub stitches: u32,
    /// Their colours.
    pub colours: RowColours,
}

impl Hash for RowKey {
    /// By what tells rows of one chart apart, which is quickly done.
    fn hash<H: Hasher>(&self, state: &mut H) {
        self.stitches.hash(state);
        match self.colours {
            RowColours::One(slot) => slot.hash(state),
            RowColours::Ribbed([(knit, _), _]) => knit.hash(state),
            RowColours::Chart { row, .. } | RowColours::Steeked { row, .. } => row.hash(state),
        }
    }
}

/// Hashes the few numbers of a [`RowKey`]: nobody chooses them to fall together, and each row is looked up at every
/// stitch that is painted.
#[derive(Debug, Default)]
struct Stirred(u64);

impl Hasher for Stirred {
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, bytes: &[u8]) {
        bytes.iter().for_each(|byte| self.write_u64(u64::from(*byte)));
    }

    fn write_u32(&mut self, number: u32) {
        self.write_u64(u64::from(number));
    }

    fn write_usize(&mut self, number: usize) {
        self.write_u64(number as u64);
    }

    fn write_u64(&mut self, number: u64) {
        // The odd number next to 2^64 over the golden ratio spreads neighbours (Knuth, multiplicative hashing).
        let stirred = (self.0 ^ number).wrapping_mul(0x9e37_79b9_7f4a_7c15);
        self.0 = stirred ^ stirred >> 32;
    }
}

/// The colours of a worked row's stitches.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum RowColours {
    /// All in one slot.
    One(usize),
    /// So many knit and so many purl stitches in turn, each in its slot.
    Ribbed([(u32, usize); 2]),
    /// A row of the chart, over and over.
    Chart {
        /// The row.
        row: RowMark,
        /// The columns of it that are repeated: the first, and how many.
        columns: (u32, u32),
        /// Stitches of one repeat that come before the first whole one, from the right.
        moved: u32,
        /// Edge stitches at the left and at the right.
        edges: (u32, u32),
        /// The slot of these; 0 when there are none.
        edge_slot: usize,
    },
    /// A row of the chart, over and over between the bridges of steeks.
    Steeked {
        /// The row.
        row: RowMark,
        /// The columns of it that are repeated: the first, and how many.
        columns: (u32, u32),
        /// Where the bridges lie.
        steeks: SteekRow,
    },
}

/// How rows are counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct CountHow {
    /// The longest float left uncaught, in stitches.
    pub float_limit: u32,
    /// A slot whose stitches go to another.
    pub heir: Option<(usize, usize)>,
    /// Some of the rows are worked in intarsia, which needs their areas.
    pub areas: bool,
}

/// How each of many worked rows uses its colours. Rows that come again are counted once, and those of the chart
/// before are remembered; the counts are the same with an empty memory.
#[derive(Debug, Default)]
pub struct RowUses {
    /// What all rest on.
    how: CountHow,
    /// Each with the round in which it was last asked for.
    known: HashMap<RowKey, (Arc<RowUse>, u64), BuildHasherDefault<Stirred>>,
    round: u64,
}

impl RowUses {
    /// Begins another state of the chart, counted so: what was not asked for since the last one is forgotten, once
    /// it is more than what was.
    pub fn begin(&mut self, how: CountHow) {
        if self.how != how {
            *self = Self { how, ..Self::default() };
        }
        let asked = self.known.values().filter(|(_, round)| *round == self.round).count();
        if self.known.len() > 2 * asked {
            self.known.retain(|_, (_, round)| *round == self.round);
        }
        self.round += 1;
    }

    /// The use of every row of `keys`; `cells` puts the stitches of the row in that place, left to right, into the
    /// list.
    pub fn of(&mut self, keys: &[RowKey], cells: impl Fn(usize, &mut Vec<Cell>) + Sync) -> Vec<Arc<RowUse>> {
        let round = self.round;
        let mut missing: Vec<(RowKey, usize)> = Vec::new();
        let mut met: HashSet<RowKey, BuildHasherDefault<Stirred>> = HashSet::default();
        let mut rows: Vec<Option<Arc<RowUse>>> = Vec::with_capacity(keys.len());
        for (place, key) in keys.iter().enumerate() {
            let known = self.known.get_mut(key).map(|(row, asked)| {
                *asked = round;
                Arc::clone(row)
            });
            if known.is_none() && met.insert(*key) {
                missing.push((*key, place));
            }
            rows.push(known);
        }
        if !missing.is_empty() {
            self.count(missing, cells);
            for (row, key) in rows.iter_mut().zip(keys).filter(|(row, _)| row.is_none()) {
                *row = self.known.get(key).map(|(row, _)| Arc::clone(row));
            }
        }
        rows.into_iter().flatten().collect()
    }

    /// Counts the rows that are not known, each with its place.
    fn count(&mut self, missing: Vec<(RowKey, usize)>, cells: impl Fn(usize, &mut Vec<Cell>) + Sync) {
        let (CountHow { float_limit, heir, areas }, round) = (self.how, self.round);
        let count = |(row, runs): &mut (Vec<Cell>, RunList), (key, place): (RowKey, usize)| {
            cells(place, row);
            if let Some((slot, heir)) = heir {
                let heir = Cell::slot(heir.min(Cell::MAX_SLOTS) as u8);
                let own = row.iter_mut().filter(|cell| cell.index() == Some(slot));
                own.for_each(|cell| *cell = cell.painted(heir));
            }
            let runs = runs.read(row).iter().copied();
            (key, (Arc::new(RowUse::of_runs(runs, float_limit, areas)), round))
        };
        self.known.extend(each_worked(missing, count));
    }
}

#[cfg(test)]
mod tests {
    use std::sync::atomic::{AtomicU32, Ordering};

    use super::*;

    #[test]
    fn a_row_is_counted_once_and_forgotten_when_it_is_gone() {
        let counted = AtomicU32::new(0);
        let mut uses = RowUses::default();
        let mut ask = |limit, stitches: &[u32]| {
            uses.begin(CountHow { float_limit: limit, ..CountHow::default() });
            let keys: Vec<RowKey> =
                stitches.iter().map(|n| RowKey { stitches: *n, colours: RowColours::One(3) }).collect();
            let rows = uses.of(&keys, |place, cells| {
                counted.fetch_add(1, Ordering::Relaxed);
                cells.clear();
                cells.resize(stitches[place] as usize, Cell::slot(3));
            });
            assert_eq!(rows.len(), stitches.len());
            assert!(rows.iter().all(|row| row.edge_slot(0) == Some(3)));
            (counted.swap(0, Ordering::Relaxed), uses.known.len())
        };
        assert_eq!(ask(5, &[4, 4, 7, 4]), (2, 2));
        assert_eq!(ask(5, &[7, 4]), (0, 2));
        assert_eq!(ask(6, &[7, 4]), (2, 2), "floats are caught otherwise");
        assert_eq!(ask(6, &[9]), (1, 3));
        assert_eq!(ask(6, &[9]), (0, 1));
        let many: Vec<u32> = (1..40).collect();
        assert_eq!(ask(6, &many), (38, 39));
    }
}
