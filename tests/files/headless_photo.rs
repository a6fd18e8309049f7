//! Photographs from the command line, against the library and against what is known without it.

use huegauge::file;
use huegauge::photo::{Balance, Reference, Region, Watch, sample_yarn};
use palette::color_difference::Ciede2000;
use serde_json::Value;

use crate::common::spectra::{BANDS, Tables};
use crate::common::{assert_near, table, yarn_picture};
use crate::headless::{demo, refused, yoke};
use crate::headless_colour::{Lab, numbers, parsed};

fn lab_of(colour: &Value) -> Lab {
    let [l, a, b] = numbers(&colour["lab_d65"], ["lstar", "a", "b"]);
    Lab::new(l, a, b)
}

fn mean(values: &[f64]) -> f64 {
    values.iter().sum::<f64>() / values.len() as f64
}

fn picture() -> String {
    demo("crooked-ladder-six-balls.jpg").display().to_string()
}

/// Where the generator puts the grey card and a square on each ball (`tests/common/yarn_picture.rs`).
const CARD: &str = "770,70,140,190";
const BALLS: [[u32; 4]; 6] = [
    [101, 129, 98, 98],
    [332, 107, 106, 106],
    [578, 122, 100, 100],
    [176, 372, 112, 112],
    [424, 372, 104, 104],
    [668, 376, 108, 108],
];

/// L\*a\*b\* of the six invented yarns under D65, from their spectra by the definitions of CIE 15 with the
/// published observer and illuminant: nothing of the program takes part.
fn truths() -> Vec<Lab> {
    let tables = Tables::load();
    let light = tables.light("D65");
    let white = tables.xyz(&[1.0; BANDS], &light);
    let f = |t: f64| {
        let bend: f64 = 6.0 / 29.0;
        if t > bend.powi(3) { t.cbrt() } else { t / (3.0 * bend * bend) + 4.0 / 29.0 }
    };
    let lab = |reflectance| {
        let xyz = tables.xyz(reflectance, &light);
        let [x, y, z] = [0, 1, 2].map(|axis| f(xyz[axis] / white[axis]));
        Lab::new(116.0 * y - 16.0, 500.0 * (x - y), 200.0 * (y - z))
    };
    yarn_picture::six_shades().iter().map(|(_, reflectance)| lab(reflectance)).collect()
}

fn read_balls(reference: &[&str]) -> Value {
    let picture = picture();
    let places = BALLS.map(|[x, y, w, h]| format!("{x},{y},{w},{h}"));
    let mut args = vec!["photo", picture.as_str()];
    args.extend(reference);
    args.extend(places.iter().flat_map(|place| ["--yarn", place.as_str()]));
    parsed(&args)
}

#[test]
fn six_balls_are_read_near_their_true_colours_once_the_light_is_known() {
    let (raw, corrected) = (read_balls(&[]), read_balls(&["--reference", CARD, "--reflectance", "0.18"]));
    let (mut before, mut after) = (Vec::new(), Vec::new());
    for (k, truth) in truths().into_iter().enumerate() {
        let difference = |reading: &Value| lab_of(&reading["regions"][k]["colour"]).difference(truth);
        before.push(difference(&raw));
        after.push(difference(&corrected));
        let region = &corrected["regions"][k];
        assert_eq!(region["spread"]["kind"], "solid");
        // The estimate is one standard deviation.
        let total = region["error_ciede2000"]["total"].as_f64().unwrap();
        assert!(after[k] < 2.0 * total, "ball {k}: {} against {total}", after[k]);
    }
    // Measured: 18.3 before, 3.8 after.
    assert!(mean(&before) > 15.0 && mean(&after) < 4.0, "{before:.1?} {after:.1?}");
    assert_eq!(raw["warnings"][0]["kind"], "no_reference");
    assert_eq!(raw["regions"][5]["warnings"][0]["kind"], "no_reference");
    assert_eq!((&raw["light"], &corrected["warnings"]), (&Value::Null, &Value::Array(Vec::new())));
    assert_eq!(corrected["light"]["reflectance"], 0.18);
}

