//! What is fuzzed: the seeds of each target and what must hold for any input.

use std::io::Cursor;

use huegauge::chart::Cell;
use huegauge::export::inspect;
use huegauge::export::written_rows::{RowStyle, written_rows};
use huegauge::file::{self, FileError};
use huegauge::knit::Construction;
use huegauge::photo::{Balance, Region, Watch, sample_yarn};
use huegauge::project::Project;
use huegauge::project::figures::Figures;
use huegauge::project::shopping::Shopping;
use huegauge::words::{MAX_STUMBLES, Pattern};
use huegauge::yarn::Blend;

use crate::read_rows::parse_rows;

/// No message is longer, whatever the input holds.
const LONGEST_MESSAGE: usize = 2_000;

fn is_fit_to_show(message: &str) {
    assert!(message.len() <= LONGEST_MESSAGE, "a message of {} bytes", message.len());
    assert!(!message.chars().any(char::is_control), "a message of several lines: {message:?}");
}

fn demos() -> Vec<Vec<u8>> {
    file::demos().iter().map(|demo| demo.text.as_bytes().to_vec()).collect()
}

pub fn project_seeds() -> Vec<Vec<u8>> {
    demos()
}

/// A file opens and comes back as it was, with figures that can be worked out, or is refused in one line.
pub fn project(input: &[u8]) {
    let Ok(text) = std::str::from_utf8(input) else { return };
    match file::from_str(text, "fuzz.ron") {
        Err(error) => is_fit_to_show(&error.to_string()),
        Ok(project) => {
            assert_eq!(project.check(), Ok(()));
            let saved = file::to_string(&project).unwrap();
            let back = file::from_str(&saved, "saved.ron");
            assert!(back.as_ref() == Ok(&project), "it comes back as another: {:?}", back.err());
            // A chart of millions of stitches is sound, but a fuzzer has no time for it.
            if project.chart.grid.cells().len() <= 40_000 {
                serde_json::from_str::<serde_json::Value>(
                    &inspect::json(&project, &Figures::of(&project)).unwrap(),
                )
                .unwrap();
                let _ = Shopping::of(&project, None, None).map(|shopping| {
                    huegauge::export::yardage::text(&project, &shopping);
                    huegauge::export::yardage::csv(&project, &shopping).unwrap()
                });
            }
        }
    }
}

pub fn card_seeds() -> Vec<Vec<u8>> {
    vec![file::card_to_string(&file::demo_card().unwrap()).unwrap().into_bytes()]
}

/// A card opens and comes back as it was, or is refused in one line.
pub fn card(input: &[u8]) {
    let Ok(text) = std::str::from_utf8(input) else { return };
    match file::card_from_str(text, "fuzz.ron") {
        Err(error) => is_fit_to_show(&FileError::to_string(&error)),
        Ok(card) => {
            let saved = file::card_to_string(&card).unwrap();
            assert_eq!(file::card_from_str(&saved, "saved.ron").as_ref(), Ok(&card));
        }
    }
}

pub fn csv_seeds() -> Vec<Vec<u8>> {
    let card = file::demo_card().unwrap();
    let table = file::shades_to_csv(card.shades()).unwrap();
    let german = table.replace(',', ";").replace('.', ",");
    vec![table.into_bytes(), german.into_bytes(), b"name\thex\nHaar\t#d8cbb2\n".to_vec()]
}

/// A table is read and written so that it reads the same, or every problem is one short line. No cell that
/// is written is a formula.
pub fn csv(input: &[u8]) {
    match file::shades_from_csv(input, "fuzz.csv") {
        Err(trouble) => {
            is_fit_to_show(&trouble.to_string());
            trouble.problems.iter().for_each(|problem| is_fit_to_show(&problem.to_string()));
        }
        Ok(read) => {
            let table = file::shades_to_csv(&read.shades).unwrap();
            let again = file::shades_from_csv(table.as_bytes(), "again.csv").unwrap().shades;
            // What acts on a terminal is not written, so the second writing is the measure.
            assert_eq!(file::shades_to_csv(&again).unwrap(), table);
            let mut cells = ::csv::Reader::from_reader(table.as_bytes());
            for row in cells.records().map(Result::unwrap) {
                let armed =
                    row.iter().take(2).find(|cell| cell.trim_start().starts_with(['=', '+', '-', '@']));
                assert_eq!(armed, None);
            }
        }
    }
}

