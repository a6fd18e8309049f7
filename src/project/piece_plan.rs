//! The pieces of a project, the sizes they are worked in, and what follows from both.

use super::model::Project;
use super::palette::Slot;
use crate::knit::pieces::{
    Band, Fabric, Length, Pace, Pattern, Piece, PieceError, PiecesYarn, PiecesYarnInput, Size, Unworkable,
    Width, WorkedPiece, YarnChange, work, work_each,
};
use crate::knit::{Gauge, LoopFibre, LoopLength, LoopSource, RowUses};
use crate::yarn::{Blend, Fibre, SlotYarn};

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
    pub(super) fn chart_piece(&self) -> Piece {
        let plan = &self.plan;
        let fabric = Fabric::Chart { region: None, edge: plan.edge_stitches };
        let band = Band::new("Chart", fabric, Length::Repeats(plan.repeats_up), self.background_slot());
        let band = Band { technique: plan.technique, ..band.from(Width::Stitches(plan.needle_stitches)) };
        Piece::new("Chart", plan.construction, vec![band])
    }

    /// The yarn of counted pieces, with what is on hand taken off, after `change` if one is given.
    pub fn pieces_yarn(&self, pieces: &[WorkedPiece], change: Option<YarnChange>) -> PiecesYarn {
        self.pieces_yarn_after(pieces, change, &mut RowUses::default())
    }

    /// The same, with the rows that an earlier count left in `uses`.
    pub(super) fn pieces_yarn_after(
        &self,
        pieces: &[WorkedPiece],
        change: Option<YarnChange>,
        uses: &mut RowUses,
    ) -> PiecesYarn {
        self.pieces_yarn_of(pieces, change, self.plan.gauge, uses)
    }

    /// The yarn of pieces that were counted out at another gauge and are to be the same in cm at the planned one.
    pub(super) fn pieces_yarn_counted_at(&self, pieces: &[WorkedPiece], counted_at: Gauge) -> PiecesYarn {
        self.pieces_yarn_of(pieces, None, counted_at, &mut RowUses::default())
    }

    fn pieces_yarn_of(
        &self,
        pieces: &[WorkedPiece],
        change: Option<YarnChange>,
        counted_at: Gauge,
        uses: &mut RowUses,
    ) -> PiecesYarn {
        let plan = &self.plan;
        let (loop_length, loop_source) = self.stitch_yarn();
        let stocks: Vec<SlotYarn> = self.palette.slots().iter().map(Slot::stock).collect();
        let input = PiecesYarnInput {
            pieces,
            pattern: self.pattern(),
            gauge: plan.gauge,
            loop_length,
            loop_source,
            float_limit: plan.float_limit.in_stitches(plan.gauge),
            waste_percent: plan.waste_percent,
            tail_cm: plan.tail_cm,
            swatch_cm: plan.swatch_cm,
            stocks: &stocks,
            change,
        };
        PiecesYarn::after(&input, counted_at, uses)
    }

    /// The yarn in one stitch, and what that rests on.
    pub fn stitch_yarn(&self) -> (LoopLength, LoopSource) {
        let basis = self.loop_basis();
        (basis.length, basis.source)
    }

    /// Whether it is knitted in the wool that the loop model was measured on: in three quarters of it or
    /// more (our judgement). By the yarn, else the fibre that was chosen, else the shades.
    pub fn loop_fibre(&self) -> LoopFibre {
        let of_blend = |blend: &Blend| {
            let wools = [Fibre::Wool, Fibre::SuperwashWool, Fibre::Merino];
            let wool: f64 = wools.into_iter().map(|fibre| blend.share(fibre)).sum();
            if wool > 0.749 { LoopFibre::Wool } else { LoopFibre::Other }
        };
        let material = &self.material;
        if let Some(blend) = material.yarn.as_ref().map(|yarn| &yarn.blend).or(material.blend.as_ref()) {
            return of_blend(blend);
        }
        let shades = self.palette.slots().iter().map(|slot| {
            let shade = slot.shade()?;
            Blend::parse(&shade.fibre).ok().as_ref().map(of_blend)
        });
        let shades: Vec<Option<LoopFibre>> = shades.collect();
        match shades.as_slice() {
            told if told.contains(&Some(LoopFibre::Other)) => LoopFibre::Other,
            told if told.iter().all(|fibre| *fibre == Some(LoopFibre::Wool)) => LoopFibre::Wool,
            _ => LoopFibre::Unknown,
        }
    }
}

#[cfg(test)]
mod tests {
    use std::sync::Arc;

    use super::*;
    use crate::colour::Colour;
    use crate::yarn::Shade;

    #[test]
    fn the_fibre_is_the_blends_else_the_shades() {
        let mut project = Project::default();
        assert_eq!(project.loop_fibre(), LoopFibre::Unknown);
        let shade = |fibre: &str| {
            let shade = Shade::new("Dull bucket", Colour::from_hex("#8899aa").unwrap());
            Arc::new(Shade { fibre: fibre.to_owned(), ..shade })
        };
        for slot in project.palette.slots_mut() {
            slot.knit_in(shade("Wool"));
        }
        assert_eq!(project.loop_fibre(), LoopFibre::Wool);
        project.palette.slots_mut()[0].knit_in(shade("cotton"));
        assert_eq!(project.loop_fibre(), LoopFibre::Other);
        project.palette.slots_mut()[0].knit_in(shade("no word that is known"));
        assert_eq!(project.loop_fibre(), LoopFibre::Unknown);
        project.material.blend = Some(Blend::parse("75 % merino, 25 % nylon").unwrap());
        assert_eq!(project.loop_fibre(), LoopFibre::Wool);
        project.material.blend = Some(Blend::parse("50 % wool, 50 % cotton").unwrap());
        assert_eq!(project.loop_fibre(), LoopFibre::Other);
    }
}
