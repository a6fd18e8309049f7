//! Light against dark: CIE L*, its words, and the WCAG contrast ratio.

use super::{Colour, Lab};

/// How well two touching colours are told apart by their value alone.
///
/// The steps are our judgement; no study of knitted fabric backs them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum ValueContrast {
    /// Under 10 L*: the colours melt into one another.
    Merges,
    /// 10 to 20 L*: seen close by.
    Subtle,
    /// 20 to 30 L*: the motif reads.
    Readable,
    /// 30 L* and more.
    Strong,
}

impl ValueContrast {
    /// The step a difference of L* (either sign) falls in.
    pub fn of(lstar_difference: f64) -> Self {
        match lstar_difference.abs() {
            d if d < 10.0 => Self::Merges,
            d if d < 20.0 => Self::Subtle,
            d if d < 30.0 => Self::Readable,
            _ => Self::Strong,
        }
    }

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Merges => "Merges",
            Self::Subtle => "Subtle",
            Self::Readable => "Readable",
            Self::Strong => "Strong",
        }
    }
}

impl Colour {
    /// The neutral grey of a CIE L* (`0..=100`).
    pub fn grey(lstar: f64) -> Self {
        Self::from_lab(Lab::new(lstar.clamp(0.0, 100.0), 0.0, 0.0)).with_chroma(0.0)
    }

    /// The grey of equal L*: how the colour looks in a greyscale photograph.
    pub fn greyscale(self) -> Self {
        Self::grey(self.lstar())
    }

    /// The colour of the same hue whose CIE L* (`0..=100`) is this one, with its chroma lowered where
    /// sRGB cannot show it; exact to 0.001 L*.
    pub fn with_lstar(self, lstar: f64) -> Self {
        let at = |lightness| self.with_lightness(lightness).within_gamut();
        let (mut dark, mut light) = (0.0, 1.0);
        for _ in 0..24 {
            let middle = f64::midpoint(dark, light);
            if at(middle).lstar() < lstar {
                dark = middle;
            } else {
                light = middle;
            }
        }
        at(f64::midpoint(dark, light))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_steps_begin_where_they_say() {
        let named: Vec<_> =
            [0.0, 9.99, 10.0, -19.99, 20.0, 30.0, -99.0].map(|d| ValueContrast::of(d).name()).into();
        assert_eq!(named, ["Merges", "Merges", "Subtle", "Subtle", "Readable", "Strong", "Strong"]);
    }

    #[test]
    fn a_grey_keeps_its_value() {
        for hex in ["#1f2a4d", "#c9971c", "#a3421f", "#ffff00", "#0000ff"] {
            let colour = Colour::from_hex(hex).unwrap();
            let grey = colour.greyscale();
            assert_eq!(grey.hue(), None);
            assert!((grey.lstar() - colour.lstar()).abs() < 1e-3);
        }
    }

    #[test]
    fn a_wished_value_is_met_at_every_hue() {
        for hue in (0..360).step_by(10).map(f64::from) {
            for lstar in [12.0, 40.0, 65.0, 92.0] {
                let colour = Colour::clamped(0.6, 0.2, hue).with_lstar(lstar);
                assert!((colour.lstar() - lstar).abs() < 1e-3, "hue {hue}: {} for {lstar}", colour.lstar());
                assert!(colour.is_in_gamut());
                assert_eq!(colour.hue_angle(), hue);
            }
        }
    }
}
