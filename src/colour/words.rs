//! A colour in plain words, for readers who cannot see it.

use super::Colour;

/// Chroma (Oklch) below which a colour is called grey, and below which greyish (our judgement).
const GREY: f64 = 0.012;
const GREYISH: f64 = 0.06;

/// Where the everyday hue words begin on the Oklch circle, in degrees (our judgement, checked against
/// the named colours of CSS Color 4).
const HUES: [(f64, &str); 9] = [
    (15.0, "red"),
    (42.0, "orange"),
    (85.0, "yellow"),
    (118.0, "green"),
    (168.0, "blue-green"),
    (220.0, "blue"),
    (290.0, "purple"),
    (335.0, "pink"),
    (360.0, "pink"),
];

/// How light a colour is, in a word: fifths of the L* scale.
fn lightness(lstar: f64) -> &'static str {
    match lstar {
        l if l < 20.0 => "very dark",
        l if l < 40.0 => "dark",
        l if l < 60.0 => "middling",
        l if l < 80.0 => "light",
        _ => "very light",
    }
}

fn hue_word(degrees: f64) -> &'static str {
    let after = HUES.iter().rev().find(|(from, _)| degrees >= *from);
    // Below the first border the circle closes: pink runs into red.
    after.map_or("pink", |(_, word)| word)
}

impl Colour {
    /// The everyday word for its hue, `grey` where there is none to speak of.
    pub fn hue_word(self) -> &'static str {
        if self.chroma() < GREY { "grey" } else { hue_word(self.hue_angle()) }
    }

    /// Lightness and hue in words, e.g. `dark blue`, `light greyish red`, `very light grey`.
    pub fn words(self) -> String {
        let light = lightness(self.lstar());
        let (chroma, hue) = (self.chroma(), hue_word(self.hue_angle()));
        match chroma {
            c if c < GREY => match self.lstar() {
                l if l < 10.0 => "black".to_owned(),
                l if l > 95.0 => "white".to_owned(),
                _ => format!("{light} grey"),
            },
            c if c < GREYISH => format!("{light} greyish {hue}"),
            _ => format!("{light} {hue}"),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Named colours of CSS Color 4 (W3C), whose names say what people call them.
    #[test]
    fn named_colours_are_called_by_their_names() {
        for (hex, words) in [
            ("#000000", "black"),
            ("#ffffff", "white"),
            ("#808080", "middling grey"),
            ("#00008b", "very dark blue"),
            ("#006400", "dark green"),
            ("#ffc0cb", "very light pink"),
            ("#ff0000", "middling red"),
            ("#ffa500", "light orange"),
            ("#ffff00", "very light yellow"),
            ("#800080", "dark purple"),
            ("#008080", "middling blue-green"),
        ] {
            assert_eq!(Colour::from_hex(hex).unwrap().words(), words, "{hex}");
        }
    }
}
