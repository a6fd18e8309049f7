//! The chart picture: its size, its numbers, its pixels.

use huegauge::chart::{Cell, Grid, Rect};
use huegauge::export::chart_picture::{PictureOptions, draw};
use huegauge::export::drawing::{Align, Drawing, Item, Text};
use huegauge::export::{ExportError, png as png_file, raster, symbols, text};
use huegauge::file;
use huegauge::knit::{Construction, Gauge};
use huegauge::project::{Chart, Project, Symbol};

fn yoke() -> Project {
    file::demos()[0].project().unwrap()
}

fn with_chart(width: u32, height: u32, construction: Construction) -> Project {
    let mut project = yoke();
    let cells = (0..width * height).map(|i| Cell::slot(((i / 3 + i / width) % 4) as u8)).collect();
    project.chart = Chart::new(Grid::from_cells(width, height, cells).unwrap());
    project.plan.construction = construction;
    project
}

fn px(px_per_stitch: u32) -> PictureOptions {
    PictureOptions { px_per_stitch, ..PictureOptions::default() }
}

fn layer<'a>(drawing: &'a Drawing, name: &str) -> &'a [Item] {
    &drawing.layers.iter().find(|layer| layer.name == name).unwrap().items
}

fn texts(items: &[Item]) -> Vec<&Text> {
    items.iter().filter_map(|item| if let Item::Text(text) = item { Some(text) } else { None }).collect()
}

#[test]
fn the_png_knows_its_size_and_resolution() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("chart.png");
    let drawing = draw(&yoke(), &px(24)).unwrap();
    file::write_atomic(&path, |out| png_file::write(&drawing, out)).unwrap();
    let decoder = png::Decoder::new(std::io::BufReader::new(std::fs::File::open(&path).unwrap()));
    let mut reader = decoder.read_info().unwrap();
    let info = reader.info();
    assert_eq!((info.width, info.height), raster::pixel_size(&drawing, 1.0));
    // 150 dots per inch are 5906 pixels per metre.
    let dims = info.pixel_dims.unwrap();
    assert_eq!((dims.xppu, dims.yppu, dims.unit), (5906, 5906, png::Unit::Meter));
    let title = info.utf8_text.iter().find(|chunk| chunk.keyword == "Title").unwrap();
    assert_eq!(title.get_text().unwrap(), "Quovvle yoke band");
    let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
    reader.next_frame(&mut pixels).unwrap();
}

#[test]
fn a_cell_has_the_aspect_of_the_gauge_and_the_colour_of_its_slot() {
    let mut project = yoke();
    project.plan.gauge = Gauge::new(20.0, 30.0).unwrap();
    let drawing = draw(&project, &px(30)).unwrap();
    let Item::Cells(cells) = &layer(&drawing, "stitches")[0] else { panic!("no cells") };
    assert_eq!((cells.cell_width, cells.cell_height), (30.0, 20.0));
    let (_, height) = raster::pixel_size(&drawing, 1.0);
    let pixels = raster::band(&drawing, 1.0, 0, height).unwrap();
    let grid = &project.chart.grid;
    for p in grid.bounds().points() {
        let x = cells.x + (f64::from(p.x) + 0.5) * cells.cell_width;
        let y = cells.y + (f64::from(grid.height() - 1 - p.y) + 0.5) * cells.cell_height;
        let pixel = pixels.pixel(x as u32, y as u32).unwrap();
        let slot = grid.get(p).unwrap().index().unwrap();
        let colour = project.palette.slots()[slot].colour.to_srgb8();
        assert_eq!([pixel.red(), pixel.green(), pixel.blue()], colour, "{p:?}");
    }
}

#[test]
fn bands_join_without_a_seam() {
    let drawing = draw(&with_chart(13, 17, Construction::Flat), &px(17)).unwrap();
    let (width, height) = raster::pixel_size(&drawing, 1.0);
    let whole = raster::band(&drawing, 1.0, 0, height).unwrap();
    let mut joined = Vec::new();
    for top in (0..height).step_by(37) {
        joined.extend_from_slice(raster::band(&drawing, 1.0, top, 37.min(height - top)).unwrap().data());
    }
    assert_eq!(joined.len(), (width * height * 4) as usize);
    // The smoothing of a curve depends a little on where its canvas ends.
    let different = whole.data().iter().zip(&joined).filter(|(a, b)| a.abs_diff(**b) > 24).count();
    assert!(different < 8, "{different} of {} values differ", joined.len());
}

