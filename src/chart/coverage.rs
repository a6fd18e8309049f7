//! How much of each cell a closed outline covers.

/// The covered part, `0..=1`, of each cell of a `width x height` box whose cells have side 1: the
/// bottom row first, each row left to right. Corners outside the box are pulled onto its border.
///
/// Exact for a polygon up to rounding: every edge adds its signed area to the cells it crosses,
/// and a running sum along the row carries it to the cells on its right (the method of
/// anti-aliased outline fonts). The outline must not cross itself.
pub(super) fn coverage(outline: &[(f64, f64)], width: u32, height: u32) -> Vec<f64> {
    let stride = width as usize + 2;
    let mut sums = vec![0.0; stride * height as usize];
    let inside = |(x, y): (f64, f64)| (x.clamp(0.0, f64::from(width)), y.clamp(0.0, f64::from(height)));
    for (from, to) in edges(outline) {
        add_edge(&mut sums, stride, inside(from), inside(to));
    }
    let mut cells = Vec::with_capacity((width * height) as usize);
    for row in sums.chunks(stride) {
        let mut sum = 0.0;
        cells.extend(row[..width as usize].iter().map(|step| {
            sum += step;
            f64::min(f64::abs(sum), 1.0)
        }));
    }
    cells
}

/// The edges of a closed outline.
pub(super) fn edges(outline: &[(f64, f64)]) -> impl Iterator<Item = ((f64, f64), (f64, f64))> {
    outline.iter().copied().zip(outline.iter().copied().cycle().skip(1))
}

fn add_edge(sums: &mut [f64], stride: usize, from: (f64, f64), to: (f64, f64)) {
    let (sign, low, high) = if from.1 <= to.1 { (1.0, from, to) } else { (-1.0, to, from) };
    if low.1 >= high.1 {
        return;
    }
    let slope = (high.0 - low.0) / (high.1 - low.1);
    let mut row = low.1.floor();
    while row < high.1 {
        let (bottom, top) = (low.1.max(row), high.1.min(row + 1.0));
        let (a, b) = (low.0 + (bottom - low.1) * slope, low.0 + (top - low.1) * slope);
        let sums = &mut sums[row as usize * stride..][..stride];
        add_within_row(sums, sign * (top - bottom), a.min(b), a.max(b));
        row += 1.0;
    }
}

/// Adds an edge that rises by `rise` between `left` and `right` inside one row.
fn add_within_row(sums: &mut [f64], rise: f64, left: f64, right: f64) {
    let last = sums.len() - 2;
    let mut column = (left.max(0.0).floor() as usize).min(last);
    loop {
        let start = column as f64;
        let (a, b) = (left.max(start), if column == last { right } else { right.min(start + 1.0) });
        let part = if right > left { rise * (b - a) / (right - left) } else { rise };
        let beyond = part * f64::midpoint(a - start, b - start).clamp(0.0, 1.0);
        sums[column] += part - beyond;
        sums[column + 1] += beyond;
        if right <= start + 1.0 || column == last {
            return;
        }
        column += 1;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn assert_near(found: &[f64], expected: &[f64]) {
        assert_eq!(found.len(), expected.len());
        for (f, e) in found.iter().zip(expected) {
            assert!((f - e).abs() < 1e-12, "{found:?} is not {expected:?}");
        }
    }

    #[test]
    fn a_triangle_is_cut_exactly() {
        // The half of a 2 x 2 box below the rising diagonal.
        let outline = [(0.0, 0.0), (2.0, 0.0), (2.0, 2.0)];
        assert_near(&coverage(&outline, 2, 2), &[0.5, 1.0, 0.0, 0.5]);
        let mut backwards = outline;
        backwards.reverse();
        assert_near(&coverage(&backwards, 2, 2), &[0.5, 1.0, 0.0, 0.5]);
    }

    #[test]
    fn a_shallow_edge_crosses_many_cells() {
        let outline = [(0.0, 0.0), (4.0, 0.0), (4.0, 1.0)];
        assert_near(&coverage(&outline, 4, 1), &[0.125, 0.375, 0.625, 0.875]);
    }

    #[test]
    fn a_box_between_cells_and_corners_outside() {
        let outline = [(0.5, 0.25), (1.5, 0.25), (1.5, 0.75), (0.5, 0.75)];
        assert_near(&coverage(&outline, 2, 1), &[0.25, 0.25]);
        let outline = [(-3.0, -3.0), (9.0, -3.0), (9.0, 9.0), (-3.0, 9.0)];
        assert_near(&coverage(&outline, 2, 2), &[1.0; 4]);
        assert_near(&coverage(&[], 2, 1), &[0.0; 2]);
    }
}
