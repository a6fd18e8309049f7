//! What a knitter edits: pieces, their bands, and the sizes they are worked in.
//!
//! Nothing here is counted yet. A width may follow a measurement of the body, so that one set of pieces
//! serves every size; [`super::work`] turns it into stitches and rows.

use super::body::{Body, Measure};
use super::count::Rounding;
use super::steps::{BindOff, CastOn, Finish, SetAside, Step, Take};
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
    /// This many cm fewer than the band begins with (only at the end of a band).
    Narrower(f64),
    /// This share of the stitches the band begins with, or of those before it.
    Share(f64),
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
    /// As many rows as its shaping takes: a shaping row, then even ones up to the next; the band ends
    /// with the last shaping row and the even rows that follow it.
    Shaped {
        /// Rows from one shaping row to the next, 1 or more.
        every: u32,
    },
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
    /// One stitch in each shaping row, where a right-side row begins (a right front's neck).
    First,
    /// One stitch in each shaping row, where a right-side row ends (a left front's neck).
    Last,
    /// Two stitches in each shaping round, at both ends of all stitches but those that were taken up first (the
    /// gussets of a heel, beside the instep), until the others are as many as the first.
    Gusset,
    /// Two stitches in each shaping round, one at either side of the steek that was begun last (a neck).
    Steek,
}

impl Shaping {
    /// Stitches gained or lost in one shaping row; `None` where a number of rows is given.
    pub const fn per_row(self) -> Option<u32> {
        match self {
            Self::PerRow(n) => Some(if n == 0 { 1 } else { n }),
            Self::First | Self::Last => Some(1),
            Self::Gusset | Self::Steek => Some(2),
            Self::InRows(_) => None,
        }
    }
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
    /// Knit every row: ridges.
    Garter,
    /// k1, p1, shifted by one in every row.
    Moss,
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
            Self::Garter => "Garter",
            Self::Moss => "Moss",
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
    /// Figures that a size has of its own, instead of what width and length come to.
    pub own: Vec<OwnFigures>,
    /// What the knitter holds in a size while all sizes are solved; nothing else reads it.
    pub held: Vec<HeldFigures>,
    /// What is done after its last row, before the next band.
    pub then: Vec<Step>,
}

/// A band's figures in one size, found by solving all sizes together or given by the knitter.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct OwnFigures {
    /// The size's name.
    pub size: String,
    /// Stitches it begins with.
    pub stitches: Option<u32>,
    /// Its rows; 0 leaves the band out.
    pub rows: Option<u32>,
    /// Stitches it ends with.
    pub end: Option<u32>,
    /// Stitches lost in one shaping row: the wedges of a crown.
    pub per_row: Option<u32>,
}

/// What is held of a band in one size while the rest is solved again.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HeldFigures {
    /// The size's name.
    pub size: String,
    /// Stitches after the round that changes them.
    pub stitches: Option<u32>,
    /// Its rounds beside that round.
    pub rows: Option<u32>,
    /// Repeats of its chart across, 0 for a band that is left out; wedges of a crown.
    pub repeats: Option<u32>,
}

impl HeldFigures {
    /// Whether nothing is held.
    pub const fn is_free(&self) -> bool {
        self.stitches.is_none() && self.rows.is_none() && self.repeats.is_none()
    }
}

