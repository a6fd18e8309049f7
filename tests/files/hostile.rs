//! Files that are not what they should be: each is refused in one line that names the file, the
//! place and the mend, and nothing is overwritten.

use std::fs;
use std::path::Path;

use huegauge::file::{self, FileError, MAX_BYTES};

fn demo() -> &'static str {
    file::demos()[0].text
}

/// The demo with `from` replaced by `to`, which must be there.
fn changed(from: &str, to: &str) -> String {
    assert!(demo().contains(from), "the demo no longer has {from}");
    demo().replacen(from, to, 1)
}

/// The value of a `key: value` line of the demo.
fn line_with(key: &str) -> &'static str {
    demo().lines().find(|line| line.trim_start().starts_with(key)).unwrap().trim()
}

fn message(text: &str) -> String {
    let message = file::from_str(text, "yoke.ron").unwrap_err().to_string();
    assert!(message.starts_with("yoke.ron"), "{message}");
    assert!(!message.contains('\n'), "{message}");
    message
}

fn assert_all(message: &str, parts: &[&str]) {
    for part in parts {
        assert!(message.contains(part), "'{part}' is not in: {message}");
    }
}

#[test]
fn a_missing_file_a_folder_and_a_path_through_a_file() {
    let dir = tempfile::tempdir().unwrap();
    let missing = file::load(&dir.path().join("gone.ron")).unwrap_err().to_string();
    assert_all(&missing, &["gone.ron", "no such file", "check the name"]);
    assert_all(&file::load(dir.path()).unwrap_err().to_string(), &["a folder, not a file", "name a file"]);
    fs::write(dir.path().join("a.ron"), demo()).unwrap();
    let through = file::load(&dir.path().join("a.ron/b.ron")).unwrap_err().to_string();
    assert_all(&through, &["b.ron", "no such file"]);
}

#[cfg(unix)]
#[test]
fn a_device_is_not_read_for_ever() {
    let error = file::load(Path::new("/dev/zero")).unwrap_err().to_string();
    assert_all(&error, &["/dev/zero", "a device or pipe, not a file"]);
}

#[test]
fn what_is_not_text_not_ron_or_not_ours() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("picture.ron");
    fs::write(&path, [0x89, b'P', b'N', b'G', 0xff, 0xfe]).unwrap();
    assert_all(&file::load(&path).unwrap_err().to_string(), &["picture.ron", "not a text file"]);
    assert_all(&message(""), &["empty", "copy"]);
    assert_all(&message("hello"), &["line 1", "not a Huegauge project"]);
    assert_all(&message("<svg></svg>"), &["not a Huegauge project"]);
    assert_all(&message("{\"a\": 1}"), &["not a Huegauge project"]);
    assert_all(&message("(format: \"pie\", version: 1)"), &["(format)", "format is 'pie'"]);
}

#[test]
fn a_file_larger_than_any_project_is_not_read() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("huge.ron");
    fs::File::create(&path).unwrap().set_len(MAX_BYTES + 1).unwrap();
    assert_all(&file::load(&path).unwrap_err().to_string(), &["huge.ron", "more than the 64 MB"]);
}

#[test]
fn a_truncated_file_says_where_it_ends() {
    let half = demo().find("rows: [").unwrap() + 30;
    assert_all(&message(&demo()[..half]), &["line ", "(chart > rows", "cut short", "copy"]);
    for end in (1..demo().trim_end().len()).rev().step_by(97) {
        if demo().is_char_boundary(end) {
            assert_all(&message(&demo()[..end]), &["cut short"]);
        }
    }
}

#[test]
fn a_newer_version_asks_for_an_update() {
    let newer = changed("version: 1", "version: 7");
    let newer = newer.replace("title:", "something_new: 3, title:");
    assert_all(&message(&newer), &["newer Huegauge (version 7)", "reads up to 1", "update"]);
    assert_all(&message(&changed("version: 1", "version: 0")), &["(version)", "no version 0"]);
    assert_all(&message(&changed("version: 1", "version: -1")), &["line 3", "version", "correct it"]);
}

