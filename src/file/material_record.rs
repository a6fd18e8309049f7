//! The records of needs, fibre and swatches. The whole section may be missing.

use serde::{Deserialize, Serialize};

use super::names::{
    ClimateWord, ConstructionWord, DriedWord, FabricWord, MoistureWord, PieceWord, SkinWord, StitchesWord,
    StretchWord, WashedWord, WashingWord, WearWord, WearerWord,
};
use super::record::Invalid;
use super::yarn_record::{self, PartRecord, WholeYarnRecord};
use crate::knit::{BegunSize, ReadOff, SwatchCare, SwatchOnScales, SwatchSize};
use crate::project::{LoggedSwatch, Material};
use crate::units::{MetresPer100G, UnitError};
use crate::yarn::Needs;

/// The material section of a project file.
#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct MaterialRecord {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    needs: Option<NeedsRecord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    blend: Option<Vec<PartRecord>>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    yarn: Option<WholeYarnRecord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pattern_yarn: Option<WholeYarnRecord>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    swatches: Vec<SwatchRecord>,
    /// Number of the swatch that the knitter said is followed, from 1.
    #[serde(default, with = "bare", skip_serializing_if = "Option::is_none")]
    follows_swatch: Option<usize>,
}

/// A value that may be missing, written as itself where it is there.
mod bare {
    use serde::{Deserialize, Deserializer, Serialize, Serializer};

    #[allow(clippy::ref_option, reason = "serde hands the field itself")]
    pub fn serialize<T: Serialize, S: Serializer>(value: &Option<T>, to: S) -> Result<S::Ok, S::Error> {
        match value {
            Some(value) => value.serialize(to),
            None => to.serialize_none(),
        }
    }

    pub fn deserialize<'de, T: Deserialize<'de>, D: Deserializer<'de>>(
        from: D,
    ) -> Result<Option<T>, D::Error> {
        T::deserialize(from).map(Some)
    }
}

/// A count in tenths; a whole one is written without a point, as it always was.
#[derive(Clone, Copy, Debug, Deserialize)]
#[serde(transparent)]
struct Counted(f64);

impl Serialize for Counted {
    fn serialize<S: serde::Serializer>(&self, to: S) -> Result<S::Ok, S::Error> {
        if self.0.fract() == 0.0 && self.0 >= 0.0 {
            to.serialize_u64(self.0 as u64)
        } else {
            to.serialize_f64(self.0)
        }
    }
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct NeedsRecord {
    piece: PieceWord,
    wear: WearWord,
    climate: ClimateWord,
    wearer: WearerWord,
    moisture: MoistureWord,
    stitches: StitchesWord,
    skin: SkinWord,
    stretch: StretchWord,
    washing: WashingWord,
    gift: bool,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SwatchRecord {
    yarn: String,
    metres_per_100g: f64,
    /// Absent until it was told.
    #[serde(default, with = "bare", skip_serializing_if = "Option::is_none")]
    needle_mm: Option<f64>,
    fabric: FabricWord,
    construction: ConstructionWord,
    /// Counted over the sizes below, in tenths; absent until they were.
    #[serde(default, with = "bare", skip_serializing_if = "Option::is_none")]
    stitches: Option<Counted>,
    #[serde(default, with = "bare", skip_serializing_if = "Option::is_none")]
    rows: Option<Counted>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    before_washing: Option<SizeRecord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    after_washing: Option<SizeRecord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    washed: Option<WashedWord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    dried: Option<DriedWord>,
    /// Whether the piece will be cared for so.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    cared_for_as_piece: bool,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    weighed: Option<WeighedRecord>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    notes: String,
}

#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct SizeRecord {
    /// Absent until it was measured.
    #[serde(default, with = "bare", skip_serializing_if = "Option::is_none")]
    width_cm: Option<f64>,
    #[serde(default, with = "bare", skip_serializing_if = "Option::is_none")]
    height_cm: Option<f64>,
    /// One standard deviation of a gauge read off a photograph, as a share of it: stitches, rows.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    read_off_share: Option<(f64, f64)>,
}

/// The whole swatch on the scales.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct WeighedRecord {
    stitches: u32,
    rows: u32,
    /// Absent until the scales were read.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    mass_g: Option<f64>,
    scale_step_g: f64,
    /// Whether doubts about it were overruled.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    trusted: bool,
}

