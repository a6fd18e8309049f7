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

/// Said beside every key to the signs, in two short lines.
pub const COLOURS_ONLY: [&str; 2] = ["Squares and signs show colours ", "only, not kinds of stitches."];

/// Where other marks begin, end and have their middle: room around them keeps neighbours apart.
const LOW: f32 = 0.15;
const MIDDLE: f32 = 0.5;
const HIGH: f32 = 0.85;
/// Thickness of bars and chevrons: over a pixel and a half in the smallest print, 2 mm at 150 dots per
/// inch. No more, so that the colour stays the first thing seen.
const BAR: f32 = 0.15;
/// Where bars along the sides begin and end: further out, so that three of them do not make a ring.
const OUTER: [f32; 2] = [0.1, 0.9];

/// Outer edges of two bars on either side of the middle, off the bars along the sides.
const NEAR: f32 = 0.25;
const FAR: f32 = 0.75;
/// How far right the middle line of a right chevron reaches: far enough not to read as a blob.
const CHEVRON_TIP: f32 = 0.8;

/// A filled rectangle.
fn block(left: f32, top: f32, right: f32, bottom: f32) -> Mark {
    Mark::Fill(vec![[left, top], [right, top], [right, bottom], [left, bottom]])
}

/// Bars along some sides.
fn bars(sides: &[Side]) -> Vec<Mark> {
    let [low, high] = OUTER;
    let bar = |side: &Side| match side {
        Side::Left => block(low, low, low + BAR, high),
        Side::Right => block(high - BAR, low, high, high),
        Side::Top => block(low, low, high, low + BAR),
        Side::Bottom => block(low, high - BAR, high, high),
    };
    sides.iter().map(bar).collect()
}

/// A side of the cell.
#[derive(Clone, Copy)]
enum Side {
    Left,
    Right,
    Top,
    Bottom,
}

/// The pieces of a symbol; none for a blank.
pub fn marks(symbol: Symbol) -> Vec<Mark> {
    use Side::{Bottom, Left, Right, Top};
    let chevron = |point: f32, ends: f32| {
        let points = vec![[ends, LOW], [point, MIDDLE], [ends, HIGH]];
        vec![Mark::Stroke { points, width: BAR, closed: false }]
    };
    let wedge = |corners: [[f32; 2]; 3]| vec![Mark::Fill(corners.to_vec())];
    let [upper_left, upper_right, lower_left, lower_right] =
        [[LOW, LOW], [HIGH, LOW], [LOW, HIGH], [HIGH, HIGH]];
    // A quarter is the square between a corner and the middle.
    let quarter = |[x, y]: [f32; 2]| block(x.min(MIDDLE), y.min(MIDDLE), x.max(MIDDLE), y.max(MIDDLE));
    match symbol {
        Symbol::Blank => Vec::new(),
        Symbol::LeftHalf => vec![block(LOW, LOW, MIDDLE, HIGH)],
        Symbol::RightHalf => vec![block(MIDDLE, LOW, HIGH, HIGH)],
        Symbol::UpperHalf => vec![block(LOW, LOW, HIGH, MIDDLE)],
        Symbol::LowerHalf => vec![block(LOW, MIDDLE, HIGH, HIGH)],
        Symbol::UpperLeftWedge => wedge([upper_left, upper_right, lower_left]),
        Symbol::UpperRightWedge => wedge([upper_left, upper_right, lower_right]),
        Symbol::LowerLeftWedge => wedge([upper_left, lower_right, lower_left]),
        Symbol::LowerRightWedge => wedge([upper_right, lower_right, lower_left]),
        Symbol::UpperLeftQuarter => vec![quarter(upper_left)],
        Symbol::UpperRightQuarter => vec![quarter(upper_right)],
        Symbol::LowerLeftQuarter => vec![quarter(lower_left)],
        Symbol::LowerRightQuarter => vec![quarter(lower_right)],
        Symbol::RisingQuarters => vec![quarter(lower_left), quarter(upper_right)],
        Symbol::FallingQuarters => vec![quarter(upper_left), quarter(lower_right)],
        Symbol::UpperLeftCorner => bars(&[Left, Top]),
        Symbol::UpperRightCorner => bars(&[Right, Top]),
        Symbol::LowerLeftCorner => bars(&[Left, Bottom]),
        Symbol::LowerRightCorner => bars(&[Right, Bottom]),
        Symbol::TwoUprightBars => vec![block(NEAR, LOW, NEAR + BAR, HIGH), block(FAR - BAR, LOW, FAR, HIGH)],
        Symbol::TwoLevelBars => vec![block(LOW, NEAR, HIGH, NEAR + BAR), block(LOW, FAR - BAR, HIGH, FAR)],
        Symbol::OpenBelow => bars(&[Left, Top, Right]),
        Symbol::OpenAbove => bars(&[Left, Bottom, Right]),
        Symbol::OpenRight => bars(&[Top, Left, Bottom]),
        Symbol::OpenLeft => bars(&[Top, Right, Bottom]),
        Symbol::LeftChevron => chevron(1.0 - CHEVRON_TIP, MIDDLE),
        Symbol::RightChevron => chevron(CHEVRON_TIP, MIDDLE),
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
