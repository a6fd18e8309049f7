//! How the light falls off over a picture: a plane in the logarithm of light, through the references.
//!
//! One reference tells the light at its place and nothing else; two tell it along the line through
//! them, three that are not in a line tell the plane. The logarithm, because lamps fall off by a share.

use super::picture::Region;

/// A place and the logarithm of the light that was measured on it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Anchor {
    pub at: [f64; 2],
    pub log_light: f64,
}

/// The light over a picture, as a share of that at a middle place.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Evenness {
    /// Where the light is 1, in pixels.
    middle: [f64; 2],
    /// Rise of the logarithm of light a pixel, across and down.
    slope: [f64; 2],
    /// Unit vectors along which the slope is not known; a zero vector where it is.
    unknown: [[f64; 2]; 2],
    /// Lightest over darkest of the anchors.
    times: f64,
}

/// References nearer to a line than this share of their spread along it do not tell the slope across
/// it (our judgement).
const THIN: f64 = 0.1;

impl Evenness {
    /// Light that is taken to be the same everywhere, for want of knowledge.
    pub(super) const fn level(middle: [f64; 2]) -> Self {
        Self { middle, slope: [0.0; 2], unknown: [[1.0, 0.0], [0.0, 1.0]], times: 1.0 }
    }

    /// The plane that lies nearest to the anchors (least squares), level in the directions they do not
    /// tell, and the logarithm of the light at their middle. `anchors` must not be empty.
    pub(super) fn fit(anchors: &[Anchor]) -> (Self, f64) {
        let count = anchors.len().max(1) as f64;
        let mean = |f: &dyn Fn(&Anchor) -> f64| anchors.iter().map(f).sum::<f64>() / count;
        let middle = [mean(&|a| a.at[0]), mean(&|a| a.at[1])];
        let level = mean(&|a| a.log_light);
        let sum = |f: &dyn Fn([f64; 2], f64) -> f64| -> f64 {
            let part = |a: &Anchor| f([a.at[0] - middle[0], a.at[1] - middle[1]], a.log_light - level);
            anchors.iter().map(part).sum()
        };
        let (xx, xy, yy) = (sum(&|p, _| p[0] * p[0]), sum(&|p, _| p[0] * p[1]), sum(&|p, _| p[1] * p[1]));
        let pull = [sum(&|p, light| p[0] * light), sum(&|p, light| p[1] * light)];
        // The long and the short direction in which the anchors lie.
        let half = (xx - yy).hypot(2.0 * xy) / 2.0;
        let (long, short) = (f64::midpoint(xx, yy) + half, f64::midpoint(xx, yy) - half);
        let turn = (2.0 * xy).atan2(xx - yy) / 2.0;
        let (along, across) = ([turn.cos(), turn.sin()], [-turn.sin(), turn.cos()]);
        let mut fitted = Self { times: times(anchors), ..Self::level(middle) };
        for (number, (direction, spread)) in [(along, long), (across, short)].into_iter().enumerate() {
            if spread < 1.0 || spread < THIN * THIN * long {
                fitted.unknown[number] = direction;
                continue;
            }
            let rise = (direction[0] * pull[0] + direction[1] * pull[1]) / spread;
            fitted.slope[0] += rise * direction[0];
            fitted.slope[1] += rise * direction[1];
            fitted.unknown[number] = [0.0; 2];
        }
        (fitted, level)
    }

    /// What light at a pixel is multiplied by to be that of the middle.
    pub fn gain_at(&self, x: f64, y: f64) -> f64 {
        (-(self.slope[0] * (x - self.middle[0]) + self.slope[1] * (y - self.middle[1]))).exp()
    }

    /// What the gain is multiplied by from one pixel to the next on its right.
    pub(super) fn gain_step(&self) -> f64 {
        (-self.slope[0]).exp()
    }

    /// In how many directions the light's falling off is known: 0, 1 (a line) or 2 (the plane).
    pub fn known_directions(&self) -> usize {
        self.unknown.iter().filter(|direction| **direction == [0.0; 2]).count()
    }

    /// Lightest over darkest light on the references, 1 for a single one.
    pub const fn times(&self) -> f64 {
        self.times
    }

    /// How far a region's middle lies, in pixels, from where the light is known.
    pub(super) fn unknown_distance(&self, region: Region, from: Option<[f64; 2]>) -> f64 {
        let [x, y] = middle_of(region);
        let from = from.unwrap_or(self.middle);
        let off = [x - from[0], y - from[1]];
        let part = |direction: &[f64; 2]| direction[0] * off[0] + direction[1] * off[1];
        self.unknown.iter().map(|direction| part(direction).powi(2)).sum::<f64>().sqrt()
    }
}

fn times(anchors: &[Anchor]) -> f64 {
    let logs = || anchors.iter().map(|anchor| anchor.log_light);
    let (most, least) = (logs().fold(f64::MIN, f64::max), logs().fold(f64::MAX, f64::min));
    if anchors.is_empty() { 1.0 } else { (most - least).exp() }
}

/// The middle of a region, in pixels.
pub(super) fn middle_of(region: Region) -> [f64; 2] {
    [
        f64::from(region.x) + f64::from(region.width) / 2.0,
        f64::from(region.y) + f64::from(region.height) / 2.0,
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Light that rises by a tenth of an e-fold in 100 pixels across and falls by two down.
    fn anchor(x: f64, y: f64) -> Anchor {
        Anchor { at: [x, y], log_light: 0.5 + 0.001 * x - 0.002 * y }
    }

    fn gain_error(evenness: &Evenness, x: f64, y: f64, level: f64) -> f64 {
        let light = anchor(x, y).log_light;
        (light + evenness.gain_at(x, y).ln() - level).abs()
    }

    #[test]
    fn three_places_tell_the_plane() {
        let (plane, level) = Evenness::fit(&[anchor(0.0, 0.0), anchor(300.0, 20.0), anchor(40.0, 200.0)]);
        assert_eq!(plane.known_directions(), 2);
        assert!(gain_error(&plane, 123.0, 45.0, level) < 1e-9);
        assert!((plane.gain_step() - (-0.001_f64).exp()).abs() < 1e-9);
        assert_eq!(plane.unknown_distance(Region::new(900, 900, 10, 10), None), 0.0);
    }

    #[test]
    fn two_places_tell_the_light_between_them_and_one_tells_nothing_more() {
        let (line, level) = Evenness::fit(&[anchor(0.0, 0.0), anchor(300.0, 0.0)]);
        assert_eq!(line.known_directions(), 1);
        assert!(gain_error(&line, 210.0, 0.0, level) < 1e-9);
        assert!((line.unknown_distance(Region::new(0, 95, 10, 10), None) - 100.0).abs() < 1e-9);
        let (one, _) = Evenness::fit(&[anchor(50.0, 50.0)]);
        assert_eq!((one.known_directions(), one.times()), (0, 1.0));
        assert!((one.unknown_distance(Region::new(45, 145, 10, 10), None) - 100.0).abs() < 1e-9);
        // Four in a row say nothing about the light beside the row.
        let row: Vec<Anchor> = (0..4).map(|k| anchor(100.0 * f64::from(k), f64::from(k % 2))).collect();
        assert_eq!(Evenness::fit(&row).0.known_directions(), 1);
        // Two in one place are one.
        assert_eq!(Evenness::fit(&[anchor(9.0, 9.0), anchor(9.0, 9.0)]).0.known_directions(), 0);
    }
}