pub fn picture_seeds() -> Vec<Vec<u8>> {
    let small = image::RgbImage::from_fn(24, 16, |x, y| image::Rgb([x as u8 * 9, y as u8 * 13, 90]));
    let deep = image::ImageBuffer::<image::Rgb<u16>, _>::from_fn(12, 9, |x, y| {
        image::Rgb([x as u16 * 5_000, y as u16 * 7_000, 30_000])
    });
    let write = |format, picture: image::DynamicImage| {
        let mut bytes = Cursor::new(Vec::new());
        picture.write_to(&mut bytes, format).unwrap();
        bytes.into_inner()
    };
    vec![
        write(image::ImageFormat::Png, small.clone().into()),
        write(image::ImageFormat::Jpeg, small.clone().into()),
        write(image::ImageFormat::WebP, small.clone().into()),
        write(image::ImageFormat::Tiff, small.into()),
        write(image::ImageFormat::Png, deep.clone().into()),
        write(image::ImageFormat::Tiff, deep.into()),
    ]
}

/// A picture opens and a colour can be read from it, or it is refused in one line.
pub fn picture(input: &[u8]) {
    match file::read_picture("fuzz", input, &Watch::nobody()) {
        Err(error) => is_fit_to_show(&error.to_string()),
        Ok(loaded) => {
            let picture = &loaded.picture;
            let whole = Region::new(0, 0, picture.width(), picture.height());
            let _ = sample_yarn(picture, whole, &Balance::none(), &Watch::nobody());
        }
    }
}

pub fn outline_seeds() -> Vec<Vec<u8>> {
    [
        "<path d='M 10 90 C 20 0 70 -5 90 90 Z m 5 5 q 3 4 5 6 t 1 2 a 9 4 30 1 0 5 5' fill-rule='evenodd'/>",
        "<defs><g id='a'><circle cx='20' cy='30' r='12'/></g></defs><use href='#a' transform='rotate(30)'/>",
        "<style>.a{stroke:#123;stroke-width:3}</style><polyline class='a' points='1,1 20,30 5,9'/>",
        "<rect width='50%' height='40' rx='5' transform='scale(2 .5) skewX(20)'/><text x='4'>letters</text>",
    ]
    .map(|inside| {
        format!("<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 100 80'>{inside}</svg>").into_bytes()
    })
    .to_vec()
}

/// A drawing becomes stitches no wider and taller than asked for, or is refused in one line.
pub fn outline(input: &[u8]) {
    match file::outline_from_bytes(input, "fuzz.svg") {
        Err(error) => is_fit_to_show(&error.to_string()),
        Ok(outline) => {
            for (stitches, aspect) in [(1, 1.0), (12, 1.3), (40, 0.8)] {
                match outline.stitched(stitches, aspect) {
                    Err(error) => is_fit_to_show(&error.to_string()),
                    // The grid may lie so that it touches a stitch more.
                    Ok(found) => assert!(found.raster.width() <= stitches + 1 && found.area_off >= 0.0),
                }
            }
        }
    }
}

pub fn label_seeds() -> Vec<Vec<u8>> {
    ["75 % wool, 25 % nylon", "100% Merino", "55 % linen 45 % cotton", "tub 40 one bar", "50 alpaca/50 silk"]
        .map(|label| label.as_bytes().to_vec())
        .to_vec()
}

/// A label of fibres is read into shares that add up, and reads the same by its own name.
pub fn label(input: &[u8]) {
    let Ok(text) = std::str::from_utf8(input) else { return };
    match Blend::parse(text) {
        Err(error) => is_fit_to_show(&huegauge::plain_text::one_line(&error.to_string())),
        Ok(blend) => {
            let sum: f64 = blend.parts().iter().map(|(_, share)| share).sum();
            assert!((sum - 100.0).abs() < 0.2, "shares add up to {sum} %");
            let _ = blend.name();
        }
    }
}

