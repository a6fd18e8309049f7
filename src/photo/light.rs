//! The colour of a light in words a knitter knows.

use super::balance::Light;
use super::oklab::xyz_to_oklab;

/// Distance from the blackbody's colour (CIE 1960 uv) up to which a colour temperature means
/// anything (CIE 15:2004 section 9.5).
const FURTHEST: f64 = 0.05;
/// Distance from which a tint shows: about the tolerance of white lamps (ANSI C78.377, from memory).
const TINTED: f64 = 0.006;
/// Below this Oklab chroma the picture is as good as in daylight (D50 has 0.047).
const NO_CAST: f64 = 0.015;

/// How warm a light is: the words are those printed on lamps, the temperatures where one word ends
/// are common practice, no published source.
const WORDS: [(f64, &str); 7] = [
    (2200.0, "like a candle"),
    (2600.0, "very warm, like a dim filament lamp"),
    (3400.0, "warm, like a lamp at home"),
    (4300.0, "a little warm, like a white lamp"),
    (5400.0, "like noon sun"),
    (7000.0, "like daylight"),
    (f64::INFINITY, "cool, like open shade"),
];

/// Where the Oklab hues of one colour word end, in degrees (our judgement).
const HUES: [(f32, &str); 6] =
    [(50.0, "red"), (120.0, "yellow"), (190.0, "green"), (285.0, "blue"), (345.0, "violet"), (360.0, "red")];

/// What the light of a picture is said to have been, where nothing in it was measured.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum LightSource {
    /// Nobody knows.
    #[default]
    Unknown,
    /// The sky, the sun, or a lamp of 5000 K and more.
    Daylight,
    /// A lamp of about 4000 K.
    WhiteLamp,
    /// A filament lamp, or one of less than 3500 K.
    WarmLamp,
}

impl LightSource {
    /// All, the unknown first.
    pub const ALL: [Self; 4] = [Self::Unknown, Self::Daylight, Self::WhiteLamp, Self::WarmLamp];

    /// As it is chosen.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Unknown => "Not known",
            Self::Daylight => "Daylight",
            Self::WhiteLamp => "White lamp",
            Self::WarmLamp => "Warm lamp",
        }
    }

    /// As it is asked for and written.
    pub const fn key(self) -> &'static str {
        match self {
            Self::Unknown => "unknown",
            Self::Daylight => "daylight",
            Self::WhiteLamp => "white-lamp",
            Self::WarmLamp => "warm-lamp",
        }
    }

    /// The light of this key.
    pub fn by_key(key: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|source| source.key() == key)
    }
}

impl Light {
    /// CIE 1931 x and y of the light.
    fn chromaticity(&self) -> (f64, f64) {
        let [x, y, z] = self.white;
        let sum = x + y + z;
        (x / sum, y / sum)
    }

    /// Correlated colour temperature in kelvin, after `McCamy` 1992 (*Color Res. Appl.* 17:142); `None`
    /// when the light is too far from any blackbody's, or outside 2000 to 12 500 K where the formula
    /// is good.
    pub fn kelvin(&self) -> Option<f64> {
        let (x, y) = self.chromaticity();
        let n = (x - 0.3320) / (0.1858 - y);
        let kelvin = 449.0 * n.powi(3) + 3525.0 * n * n + 6823.3 * n + 5520.33;
        let is_near = |kelvin: f64| self.off_blackbody(kelvin).abs() <= FURTHEST;
        Some(kelvin).filter(|kelvin| (2000.0..=12_500.0).contains(kelvin) && is_near(*kelvin))
    }

    /// Distance from the blackbody of this temperature in CIE 1960 uv: more than 0 toward green, less
    /// toward pink. The blackbody's place is after Krystek 1985 (*Color Res. Appl.* 10:38).
    fn off_blackbody(&self, kelvin: f64) -> f64 {
        let (x, y) = self.chromaticity();
        let below = -2.0 * x + 12.0 * y + 3.0;
        let (u, v) = (4.0 * x / below, 6.0 * y / below);
        let t = kelvin;
        let black_u = (0.860_117_757 + 1.541_182_54e-4 * t + 1.286_412_12e-7 * t * t)
            / (1.0 + 8.424_202_35e-4 * t + 7.081_451_63e-7 * t * t);
        let black_v = (0.317_398_726 + 4.228_062_45e-5 * t + 4.204_816_91e-8 * t * t)
            / (1.0 - 2.897_418_16e-5 * t + 1.614_560_53e-7 * t * t);
        (u - black_u).hypot(v - black_v).copysign(v - black_v)
    }

    /// The light in a sentence, as the picture shows it: the camera may have taken part of its
    /// colour out already.
    pub fn words(&self) -> String {
        if self.cast < NO_CAST {
            return "No cast: the picture already looks as in daylight.".to_owned();
        }
        let Some(kelvin) = self.kelvin() else {
            let [_, a, b] = xyz_to_oklab(self.white);
            let hue = b.atan2(a).to_degrees().rem_euclid(360.0);
            let colour = HUES.iter().find(|(most, _)| hue < *most).map_or("red", |(_, colour)| colour);
            return format!("A strong {colour} cast, unlike any lamp or daylight.");
        };
        let words = WORDS.iter().find(|(most, _)| kelvin < *most).map_or("", |(_, words)| words);
        let tint = match self.off_blackbody(kelvin) {
            off if off > TINTED => ", with a green tint",
            off if off < -TINTED => ", with a pink tint",
            _ => "",
        };
        format!("About {:.0} K: {words}{tint}.", (kelvin / 50.0).round() * 50.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A light of this chromaticity with a cast that shows.
    fn light(x: f64, y: f64) -> Light {
        Light { white: [x / y, 1.0, (1.0 - x - y) / y], cast: 0.05, exposure: 1.0 }
    }

    #[test]
    fn standard_illuminants_have_their_published_temperatures() {
        // Chromaticities and temperatures of CIE 15:2004 (tables T.3 and 11.1): A, D50, D55, D65, D75.
        for (x, y, kelvin) in [
            (0.44757, 0.40745, 2856.0),
            (0.34567, 0.35850, 5003.0),
            (0.33242, 0.34743, 5503.0),
            (0.31272, 0.32903, 6504.0),
            (0.29902, 0.31485, 7504.0),
        ] {
            let found = light(x, y).kelvin().unwrap();
            assert!((found / kelvin - 1.0).abs() < 0.005, "{found} is not {kelvin}");
        }
    }

    #[test]
    fn a_light_is_told_in_words() {
        assert_eq!(light(0.44757, 0.40745).words(), "About 2850 K: warm, like a lamp at home.");
        assert_eq!(light(0.31272, 0.32903).words(), "About 6500 K: like daylight.");
        // Fluorescent FL2 (CIE 15:2004 table T.6) has 4230 K and hardly a tint; more green shows.
        assert!(light(0.3721, 0.3751).words().starts_with("About 4250 K: a little warm"));
        assert!(light(0.3721, 0.3951).words().contains("green"));
        assert!(light(0.3721, 0.3451).words().contains("pink"));
        assert!(light(0.25, 0.60).words().starts_with("A strong green cast"));
        let plain = Light { cast: 0.0, ..light(0.3127, 0.329) };
        assert!(plain.words().starts_with("No cast"));
    }
}
