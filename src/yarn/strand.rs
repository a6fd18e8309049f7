//! The strand as a body: how thick it is, and how it wraps.

use super::blend::Blend;
use super::count::Tex;
use super::figure::{Basis, Property};
use super::spin::{Spin, SpinSystem};
use crate::units::{CM_PER_INCH, MetresPer100G};

/// Share of a strand's cross-section that is fibre when it is pressed as in a sett or a tight
/// stitch, worsted spun. From Ashenhurst's diameters per inch, 0.9 root of yards per pound, with
/// wool's density 1.31 (the rule was read on a teaching page; the packing is our algebra).
pub const PACKING_WORSTED: f64 = 0.605;
/// The same for woollen spun, from 0.84 root of yards per pound.
pub const PACKING_WOOLLEN: f64 = 0.527;

/// Share that is fibre when the strand lies softly wrapped side by side on a ruler: what the
/// published wraps-per-inch bands of classes 1 to 5 and their traded metres per 100 g have in
/// common, taken at the middle of each band (0.155, 0.113, 0.113, 0.104, 0.073), for wool.
const PACKING_WRAPPED: [f64; 3] = [0.07, 0.11, 0.16];

/// Density taken when that of the fibre is unknown: wool's, g/cm³.
const FALLBACK_DENSITY: f64 = 1.31;

/// A strand of yarn.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Strand {
    /// Fineness.
    pub tex: Tex,
    /// Density of the fibre in g/cm³.
    pub density: f64,
    /// How firmly the density stands; judgement when wool's was taken for an unknown one.
    pub density_basis: Basis,
    /// Share of the pressed cross-section that is fibre, `0..=1`.
    pub packing: f64,
}

/// Where a measured wraps-per-inch lies against what the grist lets expect.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Airiness {
    /// Thicker than usual for its mass: airy, warm, light; covers well.
    Airy,
    /// As usual.
    Usual,
    /// Thinner than usual for its mass: dense, heavy; shows stitches.
    Dense,
}

impl Strand {
    /// A strand of this grist; its density from the blend, its packing from the spin (worsted when
    /// that is not known).
    pub fn new(grist: MetresPer100G, blend: &Blend, spin: Option<Spin>) -> Self {
        let (density, density_basis) = match blend.mix(Property::Density) {
            Some(mix) => (mix.mid(), mix.basis),
            None => (FALLBACK_DENSITY, Basis::Judgement),
        };
        let packing = match spin.map(|spin| spin.system) {
            Some(SpinSystem::Woollen) => PACKING_WOOLLEN,
            _ => PACKING_WORSTED,
        };
        Self { tex: Tex::from_grist(grist), density, density_basis, packing }
    }

    /// Diameter in mm when pressed, as in a tight stitch.
    pub fn pressed_mm(self) -> f64 {
        diameter_mm(self.tex, self.density, self.packing)
    }

    /// Wraps per inch to expect when wrapped softly: low, likely, high. A rough guide: yarns of one
    /// grist differ by half as much again in loft.
    pub fn wraps_per_inch(self) -> [f64; 3] {
        PACKING_WRAPPED.map(|packing| CM_PER_INCH * 10.0 / diameter_mm(self.tex, self.density, packing))
    }

    /// What a measured count of wraps per inch (more than 0) says about the yarn.
    pub fn airiness(self, measured_wraps: f64) -> Airiness {
        let [low, _, high] = self.wraps_per_inch();
        if measured_wraps < low {
            Airiness::Airy
        } else if measured_wraps > high {
            Airiness::Dense
        } else {
            Airiness::Usual
        }
    }
}

/// Diameter in mm of a round strand: `d = sqrt(4 tex / (pi 1000 density packing))`, tex in g/km,
/// density in g/cm³, packing the share of the cross-section that is fibre (geometry).
///
/// With packing 0.646 it is the textbook's `d = 4.44e-3 sqrt(tex / density)` cm, with 0.598 and
/// cotton Peirce's `1 / (28 sqrt(Ne))` in; the reference tests check both.
pub fn diameter_mm(tex: Tex, density: f64, packing: f64) -> f64 {
    (4.0 * tex.get() / (std::f64::consts::PI * 1_000.0 * density * packing)).sqrt()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::yarn::{Fibre, TwistAmount, TwistDirection};

    fn strand(metres: f64, fibre: Fibre, spin: Option<Spin>) -> Strand {
        Strand::new(MetresPer100G::new(metres).unwrap(), &Blend::pure(fibre), spin)
    }

    #[test]
    fn woollen_spun_is_thicker_and_cotton_thinner_at_one_grist() {
        let woollen = Spin::new(SpinSystem::Woollen, 2, TwistDirection::S, TwistAmount::Medium).unwrap();
        let wool = strand(225.0, Fibre::Wool, None).pressed_mm();
        assert!(strand(225.0, Fibre::Wool, Some(woollen)).pressed_mm() > wool);
        assert!(strand(225.0, Fibre::Cotton, None).pressed_mm() < wool);
        // Twice as thick takes a quarter of the metres.
        let thick = strand(225.0 / 4.0, Fibre::Wool, None).pressed_mm();
        assert!((thick / wool - 2.0).abs() < 1e-12);
    }

    #[test]
    fn an_unknown_density_is_said_to_be_a_guess() {
        assert_eq!(strand(225.0, Fibre::Yak, None).density_basis, Basis::Judgement);
        assert_eq!(strand(225.0, Fibre::Wool, None).density_basis, Basis::Seen);
    }

    #[test]
    fn few_wraps_for_the_grist_are_an_airy_yarn() {
        let yarn = strand(225.0, Fibre::Wool, None);
        let [low, likely, high] = yarn.wraps_per_inch();
        assert!(low < likely && likely < high);
        assert_eq!(yarn.airiness(low - 1.0), Airiness::Airy);
        assert_eq!(yarn.airiness(likely), Airiness::Usual);
        assert_eq!(yarn.airiness(high + 1.0), Airiness::Dense);
    }
}
