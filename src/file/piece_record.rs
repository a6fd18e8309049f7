//! The records of pieces and sizes.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::names::{ConstructionWord, EndWord, MeasureWord, RoundingWord, StartWord, TechniqueWord};
use super::record::Invalid;
use super::rows;
use crate::chart::Rect;
use crate::knit::pieces::{
    Band, Body, Fabric, Follow, Length, Measure, Pace, Piece, SetAside, Shaping, Size, Width,
};
use crate::project::PiecePlan;
use crate::units::Cm;

/// A piece.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PieceRecord {
    name: String,
    copies: u32,
    construction: ConstructionWord,
    start: StartWord,
    end: EndWord,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    length: Option<LengthRecord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    set_aside: Option<SetAsideRecord>,
    bands: Vec<BandRecord>,
}

#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SetAsideRecord {
    places: u32,
    each: WidthRecord,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct BandRecord {
    name: String,
    #[serde(default, skip_serializing_if = "is_default")]
    start: WidthRecord,
    #[serde(default, skip_serializing_if = "is_default")]
    end: WidthRecord,
    #[serde(default, skip_serializing_if = "is_default")]
    rounding: RoundingWord,
    #[serde(default, skip_serializing_if = "is_default")]
    shaping: ShapingRecord,
    length: LengthRecord,
    fabric: FabricRecord,
    technique: TechniqueWord,
    /// Letters of the colours, as in the rows of the chart.
    colours: String,
    #[serde(default = "stripe_rows", skip_serializing_if = "is_usual")]
    stripe_rows: u32,
}

fn is_default<T: Default + PartialEq>(value: &T) -> bool {
    *value == T::default()
}

const fn stripe_rows() -> u32 {
    Band::STRIPE_ROWS
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands over a reference")]
const fn is_usual(rows: &u32) -> bool {
    *rows == stripe_rows()
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum WidthRecord {
    #[default]
    AsBefore,
    Joined,
    Stitches(u32),
    Cm(f64),
    Body(FollowRecord),
}

#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum LengthRecord {
    Rows(u32),
    Cm(f64),
    Body(FollowRecord),
    Repeats(u32),
    Rest,
}

#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum ShapingRecord {
    StitchesPerRow(u32),
    InRows(u32),
}

impl Default for ShapingRecord {
    /// One stitch at each edge.
    fn default() -> Self {
        Self::StitchesPerRow(2)
    }
}

#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum FabricRecord {
    Plain,
    Ribbing {
        knit: u32,
        purl: u32,
    },
    Chart {
        #[serde(default, skip_serializing_if = "Option::is_none")]
        region: Option<RegionRecord>,
        edge_stitches: u32,
    },
}

#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct RegionRecord {
    from_left_stitches: u32,
    from_bottom_rows: u32,
    width_stitches: u32,
    height_rows: u32,
}

#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct FollowRecord {
    measure: MeasureWord,
    times: f64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    and: Option<(MeasureWord, f64)>,
    ease_times: f64,
    plus_cm: f64,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SizeRecord {
    name: String,
    ease_cm: f64,
    body_cm: BTreeMap<MeasureWord, f64>,
}

/// A field and what was checked of it.
struct Check<'a>(&'a str);

impl Check<'_> {
    fn invalid(&self, name: &str, message: &impl ToString) -> Invalid {
        let field = if name.is_empty() { self.0.to_owned() } else { format!("{} > {name}", self.0) };
        Invalid::new(field, message)
    }

    fn at_least_one(&self, name: &str, value: u32) -> Result<u32, Invalid> {
        if value > 0 {
            return Ok(value);
        }
        Err(self.invalid(name, &format!("{name} must be 1 or more, not 0")))
    }

    fn cm(&self, name: &str, value: f64) -> Result<f64, Invalid> {
        Cm::new(value).map(Cm::get).map_err(|error| self.invalid(name, &error))
    }

    /// A number that may be negative.
    fn number(&self, name: &str, value: f64, most: f64) -> Result<f64, Invalid> {
        if value.abs() <= most {
            return Ok(value);
        }
        Err(self.invalid(name, &format!("{name} must be between -{most} and {most}, not {value}")))
    }

    fn no_more<T>(&self, name: &str, list: &[T]) -> Result<(), Invalid> {
        let most = PiecePlan::MOST;
        if list.len() <= most {
            return Ok(());
        }
        Err(self.invalid(name, &format!("the list can hold {most}, not {}", list.len())))
    }
}

