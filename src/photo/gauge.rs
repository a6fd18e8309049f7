//! Gauge read off a photograph of a swatch beside something of known size.

use super::card_edges::{FoundCorners, find_corners};
use super::card_shape::{ShapeMisfit, misfit};
use super::jpeg_blocks::are_blocks;
use super::lattice::{Lattice, LatticeFault, Place, Plane};
use super::picture::Picture;
use thiserror::Error;

/// Width and height of an ID-1 card in mm, ISO/IEC 7810:2019 (bank and identity cards).
pub const ID1_CARD_MM: (f64, f64) = (85.60, 53.98);
/// How far a place that was put by hand is off, in pixels of a picture that is no longer than [`PLACED_ON_PX`]: one standard
/// deviation, our judgement. A larger one is looked at smaller, and so is the hand's error in it larger.
const HAND_ERROR_PX: f64 = 2.0;
/// Longer side of a picture that is looked at as it is, in pixels.
const PLACED_ON_PX: f64 = 1500.0;
/// Corners that are out of shape by more standard errors are told.
const MOST_SHAPE_ERRORS: f64 = 3.5;
/// Corners that are out of shape by more are those of something else, in per cent: our judgement.
const MOST_SHAPE_PERCENT: f64 = 8.0;
/// Stitches or rows that grow steadily by more from side to side are told, as a share: our judgement.
const MOST_DRIFT: f64 = 0.025;
/// Fewer stitches or rows across make a warning: a gauge is counted over 10 cm, in thick yarn about 10 stitches.
const FEW: f64 = 10.0;

/// What tells the scale.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Scale {
    /// An ID-1 card, its corners in pixels, clockwise from any of them.
    Card([Place; 4]),
    /// A rectangle of known width and height in mm, its corners clockwise from its top left.
    Rectangle {
        /// In pixels.
        corners: [Place; 4],
        /// In mm.
        width: f64,
        /// In mm.
        height: f64,
    },
    /// Two places a known length apart (on a ruler, or across a coin), seen from straight above.
    Length {
        /// In pixels.
        ends: [Place; 2],
        /// In mm.
        mm: f64,
    },
}

/// Why no gauge was read.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum GaugeFault {
    /// The corners are none of a card.
    #[error(
        "these are no corners of a card seen from its front: name all four, clockwise, from its top left"
    )]
    NoCard,
    /// Corners of something of another shape.
    #[error(
        "the corners make no rectangle of {width:.1} x {height:.1} mm from wherever it is seen (its sides are {percent:.0} % out): put each where the straight edges would meet, or name another known size"
    )]
    NotThatShape {
        /// In mm.
        width: f64,
        /// In mm.
        height: f64,
        /// How far its sides are out of proportion or square.
        percent: f64,
    },
    /// The blocks of the file's compression.
    #[error(
        "what repeats here are the 8-pixel blocks of the JPEG, not stitches: take the photograph from nearer, or save it in a better quality"
    )]
    JpegBlocks,
    /// A length that is none.
    #[error("the two ends of the scale must lie apart, and a length be between 1 and 2000 mm, not {0}")]
    NoLength(f64),
    /// A corner outside the picture.
    #[error("the corner {x:.0},{y:.0} lies outside the picture, which is {width} x {height} pixels")]
    Outside {
        /// Pixels from the left.
        x: f64,
        /// Pixels from the top.
        y: f64,
        /// Of the picture.
        width: u32,
        /// Of the picture.
        height: u32,
    },
    /// No lattice.
    #[error(transparent)]
    Lattice(#[from] LatticeFault),
}

