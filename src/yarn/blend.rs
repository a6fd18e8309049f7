//! Blends by percentage, and how the figures of the parts mix.

use thiserror::Error;

use super::fibre::{self, Fibre, Origin};
use super::figure::{Basis, Figure, Property, number};

/// Why a blend was refused.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum BlendError {
    /// No part at all.
    #[error("a blend needs at least one fibre; write it as on the label, for example: 75 % wool, 25 % nylon")]
    Empty,
    /// More parts than a label has.
    #[error("a blend has at most {max} fibres, not {0}; put the smallest together as other fibre", max = Blend::MAX_PARTS)]
    TooMany(usize),
    /// A share that is no share.
    #[error("the share of {fibre} must be more than 0 and at most 100 %, not {percent}")]
    Share {
        /// The fibre.
        fibre: &'static str,
        /// The share that was given.
        percent: f64,
    },
    /// The same fibre again.
    #[error("{0} is listed twice; add the two shares together")]
    Twice(&'static str),
    /// The shares do not make a whole.
    #[error("the shares add up to {found} %, {gap}; they must make 100 %")]
    Sum {
        /// What they add up to.
        found: String,
        /// What is missing or too much, in words.
        gap: String,
    },
    /// A part of the text that is not a share and a fibre.
    #[error("“{0}” is not a share and a fibre; write it as on the label, for example: 75 % wool, 25 % nylon")]
    Part(String),
    /// A fibre that is not in the table.
    #[error("no fibre is called “{0}”; the known ones are {known}, or write other", known = known_names())]
    Fibre(String),
}

fn known_names() -> String {
    Fibre::known().map(|fibre| fibre.name().to_lowercase()).collect::<Vec<_>>().join(", ")
}

