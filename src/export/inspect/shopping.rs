//! The yarn of the chosen size, per piece and colour, each figure open to its own sum; and the shade
//! cards to choose from.

use std::collections::BTreeSet;

use serde::Serialize;

use super::basis::{self, PartOut};
use crate::export::json::{key, rounded};
use crate::export::metres::{Grams, Knitted, Lengths, Metres};
use crate::knit::pieces::{ColourYarn, PieceColour};
use crate::knit::{Estimate, YarnLine};
use crate::project::{Project, Slot, colour_code};
use crate::yarn::{OnHand, Shade, ShadeCard, Stock};

/// The yarn of all pieces in the chosen size.
#[derive(Serialize)]
pub(super) struct PiecesYarnOut<'a> {
    size: String,
    pieces: Vec<PieceYarnOut<'a>>,
    colours: Vec<ColourYarnOut<'a>>,
    #[serde(flatten)]
    metres: Lengths,
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
    metres: Metres,
    #[serde(flatten)]
    knitted: Knitted,
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
    metres: Lengths,
    added: Vec<ItemOut>,
    #[serde(flatten)]
    grams: Grams,
    on_hand_metres: f64,
    to_buy_metres: f64,
    balls: u32,
    cost: Option<f64>,
    shade: Option<&'a str>,
    dye_lot: Option<&'a str>,
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
    metres: Metres,
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
                .map(|(index, (slot, used))| ColourYarnOut::new(index, slot, used, yarn.knitted(index)))
                .collect(),
            metres: Lengths::new(yarn.all_knitted(), yarn.metres()),
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
            metres: colour.metres().into(),
            knitted: colour.metres().into(),
            sum: colour.lines.iter().map(ItemOut::new).collect(),
        }
    }
}

impl<'a> ColourYarnOut<'a> {
    fn new(index: usize, slot: &'a Slot, used: &ColourYarn, knitted: Estimate) -> Self {
        let shade = slot.shade();
        Self {
            colour: &slot.name,
            code: colour_code(index),
            stitches: used.stitches,
            share_percent: rounded(used.share_percent),
            metres: Lengths::new(knitted, used.metres()),
            added: used.added.iter().map(ItemOut::new).collect(),
            grams: used.grams().into(),
            on_hand_metres: rounded(slot.on_hand_m()),
            to_buy_metres: rounded(used.to_buy_m),
            balls: used.balls,
            cost: used.cost.map(|cost| rounded(cost.get())),
            shade: shade.map(|shade| shade.name.as_str()),
            dye_lot: shade.map(|shade| shade.dye_lot.as_str()).filter(|lot| !lot.is_empty()),
        }
    }
}

impl ItemOut {
    fn new(line: &YarnLine) -> Self {
        Self {
            what: key(line.kind.name()),
            count: rounded(line.count),
            of: key(line.kind.of()),
            each_cm_likely: line.each_cm().map(rounded),
            metres: line.metres().into(),
            reason: line.amount.parts().first().map_or("", |(cause, _)| cause.reason()),
            basis: basis::basis_key(line.basis()),
            range_parts: basis::parts(&line.amount),
        }
    }
}

impl<'a> CardOut<'a> {
    pub(super) fn new(card: &'a ShadeCard, on_hand: &OnHand) -> Self {
        let shades = card.shades();
        let is_owned = |shade: &Shade| on_hand.balls(shade) > 0.0;
        Self {
            name: &card.name,
            shades: shades.len(),
            owned_shades: shades.iter().filter(|shade| is_owned(shade)).count(),
            sold_out_shades: shades.iter().filter(|shade| shade.stock == Stock::Out).count(),
            fibres: shades.iter().map(|shade| shade.fibre.trim()).filter(|fibre| !fibre.is_empty()).collect(),
            weight_classes: shades.iter().filter_map(|shade| shade.weight_class).collect(),
        }
    }
}
