//! Worked rows counted out once, kept from one state of a chart to the next.

use std::collections::{HashMap, HashSet};
use std::hash::{BuildHasherDefault, Hash, Hasher};
use std::sync::Arc;

use super::pieces::SteekRow;
use super::row_use::{RowBlock, RowHow, RowUse};
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
    #[inline]
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
    #[inline]
    fn finish(&self) -> u64 {
        self.0
    }

    fn write(&mut self, bytes: &[u8]) {
        for byte in bytes {
            self.write_u64(u64::from(*byte));
        }
    }

    #[inline]
    fn write_u32(&mut self, number: u32) {
        self.write_u64(u64::from(number));
    }

    #[inline]
    fn write_usize(&mut self, number: usize) {
        self.write_u64(number as u64);
    }

    #[inline]
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
    known: HashMap<RowKey, Arc<RowUse>, BuildHasherDefault<Stirred>>,
    /// What was asked for in the state before and, up to `next`, in this one: mostly the same again, which is sooner
    /// seen than looked up.
    asked: Vec<UsedRows>,
    next: usize,
}

/// Rows of a block: where one of them changes, so many are counted together again.
const BLOCK: usize = 32;

/// Rows that were asked for together.
#[derive(Debug, Default)]
pub struct UsedRows {
    keys: Vec<RowKey>,
    rows: Vec<Arc<RowUse>>,
    /// How the blocks are worked.
    how: Option<(RowHow, u32)>,
    /// [`BLOCK`] rows each, but for the last one; those that are not known are worked out when they are asked for.
    blocks: Vec<Option<RowBlock>>,
}

impl UsedRows {
    /// How each row uses its colours.
    pub fn rows(&self) -> &[Arc<RowUse>] {
        &self.rows
    }

    /// The rows in blocks, each row worked so, which is not intarsia.
    pub fn blocks(&mut self, how: RowHow, float_limit: u32) -> impl Iterator<Item = &RowBlock> {
        let how = (how, float_limit);
        if self.how != Some(how) {
            self.how = Some(how);
            self.blocks.clear();
        }
        self.blocks.resize(self.rows.len().div_ceil(BLOCK), None);
        for (block, rows) in self.blocks.iter_mut().zip(self.rows.chunks(BLOCK)) {
            block.get_or_insert_with(|| RowBlock::of(rows, how.0, float_limit));
        }
        self.blocks.iter().flatten()
    }

    /// Another row in this place.
    fn put(&mut self, place: usize, key: RowKey, row: Arc<RowUse>) {
        if let Some(own) = self.rows.get_mut(place) {
            (self.keys[place], *own) = (key, row);
            if let Some(block) = self.blocks.get_mut(place / BLOCK) {
                *block = None;
            }
        } else {
            self.keys.push(key);
            self.rows.push(row);
        }
    }

    /// Leaves out the rows from this place on. Another count of rows makes other blocks.
    fn cut(&mut self, count: usize) {
        if count != self.rows.len() {
            self.keys.truncate(count);
            self.rows.truncate(count);
            self.blocks.clear();
        }
    }
}

impl RowUses {
    /// Begins another state of the chart, counted so: what was not asked for since the last one is forgotten, once
    /// it is more than what was.
    pub fn begin(&mut self, how: CountHow) {
        if self.how != how {
            *self = Self { how, ..Self::default() };
        }
        self.asked.truncate(self.next);
        let asked: usize = self.asked.iter().map(|asked| asked.keys.len()).sum();
        if self.known.len() > 2 * asked {
            let rows = self.asked.iter().flat_map(|asked| asked.keys.iter().copied().zip(&asked.rows));
            self.known = rows.map(|(key, row)| (key, Arc::clone(row))).collect();
        }
        self.next = 0;
    }

    /// The use of every row of `keys`; `cells` puts the stitches of the row in that place, left to right, into the
    /// list.
    pub fn of(&mut self, keys: &[RowKey], cells: impl Fn(usize, &mut Vec<Cell>) + Sync) -> &mut UsedRows {
        let mut asked = self.asked.get_mut(self.next).map(std::mem::take).unwrap_or_default();
        let mut missing: Vec<(RowKey, usize)> = Vec::new();
        let mut met: HashSet<RowKey, BuildHasherDefault<Stirred>> = HashSet::default();
        let other: Vec<usize> =
            (0..keys.len()).filter(|place| asked.keys.get(*place) != Some(&keys[*place])).collect();
        let is_new = |key: &RowKey| !self.known.contains_key(key);
        missing.extend(other.iter().map(|place| (keys[*place], *place)).filter(|(key, _)| is_new(key)));
        missing.retain(|(key, _)| met.insert(*key));
        if !missing.is_empty() {
            self.count(missing, cells);
        }
        asked.cut(keys.len());
        for place in other {
            // Every row that was not known is by now.
            if let Some(row) = self.known.get(&keys[place]) {
                asked.put(place, keys[place], Arc::clone(row));
            }
        }
        if self.next < self.asked.len() {
            self.asked[self.next] = asked;
        } else {
            self.asked.push(asked);
        }
        self.next += 1;
        &mut self.asked[self.next - 1]
    }

    /// Counts the rows that are not known, each with its place.
    fn count(&mut self, missing: Vec<(RowKey, usize)>, cells: impl Fn(usize, &mut Vec<Cell>) + Sync) {
        let CountHow { float_limit, heir, areas } = self.how;
        let count = |(row, runs): &mut (Vec<Cell>, RunList), (key, place): (RowKey, usize)| {
            cells(place, row);
            if let Some((slot, heir)) = heir {
                let heir = Cell::slot(heir.min(Cell::MAX_SLOTS) as u8);
                let own = row.iter_mut().filter(|cell| cell.index() == Some(slot));
                own.for_each(|cell| *cell = cell.painted(heir));
            }
            let runs = runs.read(row).iter().copied();
            (key, Arc::new(RowUse::of_runs(runs, float_limit, areas)))
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
            let rows = rows.rows();
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
