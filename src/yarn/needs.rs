//! What a piece must withstand: five needs, with answers to start from for each kind of piece.

use super::named::named_enum;

named_enum!(
    /// What is knitted.
    PieceKind {
        /// Socks.
        Socks => "Socks",
        /// Pullover, cardigan, vest.
        Sweater => "Pullover",
        /// Shawl, scarf, cowl.
        Shawl => "Shawl",
        /// Hat.
        Hat => "Hat",
        /// Mittens and gloves.
        Mittens => "Mittens",
        /// For a baby or a small child.
        BabyAndChild => "Baby and child",
        /// Blanket.
        Blanket => "Blanket",
        /// Towel, dishcloth, coaster.
        TowelOrCoaster => "Towel or coaster",
        /// Cushion and decoration.
        CushionAndDecor => "Cushion and decor",
        /// Anything else.
        Own => "Something of your own",
    }
);

impl PieceKind {
    /// Whether it keeps a body warm, so that climate and wearer count.
    pub const fn warms_a_body(self) -> bool {
        !matches!(self, Self::TowelOrCoaster | Self::CushionAndDecor)
    }
}

named_enum!(
    /// How much rubbing it must stand.
    Wear {
        /// Worn or used with care.
        Gentle => "Gentle",
        /// Worn often.
        Everyday => "Everyday",
        /// Rubbed all the time: heels, underarms, mitten palms.
        Hard => "Hard wear",
    }
);

named_enum!(
    /// Where it is worn.
    Climate {
        /// Cold.
        Cold => "Cold",
        /// Temperate.
        Temperate => "Temperate",
        /// Hot.
        Hot => "Hot",
    }
);

named_enum!(
    /// How warm the wearer runs.
    Wearer {
        /// Is soon too hot.
        RunsWarm => "Runs warm",
        /// Neither.
        Neutral => "Neither warm nor cold",
        /// Is soon cold.
        RunsCold => "Runs cold",
    }
);

named_enum!(
    /// How it meets moisture.
    Moisture {
        /// Stays dry.
        Dry => "Stays dry",
        /// Meets sweat, rain or snow.
        SweatOrRain => "Meets sweat or rain",
        /// Must take up water.
        TakesUpWater => "Must take up water",
    }
);

named_enum!(
    /// The kind of stitches, which asks for a smooth or allows a fuzzy yarn.
    Stitches {
        /// Cables and twisted stitches: asks for a smooth yarn.
        CablesAndTwisted => "Cables and twisted stitches",
        /// A stranded pattern: a little bloom and grip help, a halo blurs it.
        Stranded => "Stranded pattern",
        /// Plain stockinette: smooth or fuzzy.
        Plain => "Plain stockinette",
        /// Lace: smooth or fuzzy.
        Lace => "Lace",
    }
);

named_enum!(
    /// Where it touches the skin.
    Skin {
        /// Tender skin, or a baby's.
        Tender => "Tender skin",
        /// Worn on the skin.
        Ordinary => "On the skin",
        /// Not worn on the skin.
        Away => "Not on the skin",
    }
);

named_enum!(
    /// How much it must stretch and come back, and keep its length after washing.
    Stretch {
        /// May hang and flow.
        Drapes => "May drape",
        /// Should keep its shape.
        KeepsShape => "Keeps its shape",
        /// Must stretch and spring back: ribbing, cuffs, socks.
        SpringsBack => "Springs back",
    }
);

named_enum!(
    /// How it is washed.
    Washing {
        /// By hand.
        Hand => "By hand",
        /// In the machine.
        Machine => "In the machine",
    }
);

/// The five answers for a piece. Each can be changed by itself.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Needs {
    /// What is knitted.
    pub piece: PieceKind,
    /// [`Need::Durability`](super::Need::Durability): what it is worn for.
    pub wear: Wear,
    /// [`Need::Warmth`](super::Need::Warmth): where it is worn.
    pub climate: Climate,
    /// Warmth: who wears it.
    pub wearer: Wearer,
    /// Warmth: the moisture it meets.
    pub moisture: Moisture,
    /// [`Need::Surface`](super::Need::Surface): the stitches it shows.
    pub stitches: Stitches,
    /// Surface: the skin it lies on.
    pub skin: Skin,
    /// [`Need::Stretch`](super::Need::Stretch): how far it gives and comes back.
    pub stretch: Stretch,
    /// [`Need::Washing`](super::Need::Washing): how it is washed.
    pub washing: Washing,
    /// Whether it is a gift; then it is planned for the machine, whatever [`Self::washing`] says.
    pub gift: bool,
}

