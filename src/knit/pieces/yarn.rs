//! How much yarn the pieces take: per piece and colour, every figure open to its own sum.

use super::count_rows::{PieceCounts, count_piece};
use super::repeat_rows::Pattern;
use super::worked::WorkedPiece;
use crate::chart::Cell;
use crate::knit::allowance::{Rates, in_range};
use crate::knit::{Estimate, Gauge, LoopLength, Technique};
use crate::yarn::PutUp;

/// The yarn of one palette slot: how it is sold, what it costs, and what lies in the basket already.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Stock {
    /// Metres per 100 g and grams per ball.
    pub put_up: PutUp,
    /// Price of one ball, when known.
    pub ball_price: Option<f64>,
    /// Metres on hand, 0 or more.
    pub on_hand_m: f64,
}

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
    /// Yarn in one stitch: from the gauge, or from a weighed swatch.
    pub loop_length: LoopLength,
    /// The longest float left uncaught, in stitches; 0 counts as 1.
    pub float_limit: u32,
    /// Waste and knots in per cent, `0..=100`.
    pub waste_percent: f64,
    /// Loose end at each join, in cm.
    pub tail_cm: f64,
    /// Side of the square swatch knitted first, in the shares of the pieces, in cm; 0 for none.
    pub swatch_cm: f64,
    /// One entry per palette slot.
    pub stocks: &'a [Stock],
    /// A change to try out.
    pub change: Option<YarnChange>,
}

/// One line of a sum: so many of something, at so much yarn each.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Item {
    /// What the yarn is for; one of the constants of this type.
    pub what: &'static str,
    /// How many.
    pub count: f64,
    /// Of what, plural, e.g. `stitches`.
    pub of: &'static str,
    /// Metres in all.
    pub metres: Estimate,
}

impl Item {
    /// Plain and chart stitches.
    pub const STITCHES: &str = "Stitches";
    /// Stitches of ribbing.
    pub const RIBBING: &str = "Ribbing";
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
    /// Grafting the last stitches to each other.
    pub const GRAFTING: &str = "Grafting";
    /// Two loose ends for each strand or area.
    pub const TAILS: &str = "Tails at joins";
    /// Two loose ends for each ball after the first.
    pub const NEW_BALLS: &str = "Joining new balls";
    /// The swatch.
    pub const SWATCH: &str = "Swatch";
    /// Waste and knots.
    pub const WASTE: &str = "Waste and knots";

    /// Yarn of each one, in cm; nothing of nothing.
    pub fn each_cm(self) -> Estimate {
        if self.count > 0.0 { self.metres * (100.0 / self.count) } else { Estimate::ZERO }
    }

    /// How many of what, e.g. `1 stitch`, `5 per cent`.
    pub fn counted(self) -> String {
        let of = match (self.count.round() as u64, self.of) {
            (1, "stitches") => "stitch",
            (1, "stitches passed") => "stitch passed",
            (1, "catches") => "catch",
            (1, "rows") => "row",
            (1, "pairs of ends") => "pair of ends",
            (_, of) => of,
        };
        format!("{:.0} {of}", self.count)
    }

    /// Why the figure has a range; empty when it has none.
    pub fn reason(self) -> &'static str {
        match self.what {
            Self::STITCHES | Self::SWATCH => {
                "How far the fabric has relaxed is not known (or the swatch was weighed to whole grams)."
            }
            Self::RIBBING => "As for stitches, and ribs are worked tighter or looser than plain knit.",
            Self::FLOATS | Self::CARRIED_UP => "Floats are left 5 to 10 % slack.",
            Self::CATCHES => "A catch may be pulled tight or lie loose.",
            Self::CAST_ON | Self::BIND_OFF => "Ways of casting on and binding off differ.",
            Self::WASTE | Self::NEW_BALLS | Self::GRAFTING => "A share of the figures above.",
            _ => "",
        }
    }
}

/// One colour of one piece, all copies together.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PieceColour {
    /// Stitches of all copies.
    pub stitches: u64,
    /// The sum, line by line; lines of nothing are left out.
    pub items: Vec<Item>,
    /// The lines together.
    pub metres: Estimate,
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
    /// What is added to the pieces: joining balls, swatch, waste.
    pub added: Vec<Item>,
    /// Pieces and additions together.
    pub metres: Estimate,
    /// Grams of these.
    pub grams: Estimate,
    /// Metres to buy: the high figure less what is on hand.
    pub to_buy_m: f64,
    /// Whole balls that hold these.
    pub balls: u32,
    /// Their price, when known.
    pub cost: Option<f64>,
}

