//! The lattice of a knitted fabric: how wide its stitches are and how high its rows, by their frequency.
//!
//! A stitch of stockinette is a V: its legs lean to either side, so the direction of what is seen swings to and fro
//! once a stitch, whatever the colours are. That gives the columns, and never half of them. Rows are the
//! frequency down the columns at which the legs repeat, summed over all the places where a lattice with
//! these columns must have it.

mod flat;
mod hills;
mod plane;
mod search;
mod spectrum;

pub use flat::{Frame, between_pixels};
pub use plane::{Place, Plane};
pub use spectrum::Frequency;

use flat::Flat;
use search::{Courses, Wales};
use thiserror::Error;

/// Why no lattice was found, in words a knitter can act on.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum LatticeFault {
    /// Corners that are none of a rectangle.
    #[error(
        "the corners of the swatch are not those of a rectangle: name them clockwise, from its top left as it is knitted"
    )]
    NoQuadrilateral,
    /// A swatch of a few stitches.
    #[error(
        "the swatch is {width:.0} x {height:.0} mm large, too small to count on: choose at least {least:.0} mm each way"
    )]
    TooSmall {
        /// Width in mm.
        width: f64,
        /// Height in mm.
        height: f64,
        /// Least side in mm.
        least: f64,
    },
    /// Beyond the horizon.
    #[error("seen as the card is, the swatch would lie beyond the horizon: check the corners of the card")]
    Horizon,
    /// Corners outside the picture.
    #[error("the swatch leaves the picture: put its corners inside")]
    Outside,
    /// A photograph too coarse.
    #[error("the picture has {per_mm:.1} pixels in a mm on the swatch, too few to see stitches: go nearer")]
    Coarse {
        /// Pixels in a mm.
        per_mm: f64,
    },
    /// No columns of stitches.
    #[error(
        "no clear columns of stitches are seen: show the right side of plain or stranded knitting, sharp, evenly lit and with its columns upright between the corners"
    )]
    NoColumns,
    /// No rows.
    #[error(
        "no clear rows are seen: show the right side of plain or stranded knitting, sharp and evenly lit"
    )]
    NoRows,
    /// Two answers, and nothing to tell which.
    #[error(
        "there may be {:.1} or {:.1} {what} in 10 cm: a motif in strong contrast hides them; mark a plain part, or one with another motif",
        counts[0],
        counts[1]
    )]
    OneOrOther {
        /// `stitches` or `rows`.
        what: &'static str,
        /// In 10 cm, either way.
        counts: [f64; 2],
    },
    /// Stitches or rows grow steadily from one side of the swatch to the other.
    #[error(
        "the {what} grow by {percent:.0} % from one side of the swatch to the other, as they do when a corner of the card is misplaced: check its corners first, then that card and swatch lie flat on one table"
    )]
    Drift {
        /// `stitches` or `rows`.
        what: &'static str,
        /// How much.
        percent: f64,
    },
    /// Parts of the swatch say different things.
    #[error(
        "parts of the swatch differ by {percent:.0} % in their {what}: lay it flat and straight, and mark a part that is knitted evenly"
    )]
    Uneven {
        /// `stitches` or `rows`.
        what: &'static str,
        /// How far they differ.
        percent: f64,
    },
}

/// What was found.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Lattice {
    /// Where it was looked for.
    pub frame: Frame,
    /// Width of a stitch along its row, in mm.
    pub stitch_mm: f64,
    /// Height of a row along the column, in mm.
    pub row_mm: f64,
    /// One standard deviation of the width, as a share of it; what the plane's own error adds is not in it.
    pub stitch_error: f64,
    /// The same of the height.
    pub row_error: f64,
    /// Frequency of the columns and of the rows, in cycles in a mm on the frame.
    pub columns: Frequency,
    /// See `columns`.
    pub rows: Frequency,
    /// Turns (`0..1`) of either at the middle of the frame.
    pub phase: [f64; 2],
    /// How far the peaks stand out over what is round about: columns, rows.
    pub clearness: [f64; 2],
    /// How much stitches and rows grow steadily from side to side, as a share: 0 where they do not.
    pub drift: [f64; 2],
}

