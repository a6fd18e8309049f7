//! How far sRGB reaches at a hue, and the way back into it.

use super::Colour;
use palette::color_difference::EuclideanDistance;
use palette::convert::FromColorUnclamped;
use palette::{Clamp, IntoColor, IsWithinBounds, LinSrgb, Okhsv, Oklab, Oklch};

/// Halvings when searching the edge of the gamut: 0.5 / 2^20 is far below an 8-bit step.
const HALVINGS: usize = 20;

/// Below this distance in Oklab two colours cannot be told apart (CSS Color 4, section 13.2.2).
const JUST_NOTICEABLE: f64 = 0.02;
/// The search over chroma ends here (CSS Color 4, section 13.2.2).
const EPSILON: f64 = 0.0001;

/// A colour brought into sRGB at constant lightness and hue: chroma is reduced until clipping what is
/// left is not noticeable.
///
/// Source: W3C CSS Color Module Level 4, section 13.2.2, "binary search with local MINDE". The pseudocode
/// there has no way on from a colour inside the gamut once one outside it was good enough, which
/// happens where the gamut is hollow along chroma, and would search for ever; such a colour is taken
/// as good enough too.
pub(super) fn into_srgb(origin: Oklch<f64>) -> LinSrgb<f64> {
    if origin.l <= 0.0 {
        return LinSrgb::new(0.0, 0.0, 0.0);
    }
    if origin.l >= 1.0 {
        return LinSrgb::new(1.0, 1.0, 1.0);
    }
    let (mut enough, mut too_much) = (0.0, origin.chroma);
    let mut current = origin;
    while too_much - enough > EPSILON {
        current.chroma = f64::midpoint(enough, too_much);
        let target = LinSrgb::from_color_unclamped(current);
        if target.is_within_bounds() {
            enough = current.chroma;
            continue;
        }
        let clipped = target.clamp();
        let error = Oklab::from_color_unclamped(clipped).distance(Oklab::from_color_unclamped(current));
        if error >= JUST_NOTICEABLE {
            too_much = current.chroma;
        } else if JUST_NOTICEABLE - error < EPSILON {
            return clipped;
        } else {
            enough = current.chroma;
        }
    }
    LinSrgb::from_color_unclamped(current).clamp()
}

impl Colour {
    /// The largest chroma sRGB can show at this lightness (`0..=1`) and hue (degrees).
    pub fn max_chroma(lightness: f64, hue: f64) -> f64 {
        let at = |chroma| Self::clamped(lightness, chroma, hue);
        let (mut inside, mut outside) = (0.0, Self::MAX_CHROMA);
        for _ in 0..HALVINGS {
            let middle = f64::midpoint(inside, outside);
            if at(middle).is_in_gamut() {
                inside = middle;
            } else {
                outside = middle;
            }
        }
        inside
    }

    /// The most colourful colour sRGB can show at a hue (degrees): the cusp of its hue slice.
    ///
    /// Source: Ottosson 2021, "Two new color spaces for color picking": Okhsv with saturation and
    /// value 1.
    pub fn cusp(hue: f64) -> Self {
        let full: Oklch<f64> = Okhsv::new(hue, 1.0, 1.0).into_color();
        Self::clamped(full.l, full.chroma, hue)
    }

    /// The same lightness and hue with no more chroma than sRGB can show.
    ///
    /// Unlike [`Colour::mapped`], which follows CSS Color 4 and may clip by an unnoticeable amount,
    /// this keeps lightness and hue exactly; palettes that are built from lightness need that.
    pub fn within_gamut(self) -> Self {
        if self.is_in_gamut() {
            return self;
        }
        self.with_chroma(Self::max_chroma(self.lightness(), self.hue_angle()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_search_ends_in_the_hollow_beside_blue() {
        // A search that follows the pseudocode to the letter never ends for these.
        let endless = [
            (0.421_454_843_611_759_9, 0.307_241_217_822_893_4, 264.118_205_121_920_5),
            (0.256_259_177_396_117_5, 0.178_132_690_093_980_4, 264.139_884_555_466_6),
            (0.272_651_931_857_532_1, 0.193_672_443_385_858_44, 264.094_260_584_043_6),
            (0.418_965_602_779_562_7, 0.421_409_322_834_348_84, 264.163_779_639_948_1),
        ];
        for (l, c, h) in endless {
            let mapped = Colour::clamped(l, c, h).mapped();
            assert!(mapped.is_in_gamut() && (mapped.lightness() - l).abs() < 0.02, "{mapped:?}");
        }
    }

    #[test]
    fn the_edge_of_the_gamut_is_where_it_is_said_to_be() {
        for hue in (0..360).map(f64::from) {
            for lightness in [0.2, 0.45, 0.7, 0.9] {
                let edge = Colour::max_chroma(lightness, hue);
                assert!(Colour::clamped(lightness, edge, hue).is_in_gamut());
                assert!(!Colour::clamped(lightness, edge + 0.005, hue).is_in_gamut());
            }
        }
    }

    #[test]
    fn no_lightness_is_more_colourful_than_the_cusp() {
        for hue in (0..360).step_by(3).map(f64::from) {
            let widest = (1..200).map(|l| Colour::max_chroma(f64::from(l) / 200.0, hue)).fold(0.0, f64::max);
            let cusp = Colour::cusp(hue).chroma();
            assert!((cusp - widest).abs() < 0.004, "hue {hue}: cusp {cusp}, widest {widest}");
        }
    }

    #[test]
    fn black_and_white_have_no_chroma_to_give() {
        assert!(Colour::max_chroma(1.0, 40.0) < 0.01);
        assert!(Colour::clamped(1.0, 0.3, 40.0).within_gamut().is_in_gamut());
        assert!(Colour::clamped(0.0, 0.3, 40.0).within_gamut().is_in_gamut());
    }
}
