//! An SVG drawing reduced to its shapes, within bounds, before it is drawn.
//!
//! A drawing of a few bytes may ask for gigabytes: an arc with a radius of 80 digits, a `use` of a `use` of a
//! `use`, a mark at each of a million corners. Only what decides where something is painted is kept: shapes,
//! groups, transforms, styles; of paints, that there is one. Clips, masks, filters and arrowheads go.

use std::collections::HashMap;
use std::fmt::Write;

use usvg::roxmltree::{Document, Node, NodeId, ParsingOptions};

use super::error::Problem;
use super::place::Place;
use crate::plain_text::quoted;

const SVG: &str = "http://www.w3.org/2000/svg";
const XLINK: &str = "http://www.w3.org/1999/xlink";

/// What paints, or holds and places what paints (SVG 1.1, appendix J).
const KEPT: [&str; 14] = [
    "svg", "g", "defs", "symbol", "use", "a", "switch", "path", "rect", "circle", "ellipse", "line",
    "polyline", "polygon",
];
/// Values that lengths are worked out from.
const MEASURES: [&str; 17] = [
    "d",
    "points",
    "x",
    "y",
    "x1",
    "y1",
    "x2",
    "y2",
    "cx",
    "cy",
    "r",
    "rx",
    "ry",
    "width",
    "height",
    "viewBox",
    "font-size",
];
/// Largest number in a drawing. The pieces of an arc grow with the sixth root of its radius.
const MOST_NUMBER: f64 = 1e7;
/// Deepest nesting, references counted.
const MOST_DEEP: usize = 500;
/// Characters after all that is used again is written out.
const MOST_WRITTEN: usize = 8 << 20;
/// Characters of style sheets: each rule is held against each element.
const MOST_SHEET: usize = 100_000;
/// What an element costs besides its values, in characters.
const ELEMENT: usize = 50;

/// What is wrong, and where.
pub type Refused = (Option<Place>, Problem);

/// The drawing with nothing but its shapes, as SVG text without entities and references to paints.
///
/// # Errors
/// What makes it too large or keeps it from being read, with its place.
pub fn plain_drawing(text: &str) -> Result<String, Refused> {
    // An SVG may well bring a document type; what it may expand to is bounded by the parser.
    let options = ParsingOptions { allow_dtd: true, nodes_limit: 500_000, ..ParsingOptions::default() };
    let document = Document::parse_with_options(text, options).map_err(|error| {
        // What the parser says may quote all of a name.
        let why = quoted(&error.to_string());
        (None, Problem::Syntax(format!("this is no SVG drawing ({why}): save it as plain SVG")))
    })?;
    let drawing = Drawing::of(&document);
    let root = document.root_element();
    if !root.has_tag_name((SVG, "svg")) {
        let what =
            format!("this is no SVG drawing but '{}': save it as plain SVG", quoted(root.tag_name().name()));
        return Err(drawing.refuse(root, what));
    }
    drawing.check_sheets()?;
    drawing.written(root, 0, &mut HashMap::new())?;
    let mut plain = String::new();
    drawing.write(root, &mut plain);
    Ok(plain)
}

struct Drawing<'a> {
    document: &'a Document<'a>,
    named: HashMap<&'a str, Node<'a, 'a>>,
}

impl<'a> Drawing<'a> {
    fn of(document: &'a Document<'a>) -> Self {
        let named = document.descendants().filter_map(|node| Some((node.attribute("id")?, node)));
        Self { document, named: named.collect() }
    }

    fn refuse(&self, node: Node<'_, '_>, what: String) -> Refused {
        let at = self.document.text_pos_at(node.range().start);
        let field = quoted(node.tag_name().name());
        let place = Place { line: at.row as usize, column: at.col as usize, field };
        (Some(place), Problem::Syntax(what))
    }

    fn sheets(&self) -> impl Iterator<Item = Node<'a, 'a>> {
        self.document.descendants().filter(|node| node.has_tag_name((SVG, "style")))
    }

    fn check_sheets(&self) -> Result<(), Refused> {
        let mut length = 0;
        for sheet in self.sheets() {
            length += sheet.text().map_or(0, str::len);
            if length > MOST_SHEET {
                let what = format!("more than {MOST_SHEET} characters of style rules: simplify the drawing");
                return Err(self.refuse(sheet, what));
            }
        }
        Ok(())
    }

