//! The k shades of a card that come nearest to a picture.
//!
//! One after the other the shade that helps most, then single shades exchanged for others as long as that
//! helps (the interchange heuristic of Teitz and Bart 1968, Operations Research 16:955): no single exchange
//! improves what is found. Colours of cells are gathered in small boxes first, far smaller than the steps
//! between shades.

use std::collections::BTreeMap;

use super::distance_squared;

/// Side of a box in Oklab: 1/64, about a third of a just noticeable step of lightness on a card.
const BOX: f32 = 1.0 / 64.0;
/// Shades nearest to a box that are looked at.
const NEAREST: usize = 6;

/// The places of up to `count` shades less the `fixed` colours, which are there whatever is chosen.
pub(super) fn best(cells: &[[f32; 3]], shades: &[[f32; 3]], count: usize, fixed: &[[f32; 3]]) -> Vec<usize> {
    let boxes = boxes(cells);
    let count = count.saturating_sub(fixed.len());
    let candidates = candidates(&boxes, shades);
    // What each box costs with each candidate, and with what is there anyway.
    let costs: Vec<Vec<f64>> = candidates
        .iter()
        .map(|index| boxes.iter().map(|(c, n)| n * f64::from(distance_squared(*c, shades[*index]))).collect())
        .collect();
    let there: Vec<f64> = boxes
        .iter()
        .map(|(colour, n)| {
            let far = fixed.iter().map(|fixed| distance_squared(*colour, *fixed));
            n * f64::from(far.fold(f32::MAX, f32::min))
        })
        .collect();
    let mut chosen: Vec<usize> = Vec::new();
    while chosen.len() < count.min(candidates.len()) {
        let now = lowest(&there, &costs, &chosen);
        let Some((next, _)) = cheapest(&now, &costs, &chosen) else { break };
        chosen.push(next);
    }
    while exchange(&there, &costs, &mut chosen) {}
    chosen.into_iter().map(|candidate| candidates[candidate]).collect()
}

/// The colours of the cells by boxes: mean colour and number.
fn boxes(cells: &[[f32; 3]]) -> Vec<([f32; 3], f64)> {
    let mut sums: BTreeMap<[i16; 3], ([f64; 3], f64)> = BTreeMap::new();
    for cell in cells {
        let (sum, n) = sums.entry(cell.map(|v| (v / BOX).floor() as i16)).or_default();
        for (sum, value) in sum.iter_mut().zip(cell) {
            *sum += f64::from(*value);
        }
        *n += 1.0;
    }
    sums.into_values().map(|(sum, n)| (sum.map(|v| (v / n) as f32), n)).collect()
}

/// Shades that are among the nearest to some box.
fn candidates(boxes: &[([f32; 3], f64)], shades: &[[f32; 3]]) -> Vec<usize> {
    let mut wanted = vec![false; shades.len()];
    let mut order: Vec<(f32, usize)> = Vec::with_capacity(shades.len());
    for (colour, _) in boxes {
        order.clear();
        order.extend(shades.iter().enumerate().map(|(at, shade)| (distance_squared(*colour, *shade), at)));
        let near = NEAREST.min(order.len());
        if near < order.len() {
            order.select_nth_unstable_by(near, |a, b| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1)));
        }
        order[..near].iter().for_each(|(_, at)| wanted[*at] = true);
    }
    (0..shades.len()).filter(|at| wanted[*at]).collect()
}

/// What each box costs with the nearest of what is chosen.
fn lowest(there: &[f64], costs: &[Vec<f64>], chosen: &[usize]) -> Vec<f64> {
    let mut now = there.to_vec();
    for candidate in chosen {
        for (now, cost) in now.iter_mut().zip(&costs[*candidate]) {
            *now = now.min(*cost);
        }
    }
    now
}

/// The candidate that costs least beside what is there already, and the cost of all boxes then.
fn cheapest(now: &[f64], costs: &[Vec<f64>], chosen: &[usize]) -> Option<(usize, f64)> {
    let total = |cost: &Vec<f64>| now.iter().zip(cost).map(|(a, b)| a.min(*b)).sum::<f64>();
    let free = costs.iter().enumerate().filter(|(candidate, _)| !chosen.contains(candidate));
    free.map(|(candidate, cost)| (candidate, total(cost))).min_by(|a, b| a.1.total_cmp(&b.1))
}

/// Makes one exchange that helps; `false` when there is none.
fn exchange(there: &[f64], costs: &[Vec<f64>], chosen: &mut [usize]) -> bool {
    let before: f64 = lowest(there, costs, chosen).iter().sum();
    for place in 0..chosen.len() {
        let others: Vec<usize> =
            chosen.iter().enumerate().filter(|(at, _)| *at != place).map(|(_, c)| *c).collect();
        let now = lowest(there, costs, &others);
        if let Some((candidate, cost)) = cheapest(&now, costs, &others)
            && cost < before * (1.0 - 1e-9)
        {
            chosen[place] = candidate;
            return true;
        }
    }
    false
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_choice_is_that_of_trying_every_set() {
        let grey = |l: f32| [l, 0.0, 0.0];
        let shades: Vec<_> = (0..8).map(|step| grey(step as f32 / 7.0)).collect();
        let cells: Vec<_> = (0..200).map(|n| grey(((n * n) % 97) as f32 / 97.0)).collect();
        let cost = |set: &[usize]| -> f64 {
            let near = |cell: &[f32; 3]| {
                set.iter().map(|s| distance_squared(*cell, shades[*s])).fold(f32::MAX, f32::min)
            };
            cells.iter().map(|cell| f64::from(near(cell))).sum()
        };
        let mut found = best(&cells, &shades, 3, &[]);
        found.sort_unstable();
        let mut least = f64::MAX;
        for a in 0..8 {
            for b in a + 1..8 {
                for c in b + 1..8 {
                    least = least.min(cost(&[a, b, c]));
                }
            }
        }
        assert!(cost(&found) <= least * 1.001, "{found:?} {} {least}", cost(&found));
    }

    #[test]
    fn no_more_shades_than_there_are() {
        assert_eq!(best(&[[0.5, 0.0, 0.0]], &[[0.4, 0.0, 0.0]], 5, &[]), [0]);
        assert!(best(&[[0.5, 0.0, 0.0]], &[], 5, &[]).is_empty());
        assert!(best(&[[0.5, 0.0, 0.0]], &[[0.4, 0.0, 0.0]], 1, &[[0.0; 3]]).is_empty());
    }
}
