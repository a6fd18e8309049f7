//! Gauges in words, the same on every page and in every export.

use super::{Gauge, MeasuredGauge};
use crate::units::LengthUnit;

/// A gauge in words: `28.0 stitches and 36.0 rows in 10 cm`.
pub fn gauge_told(gauge: Gauge, units: LengthUnit) -> String {
    let (base, factor) = (units.gauge_base(), units.gauge_factor());
    let (stitches, rows) = (gauge.stitches.get() * factor, gauge.rows.get() * factor);
    format!("{stitches:.1} stitches and {rows:.1} rows in {base}")
}

/// That the plan contradicts what a swatch of this name measured, without a full stop.
pub fn gauges_apart(planned: Gauge, (name, measured): (&str, &MeasuredGauge), units: LengthUnit) -> String {
    format!(
        "Planned at {}, but {name}, {}, gives {}",
        gauge_told(planned, units),
        measured.state(),
        gauge_told(measured.gauge, units)
    )
}

impl MeasuredGauge {
    /// Whether it was washed, and off a photograph, in words after a comma.
    pub const fn state(&self) -> &'static str {
        match (self.washed, self.read_off) {
            (true, false) => "washed",
            (true, true) => "washed, off a photograph",
            (false, false) => "not washed yet",
            (false, true) => "not washed yet, off a photograph",
        }
    }
}
