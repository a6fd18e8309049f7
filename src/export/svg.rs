//! A drawing as SVG 1.1: vector, in named layers, words as words that can be searched, read out and edited.
//!
//! Each line of words keeps its length, whatever face it is shown in, so that nothing runs into its
//! neighbour where the embedded face is missing.

use std::io::Write;

use super::ExportError;
use super::drawing::{Align, CellLook, Cells, Drawing, Item, Rgb, Text};
use super::symbols::Mark;
use super::text::{self, Weight};
use crate::plain_text::acts_on_others;

/// Writes the drawing, one `<g>` per layer, at its printed size.
///
/// # Errors
/// [`ExportError::Encoding`] when the writer fails.
pub fn write(drawing: &Drawing, out: &mut dyn Write) -> Result<(), ExportError> {
    let mm = |length: f64| number(length * drawing.unit_mm);
    writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{}mm\" height=\"{}mm\" viewBox=\"0 0 {} {}\">",
        mm(drawing.width),
        mm(drawing.height),
        number(drawing.width),
        number(drawing.height)
    )?;
    writeln!(out, "<title>{}</title>", escaped(&drawing.title))?;
    let paper = hex(drawing.paper);
    writeln!(out, "<rect id=\"paper\" width=\"100%\" height=\"100%\" fill=\"{paper}\"/>")?;
    let mut shapes = Shapes { out, marks: 0 };
    for layer in &drawing.layers {
        writeln!(shapes.out, "<g id=\"{}\">", escaped(layer.name))?;
        for item in &layer.items {
            shapes.item(item)?;
        }
        writeln!(shapes.out, "</g>")?;
    }
    writeln!(shapes.out, "</svg>")?;
    Ok(())
}

struct Shapes<'a> {
    out: &'a mut dyn Write,
    /// Marks defined so far; each has an id of its own.
    marks: usize,
}

impl Shapes<'_> {
    fn item(&mut self, item: &Item) -> Result<(), ExportError> {
        match item {
            Item::Rect { x, y, width, height, ink } if width.min(*height) < THIN => {
                self.line([*x, *y, *width, *height], *ink)?;
            }
            Item::Rect { x, y, width, height, ink } => {
                let [x, y, width, height] = [x, y, width, height].map(|v| number(*v));
                writeln!(
                    self.out,
                    "<rect x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" fill=\"{}\" {CRISP}/>",
                    hex(*ink)
                )?;
            }
            Item::Frame { x, y, width, height, thickness, ink } => {
                let [x, y, width, height, thickness] = [x, y, width, height, thickness].map(|v| number(*v));
                writeln!(
                    self.out,
                    "<rect x=\"{x}\" y=\"{y}\" width=\"{width}\" height=\"{height}\" fill=\"none\" \
                     stroke=\"{}\" stroke-width=\"{thickness}\" {CRISP}/>",
                    hex(*ink)
                )?;
            }
            Item::Polygon { .. } | Item::Line { .. } => writeln!(self.out, "{}", shape(item))?,
            Item::Text(line) => self.words(line)?,
            Item::Cells(cells) => self.cells(cells)?,
        }
        Ok(())
    }

    /// A thin rectangle as a line of its thickness, whatever the scale. Its edges are smoothed: where a viewer
    /// scales the thickness all the same, a crisp line would fall between the pixels.
    fn line(&mut self, [x, y, width, height]: [f64; 4], ink: Rgb) -> Result<(), ExportError> {
        let upright = width < height;
        let (start, way) = if upright { ([x + width / 2.0, y], 'v') } else { ([x, y + height / 2.0], 'h') };
        let (long, thick) = (number(width.max(height)), number(width.min(height)));
        writeln!(
            self.out,
            "<path d=\"M{}{way}{long}\" stroke=\"{}\" stroke-width=\"{thick}\" vector-effect=\"non-scaling-stroke\"/>",
            pair(start),
            hex(ink)
        )?;
        Ok(())
    }

    fn words(&mut self, line: &Text) -> Result<(), ExportError> {
        if line.text.trim().is_empty() {
            return Ok(());
        }
        let anchor = match line.align {
            Align::Start => "start",
            Align::Middle => "middle",
            Align::End => "end",
        };
        let weight = match line.weight {
            Weight::Regular => "400",
            Weight::Semibold => "600",
        };
        let [x, y, size, long] =
            [line.x, line.y, line.size, text::width(&line.text, line.size, line.weight)].map(number);
        writeln!(
            self.out,
            "<text x=\"{x}\" y=\"{y}\" {FACES} font-size=\"{size}\" font-weight=\"{weight}\" \
             text-anchor=\"{anchor}\" textLength=\"{long}\" lengthAdjust=\"spacingAndGlyphs\" fill=\"{}\">{}</text>",
            hex(line.ink),
            escaped(&line.text)
        )?;
        Ok(())
    }

    /// One path for all cells of a look, neighbours in a row taken together, and its mark once per cell.
    fn cells(&mut self, cells: &Cells) -> Result<(), ExportError> {
        for (index, look) in cells.looks.iter().enumerate() {
            let runs = runs_of(cells, index);
            if runs.is_empty() {
                continue;
            }
            write!(self.out, "<path fill=\"{}\" {CRISP} d=\"", hex(look.fill))?;
            for [column, row, length] in &runs {
                let (x, y) = corner(cells, *column, *row);
                let width = number(*length as f64 * cells.cell_width);
                let height = number(cells.cell_height);
                write!(self.out, "M{}h{width}v{height}h-{width}z", pair([x, y]))?;
            }
            writeln!(self.out, "\"/>")?;
            if !look.marks.is_empty() {
                self.marks_on(cells, look, &runs)?;
            }
        }
        Ok(())
    }

    fn marks_on(&mut self, cells: &Cells, look: &CellLook, runs: &[[usize; 3]]) -> Result<(), ExportError> {
        self.marks += 1;
        let id = self.marks;
        let parts: Vec<String> = look.marks.iter().map(|mark| mark_shape(mark, cells, look)).collect();
        writeln!(self.out, "<defs><g id=\"mark{id}\">{}</g></defs>", parts.concat())?;
        for [column, row, length] in runs {
            for column in *column..column + length {
                let (x, y) = corner(cells, column, *row);
                let (x, y) = (number(x), number(y));
                writeln!(self.out, "<use href=\"#mark{id}\" x=\"{x}\" y=\"{y}\"/>")?;
            }
        }
        Ok(())
    }
}

