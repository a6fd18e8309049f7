//! A patch made smaller by whole factors, block by block.

use thiserror::Error;

use super::grid::{Cell, Grid, GridError, Point};

/// A smaller patch and what it cost.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Reduced {
    /// One stitch for each block.
    pub grid: Grid,
    /// Blocks of more than one colour, whose lesser colours are lost; 0 when nothing is.
    pub mixed: u32,
    /// Blocks in all.
    pub blocks: u32,
}

/// Why a patch cannot be made smaller.
#[derive(Clone, Debug, Error, PartialEq, Eq)]
pub enum ReduceError {
    /// The patch is no whole number of blocks.
    #[error("{width} \u{d7} {height} stitches are no whole number of blocks of {across} \u{d7} {up}; choose {} \u{d7} {}",
        whole(*width, *across), whole(*height, *up))]
    NotWhole {
        /// Stitches across.
        width: u32,
        /// Rows.
        height: u32,
        /// Stitches of a block.
        across: u32,
        /// Rows of a block.
        up: u32,
    },
    /// A factor of 0.
    #[error(transparent)]
    Grid(#[from] GridError),
}

/// The nearest whole number of blocks, at least one.
const fn whole(side: u32, block: u32) -> u32 {
    let below = side - side % block;
    if below == 0 { block } else { below }
}

impl Grid {
    /// The grid with each block of `across` stitches and `up` rows made one stitch, worked plain, of the colour
    /// that most of the block has. Where two have as many, the one that is rarer in the whole patch stands: a
    /// figure outlives its ground, and what was mirrored or turned stays so. It undoes [`Grid::scaled`].
    ///
    /// # Errors
    /// [`ReduceError::NotWhole`] when a side is no multiple of its factor, and a factor of 0.
    pub fn reduced(&self, across: u32, up: u32) -> Result<Reduced, ReduceError> {
        let (width, height) = (self.width(), self.height());
        Self::check_size(across.into(), up.into())?;
        if !width.is_multiple_of(across) || !height.is_multiple_of(up) {
            return Err(ReduceError::NotWhole { width, height, across, up });
        }
        let place = |cell: Cell| cell.index().unwrap_or(Cell::MAX_SLOTS);
        let mut all = [0_u32; Cell::MAX_SLOTS + 1];
        self.cells().iter().for_each(|cell| all[place(*cell)] += 1);
        let (columns, rows) = (width / across, height / up);
        let mut grid = Self::new(columns, rows, Cell::NO_STITCH)?;
        let mut mixed = 0;
        for to in grid.bounds().points() {
            let mut counts = [0_u32; Cell::MAX_SLOTS + 1];
            for (x, y) in (0..up).flat_map(|y| (0..across).map(move |x| (x, y))) {
                let from = Point::new(to.x * across + x, to.y * up + y);
                counts[self.get(from).map_or(Cell::MAX_SLOTS, place)] += 1;
            }
            let found = (0..=Cell::MAX_SLOTS).filter(|slot| counts[*slot] > 0);
            // Last of all the slot itself, so that there is one answer.
            let best = found
                .clone()
                .max_by_key(|slot| (counts[*slot], std::cmp::Reverse(all[*slot]), std::cmp::Reverse(*slot)));
            mixed += u32::from(found.count() > 1);
            if let Some(slot) = best.filter(|slot| *slot < Cell::MAX_SLOTS) {
                grid.set(to, Cell::slot(slot as u8));
            }
        }
        Ok(Reduced { grid, mixed, blocks: columns * rows })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::Transform;
    use proptest::prelude::*;

    fn grid(rows: &[&str]) -> Grid {
        let cells = rows.iter().rev().flat_map(|row| row.bytes().map(|b| Cell::slot(b - b'0'))).collect();
        Grid::from_cells(rows[0].len() as u32, rows.len() as u32, cells).unwrap()
    }

    #[test]
    fn most_stitches_win_and_a_tie_goes_to_the_figure() {
        let reduced = grid(&["0011", "0001", "0100", "0100"]).reduced(2, 2).unwrap();
        // Above: all ground; three figures of four. Below: two of each; all ground.
        assert_eq!(reduced.grid, grid(&["01", "10"]));
        assert_eq!((reduced.mixed, reduced.blocks), (2, 4));
    }

    #[test]
    fn what_is_no_whole_number_of_blocks_is_refused_with_the_mend() {
        let error = grid(&["00000"]).reduced(2, 1).unwrap_err();
        assert!(error.to_string().ends_with("choose 4 \u{d7} 1"), "{error}");
        assert!(grid(&["00"]).reduced(3, 1).unwrap_err().to_string().ends_with("choose 3 \u{d7} 1"));
        assert!(matches!(grid(&["00"]).reduced(0, 1), Err(ReduceError::Grid(_))));
    }

    fn any_grid() -> impl Strategy<Value = Grid> {
        (1_u32..7, 1_u32..7).prop_flat_map(|(width, height)| {
            let cell = prop_oneof![(0_u8..4).prop_map(Cell::slot), Just(Cell::NO_STITCH)];
            proptest::collection::vec(cell, (width * height) as usize)
                .prop_map(move |cells| Grid::from_cells(width, height, cells).unwrap())
        })
    }

    proptest! {
        #[test]
        fn it_undoes_scaling(grid in any_grid(), across in 1_u32..5, up in 1_u32..5) {
            let reduced = grid.scaled(across, up).unwrap().reduced(across, up).unwrap();
            prop_assert_eq!(reduced.mixed, 0);
            prop_assert_eq!(reduced.grid, grid);
        }

        #[test]
        fn it_goes_with_mirrors_and_turns(grid in any_grid(), factor in 1_u32..4) {
            // Blocks of other colours than their own, too.
            let mut large = grid.scaled(factor, factor).unwrap();
            large.set(Point::new(0, 0), Cell::slot(1));
            let plain = large.reduced(factor, factor).unwrap().grid;
            for transform in [Transform::MirrorLeftRight, Transform::MirrorUpDown, Transform::TurnLeft] {
                let moved = large.transformed(transform).reduced(factor, factor).unwrap().grid;
                prop_assert_eq!(moved, plain.transformed(transform));
            }
        }
    }
}
