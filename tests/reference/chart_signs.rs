//! The signs for colours: told apart in grey at 2 mm, and unlike the signs that charts use for stitches.
//!
//! The stitch signs are those of `shaping_symbols.csv` (JIS L 0201, the Craft Yarn Council's list and two
//! published keys; the drawings are from memory, as each row says), drawn here after its words.

use crate::common::table;
use huegauge::chart::{Cell, Grid};
use huegauge::colour::Colour;
use huegauge::export::chart_picture::{PictureOptions, draw};
use huegauge::export::drawing::{Drawing, Item, Layer};
use huegauge::export::raster;
use huegauge::export::symbols::{Mark, marks, no_stitch};
use huegauge::knit::Technique;
use huegauge::project::{Chart, Palette, Project, Slot, Symbol};

/// Least part of a cell by which two signs differ (our judgement: a bar along half a side).
const LEAST_APART: f64 = 0.07;

/// A chart with every sign once in its middle row, blank cells around them, all on one grey.
fn row_of_signs(grey: Colour) -> Project {
    let model = Project::default().palette.slots()[0].clone();
    let slot = |symbol| Slot { symbol, colour: grey, ..model.clone() };
    let width = Symbol::ALL.len() + 2;
    let mut cells = vec![Cell::slot(0); 3 * width];
    for slot in 0..Symbol::ALL.len() {
        cells[width + 1 + slot] = Cell::slot(slot as u8);
    }
    let grid = Grid::from_cells(width as u32, 3, cells).unwrap();
    let mut project = Project {
        palette: Palette::new(Symbol::ALL.map(slot).into()).unwrap(),
        chart: Chart::new(grid),
        ..Project::default()
    };
    // No floats, and so no signs for where they are caught.
    project.plan.technique = Technique::Stripes;
    project
}

/// The grey codes of each cell of the exported picture, `px` pixels a stitch.
fn printed(project: &Project, px: u32, dots_per_inch: f64) -> Vec<Vec<f64>> {
    let options =
        PictureOptions { px_per_stitch: px, symbols: true, dots_per_inch, ..PictureOptions::default() };
    let drawing = draw(project, &options).unwrap();
    let cells = drawing.layers.iter().flat_map(|layer| &layer.items).find_map(|item| match item {
        Item::Cells(cells) => Some(cells),
        _ => None,
    });
    let cells = cells.unwrap();
    let (width, height) = raster::pixel_size(&drawing, 1.0);
    let pixels = raster::band(&drawing, 1.0, 0, height).unwrap();
    let (left, top) = (cells.x.round() as u32, cells.y.round() as u32);
    let (wide, tall) = (cells.cell_width as u32, cells.cell_height as u32);
    let cell = |column: u32| {
        (0..tall).flat_map(move |y| (0..wide).map(move |x| (left + column * wide + x, top + tall + y)))
    };
    let code = |(x, y): (u32, u32)| f64::from(pixels.data()[((y * width + x) * 4) as usize]);
    (1..=Symbol::ALL.len() as u32).map(|column| cell(column).map(code).collect()).collect()
}

#[test]
fn every_two_signs_are_told_apart_in_grey_at_two_millimetres() {
    let mut least: (f64, Option<(Symbol, Symbol)>) = (1.0, None);
    // White, the greys on either side of where the ink turns from dark to light, black.
    for lstar in [100.0, 56.0, 44.0, 5.0] {
        for (px, dots) in [(12, 150.0), (24, 300.0)] {
            let pictures = printed(&row_of_signs(Colour::grey(lstar)), px, dots);
            // Full contrast is that of the boldest stroke against the bare ground.
            let all = || pictures.iter().flatten().copied();
            let ground = pictures[0][pictures[0].len() / 2];
            let contrast = all().map(|code| (code - ground).abs()).fold(0.0, f64::max);
            assert!(contrast > 90.0, "L* {lstar}: the ink stands out by {contrast} of 255");
            for (i, one) in pictures.iter().enumerate() {
                for (j, other) in pictures.iter().enumerate().skip(i + 1) {
                    let sum: f64 = one.iter().zip(other).map(|(a, b)| (a - b).abs()).sum();
                    let apart = sum / contrast / one.len() as f64;
                    let pair = (Symbol::ALL[i], Symbol::ALL[j]);
                    assert!(apart > LEAST_APART, "{pair:?} at {px} px on L* {lstar}: {apart:.3}");
                    if apart < least.0 {
                        least = (apart, Some(pair));
                    }
                }
            }
        }
    }
    assert!(least.0 < 0.2, "the measure goes to the nearest pair: {least:?}");
    assert_eq!(Symbol::ALL.len(), 27, "26 signs and the blank");
}

