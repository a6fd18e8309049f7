//! What a knitter edits: pieces, their bands, and the sizes they are worked in.
//!
//! Nothing here is counted yet. A width may follow a measurement of the body, so that one set of pieces
//! serves every size; [`super::work`] turns it into stitches and rows.

use super::body::{Body, Measure};
use super::count::Rounding;
use crate::chart::Rect;
use crate::knit::{Construction, Technique};

/// A length that follows the body:
/// `times * measure + its share of a second measure + ease * ease of the size + plus_cm`.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Follow {
    /// The measurement.
    pub measure: Measure,
    /// Share of it, e.g. 0.5 for a back that goes half round.
    pub times: f64,
    /// A second measurement with its share, mostly a negative one (hip length less armhole depth).
    pub and: Option<(Measure, f64)>,
    /// Share of the size's ease that is added.
    pub ease: f64,
    /// Added at the end, in cm; may be negative.
    pub plus_cm: f64,
}

impl Follow {
    /// `times` of a measurement, with the same share of the ease.
    pub const fn with_ease(measure: Measure, times: f64) -> Self {
        Self { ease: times, ..Self::bare(measure, times) }
    }

    /// `times` of a measurement and no ease.
    pub const fn bare(measure: Measure, times: f64) -> Self {
        Self { measure, times, and: None, ease: 0.0, plus_cm: 0.0 }
    }

    /// The same and `times` of a second measurement.
    pub const fn and(self, measure: Measure, times: f64) -> Self {
        Self { and: Some((measure, times)), ..self }
    }

    /// The same, `plus_cm` longer.
    pub const fn plus(self, plus_cm: f64) -> Self {
        // Adding 0 turns a negative zero, which would show as "-0", into a plain one.
        Self { plus_cm: plus_cm + 0.0, ..self }
    }
}

/// How wide a band is at one end.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub enum Width {
    /// As the band ends before it; at the end of a band: as the band began.
    #[default]
    AsBefore,
    /// The live stitches of every earlier piece that ends live, less those it sets aside.
    Joined,
    /// This many stitches, in every size.
    Stitches(u32),
    /// This many cm, in every size.
    Cm(f64),
    /// A share of a measurement.
    Body(Follow),
}

/// How long a band or a piece is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Length {
    /// This many rows or rounds.
    Rows(u32),
    /// This many cm.
    Cm(f64),
    /// A share of a measurement.
    Body(Follow),
    /// The chart this many times over (its repeat box where the band has no chart).
    Repeats(u32),
    /// What is left of the piece's length; several such bands share it.
    Rest,
}

/// How a band is shaped between its two ends.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shaping {
    /// This many stitches are gained or lost in one shaping row (2: one at each edge); the shaping rows
    /// are spread over the band.
    PerRow(u32),
    /// In this many rows, each time evenly across the row (a yoke's decrease rounds).
    InRows(u32),
}

impl Default for Shaping {
    fn default() -> Self {
        Self::PerRow(2)
    }
}

/// The fabric of a band.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Fabric {
    /// Stockinette.
    #[default]
    Plain,
    /// Ribbing. With two colours and the stranded technique, knit columns are worked in the first and
    /// purl columns in the second (corrugated ribbing).
    Ribbing {
        /// Knit stitches of one rib, 1 or more.
        knit: u32,
        /// Purl stitches of one rib, 1 or more.
        purl: u32,
    },
    /// A part of the chart, repeated across and up.
    Chart {
        /// The part; `None` is the repeat box.
        region: Option<Rect>,
        /// Stitches outside the repeats, half at each edge, worked in the band's first colour.
        edge: u32,
    },
}

impl Fabric {
    /// Trade name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Plain => "Plain",
            Self::Ribbing { .. } => "Ribbing",
            Self::Chart { .. } => "Chart",
        }
    }
}

/// A stretch of a piece worked in one fabric.
#[derive(Clone, Debug, PartialEq)]
pub struct Band {
    /// What the knitter calls it.
    pub name: String,
    /// Width it begins with. A difference to the band before is worked evenly across its first row.
    pub start: Width,
    /// Width it ends with.
    pub end: Width,
    /// Which way a width goes when it falls between two counts that keep the repeat.
    pub rounding: Rounding,
    /// How the stitches change between the two.
    pub shaping: Shaping,
    /// How long it is.
    pub length: Length,
    /// What it is made of.
    pub fabric: Fabric,
    /// How several colours are worked in it.
    pub technique: Technique,
    /// Palette slots of a plain or ribbed band, worked in turn; a chart brings its own.
    pub colours: Vec<usize>,
    /// Rows of one colour before the next, 1 or more.
    pub stripe_rows: u32,
}

impl Band {
    /// Rows of one colour before the next, unless told otherwise.
    pub const STRIPE_ROWS: u32 = 2;

    /// A band as wide as the one before, in one colour.
    pub fn new(name: &str, fabric: Fabric, length: Length, slot: usize) -> Self {
        Self {
            name: name.to_owned(),
            start: Width::AsBefore,
            end: Width::AsBefore,
            rounding: Rounding::default(),
            shaping: Shaping::default(),
            length,
            fabric,
            technique: match fabric {
                Fabric::Chart { .. } => Technique::Stranded,
                Fabric::Plain | Fabric::Ribbing { .. } => Technique::Stripes,
            },
            colours: vec![slot],
            stripe_rows: Self::STRIPE_ROWS,
        }
    }

