//! The libraries the program stands on: whose they are, under which licence, and how many times.
//!
//! `assets/THIRD_PARTY.txt` is written by `cargo test --test house rewrite_the_notices -- --ignored` from
//! what `cargo metadata` and the sources of the crates say; the tests hold it against `Cargo.lock`.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::process::Command;

use super::root;

const NOTICES: &str = "assets/THIRD_PARTY.txt";

/// Licences (SPDX names) that code in this program may have, the first of an `OR` that stands earliest
/// here being the one that is used. No copyleft that reaches beyond its own files.
const ALLOWED: [&str; 14] = [
    "MIT",
    "Apache-2.0",
    "BSD-2-Clause",
    "BSD-3-Clause",
    "ISC",
    "Zlib",
    "0BSD",
    "Unlicense",
    "BSL-1.0",
    "Unicode-3.0",
    "Apache-2.0 WITH LLVM-exception",
    "OFL-1.1",
    "Ubuntu-font-1.0",
    // Copyleft by file: the crate is used as it was published, and its source is at its registry.
    "MPL-2.0",
];

/// Crates that stand in the lock file in several versions, because those who use them have not agreed yet.
const SEVERAL_VERSIONS: [&str; 27] = [
    "base64",
    "bitflags",
    "block2",
    "foldhash",
    "font-types",
    "getrandom",
    "hashbrown",
    "itertools",
    "jni-sys",
    "linux-raw-sys",
    "miniz_oxide",
    "objc2",
    "objc2-app-kit",
    "objc2-foundation",
    "objc2-ui-kit",
    "phf",
    "phf_shared",
    "r-efi",
    "read-fonts",
    "redox_syscall",
    "rustc-hash",
    "rustix",
    "skrifa",
    "syn",
    "thiserror",
    "thiserror-impl",
    "windows-sys",
];

/// Name and version of every crate of the lock file but our own.
fn locked() -> BTreeSet<(String, String)> {
    let lock = fs::read_to_string(root().join("Cargo.lock")).unwrap();
    let value = |block: &str, key: &str| {
        let line = block.lines().find_map(|line| line.strip_prefix(key)?.strip_prefix(" = \""))?;
        Some(line.trim_end_matches('"').to_owned())
    };
    let crates = lock.split("[[package]]").skip(1).filter(|block| value(block, "source").is_some());
    crates.map(|block| (value(block, "name").unwrap(), value(block, "version").unwrap())).collect()
}

/// Name, version and licence of every crate of the notices.
fn noticed() -> BTreeMap<(String, String), String> {
    let text = fs::read_to_string(root().join(NOTICES)).unwrap();
    let lines = text.lines().skip_while(|line| *line != HEADING).skip(1).take_while(|line| *line != TEXTS);
    let crates = lines.filter(|line| !line.is_empty() && !line.starts_with(' '));
    crates
        .map(|line| {
            let [name, version, licence] = line.splitn(3, "  ").collect::<Vec<_>>().try_into().unwrap();
            ((name.to_owned(), version.to_owned()), licence.to_owned())
        })
        .collect()
}

const HEADING: &str = "CRATES";
const TEXTS: &str = "LICENCES";

/// The licences under which a crate is used: of each `OR` the one we like best, of an `AND` all.
fn used(expression: &str) -> Option<BTreeSet<String>> {
    let plain = expression.replace('/', " OR ").replace(['(', ')'], " ");
    let rank = |name: &str| ALLOWED.iter().position(|allowed| *allowed == name);
    // `(A OR B) AND C` is the only nesting there is: AND binds the groups.
    plain
        .split(" AND ")
        .map(|group| {
            let names = group.split(" OR ").map(|name| name.split_whitespace().collect::<Vec<_>>().join(" "));
            let best = names.filter_map(|name| Some((rank(&name)?, name))).min();
            best.map(|(_, name)| name)
        })
        .collect()
}

