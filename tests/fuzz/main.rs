//! Fuzzing of everything that reads what came from outside, without a tool of its own.
//!
//! Every target is fed what stands in `corpus/` and the demos, changed by a seeded stream of mutations: cut,
//! doubled, spliced, bits turned, numbers and words swapped for awkward ones. `cargo test` runs a fixed
//! number of them; to look further:
//!
//! `FUZZ_SECONDS=600 FUZZ_SEED=7 cargo test --release --test fuzz -- --nocapture --test-threads=1`
//!
//! With `FUZZ_LAST=PATH` each input is written there before it is tried: what an abort or a hang leaves behind.
//!
//! A target fails when the code panics, breaks its word (a file that opens must come back as it was, an
//! error must be one line of bounded length) or takes more than [`SLOWEST`] for one input. The input is
//! then written to the folder for temporary files and named; kept in `corpus/` it is tried by every run.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a fuzzer stops at a find")]

mod mutate;
#[path = "../property/read_rows.rs"]
mod read_rows;
mod targets;

use std::any::Any;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use mutate::Mutator;

/// Inputs of a target in a plain `cargo test`.
const SMOKE: u64 = 400;
/// One input must not take longer.
const SLOWEST: Duration = Duration::from_secs(10);
/// Inputs do not grow beyond this.
const MOST_BYTES: usize = 200_000;

/// Runs a target on its corpus, then on mutations of it.
fn fuzz(name: &str, mut seeds: Vec<Vec<u8>>, target: fn(&[u8])) {
    seeds.extend(kept(name));
    for seed in &seeds {
        try_one(name, seed, target);
    }
    let seconds = setting("FUZZ_SECONDS").map(Duration::from_secs);
    let mut mutator = Mutator::new(setting("FUZZ_SEED").unwrap_or(20_261_125), name);
    let start = Instant::now();
    let mut executions = 0;
    while seconds.map_or(executions < SMOKE, |limit| start.elapsed() < limit) {
        let input = mutator.next(&seeds, MOST_BYTES);
        try_one(name, &input, target);
        executions += 1;
    }
    println!("{name}: {executions} executions in {:.1} s", start.elapsed().as_secs_f64());
}

fn try_one(name: &str, input: &[u8], target: fn(&[u8])) {
    if let Some(path) = std::env::var_os("FUZZ_LAST") {
        std::fs::write(path, input).unwrap();
    }
    let start = worked();
    let outcome = catch_unwind(AssertUnwindSafe(|| target(input)));
    let took = worked().saturating_sub(start);
    let what = match outcome {
        Ok(()) if took <= SLOWEST => return,
        Ok(()) => format!("took {:.1} s", took.as_secs_f64()),
        Err(reason) => words(&*reason),
    };
    let find = std::env::temp_dir().join(format!("huegauge-find-{name}-{}", std::process::id()));
    std::fs::write(&find, input).unwrap();
    panic!("{name}: {what}; the input is in {}", find.display());
}

/// How long this thread has worked: on a busy machine the clock on the wall says nothing about an input.
/// Where the system does not tell, nothing counts as slow.
fn worked() -> Duration {
    let told = std::fs::read_to_string("/proc/thread-self/schedstat").unwrap_or_default();
    let nanoseconds = told.split(' ').next().and_then(|number| number.parse().ok());
    Duration::from_nanos(nanoseconds.unwrap_or(0))
}

fn words(reason: &(dyn Any + Send)) -> String {
    let text = reason.downcast_ref::<String>().map(String::as_str);
    text.or_else(|| reason.downcast_ref::<&str>().copied()).unwrap_or("a panic without words").to_owned()
}

fn setting(name: &str) -> Option<u64> {
    std::env::var(name).ok().map(|value| value.parse().unwrap())
}

/// What is kept for a target: the files of `corpus/` whose names begin with its name.
fn kept(name: &str) -> Vec<Vec<u8>> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz/corpus");
    let mut paths: Vec<PathBuf> = std::fs::read_dir(folder).unwrap().map(|e| e.unwrap().path()).collect();
    paths.retain(|path| path.file_name().unwrap().to_string_lossy().starts_with(&format!("{name}-")));
    paths.sort();
    paths.iter().map(|path| std::fs::read(path).unwrap()).collect()
}

#[test]
fn projects() {
    fuzz("project", targets::project_seeds(), targets::project);
}

#[test]
fn shade_cards() {
    fuzz("card", targets::card_seeds(), targets::card);
}

#[test]
fn tables_of_shades() {
    fuzz("csv", targets::csv_seeds(), targets::csv);
}

#[test]
fn pictures() {
    fuzz("picture", targets::picture_seeds(), targets::picture);
}

#[test]
fn outlines() {
    fuzz("outline", targets::outline_seeds(), targets::outline);
}

#[test]
fn labels_of_fibre_and_care() {
    fuzz("label", targets::label_seeds(), targets::label);
}

#[test]
fn rows_of_a_chart() {
    fuzz("rows", targets::rows_seeds(), targets::rows);
}

#[test]
fn words_of_a_pattern() {
    fuzz("words", targets::words_seeds(), targets::words);
}

#[test]
fn a_planted_fault_is_found_and_its_input_kept() {
    fn faulty(input: &[u8]) {
        assert!(!input.windows(2).any(|pair| pair == b"((") || input.len() > 64, "two brackets");
    }
    let seeds = vec![b"(title: \"a\", list: [1, 2, 3])".to_vec()];
    let outcome = catch_unwind(AssertUnwindSafe(|| fuzz("planted", seeds, faulty)));
    let reason = words(&*outcome.unwrap_err());
    let path = reason.split("the input is in ").nth(1).unwrap();
    let input = std::fs::read(path).unwrap();
    std::fs::remove_file(path).unwrap();
    assert!(catch_unwind(|| faulty(&input)).is_err(), "the kept input shows the fault again");
}
