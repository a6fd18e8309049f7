//! What is done beside the bands of a piece: how stitches are cast on, taken up, set aside, closed.

use super::model::{Length, Width};
use crate::knit::Construction;

/// Live stitches that are not joined: the underarms of a yoke, a neck between its shoulders. The first
/// place lies over the marker of the round, the others at equal distances; in rows they part the others
/// into one stretch more than there are places.
#[derive(Clone, Debug, PartialEq)]
pub struct SetAside {
    /// In how many places: two on a body, one on a sleeve.
    pub places: u32,
    /// Width of each; 0 stitches only part the stitches between.
    pub each: Width,
    /// Taken off that width twice, in cm: what is shaped away at both sides later.
    pub less_cm: f64,
    /// What all parts are called, in the order they come on a right-side row (in the round beginning
    /// with the place over the marker); those that are missing are named by their place.
    pub names: Vec<String>,
}

impl SetAside {
    /// Most places.
    pub const MOST: u32 = 20;

    /// So many places of this width, named by their place.
    pub const fn new(places: u32, each: Width) -> Self {
        Self { places, each, less_cm: 0.0, names: Vec::new() }
    }

    /// The same, its parts called so.
    pub fn called(self, names: &[&str]) -> Self {
        Self { names: names.iter().map(|name| (*name).to_owned()).collect(), ..self }
    }

    /// What its parts are called, in order: each with whether it is one of the places.
    pub fn parts(&self, piece: &str, construction: Construction) -> Vec<(String, bool)> {
        const AROUND: [&str; 4] = ["left underarm", "front", "right underarm", "back"];
        const ACROSS: [&str; 3] = ["right side", "middle", "left side"];
        let piece = piece.to_lowercase();
        let in_round = construction == Construction::InTheRound;
        let places = self.places.clamp(1, Self::MOST);
        let parts = if in_round { 2 * places } else { 2 * places + 1 };
        (0..parts as usize)
            .map(|i| {
                let usual = match (in_round, self.places, i) {
                    (true, 1, 0) => format!("{piece} underarm"),
                    (true, 1, _) => piece.clone(),
                    (true, 2, i) => AROUND[i % 4].to_owned(),
                    (false, 1, i) => format!("{piece} {}", ACROSS[i % 3]),
                    _ => format!("{piece} part {}", i + 1),
                };
                let own = self.names.get(i).filter(|name| !name.trim().is_empty());
                (own.cloned().unwrap_or(usual), i.is_multiple_of(2) == in_round)
            })
            .collect()
    }
}

/// Where the stitches of a piece that is not cast on come from, in the order they are worked.
#[derive(Clone, Debug, PartialEq)]
pub enum Take {
    /// A group of live stitches that was set aside, by its name.
    Group(String),
    /// New stitches along an edge.
    PickUp {
        /// The edge.
        along: String,
        /// Its rows.
        rows: Length,
        /// So many stitches ...
        stitches: u32,
        /// ... for so many rows.
        every: u32,
    },
    /// New stitches cast on over a gap.
    CastOn(u32),
    /// The loops below and above an opening knitted on waste yarn.
    Opening {
        /// Its name.
        name: String,
        /// Stitches picked up at each of its two corners.
        corners: u32,
    },
}

/// How stitches are cast on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum CastOn {
    /// As the knitter likes.
    #[default]
    Any,
    /// With a method that stretches.
    Stretchy,
    /// On waste yarn, so that both ends can be grafted.
    Provisional,
}

impl CastOn {
    /// All of them, in the order they are offered.
    pub const ALL: [Self; 3] = [Self::Any, Self::Stretchy, Self::Provisional];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Any => "Any method",
            Self::Stretchy => "Stretchy",
            Self::Provisional => "Provisional",
        }
    }
}

/// How stitches are bound off.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum BindOff {
    /// As the knitter likes.
    #[default]
    Any,
    /// With a method that stretches.
    Stretchy,
    /// Each stitch as it shows.
    InPattern,
}

impl BindOff {
    /// All of them, in the order they are offered.
    pub const ALL: [Self; 3] = [Self::Any, Self::Stretchy, Self::InPattern];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Any => "Any method",
            Self::Stretchy => "Stretchy",
            Self::InPattern => "In pattern",
        }
    }
}

/// What is done between two bands.
#[derive(Clone, Debug, PartialEq)]
pub enum Step {
    /// Some stitches of the last round are worked once more with waste yarn: a thumb, a heel.
    Opening {
        /// What it is called.
        name: String,
        /// Stitches.
        stitches: Width,
        /// Stitches between it and the side the round begins at. A left copy has it as far from the
        /// other side of the face.
        inset: u32,
        /// Stitches of the face it lies in (a palm), counted from the marker; 0 is half of the round.
        face: u32,
    },
    /// Short rows to and fro over part of the round, each turn further out: the raised back of a neck.
    ShortRows {
        /// Height that is gained, in cm; one pair of rows at the least.
        rise_cm: f64,
        /// Share of the round that the first pair covers, `0..1`; its middle is the middle of the last
        /// group that was taken up (the back).
        share: f64,
        /// Stitches that each later turn lies further out.
        further: u32,
    },
    /// A steek is begun: stitches are set aside and a bridge is cast on over them, to be cut open later. The first
    /// of a piece lies over the marker of the round. After the last band there is no bridge: the stitches are set
    /// aside by themselves.
    Steek {
        /// What it is called (`left armhole`); what is set aside is called so.
        name: String,
        /// Where its middle lies, as a share of the round from the marker, `0..1`.
        at: f64,
        /// Width of what is set aside; 0 stitches only part the others.
        aside: Width,
        /// Taken off that width twice, in cm: what is shaped away at both sides later.
        less_cm: f64,
        /// Stitches of the bridge.
        bridge: u32,
    },
    /// A heel is turned: short rows over the middle of a piece in rows, each of which takes in a stitch from
    /// beyond the turn before, until none is left there. The last step of the piece.
    HeelTurn,
}

impl Step {
    /// Trade name, sentence case.
    pub const fn name(&self) -> &'static str {
        match self {
            Self::Opening { .. } => "Opening on waste yarn",
            Self::ShortRows { .. } => "Short rows",
            Self::HeelTurn => "Heel turn",
            Self::Steek { .. } => "Steek",
        }
    }
}

/// What the live stitches of a bridge are called when the piece ends.
pub fn bridge_group(steek: &str) -> String {
    format!("{steek} steek")
}

/// What is done when the last row is finished.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Finish {
    /// Two groups of live stitches are grafted.
    Graft {
        /// One.
        one: String,
        /// The other.
        other: String,
    },
    /// Two groups of live stitches are bound off together.
    ThreeNeedle {
        /// One.
        one: String,
        /// The other.
        other: String,
    },
    /// A seam is sewn.
    Seam(String),
    /// A steek is cut open, between the first and the last stitches of a tube or along a bridge, whose stitches are
    /// bound off first.
    Steek {
        /// Stitches of the bridge, half of them on either side of the cut; they fold to the wrong side.
        stitches: u32,
        /// Where it lies.
        place: String,
    },
}

impl Finish {
    /// Trade name, sentence case.
    pub const fn name(&self) -> &'static str {
        match self {
            Self::Graft { .. } => "Graft",
            Self::ThreeNeedle { .. } => "Three-needle bind-off",
            Self::Seam(_) => "Seam",
            Self::Steek { .. } => "Steek",
        }
    }
}
