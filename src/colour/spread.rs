//! Keeping the values of a palette apart.

/// The range of CIE L* that yarn reaches without looking black or bleached (our judgement).
/// Four colours 20 apart fit in it wherever the first of them lies.
const YARN_LSTAR: (f64, f64) = (12.0, 96.0);

/// How far a gap may fall short and still count: far below what [`super::Colour::with_lstar`] misses.
const SLACK: f64 = 0.01;

/// The CIE L* nearest to those wished (least sum of squares), such that each keeps `gap` from every
/// other and from the fixed ones, in the order of the wishes. When they do not all fit, the gap
/// shrinks until they do.
pub(super) fn spread_lstar(wishes: &[f64], fixed: &[f64], gap: f64) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wishes.len()).collect();
    order.sort_by(|a, b| wishes[*a].total_cmp(&wishes[*b]));
    let sorted: Vec<f64> = order.iter().map(|i| wishes[*i]).collect();

    let mut tried = gap.max(0.0);
    let placed = loop {
        if let Some(placed) = place(&sorted, fixed, tried) {
            break placed;
        }
        if tried == 0.0 {
            break sorted;
        }
        tried = (tried - 1.0).max(0.0);
    };
    let mut spread = vec![0.0; wishes.len()];
    for (value, index) in placed.into_iter().zip(order) {
        spread[index] = value;
    }
    spread
}

/// Values for the sorted wishes with at least `gap` between all, or `None` when they do not fit.
///
/// Exact over its candidates (dynamic programming along the sorted wishes): whole L*, the wishes
/// themselves and the nearest values the fixed ones leave.
fn place(wishes: &[f64], fixed: &[f64], gap: f64) -> Option<Vec<f64>> {
    let free = |value: f64| fixed.iter().all(|f| (value - f).abs() >= gap - SLACK);
    let whole = (YARN_LSTAR.0 as u32..=YARN_LSTAR.1 as u32).map(f64::from);
    let beside = fixed.iter().flat_map(|f| [f - gap, f + gap]);
    let mut candidates: Vec<f64> = whole
        .chain(beside.filter(|v| (YARN_LSTAR.0..=YARN_LSTAR.1).contains(v)))
        .chain(wishes.iter().copied())
        .filter(|value| free(*value))
        .collect();
    candidates.sort_by(f64::total_cmp);

    // layers[i][c]: cheapest cost of wishes 0..=i with wish i at candidate c, and where wish i-1 went.
    let mut layers: Vec<Vec<(f64, usize)>> = Vec::with_capacity(wishes.len());
    for wish in wishes {
        let below = layers.last();
        let mut best = (f64::INFINITY, 0);
        let mut reached = 0;
        let layer = candidates.iter().map(|value| {
            let own = (value - wish) * (value - wish);
            let Some(below) = below else { return (own, 0) };
            while reached < candidates.len() && candidates[reached] <= value - gap + SLACK {
                // With no gap a candidate may be shared, but never overtaken.
                if below[reached].0 < best.0 {
                    best = (below[reached].0, reached);
                }
                reached += 1;
            }
            (best.0 + own, best.1)
        });
        let layer = layer.collect();
        layers.push(layer);
    }
    let (mut at, (cost, _)) = match layers.last() {
        None => return Some(Vec::new()),
        Some(last) => last.iter().copied().enumerate().min_by(|(_, a), (_, b)| a.0.total_cmp(&b.0))?,
    };
    if cost.is_infinite() {
        return None;
    }
    let mut placed = Vec::with_capacity(wishes.len());
    for layer in layers.iter().rev() {
        placed.push(candidates[at]);
        at = layer[at].1;
    }
    placed.reverse();
    Some(placed)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn least_gap(spread: &[f64], fixed: &[f64]) -> f64 {
        let mut all: Vec<f64> = spread.iter().chain(fixed).copied().collect();
        all.sort_by(f64::total_cmp);
        all.windows(2).map(|pair| pair[1] - pair[0]).fold(f64::INFINITY, f64::min)
    }

    #[test]
    fn what_is_far_enough_apart_stays() {
        assert_eq!(spread_lstar(&[80.5, 20.25, 50.0], &[], 15.0), [80.5, 20.25, 50.0]);
    }

    #[test]
    fn equal_values_part_by_the_least_movement() {
        let spread = spread_lstar(&[50.0, 50.0, 50.0], &[], 15.0);
        assert_eq!(spread, [35.0, 50.0, 65.0]);
    }

    #[test]
    fn four_values_fit_twenty_apart_wherever_the_first_lies() {
        for first in 0..=1000 {
            let first = f64::from(first) / 10.0;
            let spread = spread_lstar(&[first, first, first], &[first], 20.0);
            assert!(least_gap(&spread, &[first]) >= 20.0 - SLACK, "{first}: {spread:?}");
        }
    }

    #[test]
    fn too_many_share_the_room_there_is() {
        let spread = spread_lstar(&[50.0; 12], &[40.0], 15.0);
        assert!(least_gap(&spread, &[40.0]) >= 5.0, "{spread:?}");
        // Never stuck, whatever is asked.
        assert_eq!(spread_lstar(&[50.0; 400], &[50.0; 3], 15.0).len(), 400);
        assert!(spread_lstar(&[], &[50.0], 15.0).is_empty());
    }

    #[test]
    fn the_order_of_the_wishes_is_kept() {
        let spread = spread_lstar(&[52.0, 48.0, 50.0], &[51.0], 15.0);
        assert!(spread[1] < spread[2] && spread[2] < spread[0], "{spread:?}");
    }
}