#[test]
fn the_notices_name_every_crate_of_the_lock_file() {
    let (locked, noticed) = (locked(), noticed());
    let noticed: BTreeSet<_> = noticed.into_keys().collect();
    let missing: Vec<_> = locked.difference(&noticed).collect();
    let gone: Vec<_> = noticed.difference(&locked).collect();
    let mend = "run `cargo test --test house rewrite_the_notices -- --ignored`";
    assert!(missing.is_empty() && gone.is_empty(), "missing {missing:?}, gone {gone:?}: {mend}");
}

#[test]
fn every_licence_is_one_that_we_may_use_and_its_text_is_there() {
    let text = fs::read_to_string(root().join(NOTICES)).unwrap();
    let mut faults = Vec::new();
    for ((name, version), licence) in noticed() {
        match used(&licence) {
            None => faults.push(format!("{name} {version}: {licence}")),
            Some(names) => {
                for used in names.iter().filter(|used| !text.contains(&format!("\n=== {used} ===\n"))) {
                    faults.push(format!("{name} {version}: the text of {used} is missing"));
                }
            }
        }
    }
    assert!(faults.is_empty(), "{faults:#?}");
}

#[test]
fn a_licence_that_we_may_not_use_is_found() {
    let set = |names: &[&str]| Some(names.iter().map(|name| (*name).to_owned()).collect());
    assert_eq!(used("GPL-3.0-only"), None);
    assert_eq!(used("MIT AND GPL-2.0-only"), None);
    assert_eq!(used("Apache-2.0 OR GPL-2.0-only"), set(&["Apache-2.0"]));
    assert_eq!(used("MIT/Apache-2.0"), set(&["MIT"]));
    assert_eq!(used("(MIT OR Apache-2.0) AND Unicode-3.0"), set(&["MIT", "Unicode-3.0"]));
}

#[test]
fn no_further_crate_is_there_twice() {
    let mut versions: BTreeMap<String, usize> = BTreeMap::new();
    for (name, _) in locked() {
        *versions.entry(name).or_default() += 1;
    }
    let several: BTreeSet<&str> =
        versions.iter().filter(|(_, count)| **count > 1).map(|(name, _)| name.as_str()).collect();
    let known: BTreeSet<&str> = SEVERAL_VERSIONS.into_iter().collect();
    let new: Vec<_> = several.difference(&known).collect();
    let settled: Vec<_> = known.difference(&several).collect();
    assert!(new.is_empty(), "in several versions: {new:?}; `cargo tree -i NAME` says who asks for them");
    assert!(settled.is_empty(), "no longer in several versions, take them off the list: {settled:?}");
}

#[test]
#[ignore = "not a check: rewrites assets/THIRD_PARTY.txt after a change of Cargo.lock"]
fn rewrite_the_notices() {
    let out = Command::new(env!("CARGO"))
        .args(["metadata", "--format-version", "1", "--locked"])
        .current_dir(root())
        .output()
        .unwrap();
    let metadata: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap();
    let mut list = String::new();
    let mut texts: BTreeMap<String, String> = BTreeMap::new();
    let mut packages: Vec<&serde_json::Value> = metadata["packages"]
        .as_array()
        .unwrap()
        .iter()
        .filter(|package| !package["source"].is_null())
        .collect();
    packages.sort_by_key(|package| (package["name"].as_str(), package["version"].as_str()));
    for package in packages {
        let word = |key: &str| package[key].as_str().unwrap_or_default();
        let licence = word("license");
        let files = licence_files(Path::new(word("manifest_path")).parent().unwrap());
        writeln!(list, "{}  {}  {licence}", word("name"), word("version")).unwrap();
        for line in copyrights(&files, package) {
            writeln!(list, "    {line}").unwrap();
        }
        for name in used(licence).unwrap_or_else(|| panic!("{}: {licence}", word("name"))) {
            if let Some(text) = files.iter().find(|text| is_text_of(&name, text)) {
                let best = texts.entry(name).or_insert_with(|| without_names(text));
                // The shortest is the licence and nothing else.
                if without_names(text).len() < best.len() {
                    *best = without_names(text);
                }
            }
        }
    }
    let mut text = format!(
        "Huegauge is made with the libraries below, which their authors let everyone use. Each is named with\n\
         its version, the licence its authors chose and their copyright; the texts of the licences follow, once\n\
         each. Where a crate may be had under several licences, the first of this list is used:\n{}.\n\n\
         The typeface of the exports is Open Sans, under the Apache License 2.0 (assets/fonts).\n\n\
         {HEADING}\n\n{list}\n{TEXTS}\n",
        ALLOWED.join(", ")
    );
    for (name, licence) in texts {
        write!(text, "\n=== {name} ===\n\n{}\n", licence.trim()).unwrap();
    }
    fs::write(root().join(NOTICES), text).unwrap();
}

