//! Gauge read off a photograph of a swatch beside something of known size.

use super::lattice::{Lattice, LatticeFault, Place, Plane};
use super::picture::Picture;
use thiserror::Error;

/// Width and height of an ID-1 card in mm, ISO/IEC 7810:2019 (bank and identity cards).
pub const ID1_CARD_MM: (f64, f64) = (85.60, 53.98);
/// How far a corner that was placed by hand may be off, in pixels: one standard deviation, our judgement.
const CORNER_ERROR_PX: f64 = 0.7;
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
            Self::Card(corners) => {
                let side = |i: usize| apart(corners[i], corners[(i + 1) % 4]);
                // It lies on its long or on its short side.
                let long_first = side(0) + side(2) >= side(1) + side(3);
                let (long, short) = ID1_CARD_MM;
                let size = if long_first { (long, short) } else { (short, long) };
                Plane::of_rectangle(corners, size).ok_or(GaugeFault::NoCard)
            }
            Self::Rectangle { corners, width, height } => {
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
    let plane = scale.plane()?;
    let corners = on_plane(&plane, swatch)?;
    let luminance = picture.to_xyz().0[1].map(|share| share as f32);
    let light = |x: u32, y: u32| {
        let ([r, g, b], _) = picture.linear(x, y);
        luminance[0] * r + luminance[1] * g + luminance[2] * b
    };
    let lattice = Lattice::find(&light, (width, height), &plane, corners)?;
    let card = scale_error(scale, &plane, &lattice);
    let per_10_cm = |mm: f64| 100.0 / mm;
    let (stitches, rows) = (per_10_cm(lattice.stitch_mm), per_10_cm(lattice.row_mm));
    let frame = lattice.frame;
    let read = (frame.width, frame.height);
    let grid = lattice
        .lines()
        .map(|lines| lines.into_iter().filter_map(|[a, b]| Some([plane.px(a)?, plane.px(b)?])).collect());
    Ok(GaugeReading {
        stitches_per_10_cm: stitches,
        rows_per_10_cm: rows,
        stitches_error: stitches * lattice.stitch_error.hypot(card[0]),
        rows_error: rows * lattice.row_error.hypot(card[1]),
        warnings: warnings(
            scale,
            card,
            [("stitches", read.0 / lattice.stitch_mm), ("rows", read.1 / lattice.row_mm)],
        ),
        read_mm: read,
        grid,
    })
}

fn on_plane(plane: &Plane, places: [Place; 4]) -> Result<[Place; 4], GaugeFault> {
    let mut found = [[0.0; 2]; 4];
    for (found, place) in found.iter_mut().zip(places) {
        *found = plane.mm(place).ok_or(LatticeFault::Horizon)?;
    }
    Ok(found)
}

/// What the corners of the scale leave open of the swatch's scale, as a share: each place moved by its error, all added in
/// quadrature. Along the rows, and down the columns.
fn scale_error(scale: &Scale, plane: &Plane, lattice: &Lattice) -> [f64; 2] {
    let frame = lattice.frame;
    let sides = [[frame.width / 2.0, 0.0], [0.0, frame.height / 2.0]];
    let length = |other: &Plane, [x, y]: Place| -> Option<f64> {
        // The same pixels, seen on the other plane.
        let ends = [frame.plane_place([-x, -y]), frame.plane_place([x, y])];
        let [from, to] = ends.map(|end| plane.px(end).and_then(|px| other.mm(px)));
        Some(apart(from?, to?))
    };
    let places = scale.places();
    sides.map(|side| {
        let own = length(plane, side).unwrap_or(1.0);
        let moved = (0..2 * places.len()).filter_map(|i| {
            let mut places = places.clone();
            places[i / 2][i % 2] += CORNER_ERROR_PX;
            let other = scale.with_places(&places).plane().ok()?;
            Some((length(&other, side)? / own - 1.0).powi(2))
        });
        moved.sum::<f64>().sqrt()
    })
}

fn warnings(scale: &Scale, card: [f64; 2], counts: [(&'static str, f64); 2]) -> Vec<GaugeWarning> {
    let mut found = Vec::new();
    match scale {
        Scale::Length { .. } => found.push(GaugeWarning::NoTilt),
        Scale::Card(corners) | Scale::Rectangle { corners, .. } => {
            let side = |i: usize| apart(corners[i], corners[(i + 1) % 4]);
            let ratio = |a: f64, b: f64| (a / b).max(b / a);
            let times = ratio(side(0), side(2)).max(ratio(side(1), side(3)));
            if times > 1.3 {
                found.push(GaugeWarning::StrongTilt { times });
            }
        }
    }
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

fn apart(a: Place, b: Place) -> f64 {
    (a[0] - b[0]).hypot(a[1] - b[1])
}
