//! What each of the five needs looks at: which figure counts, how much, and along which line.
//!
//! The weights and lines are our judgement of common practice, no published source; the figures
//! they are applied to carry their own.

use std::borrow::Cow;

use super::blend::Blend;
use super::fibre::Origin;
use super::figure::Property;
use super::named::named_enum;
use super::needs::{Climate, Moisture, Needs, Skin, Stitches, Stretch, Washing, Wear, Wearer};

named_enum!(
    /// One of the five needs.
    Need {
        /// How it is washed.
        Washing => "Washing",
        /// What rubs and pulls at it.
        Durability => "Wear",
        /// How far it gives, and how well it comes back.
        Stretch => "Give and shape",
        /// Weather, and damp from without and within.
        Warmth => "Warmth and damp",
        /// Halo or clear stitches, and what the skin bears.
        Surface => "Surface and skin",
    }
);

/// A straight line from a figure to a score, held between 0 and 1.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Line {
    /// 0 at `zero` (or beyond), 1 at `one` (or beyond); falling when `one < zero`.
    Ramp {
        /// Where the score is 0.
        zero: f64,
        /// Where the score is 1.
        one: f64,
    },
    /// 1 at `target`, falling to 0 at `below` under it and `above` over it.
    Near {
        /// Where the score is 1.
        target: f64,
        /// Distance under the target at which the score is 0.
        below: f64,
        /// Distance over the target at which the score is 0.
        above: f64,
    },
}

impl Line {
    /// The score of a value, `0..=1`.
    pub fn at(self, value: f64) -> f64 {
        let score = match self {
            Self::Ramp { zero, one } => (value - zero) / (one - zero),
            Self::Near { target, below, above } => {
                let off = value - target;
                1.0 - off.abs() / if off < 0.0 { below } else { above }
            }
        };
        score.clamp(0.0, 1.0)
    }
}

/// A rule: which figure counts for a need, how much, and along which line.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Rule {
    /// The figure.
    pub property: Property,
    /// Its weight within the need, more than 0.
    pub weight: f64,
    /// From the figure to the score.
    pub line: Line,
}

const fn ramp(property: Property, weight: f64, zero: f64, one: f64) -> Rule {
    Rule { property, weight, line: Line::Ramp { zero, one } }
}

impl Rule {
    /// The figure of a blend that the rule looks at: which property, and of which part of the blend.
    pub(super) fn subject(self, blend: &Blend) -> Option<(Property, Cow<'_, Blend>, f64)> {
        let (property, part) = match self.property {
            // Prickle is a matter of hairs: a plant cell's diameter says nothing about it.
            Property::Diameter if blend.share_from(Origin::Animal) < 0.5 => return None,
            Property::Diameter => (Property::Diameter, Cow::Owned(blend.only_from(Origin::Animal)?)),
            // Where the regain was not measured, the allowance of trade law stands in.
            Property::MoistureRegain if blend.mix(Property::MoistureRegain).is_none() => {
                (Property::AgreedAllowance, Cow::Borrowed(blend))
            }
            other => (other, Cow::Borrowed(blend)),
        };
        let mid = part.mix(property)?.mid();
        Some((property, part, mid))
    }
}

impl Need {
    /// How much this need counts for a piece (our judgement).
    pub fn weight(self, needs: Needs) -> f64 {
        match self {
            Self::Durability => match needs.wear {
                Wear::Gentle => 0.5,
                Wear::Everyday => 1.5,
                Wear::Hard => 3.0,
            },
            Self::Warmth => {
                let worn = needs.piece.warms_a_body();
                let climate = match needs.climate {
                    Climate::Cold => 1.0,
                    Climate::Temperate => 0.0,
                    Climate::Hot => 2.0,
                };
                let wearer = if needs.wearer == Wearer::Neutral { 0.0 } else { 0.5 };
                let moisture = match needs.moisture {
                    Moisture::Dry => 0.0,
                    Moisture::SweatOrRain => 1.0,
                    Moisture::TakesUpWater => 2.0,
                };
                moisture + if worn { 1.5 + climate + wearer } else { 0.0 }
            }
            Self::Surface => {
                let stitches = match needs.stitches {
                    Stitches::CablesAndTwisted => 2.0,
                    Stitches::Stranded => 1.5,
                    Stitches::Plain | Stitches::Lace => 0.0,
                };
                let skin = match needs.skin {
                    Skin::Tender => 2.0,
                    Skin::Ordinary => 1.0,
                    Skin::Away => 0.0,
                };
                stitches + skin
            }
            Self::Stretch => match needs.stretch {
                Stretch::Drapes => 0.5,
                Stretch::KeepsShape => 1.0,
                Stretch::SpringsBack => 2.0,
            },
            Self::Washing => match needs.washed() {
                Washing::Hand => 0.5,
                Washing::Machine => 3.0,
            },
        }
    }

