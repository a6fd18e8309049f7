//! How much of each colour a piece takes, every figure open to its own sum.

use super::allowance::{Rates, in_range};
use super::estimate::Estimate;
use super::loop_length::LoopLength;
use super::making::{Construction, Technique};
use super::row_use::{self, Counts, Plan, SlotCounts};
use crate::chart::{Cell, Grid, Rect};
use crate::units::Gauge;
use crate::yarn::PutUp;

/// What is knitted, and how.
#[derive(Clone, Copy, Debug)]
pub struct YarnUseInput<'a> {
    /// The chart.
    pub grid: &'a Grid,
    /// The repeat; what lies outside the chart is left off.
    pub repeat: Rect,
    /// Washed gauge.
    pub gauge: Gauge,
    /// Yarn in one stitch: from the gauge, or from a weighed swatch.
    pub loop_length: LoopLength,
    /// How the colours are worked. A row of several colours in a striped piece can only be worked
    /// stranded, and is counted so.
    pub technique: Technique,
    /// Rounds or turned rows.
    pub construction: Construction,
    /// Stitches on the needle.
    pub needle_stitches: u32,
    /// Stitches of these outside the repeats.
    pub edge_stitches: u32,
    /// The palette slot of the edge stitches; a row without it takes its most used colour.
    pub edge_slot: usize,
    /// How often the repeat is worked upwards; 0 counts as 1.
    pub repeats_up: u32,
    /// The longest float left uncaught, in stitches; 0 counts as 1.
    pub float_limit: u32,
    /// Waste and knots in per cent, `0..=100`.
    pub waste_percent: f64,
    /// Loose end at each join, in cm.
    pub tail_cm: f64,
    /// Side of the square swatch knitted first in the colours of the repeat, in cm; 0 for none.
    pub swatch_cm: f64,
    /// How the yarn of each palette slot is sold, one per slot.
    pub put_ups: &'a [PutUp],
}

impl YarnUseInput<'_> {
    const fn rates(&self) -> Rates {
        Rates {
            gauge: self.gauge,
            loop_length: self.loop_length,
            tail_cm: self.tail_cm,
            waste_percent: self.waste_percent,
        }
    }
}

/// One line of a colour's sum.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Line {
    /// What the yarn is for; one of the constants of this type.
    pub what: &'static str,
    /// Metres.
    pub metres: Estimate,
}

impl Line {
    /// The stitches themselves, at the loop length.
    pub const STITCHES: &str = "Stitches";
    /// Yarn that travels behind the stitches of other colours.
    pub const FLOATS: &str = "Floats";
    /// Long floats caught on the way.
    pub const CATCHES: &str = "Catches";
    /// Yarn carried up the edge while the colour rests.
    pub const CARRIED_UP: &str = "Carried up the edge";
    /// Casting on.
    pub const CAST_ON: &str = "Cast-on";
    /// Binding off.
    pub const BIND_OFF: &str = "Bind-off";
    /// Two loose ends for each strand or area.
    pub const TAILS: &str = "Tails at joins";
    /// Two loose ends for each ball after the first.
    pub const NEW_BALLS: &str = "Joining new balls";
    /// The swatch.
    pub const SWATCH: &str = "Swatch";
    /// Waste and knots.
    pub const WASTE: &str = "Waste and knots";
}

/// The yarn of one colour.
#[derive(Clone, Debug, PartialEq)]
pub struct SlotUse {
    /// Stitches of the piece in this colour, to the nearest whole one.
    pub stitches: u64,
    /// Stitches of one repeat in this colour.
    pub repeat_stitches: u32,
    /// The piece's in per cent of all its stitches, `0..=100`.
    pub share_percent: f64,
    /// Strands (or intarsia areas), each with two ends to weave in.
    pub strands: u64,
    /// The sum, line by line; lines of nothing are left out.
    pub lines: Vec<Line>,
    /// Metres: the lines together.
    pub metres: Estimate,
    /// Grams of these.
    pub grams: Estimate,
    /// Whole balls that hold the high figure.
    pub balls: u32,
}

/// The yarn of a piece, one entry per palette slot.
#[derive(Clone, Debug, PartialEq)]
pub struct YarnUse {
    /// Per palette slot.
    pub slots: Vec<SlotUse>,
    /// How often the repeat goes around; may be a fraction.
    pub repeats_around: f64,
}