impl Band {
    /// Whether it is knitted after the chart.
    pub const fn is_charted(&self) -> bool {
        matches!(self.fabric, Fabric::Chart { .. })
    }

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
                Fabric::Plain | Fabric::Ribbing { .. } | Fabric::Garter | Fabric::Moss => Technique::Stripes,
            },
            colours: vec![slot],
            stripe_rows: Self::STRIPE_ROWS,
            own: Vec::new(),
            held: Vec::new(),
            then: Vec::new(),
        }
    }

    /// The same with a step after it.
    pub fn then(mut self, step: Step) -> Self {
        self.then.push(step);
        self
    }

    /// How its stitches change in a size.
    pub fn shaping_in(&self, size: &str) -> Shaping {
        self.own_figures(size).and_then(|own| own.per_row).map_or(self.shaping, Shaping::PerRow)
    }

    /// Its own figures in a size.
    pub fn own_figures(&self, size: &str) -> Option<&OwnFigures> {
        self.own.iter().find(|own| own.size == size)
    }

    /// What is held of it in a size, to be changed; what holds nothing is taken out again by
    /// [`let_go`](Self::let_go).
    pub fn held_in(&mut self, size: &str) -> &mut HeldFigures {
        let place = self.held.iter().position(|held| held.size == size).unwrap_or_else(|| {
            self.held.push(HeldFigures { size: size.to_owned(), ..HeldFigures::default() });
            self.held.len() - 1
        });
        &mut self.held[place]
    }

    /// Takes out what holds nothing.
    pub fn let_go(&mut self) {
        self.held.retain(|held| !held.is_free());
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

/// A piece of knitting: how it begins, its bands with what is done between them, how it ends, and what
/// is done with it then.
#[derive(Clone, Debug, PartialEq)]
pub struct Piece {
    /// What the knitter calls it.
    pub name: String,
    /// How many are knitted (two sleeves), 1 or more.
    pub copies: u32,
    /// Whether two copies are a left and a right one.
    pub sided: bool,
    /// Rounds or turned rows.
    pub construction: Construction,
    /// How it begins.
    pub start: StartEdge,
    /// How its stitches are cast on, where they are.
    pub cast_on: CastOn,
    /// Where its stitches come from, where they are not cast on; none is every group that is live and
    /// not set aside.
    pub takes: Vec<Take>,
    /// How it ends.
    pub end: EndEdge,
    /// How its stitches are bound off, where they are.
    pub bind_off: BindOff,
    /// Length of the whole piece, which bands of length [`Length::Rest`] fill up.
    pub length: Option<Length>,
    /// Stitches set aside (on a thread, at the underarm) when it ends live.
    pub set_aside: Option<SetAside>,
    /// From the first row to the last.
    pub bands: Vec<Band>,
    /// What is done then.
    pub finish: Vec<Finish>,
}

impl Piece {
    /// One piece, cast on and bound off.
    pub fn new(name: &str, construction: Construction, bands: Vec<Band>) -> Self {
        Self {
            name: name.to_owned(),
            copies: 1,
            sided: false,
            construction,
            start: StartEdge::CastOn,
            cast_on: CastOn::default(),
            takes: Vec::new(),
            end: EndEdge::BoundOff,
            bind_off: BindOff::default(),
            length: None,
            set_aside: None,
            bands,
            finish: Vec::new(),
        }
    }

    /// What copy `copy` (from 0) is called; `None` for the only one.
    pub fn copy_name(&self, copy: u32) -> Option<&'static str> {
        copy_name(self.copies, self.sided, copy)
    }

    /// The measurements of the body that its widths and lengths follow, in the order of
    /// [`Measure::ALL`], each once.
    pub fn measures(&self) -> Vec<Measure> {
        let of_length = |length: Length| match length {
            Length::Body(follow) => Some(follow),
            _ => None,
        };
        let of_width = |width: Width| match width {
            Width::Body(follow) => Some(follow),
            _ => None,
        };
        let bands = self
            .bands
            .iter()
            .flat_map(|band| [of_width(band.start), of_width(band.end), of_length(band.length)])
            .flatten();
        let own = self.length.and_then(of_length).into_iter();
        let aside = self.set_aside.as_ref().and_then(|aside| of_width(aside.each)).into_iter();
        let opening = |step: &Step| match step {
            Step::Opening { stitches, .. } | Step::Steek { aside: stitches, .. } => of_width(*stitches),
            Step::ShortRows { .. } | Step::HeelTurn => None,
        };
        let openings = self.bands.iter().flat_map(|band| &band.then).filter_map(opening);
        let picked = self.takes.iter().filter_map(|take| match take {
            Take::PickUp { rows, .. } => of_length(*rows),
            Take::Group(_) | Take::CastOn(_) | Take::Opening { .. } => None,
        });
        let follows: Vec<Follow> = bands.chain(own).chain(aside).chain(openings).chain(picked).collect();
        let named = |measure| {
            follows.iter().any(|f| f.measure == measure || f.and.is_some_and(|(second, _)| second == measure))
        };
        Measure::ALL.into_iter().filter(|measure| named(*measure)).collect()
    }
}

/// Gives the piece at `place`, which joins whatever is live before it, the order of a pullover, when
/// those are a body with two underarms and two sleeves with one: left sleeve, front, right sleeve, back,
/// the underarms grafted last. Files from before pieces named their stitches say no order.
pub fn joined_in_order(pieces: &mut [Piece], place: usize) {
    let live = |piece: &Piece, copies, places| {
        piece.end == EndEdge::Live
            && piece.construction == Construction::InTheRound
            && piece.copies == copies
            && piece.set_aside.as_ref().is_some_and(|aside| aside.places == places && aside.names.is_empty())
    };
    let before = &pieces[..place.min(pieces.len())];
    let bodies = before.iter().filter(|piece| live(piece, 1, 2)).count();
    let sleeves: Vec<usize> = (0..before.len()).filter(|i| live(&before[*i], 2, 1)).collect();
    let others = before.iter().filter(|piece| piece.end == EndEdge::Live).count();
    let (1, [sleeve], 2) = (bodies, sleeves.as_slice(), others) else { return };
    let name = pieces[*sleeve].name.to_lowercase();
    pieces[*sleeve].sided = true;
    let Some(piece) = pieces.get_mut(place).filter(|piece| piece.copies == 1) else { return };
    let order = [format!("left {name}"), "front".to_owned(), format!("right {name}"), "back".to_owned()];
    piece.takes = order.map(Take::Group).to_vec();
    let graft =
        |side| Finish::Graft { one: format!("{side} underarm"), other: format!("{side} {name} underarm") };
    piece.finish = vec![graft("left"), graft("right")];
}

/// What copy `copy` (from 0) of so many is called; `None` for the only one.
pub(super) fn copy_name(copies: u32, sided: bool, copy: u32) -> Option<&'static str> {
    const NUMBERED: [&str; 8] = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth"];
    match (copies, sided) {
        (0 | 1, _) => None,
        (2, true) => ["left", "right"].get(copy as usize).copied(),
        _ => Some(NUMBERED.get(copy as usize).copied().unwrap_or("further")),
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