/// The plan of these records, whose bands may use `slots` colours.
pub(super) fn plan(
    pieces: &[PieceRecord],
    sizes: &[SizeRecord],
    worked_size: usize,
    stitches_per_minute: Option<f64>,
    slots: usize,
) -> Result<PiecePlan, Invalid> {
    Check("pieces").no_more("", pieces)?;
    Check("sizes").no_more("", sizes)?;
    let pieces = pieces.iter().enumerate();
    let pieces = pieces.map(|(i, piece)| piece.piece(&format!("pieces {}", i + 1), slots));
    let sizes = sizes.iter().enumerate().map(|(i, size)| size.size(&format!("sizes {}", i + 1)));
    let pace = stitches_per_minute.map(Pace::new).transpose();
    Ok(PiecePlan {
        pieces: pieces.collect::<Result<_, _>>()?,
        sizes: sizes.collect::<Result<_, _>>()?,
        chosen: worked_size.saturating_sub(1),
        pace: pace.map_err(|e| Invalid::new("stitches_per_minute", &e))?.unwrap_or_default(),
    })
}

/// The pace, when it is not the default.
pub(super) fn own_pace(plan: &PiecePlan) -> Option<f64> {
    (plan.pace != Pace::default()).then(|| plan.pace.per_minute())
}

impl PieceRecord {
    pub(super) fn new(piece: &Piece) -> Self {
        Self {
            name: piece.name.clone(),
            copies: piece.copies,
            construction: piece.construction.into(),
            start: piece.start.into(),
            end: piece.end.into(),
            length: piece.length.map(LengthRecord::new),
            set_aside: piece
                .set_aside
                .map(|SetAside { places, each }| SetAsideRecord { places, each: WidthRecord::new(each) }),
            bands: piece.bands.iter().map(BandRecord::new).collect(),
        }
    }

    fn piece(&self, field: &str, slots: usize) -> Result<Piece, Invalid> {
        let check = Check(field);
        check.no_more("bands", &self.bands)?;
        let bands = self.bands.iter().enumerate();
        let bands = bands.map(|(i, band)| band.band(&format!("{field} > bands {}", i + 1), slots));
        Ok(Piece {
            name: self.name.clone(),
            copies: check.at_least_one("copies", self.copies)?.min(1_000),
            construction: self.construction.into(),
            start: self.start.into(),
            end: self.end.into(),
            length: self.length.map(|length| length.length(&check, "length")).transpose()?,
            set_aside: match self.set_aside {
                Some(SetAsideRecord { places, each }) => {
                    Some(SetAside { places, each: each.width(&check, "set_aside")? })
                }
                None => None,
            },
            bands: bands.collect::<Result<_, _>>()?,
        })
    }
}

impl BandRecord {
    fn new(band: &Band) -> Self {
        Self {
            name: band.name.clone(),
            start: WidthRecord::new(band.start),
            end: WidthRecord::new(band.end),
            rounding: band.rounding.into(),
            shaping: match band.shaping {
                Shaping::PerRow(n) => ShapingRecord::StitchesPerRow(n),
                Shaping::InRows(n) => ShapingRecord::InRows(n),
            },
            length: LengthRecord::new(band.length),
            fabric: FabricRecord::new(band.fabric),
            technique: band.technique.into(),
            colours: band.colours.iter().map(|slot| rows::letter(*slot)).collect(),
            stripe_rows: band.stripe_rows,
        }
    }

    fn band(&self, field: &str, slots: usize) -> Result<Band, Invalid> {
        let check = Check(field);
        let colours = self.colours.chars().take(crate::chart::Cell::MAX_SLOTS);
        let colours = colours.map(|c| rows::slot(c, slots)).collect::<Result<Vec<_>, _>>();
        let colours = colours.map_err(|what| check.invalid("colours", &what))?;
        if colours.is_empty() {
            return Err(check.invalid("colours", &"a band needs at least one colour"));
        }
        Ok(Band {
            name: self.name.clone(),
            start: self.start.width(&check, "start")?,
            end: self.end.width(&check, "end")?,
            rounding: self.rounding.into(),
            shaping: match self.shaping {
                ShapingRecord::StitchesPerRow(n) => Shaping::PerRow(check.at_least_one("shaping", n)?),
                ShapingRecord::InRows(n) => Shaping::InRows(check.at_least_one("shaping", n)?),
            },
            length: self.length.length(&check, "length")?,
            fabric: self.fabric.fabric(&check)?,
            technique: self.technique.into(),
            colours,
            stripe_rows: check.at_least_one("stripe_rows", self.stripe_rows)?,
        })
    }
}

