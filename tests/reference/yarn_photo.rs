//! Reading generated (synthetic) pictures of yarn, whose true colours are known from their spectra.
//!
//! No published figure exists for this; the bounds are what was measured, rounded up, and the
//! comparison is with what one would do without thinking: averaging the region.

use crate::common::spectra::{Spectrum, Tables, blackbody};
use crate::common::yarn_picture::{Dyeing, Rendered, Table, Yarn, six_balls, six_shades, strands};
use huegauge::colour::{Colour, Lab, ciede2000};
use huegauge::photo::{
    Balance, ColourSpace, Depth, PhotoWarning, Picture, Reference, Region, Samples, Watch, find_yarns,
    sample_yarn,
};
use huegauge::yarn::VariationKind;
use std::path::PathBuf;
use std::sync::LazyLock;

/// The lamp over the demo table: warm white, 3000 K.
const LAMP_KELVIN: f64 = 3000.0;

fn picture(rendered: &Rendered) -> Picture {
    let samples = Samples::Eight(rendered.pixels.as_flattened().to_vec());
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
            let rendered = strands(&Yarn::solid(&reflectance), SIDE, width, &tables, &tables.light("D65"));
            let picture = picture(&rendered);
            let balance = on_card(&picture, STRANDS_CARD);
            let sample = sample_yarn(&picture, STRANDS, &balance, &Watch::nobody()).unwrap();
            let truth = truth(&tables, &reflectance);
            median.push(ciede2000(sample.colour.to_lab(), truth));
            let exposure = balance.light().unwrap().exposure;
            average.push(ciede2000(linear_mean(&rendered, exposure).to_lab(), truth));
            assert_eq!(sample.spread.kind, VariationKind::Solid, "{name} at {width}: {:?}", sample.spread);
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
        crate::common::spectra::srgb_code(linear)
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
    let mut check = |dyeing: Dyeing, k: usize, width: f64, light: &str, expected: &[VariationKind]| {
        let spread = kind(dyeing, k, width, light);
        if !expected.contains(&spread.kind) {
            wrong.push(format!("{k} at {width} in {light}: {spread:?}, expected {expected:?}"));
        }
    };
    for (light, yarns) in [("D65", &[0, 1, 2, 3, 4, 5][..]), ("A", &[0, 2, 5])] {
        for k in yarns.iter().copied() {
            let second = shades[(k + 2) % 6];
            for width in [6.0, 14.0, 30.0] {
                check(Dyeing::Solid, k, width, light, &[VariationKind::Solid]);
                check(Dyeing::Speckled(second), k, width, light, &[VariationKind::Speckled]);
                // Far away a heather blends into one colour, as it does for the eye.
                let blended = [VariationKind::Solid, VariationKind::Heathered];
                let near = [VariationKind::Heathered];
                let expected: &[_] = if width < 30.0 { &blended } else { &near };
                check(Dyeing::Heathered(second), k, width, light, expected);
                let busy = [VariationKind::Speckled, VariationKind::Heathered];
                check(Dyeing::Marled(second), k, width, light, &busy);
            }
            // Nearer than this, one stretch fills the region.
            for width in [6.0, 14.0] {
                check(Dyeing::LongChanges(second), k, width, light, &[VariationKind::LongChanges]);
            }
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// The demo photograph as the generator makes it.
static DEMO: LazyLock<Table> = LazyLock::new(|| {
    let yarns = six_shades().map(|(_, reflectance)| Yarn::solid(&reflectance));
    six_balls(&yarns, &Tables::load(), &blackbody(LAMP_KELVIN))
});

/// Written into the picture itself, as a JPEG comment.
const COMMENT: &str =
    "Synthetic picture made by Huegauge's tests. The yarns, Crooked Ladder Mill and Quovvle are invented.";

/// The demo photograph as it is shipped: synthetic, made by this test.
fn demo_path() -> PathBuf {
    [env!("CARGO_MANIFEST_DIR"), "demo-projects", "crooked-ladder-six-balls.jpg"].iter().collect()
}

#[test]
fn the_demo_photograph_is_what_the_generator_makes() {
    let rendered = &DEMO.picture;
    let codes = rendered.pixels.as_flattened();
    let (width, height) = (rendered.width as u32, rendered.height as u32);
    if std::env::var_os("HUEGAUGE_WRITE_DEMO").is_some() {
        let mut bytes = Vec::new();
        let mut encoder = image::codecs::jpeg::JpegEncoder::new_with_quality(&mut bytes, 93);
        encoder.encode(codes, width, height, image::ExtendedColorType::Rgb8).unwrap();
        let length = (COMMENT.len() + 2) as u16;
        let comment = [&[0xff, 0xfe], &length.to_be_bytes()[..], COMMENT.as_bytes()].concat();
        std::fs::write(demo_path(), [&bytes[..2], &comment, &bytes[2..]].concat()).unwrap();
    }
    let bytes = std::fs::read(demo_path()).unwrap();
    assert!(bytes.len() < 400_000);
    assert!(bytes.windows(COMMENT.len()).any(|w| w == COMMENT.as_bytes()));
    let shipped = image::open(demo_path()).unwrap().to_rgb8();
    assert_eq!((shipped.width(), shipped.height()), (width, height));
    let apart: f64 = shipped.iter().zip(codes).map(|(p, q)| f64::from(p.abs_diff(*q))).sum();
    // JPEG smooths the grain.
    assert!(apart / (codes.len() as f64) < 4.0, "{}", apart / codes.len() as f64);
}

#[test]
fn six_balls_under_a_warm_lamp_are_found_and_read() {
    // The whole path on the shipped photograph: open, balance on the card, find, sample.
    let tables = Tables::load();
    let picture = huegauge::file::load_picture(&demo_path(), &Watch::nobody()).unwrap().picture;
    let table = &*DEMO;
    let card = region(table.card);
    let balance = on_card(&picture, card);
    assert_eq!(balance.warnings(), []);

    let found = find_yarns(&picture, &balance, &[card], &Watch::nobody()).unwrap();
    assert_eq!(found.len(), 6, "{found:?}");
    let (mut before, mut after) = (Vec::new(), Vec::new());
    for (k, (name, reflectance)) in six_shades().into_iter().enumerate() {
        let ball = region(table.balls[k]);
        let (x, y) = (ball.x + ball.width / 2, ball.y + ball.height / 2);
        assert!(found[k].bounds.contains(x, y) && found[k].sample.contains(x, y), "{name}: {:?}", found[k]);
        // A ball is about twice as wide as the square on it.
        assert!(found[k].bounds.width.abs_diff(2 * ball.width) < ball.width / 4, "{name}: {:?}", found[k]);
        let truth = truth(&tables, &reflectance);
        let read = |balance: &Balance| {
            let sample = sample_yarn(&picture, found[k].sample, balance, &Watch::nobody()).unwrap();
            assert_eq!(sample.spread.kind, VariationKind::Solid, "{name}: {:?}", sample.spread);
            let difference = ciede2000(sample.colour.to_lab(), truth);
            (difference, sample)
        };
        let (raw, sample) = read(&Balance::none());
        assert!(sample.warnings.contains(&PhotoWarning::NoReference));
        let (corrected, sample) = read(&balance);
        before.push(raw);
        after.push(corrected);
        // The estimate is one standard deviation.
        assert!(corrected < 2.0 * sample.error.total(), "{name}: {corrected:.1}");
    }
    // Measured: 18.4 before, 4.05 after.
    assert!(mean(&before) > 15.0 && mean(&after) < 4.2, "{before:.1?} {after:.1?}");
}

#[test]
fn balls_are_found_in_the_uncorrected_picture_too() {
    let table = &*DEMO;
    let picture = picture(&table.picture);
    let found = find_yarns(&picture, &Balance::none(), &[], &Watch::nobody()).unwrap();
    assert_eq!(found.len(), 6, "{found:?}");
    for (yarn, ball) in found.iter().zip(&table.balls) {
        let ball = region(*ball);
        assert!(yarn.sample.contains(ball.x + ball.width / 2, ball.y + ball.height / 2));
    }
}
