//! The headless commands as a shell runs them: output, exit code, one line on standard error.

use std::fs;
use std::path::{Path, PathBuf};
use std::process::{Command, Output};

use serde_json::Value;

pub fn run<I: IntoIterator<Item = S>, S: AsRef<std::ffi::OsStr>>(args: I) -> Output {
    let mut command = Command::new(env!("CARGO_BIN_EXE_huegauge"));
    // No display: a headless command must not want one.
    command.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY").args(args).output().unwrap()
}

/// The path of a file of `demo-projects`.
pub fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-projects").join(name)
}

pub fn yoke() -> String {
    demo("quovvle-yoke.ron").display().to_string()
}

/// Asserts exit code 2, nothing on standard output and one line on standard error with these parts.
pub fn refused(args: &[&str], parts: &[&str]) {
    let output = run(args);
    assert_eq!(output.status.code(), Some(2), "{args:?}");
    assert!(output.stdout.is_empty(), "{args:?}");
    let message = String::from_utf8(output.stderr).unwrap();
    assert_eq!(message.lines().count(), 1, "{message}");
    assert!(message.starts_with("huegauge: "), "{message}");
    for part in parts {
        assert!(message.contains(part), "'{part}' is not in: {message}");
    }
}

/// What a command that succeeds prints.
pub fn ok(args: &[&str]) -> String {
    let output = run(args);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    assert!(output.stderr.is_empty());
    String::from_utf8(output.stdout).unwrap()
}

#[test]
fn help_names_every_command_and_version_is_one_line() {
    let help = ok(&["--help"]);
    for word in [
        "export PROJECT",
        "inspect PROJECT",
        "photo PICTURE",
        "picture PICTURE",
        "mend PROJECT",
        "match SHADES",
        "sets SHADES",
        "side PROJECT",
        "--chart",
        "--yardage",
        "--px",
        "--symbols",
        "--dpi",
        "--reference",
        "--yarn",
        "--wish",
        "--pin",
        "--weight-class",
    ] {
        assert!(help.contains(word), "{word}");
    }
    assert_eq!(ok(&["--version"]), format!("huegauge {}\n", env!("CARGO_PKG_VERSION")));
}

#[test]
fn every_demo_is_exported_and_inspected() {
    let dir = tempfile::tempdir().unwrap();
    for demo_file in huegauge::file::demos() {
        let project = demo(demo_file.file_name).display().to_string();
        let out =
            |kind: &str| dir.path().join(format!("{}.{kind}", demo_file.file_name)).display().to_string();
        let (chart, table, text) = (out("png"), out("csv"), out("txt"));
        let args = ["export", &project, "--chart", &chart, "--yardage", &table, "--yardage-text", &text];
        let said = ok(&args);
        assert!(said.contains(" px, prints ") && said.contains(" cm at 150 dots per inch"), "{said}");
        assert!(fs::read(&chart).unwrap().starts_with(b"\x89PNG"));
        assert!(fs::read_to_string(&table).unwrap().starts_with("colour,role,hex,"));
        assert!(fs::read_to_string(&text).unwrap().contains("Balls hold the high figure"));
        let figures: Value = serde_json::from_str(&ok(&["inspect", &project])).unwrap();
        assert_eq!(figures["title"], Value::from(demo_file.project().unwrap().title));
    }
}