impl MaterialRecord {
    /// The record of a project's material.
    pub fn new(material: &Material) -> Self {
        Self {
            needs: material.needs.map(NeedsRecord::new),
            blend: material.blend.as_ref().map(yarn_record::parts),
            yarn: material.yarn.as_ref().map(WholeYarnRecord::new),
            pattern_yarn: material.pattern_yarn.as_ref().map(WholeYarnRecord::new),
            swatches: material.swatches.iter().map(SwatchRecord::new).collect(),
            follows_swatch: material
                .follows
                .filter(|place| *place < material.swatches.len())
                .map(|place| place + 1),
        }
    }

    /// Whether nothing is recorded, so that the section can be left out.
    pub const fn is_empty(&self) -> bool {
        self.needs.is_none()
            && self.blend.is_none()
            && self.yarn.is_none()
            && self.pattern_yarn.is_none()
            && self.swatches.is_empty()
    }

    /// The material of a record.
    ///
    /// # Errors
    /// [`Invalid`] with the first field whose value means nothing.
    pub fn material(&self) -> Result<Material, Invalid> {
        let blend = self.blend.as_ref().map(|parts| yarn_record::blend(parts, "material > blend"));
        let yarn = |name: &str, record: &Option<WholeYarnRecord>| {
            record.as_ref().map(|yarn| yarn.yarn(&format!("material > {name}"))).transpose()
        };
        let swatches = self.swatches.iter().enumerate();
        let follows = self.follows_swatch.map(|number| match number.checked_sub(1) {
            Some(place) if place < self.swatches.len() => Ok(place),
            _ => {
                let message = format!("swatch {number} is followed, and there are {}", self.swatches.len());
                Err(Invalid::new("material > follows_swatch".to_owned(), &message))
            }
        });
        Ok(Material {
            needs: self.needs.as_ref().map(NeedsRecord::needs),
            blend: blend.transpose()?,
            yarn: yarn("yarn", &self.yarn)?,
            pattern_yarn: yarn("pattern_yarn", &self.pattern_yarn)?,
            swatches: swatches
                .map(|(i, swatch)| swatch.swatch(&format!("material > swatches {}", i + 1)))
                .collect::<Result<_, _>>()?,
            follows: follows.transpose()?,
        })
    }
}

impl NeedsRecord {
    fn new(needs: Needs) -> Self {
        Self {
            piece: needs.piece.into(),
            wear: needs.wear.into(),
            climate: needs.climate.into(),
            wearer: needs.wearer.into(),
            moisture: needs.moisture.into(),
            stitches: needs.stitches.into(),
            skin: needs.skin.into(),
            stretch: needs.stretch.into(),
            washing: needs.washing.into(),
            gift: needs.gift,
        }
    }

    fn needs(&self) -> Needs {
        Needs {
            piece: self.piece.into(),
            wear: self.wear.into(),
            climate: self.climate.into(),
            wearer: self.wearer.into(),
            moisture: self.moisture.into(),
            stitches: self.stitches.into(),
            skin: self.skin.into(),
            stretch: self.stretch.into(),
            washing: self.washing.into(),
            gift: self.gift,
        }
    }
}