    /// Characters of an element with all that stands in it and that it uses; `None` in `known` while they are
    /// counted.
    fn written(
        &self,
        node: Node<'a, 'a>,
        deep: usize,
        known: &mut HashMap<NodeId, Option<usize>>,
    ) -> Result<usize, Refused> {
        match known.get(&node.id()) {
            Some(Some(length)) => return Ok(*length),
            Some(None) => {
                return Err(
                    self.refuse(node, "this is used within itself: take the inner use out".to_owned())
                );
            }
            None => {}
        }
        if deep > MOST_DEEP {
            let what =
                format!("more than {MOST_DEEP} groups and uses stand within each other: take groups apart");
            return Err(self.refuse(node, what));
        }
        known.insert(node.id(), None);
        let mut length = ELEMENT;
        for (name, value) in attributes(node) {
            length += value.len();
            if let Some(number) = MEASURES.contains(&name).then(|| too_large(value)).flatten() {
                let what = format!(
                    "{name} has the number {}, and more than {MOST_NUMBER} is not drawn: scale the drawing down",
                    quoted(number)
                );
                return Err(self.refuse(node, what));
            }
        }
        let used = used(node).and_then(|id| self.named.get(id)).copied().filter(is_kept);
        for inner in node.children().filter(is_kept).chain(used) {
            length += self.written(inner, deep + 1, known)?;
            if length > MOST_WRITTEN {
                let what = format!(
                    "with all that is used again the drawing has more than {} MB: simplify it",
                    MOST_WRITTEN >> 20
                );
                return Err(self.refuse(node, what));
            }
        }
        known.insert(node.id(), Some(length));
        Ok(length)
    }

    fn write(&self, node: Node<'a, 'a>, out: &mut String) {
        let name = node.tag_name().name();
        let _ = write!(out, "<{name}");
        let root = node == self.document.root_element();
        if root {
            let _ = write!(out, " xmlns=\"{SVG}\"");
        }
        for (name, value) in attributes(node) {
            let _ = write!(out, " {name}=\"{}\"", escaped(&painted(value)));
        }
        if let Some(id) = used(node) {
            let _ = write!(out, " href=\"#{}\"", escaped(id));
        }
        out.push('>');
        if root {
            let rules: Vec<&str> = self.sheets().filter_map(|sheet| sheet.text()).collect();
            let _ = write!(out, "<style>{}</style>", escaped(&painted(&rules.join("\n"))));
        }
        for inner in node.children().filter(is_kept) {
            self.write(inner, out);
        }
        let _ = write!(out, "</{name}>");
    }
}

fn is_kept(node: &Node<'_, '_>) -> bool {
    let tag = node.tag_name();
    tag.namespace() == Some(SVG) && KEPT.contains(&tag.name())
}

/// What an element says of itself; references but to paints are left out.
fn attributes<'a>(node: Node<'a, 'a>) -> impl Iterator<Item = (&'a str, &'a str)> {
    node.attributes()
        .filter(|one| one.namespace().is_none() && one.name() != "href")
        .map(|one| (one.name(), one.value()))
        .filter(|(name, value)| matches!(*name, "fill" | "stroke" | "style") || !value.contains("url("))
}

/// The name of what a `use` shows.
fn used<'a>(node: Node<'a, 'a>) -> Option<&'a str> {
    let link = node.attribute("href").or_else(|| node.attribute((XLINK, "href")));
    link.filter(|_| node.has_tag_name((SVG, "use")))?.trim().strip_prefix('#')
}

/// A gradient or pattern paints where a colour would; what is no paint is no colour either and falls away.
fn painted(value: &str) -> String {
    let mut plain = String::new();
    let mut rest = value;
    while let Some((before, after)) = rest.split_once("url(") {
        plain.push_str(before);
        plain.push_str("black");
        rest = after.split_once(')').map_or("", |(_, after)| after);
    }
    plain + rest
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('"', "&quot;")
}

