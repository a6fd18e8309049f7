//! The outlines of words, for formats that draw letters as shapes.

use ab_glyph::{Font, OutlineCurve, Point};

use super::drawing::Text;
use super::text;

/// One step of an outline, in units of the drawing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Step {
    /// A contour begins.
    Move([f64; 2]),
    /// A straight line.
    Line([f64; 2]),
    /// A quadratic curve: control point, end.
    Quad([f64; 2], [f64; 2]),
    /// A cubic curve: two control points, end.
    Cubic([f64; 2], [f64; 2], [f64; 2]),
    /// The contour ends where it began.
    Close,
}

/// The outlines of all letters of a line of words.
pub fn of(line: &Text) -> Vec<Step> {
    let (letters, _) = text::set(&line.text, line.size, line.weight);
    let left = line.left();
    let mut steps = Vec::new();
    for letter in letters {
        let Some(outline) = letter.face.font().outline(letter.glyph) else { continue };
        let scale = line.size / letter.face.units_per_em();
        let to = |p: Point| [left + letter.x + f64::from(p.x) * scale, line.y - f64::from(p.y) * scale];
        trace(&mut steps, &outline.curves, to);
    }
    steps
}

/// Adds the contours of a glyph, whose curves follow each other but are not marked where a new
/// contour begins.
fn trace(steps: &mut Vec<Step>, curves: &[OutlineCurve], to: impl Fn(Point) -> [f64; 2]) {
    let mut pen: Option<Point> = None;
    for curve in curves {
        let (OutlineCurve::Line(start, end)
        | OutlineCurve::Quad(start, _, end)
        | OutlineCurve::Cubic(start, _, _, end)) = *curve;
        if pen != Some(start) {
            if pen.is_some() {
                steps.push(Step::Close);
            }
            steps.push(Step::Move(to(start)));
        }
        steps.push(match *curve {
            OutlineCurve::Line(..) => Step::Line(to(end)),
            OutlineCurve::Quad(_, control, _) => Step::Quad(to(control), to(end)),
            OutlineCurve::Cubic(_, first, second, _) => Step::Cubic(to(first), to(second), to(end)),
        });
        pen = Some(end);
    }
    if pen.is_some() {
        steps.push(Step::Close);
    }
}
