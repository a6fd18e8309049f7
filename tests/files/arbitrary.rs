//! Any project there can be, for property tests.

use huegauge::chart::{Cell, Grid, Rect};
use huegauge::colour::{Colour, Scheme};
use huegauge::knit::{Construction, Gauge, SwatchFabric, SwatchOnScales, SwatchSize, Technique};
use huegauge::project::{
    Chart, Colourway, FloatLimit, KnitPlan, LoggedSwatch, Material, Palette, Project, Proportion, Role, Slot,
    SlotYarn, Symbol, Wheel,
};
use huegauge::units::{LengthUnit, MetresPer100G};
use huegauge::yarn::{
    Blend, Climate, Fibre, Moisture, Needs, PieceKind, PutUp, Skin, Stitches, Stretch, Washing, Wear, Wearer,
};
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

fn text() -> impl Strategy<Value = String> {
    // Quotes, hashes, backslashes and line ends are where a text format slips.
    prop_oneof![".{0,20}", "[\"#\\\\\n\r\t'/*(),:r ]{0,12}", any::<String>()]
}

fn colour() -> impl Strategy<Value = Colour> {
    (0.0..=1.0, 0.0..=0.5, 0.0..360.0).prop_map(|(l, c, h)| Colour::new(l, c, h).unwrap())
}

fn slot() -> impl Strategy<Value = Slot> {
    let yarn = (5.0..=5000.0, 1.0..=5000.0, option::of(0.0..1e6)).prop_map(|(grist, ball, ball_price)| {
        SlotYarn { put_up: PutUp::new(grist, ball).unwrap(), ball_price }
    });
    (text(), colour(), select(&Role::ALL), select(&Symbol::ALL), any::<bool>(), yarn).prop_map(
        |(name, colour, role, symbol, locked, yarn)| Slot { name, colour, role, symbol, locked, yarn },
    )
}

fn palette() -> impl Strategy<Value = Palette> {
    let shares = (0.0..100.0, 0.0..100.0, 0.1..100.0);
    let slots = prop::collection::vec(slot(), 1..=Cell::MAX_SLOTS);
    (slots, select(&Wheel::ALL), option::of(select(&Scheme::ALL)), shares).prop_map(
        |(slots, wheel, scheme, (main, supporting, accent))| {
            let mut palette = Palette::new(slots).unwrap();
            palette.wheel = wheel;
            palette.scheme = scheme;
            palette.proportion = Proportion::new(main, supporting, accent).unwrap();
            palette
        },
    )
}

fn chart(slots: usize) -> impl Strategy<Value = Chart> {
    (1_u32..24, 1_u32..24).prop_flat_map(move |(width, height)| {
        let cell = prop_oneof![9 => (0..slots as u8).prop_map(Cell::slot), 1 => Just(Cell::NO_STITCH)];
        let cells = prop::collection::vec(cell, (width * height) as usize);
        (cells, 0..width, 0..height).prop_flat_map(move |(cells, x, y)| {
            let grid = Grid::from_cells(width, height, cells).unwrap();
            (1..=width - x, 1..=height - y)
                .prop_map(move |(w, h)| Chart::with_repeat(grid.clone(), Rect::new(x, y, w, h)).unwrap())
        })
    })
}

fn plan() -> impl Strategy<Value = KnitPlan> {
    let gauge = (1.0..=200.0, 1.0..=300.0).prop_map(|(s, r)| Gauge::new(s, r).unwrap());
    let how = (select(&Technique::ALL), select(&Construction::ALL));
    let counts = (1..u32::MAX, any::<u32>(), 1..u32::MAX, 1..u32::MAX);
    let float = (1..u32::MAX, 1e-6..1e5).prop_map(|(stitches, cm)| FloatLimit { stitches, cm });
    (gauge, how, counts, float, (0.0..=100.0, 0.0..1e5, 0.0..1e5)).prop_map(
        |(gauge, (technique, construction), counts, float_limit, (waste_percent, tail_cm, swatch_cm))| {
            KnitPlan {
                gauge,
                technique,
                construction,
                needle_stitches: counts.0,
                edge_stitches: counts.1,
                repeats_up: counts.2,
                float_limit,
                colours_per_row: counts.3,
                waste_percent,
                tail_cm,
                swatch_cm,
            }
        },
    )
}

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

fn material() -> impl Strategy<Value = Material> {
    (option::of(needs()), option::of(blend()), prop::collection::vec(swatch(), 0..3))
        .prop_map(|(needs, blend, swatches)| Material { needs, blend, swatches })
}

/// Any project.
pub fn project() -> impl Strategy<Value = Project> {
    palette().prop_flat_map(|palette| {
        let slots = palette.slots().len();
        let way = (text(), prop::collection::vec(colour(), slots))
            .prop_map(|(name, colours)| Colourway { name, colours });
        let ways = prop::collection::vec(way, 0..3);
        let rest = (ways, material());
        (text(), text(), select(&LengthUnit::ALL), Just(palette), chart(slots), plan(), rest).prop_map(
            |(title, notes, units, palette, chart, plan, (colourways, material))| Project {
                title,
                notes,
                units,
                palette,
                chart,
                plan,
                colourways,
                material,
            },
        )
    })
}