impl Lattice {
    /// Looks for the lattice of a swatch whose corners are given in mm on the plane, clockwise from the top left as it is
    /// knitted. `light` gives the light of a pixel, `0..=1`.
    ///
    /// # Errors
    /// [`LatticeFault`] when there is no clear frequency.
    pub fn find(
        light: &dyn Fn(u32, u32) -> f32,
        size: (u32, u32),
        plane: &Plane,
        corners: [Place; 4],
    ) -> Result<Self, LatticeFault> {
        let frame = Frame::within(corners)?;
        let flat = Flat::of(light, size, plane, &frame)?;
        if flat.per_mm < 1.0 {
            return Err(LatticeFault::Coarse { per_mm: flat.per_mm });
        }
        let candidates = Wales::candidates(&flat);
        if candidates.is_empty() {
            return Err(LatticeFault::NoColumns);
        }
        let both: Vec<Both> =
            candidates.into_iter().filter_map(|wales| Some((Courses::find(&flat, &wales)?, wales))).collect();
        let ((courses, wales), coarser) = likeliest(&both).ok_or(LatticeFault::NoRows)?;
        let (columns, rows) = (wales.frequency, courses.frequency);
        let (stitch_mm, row_mm) = lengths(columns, rows);
        let per_10_cm = |mm: [f64; 2]| mm.map(|mm| 100.0 / mm);
        if let Some((_, wales)) = coarser {
            let counts = per_10_cm([stitch_mm, 1.0 / wales.frequency[0]]);
            return Err(LatticeFault::OneOrOther { what: "stitches", counts });
        }
        if let Some(rival) = courses.rival {
            let counts = per_10_cm([row_mm, lengths(columns, rival).1]);
            return Err(LatticeFault::OneOrOther { what: "rows", counts });
        }
        let parts = [wales.parts(), courses.parts(wales)];
        let [stitch_error, row_error] = parts.map(|parts| parts.error());
        for (what, parts) in ["stitches", "rows"].into_iter().zip(parts) {
            let error = parts.error();
            match parts.drift() {
                _ if error <= MOST_ERROR => {}
                Some(drift) => return Err(LatticeFault::Drift { what, percent: 100.0 * drift }),
                None => return Err(LatticeFault::Uneven { what, percent: 100.0 * error }),
            }
        }
        let drift = parts.map(|parts| parts.drift().unwrap_or(0.0));
        Ok(Self {
            frame,
            stitch_mm,
            row_mm,
            stitch_error,
            row_error,
            columns,
            rows,
            phase: [wales.phase, courses.phase],
            clearness: [wales.clearness, courses.clearness],
            drift,
        })
    }

    /// The lines of the grid on the plane, in mm: between columns of stitches, then between rows; each its two ends.
    pub fn lines(&self) -> [Vec<[Place; 2]>; 2] {
        [(self.columns, self.phase[0]), (self.rows, self.phase[1])].map(|(frequency, phase)| {
            let corners = self.corners();
            let turns = corners.map(|[x, y]| frequency[0] * x + frequency[1] * y + phase);
            let (low, high) =
                (turns.into_iter().fold(f64::MAX, f64::min), turns.into_iter().fold(f64::MIN, f64::max));
            (low.ceil() as i64..=high.floor() as i64)
                .filter_map(|turn| {
                    let mut ends = (0..4).filter_map(|i| {
                        let (from, to) = (turns[i] - turn as f64, turns[(i + 1) % 4] - turn as f64);
                        let crosses = (from <= 0.0) != (to <= 0.0);
                        let share = from / (from - to);
                        let (a, b) = (corners[i], corners[(i + 1) % 4]);
                        crosses.then(|| [0, 1].map(|k| a[k] + share * (b[k] - a[k])))
                    });
                    Some([ends.next()?, ends.next()?].map(|place| self.frame.plane_place(place)))
                })
                .collect()
        })
    }

    fn corners(&self) -> [Place; 4] {
        let (x, y) = (self.frame.width / 2.0, self.frame.height / 2.0);
        [[-x, -y], [x, -y], [x, y], [-x, y]]
    }
}

/// Rows with their columns.
type Both = (Courses, Wales);

/// The clearest of several lattices, and one of twice or three times the stitch and the row that is nearly as clear, if there is one:
/// the legs and plies of stitches look like smaller ones, and a motif in blocks like larger ones.
fn likeliest(found: &[Both]) -> Option<(&Both, Option<&Both>)> {
    let clearest = found.iter().max_by(|(a, _), (b, _)| a.score.total_cmp(&b.score))?;
    let coarser = found.iter().find(|(courses, wales)| {
        let times =
            [clearest.1.frequency[0] / wales.frequency[0], clearest.0.frequency[1] / courses.frequency[1]];
        let is = |n: f64| times.into_iter().all(|times| (times / n - 1.0).abs() < 0.02);
        (is(2.0) || is(3.0)) && courses.score > NEARLY * clearest.0.score
    });
    Some((clearest, coarser))
}

/// A score that is nearly another, our judgement after looking at a few generated pictures.
const NEARLY: f64 = 0.8;

/// Parts that differ by more say nothing together: our judgement, three times what is still useful.
const MOST_ERROR: f64 = 0.015;

/// Width of a stitch along its row and height of a row along its column, from the frequencies of the columns and of the rows: the
/// lengths of the lattice whose reciprocal they span.
pub(super) fn lengths(columns: Frequency, rows: Frequency) -> (f64, f64) {
    let determinant = (columns[0] * rows[1] - columns[1] * rows[0]).abs();
    (rows[0].hypot(rows[1]) / determinant, columns[0].hypot(columns[1]) / determinant)
}
