//! How a yarn is sold, typed in the project's own units.

use super::field::NumberField;
use super::form::Form;
use crate::units::{LengthUnit, MetresPer100G};
use crate::yarn::PutUp;

/// The length in 100 g; what was typed.
pub fn grist_field(
    form: &mut Form,
    label: &str,
    units: LengthUnit,
    now: MetresPer100G,
) -> Option<MetresPer100G> {
    let suffix = format!(" {} in 100 g", units.yarn_suffix());
    let range = units.from_metres(MetresPer100G::MIN)..=units.from_metres(MetresPer100G::MAX);
    let field = NumberField { label, suffix: &suffix, range, decimals: 0, speed: 1.0 };
    let typed = field.edited(form, units.from_metres(now.get()))?;
    Some(MetresPer100G::clamped(units.to_metres(typed)))
}

/// The mass of a ball; the put-up with what was typed.
pub fn ball_field(form: &mut Form, label: &str, units: LengthUnit, now: PutUp) -> Option<PutUp> {
    let suffix = format!(" {} a ball", units.mass_suffix());
    let range = units.from_grams(1.0)..=units.from_grams(5000.0);
    let field = NumberField { label, suffix: &suffix, range, decimals: 2, speed: 0.5 };
    let typed = field.edited(form, units.from_grams(now.ball_g()))?;
    PutUp::new(now.grist.get(), units.to_grams(typed)).ok()
}
