//! Yarn use behaves on every chart.

use huegauge::chart::{Cell, Grid, Rect};
use huegauge::knit::{Construction, Estimate, Gauge, LoopLength, Technique, YarnUse, YarnUseInput};
use huegauge::yarn::PutUp;
use proptest::prelude::*;

const SLOTS: u8 = 4;

#[derive(Clone, Debug)]
struct Case {
    grid: Grid,
    repeat: Rect,
    gauge: Gauge,
    technique: Technique,
    construction: Construction,
    needle: u32,
    edge: u32,
    up: u32,
    float_limit: u32,
    put_up: PutUp,
}

impl Case {
    fn used(&self) -> YarnUse {
        YarnUse::of(&YarnUseInput {
            grid: &self.grid,
            repeat: self.repeat,
            gauge: self.gauge,
            loop_length: LoopLength::from_gauge(self.gauge),
            technique: self.technique,
            construction: self.construction,
            needle_stitches: self.needle,
            edge_stitches: self.edge,
            edge_slot: 0,
            repeats_up: self.up,
            float_limit: self.float_limit,
            waste_percent: 5.0,
            tail_cm: 15.0,
            swatch_cm: 15.0,
            put_ups: &[self.put_up; SLOTS as usize + 1],
        })
    }
}

fn grid() -> impl Strategy<Value = Grid> {
    // One cell in ten is no stitch; slot SLOTS is never used.
    let cell = prop_oneof![9 => (0..SLOTS).prop_map(Cell::slot), 1 => Just(Cell::NO_STITCH)];
    (1u32..14, 1u32..12).prop_flat_map(move |(width, height)| {
        prop::collection::vec(cell.clone(), (width * height) as usize)
            .prop_map(move |cells| Grid::from_cells(width, height, cells).unwrap())
    })
}

/// A stitch where there was none.
fn filled(cell: Cell) -> Cell {
    if cell == Cell::NO_STITCH { Cell::slot(0) } else { cell }
}

fn cases() -> impl Strategy<Value = Case> {
    let technique = prop::sample::select(Technique::ALL.to_vec());
    let construction = prop::sample::select(Construction::ALL.to_vec());
    let gauge = (5.0..60.0, 1.0..1.5).prop_map(|(s, r): (f64, f64)| Gauge::new(s, s * r).unwrap());
    let put_up = (10.0..900.0, 10.0..250.0).prop_map(|(m, g)| PutUp::new(m, g).unwrap());
    (grid(), gauge, technique, construction, 1u32..300, 0u32..8, 1u32..9, 1u32..8, put_up).prop_map(
        |(grid, gauge, technique, construction, needle, edge, up, float_limit, put_up)| Case {
            repeat: grid.bounds(),
            grid,
            gauge,
            technique,
            construction,
            needle,
            edge,
            up,
            float_limit,
            put_up,
        },
    )
}

fn assert_no_less(more: &YarnUse, less: &YarnUse) -> Result<(), TestCaseError> {
    for (more, less) in more.slots.iter().zip(&less.slots) {
        for (more, less) in [
            (more.metres.low, less.metres.low),
            (more.metres.likely, less.metres.likely),
            (more.metres.high, less.metres.high),
        ] {
            prop_assert!(more >= less - 1e-9, "{more} m < {less} m");
        }
        prop_assert!(more.balls >= less.balls);
    }
    Ok(())
}

proptest! {
    #[test]
    fn more_repeats_never_need_less_yarn(case in cases(), extra in 1u32..40) {
        let used = case.used();
        assert_no_less(&Case { up: case.up + 1, ..case.clone() }.used(), &used)?;
        assert_no_less(&Case { needle: case.needle + extra, ..case }.used(), &used)?;
    }

    #[test]
    fn the_lines_add_up_and_every_range_is_in_order(case in cases()) {
        for slot in &case.used().slots {
            let sum: Estimate = slot.lines.iter().map(|line| line.metres).sum();
            prop_assert!((sum.likely - slot.metres.likely).abs() < 1e-9);
            prop_assert!((sum.high - slot.metres.high).abs() < 1e-9);
            for metres in slot.lines.iter().map(|line| line.metres).chain([slot.metres, slot.grams]) {
                prop_assert!(metres.low <= metres.likely && metres.likely <= metres.high, "{metres:?}");
                prop_assert!(metres.low >= 0.0 && metres.high.is_finite());
            }
            prop_assert!(f64::from(slot.balls) * case.put_up.metres_per_ball() >= slot.metres.high - 1e-6);
        }
    }

    #[test]
    fn a_colour_that_is_not_in_the_repeat_costs_nothing(case in cases()) {
        let used = case.used();
        let counts = case.grid.counts();
        for (slot, used) in used.slots.iter().enumerate() {
            prop_assert_eq!(counts[slot] == 0, used.metres == Estimate::ZERO);
            prop_assert_eq!(counts[slot] == 0, used.balls == 0);
        }
        let shares: f64 = used.slots.iter().map(|slot| slot.share_percent).sum();
        prop_assert!(shares == 0.0 || (shares - 100.0).abs() < 1e-9);
    }

    #[test]
    fn a_repeat_written_out_takes_the_same_yarn(case in cases(), times in 1u32..4) {
        // The chart twice as wide, worked half as often, is the same piece.
        // With gaps in the fabric, intarsia areas may meet in ways that do not repeat from seam to seam.
        let fill = |cell: Cell| if case.technique == Technique::Intarsia { filled(cell) } else { cell };
        let cells = case.grid.cells().iter().map(|cell| fill(*cell)).collect();
        let grid = Grid::from_cells(case.grid.width(), case.grid.height(), cells).unwrap();
        let mut wide = Grid::new(grid.width() * 2, grid.height(), Cell::NO_STITCH).unwrap();
        wide.paste(&grid, (0, 0));
        wide.paste(&grid, (i64::from(grid.width()), 0));
        let needle = wide.width() * times + case.edge;
        let narrow = Case { grid, needle, ..case.clone() };
        let wide = Case { repeat: wide.bounds(), grid: wide, ..narrow.clone() };
        for (narrow, wide) in narrow.used().slots.iter().zip(&wide.used().slots) {
            prop_assert_eq!(narrow.stitches, wide.stitches);
            prop_assert!((narrow.metres.high - wide.metres.high).abs() < 1e-6, "{narrow:?}\n{wide:?}");
        }
    }
}
