//! How a yarn is spun and plied, and what that does to the fabric.

use super::named::named_enum;
use crate::units::UnitError;

named_enum!(
    /// How the fibres lie before they are twisted.
    SpinSystem {
        /// Combed: long fibres, parallel; smooth and dense.
        Worsted => "Worsted spun",
        /// Carded: fibres of all lengths, crossing; airy and fuzzy.
        Woollen => "Woollen spun",
    }
);

named_enum!(
    /// Direction of the last twist, the one seen on the yarn: the slope of the letter's middle stroke.
    TwistDirection {
        /// The strands slope as the middle of an S, down to the right.
        S => "S twist",
        /// The strands slope as the middle of a Z, up to the right.
        Z => "Z twist",
    }
);

named_enum!(
    /// How much the yarn is twisted.
    TwistAmount {
        /// Soft.
        Soft => "Soft",
        /// Medium.
        Medium => "Medium",
        /// Hard.
        Hard => "Hard",
    }
);

named_enum!(
    /// What the spin decides.
    SpinEffect {
        /// Stands rubbing.
        Durability => "Durability",
        /// Each stitch stands clear.
        StitchDefinition => "Stitch definition",
        /// Air in the yarn.
        Loft => "Loft",
        /// The fabric hangs.
        Drape => "Drape",
        /// The yarn is the same all along.
        Evenness => "Evenness",
        /// The stitches lean; high is bad.
        Slant => "Risk of slanted stitches",
        /// Fit for stranded colourwork.
        Colourwork => "For stranded colourwork",
        /// Fit for cables and twisted stitches.
        Cables => "For cables",
        /// Fit for lace.
        Lace => "For lace",
        /// Fit for socks.
        Socks => "For socks",
    }
);

/// Where the effects of spinning come from.
pub const SPIN_SOURCE: &str = "Common practice of spinners and knitters, no published source; the steps are our judgement. \
     Evenness follows the doubling law, irregularity over the root of the number of plies (from memory).";

/// How a yarn is spun and plied.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Spin {
    /// Worsted or woollen.
    pub system: SpinSystem,
    plies: u8,
    /// Direction of the last twist.
    pub direction: TwistDirection,
    /// How much it is twisted.
    pub amount: TwistAmount,
}

/// One step of an effect: how far it moves the value, and why.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SpinStep {
    /// Added to the value; negative when it lowers it.
    pub by: f64,
    /// Why, as a sentence without full stop.
    pub why: &'static str,
}

/// An effect with the steps that make it.
#[derive(Clone, Debug, PartialEq)]
pub struct SpinAppraisal {
    /// Which effect.
    pub effect: SpinEffect,
    /// `0..=1`: the sum of the steps, held in that range.
    pub value: f64,
    /// The steps.
    pub steps: Vec<SpinStep>,
}

impl SpinAppraisal {
    /// The value in one word: `high`, `middling` or `low`.
    pub fn word(&self) -> &'static str {
        match self.value {
            v if v >= 0.65 => "high",
            v if v >= 0.45 => "middling",
            _ => "low",
        }
    }
}

impl Spin {
    /// The most plies.
    pub const MAX_PLIES: u8 = 8;

    /// A spin of 1 ply (a single) to [`Self::MAX_PLIES`].
    ///
    /// # Errors
    /// [`UnitError`] for no ply or too many.
    pub fn new(
        system: SpinSystem,
        plies: u8,
        direction: TwistDirection,
        amount: TwistAmount,
    ) -> Result<Self, UnitError> {
        if !(1..=Self::MAX_PLIES).contains(&plies) {
            return Err(UnitError {
                what: "the number of plies",
                expected: format!("between 1 (a single) and {}", Self::MAX_PLIES),
                found: plies.to_string(),
            });
        }
        Ok(Self { system, plies, direction, amount })
    }

    /// Number of plies, `1..=8`; 1 is a single.
    pub const fn plies(self) -> u8 {
        self.plies
    }

    /// In words: `Worsted spun, 4 plies, medium Z twist`.
    pub fn name(self) -> String {
        let plies = match self.plies {
            1 => "single".to_owned(),
            n => format!("{n} plies"),
        };
        format!(
            "{}, {plies}, {} {}",
            self.system.name(),
            self.amount.name().to_lowercase(),
            self.direction.name()
        )
    }