/// What makes a gauge less certain.
#[derive(Clone, Copy, Debug, Error, PartialEq)]
pub enum GaugeWarning {
    /// Two places tell nothing of the tilt.
    #[error(
        "a length tells the scale and not the tilt: hold the camera straight above, or lay a card beside the swatch"
    )]
    NoTilt,
    /// The card is seen from far aside.
    #[error(
        "the card is seen {times:.1} times as large at one end as at the other: hold the camera more upright"
    )]
    StrongTilt {
        /// Longest over shortest side against the other.
        times: f64,
    },
    /// Few stitches or rows.
    #[error("only {count:.0} {what} lie between the corners: a larger swatch is surer")]
    Few {
        /// `stitches` or `rows`.
        what: &'static str,
        /// How many.
        count: f64,
    },
    /// The edges of the card were not found, so the corners count as they were placed.
    #[error(
        "{count} of the 4 edges are not seen clearly in the picture: there the corners count as placed by hand"
    )]
    EdgesNotSeen {
        /// How many.
        count: usize,
    },
    /// The corners are not quite those of the card.
    #[error(
        "the corners are {percent:.1} % off the shape of the card: put each where its straight edges would meet; the error is larger for it"
    )]
    OutOfShape {
        /// How far its sides are out of proportion or square.
        percent: f64,
    },
    /// Stitches or rows grow from side to side.
    #[error(
        "the {what} grow by {percent:.1} % from one side of the swatch to the other: a corner of the card may be misplaced, or the swatch not lie flat; the error is larger for it"
    )]
    Drift {
        /// `stitches` or `rows`.
        what: &'static str,
        /// How much.
        percent: f64,
    },
    /// The corners of the card decide most of the error.
    #[error(
        "the corners of the card tell the scale to {percent:.1} % only: place them more exactly, or lay the card nearer and go closer"
    )]
    CardUnsure {
        /// One standard deviation in per cent.
        percent: f64,
    },
}

/// A gauge off a photograph.
#[derive(Clone, Debug, PartialEq)]
pub struct GaugeReading {
    /// Stitches in 10 cm.
    pub stitches_per_10_cm: f64,
    /// Rows in 10 cm.
    pub rows_per_10_cm: f64,
    /// One standard deviation, in stitches per 10 cm.
    pub stitches_error: f64,
    /// One standard deviation, in rows per 10 cm.
    pub rows_error: f64,
    /// What makes it less certain.
    pub warnings: Vec<GaugeWarning>,
    /// The size of what was read, in mm along the rows and down the columns.
    pub read_mm: (f64, f64),
    /// The places of the scale as they were taken, in pixels: on the edges of the card where those were found.
    pub scale_places: Vec<Place>,
    /// How many edges of the card were found in the picture.
    pub edges_found: usize,
    /// Lines of the grid in pixels, between columns and between rows; each its two ends.
    pub grid: [Vec<[Place; 2]>; 2],
}

impl Scale {
    /// Its places in the picture.
    pub fn places(&self) -> Vec<Place> {
        match self {
            Self::Card(corners) | Self::Rectangle { corners, .. } => corners.to_vec(),
            Self::Length { ends, .. } => ends.to_vec(),
        }
    }

    /// Its four corners with the size of the rectangle in mm; `None` for a length.
    fn rectangle(&self) -> Option<([Place; 4], (f64, f64))> {
        match *self {
            Self::Card(corners) => {
                let side = |i: usize| apart(corners[i], corners[(i + 1) % 4]);
                // It lies on its long or on its short side.
                let long_first = side(0) + side(2) >= side(1) + side(3);
                let (long, short) = ID1_CARD_MM;
                Some((corners, if long_first { (long, short) } else { (short, long) }))
            }
            Self::Rectangle { corners, width, height } => Some((corners, (width, height))),
            Self::Length { .. } => None,
        }
    }

    fn with_places(self, places: &[Place]) -> Self {
        let at = |i: usize| places.get(i).copied().unwrap_or_default();
        let four = [at(0), at(1), at(2), at(3)];
        match self {
            Self::Card(_) => Self::Card(four),
            Self::Rectangle { width, height, .. } => Self::Rectangle { corners: four, width, height },
            Self::Length { mm, .. } => Self::Length { ends: [at(0), at(1)], mm },
        }
    }

    fn plane(&self) -> Result<Plane, GaugeFault> {
        match *self {
            Self::Card(_) | Self::Rectangle { .. } => {
                let (corners, (width, height)) = self.rectangle().ok_or(GaugeFault::NoCard)?;
                for side in [width, height] {
                    if !(1.0..=2_000.0).contains(&side) {
                        return Err(GaugeFault::NoLength(side));
                    }
                }
                Plane::of_rectangle(corners, (width, height)).ok_or(GaugeFault::NoCard)
            }
            Self::Length { ends: [from, to], mm } => {
                let px = apart(from, to);
                let sound = (1.0..=2_000.0).contains(&mm) && px > 2.0;
                let plane = if sound { Plane::from_above(mm / px) } else { None };
                plane.ok_or(GaugeFault::NoLength(mm))
            }
        }
    }
}