/// A chart's rows, as they stand in a project file, cut out of the demos; and the least there is.
pub fn rows_seeds() -> Vec<Vec<u8>> {
    let of_demo = |demo: &file::Demo| {
        let rows = demo.text.lines().filter_map(|line| {
            let row = line.trim().strip_prefix('"')?.strip_suffix("\",")?;
            (row.len() > 8 && !row.contains(' ')).then_some(&row[..row.len().min(40)])
        });
        rows.take(12).collect::<Vec<_>>().join("\n").into_bytes()
    };
    let mut seeds: Vec<Vec<u8>> = file::demos().iter().map(of_demo).collect();
    seeds.extend([b"AB\nBA".to_vec(), b"A".to_vec(), b"AABB..\nABBA.B\n......".to_vec()]);
    seeds
}

/// A chart of these rows opens or is refused in one line; in words it reads back the same.
pub fn rows(input: &[u8]) {
    let Ok(text) = std::str::from_utf8(input) else { return };
    let rows: Vec<&str> = text.lines().collect();
    let (width, height) = (rows.first().map_or(0, |row| row.chars().count()), rows.len());
    if width * height > 40_000 {
        return;
    }
    let of_rows = rows.iter().map(|row| format!("{row:?}")).collect::<Vec<_>>().join(", ");
    let start = file::to_string(&Project::default()).unwrap();
    let (before, chart) = start.split_once("  chart: (").unwrap();
    let after = chart.split_once("\n  ),\n").unwrap().1;
    let repeat = format!(
        "(from_left_stitches: 0, from_bottom_rows: 0, width_stitches: {width}, height_rows: {height})"
    );
    let project = format!(
        "{before}  chart: (width_stitches: {width}, height_rows: {height}, repeat: {repeat}, rows: [{of_rows}]),\n{after}"
    );
    match file::from_str(&project, "fuzz.ron") {
        Err(error) => is_fit_to_show(&error.to_string()),
        Ok(project) => {
            let grid = &project.chart.grid;
            let names: Vec<String> = (0..Cell::MAX_SLOTS).map(huegauge::project::colour_code).collect();
            for construction in Construction::ALL {
                let style = RowStyle { construction, repeated: false, names: &names };
                let written = written_rows(grid, project.chart.repeat(), style);
                let worked = |y| grid.row(y).iter().copied().filter(|cell| cell.index().is_some()).collect();
                let stitches: Vec<Vec<Cell>> = (0..grid.height()).map(worked).collect();
                assert_eq!(parse_rows(&written, style).as_ref(), Ok(&stitches), "{written}");
            }
        }
    }
}

/// Patterns written by hand, and what the demos print.
pub fn words_seeds() -> Vec<Vec<u8>> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/words/patterns");
    let mut paths: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    let by_hand = paths.iter().map(|path| std::fs::read(path).unwrap());
    let demos = file::demos().iter().filter_map(|demo| demo.project().ok()?.instructions().ok());
    by_hand.chain(demos.map(|pattern| pattern.to_text().into_bytes())).collect()
}

/// Words are knitted to an end and print to the same pattern again, or are refused in one line.
pub fn words(input: &[u8]) {
    let Ok(text) = std::str::from_utf8(input) else { return };
    match Pattern::read(text) {
        Err(error) => is_fit_to_show(&huegauge::plain_text::one_line(&error.to_string())),
        Ok(pattern) => {
            let again = Pattern::read(&pattern.to_text());
            assert!(again.as_ref() == Ok(&pattern), "it reads back as another: {:?}", again.err());
            for knitted in pattern.knit_all() {
                assert!(knitted.stumbles.len() <= MAX_STUMBLES);
                for stumble in &knitted.stumbles {
                    is_fit_to_show(&huegauge::plain_text::one_line(&stumble.why));
                }
            }
        }
    }
}
