//! How much yarn pieces take: per piece and colour, every figure open to its own sum.

use super::count_rows::{begin_count, count_piece, count_repeats};
use super::repeat_rows::Pattern;
use super::worked::WorkedPiece;
use crate::chart::Cell;
use crate::knit::allowance::{Rates, in_range};
use crate::knit::yarn_line::lines;
use crate::knit::{
    Amount, Cause, ColourCounts, Estimate, Gauge, LOOP_LENGTH_STRANDED, LineKind, LoopLength, LoopSource,
    RowUses, Technique, YarnLine,
};
use crate::units::Price;
use crate::yarn::{PutUp, SlotYarn};

/// A change whose effect on the yarn is asked for before it is made.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum YarnChange {
    /// A colour is dropped and its stitches go to another.
    Drop {
        /// The slot that goes.
        slot: usize,
        /// The slot that takes its stitches.
        heir: usize,
    },
    /// Every band of several colours is worked this way.
    Technique(Technique),
}

/// What the yarn is worked out from.
#[derive(Clone, Copy, Debug)]
pub struct PiecesYarnInput<'a> {
    /// The pieces in one size.
    pub pieces: &'a [WorkedPiece],
    /// The chart they repeat.
    pub pattern: Pattern<'a>,
    /// Washed gauge.
    pub gauge: Gauge,
    /// Yarn in one stitch.
    pub loop_length: LoopLength,
    /// What that rests on.
    pub loop_source: LoopSource,
    /// The longest float left uncaught, in stitches; 0 counts as 1.
    pub float_limit: u32,
    /// Waste and knots in per cent, `0..=100`.
    pub waste_percent: f64,
    /// Loose end at each join, in cm.
    pub tail_cm: f64,
    /// Side of the square swatch knitted first, in cm; 0 for none. The chart's colours share it as they
    /// share its repeat; without a chart, as they share the pieces.
    pub swatch_cm: f64,
    /// One entry per palette slot.
    pub stocks: &'a [SlotYarn],
    /// A change to try out.
    pub change: Option<YarnChange>,
}

/// One colour of one piece, all copies together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PieceColour {
    /// Stitches of all copies.
    pub stitches: u64,
    /// The sum, line by line; lines of nothing are left out.
    pub lines: Vec<YarnLine>,
}

impl PieceColour {
    /// Metres, with what they may be off by: the lines together.
    pub fn amount(&self) -> Amount {
        self.lines.iter().map(|line| line.amount).sum()
    }

    /// Metres: low, likely, high.
    pub fn metres(&self) -> Estimate {
        self.amount().estimate()
    }
}

/// The yarn of one piece, all copies together.
#[derive(Clone, Debug, PartialEq)]
pub struct PieceYarn {
    /// What the knitter calls it.
    pub name: String,
    /// How many are knitted.
    pub copies: u32,
    /// Per palette slot.
    pub colours: Vec<PieceColour>,
}

/// One colour over all pieces.
#[derive(Clone, Debug, PartialEq)]
pub struct ColourYarn {
    /// Stitches.
    pub stitches: u64,
    /// These in per cent of all stitches, `0..=100`.
    pub share_percent: f64,
    /// Strands (or intarsia areas), each with two ends to weave in.
    pub strands: u64,
    /// What is added to the pieces: joining balls, swatch, waste, what the bands leave open.
    pub added: Vec<YarnLine>,
    /// Metres, with what they may be off by: pieces and additions together.
    pub amount: Amount,
    /// How it is sold.
    pub put_up: PutUp,
    /// Price of a ball, when known.
    pub ball_price: Option<Price>,
    /// Metres to buy: the high figure less what is on hand.
    pub to_buy_m: f64,
    /// Whole balls that hold these.
    pub balls: u32,
    /// Their price, when known.
    pub cost: Option<Price>,
}

impl ColourYarn {
    /// The same with this much on hand, in metres.
    fn with_on_hand(mut self, on_hand_m: f64) -> Self {
        self.to_buy_m = (self.amount.estimate().high - on_hand_m).max(0.0);
        self.balls = self.put_up.balls(self.to_buy_m);
        self.cost = self.ball_price.map(|price| price.of_balls(self.balls));
        self
    }

    /// Metres: low, likely, high.
    pub fn metres(&self) -> Estimate {
        self.amount.estimate()
    }

    /// Grams of these.
    pub fn grams(&self) -> Estimate {
        self.gram_amount().estimate()
    }

    /// Grams, with what they may be off by.
    fn gram_amount(&self) -> Amount {
        self.amount * self.put_up.grams(1.0)
    }
}

/// The yarn of all pieces.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PiecesYarn {
    /// In the order of the pieces.
    pub pieces: Vec<PieceYarn>,
    /// Per palette slot.
    pub colours: Vec<ColourYarn>,
}

impl PiecesYarn {
    /// The yarn of `input`. A piece whose chart part holds no stitch, and cells of a slot without a
    /// stock, are passed over.
    pub fn of(input: &PiecesYarnInput) -> Self {
        Self::after(input, input.gauge, &mut RowUses::default())
    }