fn licence_files(folder: &Path) -> Vec<String> {
    let inside = |folder: &Path| {
        let entries = fs::read_dir(folder).into_iter().flatten();
        entries.map(|entry| entry.unwrap().path()).collect::<Vec<_>>()
    };
    let mut paths = inside(folder);
    // Typefaces bring their own.
    paths.extend(inside(&folder.join("fonts")));
    paths.retain(|path| {
        let name = path.file_name().unwrap().to_string_lossy().to_uppercase();
        ["LICEN", "COPYING", "UNLICEN", "NOTICE", "COPYRIGHT", "OFL", "UFL"]
            .iter()
            .any(|start| name.starts_with(start))
            && path.is_file()
    });
    paths.sort();
    paths.iter().map(|path| String::from_utf8_lossy(&fs::read(path).unwrap()).into_owned()).collect()
}

/// Who the copyright belongs to: the lines of the licence files, else the authors of the crate.
fn copyrights(files: &[String], package: &serde_json::Value) -> BTreeSet<String> {
    let lines = files.iter().flat_map(|text| text.lines()).map(str::trim);
    let named: BTreeSet<String> = lines.filter(|line| is_copyright(line)).map(str::to_owned).collect();
    if !named.is_empty() {
        return named;
    }
    let authors = package["authors"].as_array().into_iter().flatten().filter_map(|author| author.as_str());
    authors.map(|author| author.split(" <").next().unwrap_or(author).to_owned()).collect()
}

fn is_copyright(line: &str) -> bool {
    let lower = line.to_lowercase();
    (lower.starts_with("copyright") || lower.starts_with('©'))
        && line.len() < 160
        && (line.contains(|c: char| c.is_ascii_digit()) || lower.contains("(c)"))
        && !line.contains("[yyyy]")
}

/// Whether a text is that of a licence, told by words that only it has.
fn is_text_of(licence: &str, text: &str) -> bool {
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    let has = |part: &str| words.contains(part);
    match licence {
        "MIT" => has("Permission is hereby granted, free of charge") && !has("Apache License"),
        "Apache-2.0" => has("Apache License Version 2.0, January 2004") && !has("LLVM Exceptions"),
        "Apache-2.0 WITH LLVM-exception" => has("LLVM Exceptions"),
        "BSD-2-Clause" => has("Redistribution and use in source and binary") && !has("Neither the name"),
        "BSD-3-Clause" => has("Redistribution and use in source and binary") && has("Neither the name"),
        "ISC" => has("Permission to use, copy, modify, and/or distribute this software for any purpose with"),
        "Zlib" => has("This software is provided 'as-is', without any express or implied warranty"),
        "0BSD" => has("Permission to use, copy, modify, and/or distribute") && !has("provided that"),
        "Unlicense" => has("This is free and unencumbered software released into the public domain"),
        "BSL-1.0" => has("Boost Software License - Version 1.0"),
        "Unicode-3.0" => has("UNICODE LICENSE V3"),
        "OFL-1.1" => has("SIL OPEN FONT LICENSE Version 1.1"),
        "Ubuntu-font-1.0" => has("UBUNTU FONT LICENCE Version 1.0"),
        "MPL-2.0" => has("Mozilla Public License Version 2.0"),
        _ => false,
    }
}

/// The text of a licence without the lines that name someone; these stand with the crates.
fn without_names(text: &str) -> String {
    let lines = text.lines().filter(|line| !is_copyright(line.trim()));
    lines.map(str::trim_end).collect::<Vec<_>>().join("\n")
}
