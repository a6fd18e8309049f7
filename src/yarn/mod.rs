//! Yarn: what it is made of, what it weighs, how it is sold, and what it is good for.
//!
//! Pure: no egui, no files, no project.

mod band_words;
pub mod best_sets;
mod blend;
mod blend_words;
mod care;
mod care_words;
mod caution;
mod count;
mod fibre;
mod fibre_words;
mod figure;
mod matching;
mod mixing;
mod named;
mod need_rules;
mod needs;
mod needs_fit;
mod on_hand;
mod put_up;
mod ranking;
mod second_reading;
mod shade_card;
mod shade_query;
mod shipped;
mod spin;
mod spin_steps;
mod strand;
mod substitution;
mod substitution_fibre;
mod suitability;
mod variation;
mod weight_class;
mod yarn_make;
mod yarn_spec;
mod yarn_wanted;

pub use band_words::{BandLength, BandPrice, WordsFault, band_length, band_price, band_weight, number};
pub use blend::{Blend, BlendError};
pub use care::{CareError, CareGroup, CareLabel, CareSymbol, WashLimit};
pub use caution::{CAUTION_DEFERS, Caution, CautionTopic, cautions};
pub use count::{CountSystem, Tex};
pub use fibre::{Fibre, FibreFacts, Origin};
pub use figure::{Basis, Figure, Property};
pub use matching::{Candidate, MatchError, Matched, Matching, SetCost, Wish, match_palette};
pub use mixing::Mix;
pub use need_rules::{Line, Need, Rule};
pub use needs::{Climate, Moisture, Needs, PieceKind, Skin, Stitches, Stretch, Washing, Wear, Wearer};
pub use needs_fit::NeedsFit;
pub use on_hand::OnHand;
pub use put_up::{PutUp, PutUpFault, SlotYarn};
pub use ranking::{Change, Ranked, Reason, appraise, rank, what_would_change};
pub use second_reading::{LikeShade, SecondReading, shades_like};
pub use shade_card::{ColourSource, MAX_SHADES, MAX_TEXT, Shade, ShadeCard, ShadeError, Stock};
pub use shade_query::{Available, Between, HueArc, ShadeQuery, SortBy};
pub(crate) use shipped::table_or_none;
pub use spin::{
    SPIN_SOURCE, Spin, SpinAppraisal, SpinEffect, SpinStep, SpinSystem, TwistAmount, TwistDirection,
};
pub use strand::{Airiness, PACKING_WOOLLEN, PACKING_WORSTED, Strand, diameter_mm};
pub use substitution::{
    ComparedPoint, Likeness, Substitution, SubstitutionPoint, compare_yarns, rank_substitutes,
};
pub use suitability::{NeedScore, Term, total};
pub use variation::{CHANGE_M, MOST_OTHERS, Variation, VariationFault, VariationKind};
pub use weight_class::{ClassMatch, Span, WeightClass, WeightClassFacts};
pub use yarn_make::{MakeFault, YarnMake};
pub use yarn_spec::{KnownClass, Yarn, YarnId};
pub use yarn_wanted::{FibreWanted, Fitness, Judged, KeepsOut, YarnWanted};
