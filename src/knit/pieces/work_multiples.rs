//! The counts of stitches on which a band's fabric, its shaping and what follows work out.

use super::count::Multiple;
use super::error::PieceError;
use super::model::{Band, EndEdge, Fabric, Shaping, Width};
use super::steps::Step;
use super::work::PieceWork;
use crate::knit::Construction;

impl PieceWork<'_> {
    /// The counts on which a band's fabric works out.
    pub(super) fn multiple(&self, band: &Band, at: &str) -> Result<Multiple, PieceError> {
        Ok(match (band.fabric, self.repeat_rows(band, at)?) {
            // Steeks part a round into a front and a back that are alike.
            (Fabric::Chart { edge, .. }, Some(rows)) if self.has_steeks() => {
                let chart = Multiple::with_edge(rows.width(0), edge);
                chart.and(Multiple::of(2)).unwrap_or(chart)
            }
            (Fabric::Chart { edge, .. }, Some(rows)) => Multiple::with_edge(rows.width(0), edge),
            (Fabric::Ribbing { knit, purl }, _) => {
                let rib = knit.saturating_add(purl);
                match self.piece.construction {
                    Construction::InTheRound => Multiple::of(rib),
                    // Flat ribbing ends as it began, so that both edges look the same.
                    Construction::Flat => Multiple::with_edge(rib, knit),
                }
            }
            // In the round a shifted k1, p1 meets itself over an odd count; over an even one it is worked
            // with every round shifted, so that both are welcome.
            (Fabric::Moss, _) if self.piece.construction == Construction::InTheRound => Multiple::of(2),
            // Both edges of an opening make a round that halves, and so do the rows shaped at two sides.
            (Fabric::Plain | Fabric::Garter, _)
                if band.then.iter().any(|step| matches!(step, Step::Opening { .. })) =>
            {
                Multiple::of(4)
            }
            // Toes and tips lose two stitches in each half of the round.
            (Fabric::Plain | Fabric::Garter, _) if self.is_halved(band) => Multiple::of(4),
            // Front and back are to be alike.
            (Fabric::Plain | Fabric::Garter, _) if self.parts_alike() || self.has_steeks() => Multiple::of(2),
            _ => Multiple::default(),
        })
    }

    /// Whether a band has a width of its own and rows shaped at two sides follow over the same stitches.
    fn is_halved(&self, band: &Band) -> bool {
        let bands = &self.piece.bands;
        let own = matches!(band.start, Width::Body(_) | Width::Cm(_));
        let Some(place) = bands.iter().position(|other| std::ptr::eq(other, band)).filter(|_| own) else {
            return false;
        };
        let later = bands[place + 1..].iter().take_while(|next| next.start == Width::AsBefore);
        self.piece.construction == Construction::InTheRound
            && std::iter::once(band)
                .chain(later)
                .any(|next| next.end != Width::AsBefore && next.shaping == Shaping::PerRow(4))
    }

    /// Whether the piece is a tube that ends in a front and a back.
    fn parts_alike(&self) -> bool {
        self.piece.construction == Construction::InTheRound
            && self.piece.end == EndEdge::Live
            && self.piece.set_aside.as_ref().is_some_and(|aside| aside.places == 2)
    }

    /// The counts for a width that starts at `index`: where the bands after it are as wide and their
    /// repeats can be served as well at little cost, theirs too.
    pub(super) fn multiple_from(&self, index: usize, wanted: f64) -> Result<Multiple, PieceError> {
        let bands = &self.piece.bands;
        let mut multiple = self.multiple(&bands[index], &self.at(&bands[index]))?;
        for (band, next) in bands[index..].iter().zip(&bands[index + 1..]) {
            if band.end != Width::AsBefore || next.start != Width::AsBefore {
                break;
            }
            let Some(both) = multiple.and(self.multiple(next, &self.at(next))?) else { break };
            let off = f64::from(both.choose(wanted, next.rounding)) - wanted;
            let free = both.repeat() == multiple.repeat();
            if !free && off.abs() > Self::DEAR * wanted {
                break;
            }
            multiple = both;
        }
        Ok(multiple)
    }

    /// Share of the width that serving two repeats at once may cost: about 2 to 4 cm round a body,
    /// within one step of the fit chart's ease (our judgement).
    const DEAR: f64 = 0.03;

    /// Whether steeks are begun in it.
    fn has_steeks(&self) -> bool {
        let steps = self.piece.bands.iter().flat_map(|band| &band.then);
        steps.into_iter().any(|step| matches!(step, Step::Steek { .. }))
    }
}
