//! Any needs, fibre and swatch log there can be, for property tests.

use huegauge::knit::{
    BegunSize, Construction, DriedHow, ReadOff, SwatchCare, SwatchFabric, SwatchOnScales, SwatchSize,
    WashedHow,
};
use huegauge::project::{LoggedSwatch, Material};
use huegauge::units::{MetresPer100G, Price};
use huegauge::yarn::{
    Blend, CareLabel, CareSymbol, Climate, Fibre, Moisture, Needs, PieceKind, PutUp, Skin, Spin, SpinSystem,
    Stitches, Stretch, TwistAmount, TwistDirection, Washing, Wear, Wearer, WeightClass, Yarn, YarnId,
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
    let read_off = || option::of((0.0..=0.1, 0.0..=0.1).prop_map(|(s, r)| ReadOff::new(s, r).unwrap()));
    let size = || {
        let size = (1.0..=200.0, 1.0..=200.0, read_off());
        option::of(size.prop_map(|(w, h, sure)| SwatchSize::new(w, h).unwrap().with_read_off(sure)))
    };
    let care = (option::of(select(&WashedHow::ALL)), option::of(select(&DriedHow::ALL)), any::<bool>());
    let weighed =
        option::of((1..5000_u32, 1..5000_u32, option::of(0.1..=5000.0), 0.0..=10.0, any::<bool>()).prop_map(
            |(stitches, rows, grams, scale_step_g, trusted)| SwatchOnScales {
                stitches,
                rows,
                grams,
                scale_step_g,
                trusted,
            },
        ));
    let how = (select(&SwatchFabric::ALL), select(&Construction::ALL));
    let count = || option::of((10..=20_000_u32).prop_map(|tenths| f64::from(tenths) / 10.0));
    let measured = (option::of(0.5..=60.0), (count(), count()), 5.0..=10_000.0);
    (text(), text(), how, measured, (size(), size(), care), weighed).prop_map(
        |(yarn, notes, how, (needle_mm, counted, grist), (before, after, care), weighed)| {
            let (washed, dried, as_piece) = care;
            let grist = MetresPer100G::new(grist).unwrap();
            let mut logged = LoggedSwatch::uncounted(yarn, grist, how);
            logged.swatch = logged.swatch.recounted(needle_mm, counted).unwrap();
            logged.swatch.before = before;
            logged.swatch.after = after;
            // Where there is no size, there may be one side of one.
            logged.swatch.before_begun = before.is_none().then_some(BegunSize::default());
            let width_cm = Some(12.5);
            logged.swatch.after_begun =
                (after.is_none() && as_piece).then_some(BegunSize { width_cm, height_cm: None });
            logged.swatch.weighed = weighed;
            logged.swatch.care = SwatchCare { washed, dried, as_piece };
            logged.swatch.notes = notes;
            logged
        },
    )
}

fn yarn() -> impl Strategy<Value = Yarn> {
    let spin = (select(SpinSystem::ALL), 1..=8_u8, select(TwistDirection::ALL), select(TwistAmount::ALL))
        .prop_map(|(system, plies, direction, amount)| Spin::new(system, plies, direction, amount).unwrap());
    let care: Vec<CareSymbol> = CareSymbol::all().collect();
    let known =
        (option::of(spin), option::of(select(&WeightClass::ALL)), option::of(1.0..60.0), select(care));
    let sold = (5.0..=10_000.0, 1.0..=5000.0, option::of(0.0..1e6));
    (text(), blend(), sold, known, (text(), text())).prop_map(
        |(
            name,
            blend,
            (grist, ball, ball_price),
            (spin, class_on_band, wraps_per_inch, care),
            (lot, notes),
        )| {
            let put_up = PutUp::new(grist, ball).unwrap();
            let care = CareLabel::new([care]).unwrap();
            Yarn {
                spin,
                ball_price: ball_price.map(Price::clamped),
                care,
                class_on_band,
                wraps_per_inch,
                lot,
                notes,
                ..Yarn::new(YarnId(0), name, blend, put_up)
            }
        },
    )
}

/// Any material.
pub fn material() -> impl Strategy<Value = Material> {
    let yarns = (option::of(yarn()), option::of(yarn()));
    let log = (prop::collection::vec(swatch(), 0..3), option::of(0..3_usize));
    (option::of(needs()), option::of(blend()), yarns, log).prop_map(
        |(needs, blend, (yarn, pattern_yarn), (swatches, follows))| Material {
            needs,
            blend,
            yarn,
            pattern_yarn,
            follows: follows.filter(|place| *place < swatches.len()),
            swatches,
        },
    )
}