#[test]
fn inspect_prints_every_promised_figure_under_a_stable_key() {
    let figures: Value = serde_json::from_str(&ok(&["inspect", &yoke()])).unwrap();
    assert_eq!(figures["gauge"]["stitches_per_10_cm"], 28.0);
    // 4 in are 10.16 cm.
    assert_eq!(figures["gauge"]["stitches_per_4_in"], 28.448);
    assert_eq!(figures["size"]["repeat"]["width_cm"], 8.571);
    // The largest piece in size M: 284 stitches around at 28 in 10 cm.
    assert_eq!(figures["size"]["finished_piece"], "Body");
    assert_eq!(figures["size"]["finished"]["width_cm"], 101.429);
    assert_eq!(figures["repeat_fit"]["divides"], true);
    assert_eq!(figures["repeat_fit"]["repeats"], 11);
    let yarn = figures["yarn"].as_array().unwrap();
    assert_eq!(yarn.len(), 4);
    for key in [
        "colour",
        "stitches",
        "share_percent",
        "metres_low",
        "metres_likely",
        "metres_high",
        "grams_low",
        "grams_likely",
        "grams_high",
        "balls",
    ] {
        assert!(yarn.iter().all(|colour| !colour[key].is_null()), "{key}");
    }
    let stitches: u64 = yarn.iter().map(|colour| colour["stitches"].as_u64().unwrap()).sum();
    // The yarn is that of the pieces, as `sizes` counts them; the plan's 264 x 49 are the yoke alone.
    assert_eq!(figures["yarn_of"], "pieces");
    assert_eq!(figures["sizes"][1]["stitches"], stitches);
    let row = &figures["row_of_yarn"];
    assert_eq!(row["stitches"], 284);
    // A stitch takes 3.8 to 4.2 times its width by the model; structure, tension and counting beside.
    let over_width = row["metres_likely"].as_f64().unwrap() / 1.014_29;
    assert!((3.5..4.5).contains(&over_width), "{over_width}");
}

/// On square cells a square needs 3 stitches and a circle 5 (common practice, no published source).
#[test]
fn inspect_gives_the_smallest_motifs_at_the_gauge() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("square cells.ron");
    let text = huegauge::file::demos()[0].text.replace("rows_per_10_cm: 33.0", "rows_per_10_cm: 28.0");
    fs::write(&path, text).unwrap();
    let figures: Value = serde_json::from_str(&ok(&["inspect", &path.display().to_string()])).unwrap();
    let motifs = figures["motif_fit"]["basic_shapes"].as_array().unwrap();
    let smallest = |shape: &str| {
        let motif = motifs.iter().find(|motif| motif["shape"] == shape).unwrap();
        (motif["smallest_width_stitches"].as_u64(), motif["smallest_height_rows"].as_u64())
    };
    assert_eq!(smallest("square"), (Some(3), Some(3)));
    assert_eq!(smallest("circle"), (Some(5), Some(5)));
    let drawn = &figures["motif_fit"]["drawn"];
    assert_eq!(drawn["width_stitches"], 24);
    for key in ["legible", "thinnest_mm", "coarsest_stitches_per_10_cm", "coarsest_weight_class"] {
        assert!(!drawn[key].is_null(), "{key}");
    }
}

#[test]
fn a_planted_long_float_is_found_with_its_row_and_stitch() {
    let dir = tempfile::tempdir().unwrap();
    let text = huegauge::file::demos()[0].text;
    // The plain first round gets two stitches of another colour, 11 and 13 stitches apart around.
    let plain = "\"AAAAAAAAAAAAAAAAAAAAAAAA\",";
    let last = text.rfind(plain).unwrap();
    let mut text = text.to_owned();
    text.replace_range(last..last + plain.len(), "\"ABAAAAAAAAAAABAAAAAAAAAA\",");
    let path = dir.path().join("float.ron");
    fs::write(&path, text).unwrap();
    let figures: Value = serde_json::from_str(&ok(&["inspect", &path.display().to_string()])).unwrap();
    let findings = figures["findings"].as_array().unwrap();
    let floats: Vec<&Value> = findings.iter().filter(|f| f["kind"] == "long_float").collect();
    assert!(!floats.is_empty());
    for float in floats {
        assert_eq!(float["row"], 1);
        assert_eq!(float["colour"], "Blue oil drum");
        assert!(float["severity"].is_string() && float["message"].is_string());
        let length = float["length_stitches"].as_u64().unwrap();
        assert!(length == 11, "{length}");
        assert!((float["length_cm"].as_f64().unwrap() - 11.0 * 10.0 / 28.0).abs() < 1e-3);
    }
}