/// The first number beyond [`MOST_NUMBER`].
fn too_large(value: &str) -> Option<&str> {
    let digits = |text: &str| text.len() - text.trim_start_matches(|c: char| c.is_ascii_digit()).len();
    let mut rest = value;
    while let Some(start) = rest.find(|c: char| c.is_ascii_digit() || c == '.') {
        rest = &rest[start..];
        let mut end = digits(rest);
        if rest[end..].starts_with('.') {
            end += 1 + digits(&rest[end + 1..]);
        }
        if rest[end..].starts_with(['e', 'E']) {
            let sign = usize::from(rest[end + 1..].starts_with(['+', '-']));
            let power = digits(&rest[end + 1 + sign..]);
            end += if power > 0 { 1 + sign + power } else { 0 };
        }
        let (number, after) = rest.split_at(end);
        if number.parse::<f64>().is_ok_and(|number| number > MOST_NUMBER) {
            return Some(number);
        }
        rest = after;
    }
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    fn svg(inside: &str) -> String {
        format!("<svg xmlns='{SVG}' xmlns:xlink='{XLINK}' viewBox='0 0 9 9'>\n{inside}</svg>")
    }

    fn refused(inside: &str) -> String {
        let (place, problem) = plain_drawing(&svg(inside)).unwrap_err();
        format!("{}: {problem}", place.unwrap())
    }

    #[test]
    fn an_arc_of_a_radius_beyond_measure_is_refused_at_its_place() {
        let told = refused("<path d='M0 0a 942949672954294967295 4 30 1 0 5 5'/>");
        assert!(told.starts_with("line 2, column 1 (path): d has the number 9429"), "{told}");
        assert!(told.ends_with("scale the drawing down"), "{told}");
        assert!(refused("<circle r='1e30em'/>").contains("1e30"));
    }

    #[test]
    fn numbers_are_found_however_they_stand() {
        for small in
            ["1-2", "1.5.5.5", "a1 1 0 0110000 5", "1em", "1e7", ".", "e9", "-9999999", "1e-99999", ""]
        {
            assert_eq!(too_large(small), None, "{small}");
        }
        for (large, found) in
            [("1-2e9", "2e9"), ("M5,10000001z", "10000001"), (".1.5E+9", ".5E+9"), ("1e999", "1e999")]
        {
            assert_eq!(too_large(large), Some(found));
        }
    }

    #[test]
    fn uses_of_uses_do_not_grow_without_bound() {
        let level = |level: usize| {
            let used = format!("<use xlink:href='#a{}'/>", level - 1);
            format!("<g id='a{level}'>{used}{used}</g>")
        };
        let tower: String = (1..40).map(level).collect();
        let inside = format!("<g id='a0'><path d='M1 1h5v5z'/></g>{tower}");
        assert!(refused(&inside).contains("more than 8 MB: simplify it"));
        assert!(refused("<g id='a'><g><use href='#a'/></g></g>").contains("used within itself"));
        assert!(refused(&("<g>".repeat(600) + &"</g>".repeat(600))).contains("take groups apart"));
        let rules = format!("<style>{}</style>", ".a{fill:red}".repeat(10_000));
        assert!(refused(&rules).contains("style rules"));
    }

    #[test]
    fn marks_clips_and_paints_leave_the_shape() {
        let plain = plain_drawing(&svg(
            "<defs><marker id='m'><path d='M0 0'/></marker></defs><style>.a{fill:url(#g);marker-mid:url(#m)}</style>\
             <path class='a' clip-path='url(#c)' style='stroke:url( #p )' d='M1 1h5'/><image href='x.png'/>",
        ))
        .unwrap();
        assert!(
            !plain.contains("url") && !plain.contains("marker id") && !plain.contains("image"),
            "{plain}"
        );
        assert!(plain.contains("<path class=\"a\" style=\"stroke:black\" d=\"M1 1h5\">"), "{plain}");
        assert!(plain.contains(".a{fill:black;marker-mid:black}"), "{plain}");
    }

    #[test]
    fn what_is_no_drawing_is_named() {
        let (place, problem) = plain_drawing("<html/>").unwrap_err();
        assert!(place.is_some() && problem.to_string().contains("no SVG drawing but 'html'"));
    }
}