impl Needs {
    /// The answers to start from for a kind of piece (our judgement of common practice).
    pub const fn preset(piece: PieceKind) -> Self {
        let base = Self {
            piece,
            wear: Wear::Everyday,
            climate: Climate::Temperate,
            wearer: Wearer::Neutral,
            moisture: Moisture::Dry,
            stitches: Stitches::Plain,
            skin: Skin::Ordinary,
            stretch: Stretch::KeepsShape,
            washing: Washing::Hand,
            gift: false,
        };
        match piece {
            PieceKind::Socks => Self {
                wear: Wear::Hard,
                moisture: Moisture::SweatOrRain,
                stretch: Stretch::SpringsBack,
                washing: Washing::Machine,
                ..base
            },
            PieceKind::Shawl => {
                Self { wear: Wear::Gentle, stitches: Stitches::Lace, stretch: Stretch::Drapes, ..base }
            }
            PieceKind::Hat => Self { climate: Climate::Cold, stretch: Stretch::SpringsBack, ..base },
            PieceKind::Mittens => Self {
                wear: Wear::Hard,
                climate: Climate::Cold,
                moisture: Moisture::SweatOrRain,
                stitches: Stitches::Stranded,
                stretch: Stretch::SpringsBack,
                ..base
            },
            PieceKind::BabyAndChild => Self {
                moisture: Moisture::SweatOrRain,
                skin: Skin::Tender,
                washing: Washing::Machine,
                ..base
            },
            PieceKind::Blanket => Self { washing: Washing::Machine, ..base },
            PieceKind::TowelOrCoaster => Self {
                wear: Wear::Hard,
                moisture: Moisture::TakesUpWater,
                stretch: Stretch::Drapes,
                washing: Washing::Machine,
                ..base
            },
            PieceKind::CushionAndDecor => Self { skin: Skin::Away, washing: Washing::Machine, ..base },
            PieceKind::Sweater | PieceKind::Own => base,
        }
    }

    /// The same where the plan says how colours are worked: a stranded pattern is no plain stockinette.
    #[must_use]
    pub const fn where_worked(self, stranded: bool) -> Self {
        match self.stitches {
            Stitches::Plain if stranded => Self { stitches: Stitches::Stranded, ..self },
            _ => self,
        }
    }

    /// How it will be washed: a gift always in the machine, since its owner may not know better.
    pub const fn washed(self) -> Washing {
        if self.gift { Washing::Machine } else { self.washing }
    }

    /// Every set of answers that differs from this one in a single answer, with that answer in
    /// words to follow "if": `it were washed by hand`.
    pub fn with_one_change(self) -> Vec<(String, Self)> {
        let mut changed = Vec::new();
        let mut push = |words: String, needs: Self| {
            if needs != self {
                changed.push((words, needs));
            }
        };
        for wear in Wear::ALL.iter().copied() {
            let words = match wear {
                Wear::Gentle => "it were worn gently",
                Wear::Everyday => "it were worn every day",
                Wear::Hard => "it had to stand hard wear",
            };
            push(words.to_owned(), Self { wear, ..self });
        }
        if self.piece.warms_a_body() {
            for climate in Climate::ALL.iter().copied() {
                let words = format!("the climate were {}", climate.name().to_lowercase());
                push(words, Self { climate, ..self });
            }
            for wearer in Wearer::ALL.iter().copied() {
                let words = match wearer {
                    Wearer::RunsWarm => "the wearer ran warm",
                    Wearer::Neutral => "the wearer ran neither warm nor cold",
                    Wearer::RunsCold => "the wearer ran cold",
                };
                push(words.to_owned(), Self { wearer, ..self });
            }
        }
        for moisture in Moisture::ALL.iter().copied() {
            let words = match moisture {
                Moisture::Dry => "it stayed dry",
                Moisture::SweatOrRain => "it met sweat or rain",
                Moisture::TakesUpWater => "it had to take up water",
            };
            push(words.to_owned(), Self { moisture, ..self });
        }
        for stitches in Stitches::ALL.iter().copied() {
            push(format!("the stitches were: {}", stitches.name().to_lowercase()), Self { stitches, ..self });
        }
        for skin in Skin::ALL.iter().copied() {
            let words = match skin {
                Skin::Tender => "it were for tender skin",
                Skin::Ordinary => "it were worn on the skin",
                Skin::Away => "it did not touch the skin",
            };
            push(words.to_owned(), Self { skin, ..self });
        }
        for stretch in Stretch::ALL.iter().copied() {
            let words = match stretch {
                Stretch::Drapes => "it might drape",
                Stretch::KeepsShape => "it only had to keep its shape",
                Stretch::SpringsBack => "it had to spring back",
            };
            push(words.to_owned(), Self { stretch, ..self });
        }
        match self.washed() {
            Washing::Machine => {
                push(
                    "it were washed by hand".to_owned(),
                    Self { washing: Washing::Hand, gift: false, ..self },
                );
            }
            Washing::Hand => push(
                "it were washed in the machine, as a gift would be".to_owned(),
                Self { washing: Washing::Machine, ..self },
            ),
        }
        changed
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_gift_is_planned_for_the_machine() {
        let mut needs = Needs::preset(PieceKind::Hat);
        assert_eq!(needs.washed(), Washing::Hand);
        needs.gift = true;
        assert_eq!(needs.washed(), Washing::Machine);
    }

    #[test]
    fn each_change_changes_one_answer() {
        for piece in PieceKind::ALL.iter().copied() {
            let needs = Needs::preset(piece);
            let changes = needs.with_one_change();
            // wear 2, moisture 2, stitches 3, skin 2, stretch 2, washing 1; climate 2 and wearer 2 when worn.
            assert_eq!(changes.len(), if piece.warms_a_body() { 16 } else { 12 });
            assert!(changes.iter().all(|(words, other)| *other != needs && !words.is_empty()));
        }
    }
}
