//! Charts from pictures and mended floats from the command line.

use huegauge::file;
use huegauge::project::{MendBy, PictureFigures};
use serde_json::Value;

use crate::headless::{ok, refused, yoke};

fn parsed(text: &str) -> Value {
    serde_json::from_str(text).unwrap()
}

/// Two sails on a sea, the sky see-through.
fn boat(path: &std::path::Path) {
    let picture = image::RgbaImage::from_fn(160, 120, |x, y| {
        let sail = (40..80).contains(&x) && y < 80 && x - 40 < y / 2;
        match (sail, y) {
            (true, _) => image::Rgba([200, 40, 40, 255]),
            (false, 85..) => image::Rgba([20, 60, 120, 255]),
            _ => image::Rgba([0, 0, 0, 0]),
        }
    });
    picture.save(path).unwrap();
}

#[test]
fn a_picture_becomes_a_project_and_its_figures_are_those_of_the_project() {
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name).display().to_string();
    boat(&dir.path().join("boat.png"));
    let (picture, out) = (at("boat.png"), at("boat.ron"));
    let asked =
        ["picture", &picture, "--stitches", "40", "--gauge", "20,28", "--out", &out, "--ground", "#f0e8d8"];
    let said = parsed(&ok(&[&asked[..], &["--colours", "3", "--tidy", "0"]].concat()));
    let project = file::load(dir.path().join("boat.ron").as_path()).unwrap();
    // 40 stitches at 120/160 and a stitch 1.4 times as wide as tall.
    assert_eq!((said["stitches"].as_u64(), said["rows"].as_u64()), (Some(40), Some(42)));
    assert_eq!((project.chart.grid.width(), project.chart.grid.height()), (40, 42));
    assert_eq!(project.title, "boat");
    let figures = PictureFigures::of(&project);
    assert_eq!(said["lone_stitches"], figures.lone_stitches);
    assert_eq!(said["colours_per_row_max"], figures.colours_per_row_max);
    assert_eq!(said["long_floats"], figures.long_floats);
    assert!(said["mean_ciede2000"].as_f64().unwrap() < 1.0, "{said}");
    let hexes: Vec<&str> =
        said["colours"].as_array().unwrap().iter().map(|colour| colour["hex"].as_str().unwrap()).collect();
    assert_eq!(hexes.len(), 3);
    // What is see-through takes the ground, and it is most of the picture.
    let ground = huegauge::colour::Colour::from_hex(hexes[0]).unwrap();
    assert!(ground.difference(huegauge::colour::Colour::from_hex("#f0e8d8").unwrap()) < 2.0, "{hexes:?}");
    let metres = |key: &str| said["colours"][0][key].as_f64().unwrap();
    assert!(metres("metres") > 0.0 && metres("metres") == metres("metres_needed_likely"));
    // A swatch and waste come on top of what is knitted.
    assert!(
        metres("metres_knitted_likely") > 0.0
            && metres("metres_knitted_likely") < metres("metres_needed_likely")
    );
    // The same words in the other commands that tell metres, and the same stitches that stand alone.
    let inspected = parsed(&ok(&["inspect", &out]));
    assert_eq!(inspected["chart"]["lone_stitches"], said["lone_stitches"]);
    for key in ["metres_knitted_likely", "metres_needed_high"] {
        assert_eq!(inspected["yarn"][0][key], said["colours"][0][key], "{key}");
    }
    // The same again is the same to the last letter.
    let first = std::fs::read(&out).unwrap();
    ok(&[&asked[..], &["--colours", "3", "--tidy", "0"]].concat());
    assert_eq!(std::fs::read(&out).unwrap(), first);
}

#[test]
fn rows_keep_to_their_colours_and_shades_to_their_card() {
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name).display().to_string();
    boat(&dir.path().join("boat.png"));
    let (picture, out, card) = (at("boat.png"), at("boat.ron"), at("card.csv"));
    std::fs::write(
        dir.path().join("card.csv"),
        "name,hex\nChalk,#f2efe6\nTar,#101418\nBuoy,#c83030\nDeep,#1c3f70\n",
    )
    .unwrap();
    let asked = ["picture", &picture, "--cm", "20", "--gauge", "20,28", "--out", &out, "--shades", &card];
    let said = parsed(&ok(&[&asked[..], &["--colours", "3", "--per-row", "1"]].concat()));
    assert_eq!((said["stitches"].as_u64(), said["colours_per_row_max"].as_u64()), (Some(40), Some(1)));
    assert_eq!(said["rows_are_exact"], true);
    for colour in said["colours"].as_array().unwrap() {
        assert!(["Chalk", "Tar", "Buoy", "Deep"].contains(&colour["name"].as_str().unwrap()), "{colour}");
    }
}

