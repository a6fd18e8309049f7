//! The marks that stand for colours, as plain shapes for every kind of drawing.
//!
//! Shared by the exports and the window, so that a chart looks the same in both.

use crate::project::Symbol;

/// One piece of a symbol in the unit square: `x` to the right, `y` down, both `0..=1`.
#[derive(Clone, Debug, PartialEq)]
pub enum Mark {
    /// A filled convex polygon.
    Fill(Vec<[f32; 2]>),
    /// A stroked line, closed or not; `width` in the same units.
    Stroke {
        /// Its corners.
        points: Vec<[f32; 2]>,
        /// Stroke width.
        width: f32,
        /// Whether the last corner joins the first.
        closed: bool,
    },
}

/// Corners of a circle: enough for a smooth edge at 200 px.
const CIRCLE_CORNERS: usize = 32;
/// Stroke width of the open and crossed marks: one whole pixel in a cell of 8 px.
const STROKE: f32 = 0.13;

/// The pieces of a symbol; none for a blank.
pub fn marks(symbol: Symbol) -> Vec<Mark> {
    let fill = |points: &[[f32; 2]]| vec![Mark::Fill(points.to_vec())];
    let line = |a, b| Mark::Stroke { points: vec![a, b], width: STROKE, closed: false };
    match symbol {
        Symbol::Blank => Vec::new(),
        Symbol::Disc => vec![Mark::Fill(circle(0.3))],
        Symbol::Ring => vec![Mark::Stroke { points: circle(0.3), width: STROKE, closed: true }],
        Symbol::Cross => vec![line([0.22, 0.22], [0.78, 0.78]), line([0.22, 0.78], [0.78, 0.22])],
        Symbol::Plus => vec![line([0.5, 0.14], [0.5, 0.86]), line([0.14, 0.5], [0.86, 0.5])],
        Symbol::Slash => vec![line([0.2, 0.82], [0.8, 0.18])],
        Symbol::Backslash => vec![line([0.2, 0.18], [0.8, 0.82])],
        Symbol::Bar => fill(&[[0.14, 0.37], [0.86, 0.37], [0.86, 0.63], [0.14, 0.63]]),
        Symbol::Diamond => fill(&[[0.5, 0.06], [0.76, 0.5], [0.5, 0.94], [0.24, 0.5]]),
        Symbol::Triangle => fill(&[[0.5, 0.16], [0.86, 0.8], [0.14, 0.8]]),
        Symbol::TriangleDown => fill(&[[0.14, 0.2], [0.86, 0.2], [0.5, 0.84]]),
        Symbol::Frame => vec![Mark::Stroke {
            points: vec![[0.22, 0.22], [0.78, 0.22], [0.78, 0.78], [0.22, 0.78]],
            width: STROKE,
            closed: true,
        }],
    }
}

/// The hatching of a cell without a stitch: three strokes across the whole cell.
pub fn no_stitch() -> Vec<Mark> {
    let line = |a, b| Mark::Stroke { points: vec![a, b], width: 0.06, closed: false };
    vec![line([0.0, 0.5], [0.5, 0.0]), line([0.0, 1.0], [1.0, 0.0]), line([0.5, 1.0], [1.0, 0.5])]
}

fn circle(radius: f32) -> Vec<[f32; 2]> {
    let corner = |i: usize| {
        let (sin, cos) = (i as f32 * std::f32::consts::TAU / CIRCLE_CORNERS as f32).sin_cos();
        [0.5 + radius * cos, 0.5 + radius * sin]
    };
    (0..CIRCLE_CORNERS).map(corner).collect()
}
