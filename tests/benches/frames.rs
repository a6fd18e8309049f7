//! What one frame of the whole window costs the processor: its panels and its triangles, without drawing them.

use std::hint::black_box;
use std::sync::Arc;

use criterion::Criterion;
use eframe::egui;
use egui::{Event, Modifiers, PointerButton, Pos2, RawInput, Rect, pos2, vec2};
use huegauge::app::Program;
use huegauge::app::home::Home;
use huegauge::app::jobs::Jobs;
use huegauge::app::view::Look;
use huegauge::chart::{Cell, Grid, Mirrors, Symmetry};
use huegauge::export::{chart_picture, png, raster};
use huegauge::project::{Chart, Project};
use huegauge::ui::Window;

/// Frames of a stroke: two seconds of painting.
const STROKE: u32 = 120;
/// Frames of a drag.
const DRAG: u32 = 50;

fn project(side: u32) -> Project {
    let cells = (0..side * side).map(|i| Cell::slot(((i / 3 + i / side * 5) % 4) as u8)).collect();
    let chart = Chart::new(Grid::from_cells(side, side, cells).unwrap());
    let mut project = Project { chart, ..Project::default() };
    project.plan.needle_stitches = side;
    project
}

/// A window of 1280 x 800 points without a screen, its workers beside it.
struct Stage {
    ctx: egui::Context,
    window: Window,
    frame: u32,
}

impl Stage {
    fn new(project: Project) -> Self {
        let ctx = egui::Context::default();
        let mut program = Program::new(project, Home::default(), Jobs::threaded(Arc::new(|| {})));
        program.state.system_picker = false;
        let window = Window::new(&ctx, program);
        let mut stage = Self { ctx, window, frame: 0 };
        for _ in 0..30 {
            stage.show(Vec::new());
        }
        stage
    }

    fn show(&mut self, events: Vec<Event>) {
        let input = RawInput {
            screen_rect: Some(Rect::from_min_size(Pos2::ZERO, vec2(1280.0, 800.0))),
            time: Some(f64::from(self.frame) / 60.0),
            events,
            ..RawInput::default()
        };
        self.frame += 1;
        let window = &mut self.window;
        let mut output = self.ctx.run_ui(input, |ui| {
            window.collect();
            window.frame(ui);
        });
        output.textures_delta.clear();
        black_box(self.ctx.tessellate(output.shapes, 1.0));
    }

    /// Edits so far.
    fn edits(&self) -> u64 {
        self.window.program.state.document.version().revision
    }

    /// The next frame in which the chart is dragged by the middle button, 7 points a frame: stroke after stroke to
    /// the left, then as many to the right.
    fn drag(&mut self) {
        const DRAGS: u32 = 18;
        let (at, drag) = (self.frame % DRAG, self.frame / DRAG);
        let way = if (drag / DRAGS).is_multiple_of(2) { -1.0 } else { 1.0 };
        let pos = |at: u32| pos2(560.0 + way * 7.0 * (at as f32 - DRAG as f32 / 2.0), 420.0);
        let button = |pressed, at| Event::PointerButton {
            pos: pos(at),
            button: PointerButton::Middle,
            pressed,
            modifiers: Modifiers::NONE,
        };
        let mut events = Vec::new();
        if at == 0 {
            events.extend([button(false, DRAG), Event::PointerMoved(pos(0)), button(true, 0)]);
        } else {
            events.push(Event::PointerMoved(pos(at)));
        }
        self.show(events);
    }

    /// The next frame in which the pointer goes round over the chart, painting or not.
    fn round(&mut self, paints: bool) {
        let turn = self.frame as f32 * 0.05;
        let pos = pos2(540.0 + 90.0 * turn.cos(), 300.0 + 70.0 * turn.sin());
        let mut events = vec![Event::PointerMoved(pos)];
        if paints && self.frame.is_multiple_of(STROKE) {
            let button = |pressed| Event::PointerButton {
                pos,
                button: PointerButton::Primary,
                pressed,
                modifiers: Modifiers::NONE,
            };
            // Another colour with each stroke, so that nearly every frame has something to paint.
            self.window.program.view.chart.paint = Cell::slot((self.frame / STROKE % 3) as u8);
            events.extend([button(false), button(true)]);
        }
        self.show(events);
    }
}

