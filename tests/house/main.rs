//! The plan of the house, kept by machine: imports follow the arrow, the domain is pure, files and functions stay
//! readable.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic)]

mod licences;
mod plan;

use std::fs;
use std::path::{Path, PathBuf};

use plan::{faults, functions};

/// Lines of a file, at most.
const LONGEST_FILE: usize = 600;
/// Lines of a function, at most.
const LONGEST_FUNCTION: usize = 80;

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

/// Everything that is too long in a source text.
fn too_long(source: &str) -> Vec<String> {
    let lines = source.lines().count();
    let file = (lines > LONGEST_FILE).then(|| format!("{lines} lines"));
    let functions = functions(source).into_iter().filter(|(_, lines)| *lines > LONGEST_FUNCTION);
    file.into_iter().chain(functions.map(|(name, lines)| format!("{name}: {lines} lines"))).collect()
}

#[test]
fn every_import_follows_the_arrow() {
    let src = root().join("src");
    let mut all = Vec::new();
    for path in sources(&src) {
        let relative = path.strip_prefix(&src).unwrap();
        let module = relative.with_extension("");
        let steps = module.iter().map(|step| step.to_str().unwrap()).filter(|step| *step != "mod");
        let steps: Vec<&str> = steps.collect();
        if steps == ["lib"] {
            continue; // names every room, by its nature
        }
        let text = fs::read_to_string(&path).unwrap();
        all.extend(faults(&steps, &text).into_iter().map(|fault| format!("{}: {fault}", relative.display())));
    }
    assert!(all.is_empty(), "{}", all.join("\n"));
}

#[test]
fn a_planted_wrong_import_is_found() {
    let planted: [(&[&str], &str, &str); 18] = [
        (&["chart"], "use crate::project::Project;", "chart may not use project"),
        (&["project"], "use crate::{chart::Grid, file::load};", "project may not use file"),
        (&["app"], "fn f() { let c = egui::Color32::BLACK; }", "app may not name egui"),
        (&["app"], "use egui_extras::TableBuilder;", "app may not name egui_extras"),
        (&["knit"], "fn f() { let text = std::fs::read(path); }", "knit is pure"),
        (&["knit"], "use std::{collections::HashMap,\n    env};", "knit is pure and may not use std::env"),
        (&["units"], "fn f(c: crate::colour::Colour) {}", "units may not use colour"),
        // The order of the ground floor.
        (&["colour"], "use crate::chart::Grid;", "colour may not use chart"),
        (&["yarn"], "use crate::knit::Gauge;", "yarn may not use knit"),
        (&["photo"], "use crate::knit::Gauge;", "photo may not use knit"),
        // A tree over several lines.
        (&["knit"], "use crate::{\n    chart::{Grid, Cell},\n    words,\n};", "knit may not use words"),
        (&["knit"], "use {crate::chart::Grid, crate::project::Plan};", "knit may not use project"),
        // Upwards, from a file, from a folder, and from a module within a file.
        (&["units"], "use super::colour::Colour;", "units may not use colour"),
        (&["chart", "grid"], "use super::super::{colour, app::State};", "chart may not use app"),
        (&["chart", "grid"], "mod tests { use super::super::super::file::load; }", "chart may not use file"),
        // Inline, in a macro, in the pattern of one, and the whole crate.
        (&["words"], "fn f() { println!(\"{}\", crate::project::Plan::MOST); }", "words may not use project"),
        (&["file"], "macro_rules! m { () => { $crate::app::run() } }", "file may not use app"),
        (&["file"], "use crate::*;", "file names every room at once"),
    ];
    for (module, source, expected) in planted {
        let found = faults(module, source);
        assert_eq!(found.len(), 1, "{module:?}: {source}: {found:?}");
        assert!(found[0].contains(expected), "{found:?}");
    }
    assert_eq!(faults(&["words"], "use crate as house;\nuse crate::{self as here};").len(), 2);
    let allowed: [(&[&str], &str); 7] = [
        (&["ui"], "use crate::project::Project; use egui::Ui;"),
        (&["chart"], "// crate::project is above us\n/// [`crate::project`]\nfn f() {}"),
        (&["chart"], "const WORDS: &str = \"use crate::project::Project;\";"),
        (&["chart", "grid"], "use super::project::Nearby; pub(crate) mod tests { use super::super::file; }"),
        (&["knit"], "use crate::{units, colour, chart, yarn, photo};"),
        (&["project", "findings", "floats"], "use super::super::app::not_the_room;"),
        (&["file"], "use std::{fs, env};"),
    ];
    for (module, source) in allowed {
        assert_eq!(faults(module, source), Vec::<String>::new(), "{module:?}: {source}");
    }
}

#[test]
fn files_and_functions_stay_readable() {
    let files = ["src", "tests"].iter().flat_map(|folder| sources(&root().join(folder)));
    let long: Vec<String> = files
        .flat_map(|path| {
            let found = too_long(&fs::read_to_string(&path).unwrap());
            found.into_iter().map(move |what| format!("{}: {what}", path.display()))
        })
        .collect();
    assert!(long.is_empty(), "{}", long.join("\n"));
}

#[test]
fn a_planted_long_file_and_function_are_found() {
    let of_lines = |lines: usize| "let a = 1; // fn b() {\n".repeat(lines - 2);
    let within = format!("impl A {{\nfn b<T>(c: T) -> [u8; 2] where T: D {{\n{}}}\n}}\n", of_lines(80));
    assert_eq!(too_long(&within), Vec::<String>::new());
    let over = format!("mod a {{ impl A {{\nconst fn b(c: fn(u8) -> u8) {{\n{}}}\n}}}}\n", of_lines(81));
    assert_eq!(too_long(&over), ["b: 81 lines"]);
    let in_macro = format!("proptest! {{\nfn c(\n  d in 0..1,\n) {{\n{}}}\n}}\n", of_lines(82));
    assert_eq!(too_long(&in_macro), ["c: 84 lines"]);
    assert_eq!(too_long("trait E { fn f(&self);\nfn g(&self) -> u8 { 1 } }"), Vec::<String>::new());
    let nested = format!("fn h() {{\n{}fn i() {{\n{}}}\n}}\n", of_lines(42), of_lines(42));
    assert_eq!(too_long(&nested), Vec::<String>::new(), "each by itself");
    assert_eq!(too_long(&"\n".repeat(601)), ["601 lines"]);
}
