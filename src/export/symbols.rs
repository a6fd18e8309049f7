//! The marks that stand for colours, as plain shapes for every kind of drawing.
//!
//! Shared by the exports and the window, so that a chart looks the same in both.

use crate::project::{Project, Symbol};

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

/// The marks of every colour of a project, no two the same.
///
/// A symbol that several colours carry stays with the first; the others get one that is free, and when
/// all are taken a pair of small ones, so that a print without colour can be read whatever was chosen.
pub fn distinct_marks(project: &Project) -> Vec<Vec<Mark>> {
    let slots = project.palette.slots();
    let mut free: Vec<Symbol> =
        Symbol::ALL.into_iter().filter(|symbol| slots.iter().all(|slot| slot.symbol != *symbol)).collect();
    free.reverse();
    let drawn = &Symbol::ALL[1..];
    let mut pairs = drawn
        .iter()
        .flat_map(|left| drawn.iter().filter(move |right| *right != left).map(move |right| (*left, *right)));
    let mut given: Vec<Symbol> = Vec::with_capacity(slots.len());
    let mut own = |slot: &crate::project::Slot| {
        if !given.contains(&slot.symbol) {
            given.push(slot.symbol);
            return marks(slot.symbol);
        }
        match free.pop() {
            Some(symbol) => marks(symbol),
            None => pairs.next().map_or_else(Vec::new, |(left, right)| pair(left, right)),
        }
    };
    slots.iter().map(&mut own).collect()
}

/// Two symbols side by side at half their size.
fn pair(left: Symbol, right: Symbol) -> Vec<Mark> {
    let half = |symbol: Symbol, dx: f32| {
        let place = move |points: Vec<[f32; 2]>| {
            points.into_iter().map(|[x, y]| [x / 2.0 + dx, y / 2.0 + 0.25]).collect()
        };
        marks(symbol).into_iter().map(move |mark| match mark {
            Mark::Fill(points) => Mark::Fill(place(points)),
            Mark::Stroke { points, width, closed } => {
                Mark::Stroke { points: place(points), width: width * 0.7, closed }
            }
        })
    };
    half(left, 0.0).chain(half(right, 0.5)).collect()
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

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_two_colours_print_alike() {
        let mut project = Project::default();
        while project.palette.slots().len() < 64 {
            let slot = project.palette.slots()[0].clone();
            let edit = project.with_slot(slot).unwrap();
            project.apply(edit);
        }
        let all = distinct_marks(&project);
        assert_eq!(all.len(), 64);
        assert_eq!(all[0], marks(project.palette.slots()[0].symbol), "the first keeps its own");
        for (i, one) in all.iter().enumerate() {
            assert!(all[..i].iter().all(|other| other != one), "colour {i}");
        }
    }

    #[test]
    fn different_symbols_stay_as_they_are() {
        let project = Project::default();
        let own: Vec<_> = project.palette.slots().iter().map(|slot| marks(slot.symbol)).collect();
        assert_eq!(distinct_marks(&project), own);
    }
}
