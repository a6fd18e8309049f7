//! The chart as SVG, painted by a general library (resvg), against the program's own pixels.

use huegauge::export::chart_picture::{PictureOptions, draw};
use huegauge::export::drawing::Drawing;
use huegauge::export::{raster, svg};
use huegauge::file;
use huegauge::project::Project;
use resvg::{tiny_skia, usvg};

fn text_of(drawing: &Drawing) -> String {
    let mut out = Vec::new();
    svg::write(drawing, &mut out).unwrap();
    String::from_utf8(out).unwrap()
}

/// An SVG painted by the library, the embedded face at hand as on a machine where it is installed.
fn painted(svg: &str, width: u32, height: u32) -> tiny_skia::Pixmap {
    let mut options = usvg::Options::default();
    for file in ["OpenSans-Regular.ttf", "OpenSans-Semibold.ttf"] {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("assets/fonts").join(file);
        options.fontdb_mut().load_font_file(path).unwrap();
    }
    let tree = usvg::Tree::from_str(svg, &options).unwrap();
    let mut painted = tiny_skia::Pixmap::new(width, height).unwrap();
    let scale = width as f32 / tree.size().width();
    resvg::render(&tree, tiny_skia::Transform::from_scale(scale, scale), &mut painted.as_mut());
    painted
}

/// Mean difference, and the share of pixels that differ by more than 48 of 255, between a drawing
/// as our pixels and another as SVG painted by the library. Each pixel is held against the nearest
/// colour within one pixel of its place: lines are snapped to whole pixels on our side only, and smoothed
/// on the other; at two pixels a unit each still has a pixel of its full ink.
fn difference(pixels: &Drawing, vector: &Drawing) -> (f64, f64) {
    let (width, height) = raster::pixel_size(pixels, 2.0);
    let own = raster::band(pixels, 2.0, 0, height).unwrap();
    let painted = painted(&text_of(vector), width, height);
    let pixel = |map: &[u8], x: u32, y: u32| {
        let at = (y * width + x) as usize * 4;
        [map[at], map[at + 1], map[at + 2]]
    };
    let (mut sum, mut far) = (0.0, 0.0);
    for (x, y) in (0..height).flat_map(|y| (0..width).map(move |x| (x, y))) {
        let wanted = pixel(own.data(), x, y);
        let near = (y.saturating_sub(1)..(y + 2).min(height))
            .flat_map(|y| (x.saturating_sub(1)..(x + 2).min(width)).map(move |x| (x, y)))
            .map(|(x, y)| pixel(painted.data(), x, y))
            .map(|found| wanted.iter().zip(found).map(|(a, b)| a.abs_diff(b)).max().unwrap());
        let least = near.min().unwrap();
        sum += f64::from(least);
        far += f64::from(u8::from(least > 48));
    }
    let all = f64::from(width * height);
    (sum / all, far / all)
}

fn demo_projects() -> Vec<Project> {
    file::demos().iter().map(|demo| demo.project().unwrap()).collect()
}

#[test]
fn the_svg_painted_by_a_general_library_equals_the_png() {
    for project in demo_projects() {
        for symbols in [false, true] {
            let options = PictureOptions { symbols, ..PictureOptions::default() };
            let drawing = draw(&project, &options).unwrap();
            let (mean, far) = difference(&drawing, &drawing);
            println!("{}: mean {mean:.3}, far {far:.5}", project.title);
            // Marks are stamped on whole pixels on our side, and have long edges.
            assert!(mean < 1.2 && far < 0.02, "{}: mean {mean}, far {far}", project.title);
        }
    }
}

