//! Gauge off photographs of swatches, held to a maker of fabric that the reading was not made on
//! (`tests/common/swatch_photo/foreign.rs`). The card's corners are named in whole pixels.

use huegauge::photo::{ColourSpace, Depth, GaugeFault, GaugeReading, Picture, Samples, Scale, read_gauge};

use crate::common::dice::Dice;
use crate::common::swatch_photo::{Knit, Photo, Scene, foreign, tuned};
use crate::gauge_score::Score;

fn read(photo: Photo) -> Result<GaugeReading, GaugeFault> {
    let space = ColourSpace::srgb(Depth::Eight);
    let picture = Picture::new(photo.width, photo.height, Samples::Eight(photo.rgb), space).unwrap();
    read_gauge(&picture, &Scale::Card(photo.card), photo.swatch)
}

/// A scene by chance, disturbed as named.
fn scene(knit: Knit, disturbance: &str, seed: u64) -> Scene {
    let mut dice = Dice::at(seed * 1_009 + knit as u64 * 31 + disturbance.len() as u64);
    let stitches = dice.between(14.0, 34.0);
    let mut scene = Scene::plain(stitches, stitches * dice.between(1.15, 1.5), seed);
    let has = |what: &str| disturbance == what || disturbance == "all";
    scene.knit = knit;
    if has("tilt") {
        (scene.tilt, scene.side) = (dice.between(8.0, 25.0), dice.between(0.0, 360.0));
    }
    if has("shadow") {
        scene.shadow = dice.between(0.4, 0.7);
    }
    if has("noise") {
        scene.noise = dice.between(5.0, 12.0);
    }
    if has("turned") {
        scene.turned = dice.between(-5.0, 5.0);
    }
    scene
}

#[test]
fn a_plain_and_a_stranded_swatch_are_counted_within_one_per_cent() {
    for (knit, disturbance) in [(Knit::Plain, "shadow"), (Knit::Blocks, "noise")] {
        let scene = scene(knit, disturbance, 1);
        let reading = read(foreign::photo(&scene)).unwrap();
        for (error, over) in Score::errors(&reading, (scene.stitches, scene.rows)) {
            assert!(error < 0.01 && over < 3.0, "{scene:?}: {error} {over}");
        }
    }
}

#[test]
fn a_cloth_without_stitches_is_refused() {
    let mut scene = Scene::plain(20.0, 26.0, 3);
    scene.noise = 12.0;
    let mut photo = tuned::photo(&scene);
    // A grey page in place of the whole picture, with the noise of a camera.
    let mut dice = Dice::at(9);
    photo.rgb.iter_mut().for_each(|code| *code = (120.0 + 8.0 * dice.nearly_normal()).round() as u8);
    let fault = read(photo).unwrap_err().to_string();
    assert!(fault.contains("no clear"), "{fault}");
}

/// The whole table: `cargo test --release --test reference -- --ignored --nocapture gauge_table`.
#[test]
#[ignore = "renders 336 photographs"]
fn gauge_table() {
    let seeds = std::env::var("GAUGE_SEEDS").ok().and_then(|text| text.parse().ok()).unwrap_or(6);
    let mut all = Score::default();
    println!("{}", Score::HEADING);
    for knit in Knit::ALL {
        for disturbance in ["none", "tilt", "shadow", "noise", "turned", "hand", "all"] {
            let mut here = Score::default();
            for seed in 0..seeds {
                let scene = scene(knit, disturbance, seed);
                let mut photo = foreign::photo(&scene);
                if matches!(disturbance, "hand" | "all") {
                    placed_by_hand(&mut photo, seed);
                }
                here.take(&read(photo), (scene.stitches, scene.rows));
            }
            println!("{}", here.line(&format!("{knit:?}"), disturbance));
            all.join(here);
        }
    }
    println!("{}", all.summary());
    assert!(all.share(|error, _| error <= 0.01) >= 95.0 && all.share(|error, _| error > 0.02) == 0.0);
    assert!(all.share(|_, over| over <= 2.0) >= 95.0);
}

/// The corners of the card up to 5 pixels off each way.
fn placed_by_hand(photo: &mut Photo, seed: u64) {
    let mut dice = Dice::at(seed * 53 + 7);
    photo.card.iter_mut().flatten().for_each(|at| *at += dice.between(-5.0, 5.0).round());
}

