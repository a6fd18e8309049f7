//! Any project there can be, for property tests.

use std::sync::Arc;

use huegauge::chart::{Cell, Grid, Rect};
use huegauge::colour::{Colour, Scheme};
use huegauge::knit::pieces::{
    Band, BindOff, Body, CastOn, EndEdge, Fabric, Finish, Follow, HeldFigures, Length, Measure, OwnFigures,
    Pace, Piece, Rounding, SetAside, Shaping, Size, StartEdge, Step, Take, Width,
};
use huegauge::knit::{Construction, Gauge, Technique};
use huegauge::project::{
    Chart, Colourway, FloatLimit, KnitPlan, Palette, PiecePlan, Project, Proportion, Role, Slot, SlotYarn,
    Symbol, Wheel,
};
use huegauge::units::{Currency, LengthUnit, Price};
use huegauge::yarn::{PutUp, ShadeCard};
use proptest::option;
use proptest::prelude::*;
use proptest::sample::select;

use crate::arbitrary_material::material;
use crate::shade_cards::shade;

/// Text with everything that trips a text format.
pub fn text() -> impl Strategy<Value = String> {
    // Quotes, hashes, backslashes and line ends are where a text format slips.
    prop_oneof![".{0,20}", "[\"#\\\\\n\r\t'/*(),:r ]{0,12}", any::<String>()]
}

fn colour() -> impl Strategy<Value = Colour> {
    (0.0..=1.0, 0.0..=0.5, 0.0..360.0).prop_map(|(l, c, h)| Colour::new(l, c, h).unwrap())
}