/// Numbers of a drawing as (text, left, top, right, bottom).
fn number_boxes(drawing: &Drawing) -> Vec<(String, [f64; 4])> {
    texts(layer(drawing, "numbers"))
        .into_iter()
        .map(|t| {
            let left = t.left();
            let right = left + text::width(&t.text, t.size, t.weight);
            (t.text.clone(), [left, t.y - text::CAP_HEIGHT * t.size, right, t.y])
        })
        .collect()
}

#[test]
fn numbers_never_touch_each_other_or_the_edge_at_any_size() {
    for construction in Construction::ALL {
        for (width, height) in [(1, 1), (24, 49), (7, 120), (130, 9), (400, 300), (2000, 1)] {
            let project = with_chart(width, height, construction);
            for size in [1, 2, 3, 5, 8, 13, 24, 40] {
                let drawing = draw(&project, &px(size)).unwrap();
                let boxes = number_boxes(&drawing);
                assert!(!boxes.is_empty());
                for (i, (number, a)) in boxes.iter().enumerate() {
                    let inside = a[0] >= 0.0 && a[2] <= drawing.width && a[3] <= drawing.height;
                    assert!(inside, "{number} leaves the picture at {width} x {height}, {size} px");
                    for (other, b) in &boxes[i + 1..] {
                        let apart = a[2] <= b[0] || b[2] <= a[0] || a[3] <= b[1] || b[3] <= a[1];
                        assert!(apart, "{number} touches {other} at {width} x {height}, {size} px");
                    }
                }
            }
        }
    }
}

/// Row numbers stand where the row is begun: in the round all at the right, flat the wrong side
/// rows at the left (common practice of printed charts, no published source).
#[test]
fn rows_are_numbered_where_they_begin() {
    for construction in Construction::ALL {
        let drawing = draw(&with_chart(24, 20, construction), &px(24)).unwrap();
        let Item::Cells(cells) = &layer(&drawing, "stitches")[0] else { panic!("no cells") };
        let (left, right) = (cells.x, cells.x + 24.0 * cells.cell_width);
        let bottom = cells.y + 20.0 * cells.cell_height;
        let mut rows = 0;
        for number in texts(layer(&drawing, "numbers")) {
            let value: u32 = number.text.parse().unwrap();
            match number.align {
                Align::Start => assert!(number.x > right),
                Align::End => assert!(number.x < left && value.is_multiple_of(2)),
                Align::Middle => {
                    // Stitch numbers run from the right.
                    let from_right = right - (f64::from(value) - 0.5) * cells.cell_width;
                    assert!((number.x - from_right).abs() < 1e-9 && number.y > bottom);
                    continue;
                }
            }
            let flat_wrong_side = construction == Construction::Flat && value.is_multiple_of(2);
            assert_eq!(number.align == Align::End, flat_wrong_side, "row {value}");
            let middle = bottom - (f64::from(value) - 0.5) * cells.cell_height;
            assert!((number.y - middle).abs() < cells.cell_height / 2.0);
            rows += 1;
        }
        assert_eq!(rows, 20);
    }
}

