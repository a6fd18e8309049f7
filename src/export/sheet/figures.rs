//! Figures as they are printed: in every size, in both systems, with a real minus.

use crate::export::instructions::in_sizes;
pub use crate::plain_text::{number, signed};
use crate::units::LengthUnit;

/// `350 to 400`; an en dash where no minus stands beside it.
pub fn range(low: f64, high: f64, decimals: usize) -> String {
    let (low, high) = (number(low, decimals), number(high, decimals));
    if low.starts_with('−') || high.starts_with('−') {
        format!("{low} to {high}")
    } else {
        format!("{low}–{high}")
    }
}

/// Both systems, the one in use first.
pub const fn both(first: LengthUnit) -> [LengthUnit; 2] {
    match first {
        LengthUnit::Metric => [LengthUnit::Metric, LengthUnit::Imperial],
        LengthUnit::Imperial => [LengthUnit::Imperial, LengthUnit::Metric],
    }
}

/// Lengths of all sizes in one system, under a heading that names it: `91.4 (101.4, 111.4)`.
pub fn lengths(cms: &[f64], unit: LengthUnit) -> String {
    in_sizes(cms.iter().map(|cm| number(unit.from_cm(*cm), 1)))
}

/// Lengths of all sizes in both systems: `91.4 (101.4, 111.4) cm / 36.0 (39.9, 43.9) in`.
pub fn lengths_both(cms: &[f64], first: LengthUnit) -> String {
    both(first).map(|unit| format!("{} {}", lengths(cms, unit), unit.length_suffix())).join(" / ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_minus_is_a_minus_and_nothing_has_no_sign() {
        assert_eq!(number(-2.94, 1), "−2.9");
        assert_eq!(number(-0.04, 1), "0.0");
        assert_eq!(
            (signed(7.5, 1), signed(-7.5, 1), signed(0.0, 1)),
            ("+7.5".into(), "−7.5".into(), "0.0".into())
        );
        assert_eq!(range(1146.2, 1360.0, 0), "1146–1360");
        assert_eq!(range(-3.4, 3.4, 1), "−3.4 to 3.4");
        assert_eq!(lengths_both(&[91.44, 101.6], LengthUnit::Metric), "91.4 (101.6) cm / 36.0 (40.0) in");
        assert_eq!(lengths_both(&[50.8, 50.8], LengthUnit::Imperial), "20.0 in / 50.8 cm");
    }
}