impl SwatchRecord {
    fn new(logged: &LoggedSwatch) -> Self {
        let swatch = &logged.swatch;
        let size = |size: Option<SwatchSize>, begun: Option<BegunSize>| match (size, begun) {
            (Some(size), _) => Some(SizeRecord {
                width_cm: Some(size.width_cm()),
                height_cm: Some(size.height_cm()),
                read_off_share: size.read_off().map(|sure| (sure.stitches, sure.rows)),
            }),
            (None, Some(BegunSize { width_cm, height_cm })) => {
                Some(SizeRecord { width_cm, height_cm, read_off_share: None })
            }
            (None, None) => None,
        };
        Self {
            yarn: logged.yarn.clone(),
            metres_per_100g: logged.grist.get(),
            needle_mm: swatch.needle_mm,
            fabric: swatch.fabric.into(),
            construction: swatch.construction.into(),
            stitches: swatch.stitches().map(Counted),
            rows: swatch.rows().map(Counted),
            before_washing: size(swatch.before, swatch.before_begun),
            after_washing: size(swatch.after, swatch.after_begun),
            washed: swatch.care.washed.map(Into::into),
            dried: swatch.care.dried.map(Into::into),
            cared_for_as_piece: swatch.care.as_piece,
            weighed: swatch.weighed.map(|weighed| WeighedRecord {
                stitches: weighed.stitches,
                rows: weighed.rows,
                mass_g: weighed.grams,
                scale_step_g: weighed.scale_step_g,
                trusted: weighed.trusted,
            }),
            notes: swatch.notes.clone(),
        }
    }

    fn swatch(&self, field: &str) -> Result<LoggedSwatch, Invalid> {
        let at = |name: &str| format!("{field} > {name}");
        let grist = MetresPer100G::new(self.metres_per_100g)
            .map_err(|error| Invalid::new(at("metres_per_100g"), &error))?;
        let how = (self.fabric.into(), self.construction.into());
        let mut logged = LoggedSwatch::uncounted(self.yarn.clone(), grist, how);
        let [stitches, rows] = [self.stitches, self.rows].map(|count| count.map(|Counted(count)| count));
        logged.swatch = logged.swatch.recounted(self.needle_mm, (stitches, rows)).map_err(|error| {
            // The counts are checked before the needle.
            let counts = error.what != "a needle in mm";
            Invalid::new(at(if counts { "stitches" } else { "needle_mm" }), &error)
        })?;
        let size = |name: &str, record: &Option<SizeRecord>| match record {
            None => Ok((None, None)),
            Some(record) => record.size().map_err(|error| Invalid::new(at(name), &error)),
        };
        let swatch = &mut logged.swatch;
        (swatch.before, swatch.before_begun) = size("before_washing", &self.before_washing)?;
        (swatch.after, swatch.after_begun) = size("after_washing", &self.after_washing)?;
        logged.swatch.care = SwatchCare {
            washed: self.washed.map(Into::into),
            dried: self.dried.map(Into::into),
            as_piece: self.cared_for_as_piece,
        };
        logged.swatch.weighed = self.weighed.as_ref().map(WeighedRecord::on_scales);
        if let Some(weighed) = &self.weighed
            && !(0.0..=100.0).contains(&weighed.scale_step_g)
        {
            let message = format!("scales read in steps of 0 to 100 g, not {}", weighed.scale_step_g);
            return Err(Invalid::new(at("weighed > scale_step_g"), &message));
        }
        logged.swatch.weighed_swatch(grist).map_err(|error| Invalid::new(at("weighed"), &error))?;
        logged.swatch.notes.clone_from(&self.notes);
        Ok(logged)
    }
}

impl SizeRecord {
    /// The whole size, or what was entered of it.
    fn size(&self) -> Result<(Option<SwatchSize>, Option<BegunSize>), UnitError> {
        let begun = BegunSize { width_cm: self.width_cm, height_cm: self.height_cm };
        let Some(size) = begun.whole()? else {
            // One side alone is held to the same limits.
            for side in [self.width_cm, self.height_cm].into_iter().flatten() {
                SwatchSize::new(side, side)?;
            }
            return Ok((None, Some(begun)));
        };
        let read_off = self.read_off_share.map(|(stitches, rows)| ReadOff::new(stitches, rows));
        Ok((Some(size.with_read_off(read_off.transpose()?)), None))
    }
}

impl WeighedRecord {
    const fn on_scales(&self) -> SwatchOnScales {
        SwatchOnScales {
            stitches: self.stitches,
            rows: self.rows,
            grams: self.mass_g,
            scale_step_g: self.scale_step_g,
            trusted: self.trusted,
        }
    }
}
