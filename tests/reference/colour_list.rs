//! The colour list against the published formats: CSS Color Module Level 4 and the Design Tokens Format
//! and Color Modules 2025.10 (`design_tokens_colour.csv`; its examples are derived from the Oklab
//! matrices, the rest was read in the sources).

use crate::common::{Row, assert_near, table};
use huegauge::colour::Colour;
use huegauge::export::colour_list::{css, tokens};
use huegauge::project::Project;
use serde_json::Value;

fn rows(kind: &str) -> Vec<Row> {
    let rows: Vec<Row> =
        table("design_tokens_colour.csv").into_iter().filter(|row| row.text("kind") == kind).collect();
    assert!(!rows.is_empty(), "no row of kind {kind}");
    rows
}

/// A project whose first colours are these.
fn project(colours: &[Colour]) -> Project {
    let mut project = Project::default();
    for (slot, colour) in project.palette.slots_mut().iter_mut().zip(colours) {
        slot.colour = *colour;
    }
    project
}

/// The tokens of the list by their names, in its order.
fn tokens_of(project: &Project) -> Vec<(String, Value)> {
    let file: Value = serde_json::from_str(&tokens(project).unwrap()).unwrap();
    let group = file["colours"].as_object().unwrap();
    assert_eq!(group["$type"], "color");
    group.iter().filter(|(name, _)| !name.starts_with('$')).map(|(n, t)| (n.clone(), t.clone())).collect()
}

/// The three components of the `oklch()` with which a text ends or goes on; hue `None` for `none`.
fn oklch_in(text: &str) -> [Option<f64>; 3] {
    let (_, rest) = text.split_once("oklch(").unwrap_or_else(|| panic!("no oklch() in '{text}'"));
    let (inner, _) = rest.split_once(')').unwrap();
    let parts: Vec<Option<f64>> = inner
        .split_whitespace()
        .map(|part| match (part, part.strip_suffix('%')) {
            ("none", _) => None,
            (_, Some(percent)) => Some(percent.parse::<f64>().unwrap() / 100.0),
            _ => Some(part.parse().unwrap()),
        })
        .collect();
    parts.try_into().unwrap_or_else(|parts| panic!("oklch() with {parts:?}"))
}

fn near(place: &str, found: [Option<f64>; 3], published: [Option<f64>; 3]) {
    for ((found, published), tolerance) in found.into_iter().zip(published).zip([1e-4, 1e-4, 0.02]) {
        assert_eq!(found.is_some(), published.is_some(), "{place}: none");
        assert_near(place, found.unwrap_or(0.0), published.unwrap_or(0.0), tolerance);
    }
}

/// Components of a token as numbers, `none` as `None`.
fn components(value: &Value) -> [Option<f64>; 3] {
    let parts = value["components"].as_array().unwrap();
    let part = |index: usize| match &parts[index] {
        Value::String(word) if word == "none" => None,
        number => Some(number.as_f64().unwrap()),
    };
    assert_eq!(parts.len(), 3);
    [part(0), part(1), part(2)]
}

#[test]
fn the_examples_are_written_as_published() {
    let mut compared = 0;
    for row in rows("example") {
        let published: Value = serde_json::from_str(row.text("value")).unwrap();
        let value = &published["$value"];
        let published_oklch = match value["colorSpace"].as_str().unwrap() {
            "oklch" => components(value),
            // The note gives the same colour in CSS.
            _ => oklch_in(row.text("note")),
        };
        let colour = match value["hex"].as_str() {
            Some(hex) => Colour::from_hex(hex).unwrap(),
            None => Colour::grey(0.0).with_lightness(published_oklch[0].unwrap()),
        };
        let project = project(&[colour]);
        let (_, token) = &tokens_of(&project)[0];
        assert_eq!(token["$value"]["colorSpace"], "oklch");
        near(row.place(), components(&token["$value"]), published_oklch);
        if let Some(hex) = value["hex"].as_str() {
            assert_eq!(token["$value"]["hex"], hex, "{}", row.place());
            assert!(css(&project).contains(&format!("--colour-a: {hex};")), "{}", row.place());
        }
        let text = css(&project);
        let line = text.lines().find(|line| line.contains("--colour-a: oklch")).unwrap();
        near(row.place(), oklch_in(line), published_oklch);
        compared += 1;
    }
    assert_eq!(compared, 4);
}

#[test]
fn an_oklch_colour_means_what_css_says() {
    for row in rows("check") {
        let [l, c, h] = oklch_in(row.text("field_or_example")).map(Option::unwrap);
        let published: Vec<f64> = row
            .text("value")
            .split(|c: char| !(c.is_ascii_digit() || c == '.'))
            .filter(|part| !part.is_empty())
            .map(|part| part.parse::<f64>().unwrap() / 100.0)
            .collect();
        let colour = Colour::new(l, c, h).unwrap();
        for (found, published) in colour.to_srgb_unmapped().into_iter().zip(published) {
            assert_near(row.place(), found, published, 1e-5);
        }
        let text = css(&project(&[colour]));
        let line = text.lines().find(|line| line.contains("--colour-a: oklch")).unwrap();
        near(row.place(), oklch_in(line), [Some(l), Some(c), Some(h)]);
    }
}

#[test]
fn tokens_hold_what_the_format_allows_and_nothing_else() {
    // The allowed fields of a value are the rows of the table, less the one that forbids others.
    let fields: Vec<String> =
        rows("value").iter().map(|row| row.text("field_or_example").to_owned()).collect();
    let required: Vec<String> = rows("value")
        .iter()
        .filter(|row| row.text("value") == "required")
        .map(|row| row.text("field_or_example").to_owned())
        .collect();
    assert_eq!(required, ["colorSpace", "components"]);
    // Over the whole circle, so that rounding to 360 would show; a grey; a colour outside sRGB.
    for step in 0..=72_000 {
        let hue = f64::from(step) / 200.0;
        if step % 97 != 0 && !(359.9..).contains(&hue) {
            continue;
        }
        let colours = [Colour::clamped(0.6, 0.1, hue), Colour::grey(40.0), Colour::clamped(1.0, 0.3, hue)];
        for (name, token) in tokens_of(&project(&colours)) {
            assert!(!name.starts_with('$') && !name.contains(['{', '}', '.']), "{name}");
            let value = token["$value"].as_object().unwrap();
            assert!(value.keys().all(|key| fields.contains(key)), "{value:?}");
            assert!(required.iter().all(|key| value.contains_key(key)));
            let [l, c, h] = components(&token["$value"]);
            assert!((0.0..=1.0).contains(&l.unwrap()) && c.unwrap() >= 0.0);
            assert!(h.is_none_or(|h| (0.0..360.0).contains(&h)), "{name} at {hue}: {h:?}");
            let hex = value["hex"].as_str().unwrap();
            assert!(hex.len() == 7 && hex.starts_with('#'), "{hex}");
        }
    }
}

#[test]
fn every_colour_is_there_by_its_code_in_palette_order() {
    let project = Project::default();
    let names: Vec<String> = tokens_of(&project).into_iter().map(|(name, _)| name).collect();
    assert_eq!(names, ["A", "B", "C", "D"]);
    let text = css(&project);
    for (code, slot) in ["a", "b", "c", "d"].iter().zip(project.palette.slots()) {
        assert_eq!(text.matches(&format!("--colour-{code}: ")).count(), 2);
        assert!(text.contains(&slot.name) && text.contains(slot.role.word()));
    }
}
