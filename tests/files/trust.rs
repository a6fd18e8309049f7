//! What must not be lost, hang or be written where it should not be: as a shell meets it.

use std::fmt::Write as _;
use std::fs;
use std::process::Command;
use std::time::Duration;

use huegauge::file;
use huegauge::project::Project;
use serde_json::Value;

use crate::headless::{demo, ok, refused, run, yoke};

#[cfg(target_os = "linux")]
#[test]
fn a_full_standard_output_is_a_failure_of_every_command() {
    let (yoke, photo) = (yoke(), demo("crooked-ladder-six-balls.jpg").display().to_string());
    let dir = tempfile::tempdir().unwrap();
    let chart = dir.path().join("a.png").display().to_string();
    for args in [
        &["--help"][..],
        &["--version"],
        &["inspect", &yoke],
        &["match", &yoke],
        &["sets", &yoke, "--count", "2", "--any-fibre"],
        &["photo", &photo, "--find"],
        &["export", &yoke, "--chart", &chart],
    ] {
        let full = fs::File::options().write(true).open("/dev/full").unwrap();
        let program = env!("CARGO_BIN_EXE_huegauge");
        let output = Command::new(program).args(args).stdout(full).output().unwrap();
        let message = String::from_utf8(output.stderr).unwrap();
        assert_eq!(output.status.code(), Some(74), "{args:?}: {message}");
        assert!(message.contains("standard output"), "{args:?}: {message}");
    }
}

#[cfg(unix)]
#[test]
fn a_link_that_leads_nowhere_is_not_replaced() {
    let dir = tempfile::tempdir().unwrap();
    let link = dir.path().join("link.png");
    std::os::unix::fs::symlink("nowhere/a.png", &link).unwrap();
    refused(&["export", &yoke(), "--chart", &link.display().to_string()], &["link.png", "nowhere/a.png"]);
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    // One that leads somewhere stays a link, and what it leads to is written.
    fs::create_dir(dir.path().join("nowhere")).unwrap();
    fs::write(dir.path().join("nowhere/a.png"), "old").unwrap();
    ok(&["export", &yoke(), "--chart", &link.display().to_string()]);
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert!(fs::read(dir.path().join("nowhere/a.png")).unwrap().starts_with(b"\x89PNG"));
}

#[test]
fn two_outputs_that_are_one_file_are_refused() {
    let dir = tempfile::tempdir().unwrap();
    let (plain, dotted) = (dir.path().join("a.png"), dir.path().join("./a.png"));
    let [plain, dotted] = [plain, dotted].map(|path| path.display().to_string());
    let dotted = dotted.replace("/a.png", "/./a.png");
    refused(&["export", &yoke(), "--chart", &plain, "--svg", &dotted], &["named for two outputs"]);
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 0);
    refused(&["export", &yoke(), "--chart", ""], &["--chart needs a file name"]);
    refused(&["inspect", ""], &["a file name is needed"]);
}

#[test]
fn a_search_without_end_gives_the_best_so_far_and_how_sure_it_is() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("card.csv");
    // A cloud of near colours: little to tell them apart, so bounds rule out little.
    let mut table = "name,hex\n".to_owned();
    let mut state = 7_u32;
    for i in 0..900 {
        let mut channel = || {
            state = state.wrapping_mul(1_664_525).wrapping_add(1_013_904_223);
            100 + (state >> 24) % 60
        };
        let (red, green, blue) = (channel(), channel(), channel());
        writeln!(table, "s{i},#{red:02x}{green:02x}{blue:02x}").unwrap();
    }
    fs::write(&path, table).unwrap();
    let path = path.display().to_string();
    let output = run(["sets", &path, "--count", "5", "--best", "100", "--seconds", "3"]);
    assert!(output.status.success());
    let out: Value = serde_json::from_slice(&output.stdout).unwrap();
    assert!(!out["sets"].as_array().unwrap().is_empty());
    if out["search"]["complete"] == false {
        let best = out["sets"][0]["score"].as_f64().unwrap();
        let others = out["search"]["others_score_at_most"].as_f64().unwrap();
        assert!(others > 0.0 && best > 0.0);
        let certain = out["search"]["certain_sets"].as_u64().unwrap();
        assert!(certain == 0 || best >= others);
        assert!(out["search"]["decided_percent"].as_f64().unwrap() < 100.0);
        let said = String::from_utf8(output.stderr).unwrap();
        assert!(said.contains("2 s of 3") && said.contains("decided"), "{said}");
    }
    refused(&["sets", &path, "--seconds", "0"], &["--seconds needs a whole number from 1"]);
}

#[test]
fn cards_of_equal_and_ramped_shades_are_searched_to_the_end() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("card.csv").display().to_string();
    for table in [
        (0..60).map(|i| format!("s{i},#804020\n")).collect::<Vec<_>>().concat(),
        (0..120).map(|i| format!("s{i},#{0:02x}{0:02x}{0:02x}\n", i * 2)).collect::<Vec<_>>().concat(),
    ] {
        fs::write(&path, format!("name,hex\n{table}")).unwrap();
        let output = run(["sets", &path, "--count", "5", "--seconds", "600"]);
        let out: Value = serde_json::from_slice(&output.stdout).unwrap();
        assert_eq!(
            (&out["search"]["complete"], &out["search"]["others_score_at_most"]),
            (&true.into(), &Value::Null)
        );
    }
}

#[test]
fn more_wishes_than_a_palette_has_are_refused() {
    let card = demo("crooked-ladder-mill.ron").display().to_string();
    let wishes = vec!["#123456"; 15_000].join(",");
    refused(&["match", &card, "--wish", &wishes], &["15000 colours are wished for", "at most 64"]);
}

