//! The colours of a project as a list for other programs, in two open formats.
//!
//! - A style sheet with custom properties: `oklch()` of CSS Color Module Level 4, with sRGB hex for
//!   programs that do not know it.
//! - Design tokens: the Design Tokens Format and Color Modules 2025.10 (a report of the Design Tokens
//!   Community Group), each colour an object in the `oklch` space with its hex.

use std::fmt::Write as _;
use std::path::Path;

use serde::{Serialize, Serializer};

use super::{ExportError, json};
use crate::colour::Colour;
use crate::plain_text::one_line;
use crate::project::{Project, Slot, colour_code, key_entry};

/// Said in either file.
const CAUTION: &str = "Yarn colours are only as sure as their source.";

/// The list in the kind that the ending of `path` names.
///
/// # Errors
/// [`ExportError::ColourListEnding`] when it is neither `.css` nor `.json`.
pub fn text(project: &Project, path: &Path) -> Result<String, ExportError> {
    let ending = path.extension().unwrap_or_default().to_string_lossy();
    match ending.to_lowercase().as_str() {
        "css" => Ok(css(project)),
        "json" => tokens(project),
        _ => Err(ExportError::ColourListEnding(one_line(&ending))),
    }
}

/// One custom property a colour, `--colour-a` for code A. Colours keep their Oklch values, which may
/// lie outside sRGB; the hex is gamut mapped.
pub fn css(project: &Project) -> String {
    let comment = |words: &str| format!("/* {} */", one_line(words).replace("*/", "* /"));
    let slots = || project.palette.slots().iter().enumerate();
    let mut out = format!("{}\n:root {{\n", comment(&format!("{}. {CAUTION}", project.title)));
    // Writing to a string cannot fail.
    for (index, slot) in slots() {
        let (property, hex) = (property(index), slot.colour.to_hex());
        let _ = writeln!(out, "  {property}: {hex}; {}", comment(&described(index, slot)));
    }
    // A second declaration would not do: any value of a custom property is taken, understood or not.
    out.push_str("}\n@supports (color: oklch(0.5 0.1 0)) {\n  :root {\n");
    for (index, slot) in slots() {
        let [l, c, h] = components(slot.colour);
        let _ = writeln!(out, "    {}: oklch({l} {c} {h});", property(index));
    }
    out.push_str("  }\n}\n");
    out
}

/// A group of colour tokens, each named by its code.
///
/// # Errors
/// [`ExportError::Encoding`] when a value has no JSON, which is a fault of ours.
pub fn tokens(project: &Project) -> Result<String, ExportError> {
    let tokens = project.palette.slots().iter().enumerate();
    let tokens = tokens.map(|(index, slot)| (colour_code(index), Token::new(index, slot)));
    let mut text = json::text(&TokenFile {
        description: one_line(&format!("{}. {CAUTION}", project.title)),
        colours: Group { kind: "color", tokens: Tokens(tokens.collect()) },
    })?;
    text.push('\n');
    Ok(text)
}

/// `--colour-a` for code A.
fn property(slot: usize) -> String {
    format!("--colour-{}", colour_code(slot).to_lowercase())
}

/// `A, ground: Plain paper, F01`.
fn described(index: usize, slot: &Slot) -> String {
    let entry = key_entry(index, slot);
    match slot.shade().map(|shade| shade.code.trim()) {
        Some(code) if !code.is_empty() => format!("{entry}, {code}"),
        _ => entry,
    }
}

/// A number, or the word for a component that a colour does not have. CSS and tokens spell it alike.
#[derive(Clone, Copy, Debug, PartialEq)]
enum Component {
    Number(f64),
    None,
}

impl std::fmt::Display for Component {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Number(number) => write!(f, "{number}"),
            Self::None => f.write_str("none"),
        }
    }
}

impl Serialize for Component {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match self {
            Self::Number(number) => serializer.serialize_f64(*number),
            Self::None => serializer.serialize_str("none"),
        }
    }
}

/// Oklch lightness 0 to 1, chroma 0 and up, hue 0 to under 360 or none for a grey: finer than 8 bits a
/// channel can show.
fn components(colour: Colour) -> [Component; 3] {
    let to = |places: f64, value: f64| (value * places).round() / places + 0.0;
    let chroma = to(1e4, colour.chroma());
    let hue = colour.hue().filter(|_| chroma > 0.0).map(|hue| to(1e2, hue));
    // 360 is not allowed, and rounding may make it.
    let hue = hue.map_or(Component::None, |hue| Component::Number(if hue >= 360.0 { 0.0 } else { hue }));
    [Component::Number(to(1e4, colour.lightness())), Component::Number(chroma), hue]
}

#[derive(Serialize)]
struct TokenFile {
    #[serde(rename = "$description")]
    description: String,
    colours: Group,
}

#[derive(Serialize)]
struct Group {
    #[serde(rename = "$type")]
    kind: &'static str,
    #[serde(flatten)]
    tokens: Tokens,
}

/// Tokens by name, in palette order.
struct Tokens(Vec<(String, Token)>);

impl Serialize for Tokens {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, token)| (name, token)))
    }
}

#[derive(Serialize)]
struct Token {
    #[serde(rename = "$value")]
    value: Value,
    #[serde(rename = "$description")]
    description: String,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Value {
    color_space: &'static str,
    components: [Component; 3],
    alpha: u8,
    hex: String,
}

impl Token {
    fn new(index: usize, slot: &Slot) -> Self {
        let colour = slot.colour;
        let value =
            Value { color_space: "oklch", components: components(colour), alpha: 1, hex: colour.to_hex() };
        Self { value, description: one_line(&described(index, slot)) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rounding_never_makes_a_full_turn_and_a_grey_has_no_hue() {
        let words = |colour| components(colour).map(|component| component.to_string());
        assert_eq!(words(Colour::clamped(0.5, 0.1, 359.999)), ["0.5", "0.1", "0"]);
        assert_eq!(words(Colour::clamped(0.6, 0.0, 120.0)), ["0.6", "0", "none"]);
        assert_eq!(words(Colour::clamped(0.123_456, 0.098_76, 12.345_6)), ["0.1235", "0.0988", "12.35"]);
    }

    #[test]
    fn no_name_ends_a_comment_or_a_line() {
        let mut project = Project { title: "Line\nbreak */ body {".to_owned(), ..Project::default() };
        "a */ b\nc".clone_into(&mut project.palette.slots_mut()[1].name);
        let text = css(&project);
        let slots = project.palette.slots().len();
        assert_eq!(text.matches("*/").count(), slots + 1, "{text}");
        assert_eq!(text.lines().count(), 2 * slots + 7, "{text}");
    }

    #[test]
    fn the_ending_of_the_file_chooses_the_kind() {
        let project = Project::default();
        assert!(text(&project, Path::new("a.CSS")).unwrap().starts_with("/*"));
        assert!(text(&project, Path::new("a.tokens.json")).unwrap().starts_with('{'));
        for other in ["a.txt", "a"] {
            let said = text(&project, Path::new(other)).unwrap_err().to_string();
            assert!(said.contains(".css") && said.contains(".json"), "{said}");
        }
    }
}
