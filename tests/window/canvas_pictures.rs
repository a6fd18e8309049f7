//! Pictures of the canvas to look at, written to the target directory:
//! `cargo test --test window -- --ignored pictures`.

use std::path::PathBuf;

use huegauge::app::view::{Eyes, Floating, Gesture, Look, Surround, Tool};
use huegauge::chart::{Cell, Grid, Point, Rect};
use huegauge::colour::Colour;
use huegauge::knit::{Construction, Gauge};
use huegauge::project::{Chart, Project, Role};

use egui_kittest::kittest::Queryable;
use huegauge::ui::canvas::LABEL;

use crate::canvas::{Shell, middle_of, window};
use crate::software_renderer::SoftwareRenderer;

/// An invented motif of 24 x 30 stitches in four colours, worked twice around with an edge.
fn motif(around: u32, gauge: (f64, f64)) -> Project {
    let mut project = Project::default();
    let colours = ["#e9e1d0", "#27405e", "#a33b2e", "#d69a3a"];
    for (slot, hex) in project.palette.slots_mut().iter_mut().zip(colours) {
        slot.colour = Colour::from_hex(hex).unwrap();
    }
    let order = [Role::Ground, Role::Main, Role::Supporting, Role::Accent];
    let slots = order.map(|role| Cell::slot(project.palette.slot_of(role).unwrap() as u8));
    for (cell, hex) in slots.iter().zip(colours) {
        project.palette.slots_mut()[cell.index().unwrap()].colour = Colour::from_hex(hex).unwrap();
    }
    let mut grid = Grid::new(24 * around, 30, slots[0]).unwrap();
    for p in grid.bounds().points() {
        let (x, y) = (p.x % 24, p.y);
        let (cx, cy) = ((f64::from(x) - 11.5).abs(), (f64::from(y) - 14.5).abs());
        let slot = if !(2..=27).contains(&y) {
            1
        } else if y == 3 || y == 26 {
            if x % 4 < 2 { 2 } else { 0 }
        } else if cx + cy < 2.5 {
            3
        } else if cx + cy < 9.0 && (cx - cy).abs() > 2.0 {
            1
        } else if (10.0..12.0).contains(&(cx + cy)) {
            2
        } else if cx > 10.0 && cy < 2.0 {
            3
        } else {
            0
        };
        grid.set(p, slots[slot]);
    }
    for y in 24..30 {
        for x in 0..(y - 23) {
            grid.set(Point::new(x, y), Cell::NO_STITCH);
        }
    }
    project.chart = Chart::with_repeat(grid, Rect::new(0, 0, 24, 30)).unwrap();
    project.plan.gauge = Gauge::new(gauge.0, gauge.1).unwrap();
    project
}

fn picture(
    name: &str,
    project: Project,
    dark: bool,
    arrange: impl FnOnce(&mut Shell),
    hover: Option<(i64, i64)>,
) {
    let renderer = SoftwareRenderer::default();
    let mut harness = window(project, dark, renderer.clone());
    arrange(harness.state_mut());
    if hover.is_none() {
        harness.get_by_label(LABEL).focus();
    }
    harness.run();
    if let Some((x, y)) = hover {
        harness.hover_at(middle_of(&harness, x, y));
        harness.run();
    }
    let folder = PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join("pictures");
    std::fs::create_dir_all(&folder).unwrap();
    renderer.save(&harness, &folder.join(format!("{name}.png")));
}

#[test]
#[ignore = "writes pictures to look at"]
fn pictures() {
    picture("light", motif(2, (26.0, 32.0)), false, |_| (), Some((10, 10)));
    picture("dark", motif(2, (26.0, 32.0)), true, |_| (), Some((10, 10)));
    picture("close", motif(1, (24.0, 30.0)), false, |shell| shell.view.zoom_by = 2.5, Some((10, 10)));
    picture("symbols", motif(1, (24.0, 30.0)), false, |shell| shell.view.symbols = true, None);
    picture("knitted", motif(1, (24.0, 30.0)), false, |shell| shell.view.look = Look::Knitted, None);
    picture(
        "knitted close",
        motif(2, (26.0, 32.0)),
        true,
        |shell| {
            shell.view.look = Look::Knitted;
            shell.view.zoom_by = 3.0;
        },
        None,
    );
    picture(
        "flat from afar",
        motif(12, (24.0, 30.0)),
        false,
        |shell| shell.project.plan.construction = Construction::Flat,
        Some((100, 10)),
    );
    picture(
        "far",
        motif(40, (24.0, 30.0)),
        true,
        |shell| {
            shell.view.highlight = vec![Rect::new(400, 12, 7, 1), Rect::new(700, 20, 1, 1)];
            shell.view.ghosts = false;
        },
        None,
    );
    picture(
        "value",
        motif(1, (24.0, 30.0)),
        false,
        |shell| {
            shell.eyes = Eyes::Value;
            shell.view.surround = Surround::Mid;
        },
        None,
    );
    picture(
        "marks",
        motif(1, (24.0, 30.0)),
        false,
        |shell| {
            let view = &mut shell.view;
            view.region = Some(Rect::new(3, 5, 7, 6));
            view.cursor = Point::new(10, 20);
            view.highlight = vec![Rect::new(12, 6, 8, 1), Rect::new(2, 14, 1, 1)];
            view.floating = Some(Floating {
                patch: shell.project.chart.grid.copy(Rect::new(0, 0, 8, 8)).unwrap(),
                at: (14, 12),
                label: "Paste",
                see_through: None,
            });
            view.zoom_by = 1.4;
            view.symbols = true;
        },
        None,
    );
    picture(
        "shape",
        motif(1, (24.0, 30.0)),
        true,
        |shell| {
            shell.view.tool = Tool::Ellipse;
            shell.view.gesture = Some(Gesture::Shape {
                from: Point::new(2, 2),
                to: Point::new(14, 12),
                by_keys: true,
                second: false,
            });
            shell.view.paint = Cell::slot(2);
        },
        None,
    );
}