/// Coverage of marks in a cell of 24 pixels, row by row, `0..=1`.
fn coverage(marks: &[Mark]) -> Vec<f64> {
    const SIDE: f64 = 24.0;
    let items = marks.iter().map(|mark| Item::of_mark(mark, [0.0, 0.0, SIDE, SIDE], [0; 3])).collect();
    let drawing = Drawing {
        width: SIDE,
        height: SIDE,
        unit_mm: 2.0 / SIDE,
        title: String::new(),
        paper: [255; 3],
        layers: vec![Layer::new("sign", items)],
    };
    let pixels = raster::band(&drawing, 1.0, 0, SIDE as u32).unwrap();
    pixels.data().chunks_exact(4).map(|pixel| 1.0 - f64::from(pixel[0]) / 255.0).collect()
}

/// Shared ink over all ink of two pictures: 1 for the same, 0 for none in common.
fn shared(one: &[f64], other: &[f64]) -> f64 {
    let pairs = || one.iter().zip(other);
    let both: f64 = pairs().map(|(a, b)| a.min(*b)).sum();
    both / pairs().map(|(a, b)| a.max(*b)).sum::<f64>()
}

fn line(points: &[[f32; 2]]) -> Mark {
    Mark::Stroke { points: points.to_vec(), width: 0.13, closed: false }
}

fn circle(radius: f32) -> Vec<[f32; 2]> {
    let corner = |i: u8| {
        let (sin, cos) = (f32::from(i) * std::f32::consts::TAU / 32.0).sin_cos();
        [0.5 + radius * cos, 0.5 + radius * sin]
    };
    (0..32).map(corner).collect()
}

/// A stitch sign after the words of the table; `None` for words that give no shape.
fn stitch_sign(drawing: &str) -> Option<Vec<Mark>> {
    let [upper_left, upper_right, lower_left, lower_right] =
        [[0.2, 0.15], [0.8, 0.15], [0.2, 0.85], [0.8, 0.85]];
    let middle = [0.5, 0.5];
    let starts = |words: &str| drawing.starts_with(words);
    let sign = if starts("open circle") {
        vec![Mark::Stroke { points: circle(0.3), width: 0.13, closed: true }]
    } else if starts("filled black dot") || drawing == "dot" {
        vec![Mark::Fill(circle(0.25))]
    } else if starts("slash") {
        vec![line(&[lower_left, upper_right])]
    } else if starts("long stroke from top right") {
        vec![line(&[lower_left, upper_right]), line(&[middle, lower_right])]
    } else if starts("long stroke from top left") || starts("lambda-like") {
        vec![line(&[upper_left, lower_right]), line(&[middle, lower_left])]
    } else if starts("backslash") {
        vec![line(&[upper_left, lower_right])]
    } else if starts("one upright bar") || starts("upright line") {
        vec![line(&[[0.5, 0.14], [0.5, 0.86]])]
    } else if starts("one level bar") || starts("level") {
        vec![line(&[[0.14, 0.5], [0.86, 0.5]])]
    } else if starts("letter V") {
        vec![line(&[upper_left, [0.5, 0.85]]), line(&[upper_right, [0.5, 0.85]])]
    } else if starts("upright bar with a short leg to each side") || starts("upright arrow") {
        vec![line(&[[0.5, 0.14], [0.5, 0.86]]), line(&[lower_left, [0.5, 0.3], lower_right])]
    } else if starts("grey (shaded) square") {
        vec![Mark::Fill(vec![[0.0, 0.0], [1.0, 0.0], [1.0, 1.0], [0.0, 1.0]])]
    } else {
        return None;
    };
    Some(sign)
}

#[test]
fn no_sign_for_a_colour_looks_like_a_sign_for_a_stitch() {
    let crossed = vec![line(&[[0.2, 0.2], [0.8, 0.8]]), line(&[[0.2, 0.8], [0.8, 0.2]])];
    let mut signs =
        vec![("crossed square".to_owned(), crossed), ("our own no stitch".to_owned(), no_stitch())];
    let mut stitches = Vec::new();
    for row in table("shaping_symbols.csv") {
        if let Some(marks) = stitch_sign(row.text("drawing")) {
            stitches.push(row.text("stitch").to_owned());
            signs.push((format!("{}: {}", row.place(), row.text("stitch")), marks));
        }
    }
    for stitch in
        ["knit", "purl", "yarn over", "right-leaning decrease", "left-leaning decrease", "no stitch"]
    {
        assert!(stitches.iter().any(|known| known == stitch), "{stitch} is not compared");
    }
    for symbol in Symbol::ALL.into_iter().filter(|symbol| *symbol != Symbol::Blank) {
        let ours = coverage(&marks(symbol));
        for (name, sign) in &signs {
            let shared = shared(&ours, &coverage(sign));
            assert!(shared < 0.5, "{symbol:?} is like {name}: {shared:.2}");
        }
    }
    // The measure sees a likeness where there is one.
    let [plain, footed] =
        ["slash", "long stroke from top right"].map(|words| coverage(&stitch_sign(words).unwrap()));
    assert!(shared(&plain, &footed) > 0.5);
}
