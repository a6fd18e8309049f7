//! A lower bound on the distance of a set from the wanted hue templates, by sums.
//!
//! The distance is the least, over templates and rotations, of the weighted mean of the hues'
//! distances. At rotations in steps, with half a step taken off each distance, the sum over a set is
//! a sum of one row a shade, and never above the true one at any rotation between.

use crate::colour::template::{HuePoint, Template};

/// Degrees between the rotations tried.
const STEP: f64 = 5.0;
const ROTATIONS: usize = 72;

/// Rows of bounds, one a group of shades: the least of its shades, over the greatest weight of them.
#[derive(Clone, Debug)]
pub(super) struct HueBound {
    /// Values in a row: templates times rotations.
    width: usize,
    rows: Vec<f32>,
    weights: Vec<f32>,
}

impl HueBound {
    pub fn new(points: &[HuePoint], templates: &[Template], groups: &[Vec<u16>]) -> Self {
        let width = templates.len() * ROTATIONS;
        let mut rows = Vec::with_capacity(width * groups.len());
        for group in groups {
            let start = rows.len();
            rows.resize(start + width, f32::INFINITY);
            for point in group.iter().map(|shade| &points[usize::from(*shade)]) {
                let mut row = rows[start..].iter_mut();
                for template in templates {
                    for (rotation, least) in (0..ROTATIONS).zip(&mut row) {
                        let outside = template.degrees_outside(point.hue() - rotation as f64 * STEP);
                        *least = least.min((point.weight() * (outside - STEP / 2.0).max(0.0)) as f32);
                    }
                }
            }
        }
        let weight = |shade: &u16| points[usize::from(*shade)].weight() as f32;
        let weights = groups.iter().map(|group| group.iter().map(weight).fold(0.0, f32::max));
        Self { width, rows, weights: weights.collect() }
    }

    /// The sum for no shade.
    pub fn nothing(&self) -> Vec<f32> {
        vec![0.0; self.width]
    }

    /// How much the hue of a group counts at most.
    pub fn weight(&self, shade: usize) -> f32 {
        self.weights[shade]
    }

    fn row(&self, shade: usize) -> &[f32] {
        &self.rows[shade * self.width..(shade + 1) * self.width]
    }

    /// Writes the sum with one more shade.
    pub fn add(&self, sum: &[f32], shade: usize, out: &mut [f32]) {
        for ((out, sum), value) in out.iter_mut().zip(sum).zip(self.row(shade)) {
            *out = sum + value;
        }
    }

    /// The least over templates and rotations of the sum with one more shade; divided by the
    /// set's weight it bounds the distance from below. 0 without templates.
    pub fn least_with(&self, sum: &[f32], shade: usize) -> f32 {
        let row = self.row(shade);
        // Eight running minima, so that the additions go side by side.
        let mut least = [f32::INFINITY; 8];
        for (sum, row) in sum.as_chunks::<8>().0.iter().zip(row.as_chunks::<8>().0) {
            for lane in 0..8 {
                least[lane] = least[lane].min(sum[lane] + row[lane]);
            }
        }
        let least = least.into_iter().fold(f32::INFINITY, f32::min);
        if least.is_finite() { least } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::colour::template::nearest;

    #[test]
    fn the_bound_is_never_above_the_distance_and_not_far_below() {
        let templates = [Template::I, Template::V, Template::MirroredL, Template::Y];
        let points: Vec<HuePoint> = (0..40)
            .map(|i| HuePoint::new(f64::from(i * i * 37 % 360) + 0.3, 0.02 + f64::from(i % 7) * 0.03))
            .collect();
        let alone: Vec<Vec<u16>> = (0..40).map(|shade| vec![shade]).collect();
        let bound = HueBound::new(&points, &templates, &alone);
        let mut gap = 0.0_f64;
        for i in 0..points.len() {
            let set = [i, (i * 7 + 3) % 40, (i * 11 + 8) % 40, (i * 3 + 21) % 40];
            let mut sum = bound.nothing();
            for shade in &set[..3] {
                let before = sum.clone();
                bound.add(&before, *shade, &mut sum);
            }
            let weight: f32 = set.iter().map(|shade| bound.weight(*shade)).sum();
            let found = f64::from(bound.least_with(&sum, set[3]) / weight);
            let chosen: Vec<HuePoint> = set.iter().map(|shade| points[*shade]).collect();
            let distance = nearest(&templates, &chosen).unwrap().distance;
            assert!(found <= distance + 1e-4, "{set:?}: {found} {distance}");
            gap = gap.max(distance - found);
        }
        assert!(gap < STEP, "{gap}");
    }
}
