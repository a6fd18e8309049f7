//! `huegauge knit --words FILE`, as a shell runs it.

use std::process::{Command, Output};

use serde_json::Value;

use crate::knitted::{ALL, HAT};

fn knit(text: &[u8], extra: &[&str]) -> Output {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("words.txt");
    std::fs::write(&file, text).unwrap();
    let mut command = Command::new(env!("CARGO_BIN_EXE_huegauge"));
    command.env_remove("DISPLAY").env_remove("WAYLAND_DISPLAY");
    command.arg("knit").arg("--words").arg(&file).args(extra).output().unwrap()
}

/// What is printed; the code tells a script whether the pattern is sound.
fn report(text: &str) -> Value {
    let output = knit(text.as_bytes(), &[]);
    let report: Value = serde_json::from_slice(&output.stdout).unwrap();
    let said = String::from_utf8(output.stderr).unwrap();
    if report["closed"] == true {
        assert_eq!((output.status.code(), said.as_str()), (Some(0), ""));
    } else {
        assert_eq!(output.status.code(), Some(2));
        assert_eq!(said.lines().count(), 1, "{said}");
        let summary = report["summary"].as_str().unwrap();
        assert!(
            said.starts_with("huegauge: ") && said.contains("words.txt: ") && said.contains(summary),
            "{said}"
        );
    }
    report
}

fn refused(text: &[u8], extra: &[&str], part: &str) {
    let output = knit(text, extra);
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.is_empty());
    let said = String::from_utf8(output.stderr).unwrap();
    assert_eq!(said.lines().count(), 1, "{said}");
    assert!(said.starts_with("huegauge: ") && said.contains(part), "{said}");
}

#[test]
fn words_are_knitted_in_every_size() {
    let report = report(HAT);
    assert_eq!(report["closed"], true);
    assert_eq!(
        report["summary"],
        "Knitted through by program in S, M, L: 7,400 to 9,440 stitches, nothing left on the needles."
    );
    let sizes = report["sizes"].as_array().unwrap();
    assert_eq!(sizes.iter().map(|size| size["rounds"].as_u64().unwrap()).collect::<Vec<_>>(), [68, 72, 76]);
    let small = &sizes[0];
    assert_eq!((&small["size"], &small["stitches"]), (&"S".into(), &7400.into()));
    assert_eq!(
        (small["live_at_end"].as_array().unwrap().len(), small["stumbles"].as_array().unwrap().len()),
        (0, 0)
    );
    let colours = small["colours"].as_array().unwrap();
    assert_eq!((&colours[0]["code"], &colours[1]["name"]), (&"A".into(), &"fog".into()));
    let all: u64 = colours.iter().map(|colour| colour["stitches"].as_u64().unwrap()).sum();
    assert_eq!(all, 7400);
    let metres = |at: &str| colours[0][at].as_f64().unwrap();
    assert!(metres("metres_low") < metres("metres") && metres("metres") < metres("metres_high"));
    // 6,672 stitches of 1.53 cm, and a little for edge, floats and ends.
    assert!((102.0..112.0).contains(&metres("metres")), "{}", metres("metres"));
}

#[test]
fn an_edited_pattern_says_where_it_stumbles() {
    let report = report(&HAT.replace("110 (120, 130) sts.", "110 (121, 130) sts."));
    assert_eq!(report["closed"], false);
    assert!(report["summary"].as_str().unwrap().contains(
        "Not to be knitted as it stands in M: Hat, sentence 9: 121 sts are said, but 120 are on the needle."
    ), "{}", report["summary"]);
    let stumble = &report["sizes"][1]["stumbles"][0];
    assert_eq!(
        (&stumble["section"], &stumble["step"], &stumble["row"]),
        (&"Crown".into(), &9.into(), &50.into())
    );
    assert!(stumble["words"].as_str().unwrap().starts_with("Rnd 3: *k10 (11, 12), k2tog"));
    assert_eq!(report["sizes"][0]["closed"], true);

    let open = HAT
        .replace("Cut the yarn to 20 cm (8 in), draw it twice through the 10 sts and close the crown.", "");
    let report = self::report(&open);
    assert_eq!(report["sizes"][2]["live_at_end"][0]["place"], "Hat, on the needle");
    assert_eq!(report["sizes"][2]["live_at_end"][0]["stitches"], 10);
}

#[test]
fn every_pattern_written_by_hand_is_closed() {
    for (name, text) in ALL {
        assert_eq!(report(text)["closed"], true, "{name}");
    }
}

#[test]
fn what_cannot_be_read_is_refused_with_its_place() {
    refused(
        HAT.replace("k2tog 10", "k2together 10").as_bytes(),
        &[],
        "words.txt: line 54, column 11: expected",
    );
    refused(b"\xff\xfe", &[], "is no text");
    refused(HAT.as_bytes(), &["extra"], "one word too many");
    refused(HAT.as_bytes(), &["--word"], "did you mean --words?");
    let output = Command::new(env!("CARGO_BIN_EXE_huegauge")).arg("knit").output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8(output.stderr).unwrap().contains("huegauge knit --words FILE"));
}

#[test]
fn every_demo_is_closed_by_its_own_words() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("demo-projects");
    let (mut sound, mut others) = (0, Vec::new());
    for demo in std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()) {
        let kind = std::fs::read_to_string(&demo).unwrap_or_default();
        if !kind.contains("huegauge-project") {
            continue;
        }
        let output = Command::new(env!("CARGO_BIN_EXE_huegauge")).arg("knit").arg(&demo).output().unwrap();
        let report: Value = serde_json::from_slice(&output.stdout).unwrap();
        if (output.status.code(), &report["closed"]) == (Some(0), &true.into()) {
            sound += 1;
        } else {
            others.push(demo);
        }
    }
    assert!(sound > 0 && others.is_empty(), "{others:?}");
}
