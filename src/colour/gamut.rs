//! How far sRGB reaches at a hue.

use super::Colour;
use palette::{IntoColor, Okhsv, Oklch};

/// Halvings when searching the edge of the gamut: 0.5 / 2^20 is far below an 8-bit step.
const HALVINGS: usize = 20;

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
