//! The records of pieces and sizes.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::names::{
    BindOffWord, CastOnWord, ConstructionWord, EndWord, MeasureWord, RoundingWord, StartWord, TechniqueWord,
};
use super::record::Invalid;
use super::rows;
use super::step_record::{FiguresRecord, FinishRecord, StepRecord, TakeRecord};
use crate::chart::Rect;
use crate::knit::pieces::{
    Band, BindOff, Body, CastOn, Fabric, Follow, Length, Measure, Pace, Piece, SetAside, Shaping, Size,
    StartEdge, Width, joined_in_order,
};
use crate::project::PiecePlan;
use crate::units::Cm;

/// A piece.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PieceRecord {
    name: String,
    copies: u32,
    #[serde(default, skip_serializing_if = "is_default")]
    left_and_right: bool,
    construction: ConstructionWord,
    start: StartWord,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    cast_on: Option<CastOnWord>,
    /// Absent in files from before pieces said in which order they take up stitches.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    takes: Option<Vec<TakeRecord>>,
    end: EndWord,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    bind_off: Option<BindOffWord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    length: Option<LengthRecord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    set_aside: Option<SetAsideRecord>,
    bands: Vec<BandRecord>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    finish: Vec<FinishRecord>,
}

#[derive(Clone, Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SetAsideRecord {
    places: u32,
    each: WidthRecord,
    #[serde(default, skip_serializing_if = "is_default")]
    less_cm: f64,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    names: Vec<String>,
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
    /// Figures a size has of its own.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    own: Vec<FiguresRecord>,
    /// What is held in a size while all are solved.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    held: Vec<FiguresRecord>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    then: Vec<StepRecord>,
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
pub(super) enum WidthRecord {
    #[default]
    AsBefore,
    Joined,
    Stitches(u32),
    Cm(f64),
    Body(FollowRecord),
    NarrowerByCm(f64),
    Share(f64),
}

#[derive(Clone, Copy, Debug, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub(super) enum LengthRecord {
    Rows(u32),
    Cm(f64),
    Body(FollowRecord),
    Repeats(u32),
    Rest,
    ShapedEvery(u32),
}

#[derive(Clone, Copy, Debug, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
enum ShapingRecord {
    StitchesPerRow(u32),
    InRows(u32),
    FirstStitch,
    LastStitch,
    Gusset,
    BesideSteek,
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
    Garter,
    Moss,
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
pub(super) struct FollowRecord {
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
pub(super) struct Check<'a>(pub(super) &'a str);

impl Check<'_> {
    pub(super) fn invalid(&self, name: &str, message: &impl ToString) -> Invalid {
        let field = if name.is_empty() { self.0.to_owned() } else { format!("{} > {name}", self.0) };
        Invalid::new(field, message)
    }

    pub(super) fn at_least_one(&self, name: &str, value: u32) -> Result<u32, Invalid> {
        if value > 0 {
            return Ok(value);
        }
        Err(self.invalid(name, &format!("{name} must be 1 or more, not 0")))
    }

    pub(super) fn cm(&self, name: &str, value: f64) -> Result<f64, Invalid> {
        Cm::new(value).map(Cm::get).map_err(|error| self.invalid(name, &error))
    }

    /// A number that may be negative.
    pub(super) fn number(&self, name: &str, value: f64, most: f64) -> Result<f64, Invalid> {
        if value.abs() <= most {
            return Ok(value);
        }
        Err(self.invalid(name, &format!("{name} must be between -{most} and {most}, not {value}")))
    }

    pub(super) fn no_more<T>(&self, name: &str, list: &[T]) -> Result<(), Invalid> {
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
    pace: PaceRecord,
    slots: usize,
) -> Result<PiecePlan, Invalid> {
    Check("pieces").no_more("", pieces)?;
    Check("sizes").no_more("", sizes)?;
    let pieces = pieces.iter().enumerate();
    let sizes = sizes.iter().enumerate().map(|(i, size)| size.size(&format!("sizes {}", i + 1)));
    let old = pieces.clone().map(|(_, piece)| piece.is_old()).collect::<Vec<_>>();
    let pieces = pieces.map(|(i, piece)| piece.piece(&format!("pieces {}", i + 1), slots));
    let mut pieces = pieces.collect::<Result<Vec<_>, _>>()?;
    for (place, _) in old.into_iter().enumerate().filter(|(_, old)| *old) {
        joined_in_order(&mut pieces, place);
    }
    Ok(PiecePlan {
        pieces,
        sizes: sizes.collect::<Result<_, _>>()?,
        chosen: worked_size.saturating_sub(1),
        pace: pace.pace()?,
    })
}

/// The pace; what is as usual is left out.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct PaceRecord {
    pub stitches_per_minute: Option<f64>,
    pub stranded_pace_share: Option<f64>,
    pub intarsia_pace_share: Option<f64>,
}