#[test]
fn the_printed_reading_is_the_library_s() {
    let printed = read_balls(&["--reference", CARD]);
    let picture =
        file::load_picture(&demo("crooked-ladder-six-balls.jpg"), &Watch::nobody()).unwrap().picture;
    let reference = Reference { region: Region::new(770, 70, 140, 190), reflectance: Reference::GREY_CARD };
    let balance = Balance::measure(&picture, reference, &Watch::nobody()).unwrap();
    let light = balance.light().unwrap();
    assert_near("exposure", printed["light"]["exposure_factor"].as_f64().unwrap(), light.exposure, 1e-5);
    assert_eq!(printed["picture"]["width_px"], 960);
    for (region, [x, y, w, h]) in printed["regions"].as_array().unwrap().iter().zip(BALLS) {
        let sample = sample_yarn(&picture, Region::new(x, y, w, h), &balance, &Watch::nobody()).unwrap();
        assert_eq!(region["origin"], "asked");
        assert_eq!(region["region_px"]["width"], w);
        assert_eq!(region["colour"]["hex"], sample.colour.to_hex());
        let lab = sample.colour.to_lab();
        let found = lab_of(&region["colour"]);
        assert!(lab.difference(found) < 1e-2, "{found:?}");
        let [l, c, hue] = numbers(&region["colour"]["oklch"], ["lightness", "chroma", "hue_degrees"]);
        assert_near("lightness", l, sample.colour.lightness(), 1e-5);
        assert_near("chroma", c, sample.colour.chroma(), 1e-5);
        assert_near("hue", hue, sample.colour.hue().unwrap(), 1e-3);
        assert_near(
            "error",
            region["error_ciede2000"]["total"].as_f64().unwrap(),
            sample.error.total(),
            1e-3,
        );
        assert_near("within", region["spread"]["within_oklab"].as_f64().unwrap(), sample.spread.within, 1e-5);
    }
}

/// A table in light that falls off across it, two grey cards and a paper on it and a flat red cloth in three
/// places: nothing of the program takes part in it.
fn table_in_falling_light(path: &std::path::Path) {
    let surface = |x: u32, y: u32| match (x, y) {
        (10..60, 40..90) | (200..240, 10..40) => [0.18; 3],
        (340..390, 60..110) => [0.85; 3],
        (100..150 | 200..250 | 280..330, 90..130) => CLOTH,
        _ => [0.45; 3],
    };
    image::RgbImage::from_fn(400, 160, |x, y| {
        let light = 0.8 * (-0.0018 * f64::from(x) - 0.001 * f64::from(y)).exp();
        let code = |v: f64| {
            let v = v * light;
            let code = if v <= 0.003_130_8 { 12.92 * v } else { 1.055 * v.powf(1.0 / 2.4) - 0.055 };
            (255.0 * code).round() as u8
        };
        image::Rgb(surface(x, y).map(code))
    })
    .save(path)
    .unwrap();
}

/// Linear sRGB of the cloth; `#b94b34` to the nearest code.
const CLOTH: [f64; 3] = [0.485, 0.07, 0.034];
const CLOTHS: [&str; 3] = ["105,95,40,30", "205,95,40,30", "285,95,40,30"];

