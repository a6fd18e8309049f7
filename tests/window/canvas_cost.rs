//! What a frame of the canvas costs: `cargo test --test window -- --ignored --nocapture cost`.

use std::time::{Duration, Instant};

use egui::{Event, RawInput, Rect, pos2, vec2};
use huegauge::app::view::{ChartView, Eyes, Look, Stale};
use huegauge::chart::{self, Cell, Grid};
use huegauge::project::{Chart, Project};
use huegauge::ui::canvas::{self, CanvasTextures};
use huegauge::ui::theme;

const FRAMES: u32 = 60;

fn project(side: u32) -> Project {
    let mut project = Project::default();
    let cells = (0..side * side).map(|i| Cell::slot(((i / 3 + i / side * 5) % 4) as u8)).collect();
    let grid = Grid::from_cells(side, side, cells).unwrap();
    project.chart = Chart::with_repeat(grid, chart::Rect::new(0, 0, side.min(24), side.min(24))).unwrap();
    project
}

/// Median time of `show` and of turning its output into triangles, while the pointer moves.
fn frame(project: &Project, zoom: f32, change: impl Fn(&mut ChartView, u32)) -> (Duration, Duration) {
    let ctx = egui::Context::default();
    theme::install(&ctx);
    let mut view = ChartView { fit: false, zoom, ..ChartView::default() };
    let mut textures = CanvasTextures::default();
    let (mut show, mut tessellate) = (Vec::new(), Vec::new());
    for i in 0..FRAMES {
        change(&mut view, i);
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(pos2(0.0, 0.0), vec2(1200.0, 800.0))),
            events: vec![Event::PointerMoved(pos2(300.0 + i as f32, 200.0 + i as f32))],
            ..RawInput::default()
        };
        let mut output = ctx.run_ui(input, |ui| {
            let start = Instant::now();
            canvas::show(ui, project, &mut view, Eyes::default(), &mut textures);
            show.push(start.elapsed());
        });
        output.textures_delta.clear();
        let start = Instant::now();
        let triangles = ctx.tessellate(output.shapes, 1.0);
        tessellate.push(start.elapsed());
        assert!(!triangles.is_empty());
    }
    let median = |mut times: Vec<Duration>| {
        times.sort_unstable();
        times[times.len() / 2]
    };
    (median(show), median(tessellate))
}

#[test]
#[ignore = "takes time and prints figures"]
fn cost() {
    let knitted = |view: &mut ChartView, _| view.look = Look::Knitted;
    println!("{:30} {:>10} {:>10}", "", "show", "triangles");
    for side in [100, 500, 2000] {
        let project = project(side);
        for zoom in [0.4, 1.0, 4.0, 16.0] {
            let (show, tessellate) = frame(&project, zoom, |_, _| ());
            println!("{:30} {show:>10.1?} {tessellate:>10.1?}", format!("{side} x {side} at {zoom} px"));
        }
        let (show, tessellate) = frame(&project, 16.0, |view, _| view.symbols = true);
        println!("{:30} {show:>10.1?} {tessellate:>10.1?}", format!("{side} x {side}, symbols, 16 px"));
        for zoom in [12.0, 24.0] {
            let (show, tessellate) = frame(&project, zoom, knitted);
            println!(
                "{:30} {show:>10.1?} {tessellate:>10.1?}",
                format!("{side} x {side}, knitted, {zoom} px")
            );
        }
        let (show, _) = frame(&project, 12.0, |view, i| {
            knitted(view, i);
            view.pan[0] -= 1.0;
        });
        println!("{:30} {show:>10.1?}", format!("{side} x {side}, knitted, panning"));
        let (show, _) = frame(&project, 4.0, |view, i| {
            view.stale = Stale { cells: chart::Rect::new(i, i, 3, 3).into(), all: false };
        });
        println!("{:30} {show:>10.1?}", format!("{side} x {side}, drawing, 4 px"));
        let (show, _) = frame(&project, 0.4, |view, i| {
            view.stale = Stale { cells: chart::Rect::new(i, i, 3, 3).into(), all: false };
        });
        println!("{:30} {show:>10.1?}", format!("{side} x {side}, drawing, 0.4 px"));
        let (show, _) = frame(&project, 1.0, |view, _| view.stale.all = true);
        println!("{:30} {show:>10.1?}", format!("{side} x {side}, all colours change"));
    }
}
