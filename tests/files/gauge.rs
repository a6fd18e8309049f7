//! `huegauge gauge` from a file on disk to its figures.

use serde_json::Value;

use crate::common::blind_swatch::{Motif, Shot, Take, shot};
use crate::headless::{ok, refused};

fn places(places: &[[f64; 2]]) -> String {
    places.iter().map(|[x, y]| format!("{x},{y}")).collect::<Vec<_>>().join(",")
}

fn saved(shot: &Shot, path: &std::path::Path) {
    image::RgbImage::from_raw(shot.width, shot.height, shot.rgb.clone()).unwrap().save(path).unwrap();
}

#[test]
fn a_photograph_of_a_swatch_gives_its_gauge_or_says_why_not() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("swatch.png");
    let take = Take {
        motif: Motif::Plain,
        stitches: 22.0,
        rows: 29.0,
        tilt: 12.0,
        towards: 40.0,
        shadow: 0.4,
        noise: 5.0,
        seed: 8,
    };
    let shot = shot(take);
    saved(&shot, &path);
    let (file, card, swatch) = (path.display().to_string(), places(&shot.card), places(&shot.swatch));
    let text = ok(&["gauge", &file, "--card", &card, "--swatch", &swatch]);
    let said: Value = serde_json::from_str(&text).unwrap();
    for (key, truth) in [("stitches", 22.0), ("rows", 29.0)] {
        let figure = said[format!("{key}_per_10_cm")].as_f64().unwrap();
        let error = said[format!("{key}_error")].as_f64().unwrap();
        assert!((figure / truth - 1.0).abs() < 0.02, "{key}: {figure}");
        assert!(error > 0.0 && error < 0.05 * truth, "{key}: {error}");
    }
    assert!(said["warnings"].is_array());
    // The same card as a rectangle of its size, and one side of it as a length: the tilt is then not known.
    let rectangle = format!("{card}=85.6x53.98");
    let same: Value =
        serde_json::from_str(&ok(&["gauge", &file, "--scale", &rectangle, "--swatch", &swatch])).unwrap();
    assert_eq!(same["stitches_per_10_cm"], said["stitches_per_10_cm"]);
    let length = format!("{}=85.6", places(&shot.card[..2]));
    let by_length: Value =
        serde_json::from_str(&ok(&["gauge", &file, "--scale", &length, "--swatch", &swatch])).unwrap();
    let warnings = by_length["warnings"].to_string();
    assert!(warnings.contains("tilt"), "{warnings}");
    // Corners beyond the picture, three corners, no picture.
    let outside = swatch.replacen(&format!("{}", shot.swatch[0][0]), "9999", 1);
    refused(&["gauge", &file, "--card", &card, "--swatch", &outside], &["outside the picture"]);
    refused(&["gauge", &file, "--card", "1,2,3,4,5,6", "--swatch", &swatch], &["--card"]);
    // A table without a swatch on it.
    let bare = Shot { rgb: vec![128; shot.rgb.len()], ..shot };
    saved(&bare, &path);
    refused(&["gauge", &file, "--card", &card, "--swatch", &swatch], &["no clear"]);
}
