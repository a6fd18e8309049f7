//! How the figures of the parts mix in a blend; each property has a documented rule.

use super::blend::Blend;
use super::fibre::Fibre;
use super::figure::{Basis, Figure, Property, number};

/// A mixed figure before it is put into words.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Mix {
    /// Lower end.
    pub low: f64,
    /// Upper end.
    pub high: f64,
    /// How firmly it stands: never firmer than its weakest part, and derived when it is mixed.
    pub basis: Basis,
}

impl Mix {
    /// Middle of the range.
    pub const fn mid(self) -> f64 {
        f64::midpoint(self.low, self.high)
    }
}

/// How a property of the parts becomes one of the blend.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Rule {
    /// Weighted by mass.
    ByMass,
    /// Volumes add: 1 / density is weighted by mass.
    ByVolume,
    /// From the lowest part to the highest.
    Range,
    /// By mass, but nylon counts for more than its mass.
    Reinforced,
    /// By mass, but the fuzziest part counts for more than its mass.
    Showing,
    /// As the most delicate part.
    WorstPart,
    /// No rule is known.
    None,
}

impl Rule {
    const fn of(property: Property) -> Self {
        match property {
            Property::Density => Self::ByVolume,
            // Strength and stretch of a mixed bundle do not add: the fibre that stretches least
            // breaks first (Hamburger, J. Text. Inst. 40, 1949; from memory).
            Property::Tenacity
            | Property::BreakingExtension
            | Property::Diameter
            | Property::StapleLength => Self::Range,
            Property::PillingGrade => Self::None,
            Property::Abrasion => Self::Reinforced,
            Property::Halo => Self::Showing,
            Property::MachineWash => Self::WorstPart,
            _ => Self::ByMass,
        }
    }

    const fn words(self) -> &'static str {
        match self {
            Self::ByMass => "weighted by mass",
            Self::ByVolume => "volumes added",
            Self::Range => "from the lowest part to the highest",
            Self::Reinforced => "weighted by mass; nylon counts for more than its mass",
            Self::Showing => "weighted by mass; the fuzziest part counts for more than its mass",
            Self::WorstPart => "as its most delicate part",
            Self::None => "no rule",
        }
    }
}

/// The weight of a part that works beyond its mass: `1 - (1 - share)^3`, so that 10 % counts as
/// 27 % and 25 % as 58 %. Our judgement, shaped after the trade's 10 to 25 % of nylon in sock
/// yarn (from memory): the first quarter does most of the good, more adds little.
fn leverage(share: f64) -> f64 {
    1.0 - (1.0 - share).powi(3)
}

impl Blend {
    /// A property of the blend. Parts for which it is unknown are left out; `None` when that is
    /// half of the mass or more, or when no mixing rule is known.
    pub fn mix(&self, property: Property) -> Option<Mix> {
        if let [(fibre, _)] = self.parts() {
            return fibre.figure(property).map(|f| Mix { low: f.low, high: f.high, basis: f.basis });
        }
        let known: Vec<(Fibre, f64, &Figure)> =
            self.parts().iter().filter_map(|(f, p)| f.figure(property).map(|fig| (*f, *p, fig))).collect();
        let mass: f64 = known.iter().map(|part| part.1).sum();
        if mass <= 50.0 {
            return None;
        }
        let weakest = known.iter().map(|part| part.2.basis).max()?;
        let ends = |end: fn(&Figure) -> f64| -> Option<f64> {
            let parts: Vec<(Fibre, f64, f64)> =
                known.iter().map(|(f, p, fig)| (*f, p / mass, end(fig))).collect();
            mix_values(Rule::of(property), &parts)
        };
        let (mut low, mut high) = (ends(|f| f.low)?, ends(|f| f.high)?);
        if Rule::of(property) == Rule::Range {
            low = known.iter().map(|part| part.2.low).fold(f64::INFINITY, f64::min);
            high = known.iter().map(|part| part.2.high).fold(0.0, f64::max);
        }
        Some(Mix { low, high, basis: weakest.max(Basis::Derived) })
    }

    /// How much a part decides about a property, `0..=1`: its share, or more for a part that works
    /// beyond its mass.
    pub(super) fn say(&self, property: Property, fibre: Fibre) -> f64 {
        let share = self.share(fibre);
        let value = |fibre: Fibre| fibre.figure(property).map_or(0.0, Figure::mid);
        let fuzziest =
            || self.parts().iter().map(|part| part.0).max_by(|a, b| value(*a).total_cmp(&value(*b)));
        match Rule::of(property) {
            Rule::Reinforced if fibre == Fibre::Nylon => leverage(share),
            Rule::Showing if fuzziest() == Some(fibre) => leverage(share),
            Rule::WorstPart => 1.0,
            _ => share,
        }
    }

