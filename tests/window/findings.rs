//! A finding points at all of its stitches, moves the chart only when they are out of sight, and the way
//! back is there.

use egui_kittest::kittest::{NodeT, Queryable};
use huegauge::app::Action;
use huegauge::chart::{Cell, Grid, Point, Rect};
use huegauge::project::findings::{Finding, FindingKind, Severity};
use huegauge::project::{Chart, Edit};

use egui::vec2;
use huegauge::ui::theme;
use huegauge::yarn::Need;

use crate::screen::{Screen, ask, click, open, open_sized, perform, project, settle, state, view};

/// A ground of 60 x 40 stitches on which a float, rows of three colours and seeds stand twice each.
fn chart() -> Chart {
    let ground = Cell::slot(0);
    let mut grid = Grid::new(60, 40, ground).unwrap();
    let mut set = |x, y, slot| grid.set(Point::new(x, y), Cell::slot(slot));
    for y in [2, 30] {
        (0..60).filter(|x| !(10..25).contains(x)).for_each(|x| set(x, y, 1));
        (0..60).step_by(2).for_each(|x| set(x, y + 4, 1));
        set(5, y + 4, 2);
    }
    for (x, y) in [(8, 20), (40, 20), (50, 12)] {
        set(x, y, 2);
    }
    Chart::new(grid)
}

/// Clicks the first finding of this kind and gives what it points at.
fn shown(screen: &mut Screen, kind: FindingKind) -> Vec<Rect> {
    let name = format!(": {}. ", kind.name());
    // Opened to be looked at, and closed again, so that the next is where it was.
    let mut shown = Vec::new();
    for is_opened in [true, false] {
        let row = screen.get_all_by_label_contains(&name).next().unwrap();
        assert_eq!(row.accesskit_node().role(), egui::accesskit::Role::Button);
        row.scroll_to_me();
        settle(screen);
        screen.get_all_by_label_contains(&name).next().unwrap().click();
        settle(screen);
        let marks = view(screen).chart.highlight.clone();
        if is_opened {
            shown = marks;
        } else {
            assert!(marks.is_empty(), "closed, it marks nothing: {marks:?}");
        }
    }
    shown
}

#[test]
fn every_kind_that_is_about_stitches_marks_all_of_them() {
    let mut screen = open();
    perform(&mut screen, Edit::Chart(Box::new(chart())));
    let figures = state(&screen).figures().unwrap();
    let kinds: Vec<FindingKind> =
        [FindingKind::LongFloat, FindingKind::ManyColours, FindingKind::SmallMotif, FindingKind::CloseValues]
            .into_iter()
            .filter(|kind| figures.findings.iter().any(|finding| finding.kind == *kind))
            .collect();
    assert!(kinds.len() >= 3, "{kinds:?}");
    for kind in kinds {
        let marks = shown(&mut screen, kind);
        assert!(marks.len() > 1, "{kind:?}: {marks:?}");
        let finding = figures.findings.iter().find(|finding| finding.kind == kind).unwrap();
        let place = finding.place.unwrap();
        assert!(marks.iter().any(|mark| mark.union(place) == *mark), "{kind:?}: {place:?} in {marks:?}");
        // Of a float and of rows: those far above, too.
        if kind != FindingKind::CloseValues {
            let rows = marks.iter().map(|mark| mark.y);
            assert!(rows.clone().max() > rows.min(), "{kind:?}: {marks:?}");
        }
    }
    assert_eq!(project(&screen).chart.grid.width(), 60);
}

#[test]
fn the_chart_moves_only_for_what_is_out_of_sight_and_comes_back() {
    let mut screen = open();
    perform(&mut screen, Edit::Chart(Box::new(chart())));
    ask(&mut screen, Action::EndGesture);
    let place = |screen: &Screen| (view(screen).chart.zoom, view(screen).chart.pan);
    let whole = place(&screen);
    shown(&mut screen, FindingKind::SmallMotif);
    // A bar that comes beside the findings may widen or narrow the canvas, which keeps the whole in view.
    assert!((place(&screen).0 / whole.0 - 1.0).abs() < 0.02, "all of it was in sight");
    assert!(view(&screen).chart.back.is_none());

    screen.state_mut().as_mut().unwrap().program.view.chart.zoom_by = 6.0;
    settle(&mut screen);
    let near = place(&screen);
    assert!(near.0 > whole.0 * 2.0);
    shown(&mut screen, FindingKind::LongFloat);
    assert_ne!(place(&screen), near);
    let canvas = screen.get_by_label("Stitch grid").rect();
    let (zoom, pan) = place(&screen);
    let cell = egui::vec2(zoom, zoom / project(&screen).plan.gauge.cell_aspect() as f32);
    for mark in &view(&screen).chart.highlight {
        let top_left = canvas.min
            + egui::Vec2::from(pan)
            + egui::vec2(mark.x as f32, (40 - mark.y - mark.height) as f32) * cell;
        let seen =
            egui::Rect::from_min_size(top_left, egui::vec2(mark.width as f32, mark.height as f32) * cell);
        assert!(canvas.contains_rect(seen), "{mark:?} is not in sight");
    }
    click(&mut screen, "Back");
    assert_eq!(place(&screen), near);
}