/// The face of the words, and what may stand in for it.
const FACES: &str = "font-family=\"'Open Sans', 'Noto Sans', 'DejaVu Sans', Verdana, sans-serif\"";

/// Rectangles thinner than this many units are lines. Filled, they would fall between the pixels of a
/// small picture, some of them and not others; as lines that keep their width they are there at every scale.
const THIN: f64 = 4.0;

/// Edges that meet must not let the paper shine through, and lines must be even.
const CRISP: &str = "shape-rendering=\"crispEdges\"";

fn mark_shape(mark: &Mark, cells: &Cells, look: &CellLook) -> String {
    shape(&Item::of_mark(mark, cells.mark_box(look), look.ink))
}

/// A polygon or a line; nothing for what is neither.
fn shape(item: &Item) -> String {
    let list = |points: &[[f64; 2]]| points.iter().map(|p| pair(*p)).collect::<Vec<_>>().join(" ");
    match item {
        Item::Polygon { points, ink } => {
            format!("<polygon points=\"{}\" fill=\"{}\"/>", list(points), hex(*ink))
        }
        Item::Line { points, width, closed, ink } => {
            let name = if *closed { "polygon" } else { "polyline" };
            let (points, ink, width) = (list(points), hex(*ink), number(*width));
            format!("<{name} points=\"{points}\" fill=\"none\" stroke=\"{ink}\" stroke-width=\"{width}\"/>")
        }
        Item::Rect { .. } | Item::Frame { .. } | Item::Text(_) | Item::Cells(_) => String::new(),
    }
}

/// Column, row and length of every run of cells with this look.
fn runs_of(cells: &Cells, look: usize) -> Vec<[usize; 3]> {
    let mut runs = Vec::new();
    for (row, looks) in cells.cells.chunks(cells.columns.max(1)).enumerate() {
        let mut column = 0;
        for run in looks.chunk_by(|a, b| a == b) {
            if usize::from(run[0]) == look {
                runs.push([column, row, run.len()]);
            }
            column += run.len();
        }
    }
    runs
}

fn corner(cells: &Cells, column: usize, row: usize) -> (f64, f64) {
    (cells.x + column as f64 * cells.cell_width, cells.y + row as f64 * cells.cell_height)
}

/// A number with at most two decimals: a hundredth of a unit is below what any printer resolves.
fn number(value: f64) -> String {
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_owned() } else { text.to_owned() }
}

fn pair([x, y]: [f64; 2]) -> String {
    format!("{},{}", number(x), number(y))
}

fn hex([r, g, b]: Rgb) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// Text fit for an XML attribute or element; characters XML does not allow are left out.
fn escaped(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '&' => out.push_str("&amp;"),
            '<' => out.push_str("&lt;"),
            '>' => out.push_str("&gt;"),
            '"' => out.push_str("&quot;"),
            '\n' | '\t' => out.push(' '),
            c if acts_on_others(c) => {}
            c => out.push(c),
        }
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_short() {
        assert_eq!(["0", "12.5", "-0.25", "3.33"], [-0.001, 12.5, -0.25, 10.0 / 3.0].map(number));
    }

    #[test]
    fn words_cannot_break_the_file() {
        assert_eq!(escaped("<Sea & \"sky\">\u{1}"), "&lt;Sea &amp; &quot;sky&quot;&gt;");
    }
}
