//! Tint, shade and tone, in Oklab, and the two sliders that reach every colour of a hue.

use super::Colour;

/// How far the gamut bows out of the triangle white, cusp, black at most, as a factor on the cusp's
/// chroma (1.27 over the 8-bit colours, at near-white yellow). Toward black it does not bow: scaling
/// light scales Oklab, so the edge runs straight from black to the cusp.
const BOW: f64 = 1.3;

/// The colour a part of the way from one to another, straight through Oklab; `amount` is pulled into
/// `0..=1`.
pub fn mix(from: Colour, to: Colour, amount: f64) -> Colour {
    let t = if amount.is_nan() { 0.0 } else { amount.clamp(0.0, 1.0) };
    // Mixing with a grey only scales the chroma; going through a and b would lose a grey's held hue.
    if to.hue().is_none() {
        return Colour::clamped(
            from.lightness() + t * (to.lightness() - from.lightness()),
            from.chroma() * (1.0 - t),
            from.hue_angle(),
        );
    }
    let ((l1, a1, b1), (l2, a2, b2)) = (from.to_oklab(), to.to_oklab());
    Colour::from_oklab(l1 + t * (l2 - l1), a1 + t * (a2 - a1), b1 + t * (b2 - b1))
}

/// Toward white; `amount` 0 leaves the colour, 1 is white.
pub fn tint(colour: Colour, amount: f64) -> Colour {
    mix(colour, Colour::WHITE, amount)
}

/// Toward black; `amount` 0 leaves the colour, 1 is black.
pub fn shade(colour: Colour, amount: f64) -> Colour {
    mix(colour, Colour::BLACK, amount)
}

/// Toward the neutral grey of equal lightness; `amount` 0 leaves the colour, 1 is grey.
pub fn tone(colour: Colour, amount: f64) -> Colour {
    mix(colour, colour.with_chroma(0.0), amount)
}

/// A colour told by two sliders from the pure colour of its hue: first tinted or shaded, then toned.
///
/// Pure colour, white and black span a triangle in the lightness-chroma plane of the hue, and the two
/// numbers are coordinates of it: sliders and a drag in that plane are the same thing seen twice.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Blend {
    /// -1 black (shade), 0 the pure colour's lightness, 1 white (tint).
    pub lightness_shift: f64,
    /// 0 as colourful as the triangle allows, 1 grey.
    pub tone: f64,
}

impl Blend {
    /// Splits a colour into the pure colour of its hue and the blend that makes it from that.
    ///
    /// Colour outside sRGB is brought to its edge first. The pure colour is the cusp of the hue
    /// ([`Colour::cusp`]), reached out a little where the colour lies beyond the straight edge of the
    /// triangle (the true gamut is slightly bowed), so that [`Blend::apply`] gives the colour back.
    /// Keep the pure colour while a slider is held: at black, white or grey it cannot be told.
    pub fn split(colour: Colour) -> (Colour, Self) {
        let colour = as_shown(colour);
        let cusp = Colour::cusp(colour.hue_angle());
        let edge = edge_chroma(cusp, colour.lightness());
        let reach = if edge > 0.0 { (colour.chroma() / edge).clamp(1.0, BOW) } else { 1.0 };
        let pure = cusp.with_chroma(cusp.chroma() * reach);
        (pure, Self::between(pure, colour))
    }

    /// The blend that leads from a pure colour to the lightness and chroma of another, for a drag in
    /// the lightness-chroma plane; chroma beyond the triangle is cut to its edge.
    pub fn between(pure: Colour, colour: Colour) -> Self {
        let (full, l) = (pure.lightness(), colour.lightness());
        let lightness_shift = match l - full {
            up if up > 0.0 => up / (1.0 - full),
            down if down < 0.0 => down / full,
            _ => 0.0,
        };
        let edge = edge_chroma(pure, l);
        let tone = if edge > 0.0 { (1.0 - colour.chroma() / edge).clamp(0.0, 1.0) } else { 0.0 };
        Self { lightness_shift, tone }
    }

    /// Makes the colour: `pure` tinted or shaded by the shift, then toned. It may lie slightly outside
    /// sRGB. Numbers out of range are pulled in.
    pub fn apply(self, pure: Colour) -> Colour {
        let shifted = if self.lightness_shift < 0.0 {
            shade(pure, -self.lightness_shift)
        } else {
            tint(pure, self.lightness_shift)
        };
        tone(shifted, self.tone)
    }
}

