//! Pieces: what is knitted, band by band, in every size.
//!
//! [`Piece`]s are edited; [`work`] turns them, with a [`Size`], a gauge and the chart, into
//! [`WorkedPiece`]s: stitches, rows, shaping, and where each chart sits.

mod body;
mod count;
mod count_rows;
mod error;
mod fabric;
mod model;
mod pace;
mod repeat_rows;
mod schematic;
mod shaping;
mod shelves;
mod taper;
mod template_sizes;
mod templates;
mod work;
mod worked;
mod yarn;

pub use body::{Body, Fit, Measure, SizeGroup, SizeTable, TableError, TableSize};
pub use count::{Count, Multiple, Rounding};
pub use error::{MAX_ROWS, MAX_STITCHES, PieceError, Unworkable};
pub use model::{Band, EndEdge, Fabric, Follow, Length, Piece, SetAside, Shaping, Size, StartEdge, Width};
pub use pace::Pace;
pub use repeat_rows::{Pattern, RepeatRows};
pub use schematic::{BandOutline, PieceOutline, PointCm};
pub use shaping::{Group, Interval, Schedule, change_across, evenly_across};
pub use shelves::{Room, Shelf, Shelves};
pub use templates::Template;
pub use work::{work, work_each};
pub use worked::{BandCells, ChartFit, WorkedBand, WorkedPiece};
pub use yarn::{ColourYarn, PieceColour, PieceYarn, PiecesYarn, PiecesYarnInput, Stock, YarnChange};
