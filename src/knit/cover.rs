//! How well a yarn fills a fabric at a gauge: too dense, balanced or open.

use super::{Gauge, Relaxation};
use crate::yarn::{Strand, Tex};

/// Loop length of the tightest plain loop, in strand diameters: neighbouring strands touch, wales
/// stand 4 and courses 3.364 diameters apart (Peirce, Text. Res. J. 17, 1947, 123; from memory).
pub const JAMMED_LOOP_DIAMETERS: f64 = 16.66;
/// Above this share of the jammed loop a hand knit is too dense. Hand knits commonly lie at
/// tightness 9 to 13 (root of tex over loop length in cm; Knapton 1968, Munden 1962, from memory);
/// 13 in worsted-spun wool is this share.
pub const DENSE_FROM: f64 = 0.87;
/// Below this share it is open; tightness 9 in worsted-spun wool.
pub const OPEN_BELOW: f64 = 0.60;

/// The verdict on a yarn at a gauge.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CoverVerdict {
    /// Tighter than a plain loop can be: the gauge or the grist is mistaken.
    Impossible,
    /// Dense and stiff.
    TooDense,
    /// As hand knits usually are.
    Balanced,
    /// Gaps show: lace, or a needle too large.
    Open,
}

impl CoverVerdict {
    /// The verdict with its consequence, a sentence without full stop.
    pub const fn words(self) -> &'static str {
        match self {
            Self::Impossible => {
                "Tighter than plain stitches can be: check the gauge and the metres per 100 g"
            }
            Self::TooDense => "Too dense: a stiff fabric that is hard to knit; fit only for heels and bags",
            Self::Balanced => "Balanced: the stitches fill the fabric and it still gives",
            Self::Open => "Open: light shows through; right for lace, else take a smaller needle",
        }
    }
}

/// How a yarn fills plain knit at a gauge. A stranded fabric is denser, by the floats behind it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Cover {
    /// Loop length in cm that the figures rest on.
    pub loop_cm: f64,
    /// Root of tex over loop length in cm (tightness factor; Munden 1962).
    pub tightness: f64,
    /// Loop length of the jammed loop over the real one; 1 is the physical limit.
    pub share_of_jammed: f64,
    /// Stitch width over strand diameter; 4 is the limit (Peirce, as for [`JAMMED_LOOP_DIAMETERS`]).
    pub stitch_over_diameter: f64,
    /// What a square metre of the plain fabric weighs: stitches in it, times loop length, times tex.
    /// (Standard; e.g. a textile handbook's courses/in x wales/in x loop mm x 39.37^2 x tex / 1e6.)
    pub grams_per_m2: f64,
    /// In words.
    pub verdict: CoverVerdict,
}

impl Cover {
    /// Judges a strand at a washed gauge. Without a measured loop length (cm, more than 0) that of
    /// the wet relaxed model is taken.
    pub fn new(strand: Strand, gauge: Gauge, measured_loop_cm: Option<f64>) -> Self {
        let loop_cm = measured_loop_cm
            .filter(|cm| cm.is_finite() && *cm > 0.0)
            .unwrap_or_else(|| Relaxation::Wet.loop_cm(gauge));
        let diameter_cm = strand.pressed_mm() / 10.0;
        let share = JAMMED_LOOP_DIAMETERS * diameter_cm / loop_cm;
        let verdict = match share {
            s if s > 1.0 => CoverVerdict::Impossible,
            s if s > DENSE_FROM => CoverVerdict::TooDense,
            s if s < OPEN_BELOW => CoverVerdict::Open,
            _ => CoverVerdict::Balanced,
        };
        Self {
            loop_cm,
            tightness: strand.tex.get().sqrt() / loop_cm,
            share_of_jammed: share,
            stitch_over_diameter: gauge.stitch_width_cm() / diameter_cm,
            grams_per_m2: grams_per_m2(loop_cm, gauge, strand.tex),
            verdict,
        }
    }
}

/// Mass of a square metre in which every stitch takes `stitch_cm` of yarn.
pub fn grams_per_m2(stitch_cm: f64, gauge: Gauge, yarn: Tex) -> f64 {
    // Per m2 a hundred times the stitches and a hundred times the rows of 10 cm over 10 cm.
    let stitches = gauge.stitches.get() * gauge.rows.get() * 100.0;
    // g per km over centimetres.
    stitches * stitch_cm * yarn.get() * 1e-5
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::MetresPer100G;
    use crate::yarn::{Blend, Fibre};

    fn cover(metres: f64, stitches: f64, rows: f64) -> Cover {
        let strand = Strand::new(MetresPer100G::new(metres).unwrap(), &Blend::pure(Fibre::Wool), None);
        Cover::new(strand, Gauge::new(stitches, rows).unwrap(), None)
    }

    #[test]
    fn usual_yarns_at_their_usual_gauge_are_balanced() {
        for (metres, stitches, rows) in [
            (420.0, 28.0, 36.0),
            (225.0, 22.0, 28.0),
            (160.0, 18.0, 24.0),
            (115.0, 14.0, 19.0),
            (15.0, 5.0, 7.0),
        ] {
            let cover = cover(metres, stitches, rows);
            assert_eq!(cover.verdict, CoverVerdict::Balanced, "{metres}: {cover:?}");
        }
    }

    #[test]
    fn the_same_yarn_gets_denser_with_the_gauge() {
        let verdict = |stitches: f64| cover(225.0, stitches, stitches * 1.3).verdict;
        assert_eq!(verdict(14.0), CoverVerdict::Open);
        assert_eq!(verdict(22.0), CoverVerdict::Balanced);
        assert_eq!(verdict(28.0), CoverVerdict::TooDense);
        assert_eq!(verdict(60.0), CoverVerdict::Impossible);
    }

    #[test]
    fn the_thresholds_are_the_usual_tightness_of_hand_knits() {
        let jammed = {
            let cover = cover(225.0, 22.0, 28.0);
            cover.tightness / cover.share_of_jammed
        };
        assert!((DENSE_FROM * jammed - 13.0).abs() < 0.1, "{jammed}");
        assert!((OPEN_BELOW * jammed - 9.0).abs() < 0.1, "{jammed}");
    }

    #[test]
    fn a_measured_loop_overrides_the_model_and_nonsense_does_not() {
        let strand = Strand::new(MetresPer100G::new(225.0).unwrap(), &Blend::pure(Fibre::Wool), None);
        let gauge = Gauge::new(22.0, 28.0).unwrap();
        assert_eq!(Cover::new(strand, gauge, Some(2.2)).loop_cm, 2.2);
        for nonsense in [0.0, -1.0, f64::NAN, f64::INFINITY] {
            assert_eq!(Cover::new(strand, gauge, Some(nonsense)).loop_cm, Relaxation::Wet.loop_cm(gauge));
        }
    }
}
