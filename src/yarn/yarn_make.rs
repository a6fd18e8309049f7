//! How a yarn is made and cared for, beyond its fibre and its length, as a shade card tells it.

use super::care::CareLabel;
use super::spin::{Spin, SpinSystem, TwistAmount, TwistDirection};

/// What a shade says of its yarn beside fibre, length and price. What is not known is empty.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct YarnMake {
    /// The yarn line it belongs to; may be empty.
    pub line: String,
    /// How it is spun and plied.
    pub spin: Option<Spin>,
    /// Wraps per inch, above 0 when known.
    pub wraps_per_inch: Option<f64>,
    /// The care label; empty when none is recorded.
    pub care: CareLabel,
}

/// Why words on the making of a yarn were not understood.
#[derive(Clone, Debug, thiserror::Error, PartialEq)]
pub enum MakeFault {
    /// No spinning that is known.
    #[error("'{0}' is not how a yarn is spun: write for example worsted, 4 plies, medium S twist")]
    Spin(String),
    /// Not a count of wraps.
    #[error("wraps per inch must be more than 0 and at most 200, not {0}")]
    Wraps(f64),
}

/// Most wraps per inch.
pub const MAX_WRAPS: f64 = 200.0;

impl YarnMake {
    /// Whether nothing is known.
    pub fn is_empty(&self) -> bool {
        *self == Self::default()
    }

    /// Roughly the memory of its texts, in bytes.
    pub fn bytes(&self) -> usize {
        self.line.len() + self.care.bytes()
    }

    /// How a yarn is spun, from words in any order: `worsted, 4 plies, medium S twist`. A twist that is not
    /// told is medium; its direction S, as of most plied yarn (common practice, no published source), and
    /// Z for a single.
    ///
    /// # Errors
    /// [`MakeFault::Spin`] when neither the spinning nor the plies are told, or a word means nothing.
    pub fn spin_of_words(text: &str) -> Result<Spin, MakeFault> {
        let fault = || MakeFault::Spin(crate::plain_text::quoted(text));
        let (mut system, mut plies, mut direction, mut amount) = (None, None, None, None);
        let lower = text.to_lowercase();
        // `4ply` and `4-ply` are two words.
        let spaced: String = lower.replace("ply", " ply ").replace("plies", " plies ");
        for word in spaced.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()) {
            match word {
                "worsted" => system = Some(SpinSystem::Worsted),
                "woollen" | "woolen" => system = Some(SpinSystem::Woollen),
                "single" | "singles" => plies = Some(1),
                "soft" => amount = Some(TwistAmount::Soft),
                "medium" => amount = Some(TwistAmount::Medium),
                "hard" | "tight" => amount = Some(TwistAmount::Hard),
                "s" => direction = Some(TwistDirection::S),
                "z" => direction = Some(TwistDirection::Z),
                "spun" | "twist" | "twisted" | "ply" | "plies" | "plied" => {}
                number => plies = Some(number.parse().map_err(|_| fault())?),
            }
        }
        if system.is_none() && plies.is_none() {
            return Err(fault());
        }
        let plies = plies.unwrap_or(1);
        let usual = if plies == 1 { TwistDirection::Z } else { TwistDirection::S };
        let amount = amount.unwrap_or(TwistAmount::Medium);
        let system = system.unwrap_or(SpinSystem::Worsted);
        Spin::new(system, plies, direction.unwrap_or(usual), amount).map_err(|_| fault())
    }

    /// The label as [`CareLabel::read`] reads it.
    pub fn care_words(&self) -> String {
        let codes = self.care.symbols().iter().map(|symbol| symbol.code());
        let unread = Some(self.care.unread()).filter(|words| !words.is_empty());
        codes.chain(unread).collect::<Vec<_>>().join("; ")
    }

    /// Wraps per inch that can be.
    ///
    /// # Errors
    /// [`MakeFault::Wraps`] out of range.
    pub fn wraps(value: f64) -> Result<f64, MakeFault> {
        if value > 0.0 && value <= MAX_WRAPS { Ok(value) } else { Err(MakeFault::Wraps(value)) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_spin_is_read_back_from_its_name() {
        for system in SpinSystem::ALL.iter().copied() {
            for plies in 1..=Spin::MAX_PLIES {
                for direction in TwistDirection::ALL.iter().copied() {
                    for amount in TwistAmount::ALL.iter().copied() {
                        let spin = Spin::new(system, plies, direction, amount).unwrap();
                        assert_eq!(YarnMake::spin_of_words(&spin.name()), Ok(spin), "{}", spin.name());
                    }
                }
            }
        }
    }

    #[test]
    fn shops_words_are_read_and_others_are_refused() {
        let spin = YarnMake::spin_of_words("4-ply woollen").unwrap();
        assert_eq!((spin.plies(), spin.system, spin.direction), (4, SpinSystem::Woollen, TwistDirection::S));
        assert!(YarnMake::spin_of_words("fluffy").is_err());
        assert!(YarnMake::spin_of_words("soft").is_err());
        assert!(YarnMake::spin_of_words("99 ply").is_err());
    }

    #[test]
    fn a_label_is_read_back() {
        let care = CareLabel::read("tub 30 one bar; triangle crossed; not near the stove");
        let make = YarnMake { care: care.clone(), ..YarnMake::default() };
        assert_eq!(CareLabel::read(&make.care_words()), care);
        assert!(YarnMake::wraps(0.0).is_err() && YarnMake::wraps(f64::NAN).is_err());
    }
}