#[test]
fn what_is_wrong_with_the_wish_is_said() {
    let dir = tempfile::tempdir().unwrap();
    let at = |name: &str| dir.path().join(name).display().to_string();
    boat(&dir.path().join("boat.png"));
    let (picture, out) = (at("boat.png"), at("boat.ron"));
    let asked = ["picture", picture.as_str(), "--out", out.as_str(), "--gauge", "20,28", "--stitches", "40"];
    let with = |more: &[&'static str]| [&asked[..], more].concat();
    refused(&["picture", &picture], &["needs a file", "--stitches N"]);
    refused(&["picture", "--out", &out], &["needs a picture"]);
    refused(&with(&["--colours", "33"]), &["--colours", "1 to 32", "33"]);
    refused(&with(&["--gauge", "20"]), &["--gauge", "28,36"]);
    refused(&with(&["--tidy", "NaN"]), &["--tidy", "0 to 100"]);
    refused(&with(&["--colours", "1", "--protect", "#000,#fff"]), &["--protect", "2 colours"]);
    refused(&with(&["--sitches", "4"]), &["--stitches"]);
    refused(
        &["picture", &picture, "--out", &picture, "--gauge", "20,28", "--stitches", "9"],
        &["picture itself"],
    );
    let tall = at("tall.png");
    image::RgbImage::new(1, 60).save(&tall).unwrap();
    refused(
        &["picture", &tall, "--out", &out, "--gauge", "20,28", "--stitches", "100"],
        &["tall.png", "1 to 2000", "another width"],
    );
    refused(
        &["picture", &at("none.png"), "--out", &out, "--gauge", "20,28", "--stitches", "9"],
        &["no such file"],
    );
    assert!(!dir.path().join("boat.ron").exists(), "nothing was written");
}

#[test]
fn mending_writes_a_project_without_long_floats() {
    let dir = tempfile::tempdir().unwrap();
    let out = dir.path().join("mended.ron").display().to_string();
    let before = file::load(std::path::Path::new(&yoke())).unwrap();
    // The demo with a limit that it does not keep.
    let mut strict = before.clone();
    strict.plan.float_limit.stitches = 2;
    let given = dir.path().join("strict.ron");
    file::save_atomic(&given, &strict).unwrap();
    let given = given.display().to_string();
    let said = parsed(&ok(&["mend", &given, "--out", &out]));
    let mended = file::load(std::path::Path::new(&out)).unwrap();
    assert!(said["floats_before"].as_u64().unwrap() > 0);
    assert_eq!(said["floats_before"], strict.long_float_count());
    assert_eq!((said["floats_after"].as_u64(), mended.long_float_count()), (Some(0), 0));
    let cells = strict.chart.grid.cells().iter().zip(mended.chart.grid.cells());
    assert_eq!(said["stitches_changed"], cells.filter(|(a, b)| a != b).count());
    assert_eq!((said["catches"].as_u64(), said["float_limit"].as_u64()), (Some(0), Some(2)));
    assert_eq!(mended.mending(MendBy::Stitches).stitches_changed, 0);

    let caught = parsed(&ok(&["mend", &given, "--catches", "--out", &out]));
    assert_eq!(file::load(std::path::Path::new(&out)).unwrap(), strict, "the chart stays");
    assert_eq!((caught["floats_after"].as_u64(), caught["stitches_changed"].as_u64()), (Some(0), Some(0)));
    let rows = 0..strict.chart.grid.height();
    let marks: usize = rows.map(|y| strict.catches_in_row(y).len()).sum();
    assert_eq!(caught["catches"], marks);

    refused(&["mend", &given], &["--out PROJECT"]);
    refused(&["mend", &given, "--out", &given], &["project itself"]);
    refused(&["mend", "--out", &out], &["needs a project"]);
}
