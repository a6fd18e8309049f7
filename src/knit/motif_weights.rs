//! One motif at one size in every weight class: from which on is it itself?

use crate::chart::{Cell, Grid, Loss, Motif, RegionFit, region_fit};
use crate::units::{Cm, Gauge, and_more};
use crate::yarn::{Span, WeightClass};

/// A motif knitted at its size in some gauge.
#[derive(Clone, Debug, PartialEq)]
pub struct AtGauge {
    /// The gauge.
    pub gauge: Gauge,
    /// The motif in the stitches of that gauge, its inks as slots, the ground as "no stitch"; `None` where it
    /// would fill more than a chart.
    pub stitches: Option<Grid>,
    /// Width in cm as it comes out in whole stitches.
    pub width_cm: f64,
    /// Height in cm as it comes out in whole rows.
    pub height_cm: f64,
    /// What it loses there; empty when it is itself.
    pub losses: Vec<Loss>,
}

impl AtGauge {
    /// Whether the motif is itself there.
    pub const fn survives(&self) -> bool {
        self.losses.is_empty() && self.stitches.is_some()
    }

    /// The same in words.
    pub fn verdict(&self) -> String {
        match self.losses.first() {
            _ if self.stitches.is_none() => "not judged".to_owned(),
            None => "Itself".to_owned(),
            Some(first) => format!("Lost: {first}{}", and_more(self.losses.len() - 1)),
        }
    }
}

/// A motif knitted at its size in a weight class.
#[derive(Clone, Debug, PartialEq)]
pub struct AtWeight {
    /// The class.
    pub class: WeightClass,
    /// The motif at the middle of the class, rows in the proportion of the project's.
    pub knitted: AtGauge,
}

/// The gauge a class is shown at: the middle of its published stitches (as a ratio), or its one end where the
/// other is open; rows over stitches are `aspect`. `None` when the class has neither.
pub fn usual_gauge(class: WeightClass, aspect: f64) -> Option<Gauge> {
    let stitches = match class.stitches_per_10_cm() {
        Span { from: Some(from), to: Some(to) } => (from * to).sqrt(),
        Span { from: Some(end), to: None } | Span { from: None, to: Some(end) } => end,
        Span { from: None, to: None } => return None,
    };
    Gauge::new(stitches, stitches * aspect).ok()
}

/// A motif that is to be one size in cm in several gauges.
struct OneSize<'a> {
    motif: &'a Motif,
    width: Cm,
    height_cm: f64,
    fit: Option<RegionFit>,
}

impl<'a> OneSize<'a> {
    fn new(motif: &'a Motif, drawn_at: Gauge, width: Cm) -> Self {
        let (columns, rows) = (f64::from(motif.stitches().width()), f64::from(motif.stitches().height()));
        let scale = width.get() / (columns * drawn_at.stitch_width_cm());
        // The gauge at which its own stitches are this wide.
        let own = Gauge::new(drawn_at.stitches.get() / scale, drawn_at.rows.get() / scale).ok();
        let fit =
            own.and_then(|own| region_fit(motif.stitches(), motif.stitches().bounds(), Cell::NO_STITCH, own));
        Self { motif, width, height_cm: rows * drawn_at.row_height_cm() * scale, fit }
    }

    fn at(&self, gauge: Gauge) -> AtGauge {
        let count = |cm: f64, cell_cm: f64| (cm / cell_cm).round().max(1.0);
        let (across, up) =
            (count(self.width.get(), gauge.stitch_width_cm()), count(self.height_cm, gauge.row_height_cm()));
        let stitches = Grid::check_size(across as u64, up as u64).is_ok();
        AtGauge {
            gauge,
            stitches: stitches.then(|| self.motif.resampled(across as u32, up as u32)).flatten(),
            width_cm: across * gauge.stitch_width_cm(),
            height_cm: up * gauge.row_height_cm(),
            losses: self.fit.as_ref().map_or_else(Vec::new, |fit| fit.losses_at(gauge)),
        }
    }
}

/// The motif, drawn for `drawn_at`, `width` wide in every weight class, the thinnest first. Its proportion in cm
/// stays what it is at `drawn_at`.
pub fn motif_at_weights(motif: &Motif, drawn_at: Gauge, width: Cm) -> Vec<AtWeight> {
    let sized = OneSize::new(motif, drawn_at, width);
    let at = |class: WeightClass| {
        let gauge = usual_gauge(class, drawn_at.cell_aspect())?;
        Some(AtWeight { class, knitted: sized.at(gauge) })
    };
    WeightClass::ALL.into_iter().filter_map(at).collect()
}

/// The motif, drawn for `drawn_at`, at the same size in cm in another gauge.
pub fn motif_at_gauge(motif: &Motif, drawn_at: Gauge, gauge: Gauge) -> AtGauge {
    OneSize::new(motif, drawn_at, drawn_at.width(motif.stitches().width())).at(gauge)
}

/// The thickest class from which on, down to the thinnest, the motif is itself; `None` when it is not itself even in
/// the thinnest.
pub fn begins_at(at: &[AtWeight]) -> Option<WeightClass> {
    at.iter().take_while(|at| at.knitted.survives()).last().map(|at| at.class)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::chart::MotifKind;

    fn motif(rows: &[&str]) -> Motif {
        let (width, height) = (rows[0].len() as u32, rows.len() as u32);
        let mut grid = Grid::new(width, height, Cell::NO_STITCH).unwrap();
        for p in grid.bounds().points().collect::<Vec<_>>() {
            if rows[(height - 1 - p.y) as usize].as_bytes()[p.x as usize] == b'#' {
                grid.set(p, Cell::slot(0));
            }
        }
        Motif::new("Test", MotifKind::Own, &grid).unwrap()
    }

    #[test]
    fn a_fine_motif_needs_a_fine_yarn_and_a_block_does_not() {
        let gauge = Gauge::new(28.0, 36.0).unwrap();
        let star = motif(&[
            "#...#...#",
            ".#..#..#.",
            "..#.#.#..",
            "...###...",
            "#########",
            "...###...",
            "..#.#.#..",
            ".#..#..#.",
            "#...#...#",
        ]);
        let width = gauge.width(9);
        let at = motif_at_weights(&star, gauge, width);
        assert_eq!(at.len(), 8);
        assert!(at[0].knitted.survives() && !at[7].knitted.survives(), "{at:?}");
        let begins = begins_at(&at).unwrap();
        assert!(begins <= WeightClass::Medium, "{begins:?}");
        // Larger it survives in thicker yarn.
        let larger = motif_at_weights(&star, gauge, Cm::new(width.get() * 6.0).unwrap());
        assert!(begins_at(&larger).unwrap() > begins);
        for at in &at {
            assert!(
                (at.knitted.width_cm - width.get()).abs() <= at.knitted.gauge.stitch_width_cm() / 2.0 + 1e-9
            );
        }
    }

    #[test]
    fn in_its_own_gauge_it_has_its_own_stitches() {
        let class = WeightClass::Light;
        let gauge = usual_gauge(class, 1.3).unwrap();
        let heart = motif(&[".#.#.", "#####", "#####", ".###.", "..#.."]);
        let at = motif_at_weights(&heart, gauge, gauge.width(5));
        let own = at.iter().find(|at| at.class == class).unwrap();
        assert_eq!(own.knitted.stitches.as_ref(), Some(heart.stitches()));
    }
}