    /// The yarn of `input` when its pieces were counted out at another gauge and are to be the same in cm, with
    /// the same colours on the same areas, at that of `input`; with the rows that an earlier count left in `uses`.
    pub fn after(input: &PiecesYarnInput, counted_at: Gauge, uses: &mut RowUses) -> Self {
        begin_count(input, uses);
        let across = input.gauge.stitches.get() / counted_at.stitches.get();
        let up = input.gauge.rows.get() / counted_at.rows.get();
        let regauge = |counts: Vec<ColourCounts>| -> Vec<ColourCounts> {
            if input.gauge == counted_at {
                return counts;
            }
            counts.iter().map(|counts| counts.regauged(across, up)).collect()
        };
        let rates = Rates {
            gauge: input.gauge,
            loop_length: input.loop_length,
            source: input.loop_source,
            tail_cm: input.tail_cm,
            waste_percent: input.waste_percent,
        };
        let slots = input.stocks.len().min(Cell::MAX_SLOTS);
        let counted =
            input.pieces.iter().filter_map(|piece| Some((piece, regauge(count_piece(piece, input, uses)?))));
        let counted: Vec<(&WorkedPiece, Vec<ColourCounts>)> = counted.collect();
        let piece = |(piece, counts): &(&WorkedPiece, Vec<ColourCounts>)| PieceYarn {
            name: piece.name.clone(),
            copies: piece.copies,
            colours: counts[..slots].iter().map(|counts| piece_colour(counts, &rates)).collect(),
        };
        let pieces: Vec<PieceYarn> = counted.iter().map(piece).collect();
        let swatch = Swatch::of(input, &pieces, uses);
        let total: u64 = pieces.iter().flat_map(|p| &p.colours).map(|c| c.stitches).sum();
        let colour = |(slot, stock): (usize, &SlotYarn)| {
            let parts: Vec<&PieceColour> = pieces.iter().map(|piece| &piece.colours[slot]).collect();
            let strands = counted.iter().map(|(_, counts)| counts[slot].strands);
            let stitches: u64 = parts.iter().map(|part| part.stitches).sum();
            let worked: Amount = parts.iter().map(|part| part.amount()).sum();
            let added = added(&worked, swatch.line(slot, &parts, &rates), stock, &rates);
            let amount = worked + added.iter().map(|line| line.amount).sum();
            let none = ColourYarn {
                stitches,
                share_percent: if total > 0 { stitches as f64 / total as f64 * 100.0 } else { 0.0 },
                strands: strands.sum(),
                added,
                amount,
                put_up: stock.put_up,
                ball_price: stock.ball_price,
                to_buy_m: 0.0,
                balls: 0,
                cost: None,
            };
            none.with_on_hand(in_range(stock.on_hand_m, f64::MAX))
        };
        let colours = input.stocks.iter().enumerate().take(slots).map(colour).collect();
        Self { pieces, colours }
    }

    /// The same yarn, bought by somebody who has none of it on hand.
    #[must_use]
    pub fn with_none_on_hand(&self) -> Self {
        let colours = self.colours.iter().map(|colour| colour.clone().with_on_hand(0.0)).collect();
        Self { pieces: self.pieces.clone(), colours }
    }

    /// Metres of a colour that go into the pieces, without what is added to them.
    pub fn knitted(&self, slot: usize) -> Estimate {
        self.knitted_amount(slot).estimate()
    }

    /// Metres of all colours that go into the pieces.
    pub fn all_knitted(&self) -> Estimate {
        (0..self.colours.len()).map(|slot| self.knitted_amount(slot)).sum::<Amount>().estimate()
    }

    fn knitted_amount(&self, slot: usize) -> Amount {
        self.pieces.iter().filter_map(|piece| piece.colours.get(slot)).map(PieceColour::amount).sum()
    }

    /// Metres of all colours together.
    pub fn metres(&self) -> Estimate {
        self.colours.iter().map(|colour| colour.amount).sum::<Amount>().estimate()
    }

    /// Grams of all colours together.
    pub fn grams(&self) -> Estimate {
        self.colours.iter().map(ColourYarn::gram_amount).sum::<Amount>().estimate()
    }

    /// Balls of all colours together.
    pub fn balls(&self) -> u64 {
        self.colours.iter().map(|colour| u64::from(colour.balls)).sum()
    }

    /// The price of all balls to buy; `None` while a colour that is bought has no price.
    pub fn cost(&self) -> Option<Price> {
        self.colours.iter().filter(|colour| colour.balls > 0).map(|colour| colour.cost).sum()
    }