/// The yarn of all pieces.
#[derive(Clone, Debug, PartialEq)]
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
        let rates = Rates {
            gauge: input.gauge,
            loop_length: input.loop_length,
            tail_cm: input.tail_cm,
            waste_percent: input.waste_percent,
        };
        let slots = input.stocks.len().min(Cell::MAX_SLOTS);
        let pieces: Vec<PieceYarn> = input
            .pieces
            .iter()
            .filter_map(|piece| {
                let counts = count_piece(piece, input)?;
                let colours = (0..slots).map(|slot| piece_colour(piece, &counts, slot, &rates)).collect();
                Some(PieceYarn { name: piece.name.clone(), copies: piece.copies, colours })
            })
            .collect();
        let cells_cm2 = input.gauge.stitch_width_cm() * input.gauge.row_height_cm();
        let total: u64 = pieces.iter().flat_map(|p| &p.colours).map(|c| c.stitches).sum();
        let swatch = in_range(input.swatch_cm, 1_000.0).powi(2) / cells_cm2 / (total.max(1) as f64);
        let colour = |(slot, stock): (usize, &Stock)| {
            let parts: Vec<&PieceColour> = pieces.iter().map(|piece| &piece.colours[slot]).collect();
            colour_yarn(&parts, stock, total, swatch, &rates)
        };
        let colours = input.stocks.iter().enumerate().take(slots).map(colour).collect();
        Self { pieces, colours }
    }

    /// Metres of all colours together.
    pub fn metres(&self) -> Estimate {
        self.colours.iter().map(|colour| colour.metres).sum()
    }

    /// Grams of all colours together.
    pub fn grams(&self) -> Estimate {
        self.colours.iter().map(|colour| colour.grams).sum()
    }

    /// The price of all balls to buy; `None` while a colour that is bought has no price.
    pub fn cost(&self) -> Option<f64> {
        self.colours.iter().filter(|colour| colour.balls > 0).map(|colour| colour.cost).sum()
    }
}

fn piece_colour(piece: &WorkedPiece, counts: &PieceCounts, slot: usize, rates: &Rates) -> PieceColour {
    let copies = f64::from(piece.copies);
    let colour = counts.colours[slot];
    let edge = |what: Option<(usize, u32)>| match what {
        Some((edge_slot, stitches)) if edge_slot == slot => f64::from(stitches) * copies,
        _ => 0.0,
    };
    let item = |what, count: f64, of, metres: fn(&Rates, f64) -> Estimate| Item {
        what,
        count,
        of,
        metres: metres(rates, count),
    };
    let items = [
        item(Item::STITCHES, colour.plain * copies, "stitches", Rates::stitches),
        item(Item::RIBBING, colour.ribbing * copies, "stitches", Rates::ribbing),
        item(Item::FLOATS, colour.carried * copies, "stitches passed", Rates::floats),
        item(Item::CATCHES, colour.catches * copies, "catches", Rates::catches),
        item(Item::CARRIED_UP, colour.carried_up * copies, "rows", Rates::carried_up),
        item(Item::CAST_ON, edge(counts.cast_on), "stitches", Rates::cast_on),
        item(Item::BIND_OFF, edge(counts.bind_off), "stitches", Rates::bind_off),
        // Each grafted stitch is one stitch of a new row.
        item(Item::GRAFTING, edge(counts.grafted), "stitches", Rates::stitches),
        item(Item::TAILS, colour.strands * copies, "pairs of ends", Rates::tails),
    ];
    let items: Vec<Item> = items.into_iter().filter(|item| item.metres.high > 0.0).collect();
    PieceColour {
        stitches: ((colour.plain + colour.ribbing) * copies).round() as u64,
        metres: items.iter().map(|item| item.metres).sum(),
        items,
    }
}

fn colour_yarn(
    parts: &[&PieceColour],
    stock: &Stock,
    total: u64,
    swatch_share: f64,
    rates: &Rates,
) -> ColourYarn {
    let stitches: u64 = parts.iter().map(|part| part.stitches).sum();
    let worked: Estimate = parts.iter().map(|part| part.metres).sum();
    let fabric = [Item::STITCHES, Item::RIBBING, Item::FLOATS, Item::CATCHES];
    let in_fabric = parts.iter().flat_map(|part| &part.items).filter(|item| fabric.contains(&item.what));
    let in_fabric: Estimate = in_fabric.map(|item| item.metres).sum();
    let per_ball = stock.put_up.metres_per_ball();
    let new_balls = rates.new_balls(worked, per_ball);
    let swatch = in_fabric * swatch_share;
    let waste = rates.waste(worked + new_balls + swatch);
    let joins = (worked.likely / per_ball).floor();
    let added = [
        Item { what: Item::NEW_BALLS, count: joins, of: "pairs of ends", metres: new_balls },
        Item { what: Item::SWATCH, count: stitches as f64 * swatch_share, of: "stitches", metres: swatch },
        Item { what: Item::WASTE, count: rates.waste_percent, of: "per cent", metres: waste },
    ];
    let added: Vec<Item> = added.into_iter().filter(|item| item.metres.high > 0.0).collect();
    let metres = worked + added.iter().map(|item| item.metres).sum();
    let to_buy_m = (metres.high - in_range(stock.on_hand_m, f64::MAX)).max(0.0);
    let balls = stock.put_up.balls(to_buy_m);
    ColourYarn {
        stitches,
        share_percent: if total > 0 { stitches as f64 / total as f64 * 100.0 } else { 0.0 },
        added,
        metres,
        grams: metres.map(|m| stock.put_up.grams(m)),
        to_buy_m,
        balls,
        cost: stock.ball_price.map(|price| price * f64::from(balls)),
    }
}