    /// A property of the blend with its source in words; `None` as for [`Self::mix`].
    pub fn figure(&self, property: Property) -> Option<Figure> {
        if let [(fibre, _)] = self.parts() {
            return fibre.figure(property).cloned();
        }
        let mix = self.mix(property)?;
        let part = |(fibre, percent): &(Fibre, f64)| match fibre.figure(property) {
            Some(figure) => format!(
                "{} {} %: {} ({})",
                fibre.name().to_lowercase(),
                number(*percent),
                figure.text(),
                figure.provenance()
            ),
            None => format!("{} {} %: unknown, left out", fibre.name().to_lowercase(), number(*percent)),
        };
        let source = self.parts().iter().map(part).collect::<Vec<_>>().join("; ");
        let note = Rule::of(property).words().to_owned();
        Some(Figure { property, low: mix.low, high: mix.high, basis: mix.basis, source, note })
    }
}

/// Mixes one value per part; `parts` are (fibre, share by mass, value) and the shares add up to 1.
fn mix_values(rule: Rule, parts: &[(Fibre, f64, f64)]) -> Option<f64> {
    let by_mass = |keep: &dyn Fn(Fibre) -> bool| -> f64 {
        parts.iter().filter(|part| keep(part.0)).map(|part| part.1 * part.2).sum()
    };
    let levered = |fibre: Fibre| -> Option<f64> {
        let (_, share, value) = parts.iter().find(|part| part.0 == fibre)?;
        if *share >= 1.0 {
            return Some(*value);
        }
        let rest = by_mass(&|other| other != fibre) / (1.0 - share);
        let weight = leverage(*share);
        Some(weight * value + (1.0 - weight) * rest)
    };
    match rule {
        Rule::ByMass | Rule::Range => Some(by_mass(&|_| true)),
        Rule::ByVolume => {
            let volume: f64 = parts.iter().map(|part| part.1 / part.2).sum();
            (volume.is_finite() && volume > 0.0).then(|| 1.0 / volume)
        }
        Rule::Reinforced => levered(Fibre::Nylon).or_else(|| Some(by_mass(&|_| true))),
        Rule::Showing => levered(parts.iter().max_by(|a, b| a.2.total_cmp(&b.2))?.0),
        Rule::WorstPart => parts.iter().map(|part| part.2).reduce(f64::min),
        Rule::None => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn blend(text: &str) -> Blend {
        Blend::parse(text).unwrap()
    }

    #[test]
    fn regain_mixes_by_mass_and_density_by_volume() {
        let half = blend("50 % cotton, 50 % acrylic");
        let regain = half.mix(Property::MoistureRegain).unwrap();
        assert!((regain.low - 4.0).abs() < 1e-12 && (regain.high - 5.0).abs() < 1e-12);
        assert_eq!(regain.basis, Basis::Derived);
        let density = half.mix(Property::Density).unwrap();
        assert!((density.low - 1.0 / (0.5 / 1.52 + 0.5 / 1.19)).abs() < 1e-12);
        let figure = half.figure(Property::MoistureRegain).unwrap();
        assert!(figure.source.contains("cotton 50 %: 7 to 8 %"), "{}", figure.source);
    }

    #[test]
    fn nylon_reinforces_beyond_its_mass_and_halo_shows_beyond_its_mass() {
        let mid = |text: &str, property| blend(text).mix(property).unwrap().mid();
        let (wool, nylon) = (mid("wool", Property::Abrasion), mid("nylon", Property::Abrasion));
        let mut last = wool;
        for share in [10, 25, 50, 90] {
            let text = format!("{} % wool, {share} % nylon", 100 - share);
            let mixed = mid(&text, Property::Abrasion);
            assert!(mixed > last && mixed < nylon);
            last = mixed;
        }
        let sock = mid("75 % wool, 25 % nylon", Property::Abrasion);
        assert!(sock > 0.75 * wool + 0.25 * nylon);
        assert!(mid("30 % mohair, 70 % silk", Property::Halo) > 0.5);
    }

    #[test]
    fn a_blend_is_washed_as_its_most_delicate_part() {
        let mixed = blend("90 % cotton, 10 % wool").mix(Property::MachineWash).unwrap();
        assert_eq!(mixed.mid(), Fibre::Wool.figure(Property::MachineWash).unwrap().mid());
    }

    #[test]
    fn unknown_parts_are_left_out_and_a_half_unknown_blend_is_unknown() {
        // Nothing is known of alpaca's recovery.
        let mostly = blend("75 % merino, 25 % alpaca").figure(Property::Recovery5).unwrap();
        assert_eq!(mostly.low, 69.0);
        assert!(mostly.source.contains("alpaca 25 %: unknown, left out"));
        assert_eq!(blend("50 % merino, 50 % alpaca").mix(Property::Recovery5), None);
        assert_eq!(blend("50 % merino, 50 % cashmere").mix(Property::PillingGrade), None);
    }
}
