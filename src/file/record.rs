//! The records of a project file, version 1, and their way to the project and back.
//!
//! Units stand in the keys. A section added later takes `#[serde(default)]`, so that files
//! without it still open.

use std::sync::Arc;

use serde::{Deserialize, Serialize};

use super::chart_record::ChartRecord;
use super::material_record::MaterialRecord;
use super::names::{ConstructionWord, RoleWord, SchemeWord, SymbolWord, TechniqueWord, UnitsWord, WheelWord};
use super::piece_record::{self, PaceRecord, PieceRecord, SizeRecord};
use super::rows;
use super::shade_card::{CardRecord, ShadeRecord};
use super::symmetry_record::SymmetryRecord;
use crate::colour::Colour;
use crate::knit::Gauge;
use crate::project::budget;
use crate::project::{
    Colourway, FloatLimit, KnitPlan, Palette, Project, ProjectError, Proportion, Slot, SlotYarn,
};
use crate::units::{Cm, Currency, Metres, Price};
use crate::yarn::{PutUp, Shade, ShadeCard};

/// A value that parses but means nothing.
#[derive(Clone, Debug, PartialEq)]
pub struct Invalid {
    /// The field, written as `place` writes it, e.g. `palette > colours 3 > yarn`.
    pub field: String,
    /// What is wrong.
    pub message: String,
}

impl Invalid {
    pub(super) fn new(field: impl Into<String>, message: &impl ToString) -> Self {
        Self { field: field.into(), message: message.to_string() }
    }
}

/// A project file.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ProjectRecord {
    /// Always [`super::FORMAT`].
    pub format: String,
    /// [`super::VERSION`] when written.
    pub version: u64,
    title: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    designer: String,
    #[serde(default)]
    notes: String,
    #[serde(default = "metric")]
    units: UnitsWord,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    currency: String,
    palette: PaletteRecord,
    chart: ChartRecord,
    #[serde(default, skip_serializing_if = "SymmetryRecord::is_none")]
    symmetry: SymmetryRecord,
    plan: PlanRecord,
    #[serde(default)]
    colourways: Vec<ColourwayRecord>,
    #[serde(default, skip_serializing_if = "MaterialRecord::is_empty")]
    material: MaterialRecord,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pieces: Vec<PieceRecord>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    sizes: Vec<SizeRecord>,
    /// The size that is worked, by its place in the list from 1.
    #[serde(default = "first", skip_serializing_if = "is_first")]
    worked_size: usize,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    stitches_per_minute: Option<f64>,
    /// Share of it that is kept in colourwork.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    stranded_pace_share: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    intarsia_pace_share: Option<f64>,
    /// Read here; written by [`CardsRecord`].
    #[serde(default, skip_serializing)]
    shade_cards: Vec<CardRecord>,
}

/// The shade cards of a project file, its last section.
#[derive(Debug, Serialize)]
pub struct CardsRecord {
    shade_cards: Vec<CardRecord>,
}

impl CardsRecord {
    /// The record of some cards.
    pub fn new(cards: &[Arc<ShadeCard>]) -> Self {
        Self { shade_cards: cards.iter().map(|card| CardRecord::new(card)).collect() }
    }
}