impl WidthRecord {
    fn new(width: Width) -> Self {
        match width {
            Width::AsBefore => Self::AsBefore,
            Width::Joined => Self::Joined,
            Width::Stitches(n) => Self::Stitches(n),
            Width::Cm(cm) => Self::Cm(cm),
            Width::Body(follow) => Self::Body(FollowRecord::new(follow)),
        }
    }

    fn width(self, check: &Check, name: &str) -> Result<Width, Invalid> {
        Ok(match self {
            Self::AsBefore => Width::AsBefore,
            Self::Joined => Width::Joined,
            Self::Stitches(n) => Width::Stitches(n),
            Self::Cm(cm) => Width::Cm(check.cm(name, cm)?),
            Self::Body(follow) => Width::Body(follow.follow(check, name)?),
        })
    }
}

impl LengthRecord {
    fn new(length: Length) -> Self {
        match length {
            Length::Rows(n) => Self::Rows(n),
            Length::Cm(cm) => Self::Cm(cm),
            Length::Body(follow) => Self::Body(FollowRecord::new(follow)),
            Length::Repeats(n) => Self::Repeats(n),
            Length::Rest => Self::Rest,
        }
    }

    fn length(self, check: &Check, name: &str) -> Result<Length, Invalid> {
        Ok(match self {
            Self::Rows(n) => Length::Rows(n),
            Self::Cm(cm) => Length::Cm(check.cm(name, cm)?),
            Self::Body(follow) => Length::Body(follow.follow(check, name)?),
            Self::Repeats(n) => Length::Repeats(n),
            Self::Rest => Length::Rest,
        })
    }
}

impl FabricRecord {
    fn new(fabric: Fabric) -> Self {
        match fabric {
            Fabric::Plain => Self::Plain,
            Fabric::Ribbing { knit, purl } => Self::Ribbing { knit, purl },
            Fabric::Chart { region, edge } => Self::Chart {
                region: region.map(|r| RegionRecord {
                    from_left_stitches: r.x,
                    from_bottom_rows: r.y,
                    width_stitches: r.width,
                    height_rows: r.height,
                }),
                edge_stitches: edge,
            },
        }
    }

    fn fabric(self, check: &Check) -> Result<Fabric, Invalid> {
        Ok(match self {
            Self::Plain => Fabric::Plain,
            Self::Ribbing { knit, purl } => Fabric::Ribbing {
                knit: check.at_least_one("knit", knit)?,
                purl: check.at_least_one("purl", purl)?,
            },
            Self::Chart { region, edge_stitches } => Fabric::Chart {
                region: region.map(|r| {
                    Rect::new(r.from_left_stitches, r.from_bottom_rows, r.width_stitches, r.height_rows)
                }),
                edge: edge_stitches,
            },
        })
    }
}

impl FollowRecord {
    /// Largest share of a measurement: twenty times round.
    const MOST_TIMES: f64 = 20.0;

    fn new(follow: Follow) -> Self {
        Self {
            measure: follow.measure.into(),
            times: follow.times,
            and: follow.and.map(|(measure, times)| (measure.into(), times)),
            ease_times: follow.ease,
            plus_cm: follow.plus_cm,
        }
    }

    fn follow(self, check: &Check, name: &str) -> Result<Follow, Invalid> {
        let field = |key: &str| format!("{name} > {key}");
        let times = |key: &str, value| check.number(&field(key), value, Self::MOST_TIMES);
        let and = match self.and {
            Some((measure, share)) => Some((measure.into(), times("and", share)?)),
            None => None,
        };
        Ok(Follow {
            measure: self.measure.into(),
            times: times("times", self.times)?,
            and,
            ease: times("ease_times", self.ease_times)?,
            plus_cm: check.number(&field("plus_cm"), self.plus_cm, Body::MAX_CM)?,
        })
    }
}

impl SizeRecord {
    pub(super) fn new(size: &Size) -> Self {
        Self {
            name: size.name.clone(),
            ease_cm: size.ease_cm,
            body_cm: size.body.known().map(|(measure, cm)| (measure.into(), cm)).collect(),
        }
    }

    fn size(&self, field: &str) -> Result<Size, Invalid> {
        let check = Check(field);
        let mut body = Body::default();
        for (word, cm) in &self.body_cm {
            if !(0.0..=Body::MAX_CM).contains(cm) {
                let message = format!("a measurement must be 0 to {} cm, not {cm}", Body::MAX_CM);
                return Err(check.invalid("body_cm", &message));
            }
            body.set(Measure::from(*word), Some(*cm));
        }
        let ease_cm = check.number("ease_cm", self.ease_cm, Body::MAX_CM)?;
        Ok(Size { name: self.name.clone(), body, ease_cm })
    }
}
