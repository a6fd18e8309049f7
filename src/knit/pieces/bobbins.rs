//! The bobbins of intarsia: one for each area of a colour, with the stitches it knits.

use super::repeat_rows::Pattern;
use super::worked::WorkedPiece;
use crate::chart::Cell;
use crate::knit::Technique;
use crate::knit::areas::{Span, continued};

/// Yarn for one area of a colour.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Bobbin {
    /// The palette slot.
    pub slot: usize,
    /// Stitches knitted from it.
    pub stitches: u64,
}

/// Stitches of one colour side by side, and the bobbin they are knitted from.
#[derive(Clone, Copy)]
struct Run {
    slot: usize,
    span: Span,
    bobbin: usize,
}

impl WorkedPiece {
    /// The bobbins of its intarsia, in the order they are taken up; those of one copy. A bobbin
    /// goes on as it does where tails are counted; nothing below a band is at hand.
    pub fn bobbins(&self, pattern: &Pattern) -> Vec<Bobbin> {
        let mut bobbins: Vec<Bobbin> = Vec::new();
        let intarsia =
            |band: &&super::WorkedBand| band.chart.is_some() && band.technique == Technique::Intarsia;
        for band in self.bands.iter().filter(intarsia) {
            let Some(cells) = band.cells(pattern) else { continue };
            let mut row = Vec::new();
            let mut below: Vec<Run> = Vec::new();
            for r in 0..band.rows() {
                cells.row(r, &mut row);
                below = next_row(&row, &below, &mut bobbins);
            }
        }
        bobbins
    }
}

fn next_row(row: &[Cell], below: &[Run], bobbins: &mut Vec<Bobbin>) -> Vec<Run> {
    let mut runs: Vec<Run> = Vec::new();
    let mut from = 0;
    let worked: Vec<usize> = row.iter().filter_map(|cell| cell.index()).collect();
    for stitches in worked.chunk_by(|a, b| a == b) {
        let to = from + stitches.len() as u32;
        runs.push(Run { slot: stitches[0], span: (from, to), bobbin: usize::MAX });
        from = to;
    }
    for slot in 0..=runs.iter().map(|run| run.slot).max().unwrap_or(0) {
        let of = |runs: &[Run]| -> Vec<usize> { (0..runs.len()).filter(|i| runs[*i].slot == slot).collect() };
        let (under, over) = (of(below), of(&runs));
        let spans =
            |runs: &[Run], places: &[usize]| -> Vec<Span> { places.iter().map(|i| runs[*i].span).collect() };
        for (a, b) in continued(&spans(below, &under), &spans(&runs, &over)) {
            runs[over[b]].bobbin = below[under[a]].bobbin;
        }
    }
    for run in &mut runs {
        if run.bobbin == usize::MAX {
            run.bobbin = bobbins.len();
            bobbins.push(Bobbin { slot: run.slot, stitches: 0 });
        }
        bobbins[run.bobbin].stitches += u64::from(run.span.1 - run.span.0);
    }
    runs
}

#[cfg(test)]
mod tests {
    use super::super::{Band, Fabric, Length, Piece, Size, Width, work};
    use super::*;
    use crate::chart::{Cell, Grid, Point};
    use crate::knit::{Construction, Gauge};

    #[test]
    fn an_area_has_a_bobbin_and_one_that_splits_has_two() {
        // Bottom row last.
        let drawn = ["0011100", "0100010", "0011100", "0000000"];
        let mut grid = Grid::new(7, 4, Cell::slot(0)).unwrap();
        for (y, row) in drawn.iter().rev().enumerate() {
            for (x, c) in row.bytes().enumerate() {
                grid.set(Point::new(x as u32, y as u32), Cell::slot(c - b'0'));
            }
        }
        let pattern = Pattern { grid: &grid, repeat: grid.bounds() };
        let band = Band::new("Chart", Fabric::Chart { region: None, edge: 0 }, Length::Repeats(1), 0);
        let band = Band { technique: Technique::Intarsia, ..band.from(Width::Stitches(7)) };
        let piece = Piece::new("Square", Construction::Flat, vec![band]);
        let gauge = Gauge::new(20.0, 28.0).unwrap();
        let worked = work(&[piece], &Size::one_size(), gauge, &pattern).unwrap();
        let bobbins = worked[0].bobbins(&pattern);
        let total: u64 = bobbins.iter().map(|bobbin| bobbin.stitches).sum();
        assert_eq!(total, 28);
        let of = |slot: usize| bobbins.iter().filter(|bobbin| bobbin.slot == slot).count();
        // The ground splits round the ring and has a third area inside it; a ring takes two bobbins.
        assert_eq!((of(0), of(1)), (3, 2));
    }
}
