//! How a chart compares with its picture.

use rayon::prelude::*;

use super::colour;
use crate::colour::{Lab, ciede2000};

/// CIEDE2000 between the colours of the stitches and the picture under them.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Closeness {
    /// Mean over all stitches.
    pub mean: f64,
    /// 95 of 100 stitches are no further off.
    pub p95: f64,
}

impl Closeness {
    pub(super) fn of(cells: &[[f32; 3]], labels: &[u8], colours: &[[f32; 3]]) -> Self {
        let colours: Vec<Lab> = colours.iter().map(|own| colour(*own).to_lab()).collect();
        let far =
            |(cell, label): (&[f32; 3], &u8)| ciede2000(colour(*cell).to_lab(), colours[usize::from(*label)]);
        let mut all: Vec<f64> = cells.par_iter().zip(labels).map(far).collect();
        if all.is_empty() {
            return Self::default();
        }
        let mean = all.iter().sum::<f64>() / all.len() as f64;
        let at = ((0.95 * all.len() as f64).ceil() as usize).clamp(1, all.len()) - 1;
        let (_, p95, _) = all.select_nth_unstable_by(at, f64::total_cmp);
        Self { mean, p95: *p95 }
    }
}