/// What a yarn is made of: fibres and their shares by mass.
#[derive(Clone, Debug, PartialEq)]
pub struct Blend {
    parts: Vec<(Fibre, f64)>,
}

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
    /// The most fibres in one blend.
    pub const MAX_PARTS: usize = 8;
    /// How far the shares may miss 100 %, for thirds written with one decimal.
    const TOLERANCE: f64 = 0.11;

    /// A blend from shares in per cent that add up to 100.
    ///
    /// # Errors
    /// [`BlendError`] when there is no part, a share is out of range, a fibre comes twice or the
    /// shares do not make 100 %.
    pub fn new(parts: Vec<(Fibre, f64)>) -> Result<Self, BlendError> {
        if parts.is_empty() {
            return Err(BlendError::Empty);
        }
        if parts.len() > Self::MAX_PARTS {
            return Err(BlendError::TooMany(parts.len()));
        }
        for (index, (fibre, percent)) in parts.iter().enumerate() {
            if !(*percent > 0.0 && *percent <= 100.0) {
                return Err(BlendError::Share { fibre: fibre.name(), percent: *percent });
            }
            if parts.iter().take(index).any(|(earlier, _)| earlier == fibre) {
                return Err(BlendError::Twice(fibre.name()));
            }
        }
        let sum: f64 = parts.iter().map(|part| part.1).sum();
        let off = sum - 100.0;
        if off.abs() > Self::TOLERANCE {
            let side = if off < 0.0 { "missing" } else { "too much" };
            let gap = format!("{} % {side}", number(off.abs()));
            return Err(BlendError::Sum { found: number(sum), gap });
        }
        Ok(Self { parts })
    }

    /// A single fibre.
    pub fn pure(fibre: Fibre) -> Self {
        Self { parts: vec![(fibre, 100.0)] }
    }

    /// Reads a blend as a label writes it: `75 % wool, 25 % nylon`; a lone fibre is 100 %.
    ///
    /// # Errors
    /// [`BlendError`] naming the part that cannot be read, or what [`Self::new`] refuses.
    pub fn parse(text: &str) -> Result<Self, BlendError> {
        let pieces: Vec<&str> =
            text.split([',', ';', '/', '+']).map(str::trim).filter(|s| !s.is_empty()).collect();
        if let [only] = pieces.as_slice()
            && let Some(fibre) = Fibre::from_label(only)
        {
            return Ok(Self::pure(fibre));
        }
        pieces.into_iter().map(parse_part).collect::<Result<Vec<_>, _>>().and_then(Self::new)
    }

    /// The parts: fibre and per cent, in label order.
    pub fn parts(&self) -> &[(Fibre, f64)] {
        &self.parts
    }

    /// The share of a fibre, `0..=1`.
    pub fn share(&self, fibre: Fibre) -> f64 {
        self.parts.iter().find(|part| part.0 == fibre).map_or(0.0, |part| part.1 / 100.0)
    }

    /// The fibre with the largest share.
    pub fn main_fibre(&self) -> Fibre {
        let largest = self.parts.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        largest.map_or(Fibre::Other, |part| part.0)
    }

    /// The share that stems from an origin, `0..=1`.
    pub fn share_from(&self, origin: Origin) -> f64 {
        self.parts.iter().filter(|part| part.0.facts().origin == origin).map(|part| part.1 / 100.0).sum()
    }

    /// Whether no part is of an animal; `None` when a part is unknown.
    pub fn is_vegan(&self) -> Option<bool> {
        if self.share_from(Origin::Animal) > 0.0 {
            return Some(false);
        }
        (self.share_from(Origin::Unknown) == 0.0).then_some(true)
    }

    /// As a label writes it: `75 % wool, 25 % nylon`; a single fibre by its name alone.
    pub fn name(&self) -> String {
        match self.parts.as_slice() {
            [(fibre, _)] => fibre.name().to_owned(),
            parts => parts
                .iter()
                .map(|(fibre, percent)| format!("{} % {}", number(*percent), fibre.name().to_lowercase()))
                .collect::<Vec<_>>()
                .join(", "),
        }
    }

    /// A property of the blend. Parts for which it is unknown are left out; `None` when that is
    /// half of the mass or more, or when no mixing rule is known.
    pub fn mix(&self, property: Property) -> Option<Mix> {
        if let [(fibre, _)] = self.parts.as_slice() {
            return fibre.figure(property).map(|f| Mix { low: f.low, high: f.high, basis: f.basis });
        }
        let known: Vec<(Fibre, f64, &Figure)> =
            self.parts.iter().filter_map(|(f, p)| f.figure(property).map(|fig| (*f, *p, fig))).collect();
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

    /// A property of the blend with its source in words; `None` as for [`Self::mix`].
    pub fn figure(&self, property: Property) -> Option<Figure> {
        if let [(fibre, _)] = self.parts.as_slice() {
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
        let source = self.parts.iter().map(part).collect::<Vec<_>>().join("; ");
        let note = Rule::of(property).words().to_owned();
        Some(Figure { property, low: mix.low, high: mix.high, basis: mix.basis, source, note })
    }

    /// The pure fibres and the blends that are commonly sold (common practice, no published source).
    pub fn common() -> Vec<Self> {
        let blends = fibre::common_blend_parts().iter().filter_map(|parts| Self::new(parts.clone()).ok());
        Fibre::known().map(Self::pure).chain(blends).collect()
    }
}

/// One part of a label: a number, perhaps a per cent sign, and a fibre.
fn parse_part(piece: &str) -> Result<(Fibre, f64), BlendError> {
    let bad = || BlendError::Part(piece.to_owned());
    let digits = |c: char| c.is_ascii_digit() || c == '.' || c == '%' || c.is_whitespace();
    // The share may stand before the fibre or after it.
    let (number, word) = if piece.starts_with(|c: char| c.is_ascii_digit()) {
        let end = piece.find(|c| !digits(c)).ok_or_else(bad)?;
        piece.split_at(end)
    } else {
        let start = piece.find(|c: char| c.is_ascii_digit()).ok_or_else(bad)?;
        let (word, number) = piece.split_at(start);
        (number, word)
    };
    let percent: f64 = number.trim().trim_end_matches('%').trim().parse().map_err(|_| bad())?;
    let fibre = Fibre::from_label(word).ok_or_else(|| BlendError::Fibre(word.trim().to_owned()))?;
    Ok((fibre, percent))
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
    fn a_label_is_read_and_written() {
        let sock = blend("75% Wool / polyamide 25 %");
        assert_eq!(sock.parts(), [(Fibre::Wool, 75.0), (Fibre::Nylon, 25.0)]);
        assert_eq!(sock.name(), "75 % wool, 25 % nylon");
        assert_eq!(blend(&sock.name()), sock);
        assert_eq!(blend("Alpaca"), Blend::pure(Fibre::Alpaca));
        assert_eq!(blend("100 % alpaca").name(), "Alpaca");
        // Thirds as labels print them.
        assert!(Blend::parse("33.3 % wool, 33.3 % silk, 33.3 % cotton").is_ok());
    }

    #[test]
    fn what_is_wrong_with_a_blend_is_said_in_words() {
        let error = |text: &str| Blend::parse(text).unwrap_err().to_string();
        assert!(error("").contains("at least one fibre"));
        assert_eq!(
            error("70 % wool, 20 % nylon"),
            "the shares add up to 90 %, 10 % missing; they must make 100 %"
        );
        assert!(error("70 % wool, 40 % nylon").contains("10 % too much"));
        assert!(error("50 % wool, 50 % wool").contains("Wool is listed twice"));
        assert!(error("50 % moonbeam, 50 % wool").contains("“moonbeam”"));
        assert!(error("half wool").contains("is not a share and a fibre"));
        assert!(error("1.2.3 % wool").contains("is not a share"));
        assert!(Blend::new(vec![(Fibre::Wool, f64::NAN)]).is_err());
        assert!(Blend::new(vec![(Fibre::Wool, -5.0), (Fibre::Silk, 105.0)]).is_err());
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

    #[test]
    fn vegan_is_said_only_when_it_is_known() {
        assert_eq!(blend("50 % cotton, 50 % linen").is_vegan(), Some(true));
        assert_eq!(blend("95 % cotton, 5 % silk").is_vegan(), Some(false));
        assert_eq!(blend("95 % cotton, 5 % other").is_vegan(), None);
    }

    #[test]
    fn every_common_blend_is_a_blend() {
        assert_eq!(Blend::common().len(), 14 + fibre::common_blend_parts().len());
    }
}
