//! Any needs, fibre and swatch log there can be, for property tests.

use huegauge::knit::{Construction, SwatchFabric, SwatchOnScales, SwatchSize};
use huegauge::project::{LoggedSwatch, Material};
use huegauge::units::MetresPer100G;
use huegauge::yarn::{
    Blend, Climate, Fibre, Moisture, Needs, PieceKind, Skin, Stitches, Stretch, Washing, Wear, Wearer,
};
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

use crate::arbitrary::text;

fn needs() -> impl Strategy<Value = Needs> {
    let what = (select(PieceKind::ALL), select(Wear::ALL), select(Climate::ALL), select(Wearer::ALL));
    let how = (select(Moisture::ALL), select(Stitches::ALL), select(Skin::ALL), select(Stretch::ALL));
    (what, how, select(Washing::ALL), any::<bool>()).prop_map(
        |((piece, wear, climate, wearer), (moisture, stitches, skin, stretch), washing, gift)| Needs {
            piece,
            wear,
            climate,
            wearer,
            moisture,
            stitches,
            skin,
            stretch,
            washing,
            gift,
        },
    )
}

fn blend() -> impl Strategy<Value = Blend> {
    let two = prop::sample::subsequence(Fibre::ALL.to_vec(), 2);
    let mixed = (two, 0.5..99.5)
        .prop_map(|(two, share)| Blend::new(vec![(two[0], share), (two[1], 100.0 - share)]).unwrap());
    prop_oneof![select(Fibre::ALL).prop_map(Blend::pure), mixed]
}

fn swatch() -> impl Strategy<Value = LoggedSwatch> {
    let size = || option::of((1.0..=200.0, 1.0..=200.0).prop_map(|(w, h)| SwatchSize::new(w, h).unwrap()));
    let weighed = option::of((1..5000_u32, 1..5000_u32, 0.1..=5000.0, 0.0..=10.0).prop_map(
        |(stitches, rows, grams, scale_step_g)| SwatchOnScales { stitches, rows, grams, scale_step_g },
    ));
    let how = (select(&SwatchFabric::ALL), select(&Construction::ALL));
    let measured = (0.5..=60.0, (1..=2000_u32, 1..=2000_u32), 5.0..=5000.0);
    (text(), text(), how, measured, (size(), size()), weighed).prop_map(
        |(yarn, notes, how, (needle_mm, counted, grist), (before, after), weighed)| {
            let grist = MetresPer100G::new(grist).unwrap();
            let mut logged = LoggedSwatch::new(yarn, grist, needle_mm, how, counted).unwrap();
            logged.swatch.before = before;
            logged.swatch.after = after;
            logged.swatch.weighed = weighed;
            logged.swatch.notes = notes;
            logged
        },
    )
}

/// Any material.
pub fn material() -> impl Strategy<Value = Material> {
    (option::of(needs()), option::of(blend()), prop::collection::vec(swatch(), 0..3))
        .prop_map(|(needs, blend, swatches)| Material { needs, blend, swatches })
}
