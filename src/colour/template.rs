//! Hue templates: the shapes on the hue circle that harmonious pictures were found to keep to.
//!
//! Source: the eight templates of Matsuda 1995 (after Tokumaru et al. 2002) with the sector sizes and
//! the distance of Cohen-Or et al. 2006, "Color harmonization" (*ACM Trans. Graph.* 25:624). Hue is HSV
//! hue, as there; the weight is Oklch chroma in place of HSV saturation, which calls dark and pale
//! colours saturated.
//!
//! Known weakness: the wide templates (T, X) hold almost anything, so the least distance over all
//! templates says little; [`narrowest`] asks for the tightest one that fits instead. Hue is all that
//! is looked at: a template fits good and bad values alike.

use super::Colour;
use palette::{Hsv, IntoColor, Srgb};

/// A weighted mean distance up to which a template counts as kept, in degrees (our judgement).
pub const HOLDS: f64 = 3.0;

/// A hue template. The letters are those of the source and picture the sectors, which may stand at
/// any rotation.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Template {
    /// One narrow sector.
    NarrowI,
    /// Two opposite narrow sectors.
    I,
    /// One wide sector.
    V,
    /// A narrow sector and a wide one a quarter turn on.
    L,
    /// A narrow sector and a wide one a quarter turn back.
    MirroredL,
    /// A wide sector and a narrow one opposite.
    Y,
    /// Half the circle.
    T,
    /// Two opposite wide sectors.
    X,
}

/// A part of the hue circle, in degrees from the template's rotation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sector {
    /// Its middle.
    pub centre: f64,
    /// How wide it is in all.
    pub width: f64,
}

const NARROW: Sector = Sector { centre: 0.0, width: 18.0 };
const NARROW_OPPOSITE: Sector = Sector { centre: 180.0, width: 18.0 };
const WIDE: Sector = Sector { centre: 0.0, width: 93.6 };
const WIDE_OPPOSITE: Sector = Sector { centre: 180.0, width: 93.6 };
const QUARTER_ON: Sector = Sector { centre: 90.0, width: 79.2 };
const QUARTER_BACK: Sector = Sector { centre: -90.0, width: 79.2 };
const HALF: Sector = Sector { centre: 0.0, width: 180.0 };

impl Template {
    /// All templates, from the narrowest in all to the widest.
    pub const ALL: [Self; 8] =
        [Self::NarrowI, Self::I, Self::V, Self::L, Self::MirroredL, Self::Y, Self::T, Self::X];

    /// The letter of the source.
    pub const fn name(self) -> &'static str {
        match self {
            Self::NarrowI => "i",
            Self::I => "I",
            Self::V => "V",
            Self::L => "L",
            Self::MirroredL => "Mirrored L",
            Self::Y => "Y",
            Self::T => "T",
            Self::X => "X",
        }
    }

    /// The sectors, for drawing.
    pub const fn sectors(self) -> &'static [Sector] {
        match self {
            Self::NarrowI => &[NARROW],
            Self::I => &[NARROW, NARROW_OPPOSITE],
            Self::V => &[WIDE],
            Self::L => &[NARROW, QUARTER_ON],
            Self::MirroredL => &[NARROW, QUARTER_BACK],
            Self::Y => &[WIDE, NARROW_OPPOSITE],
            Self::T => &[HALF],
            Self::X => &[WIDE, WIDE_OPPOSITE],
        }
    }

    /// Degrees from a hue to the nearest sector when the template stands unturned; 0 inside.
    pub fn degrees_outside(self, hue: f64) -> f64 {
        let (period, sectors) = self.period();
        outside(hue.rem_euclid(360.0), period, sectors)
    }

    /// After how many degrees the template repeats itself, and the sectors within that.
    const fn period(self) -> (f64, &'static [Sector]) {
        match self {
            Self::I => (180.0, &[NARROW]),
            Self::X => (180.0, &[WIDE]),
            other => (360.0, other.sectors()),
        }
    }
}

