//! The pattern sheet, the written rows and the vector chart from the command line, read back by
//! general tools: poppler's `pdftotext` for the PDF, `resvg` for the SVG.

use std::fs;
use std::path::Path;
use std::process::Command;

fn export(options: &[&str]) -> (bool, String) {
    let project = Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-projects/skerrow-yoke.ron");
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
        for word in
            ["Skerrow yoke band", "Materials", "Gauge", "Schematic", "Written rows", "Fog", "28.0 sts"]
        {
            assert!(text.contains(word), "{word} is not in the sheet");
        }
        let pages = text.matches('\u{c}').count();
        assert!((5..=10).contains(&pages), "{pages} pages");
        assert!(text.contains(&format!("Page 1 of {pages}")));
    }
}

#[test]
fn written_rows_name_their_colours_and_every_round() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("rows.txt");
    assert!(export(&["--rows", file.to_str().unwrap()]).0);
    let text = fs::read_to_string(&file).unwrap();
    assert!(text.contains("MC: Fog"), "{text}");
    assert!(text.contains("Rnd 2: *k2 MC, k1 CC2; repeat from * to end."), "{text}");
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
