//! The pieces of a project, the sizes they are worked in, and what follows from both.

use super::model::Project;
use crate::knit::pieces::{
    Band, Fabric, Length, Pace, Pattern, Piece, PieceError, PiecesYarn, PiecesYarnInput, Size, Stock,
    Unworkable, Width, WorkedPiece, YarnChange, work, work_each,
};

/// What is knitted, in which sizes, and how fast.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PiecePlan {
    /// The pieces, in the order they are knitted; none until some are chosen.
    pub pieces: Vec<Piece>,
    /// The sizes; none counts as one size that fits nobody in particular.
    pub sizes: Vec<Size>,
    /// The size that is worked, by its place in the list.
    pub chosen: usize,
    /// The knitter's pace.
    pub pace: Pace,
}

impl PiecePlan {
    /// Most pieces, bands of a piece and sizes.
    pub const MOST: usize = 64;

    /// The size that is worked.
    pub fn size(&self) -> Size {
        self.sizes.get(self.chosen).or_else(|| self.sizes.first()).cloned().unwrap_or_else(Size::one_size)
    }

    /// All sizes, never none.
    pub fn all_sizes(&self) -> Vec<Size> {
        if self.sizes.is_empty() { vec![Size::one_size()] } else { self.sizes.clone() }
    }

    /// The plan after palette slot `index` has gone to `heir` (numbered as before).
    pub(super) fn without_slot(&self, index: usize, heir: usize) -> Self {
        let renumber = |slot: &mut usize| {
            let kept = if *slot == index { heir } else { *slot };
            *slot = kept - usize::from(kept > index);
        };
        let mut plan = self.clone();
        plan.pieces
            .iter_mut()
            .flat_map(|piece| &mut piece.bands)
            .flat_map(|band| &mut band.colours)
            .for_each(renumber);
        plan
    }

    /// Roughly the memory it takes, in bytes.
    pub(super) fn bytes(&self) -> usize {
        let bands = self.pieces.iter().flat_map(|piece| &piece.bands);
        let bands: usize =
            bands.map(|band| size_of_val(band) + band.name.len() + 8 * band.colours.len()).sum();
        bands + size_of_val(self.pieces.as_slice()) + size_of_val(self.sizes.as_slice())
    }
}

impl Project {
    /// The chart that pieces repeat.
    pub const fn pattern(&self) -> Pattern<'_> {
        Pattern { grid: &self.chart.grid, repeat: self.chart.repeat() }
    }

    /// The pieces counted out in one size; a project without pieces is one: its chart as planned.
    ///
    /// # Errors
    /// [`PieceError`] naming the piece and band that cannot be worked.
    pub fn work_pieces(&self, size: &Size) -> Result<Vec<WorkedPiece>, PieceError> {
        let pattern = self.pattern();
        match self.pieces.pieces.as_slice() {
            [] => work(&[self.chart_piece()], size, self.plan.gauge, &pattern),
            pieces => work(pieces, size, self.plan.gauge, &pattern),
        }
    }

    /// Each piece of the plan counted out in one size, or why it cannot be; none without pieces.
    pub fn work_each_piece(&self, size: &Size) -> Vec<Result<WorkedPiece, Unworkable>> {
        work_each(&self.pieces.pieces, size, self.plan.gauge, &self.pattern())
    }

    /// The chart with its repeats on the needle, as a piece.
    fn chart_piece(&self) -> Piece {
        let plan = &self.plan;
        let fabric = Fabric::Chart { region: None, edge: plan.edge_stitches };
        let band = Band::new("Chart", fabric, Length::Repeats(plan.repeats_up), self.background_slot());
        let band = Band { technique: plan.technique, ..band.from(Width::Stitches(plan.needle_stitches)) };
        Piece::new("Chart", plan.construction, vec![band])
    }

    /// The yarn of counted pieces, with what is on hand taken off, after `change` if one is given.
    pub fn pieces_yarn(&self, pieces: &[WorkedPiece], change: Option<YarnChange>) -> PiecesYarn {
        let plan = &self.plan;
        let stocks: Vec<Stock> = self
            .palette
            .slots()
            .iter()
            .map(|slot| Stock {
                put_up: slot.yarn.put_up,
                ball_price: slot.yarn.ball_price,
                on_hand_m: slot.yarn.on_hand_m,
            })
            .collect();
        PiecesYarn::of(&PiecesYarnInput {
            pieces,
            pattern: self.pattern(),
            gauge: plan.gauge,
            loop_length: self.loop_basis().length,
            float_limit: plan.float_limit.in_stitches(plan.gauge),
            waste_percent: plan.waste_percent,
            tail_cm: plan.tail_cm,
            swatch_cm: plan.swatch_cm,
            stocks: &stocks,
            change,
        })
    }
}