#[test]
fn corners_placed_five_pixels_off_are_put_right_on_the_edges_of_the_card() {
    let scene = scene(Knit::Plain, "tilt", 2);
    let mut photo = foreign::photo(&scene);
    placed_by_hand(&mut photo, 2);
    let reading = read(photo).unwrap();
    assert_eq!(reading.edges_found, 4, "{:?}", reading.warnings);
    for (error, over) in Score::errors(&reading, (scene.stitches, scene.rows)) {
        assert!(error < 0.01 && over < 3.0, "{error} {over}");
    }
}

/// A card whose edges are not seen, on a table as light as it is: the corners count as a hand places them, and the error says so.
#[test]
fn the_stated_error_holds_what_a_hand_leaves_open() {
    let scene = Scene::plain(22.0, 29.0, 4);
    let mut photo = foreign::photo(&scene);
    let range = |axis: usize| {
        let of = photo.card.map(|corner| corner[axis]);
        (of.iter().fold(f64::MAX, |a, b| a.min(*b)) - 20.0, of.iter().fold(0.0_f64, |a, b| a.max(*b)) + 20.0)
    };
    let ((left, right), (top, bottom)) = (range(0), range(1));
    for y in top.max(0.0) as u32..bottom as u32 {
        for x in left.max(0.0) as u32..right as u32 {
            let at = 3 * (y * photo.width + x) as usize;
            photo.rgb[at..at + 3].fill(200);
        }
    }
    let mut dice = Dice::at(5);
    photo.card.iter_mut().flatten().for_each(|at| *at += dice.between(-2.0, 2.0).round());
    let reading = read(photo).unwrap();
    assert_eq!(reading.edges_found, 0);
    let told: Vec<String> = reading.warnings.iter().map(ToString::to_string).collect();
    assert!(told.iter().any(|words| words.contains("count as placed by hand")), "{told:?}");
    assert!(reading.stitches_error / reading.stitches_per_10_cm > 0.008, "{reading:?}");
    for (_, over) in Score::errors(&reading, (scene.stitches, scene.rows)) {
        assert!(over < 3.0, "{over}");
    }
}

/// A smooth picture saved as JPEG has blocks of 8 pixels, which were once read as 59 stitches.
#[test]
fn the_blocks_of_a_smooth_jpeg_are_no_stitches() {
    let (width, height) = (900_u32, 700_u32);
    let mut dice = Dice::at(11);
    for (quality, noise) in [(20, 2.0), (35, 3.0), (50, 4.0), (70, 2.0), (85, 1.5), (95, 3.0)] {
        let mut smooth = image::RgbImage::new(width, height);
        for (x, y, pixel) in smooth.enumerate_pixels_mut() {
            let slope = 70.0 + 0.09 * f64::from(x) + 0.06 * f64::from(y);
            *pixel = image::Rgb([0, 1, 2].map(|k| {
                let light = slope + 12.0 * f64::from(k) + noise * dice.nearly_normal();
                light.round().clamp(0.0, 255.0) as u8
            }));
        }
        let mut saved = Vec::new();
        image::codecs::jpeg::JpegEncoder::new_with_quality(&mut saved, quality)
            .encode_image(&smooth)
            .unwrap();
        let read_back = image::load_from_memory(&saved).unwrap().to_rgb8();
        let space = ColourSpace::srgb(Depth::Eight);
        let picture = Picture::new(width, height, Samples::Eight(read_back.into_raw()), space).unwrap();
        for per_mm in [4.72, 3.2, 5.9] {
            // A length and no card: the grain lies along the pixels, as in a picture from straight above.
            let scale = Scale::Length { ends: [[20.0, 20.0], [20.0 + 100.0 * per_mm, 20.0]], mm: 100.0 };
            let swatch = [[100.0, 100.0], [800.0, 100.0], [800.0, 600.0], [100.0, 600.0]];
            let fault = read_gauge(&picture, &scale, swatch);
            println!("quality {quality}, {per_mm} pixels in a mm: {fault:?}");
            assert!(fault.is_err(), "quality {quality}, {per_mm}: {fault:?}");
        }
    }
}
