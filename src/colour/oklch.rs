//! The one colour type of the program and its conversions.

use super::gamut;
use palette::white_point::D65;
use palette::{IntoColor, Srgb};
use thiserror::Error;

/// CIE L*a*b* under D65 (2 degree observer); L* in `0..=100`.
pub type Lab = palette::Lab<D65, f64>;

/// Below this chroma a colour is a grey and its hue means nothing.
///
/// CSS Color 4 section 4.4 treats a chroma this small as having a powerless hue (epsilon for Oklch).
const GREY_CHROMA: f64 = 4e-4;

/// How far an sRGB channel may leave `0..=1` before the colour counts as outside the gamut:
/// a quarter of one 8-bit step, which no screen can show.
const GAMUT_TOLERANCE: f64 = 1.0 / 1020.0;

/// Why a colour was refused.
#[derive(Clone, Debug, Error, PartialEq)]
pub enum ColourError {
    /// Not `#rgb` or `#rrggbb`.
    #[error("'{0}' is not a colour: write # and six hex digits, like #1f2a4d")]
    Hex(String),
    /// A coordinate that is not a number, or out of its range.
    #[error("{what} must be {expected}, not {found}")]
    Range {
        /// The coordinate.
        what: &'static str,
        /// The accepted range.
        expected: &'static str,
        /// The value given.
        found: String,
    },
}

/// A colour in Oklch (Ottosson 2020): lightness `0..=1`, chroma `0..=0.5`, hue in degrees `0..360`.
///
/// It may lie outside sRGB; [`Colour::to_srgb`] brings it back by the CSS Color 4 method and
/// [`Colour::is_in_gamut`] tells whether that changes it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Colour {
    l: f64,
    c: f64,
    h: f64,
}

impl Colour {
    /// Black.
    pub const BLACK: Self = Self { l: 0.0, c: 0.0, h: 0.0 };
    /// White.
    pub const WHITE: Self = Self { l: 1.0, c: 0.0, h: 0.0 };
    /// Largest accepted chroma: beyond every real surface colour and the sRGB and P3 gamuts.
    pub const MAX_CHROMA: f64 = 0.5;

    /// A colour from Oklch coordinates; the hue is taken round the circle.
    ///
    /// # Errors
    /// [`ColourError::Range`] when a coordinate is not finite, `l` is outside `0..=1` or `c`
    /// outside `0..=0.5`.
    pub fn new(l: f64, c: f64, h: f64) -> Result<Self, ColourError> {
        let range =
            |what, expected, found: f64| ColourError::Range { what, expected, found: found.to_string() };
        if !(0.0..=1.0).contains(&l) {
            return Err(range("lightness", "between 0 and 1", l));
        }
        if !(0.0..=Self::MAX_CHROMA).contains(&c) {
            return Err(range("chroma", "between 0 and 0.5", c));
        }
        if !h.is_finite() {
            return Err(range("hue", "a number of degrees", h));
        }
        Ok(Self { l, c, h: h.rem_euclid(360.0) })
    }

    /// Like [`Colour::new`], pulling every coordinate into its range instead of refusing it.
    pub fn clamped(l: f64, c: f64, h: f64) -> Self {
        let finite = |v: f64| if v.is_finite() { v } else { 0.0 };
        Self {
            l: finite(l).clamp(0.0, 1.0),
            c: finite(c).clamp(0.0, Self::MAX_CHROMA),
            h: finite(h).rem_euclid(360.0),
        }
    }

    /// From gamma-encoded sRGB, each channel `0..=1`.
    pub fn from_srgb(r: f64, g: f64, b: f64) -> Self {
        let oklch: palette::Oklch<f64> = Srgb::new(r, g, b).into_color();
        Self::clamped(oklch.l, oklch.chroma, oklch.hue.into_positive_degrees())
    }

    /// From 8-bit sRGB.
    pub fn from_srgb8([r, g, b]: [u8; 3]) -> Self {
        Self::from_srgb(f64::from(r) / 255.0, f64::from(g) / 255.0, f64::from(b) / 255.0)
    }

    /// From CIE L*a*b* (D65).
    pub fn from_lab(lab: Lab) -> Self {
        let oklch: palette::Oklch<f64> = lab.into_color();
        Self::clamped(oklch.l, oklch.chroma, oklch.hue.into_positive_degrees())
    }

    /// From Oklab coordinates.
    pub fn from_oklab(l: f64, a: f64, b: f64) -> Self {
        Self::clamped(l, a.hypot(b), b.atan2(a).to_degrees())
    }

    /// From `#rrggbb` or `#rgb`, the `#` optional, spaces around it ignored.
    ///
    /// # Errors
    /// [`ColourError::Hex`] naming what was typed.
    pub fn from_hex(text: &str) -> Result<Self, ColourError> {
        let wrong = || ColourError::Hex(crate::plain_text::quoted(text.trim()));
        let digits: Vec<u8> = text
            .trim()
            .trim_start_matches('#')
            .chars()
            .map(|c| c.to_digit(16).map(|d| d as u8).ok_or_else(wrong))
            .collect::<Result<_, _>>()?;
        match digits[..] {
            [r, g, b] => Ok(Self::from_srgb8([r * 17, g * 17, b * 17])),
            [r1, r0, g1, g0, b1, b0] => Ok(Self::from_srgb8([r1 * 16 + r0, g1 * 16 + g0, b1 * 16 + b0])),
            _ => Err(wrong()),
        }
    }

