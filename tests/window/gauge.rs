//! A gauge off a photograph of a swatch, its corners dragged on the picture.

use egui::{Pos2, Rect, Vec2, vec2};
use egui_kittest::kittest::Queryable;
use huegauge::app::Action;
use huegauge::app::purpose::Purpose;
use huegauge::file;
use huegauge::knit::{Construction, SwatchFabric, Technique};

use crate::common::blind_swatch::{Motif, Shot, Take, shot};
use crate::screen::{Screen, ask, click, open, project, settle, undo};

fn says(screen: &Screen, text: &str) -> bool {
    screen.query_all_by_label_contains(text).next().is_some()
}

/// Where picture pixels lie on the screen: the whole picture, as large as the area allows, in its middle.
struct Laid {
    area: Rect,
    size: Vec2,
}

impl Laid {
    fn at(&self, [x, y]: [f64; 2]) -> Pos2 {
        let scale = (self.area.size() / self.size).min_elem();
        self.area.center() + (vec2(x as f32, y as f32) - self.size / 2.0) * scale
    }
}

fn drag(screen: &mut Screen, from: Pos2, to: Pos2) {
    screen.hover_at(from);
    settle(screen);
    screen.drag_at(from);
    settle(screen);
    screen.hover_at(from.lerp(to, 0.5));
    settle(screen);
    screen.hover_at(to);
    settle(screen);
    screen.drop_at(to);
    settle(screen);
}

/// The corners as they are before anything is dragged, in shares of the picture.
fn first_corners(shot: &Shot) -> [[f64; 2]; 8] {
    let (wide, high) = (f64::from(shot.width), f64::from(shot.height));
    let card_wide = 0.28 * wide;
    let (left, top, right) = (0.04 * wide, 0.08 * high, 0.04 * wide + card_wide);
    let bottom = top + card_wide * 53.98 / 85.60;
    let (l, t, r, b) = (0.38 * wide, 0.38 * high, 0.9 * wide, 0.9 * high);
    [[left, top], [right, top], [right, bottom], [left, bottom], [l, t], [r, t], [r, b], [l, b]]
}

#[test]
fn a_swatch_is_read_off_a_photograph_and_goes_into_the_log() {
    let take = Take {
        motif: Motif::Plain,
        stitches: 22.0,
        rows: 29.0,
        tilt: 6.0,
        towards: 100.0,
        shadow: 0.2,
        noise: 2.0,
        seed: 8,
    };
    let shot = shot(take);
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("swatch.png");
    image::RgbImage::from_raw(shot.width, shot.height, shot.rgb.clone()).unwrap().save(&path).unwrap();
    let mut screen = open();
    click(&mut screen, "Swatch");
    let before = project(&screen).clone();
    ask(&mut screen, Action::PathEntered(Purpose::SwatchPhotograph, path));
    settle(&mut screen);
    let area = screen.get_by_label("Photograph of a swatch, swatch.png").rect();
    let laid = Laid { area, size: vec2(shot.width as f32, shot.height as f32) };
    let targets = shot.card.iter().chain(&shot.swatch);
    for (from, to) in first_corners(&shot).into_iter().zip(targets) {
        drag(&mut screen, laid.at(from), laid.at(*to));
    }
    assert!(says(&screen, "stitches in 10 cm"), "it is read once the corners are there");
    assert_eq!(project(&screen), &before, "looking changes nothing");
    let state = "State of the swatch on the photograph";
    click(&mut screen, state);
    click(&mut screen, "Washed and dried");
    let plan = &project(&screen).plan;
    assert_eq!((plan.technique, plan.construction), (Technique::Stranded, Construction::InTheRound));
    assert!(says(&screen, "are taken from the plan"), "what no photograph tells is not taken silently");
    click(&mut screen, "Stitch of the swatch on the photograph");
    click(&mut screen, "Plain stockinette");
    click(&mut screen, "How the swatch on the photograph was worked");
    click(&mut screen, "Flat");
    assert!(!says(&screen, "are taken from the plan"), "now they were told");
    click(&mut screen, "Put in the swatch log");
    let log = &project(&screen).material.swatches;
    assert_eq!(log.len(), before.material.swatches.len() + 1);
    let measured = log.last().unwrap().swatch.gauge_after().unwrap();
    assert!(measured.read_off);
    let swatch = &log.last().unwrap().swatch;
    assert_eq!((swatch.fabric, swatch.construction), (SwatchFabric::Plain, Construction::Flat));
    assert!(swatch.stitches().unwrap().fract() > 0.0 || swatch.rows().unwrap().fract() > 0.0, "in tenths");
    assert!((measured.gauge.stitches.get() / 22.0 - 1.0).abs() < 0.03, "{measured:?}");
    assert!((measured.gauge.rows.get() / 29.0 - 1.0).abs() < 0.03, "{measured:?}");
    assert!(says(&screen, "Off a photograph, two standard deviations"), "the log says what it rests on");
    // It is kept in the file.
    let saved = dir.path().join("swatch.ron");
    file::save_atomic(&saved, project(&screen)).unwrap();
    let again = file::load(&saved).unwrap();
    let kept = again.material.swatches.last().unwrap().swatch.gauge_after().unwrap();
    assert!(kept.read_off && (kept.stitches.0 - measured.stitches.0).abs() < 1e-9);
    undo(&mut screen);
    assert_eq!(project(&screen), &before, "in one step");
}