#[test]
fn a_gauge_of_nothing_is_refused_at_its_line() {
    let line = demo().lines().position(|line| line.contains("stitches_per_10_cm")).unwrap() + 1;
    for value in ["0", "0.0", "NaN", "inf", "-28", "1e300"] {
        let text = changed(line_with("stitches_per_10_cm"), &format!("stitches_per_10_cm: {value},"));
        let message = message(&text);
        let place = format!("line {line}, column ");
        assert_all(&message, &[&place, "plan > stitches_per_10_cm", "between 1 and 200", "correct it"]);
    }
    let rows = changed(line_with("rows_per_10_cm"), "rows_per_10_cm: NaN,");
    assert_all(&message(&rows), &["plan > rows_per_10_cm", "not NaN"]);
}

#[test]
fn every_number_of_the_plan_is_checked() {
    for (key, bad) in [
        ("needle_stitches", "0"),
        ("repeats_up", "0"),
        ("float_limit_stitches", "0"),
        ("float_limit_cm", "0.0"),
        ("float_limit_cm", "NaN"),
        ("colours_per_row", "0"),
        ("waste_percent", "101"),
        ("waste_percent", "NaN"),
        ("tail_cm", "-1"),
        ("swatch_cm", "inf"),
    ] {
        let text = changed(line_with(&format!("{key}:")), &format!("{key}: {bad},"));
        assert_all(&message(&text), &[&format!("plan > {key}"), "correct it"]);
    }
}

#[test]
fn a_stitch_in_a_colour_that_does_not_exist_is_named_as_the_knitter_counts() {
    let rows = demo().find("rows: [").unwrap();
    let first = demo()[rows..].find('"').unwrap() + rows + 1;
    for (letter, part) in [("z", "uses colour 52 ('z')"), ("?", "is '?', which is no colour")] {
        let mut text = demo().to_owned();
        text.replace_range(first..=first, letter);
        let message = message(&text);
        let project = file::demos()[0].project().unwrap();
        let (top, left) = (project.chart.grid.height(), project.chart.grid.width());
        assert_all(&message, &["chart > rows 1", &format!("row {top}, stitch {left}"), part]);
    }
}

#[test]
fn a_chart_of_a_billion_stitches_is_refused_before_it_is_made() {
    for huge in ["1000000000", "2001", "0", "18446744073709551615"] {
        let text = changed(line_with("width_stitches"), &format!("width_stitches: {huge},"));
        assert_all(&message(&text), &["chart > width_stitches", "1 to 2000", "correct it"]);
    }
    let text = changed(line_with("width_stitches"), "width_stitches: 99999999999999999999,");
    assert_all(&message(&text), &["width_stitches", "out of range"]);
}

#[test]
fn rows_that_do_not_fill_the_chart_are_named() {
    let rows = demo().find("rows: [").unwrap();
    let first = demo()[rows..].find('"').unwrap() + rows + 1;
    let mut text = demo().to_owned();
    text.insert(first, 'A');
    assert_all(&message(&text), &["chart > rows 1", "stitches, but the chart is"]);
    let mut text = demo().to_owned();
    text.insert_str(first - 1, "\"\",");
    assert_all(&message(&text), &["height_rows is", "rows follow"]);
}

#[test]
fn a_slip_of_the_hand_is_named() {
    let field = changed("title:", "titel:");
    assert_all(&message(&field), &["line 4", "no field 'titel'", "title"]);
    let choice = changed("technique: stranded", "technique: strandet");
    assert_all(&message(&choice), &["plan > technique", "'strandet'", "stranded, intarsia, stripes"]);
    let twice = changed("technique: stranded,", "technique: stranded, technique: stranded,");
    assert_all(&message(&twice), &["'technique' is here twice"]);
    let missing = changed("technique: stranded,", "");
    assert_all(&message(&missing), &["'technique' is missing"]);
    let kind = changed(line_with("needle_stitches"), "needle_stitches: \"many\",");
    assert_all(&message(&kind), &["plan > needle_stitches", "number", "correct it"]);
    let text = changed(line_with("title"), "title: 12,");
    assert_all(&message(&text), &["line 4", "title", "double quotes"]);
}

