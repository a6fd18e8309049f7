//! Small pictures of our own beside the words of care, for every kind of drawing and the window.
//!
//! The symbols of ISO 3758 are registered marks: they are never drawn, nor anything like them (no tub, triangle, square,
//! circle or iron, no cross and no bars). These only help the eye to find its line; the words say what holds.

use std::f32::consts::TAU;

use super::symbols::Mark;
use crate::yarn::CareGroup;

/// Width of the lines, of a unit square.
const LINE: f32 = 0.08;

/// The picture of a group, in the unit square.
pub fn care(group: CareGroup) -> Vec<Mark> {
    match group {
        CareGroup::Washing => drop(),
        CareGroup::Bleaching => bottle(),
        CareGroup::TumbleDrying => swirl(),
        CareGroup::NaturalDrying => breeze(),
        CareGroup::Ironing => thermometer(),
        CareGroup::ProfessionalCare => bell(),
    }
}

fn line(points: Vec<[f32; 2]>) -> Mark {
    Mark::Stroke { points, width: LINE, closed: false }
}

fn outline(points: Vec<[f32; 2]>) -> Mark {
    Mark::Stroke { points, width: LINE, closed: true }
}

/// Points of an arc about a middle, between two shares of a full turn, `0` to the right and on downwards.
fn arc([x, y]: [f32; 2], radius: f32, from: f32, to: f32, steps: usize) -> Vec<[f32; 2]> {
    let at = |step: usize| {
        let turn = TAU * (from + (to - from) * step as f32 / steps as f32);
        [x + radius * turn.cos(), y + radius * turn.sin()]
    };
    (0..=steps).map(at).collect()
}

/// Water.
fn drop() -> Vec<Mark> {
    let mut points = vec![[0.5, 0.06]];
    // From the right side down round to the left.
    points.extend(arc([0.5, 0.62], 0.3, -0.06, 0.56, 14));
    vec![outline(points), line(arc([0.5, 0.62], 0.16, 0.25, 0.45, 5))]
}

/// A bottle.
fn bottle() -> Vec<Mark> {
    let points = vec![
        [0.4, 0.24],
        [0.6, 0.24],
        [0.6, 0.38],
        [0.74, 0.52],
        [0.74, 0.93],
        [0.26, 0.93],
        [0.26, 0.52],
        [0.4, 0.38],
    ];
    vec![outline(points), line(vec![[0.36, 0.11], [0.64, 0.11]]), line(vec![[0.26, 0.72], [0.74, 0.72]])]
}

/// What turns about in a drum.
fn swirl() -> Vec<Mark> {
    let spiral = |step: usize| {
        let share = step as f32 / 28.0;
        let turn = TAU * 1.9 * share;
        let radius = 0.05 + 0.37 * share;
        [0.5 + radius * turn.cos(), 0.5 + radius * turn.sin()]
    };
    vec![line((0..=28).map(spiral).collect())]
}

/// Air.
fn breeze() -> Vec<Mark> {
    let wave = |y: f32| {
        let at = |step: usize| {
            let share = step as f32 / 16.0;
            [0.08 + 0.84 * share, y + 0.07 * (TAU * 1.5 * share).sin()]
        };
        line((0..=16).map(at).collect())
    };
    vec![wave(0.26), wave(0.5), wave(0.74)]
}

/// Heat.
fn thermometer() -> Vec<Mark> {
    // The stem runs into the bulb: round the bulb from the right of the stem to its left.
    let mut points = arc([0.42, 0.76], 0.17, -0.16, 0.66, 12);
    points.extend([[0.33, 0.14], [0.42, 0.07], [0.51, 0.14]]);
    vec![
        outline(points),
        line(vec![[0.42, 0.3], [0.42, 0.76]]),
        line(vec![[0.64, 0.2], [0.8, 0.2]]),
        line(vec![[0.64, 0.36], [0.74, 0.36]]),
        line(vec![[0.64, 0.52], [0.8, 0.52]]),
    ]
}

/// The bell on a counter.
fn bell() -> Vec<Mark> {
    let mut dome = arc([0.5, 0.7], 0.34, -0.5, 0.0, 12);
    dome.push([0.16, 0.7]);
    vec![
        outline(dome),
        line(vec![[0.08, 0.86], [0.92, 0.86]]),
        line(vec![[0.5, 0.34], [0.5, 0.18]]),
        line(vec![[0.42, 0.18], [0.58, 0.18]]),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_group_has_a_picture_of_its_own_inside_its_square() {
        let all: Vec<Vec<Mark>> = CareGroup::ALL.iter().map(|group| care(*group)).collect();
        for (place, marks) in all.iter().enumerate() {
            assert!(all[..place].iter().all(|other| other != marks));
            for mark in marks {
                let (Mark::Fill(points) | Mark::Stroke { points, .. }) = mark;
                let inside = |v: f32| (0.0..=1.0).contains(&v);
                assert!(points.iter().all(|[x, y]| inside(*x) && inside(*y)), "{marks:?}");
            }
        }
    }
}