fn slot() -> impl Strategy<Value = Slot> {
    let yarn = (5.0..=10_000.0, 1.0..=5000.0, option::of(0.0..1e6), 0.0..1e6).prop_map(
        |(grist, ball, ball_price, on_hand_m)| SlotYarn {
            put_up: PutUp::new(grist, ball).unwrap(),
            ball_price: ball_price.map(Price::clamped),
            on_hand_m,
        },
    );
    let chosen = option::weighted(0.2, shade().prop_map(Arc::new));
    (text(), colour(), select(&Role::ALL), select(&Symbol::ALL), any::<bool>(), (yarn, chosen)).prop_map(
        |(name, colour, role, symbol, locked, (yarn, chosen_shade))| Slot {
            name,
            colour,
            role,
            symbol,
            locked,
            yarn,
            chosen_shade,
        },
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

fn follow() -> impl Strategy<Value = Follow> {
    let measure = || select(&Measure::ALL);
    (measure(), -20.0..20.0, option::of((measure(), -20.0..20.0)), -20.0..20.0, -400.0..400.0)
        .prop_map(|(measure, times, and, ease, plus_cm)| Follow { measure, times, and, ease, plus_cm })
}

fn width() -> impl Strategy<Value = Width> {
    prop_oneof![
        Just(Width::AsBefore),
        Just(Width::Joined),
        any::<u32>().prop_map(Width::Stitches),
        (0.0..1e5).prop_map(Width::Cm),
        follow().prop_map(Width::Body),
        (0.0..1e5).prop_map(Width::Narrower),
        (0.0..20.0).prop_map(Width::Share),
    ]
}

fn length() -> impl Strategy<Value = Length> {
    prop_oneof![
        any::<u32>().prop_map(Length::Rows),
        any::<u32>().prop_map(Length::Repeats),
        (0.0..1e5).prop_map(Length::Cm),
        follow().prop_map(Length::Body),
        Just(Length::Rest),
        (1..u32::MAX).prop_map(|every| Length::Shaped { every }),
    ]
}

fn fabric() -> impl Strategy<Value = Fabric> {
    let region = option::of(any::<[u32; 4]>().prop_map(|[x, y, w, h]| Rect::new(x, y, w, h)));
    prop_oneof![
        Just(Fabric::Plain),
        Just(Fabric::Garter),
        Just(Fabric::Moss),
        (1..u32::MAX, 1..u32::MAX).prop_map(|(knit, purl)| Fabric::Ribbing { knit, purl }),
        (region, any::<u32>()).prop_map(|(region, edge)| Fabric::Chart { region, edge }),
    ]
}

fn band(slots: usize) -> impl Strategy<Value = Band> {
    let shaping = prop_oneof![
        (1..u32::MAX).prop_map(Shaping::PerRow),
        (1..u32::MAX).prop_map(Shaping::InRows),
        Just(Shaping::First),
        Just(Shaping::Last),
        Just(Shaping::Gusset),
        Just(Shaping::Steek),
    ];
    let own = (
        text(),
        option::of(any::<u32>()),
        option::of(any::<u32>()),
        option::of(any::<u32>()),
        option::of(1..u32::MAX),
    )
        .prop_map(|(size, stitches, rows, end, per_row)| OwnFigures {
            size,
            stitches,
            rows,
            end,
            per_row,
        });
    let held = (text(), option::of(any::<u32>()), option::of(any::<u32>()), option::of(any::<u32>()))
        .prop_map(|(size, stitches, rows, repeats)| HeldFigures { size, stitches, rows, repeats });
    let extras = (
        prop::collection::vec(own, 0..3),
        prop::collection::vec(held, 0..3),
        prop::collection::vec(step(), 0..3),
    );
    let shape = (width(), width(), select(&Rounding::ALL), shaping, length());
    let colours = prop::collection::vec(0..slots, 1..5);
    let made = (fabric(), select(&Technique::ALL), colours, 1..u32::MAX);
    (text(), shape, made, extras).prop_map(
        |(name, shape, (fabric, technique, colours, stripe_rows), (own, held, then))| {
            let (start, end, rounding, shaping, length) = shape;
            Band {
                name,
                start,
                end,
                rounding,
                shaping,
                length,
                fabric,
                technique,
                colours,
                stripe_rows,
                own,
                held,
                then,
            }
        },
    )
}

fn step() -> impl Strategy<Value = Step> {
    prop_oneof![
        (text(), width(), 0..1000_u32, 0..1000_u32).prop_map(|(name, stitches, inset, face)| Step::Opening {
            face,
            name,
            stitches,
            inset
        }),
        (0.0..1e5, 0.0..1.0, 0..1000_u32).prop_map(|(rise_cm, share, further)| Step::ShortRows {
            rise_cm,
            share,
            further
        }),
        (text(), 0.0..1.0, width(), 0.0..1e4, 0..1000_u32).prop_map(|(name, at, aside, less_cm, bridge)| {
            Step::Steek { name, at, aside, less_cm, bridge }
        }),
        Just(Step::HeelTurn),
    ]
}

fn take() -> impl Strategy<Value = Take> {
    prop_oneof![
        text().prop_map(Take::Group),
        (text(), length(), 1..u32::MAX, 1..u32::MAX)
            .prop_map(|(along, rows, stitches, every)| Take::PickUp { along, rows, stitches, every }),
        (1..1000_u32).prop_map(Take::CastOn),
        (text(), 0..1000_u32).prop_map(|(name, corners)| Take::Opening { name, corners }),
    ]
}

fn finish() -> impl Strategy<Value = Finish> {
    prop_oneof![
        (text(), text()).prop_map(|(one, other)| Finish::Graft { one, other }),
        (text(), text()).prop_map(|(one, other)| Finish::ThreeNeedle { one, other }),
        text().prop_map(Finish::Seam),
        (0..1000_u32, text()).prop_map(|(stitches, place)| Finish::Steek { stitches, place }),
    ]
}

fn piece(slots: usize) -> impl Strategy<Value = Piece> {
    let edges = (select(&StartEdge::ALL), select(&EndEdge::ALL));
    let bands = prop::collection::vec(band(slots), 0..4);
    let set_aside = (any::<u32>(), width(), 0.0..400.0, prop::collection::vec(text(), 0..4))
        .prop_map(|(places, each, less_cm, names)| SetAside { places, each, less_cm, names });
    let whole = (option::of(length()), option::of(set_aside));
    let methods = (select(&CastOn::ALL), select(&BindOff::ALL), any::<bool>());
    let lists = (prop::collection::vec(take(), 0..4), prop::collection::vec(finish(), 0..4));
    (text(), 1..1000_u32, select(&Construction::ALL), edges, whole, bands, methods, lists).prop_map(
        |(name, copies, construction, (start, end), (length, set_aside), bands, methods, lists)| {
            let ((cast_on, bind_off, sided), (takes, finish)) = (methods, lists);
            Piece {
                name,
                copies,
                sided,
                construction,
                start,
                cast_on,
                takes,
                end,
                bind_off,
                length,
                set_aside,
                bands,
                finish,
            }
        },
    )
}

fn size() -> impl Strategy<Value = Size> {
    let body = prop::collection::vec(option::of(0.0..400.0), Measure::ALL.len()).prop_map(|cm| {
        let mut body = Body::default();
        for (measure, cm) in Measure::ALL.into_iter().zip(cm) {
            body.set(measure, cm);
        }
        body
    });
    (text(), body, -400.0..400.0).prop_map(|(name, body, ease_cm)| Size { name, body, ease_cm })
}

fn pieces(slots: usize) -> impl Strategy<Value = PiecePlan> {
    let pace = (0.5..300.0, 0.1..=1.0, 0.1..=1.0).prop_map(|(pace, stranded, intarsia)| {
        Pace::new(pace).unwrap().with_shares(stranded, intarsia).unwrap()
    });
    let pieces = prop::collection::vec(piece(slots), 0..3);
    (pieces, prop::collection::vec(size(), 0..3), 0..5_usize, pace)
        .prop_map(|(pieces, sizes, chosen, pace)| PiecePlan { pieces, sizes, chosen, pace })
}

fn cards() -> impl Strategy<Value = Vec<Arc<ShadeCard>>> {
    let card = (text(), prop::collection::vec(shade(), 0..4))
        .prop_map(|(name, shades)| Arc::new(ShadeCard::new(name, shades).unwrap()));
    prop::collection::vec(card, 0..3)
}

/// Any project.
pub fn project() -> impl Strategy<Value = Project> {
    palette().prop_flat_map(|palette| {
        let slots = palette.slots().len();
        let whole = palette.clone();
        let way = (text(), prop::collection::vec(colour(), slots), any::<bool>()).prop_map(
            move |(name, colours, is_whole)| {
                if is_whole {
                    Colourway::of_palette(name, &whole)
                } else {
                    Colourway::of_colours(name, colours)
                }
            },
        );
        let ways = prop::collection::vec(way, 0..3);
        let made = (chart(slots), plan(), ways, pieces(slots), material(), cards());
        let shown = (select(&LengthUnit::ALL), select(vec!["", "£", "EUR", "kr"]));
        ((text(), text()), text(), shown, Just(palette), made).prop_map(
            |(
                (title, designer),
                notes,
                (units, currency),
                palette,
                (chart, plan, colourways, pieces, material, shade_cards),
            )| {
                Project {
                    title,
                    designer,
                    notes,
                    units,
                    currency: Currency::new(currency).unwrap(),
                    palette,
                    chart,
                    plan,
                    colourways,
                    pieces,
                    material,
                    shade_cards,
                    ..Project::default()
                }
            },
        )
    })
}