impl YarnUse {
    /// The yarn of `input`. Cells of a slot without a put-up are passed over.
    pub fn of(input: &YarnUseInput) -> Self {
        let repeat = input.repeat.intersect(input.grid.bounds());
        let edge = input.edge_stitches.min(input.needle_stitches);
        let around = f64::from(input.needle_stitches - edge) / f64::from(repeat.width.max(1));
        let plan = Plan {
            technique: input.technique,
            construction: input.construction,
            around,
            up: f64::from(input.repeats_up.max(1)),
            edge: f64::from(edge),
            edge_slot: input.edge_slot.min(Cell::MAX_SLOTS - 1),
            float_limit: input.float_limit.max(1),
        };
        let counts = row_use::count(input.grid, repeat, plan);
        let total: f64 = counts.slots.iter().map(|slot| slot.stitches).sum();
        let repeat_total: f64 = counts.slots.iter().map(|slot| slot.repeat_stitches).sum();
        let sums = Sums { input, counts: &counts, repeat_total };
        let slots = input.put_ups.iter().enumerate().take(Cell::MAX_SLOTS);
        let slots = slots.map(|(slot, put_up)| {
            let stitches = counts.slots[slot].stitches;
            let lines = sums.lines(slot, *put_up);
            let metres = lines.iter().map(|line| line.metres).sum::<Estimate>();
            SlotUse {
                stitches: stitches.round() as u64,
                repeat_stitches: counts.slots[slot].repeat_stitches as u32,
                share_percent: if total > 0.0 { stitches / total * 100.0 } else { 0.0 },
                strands: counts.slots[slot].strands.ceil() as u64,
                lines,
                metres,
                grams: metres.map(|m| put_up.grams(m)),
                balls: put_up.balls(metres.high),
            }
        });
        Self { slots: slots.collect(), repeats_around: around }
    }

    /// Metres of all colours together.
    pub fn metres(&self) -> Estimate {
        self.slots.iter().map(|slot| slot.metres).sum()
    }

    /// Grams of all colours together.
    pub fn grams(&self) -> Estimate {
        self.slots.iter().map(|slot| slot.grams).sum()
    }
}

/// From counts to metres.
struct Sums<'a> {
    input: &'a YarnUseInput<'a>,
    counts: &'a Counts,
    repeat_total: f64,
}

