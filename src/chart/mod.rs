//! The chart: a grid of stitches, what is painted on it, and what can be found in it.
//!
//! Pure: no egui, no files, no project.

mod areas;
mod catches;
mod contacts;
mod coverage;
mod grid;
mod likeness;
mod lone;
mod mend;
mod motif;
mod motif_fit;
mod outline_fit;
pub mod painting;
mod raster;
mod reduce;
mod region;
mod region_fit;
mod region_loss;
mod repeat_fit;
mod row_balance;
mod row_facts;
mod row_mark;
mod row_memo;
mod runs;
mod scatter;
mod seeds;
mod shapes;
mod symmetry;
mod tiles;
mod work;

pub use areas::Areas;
pub use catches::{Catch, catches_in, catches_in_row};
pub use contacts::{Contact, RowContact, Wrap, contacts, sum_of_rows, touching_places};
pub use grid::{Cell, Grid, GridError, MAX_SIDE, Point, Rect};
pub use lone::RepeatedRows;
pub use mend::{MendedFloats, mend_floats};
pub use motif::{MOST_MOTIF_NAME, MOST_MOTIF_SIDE, Motif, MotifError, MotifFacts, MotifKind};
pub use motif_fit::{
    LOOK_AHEAD, MOST_STRETCH, MotifFit, MotifProblem, SmallestFit, legibility, motif_fit, smallest_across,
    smallest_box,
};
pub use outline_fit::{Cover, Stitched, best_offset};
pub use raster::{Piece, Raster, Thinnest};
pub use reduce::{ReduceError, Reduced};
pub use region::Transform;
pub use region_fit::{Mirror, RegionFit, RegionProblem, ShapeMatch, region_fit};
pub use region_loss::Loss;
pub use repeat_fit::{EvenCount, PartialRepeat, RepeatFit, repeat_fit};
pub use row_balance::{RowImbalance, balance_rows, row_imbalances, stitches_in_row, taken_by_row};
pub use row_facts::{RepeatHow, RowFacts, RowFactsMemo, row_facts};
pub use row_mark::RowMark;
pub use row_memo::{RowMemo, each_worked};
pub use runs::{Float, Run, RunList, colours_in_row, long_floats_in_row, runs};
pub use scatter::stirred;
pub use seeds::{Seed, SeedCount, Seeds};
pub use shapes::BasicShape;
pub use symmetry::{Axis, Image, Mirrors, Placed, Symmetry};
pub use tiles::{Lay, Tiles};
pub use work::{Ink, Work};
