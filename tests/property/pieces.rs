//! Shaping, counts and yarn of pieces, for every width and chart.

use huegauge::chart::{Cell, Grid};
use huegauge::knit::pieces::{
    Band, Fabric, Length, Multiple, Pattern, Piece, PiecesYarn, PiecesYarnInput, Rounding, Schedule, Shaping,
    Size, Width, WorkedPiece, YarnChange, evenly_across, work,
};
use huegauge::knit::{Construction, Estimate, Gauge, LineKind, LoopFibre, LoopLength, LoopSource, Technique};
use huegauge::units::Price;
use huegauge::yarn::{PutUp, SlotYarn};
use proptest::prelude::*;

const SLOTS: u8 = 4;

fn grid() -> impl Strategy<Value = Grid> {
    (1u32..10, 1u32..8).prop_flat_map(|(width, height)| {
        prop::collection::vec((0..SLOTS).prop_map(Cell::slot), (width * height) as usize)
            .prop_map(move |cells| Grid::from_cells(width, height, cells).unwrap())
    })
}

fn construction() -> impl Strategy<Value = Construction> {
    prop::sample::select(Construction::ALL.to_vec())
}

fn chart_band(across: u32, up: u32, technique: Technique, grid: &Grid) -> Band {
    let chart = Fabric::Chart { region: None, edge: 0 };
    let band = Band::new("Chart", chart, Length::Repeats(up), 0);
    Band { technique, ..band.from(Width::Stitches(across * grid.width())) }
}

fn worked(piece: Piece, gauge: Gauge, grid: &Grid) -> Vec<WorkedPiece> {
    let pattern = Pattern { grid, repeat: grid.bounds() };
    work(&[piece], &Size::one_size(), gauge, &pattern).unwrap()
}

fn yarn(pieces: &[WorkedPiece], gauge: Gauge, grid: &Grid, change: Option<YarnChange>) -> PiecesYarn {
    let stock = SlotYarn {
        put_up: PutUp::new(400.0, 50.0).unwrap(),
        ball_price: Price::new(4.5).ok(),
        on_hand_m: 10.0,
    };
    PiecesYarn::of(&PiecesYarnInput {
        pieces,
        pattern: Pattern { grid, repeat: grid.bounds() },
        gauge,
        loop_length: LoopLength::from_gauge(gauge),
        loop_source: LoopSource::Model(LoopFibre::Wool),
        float_limit: 5,
        waste_percent: 5.0,
        tail_cm: 15.0,
        swatch_cm: 15.0,
        stocks: &[stock; SLOTS as usize],
        change,
    })
}

