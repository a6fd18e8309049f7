//! Yarn counts: mass per length and length per mass, in the systems of the trade.

use super::named::named_enum;
use crate::units::{METRES_PER_YARD, MetresPer100G, UnitError};

named_enum!(
    /// A way to say how fine a yarn is. Definitions: ISO 1144 (tex, denier), ISO 2947 (indirect counts).
    CountSystem {
        /// Metres in 100 g: the label of a hand-knitting yarn.
        MetresPer100G => "m per 100 g",
        /// Metres in 50 g.
        MetresPer50G => "m per 50 g",
        /// Yards in 100 g.
        YardsPer100G => "yd per 100 g",
        /// Yards in a pound.
        YardsPerPound => "yd per lb",
        /// Grams in 1000 m.
        Tex => "tex",
        /// Grams in 9000 m.
        Denier => "denier",
        /// Kilometres in a kilogram.
        Nm => "Nm (metric)",
        /// Hanks of 840 yd in a pound.
        Ne => "Ne (cotton)",
        /// Hanks of 560 yd in a pound.
        Worsted => "Worsted count",
        /// Leas of 300 yd in a pound.
        LinenLea => "Linen lea",
    }
);

/// Kilograms in a pound (exact).
const KG_PER_POUND: f64 = 0.453_592_37;

/// Fineness in tex: grams per kilometre. Direct: twice the tex is twice the mass.
#[derive(Clone, Copy, Debug, PartialEq, PartialOrd)]
pub struct Tex(f64);

impl Tex {
    /// From a value in some system.
    ///
    /// # Errors
    /// [`UnitError`] when the value is not a number above 0, or the yarn is outside 0.1 to 20 000 tex.
    pub fn new(system: CountSystem, value: f64) -> Result<Self, UnitError> {
        let tex = system.to_tex(value);
        if value > 0.0 && (0.1..=20_000.0).contains(&tex) {
            Ok(Self(tex))
        } else {
            Err(UnitError {
                what: "a yarn count",
                expected: "that of a yarn between 0.1 and 20000 tex".to_owned(),
                found: format!("{value} {}", system.name()),
            })
        }
    }

    /// From the grist on the label.
    pub const fn from_grist(grist: MetresPer100G) -> Self {
        Self(CountSystem::MetresPer100G.to_tex(grist.get()))
    }

    /// Grams per kilometre.
    pub const fn get(self) -> f64 {
        self.0
    }

    /// The same fineness in another system.
    pub const fn in_system(self, system: CountSystem) -> f64 {
        system.value_of(self.0)
    }
}

impl CountSystem {
    /// For an indirect system (length per mass), its value times tex; `None` for a direct one.
    const fn product_with_tex(self) -> Option<f64> {
        let yards_per_pound = KG_PER_POUND * 1e6 / METRES_PER_YARD;
        match self {
            Self::Tex | Self::Denier => None,
            Self::Nm => Some(1_000.0),
            Self::MetresPer100G => Some(100_000.0),
            Self::MetresPer50G => Some(50_000.0),
            Self::YardsPer100G => Some(100_000.0 / METRES_PER_YARD),
            Self::YardsPerPound => Some(yards_per_pound),
            Self::Ne => Some(yards_per_pound / 840.0),
            Self::Worsted => Some(yards_per_pound / 560.0),
            Self::LinenLea => Some(yards_per_pound / 300.0),
        }
    }

    /// What one unit of a direct system weighs in tex.
    const fn tex_per_unit(self) -> f64 {
        match self {
            Self::Denier => 1.0 / 9.0,
            _ => 1.0,
        }
    }

    const fn to_tex(self, value: f64) -> f64 {
        match self.product_with_tex() {
            Some(product) => product / value,
            None => value * self.tex_per_unit(),
        }
    }

    const fn value_of(self, tex: f64) -> f64 {
        match self.product_with_tex() {
            Some(product) => product / tex,
            None => tex / self.tex_per_unit(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_system_goes_both_ways() {
        for system in CountSystem::ALL.iter().copied() {
            let tex = Tex::new(CountSystem::Tex, 250.0).unwrap();
            let back = Tex::new(system, tex.in_system(system)).unwrap();
            assert!((back.get() - 250.0).abs() < 1e-9, "{}", system.name());
        }
    }

    #[test]
    fn nonsense_is_refused() {
        for value in [0.0, -4.0, f64::NAN, f64::INFINITY] {
            assert!(Tex::new(CountSystem::Nm, value).is_err(), "{value}");
            assert!(Tex::new(CountSystem::Denier, value).is_err(), "{value}");
        }
        let error = Tex::new(CountSystem::Tex, 1e9).unwrap_err().to_string();
        assert!(error.contains("1000000000 tex"), "{error}");
    }
}