/// The colour as sRGB shows it, with no channel outside `0..=1`.
///
/// [`Colour::mapped`] lets a channel leave that range by a hair no screen can show. Next to black the
/// hair is more than the whole colour, and would reach the pure colour out many times its chroma.
fn as_shown(colour: Colour) -> Colour {
    // What the conversions there and back leave.
    const ROUNDING: f64 = 1e-5;
    if colour.to_srgb_unmapped().iter().all(|channel| (-ROUNDING..=1.0 + ROUNDING).contains(channel)) {
        return colour;
    }
    let [r, g, b] = colour.to_srgb();
    let shown = Colour::from_srgb(r, g, b);
    // A near-grey would lose the hue the user is holding.
    if shown.hue().is_none() { shown.with_hue(colour.hue_angle()) } else { shown }
}

/// Chroma of the triangle white, pure, black at a lightness.
fn edge_chroma(pure: Colour, l: f64) -> f64 {
    let full = pure.lightness();
    let part = if l > full {
        (1.0 - l) / (1.0 - full)
    } else if full > 0.0 {
        l / full
    } else {
        0.0
    };
    pure.chroma() * part
}

#[cfg(test)]
mod tests {
    use super::*;

    fn near(a: Colour, b: Colour) -> bool {
        let ((l1, a1, b1), (l2, a2, b2)) = (a.to_oklab(), b.to_oklab());
        (l1 - l2).abs() < 1e-9 && (a1 - a2).abs() < 1e-9 && (b1 - b2).abs() < 1e-9
    }

    #[test]
    fn the_ends_are_white_black_and_grey() {
        let rust = Colour::from_hex("#a3421f").unwrap();
        assert!(near(tint(rust, 1.0), Colour::WHITE));
        assert!(near(shade(rust, 1.0), Colour::BLACK));
        assert!(near(tone(rust, 1.0), rust.with_chroma(0.0)));
        assert_eq!(tone(rust, 1.0).lightness(), rust.lightness());
        for blend in [tint, shade, tone] {
            assert!(near(blend(rust, 0.0), rust));
            assert!(near(blend(rust, f64::NAN), rust));
            // The hue is held all the way, so that a slider can come back from grey.
            assert_eq!(blend(rust, 1.0).hue_angle(), rust.hue_angle());
        }
    }

    #[test]
    fn a_tint_is_lighter_and_a_shade_darker() {
        let rust = Colour::from_hex("#a3421f").unwrap();
        assert!(tint(rust, 0.3).lstar() > rust.lstar());
        assert!(shade(rust, 0.3).lstar() < rust.lstar());
        assert!(tint(rust, 0.3).chroma() < rust.chroma());
    }

    #[test]
    fn mixing_two_colours_meets_halfway() {
        let [a, b] = ["#1f2a4d", "#c9971c"].map(|hex| Colour::from_hex(hex).unwrap());
        assert!(near(mix(a, b, 0.5), mix(b, a, 0.5)));
        assert!(near(mix(a, b, 1.0), b));
    }

    #[test]
    fn sliders_and_plane_are_the_same_thing() {
        for step in 0..512_u32 {
            let rgb = [step % 8, step / 8 % 8, step / 64].map(|v| (v * 36) as u8);
            let colour = Colour::from_srgb8(rgb);
            let (pure, blend) = Blend::split(colour);
            assert!(near(blend.apply(pure), colour), "{rgb:?} {blend:?}");
            assert!((-1.0..=1.0).contains(&blend.lightness_shift) && (0.0..=1.0).contains(&blend.tone));
        }
    }

    #[test]
    fn the_gamut_bows_out_less_than_is_allowed_for() {
        for step in (0..1 << 24).step_by(499) {
            let colour = Colour::from_srgb8([step, step >> 8, step >> 16].map(|v| v as u8));
            let edge = edge_chroma(Colour::cusp(colour.hue_angle()), colour.lightness());
            assert!(colour.chroma() <= BOW * edge + 1e-6, "{}", colour.to_hex());
        }
    }

    #[test]
    fn next_to_black_and_white_every_colour_comes_back_too() {
        let near_ends = (0..40).map(|step| f64::from(step) / 250.0);
        for lightness in near_ends.flat_map(|l| [l, 1.0 - l]) {
            for hue in (0..360).step_by(12).map(f64::from) {
                for chroma in [0.0, 2e-4, 1e-3, 0.01, 0.05, 0.2] {
                    let colour = Colour::clamped(lightness, chroma, hue);
                    let (pure, blend) = Blend::split(colour);
                    let (back, shown) = (blend.apply(pure).to_srgb8(), colour.to_srgb8());
                    let near = back.iter().zip(shown).all(|(a, b)| a.abs_diff(b) <= 1);
                    assert!(near, "{colour:?}: {back:?}, not {shown:?}");
                }
            }
        }
    }

    #[test]
    fn a_drag_past_the_edge_stops_there() {
        let pure = Colour::cusp(40.0);
        let blend = Blend::between(pure, pure.with_chroma(0.5));
        assert_eq!(blend, Blend { lightness_shift: 0.0, tone: 0.0 });
    }
}