/// Painting with eight images on 500 x 500 stitches; the peer is the same window while the pointer only moves.
pub fn painting(bench: &mut Criterion) {
    let mut group = bench.benchmark_group("a frame on 500 x 500 stitches");
    let mut project = project(500);
    project.symmetry = Symmetry { mirrors: Mirrors::Star, ..Symmetry::default() };
    let mut stage = Stage::new(project.clone());
    let (frames, edits) = (stage.frame, stage.edits());
    group.bench_function("painting with eight images", |b| b.iter(|| stage.round(true)));
    let (frames, edits) = (stage.frame - frames, stage.edits() - edits);
    assert!(edits * 2 >= u64::from(frames), "most frames paint: {edits} of {frames}");
    project.symmetry = Symmetry::default();
    let mut stage = Stage::new(project);
    group.bench_function("peer: the pointer moves", |b| b.iter(|| stage.round(false)));
    group.finish();
}

/// Panning over 2000 x 2000 stitches in the knitted look; the peer is the same in flat squares.
pub fn panning(bench: &mut Criterion) {
    let mut group = bench.benchmark_group("a frame panning over 2000 x 2000 stitches");
    for (name, look) in [("knitted", Look::Knitted), ("peer: flat squares", Look::Chart)] {
        let mut stage = Stage::new(project(2000));
        let view = &mut stage.window.program.view.chart;
        (view.look, view.zoom, view.pan) = (look, 12.0, [-9000.0, -9000.0]);
        let (mut dragged, mut moved) = (0, 0);
        group.bench_function(name, |b| {
            b.iter(|| {
                let before = stage.window.program.view.chart.pan;
                stage.drag();
                dragged += 1;
                moved += u32::from(stage.window.program.view.chart.pan != before);
            });
        });
        assert!(moved * 10 >= dragged * 8, "nearly every frame pans: {moved} of {dragged}");
    }
    group.finish();
}

/// The chart picture of 500 x 500 stitches at 20 px; the peer encodes the same pixels, which lie there painted.
pub fn chart_png(bench: &mut Criterion) {
    let mut group = bench.benchmark_group("chart png of 500 x 500 stitches at 20 px");
    let project = project(500);
    let options = chart_picture::PictureOptions { px_per_stitch: 20, ..Default::default() };
    group.bench_function("ours, all processors", |b| {
        b.iter(|| {
            let drawing = chart_picture::draw(&project, &options).unwrap();
            let mut file = Vec::new();
            png::write(&drawing, &mut file).unwrap();
            black_box(file)
        });
    });
    let drawing = chart_picture::draw(&project, &options).unwrap();
    let (width, height) = raster::pixel_size(&drawing, 1.0);
    let pixels = raster::band(&drawing, 1.0, 0, height).unwrap();
    let rgb: Vec<u8> = pixels.data().chunks_exact(4).flat_map(|pixel| &pixel[..3]).copied().collect();
    group.bench_function("peer: the encoder alone, one processor", |b| {
        b.iter(|| {
            let mut file = Vec::new();
            let mut encoder = ::png::Encoder::new(&mut file, width, height);
            encoder.set_color(::png::ColorType::Rgb);
            encoder.set_depth(::png::BitDepth::Eight);
            encoder.set_compression(::png::Compression::Balanced);
            encoder.set_filter(::png::Filter::Up);
            let mut writer = encoder.write_header().unwrap();
            writer.write_image_data(&rgb).unwrap();
            writer.finish().unwrap();
            black_box(file)
        });
    });
    group.finish();
}