/// Reads the gauge of the swatch between `swatch` (corners in pixels, clockwise, the top edge along the rows).
///
/// # Errors
/// [`GaugeFault`] when the corners are wrong or no clear frequency is there.
pub fn read_gauge(picture: &Picture, scale: &Scale, swatch: [Place; 4]) -> Result<GaugeReading, GaugeFault> {
    let (width, height) = (picture.width(), picture.height());
    let inside =
        |[x, y]: Place| (0.0..=f64::from(width)).contains(&x) && (0.0..=f64::from(height)).contains(&y);
    if let Some([x, y]) = scale.places().into_iter().chain(swatch).find(|place| !inside(*place)) {
        return Err(GaugeFault::Outside { x, y, width, height });
    }
    // What was placed must be a card before its edges are looked for.
    scale.plane()?;
    let placed = Placed::find(picture, scale);
    let plane = placed.scale.plane()?;
    placed.hold_shape()?;
    let corners = on_plane(&plane, swatch)?;
    let luminance = picture.to_xyz().0[1].map(|share| share as f32);
    let light = |x: u32, y: u32| {
        let ([r, g, b], _) = picture.linear(x, y);
        luminance[0] * r + luminance[1] * g + luminance[2] * b
    };
    let lattice = Lattice::find(&light, (width, height), &plane, corners)?;
    if are_the_blocks(&light, (width, height), &plane, (&lattice, swatch)) {
        return Err(GaugeFault::JpegBlocks);
    }
    let card = placed.scale_error(&plane, &lattice);
    let drift = lattice.drift.map(|drift| if drift > MOST_DRIFT { drift } else { 0.0 });
    // The middle is off by no more than half of what its sides differ.
    let error = |own: f64, axis: usize| own.hypot(card[axis]).hypot(drift[axis] / 4.0);
    let per_10_cm = |mm: f64| 100.0 / mm;
    let (stitches, rows) = (per_10_cm(lattice.stitch_mm), per_10_cm(lattice.row_mm));
    let frame = lattice.frame;
    let read = (frame.width, frame.height);
    let grid = lattice
        .lines()
        .map(|lines| lines.into_iter().filter_map(|[a, b]| Some([plane.px(a)?, plane.px(b)?])).collect());
    let counts = [("stitches", read.0 / lattice.stitch_mm), ("rows", read.1 / lattice.row_mm)];
    Ok(GaugeReading {
        stitches_per_10_cm: stitches,
        rows_per_10_cm: rows,
        stitches_error: stitches * error(lattice.stitch_error, 0),
        rows_error: rows * error(lattice.row_error, 1),
        warnings: placed.warnings(card, counts, drift),
        read_mm: read,
        scale_places: placed.scale.places(),
        edges_found: placed.edges_found(),
        grid,
    })
}

/// Whether what repeats are the blocks of the file's compression.
fn are_the_blocks(
    light: &dyn Fn(u32, u32) -> f32,
    (width, height): (u32, u32),
    plane: &Plane,
    (lattice, swatch): (&Lattice, [Place; 4]),
) -> bool {
    let ends = |axis: usize, most: u32| {
        let of = swatch.map(|place| place[axis]);
        let (low, high) =
            (of.iter().fold(f64::MAX, |a, b| a.min(*b)), of.iter().fold(0.0_f64, |a, b| a.max(*b)));
        (low.max(0.0) as u32, (high as u32).min(most))
    };
    let ((left, right), (top, bottom)) = (ends(0, width), ends(1, height));
    // One wave of either, square to its lines.
    let steps = [lattice.columns, lattice.rows].map(|[x, y]| {
        let square = x * x + y * y;
        [[0.0, 0.0], [x / square, y / square]].map(|place| lattice.frame.plane_place(place))
    });
    are_blocks(light, (left, top), (right, bottom), plane, steps)
}

/// The scale as it was placed, put right on the edges that are seen, and how sure each place of it is.
struct Placed {
    scale: Scale,
    /// Pixels each way, one standard deviation.
    unsure: Vec<f64>,
    found: Option<FoundCorners>,
    shape: Option<ShapeMisfit>,
}

impl Placed {
    fn find(picture: &Picture, scale: &Scale) -> Self {
        let size = (picture.width(), picture.height());
        let hand = HAND_ERROR_PX * (f64::from(size.0.max(size.1)) / PLACED_ON_PX).max(1.0);
        let Some((corners, mm)) = scale.rectangle() else {
            return Self { scale: *scale, unsure: vec![hand; 2], found: None, shape: None };
        };
        let light = |x: u32, y: u32| picture.linear(x, y).0;
        let found = find_corners(&light, size, corners, hand);
        // What is put right must still be a card.
        let put_right = scale.with_places(&found.corners);
        let (scale, found) = match put_right.plane() {
            Ok(_) => (put_right, found),
            Err(_) => (*scale, FoundCorners { corners, errors: [hand; 4], edges: [false; 4] }),
        };
        let shape = misfit(found.corners, found.errors, mm, size);
        Self { scale, unsure: found.errors.to_vec(), found: Some(found), shape }
    }

