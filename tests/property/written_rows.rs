//! Written rows parsed back give the same stitches.

use huegauge::chart::{Cell, Grid, Rect, Work};
use huegauge::export::written_rows::{RowStyle, written_rows};
use huegauge::knit::Construction;
use proptest::prelude::*;

use crate::read_rows::parse_rows;

const SLOTS: u8 = 4;

/// Charts of random stitches, of stripes, and of a small motif that repeats, with gaps here and there.
fn grid() -> impl Strategy<Value = Grid> {
    let shaped = (0..SLOTS, prop::sample::select(Work::ALL.to_vec()))
        .prop_map(|(slot, work)| Cell::slot(slot).worked(work));
    let cell = prop_oneof![18 => (0..SLOTS).prop_map(Cell::slot), 2 => Just(Cell::NO_STITCH), 1 => shaped];
    (1u32..30, 1u32..9, 1u32..6).prop_flat_map(move |(width, height, period)| {
        prop::collection::vec(cell.clone(), (width * height) as usize).prop_map(move |cells| {
            let repeated = |i: usize| {
                let (x, y) = (i as u32 % width, i as u32 / width);
                // The lowest rows repeat sideways; the topmost keep their random stitches.
                let x = if y < height / 2 { x % period.min(width) } else { x };
                cells[(y * width + x) as usize]
            };
            Grid::from_cells(width, height, (0..cells.len()).map(repeated).collect()).unwrap()
        })
    })
}

proptest! {
    #[test]
    fn written_rows_read_back_give_the_same_chart(
        grid in grid(),
        box_from in 0u32..30,
        box_width in 1u32..30,
        construction in prop::sample::select(Construction::ALL.to_vec()),
        repeated: bool,
    ) {
        let names: Vec<String> = ["A", "B", "C", "D"].map(str::to_owned).to_vec();
        let style = RowStyle { construction, repeated, names: &names };
        let x = box_from % grid.width();
        let repeat = Rect::new(x, 0, box_width.min(grid.width() - x), grid.height());
        let text = written_rows(&grid, repeat, style);
        let worked = |y| grid.row(y).iter().copied().filter(|cell| cell.index().is_some()).collect();
        let rows: Vec<Vec<Cell>> = (0..grid.height()).map(worked).collect();
        prop_assert_eq!(&parse_rows(&text, style).unwrap(), &rows, "{}", text);
        prop_assert!(!text.contains("no st"), "{}", text);
    }
}
