//! How harmonious two colours were judged, as a hint.
//!
//! Source: Ou and Luo 2006, "A colour harmony model for two-colour combinations" (*Color Res. Appl.*
//! 31:191). All formulas and constants here are from memory of the paper; the tests check the
//! tendencies the paper reports, not printed values.
//!
//! Known weakness: it comes from two even patches on a grey screen, and it rewards sameness (equal hue
//! and chroma), so the best pair for it is nearly one colour twice. Never use it alone.

use super::Lab;

/// The parts of the model; each may be negative.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct PairHarmony {
    /// Chroma and hue difference: the less, the more harmonious.
    pub chroma: f64,
    /// Lightness: light pairs and a difference of lightness are more harmonious.
    pub lightness: f64,
    /// Hue: blues more, reds less; bright yellows more, dark ones less.
    pub hue: f64,
}

impl PairHarmony {
    /// The harmony of two colours (D65), each with its [`hue_effect`]; the same both ways.
    pub(super) fn with_hue_effects((a, effect_a): (Lab, f64), (b, effect_b): (Lab, f64)) -> Self {
        let chroma_gap = a.a.hypot(a.b) - b.a.hypot(b.b);
        let hue_gap_squared = ((a.a - b.a).powi(2) + (a.b - b.b).powi(2) - chroma_gap.powi(2)).max(0.0);
        let gap = (hue_gap_squared + (chroma_gap / 1.46).powi(2)).sqrt();
        let sum = 0.28 + 0.54 * (-3.88 + 0.029 * (a.l + b.l)).tanh();
        let difference = 0.14 + 0.15 * (-2.0 + 0.2 * (a.l - b.l).abs()).tanh();
        Self {
            chroma: 0.04 + 0.53 * (0.8 - 0.045 * gap).tanh(),
            lightness: sum + difference,
            hue: effect_a + effect_b,
        }
    }

    /// The sum of the parts: above 0 harmonious, below 0 not; about -1 to 1.5.
    pub fn total(self) -> f64 {
        self.chroma + self.lightness + self.hue
    }
}

/// What a colour's own hue adds to any pair it is in.
pub(super) fn hue_effect(colour: Lab) -> f64 {
    let hue = colour.b.atan2(colour.a).to_degrees().rem_euclid(360.0);
    let chroma_effect = 0.5 + 0.5 * (-2.0 + 0.5 * colour.a.hypot(colour.b)).tanh();
    let hue_preference =
        -0.08 - 0.14 * (hue + 50.0).to_radians().sin() - 0.07 * (2.0 * hue + 90.0).to_radians().sin();
    let from_yellow = (90.0 - hue) / 10.0;
    let yellow_effect = (0.22 * colour.l - 12.8) / 10.0 * (from_yellow - from_yellow.exp()).exp();
    chroma_effect * (hue_preference + yellow_effect)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::PI;

    fn lch(l: f64, c: f64, degrees: f64) -> Lab {
        let h = degrees * PI / 180.0;
        Lab::new(l, c * h.cos(), c * h.sin())
    }

    fn between(a: Lab, b: Lab) -> PairHarmony {
        PairHarmony::with_hue_effects((a, hue_effect(a)), (b, hue_effect(b)))
    }

    fn total(a: Lab, b: Lab) -> f64 {
        between(a, b).total()
    }

    #[test]
    fn it_is_the_same_both_ways() {
        let (a, b) = (lch(30.0, 50.0, 280.0), lch(70.0, 60.0, 80.0));
        assert!((total(a, b) - total(b, a)).abs() < 1e-12);
    }

    #[test]
    fn like_hues_and_chromas_score_more() {
        let base = lch(50.0, 40.0, 250.0);
        let score = |other| between(base, other).chroma;
        assert!(score(lch(50.0, 40.0, 250.0)) > score(lch(50.0, 40.0, 270.0)));
        assert!(score(lch(50.0, 40.0, 270.0)) > score(lch(50.0, 40.0, 340.0)));
        assert!(score(lch(50.0, 35.0, 250.0)) > score(lch(50.0, 5.0, 250.0)));
        // The weakness itself: nothing beats a colour beside its own twin in this part.
        assert!((score(base) - (0.04 + 0.53 * 0.8_f64.tanh())).abs() < 1e-12);
    }

    #[test]
    fn lighter_pairs_and_a_step_of_lightness_score_more() {
        let score = |l1, l2| between(lch(l1, 20.0, 250.0), lch(l2, 20.0, 250.0)).lightness;
        assert!(score(80.0, 70.0) > score(40.0, 30.0));
        assert!(score(70.0, 50.0) > score(60.0, 60.0));
    }

    #[test]
    fn blue_is_the_most_harmonious_hue_and_red_the_least() {
        let effect = |hue: i32| hue_effect(lch(50.0, 40.0, f64::from(hue)));
        let best = (0..360).max_by(|a, b| effect(*a).total_cmp(&effect(*b))).unwrap();
        let worst = (0..360).min_by(|a, b| effect(*a).total_cmp(&effect(*b))).unwrap();
        assert!((220..300).contains(&best), "most harmonious at {best}");
        assert!(!(90..=330).contains(&worst), "least harmonious at {worst}");
    }

    #[test]
    fn bright_yellow_scores_more_than_dark_yellow() {
        assert!(hue_effect(lch(85.0, 60.0, 90.0)) > hue_effect(lch(40.0, 60.0, 90.0)) + 0.2);
        // At blue the yellow term is gone: lightness makes no difference.
        let [light, dark] = [85.0, 40.0].map(|l| hue_effect(lch(l, 60.0, 270.0)));
        assert!((light - dark).abs() < 1e-6);
    }

    #[test]
    fn greys_have_hardly_any_hue_effect() {
        assert!(hue_effect(lch(50.0, 0.0, 30.0)).abs() < 0.01);
        assert!(hue_effect(lch(50.0, 40.0, 30.0)).abs() > 0.2);
    }

    #[test]
    fn every_screen_colour_scores_within_the_stated_range() {
        let labs: Vec<Lab> = (0..216_u32)
            .map(|i| {
                super::super::Colour::from_srgb8([i % 6, i / 6 % 6, i / 36].map(|v| (v * 51) as u8)).to_lab()
            })
            .collect();
        for a in &labs {
            for b in &labs {
                assert!((-1.25..1.5).contains(&total(*a, *b)), "{a:?} {b:?}: {}", total(*a, *b));
            }
        }
    }
}