/// A hue on the HSV circle and how much it counts.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct HuePoint {
    hue: f64,
    weight: f64,
}

impl HuePoint {
    /// A hue in degrees, taken round the circle, and its weight of 0 or more. A hue or weight that is
    /// not a number weighs nothing.
    pub fn new(hue: f64, weight: f64) -> Self {
        if hue.is_finite() && weight.is_finite() && weight > 0.0 {
            Self { hue: hue.rem_euclid(360.0), weight }
        } else {
            Self { hue: 0.0, weight: 0.0 }
        }
    }

    /// The HSV hue of a colour as sRGB shows it, weighted by its Oklch chroma; greys weigh nothing.
    pub fn of(colour: Colour) -> Self {
        let colour = colour.mapped();
        let [r, g, b] = colour.to_srgb();
        let hsv: Hsv<palette::encoding::Srgb, f64> = Srgb::new(r, g, b).into_color();
        let weight = if colour.hue().is_some() { colour.chroma() } else { 0.0 };
        Self::new(hsv.hue.into_positive_degrees(), weight)
    }

    /// Hue in degrees, `0..=360`.
    pub const fn hue(self) -> f64 {
        self.hue
    }

    /// Weight, 0 or more.
    pub const fn weight(self) -> f64 {
        self.weight
    }
}

/// How well a template fits at its best rotation.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Fit {
    /// The template.
    pub template: Template,
    /// Its rotation: where the middle of its first sector stands, HSV degrees `0..360`.
    pub rotation: f64,
    /// Mean distance of the hues from the nearest sector, weighted by chroma, in degrees `0..=171`.
    pub distance: f64,
}

/// Fits a template to hues; distance 0 when none of them counts.
///
/// Exact: the weighted distance is piecewise linear in the rotation, and its bends that open upward are
/// where a hue lies on the edge of a sector, so only those rotations are tried.
pub fn fit(template: Template, points: &[HuePoint]) -> Fit {
    let (period, sectors) = template.period();
    let total: f64 = points.iter().map(|point| point.weight).sum();
    let mut best = Fit { template, rotation: 0.0, distance: 0.0 };
    if total <= 0.0 {
        return best;
    }
    let mut least = f64::INFINITY;
    for point in points.iter().filter(|point| point.weight > 0.0) {
        for sector in sectors {
            for edge in [-sector.width / 2.0, sector.width / 2.0] {
                let rotation = point.hue - sector.centre - edge;
                let mut sum = 0.0;
                for other in points {
                    sum += other.weight * outside(other.hue - rotation, period, sectors);
                    if sum >= least {
                        break;
                    }
                }
                if sum < least {
                    least = sum;
                    best.rotation = rotation.rem_euclid(360.0);
                }
            }
        }
        if least <= 0.0 {
            break;
        }
    }
    // Round-off leaves a hair on the very edge.
    best.distance = if least < 1e-9 * total { 0.0 } else { least / total };
    best
}

/// The one of several templates that fits best; the first of equals, `None` without templates.
pub fn nearest(templates: &[Template], points: &[HuePoint]) -> Option<Fit> {
    let mut best: Option<Fit> = None;
    for template in templates {
        let found = fit(*template, points);
        if best.is_none_or(|best| found.distance < best.distance) {
            best = Some(found);
        }
        if found.distance <= 0.0 {
            break;
        }
    }
    best
}

/// The narrowest template that holds the hues (to within [`HOLDS`]), else the nearest; `None` when no
/// colour has a hue.
pub fn narrowest(points: &[HuePoint]) -> Option<Fit> {
    if points.iter().all(|point| point.weight <= 0.0) {
        return None;
    }
    let mut fits = Template::ALL.iter().map(|template| fit(*template, points));
    fits.find(|fit| fit.distance <= HOLDS).or_else(|| nearest(&Template::ALL, points))
}