    /// What to say beside the figures when they rest on constants that were not measured on such fabric.
    pub fn caveat(&self) -> Option<&'static str> {
        let lines = || self.pieces.iter().flat_map(|piece| &piece.colours).flat_map(|colour| &colour.lines);
        let stranded = lines().any(|line| line.kind == LineKind::Floats);
        let modelled = lines().any(|line| line.amount.reach(Cause::Structure).high > 0.0);
        (stranded && modelled).then_some(LOOP_LENGTH_STRANDED)
    }

    /// The lines of one colour's sum: for each the piece it belongs to, or `None` for what is added to all.
    pub fn lines(&self, slot: usize) -> Vec<(Option<&str>, YarnLine)> {
        let in_pieces = self.pieces.iter().flat_map(move |piece| {
            let lines = piece.colours.get(slot).map_or(&[][..], |colour| &colour.lines);
            lines.iter().map(move |line| (Some(piece.name.as_str()), *line))
        });
        let added = self.colours.get(slot).map_or(&[][..], |colour| &colour.added);
        in_pieces.chain(added.iter().map(|line| (None, *line))).collect()
    }

    /// The lines of one colour's sum, one of a kind: all pieces together.
    pub fn lines_by_kind(&self, slot: usize) -> Vec<YarnLine> {
        let lines = self.lines(slot);
        let of_kind = |kind| {
            let mut own = lines.iter().filter(|(_, line)| line.kind == kind).map(|(_, line)| *line);
            let first = own.next()?;
            Some(own.fold(first, |sum, line| YarnLine {
                count: sum.count + line.count,
                amount: sum.amount + line.amount,
                ..sum
            }))
        };
        LineKind::ALL.into_iter().filter_map(of_kind).collect()
    }
}

fn piece_colour(counts: &ColourCounts, rates: &Rates) -> PieceColour {
    PieceColour { stitches: counts.stitches(), lines: lines(counts, rates) }
}

/// The swatch that is knitted first, and how the colours share it.
struct Swatch {
    /// Stitches in all.
    stitches: f64,
    /// One repeat of the chart per slot, when a chart is worked.
    repeat: Option<Vec<ColourCounts>>,
    /// Stitches the shares are of: the repeat's, else all of the pieces'.
    of: f64,
}

impl Swatch {
    fn of(input: &PiecesYarnInput, pieces: &[PieceYarn], uses: &mut RowUses) -> Self {
        let worked = |slot: usize| -> u64 {
            pieces.iter().filter_map(|piece| piece.colours.get(slot)).map(|colour| colour.stitches).sum()
        };
        let mut repeat = count_repeats(input, uses);
        // A swatch has no colour that the pieces have not (of a repeat that does not fit on the needle).
        for (slot, counts) in repeat.iter_mut().flatten().enumerate() {
            if worked(slot) == 0 {
                *counts = ColourCounts::default();
            }
        }
        let of: u64 = match &repeat {
            Some(counts) => counts.iter().map(ColourCounts::stitches).sum(),
            None => (0..input.stocks.len()).map(worked).sum(),
        };
        let cell_cm2 = input.gauge.stitch_width_cm() * input.gauge.row_height_cm();
        let stitches = if of > 0 { in_range(input.swatch_cm, 1_000.0).powi(2) / cell_cm2 } else { 0.0 };
        Self { stitches, repeat, of: of.max(1) as f64 }
    }

    /// A colour's part: so many of its stitches, with the floats that go with them.
    fn line(&self, slot: usize, parts: &[&PieceColour], rates: &Rates) -> YarnLine {
        let share = self.stitches / self.of;
        let fabric = [LineKind::Stitches, LineKind::Ribbing, LineKind::Floats, LineKind::Catches];
        let in_fabric = |lines: &[YarnLine]| -> Amount {
            lines.iter().filter(|line| fabric.contains(&line.kind)).map(|line| line.amount).sum()
        };
        let (stitches, amount) = match &self.repeat {
            Some(counts) => (counts[slot].stitches(), in_fabric(&lines(&counts[slot], rates))),
            None => (
                parts.iter().map(|part| part.stitches).sum(),
                parts.iter().map(|part| in_fabric(&part.lines)).sum(),
            ),
        };
        YarnLine { kind: LineKind::Swatch, count: stitches as f64 * share, amount: amount * share }
    }
}

/// What is added to the pieces of a colour.
fn added(worked: &Amount, swatch: YarnLine, stock: &SlotYarn, rates: &Rates) -> Vec<YarnLine> {
    let per_ball = stock.put_up.metres_per_ball();
    let joins = YarnLine {
        kind: LineKind::NewBalls,
        count: (worked.likely / per_ball).floor(),
        amount: rates.new_balls(worked, per_ball),
    };
    let before_waste = *worked + joins.amount + swatch.amount;
    let waste = YarnLine {
        kind: LineKind::Waste,
        count: in_range(rates.waste_percent, 100.0),
        amount: rates.waste(before_waste),
    };
    let band = YarnLine {
        kind: LineKind::BallLength,
        count: Rates::LABEL_PERCENT,
        amount: Rates::label(&(before_waste + waste.amount)),
    };
    [joins, swatch, waste, band].into_iter().filter(YarnLine::is_something).collect()
}