/// Findings of a kind with the longest words there can be beside its name.
fn longest(kind: FindingKind) -> Vec<Finding> {
    use huegauge::knit::MaterialKind;
    let place = Some(Rect::new(0, 998, 24, 1));
    let about_stitches = Finding {
        kind,
        severity: Severity::Warning,
        place,
        slots: vec![22, 12],
        length: Some(99),
        told: String::new(),
        message: String::new(),
    };
    let told = |told: &str| Finding { place: None, told: told.to_owned(), ..about_stitches.clone() };
    let material = [
        MaterialKind::SingleForHardWear,
        MaterialKind::SocksWithoutReinforcement,
        MaterialKind::FuzzyUnderFineMotif,
        MaterialKind::WoollenForCables,
        MaterialKind::Slanting,
        MaterialKind::SlipperyStrands,
        MaterialKind::BusyOnBusy,
        MaterialKind::LabelForbidsWash,
        MaterialKind::Cover,
        MaterialKind::GaugeNotTheSwatchs,
        MaterialKind::GaugeUnwashed,
        MaterialKind::MotifLostAtSwatchGauge,
        MaterialKind::UnevenYarns,
        MaterialKind::UnevenWashing,
    ];
    let missed = Need::ALL.iter().copied().map(MaterialKind::NeedMissed);
    match kind {
        FindingKind::Yarn | FindingKind::Swatch => {
            material.into_iter().chain(missed).map(|kind| told(&kind.name())).collect()
        }
        FindingKind::Proportion => vec![told("supporting 100 %"), told("19 more")],
        FindingKind::Technique => vec![told("intarsia in rounds")],
        FindingKind::RepeatFit => vec![about_stitches.clone(), told("size Toddler"), told("199 more")],
        FindingKind::LongFloat
        | FindingKind::ManyColours
        | FindingKind::Shaping
        | FindingKind::SmallMotif
        | FindingKind::CloseValues => vec![about_stitches.clone(), told("199 more")],
        FindingKind::Unworkable
        | FindingKind::OpenStitches
        | FindingKind::Gathering
        | FindingKind::ChartSide
        | FindingKind::Opening
        | FindingKind::OffCentre => ["size Toddler", "10 sizes", "Bodywarmer"].map(told).to_vec(),
    }
}

#[test]
fn the_line_of_a_finding_is_whole_in_a_window_of_1280() {
    let mut screen = open_sized(vec2(1280.0, 800.0));
    perform(&mut screen, Edit::Chart(Box::new(chart())));
    let line = screen.get_all_by_label_contains(": Small figures. ").next().unwrap().rect();
    let width = |family, size, text: String| {
        screen.ctx.fonts_mut(|fonts| {
            fonts.layout_no_wrap(text, egui::FontId::new(size, family), egui::Color32::BLACK).size().x
        })
    };
    // The mark stands before the words, and a step between the two.
    let room = line.width() - 26.0 - 8.0 - 6.0;
    for kind in FindingKind::ALL {
        let name = width(theme::semibold(), theme::BODY, kind.name().to_owned());
        for finding in longest(kind) {
            let brief = finding.brief();
            let words = width(egui::FontFamily::Proportional, theme::SMALL, brief.clone());
            assert!(
                !brief.is_empty() && name + words <= room,
                "{kind:?} {brief}: {name} + {words} in {room}"
            );
        }
    }
    // And what this chart has is painted whole.
    let shown = |line: &egui::epaint::TextShape| line.galley.elided;
    let cut = screen.output().shapes.iter().any(|clipped| match &clipped.shape {
        egui::Shape::Text(text) => line.contains(text.pos) && shown(text),
        _ => false,
    });
    assert!(!cut);
}