#[test]
fn the_svg_has_named_layers_and_its_printed_size() {
    let project = demo_projects().remove(0);
    let drawing = draw(&project, &PictureOptions::default()).unwrap();
    let text = text_of(&drawing);
    for layer in ["stitches", "lines", "repeat", "numbers", "title", "legend"] {
        assert!(text.contains(&format!("<g id=\"{layer}\">")), "{layer}");
    }
    let width = format!("width=\"{:.2}", drawing.width * drawing.unit_mm);
    assert!(text.contains(width.trim_end_matches('0')), "{width}");
    assert!(text.contains("<title>"));
}

#[test]
fn the_comparison_sees_one_wrong_colour() {
    let mut project = demo_projects().remove(0);
    let right = draw(&project, &PictureOptions::default()).unwrap();
    project.palette.slots_mut()[1].colour = huegauge::colour::Colour::from_hex("#ff00ff").unwrap();
    let wrong = draw(&project, &PictureOptions::default()).unwrap();
    let (mean, far) = difference(&right, &wrong);
    assert!(mean > 2.0 && far > 0.02, "mean {mean}, far {far}");
}

#[test]
fn the_comparison_sees_one_wrong_symbol() {
    let mut project = demo_projects().remove(0);
    let options = PictureOptions { symbols: true, ..PictureOptions::default() };
    let right = draw(&project, &options).unwrap();
    project.palette.slots_mut()[1].symbol = huegauge::project::Symbol::OpenLeft;
    let wrong = draw(&project, &options).unwrap();
    let (mean, far) = difference(&right, &wrong);
    assert!(mean > 1.2 && far > 0.02, "mean {mean}, far {far}");
}

#[test]
fn its_words_are_words_of_a_named_face_with_a_stand_in() {
    let project = demo_projects().remove(0);
    let text = text_of(&draw(&project, &PictureOptions::default()).unwrap());
    assert!(text.contains(&format!(">{}</text>", project.title)), "the title can be searched");
    let stands_in = |line: &str| line.contains("'Open Sans'") && line.contains("sans-serif");
    assert!(text.lines().filter(|line| line.starts_with("<text")).all(stands_in));
    assert!(text.lines().filter(|line| line.starts_with("<text")).all(|line| line.contains("textLength")));
}

/// Every line between stitches of one colour is there at every size, none heavier than another by much.
#[test]
fn the_lines_of_the_grid_survive_any_scale() {
    let mut project = demo_projects().remove(0);
    let grid = huegauge::chart::Grid::new(24, 20, huegauge::chart::Cell::slot(0)).unwrap();
    project.chart = huegauge::project::Chart::new(grid);
    let drawing = draw(&project, &PictureOptions::default()).unwrap();
    let svg = text_of(&drawing);
    let stitches = drawing.layers.iter().find(|layer| layer.name == "stitches").unwrap();
    let huegauge::export::drawing::Item::Cells(cells) = &stitches.items[0] else { panic!("no cells") };
    let mut lost = Vec::new();
    for scale in [0.2, 0.31, 0.5, 0.77, 1.0, 1.7, 3.0] {
        let (width, height) = ((drawing.width * scale) as u32, (drawing.height * scale) as u32);
        let map = painted(&svg, width, height);
        let across = f64::from(width) / drawing.width;
        let dark = |x: u32, y: u32| {
            let at = (y * width + x) as usize * 4;
            255 * 3 - map.data()[at..at + 3].iter().map(|v| u32::from(*v)).sum::<u32>()
        };
        // Half way up a row, so that only upright lines are met.
        let y = ((cells.y + 2.5 * cells.cell_height) * across) as u32;
        let ground = dark(((cells.x + 1.5 * cells.cell_width) * across) as u32, y);
        for line in 1..24 {
            let x = (cells.x + f64::from(line) * cells.cell_width) * across;
            let near = (x - 1.5).floor() as u32..=(x + 1.0).ceil() as u32;
            let ink: u32 = near.map(|x| dark(x, y).saturating_sub(ground)).sum();
            if ink <= 12 {
                lost.push((scale, line, ink));
            }
        }
    }
    assert!(lost.is_empty(), "scale, line and ink: {lost:?}");
}
