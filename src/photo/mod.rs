//! Reading colours off photographs: the light corrected by a grey card, yarns sampled and found; the gauge of a swatch read
//! off its picture.
//!
//! Pure: no egui, no files. Decoding a file into a [`Picture`] is the work of `file`.

mod background;
mod balance;
mod card_edges;
mod card_shape;
mod cell_means;
mod cells;
mod certainty;
mod cluster;
mod doubt;
mod error;
mod evenness;
mod gauge;
mod jpeg_blocks;
mod known;
mod lattice;
mod light;
mod matrix;
mod oklab;
mod picture;
mod preview;
mod sample;
mod segment;
mod spread;
mod watch;

pub use balance::{Balance, Light, MAX_REFERENCES, Reference};
pub use cell_means::{CellMeans, cell_means};
pub use certainty::{ErrorEstimate, Relief, expected_errors};
pub use cluster::{MAX_FOUND, YarnProposal, find_yarns};
pub use error::{PhotoError, PhotoWarning};
pub use evenness::Evenness;
pub use gauge::{GaugeFault, GaugeReading, GaugeWarning, ID1_CARD_MM, Scale, read_gauge};
pub use known::{KnownYarn, known_colour};
pub use lattice::{LatticeFault, Place, Plane};
pub use light::LightSource;
pub use matrix::{D65_WHITE, ICC_WHITE, Matrix3, bradford};
pub use picture::{ColourSpace, Depth, Picture, Region, Samples};
pub use preview::{Preview, preview};
pub use sample::{YarnSample, sample_yarn, to_oklab};
pub use spread::{ColourPart, Spread};
pub use watch::Watch;