const fn first() -> usize {
    1
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands over a reference")]
const fn is_first(place: &usize) -> bool {
    *place == first()
}

const fn metric() -> UnitsWord {
    UnitsWord::Metric
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PaletteRecord {
    wheel: WheelWord,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    scheme: Option<SchemeWord>,
    target_percent: TargetRecord,
    colours: Vec<SlotRecord>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct TargetRecord {
    main: f64,
    supporting: f64,
    accent: f64,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SlotRecord {
    /// The character of the colour in the rows of the chart; a help for the reader, checked.
    letter: char,
    name: String,
    role: RoleWord,
    symbol: SymbolWord,
    #[serde(default)]
    locked: bool,
    colour: ColourRecord,
    yarn: YarnRecord,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    shade: Option<ShadeRecord>,
}

/// Oklch, with the hex beside it for the reader. The hex is what the colour looks like in sRGB;
/// where the Oklch colour fits sRGB the two must agree, so that a hex changed by hand is noticed.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ColourRecord {
    lightness: f64,
    chroma: f64,
    hue_deg: f64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    hex: Option<String>,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct YarnRecord {
    metres_per_100g: f64,
    ball_g: f64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    ball_price: Option<f64>,
    #[serde(default, skip_serializing_if = "is_none_on_hand")]
    on_hand_m: f64,
}

#[expect(clippy::trivially_copy_pass_by_ref, reason = "serde hands over a reference")]
fn is_none_on_hand(metres: &f64) -> bool {
    *metres == 0.0
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct PlanRecord {
    stitches_per_10_cm: f64,
    rows_per_10_cm: f64,
    technique: TechniqueWord,
    construction: ConstructionWord,
    needle_stitches: u32,
    edge_stitches: u32,
    repeats_up: u32,
    float_limit_stitches: u32,
    float_limit_cm: f64,
    colours_per_row: u32,
    waste_percent: f64,
    tail_cm: f64,
    swatch_cm: f64,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct ColourwayRecord {
    name: String,
    pub(super) colours: Vec<ColourRecord>,
    /// What else differs, one entry a colour, where it does.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    palette: Vec<SlotRecord>,
}

impl ProjectRecord {
    /// The record of a project.
    pub fn new(project: &Project) -> Self {
        let pace = PaceRecord::new(project.pieces.pace);
        Self {
            format: super::FORMAT.to_owned(),
            version: super::VERSION,
            title: project.title.clone(),
            designer: project.designer.clone(),
            notes: project.notes.clone(),
            units: project.units.into(),
            currency: project.currency.written().to_owned(),
            palette: PaletteRecord::new(&project.palette),
            chart: ChartRecord::new(&project.chart),
            symmetry: SymmetryRecord::new(&project.symmetry),
            plan: PlanRecord::new(&project.plan),
            colourways: project.colourways.iter().map(ColourwayRecord::new).collect(),
            material: MaterialRecord::new(&project.material),
            pieces: project.pieces.pieces.iter().map(PieceRecord::new).collect(),
            sizes: project.pieces.sizes.iter().map(SizeRecord::new).collect(),
            worked_size: project.pieces.chosen.saturating_add(1),
            stitches_per_minute: pace.stitches_per_minute,
            stranded_pace_share: pace.stranded_pace_share,
            intarsia_pace_share: pace.intarsia_pace_share,
            shade_cards: Vec::new(),
        }
    }

    /// The project of a record.
    ///
    /// # Errors
    /// [`Invalid`] with the first field whose value means nothing.
    pub fn project(&self) -> Result<Project, Invalid> {
        let palette = self.palette.palette()?;
        let slots = palette.slots().len();
        let ways = self.colourways.iter().enumerate();
        let project = Project {
            title: self.title.clone(),
            designer: self.designer.clone(),
            notes: self.notes.clone(),
            units: self.units.into(),
            currency: currency(&self.currency)?,
            chart: self.chart.chart(slots)?,
            symmetry: self.symmetry.symmetry()?,
            plan: self.plan.plan()?,
            colourways: ways
                .map(|(i, way)| way.colourway(&format!("colourways {}", i + 1), slots))
                .collect::<Result<_, _>>()?,
            material: self.material.material()?,
            pieces: piece_record::plan(
                &self.pieces,
                &self.sizes,
                self.worked_size,
                PaceRecord {
                    stitches_per_minute: self.stitches_per_minute,
                    stranded_pace_share: self.stranded_pace_share,
                    intarsia_pace_share: self.intarsia_pace_share,
                },
                slots,
            )?,
            palette,
            shade_cards: cards(&self.shade_cards)?,
        };
        budget::check(&project).map_err(|over| Invalid::new(over.field, &over))?;
        Ok(project)
    }
}

pub(super) fn currency(written: &str) -> Result<Currency, Invalid> {
    Currency::new(written).map_err(|error| Invalid::new("currency", &error))
}

pub(super) fn cards(records: &[CardRecord]) -> Result<Vec<Arc<ShadeCard>>, Invalid> {
    let cards = records.iter().enumerate();
    cards.map(|(i, card)| card.card(&format!("shade_cards {}", i + 1)).map(Arc::new)).collect()
}

impl PaletteRecord {
    pub(super) fn new(palette: &Palette) -> Self {
        let share = |role| palette.proportion.share(role).unwrap_or_default();
        Self {
            wheel: palette.wheel.into(),
            scheme: palette.scheme.map(Into::into),
            target_percent: TargetRecord {
                main: share(crate::project::Role::Main),
                supporting: share(crate::project::Role::Supporting),
                accent: share(crate::project::Role::Accent),
            },
            colours: palette.slots().iter().enumerate().map(|(i, slot)| SlotRecord::new(i, slot)).collect(),
        }
    }

    pub(super) fn palette(&self) -> Result<Palette, Invalid> {
        let slots = self.colours.iter().enumerate();
        let slots = slots.map(|(i, slot)| slot.slot(i)).collect::<Result<_, _>>()?;
        let mut palette = Palette::new(slots).map_err(|e| Invalid::new("palette > colours", &e))?;
        palette.wheel = self.wheel.into();
        palette.scheme = self.scheme.map(Into::into);
        let TargetRecord { main, supporting, accent } = self.target_percent;
        palette.proportion = Proportion::new(main, supporting, accent)
            .map_err(|e| Invalid::new("palette > target_percent", &e))?;
        Ok(palette)
    }
}

impl SlotRecord {
    fn new(index: usize, slot: &Slot) -> Self {
        Self {
            letter: rows::letter(index),
            name: slot.name.clone(),
            role: slot.role.into(),
            symbol: slot.symbol.into(),
            locked: slot.locked,
            colour: ColourRecord::new(slot.colour),
            yarn: YarnRecord {
                metres_per_100g: slot.yarn.put_up.grist.get(),
                ball_g: slot.yarn.put_up.ball_g(),
                ball_price: slot.yarn.ball_price.map(Price::get),
                on_hand_m: slot.yarn.on_hand_m,
            },
            shade: slot.chosen_shade.as_deref().map(ShadeRecord::new),
        }
    }

    fn slot(&self, index: usize) -> Result<Slot, Invalid> {
        let field = |name: &str| format!("palette > colours {} > {name}", index + 1);
        let letter = rows::letter(index);
        // Past the last letter the number of colours is the error to report.
        if self.letter != letter && index < crate::chart::Cell::MAX_SLOTS {
            let message = format!(
                "colour {} has the letter '{letter}' by its place in the list, not '{}'",
                index + 1,
                self.letter
            );
            return Err(Invalid::new(field("letter"), &message));
        }
        let YarnRecord { metres_per_100g, ball_g, ball_price, on_hand_m } = self.yarn;
        Metres::new(on_hand_m).map_err(|e| Invalid::new(field("yarn > on_hand_m"), &e))?;
        let put_up = PutUp::new(metres_per_100g, ball_g).map_err(|e| Invalid::new(field("yarn"), &e))?;
        let ball_price = ball_price.map(Price::new).transpose();
        let ball_price = ball_price.map_err(|e| Invalid::new(field("yarn > ball_price"), &e))?;
        Ok(Slot {
            name: self.name.clone(),
            colour: self.colour.colour(&field("colour"))?,
            role: self.role.into(),
            symbol: self.symbol.into(),
            locked: self.locked,
            yarn: SlotYarn { put_up, ball_price, on_hand_m },
            chosen_shade: self.chosen_shade(&field("shade"))?,
        })
    }
}

impl SlotRecord {
    fn chosen_shade(&self, field: &str) -> Result<Option<Arc<Shade>>, Invalid> {
        let Some(record) = &self.shade else { return Ok(None) };
        let shade = record.shade(field)?;
        shade.check().map_err(|error| Invalid::new(field, &error))?;
        Ok(Some(Arc::new(shade)))
    }
}

impl ColourRecord {
    pub(super) fn new(colour: Colour) -> Self {
        Self {
            lightness: colour.lightness(),
            chroma: colour.chroma(),
            hue_deg: colour.hue_angle(),
            hex: Some(colour.to_hex()),
        }
    }

    pub(super) fn colour(&self, field: &str) -> Result<Colour, Invalid> {
        let colour = Colour::new(self.lightness, self.chroma, self.hue_deg)
            .map_err(|error| Invalid::new(field, &error))?;
        let Some(hex) = &self.hex else { return Ok(colour) };
        let field = format!("{field} > hex");
        let shown = Colour::from_hex(hex).map_err(|error| Invalid::new(&field, &error))?.to_srgb8();
        let meant = colour.to_srgb8();
        // Two steps of 255 leave room for another rounding, none for another colour.
        let agree = shown.iter().zip(meant).all(|(a, b)| a.abs_diff(b) <= 2);
        if agree || !colour.is_in_gamut() {
            return Ok(colour);
        }
        let message = format!(
            "the hex is {hex}, but lightness, chroma and hue give {}; change those, or take the hex out",
            colour.to_hex()
        );
        Err(Invalid::new(field, &message))
    }
}

impl PlanRecord {
    pub(super) fn new(plan: &KnitPlan) -> Self {
        Self {
            stitches_per_10_cm: plan.gauge.stitches.get(),
            rows_per_10_cm: plan.gauge.rows.get(),
            technique: plan.technique.into(),
            construction: plan.construction.into(),
            needle_stitches: plan.needle_stitches,
            edge_stitches: plan.edge_stitches,
            repeats_up: plan.repeats_up,
            float_limit_stitches: plan.float_limit.stitches,
            float_limit_cm: plan.float_limit.cm,
            colours_per_row: plan.colours_per_row,
            waste_percent: plan.waste_percent,
            tail_cm: plan.tail_cm,
            swatch_cm: plan.swatch_cm,
        }
    }

    pub(super) fn plan(&self) -> Result<KnitPlan, Invalid> {
        // The gauge is checked one number at a time so that the error points at the right one.
        let field = |name: &str| format!("plan > {name}");
        let gauge = Gauge::new(self.stitches_per_10_cm, 10.0)
            .map_err(|e| Invalid::new(field("stitches_per_10_cm"), &e))
            .and_then(|_| {
                Gauge::new(self.stitches_per_10_cm, self.rows_per_10_cm)
                    .map_err(|e| Invalid::new(field("rows_per_10_cm"), &e))
            })?;
        let at_least_one = |name: &str, value: u32| match value {
            0 => Err(Invalid::new(field(name), &format!("{name} must be 1 or more, not 0"))),
            value => Ok(value),
        };
        let length = |name: &str, value: f64| {
            Cm::new(value).map(Cm::get).map_err(|error| Invalid::new(field(name), &error))
        };
        let float_cm = length("float_limit_cm", self.float_limit_cm)?;
        if float_cm <= 0.0 {
            return Err(Invalid::new(field("float_limit_cm"), &"a float limit must be more than 0 cm"));
        }
        if !(0.0..=100.0).contains(&self.waste_percent) {
            let message = format!("waste must be between 0 and 100 per cent, not {}", self.waste_percent);
            return Err(Invalid::new(field("waste_percent"), &message));
        }
        Ok(KnitPlan {
            gauge,
            technique: self.technique.into(),
            construction: self.construction.into(),
            needle_stitches: at_least_one("needle_stitches", self.needle_stitches)?,
            edge_stitches: self.edge_stitches,
            repeats_up: at_least_one("repeats_up", self.repeats_up)?,
            float_limit: FloatLimit {
                stitches: at_least_one("float_limit_stitches", self.float_limit_stitches)?,
                cm: float_cm,
            },
            colours_per_row: at_least_one("colours_per_row", self.colours_per_row)?,
            waste_percent: self.waste_percent,
            tail_cm: length("tail_cm", self.tail_cm)?,
            swatch_cm: length("swatch_cm", self.swatch_cm)?,
        })
    }
}

impl ColourwayRecord {
    pub(super) fn new(way: &Colourway) -> Self {
        Self {
            name: way.name.clone(),
            colours: way.colours.iter().map(|colour| ColourRecord::new(*colour)).collect(),
            palette: way
                .whole
                .iter()
                .flatten()
                .enumerate()
                .map(|(i, slot)| SlotRecord::new(i, slot))
                .collect(),
        }
    }

    pub(super) fn colourway(&self, field: &str, slots: usize) -> Result<Colourway, Invalid> {
        if self.colours.len() != slots {
            let error = ProjectError::Colourway {
                name: self.name.clone(),
                found: self.colours.len(),
                expected: slots,
            };
            return Err(Invalid::new(field, &error));
        }
        let colours = self.colours.iter().enumerate();
        let colours = colours
            .map(|(i, colour)| colour.colour(&format!("{field} > colours {}", i + 1)))
            .collect::<Result<Vec<_>, _>>()?;
        let mut way = Colourway::of_colours(self.name.clone(), colours);
        if !self.palette.is_empty() {
            way.whole = Some(self.whole(field, &way.colours)?);
        }
        Ok(way)
    }

    /// The slots beside the colours, which they must agree with.
    fn whole(&self, field: &str, colours: &[Colour]) -> Result<Vec<Slot>, Invalid> {
        if self.palette.len() != colours.len() {
            let (found, expected) = (self.palette.len(), colours.len());
            let message = format!("the palette of a colourway has {found} colours beside {expected}");
            return Err(Invalid::new(format!("{field} > palette"), &message));
        }
        let slots = self.palette.iter().enumerate().map(|(i, slot)| slot.slot(i));
        let slots = slots.collect::<Result<Vec<Slot>, _>>().map_err(|wrong| Invalid {
            field: wrong.field.replacen("palette > colours", &format!("{field} > palette"), 1),
            ..wrong
        })?;
        match slots.iter().zip(colours).position(|(slot, colour)| slot.colour != *colour) {
            None => Ok(slots),
            Some(index) => Err(Invalid::new(
                format!("{field} > palette {} > colour", index + 1),
                &"it differs from the same colour in the list of colours above",
            )),
        }
    }
}