    fn edges_found(&self) -> usize {
        self.found.map_or(0, |found| found.edges.iter().filter(|found| **found).count())
    }

    /// The misfit of the corners, where it is more than they are unsure by.
    fn out_of_shape(&self) -> Option<f64> {
        self.shape.filter(|shape| shape.errors > MOST_SHAPE_ERRORS).map(|shape| shape.percent)
    }

    /// # Errors
    /// [`GaugeFault::NotThatShape`] when it is none of the size that was said.
    fn hold_shape(&self) -> Result<(), GaugeFault> {
        match (self.out_of_shape(), self.scale.rectangle()) {
            (Some(percent), Some((_, (width, height)))) if percent > MOST_SHAPE_PERCENT => {
                Err(GaugeFault::NotThatShape { width, height, percent })
            }
            _ => Ok(()),
        }
    }

    /// What the places of the scale leave open of the swatch's scale, as a share: each moved by its error, all added in
    /// quadrature, and what they are out of shape. Along the rows, and down the columns.
    fn scale_error(&self, plane: &Plane, lattice: &Lattice) -> [f64; 2] {
        let frame = lattice.frame;
        let sides = [[frame.width / 2.0, 0.0], [0.0, frame.height / 2.0]];
        let length = |other: &Plane, [x, y]: Place| -> Option<f64> {
            // The same pixels, seen on the other plane.
            let ends = [frame.plane_place([-x, -y]), frame.plane_place([x, y])];
            let [from, to] = ends.map(|end| plane.px(end).and_then(|px| other.mm(px)));
            Some(apart(from?, to?))
        };
        let places = self.scale.places();
        let shape = self.out_of_shape().unwrap_or(0.0) / 100.0;
        sides.map(|side| {
            let own = length(plane, side).unwrap_or(1.0);
            let moved = (0..2 * places.len()).filter_map(|i| {
                let mut places = places.clone();
                places[i / 2][i % 2] += self.unsure[i / 2];
                let other = self.scale.with_places(&places).plane().ok()?;
                Some((length(&other, side)? / own - 1.0).powi(2))
            });
            moved.sum::<f64>().sqrt().hypot(shape)
        })
    }

    fn warnings(
        &self,
        card: [f64; 2],
        counts: [(&'static str, f64); 2],
        drift: [f64; 2],
    ) -> Vec<GaugeWarning> {
        let mut found = Vec::new();
        match self.scale.rectangle() {
            None => found.push(GaugeWarning::NoTilt),
            Some((corners, _)) => {
                let side = |i: usize| apart(corners[i], corners[(i + 1) % 4]);
                let ratio = |a: f64, b: f64| (a / b).max(b / a);
                let times = ratio(side(0), side(2)).max(ratio(side(1), side(3)));
                if times > 1.3 {
                    found.push(GaugeWarning::StrongTilt { times });
                }
                let count = 4 - self.edges_found();
                if count > 0 {
                    found.push(GaugeWarning::EdgesNotSeen { count });
                }
            }
        }
        found.extend(self.out_of_shape().map(|percent| GaugeWarning::OutOfShape { percent }));
        found.extend(
            ["stitches", "rows"]
                .into_iter()
                .zip(drift)
                .filter(|(_, drift)| *drift > 0.0)
                .map(|(what, drift)| GaugeWarning::Drift { what, percent: 100.0 * drift }),
        );
        found.extend(
            counts
                .into_iter()
                .filter(|(_, count)| *count < FEW)
                .map(|(what, count)| GaugeWarning::Few { what, count }),
        );
        let percent = 100.0 * card[0].max(card[1]);
        if percent > 1.0 {
            found.push(GaugeWarning::CardUnsure { percent });
        }
        found
    }
}

fn on_plane(plane: &Plane, places: [Place; 4]) -> Result<[Place; 4], GaugeFault> {
    let mut found = [[0.0; 2]; 4];
    for (found, place) in found.iter_mut().zip(places) {
        *found = plane.mm(place).ok_or(LatticeFault::Horizon)?;
    }
    Ok(found)
}

fn apart(a: Place, b: Place) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}