#[test]
fn a_colour_that_contradicts_itself_is_named() {
    let start = demo().find("hex: \"#").unwrap();
    let mut text = demo().to_owned();
    text.replace_range(start..start + 14, "hex: \"#ff00ff\"");
    assert_all(&message(&text), &["palette > colours 1 > colour > hex", "#ff00ff", "take the hex out"]);
    let light = demo().find("lightness: ").unwrap();
    let end = light + demo()[light..].find(',').unwrap();
    let mut text = demo().to_owned();
    text.replace_range(light..end, "lightness: NaN");
    assert_all(&message(&text), &["palette > colours 1 > colour", "lightness must be between 0 and 1"]);
}

fn refused(path: &Path) -> String {
    let project = file::demos()[0].project().unwrap();
    let error: FileError = file::save_atomic(path, &project).unwrap_err();
    error.to_string()
}

#[test]
fn a_folder_that_cannot_be_written_is_named_and_nothing_is_overwritten() {
    let dir = tempfile::tempdir().unwrap();
    let inside = dir.path().join("not there/yoke.ron");
    assert_all(&refused(&inside), &["yoke.ron", "not there' does not exist", "make it"]);
    assert_all(&refused(dir.path()), &["a folder, not a file"]);
    let plain = dir.path().join("plain.ron");
    fs::write(&plain, "mine").unwrap();
    assert_all(&refused(&plain.join("yoke.ron")), &["plain.ron' does not exist"]);
    assert_eq!(fs::read_to_string(&plain).unwrap(), "mine");
    let mut locked = fs::metadata(&plain).unwrap().permissions();
    locked.set_readonly(true);
    fs::set_permissions(&plain, locked).unwrap();
    assert_all(&refused(&plain), &["read-only", "nothing was overwritten"]);
    assert_eq!(fs::read_to_string(&plain).unwrap(), "mine");
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1, "no temporary file is left behind");
}

#[cfg(unix)]
#[test]
fn a_folder_without_permission_is_refused() {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir().unwrap();
    fs::set_permissions(dir.path(), fs::Permissions::from_mode(0o555)).unwrap();
    let path = dir.path().join("yoke.ron");
    // The administrator may write anywhere; then there is nothing to refuse.
    if fs::write(dir.path().join("probe"), "").is_err() {
        assert_all(&refused(&path), &["may not write here", "nothing was overwritten"]);
        assert!(!path.exists());
    }
    fs::set_permissions(dir.path(), fs::Permissions::from_mode(0o755)).unwrap();
}

#[test]
fn a_writer_that_fails_half_way_leaves_the_file_as_it_was() {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("yoke.ron");
    fs::write(&path, "before").unwrap();
    let failed: Result<(), FileError> = file::write_atomic(&path, |out| {
        out.write_all(&vec![b'x'; 1 << 20]).unwrap();
        Err(FileError::new(&path, huegauge::file::Problem::Unwritable))
    });
    assert!(failed.is_err());
    assert_eq!(fs::read_to_string(&path).unwrap(), "before");
    assert_eq!(fs::read_dir(dir.path()).unwrap().count(), 1);
}

#[cfg(unix)]
#[test]
fn saving_keeps_permissions_and_links() {
    use std::os::unix::fs::PermissionsExt;
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("yoke.ron");
    fs::write(&path, "before").unwrap();
    fs::set_permissions(&path, fs::Permissions::from_mode(0o640)).unwrap();
    let link = dir.path().join("link.ron");
    std::os::unix::fs::symlink(&path, &link).unwrap();
    let project = file::demos()[0].project().unwrap();
    file::save_atomic(&link, &project).unwrap();
    assert!(fs::symlink_metadata(&link).unwrap().is_symlink());
    assert_eq!(fs::metadata(&path).unwrap().permissions().mode() & 0o777, 0o640);
    assert_eq!(file::load(&path).unwrap(), project);
}
