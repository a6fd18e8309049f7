//! The pattern sheet, the written rows and the vector chart from the command line, read back by
//! general tools: poppler's `pdftotext` for the PDF, `resvg` for the SVG.

use std::fs;
use std::path::Path;
use std::process::Command;
use std::sync::OnceLock;

use huegauge::export::drawing::{Drawing, Item, Role};
use huegauge::export::paper::Paper;
use huegauge::export::sheet::SheetOptions;
use huegauge::export::{sheet, text};
use huegauge::knit::pieces::Template;
use huegauge::project::Project;
use huegauge::units::LengthUnit;

fn export(options: &[&str]) -> (bool, String) {
    let project = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-projects/quovvle-yoke.ron");
    let mut command = Command::new(env!("CARGO_BIN_EXE_huegauge"));
    command.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY").arg("export").arg(project).args(options);
    let output = command.output().unwrap();
    (output.status.success(), String::from_utf8(output.stderr).unwrap())
}

#[test]
fn the_sheet_is_read_by_a_general_reader() {
    let dir = tempfile::tempdir().unwrap();
    for paper in ["A4", "letter"] {
        let pdf = dir.path().join(format!("{paper}.pdf"));
        let (done, said) = export(&["--pdf", pdf.to_str().unwrap(), "--paper", paper, "--size", "S"]);
        assert!(done, "{said}");
        assert!(fs::read(&pdf).unwrap().starts_with(b"%PDF-"));
        // The reader is installed by the check that lands a change; elsewhere it may be missing.
        let Ok(read) = Command::new("pdftotext").arg(&pdf).arg("-").output() else {
            eprintln!("pdftotext is not here: the sheet's text was not read back");
            continue;
        };
        let text = String::from_utf8(read.stdout).unwrap();
        for word in [
            "Quovvle yoke band",
            "Yarn for each size",
            "Gauge",
            "Needles",
            "Measures",
            "The body it is for",
            "Schematic",
            "Written rows",
            "Abbreviations",
            "Front",
            "Plain sailcloth",
            "28.0 sts",
            "Sources",
            "Munden",
        ] {
            assert!(text.contains(word), "{word} is not in the sheet");
        }
        let pages = text.matches('\u{c}').count();
        assert!((5..=12).contains(&pages), "{pages} pages");
        assert!(text.contains(&format!("Page 1 of {pages}")));
    }
}

#[test]
fn written_rows_name_their_colours_and_every_round() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("rows.txt");
    assert!(export(&["--rows", file.to_str().unwrap()]).0);
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.contains("A, ground: Plain sailcloth"), "{text}");
    assert!(text.contains("Rnd 2: *k2 A, k1 C; repeat from * to end."), "{text}");
    assert!(text.contains("Rnd 49"), "{text}");
}

#[test]
fn the_vector_chart_is_drawn_by_a_general_library() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("chart.svg");
    assert!(export(&["--svg", file.to_str().unwrap()]).0);
    let tree =
        resvg::usvg::Tree::from_data(&fs::read(&file).unwrap(), &resvg::usvg::Options::default()).unwrap();
    assert!(tree.size().width() > 500.0);
}

#[test]
fn a_size_or_paper_that_does_not_exist_is_explained() {
    let (done, said) = export(&["--pdf", "never.pdf", "--size", "XXL"]);
    assert!(!done && said.contains("S, M, L"), "{said}");
    let (done, said) = export(&["--pdf", "never.pdf", "--paper", "A3"]);
    assert!(!done && said.contains("A4 or Letter"), "{said}");
}

#[test]
fn a_large_chart_is_split_over_pages_that_say_where_they_belong() {
    let dir = tempfile::tempdir().unwrap();
    let pdf = dir.path().join("pages.pdf");
    let (done, said) = export(&["--chart-pages", pdf.to_str().unwrap(), "--stitch-mm", "9"]);
    assert!(done, "{said}");
    let Ok(read) = Command::new("pdftotext").arg(&pdf).arg("-").output() else { return };
    let text = String::from_utf8(read.stdout).unwrap();
    // 24 stitches of 9 mm are 216 mm, wider than A4; 49 rows are taller.
    assert_eq!(text.matches('\u{c}').count(), 4, "{text}");
    for part in 1..=4 {
        assert!(text.contains(&format!("Part {part} of 4")), "{part}");
    }
    let (done, said) = export(&["--chart-pages", "never.pdf", "--stitch-mm", "1"]);
    assert!(!done && said.contains("between 2 and 10 mm"), "{said}");
}