/// Degrees from an angle (at most two turns either way) to the nearest sector; 0 inside.
fn outside(angle: f64, period: f64, sectors: &[Sector]) -> f64 {
    let mut least = f64::INFINITY;
    for sector in sectors {
        // Taking turns off one by one is several times faster than a remainder, and this is the
        // inner loop of every search over sets.
        let mut turned = (angle - sector.centre).abs();
        while turned > period {
            turned -= period;
        }
        least = least.min(turned.min(period - turned) - sector.width / 2.0);
    }
    least.max(0.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn points(hues: &[f64]) -> Vec<HuePoint> {
        hues.iter().map(|hue| HuePoint::new(*hue, 1.0)).collect()
    }

    #[test]
    fn the_narrowest_template_that_holds_is_found() {
        for (hues, expected) in [
            (&[10.0, 20.0][..], Template::NarrowI),
            (&[10.0, 20.0, 195.0], Template::I),
            (&[350.0, 30.0, 70.0], Template::V),
            (&[0.0, 60.0, 120.0], Template::L),
            (&[0.0, -60.0, -120.0], Template::L),
            (&[0.0, 45.0, 90.0, 220.0], Template::Y),
            (&[0.0, 30.0, 60.0, 90.0, 120.0, 175.0], Template::T),
            (&[0.0, 80.0, 185.0, 255.0], Template::X),
        ] {
            let found = narrowest(&points(hues)).unwrap();
            assert_eq!(found.template, expected, "{hues:?}: {found:?}");
        }
    }

    #[test]
    fn every_template_holds_what_lies_in_its_sectors_at_any_turn() {
        for template in Template::ALL {
            for turn in (0..360).step_by(7).map(f64::from) {
                let hues: Vec<f64> = (template.sectors().iter())
                    .flat_map(|s| [-0.5, -0.2, 0.0, 0.5].map(|part| turn + s.centre + part * s.width))
                    .collect();
                let found = fit(template, &points(&hues));
                assert!(found.distance < 1e-9, "{template:?} turned by {turn}: {found:?}");
            }
        }
    }

    #[test]
    fn the_search_finds_what_a_fine_sweep_finds() {
        let hues = [3.0, 61.5, 110.0, 177.0, 203.0, 251.0, 340.0];
        let weighted = hues.iter().enumerate().map(|(i, hue)| HuePoint::new(*hue, 0.02 + i as f64));
        let weighted: Vec<HuePoint> = weighted.collect();
        let total: f64 = weighted.iter().map(|p| p.weight).sum();
        for template in Template::ALL {
            let swept = (0..36_000).map(|step| f64::from(step) / 100.0).map(|rotation| {
                let off = |p: &HuePoint| p.weight * outside(p.hue - rotation, 360.0, template.sectors());
                weighted.iter().map(off).sum::<f64>() / total
            });
            let (swept, found) = (swept.fold(f64::INFINITY, f64::min), fit(template, &weighted));
            assert!(found.distance <= swept + 1e-9 && swept < found.distance + 0.01, "{template:?}");
            let at_rotation = weighted
                .iter()
                .map(|p| p.weight * outside(p.hue - found.rotation, 360.0, template.sectors()))
                .sum::<f64>();
            assert!((at_rotation / total - found.distance).abs() < 1e-9, "{template:?}");
        }
    }

    #[test]
    fn greys_fit_nothing_and_weigh_nothing() {
        let grey = HuePoint::of(Colour::grey(50.0));
        assert_eq!(grey.weight, 0.0);
        assert_eq!(narrowest(&[grey; 3]), None);
        let rust = HuePoint::of(Colour::from_hex("#a3421f").unwrap());
        let with_grey = narrowest(&[rust, grey]).unwrap();
        assert_eq!((with_grey.template, with_grey.distance), (Template::NarrowI, 0.0));
        assert_eq!(nearest(&[], &[rust]), None);
    }

    #[test]
    fn templates_are_listed_from_narrow_to_wide() {
        let widths = Template::ALL.map(|t| t.sectors().iter().map(|s| s.width).sum::<f64>());
        assert!(widths.windows(2).all(|pair| pair[0] <= pair[1] + 1e-9), "{widths:?}");
    }
}