#[test]
fn bad_input_ends_with_code_2_and_one_line() {
    let dir = tempfile::tempdir().unwrap();
    let path = |name: &str| dir.path().join(name).display().to_string();
    let out = path("out.png");
    refused(&["export", &path("gone.ron"), "--chart", &out], &["gone.ron", "no such file"]);
    refused(&["inspect", &path("gone.ron")], &["gone.ron", "no such file"]);
    refused(&["inspect", &dir.path().display().to_string()], &["a folder, not a file"]);
    fs::write(path("nan.ron"), huegauge::file::demos()[0].text.replace(": 28.0", ": NaN")).unwrap();
    refused(&["inspect", &path("nan.ron")], &["nan.ron, line ", "stitches_per_10_cm", "between 1 and 200"]);
    refused(&["export", &path("nan.ron"), "--chart", &out], &["nan.ron, line "]);
    assert!(!Path::new(&out).exists());
    let text = huegauge::file::demos()[0].text.replacen("(fibre: wool, percent: 100.0)", "\"wool\"", 1);
    fs::write(path("blend.ron"), text).unwrap();
    refused(
        &["inspect", &path("blend.ron")],
        &["(material > blend 1)", "an opening bracket is expected here: correct it"],
    );
    refused(&["export", &yoke(), "--chart", &path("no/such/out.png")], &["out.png", "does not exist"]);
}

#[test]
fn a_wrong_command_line_is_explained() {
    let dir = tempfile::tempdir().unwrap();
    let out = dir.path().join("out.png").display().to_string();
    refused(&["export", &yoke(), "--chrat", &out], &["--chrat", "did you mean --chart?"]);
    refused(&["export", &yoke(), "--yardge", &out], &["did you mean --yardage?"]);
    refused(&["export", &yoke(), "--colour", &out], &["no option '--colour'", "--help"]);
    refused(&["--hlep"], &["did you mean --help?"]);
    refused(&["export"], &["needs a project"]);
    refused(&["export", &yoke()], &["needs an output"]);
    refused(&["export", &yoke(), "--chart"], &["--chart needs a file name"]);
    refused(&["export", &yoke(), "--chart", &out, "--px", "many"], &["--px needs a whole number", "'many'"]);
    refused(&["export", &yoke(), "--chart", &out, "--px", "0"], &["between 1 and 400, not 0"]);
    refused(&["export", &yoke(), "--chart", &out, "--px", "401"], &["between 1 and 400"]);
    refused(&["export", &yoke(), "--chart", &out, "--dpi", "NaN"], &["between 10 and 2400"]);
    refused(&["export", &yoke(), "--chart", &out, "--yardage", &out], &["named for two outputs"]);
    refused(&["export", &yoke(), &yoke(), "--chart", &out], &["one word too many"]);
    refused(&["inspect"], &["needs a project"]);
    refused(&["inspect", &yoke(), "-x"], &["'-x'"]);
    assert!(!Path::new(&out).exists());
}

#[test]
fn the_project_is_never_overwritten_by_its_own_export() {
    let dir = tempfile::tempdir().unwrap();
    let project = dir.path().join("mine.ron");
    fs::copy(demo("quovvle-yoke.ron"), &project).unwrap();
    let name = project.display().to_string();
    refused(&["export", &name, "--chart", &name], &["the project itself"]);
    assert_eq!(fs::read(&project).unwrap(), fs::read(demo("quovvle-yoke.ron")).unwrap());
}

#[test]
fn when_one_output_fails_none_is_changed() {
    let dir = tempfile::tempdir().unwrap();
    let chart = dir.path().join("chart.png");
    fs::write(&chart, "before").unwrap();
    let table = dir.path().join("no such folder/yarn.csv").display().to_string();
    refused(
        &["export", &yoke(), "--chart", &chart.display().to_string(), "--yardage", &table],
        &["yarn.csv"],
    );
    assert_eq!(fs::read_to_string(&chart).unwrap(), "before");
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1, "no temporary file is left behind");
}

#[cfg(unix)]
#[test]
fn a_name_that_is_not_text_is_opened_all_the_same() {
    use std::os::unix::ffi::OsStrExt;
    let dir = tempfile::tempdir().unwrap();
    let name = std::ffi::OsStr::from_bytes(b"yoke\xff.ron");
    let path = dir.path().join(name);
    fs::copy(demo("quovvle-yoke.ron"), &path).unwrap();
    let output = run([std::ffi::OsStr::new("inspect"), path.as_os_str()]);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
}
