//! The plan of the house, kept by machine: imports follow the arrow, the domain is pure, files stay
//! readable.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod licences;

use std::fs;
use std::path::{Path, PathBuf};

/// Rooms from the ground up; a room may use those before it and those in its own row.
const FLOORS: [&[&str]; 8] = [
    &["units", "plain_text"],
    &["colour", "photo", "yarn", "knit", "chart", "from_picture"],
    &["words"],
    &["project"],
    &["file", "export"],
    &["app"],
    &["ui", "headless"],
    &["main"],
];

/// Only these rooms may name the window library.
const WITH_WINDOW: [&str; 2] = ["ui", "main"];

/// Rooms that neither read nor write anything outside memory.
const PURE: [&str; 10] =
    ["units", "plain_text", "colour", "photo", "yarn", "knit", "chart", "from_picture", "words", "project"];

fn floor(room: &str) -> Option<usize> {
    FLOORS.iter().position(|rooms| rooms.contains(&room))
}

/// Every room of this crate that a line of code names.
fn rooms_named(line: &str) -> Vec<&str> {
    let mut rooms = Vec::new();
    for start in ["crate::", "huegauge::"] {
        for (at, _) in line.match_indices(start) {
            let rest = &line[at + start.len()..];
            if let Some(group) = rest.strip_prefix('{') {
                let inside = group.split('}').next().unwrap_or(group);
                rooms.extend(inside.split(',').map(|part| first_word(part.trim())));
            } else {
                rooms.push(first_word(rest));
            }
        }
    }
    rooms
}

fn first_word(text: &str) -> &str {
    text.split(|c: char| !(c.is_alphanumeric() || c == '_')).next().unwrap_or("")
}

/// What is wrong with the source text of a room, line by line.
fn faults(room: &str, source: &str) -> Vec<String> {
    let own = floor(room).unwrap_or_else(|| panic!("the plan does not know the room '{room}'"));
    let mut faults = Vec::new();
    for (number, line) in source.lines().enumerate() {
        let code = line.split("//").next().unwrap_or("");
        let mut fault = |what: String| faults.push(format!("line {}: {what}", number + 1));
        for named in rooms_named(code) {
            if floor(named).is_some_and(|other| other > own) {
                fault(format!("{room} may not use {named}"));
            }
        }
        let window = ["egui", "eframe"].iter().find(|name| code.contains(&format!("{name}::")));
        if let (Some(name), false) = (window, WITH_WINDOW.contains(&room)) {
            fault(format!("{room} may not name {name}"));
        }
        let outside =
            ["std::fs", "std::net", "std::process", "std::env"].iter().find(|name| code.contains(**name));
        if let (Some(name), true) = (outside, PURE.contains(&room)) {
            fault(format!("{room} is pure and may not use {name}"));
        }
    }
    faults
}

fn sources(folder: &Path) -> Vec<PathBuf> {
    let mut found = Vec::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.extend(sources(&path));
        } else if path.extension().is_some_and(|kind| kind == "rs") {
            found.push(path);
        }
    }
    found
}

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).to_owned()
}

#[test]
fn every_import_follows_the_arrow() {
    let src = root().join("src");
    let mut all = Vec::new();
    for path in sources(&src) {
        let relative = path.strip_prefix(&src).unwrap();
        let first = relative.components().next().unwrap().as_os_str().to_str().unwrap();
        let room = first.trim_end_matches(".rs");
        if room == "lib" {
            continue; // names every room, by its nature
        }
        let text = fs::read_to_string(&path).unwrap();
        all.extend(faults(room, &text).into_iter().map(|fault| format!("{}: {fault}", relative.display())));
    }
    assert!(all.is_empty(), "{}", all.join("\n"));
}

#[test]
fn a_planted_wrong_import_is_found() {
    let planted = [
        ("chart", "use crate::project::Project;", "chart may not use project"),
        ("project", "use crate::{chart::Grid, file::load};", "project may not use file"),
        ("app", "let c = egui::Color32::BLACK;", "app may not name egui"),
        ("knit", "let text = std::fs::read(path);", "knit is pure"),
        ("units", "fn f(c: crate::colour::Colour) {}", "units may not use colour"),
    ];
    for (room, source, expected) in planted {
        let found = faults(room, source);
        assert_eq!(found.len(), 1, "{room}: {source}: {found:?}");
        assert!(found[0].contains(expected), "{found:?}");
    }
    assert!(faults("ui", "use crate::project::Project; use egui::Ui;").is_empty());
    assert!(faults("chart", "// crate::project is above us").is_empty());
}

#[test]
fn files_stay_readable() {
    let long: Vec<String> = ["src", "tests"]
        .iter()
        .flat_map(|folder| sources(&root().join(folder)))
        .filter_map(|path| {
            let lines = fs::read_to_string(&path).unwrap().lines().count();
            (lines > 600).then(|| format!("{}: {lines} lines", path.display()))
        })
        .collect();
    assert!(long.is_empty(), "over 600 lines: {}", long.join(", "));
}
