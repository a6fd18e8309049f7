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
    photo(&["--fnid"], &["did you mean --find?"]);
    photo(&["another.jpg"], &["one word too many"]);
    refused(&["photo"], &["photo needs a picture"]);
    refused(&["photo", &yoke(), "--find"], &["quovvle-yoke.ron", "not a JPEG, PNG, WebP or TIFF"]);
    refused(&["photo", "gone.jpg", "--find"], &["gone.jpg", "no such file"]);
}