#[test]
fn three_references_even_the_light_out_and_a_known_yarn_sets_it() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("table.png");
    table_in_falling_light(&path);
    let path = path.display().to_string();
    let read = |more: &[&str]| {
        let places = CLOTHS.iter().flat_map(|place| ["--yarn", *place]);
        let args: Vec<&str> =
            ["photo", path.as_str()].into_iter().chain(places).chain(more.iter().copied()).collect();
        parsed(&args)
    };
    let lightness = |reading: &Value| {
        [0, 1, 2].map(|k| numbers(&reading["regions"][k]["colour"]["lab_d65"], ["lstar"])[0])
    };
    let one = read(&["--reference", "12,42,46,46"]);
    let [first, second, third] = lightness(&one);
    assert!(first > second + 1.0 && second > third + 1.0, "{first} {second} {third}");
    assert_eq!(one["warnings"][0]["kind"], "light_falls_off");

    let cards = ["--reference", "12,42,46,46", "--reference", "202,12,36,26", "--reference", "342,62,46,46"];
    let shares = ["--reflectance", "0.18", "--reflectance", "0.18", "--reflectance", "0.85"];
    let three = read(&[&cards[..], &shares].concat());
    let expected = huegauge::colour::Colour::from_hex("#b94b34").unwrap().lstar();
    for lstar in lightness(&three) {
        assert_near("L* in evened light", lstar, expected, 0.5);
    }
    assert_eq!(three["light"]["evened_directions"], 2);
    assert_eq!(three["light"]["references"].as_array().unwrap().len(), 3);
    assert_eq!(three["warnings"][0]["kind"], "light_uneven");
    // Light falls by exp(-0.0018 x 330 - 0.001 x 20) from the first card to the paper.
    let ratio = three["light"]["light_ratio"].as_f64().unwrap();
    assert_near("light ratio", ratio, (0.0018_f64 * 330.0 + 0.001 * 20.0).exp(), 0.03);
    let total = |reading: &Value| reading["regions"][2]["error_ciede2000"]["total"].as_f64().unwrap();
    assert!(total(&three) < total(&one), "{} {}", total(&three), total(&one));

    // One card and the middle cloth known: it is read as what it is said to be, and tells no cast.
    let known = read(&["--reference", "12,42,46,46", "--known", "205,95,40,30=#b94b34"]);
    assert_near("known", lightness(&known)[1], expected, 0.3);
    let factor = known["known_yarns"]["light_factor"].as_f64().unwrap();
    let lstar_factor = |l: f64| ((l + 16.0) / 116.0).powi(3);
    assert_near("light factor", factor, lstar_factor(expected) / lstar_factor(second), 0.03);
    let by_lab = read(&["--reference", "12,42,46,46", "--known", "205,95,40,30=80,0,0"]);
    let kinds: Vec<&Value> = by_lab["warnings"].as_array().unwrap().iter().map(|w| &w["kind"]).collect();
    assert!(kinds.iter().any(|kind| **kind == "known_yarn_unlikely"), "{kinds:?}");

    // Paper said to be a grey card, grey said to be paper.
    let kinds = |args: &[&str]| -> Vec<String> {
        let reading = read(args);
        reading["warnings"]
            .as_array()
            .unwrap()
            .iter()
            .map(|w| w["kind"].as_str().unwrap().to_owned())
            .collect()
    };
    let doubted = kinds(&["--reference", "12,42,46,46", "--reflectance", "0.85"]);
    assert!(doubted.contains(&"picture_beyond_white".to_owned()), "{doubted:?}");
    let doubted = kinds(&[&cards[..], &["--reflectance", "0.18"]].concat());
    assert!(doubted.contains(&"references_disagree".to_owned()), "{doubted:?}");
    // A yarn that reads lighter than white.
    let light = read(&["--reference", "12,42,46,46", "--reflectance", "1"]);
    let table = parsed(&[
        "photo",
        &path,
        "--yarn",
        "70,10,20,20",
        "--reference",
        "12,42,46,46",
        "--reflectance",
        "1",
    ]);
    assert!(light["regions"][0]["colour"]["lab_d65"]["lstar"].as_f64().unwrap() <= 100.0);
    let warned = table["regions"][0]["warnings"].as_array().unwrap();
    assert!(warned.iter().any(|w| w["kind"] == "lighter_than_white"), "{warned:?}");
}

#[test]
fn what_light_it_was_tells_how_far_an_uncorrected_reading_may_be_off() {
    let off = |more: &[&str]| {
        let read = read_balls(more);
        (read["light_source"].clone(), read["regions"][0]["error_ciede2000"]["total"].as_f64().unwrap())
    };
    let (source, unknown) = off(&[]);
    let (told, daylight) = off(&["--light", "daylight"]);
    assert_eq!((source.as_str(), told.as_str()), (Some("unknown"), Some("daylight")));
    assert!(daylight < 0.6 * unknown, "{daylight} {unknown}");
    assert_eq!(off(&["--reference", CARD]).1, off(&["--reference", CARD, "--light", "warm-lamp"]).1);
    refused(
        &["photo", &picture(), "--find", "--light", "moon"],
        &["daylight, white-lamp, warm-lamp or unknown"],
    );
}

#[test]
fn yarns_are_found_where_they_lie() {
    let found = parsed(&["photo", &picture(), "--reference", CARD, "--find"]);
    let regions = found["regions"].as_array().unwrap();
    assert_eq!(regions.len(), BALLS.len());
    for (region, [x, y, w, h]) in regions.iter().zip(BALLS.map(|ball| ball.map(f64::from))) {
        let [left, top, width, height] = numbers(&region["region_px"], ["x", "y", "width", "height"]);
        let (middle_x, middle_y) = (x + w / 2.0, y + h / 2.0);
        assert!(
            (left..left + width).contains(&middle_x) && (top..top + height).contains(&middle_y),
            "{region}"
        );
        assert_eq!(region["origin"], "found");
        // A ball of 100 px radius covers 5 % of 960 x 640.
        let share = region["picture_share_percent"].as_f64().unwrap();
        assert!((3.0..8.0).contains(&share), "{share}");
        assert!(region["bounds_px"]["width"].as_f64().unwrap() >= width);
    }
}

