//! Marks that tell whether a row of a chart is still the same.

use std::sync::atomic::{AtomicU64, Ordering};

use super::grid::Cell;

/// A mark of a row's stitches: rows with the same mark have the same stitches, whichever grid they are in.
///
/// Every change of a row gives it a mark that never was, and copies of a grid keep their marks; so what was
/// worked out from a row holds for as long as its mark does. Equal rows may have different marks.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct RowMark(u64);

impl RowMark {
    /// So many marks that never were, the first of them.
    fn fresh(count: usize) -> u64 {
        static NEXT: AtomicU64 = AtomicU64::new(0);
        NEXT.fetch_add(count as u64, Ordering::Relaxed)
    }

    fn next() -> Self {
        Self(Self::fresh(1))
    }
}

/// What a grid knows of one of its rows beside the stitches.
#[derive(Clone, Copy, Debug)]
pub(super) struct RowState {
    pub mark: RowMark,
    /// How many of its cells are "no stitch".
    pub gaps: u32,
}

impl RowState {
    /// The states of rows that were never seen, `width` cells each.
    pub fn of_rows(cells: &[Cell], width: usize) -> Vec<Self> {
        let rows = cells.chunks_exact(width.max(1));
        (RowMark::fresh(rows.len())..)
            .zip(rows)
            .map(|(mark, row)| Self { mark: RowMark(mark), gaps: gaps(row) })
            .collect()
    }

    /// The row has changed and is `row` now.
    pub fn changed(&mut self, row: &[Cell]) {
        *self = Self { mark: RowMark::next(), gaps: gaps(row) };
    }

    /// One of the row's cells was `old` and is `new`.
    pub fn replaced(&mut self, old: Cell, new: Cell) {
        if old != new {
            *self = Self { mark: RowMark::next(), gaps: self.gaps + gaps(&[new]) - gaps(&[old]) };
        }
    }
}

fn gaps(row: &[Cell]) -> u32 {
    row.iter().map(|cell| u32::from(cell.index().is_none())).sum()
}