#[test]
fn a_project_over_its_budget_is_refused_with_the_part_that_takes_most() {
    let project = file::demos()[0].project().unwrap();
    let refused = |project: &Project| {
        // It can neither be saved nor, written by another hand, be opened.
        assert_eq!(file::to_string(project).unwrap_err().fault(), file::Fault::Program);
        project.check().unwrap_err().to_string()
    };
    let mut bands = project.clone();
    let mut piece = bands.pieces.pieces[0].clone();
    piece.bands = vec![piece.bands[0].clone(); 64];
    bands.pieces.pieces = vec![piece; 64];
    bands.pieces.sizes = vec![bands.pieces.sizes[0].clone(); 64];
    let message = refused(&bands);
    assert!(message.contains("the bands of the pieces in all sizes (262144)"), "{message}");
    assert!(message.contains("divide the project"), "{message}");
    let title = Project { title: "t".repeat(1_100_000), ..project };
    let message = refused(&title);
    assert!(message.len() < 400 && message.contains("letters of the title"), "{message}");
}

#[test]
fn a_tower_of_brackets_is_refused_with_its_place() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("tower.ron");
    fs::write(&path, "[".repeat(100_000)).unwrap();
    // How many steps that takes is counted beside the scanner.
    refused(&["inspect", &path.display().to_string()], &["tower.ron, line 1"]);
}

#[test]
fn a_byte_order_mark_is_read_and_an_open_quote_is_named() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("mark.ron");
    let text = fs::read_to_string(yoke()).unwrap();
    fs::write(&path, format!("\u{feff}{text}")).unwrap();
    ok(&["inspect", &path.display().to_string()]);
    let open = file::from_str("(\n  format: \"huegauge-project", "open.ron").unwrap_err().to_string();
    assert!(
        open.starts_with("open.ron, line 2, column 11 (format)") && open.contains("never closed"),
        "{open}"
    );
}

#[test]
fn nothing_that_is_written_commands_a_terminal_or_turns_the_line() {
    let mut project = file::demos()[0].project().unwrap();
    project.title = "Yoke \u{1b}[31m\u{9b}31m\u{202e}desrever\u{2028}\u{7f}".to_owned();
    for slot in project.palette.slots_mut() {
        slot.name = format!("=cmd\u{1b}]0;x\u{7}{}\u{2066}", slot.name);
    }
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("odd.ron");
    file::save_atomic(&path, &project).unwrap();
    let project = path.display().to_string();
    let out = |name: &str| dir.path().join(name).display().to_string();
    let files = ["a.svg", "a.txt", "a.csv", "b.txt", "a.css", "a.pdf"].map(out);
    let [svg, rows, table, text, palette, pdf] = &files;
    ok(&[
        "export",
        &project,
        "--svg",
        svg,
        "--rows",
        rows,
        "--yardage",
        table,
        "--yardage-text",
        text,
        "--palette",
        palette,
        "--pdf",
        pdf,
    ]);
    let printed = ok(&["inspect", &project]);
    let acts = |c: char| !matches!(c, '\n' | '\r' | '\t') && huegauge::plain_text::acts_on_others(c);
    for file in &files[..5] {
        let text = fs::read_to_string(file).unwrap();
        assert!(!text.contains(acts), "{file}");
    }
    assert!(!printed.contains(acts) && printed.contains("\\u202e"));
    // The same words all the same.
    let value: Value = serde_json::from_str(&printed).unwrap();
    assert!(value.to_string().contains("\u{202e}desrever"));
    // The description inside the PDF (XMP) is XML, in which control characters may not stand.
    let bytes = fs::read(pdf).unwrap();
    let find = |part: &[u8]| bytes.windows(part.len()).position(|window| window == part);
    if let (Some(start), Some(end)) = (find(b"<?xpacket begin"), find(b"<?xpacket end")) {
        let xmp = std::str::from_utf8(&bytes[start..end]).unwrap();
        let body = &xmp[xmp.find("?>").unwrap() + 2..];
        assert!(!body.contains(acts), "{body}");
        resvg::usvg::roxmltree::Document::parse(body.trim()).unwrap();
    } else {
        panic!("the PDF has no description");
    }
}

#[cfg(unix)]
#[test]
fn a_pipe_among_the_copies_does_not_hold_up_the_start() {
    let config = tempfile::tempdir().unwrap();
    let folder = config.path().join("recovery");
    fs::create_dir(&folder).unwrap();
    let pipe = |path: &std::path::Path| {
        assert!(Command::new("mkfifo").arg(path).status().unwrap().success());
    };
    // As a copy, as the lock of a copy, and in place of the settings.
    pipe(&folder.join("work-a.ron"));
    fs::write(folder.join("work-b.ron"), file::to_string(&Project::default()).unwrap()).unwrap();
    pipe(&folder.join("work-b.lock"));
    pipe(&config.path().join("settings.ron"));
    let (done, started) = std::sync::mpsc::channel();
    let dir = config.path().to_owned();
    std::thread::spawn(move || {
        let home = huegauge::app::home::Home::at(dir);
        let found = home.left_behind();
        let program =
            huegauge::app::Program::new(Project::default(), home, huegauge::app::jobs::Jobs::inline());
        drop(program);
        let _ = done.send(found.len());
    });
    // Nobody ever writes into the pipes: who opens one waits for good.
    let found = started.recv_timeout(Duration::from_mins(2)).expect("the start waits for a pipe");
    assert_eq!(found, 1, "the copy that can be read is offered");
}
