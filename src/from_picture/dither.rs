//! Colours mixed stitch by stitch, for those who want it.

use super::distance_squared;
use crate::photo::CellMeans;

/// Gives what each stitch is off to those not yet worked (Floyd and Steinberg 1976, Proc. SID 17:75), every
/// second row from the right. With `as_found` a row takes no colour that it does not have already.
pub(super) fn mix(labels: &mut [u8], means: &CellMeans, colours: &[[f32; 3]], as_found: bool) {
    let width = means.columns as usize;
    let all: Vec<usize> = (0..colours.len()).collect();
    let mut owed = vec![[0.0_f32; 3]; width];
    for (y, (row, cells)) in labels.chunks_exact_mut(width).zip(means.oklab.chunks_exact(width)).enumerate() {
        let mut allowed = all.clone();
        if as_found {
            allowed.retain(|colour| row.contains(&(*colour as u8)));
        }
        let mut below = vec![[0.0_f32; 3]; width];
        let backwards = y % 2 == 1;
        for step in 0..width {
            let x = if backwards { width - 1 - step } else { step };
            let want = add(cells[x], owed[x], 1.0);
            let nearest = allowed.iter().min_by(|a, b| {
                distance_squared(want, colours[**a]).total_cmp(&distance_squared(want, colours[**b]))
            });
            let Some(nearest) = nearest else { continue };
            row[x] = *nearest as u8;
            let off = add(want, colours[*nearest], -1.0);
            let beside = |by: isize| {
                let by = if backwards { -by } else { by };
                x.checked_add_signed(by).filter(|x| *x < width)
            };
            if let Some(next) = beside(1) {
                owed[next] = add(owed[next], off, 7.0 / 16.0);
            }
            for (by, share) in [(-1, 3.0), (0, 5.0), (1, 1.0)] {
                if let Some(under) = beside(by) {
                    below[under] = add(below[under], off, share / 16.0);
                }
            }
        }
        owed = below;
    }
}

fn add(a: [f32; 3], b: [f32; 3], times: f32) -> [f32; 3] {
    [0, 1, 2].map(|i| a[i] + times * b[i])
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn half_way_between_two_colours_half_the_stitches_take_each() {
        let means = CellMeans { columns: 20, rows: 20, oklab: vec![[0.5, 0.0, 0.0]; 400] };
        let mut labels = vec![0; 400];
        mix(&mut labels, &means, &[[0.2, 0.0, 0.0], [0.8, 0.0, 0.0]], false);
        let light: u32 = labels.iter().map(|label| u32::from(*label)).sum();
        assert!((190..=210).contains(&light), "{light}");
    }

    #[test]
    fn a_row_keeps_to_its_colours() {
        let means = CellMeans { columns: 4, rows: 2, oklab: vec![[0.5, 0.0, 0.0]; 8] };
        let mut labels = vec![0, 0, 0, 0, 0, 1, 1, 0];
        mix(&mut labels, &means, &[[0.2, 0.0, 0.0], [0.8, 0.0, 0.0]], true);
        assert_eq!(labels[..4], [0; 4]);
        assert!(labels[4..].contains(&1));
    }
}