    /// The same with a first row of this width.
    pub fn from(self, start: Width) -> Self {
        Self { start, ..self }
    }

    /// The same, ending in this width by this shaping.
    pub fn to(self, end: Width, shaping: Shaping) -> Self {
        Self { end, shaping, ..self }
    }
}

/// How the first row of a piece comes about.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum StartEdge {
    /// Cast on.
    #[default]
    CastOn,
    /// Picked up along an edge that is knitted already.
    PickedUp,
    /// The live stitches of the pieces before.
    Joined,
}

impl StartEdge {
    /// All of them, in the order they are offered.
    pub const ALL: [Self; 3] = [Self::CastOn, Self::PickedUp, Self::Joined];

    /// Trade name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::CastOn => "Cast on",
            Self::PickedUp => "Picked up",
            Self::Joined => "Joined live stitches",
        }
    }
}

/// What becomes of the last row of a piece.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum EndEdge {
    /// Bound off.
    #[default]
    BoundOff,
    /// Left live for a later piece.
    Live,
    /// Drawn together on the yarn (a crown, a mitten tip).
    DrawnTogether,
    /// Grafted, stitch by stitch.
    Grafted,
}

impl EndEdge {
    /// All of them, in the order they are offered.
    pub const ALL: [Self; 4] = [Self::BoundOff, Self::Live, Self::DrawnTogether, Self::Grafted];

    /// Trade name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::BoundOff => "Bound off",
            Self::Live => "Left live",
            Self::DrawnTogether => "Drawn together",
            Self::Grafted => "Grafted",
        }
    }
}

/// Live stitches that are not joined: the underarms of a yoke.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SetAside {
    /// In how many places: two on a body, one on a sleeve.
    pub places: u32,
    /// Width of each.
    pub each: Width,
}

/// A piece of knitting: bands from its first row to its last.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// What the knitter calls it.
    pub name: String,
    /// How many are knitted (two sleeves), 1 or more.
    pub copies: u32,
    /// Rounds or turned rows.
    pub construction: Construction,
    /// How it begins.
    pub start: StartEdge,
    /// How it ends.
    pub end: EndEdge,
    /// Length of the whole piece, which bands of length [`Length::Rest`] fill up.
    pub length: Option<Length>,
    /// Stitches set aside (on a thread, at the underarm) before live stitches are joined.
    pub set_aside: Option<SetAside>,
    /// From the first row to the last.
    pub bands: Vec<Band>,
}

impl Piece {
    /// One piece, cast on and bound off.
    pub fn new(name: &str, construction: Construction, bands: Vec<Band>) -> Self {
        Self {
            name: name.to_owned(),
            copies: 1,
            construction,
            start: StartEdge::CastOn,
            end: EndEdge::BoundOff,
            length: None,
            set_aside: None,
            bands,
        }
    }

    /// The measurements of the body that its widths and lengths follow, in the order of
    /// [`Measure::ALL`], each once.
    pub fn measures(&self) -> Vec<Measure> {
        let of_length = |length: Length| match length {
            Length::Body(follow) => Some(follow),
            Length::Rows(_) | Length::Cm(_) | Length::Repeats(_) | Length::Rest => None,
        };
        let of_width = |width: Width| match width {
            Width::Body(follow) => Some(follow),
            Width::AsBefore | Width::Joined | Width::Stitches(_) | Width::Cm(_) => None,
        };
        let bands = self
            .bands
            .iter()
            .flat_map(|band| [of_width(band.start), of_width(band.end), of_length(band.length)])
            .flatten();
        let own = self.length.and_then(of_length).into_iter();
        let aside = self.set_aside.and_then(|aside| of_width(aside.each)).into_iter();
        let follows: Vec<Follow> = bands.chain(own).chain(aside).collect();
        let named = |measure| {
            follows.iter().any(|f| f.measure == measure || f.and.is_some_and(|(second, _)| second == measure))
        };
        Measure::ALL.into_iter().filter(|measure| named(*measure)).collect()
    }

    /// The palette slots its plain and ribbed bands and edges name.
    pub fn slots(&self) -> impl Iterator<Item = usize> + '_ {
        self.bands.iter().flat_map(|band| band.colours.iter().copied())
    }
}

/// A size the pieces are worked in.
#[derive(Clone, Debug, PartialEq)]
pub struct Size {
    /// Letter, number or the wearer's name.
    pub name: String,
    /// Measurements of the wearer.
    pub body: Body,
    /// Garment girth minus body girth, in cm; may be negative.
    pub ease_cm: f64,
}

impl Size {
    /// A size for things that fit nobody in particular: a scarf, a blanket.
    pub fn one_size() -> Self {
        Self { name: "One size".to_owned(), body: Body::default(), ease_cm: 0.0 }
    }

    /// A length that follows the body, in cm, or the measurement that is not known.
    ///
    /// # Errors
    /// The [`Measure`] this size does not have.
    pub fn follow(&self, follow: Follow) -> Result<f64, Measure> {
        let body = |measure| self.body.get(measure).ok_or(measure);
        let second = match follow.and {
            Some((measure, times)) => times * body(measure)?,
            None => 0.0,
        };
        Ok(follow.times * body(follow.measure)? + second + follow.ease * self.ease_cm + follow.plus_cm)
    }
}