/// Flat patches of the named colours of CSS, read without a reference, have the coordinates published
/// for them (`tests/data/css4_conversions.csv`).
#[test]
fn flat_patches_have_their_published_coordinates() {
    let rows = table("css4_conversions.csv");
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("patches.png");
    let rgb = |hex: &str| [1, 3, 5].map(|i| u8::from_str_radix(&hex[i..i + 2], 16).unwrap());
    let side = 24;
    image::RgbImage::from_fn(side * rows.len() as u32, side, |x, _| {
        image::Rgb(rgb(rows[(x / side) as usize].text("hex")))
    })
    .save(&path)
    .unwrap();
    let places: Vec<String> =
        (0..rows.len() as u32).map(|i| format!("{},0,{side},{side}", i * side)).collect();
    let path = path.display().to_string();
    let mut args = vec!["photo", path.as_str()];
    args.extend(places.iter().flat_map(|place| ["--yarn", place.as_str()]));
    let reading = parsed(&args);
    for (region, row) in reading["regions"].as_array().unwrap().iter().zip(&rows) {
        let colour = &region["colour"];
        assert_eq!(colour["hex"], row.text("hex"), "{}", row.place());
        let found = numbers(&colour["lab_d65"], ["lstar", "a", "b"]);
        for (found, published) in found.into_iter().zip(row.three(["lab65_L", "lab65_a", "lab65_b"])) {
            assert_near(row.place(), found, published, 0.02);
        }
        let [lightness, chroma] = numbers(&colour["oklch"], ["lightness", "chroma"]);
        assert_near(row.place(), lightness, row.number("oklch_L"), 2e-4);
        assert_near(row.place(), chroma, row.number("oklch_C"), 2e-4);
        match colour["oklch"]["hue_degrees"].as_f64() {
            Some(hue) => assert_near(row.place(), hue, row.number("oklch_h"), 0.05),
            None => assert!(row.number("oklch_C") < 4e-4, "{}", row.place()),
        }
    }
}

#[test]
fn a_photograph_that_cannot_be_read_says_why() {
    let picture = picture();
    let photo =
        |args: &[&str], parts: &[&str]| refused(&[&["photo", picture.as_str()], args].concat(), parts);
    photo(&[], &["a place to read", "--yarn", "--find"]);
    photo(&["--yarn"], &["--yarn needs X,Y,W,H"]);
    for wrong in ["1,2,3", "1,2,3,4,5", "1,2,3,x", "1,2,3,-4", ""] {
        photo(&["--yarn", wrong], &["--yarn needs X,Y,W,H in whole pixels", &format!("'{wrong}'")]);
    }
    photo(
        &["--yarn", "900,600,100,100"],
        &["crooked-ladder-six-balls.jpg", "leaves the picture", "960 x 640"],
    );
    photo(&["--yarn", "4294967295,0,9,9"], &["leaves the picture"]);
    photo(&["--yarn", "10,10,2,2"], &["too few pixels"]);
    photo(&["--find", "--reflectance", "0.18"], &["--reflectance needs --reference"]);
    photo(&["--find", "--reference", CARD, "--reflectance", "9"], &["between 0.02 and 1, not 9"]);
    photo(&["--find", "--reference", CARD, "--reflectance", "NaN"], &["between 0.02 and 1"]);
    photo(
        &["--find", "--reference", CARD, "--reflectance", "grey"],
        &["--reflectance needs a number", "'grey'"],
    );
    let two = ["--find", "--reference", CARD, "--reference", CARD];
    photo(
        &[&two[..], &["--reflectance", "0.1", "--reflectance", "0.2", "--reflectance", "0.3"]].concat(),
        &["2 times --reference and 3 times --reflectance"],
    );
    for wrong in ["1,2,3,4", "1,2,3=#fff", "=#fff"] {
        photo(&["--find", "--known", wrong], &["--known needs X,Y,W,H=COLOUR", wrong]);
    }
    photo(&["--find", "--known", "9,9,9,9=reddish"], &["'reddish' is no colour", "#rrggbb"]);
    photo(&["--find", "--known", "9,9,9,9=120,0,0"], &["is no colour"]);
    photo(&["--find", "--known", "100,130,90,90=#000"], &["known yarn at 100,130,90,90 is black"]);
    photo(&["--fnid"], &["did you mean --find?"]);
    photo(&["another.jpg"], &["one word too many"]);
    refused(&["photo"], &["photo needs a picture"]);
    refused(&["photo", &yoke(), "--find"], &["quovvle-yoke.ron", "not a JPEG, PNG, WebP or TIFF"]);
    refused(&["photo", "gone.jpg", "--find"], &["gone.jpg", "no such file"]);
}
