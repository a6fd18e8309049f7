//! The words of the file format for the choices of the project.
//!
//! The words are the format's own: renaming a choice in the program does not rename it on disk,
//! and a choice added to the program does not compile until it has a word here.

use serde::{Deserialize, Serialize};

use crate::chart::{Lay, Mirrors, MotifKind, Work};
use crate::colour::Scheme;
use crate::knit::pieces::{BindOff, CastOn, EndEdge, Measure, Rounding, StartEdge};
use crate::knit::{Construction, DriedHow, SwatchFabric, Technique, WashedHow};
use crate::project::{Role, Symbol, Wheel};
use crate::units::LengthUnit;
use crate::yarn::{
    Climate, Fibre, Moisture, PieceKind, Skin, SpinSystem, Stitches, Stretch, TwistAmount, TwistDirection,
    VariationKind, Washing, Wear, Wearer,
};

/// The words of a choice; `as "word"` after a variant gives a word that earlier versions wrote for it.
macro_rules! words {
    ($(#[$doc:meta])* $word:ident for $domain:ident { $($variant:ident $(as $old:literal)?),* $(,)? }) => {
        $(#[$doc])*
        #[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
        #[serde(rename_all = "snake_case")]
        pub enum $word {
            $(
                #[doc = concat!("See [`", stringify!($domain), "::", stringify!($variant), "`].")]
                $(#[serde(alias = $old)])?
                $variant
            ),*
        }

        impl From<$domain> for $word {
            fn from(choice: $domain) -> Self {
                match choice {
                    $($domain::$variant => Self::$variant),*
                }
            }
        }

        impl From<$word> for $domain {
            fn from(word: $word) -> Self {
                match word {
                    $($word::$variant => Self::$variant),*
                }
            }
        }
    };
}

words!(
    /// How a stitch of the chart is worked.
    WorkWord for Work { Plain, K2tog, Ssk, CentredDouble, MakeLeft, MakeRight }
);
words!(
    /// What a motif shows.
    MotifWord for MotifKind {
        Own, Border, Snow, Leaf, Flower, Tree, Bird, Animal, Sea, Home, Sign, Letter,
    }
);
words!(
    /// Mirrors and turns while painting.
    MirrorsWord for Mirrors { None, LeftRight, UpDown, Both, QuarterTurns, Star }
);
words!(
    /// How the tiles of a repeat lie.
    LayWord for Lay { Straight, HalfDrop, Brick }
);
words!(
    /// How a colour changes along the strand.
    VariationWord for VariationKind { Solid, Heathered, Speckled, LongChanges }
);
words!(
    /// How lengths are shown.
    UnitsWord for LengthUnit { Metric, Imperial }
);
words!(
    /// What a colour does.
    RoleWord for Role { Main, Supporting, Accent, Ground }
);
words!(
    /// A colour's mark.
    SymbolWord for Symbol {
        Blank,
        LowerLeftWedge as "disc",
        TwoLevelBars as "cross",
        RightChevron as "triangle",
        UpperLeftCorner as "ring",
        UpperRightQuarter as "slash",
        RisingQuarters as "diamond",
        LeftHalf as "plus",
        OpenBelow as "bar",
        TwoUprightBars as "frame",
        UpperRightWedge as "backslash",
        LeftChevron as "triangle_down",
        UpperHalf,
        LowerRightCorner,
        LowerLeftQuarter,
        FallingQuarters,
        RightHalf,
        OpenAbove,
        UpperLeftWedge,
        LowerHalf,
        UpperRightCorner,
        LowerRightQuarter,
        OpenRight,
        LowerRightWedge,
        LowerLeftCorner,
        UpperLeftQuarter,
        OpenLeft,
    }
);
words!(
    /// A hue circle.
    WheelWord for Wheel { Perceptual, Painter }
);
words!(
    /// A colour scheme.
    SchemeWord for Scheme {
        Complementary,
        SplitComplementary,
        Analogous,
        Triadic as "triad",
        Tetradic as "tetrad",
        Square,
        Monochromatic as "monochrome",
    }
);
words!(
    /// How the colours are worked.
    TechniqueWord for Technique { Stranded, Intarsia, Stripes }
);
words!(
    /// Rounds or turned rows.
    ConstructionWord for Construction { InTheRound, Flat }
);
words!(
    /// The stitch of a swatch.
    FabricWord for SwatchFabric { Plain, Stranded, Patterned }
);
words!(
    /// How a swatch was washed.
    WashedWord for WashedHow { Soaked, ByHand, Machine, Steamed }
);
words!(
    /// How a swatch was dried.
    DriedWord for DriedHow { Flat, Pinned, Hung, Tumbled }
);
words!(
    /// What is knitted.
    PieceWord for PieceKind {
        Socks, Sweater, Shawl, Hat, Mittens, BabyAndChild, Blanket, TowelOrCoaster, CushionAndDecor, Own,
    }
);
words!(
    /// How much rubbing it must stand.
    WearWord for Wear { Gentle, Everyday, Hard }
);
words!(
    /// Where it is worn.
    ClimateWord for Climate { Cold, Temperate, Hot }
);
words!(
    /// How warm the wearer runs.
    WearerWord for Wearer { RunsWarm, Neutral, RunsCold }
);
words!(
    /// How it meets moisture.
    MoistureWord for Moisture { Dry, SweatOrRain, TakesUpWater }
);
words!(
    /// The kind of stitches.
    StitchesWord for Stitches { CablesAndTwisted, Stranded, Plain, Lace }
);
words!(
    /// Where it touches the skin.
    SkinWord for Skin { Tender, Ordinary, Away }
);
words!(
    /// How much it must stretch and come back.
    StretchWord for Stretch { Drapes, KeepsShape, SpringsBack }
);
words!(
    /// How it is washed.
    WashingWord for Washing { Hand, Machine }
);
words!(
    /// A fibre.
    FibreWord for Fibre {
        Wool, SuperwashWool, Merino, Alpaca, Mohair, Cashmere, Yak, Qiviut, Silk, Cotton, Linen, Viscose,
        Nylon, Acrylic, Angora, Camel, Llama, Vicuna, Guanaco, Cashgora, Bison, Possum, Hemp, Ramie, Jute, Kapok, Lyocell, Modal, Cupro, Acetate, Triacetate, Protein, Polyester, Elastane, Polypropylene, Polylactide, Modacrylic, Other,
    }
);
words!(
    /// How the fibres lie.
    SpinWord for SpinSystem { Worsted, Woollen }
);
words!(
    /// Direction of the last twist.
    TwistDirectionWord for TwistDirection { S, Z }
);
words!(
    /// How much a yarn is twisted.
    TwistAmountWord for TwistAmount { Soft, Medium, Hard }
);
words!(
    /// How a piece begins.
    StartWord for StartEdge { CastOn, PickedUp, Joined }
);
words!(
    /// How a piece ends.
    EndWord for EndEdge { BoundOff, Live, DrawnTogether, Grafted }
);
words!(
    /// How stitches are cast on.
    CastOnWord for CastOn { Any, Stretchy, Provisional }
);
words!(
    /// How stitches are bound off.
    BindOffWord for BindOff { Any, Stretchy, InPattern }
);
words!(
    /// Which way a width goes between two counts.
    RoundingWord for Rounding { Nearest, Down, Up }
);
words!(
    /// A measurement of the body.
    MeasureWord for Measure {
        Chest, Waist, Hip, BackWaist, BackHip, CrossBack, Arm, UpperArm, Armhole, Head, Hand,
        HandLength, Foot, FootLength, Wrist, HandPassage, NeckBase, ShoulderGirth, Ankle, Heel,
    }
);

impl Default for RoundingWord {
    /// What a band without the word means.
    fn default() -> Self {
        Self::Nearest
    }
}