#[test]
fn card_and_colour_lists_are_written_for_a_size() {
    let dir = tempfile::tempdir().unwrap();
    let (card, styles, tokens) =
        (dir.path().join("card.png"), dir.path().join("colours.css"), dir.path().join("colours.json"));
    let height = |size: &str| {
        // The older name of the option goes on working.
        let [card, styles, tokens] = [&card, &styles, &tokens].map(|path| path.to_str().unwrap());
        let options = ["--card", card, "--palette", styles, "--colour-list", tokens, "--size", size];
        let (done, said) = export(&options);
        assert!(done, "{said}");
        let picture = image::open(card).unwrap();
        assert_eq!(picture.width(), 1080);
        picture.height()
    };
    assert!(height("S") > 1080 && height("L") > 1080);
    let styles = fs::read_to_string(&styles).unwrap();
    assert!(styles.contains("--colour-a: #ede7dc; /* A, ground: Plain sailcloth, F01 */"), "{styles}");
    assert!(styles.contains("--colour-a: oklch(0.93 0.016 85);"), "{styles}");
    let tokens: serde_json::Value = serde_json::from_slice(&fs::read(&tokens).unwrap()).unwrap();
    assert_eq!(tokens["colours"]["A"]["$value"]["hex"], "#ede7dc");
    let old = dir.path().join("colours.txt");
    let (done, said) = export(&["--colour-list", old.to_str().unwrap()]);
    assert!(
        !done && said.contains(".css") && said.contains(".json") && said.contains("colours.txt"),
        "{said}"
    );
    assert!(!old.exists());
}

/// Every sheet of every demo, on both papers and in both systems, by its name; laid out once.
fn sheets() -> &'static [(String, Vec<Drawing>)] {
    static SHEETS: OnceLock<Vec<(String, Vec<Drawing>)>> = OnceLock::new();
    SHEETS.get_or_init(laid_out)
}

fn laid_out() -> Vec<(String, Vec<Drawing>)> {
    let mut all = Vec::new();
    for demo in huegauge::file::demos() {
        for paper in Paper::ALL {
            for units in LengthUnit::ALL {
                let project = Project { units, ..demo.project().unwrap() };
                let name = format!("{} on {}, {units:?}", demo.title, paper.name());
                all.push((
                    name,
                    sheet::pages(&project, &SheetOptions { paper, ..SheetOptions::default() }).unwrap(),
                ));
            }
        }
    }
    all
}

#[test]
fn every_word_of_every_sheet_lies_between_the_margins() {
    const MARGIN_MM: f64 = 15.0;
    for (name, pages) in sheets() {
        for (number, page) in pages.iter().enumerate() {
            for item in page.layers.iter().flat_map(|layer| &layer.items) {
                let Item::Text(line) = item else { continue };
                let (left, width) = (line.left(), text::width(&line.text, line.size, line.weight));
                let place = format!("{name}, page {}: '{}'", number + 1, line.text);
                assert!(left >= MARGIN_MM - 0.1, "{place} begins at {left}");
                assert!(left + width <= page.width - MARGIN_MM + 0.1, "{place} ends at {}", left + width);
                assert!(line.y <= page.height - MARGIN_MM, "{place} stands at {}", line.y);
            }
        }
    }
}

#[test]
fn every_chart_of_every_sheet_says_what_its_signs_show() {
    for (name, pages) in sheets() {
        let on = |page: &Drawing| {
            let mut items = page.layers.iter().flat_map(|layer| &layer.items);
            (
                items.clone().any(|item| matches!(item, Item::Cells(_))),
                items.any(|item| matches!(item, Item::Text(line) if line.text.to_lowercase().contains("signs show colours"))),
            )
        };
        assert!(pages.iter().map(on).all(|(chart, key)| key || !chart), "{name}");
        assert!(pages.iter().map(on).any(|(chart, _)| chart), "{name} has no chart");
    }
}

/// How far down a page its words and pictures reach, of what they may.
fn filled(page: &Drawing) -> f64 {
    let layers = page.layers.iter().filter(|layer| layer.name != "foot");
    let ends = layers.flat_map(|layer| &layer.items).map(|item| item.vertical_extent().1);
    ends.fold(0.0, f64::max) / (page.height - 23.0)
}

#[test]
fn no_page_is_nearly_empty_but_before_a_part_that_begins_a_page() {
    for (name, pages) in sheets() {
        let all: Vec<f64> = pages.iter().map(filled).collect();
        let begins = |page: &Drawing| {
            let heads = page.layers.first().map(|layer| &layer.role);
            matches!(heads, Some(Role::Heading(2)))
        };
        for (at, share) in all[..all.len() - 1].iter().enumerate() {
            assert!(*share > 0.6 || begins(&pages[at + 1]), "{name}, page {}: {all:?}", at + 1);
        }
    }
}

#[test]
fn abbreviations_take_no_page_for_themselves() {
    for (name, pages) in sheets() {
        for (number, page) in pages.iter().enumerate() {
            let headings = page.layers.iter().filter(|layer| matches!(layer.role, Role::Heading(1 | 2)));
            let first = headings.clone().next().map(|layer| &layer.items[..]);
            let begins =
                matches!(first, Some([Item::Text(line), ..]) if line.text.starts_with("Abbreviations"));
            let at_top = page.layers.first().is_some_and(|layer| matches!(layer.role, Role::Heading(_)));
            assert!(!begins || !at_top || headings.count() > 1, "{name}, page {}", number + 1);
        }
    }
}