impl PaceRecord {
    pub(super) fn new(pace: Pace) -> Self {
        let usual = Pace::default();
        let own = |figure: f64, usual: f64| (figure != usual).then_some(figure);
        Self {
            stitches_per_minute: own(pace.per_minute(), usual.per_minute()),
            stranded_pace_share: own(pace.stranded_share(), usual.stranded_share()),
            intarsia_pace_share: own(pace.intarsia_share(), usual.intarsia_share()),
        }
    }

    fn pace(self) -> Result<Pace, Invalid> {
        let pace = self.stitches_per_minute.map(Pace::new).transpose();
        let pace = pace.map_err(|e| Invalid::new("stitches_per_minute", &e))?.unwrap_or_default();
        let stranded = self.stranded_pace_share.unwrap_or(pace.stranded_share());
        pace.with_shares(stranded, pace.intarsia_share())
            .map_err(|e| Invalid::new("stranded_pace_share", &e))?
            .with_shares(stranded, self.intarsia_pace_share.unwrap_or(pace.intarsia_share()))
            .map_err(|e| Invalid::new("intarsia_pace_share", &e))
    }
}

impl PieceRecord {
    pub(super) fn new(piece: &Piece) -> Self {
        Self {
            name: piece.name.clone(),
            copies: piece.copies,
            left_and_right: piece.sided,
            construction: piece.construction.into(),
            start: piece.start.into(),
            cast_on: (piece.cast_on != CastOn::default()).then(|| piece.cast_on.into()),
            takes: (piece.start == StartEdge::Joined || !piece.takes.is_empty())
                .then(|| piece.takes.iter().map(TakeRecord::new).collect()),
            end: piece.end.into(),
            bind_off: (piece.bind_off != BindOff::default()).then(|| piece.bind_off.into()),
            length: piece.length.map(LengthRecord::new),
            set_aside: piece.set_aside.as_ref().map(|aside| SetAsideRecord {
                places: aside.places,
                each: WidthRecord::new(aside.each),
                less_cm: aside.less_cm,
                names: aside.names.clone(),
            }),
            bands: piece.bands.iter().map(BandRecord::new).collect(),
            finish: piece.finish.iter().map(FinishRecord::new).collect(),
        }
    }

    /// Whether it joins live stitches but does not say in which order.
    fn is_old(&self) -> bool {
        StartEdge::from(self.start) == StartEdge::Joined && self.takes.is_none()
    }