proptest! {
    #[test]
    fn shaping_rows_fit_and_are_evenly_spread(rows in 1u32..400, events in 0u32..200, step in 1u32..3) {
        let schedule = Schedule::spread(rows, events, step);
        prop_assert_eq!(schedule.events(), events.min(rows / step));
        let at: Vec<u32> = schedule.rows().collect();
        prop_assert!(at.iter().all(|row| *row >= 1 && *row <= rows && row % step == 0));
        prop_assert!(at.is_sorted() && at.len() == schedule.events() as usize);
        let last = at.last().copied().unwrap_or(0);
        prop_assert_eq!(last + schedule.plain_after, rows);
        prop_assert!(schedule.intervals.len() <= 2);
        if let [short, long] = schedule.intervals[..] {
            prop_assert_eq!(long.every - short.every, step);
        }
    }

    #[test]
    fn changes_across_a_row_use_every_stitch(stitches in 1u32..500, changes in 1u32..500) {
        match evenly_across(stitches, changes) {
            None => prop_assert!(changes > stitches),
            Some(groups) => {
                prop_assert_eq!(groups.iter().map(|g| g.stitches * g.times).sum::<u32>(), stitches);
                prop_assert_eq!(groups.iter().map(|g| g.times).sum::<u32>(), changes);
            }
        }
    }

    #[test]
    fn a_count_keeps_its_repeat_and_is_the_nearest(of in 1u32..60, plus in 0u32..6, wanted in 0.0..500.0f64) {
        let multiple = Multiple::with_edge(of, plus);
        let count = multiple.choose(wanted, Rounding::Nearest);
        prop_assert!(multiple.fits(count));
        let least = f64::from(of + plus);
        prop_assert!((f64::from(count) - wanted.max(least)).abs() <= f64::from(of) / 2.0 + 1e-9);
        let (down, up) = (multiple.choose(wanted, Rounding::Down), multiple.choose(wanted, Rounding::Up));
        prop_assert!(down <= count && count <= up && up - down <= of);
    }

    #[test]
    fn a_tapered_band_has_the_area_of_its_trapezoid(
        from in 4u32..200, to in 4u32..200, rows in 40u32..300, construction in construction()
    ) {
        let gauge = Gauge::new(24.0, 32.0).unwrap();
        let band = Band::new("Taper", Fabric::Plain, Length::Rows(rows), 0)
            .from(Width::Stitches(from))
            .to(Width::Stitches(to), Shaping::PerRow(2));
        let grid = Grid::new(1, 1, Cell::slot(0)).unwrap();
        let piece = &worked(Piece::new("Gore", construction, vec![band]), gauge, &grid)[0];
        let height = piece.height_cm(gauge);
        // Rows that shape two stitches each reach every other count: an odd change ends beside the wish.
        prop_assert!(piece.last_stitches().abs_diff(to) <= 1);
        let to = piece.last_stitches();
        let trapezoid = f64::midpoint(gauge.width(from).get(), gauge.width(to).get()) * height;
        let schedule = &piece.bands[0].schedule;
        let times = |i: usize| schedule.intervals.get(i).map_or(0, |interval| interval.times);
        let step = match (&schedule.intervals[..], construction) {
            ([short, long], _) => long.every - short.every,
            (_, Construction::InTheRound) => 1,
            (_, Construction::Flat) => 2,
        };
        let turned = gauge.width(from.abs_diff(to)).get();
        // The steps stand off the straight edge by half a shaping interval and the even rows at the end; two
        // intervals, one after the other, bend it by the area of the triangle between them.
        let interval = schedule.intervals.last().map_or(0, |i| i.every);
        let steps = turned * gauge.height(interval + step).get() / 2.0;
        let bend = f64::from(times(0) * times(1) * step) / f64::from(schedule.events().max(1));
        let bent = turned * bend * gauge.row_height_cm() / 2.0;
        prop_assert!((piece.area_cm2(gauge) - trapezoid).abs() <= steps + bent + 1e-6);
    }

    #[test]
    fn dropping_a_colour_moves_its_stitches_and_leaves_the_rest(grid in grid(), across in 1u32..6) {
        let gauge = Gauge::new(26.0, 30.0).unwrap();
        let pieces = worked(
            Piece::new("P", Construction::Flat, vec![chart_band(across, 3, Technique::Stranded, &grid)]),
            gauge,
            &grid,
        );
        let before = yarn(&pieces, gauge, &grid, None);
        let after = yarn(&pieces, gauge, &grid, Some(YarnChange::Drop { slot: 1, heir: 0 }));
        prop_assert_eq!(after.colours[1].stitches, 0);
        prop_assert_eq!(after.colours[1].metres(), Estimate::ZERO);
        prop_assert_eq!(after.colours[0].stitches, before.colours[0].stitches + before.colours[1].stitches);
        prop_assert_eq!(after.colours[2].stitches, before.colours[2].stitches);
    }

    #[test]
    fn intarsia_floats_nothing(grid in grid(), across in 1u32..6) {
        let gauge = Gauge::new(26.0, 30.0).unwrap();
        let pieces = worked(
            Piece::new("P", Construction::Flat, vec![chart_band(across, 2, Technique::Stranded, &grid)]),
            gauge,
            &grid,
        );
        let after = yarn(&pieces, gauge, &grid, Some(YarnChange::Technique(Technique::Intarsia)));
        let lines = after.pieces.iter().flat_map(|p| &p.colours).flat_map(|c| &c.lines);
        prop_assert!(lines.into_iter().all(|line| ![LineKind::Floats, LineKind::Catches].contains(&line.kind)));
    }
}