    /// The rules of this need for a piece (our judgement); none when its weight is 0.
    pub fn rules(self, needs: Needs) -> Vec<Rule> {
        match self {
            // Beyond what the wear asks for, more strength is no better.
            Self::Durability => {
                let (abrasion, work, pills) = match needs.wear {
                    Wear::Gentle => (0.3, 25.0, 0.3),
                    Wear::Everyday => (0.5, 40.0, 0.5),
                    Wear::Hard => (0.8, 80.0, 0.6),
                };
                vec![
                    ramp(Property::Abrasion, 0.6, 0.0, abrasion),
                    ramp(Property::WorkOfRupture, 0.2, 0.0, work),
                    ramp(Property::PillResistance, 0.2, 0.0, pills),
                ]
            }
            Self::Warmth => warmth_rules(needs),
            Self::Surface => surface_rules(needs),
            Self::Stretch => match needs.stretch {
                Stretch::Drapes => {
                    vec![ramp(Property::Memory, 1.0, 1.5, 0.2), ramp(Property::Growth, 0.5, 1.4, 0.3)]
                }
                Stretch::KeepsShape => {
                    vec![ramp(Property::Memory, 0.5, 0.0, 0.6), ramp(Property::Growth, 0.5, 1.0, 0.2)]
                }
                Stretch::SpringsBack => vec![
                    ramp(Property::Memory, 1.0, 0.0, 0.9),
                    ramp(Property::Recovery5, 0.5, 30.0, 90.0),
                    ramp(Property::Growth, 0.5, 0.9, 0.1),
                ],
            },
            Self::Washing => match needs.washed() {
                Washing::Hand => vec![ramp(Property::WetStrength, 1.0, 0.0, 75.0)],
                Washing::Machine => vec![ramp(Property::MachineWash, 1.0, 0.0, 0.9)],
            },
        }
    }
}

/// How warm the fabric should be, as a [`Property::Warmth`] grade.
fn warmth_target(needs: Needs) -> f64 {
    let climate = match needs.climate {
        Climate::Cold => 0.9,
        Climate::Temperate => 0.6,
        Climate::Hot => 0.1,
    };
    let wearer = match needs.wearer {
        Wearer::RunsWarm => -0.2,
        Wearer::Neutral => 0.0,
        Wearer::RunsCold => 0.15,
    };
    f64::clamp(climate + wearer, 0.0, 1.0)
}

fn warmth_rules(needs: Needs) -> Vec<Rule> {
    let mut rules = Vec::new();
    if needs.piece.warms_a_body() {
        // Too warm can be taken off, too cold cannot be put right, unless the wearer soon overheats.
        let overheats = needs.climate == Climate::Hot || needs.wearer == Wearer::RunsWarm;
        let above = if overheats { 0.8 } else { 1.2 };
        let line = Line::Near { target: warmth_target(needs), below: 0.9, above };
        rules.push(Rule { property: Property::Warmth, weight: 1.0, line });
        let breathing = 1.0
            + if needs.wearer == Wearer::RunsWarm { 0.5 } else { 0.0 }
            + if needs.moisture == Moisture::SweatOrRain { 0.5 } else { 0.0 };
        // In the heat sweat is liquid: a fibre that drinks it cools.
        if needs.climate == Climate::Hot {
            rules.push(ramp(Property::MoistureRegain, breathing / 2.0, 0.0, 12.0));
            rules.push(ramp(Property::Absorbency, breathing / 2.0, 0.0, 0.9));
        } else {
            rules.push(ramp(Property::MoistureRegain, breathing, 0.0, 16.0));
        }
    }
    match needs.moisture {
        Moisture::Dry => {}
        Moisture::SweatOrRain if needs.piece.warms_a_body() => {}
        Moisture::SweatOrRain => rules.push(ramp(Property::MoistureRegain, 1.0, 0.0, 16.0)),
        Moisture::TakesUpWater => rules.push(ramp(Property::Absorbency, 2.0, 0.0, 0.9)),
    }
    rules
}

fn surface_rules(needs: Needs) -> Vec<Rule> {
    let mut rules = match needs.stitches {
        Stitches::CablesAndTwisted => {
            vec![ramp(Property::Halo, 2.0, 0.75, 0.1), ramp(Property::Memory, 1.0, 0.0, 0.9)]
        }
        // Clinging strands lie still behind the stitches and close the fabric.
        Stitches::Stranded => {
            vec![ramp(Property::Halo, 1.0, 0.85, 0.35), ramp(Property::Felting, 0.7, 0.0, 0.6)]
        }
        Stitches::Plain | Stitches::Lace => Vec::new(),
    };
    // Hairs prickle from about 30 µm; a mean under 20 µm is comfortable (CSIRO and Australian
    // Wool Classing, read), so the line runs from the one to a little above the other.
    let prickle = |weight| ramp(Property::Diameter, weight, 35.0, 20.0);
    match needs.skin {
        Skin::Tender => rules.extend([
            ramp(Property::Softness, 1.5, 0.0, 0.8),
            prickle(0.7),
            // Loose hairs: not for a baby's mouth and nose, and they tickle.
            ramp(Property::Halo, 1.0, 0.8, 0.2),
        ]),
        Skin::Ordinary => rules.extend([ramp(Property::Softness, 0.7, 0.0, 0.6), prickle(0.3)]),
        Skin::Away => {}
    }
    rules
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::yarn::PieceKind;

    #[test]
    fn a_line_is_held_between_0_and_1() {
        let rising = Line::Ramp { zero: 0.0, one: 16.0 };
        assert_eq!((rising.at(-1.0), rising.at(8.0), rising.at(99.0)), (0.0, 0.5, 1.0));
        let falling = Line::Ramp { zero: 35.0, one: 20.0 };
        assert_eq!((falling.at(40.0), falling.at(10.0)), (0.0, 1.0));
        let near = Line::Near { target: 0.5, below: 0.5, above: 1.0 };
        assert_eq!((near.at(0.25), near.at(0.5), near.at(1.0), near.at(3.0)), (0.5, 1.0, 0.5, 0.0));
    }

    #[test]
    fn a_need_the_piece_does_not_ask_for_has_no_rules() {
        for piece in PieceKind::ALL.iter().copied() {
            for (_, needs) in Needs::preset(piece).with_one_change() {
                for need in Need::ALL {
                    assert_eq!(need.weight(needs) == 0.0, need.rules(needs).is_empty(), "{needs:?} {need:?}");
                }
            }
        }
    }
}
