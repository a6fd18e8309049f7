//! What a motif loses at another gauge.

use std::fmt;

use super::motif_fit::{LOOK_AHEAD, MotifProblem, legibility};
use super::region_fit::{ALIKE, Identity, RegionFit, SMALLEST_SIDE};
use crate::units::{Gauge, counted};

/// What a motif loses when it is knitted in other stitches at its size.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Loss {
    /// Under 3 stitches and 3 rows nothing can be told apart.
    TooSmall,
    /// It is a basic shape, and this becomes of it.
    Shape(MotifProblem),
    /// Parts that were apart run together, or one breaks: so many before and after.
    Parts(usize, usize),
    /// Holes close or open: so many before and after.
    Holes(usize, usize),
    /// Its two halves are no longer alike.
    Mirror,
    /// So much of it and its old self is the same, `0..=1`.
    Outline(f64),
}

impl fmt::Display for Loss {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::TooSmall => f.write_str("too few stitches to be anything"),
            Self::Shape(problem) => problem.fmt(f),
            Self::Parts(before, after) if after < before => write!(f, "{before} parts run into {after}"),
            Self::Parts(1, after) => write!(f, "it breaks into {after} parts"),
            Self::Parts(before, after) => write!(f, "{before} parts break into {after}"),
            Self::Holes(1, 0) => f.write_str("its opening closes"),
            Self::Holes(before, after) if after < before => {
                let closed = counted((before - after) as u64, "closes", "close");
                write!(f, "of {before} openings {closed}")
            }
            Self::Holes(..) => f.write_str("openings appear that were not there"),
            Self::Mirror => f.write_str("its halves are no longer alike"),
            Self::Outline(share) => write!(f, "only {:.0} % of its outline is left", share * 100.0),
        }
    }
}

impl RegionFit {
    /// What the motif, at its size in cm, loses at another gauge; empty when it survives there (see
    /// [`RegionFit::survives_at`], whose rules these are).
    pub fn losses_at(&self, gauge: Gauge) -> Vec<Loss> {
        let scale =
            (gauge.stitches.get() / self.gauge.stitches.get(), gauge.rows.get() / self.gauge.rows.get());
        let identity = Identity::of(&self.raster, self.shape.as_ref(), self.gauge);
        let (width, height) = identity.size_at(scale);
        if width.max(height) < SMALLEST_SIDE {
            return vec![Loss::TooSmall];
        }
        if let Some(aspect) = identity.shape_aspect_at(scale) {
            if width.max(height) > LOOK_AHEAD {
                return Vec::new();
            }
            let shape = self.shape.as_ref().map(|found| found.shape);
            let problems = shape.map_or_else(Vec::new, |shape| legibility(shape, (width, height), aspect).1);
            return problems.into_iter().map(Loss::Shape).collect();
        }
        let (old, new) = (&self.raster, self.raster.resampled(width, height));
        let mut losses = Vec::new();
        let (parts, holes) = ((old.pieces().len(), new.pieces().len()), (old.holes(), new.holes()));
        if parts.0 != parts.1 {
            losses.push(Loss::Parts(parts.0, parts.1));
        }
        if holes.0 != holes.1 {
            losses.push(Loss::Holes(holes.0, holes.1));
        }
        let mirrors = (!old.is_mirrored_left_right() || new.is_mirrored_left_right())
            && (!old.is_mirrored_up_down() || new.is_mirrored_up_down());
        if !mirrors {
            losses.push(Loss::Mirror);
        }
        let same = new.resampled(old.width(), old.height()).overlap(old);
        if same < ALIKE {
            losses.push(Loss::Outline(same));
        }
        losses
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::raster::tests::drawn;
    use crate::chart::{Cell, region_fit};

    fn gauge(stitches: f64) -> Gauge {
        Gauge::new(stitches, stitches * 1.3).unwrap()
    }

    #[test]
    fn what_loses_nothing_survives_and_what_survives_loses_nothing() {
        let figures = [
            drawn(&["#.#.#.#", ".#.#.#.", "###.###", ".#.#.#.", "#.#.#.#"]),
            drawn(&["..##..", ".####.", "##..##", ".####.", "..##.."]),
            drawn(&["###", "###", "###"]),
            drawn(&["##....##", "##....##", "........", "##.##.##"]),
        ];
        let mut lost = 0;
        for figure in figures {
            let grid = figure.to_grid(Cell::slot(1), Cell::slot(0)).unwrap();
            let fit = region_fit(&grid, grid.bounds(), Cell::slot(0), gauge(28.0)).unwrap();
            for other in (4..60).map(f64::from) {
                let losses = fit.losses_at(gauge(other));
                assert_eq!(losses.is_empty(), fit.survives_at(gauge(other)), "{other}: {losses:?}");
                lost += usize::from(!losses.is_empty());
            }
        }
        assert!(lost > 40, "{lost}");
    }

    #[test]
    fn losses_are_told_in_words() {
        assert_eq!(Loss::Parts(3, 1).to_string(), "3 parts run into 1");
        assert_eq!(Loss::Parts(1, 5).to_string(), "it breaks into 5 parts");
        assert_eq!(Loss::Holes(2, 1).to_string(), "of 2 openings 1 closes");
        assert_eq!(Loss::Holes(1, 0).to_string(), "its opening closes");
        assert_eq!(Loss::Outline(0.614).to_string(), "only 61 % of its outline is left");
    }
}
