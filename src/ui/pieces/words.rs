//! Lengths, counts and times in words.

use crate::knit::Gauge;
use crate::knit::pieces::{Fabric, WorkedBand};
use crate::plain_text::signed;
use crate::units::{LengthUnit, counted};

/// `12.3 cm` or `4.8 in`.
pub fn length(cm: f64, units: LengthUnit) -> String {
    format!("{:.1} {}", units.from_cm(cm), units.length_suffix())
}

/// `+0.4 cm`, `−1.2 in`, or `exact` when it would read as nothing.
pub fn off(cm: f64, units: LengthUnit) -> String {
    let value = units.from_cm(cm);
    if value.abs() < 0.05 {
        return "exact".to_owned();
    }
    let sign = if value < 0.0 { "−" } else { "+" };
    format!("{sign}{:.1} {}", value.abs(), units.length_suffix())
}

/// An ease with its sign: `+7.5 cm`, `−1.0 in`, `0.0 cm`.
pub fn ease(cm: f64, units: LengthUnit) -> String {
    format!("{} {}", signed(units.from_cm(cm), 1), units.length_suffix())
}

/// What a band is made of: `Ribbing k2, p2`.
pub fn fabric(fabric: Fabric) -> String {
    match fabric {
        Fabric::Plain | Fabric::Garter | Fabric::Moss | Fabric::Chart { .. } => fabric.name().to_owned(),
        Fabric::Ribbing { knit, purl } => format!("Ribbing k{knit}, p{purl}"),
    }
}

/// `256 sts`, or `256 to 116 sts`.
pub fn stitches(band: &WorkedBand) -> String {
    let (start, end) = (band.start.stitches, band.end.stitches);
    if start == end { format!("{start} sts") } else { format!("{start} to {end} sts") }
}

/// `49 rows, 14.8 cm`; in the round they are rounds.
pub fn rows(band: &WorkedBand, gauge: Gauge, units: LengthUnit) -> String {
    let [one, many] = band.construction.row_words();
    format!("{}, {}", counted(u64::from(band.rows()), one, many), length(band.height_cm(gauge), units))
}

/// How the stitches change in and before a band: `dec 20 sts in the first row; dec 4 sts every 4th row 9 times`.
pub fn shaping(band: &WorkedBand) -> Option<String> {
    let mut words = Vec::new();
    let [row, _] = band.construction.row_words();
    let change = band.change_at_start();
    if change != 0 {
        let verb = if change > 0 { "inc" } else { "dec" };
        words.push(format!("{verb} {} sts in the first {row}", change.abs()));
    }
    let events = band.schedule.events();
    if events > 0 {
        let verb = if band.end.stitches > band.start.stitches { "inc" } else { "dec" };
        let each = band.start.stitches.abs_diff(band.end.stitches).div_ceil(events);
        words.push(format!("{verb} {each} sts {}", band.schedule.words(row)));
    } else if band.chart.is_some_and(|chart| chart.shaped) {
        words.push("shaped as charted".to_owned());
    }
    (!words.is_empty()).then(|| words.join("; "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_rounds_to_nothing_is_exact() {
        assert_eq!(off(0.04, LengthUnit::Metric), "exact");
        assert_eq!(off(-2.54, LengthUnit::Imperial), "−1.0 in");
        assert_eq!(off(0.16, LengthUnit::Metric), "+0.2 cm");
    }
}
