//! The sRGB transfer curve (IEC 61966-2-1), code and light `0..=1`.

/// Linear light of a code.
pub fn to_light(code: f64) -> f64 {
    if code <= 0.040_45 { code / 12.92 } else { ((code + 0.055) / 1.055).powf(2.4) }
}

/// Linear light of a byte.
pub fn byte_to_light(byte: u8) -> f64 {
    to_light(f64::from(byte) / 255.0)
}

/// Code of linear light.
pub fn to_code(light: f64) -> f64 {
    if light <= 0.003_130_8 { light * 12.92 } else { 1.055 * light.powf(1.0 / 2.4) - 0.055 }
}

/// Code of linear light as a byte, cut at its ends.
pub fn to_byte(light: f64) -> u8 {
    (to_code(light).clamp(0.0, 1.0) * 255.0).round() as u8
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_byte_comes_back_and_the_middle_is_that_of_the_standard() {
        for byte in 0..=u8::MAX {
            assert_eq!(to_byte(byte_to_light(byte)), byte);
        }
        // Half the light of white: 1.055 * 0.5^(1/2.4) - 0.055 = 0.7354, 188 of 255.
        assert_eq!(to_byte(0.5), 188);
        assert_eq!((to_byte(-1.0), to_byte(2.0)), (0, 255));
    }

    /// Against the palette library, an implementation of its own.
    #[test]
    fn the_curve_is_the_librarys() {
        for i in 0..=100 {
            let code = f64::from(i) / 100.0;
            let light = palette::Srgb::new(code, code, code).into_linear().red;
            assert!((to_light(code) - light).abs() < 1e-9, "{code}");
        }
    }
}