    /// The way in which stitches lean when the twist is not balanced: plain knit leans with the
    /// slope of the twist (right for Z, left for S; common practice, no published source).
    pub const fn lean(self) -> &'static str {
        match self.direction {
            TwistDirection::S => "to the left",
            TwistDirection::Z => "to the right",
        }
    }

    /// One effect with its steps.
    pub fn appraise(self, effect: SpinEffect) -> SpinAppraisal {
        let steps = self.steps(effect);
        let value = steps.iter().map(|step| step.by).sum::<f64>().clamp(0.0, 1.0);
        SpinAppraisal { effect, value, steps }
    }

    /// All effects, in the order of [`SpinEffect::ALL`].
    pub fn appraise_all(self) -> Vec<SpinAppraisal> {
        SpinEffect::ALL.iter().map(|effect| self.appraise(*effect)).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use SpinEffect::*;

    fn spin(system: SpinSystem, plies: u8, amount: TwistAmount) -> Spin {
        Spin::new(system, plies, TwistDirection::S, amount).unwrap()
    }

    fn every_spin() -> Vec<Spin> {
        let mut all = Vec::new();
        for system in SpinSystem::ALL.iter().copied() {
            for amount in TwistAmount::ALL.iter().copied() {
                all.extend((1..=Spin::MAX_PLIES).map(|plies| spin(system, plies, amount)));
            }
        }
        all
    }

    // Common practice, no published source.
    #[test]
    fn each_further_ply_is_more_durable_and_more_even() {
        for pair in every_spin().windows(2).filter(|pair| pair[1].plies() == pair[0].plies() + 1) {
            for effect in [Durability, Evenness] {
                assert!(pair[1].appraise(effect).value > pair[0].appraise(effect).value, "{pair:?}");
            }
        }
    }

    // Common practice, no published source.
    #[test]
    fn woollen_spun_suits_stranded_colourwork_and_not_cables() {
        for woollen in every_spin().into_iter().filter(|spin| spin.system == SpinSystem::Woollen) {
            let worsted = Spin { system: SpinSystem::Worsted, ..woollen };
            assert!(woollen.appraise(Colourwork).value > worsted.appraise(Colourwork).value);
            assert!(woollen.appraise(Cables).value < worsted.appraise(Cables).value);
            assert_ne!(woollen.appraise(Cables).word(), "high");
            assert!(woollen.appraise(Cables).value <= 0.5);
        }
        let traditional = spin(SpinSystem::Woollen, 2, TwistAmount::Medium);
        assert_eq!(traditional.appraise(Colourwork).word(), "high");
        assert_eq!(traditional.appraise(Cables).word(), "low");
    }

    // Common practice, no published source.
    #[test]
    fn singles_and_hard_twist_and_odd_plies_slant() {
        let slant = |plies, amount| spin(SpinSystem::Worsted, plies, amount).appraise(Slant).value;
        assert!(slant(1, TwistAmount::Medium) > slant(2, TwistAmount::Medium));
        assert!(slant(2, TwistAmount::Hard) > slant(2, TwistAmount::Medium));
        assert!(slant(3, TwistAmount::Medium) > slant(4, TwistAmount::Medium));
        assert!(slant(1, TwistAmount::Hard) >= 0.8);
        let z = Spin { direction: TwistDirection::Z, ..spin(SpinSystem::Worsted, 1, TwistAmount::Hard) };
        assert_eq!(z.lean(), "to the right");
    }

    // Common practice, no published source.
    #[test]
    fn a_hard_round_worsted_yarn_suits_socks_and_a_soft_single_does_not() {
        let word = |system, plies, amount| spin(system, plies, amount).appraise(Socks).word();
        assert_eq!(word(SpinSystem::Worsted, 4, TwistAmount::Hard), "high");
        assert_eq!(word(SpinSystem::Woollen, 1, TwistAmount::Soft), "low");
        assert_eq!(word(SpinSystem::Worsted, 1, TwistAmount::Medium), "low");
    }

    #[test]
    fn every_value_is_the_sum_of_its_steps_and_every_step_has_a_reason() {
        for spin in every_spin() {
            for appraisal in spin.appraise_all() {
                let sum: f64 = appraisal.steps.iter().map(|step| step.by).sum();
                assert_eq!(appraisal.value, sum.clamp(0.0, 1.0));
                assert!(appraisal.steps.iter().all(|step| !step.why.is_empty()));
            }
        }
    }

    #[test]
    fn no_ply_and_nine_plies_are_refused() {
        let new = |plies| Spin::new(SpinSystem::Worsted, plies, TwistDirection::Z, TwistAmount::Soft);
        assert_eq!(
            new(0).unwrap_err().to_string(),
            "the number of plies must be between 1 (a single) and 8, not 0"
        );
        assert!(new(9).is_err());
        assert_eq!(new(1).unwrap().name(), "Worsted spun, single, soft Z twist");
    }
}
