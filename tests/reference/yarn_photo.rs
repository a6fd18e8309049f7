//! Reading generated (synthetic) pictures of yarn, whose true colours are known from their spectra.
//!
//! No published figure exists for this; the bounds are what was measured, rounded up, and the
//! comparison is with what one would do without thinking: averaging the region.

use crate::spectra::{BANDS, Spectrum, Tables, blackbody};
use crate::yarn_picture::{Dyeing, Rendered, Table, Yarn, six_balls, six_shades, strands};
use huegauge::colour::{Colour, Lab};
use huegauge::photo::{
    Balance, ColourSpace, Depth, PhotoWarning, Picture, Reference, Region, Samples, SpreadKind, Watch,
    find_yarns, sample_yarn,
};
use palette::color_difference::Ciede2000;
use std::path::PathBuf;

/// The lamp over the demo table: warm white, 3000 K.
const LAMP_KELVIN: f64 = 3000.0;

fn picture(rendered: &Rendered) -> Picture {
    let samples = Samples::Eight(rendered.pixels.clone());
    let (width, height) = (rendered.width as u32, rendered.height as u32);
    Picture::new(width, height, samples, ColourSpace::srgb(Depth::Eight)).unwrap()
}

fn truth(tables: &Tables, reflectance: &Spectrum) -> Lab {
    let [x, y, z] = tables.xyz(reflectance, &tables.light("D65"));
    palette::convert::IntoColorUnclamped::into_color_unclamped(
        palette::Xyz::<palette::white_point::D65, f64>::new(x, y, z),
    )
}

fn region([x, y, width, height]: [u32; 4]) -> Region {
    Region::new(x, y, width, height)
}

fn on_card(picture: &Picture, card: Region) -> Balance {
    let reference = Reference { region: card, reflectance: Reference::GREY_CARD };
    Balance::measure(picture, reference, &Watch::nobody()).unwrap()
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

/// A flat look at strands: side of the picture, its card and its yarn.
const SIDE: usize = 320;
const STRANDS_CARD: Region = Region::new(4, 4, 312, 32);
const STRANDS: Region = Region::new(0, 44, 320, 276);

#[test]
fn the_trimmed_median_reads_yarn_through_its_shadows() {
    let tables = Tables::load();
    let (mut median, mut average) = (Vec::new(), Vec::new());
    for (name, reflectance) in six_shades() {
        for width in [6.0, 14.0, 30.0] {
            let rendered = strands(&Yarn::solid(reflectance), SIDE, width, &tables, &tables.light("D65"));
            let picture = picture(&rendered);
            let balance = on_card(&picture, STRANDS_CARD);
            let sample = sample_yarn(&picture, STRANDS, &balance, &Watch::nobody()).unwrap();
            let truth = truth(&tables, &reflectance);
            median.push(sample.colour.to_lab().difference(truth));
            let exposure = balance.light().unwrap().exposure;
            average.push(linear_mean(&rendered, exposure).to_lab().difference(truth));
            assert_eq!(sample.spread.kind, SpreadKind::Solid, "{name} at {width}: {:?}", sample.spread);
        }
    }
    // Measured: 1.65 by the trimmed median, 2.75 by averaging.
    assert!(mean(&median) < 1.7, "{median:.2?}");
    assert!(mean(&average) > 1.5 * mean(&median), "{:.2} {:.2}", mean(&average), mean(&median));
}

/// The plain average of the region's light, in daylight.
fn linear_mean(rendered: &Rendered, exposure: f64) -> Colour {
    let pixels = &rendered.pixels[44 * SIDE..];
    let light = |v: u8| {
        let code = f64::from(v) / 255.0;
        if code <= 0.040_45 { code / 12.92 } else { ((code + 0.055) / 1.055).powf(2.4) }
    };
    let [r, g, b] = [0, 1, 2].map(|k| {
        let sum: f64 = pixels.iter().map(|pixel| light(pixel[k])).sum();
        let linear = sum / pixels.len() as f64 * exposure;
        crate::spectra::srgb_code(linear)
    });
    Colour::from_srgb(r, g, b)
}

#[test]
fn the_run_of_the_colour_is_recognised() {
    // Six yarns, each with another as its second colour, near (30 px a strand) and far (6 px).
    let tables = Tables::load();
    let shades = six_shades().map(|(_, reflectance)| reflectance);
    let kind = |dyeing: Dyeing, k: usize, width: f64, light: &str| {
        let yarn = Yarn { reflectance: shades[k], dyeing };
        let picture = picture(&strands(&yarn, SIDE, width, &tables, &tables.light(light)));
        let balance = on_card(&picture, STRANDS_CARD);
        sample_yarn(&picture, STRANDS, &balance, &Watch::nobody()).unwrap().spread
    };
    let mut wrong = Vec::new();
    let mut check = |dyeing: Dyeing, k: usize, width: f64, light: &str, expected: &[SpreadKind]| {
        let spread = kind(dyeing, k, width, light);
        println!(
            "{light} {k} {width} {expected:?}: {} {:.3} {:.3} {:.3} {:.2}",
            spread.kind.name(),
            spread.within,
            spread.between,
            spread.odd,
            spread.lightness_ratio
        );
        if !expected.contains(&spread.kind) {
            wrong.push(format!("{k} at {width} in {light}: {spread:?}, expected {expected:?}"));
        }
    };
    for light in ["D65", "A"] {
        for k in 0..6 {
            let second = shades[(k + 2) % 6];
            for width in [6.0, 14.0, 30.0] {
                check(Dyeing::Solid, k, width, light, &[SpreadKind::Solid]);
                check(Dyeing::Speckled(second), k, width, light, &[SpreadKind::Speckled]);
                // Far away a heather blends into one colour, as it does for the eye.
                let blended = [SpreadKind::Solid, SpreadKind::Heathered];
                let near = [SpreadKind::Heathered];
                let expected: &[_] = if width < 30.0 { &blended } else { &near };
                check(Dyeing::Heathered(second), k, width, light, expected);
                let busy = [SpreadKind::Speckled, SpreadKind::Heathered];
                check(Dyeing::Marled(second), k, width, light, &busy);
            }
            // Nearer than this, one stretch fills the region.
            for width in [6.0, 14.0] {
                check(Dyeing::LongChanges(second), k, width, light, &[SpreadKind::LongChanges]);
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}