#[test]
fn every_sheet_says_what_its_parts_are_to_whoever_is_read_it() {
    for (name, pages) in sheets() {
        let roles: Vec<&Role> = pages.iter().flat_map(|page| &page.layers).map(|layer| &layer.role).collect();
        assert!(matches!(roles[0], Role::Heading(1)), "{name}");
        let figures: Vec<&&Role> = roles.iter().filter(|role| matches!(role, Role::Figure(_))).collect();
        assert!(figures.len() >= 3, "{name}: the knit, the schematic and the chart");
        assert!(figures.iter().all(|role| matches!(role, Role::Figure(told) if told.len() > 30)), "{name}");
        let tables = roles.iter().filter_map(|role| match role {
            Role::Cell { table, .. } => Some(*table),
            _ => None,
        });
        assert!(tables.max().unwrap() >= 3, "{name}");
    }
}

#[test]
fn the_pdf_is_tagged_and_has_bookmarks_a_language_and_a_title() {
    let dir = tempfile::tempdir().unwrap();
    let pdf = dir.path().join("sheet.pdf");
    let (done, said) = export(&["--pdf", pdf.to_str().unwrap(), "--no-appendix"]);
    assert!(done, "{said}");
    let bytes = fs::read(&pdf).unwrap();
    let has = |what: &[u8]| bytes.windows(what.len()).any(|part| part == what);
    for what in ["/StructTreeRoot", "/Outlines", "/Marked true", "/Lang(en-GB)", "/Figure", "/Alt", "/TH"] {
        assert!(has(what.as_bytes()), "{what} is not in the file");
    }
    let Ok(read) = Command::new("pdftotext").arg(&pdf).arg("-").output() else { return };
    let text = String::from_utf8(read.stdout).unwrap();
    assert!(text.contains("Written rows") && !text.contains("Appendix") && !text.contains("Munden"));
}

#[test]
fn the_designer_stands_on_the_first_page_and_is_the_author_of_the_pdf() {
    let mut project = huegauge::file::demos()[2].project().unwrap();
    "Nobody Atall".clone_into(&mut project.designer);
    let pages = sheet::pages(&project, &SheetOptions::default()).unwrap();
    let said = |page: &Drawing| {
        page.layers
            .iter()
            .flat_map(|layer| &layer.items)
            .any(|item| matches!(item, Item::Text(text) if text.text.contains("Designed by Nobody Atall")))
    };
    assert!(said(&pages[0]));
    let mut bytes = Vec::new();
    let about = huegauge::export::pdf::About { title: "T", subject: "", author: &project.designer };
    huegauge::export::pdf::write(&pages[..1], about, &|| false, &mut bytes).unwrap();
    let author = b"/Author(Nobody Atall)";
    assert!(bytes.windows(author.len()).any(|part| part == author));
}

#[test]
fn a_gift_tag_is_a_picture_or_a_page() {
    let dir = tempfile::tempdir().unwrap();
    let (picture, page) = (dir.path().join("tag.png"), dir.path().join("tag.pdf"));
    for path in [&picture, &page] {
        let (done, said) = export(&["--gift-tag", path.to_str().unwrap(), "--size", "M"]);
        assert!(done, "{said}");
    }
    // 80 mm at 300 dots per inch.
    assert_eq!(image::open(&picture).unwrap().width(), 945);
    assert!(fs::read(&page).unwrap().starts_with(b"%PDF-"));
    let project = huegauge::file::demos()[0].project().unwrap();
    let words = huegauge::export::gift_tag::TagWords::of(&project);
    assert!(words.fibre.is_some() && !words.cautions.is_empty());
}

/// A mitten has no two sides of which one is "the other".
#[test]
fn the_sides_of_a_mitten_are_called_palm_and_back_of_the_hand() {
    let (_, pages) = sheets().iter().find(|(name, _)| name.to_lowercase().contains("mitten")).unwrap();
    let words = sheet::words_of(pages);
    assert!(words.contains("Palm") && words.contains("Back of the hand"), "{words}");
}

#[test]
fn the_sides_of_mittens_with_gussets_are_told_for_both_hands() {
    let mut project = Project::default();
    project.pieces.pieces = Template::GussetMittens.pieces(0);
    project.pieces.sizes = Template::GussetMittens.sizes().unwrap();
    let words = sheet::words_of(&sheet::pages(&project, &SheetOptions::default()).unwrap());
    assert!(words.contains("Left: back, right: palm") && !words.contains("Other side"), "{words}");
    let said = words.replace('\n', " ");
    assert!(said.contains("the first half of each rnd is the back of the left hand"), "{words}");
}
