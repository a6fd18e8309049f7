//! How a swatch was washed and dried, and whether that tells what the piece will do.

use crate::yarn::Washing;

/// How it was washed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum WashedHow {
    /// Soaked and pressed out.
    Soaked,
    /// Washed by hand.
    ByHand,
    /// In the machine.
    Machine,
    /// Steamed, never wet through.
    Steamed,
}

impl WashedHow {
    /// All, in the order they are offered.
    pub const ALL: [Self; 4] = [Self::Soaked, Self::ByHand, Self::Machine, Self::Steamed];

    /// In words, after "it was".
    pub const fn name(self) -> &'static str {
        match self {
            Self::Soaked => "Soaked",
            Self::ByHand => "Washed by hand",
            Self::Machine => "Washed in the machine",
            Self::Steamed => "Steamed only",
        }
    }
}

/// How it was dried.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum DriedHow {
    /// Laid flat and left alone.
    Flat,
    /// Pinned out to a size.
    Pinned,
    /// Hung up.
    Hung,
    /// In the tumble dryer.
    Tumbled,
}

impl DriedHow {
    /// All, in the order they are offered.
    pub const ALL: [Self; 4] = [Self::Flat, Self::Pinned, Self::Hung, Self::Tumbled];

    /// In words, after "it was".
    pub const fn name(self) -> &'static str {
        match self {
            Self::Flat => "Dried flat",
            Self::Pinned => "Pinned out",
            Self::Hung => "Hung up",
            Self::Tumbled => "Tumble dried",
        }
    }
}

/// What was done to a swatch, as far as it was noted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct SwatchCare {
    /// How it was washed.
    pub washed: Option<WashedHow>,
    /// How it was dried.
    pub dried: Option<DriedHow>,
    /// Whether the piece will be cared for so, in the knitter's own judgement.
    pub as_piece: bool,
}

/// What is doubtful about the care of a swatch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CareDoubt {
    /// Nobody noted how it was washed and dried.
    NothingNoted,
    /// How it was dried is noted, how it was washed is not.
    WashingNotNoted,
    /// How it was washed is noted, how it was dried is not.
    DryingNotNoted,
    /// The piece will be cared for in another way.
    NotAsPiece,
    /// The piece is meant for the machine, and the swatch never was in one.
    NeverInMachine(WashedHow),
    /// It was pinned out; the piece will not lie so once it is worn.
    PinnedOut,
}

impl CareDoubt {
    /// Whether it is merely that something was not noted.
    pub const fn is_not_noted(self) -> bool {
        matches!(self, Self::NothingNoted | Self::WashingNotNoted | Self::DryingNotNoted)
    }

    /// The doubt with its mend, sentences with full stops.
    pub fn words(self) -> String {
        match self {
            Self::NothingNoted => "How it was washed and dried is not noted: note it, so that it can be done again.".to_owned(),
            Self::WashingNotNoted => "How it was washed is not noted: note it, so that it can be done again.".to_owned(),
            Self::DryingNotNoted => "How it was dried is not noted: note it, so that it can be done again.".to_owned(),
            Self::NotAsPiece => {
                "The piece will be washed and dried in another way: do the same to the swatch, and measure again.".to_owned()
            }
            Self::NeverInMachine(how) => format!(
                "{}, but the piece is meant for the machine: put the swatch through the machine too, and measure again.",
                how.name()
            ),
            Self::PinnedOut => {
                "Pinned out, it keeps that size only until the next wash: let a swatch dry without pins as well.".to_owned()
            }
        }
    }
}

impl SwatchCare {
    /// In words: `Washed in the machine, tumble dried`; empty when nothing is noted.
    pub fn words(self) -> String {
        let (washed, dried) = (self.washed.map(WashedHow::name), self.dried.map(DriedHow::name));
        match (washed, dried) {
            (Some(washed), Some(dried)) => format!("{washed}, {}", dried.to_lowercase()),
            (Some(one), None) | (None, Some(one)) => one.to_owned(),
            (None, None) => String::new(),
        }
    }

    /// What speaks against taking a washed swatch for the piece, which is to be washed so.
    pub fn doubts(self, planned: Option<Washing>) -> Vec<CareDoubt> {
        let mut found = Vec::new();
        match (self.washed, self.dried) {
            (None, None) => found.push(CareDoubt::NothingNoted),
            (None, Some(_)) => found.push(CareDoubt::WashingNotNoted),
            (Some(_), None) => found.push(CareDoubt::DryingNotNoted),
            (Some(_), Some(_)) => {}
        }
        match self.washed {
            Some(how) if how != WashedHow::Machine && planned == Some(Washing::Machine) => {
                found.push(CareDoubt::NeverInMachine(how));
            }
            Some(_) if !self.as_piece => found.push(CareDoubt::NotAsPiece),
            _ => {}
        }
        if self.dried == Some(DriedHow::Pinned) {
            found.push(CareDoubt::PinnedOut);
        }
        found
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn care_is_doubted_where_the_piece_will_fare_otherwise() {
        let care = |washed, dried, as_piece| SwatchCare { washed, dried, as_piece };
        let machine = care(Some(WashedHow::Machine), Some(DriedHow::Tumbled), true);
        assert_eq!(machine.doubts(Some(Washing::Machine)), []);
        assert_eq!(machine.words(), "Washed in the machine, tumble dried");
        let by_hand = care(Some(WashedHow::ByHand), Some(DriedHow::Flat), true);
        assert_eq!(by_hand.doubts(Some(Washing::Hand)), []);
        assert_eq!(by_hand.doubts(None), []);
        // What the needs ask for counts, whatever was ticked.
        assert_eq!(by_hand.doubts(Some(Washing::Machine)), [CareDoubt::NeverInMachine(WashedHow::ByHand)]);
        let other = SwatchCare { as_piece: false, ..by_hand };
        assert_eq!(other.doubts(Some(Washing::Hand)), [CareDoubt::NotAsPiece]);
        assert_eq!(SwatchCare::default().doubts(None), [CareDoubt::NothingNoted]);
        // Only what is missing is asked for.
        let half = care(Some(WashedHow::Machine), None, true).doubts(Some(Washing::Machine));
        assert_eq!(half, [CareDoubt::DryingNotNoted]);
        assert!(half[0].words().starts_with("How it was dried is not noted") && half[0].is_not_noted());
        assert_eq!(care(None, Some(DriedHow::Flat), true).doubts(None), [CareDoubt::WashingNotNoted]);
        let pinned = care(Some(WashedHow::Soaked), Some(DriedHow::Pinned), true);
        assert_eq!(pinned.doubts(None), [CareDoubt::PinnedOut]);
    }
}
