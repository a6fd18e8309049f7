//! The records of a yarn as a whole, as on its band.

use serde::{Deserialize, Serialize};

use super::names::{FibreWord, SpinWord, TwistAmountWord, TwistDirectionWord, VariationWord};
use super::record::{ColourRecord, Invalid};
use crate::units::Price;
use crate::yarn::{Blend, CareLabel, PutUp, Spin, Variation, WeightClass, Yarn, YarnId};

/// A fibre of a blend.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PartRecord {
    fibre: FibreWord,
    percent: f64,
}

/// The records of a blend.
pub fn parts(blend: &Blend) -> Vec<PartRecord> {
    let part = |(fibre, percent): &(_, f64)| PartRecord { fibre: FibreWord::from(*fibre), percent: *percent };
    blend.parts().iter().map(part).collect()
}

/// The blend of its records, which stand in `field`.
///
/// # Errors
/// [`Invalid`] when the parts are no blend.
pub fn blend(parts: &[PartRecord], field: &str) -> Result<Blend, Invalid> {
    let parts = parts.iter().map(|part| (part.fibre.into(), part.percent)).collect();
    Blend::new(parts).map_err(|error| Invalid::new(field, &error))
}

/// A yarn.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WholeYarnRecord {
    name: String,
    blend: Vec<PartRecord>,
    metres_per_100g: f64,
    ball_g: f64,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    ball_price: Option<f64>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    spin: Option<SpinRecord>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    weight_class: Option<u8>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    wraps_per_inch: Option<f64>,
    /// The drawings of the label in words.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    care: Vec<String>,
    /// What a card says of care for which there is no drawing.
    #[serde(default, skip_serializing_if = "String::is_empty")]
    care_unread: String,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    varies: Option<VariationRecord>,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    dye_lot: String,
    #[serde(default, skip_serializing_if = "String::is_empty")]
    notes: String,
}

/// How a yarn is spun.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct SpinRecord {
    system: SpinWord,
    plies: u8,
    direction: TwistDirectionWord,
    twist: TwistAmountWord,
}

impl SpinRecord {
    /// The record of a spin.
    pub(super) fn new(spin: Spin) -> Self {
        Self {
            system: spin.system.into(),
            plies: spin.plies(),
            direction: spin.direction.into(),
            twist: spin.amount.into(),
        }
    }

    /// The spin of a record in the entry at `field`.
    ///
    /// # Errors
    /// [`Invalid`] for no ply or too many.
    pub(super) fn spin(&self, field: &str) -> Result<Spin, Invalid> {
        Spin::new(self.system.into(), self.plies, self.direction.into(), self.twist.into())
            .map_err(|error| Invalid::new(format!("{field} > spin > plies"), &error))
    }
}

/// How a colour changes along the strand.
#[derive(Debug, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct VariationRecord {
    kind: VariationWord,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    change_m: Option<f64>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    others: Vec<ColourRecord>,
}

impl VariationRecord {
    /// The record of a variation.
    pub(super) fn new(variation: &Variation) -> Self {
        Self {
            kind: variation.kind.into(),
            change_m: variation.change_m,
            others: variation.others.iter().map(|colour| ColourRecord::new(*colour)).collect(),
        }
    }

    /// The variation of a record in the entry at `field`.
    ///
    /// # Errors
    /// [`Invalid`] for a length out of range, too many colours and a colour that is none.
    pub(super) fn variation(&self, field: &str) -> Result<Variation, Invalid> {
        let field = format!("{field} > varies");
        let others = self.others.iter().enumerate();
        let colour =
            |(i, colour): (usize, &ColourRecord)| colour.colour(&format!("{field} > others {}", i + 1));
        let variation = Variation {
            kind: self.kind.into(),
            change_m: self.change_m,
            others: others.map(colour).collect::<Result<_, _>>()?,
        };
        variation.check().map_err(|error| Invalid::new(field, &error))?;
        Ok(variation)
    }
}

impl WholeYarnRecord {
    /// The record of a yarn.
    pub fn new(yarn: &Yarn) -> Self {
        Self {
            name: yarn.name.clone(),
            blend: parts(&yarn.blend),
            metres_per_100g: yarn.put_up.grist.get(),
            ball_g: yarn.put_up.ball_g(),
            ball_price: yarn.ball_price.map(Price::get),
            spin: yarn.spin.map(SpinRecord::new),
            weight_class: yarn.class_on_band.map(WeightClass::number),
            wraps_per_inch: yarn.wraps_per_inch,
            care: yarn.care.symbols().iter().map(|symbol| symbol.code().to_owned()).collect(),
            care_unread: yarn.care.unread().to_owned(),
            varies: yarn.varies.as_ref().map(VariationRecord::new),
            dye_lot: yarn.lot.clone(),
            notes: yarn.notes.clone(),
        }
    }

    /// The yarn of a record, which stands in `field`.
    ///
    /// # Errors
    /// [`Invalid`] with the first field whose value means nothing.
    pub fn yarn(&self, field: &str) -> Result<Yarn, Invalid> {
        let at = |name: &str| format!("{field} > {name}");
        let put_up = PutUp::new(self.metres_per_100g, self.ball_g)
            .map_err(|error| Invalid::new(at("metres_per_100g"), &error))?;
        let ball_price = self.ball_price.map(Price::new).transpose();
        let wraps_per_inch = match self.wraps_per_inch {
            Some(wraps) if !(wraps.is_finite() && wraps >= 0.0) => {
                Err(Invalid::new(at("wraps_per_inch"), &format!("{wraps} must be 0 or more")))
            }
            wraps => Ok(wraps),
        };
        let class = |number: u8| {
            let message = format!("the weight class must be a whole number from 0 to 7, not {number}");
            WeightClass::from_number(number).ok_or_else(|| Invalid::new(at("weight_class"), &message))
        };
        let spin = self.spin.as_ref().map(|spin| spin.spin(field));
        Ok(Yarn {
            spin: spin.transpose()?,
            ball_price: ball_price.map_err(|error| Invalid::new(at("ball_price"), &error))?,
            care: CareLabel::from_codes(self.care.iter().map(String::as_str))
                .map_err(|error| Invalid::new(at("care"), &error))?
                .with_unread(self.care_unread.clone()),
            class_on_band: self.weight_class.map(class).transpose()?,
            wraps_per_inch: wraps_per_inch?,
            varies: self.varies.as_ref().map(|varies| varies.variation(field)).transpose()?,
            lot: self.dye_lot.clone(),
            notes: self.notes.clone(),
            ..Yarn::new(YarnId(0), self.name.clone(), blend(&self.blend, &at("blend"))?, put_up)
        })
    }
}