    fn piece(&self, field: &str, slots: usize) -> Result<Piece, Invalid> {
        let check = Check(field);
        check.no_more("bands", &self.bands)?;
        check.no_more("finish", &self.finish)?;
        let bands = self.bands.iter().enumerate();
        let bands = bands.map(|(i, band)| band.band(&format!("{field} > bands {}", i + 1), slots));
        let takes = self.takes.as_deref().unwrap_or_default();
        check.no_more("takes", takes)?;
        Ok(Piece {
            name: self.name.clone(),
            copies: check.at_least_one("copies", self.copies)?.min(1_000),
            sided: self.left_and_right,
            construction: self.construction.into(),
            start: self.start.into(),
            cast_on: self.cast_on.map_or_else(CastOn::default, CastOn::from),
            takes: takes.iter().map(|take| take.take(&check)).collect::<Result<_, _>>()?,
            end: self.end.into(),
            bind_off: self.bind_off.map_or_else(BindOff::default, BindOff::from),
            length: self.length.map(|length| length.length(&check, "length")).transpose()?,
            set_aside: match &self.set_aside {
                Some(aside) => Some(SetAside {
                    places: aside.places,
                    each: aside.each.width(&check, "set_aside")?,
                    less_cm: check.number("set_aside > less_cm", aside.less_cm, Body::MAX_CM)?,
                    names: aside.names.clone(),
                }),
                None => None,
            },
            bands: bands.collect::<Result<_, _>>()?,
            finish: self.finish.iter().map(FinishRecord::finish).collect(),
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
                Shaping::First => ShapingRecord::FirstStitch,
                Shaping::Last => ShapingRecord::LastStitch,
                Shaping::Gusset => ShapingRecord::Gusset,
                Shaping::Steek => ShapingRecord::BesideSteek,
            },
            length: LengthRecord::new(band.length),
            fabric: FabricRecord::new(band.fabric),
            technique: band.technique.into(),
            colours: band.colours.iter().map(|slot| rows::letter(*slot)).collect(),
            stripe_rows: band.stripe_rows,
            own: band.own.iter().map(FiguresRecord::of_own).collect(),
            held: band.held.iter().map(FiguresRecord::of_held).collect(),
            then: band.then.iter().map(StepRecord::new).collect(),
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
                ShapingRecord::FirstStitch => Shaping::First,
                ShapingRecord::LastStitch => Shaping::Last,
                ShapingRecord::Gusset => Shaping::Gusset,
                ShapingRecord::BesideSteek => Shaping::Steek,
            },
            length: self.length.length(&check, "length")?,
            fabric: self.fabric.fabric(&check)?,
            technique: self.technique.into(),
            colours,
            stripe_rows: check.at_least_one("stripe_rows", self.stripe_rows)?,
            own: self.own.iter().map(|own| own.own(&check)).collect::<Result<_, _>>()?,
            held: self.held.iter().map(|held| held.held(&check)).collect::<Result<_, _>>()?,
            then: self.then.iter().map(|step| step.step(&check)).collect::<Result<_, _>>()?,
        })
    }
}

impl WidthRecord {
    pub(super) fn new(width: Width) -> Self {
        match width {
            Width::AsBefore => Self::AsBefore,
            Width::Joined => Self::Joined,
            Width::Stitches(n) => Self::Stitches(n),
            Width::Cm(cm) => Self::Cm(cm),
            Width::Body(follow) => Self::Body(FollowRecord::new(follow)),
            Width::Narrower(cm) => Self::NarrowerByCm(cm),
            Width::Share(share) => Self::Share(share),
        }
    }

    pub(super) fn width(self, check: &Check, name: &str) -> Result<Width, Invalid> {
        Ok(match self {
            Self::AsBefore => Width::AsBefore,
            Self::Joined => Width::Joined,
            Self::Stitches(n) => Width::Stitches(n),
            Self::Cm(cm) => Width::Cm(check.cm(name, cm)?),
            Self::Body(follow) => Width::Body(follow.follow(check, name)?),
            Self::NarrowerByCm(cm) => Width::Narrower(check.cm(name, cm)?),
            Self::Share(share) => Width::Share(check.number(name, share, FollowRecord::MOST_TIMES)?),
        })
    }
}

impl LengthRecord {
    pub(super) fn new(length: Length) -> Self {
        match length {
            Length::Rows(n) => Self::Rows(n),
            Length::Cm(cm) => Self::Cm(cm),
            Length::Body(follow) => Self::Body(FollowRecord::new(follow)),
            Length::Repeats(n) => Self::Repeats(n),
            Length::Rest => Self::Rest,
            Length::Shaped { every } => Self::ShapedEvery(every),
        }
    }

    pub(super) fn length(self, check: &Check, name: &str) -> Result<Length, Invalid> {
        Ok(match self {
            Self::Rows(n) => Length::Rows(n),
            Self::Cm(cm) => Length::Cm(check.cm(name, cm)?),
            Self::Body(follow) => Length::Body(follow.follow(check, name)?),
            Self::Repeats(n) => Length::Repeats(n),
            Self::Rest => Length::Rest,
            Self::ShapedEvery(every) => Length::Shaped { every: check.at_least_one(name, every)? },
        })
    }
}

impl FabricRecord {
    fn new(fabric: Fabric) -> Self {
        match fabric {
            Fabric::Plain => Self::Plain,
            Fabric::Garter => Self::Garter,
            Fabric::Moss => Self::Moss,
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
            Self::Garter => Fabric::Garter,
            Self::Moss => Fabric::Moss,
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
