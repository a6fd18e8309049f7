//! Any project there can be, for property tests.

use huegauge::chart::{Cell, Grid, Rect};
use huegauge::colour::{Colour, Scheme};
use huegauge::knit::{Construction, Gauge, Technique};
use huegauge::project::{
    Chart, Colourway, FloatLimit, KnitPlan, Palette, Project, Proportion, Role, Slot, SlotYarn, Symbol, Wheel,
};
use huegauge::units::LengthUnit;
use huegauge::yarn::PutUp;
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

/// Any project.
pub fn project() -> impl Strategy<Value = Project> {
    palette().prop_flat_map(|palette| {
        let slots = palette.slots().len();
        let way = (text(), prop::collection::vec(colour(), slots))
            .prop_map(|(name, colours)| Colourway { name, colours });
        let ways = prop::collection::vec(way, 0..3);
        (text(), text(), select(&LengthUnit::ALL), Just(palette), chart(slots), plan(), ways).prop_map(
            |(title, notes, units, palette, chart, plan, colourways)| Project {
                title,
                notes,
                units,
                palette,
                chart,
                plan,
                colourways,
            },
        )
    })
}