#[test]
fn the_legend_tells_every_colour_and_size() {
    let mut project = with_chart(24, 49, Construction::InTheRound);
    project.palette.slots_mut()[1].name = "A name that is far too long ".repeat(9);
    let mut grid = project.chart.grid.clone();
    grid.set(huegauge::chart::Point::new(3, 3), Cell::NO_STITCH);
    project.chart = Chart::with_repeat(grid, Rect::new(0, 0, 12, 49)).unwrap();
    let legend = |project: &Project| {
        let drawing = draw(project, &px(24)).unwrap();
        let words: Vec<&str> = texts(layer(&drawing, "legend")).iter().map(|t| t.text.as_str()).collect();
        words.join("\n")
    };
    // The finished size is that of the pieces, in the size that is worked.
    let of_pieces = legend(&project);
    for part in ["Size M", "Body: 101.4 cm around, ", "284 stitches, ", "Sleeve × 2: "] {
        assert!(of_pieces.contains(part), "{part} in {of_pieces}");
    }
    assert!(!of_pieces.contains("264 stitches"));
    project.pieces.pieces.clear();
    let drawing = draw(&project, &px(24)).unwrap();
    let all = legend(&project);
    for (index, slot) in project.palette.slots().iter().enumerate() {
        let code = huegauge::project::colour_code(index);
        assert!(all.contains(&format!("{code}, {} · {}", slot.role.word(), slot.colour.to_hex())));
    }
    for part in [
        // Decreases in its cells are signs of another kind.
        "Signs show colours; a bar at the foot",
        "Plain sailcloth",
        "far too long A…",
        "No stitch",
        "Repeat: 12 stitches × 49 rounds",
        "28 stitches × 33 rounds in 10 cm",
        // 28 and 33 times 1.016.
        "28.4 stitches × 33.5 rounds in 4 in",
        "94.3 cm (37.1 in) around",
        "264 stitches: 22 repeats",
        "Every round from right to left,",
    ] {
        assert!(part == "far too long A…" && all.contains('…') || all.contains(part), "{part} in {all}");
    }
    for t in texts(layer(&drawing, "legend")) {
        assert!(t.left() + text::width(&t.text, t.size, t.weight) <= drawing.width, "{}", t.text);
    }
}

#[test]
fn sixty_four_colours_find_room() {
    let mut project = with_chart(60, 20, Construction::Flat);
    while project.palette.push(project.palette.slots()[0].clone()) {}
    for size in [4, 24] {
        let drawing = draw(&project, &px(size)).unwrap();
        let legend = texts(layer(&drawing, "legend"));
        assert_eq!(legend.iter().filter(|t| t.text.contains(" · #")).count(), 64);
        assert!(legend.iter().all(|t| t.y < drawing.height && t.left() < drawing.width));
    }
}

#[test]
fn a_picture_over_the_limit_says_how_fine_it_may_be() {
    let project = with_chart(2000, 2000, Construction::InTheRound);
    let error = draw(&project, &px(24)).unwrap_err();
    let ExportError::TooFine { asked: 24, largest } = error else { panic!("{error}") };
    assert!(error.to_string().contains(&format!("choose {largest} px or fewer")), "{error}");
    assert!(draw(&project, &px(largest)).is_ok());
    assert!(draw(&project, &px(largest + 1)).is_err());
}

#[test]
fn a_full_size_chart_is_written_in_bounded_bands() {
    let project = with_chart(2000, 2000, Construction::InTheRound);
    let drawing = draw(&project, &PictureOptions { symbols: true, ..px(6) }).unwrap();
    let mut bytes = Vec::new();
    png_file::write(&drawing, &mut bytes).unwrap();
    assert!(bytes.len() < 40 << 20, "{} bytes", bytes.len());
}

/// Every symbol can be told from every other at 8 px, in black on white.
#[test]
fn symbols_differ_at_eight_pixels() {
    let picture = |symbol: Symbol| -> Vec<u8> {
        let marks = symbols::marks(symbol);
        let items = marks.iter().map(|mark| Item::of_mark(mark, [0.0, 0.0, 8.0, 8.0], [0; 3])).collect();
        let drawing = Drawing {
            width: 8.0,
            height: 8.0,
            unit_mm: 1.0,
            title: String::new(),
            paper: [255; 3],
            layers: vec![huegauge::export::drawing::Layer::new("symbol", items)],
        };
        raster::band(&drawing, 1.0, 0, 8).unwrap().data().chunks_exact(4).map(|p| p[0]).collect()
    };
    for (i, a) in Symbol::ALL.into_iter().enumerate() {
        for b in &Symbol::ALL[i + 1..] {
            let pairs = picture(a).into_iter().zip(picture(*b));
            let difference: u32 = pairs.map(|(a, b)| u32::from(a.abs_diff(b))).sum();
            // Five whole pixels of 64.
            assert!(difference > 5 * 255, "{a:?} and {b:?} differ by {difference}");
        }
    }
}
