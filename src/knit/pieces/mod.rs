//! Pieces: what is knitted, band by band, in every size.
//!
//! [`Piece`]s are edited; [`work`] turns them, with a [`Size`], a gauge and the chart, into
//! [`WorkedPiece`]s: stitches, rows, shaping, and where each chart sits.

mod bobbins;
mod body;
mod books;
mod count;
mod count_rows;
mod ease;
mod error;
#[cfg(test)]
mod fabric;
mod garment;
mod garment_neck;
mod garment_steeks;
mod gather;
mod ledger;
mod model;
mod openings;
mod pace;
mod repeat_rows;
mod schematic;
mod shaping;
mod shelves;
mod steek;
mod steps;
mod taper;
mod template_limbs;
mod template_sizes;
mod template_steeks;
mod templates;
mod work;
mod work_ends;
mod work_multiples;
mod work_steeks;
mod worked;
mod yarn;
pub mod yoke;

pub use bobbins::Bobbin;
pub use body::{Body, Fit, Measure, Measured, SizeGroup, SizeTable, TableError, TableSize};
pub use books::{Books, Unbooked, WorkedStep, cast_on_group};
pub use count::{Count, Multiple, Rounding};
pub use ease::{ease_as_worked, fitted, told_row};
pub use error::{MAX_ROWS, MAX_STITCHES, PieceError, Unworkable};
pub use garment::{Garment, LaidPiece, LaidRow};
pub use gather::{Gather, GatherGrade};
pub use ledger::{Entry, Group as LiveGroup, Ledger, LedgerError, StepAt, Way};
pub use model::{
    Band, EndEdge, Fabric, Follow, HeldFigures, Length, OwnFigures, Piece, Shaping, Size, StartEdge, Width,
    joined_in_order,
};
pub use openings::{Opening, OpeningKind, Tight, least_neck_cm, openings, tight};
pub use pace::{Pace, Ways};
pub use repeat_rows::{Pattern, RepeatRows};
pub use schematic::{BandOutline, PieceOutline, PointCm, RowEdges, RowPart};
pub use shaping::{Group, Interval, Schedule, evenly_across};
pub use shelves::{Footprint, PieceRow, PieceRows, Room};
pub use steek::{Gap, MOST_STEEKS, Span, SteekRow, Steeks};
pub use steps::{BindOff, CastOn, Finish, SetAside, Step, Take, bridge_group};
pub use template_sizes::{CHILD_GROUP, sizes_without_template};
pub use templates::Template;
pub use work::{work, work_each};
pub use worked::{BandCells, ChartFit, LivePart, Taken, WorkedBand, WorkedExtra, WorkedPiece, live_stitches};
pub use yarn::{ColourYarn, PieceColour, PieceYarn, PiecesYarn, PiecesYarnInput, YarnChange};