    /// Oklab lightness, `0..=1`.
    pub const fn lightness(self) -> f64 {
        self.l
    }

    /// Oklch chroma, `0..=0.5`.
    pub const fn chroma(self) -> f64 {
        self.c
    }

    /// Hue angle in degrees, `0..360`, also for greys (where it carries the last chosen hue so that
    /// a slider can be dragged through grey); see [`Colour::hue`] for the meaningful one.
    pub const fn hue_angle(self) -> f64 {
        self.h
    }

    /// Hue in degrees, or `None` for a grey.
    pub fn hue(self) -> Option<f64> {
        (self.c > GREY_CHROMA).then_some(self.h)
    }

    /// Oklab `(l, a, b)`.
    pub fn to_oklab(self) -> (f64, f64, f64) {
        let (sin, cos) = self.h.to_radians().sin_cos();
        (self.l, self.c * cos, self.c * sin)
    }

    /// The same colour with another lightness.
    pub fn with_lightness(self, l: f64) -> Self {
        Self::clamped(l, self.c, self.h)
    }

    /// The same colour with another chroma.
    pub fn with_chroma(self, c: f64) -> Self {
        Self::clamped(self.l, c, self.h)
    }

    /// The same colour with another hue, in degrees.
    pub fn with_hue(self, h: f64) -> Self {
        Self::clamped(self.l, self.c, h)
    }

    /// Whether sRGB can show the colour as it is.
    pub fn is_in_gamut(self) -> bool {
        let rgb = self.to_srgb_unmapped();
        rgb.iter().all(|v| (-GAMUT_TOLERANCE..=1.0 + GAMUT_TOLERANCE).contains(v))
    }

    /// Gamma-encoded sRGB without gamut mapping: channels may leave `0..=1`.
    pub fn to_srgb_unmapped(self) -> [f64; 3] {
        let rgb: Srgb<f64> = palette::convert::FromColorUnclamped::from_color_unclamped(self.oklch());
        [rgb.red, rgb.green, rgb.blue]
    }

    /// Gamma-encoded sRGB, `0..=1`, brought into the gamut by the CSS Color 4 method
    /// (chroma reduced at constant hue and lightness, section 13.2.2 "binary search with local MINDE").
    pub fn to_srgb(self) -> [f64; 3] {
        if self.is_in_gamut() {
            return self.to_srgb_unmapped().map(|v| v.clamp(0.0, 1.0));
        }
        let rgb: Srgb<f64> = gamut::into_srgb(self.oklch()).into_color();
        [rgb.red, rgb.green, rgb.blue].map(|v| v.clamp(0.0, 1.0))
    }

    /// 8-bit sRGB, gamut mapped.
    pub fn to_srgb8(self) -> [u8; 3] {
        self.to_srgb().map(|v| (v * 255.0).round() as u8)
    }

    /// The nearest colour of the same hue and lightness that sRGB can show; unchanged when it can already.
    pub fn mapped(self) -> Self {
        if self.is_in_gamut() {
            return self;
        }
        let [r, g, b] = self.to_srgb();
        let back = Self::from_srgb(r, g, b);
        // A mapped near-grey would lose the hue the user is holding.
        if back.hue().is_none() { back.with_hue(self.h) } else { back }
    }

    /// `#rrggbb`, gamut mapped.
    pub fn to_hex(self) -> String {
        let [r, g, b] = self.to_srgb8();
        format!("#{r:02x}{g:02x}{b:02x}")
    }

    /// CIE L*a*b* (D65).
    pub fn to_lab(self) -> Lab {
        self.oklch().into_color()
    }

    /// CIE L* (D65), `0..=100`: the value a knitter sees in a greyscale photograph.
    pub fn lstar(self) -> f64 {
        self.to_lab().l
    }

    fn oklch(self) -> palette::Oklch<f64> {
        palette::Oklch::new(self.l, self.c, self.h)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hex_round_trips_for_every_grey_and_primary() {
        for hex in ["#000000", "#ffffff", "#ff0000", "#00ff00", "#0000ff", "#7f7f7f", "#1f2a4d"] {
            assert_eq!(Colour::from_hex(hex).unwrap().to_hex(), hex);
        }
        assert_eq!(Colour::from_hex(" fa0 ").unwrap().to_hex(), "#ffaa00");
    }

    #[test]
    fn bad_hex_names_what_was_typed() {
        let message = Colour::from_hex("#12345g").unwrap_err().to_string();
        assert!(message.contains("#12345g"), "{message}");
        assert!(Colour::from_hex("").is_err());
        assert!(Colour::from_hex("#é").is_err());
    }

    #[test]
    fn greys_have_no_hue() {
        assert_eq!(Colour::from_hex("#808080").unwrap().hue(), None);
        assert!(Colour::from_hex("#1f2a4d").unwrap().hue().is_some());
    }

    #[test]
    fn not_a_number_is_refused_or_tamed() {
        assert!(Colour::new(f64::NAN, 0.1, 0.0).is_err());
        assert_eq!(Colour::clamped(f64::NAN, f64::INFINITY, f64::NAN), Colour::BLACK);
    }
}
