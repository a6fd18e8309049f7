//! The yarn of the chosen size, per piece and colour, each figure open to its own sum; and the shade
//! cards to choose from.

use std::collections::BTreeSet;

use serde::Serialize;

use super::basis::{self, PartOut};
use crate::export::json::{key, rounded};
use crate::knit::pieces::{ColourYarn, PieceColour};
use crate::knit::{Estimate, YarnLine};
use crate::project::{Project, Slot, colour_code};
use crate::yarn::{ShadeCard, Stock};

/// The yarn of all pieces in the chosen size.
#[derive(Serialize)]
pub(super) struct PiecesYarnOut<'a> {
    size: String,
    pieces: Vec<PieceYarnOut<'a>>,
    colours: Vec<ColourYarnOut<'a>>,
    #[serde(flatten)]
    metres: MetresOut,
    /// Absent while a colour that is bought has no price.
    cost: Option<f64>,
}

#[derive(Serialize)]
struct PieceYarnOut<'a> {
    piece: String,
    copies: u32,
    colours: Vec<PieceColourOut<'a>>,
}

/// A colour of a piece, all copies together.
#[derive(Serialize)]
struct PieceColourOut<'a> {
    colour: &'a str,
    code: String,
    stitches: u64,
    #[serde(flatten)]
    metres: MetresOut,
    sum: Vec<ItemOut>,
}

/// A colour over all pieces.
#[derive(Serialize)]
struct ColourYarnOut<'a> {
    colour: &'a str,
    code: String,
    stitches: u64,
    share_percent: f64,
    /// The pieces and what is added to them.
    #[serde(flatten)]
    metres: MetresOut,
    added: Vec<ItemOut>,
    grams_low: f64,
    grams_likely: f64,
    grams_high: f64,
    on_hand_metres: f64,
    to_buy_metres: f64,
    balls: u32,
    cost: Option<f64>,
    shade: Option<&'a str>,
    dye_lot: Option<&'a str>,
}

#[derive(Serialize)]
struct MetresOut {
    #[serde(rename = "metres_low")]
    low: f64,
    #[serde(rename = "metres_likely")]
    likely: f64,
    #[serde(rename = "metres_high")]
    high: f64,
}

/// One line of a sum: so many of something, at so much yarn each.
#[derive(Serialize)]
struct ItemOut {
    what: String,
    count: f64,
    of: String,
    /// Absent for a share of the other lines.
    each_cm_likely: Option<f64>,
    #[serde(flatten)]
    metres: MetresOut,
    /// The cause that reaches farthest, in words; empty for a figure without a range.
    reason: &'static str,
    basis: String,
    range_parts: Vec<PartOut>,
}

/// A card in numbers.
#[derive(Serialize)]
pub(super) struct CardOut<'a> {
    name: &'a str,
    shades: usize,
    owned_shades: usize,
    sold_out_shades: usize,
    fibres: BTreeSet<&'a str>,
    weight_classes: BTreeSet<u8>,
}

impl<'a> PiecesYarnOut<'a> {
    /// `None` when the pieces cannot be worked in the chosen size.
    pub(super) fn new(project: &'a Project) -> Option<Self> {
        let size = project.pieces.size();
        let worked = project.work_pieces(&size).ok()?;
        let yarn = project.pieces_yarn(&worked, None);
        let slots = project.palette.slots();
        let used = |(index, (slot, colour)): (usize, (&'a Slot, &PieceColour))| {
            (colour.stitches > 0 || !colour.lines.is_empty())
                .then(|| PieceColourOut::new(index, slot, colour))
        };
        let pieces = yarn.pieces.iter().map(|piece| PieceYarnOut {
            piece: piece.name.clone(),
            copies: piece.copies,
            colours: slots.iter().zip(&piece.colours).enumerate().filter_map(used).collect(),
        });
        Some(Self {
            size: size.name,
            pieces: pieces.collect(),
            colours: slots
                .iter()
                .zip(&yarn.colours)
                .enumerate()
                .map(|(index, (slot, used))| ColourYarnOut::new(index, slot, used))
                .collect(),
            metres: MetresOut::new(yarn.metres()),
            cost: yarn.cost().map(|cost| rounded(cost.get())),
        })
    }
}

impl<'a> PieceColourOut<'a> {
    fn new(index: usize, slot: &'a Slot, colour: &PieceColour) -> Self {
        Self {
            colour: &slot.name,
            code: colour_code(index),
            stitches: colour.stitches,
            metres: MetresOut::new(colour.metres()),
            sum: colour.lines.iter().map(ItemOut::new).collect(),
        }
    }
}

impl<'a> ColourYarnOut<'a> {
    fn new(index: usize, slot: &'a Slot, used: &ColourYarn) -> Self {
        let shade = slot.shade();
        Self {
            colour: &slot.name,
            code: colour_code(index),
            stitches: used.stitches,
            share_percent: rounded(used.share_percent),
            metres: MetresOut::new(used.metres()),
            added: used.added.iter().map(ItemOut::new).collect(),
            grams_low: rounded(used.grams().low),
            grams_likely: rounded(used.grams().likely),
            grams_high: rounded(used.grams().high),
            on_hand_metres: rounded(slot.yarn.on_hand_m),
            to_buy_metres: rounded(used.to_buy_m),
            balls: used.balls,
            cost: used.cost.map(|cost| rounded(cost.get())),
            shade: shade.map(|shade| shade.name.as_str()),
            dye_lot: shade.map(|shade| shade.dye_lot.as_str()).filter(|lot| !lot.is_empty()),
        }
    }
}

impl MetresOut {
    fn new(metres: Estimate) -> Self {
        Self { low: rounded(metres.low), likely: rounded(metres.likely), high: rounded(metres.high) }
    }
}

impl ItemOut {
    fn new(line: &YarnLine) -> Self {
        Self {
            what: key(line.kind.name()),
            count: rounded(line.count),
            of: key(line.kind.of()),
            each_cm_likely: line.each_cm().map(rounded),
            metres: MetresOut::new(line.metres()),
            reason: line.amount.parts().first().map_or("", |(cause, _)| cause.reason()),
            basis: basis::basis_key(line.basis()),
            range_parts: basis::parts(&line.amount),
        }
    }
}

impl<'a> CardOut<'a> {
    pub(super) fn new(card: &'a ShadeCard) -> Self {
        let shades = card.shades();
        Self {
            name: &card.name,
            shades: shades.len(),
            owned_shades: shades.iter().filter(|shade| shade.owned_balls() > 0).count(),
            sold_out_shades: shades.iter().filter(|shade| shade.stock == Stock::Out).count(),
            fibres: shades.iter().map(|shade| shade.fibre.trim()).filter(|fibre| !fibre.is_empty()).collect(),
            weight_classes: shades.iter().filter_map(|shade| shade.weight_class).collect(),
        }
    }
}