impl Sums<'_> {
    fn lines(&self, slot: usize, put_up: PutUp) -> Vec<Line> {
        let counts = &self.counts.slots[slot];
        if counts.repeat_stitches == 0.0 {
            return Vec::new();
        }
        let input = self.input;
        let rates = input.rates();
        let row = f64::from(input.needle_stitches);
        let edge = |colour: Option<usize>, metres: Estimate| {
            if colour == Some(slot) { metres } else { Estimate::ZERO }
        };
        let mut lines = vec![
            (Line::STITCHES, rates.stitches(counts.stitches)),
            (Line::FLOATS, rates.floats(counts.carried)),
            (Line::CATCHES, rates.catches(counts.catches)),
            (Line::CARRIED_UP, rates.carried_up(counts.carried_up)),
            (Line::CAST_ON, edge(self.counts.cast_on, rates.cast_on(row))),
            (Line::BIND_OFF, edge(self.counts.bind_off, rates.bind_off(row))),
            (Line::TAILS, rates.tails(counts.strands)),
        ];
        let sum = |lines: &[(_, Estimate)]| lines.iter().map(|line| line.1).sum::<Estimate>();
        lines.push((Line::NEW_BALLS, rates.new_balls(sum(&lines), put_up.metres_per_ball())));
        lines.push((Line::SWATCH, self.swatch(counts)));
        lines.push((Line::WASTE, rates.waste(sum(&lines))));
        let used = lines.into_iter().filter(|(_, metres)| metres.high > 0.0);
        used.map(|(what, metres)| Line { what, metres }).collect()
    }

    /// The colour's part of the swatch: as many of the repeat's stitches as fit in it.
    fn swatch(&self, counts: &SlotCounts) -> Estimate {
        let side = in_range(self.input.swatch_cm, 1_000.0);
        let gauge = self.input.gauge;
        let repeats = side * side / (gauge.stitch_width_cm() * gauge.row_height_cm()) / self.repeat_total;
        let rates = self.input.rates();
        let one = rates.stitches(counts.repeat_stitches) + rates.floats(counts.repeat_carried);
        one * repeats
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn put_ups() -> [PutUp; 3] {
        [PutUp::new(400.0, 50.0).unwrap(); 3]
    }

    fn input<'a>(grid: &'a Grid, put_ups: &'a [PutUp]) -> YarnUseInput<'a> {
        let gauge = Gauge::new(30.0, 32.0).unwrap();
        YarnUseInput {
            grid,
            repeat: grid.bounds(),
            gauge,
            loop_length: LoopLength::from_gauge(gauge),
            technique: Technique::Stranded,
            construction: Construction::InTheRound,
            needle_stitches: 240,
            edge_stitches: 0,
            edge_slot: 0,
            repeats_up: 10,
            float_limit: 5,
            waste_percent: 5.0,
            tail_cm: 15.0,
            swatch_cm: 15.0,
            put_ups,
        }
    }

    fn two_colours() -> Grid {
        let cells = [0, 0, 1, 0, 1, 1, 0, 1].map(Cell::slot);
        Grid::from_cells(4, 2, cells.to_vec()).unwrap()
    }

    fn line(use_: &SlotUse, what: &str) -> Estimate {
        use_.lines.iter().find(|line| line.what == what).map_or(Estimate::ZERO, |line| line.metres)
    }

    #[test]
    fn a_colour_opens_into_its_own_sum() {
        let (grid, put_ups) = (two_colours(), put_ups());
        let input = input(&grid, &put_ups);
        let used = YarnUse::of(&input);
        let ground = &used.slots[0];
        assert_eq!(used.repeats_around, 60.0);
        assert_eq!(ground.stitches, 4 * 60 * 10);
        assert_eq!(ground.share_percent, 50.0);
        let stitches = line(ground, Line::STITCHES);
        assert!((stitches.likely - 2400.0 * input.loop_length.likely / 100.0).abs() < 1e-9);
        // Carried behind the other 2400, a third of a cm each, with 5 to 10 % of slack.
        assert!((line(ground, Line::FLOATS).low - 2400.0 / 3.0 * 1.05 / 100.0).abs() < 1e-9);
        // 80 cm around.
        assert!((line(ground, Line::CAST_ON).low - 2.4).abs() < 1e-9);
        assert_eq!(line(ground, Line::TAILS), Estimate::exact(0.3));
        let all: Estimate = ground.lines.iter().map(|line| line.metres).sum();
        assert_eq!(all, ground.metres);
        assert_eq!(ground.balls, put_ups[0].balls(ground.metres.high));
        assert!((ground.grams.likely - ground.metres.likely / 4.0).abs() < 1e-9);
    }

    #[test]
    fn a_colour_that_is_not_used_costs_nothing() {
        let (grid, put_ups) = (two_colours(), put_ups());
        let unused = YarnUse::of(&input(&grid, &put_ups)).slots[2].clone();
        assert_eq!((unused.stitches, unused.balls, unused.strands), (0, 0, 0));
        assert!(unused.lines.is_empty());
        assert_eq!(unused.metres, Estimate::ZERO);
    }

    #[test]
    fn every_ball_after_the_first_is_joined() {
        let (grid, put_ups) = (two_colours(), [PutUp::new(100.0, 20.0).unwrap(); 2]);
        let used = YarnUse::of(&input(&grid, &put_ups));
        // About 44 m of piece from balls of 20 m: two joins.
        assert_eq!(line(&used.slots[0], Line::NEW_BALLS).likely, 2.0 * 0.3);
    }

    #[test]
    fn intarsia_has_tails_for_floats() {
        let cells = [0, 1, 1, 0, 0, 1, 1, 0].map(Cell::slot);
        let (grid, put_ups) = (Grid::from_cells(4, 2, cells.to_vec()).unwrap(), put_ups());
        let input = YarnUseInput {
            technique: Technique::Intarsia,
            construction: Construction::Flat,
            needle_stitches: 12,
            repeats_up: 5,
            ..input(&grid, &put_ups)
        };
        let used = YarnUse::of(&input);
        assert_eq!(line(&used.slots[1], Line::FLOATS), Estimate::ZERO);
        assert_eq!((used.slots[0].strands, used.slots[1].strands), (4, 3));
        assert_eq!(line(&used.slots[1], Line::TAILS), Estimate::exact(0.9));
    }

    #[test]
    fn nonsense_gives_finite_figures() {
        let (grid, put_ups) = (two_colours(), put_ups());
        let input = YarnUseInput {
            repeat: Rect::new(90, 90, 4, 4),
            edge_slot: usize::MAX,
            edge_stitches: u32::MAX,
            repeats_up: 0,
            float_limit: 0,
            waste_percent: f64::NAN,
            tail_cm: f64::INFINITY,
            swatch_cm: -1.0,
            ..input(&grid, &put_ups)
        };
        assert_eq!(YarnUse::of(&input).metres(), Estimate::ZERO);
        let used = YarnUse::of(&YarnUseInput { repeat: grid.bounds(), ..input });
        assert!(used.metres().high.is_finite() && used.metres().low > 0.0);
    }
}
