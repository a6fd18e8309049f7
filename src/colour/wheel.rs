//! The two hue circles: the perceptual one and the painter's red-yellow-blue one.

/// Which hue circle harmonies are measured on.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Wheel {
    /// Oklch hue: equal angles look about equally different.
    #[default]
    Perceptual,
    /// The painter's red-yellow-blue circle: red 0, orange 60, yellow 120, green 180, blue 240,
    /// violet 300 degrees. Very uneven against the perceptual one: its blues take a third of it.
    Painter,
}

/// Degrees of the painter's wheel between two knots.
const STEP: f64 = 15.0;

/// Oklch hue at every 15 degrees of the painter's wheel, unwrapped so that it only rises; the last
/// closes the circle.
///
/// Source: the corners of the paint cube of Gossett and Chen 2004 ("Paint inspired color mixing and
/// compositing for visualization", IEEE Symposium on Information Visualization), walked from red over
/// yellow and blue, interpolated in sRGB and converted to Oklch; `tests/reference/colour.rs` derives
/// it again. Between the knots straight lines, at most 4 degrees of hue off that walk.
const KNOTS: [f64; 25] = [
    29.2339, 30.6834, 34.4827, 41.5958, 52.7757, 67.7746, 84.2008, 98.7217, 109.7692, 121.9555, 132.7619,
    140.8606, 145.6809, 151.9397, 168.9905, 211.6181, 252.6149, 275.3245, 297.8399, 315.4662, 328.3634,
    353.8154, 374.642, 385.839, 389.2339,
];

impl Wheel {
    /// Both wheels, in the order they are offered.
    pub const ALL: [Self; 2] = [Self::Perceptual, Self::Painter];

    /// Name, sentence case.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Perceptual => "Perceptual",
            Self::Painter => "Painter's",
        }
    }

    /// Where an Oklch hue (degrees, any turn) stands on this wheel, `0..360` degrees.
    pub fn angle_of_hue(self, hue: f64) -> f64 {
        let angle = match self {
            Self::Perceptual => hue,
            Self::Painter => {
                let unwrapped = KNOTS[0] + (hue - KNOTS[0]).rem_euclid(360.0);
                let above = KNOTS.partition_point(|knot| *knot <= unwrapped).clamp(1, KNOTS.len() - 1);
                let (low, high) = (KNOTS[above - 1], KNOTS[above]);
                STEP * ((above - 1) as f64 + (unwrapped - low) / (high - low))
            }
        };
        angle.rem_euclid(360.0)
    }

    /// The Oklch hue, `0..360` degrees, at an angle of this wheel (degrees, any turn).
    /// The exact inverse of [`Wheel::angle_of_hue`].
    pub fn hue_at(self, angle: f64) -> f64 {
        let hue = match self {
            Self::Perceptual => angle,
            Self::Painter => {
                let steps = angle.rem_euclid(360.0) / STEP;
                let below = (steps as usize).min(KNOTS.len() - 2);
                let (low, high) = (KNOTS[below], KNOTS[below + 1]);
                low + (steps - below as f64) * (high - low)
            }
        };
        hue.rem_euclid(360.0)
    }
}

/// The shorter way round from one angle to another, degrees in `-180..180`.
pub fn turn_between(from: f64, to: f64) -> f64 {
    (to - from + 180.0).rem_euclid(360.0) - 180.0
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_painters_circle_rises_and_closes() {
        assert!(KNOTS.windows(2).all(|pair| pair[0] < pair[1]));
        assert!((KNOTS[24] - KNOTS[0] - 360.0).abs() < 1e-9);
        assert!((STEP * 24.0 - 360.0).abs() < 1e-9);
    }

    #[test]
    fn the_maps_undo_each_other_all_round() {
        for wheel in Wheel::ALL {
            for tenth in -3600..7200 {
                let angle = f64::from(tenth) / 10.0;
                let back = wheel.angle_of_hue(wheel.hue_at(angle));
                assert!(turn_between(angle, back).abs() < 1e-9, "{wheel:?} {angle} came back as {back}");
            }
        }
    }

    #[test]
    fn a_hair_below_zero_is_not_a_jump() {
        let hue = Wheel::Painter.hue_at(-1e-300);
        assert!(turn_between(hue, Wheel::Painter.hue_at(0.0)).abs() < 1e-9);
    }

    #[test]
    fn turns_go_the_short_way() {
        assert_eq!(turn_between(350.0, 10.0), 20.0);
        assert_eq!(turn_between(10.0, 350.0), -20.0);
        assert_eq!(turn_between(0.0, 180.0), -180.0);
    }
}
