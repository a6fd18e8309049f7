//! The contrast of extension: how large an area balances a hue, as a hint.
//!
//! Source: Itten 1961, *The Art of Color*, with Goethe's light values. Known weakness: the values belong
//! to the pure hues of the painter's wheel; a tint or a tone of a hue weighs otherwise, which this
//! leaves out, and no measurement backs them.

use super::{Colour, Wheel};

/// Goethe's light values at every 60 degrees of the painter's wheel: red, orange, yellow, green, blue,
/// violet, and red again.
const LIGHT_VALUES: [f64; 7] = [6.0, 8.0, 9.0, 6.0, 4.0, 3.0, 6.0];

/// The light value of a colour's hue, `3..=9`, in straight lines between the six hues; `None` for a
/// grey.
pub fn light_value(colour: Colour) -> Option<f64> {
    let sixths = Wheel::Painter.angle_of_hue(colour.hue()?) / 60.0;
    let below = (sixths as usize).min(LIGHT_VALUES.len() - 2);
    let (from, to) = (LIGHT_VALUES[below], LIGHT_VALUES[below + 1]);
    Some(from + (sixths - below as f64) * (to - from))
}

/// The share of the area that balances each colour against the others: inverse to its light value,
/// adding up to 1 over the colours that have a hue; `None` for greys.
///
/// Itten's own parts for six hues together (3, 4, 6, 9, 8, 6 of 36) follow this only within each
/// complementary pair.
pub fn balanced_shares(colours: &[Colour]) -> Vec<Option<f64>> {
    let inverse: Vec<Option<f64>> =
        colours.iter().map(|colour| light_value(*colour).map(|value| 1.0 / value)).collect();
    let total: f64 = inverse.iter().flatten().sum();
    inverse.into_iter().map(|share| share.map(|share| share / total)).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn greys_take_no_part() {
        let colours = [Colour::grey(50.0), Colour::from_hex("#1f2a4d").unwrap()];
        assert_eq!(balanced_shares(&colours), [None, Some(1.0)]);
        assert!(balanced_shares(&[]).is_empty());
    }

    #[test]
    fn light_values_close_the_circle() {
        let at = |angle| light_value(Colour::clamped(0.6, 0.1, Wheel::Painter.hue_at(angle))).unwrap();
        assert!((at(359.999_999) - at(0.0)).abs() < 1e-5);
        for angle in 0..360 {
            assert!((3.0..=9.0).contains(&at(f64::from(angle))));
        }
    }
}
